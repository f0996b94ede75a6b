# SPDX-License-Identifier: GPL-3.0-or-later
"""Measures whole commands and pages for scripts/bench: wall time and peak memory.

    measure.py program PROGRAM OUT NAMES SIZES     weigh and mirror on bodies of SIZES facets
    measure.py page PROGRAM OUT NAMES BROWSER      pages, in the folder of what drives the browser

NAMES and SIZES are lists with commas. Writes OUT/program.json, OUT/page.json; the runs are made in
turn, round after round.
"""

import json
import os
import pathlib
import re
import shutil
import statistics
import subprocess
import sys
import time

from bench_works import PAGE

ROOT = pathlib.Path(__file__).resolve().parents[1]
ROUNDS = 3


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


def read_once(path):
    start = time.perf_counter()
    with open(path, "rb", buffering=0) as file:
        while file.read(1 << 20):
            pass
    return time.perf_counter() - start, None


def body_of(facets, out):
    """A pencil of so many facets, made where it is not there yet."""
    path = out / f"pencil-{facets}.stl"
    if not path.exists():
        print(f"Making a body of {facets} facets", flush=True)
        partly = path.with_suffix(".part")
        subprocess.run([ROOT / "scripts" / "make-meshes", "--pencil", str(facets), partly],
                       check=True)
        partly.rename(path)
    return str(path)


def runs_of(program, body, out):
    """What to call for each name."""
    aimed = [program, "mirror", body, "--nose", "-x", "--back", "+z", "--map",
             str(out / "map.ply"), "--quiet"]
    return {
        "read_file": lambda: read_once(body),
        "weigh": lambda: run_once([program, "weigh", body, "--density", "0.358", "--quiet"]),
        "mirror": lambda: run_once(aimed),
        "mirror_serial": lambda: run_once([*aimed, "--threads", "1"]),
    }


def row(name, facets, runs):
    """The median of the times, their spread over their mean, and the highest of the peaks."""
    seconds = [run[0] for run in runs]
    found = {"name": name, "facets": facets, "seconds": statistics.median(seconds),
             "spread": statistics.stdev(seconds) / statistics.fmean(seconds)}
    if runs[0][1] is not None:
        found["peak_mib"] = max(run[1] for run in runs)
    return found


def whole_program(program, out, names, sizes):
    rows = []
    for facets in sizes:
        calls = runs_of(program, body_of(facets, out), out)
        calls["read_file"]()  # into the page cache, for all alike
        runs = {name: [] for name in names}
        for _ in range(ROUNDS):
            for name in names:
                runs[name].append(calls[name]())
        rows += [row(name, facets, runs[name]) for name in names]
        print(f"{facets} facets: " + ", ".join(
            f"{name} {one['seconds']:.3f} s" for name, one in zip(names, rows[-len(names):])),
            flush=True)
    return rows


def node(*command):
    done = subprocess.run(["node", *command], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        said = (done.stderr.strip() or "no word why").splitlines()
        raise ValueError(next((line for line in said if re.match(r"\w*Error: ", line)), said[-1]))
    return [float(word) / 1000 for word in done.stdout.split()]


def first_picture(program, out, browser):
    page = out / "mirror.html"
    run_once([program, "mirror", body_of(PAGE, out), "--nose", "-x", "--back", "+z", "--page",
              str(page), "--quiet"])
    return dict(zip(("first", "first_empty"), node(browser / "first_picture.mjs", page)))


def drag(program, out, browser):
    sheet = (ROOT / "meshes" / "pencil-140.toml").read_text(encoding="utf-8").splitlines()
    body = pathlib.Path(body_of(PAGE, out)).name
    (out / "float.toml").write_text(
        "\n".join(f'mesh = "{body}"' if line.startswith("mesh = ") else line for line in sheet)
        + "\n", encoding="utf-8")
    page = out / "float.html"
    run_once([program, "float", str(out / "float.toml"), "--page", str(page), "--quiet"])
    names = ("drag_360", "drag_360_solver", "drag_1600", "drag_1600_solver")
    return dict(zip(names, node(browser / "drag_time.mjs", page)))


def lacking(browser):
    """What no page can be measured without, and can't be had here; nothing where all is there."""
    if not shutil.which("node") or not (browser / "node_modules").is_dir():
        return "left out: no page is measured without what npm brings"
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    return "" if found else "left out: no page is measured without chromium"


def figures_of_pages(measure, program, out, browser):
    """({name: runs}, what went wrong) of some rounds; each figure is a median of its own."""
    runs = {}
    try:
        for _ in range(ROUNDS):
            for name, seconds in measure(program, out, browser).items():
                runs.setdefault(name, []).append((seconds, None))
    except ValueError as error:
        return {}, f"a page was not measured: {error}"
    return runs, ""


def pages(program, out, names, browser):
    rows, lacks = [], lacking(browser)
    for measure, of in ((first_picture, ("first", "first_empty")),
                        (drag, ("drag_360", "drag_360_solver", "drag_1600", "drag_1600_solver"))):
        wanted = [name for name in of if name in names]
        if not wanted:
            continue
        runs, why = ({}, lacks) if lacks else figures_of_pages(measure, program, out, browser)
        rows += [{"name": name, "facets": PAGE, "error": why} if why
                 else row(name, PAGE, runs[name]) for name in wanted]
    return rows


def main():
    if len(sys.argv) != 6 or sys.argv[1] not in ("program", "page"):
        raise SystemExit(__doc__)
    what, program, out, names, rest = sys.argv[1:]
    out, names = pathlib.Path(out), names.split(",")
    if what == "program":
        rows = whole_program(program, out, names, [int(size) for size in rest.split(",")])
    else:
        rows = pages(program, out, names, pathlib.Path(rest))
    (out / f"{what}.json").write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
