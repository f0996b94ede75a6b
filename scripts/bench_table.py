# SPDX-License-Identifier: GPL-3.0-or-later
"""Chooses what scripts/bench measures, and makes its tables of it.

    bench_table.py names
    bench_table.py plan [--quick] [--only REGEX]
    bench_table.py write [--quick] [--only REGEX] --build FOLDER --out FOLDER
"""

import argparse
import datetime
import json
import math
import os
import pathlib
import platform
import re
import statistics
import subprocess
import sys
import typing

from bench_works import (COST, GROWTHS, MIB, PAGE, PAGES, PROGRAM, QUICK_SIZES, READERS, ROOMS,
                         SCAN, SECONDS, SIDES, SIZES, TIMES, UNITS, WORKS, program_of, words_of)

SCHEMA = "trueblank.bench/1"


class Chosen(typing.NamedTuple):
    works: list
    sizes: tuple
    quick: bool
    only: str


class Trouble(Exception):
    """Told in one line; exit 2."""


def chosen(quick, only):
    try:
        pattern = re.compile(only, re.IGNORECASE)
    except re.error as error:
        raise Trouble(f"--only: '{only}' is no pattern: {error}") from error
    works = [work for work in WORKS if pattern.search(work.name)]
    if not works:
        raise Trouble(f"--only: no work's name has '{only}' in it; scripts/bench --help names them")
    return Chosen(works, QUICK_SIZES if quick else SIZES, quick, only)


def sides(works):
    """The benchmarks that these works need, each once."""
    return list(dict.fromkeys(side for work in works for side in (work.ours, work.other) if side))


def plan(choice):
    """A line for each program that is to be run: its name, then what of it."""
    lines = []
    for program in SIDES:
        needed = [side for side in sides(choice.works) if program_of(side) == program]
        if not needed:
            continue
        if program in (ROOMS, READERS):
            sizes = "|".join(str(size) for size in (*choice.sizes, SCAN))
            lines.append(f"{program} ^({'|'.join(needed)})/({sizes})(/|$)")
        elif program == PROGRAM:
            lines.append(f"{program} {','.join(needed)} {','.join(map(str, choice.sizes))}")
        else:
            lines.append(f"{program} {','.join(needed)}")
    return lines


class Figure(typing.NamedTuple):
    """What one side took at one size; `error` where it has no figures."""
    seconds: float = 0
    item_seconds: float = 0  # for one of what it makes, where it counts these
    spread: float = 0  # the standard deviation of the runs over their mean
    counts: dict = {}
    error: str = ""


PER_SECOND = {"ns": 1e9, "us": 1e6, "ms": 1e3, "s": 1}


def rows_of_library(text):
    """{(benchmark, facets): Figure} of what Google Benchmark wrote."""
    figures, spreads = {}, {}
    for row in json.loads(text)["benchmarks"] if text.strip() else []:
        name, facets = row["run_name"].split("/")[:2]
        key = (name, int(facets))
        if row.get("error_occurred"):
            figures[key] = Figure(error=row["error_message"])
        elif row.get("aggregate_name") == "cv":
            spreads[key] = row["real_time"]
        elif row.get("aggregate_name") == "median":
            seconds = row["real_time"] / PER_SECOND[row["time_unit"]]
            items = row.get("items_per_second")
            counts = {by: row[by] for by in UNITS if by in row}
            figures[key] = Figure(seconds, 1 / items if items else seconds, 0, counts)
    return {key: figure if figure.error else figure._replace(spread=spreads.get(key, 0))
            for key, figure in figures.items()}


def rows_of_program(text):
    """The same of what scripts/measure.py wrote."""
    figures = {}
    for row in json.loads(text):
        key = (row["name"], row["facets"])
        if "error" in row:
            figures[key] = Figure(error=row["error"])
            continue
        counts = {MIB: row[MIB]} if MIB in row else {}
        figures[key] = Figure(row["seconds"], row["seconds"], row["spread"], counts)
    return figures


def read_figures(folder, choice):
    """What the chosen programs wrote, and what is to be said of those that wrote nothing."""
    figures, silent = {}, {}
    for program in dict.fromkeys(program_of(side) for side in sides(choice.works)):
        try:
            text = (folder / f"{program}.json").read_text(encoding="utf-8")
            figures |= (rows_of_library if program in (ROOMS, READERS) else rows_of_program)(text)
        except (OSError, ValueError):
            silent[program] = f"{program} was not run to its end"
    return figures, silent


