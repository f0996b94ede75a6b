# SPDX-License-Identifier: GPL-3.0-or-later
"""What bash and zsh offer is what the program takes: the verbs, all options of each and none more,
the words of a value where these are fixed, files else.

Called as: completion_test.py PROGRAM BASH ZSH, the last two being the files that the shells read.
"""

import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

import told

PROGRAM, BASH, ZSH = (str(pathlib.Path(name).resolve()) for name in sys.argv[1:4])
HERE = pathlib.Path(__file__).resolve().parent
ALWAYS = {"-h", "--help", "--version"}
DIRECTIONS = {"+x", "-x", "+y", "-y", "+z", "-z"}


def run(command, folder, text=None):
    return subprocess.run(command, capture_output=True, text=True, cwd=folder, input=text,
                          timeout=300, check=False)


class Completion:
    """What either shell must offer; `offered` asks it, once for many lines."""

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        for name in ("body.stl", "sheet.toml", "a b.stl"):
            (pathlib.Path(self.folder.name) / name).touch()
        (pathlib.Path(self.folder.name) / "drawer").mkdir()
        self.verbs = told.verbs(PROGRAM)

    def tearDown(self):
        self.folder.cleanup()

    def assert_offered(self, wanted):
        """wanted: what a line must offer, by the line."""
        got = self.offered(list(wanted))
        for line, words in wanted.items():
            with self.subTest(line):
                self.assertEqual(sorted(got[line]), sorted(words))

    def test_verbs_stand_first(self):
        plain = {verb for verb in self.verbs if " " not in verb} | {"notebook"}
        actions = {verb.split()[1] for verb in self.verbs if " " in verb}
        self.assert_offered({"trueblank ": plain | self.options_without_a_dash,
                             "trueblank mi": {"mirror"},
                             "trueblank --": {"--help", "--version"},
                             "trueblank notebook ": actions | self.options_without_a_dash,
                             "trueblank notebook fo": {"forget"}})

    def test_every_verb_has_all_its_options_and_none_more(self):
        wanted = {}
        for verb in self.verbs:
            names = {name for option in told.options(PROGRAM, verb) for name in option.names}
            self.assertLess(ALWAYS, names)
            wanted[f"trueblank {verb} -"] = names
        self.assert_offered(wanted)

    def test_fixed_values_are_offered_and_taken(self):
        wanted = {}
        for verb in self.verbs:
            for option in told.options(PROGRAM, verb):
                if not option.choices:
                    continue
                wanted[f"trueblank {verb} {option.names[-1]} "] = set(option.choices)
                wanted[f"trueblank {verb} {option.names[-1]}="] = set(option.choices)
                for choice in option.choices:
                    done = run([PROGRAM, *verb.split(), "nowhere", option.names[-1], choice],
                               self.folder.name)
                    self.assertEqual(done.returncode, 2)
                    self.assertNotIn(f"{option.names[-1]}: ", done.stderr)
        self.assertGreater(len(wanted), 20)
        # The contract's own words, so that the help is no judge of itself.
        self.assertEqual(wanted["trueblank check --units "], {"mm", "cm", "m", "in"})
        self.assertEqual(wanted["trueblank check --mend="], {"none", "holes", "wrap"})
        wanted["trueblank mirror --nose "] = DIRECTIONS
        wanted["trueblank mirror --back -"] = {"-x", "-y", "-z"}
        self.assert_offered(wanted)

    def test_files_else(self):
        files = {"body.stl", "sheet.toml", self.with_a_blank, self.drawer}
        self.assert_offered({"trueblank check ": files,
                             "trueblank float sh": {"sheet.toml"},
                             "trueblank mirror body.stl --sheet ": files,
                             "trueblank notebook add ": files,
                             "trueblank notebook export ": {self.drawer},
                             "trueblank check --length ": set(),
                             "trueblank compare body.stl s": {"sheet.toml"},
                             "trueblank check -- b": {"body.stl"}})


class Bash(Completion, unittest.TestCase):
    # Readline puts the slash and the marks to them.
    drawer, with_a_blank = "drawer", "a b.stl"
    options_without_a_dash = ALWAYS

    def offered(self, lines):
        script = f"source '{BASH}'\n"
        for line in lines:
            # Readline breaks words at an equals sign too; the word under the cursor may be empty.
            words = line.replace("=", " = ").split()
            if line.endswith(" "):
                words.append("")
            quoted = " ".join(f"'{word}'" for word in words)
            script += (f"COMP_WORDS=({quoted}) COMP_CWORD={len(words) - 1}\n"
                       f"_trueblank\nprintf '%s\\n' \"${{COMPREPLY[@]}}\" '' .\n")
        done = run(["bash", "--norc", "-c", script], self.folder.name)
        self.assertEqual((done.returncode, done.stderr), (0, ""))
        answers = done.stdout.split("\n.\n")[:-1]
        self.assertEqual(len(answers), len(lines))
        return {line: [word for word in answer.split("\n") if word]
                for line, answer in zip(lines, answers)}

    def test_it_is_registered_for_the_program(self):
        done = run(["bash", "--norc", "-c", f"source '{BASH}'; complete -p trueblank"],
                   self.folder.name)
        self.assertEqual(done.stdout, "complete -F _trueblank trueblank\n")


@unittest.skipUnless(shutil.which("zsh"), "no zsh here to complete in")
class Zsh(Completion, unittest.TestCase):
    drawer, with_a_blank = "drawer", "a\\ b.stl"
    # _arguments offers options where a word begins with a dash.
    options_without_a_dash = set()

    def offered(self, lines):
        """Asks a zsh on a terminal of its own; zsh_offers.zsh says how."""
        done = run(["zsh", "-f", HERE / "zsh_offers.zsh", ZSH], self.folder.name,
                   "".join(line + "\n" for line in lines))
        self.assertEqual((done.returncode, done.stderr), (0, ""), done.stdout)
        answers = done.stdout.split("\n.\n")[:-1]
        self.assertEqual(len(answers), len(lines), done.stdout)
        # With an equals sign a match is offered with what stands before it.
        return {line: {word.split("=")[-1] if line.endswith("=") else word
                       for word in answer.split("\n") if word}
                for line, answer in zip(lines, answers)}


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
