# SPDX-License-Identifier: GPL-3.0-or-later
"""The demo bodies are what their script makes, byte for byte."""

import pathlib
import re
import struct
import subprocess
import sys
import tempfile
import unittest

from house import ROOT, visible

MESHES = ROOT / "meshes"
# Drawn from the program's own maps and pages, so they need the program.
DRAWN = {"heatmap.png", "page-float.png", "page-live.png", "page-mirror.png"}
MAY_TAKE_BYTES = 8 * 1024 * 1024

sys.path.insert(0, str(ROOT / "scripts"))
sys.dont_write_bytecode = True
import mesh_files  # noqa: E402


class Meshes(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        subprocess.run([sys.executable, str(ROOT / "scripts" / "make-meshes"), cls.folder.name],
                       check=True)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_every_file_comes_out_of_the_script_byte_for_byte(self):
        made = {p.name: p.read_bytes() for p in pathlib.Path(self.folder.name).iterdir()}
        kept = {p.name: p.read_bytes() for p in visible(MESHES) if p.name not in DRAWN}
        self.assertGreater(len(made), 8)
        self.assertEqual(sorted(made), sorted(kept), "run scripts/make-meshes")
        changed = [name for name in sorted(made) if made[name] != kept[name]]
        self.assertEqual(changed, [], "differ from what scripts/make-meshes makes")

    def test_they_stay_small(self):
        self.assertLess(sum(p.stat().st_size for p in visible(MESHES)), MAY_TAKE_BYTES)

    def test_bodies_are_their_own_mirror_images_to_the_last_digit(self):
        # In file axes the side is y, x and z.
        for name, side in (("pencil-140.stl", 1), ("glider-165.obj", 0), ("needle-180.stl", 2)):
            with self.subTest(name):
                positions, facets = mesh_files.read_mesh(str(MESHES / name))
                image = [tuple(-x + 0.0 if i == side else x + 0.0 for i, x in enumerate(p))
                         for p in positions]
                here = {p: v for v, p in enumerate(tuple(x + 0.0 for x in p) for p in positions)}
                self.assertEqual(set(here), set(image))
                turned = {rolled((here[image[i]], here[image[k]], here[image[j]]))
                          for i, j, k in facets}
                self.assertEqual(turned, {rolled(facet) for facet in facets})

    def test_bodies_are_closed_and_right_side_out(self):
        for name in ("pencil-140.stl", "glider-165.obj", "needle-180.stl"):
            with self.subTest(name):
                positions, facets = mesh_files.read_mesh(str(MESHES / name))
                edges = {(f[i], f[(i + 1) % 3]) for f in facets for i in range(3)}
                self.assertEqual(len(edges), 3 * len(facets))
                self.assertEqual({(b, a) for a, b in edges}, edges)
                self.assertGreater(mesh_files.volume(positions, facets), 0)

    def test_the_scan_s_sheet_tells_nose_and_back_as_they_lie_in_the_scan(self):
        # The simulator says where the body's axes went; a fresh run of the same options.
        options = next(line for line in (MESHES / "README.md").read_text(
            encoding="utf-8").splitlines() if "meshes/pencil-140-scan.stl" in line).split()
        options[1:3] = [str(ROOT / options[1]), str(pathlib.Path(self.folder.name) / "again.stl")]
        said = subprocess.run([sys.executable, str(ROOT / options[0]), *options[1:]],
                              capture_output=True, text=True, check=True).stdout
        axes = [tuple(map(float, group)) for group in re.findall(
            r"(-?[0-9.]+),(-?[0-9.]+),(-?[0-9.]+)(?:  |;)", said)]
        self.assertEqual(len(axes), 3, said)
        sheet = (MESHES / "pencil-140-scan.toml").read_text(encoding="utf-8")
        for key, axis, sign in (("nose", axes[0], -1), ("back", axes[2], 1)):
            told = re.search(rf'{key} = "([^"]+)"', sheet).group(1)
            way = mesh_files.unit(tuple(map(float, told.split(","))))
            self.assertGreater(sign * mesh_files.dot(way, axis), 0.98, key)  # 11° at most

    def test_an_stl_says_its_own_size(self):
        for path in visible(MESHES):
            if path.suffix == ".stl":
                data = path.read_bytes()
                self.assertEqual(len(data), 84 + 50 * struct.unpack_from("<I", data, 80)[0])


def rolled(facet):
    """The same facet, beginning with its least vertex."""
    least = facet.index(min(facet))
    return facet[least:] + facet[:least]


if __name__ == "__main__":
    unittest.main()
