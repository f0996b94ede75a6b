#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What scripts/simulate-scan puts round a body is one clean sheet with it, and its files say what
its meshes hold."""

import json
import math
import pathlib
import struct
import subprocess
import sys
import tempfile
import unittest

sys.dont_write_bytecode = True
SOURCE = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(SOURCE / "scripts"))
sys.path.insert(0, str(SOURCE / "tests/intake"))
import mesh_files  # noqa: E402
import surroundings  # noqa: E402
from scan_matrix import lofted  # noqa: E402


def level(_):
    return 0.0


def pieces(facets):
    parent = {}

    def find(v):
        while parent.setdefault(v, v) != v:
            v = parent[v]
        return v
    for i, j, k in facets:
        parent[find(j)] = find(i)
        parent[find(k)] = find(i)
    return len({find(v) for v in list(parent)})


class Surroundings(unittest.TestCase):
    def setUp(self):
        self.positions, self.facets = lofted(100.0, 9.0, 12.0, 2.0, stations=32, around=32)

    def expect_one_sheet(self, facets, loops):
        """Each directed edge once: no edge has three facets, and all are wound alike."""
        sides = [(a, b) for facet in facets for a, b in zip(facet, facet[1:] + facet[:1])]
        self.assertEqual(len(sides), len(set(sides)))
        self.assertEqual(pieces(facets), 1)
        self.assertEqual(len(surroundings.rims(facets)), loops)

    def test_a_body_cut_at_a_height_keeps_what_is_above(self):
        # Source: half of the polyhedron, which is its own mirror image in z = 0: closed by the
        # section at z = 0 the upper part is half the volume.
        positions, facets = surroundings.cut_above(self.positions, self.facets, 0.0)
        self.expect_one_sheet(facets, 1)
        rim = surroundings.rims(facets)[0]
        lid = [(rim[0], b, a) for a, b in zip(rim[1:], rim[2:])]
        self.assertAlmostEqual(mesh_files.volume(positions, facets + lid),
                               mesh_files.volume(self.positions, self.facets) / 2, delta=1e-6)

    def test_a_body_on_a_table_is_one_sheet_as_wide_as_the_table(self):
        positions, facets = surroundings.on_table(
            self.positions, self.facets, 2.0, lambda way: surroundings.onto_square(way, 70.0), level)
        self.expect_one_sheet(facets, 1)
        for axis in (0, 1):
            self.assertAlmostEqual(max(p[axis] for p in positions) -
                                   min(p[axis] for p in positions), 140.0, delta=3.0)
        self.assertAlmostEqual(min(p[2] for p in positions), min(p[2] for p in self.positions),
                               delta=1e-9)

    def test_a_turntable_ends_in_a_wall(self):
        positions, facets = surroundings.on_table(
            self.positions, self.facets, 2.0, lambda way: surroundings.onto_disc(way, 70.0), level,
            wall=4.0)
        self.expect_one_sheet(facets, 1)
        self.assertAlmostEqual(min(p[2] for p in positions), min(p[2] for p in self.positions) - 4,
                               delta=1e-9)

    def test_a_pin_leaves_the_hole_that_it_is_nearest_to(self):
        left = [f for f in self.facets
                if all(math.dist(self.positions[v], (50, 0, -12)) > 4 for v in f)]
        positions, facets = surroundings.on_pin(self.positions, left, (50, 0, -12), 2.0, 25.0, 30.0,
                                                level)
        self.expect_one_sheet(facets, 1)
        self.assertLess(min(p[2] for p in positions), -12 - 25)

    def test_loops_that_touch_in_a_vertex_are_two(self):
        self.assertEqual(sorted(map(sorted, surroundings.rims([(0, 1, 2), (2, 3, 4)]))),
                         [[0, 1, 2], [2, 3, 4]])


class Files(unittest.TestCase):
    def written(self, name):
        with tempfile.TemporaryDirectory() as folder:
            body = pathlib.Path(folder) / "body.stl"
            mesh = lofted(100.0, 9.0, 12.0, 2.0, stations=8, around=8)
            body.write_bytes(mesh_files.stl_bytes(*mesh, "a body"))
            scan = pathlib.Path(folder) / name
            subprocess.run([SOURCE / "scripts/simulate-scan", body, scan], check=True)
            return mesh, scan.read_bytes()

    def test_glb_is_binary_gltf_in_metres(self):
        # Source: Khronos Group, glTF 2.0 specification, 4.4 "Binary glTF layout".
        (positions, facets), data = self.written("scan.glb")
        magic, version, length, text_length, kind = struct.unpack_from("<4s3I4s", data)
        self.assertEqual((magic, version, length, kind), (b"glTF", 2, len(data), b"JSON"))
        tree = json.loads(data[20 : 20 + text_length])
        self.assertEqual(tree["accessors"][0]["count"], len(positions))
        self.assertEqual(tree["accessors"][1]["count"], 3 * len(facets))
        self.assertAlmostEqual(tree["accessors"][0]["max"][0], 0.1, delta=1e-6)
        self.assertEqual(text_length % 4, 0)

    def test_off_and_ply_count_what_they_hold(self):
        (positions, facets), data = self.written("scan.off")
        lines = data.decode("ascii").splitlines()
        self.assertEqual(lines[:2], ["OFF", f"{len(positions)} {len(facets)} 0"])
        self.assertEqual(len(lines), 2 + len(positions) + len(facets))
        (positions, facets), data = self.written("scan.ply")
        head, body = data.split(b"end_header\n", 1)
        self.assertIn(f"element vertex {len(positions)}\n".encode(), head)
        self.assertEqual(len(body), 12 * len(positions) + 13 * len(facets))


if __name__ == "__main__":
    unittest.main()
