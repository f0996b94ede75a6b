# SPDX-License-Identifier: GPL-3.0-or-later
"""The installed package serves a stranger's project: it is found, compiled against, linked, run.

Called as: installed_test.py CMAKE BUILD WORK VERSION ARGUMENT... ; installs from the folder BUILD
into the folder WORK, and hands the arguments to the projects' cmake.
"""

import pathlib
import re
import shutil
import subprocess
import sys
import unittest

CMAKE, BUILD, WORK, VERSION = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3]), sys.argv[4]
ARGUMENTS = sys.argv[5:]
PROJECTS = pathlib.Path(__file__).resolve().parent

# All that the installed libraries link, but Eigen.
HEAVY = ["Boost", "CGAL", "NLopt", "SQLite3", "TBB", "ZLIB", "nlohmann_json", "tomlplusplus"]
WITHOUT_HEAVY = [f"-DCMAKE_DISABLE_FIND_PACKAGE_{name}=ON" for name in HEAVY]


def run(*command):
    return subprocess.run([str(word) for word in command], text=True, stdout=subprocess.PIPE,
                          stderr=subprocess.STDOUT, check=False)


class Installed(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        shutil.rmtree(WORK, ignore_errors=True)
        WORK.mkdir(parents=True)
        done = run(CMAKE, "--install", BUILD, "--prefix", WORK / "installed")
        if done.returncode != 0:
            raise RuntimeError(done.stdout)
        # Elsewhere than it was installed, as a package unpacked by hand may be.
        cls.prefix = WORK / "moved"
        (WORK / "installed").rename(cls.prefix)

    def configure(self, project, *arguments):
        return run(CMAKE, "-S", project, "-B", WORK / pathlib.Path(project).name, *ARGUMENTS,
                   f"-DCMAKE_PREFIX_PATH={self.prefix}", *arguments)

    def built(self, project, *arguments):
        """What the project's program prints."""
        done = self.configure(PROJECTS / project, *arguments)
        self.assertEqual(done.returncode, 0, done.stdout)
        done = run(CMAKE, "--build", WORK / project)
        self.assertEqual(done.returncode, 0, done.stdout)
        done = run(WORK / project / project)
        self.assertEqual(done.returncode, 0, done.stdout)
        return done.stdout

    def refused(self, call):
        """What a project that only calls find_package so is told."""
        project = WORK / "refused"
        shutil.rmtree(project, ignore_errors=True)
        project.mkdir()
        (project / "CMakeLists.txt").write_text(
            f"cmake_minimum_required(VERSION 3.25)\nproject(refused CXX)\n{call}\n",
            encoding="utf-8")
        done = run(CMAKE, "-S", project, "-B", project / "build", *ARGUMENTS,
                   f"-DCMAKE_PREFIX_PATH={self.prefix}", *WITHOUT_HEAVY)
        self.assertNotEqual(done.returncode, 0, done.stdout)
        return " ".join(done.stdout.split())

    def test_a_box_floats_with_eigen_alone(self):
        # The program holds draught and GM against Archimedes and Bouguer.
        self.assertIn("draught", self.built("consumer", *WITHOUT_HEAVY))

    def test_all_rooms_link_with_what_they_need(self):
        self.assertEqual(self.built("everything"), VERSION + "\n")

    def test_a_room_that_needs_more_says_what(self):
        told = self.refused("find_package(trueblank 0.1 REQUIRED COMPONENTS sheet)")
        self.assertRegex(told, "|".join(HEAVY))

    def test_an_unknown_room_is_refused(self):
        told = self.refused("find_package(trueblank 0.1 REQUIRED COMPONENTS sail)")
        self.assertIn("trueblank has no component sail; it has geometry rig water", told)

    def test_another_minor_version_is_refused(self):
        major, minor, _ = VERSION.split(".")
        told = self.refused(f"find_package(trueblank {major}.{int(minor) + 1} REQUIRED)")
        self.assertIn(f"version: {VERSION}", told)

    def test_installed_headers_include_only_what_is_installed(self):
        include = self.prefix / "include" / "trueblank"
        headers = sorted(include.rglob("*.h"))
        self.assertGreater(len(headers), 50)
        wrong = [f"{path.relative_to(include)} includes {name}" for path in headers
                 for name in re.findall(r'^#include "([^"]+)"', path.read_text(encoding="utf-8"),
                                        re.MULTILINE)
                 if not (include / name).is_file()]
        self.assertEqual(wrong, [])

    def test_the_program_runs_from_there(self):
        done = run(self.prefix / "bin" / "trueblank", "--version")
        self.assertEqual(done.returncode, 0, done.stdout)
        self.assertTrue(done.stdout.startswith(f"trueblank {VERSION}"), done.stdout)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
