# SPDX-License-Identifier: GPL-3.0-or-later
"""--version names the commit: what version.cmake finds in checkouts made for it, against git's own
answer, and how the program shows it.

Called as: version_test.py CMAKE PROGRAM VERSION
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

CMAKE, PROGRAM, VERSION = sys.argv[1:4]
SCRIPT = pathlib.Path(__file__).resolve().parents[2] / "tools" / "trueblank" / "version.cmake"
# No settings of the user or of the machine.
ENVIRONMENT = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull,
               "GIT_AUTHOR_NAME": "nobody", "GIT_AUTHOR_EMAIL": "nobody@trueblank.invalid",
               "GIT_COMMITTER_NAME": "nobody", "GIT_COMMITTER_EMAIL": "nobody@trueblank.invalid"}


def run(*command):
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True,
                          timeout=60, check=False, env=ENVIRONMENT)
    if done.returncode != 0 or done.stderr:
        raise AssertionError(f"{command}: {done.returncode}, {done.stdout}{done.stderr}")
    return done.stdout


class Shown(unittest.TestCase):
    def test_every_verb_shows_the_same_line(self):
        line = run(PROGRAM, "--version")
        self.assertRegex(
            line, rf"^trueblank {re.escape(VERSION)}( \(commit [0-9a-f]{{12}}( and changes)?\))?\n$")
        for verb in ("check", "float", "notebook", "notebook list"):
            self.assertEqual(run(PROGRAM, *verb.split(), "--version"), line)


@unittest.skipUnless(shutil.which("git"), "no git here to make checkouts with")
class Found(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.sources = pathlib.Path(self.folder.name) / "sources of a lure"
        self.sources.mkdir()
        self.out = pathlib.Path(self.folder.name) / "commit.cpp"

    def tearDown(self):
        self.folder.cleanup()

    def git(self, *arguments):
        return run("git", "-C", self.sources, *arguments)

    def check_out(self):
        """A checkout of one commit, with one file."""
        self.git("init", "--quiet", "--initial-branch=main")
        (self.sources / "blank").write_text("cedar\n", encoding="utf-8")
        self.git("add", "blank")
        self.git("commit", "--quiet", "-m", "blank: as sawn")
        return self.git("rev-parse", "HEAD")[:12]

    def found(self, sources=None):
        run(CMAKE, "-D", f"SOURCE={sources or self.sources}", "-D", f"OUT={self.out}", "-P", SCRIPT)
        return re.search(r'return "(.*)";', self.out.read_text(encoding="utf-8")).group(1)

    def test_the_commit_is_named_by_twelve_digits(self):
        commit = self.check_out()
        self.assertEqual(self.found(), commit)
        # A file that git doesn't know is no change.
        (self.sources / "shavings").touch()
        self.assertEqual(self.found(), commit)

    def test_changes_are_told(self):
        commit = self.check_out()
        (self.sources / "blank").write_text("balsa\n", encoding="utf-8")
        self.assertEqual(self.found(), f"{commit} and changes")
        self.git("commit", "--quiet", "-a", "-m", "blank: lighter")
        self.assertEqual(self.found(), self.git("rev-parse", "HEAD")[:12])

    def test_without_git_nothing_is_named(self):
        self.assertEqual(self.found(), "")

    def test_a_checkout_around_the_sources_is_another_projects(self):
        self.check_out()
        inner = self.sources / "taken over"
        inner.mkdir()
        self.assertEqual(self.found(inner), "")

    def test_what_says_the_same_is_not_written_anew(self):
        self.check_out()
        self.found()
        os.utime(self.out, (1, 1))
        self.found()
        self.assertEqual(self.out.stat().st_mtime, 1)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
