# SPDX-License-Identifier: GPL-3.0-or-later
"""The benchmarks' tables say what was measured: from invented figures, whose ratios and exponents
are known since a formula made them."""

import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest
from unittest import mock

from house import ROOT

sys.path.insert(0, str(ROOT / "scripts"))
sys.dont_write_bytecode = True
import bench_table  # noqa: E402
import bench_works  # noqa: E402
import measure  # noqa: E402

ABOUT = {"commit": "0123456", "date": "2001-02-03",
         "machine": {"architecture": "x86_64", "cores": 2, "memory_gib": 8,
                     "compiler": "g++ 12.2.0, -O3"},
         "repetitions": 3}


def aggregates(name, facets, seconds, spread=0.01, **counters):
    """The rows that Google Benchmark writes of three repetitions."""
    common = {"name": f"{name}/{facets}_median", "run_name": f"{name}/{facets}",
              "run_type": "aggregate", "repetitions": 3}
    median = {**common, "aggregate_name": "median", "aggregate_unit": "time",
              "real_time": seconds * 1e3, "cpu_time": seconds * 1e3, "time_unit": "ms", **counters}
    mean = {**median, "aggregate_name": "mean", "real_time": seconds * 7e3}
    cv = {**common, "aggregate_name": "cv", "aggregate_unit": "percentage", "real_time": spread,
          "cpu_time": spread, "time_unit": "ms", **{counter: 0.5 for counter in counters}}
    return [mean, median, cv]


def failure(name, facets, message):
    return [{"name": f"{name}/{facets}", "run_name": f"{name}/{facets}", "run_type": "iteration",
             "error_occurred": True, "error_message": message}]


def library(*rows):
    return json.dumps({"context": {"host_name": "not-to-be-shown"}, "benchmarks": sum(rows, [])})


def result_of(only, quick=False, **programs):
    """From what each program is said to have written."""
    with tempfile.TemporaryDirectory() as folder:
        for program, text in programs.items():
            (pathlib.Path(folder) / f"{program}.json").write_text(text, encoding="utf-8")
        choice = bench_table.chosen(quick, only)
        figures = bench_table.read_figures(pathlib.Path(folder), choice)
        return bench_table.result_of(choice, *figures, ABOUT)


def records(result, work):
    return {one["facets"]: one for one in result["records"] if one["work"] == work}


# A cut by the tree in √n µs, by the loop in 101 n ns: ratio 0.101 √n, exponents 0.5 and 1, and from
# 20 k to 4 M the tree's grows √200 times.
CUTS = [row for facets in bench_works.SIZES
        for row in (aggregates("cut_tree", facets, 1e-6 * math.sqrt(facets), 0.02, peak_mib=0.1),
                    aggregates("cut_plain_loop", facets, 1.01e-7 * facets, 0.05,
                               peak_mib=12.0))]


