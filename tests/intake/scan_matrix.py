#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program's own bound on a volume, held against bodies whose volume is known.

    scan_matrix.py PROGRAM [--only N,N…] [--keep FOLDER]

scripts/simulate-scan makes 64 bad scans of four bodies: each level of each factor below as often as
the others, put together by a fixed seed. `weigh` then tells a volume and a bound for each. The true
volume is that of the facets the scan was made from, by signed tetrahedra. It must lie within the
bound, and so must the volume of the scan before anything was taken away or added; and the bound
must not be so wide that it says nothing. The four bodies themselves, without a flaw, must be known
to what their facets leave open.
"""

import argparse
import json
import math
import pathlib
import random
import statistics
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
SOURCE = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(SOURCE / "scripts"))
import mesh_files  # noqa: E402

CASES = 64
MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4}


def lofted(length, half_width, half_height, fullness, rise=0.0, stations=64, around=56):
    """A closed body along x: at part t of its length the section |y/w|^n + |z/h|^n = 1 about z =
    `rise`·t(1 - t), w and h falling to nothing at the ends as an ellipse does; `fullness` is n: 2
    round, 5 flat-sided."""
    positions = [(0.0, 0.0, 0.0)]
    for station in range(1, stations):
        t = (1 - math.cos(math.pi * station / stations)) / 2
        round_ = 2 * math.sqrt(t * (1 - t))
        for k in range(around):
            turn = 2 * math.pi * (k + 0.5) / around
            c, s = math.cos(turn), math.sin(turn)
            size = (abs(c) ** fullness + abs(s) ** fullness) ** (-1 / fullness)
            positions.append((length * t, half_width * round_ * size * c,
                              half_height * round_ * size * s + rise * t * (1 - t)))
    positions.append((length, 0.0, 0.0))
    facets = []
    for k in range(around):
        j = (k + 1) % around
        facets.append((0, 1 + j, 1 + k))
        for station in range(stations - 2):
            p, q = 1 + station * around, 1 + (station + 1) * around
            facets += [(p + k, q + j, q + k), (p + k, p + j, q + j)]
        last = 1 + (stations - 2) * around
        facets.append((last + k, last + j, len(positions) - 1))
    return positions, facets


def trailing(numbers):
    return ",".join(f"{x:.6g}" for x in numbers)


class Body:
    """A body's file, and places on its skin in mm along the file's axes: `along` from end to end,
    z up."""

    def __init__(self, path, units):
        self.path, self.units = path, units
        positions, self.facets = mesh_files.read_mesh(str(path))
        self.positions = [tuple(x * MM_PER[units] for x in p) for p in positions]
        self.volume = mesh_files.volume(self.positions, self.facets)
        self.area = mesh_files.area(self.positions, self.facets)
        self.lows = [min(p[i] for p in self.positions) for i in range(3)]
        self.highs = [max(p[i] for p in self.positions) for i in range(3)]
        self.extents = [high - low for low, high in zip(self.lows, self.highs)]
        self.along = self.extents.index(max(self.extents))
        self.length = self.extents[self.along]

    def skin_near(self, part, way):
        """The skin's furthest vertex along `way` (1 or -1 times y/x or z) at a part of the
        length."""
        station = self.lows[self.along] + part * self.length
        axis, sign = way
        axis = {"across": 1 - self.along, "up": 2}[axis]
        ring = [p for p in self.positions if abs(p[self.along] - station) < 0.02 * self.length]
        return max(ring, key=lambda p: sign * p[axis])

    def end(self, last):
        return max(self.positions, key=lambda p: p[self.along] * (1 if last else -1))


def bodies(folder):
    shapes = {"ellipsoid": lofted(100.0, 9.0, 12.0, 2.0), "needle": lofted(180.0, 8.0, 8.0, 2.0),
              "flat": lofted(120.0, 7.0, 20.0, 5.0), "banana": lofted(130.0, 9.0, 13.0, 2.4, -30.0)}
    for name, mesh in shapes.items():
        (folder / f"{name}.stl").write_bytes(mesh_files.stl_bytes(*mesh, f"{name}, a lofted body"))
    return {name: Body(folder / f"{name}.stl", "mm") for name in shapes}


FACTORS = {
    "body": ["ellipsoid", "needle", "flat", "banana"],
    "noise": [(0.0, 8.0), (0.05, 3.0), (0.1, 8.0), (0.2, 4.0)],  # mm, and its correlation length
    "holes": ["none", "flank", "back", "two", "tail"],
    "around": ["nothing", "table apart", "table, fillet 1.5", "table, fillet 3", "disc", "pin",
               "hand"],
    "units": ["mm", "cm", "in", "m"],
    "told": ["units", "length"],
    "turned": [False, True],
    "facets": [7000, 10000],
    "format": ["stl", "obj", "ply", "off", "glb"],
    "flipped": [0.0, 0.0, 0.2],
}


def cases():
    """Each level of each factor equally often, to one; the order drawn for each factor alone."""
    chance = random.Random(20)
    columns = {}
    for factor, levels in FACTORS.items():
        column = [levels[i % len(levels)] for i in range(CASES)]
        chance.shuffle(column)
        columns[factor] = column
    return [{factor: columns[factor][i] for factor in FACTORS} for i in range(CASES)]


def hole_options(body, holes):
    places = {"none": [], "flank": [(body.skin_near(0.4, ("across", 1)), 4.0)],
              "back": [(body.skin_near(0.55, ("up", 1)), 6.0)],
              "two": [(body.skin_near(0.3, ("across", -1)), 3.0),
                      (body.skin_near(0.7, ("up", 1)), 5.0)],
              "tail": [(body.end(True), 0.03 * body.length)]}
    return [f"--hole={trailing((*place, radius))}" for place, radius in places[holes]]


def around_options(body, around):
    belly = body.skin_near(0.5, ("up", -1))
    if around == "table apart":
        middle = [(low + high) / 2 for low, high in zip(body.lows, body.highs)]
        under = (middle[0], middle[1], body.lows[2] - 0.8, 0.8 * body.length)
        return [f"--hole={trailing((*belly, 5.0))}", f"--table={trailing(under)}"]
    if around.startswith("table"):
        return [f"--on-table={trailing((float(around.split()[-1]), 1.5 * body.length))}"]
    if around == "disc":
        return [f"--on-disc={trailing((2.0, 0.7 * body.length, 4.0))}"]
    if around == "pin":
        return [f"--hole={trailing((*belly, 3.0))}",
                f"--on-pin={trailing((*belly, 2.0, 25.0, 30.0))}"]
    if around == "hand":
        beside = list(belly)
        beside[1 - body.along] += 0.6 * body.extents[1 - body.along] + 12
        return [f"--hand={trailing((*beside, 14.0))}"]
    return []


def scan_of(body, case, number, folder):
    """The scan's file, and the volume of the body before anything was taken away or added."""
    scan = folder / f"scan-{number}.{case['format']}"
    sigma, length = case["noise"]
    run = [SOURCE / "scripts/simulate-scan", body.path, scan, "--tell", f"--seed={number}",
           f"--body-units={body.units}", f"--facets={case['facets']}", "--jitter=0.3",
           f"--noise={sigma}", f"--length={length}", f"--units={case['units']}",
           f"--flipped={case['flipped']}"]
    run += hole_options(body, case["holes"]) + around_options(body, case["around"])
    run += ["--turn"] if case["turned"] else []
    told = subprocess.run([str(part) for part in run], capture_output=True, text=True)
    if told.returncode != 0:
        raise SystemExit(f"case {number}: {told.stderr.strip()}")
    return scan, json.loads(told.stdout.splitlines()[0])["whole_mm3"]


