# SPDX-License-Identifier: GPL-3.0-or-later
"""The mutation check changes one place at a time, only where a formula stands, and draws the same
mutants again."""

import collections
import contextlib
import io
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest
from unittest import mock

from house import ROOT

sys.path.insert(0, str(ROOT / "scripts"))
sys.dont_write_bytecode = True
import mutants  # noqa: E402
import mutations  # noqa: E402


def of(text):
    return list(mutations.Source("x.cpp", text + "\n").mutations())


def results(text, kind=None):
    """What the text becomes, mutation by mutation."""
    return [m.applied_to(text + "\n").rstrip("\n") for m in of(text) if kind in (None, m.kind)]


def without_what_is_no_code(text):
    """The code alone, by a way of its own: comments, strings and lines for the preprocessor are
    blanked."""
    pattern = r'"(?:\\.|[^"\\\n])*"|//[^\n]*|/\*.*?\*/|^[ \t]*#[^\n]*'
    return re.sub(pattern, lambda m: re.sub(r"[^\n]", "@", m.group()), text,
                  flags=re.DOTALL | re.MULTILINE)


class Mutations(unittest.TestCase):
    def test_signs(self):
        self.assertEqual(results("a = b + c;", "sign"), ["a = b - c;"])
        self.assertEqual(results("a -= b;", "sign"), ["a += b;"])
        self.assertEqual(results("return -x;", "sign"), ["return x;"])

    def test_indices(self):
        self.assertEqual(results("p[0] * q[1];", "index"), ["p[1] * q[1];", "p[0] * q[0];"])
        self.assertEqual(results("up.x();", "index"), ["up.y();"])
        self.assertEqual(results("m.row(2);", "index"), ["m.col(2);", "m.row(0);"])

    def test_factors(self):
        self.assertEqual(results("a = 2 * b;", "factor"),
                         ["a = 3 * b;", "a = 2 / b;", "a = 2;"])
        self.assertEqual(results("a = b.dot(c) / (d + e);", "factor"),
                         ["a = b.dot(c) * (d + e);", "a = b.dot(c);"])
        self.assertEqual(results("a = b * static_cast<double>(n)[0];", "factor")[1], "a = b;")
        self.assertEqual(results("a *= b;"), ["a /= b;"])

    def test_comparisons_and_functions(self):
        self.assertEqual(results("if (a < b) {}"), ["if (a > b) {}"])
        self.assertEqual(results("for (int i = 0; i < 3; ++i) {}"),
                         ["for (int i = 0; i <= 3; ++i) {}"])
        self.assertEqual(results("a = std::min(b, std::cos(c));"),
                         ["a = std::max(b, std::cos(c));", "a = std::min(b, std::sin(c));"])
        self.assertEqual(results("a = std::abs(b);"), ["a = (b);"])

    def test_what_is_no_formula_stays(self):
        for text in ("// a + b", "/* a * 2 */", 'say("a + b");', "#include <a - b>",
                     "static_assert(a + 1 < b);", "assert(a < b);", "const double* a = &b;",
                     "std::vector<int> a;", "a->b();", "++a;", "template <class A, class B>",
                     "const char* a = R\"x(b + c)x\";", "f(a, '+');"):
            with self.subTest(text):
                self.assertEqual(of(text), [])

    def test_allowances_for_rounding_stay_but_not_what_stands_beside_them(self):
        self.assertEqual(results("a = 64 * unit_rounding * b;"), [])
        self.assertEqual(results("a = 1e-12 * b;"), [])
        self.assertEqual(results("a = b * c + height_rounding;"),
                         ["a = b / c + height_rounding;", "a = b + height_rounding;"])

    def test_what_is_exempt_is_left_out_and_must_exist(self):
        with tempfile.TemporaryDirectory() as folder:
            for file in mutations.SINGLE_FILES:
                path = pathlib.Path(folder) / file
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text("a = b + c;\n", encoding="utf-8")
            file = mutations.SINGLE_FILES[0]
            entry = mutations.Exempt(file, "a = b + c;", "why")
            left = [m.file for m in mutations.all_mutations(folder, (entry,))]
            self.assertEqual(left, sorted(mutations.SINGLE_FILES[1:]))
            with self.assertRaisesRegex(ValueError, "no such mutation any more: .*a = b \\* c"):
                mutations.all_mutations(folder, (entry._replace(text="a = b * c;"),))