class Figures(unittest.TestCase):
    def test_a_ratio_is_the_others_time_over_ours(self):
        cuts = records(result_of("^plane-cut$", trueblank_bench=library(*CUTS)), "plane-cut")
        self.assertEqual(list(cuts), list(bench_works.SIZES))
        for facets, one in cuts.items():
            self.assertAlmostEqual(one["ratio"], 0.101 * math.sqrt(facets))
            self.assertAlmostEqual(one["ours_s"], 1e-6 * math.sqrt(facets))
            self.assertAlmostEqual(one["other_s"], 1.01e-7 * facets)
            self.assertEqual((one["spread"], one["ours_mib"], one["other_mib"]), (0.05, 0.1, 12.0))

    def test_a_goal_is_reached_from_its_own_figure_on(self):
        # 14.3 of 6, 31.9 of 13, 101 of 30 then 80, 202 of 60 then 200.
        cuts = records(result_of("^plane-cut$", trueblank_bench=library(*CUTS)), "plane-cut")
        self.assertEqual([cuts[facets]["verdict"] for facets in bench_works.SIZES],
                         ["reached", "reached", "beyond", "beyond"])
        goal = bench_works.Goal(6, 12)
        self.assertEqual([bench_table.judged(value, bench_works.TIMES, goal)
                          for value in (5.99, 6, 11.99, 12)],
                         ["not reached", "reached", "reached", "beyond"])
        self.assertEqual([bench_table.judged(value, bench_works.COST, bench_works.Goal(6, 3))
                          for value in (6.01, 6, 3.01, 3)],
                         ["not reached", "reached", "reached", "beyond"])
        self.assertIsNone(bench_table.judged(1, bench_works.COST, None))

    def test_a_cost_is_our_time_over_the_others(self):
        rows = (aggregates("whole_moments", 1_000_000, 0.006),
                aggregates("read_arrays", 1_000_000, 0.002))
        one = records(result_of("^moments$", trueblank_bench=library(*rows)), "moments")[1_000_000]
        self.assertAlmostEqual(one["ratio"], 3)
        self.assertEqual((one["goal"], one["verdict"]), (1.5, "not reached"))

    def test_unlike_numbers_of_items_are_compared_by_the_item(self):
        # 10 000 builds in 5 s against 20 in 1 s: 50 ms over half a millisecond.
        rows = (aggregates("draws_tree", 100_000, 5, items_per_second=2000.0),
                aggregates("draws_loop", 100_000, 1, items_per_second=20.0))
        one = records(result_of("^draws$", trueblank_bench=library(*rows)), "draws")[100_000]
        self.assertAlmostEqual(one["ratio"], 100)
        self.assertEqual((one["value"], one["goal"], one["verdict"]), (5, 10, "reached"))

    def test_exponents_are_the_slope_of_the_logarithms(self):
        found = result_of("^plane-cut$", trueblank_bench=library(*CUTS))
        exponents = {row["side"]: row["exponent"] for row in found["times"]}
        self.assertAlmostEqual(exponents["cut_tree"], 0.5)
        self.assertAlmostEqual(exponents["cut_plain_loop"], 1)
        # Not on a line: the normal equations by hand, x = 0, 1, 2 and y = 0, 0, 3: slope 3/2.
        self.assertAlmostEqual(
            bench_table.exponent({1: 1, math.e: 1, math.e ** 2: math.e ** 3}), 1.5)

    def test_growth_is_held_against_its_goal(self):
        found = result_of("^plane-cut$", trueblank_bench=library(*CUTS))
        growth = records(found, "plane-cut-growth")[4_000_000]
        self.assertAlmostEqual(growth["value"], math.sqrt(200))
        self.assertEqual((growth["goal"], growth["verdict"]), (40, "beyond"))

    def test_counters_are_figures(self):
        rows = (aggregates("plane_of_marred_body", 40_000, 1, off_deg=0.02, off_mm=0.02),
                aggregates("plane_of_clean_body", 40_000, 1, off_deg=5e-5, off_mm=1e-5))
        found = result_of("mirror-plane-(clean|marred)", trueblank_bench=library(*rows))
        self.assertEqual([(one["work"], one["value"], one["verdict"]) for one in found["records"]],
                         [("mirror-plane-clean", 5e-5, "beyond"),
                          ("mirror-plane-marred", 0.02, "reached"),
                          ("mirror-plane-marred-offset", 0.02, "not reached")])
        self.assertEqual(found["times"], [])  # they took no time that means anything

    def test_whole_commands_have_time_and_memory(self):
        text = json.dumps([
            {"name": "read_file", "facets": 1_000_000, "seconds": 0.01, "spread": 0.1},
            {"name": "mirror", "facets": 1_000_000, "seconds": 2.5, "spread": 0.02,
             "peak_mib": 1025.0}])
        found = result_of("^mirror(-memory)?$", program=text)
        time = records(found, "mirror")[1_000_000]
        self.assertEqual((time["value"], time["verdict"]), (2.5, "reached"))
        self.assertAlmostEqual(time["ratio"], 250 ** -1)
        memory = records(found, "mirror-memory")[1_000_000]
        self.assertEqual((memory["value"], memory["verdict"]), (1025, "not reached"))


