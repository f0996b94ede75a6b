# SPDX-License-Identifier: GPL-3.0-or-later
"""The binary PLY that the program writes, read by the plainest means."""

import struct

TYPES = {"double": "d", "float": "f", "uchar": "B", "int": "i", "uint": "I"}


def read_ply(path):
    """({property: values of all vertices}, [(a, b, c) of each facet])"""
    data = path.read_bytes()
    header, _, body = data.partition(b"end_header\n")
    lines = header.decode("ascii").splitlines()
    if "format binary_little_endian 1.0" not in lines:
        raise ValueError(f"{path}: not a binary little-endian PLY")
    counts, properties, element = {}, [], None
    for line in lines:
        words = line.split()
        if words[0] == "element":
            element = words[1]
            counts[element] = int(words[2])
        elif words[0] == "property" and element == "vertex":
            properties.append((words[2], TYPES[words[1]]))
    vertex = struct.Struct("<" + "".join(kind for _, kind in properties))
    facet = struct.Struct("<B3i")
    end = counts["vertex"] * vertex.size
    rows = list(vertex.iter_unpack(body[:end]))
    columns = {name: [row[k] for row in rows] for k, (name, _) in enumerate(properties)}
    facets = []
    for corners, *abc in facet.iter_unpack(body[end:end + counts["face"] * facet.size]):
        if corners != 3:
            raise ValueError(f"{path}: a facet with {corners} corners")
        facets.append(tuple(abc))
    return columns, facets


def points_of(columns):
    return list(zip(columns["x"], columns["y"], columns["z"]))


def write_off(path, points, facets):
    """With as many digits as a double needs to come back the same."""
    lines = ["OFF", f"{len(points)} {len(facets)} 0"]
    lines += [" ".join(repr(part) for part in point) for point in points]
    lines += [f"3 {a} {b} {c}" for a, b, c in facets]
    path.write_text("\n".join(lines) + "\n", encoding="ascii")