class Sources(unittest.TestCase):
    """On the sources as they are."""

    @classmethod
    def setUpClass(cls):
        cls.all = mutations.all_mutations(ROOT)
        cls.sources = {file: (ROOT / file).read_text(encoding="utf-8")
                       for file in mutations.files(ROOT)}

    def test_each_mutant_differs_in_one_place_within_code(self):
        self.assertGreater(len(self.all), 1000)
        code = {file: without_what_is_no_code(text) for file, text in self.sources.items()}
        for mutation in self.all:
            source = self.sources[mutation.file]
            mutant = mutation.applied_to(source)
            self.assertNotEqual(mutant, source)
            after = len(source) - mutation.end
            self.assertEqual(mutant[:mutation.start], source[:mutation.start])
            self.assertEqual(mutant[len(mutant) - after:], source[mutation.end:])
            self.assertLess(mutation.end - mutation.start, 200, mutation.told())
            self.assertNotIn("@", code[mutation.file][mutation.start:mutation.end],
                             mutation.told())
            self.assertEqual(source.splitlines()[mutation.line - 1].strip(), mutation.text)

    def test_no_mutant_is_made_twice(self):
        made = [(m.file, m.start, m.end, m.new) for m in self.all]
        self.assertEqual(len(set(made)), len(made))

    def test_the_same_seed_draws_the_same_and_another_seed_others(self):
        first = mutations.in_order(self.all, 1)
        self.assertEqual(mutations.in_order(self.all, 1), first)
        self.assertNotEqual(mutations.in_order(self.all, 2)[:200], first[:200])
        self.assertEqual(sorted(first), sorted(self.all))

    def test_what_comes_first_of_a_file_and_kind_is_the_same_whatever_else_there_is(self):
        file = self.all[0].file
        fewer = [m for i, m in enumerate(self.all) if m.file != file or i % 3]
        whole, part = mutations.in_order(self.all, 1), mutations.in_order(fewer, 1)
        kept = set(fewer)
        for drawn_by in {(m.file, m.kind) for m in self.all}:
            def those_of(drawn, drawn_by=drawn_by):
                return [m for m in drawn if (m.file, m.kind) == drawn_by and m in kept]
            self.assertEqual(those_of(whole), those_of(part))

    def test_two_hundred_are_spread_evenly(self):
        drawn = mutations.in_order(self.all, 1)[:200]
        kinds = collections.Counter(m.kind for m in drawn)
        self.assertEqual(set(kinds), set(mutations.KINDS))
        self.assertLessEqual(max(kinds.values()) - min(kinds.values()), 20)
        files = collections.Counter(m.file for m in drawn)
        self.assertEqual(set(files), set(self.sources))
        self.assertLessEqual(max(files.values()) - min(files.values()), 1)

    def test_every_fast_test_of_these_rooms_is_run_or_named(self):
        for room, tests in mutants.TESTS.items():
            text = (ROOT / "tests" / room / "CMakeLists.txt").read_text(encoding="utf-8")
            known = {*tests, *(name for name in mutants.NOT_RUN if name.startswith(room))}
            self.assertEqual(set(re.findall(r"^trueblank_test\((\w+)", text, re.MULTILINE)), known)


HEADER = """#pragma once
struct Point {
  double a, b;
  double x() const { return a; }
  double y() const { return b; }
};
double area(Point p);
double untested(double a);
double steps(double to);
"""
SOURCE = """#include "geometry/area.h"
double area(Point p) {
  const double unread = p.a / p.b;
  static_cast<void>(unread);
  return 2 * p.x() * p.y();
}
double untested(double a) { return a < 10 ? a : 10; }
double steps(double to) {
  double at = 0;
  while (at != to) at += 1;
  return at;
}
"""
CASES = """#include <cstdio>
#include "geometry/area.h"
int main() {
  if (area({3, 5}) == 30 && steps(4) == 4) return 0;
  std::puts("[  FAILED  ] Area.IsOfARectangle (0 ms)");
  return 1;
}
"""
NINJA = """rule cxx
  command = c++ -I{root}/lib -O1 -MD -MF $out.d -o $out -c $in
  depfile = $out.d
  deps = gcc
rule ar
  command = ar rcs $out $in
rule link
  command = : && c++ $in -o $out && :
build lib/geometry/CMakeFiles/geometry.dir/area.o: cxx {root}/lib/geometry/area.cpp
build lib/geometry/libgeometry.a: ar lib/geometry/CMakeFiles/geometry.dir/area.o
build tests/area_test.o: cxx {root}/tests/area_test.cpp
build area_test: link tests/area_test.o lib/geometry/libgeometry.a
"""


