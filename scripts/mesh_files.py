# SPDX-License-Identifier: GPL-3.0-or-later
"""Triangle meshes in and out of files, for the scripts beside this one.

A mesh is a list of positions (x, y, z) and a list of facets (i, j, k), 0-based and
counter-clockwise seen from outside. Standard library only.
"""

import json
import math
import struct


def subtract(a, b):
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def add_scaled(a, b, factor):
    return (a[0] + factor * b[0], a[1] + factor * b[1], a[2] + factor * b[2])


def cross(a, b):
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def unit(a):
    length = math.sqrt(dot(a, a))
    return (a[0] / length, a[1] / length, a[2] / length) if length > 0 else (0.0, 0.0, 0.0)


def volume(positions, facets):
    """The enclosed volume: signed tetrahedra from the first vertex, summed without loss."""
    apex = positions[facets[0][0]]
    local = [subtract(p, apex) for p in positions]
    return math.fsum(dot(local[i], cross(local[j], local[k])) for i, j, k in facets) / 6


def area(positions, facets):
    normals = (cross(subtract(positions[j], positions[i]), subtract(positions[k], positions[i]))
               for i, j, k in facets)
    return math.fsum(math.sqrt(dot(n, n)) for n in normals) / 2


def vertex_normals(positions, facets):
    """Unit normals, each the sum over the vertex's facets weighted by area."""
    sums = [(0.0, 0.0, 0.0)] * len(positions)
    for i, j, k in facets:
        a = positions[i]
        n = cross(subtract(positions[j], a), subtract(positions[k], a))
        for v in (i, j, k):
            sums[v] = add_scaled(sums[v], n, 1.0)
    return [unit(n) for n in sums]


def used_only(positions, facets):
    """Without the vertices that no facet uses, the rest in their order."""
    used = sorted({v for facet in facets for v in facet})
    new = {old: index for index, old in enumerate(used)}
    return [positions[v] for v in used], [(new[i], new[j], new[k]) for i, j, k in facets]


def stl_bytes(positions, facets, header):
    """Binary STL; `header` is plain text of at most 80 characters."""
    out = bytearray(header.encode("ascii").ljust(80, b" "))
    out += struct.pack("<I", len(facets))
    for i, j, k in facets:
        a, b, c = positions[i], positions[j], positions[k]
        n = unit(cross(subtract(b, a), subtract(c, a)))
        # Six digits are plenty for a normal, and the same on every machine.
        n = [round(x, 6) + 0.0 for x in n]
        out += struct.pack("<12fH", *n, *a, *b, *c, 0)
    return bytes(out)


def obj_bytes(positions, facets, comment, digits):
    """Wavefront OBJ with `digits` decimals, facets 1-based."""
    lines = [f"# {line}" for line in comment.splitlines()]
    for p in positions:
        lines.append("v " + " ".join(f"{x + 0.0:.{digits}f}" for x in p))
    for facet in facets:
        lines.append("f " + " ".join(str(v + 1) for v in facet))
    return ("\n".join(lines) + "\n").encode("ascii")


def off_bytes(positions, facets, digits):
    lines = ["OFF", f"{len(positions)} {len(facets)} 0"]
    lines += [" ".join(f"{x + 0.0:.{digits}f}" for x in p) for p in positions]
    lines += ["3 " + " ".join(map(str, facet)) for facet in facets]
    return ("\n".join(lines) + "\n").encode("ascii")


def ply_bytes(positions, facets, comment):
    """Binary PLY, single precision."""
    lines = ["ply", "format binary_little_endian 1.0"]
    lines += [f"comment {line}" for line in comment.splitlines()]
    lines += [f"element vertex {len(positions)}"]
    lines += [f"property float {axis}" for axis in "xyz"]
    lines += [f"element face {len(facets)}", "property list uchar int vertex_indices", "end_header"]
    out = bytearray(("\n".join(lines) + "\n").encode("ascii"))
    for p in positions:
        out += struct.pack("<3f", *p)
    for facet in facets:
        out += struct.pack("<B3i", 3, *facet)
    return bytes(out)


def glb_bytes(positions, facets):
    """Binary glTF 2.0 (Khronos Group): one mesh, one buffer, positions before indices."""
    points = b"".join(struct.pack("<3f", *p) for p in positions)
    corners = b"".join(struct.pack("<3I", *facet) for facet in facets)
    singles = [struct.unpack("<3f", points[at : at + 12]) for at in range(0, len(points), 12)]
    tree = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
        "buffers": [{"byteLength": len(points) + len(corners)}],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": len(points), "target": 34962},
            {"buffer": 0, "byteOffset": len(points), "byteLength": len(corners), "target": 34963},
        ],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": len(positions), "type": "VEC3",
             "min": [min(p[i] for p in singles) for i in range(3)],
             "max": [max(p[i] for p in singles) for i in range(3)]},
            {"bufferView": 1, "componentType": 5125, "count": 3 * len(facets), "type": "SCALAR"},
        ],
    }
    text = json.dumps(tree, separators=(",", ":")).encode("ascii")
    text += b" " * (-len(text) % 4)
    data = points + corners
    total = 12 + 8 + len(text) + 8 + len(data)
    return (b"glTF" + struct.pack("<2I", 2, total) + struct.pack("<I", len(text)) + b"JSON" + text
            + struct.pack("<I", len(data)) + b"BIN\0" + data)


def read_mesh(path):
    """Reads STL (binary or ASCII) or OBJ; equal positions are one vertex."""
    with open(path, "rb") as file:
        data = file.read()
    if path.lower().endswith(".obj"):
        return _read_obj(data)
    if len(data) >= 84 and len(data) == 84 + 50 * struct.unpack_from("<I", data, 80)[0]:
        corners = [
            struct.unpack_from("<9f", data, start + 12) for start in range(84, len(data), 50)
        ]
        triples = [(c[0:3], c[3:6], c[6:9]) for c in corners]
    else:
        rows = [
            tuple(float(x) for x in words[1:4])
            for words in (line.split() for line in data.decode("latin-1").splitlines())
            if len(words) == 4 and words[0] == "vertex"
        ]
        triples = [tuple(rows[i : i + 3]) for i in range(0, len(rows) - 2, 3)]
    if not triples:
        raise SystemExit(f"{path}: no facets found; STL and OBJ are read")
    index, positions, facets = {}, [], []
    for triple in triples:
        facet = []
        for point in triple:
            if point not in index:
                index[point] = len(positions)
                positions.append(point)
            facet.append(index[point])
        if len(set(facet)) == 3:
            facets.append(tuple(facet))
    return positions, facets


def _read_obj(data):
    positions, facets = [], []
    for line in data.decode("latin-1").splitlines():
        words = line.split()
        if words[:1] == ["v"]:
            positions.append(tuple(float(x) for x in words[1:4]))
        elif words[:1] == ["f"]:
            corners = [int(word.split("/")[0]) for word in words[1:]]
            corners = [c - 1 if c > 0 else len(positions) + c for c in corners]
            for second, third in zip(corners[1:], corners[2:]):
                facets.append((corners[0], second, third))
    return positions, facets
