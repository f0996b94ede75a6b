# SPDX-License-Identifier: GPL-3.0-or-later
"""The manual page is clean roff, and tells every verb and option as --help does.

Called as: manual_page_test.py PROGRAM PAGE VERSION
"""

import os
import re
import subprocess
import sys
import unittest

import told

PROGRAM, PAGE, VERSION = sys.argv[1:4]
# As Debian's policy checks a page: man with all its warnings, and groff by itself.
MAN = ["man", "--warnings", "-E", "UTF-8", "-l", "-Tutf8", "-Z", PAGE]
GROFF = ["groff", "-man", "-ww", "-Tutf8", "-P-c", "-P-b", "-P-o", "-P-u", "-rLL=1000n", PAGE]


def run(command):
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False,
                          env={**os.environ, "LC_ALL": "C.UTF-8", "MANROFFSEQ": ""})


def one_line(text):
    return " ".join(text.split())


class ManualPage(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.text = run(GROFF).stdout
        parts = re.split(r"^([A-Z][A-Z ]+)$", cls.text, flags=re.MULTILINE)
        cls.sections = dict(zip(parts[1::2], parts[2::2]))

    def verb_section(self, verb):
        parts = re.split(r"^   (trueblank [a-z ]+)$", self.sections["VERBS"], flags=re.MULTILINE)
        return one_line(dict(zip(parts[1::2], parts[2::2]))["trueblank " + verb])

    def test_man_and_groff_have_nothing_to_say(self):
        for command in (MAN, GROFF):
            done = run(command)
            self.assertEqual((done.returncode, done.stderr), (0, ""))
            self.assertNotEqual(done.stdout, "")

    def test_its_sections_stand_in_the_usual_order(self):
        self.assertEqual(list(self.sections), [
            "NAME", "SYNOPSIS", "DESCRIPTION", "VERBS", "EXIT STATUS", "FILES", "ENVIRONMENT",
            "EXAMPLES", "COPYRIGHT"])

    def test_the_name_and_the_version_are_the_programs(self):
        first = told.printed(PROGRAM, "--help").splitlines()[0]
        what = first.partition(": ")[2]
        self.assertEqual(one_line(self.sections["NAME"]).replace(" − ", " - "),
                         f"trueblank - {what}")
        self.assertIn(f"trueblank {VERSION}", self.text.splitlines()[-1])

    def test_every_verb_is_told_with_all_its_options_and_none_more(self):
        for verb in told.verbs(PROGRAM):
            section = self.verb_section(verb)
            self.assertIn(f"trueblank {verb} ", one_line(self.sections["SYNOPSIS"]) + " ")
            entries = []
            for option in told.options(PROGRAM, verb):
                value = f" {option.value}" if option.value else ""
                entries.append(one_line(f"{', '.join(option.names)}{value} {option.what}"))
            with self.subTest(verb):
                # The end of the section is its options, one after the other, to the letter.
                self.assertTrue(section.endswith(" " + " ".join(entries)),
                                f"{section}\n--- but --help says\n{' '.join(entries)}")

    def test_the_exit_codes_are_those_that_help_tells(self):
        self.assertIn("Exit code: 0 done; 1 done, but", told.printed(PROGRAM, "--help"))
        self.assertRegex(one_line(self.sections["EXIT STATUS"]),
                         r"^0 Done\. 1 Done, but a limit .* 2 The input or the command line can't")

    def test_the_examples_are_taken_by_the_program(self):
        """Options that are none, or go together badly, are refused before a file is looked for."""
        examples = re.findall(r"^ +trueblank (.*)$", self.sections["EXAMPLES"], re.MULTILINE)
        self.assertGreater(len(examples), 3)
        for example in examples:
            words = re.sub(r"\S*/examples/", "/nowhere/", example).split()
            done = run([PROGRAM, *words])
            with self.subTest(example):
                self.assertEqual(done.returncode, 2)
                # A build without node writes no pages, and says that first.
                self.assertRegex(done.stderr, "/nowhere/|this build can't write pages")

    def test_it_says_the_licence(self):
        self.assertIn("GPL-3.0-or-later", self.sections["COPYRIGHT"])


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
