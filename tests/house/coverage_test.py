# SPDX-License-Identifier: GPL-3.0-or-later
"""scripts/coverage.py, on a small tree and a report made up here."""

import pathlib
import subprocess
import sys
import tempfile
import unittest

from house import ROOT

SCRIPT = ROOT / "scripts" / "coverage.py"


class Coverage(unittest.TestCase):
    def setUp(self):
        self.scratch = tempfile.TemporaryDirectory()
        self.root = pathlib.Path(self.scratch.name).resolve()
        for name, text in {
                "lib/water/cut.cpp": "int f();\n" * 12,
                "lib/rig/heap.cpp": "int g();\n" * 4,
                # What no program links: three lines of code.
                "lib/rig/forgotten.cpp":
                    "// SPDX\n#include <cmath>\n\nint h() {\n  return 1;\n}\nint i;\n"}.items():
            path = self.root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")

    def tearDown(self):
        self.scratch.cleanup()

    def lcov(self, *files):
        rows = []
        for name, counts in files:
            rows.append(f"SF:{self.root / name}")
            rows += [f"DA:{line},{count}" for line, count in counts.items()]
            rows.append("end_of_record")
        path = self.root / "report.lcov"
        path.write_text("\n".join(rows) + "\n", encoding="utf-8")
        return path

    def run_script(self, lcov, *more):
        return subprocess.run([sys.executable, "-B", str(SCRIPT), str(lcov), "--root",
                               str(self.root), *more], capture_output=True, text=True, check=False)

    def report(self):
        water = {line: 0 if line in (3, 4, 5, 9) else 2 for line in range(1, 11)}
        return self.lcov(
            ("lib/water/cut.cpp", water),
            # The same file in another program, where a line more is run, by a path that a compiler
            # cache made.
            ("build/it/../../lib/water/cut.cpp", {9: 7, 3: 0}),
            ("lib/rig/heap.cpp", {1: 1, 2: 1, 3: 1, 4: 1}),
            ("tests/water/cut_test.cpp", {1: 0, 2: 0}))

    def test_rooms_are_summed_and_a_line_counts_where_any_program_ran_it(self):
        result = self.run_script(self.report(), "--least", "50")
        self.assertEqual((result.returncode, result.stderr), (0, ""))
        rows = [line.split() for line in result.stdout.splitlines()]
        self.assertIn(["water", "7", "10", "70.00", "%"], rows)
        self.assertIn(["rig", "4", "7", "57.14", "%"], rows)
        self.assertIn(["lib", "11", "17", "64.71", "%"], rows)
        self.assertIn("No test program holds lib/rig/forgotten.cpp.", result.stdout)

    def test_too_few_is_told_by_the_exit_code(self):
        report = self.report()
        self.assertEqual(self.run_script(report, "--least", "64.7").returncode, 0)
        result = self.run_script(report, "--least", "64.8")
        self.assertEqual(result.returncode, 1)
        self.assertIn("Too few: 64.71 % of the lines of lib/ are run, 64.8 % are wanted.",
                      result.stdout)
        self.assertEqual(self.run_script(report).returncode, 1)

    def test_what_is_not_run_is_named_by_file_and_line(self):
        out = self.root / "uncovered.txt"
        self.run_script(self.report(), "--uncovered", str(out))
        self.assertEqual(out.read_text(encoding="utf-8").splitlines()[1:], [
            "lib/rig/forgotten.cpp: 3 of 3: 4-5, 7",
            "lib/water/cut.cpp: 3 of 10: 3-5"])

    def test_a_report_that_tells_nothing_is_refused(self):
        for path in (self.lcov(("tests/water/cut_test.cpp", {1: 1})), self.root / "missing"):
            result = self.run_script(path)
            self.assertEqual((result.returncode, result.stdout), (2, ""))
            self.assertEqual(result.stderr.count("\n"), 1)


if __name__ == "__main__":
    unittest.main()
