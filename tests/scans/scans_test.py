# SPDX-License-Identifier: GPL-3.0-or-later
"""The program on bodies that somebody else measured, each figure against a way of its own.

    scans_test.py PROGRAM MIRRORED_DISTANCES SLOW_POSES NPM NODE FOLDER

FOLDER is for what npm fetches: nothing of it is part of the project. Volumes are held against exact
rational arithmetic over the doubles of the mesh that the program writes; rest poses against slow
descents on a plain loop's energy; deviations from the mirror image against CGAL's distances.
"""

import json
import math
import pathlib
import shutil
import subprocess
import sys
import unittest
from fractions import Fraction

from ply_file import points_of, read_ply, write_off

# The bunny's long axis, about, and a direction square to it.
NOSE, BACK = "-0.66,0.74,-0.14", "0.74,0.66,0"
HERE = pathlib.Path(__file__).resolve().parent
PROGRAM = MIRRORED = SLOW_POSES = NPM = NODE = ""
FOLDER = pathlib.Path()


def exact_volume(points, facets):
    """Of the polyhedron over these doubles, without rounding: whole numbers over a power of two."""
    ratios = [[part.as_integer_ratio() for part in point] for point in points]
    denominator = max(below for point in ratios for _, below in point)  # all are powers of two
    whole = [[above * (denominator // below) for above, below in point] for point in ratios]
    six_times = 0
    for a, b, c in facets:
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = whole[a], whole[b], whole[c]
        six_times += (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz)
                      + az * (bx * cy - by * cx))
    return Fraction(six_times, 6 * denominator ** 3)


def read_off(path):
    words = path.read_text(encoding="ascii").split()
    vertices, count = int(words[1]), int(words[2])
    numbers = list(map(float, words[4:4 + 3 * vertices]))
    indices = list(map(int, words[4 + 3 * vertices:4 + 3 * vertices + 4 * count]))
    return (list(zip(numbers[0::3], numbers[1::3], numbers[2::3])),
            list(zip(indices[1::4], indices[2::4], indices[3::4])))


def is_closed(facets):
    edges = [(facet[k], facet[(k + 1) % 3]) for facet in facets for k in range(3)]
    return sorted(edges) == sorted((b, a) for a, b in edges)


def weights_of(points, facets):
    """A third of the areas of its facets, for each vertex."""
    weights = [0.0] * len(points)
    for facet in facets:
        a, b, c = (points[i] for i in facet)
        u, v = [q - p for p, q in zip(a, b)], [q - p for p, q in zip(a, c)]
        cross = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
        for i in facet:
            weights[i] += math.hypot(*cross) / 6
    return weights


def angle_deg(a, b):
    return math.degrees(2 * math.asin(min(1, math.dist(a, b) / 2)))


class Scans(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        # What is there of an earlier run is fetched anew only where the lock file changed.
        FOLDER.mkdir(parents=True, exist_ok=True)
        for name in ("package.json", "package-lock.json", "export.mjs"):
            shutil.copy(HERE / name, FOLDER / name)
        fetched = subprocess.run(
            [NPM, "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--silent"], cwd=FOLDER,
            capture_output=True, text=True, check=False)
        if fetched.returncode != 0:
            raise AssertionError("npm can't fetch the scans that package-lock.json names: "
                                 + (fetched.stderr or fetched.stdout).strip())
        subprocess.run([NODE, "export.mjs", "."], cwd=FOLDER, check=True)

    def run_program(self, *words, ends=(0,)):
        result = subprocess.run([PROGRAM, *words], cwd=FOLDER, capture_output=True, text=True,
                                check=False)
        self.assertIn(result.returncode, ends, result.stderr)
        return result

    def json_of(self, *words):
        return json.loads(self.run_program(*words, "--json", "-").stdout)

    def mended(self, name):
        """`weigh`'s JSON and the mesh that it is of, file axes."""
        told = self.json_of("weigh", name, "--units", "mm", "--map", "map.ply")
        columns, facets = read_ply(FOLDER / "map.ply")
        return told, points_of(columns), facets

    def test_a_closed_scan_is_used_as_it_came(self):
        given_points, given_facets = read_off(FOLDER / "bunny.off")
        self.assertTrue(is_closed(given_facets))
        _, points, facets = self.mended("bunny.off")
        self.assertTrue(is_closed(facets))
        self.assertEqual(len(facets), len(given_facets))
        self.assertEqual(exact_volume(points, facets), exact_volume(given_points, given_facets))

    def test_volumes_are_what_exact_arithmetic_says(self):
        for name in ("bunny.off", "bunny-open.off"):
            with self.subTest(name):
                told, points, facets = self.mended(name)
                self.assertTrue(is_closed(facets))
                exact = exact_volume(points, facets)
                # Rounding in a compensated sum, and of the places that it is taken from.
                self.assertLess(abs(Fraction(told["volume_mm3"]) / exact - 1), Fraction(1, 10 ** 13))

    def test_the_bound_of_a_filled_hole_holds(self):
        whole = exact_volume(*read_off(FOLDER / "bunny.off"))
        told, _, _ = self.mended("bunny-open.off")
        self.assertEqual(len(told["holes"]), 1)
        self.assertGreater(told["volume_bound_mm3"], 0)
        self.assertLessEqual(abs(told["volume_mm3"] - whole), told["volume_bound_mm3"])
        self.assertLess(told["volume_bound_mm3"], 0.05 * whole)

    def test_a_body_of_open_patches_is_closed_with_a_word_or_refused_in_one(self):
        result = self.run_program("weigh", "teapot.off", "--units", "mm", "--map", "map.ply",
                                  "--json", "-", ends=(0, 2))
        if result.returncode == 2:
            self.assertEqual((result.stdout, result.stderr.count("\n")), ("", 1))
            return
        told = json.loads(result.stdout)
        self.assertNotEqual(told["mended"], [])
        columns, facets = read_ply(FOLDER / "map.ply")
        self.assertTrue(is_closed(facets))
        exact = exact_volume(points_of(columns), facets)
        self.assertLess(abs(Fraction(told["volume_mm3"]) / exact - 1), Fraction(1, 10 ** 12))

    def sheet(self, mesh, density, ballast_g):
        lines = ["sheet = 1", 'title = "A scan"', "[body]", f'mesh = "{mesh}"', 'units = "mm"',
                 f"nose = [{NOSE}]", f"back = [{BACK}]", "[wood]", f"density = {density}", "[water]",
                 'kind = "fresh"', "temperature = 15"]
        if ballast_g:
            lines += ["[[ballast]]", 'name = "weight"', "at = [85, 0]",
                      f'mass = "{ballast_g} g"', 'metal = "lead"']
        path = FOLDER / "scan.toml"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return path.name

    def test_rest_poses_are_those_of_slow_descents(self):
        for mesh, density, ballast_g in (("bunny.off", 0.5, 0), ("bunny.off", 0.35, 40),
                                         ("bunny-open.off", 0.72, 20)):
            with self.subTest(f"{mesh}, {density} g/cm3, {ballast_g} g"):
                sheet = self.sheet(mesh, density, ballast_g)
                told = self.json_of("float", sheet)
                self.run_program("check", sheet, "--aligned", "aligned.ply")
                columns, facets = read_ply(FOLDER / "aligned.ply")
                write_off(FOLDER / "aligned.off", points_of(columns), facets)
                self.hold_poses(told)

    def hold_poses(self, told):
        self.assertEqual(told["state"], "floats")
        poses = told["poses"]
        water = told["displacement_full_g"] / told["wet_volume_mm3"] * 1000
        # A degree off each pose too, so that one with a small share is tried as well.
        beside = []
        for pose in poses:
            x, y, z = pose["up"]
            beside += [x + 0.012, y - 0.009, z + 0.01, x - 0.01, y + 0.012, z - 0.009]
        numbers = [told["mass_g"], *told["centre_of_mass_mm"], water, 400, *beside]
        out = subprocess.run([SLOW_POSES, "aligned.off", *map(repr, numbers)], cwd=FOLDER, check=True,
                             capture_output=True, text=True).stdout
        slow = [list(map(float, line.split())) for line in out.splitlines()]
        self.assertGreater(len(slow), 0)
        for x, y, z, energy, descents, couple in slow:
            nearest = min(angle_deg((x, y, z), pose["up"]) for pose in poses)
            self.assertLess(nearest, 0.02, f"a pose at up {x} {y} {z}, energy {energy}, of "
                                           f"{descents} descents, couple {couple}, is not told")
        for pose in poses:
            nearest = min(angle_deg(found[:3], pose["up"]) for found in slow)
            self.assertLess(nearest, 0.02, f"{pose['up']} is told, and nothing comes to rest there")

    def test_deviations_are_what_cgal_measures(self):
        for name in ("bunny.off", "bunny-open.off"):
            for plane in ((0.0, 0.0, 1.0, 0.5), (0.6, 0.0, 0.8, -3.0)):
                with self.subTest(f"{name}, plane {plane}"):
                    told = self.json_of("mirror", name, "--units", "mm", "--nose", NOSE, "--back",
                                        BACK, "--plane", ",".join(map(repr, plane)), "--map",
                                        "map.ply")
                    self.hold_deviations(told, made_up=name == "bunny-open.off")

    def distances(self, normal, offset):
        out = subprocess.run([MIRRORED, "map.off", *map(repr, [*normal, offset])], cwd=FOLDER,
                             check=True, capture_output=True, text=True).stdout
        return list(map(float, out.split()))

    def hold_deviations(self, told, made_up):
        columns, facets = read_ply(FOLDER / "map.ply")
        points = points_of(columns)
        write_off(FOLDER / "map.off", points, facets)
        judged = self.distances(told["plane"]["normal"], told["plane"]["offset_mm"])
        self.assertEqual(len(judged), len(points))
        compared = 0
        for own, theirs in zip(columns["deviation"], judged):
            if made_up and own == 0:
                continue  # what meets a filled hole is not counted, and tells nought
            compared += 1
            # A square root near nil doubles the digits that rounding takes.
            self.assertAlmostEqual(abs(own), abs(theirs), delta=1e-7)
            if abs(theirs) > 1e-6:
                self.assertEqual(own > 0, theirs > 0)
        self.assertGreater(compared, 0.8 * len(points))
        if made_up:
            return
        weights = weights_of(points, facets)
        rms = math.sqrt(sum(w * d * d for w, d in zip(weights, judged)) / sum(weights))
        mean = sum(w * abs(d) for w, d in zip(weights, judged)) / sum(weights)
        self.assertAlmostEqual(told["deviation_mm"]["rms"], rms, delta=1e-9 * rms)
        self.assertAlmostEqual(told["deviation_mm"]["mean_abs"], mean, delta=1e-9 * mean)
        self.assertAlmostEqual(told["deviation_mm"]["max_proud"], max(judged), delta=1e-7)
        self.assertAlmostEqual(told["deviation_mm"]["max_shy"], min(judged), delta=1e-7)

    def test_the_plane_of_a_true_body_is_the_one_that_it_was_made_about(self):
        made = (4 / 13, -3 / 5, 48 / 65)
        for fit in ("robust", "least-squares"):
            with self.subTest(fit):
                told = self.json_of("mirror", "bunny-true.off", "--units", "mm", "--fit", fit,
                                    "--map", "map.ply")
                normal, offset = told["plane"]["normal"], told["plane"]["offset_mm"]
                off = min(angle_deg(normal, made), angle_deg(normal, [-part for part in made]))
                self.assertLess(off, 0.001)
                self.assertAlmostEqual(offset, 0, delta=0.001)
                # By CGAL the mirror image lies on the body: a square root of what rounding leaves.
                columns, facets = read_ply(FOLDER / "map.ply")
                write_off(FOLDER / "map.off", points_of(columns), facets)
                self.assertLess(max(map(abs, self.distances(normal, offset))), 1e-6)


if __name__ == "__main__":
    PROGRAM, MIRRORED, SLOW_POSES, NPM, NODE, place = sys.argv[1:]
    FOLDER = pathlib.Path(place)
    unittest.main(argv=sys.argv[:1])