class Missing(unittest.TestCase):
    def test_a_library_that_was_left_out_is_said_and_is_no_fault(self):
        why = "left out: no Open3D was found at build time (Debian: libopen3d-dev)"
        found = result_of("open3d", trueblank_bench=library(
            aggregates("plane_ours", 100_000, 0.2), failure("plane_open3d", 100_000, why)))
        one = records(found, "mirror-plane-open3d")[100_000]
        self.assertEqual((one["verdict"], one["why"], one["ours_s"]), ("not measured", why, 0.2))
        self.assertEqual((found["left_out"], found["wrong"]), ([why], []))

    def test_memory_that_the_system_does_not_tell_is_said(self):
        text = json.dumps([{"name": "mirror", "facets": 1_000_000, "seconds": 2.5, "spread": 0.02}])
        one = records(result_of("^mirror-memory$", program=text), "mirror-memory")[1_000_000]
        self.assertEqual((one["verdict"], one["why"]), ("not measured", "not told by this system"))

    def test_a_wrong_answer_is_a_fault(self):
        found = result_of("embree", trueblank_bench=library(
            failure("nearest_embree", 20_000, "our tree and Embree's differ")))
        self.assertEqual(found["wrong"], ["our tree and Embree's differ"])
        self.assertEqual(found["left_out"], [])

    def test_a_program_that_stopped_early_is_a_fault(self):
        for text in ({}, {"trueblank_readers_bench": '{"benchmarks": [{"na'}):
            found = result_of("^read-obj$", **text)
            why = "trueblank_readers_bench was not run to its end"
            self.assertEqual(found["wrong"], [why])
            self.assertEqual(records(found, "read-obj")[1_000_000]["why"], why)

    def test_what_a_quick_run_leaves_out_is_said(self):
        quick = [row for row in CUTS if row[0]["run_name"].endswith(("/20000", "/100000"))]
        found = result_of("^plane-cut$", quick=True, trueblank_bench=library(*quick))
        cuts = records(found, "plane-cut")
        self.assertEqual([one["verdict"] for one in cuts.values()],
                         ["reached", "reached", "not measured", "not measured"])
        self.assertEqual({one["why"] for one in found["records"] if one["why"]},
                         {"left out by --quick"})


class Tables(unittest.TestCase):
    maxDiff = None

    def test_text(self):
        found = result_of("^(plane-cut|mirror-plane-open3d)$", trueblank_bench=library(
            *CUTS, aggregates("plane_ours", 100_000, 0.2),
            failure("plane_open3d", 100_000, "left out: no Open3D")))
        self.assertEqual(bench_table.text_of(found), """\
At 0123456, 2001-02-03, x86_64, 2 cores, 8 GiB, g++ 12.2.0, -O3. Medians of 3 runs, both sides in \
turn on the same input; one thread unless said.

A part of it: --only '^(plane-cut|mirror-plane-open3d)$'.

Left out: no Open3D.

| work | facets | ours | against | takes | figure | wanted | spread | result |
| --- | --- | --- | --- | --- | --- | --- | --- | --- |
| plane cut with all moments | 20 k | 141 µs | a plane cut by a plain loop over the facets | 2 ms \
| 14 × | ≥ 6 × | 5% | reached |
| plane cut with all moments | 100 k | 316 µs | a plane cut by a plain loop over the facets \
| 10 ms | 32 × | ≥ 13 × | 5% | reached |
| plane cut with all moments | 1 M | 1 ms | a plane cut by a plain loop over the facets | 101 ms \
| 101 × | ≥ 30 ×, then 80 | 5% | reached, and beyond |
| plane cut with all moments | 4 M | 2 ms | a plane cut by a plain loop over the facets | 404 ms \
| 202 × | ≥ 60 ×, then 200 | 5% | reached, and beyond |
| mirror plane from 5° off | 100 k | 200 ms | by Open3D's point-to-plane registration |  |  \
| ≥ 5 ×, then 15 | 1% | not measured: left out: no Open3D |
| plane cut, 4 M facets over 20 k | 4 M | 2 ms | its own time at 20 k facets | 141 µs | 14 × \
| ≤ 40 ×, then 20 | 2% | reached, and beyond |

| ratio | against | 20 k facets | 100 k facets | 1 M facets | 4 M facets |
| --- | --- | --- | --- | --- | --- |
| plane cut with all moments | a plane cut by a plain loop over the facets | 14 | 32 | 101 | 202 |

| takes | 20 k facets | 100 k facets | 1 M facets | 4 M facets | grows as facets to the |
| --- | --- | --- | --- | --- | --- |
| a plane cut by the tree | 141 µs | 316 µs | 1 ms | 2 ms | 0.50 |
| a plane cut by a plain loop over the facets | 2 ms, 12 MiB | 10 ms, 12 MiB | 101 ms, 12 MiB \
| 404 ms, 12 MiB | 1.00 |
| the mirror plane from 5° off |  | 200 ms |  |  |  |

5 of 6 goals reached, 3 of them beyond; 0 not reached, 1 not measured.
""")

    def test_padded_for_a_terminal_the_same_stands_in_it(self):
        found = result_of("^plane-cut$", trueblank_bench=library(*CUTS))
        squeezed = re.sub("-{3,}", "---", re.sub(" +", " ", bench_table.text_of(found, True)))
        self.assertEqual(squeezed, re.sub(" +", " ", bench_table.text_of(found)))

    def test_json_names_no_host(self):
        found = result_of("^plane-cut$", trueblank_bench=library(*CUTS))
        self.assertNotIn("not-to-be-shown", json.dumps(found))
        self.assertEqual(found["schema"], "trueblank.bench/1")

    def test_figures_are_short(self):
        self.assertEqual([bench_table.time_text(s) for s in (2.5, 0.0125, 1.9e-5, 8e-8, 312.4)],
                         ["2.5 s", "12 ms", "19 µs", "80 ns", "312 s"])