@unittest.skipUnless(shutil.which("c++") and shutil.which("ninja"), "needs c++ and ninja")
class WholeCheck(unittest.TestCase):
    """On an invented room of one source, built by hand."""

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.root = pathlib.Path(self.folder.name) / "project"
        self.build = pathlib.Path(self.folder.name) / "build"
        self.build.mkdir()
        for file, text in (("lib/geometry/area.h", HEADER), ("lib/geometry/area.cpp", SOURCE),
                           ("tests/area_test.cpp", CASES)):
            path = self.root / file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        self.write("build.ninja", NINJA.format(root=self.root))
        self.write("CMakeCache.txt", f"CMAKE_HOME_DIRECTORY:INTERNAL={self.root}\n")
        self.write("compile_commands.json", self.ninja("-t", "compdb", "cxx"))
        for place, name, value in ((mutants, "TESTS", {"geometry": ("area_test",)}),
                                   (mutants, "LEAST_LIMIT_S", 1),
                                   (mutations, "ROOMS", ("geometry",)),
                                   (mutations, "SINGLE_FILES", ("lib/geometry/area.h",)),
                                   (mutations.all_mutations, "__defaults__", ((),))):
            patch = mock.patch.object(place, name, value)
            patch.start()
            self.addCleanup(patch.stop)

    def write(self, name, text):
        (self.build / name).write_text(text, encoding="utf-8")

    def ninja(self, *words):
        return subprocess.run(["ninja", *words], cwd=self.build, check=True, text=True,
                              capture_output=True).stdout

    def check(self, *words):
        """(exit code, the lines that name a mutant, all that is told)"""
        self.ninja("area_test")
        told = io.StringIO()
        with contextlib.redirect_stdout(told):
            code = mutants.main(["--build", str(self.build), *words])
        lines = [line for line in told.getvalue().splitlines() if " of 99  " in line]
        return code, lines, told.getvalue()

    def test_killed_survived_endless_and_those_that_do_not_count(self):
        code, lines, told = self.check("99", "--jobs", "2")
        self.assertEqual(code, 1)
        # The comparison that no case looks at, and that alone.
        self.assertEqual([line for line in lines if "SURVIVED" in line],
                         [line for line in lines if "'<' -> '>'" in line])
        self.assertEqual(told.count("SURVIVED"), 1)
        endless = [line for line in lines if "'+=' -> '-='" in line]
        self.assertRegex(endless[0], "killed by no end within [1-9] s of area_test")
        self.assertTrue(any("killed by Area.IsOfARectangle of area_test" in line
                            for line in lines))
        # `unread` compiles to nothing; a point has no z.
        self.assertFalse(any("unread" in line or "'y' -> 'z'" in line for line in lines))
        self.assertIn("3 more did not compile or changed nothing", told)
        self.assertEqual((self.root / "lib/geometry/area.cpp").read_text(encoding="utf-8"), SOURCE)

    def test_two_workers_count_the_mutants_that_one_does(self):
        told = [sorted(re.findall(r" of 5  (.*)", self.check("5", "--jobs", jobs)[2]))
                for jobs in ("1", "2")]
        self.assertEqual(len(told[0]), 5)
        self.assertEqual(told[0], told[1])

    def test_a_changed_header_reaches_what_is_made_from_it(self):
        path = self.root / "lib/geometry/area.h"
        path.write_text(HEADER.replace("return a;", "return 1 * a;"), encoding="utf-8")
        code, lines, _ = self.check("99", "--only", "lib/geometry/area.h")
        self.assertEqual(len(lines), 3)
        self.assertEqual([line for line in lines if "killed by Area" not in line], [])
        self.assertEqual(code, 0)

    def test_tests_that_fail_without_a_mutation_are_told(self):
        (self.root / "tests/area_test.cpp").write_text(CASES.replace("30", "31"), encoding="utf-8")
        with self.assertRaisesRegex(mutants.Trouble,
                                    "area_test fails without any mutation: Area.IsOfARectangle"):
            self.check("3")


class Copies(unittest.TestCase):
    def test_a_copy_follows_its_source_and_leaves_the_rest_alone(self):
        with tempfile.TemporaryDirectory() as folder:
            source, target = pathlib.Path(folder) / "a", pathlib.Path(folder) / "b"
            (source / "lib").mkdir(parents=True)
            for name, text in (("kept.h", "1"), ("changed.h", "2"), ("gone.h", "3")):
                (source / "lib" / name).write_text(text, encoding="utf-8")
            (source / "CMakeLists.txt").write_text("4", encoding="utf-8")
            mutants.copy_sources(source, target)
            before = (target / "lib/kept.h").stat().st_mtime_ns
            (source / "lib/kept.h").touch()
            (source / "lib/changed.h").write_text("5", encoding="utf-8")
            (source / "lib/gone.h").unlink()
            mutants.copy_sources(source, target)
            made = {p.relative_to(target).as_posix(): p.read_text(encoding="utf-8")
                    for p in target.rglob("*") if p.is_file()}
            self.assertEqual(made, {"CMakeLists.txt": "4", "lib/kept.h": "1",
                                    "lib/changed.h": "5"})
            self.assertEqual((target / "lib/kept.h").stat().st_mtime_ns, before)


if __name__ == "__main__":
    unittest.main()