def weighed(program, scan, body, case):
    run = [program, "weigh", str(scan), "--json", "-"]
    if case["told"] == "length":
        run += ["--length", f"{body.length:.2f}"]
    elif case["format"] != "glb":
        run += ["--units", case["units"]]
    done = subprocess.run(run, capture_output=True, text=True, timeout=300)
    if done.returncode != 0:
        return done.stderr.strip()
    return json.loads(done.stdout)


def noise_sd(body, case):
    """What the scanner's noise n is worth in volume, one standard deviation: its covariance is
    sigma^2 exp(-d^2 / (2 l^2)), so the variance of its integral over a skin of area A is
    sigma^2 A 2 pi l^2."""
    sigma, length = case["noise"]
    return sigma * length * math.sqrt(2 * math.pi * body.area)


def widest(case, share, body):
    """The part of the volume beyond which a bound says nothing: it grows with the noise (two
    standard deviations, and as much again for how ill one scan tells it), with the share of the
    skin that is made up, and where the length is told without the end that it was measured to."""
    told = 0.02 if case["told"] == "length" else 0
    end = 6 if case["holes"] == "tail" else 1
    return 0.02 + 4 * noise_sd(body, case) / body.volume + 0.6 * share + told * end


def line(number, case, body, whole, found):
    """Whether it held, a line on it, and the error and the bound as parts of the volume."""
    words = " ".join(str(case[factor]).replace(" ", "-") for factor in FACTORS)
    if isinstance(found, str):
        return False, f"{number:3} {words}: REFUSED {found}", None
    volume, bound = found["volume_mm3"], found["volume_bound_mm3"]
    off, made_up = volume - body.volume, found["made_up"]
    held = abs(off) <= bound and abs(volume - whole) <= bound
    useful = bound <= widest(case, made_up["share"], body) * body.volume
    percent = [100 * x / body.volume
               for x in (off, volume - whole, bound, made_up["bound_mm3"])]
    noise = sum(d["mm3"] for d in found["volume_doubts"] if d["what"] == "noise of the scan")
    verdict = "held" if held and useful else "NOT HELD" if not held else "TOO WIDE"
    return held and useful, (
        f"{number:3} {words}: true {body.volume:.0f} found {volume:.0f} off {percent[0]:+.2f}% "
        f"(of the noisy body {percent[1]:+.2f}%) bound {percent[2]:.2f}% made up "
        f"{100 * made_up['share']:.1f}% ± {percent[3]:.2f}% noise "
        f"{100 * noise / body.volume:.2f}% {verdict}"), (abs(off) / body.volume,
                                                        bound / body.volume)