def judged(value, by, goal):
    """The verdict on a figure: None where nothing is wanted of it."""
    if goal is None:
        return None
    more = UNITS[by][1]

    def reaches(wanted):
        return wanted is not None and (value >= wanted if more else value <= wanted)
    return "beyond" if reaches(goal.beyond) else "reached" if reaches(goal.value) else "not reached"


def asked_sizes(work, choice):
    """All sizes at which a work may be: those of the run, and those that a goal names."""
    return sorted({*choice.sizes, *work.goals})


def why_missing(side, facets, figures, silent, choice):
    figure = figures.get((side, facets))
    if figure:
        return figure.error
    if program_of(side) in silent:
        return silent[program_of(side)]
    if facets not in (*choice.sizes, SCAN, PAGE):
        return "left out by --quick"
    return "not measured at this size"


def ratio_of(by, ours, other):
    """The other's time over ours; where the work is judged by its cost, ours over the other's."""
    times = other.item_seconds / ours.item_seconds
    return 1 / times if by == COST else times


def record(work, facets, figures, silent, choice):
    """One work at one size; None where it is not measured there and nothing is wanted of it."""
    ours, other = (figures.get((side, facets), Figure(error="none")) for side in
                   (work.ours, work.other))
    goal = work.goals.get(facets)
    missing = next((why for side in (work.ours, work.other) if side
                    for why in [why_missing(side, facets, figures, silent, choice)] if why), "")
    needed_other = work.by in (TIMES, COST)
    if goal is None and (ours.error or needed_other and other.error):
        return None
    result = {"work": work.name, "words": work.words, "facets": facets,
              "against": words_of(work.other) if work.other else None, "judged_by": work.by,
              "ours_s": None, "other_s": None, "ratio": None, "value": None,
              "goal": goal.value if goal else None, "beyond": goal.beyond if goal else None,
              "verdict": "not measured" if goal else None, "why": missing or None,
              "ours_mib": None, "other_mib": None, "spread": None}
    if not ours.error:
        result |= {"ours_s": ours.seconds, "ours_mib": ours.counts.get(MIB), "spread": ours.spread}
    if not other.error:
        result |= {"other_s": other.seconds, "other_mib": other.counts.get(MIB)}
    if not ours.error and not other.error:
        result |= {"ratio": ratio_of(work.by, ours, other),
                   "spread": max(ours.spread, other.spread)}
    value = (result["ratio"] if needed_other else None if ours.error else
             ours.seconds if work.by == SECONDS else ours.counts.get(work.by))
    if value is not None:
        result |= {"value": value, "verdict": judged(value, work.by, goal)}
    elif goal and not missing:
        result["why"] = "not told by this system"  # memory, where there is no /proc
    return result


def growth_record(growth, figures, silent, choice):
    work = next(work for work in WORKS if work.name == growth.work)
    smaller, greater = (figures.get((work.ours, facets), Figure(error="none"))
                        for facets in (growth.smaller, growth.greater))
    why = next((why for facets in (growth.smaller, growth.greater)
                for why in [why_missing(work.ours, facets, figures, silent, choice)] if why), None)
    result = {"work": growth.work + "-growth", "words": growth.words, "facets": growth.greater,
              "against": f"its own time at {size_text(growth.smaller)} facets", "judged_by": COST,
              "ours_s": None if greater.error else greater.seconds,
              "other_s": None if smaller.error else smaller.seconds,
              "ratio": None, "value": None, "goal": growth.goal.value,
              "beyond": growth.goal.beyond, "verdict": "not measured", "why": why,
              "ours_mib": None, "other_mib": None, "spread": None}
    if not why:
        value = greater.seconds / smaller.seconds
        result |= {"ratio": value, "value": value, "verdict": judged(value, COST, growth.goal),
                   "spread": max(greater.spread, smaller.spread)}
    return result


def exponent(points):
    """p of time ~ facets^p: the least-squares line through the logarithms of {facets: seconds}."""
    xs = [math.log(facets) for facets in points]
    ys = [math.log(seconds) for seconds in points.values()]
    x, y = statistics.fmean(xs), statistics.fmean(ys)
    return (sum((a - x) * (b - y) for a, b in zip(xs, ys))
            / sum((a - x) ** 2 for a in xs))


