# SPDX-License-Identifier: GPL-3.0-or-later
"""The scan simulator does to a body what its options say, no less and no more."""

import importlib.machinery
import importlib.util
import math
import pathlib
import random
import subprocess
import sys
import tempfile
import unittest

from house import ROOT

sys.path.insert(0, str(ROOT / "scripts"))
sys.dont_write_bytecode = True
import mesh_files as mesh  # noqa: E402

loader = importlib.machinery.SourceFileLoader(
    "simulate_scan", str(ROOT / "scripts" / "simulate-scan"))
simulate_scan = importlib.util.module_from_spec(
    importlib.util.spec_from_loader("simulate_scan", loader))
loader.exec_module(simulate_scan)



def distance(a, b):
    return math.dist(a, b)


def open_loops(facets):
    """How many loops of edges have a facet on one side only."""
    edges = {(f[i], f[(i + 1) % 3]) for f in facets for i in range(3)}
    after = {}
    for a, b in edges:
        if (b, a) not in edges:
            assert a not in after, "two loops touch"
            after[a] = b
    loops = 0
    while after:
        start, here = after.popitem()
        while here != start:
            here = after.pop(here)
        loops += 1
    return loops


def pieces(count, facets):
    parent = list(range(count))

    def root(v):
        while parent[v] != v:
            parent[v] = parent[parent[v]]
            v = parent[v]
        return v

    for i, j, k in facets:
        parent[root(i)] = root(j)
        parent[root(j)] = root(k)
    return len({root(v) for v in range(count)})