class Works(unittest.TestCase):
    def test_every_benchmark_of_the_table_is_there_and_every_one_there_is_in_the_table(self):
        for program, files in (("trueblank_bench", ("accuracy", "align", "draws", "mirror",
                                                    "moments", "nearest", "poses", "sweep")),
                               ("trueblank_readers_bench", ("readers",))):
            there = set()
            for name in files:
                path = ROOT / "tests" / "bench" / f"{name}_bench.cpp"
                there |= set(re.findall(r"^BENCHMARK\((\w+)\)", path.read_text(encoding="utf-8"),
                                        re.MULTILINE))
            self.assertEqual(there, set(bench_works.SIDES[program]))

    def test_every_source_of_benchmarks_was_looked_at(self):
        self.assertEqual(sorted(path.stem for path in (ROOT / "tests" / "bench").glob("*_bench.cpp")),
                         ["accuracy_bench", "align_bench", "draws_bench", "mirror_bench",
                          "moments_bench", "nearest_bench", "poses_bench", "readers_bench",
                          "sweep_bench"])

    def test_every_side_is_used_and_every_name_stands_once(self):
        used = {side for work in bench_works.WORKS for side in (work.ours, work.other) if side}
        self.assertEqual(used, {side for sides in bench_works.SIDES.values() for side in sides})
        names = [work.name for work in bench_works.WORKS]
        self.assertEqual(len(names), len(set(names)))

    def test_what_measures_whole_commands_knows_their_names(self):
        self.assertEqual(set(measure.runs_of("trueblank", "body.stl", pathlib.Path("."))),
                         set(bench_works.SIDES[bench_works.PROGRAM]))

    def test_only_what_is_asked_for_is_run(self):
        self.assertEqual(bench_table.plan(bench_table.chosen(True, "^plane-CUT$|^weigh")), [
            "trueblank_bench ^(cut_tree|cut_plain_loop)/(20000|100000|40000)(/|$)",
            "program weigh,read_file 20000,100000"])
        self.assertEqual([line.split()[0] for line in bench_table.plan(bench_table.chosen(False, ""))],
                         ["trueblank_bench", "trueblank_readers_bench", "program", "page"])

    def test_a_filter_takes_its_own_benchmarks_alone(self):
        filter_ = bench_table.plan(bench_table.chosen(True, "^sweep$"))[0].split()[1]
        for name, taken in (("sweep_true/20000/iterations:1/real_time", True),
                            ("sweep_true_loop/100000/iterations:1/real_time", True),
                            ("sweep_true/1000000/iterations:1/real_time", False),
                            ("sweep_off_centre/20000/iterations:1/real_time", False)):
            self.assertEqual(bool(re.search(filter_, name)), taken, name)

    def test_help_names_every_work(self):
        said = subprocess.run([ROOT / "scripts" / "bench", "--help"], capture_output=True,
                              text=True, check=True).stdout
        for work in bench_works.WORKS:
            self.assertRegex(said, rf"(?m)^  {work.name} +{re.escape(work.words)}$")

    def test_a_choice_of_nothing_is_refused_in_one_line(self):
        for only, problem in (("no-such-work", "--only: no work's name has 'no-such-work' in it; "
                                               "scripts/bench --help names them"),
                              ("[", "--only: '[' is no pattern: "
                                    "unterminated character set at position 0")):
            done = subprocess.run([sys.executable, "-B", ROOT / "scripts" / "bench_table.py",
                                   "plan", f"--only={only}"], capture_output=True, text=True,
                                  check=False)
            self.assertEqual((done.returncode, done.stdout, done.stderr),
                             (2, "", f"bench: {problem}\n"))

    def test_only_without_a_pattern_is_refused_in_one_line(self):
        done = subprocess.run([ROOT / "scripts" / "bench", "--only"], capture_output=True,
                              text=True, check=False)
        self.assertEqual((done.returncode, done.stdout, done.stderr), (
            2, "", "bench: --only takes a pattern for the names of works; see scripts/bench --help\n"))


