# SPDX-License-Identifier: GPL-3.0-or-later
"""Well over a hundred files that are broken, odd or hostile, each given to the built program.

Each must be refused (exit 2, one line on stderr, nothing on stdout, nothing written) or answered
rightly, with a warning where something had to be left out or made up.

    malformed_test.py PROGRAM
"""

import json
import os
import pathlib
import random
import resource
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import time
import unittest
import zipfile

import mesh_bytes as m

PROGRAM = sys.argv.pop(1)
MOST_MIB = 200


class Answer:
    """What `check` should say of a file that is taken."""

    def __init__(self, lengths=m.LENGTHS, warned=None, facets=None):
        self.lengths = lengths
        self.warned = warned
        self.facets = facets


BOX = Answer(warned=False)
REFUSED = "refused"
EITHER = "refused, or taken with a warning"


def cuts(data, kind):
    """Truncations at the boundaries of a format's structure and within them."""
    if kind in ("stl ascii", "obj", "off", "ply ascii"):
        lines = [i + 1 for i, byte in enumerate(data) if byte == 10]
        wanted = sorted({1, lines[0], lines[1], lines[len(lines) // 3], lines[len(lines) // 2],
                         lines[-2], lines[-2] + 2, lines[len(lines) // 2] + 3})
    elif kind == "stl binary":
        wanted = [40, 80, 82, 84, 84 + 12, 84 + 50, 84 + 75, len(data) - 50, len(data) - 1]
    elif kind in ("ply little", "ply big"):
        head = data.index(b"end_header\n") + 11
        wanted = [3, 20, head - 4, head, head + 12, head + 50, head + 96, len(data) - 13,
                  len(data) - 1]
    elif kind == "glb":
        wanted = [4, 8, 12, 16, 20, 60, len(data) - 168 - 8, len(data) - 168, len(data) - 1]
    else:
        wanted = [1, 4, len(data) // 4, len(data) // 2, len(data) - 30, len(data) - 1]
    return [n for n in wanted if 0 < n < len(data)]


def formats():
    return {"stl binary": ("stl", m.stl_binary()), "stl ascii": ("stl", m.stl_ascii()),
            "obj": ("obj", m.obj()), "off": ("off", m.off()), "ply ascii": ("ply", m.ply()),
            "ply little": ("ply", m.ply("binary_little_endian")),
            "ply big": ("ply", m.ply("binary_big_endian")), "gltf": ("gltf", m.gltf()),
            "glb": ("glb", m.glb()), "3mf": ("3mf", m.threemf())}


TEXTS = ("stl ascii", "obj", "off", "ply ascii")


def truncated():
    for kind, (ending, data) in formats().items():
        for n in cuts(data, kind):
            # What is left of a text may be a body with a hole, and is filled and said.
            yield f"{kind} cut at {n}", ending, data[:n], EITHER if kind in TEXTS else REFUSED


def whole():
    for kind, (ending, data) in formats().items():
        yield f"{kind} as it should be", ending, data, BOX
        yield f"{kind} with a byte order mark", ending, b"\xef\xbb\xbf" + data, (
            BOX if kind in TEXTS + ("gltf",) else None)
        yield f"{kind} under a wrong ending", "xyz", data, BOX
        if kind in TEXTS:
            yield f"{kind} with CRLF", ending, data.replace(b"\n", b"\r\n"), BOX
            yield f"{kind} with CR alone", ending, data.replace(b"\n", b"\r"), (
                None if kind == "ply ascii" else BOX)
            yield f"{kind} without its last line's end", ending, data.rstrip(), BOX
            yield f"{kind} with commas", ending, data.replace(b"100", b"100,0"), REFUSED


def numbers():
    for word in (b"nan", b"-inf", b"1e999", b"0x10", b"--1", b"1.2.3", b"", b"one"):
        name = word.decode() or "nothing"
        for kind in TEXTS:
            ending, data = formats()[kind]
            yield f"{kind} with {name}", ending, data.replace(b"100", word, 1), REFUSED
        model = zipfile_model().replace('x="100"', f'x="{name if word else ""}"', 1)
        yield f"3mf with {name}", "3mf", m.threemf(model), REFUSED
    for value in (float("nan"), float("inf"), -float("inf")):
        positions = [(value, 0, 0), *m.CORNERS[1:]]
        yield f"stl binary with {value}", "stl", m.stl_binary(positions), REFUSED
        for kind in ("binary_little_endian", "binary_big_endian"):
            yield f"ply {kind} with {value}", "ply", m.ply(kind, positions), REFUSED
    far = [(3e38, 0, 0), *m.CORNERS[1:]]
    yield "stl binary with the greatest float", "stl", m.stl_binary(far), None
    yield "obj with the greatest double", "obj", m.obj([(1e308, 0, 0), *m.CORNERS[1:]]), None


def zipfile_model():
    import io
    with zipfile.ZipFile(io.BytesIO(m.threemf())) as archive:
        return archive.read("3D/3dmodel.model").decode()


def counts():
    for count in (0, 11, 13, 4_000_000_000):
        yield f"stl that says {count} facets", "stl", m.stl_binary(count=count), REFUSED
    for count in (-1, 7, 4_000_000_000, 10**30, "many"):
        for kind in ("ascii", "binary_little_endian", "binary_big_endian"):
            yield f"ply {kind}, {count} vertices", "ply", m.ply(kind, vertices=count), REFUSED
    for count in (13, 4_000_000_000, 10**30):
        yield f"ply, {count} faces", "ply", m.ply(faces=count), REFUSED
    for line in ("8 4000000000 0", "4000000000 12 0", "-8 12 0", "8 12.5 0", "8", ""):
        yield f"off, counts {line!r}", "off", m.off().replace(b"8 12 0", line.encode()), REFUSED
    yield "a short header of 4 billion facets", "stl", (
        b"x".ljust(80) + struct.pack("<I", 4_000_000_000)).ljust(200, b"\1"), REFUSED
    yield "a short ply of 4 billion", "ply", m.ply(
        "binary_little_endian", vertices=4_000_000_000, faces=4_000_000_000)[:200], REFUSED


def scenes():
    def changed(**changes):
        def change(scene):
            for path, value in changes.items():
                where = scene
                *steps, last = path.split("__")
                for step in steps:
                    where = where[int(step) if step.isdigit() else step]
                where[int(last) if last.isdigit() else last] = value
        return change
    wrong = {
        "an accessor of 4 billion": changed(accessors__0__count=4_000_000_000),
        "an accessor of −1": changed(accessors__0__count=-1),
        "an accessor beyond its view": changed(accessors__0__byteOffset=90),
        "a view beyond its buffer": changed(bufferViews__0__byteLength=10**18),
        "a view from beyond": changed(bufferViews__1__byteOffset=2**64 - 1),
        "a stride of nothing but words": changed(bufferViews__0__byteStride="x"),
        "a component that is none": changed(accessors__0__componentType=1),
        "a place of two": changed(accessors__0__type="VEC2"),
        "an index of floats": changed(accessors__1__componentType=5126),
        "a node in a circle": changed(nodes__0__children=[0]),
        "a node that is not there": changed(scenes__0__nodes=[7]),
        "a mesh that is not there": changed(nodes__0__mesh=3),
        "a matrix of words": changed(nodes__0__matrix=["x"] * 16),
        "a matrix of too few": changed(nodes__0__matrix=[1] * 15),
        "a scale of 1e308": changed(nodes__0__scale=[1e308, 1e308, 1e308]),
        "points alone": changed(meshes__0__primitives__0__mode=0),
        "a mode that is none": changed(meshes__0__primitives__0__mode=9),
        "no meshes": changed(meshes=[]),
        "lists that are none": changed(nodes=5),
        "compression": changed(extensionsRequired=["KHR_draco_mesh_compression"]),
    }
    for name, change in wrong.items():
        yield f"gltf with {name}", "gltf", m.gltf(change), REFUSED
        yield f"glb with {name}", "glb", m.glb(change), REFUSED
    yield "gltf of brackets", "gltf", b'{"asset":' + b"[" * 200000, REFUSED
    yield "gltf whose data are elsewhere", "gltf", m.gltf(
        lambda scene: scene["buffers"][0].update(uri="../../etc/passwd")), REFUSED
    yield "gltf whose data are gone", "gltf", m.gltf(
        lambda scene: scene["buffers"][0].update(uri="gone.bin")), REFUSED
    yield "glb of version 1", "glb", m.glb().replace(b"\2\0\0\0", b"\1\0\0\0", 1), REFUSED
    yield "3mf in inches", "3mf", m.threemf(unit="inch"), Answer(
        tuple(25.4 * x for x in m.LENGTHS), warned=False)
    yield "3mf, stored", "3mf", m.threemf(method=zipfile.ZIP_STORED), BOX
    yield "3mf with bzip2", "3mf", m.threemf(method=zipfile.ZIP_BZIP2), REFUSED
    yield "3mf without a body", "3mf", m.threemf("<model/>"), REFUSED
    yield "3mf that is no XML", "3mf", m.threemf("<model><resources"), REFUSED
    bomb = m.threemf("<model>" + " " * 50_000_000 + "</model>")
    yield "3mf that unpacks to 50 MB of blanks", "3mf", bomb, REFUSED
    within = "".join(f'<object id="{i}"><components>' + f'<component objectid="{i - 1}"/>' * 4 +
                     "</components></object>" for i in range(2, 40))
    yield "3mf of parts within parts", "3mf", m.threemf(
        zipfile_model().replace("</resources>", within + "</resources>").replace(
            '<item objectid="1"/>', '<item objectid="39"/>')), REFUSED


def shapes():
    yield "a Moebius strip", "obj", m.obj(*m.moebius()), REFUSED
    yield "a Klein bottle", "obj", m.obj(*m.klein()), REFUSED
    yield "one facet", "stl", m.stl_binary(facets=m.FACETS[:1]), REFUSED
    yield "a flat sheet", "obj", m.obj(facets=m.FACETS[:2]), REFUSED
    yield "all facets at one point", "stl", m.stl_binary([(1, 2, 3)] * 8), REFUSED
    for name, make in (("obj", m.obj), ("off", m.off)):
        yield f"{name} with polygons of 10 000 corners", name, make(*m.prism(10_000)), Answer(
            (100, 20, 20), warned=False, facets=2 * 9998 + 20000)
        yield f"{name} of quadrangles", name, make(facets=m.QUADS), BOX
        yield f"{name} with a facet of one corner", name, make(
            facets=[*m.FACETS, (0,)]), Answer(warned=True)
        yield f"{name} with unused vertices", name, make(
            [*m.CORNERS, (900, 0, 0)]), Answer(warned=True)
    yield "facets without area", "stl", m.stl_binary(facets=[*m.FACETS, (0, 0, 1), (2, 2, 2)]), (
        Answer())
    yield "every facet twice", "stl", m.stl_binary(facets=m.FACETS * 2), Answer()
    yield "inside out", "stl", m.stl_binary(facets=[f[::-1] for f in m.FACETS]), Answer(
        warned=True)
    yield "some facets turned", "stl", m.stl_binary(
        facets=[f[::-1] if i % 5 == 0 else f for i, f in enumerate(m.FACETS)]), Answer(warned=True)
    yield "a facet missing", "stl", m.stl_binary(facets=m.FACETS[:-1]), Answer(warned=True)
    yield "minus nought", "obj", m.obj([tuple(-x if x == 0 else x for x in p) for p in m.CORNERS]), (
        BOX)
    more = [(x + 300, y / 10, z / 10) for x, y, z in m.CORNERS]
    yield "two bodies", "obj", m.obj(m.CORNERS + more, m.FACETS + [
        tuple(v + 8 for v in f) for f in m.FACETS]), Answer(warned=True)
    yield "latin-1 in names", "obj", m.obj().replace(b"# box", b"# K\xf6der\no gr\xfcn"), BOX
    yield "latin-1 in a solid's name", "stl", m.stl_ascii().replace(b"solid box", b"solid K\xf6der"), (
        BOX)
    yield "latin-1 in a comment", "ply", m.ply().replace(b"comment box", b"comment K\xf6der"), BOX
    yield "an obj with all that it may have", "obj", (
        b"mtllib a.mtl\nvt 0 0\nvn 0 0 1\n" + m.obj().replace(b"f 1 3 4", b"usemtl x\ns off\nf 1/1/1 3//1 4/1")), BOX
    yield "an obj with indices from the end", "obj", m.obj(
        facets=[tuple(v - 9 for v in f) for f in m.FACETS]), BOX
    yield "an obj with lines joined", "obj", m.obj().replace(b"f 1 3 4", b"f 1 \\\n3 4"), BOX
    for index in ("0", "9", "-9", "99999999999999999999", "1.5", "a"):
        yield f"an obj with index {index}", "obj", m.obj() + f"f 1 2 {index}\n".encode(), REFUSED
    for index in ("8", "-1", "99999999999999999999"):
        yield f"an off with index {index}", "off", m.off().replace(
            b"3 0 2 3", f"3 0 2 {index}".encode()), REFUSED
        yield f"a ply with index {index}", "ply", m.ply().replace(
            b"3 0 2 3", f"3 0 2 {index}".encode()), REFUSED


def strangers():
    heads = {"png": b"\x89PNG\r\n\x1a\n", "jpg": b"\xff\xd8\xff\xe0", "pdf": b"%PDF-1.4\n",
             "gz": b"\x1f\x8b\x08", "zip": b"PK\x03\x04", "html": b"<!DOCTYPE html><html>",
             "svg": b"<svg xmlns='x'>", "step": b"ISO-10303-21;\n", "fbx": b"Kaydara FBX Binary",
             "usdz": b"PK\x03\x04....lure.usdc", "dae": b"<?xml?><COLLADA>", "7z": b"7z\xbc\xaf",
             "txt": b"Dear reader,\n", "json": b'{"a": 1}', "wide": "v 0 0 0\n".encode("utf-16")}
    for ending, head in heads.items():
        yield f"a {ending}", ending, head.ljust(300, b"\x20"), REFUSED
    yield "nothing", "stl", b"", REFUSED
    yield "zeros", "stl", bytes(5000), REFUSED
    yield "a byte", "obj", b"v", REFUSED
    chance = random.Random(7)
    for i in range(10):
        yield f"noise {i}", "stl", bytes(chance.randrange(256) for _ in range(2000)), REFUSED


def cases():
    for make in (whole, truncated, numbers, counts, scenes, shapes, strangers):
        yield from make()


class Malformed(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.mkdtemp(prefix="trueblank-malformed-")

    def tearDown(self):
        shutil.rmtree(self.folder)

    def run_on(self, name, *more, verb="check"):
        return subprocess.run([PROGRAM, verb, name, *more], cwd=self.folder, capture_output=True,
                              timeout=600, check=False)

    def assert_refused(self, run, what):
        self.assertEqual(run.returncode, 2, (what, run.stdout[:300], run.stderr))
        self.assertEqual(run.stdout, b"", what)
        self.assertEqual(run.stderr.count(b"\n"), 1, (what, run.stderr))
        self.assertTrue(run.stderr.startswith(b"trueblank: "), (what, run.stderr))
        self.assertNotIn(b"fault of this program", run.stderr, what)

    def assert_right(self, run, wanted, what):
        self.assertEqual((run.returncode, run.stderr), (0, b""), what)
        said = json.loads(run.stdout)
        if wanted is None:  # taken or not, but by rule
            return
        sizes = [said["size_mm"][key] for key in ("length", "width", "height")]
        for found, told in zip(sizes, sorted(wanted.lengths, reverse=True)):
            self.assertAlmostEqual(found, told, delta=1e-3 * told, msg=what)
        if wanted.facets is not None:
            self.assertEqual(said["input"]["facets"], wanted.facets, what)
        if wanted.warned is not None:
            self.assertEqual(bool(said["warnings"]), wanted.warned, (what, said["warnings"]))

    def test_each_is_refused_in_a_line_or_answered_rightly(self):
        count = 0
        for what, ending, data, wanted in cases():
            count += 1
            with self.subTest(what):
                path = pathlib.Path(self.folder, f"body-{count}.{ending}")
                path.write_bytes(data)
                before = sorted(os.listdir(self.folder))
                run = self.run_on(path.name, "--json", "-")
                self.assertEqual(sorted(os.listdir(self.folder)), before, what)
                if wanted == REFUSED:
                    self.assert_refused(run, what)
                elif wanted == EITHER and run.returncode == 0:
                    self.assertTrue(json.loads(run.stdout)["warnings"], what)
                elif wanted in (EITHER, None) and run.returncode != 0:
                    self.assert_refused(run, what)
                elif wanted != EITHER:
                    self.assert_right(run, wanted, what)
                path.unlink()
        self.assertGreaterEqual(count, 120)
        print(f"{count} files")
        # The most that any of them took.
        peak_mib = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        # A sanitizer's allocator keeps much more than the program asks for.
        if b"__asan_init" not in pathlib.Path(PROGRAM).read_bytes():
            self.assertLess(peak_mib, MOST_MIB)

    def test_names_of_any_kind_are_taken(self):
        for name in ("with blanks.stl", "it's.stl", 'say "lure".stl', "<b>bold</b>.stl".replace("/", "_"),
                     "&amp;.stl", "köder-鱒.stl", "back\\slash.stl", "-dash.stl", "new\nline.stl",
                     "$(touch x).stl", "percent%20.stl"):
            with self.subTest(name):
                pathlib.Path(self.folder, name).write_bytes(m.stl_binary())
                run = self.run_on("./" + name, "--json", "-")
                self.assert_right(run, BOX, name)
                text = self.run_on("./" + name)
                self.assertEqual(text.returncode, 0)
        latin = os.path.join(os.fsencode(self.folder), b"K\xf6der.stl")
        with open(latin, "wb") as file:
            file.write(m.stl_binary())
        self.assert_right(self.run_on(latin, "--json", "-"), BOX, latin)
        self.assertFalse(os.path.exists(os.path.join(self.folder, "x")))

    def test_what_can_t_be_read_or_written_is_said(self):
        pathlib.Path(self.folder, "box.stl").write_bytes(m.stl_binary())
        os.mkdir(os.path.join(self.folder, "folder"))
        for what, name, more in (
                ("a file that is missing", "gone.stl", ()), ("a folder", "folder", ()),
                ("no such folder", "box.stl", ("--json", "gone/out.json")),
                ("a folder as output", "box.stl", ("--json", "folder")),
                ("over its own input", "box.stl", ("--json", "box.stl")),
                ("a full disk", "box.stl", ("--json", "/dev/full")),
                ("a map on a full disk", "box.stl", ("--map", "/dev/full.ply")),
                ("one of two can't be written", "box.stl",
                 ("--map", "ok.ply", "--json", "gone/x.json"))):
            with self.subTest(what):
                before = sorted(os.listdir(self.folder))
                self.assert_refused(self.run_on(name, *more), what)
                self.assertEqual(sorted(os.listdir(self.folder)), before, what)
        with open("/dev/full", "wb") as full:
            run = subprocess.run([PROGRAM, "check", "box.stl", "--json", "-"], cwd=self.folder,
                                 stdout=full, stderr=subprocess.PIPE, check=False)
        self.assertEqual((run.returncode, run.stderr.count(b"\n")), (2, 1), run.stderr)

    def test_standard_input_takes_every_format(self):
        for kind, (_, data) in formats().items():
            with self.subTest(kind):
                run = subprocess.run([PROGRAM, "check", "-", "--json", "-"], input=data,
                                     capture_output=True, check=False)
                self.assert_right(run, BOX, kind)

    def test_when_killed_at_any_moment_no_file_is_half_there(self):
        pathlib.Path(self.folder, "big.stl").write_bytes(m.stl_binary(*m.spindle(300, 200)))
        command = [PROGRAM, "weigh", "big.stl", "--map", "out.ply", "--json", "out.json"]
        start = time.monotonic()
        subprocess.run(command, cwd=self.folder, capture_output=True, check=True)
        takes = time.monotonic() - start
        names = ("out.ply", "out.json")
        whole_files = {name: pathlib.Path(self.folder, name).read_bytes() for name in names}
        chance = random.Random(11)
        killed = 0
        for i in range(40):
            old = {name: b"old" for name in names} if i % 2 else {}
            for name in names:
                path = pathlib.Path(self.folder, name)
                path.unlink(missing_ok=True)
                if old:
                    path.write_bytes(old[name])
            child = subprocess.Popen(command, cwd=self.folder, stdout=subprocess.DEVNULL,
                                     stderr=subprocess.DEVNULL)
            time.sleep(takes * chance.uniform(0.3 if i % 3 else 0.8, 1.05))
            child.send_signal(signal.SIGKILL)
            caught = child.wait() == -signal.SIGKILL
            killed += caught
            # How long it takes hangs on what else runs: most are to be caught, late rather than early.
            takes *= 1.03 if caught else 0.9
            for name in names:
                path = pathlib.Path(self.folder, name)
                found = path.read_bytes() if path.exists() else None
                self.assertIn(found, (old.get(name), whole_files[name]), (i, name))
        self.assertGreater(killed, 10)


if __name__ == "__main__":
    unittest.main()
