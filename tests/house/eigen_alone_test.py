# SPDX-License-Identifier: GPL-3.0-or-later
"""What goes into a page takes Eigen and the standard library, nothing else, and never throws.

Every source of the rooms below is followed through all that it includes, with a folder that holds
Eigen alone; whatever else it reaches must be a header of the standard library. Every public header,
and with --compile every source too (a minute or two of processor), is compiled so.

    eigen_alone_test.py COMPILER FOLDER-WITH-Eigen [--compile]
"""

import functools
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest

from house import ROOT, short

ROOMS = ("geometry", "rig", "water", "live")
# What these rooms might come to lean on without anyone noticing: it is installed where they are built.
ELSEWHERE = ("CGAL/Surface_mesh.h", "boost/version.hpp", "tbb/parallel_for.h", "nlohmann/json.hpp",
             "toml++/toml.h", "CLI/CLI.hpp", "zlib.h", "nlopt.hpp", "sqlite3.h")

COMPILER = EIGEN = ""
COMPILE = False


def sources(room):
    return sorted((ROOT / "lib" / room).glob("*.cpp"))


def public_headers(room):
    """Those that the room's CMakeLists.txt installs."""
    listed = (ROOT / "lib" / room / "CMakeLists.txt").read_text(encoding="utf-8")
    return re.findall(r"\b[a-z_]+\.h\b", re.search(r"HEADERS(.*?)(PUBLIC|\))", listed, re.S).group(1))


class EigenAlone(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory()
        cls.folder = pathlib.Path(cls.scratch.name)
        only = cls.folder / "only"
        only.mkdir()
        (only / "Eigen").symlink_to(pathlib.Path(EIGEN) / "Eigen")
        cls.flags = [COMPILER, "-std=c++20", "-fno-exceptions", f"-I{ROOT / 'lib'}", "-isystem",
                     str(only)]
        cls.eigen = (pathlib.Path(EIGEN) / "Eigen").resolve()
        every = cls.folder / "every.cpp"
        every.write_text("#include <bits/stdc++.h>\n#include <emmintrin.h>\n#include <cassert>\n",
                         encoding="utf-8")
        cls.standard = cls.reached(every)

    @classmethod
    def tearDownClass(cls):
        cls.scratch.cleanup()

    @classmethod
    def run_compiler(cls, *arguments):
        return subprocess.run([*cls.flags, *map(str, arguments)], capture_output=True, text=True,
                              check=False)

    @classmethod
    @functools.cache
    def reached(cls, source):
        """Every file that a source takes in, itself too."""
        result = cls.run_compiler("-M", source)
        if result.returncode != 0:
            raise AssertionError(result.stderr)
        names = result.stdout.replace("\\\n", " ").split(": ", 1)[1].split()
        return {pathlib.Path(name).resolve() for name in names}

    def strangers(self, source):
        """What a source reaches that is neither ours nor Eigen's nor the standard library's."""
        ours = ROOT / "lib"
        return sorted(str(path) for path in self.reached(source) - self.standard - {source}
                      if self.eigen not in path.parents and ours not in path.parents
                      # The compiler's own: Eigen takes its intrinsics.
                      and not re.search(r"/(gcc|clang)/.*/include/", str(path)))

    def test_every_source_reaches_eigen_and_the_standard_library_alone(self):
        wrong, count = [], 0
        for room in ROOMS:
            for source in sources(room):
                count += 1
                wrong += [f"{short(source)} reaches {path}" for path in self.strangers(source)]
        self.assertGreater(count, 30)
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_no_source_reaches_a_room_above(self):
        """Of our own headers it takes those of these rooms, whatever the include root offers."""
        wrong = [f"{short(source)} reaches {short(path)}"
                 for room in ROOMS for source in sources(room)
                 for path in self.reached(source)
                 if ROOT / "lib" in path.parents
                 and path.relative_to(ROOT / "lib").parts[0] not in ROOMS]
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_every_public_header_compiles_without_exceptions(self):
        names = [f"{room}/{name}" for room in ROOMS for name in public_headers(room)]
        self.assertGreater(len(names), 40)
        together = self.folder / "together.cpp"
        together.write_text("".join(f'#include "{name}"\n' for name in names), encoding="utf-8")
        result = self.run_compiler("-fsyntax-only", "-Wall", "-Wextra", "-Werror", together)
        self.assertEqual((result.returncode, result.stderr), (0, ""))
        self.assertEqual(self.strangers(together), [])

    def test_every_source_compiles_without_exceptions(self):
        if not COMPILE:
            self.skipTest("only with --compile, which ctest does under the label slow")
        wrong = []
        for room in ROOMS:
            for source in sources(room):
                result = self.run_compiler("-fsyntax-only", source)
                if result.returncode != 0:
                    wrong.append(result.stderr)
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_the_check_itself_tells_a_stranger_and_a_throw(self):
        tried = 0
        for name in ELSEWHERE:
            source = self.folder / f"stranger{tried}.cpp"
            source.write_text(f'#include <{name}>\n', encoding="utf-8")
            if self.run_compiler("-M", source).returncode == 0:
                self.assertNotEqual(self.strangers(source), [], name)
            tried += 1
        self.assertGreater(tried, 0, "none of the libraries is here to be told apart")
        thrower = self.folder / "thrower.cpp"
        thrower.write_text("void f() { throw 1; }\n", encoding="utf-8")
        self.assertNotEqual(self.run_compiler("-fsyntax-only", thrower).returncode, 0)


if __name__ == "__main__":
    COMPILE = "--compile" in sys.argv
    COMPILER, EIGEN = [argument for argument in sys.argv[1:] if argument != "--compile"]
    unittest.main(argv=sys.argv[:1])