class Scan(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.body = str(pathlib.Path(cls.folder.name) / "body.stl")
        subprocess.run([sys.executable, str(ROOT / "scripts" / "make-meshes"), "--pencil", "8000",
                        cls.body], check=True)
        cls.positions, cls.facets = mesh.read_mesh(cls.body)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def scanned(self, *options, name="scan.stl"):
        path = str(pathlib.Path(self.folder.name) / name)
        subprocess.run([sys.executable, str(ROOT / "scripts" / "simulate-scan"), self.body, path,
                        *options], check=True, stdout=subprocess.DEVNULL)
        return mesh.read_mesh(path)

    def heights(self, positions, facets):
        """How far each vertex of the scan has moved along the body's normal: (place, height).

        Vertices are matched by their nearest body vertex: nothing here moves one by more than
        a fraction of the spacing.
        """
        cells = {}
        for v, p in enumerate(self.positions):
            cells.setdefault(tuple(math.floor(x / 4) for x in p), []).append(v)
        normals = mesh.vertex_normals(self.positions, self.facets)
        for p in positions[::3]:
            cell = tuple(math.floor(x / 4) for x in p)
            near = [v for dx in (-1, 0, 1) for dy in (-1, 0, 1) for dz in (-1, 0, 1)
                    for v in cells.get((cell[0] + dx, cell[1] + dy, cell[2] + dz), [])]
            v = min(near, key=lambda u: distance(self.positions[u], p))
            yield self.positions[v], mesh.dot(
                mesh.subtract(p, self.positions[v]), normals[v])

    def test_noise_has_the_size_and_the_correlation_length_asked_for(self):
        # Correlation falls as exp(-d² / (2 length²)): exp(-1/2) at one length, exp(-2) at two. Of
        # six fields, each by 1000 pairs: a deviation of about 0.015.
        square, one, two = 0.0, 0.0, 0.0
        for seed in range(6):
            chance = random.Random(seed)
            field = simulate_scan.noise_field(0.2, 6.0, chance)
            for _ in range(1000):
                p = tuple(300 * chance.random() for _ in range(3))
                way = mesh.unit(tuple(simulate_scan.gauss(chance) for _ in range(3)))
                here = field(p)
                square += here * here / 6000
                one += here * field(mesh.add_scaled(p, way, 6.0)) / 6000
                two += here * field(mesh.add_scaled(p, way, 12.0)) / 6000
        self.assertAlmostEqual(math.sqrt(square), 0.2, delta=0.006)
        self.assertAlmostEqual(one / square, math.exp(-0.5), delta=0.04)
        self.assertAlmostEqual(two / square, math.exp(-2), delta=0.04)

    def test_noise_moves_the_skin_by_its_size(self):
        moved = list(self.heights(*self.scanned("--noise", "0.2", "--length", "3")))
        self.assertAlmostEqual(math.sqrt(sum(h * h for _, h in moved) / len(moved)), 0.2,
                               delta=0.02)

    def test_a_bump_is_as_high_as_asked_and_ends_at_its_radius(self):
        moved = list(self.heights(*self.scanned("--bump", "88,11.6,0,0.6,15")))
        top = max(h for _, h in moved)
        self.assertGreater(top, 0.5)
        self.assertLess(top, 0.601)
        far = [h for p, h in moved if distance(p, (88, 11.6, 0)) > 16.5]
        self.assertLess(max(map(abs, far)), 0.0011)  # rounded to a thousandth

    def test_a_bend_moves_the_middle_and_leaves_the_ends(self):
        positions, _ = self.scanned("--bend", "0.8", "--bend-towards", "0,1,0")


        def side(low, high):
            ring = [p[1] for p in positions if low < p[0] < high]
            return (max(ring) + min(ring)) / 2
        self.assertAlmostEqual(side(66, 74), 0.8, delta=0.02)
        self.assertLess(abs(side(-1, 1)), 0.05)
        self.assertLess(abs(side(139, 141)), 0.05)

    def test_facets_come_uneven_and_about_as_many_as_asked(self):
        positions, facets = self.scanned("--facets", "12000", "--jitter", "0.3")
        self.assertAlmostEqual(len(facets), 12000, delta=120)
        self.assertEqual(open_loops(facets), 0)
        # Vertices stay on the skin or on its chords. 8000 even facets lie within 0.3 % of the
        # smooth body, and a third of the spacing this way or that adds as much at most.
        self.assertAlmostEqual(mesh.volume(positions, facets) /
                               mesh.volume(self.positions, self.facets), 1, delta=0.003)
        areas = sorted(math.sqrt(mesh.dot(n, n)) for n in (
            mesh.cross(mesh.subtract(positions[j], positions[i]),
                       mesh.subtract(positions[k], positions[i])) for i, j, k in facets))
        self.assertGreater(areas[9 * len(areas) // 10] / areas[len(areas) // 10], 4)

    def test_holes_and_a_table_are_what_they_say(self):
        _, facets = self.scanned("--hole", "70,0,-13,9", "--hole", "30,9,0,4")
        self.assertEqual(open_loops(facets), 2)
        positions, facets = self.scanned("--table", "70,0,-15,80")
        self.assertEqual(pieces(len(positions), facets), 2)
        self.assertEqual(open_loops(facets), 1)

    def test_a_turn_keeps_every_length_and_a_unit_divides_it(self):
        positions, facets = self.scanned("--turn", "--units", "in", name="scan.obj")
        self.assertAlmostEqual(mesh.volume(positions, facets) * 25.4**3 /
                               mesh.volume(self.positions, self.facets), 1, delta=1e-4)
        wide = max(p[0] for p in positions) - min(p[0] for p in positions)
        self.assertGreater(abs(wide * 25.4 - 140), 1, "it has not been turned")

    def test_a_seed_gives_the_same_bytes_again_and_another_seed_does_not(self):
        places = [pathlib.Path(self.folder.name) / f"{n}.stl" for n in (1, 2, 3)]
        for place, seed in zip(places, ("4", "4", "5")):
            self.scanned("--noise", "0.1", "--turn", "--seed", seed, name=place.name)
        first, second, third = (place.read_bytes() for place in places)
        self.assertEqual(first, second)
        self.assertNotEqual(first, third)


if __name__ == "__main__":
    unittest.main()
