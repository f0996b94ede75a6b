# SPDX-License-Identifier: GPL-3.0-or-later
"""One body in every format that is read, as bytes: a box of 100 x 20 x 30 mm, and odd surfaces."""

import base64
import io
import json
import math
import struct
import zipfile

LENGTHS = (100.0, 30.0, 20.0)
CORNERS = [(x, y, z) for z in (0.0, 30.0) for y in (0.0, 20.0) for x in (0.0, 100.0)]
QUADS = [(0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5)]
FACETS = [t for a, b, c, d in QUADS for t in ((a, b, c), (a, c, d))]


def stl_binary(positions=None, facets=None, count=None, header=b"binary"):
    positions, facets = positions or CORNERS, facets or FACETS
    body = b"".join(struct.pack("<3f", 0, 0, 0) + b"".join(struct.pack("<3f", *positions[v])
                                                            for v in f) + b"\0\0" for f in facets)
    return header.ljust(80) + struct.pack("<I", len(facets) if count is None else count) + body


def stl_ascii(positions=None, facets=None):
    positions, facets = positions or CORNERS, facets or FACETS
    lines = ["solid box"]
    for facet in facets:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex %.17g %.17g %.17g" % positions[v] for v in facet]
        lines += ["endloop", "endfacet"]
    return ("\n".join(lines + ["endsolid box"]) + "\n").encode()


def obj(positions=None, facets=None):
    positions, facets = positions or CORNERS, facets or FACETS
    return ("# box\n" + "".join("v %.17g %.17g %.17g\n" % p for p in positions) +
            "".join("f " + " ".join(str(v + 1) for v in f) + "\n" for f in facets)).encode()


def off(positions=None, facets=None):
    positions, facets = positions or CORNERS, facets or FACETS
    return (f"OFF\n{len(positions)} {len(facets)} 0\n" +
            "".join("%.17g %.17g %.17g\n" % p for p in positions) +
            "".join(f"{len(f)} " + " ".join(map(str, f)) + "\n" for f in facets)).encode()


def ply(kind="ascii", positions=None, facets=None, vertices=None, faces=None):
    positions, facets = positions or CORNERS, facets or FACETS
    head = (f"ply\nformat {kind} 1.0\ncomment box\n"
            f"element vertex {len(positions) if vertices is None else vertices}\n"
            "property float x\nproperty float y\nproperty float z\n"
            f"element face {len(facets) if faces is None else faces}\n"
            "property list uchar int vertex_indices\nend_header\n").encode()
    if kind == "ascii":
        return head + ("".join("%.9g %.9g %.9g\n" % p for p in positions) + "".join(
            f"{len(f)} " + " ".join(map(str, f)) + "\n" for f in facets)).encode()
    order = "<" if kind == "binary_little_endian" else ">"
    return (head + b"".join(struct.pack(order + "3f", *p) for p in positions) +
            b"".join(struct.pack(order + f"B{len(f)}i", len(f), *f) for f in facets))


def gltf_parts():
    """(description, buffer); the unit is the metre."""
    data = b"".join(struct.pack("<3f", *(x / 1000 for x in p)) for p in CORNERS)
    data += b"".join(struct.pack("<3H", *f) for f in FACETS)
    return {"asset": {"version": "2.0"}, "scene": 0, "scenes": [{"nodes": [0]}],
            "nodes": [{"mesh": 0}],
            "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
            "accessors": [{"bufferView": 0, "componentType": 5126, "count": 8, "type": "VEC3"},
                          {"bufferView": 1, "componentType": 5123, "count": 36, "type": "SCALAR"}],
            "bufferViews": [{"buffer": 0, "byteLength": 96},
                            {"buffer": 0, "byteOffset": 96, "byteLength": 72}],
            "buffers": [{"byteLength": len(data)}]}, data


def gltf(change=lambda scene: None):
    scene, data = gltf_parts()
    scene["buffers"][0]["uri"] = ("data:application/octet-stream;base64," +
                                  base64.b64encode(data).decode())
    change(scene)
    return json.dumps(scene).encode()


def glb(change=lambda scene: None):
    scene, data = gltf_parts()
    change(scene)
    text = json.dumps(scene).encode()
    text += b" " * (-len(text) % 4)
    return (b"glTF" + struct.pack("<II", 2, 12 + 8 + len(text) + 8 + len(data)) +
            struct.pack("<I4s", len(text), b"JSON") + text +
            struct.pack("<I4s", len(data), b"BIN\0") + data)