def clean_is_known(program, body):
    """A drawn body has no noise: its bound is what its facets may stand off a smooth skin."""
    done = subprocess.run([program, "weigh", str(body.path), "--units", body.units, "--json", "-"],
                          capture_output=True, text=True, check=True)
    found = json.loads(done.stdout)
    doubts = {doubt["what"] for doubt in found["volume_doubts"]}
    part = found["volume_bound_mm3"] / body.volume
    good = doubts == {"chords of the facets"} and part < 0.0075 and math.isclose(
        found["volume_mm3"], body.volume, rel_tol=1e-6)
    print(f"{body.path.name}: bound {100 * part:.2f}% of {', '.join(sorted(doubts))} "
          f"{'held' if good else 'NOT HELD'}", flush=True)
    return good


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("program")
    parser.add_argument("--only", type=lambda text: {int(x) for x in text.split(",")})
    parser.add_argument("--keep", type=pathlib.Path, help="leave the scans here")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = options.keep or pathlib.Path(temporary)
        folder.mkdir(exist_ok=True)
        known, bad, asked, parts = bodies(folder), 0, 0, []
        clean = [clean_is_known(options.program, body) for body in known.values()]
        for number, case in enumerate(cases()):
            if options.only and number not in options.only:
                continue
            body = known[case["body"]]
            scan, whole = scan_of(body, case, number, folder)
            good, text, part = line(number, case, body, whole,
                                    weighed(options.program, scan, body, case))
            print(text, flush=True)
            bad += not good
            asked += 1
            parts += [part] if part else []
    print(f"{asked - bad} of {asked} held; median bound "
          f"{100 * statistics.median(bound for _, bound in parts):.2f}% of the volume, "
          f"{statistics.median(bound / max(off, 1e-9) for off, bound in parts):.1f} times the error")
    return 0 if bad == 0 and all(clean) else 1


if __name__ == "__main__":
    sys.exit(main())
