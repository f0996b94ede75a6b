# SPDX-License-Identifier: GPL-3.0-or-later
"""The scripts parse, refuse what they don't know, and install only what is missing."""

import os
import pathlib
import subprocess
import tempfile
import unittest

from house import ROOT, visible

SCRIPTS = ROOT / "scripts"


def first_line(path):
    return path.read_text(encoding="utf-8").splitlines()[0]


def run(command, **options):
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, timeout=60,
                          check=False, **options)


class Scripts(unittest.TestCase):
    def test_every_script_parses(self):
        count = 0
        for path in visible(SCRIPTS) + [ROOT / ".ci" / "run"]:
            with self.subTest(path.name):
                if "bash" in first_line(path) or path.suffix == ".sh":
                    result = run(["bash", "-n", str(path)])
                    self.assertEqual((result.returncode, result.stderr), (0, ""))
                else:
                    compile(path.read_text(encoding="utf-8"), str(path), "exec")
                count += 1
        self.assertGreater(count, 5)

    def test_what_begins_with_a_hash_bang_can_be_run(self):
        for path in visible(SCRIPTS) + [ROOT / ".ci" / "run"]:
            with self.subTest(path.name):
                self.assertEqual(first_line(path).startswith("#!"), os.access(path, os.X_OK))

    def test_an_unknown_option_is_refused_in_one_line(self):
        for name in ("test", "demo", "bench"):
            with self.subTest(name):
                result = run([str(SCRIPTS / name), "--no-such-option"])
                self.assertEqual(result.returncode, 2)
                self.assertEqual(result.stdout, "")
                self.assertEqual(
                    result.stderr,
                    f"{name}: unknown option '--no-such-option'; see scripts/{name} --help\n")

    def test_continuous_integration_runs_what_a_person_runs(self):
        self.assertIn("exec scripts/test\n", (ROOT / ".ci" / "run").read_text(encoding="utf-8"))


class SetUp(unittest.TestCase):
    """set_up, with stand-ins for the commands that would change the machine."""

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.bin = pathlib.Path(self.folder.name) / "bin"
        self.bin.mkdir()
        self.log = pathlib.Path(self.folder.name) / "log"
        self.log.write_text("", encoding="utf-8")
        self.stand_in("dpkg-query",
                      'case "${@: -1}" in here*) echo -n installed;; *) exit 1;; esac')
        self.stand_in("apt-get", f'echo "apt-get $*" >> {self.log}')
        self.stand_in("sudo", f'echo "sudo $*" >> {self.log}')
        self.who(0)
        for name in ("bash", "env", "basename", "mkdir", "mv", "touch"):
            (self.bin / name).symlink_to(f"/usr/bin/{name}")

    def tearDown(self):
        self.folder.cleanup()

    def stand_in(self, name, text):
        path = self.bin / name
        path.write_text(f"#!/usr/bin/bash\n{text}\n", encoding="utf-8")
        path.chmod(0o755)

    def who(self, number):
        self.stand_in("id", f"echo {number}")

    def set_up(self, *packages):
        return run(["/usr/bin/bash", "-c",
                    'set -euo pipefail; source scripts/setup.sh; set_up "$@"', "set-up", *packages],
                   env={"PATH": str(self.bin), "HOME": self.folder.name})

    def calls(self):
        return self.log.read_text(encoding="utf-8").splitlines()

    def test_nothing_is_done_where_nothing_is_missing(self):
        result = self.set_up("here-a", "here-b")
        self.assertEqual((result.returncode, result.stdout, result.stderr), (0, "", ""))
        self.assertEqual(self.calls(), [])

    def test_only_what_is_missing_is_installed_and_it_is_said_first(self):
        result = self.set_up("here-a", "absent-b", "absent-c")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("Installing with apt-get: absent-b absent-c", result.stdout)
        self.assertEqual(self.calls(), [
            "apt-get -q update",
            "apt-get -q -y -o Dpkg::Use-Pty=0 install --no-install-recommends absent-b absent-c"])

    def test_another_user_than_root_goes_through_sudo(self):
        self.who(1000)
        result = self.set_up("absent-b")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertEqual([call.split()[:2] for call in self.calls()],
                         [["sudo", "apt-get"], ["sudo", "env"]])

    def test_neither_root_nor_sudo_is_said_in_a_line(self):
        self.who(1000)
        (self.bin / "sudo").unlink()
        result = self.set_up("here-a", "absent-b")
        self.assertEqual(result.returncode, 2)
        self.assertEqual(
            result.stderr,
            "set-up: missing packages, and neither root nor sudo to install them: absent-b\n")

    def test_without_apt_the_packages_are_named_and_nothing_is_done(self):
        (self.bin / "apt-get").unlink()
        result = self.set_up("here-a", "absent-b")
        self.assertEqual(result.returncode, 0)
        self.assertEqual(result.stdout, "No apt-get here, so nothing is installed. "
                                        "On Debian 12 the packages are: here-a absent-b\n")


    def unpack(self, package):
        return subprocess.run(
            ["/usr/bin/bash", "-c", f'set -euo pipefail; source "{SCRIPTS}/setup.sh"; unpack "$1"',
             "set-up", package],
            env={"PATH": str(self.bin), "HOME": self.folder.name}, cwd=self.folder.name,
            capture_output=True, text=True, timeout=60, check=False)

    def test_headers_are_unpacked_beside_the_build_and_only_once(self):
        self.stand_in("apt-get", f'echo "apt-get $*" >> {self.log}; touch "$3"_1_all.deb')
        self.stand_in("apt-cache", "exit 0")
        self.stand_in("dpkg-deb", f'echo "dpkg-deb $*" >> {self.log}; mkdir "$3"')
        for _ in range(2):
            result = self.unpack("absent-b")
            self.assertEqual(result.returncode, 0, result.stderr)
        self.assertEqual(self.calls(), ["apt-get -q download absent-b",
                                        "dpkg-deb -x absent-b_1_all.deb unpacked"])
        self.assertTrue((pathlib.Path(self.folder.name) / "build/packages/absent-b").is_dir())

    def test_headers_that_are_installed_are_not_unpacked(self):
        self.assertEqual(self.unpack("here-a").returncode, 0)
        self.assertEqual(self.calls(), [])


if __name__ == "__main__":
    unittest.main()