def threemf(model=None, unit="millimeter", method=zipfile.ZIP_DEFLATED):
    if model is None:
        model = (f'<model unit="{unit}"><resources><object id="1"><mesh><vertices>' +
                 "".join('<vertex x="%g" y="%g" z="%g"/>' % p for p in CORNERS) +
                 "</vertices><triangles>" +
                 "".join('<triangle v1="%d" v2="%d" v3="%d"/>' % f for f in FACETS) +
                 '</triangles></mesh></object></resources><build><item objectid="1"/></build>'
                 "</model>")
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        archive.writestr(zipfile.ZipInfo("3D/3dmodel.model", (2026, 1, 1, 0, 0, 0)), model,
                         compress_type=method)
    return out.getvalue()


def strip(columns, rows, place, joined):
    """A grid of facets over place(u, v), u and v from 0 to 1, the last column sewn to the first:
    joined(row) is the row that the last column's meets there."""
    positions = [place(c / columns, r / rows) for c in range(columns) for r in range(rows + 1)]

    def at(column, row):
        if column == columns:
            column, row = 0, joined(row)
        return column * (rows + 1) + row
    facets = []
    for c in range(columns):
        for r in range(rows):
            a, b, d, e = at(c, r), at(c + 1, r), at(c + 1, r + 1), at(c, r + 1)
            facets += [(a, b, d), (a, d, e)]
    return positions, facets


def moebius():
    def place(u, v):
        turn, half = 2 * math.pi * u, math.pi * u
        out = 60 + 30 * (v - 0.5) * math.cos(half)
        return (out * math.cos(turn), out * math.sin(turn), 30 * (v - 0.5) * math.sin(half))
    return strip(60, 6, place, lambda row: 6 - row)


def klein():
    """The figure-8 immersion: closed, of one side."""
    rows = 24

    def place(u, v):
        turn, along = 2 * math.pi * u, 2 * math.pi * v
        out = 50 + 15 * (math.cos(turn / 2) * math.sin(along)
                         - math.sin(turn / 2) * math.sin(2 * along))
        return (out * math.cos(turn), out * math.sin(turn),
                15 * (math.sin(turn / 2) * math.sin(along)
                      + math.cos(turn / 2) * math.sin(2 * along)))
    positions, facets = strip(60, rows, place, lambda row: rows - row)
    # Row `rows` is row 0 again.
    same = [v - rows if v % (rows + 1) == rows else v for v in range(len(positions))]
    return positions, [tuple(same[v] for v in f) for f in facets]


def spindle(rings, around):
    """A body of revolution, pointed at both ends, of 2 * rings * around triangles."""
    positions = [(0.0, 0.0, 0.0)]
    for i in range(1, rings + 1):
        share = math.pi * i / (rings + 1)
        for k in range(around):
            turn = 2 * math.pi * k / around
            positions.append((50 - 50 * math.cos(share), 10 * math.sin(share) * math.cos(turn),
                              12 * math.sin(share) * math.sin(turn)))
    positions.append((100.0, 0.0, 0.0))
    facets = []
    for k in range(around):
        after = (k + 1) % around
        facets.append((0, 1 + k, 1 + after))
        facets.append((len(positions) - 1, len(positions) - 1 - around + after,
                       len(positions) - 1 - around + k))
        for i in range(rings - 1):
            here, there = 1 + i * around, 1 + (i + 1) * around
            facets.append((here + k, there + k, there + after))
            facets.append((here + k, there + after, here + after))
    return positions, facets


def prism(corners):
    """Two polygons of so many corners and the wall between: 100 long, about 20 across."""
    ring = [(10 * math.cos(2 * math.pi * i / corners), 10 * math.sin(2 * math.pi * i / corners))
            for i in range(corners)]
    positions = [(0.0, y, z) for y, z in ring] + [(100.0, y, z) for y, z in ring]
    facets = [tuple(reversed(range(corners))), tuple(range(corners, 2 * corners))]
    for i in range(corners):
        j = (i + 1) % corners
        facets += [(i, j, corners + j), (i, corners + j, corners + i)]
    return positions, facets
