# SPDX-License-Identifier: GPL-3.0-or-later
"""Measures whole commands on one big file: wall time, peak memory, and what they cost beside
reading that file once. Then the ratios between benchmarks of one run.

    measure.py BODY PROGRAM BENCHMARKS.json...
"""

import json
import math
import os
import platform
import re
import statistics
import sys
import time


def run_once(command):
    """(seconds, peak MiB) of one run; stops where the command fails."""
    start = time.perf_counter()
    child = os.posix_spawn(command[0], command, os.environ,
                           file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)])
    _, status, usage = os.wait4(child, 0)
    seconds = time.perf_counter() - start
    if os.waitstatus_to_exitcode(status) != 0:
        raise SystemExit(f"failed: {' '.join(command)}")
    return seconds, usage.ru_maxrss / 1024


def seconds_to_read(path):
    start = time.perf_counter()
    with open(path, "rb", buffering=0) as file:
        while file.read(1 << 20):
            pass
    return time.perf_counter() - start


def commands(body, program):
    fast = ["--density", "0.358", "--quiet"]
    written = os.path.splitext(body)[0] + "-map.ply"
    aimed = ["--nose", "-x", "--back", "+z", "--map", written, "--quiet"]
    return [
        ("weigh", [program, "weigh", body, *fast]),
        ("mirror", [program, "mirror", body, *aimed]),
        ("mirror, 1 thread", [program, "mirror", body, *aimed, "--threads", "1"]),
    ]


def whole_goal(name, seconds, mib):
    """From file to map written; on two cores."""
    if name != "mirror":
        return ""
    return f"    goal 6 s, 1024 MiB: {'+' if seconds <= 6 and mib <= 1024 else '-'}"


def whole_commands(body, program, repeats=3):
    reading = min(seconds_to_read(body) for _ in range(repeats))
    size = os.path.getsize(body) / 1e6
    print(f"{body}: {size:.1f} MB, read once from the cache in {reading:.4f} s; "
          f"{platform.machine()}, {os.cpu_count()} cores")
    print(f"{'command':<20}{'median s':>10}{'spread s':>10}{'peak MiB':>10}{'x reading':>11}")
    for name, command in commands(body, program):
        runs = [run_once(command) for _ in range(repeats)]
        seconds = [run[0] for run in runs]
        median = statistics.median(seconds)
        print(f"{name:<20}{median:>10.2f}{max(seconds) - min(seconds):>10.2f}"
              f"{max(run[1] for run in runs):>10.0f}{median / reading:>11.0f}"
              + whole_goal(name, median, max(run[1] for run in runs)))


def median_rows(paths):
    """The medians of all benchmarks that ended well."""
    rows = []
    for path in paths:
        with open(path, encoding="utf-8") as file:
            text = file.read()
            # Where a filter leaves none of a program's benchmarks it writes nothing.
            rows += json.loads(text)["benchmarks"] if text else []
    return [row for row in rows
            if row.get("aggregate_name") == "median" and not row.get("error_occurred")]


def medians(rows):
    """Median real time in ns of each benchmark, by its name without the aggregate's suffix; of one
    that counts what it makes, the time for one of these."""
    per = {"ns": 1.0, "us": 1e3, "ms": 1e6, "s": 1e9}
    return {row["run_name"]: (1e9 / row["items_per_second"] if "items_per_second" in row
                              else row["real_time"] * per[row["time_unit"]])
            for row in rows}


# What one benchmark costs beside another of the same run: (dear, cheap, words, goals by facets).
# A goal is the ratio to reach: at least so much, or with "<" in front at most.
PAIRS = [
    ("whole_moments", "read_arrays", "moments, x reading the arrays", {1000000: "<1.5"}),
    ("check_closed", "read_arrays", "the check of closedness, x reading", {}),
    ("build_tree", "whole_moments", "building the tree, x moments", {}),
    ("cut_plain_loop", "cut_tree", "a cut by the loop, x by the tree",
     {20000: "6", 100000: "13", 1000000: "30", 4000000: "60"}),
    ("one_pose_loop", "one_pose_tree", "a rest pose by the loop, x by the tree",
     {1000000: "100"}),
    ("all_poses_loop", "all_poses_tree_and_build", "42 starts by the loop, x tree and its making",
     {1000000: "25"}),
    ("draws_loop", "draws_tree", "a drawn build by the loop, x by the tree", {}),
    ("nearest_cgal_hinted", "nearest_ours", "deviation, CGAL with its points, x ours",
     {1000000: "4"}),
    ("nearest_cgal_last", "nearest_ours", "the same from the last answer, x ours", {}),
    ("nearest_cgal", "nearest_ours", "the same with no hint, x ours", {}),
    ("nearest_build_cgal", "nearest_build", "building CGAL's tree, x ours", {}),
    ("plane_open3d", "plane_ours", "mirror plane by Open3D, x ours", {100000: "5"}),
    ("plane_plain_loop", "plane_ours", "mirror plane by a plain loop, x ours", {}),
    ("align_near_open3d", "align_near_ours", "a copy laid on from 5 deg by Open3D, x ours", {}),
    ("align_anywhere_open3d", "align_anywhere_ours", "from any pose, its features, x ours", {}),
    ("stl_cgal", "stl_ours", "binary STL, welded, by CGAL, x ours",
     {1000000: "12", 4000000: "12"}),
    ("obj_tinyobj", "obj_ours", "OBJ by tinyobjloader, x ours", {1000000: "20"}),
    ("ascii_stl_ours", "ascii_numbers_fast_float", "ASCII STL, x its numbers by fast_float",
     {1000000: "<2"}),
]