class Pages(unittest.TestCase):
    """With a stand-in for the page's measure."""

    def rows(self, measured, lacks=""):
        with mock.patch.object(measure, "drag", measured), \
                mock.patch.object(measure, "lacking", lambda _: lacks):
            return measure.pages("trueblank", None, ["drag_360", "drag_360_solver"], None)

    def test_a_figure_is_the_median_of_three(self):
        seconds = iter((0.012, 0.010, 0.017))
        one, other = self.rows(lambda *_: {"drag_360": next(seconds), "drag_360_solver": 0.003,
                                           "drag_1600": 0.02, "drag_1600_solver": 0.003})
        self.assertEqual((one["name"], one["facets"], one["seconds"]), ("drag_360", 100_000, 0.012))
        self.assertEqual((other["seconds"], other["spread"]), (0.003, 0))

    def test_without_a_browser_it_is_left_out_and_that_is_no_fault(self):
        rows = self.rows(None, lacks="left out: no page is measured without chromium")
        found = result_of("drag-360", page=json.dumps(rows))
        self.assertEqual((found["left_out"], found["wrong"]),
                         (["left out: no page is measured without chromium"], []))

    def test_a_page_that_fails_is_a_fault(self):
        def fails(*_):
            raise ValueError("Error: of 100 moves 3 were answered")
        found = result_of("drag-360", page=json.dumps(self.rows(fails)))
        self.assertEqual(found["wrong"],
                         ["a page was not measured: Error: of 100 moves 3 were answered"])


class Written(unittest.TestCase):
    def test_both_files_are_written_from_what_was_measured(self):
        with tempfile.TemporaryDirectory() as folder:
            out = pathlib.Path(folder)
            (out / "trueblank_bench.json").write_text(library(*CUTS), encoding="utf-8")
            found = out / "CMakeFiles" / "3.25.1" / "CMakeCXXCompiler.cmake"
            found.parent.mkdir(parents=True)
            found.write_text('set(CMAKE_CXX_COMPILER_ID "GNU")\n'
                             'set(CMAKE_CXX_COMPILER_VERSION "12.2.0")\n', encoding="utf-8")
            (out / "CMakeCache.txt").write_text(
                "CMAKE_CXX_FLAGS_RELEASE:STRING=-O3 -DNDEBUG\n", encoding="utf-8")
            done = subprocess.run(
                [sys.executable, "-B", ROOT / "scripts" / "bench_table.py", "write", "--only",
                 "^plane-cut$", "--build", out, "--out", out], capture_output=True, text=True,
                check=False)
            self.assertEqual((done.returncode, done.stderr), (0, ""))
            result = json.loads((out / "bench.json").read_text(encoding="utf-8"))
            self.assertEqual(result["machine"]["compiler"], "g++ 12.2.0, -O3 -DNDEBUG")
            self.assertEqual(len(result["records"]), 5)
            self.assertEqual((out / "table.md").read_text(encoding="utf-8"),
                             bench_table.text_of(result))
            self.assertEqual(done.stdout, bench_table.text_of(result, padded=True) + "\n")


if __name__ == "__main__":
    unittest.main()