def times(figures, choice):
    """A row for each side: what it takes at each size, and how that grows."""
    rows = []
    counted = {work.ours for work in WORKS if work.by not in (TIMES, COST, SECONDS, MIB)}
    for side in sides(choice.works):
        at = {facets: figure for (name, facets), figure in sorted(figures.items())
              if name == side and not figure.error}
        if not at or side in counted:
            continue
        points = {facets: figure.seconds for facets, figure in at.items()}
        rows.append({"side": side, "words": words_of(side),
                     "seconds": {str(facets): seconds for facets, seconds in points.items()},
                     "mib": {str(facets): figure.counts.get(MIB) for facets, figure in at.items()},
                     "exponent": exponent(points) if len(points) > 1 else None})
    return rows


def result_of(choice, figures, silent, about):
    """All that a run has to say, as it goes to bench.json."""
    records = [one for work in choice.works for facets in asked_sizes(work, choice)
               for one in [record(work, facets, figures, silent, choice)] if one]
    names = {work.name for work in choice.works}
    records += [growth_record(growth, figures, silent, choice) for growth in GROWTHS
                if growth.work in names]
    errors = {figure.error for (side, _), figure in figures.items()
              if figure.error and side in sides(choice.works)}
    left_out = sorted(error for error in errors if error.startswith("left out"))
    wrong = sorted(errors - set(left_out)) + sorted(silent.values())
    return {"schema": SCHEMA, **about, "quick": choice.quick, "only": choice.only,
            "left_out": left_out, "wrong": wrong, "records": records,
            "times": times(figures, choice)}


# What a person reads.

def size_text(facets):
    return f"{facets // 1_000_000} M" if facets >= 1_000_000 else f"{facets // 1000} k"


def amount(value):
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.2g}"


def time_text(seconds):
    for unit, per in (("s", 1), ("ms", 1e3), ("µs", 1e6)):
        if seconds * per >= 1:
            return f"{amount(seconds * per)} {unit}"
    return f"{amount(seconds * 1e9)} ns"


def goal_text(one):
    unit, more = UNITS[one["judged_by"]]
    text = f"{'≥' if more else '≤'} {one['goal']:g}{unit}"
    return text + (f", then {one['beyond']:g}" if one["beyond"] is not None else "")


def verdict_text(one):
    if one["verdict"] == "not measured":
        return f"not measured: {one['why']}"
    return {"beyond": "reached, and beyond", "reached": "reached",
            "not reached": "**not reached**"}[one["verdict"]]


def value_text(one):
    if one["value"] is None:
        return ""
    if one["judged_by"] == SECONDS:
        return time_text(one["value"])
    return amount(one["value"]) + UNITS[one["judged_by"]][0]


def goals_table(records):
    wanted = [one for one in records if one["goal"] is not None]
    if not wanted:
        return []
    counted = {by for by in UNITS if by not in (TIMES, COST, SECONDS)}
    return [["work", "facets", "ours", "against", "takes", "figure", "wanted", "spread", "result"]] + [
        [one["words"], size_text(one["facets"]),
         "" if one["ours_s"] is None or one["judged_by"] in counted else time_text(one["ours_s"]),
         one["against"] or "", "" if one["other_s"] is None else time_text(one["other_s"]),
         value_text(one), goal_text(one),
         "" if one["spread"] is None or one["judged_by"] in counted else f"{one['spread']:.0%}",
         verdict_text(one)] for one in wanted]


def columns(rows):
    return sorted({facets for row in rows for facets in row})


def ratios_table(records):
    rows = {}
    for one in records:
        if one["ratio"] is not None and not one["work"].endswith("-growth"):
            rows.setdefault(one["work"], {})[one["facets"]] = one
    if not rows:
        return []
    sizes = columns(rows.values())
    head = ["ratio", "against", *(f"{size_text(size)} facets" for size in sizes)]
    table = [head]
    for row in rows.values():
        one = next(iter(row.values()))
        cost = " (ours over it)" if one["judged_by"] == COST else ""
        table.append([one["words"], one["against"] + cost,
                      *(amount(row[size]["ratio"]) if size in row else "" for size in sizes)])
    return table


def times_table(rows):
    if not rows:
        return []
    sizes = columns([map(int, row["seconds"]) for row in rows])
    table = [["takes", *(f"{size_text(size)} facets" for size in sizes), "grows as facets to the"]]
    for row in rows:
        cells = []
        for size in map(str, sizes):
            cell = time_text(row["seconds"][size]) if size in row["seconds"] else ""
            mib = row["mib"].get(size)
            cells.append(cell + (f", {mib:.0f} MiB" if mib is not None and mib >= 1 else ""))
        grows = "" if row["exponent"] is None else f"{row['exponent']:.2f}"
        table.append([row["words"], *cells, grows])
    return table