# What a benchmark counts beside its time: (benchmark, counter, words, goals by facets).
COUNTED = [
    ("align_near_ours", "off_deg", "how far off ours ends, deg", {}),
    ("align_near_open3d", "off_deg", "how far off Open3D ends, deg", {}),
    ("align_anywhere_ours", "off_deg", "from any pose ours, deg", {}),
    ("align_anywhere_open3d", "off_deg", "from any pose Open3D, deg", {}),
    ("stl_memory", "x_mesh", "peak memory of binary STL, x the mesh", {4000000: "<3"}),
]

# How much dearer the second size may be than the first: (benchmark, from, to, goal).
GROWTH = [("cut_tree", 20000, 4000000, "<40")]


def verdict(value, goal):
    if goal is None:
        return f"{value:.3g}"
    reached = value <= float(goal[1:]) if goal.startswith("<") else value >= float(goal)
    return f"{value:.3g} {'+' if reached else '-'}"


def grouped(times):
    """{benchmark: {facets: ns}} of all that are named NAME/FACETS."""
    by_name = {}
    for name, nanoseconds in times.items():
        match = re.match(r"(\w+)/(\d+)", name)
        if match:
            by_name.setdefault(match.group(1), {})[int(match.group(2))] = nanoseconds
    return by_name


def exponent(row):
    """p of cost ~ facets^p, a straight line through the logarithms."""
    points = [(math.log(size), math.log(ns)) for size, ns in row.items()]
    middle_x = statistics.fmean(x for x, _ in points)
    middle_y = statistics.fmean(y for _, y in points)
    return (sum((x - middle_x) * (y - middle_y) for x, y in points)
            / sum((x - middle_x) ** 2 for x, _ in points))


def counted(rows):
    """A row for each counter that has a goal."""
    table = []
    for name, counter, words, goals in COUNTED:
        cells = {size: verdict(row[counter], goals.get(size)) for row in rows
                 if counter in row for size in grouped({row["run_name"]: 0}).get(name, {})}
        if cells:
            table.append((words, cells, "    goal " + ", ".join(goals.values()) if goals else ""))
    return table


def ratios(rows):
    """A row a benchmark and a row a pair, a column a size; a gap where one was not run."""
    by_name = grouped(medians(rows))
    sizes = sorted({size for row in by_name.values() for size in row})

    def table(title, rows, last):
        print(f"\n{title:<46}" + "".join(f"{size:>12}" for size in sizes) + last)
        for name, cells, end in rows:
            print(f"{name:<46}" + "".join(f"{cells.get(size, ''):>12}" for size in sizes) + end)

    table("median ms, by facets",
          [(name, {size: f"{ns / 1e6:.4g}" for size, ns in row.items()},
            f"{exponent(row):>10.2f}" if len(row) > 1 else "")
           for name, row in by_name.items()], "    growth: cost ~ facets to this power")
    table("ratio, by facets (+ goal reached, - not)", [
        (words, {size: verdict(by_name[dear][size] / by_name[cheap][size], goals.get(size))
                 for size in by_name[dear] if size in by_name[cheap]},
         "    goal " + ", ".join(goals.values()) if goals else "")
        for dear, cheap, words, goals in PAIRS if dear in by_name and cheap in by_name]
        + counted(rows), "")
    for name, small, big, goal in GROWTH:
        row = by_name.get(name, {})
        if small in row and big in row:
            print(f"{name} from {small} to {big} facets: {verdict(row[big] / row[small], goal)}"
                  f"    goal {goal}")


def main():
    if len(sys.argv) < 4:
        raise SystemExit(__doc__)
    whole_commands(sys.argv[1], sys.argv[2])
    ratios(median_rows(sys.argv[3:]))


if __name__ == "__main__":
    main()
