# SPDX-License-Identifier: GPL-3.0-or-later
"""scripts/package refuses what it can't do in one line, before it builds anything."""

import os
import pathlib
import subprocess
import unittest

SCRIPT = pathlib.Path(__file__).resolve().parents[2] / "scripts" / "package"


def run(*arguments, **options):
    return subprocess.run([str(SCRIPT), *arguments], capture_output=True, text=True, timeout=60,
                          check=False, **options)


class Script(unittest.TestCase):
    def refused(self, *arguments, **options):
        done = run(*arguments, **options)
        self.assertEqual((done.returncode, done.stdout), (2, ""), done.stderr)
        return done.stderr

    def test_an_unknown_option_is_refused(self):
        self.assertEqual(self.refused("--no-such-option"),
                         "package: unknown option '--no-such-option'; see scripts/package --help\n")
        self.assertEqual(self.refused("--check", "twice"), "package: --check takes no value\n")

    def test_help_names_all_it_does(self):
        done = run("--help")
        self.assertEqual((done.returncode, done.stderr), (0, ""))
        self.assertIn("scripts/package --check", done.stdout)

    def test_a_check_without_root_is_refused(self):
        nobody = {"user": 65534, "group": 65534} if os.geteuid() == 0 else {}
        self.assertEqual(
            self.refused("--check", **nobody),
            "package: --check needs root, to make a bare system and to change into it\n")


if __name__ == "__main__":
    unittest.main()