def markdown(table, padded):
    if not table:
        return ""
    widths = [max(len(row[i]) for row in table) if padded else 0 for i in range(len(table[0]))]
    rule = ["-" * max(3, width) for width in widths]
    rows = [table[0], rule, *table[1:]]
    return "".join("| " + " | ".join(cell.ljust(width) for cell, width in zip(row, widths)) + " |\n"
                   for row in rows)


def text_of(result, padded=False):
    machine = result["machine"]
    lines = [f"At {result['commit']}, {result['date']}, {machine['architecture']}, "
             f"{machine['cores']} cores, {machine['memory_gib']} GiB, {machine['compiler']}. "
             f"Medians of {result['repetitions']} runs, both sides in turn on the same input; one "
             "thread unless said.\n"]
    if result["quick"] or result["only"]:
        lines.append("A part of it: " + ", ".join(
            (["--quick"] if result["quick"] else [])
            + ([f"--only '{result['only']}'"] if result["only"] else [])) + ".\n")
    lines += [f"{text[0].upper()}{text[1:]}.\n" for text in result["left_out"]]
    lines += [f"WRONG: {text}.\n" for text in result["wrong"]]
    lines += [markdown(table, padded) for table in (
        goals_table(result["records"]), ratios_table(result["records"]),
        times_table(result["times"])) if table]
    reached = [one["verdict"] for one in result["records"] if one["goal"] is not None]
    if reached:
        count = sum(verdict in ("reached", "beyond") for verdict in reached)
        missing = reached.count("not measured")
        lines.append(f"{count} of {len(reached)} goals reached, {reached.count('beyond')} of them "
                     f"beyond; {reached.count('not reached')} not reached, {missing} not "
                     "measured.\n")
    return "\n".join(lines)


def compiler_of(build):
    """Its name, version and flags, as CMake found them."""
    found = {}
    for path in sorted(build.glob("CMakeFiles/*/CMakeCXXCompiler.cmake")):
        found |= dict(re.findall(r'^set\((CMAKE_CXX_COMPILER_(?:ID|VERSION)) "([^"]*)"\)',
                                 path.read_text(encoding="utf-8"), re.MULTILINE))
    cache = (build / "CMakeCache.txt").read_text(encoding="utf-8")
    flags = re.search(r"^CMAKE_CXX_FLAGS_RELEASE:\w+=(.*)$", cache, re.MULTILINE)
    name = {"GNU": "g++", "Clang": "clang++"}.get(found["CMAKE_CXX_COMPILER_ID"],
                                                 found["CMAKE_CXX_COMPILER_ID"])
    return f"{name} {found['CMAKE_CXX_COMPILER_VERSION']}, {flags.group(1) if flags else ''}"


def commit():
    command = ["git", "describe", "--always", "--dirty=, changed", "--exclude=*"]
    try:
        done = subprocess.run(command, cwd=pathlib.Path(__file__).parent, capture_output=True,
                              text=True, check=False)
    except OSError:
        return "no commit"
    return done.stdout.strip() if done.returncode == 0 else "no commit"


def about(build, repetitions):
    return {"commit": commit(), "date": datetime.datetime.now(datetime.timezone.utc).date()
            .isoformat(),
            "machine": {"architecture": platform.machine(),
                        "cores": len(os.sched_getaffinity(0)),
                        "memory_gib": round(os.sysconf("SC_PAGE_SIZE")
                                            * os.sysconf("SC_PHYS_PAGES") / 2**30),
                        "compiler": compiler_of(build)},
            "repetitions": repetitions}


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("do", choices=["names", "plan", "write"])
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--only", default="")
    parser.add_argument("--build", type=pathlib.Path)
    parser.add_argument("--out", type=pathlib.Path)
    parser.add_argument("--repetitions", type=int, default=3)
    options = parser.parse_args()
    if options.do == "names":
        print("\n".join(f"  {work.name:<28}{work.words}" for work in WORKS))
        return
    choice = chosen(options.quick, options.only)
    if options.do == "plan":
        print("\n".join(plan(choice)))
        return
    result = result_of(choice, *read_figures(options.out, choice),
                       about(options.build, options.repetitions))
    (options.out / "bench.json").write_text(
        json.dumps(result, indent=1, ensure_ascii=False, allow_nan=False) + "\n", encoding="utf-8")
    (options.out / "table.md").write_text(text_of(result), encoding="utf-8")
    print(text_of(result, padded=True))
    sys.exit(1 if result["wrong"] else 0)


if __name__ == "__main__":
    try:
        main()
    except Trouble as trouble:
        print(f"bench: {trouble}", file=sys.stderr)
        sys.exit(2)
