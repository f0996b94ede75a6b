# SPDX-License-Identifier: GPL-3.0-or-later
"""What a scanner takes for a part of the body: the table or the turntable that it lies on, the pin
that holds it, a hand. For simulate-scan; distances in mm, z up.

What is joined with the body is a skirt: rings of as many vertices as the body's rim has, the first
of them the rim itself, each sewn to the next one.
"""

import math

from mesh_files import add_scaled, dot, subtract, unit, used_only


def cut_above(positions, facets, height):
    """The facets' parts above z = height, facets cut at it; vertices within a thousandth of it are
    lifted onto it."""
    positions = [(x, y, height) if abs(z - height) < 1e-3 else (x, y, z) for x, y, z in positions]
    cuts, left = {}, []

    def between(a, b):
        key = (min(a, b), max(a, b))
        if key not in cuts:
            low, high = (positions[v] for v in key)
            part = (height - low[2]) / (high[2] - low[2])
            x, y, _ = add_scaled(low, subtract(high, low), part)
            cuts[key] = len(positions)
            positions.append((x, y, height))
        return cuts[key]

    for facet in facets:
        corners = []
        for a, b in zip(facet, facet[1:] + facet[:1]):
            over_a, over_b = (positions[v][2] - height for v in (a, b))
            if over_a >= 0:
                corners.append(a)
            if over_a * over_b < 0:
                corners.append(between(a, b))
        if len(corners) >= 3 and max(positions[v][2] for v in corners) > height:
            left += [(corners[0], b, c) for b, c in zip(corners[1:], corners[2:])]
    return used_only(positions, left)


def rims(facets):
    """The loops of edges with one facet, each as its facets run; none touches itself."""
    sides = {(a, b) for facet in facets for a, b in zip(facet, facet[1:] + facet[:1])}
    after = {}
    for a, b in sorted(sides):
        if (b, a) not in sides:
            after.setdefault(a, []).append(b)
    loops = []
    while after:
        walk = [min(after)]
        while walk:
            onwards = after[walk[-1]]
            v = onwards.pop()
            if not onwards:
                del after[walk[-1]]
            if v in walk:
                loops.append(walk[walk.index(v):])
                walk = walk[:walk.index(v)]
            if walk or v in after:
                walk.append(v)
    return loops


def sewn(positions, facets, rim, rings):
    """The body with the rings hung on its rim, one below the other."""
    positions, facets = list(positions), list(facets)
    above, count = rim, len(rim)
    for ring in rings:
        below = list(range(len(positions), len(positions) + count))
        positions += ring
        for i in range(count):
            j = (i + 1) % count
            facets.append((above[j], above[i], below[i]))
            facets.append((above[j], below[i], below[j]))
        above = below
    return positions, facets


def mean(points):
    return tuple(sum(p[i] for p in points) / len(points) for i in range(3))


def outward(points):
    """Level unit vectors square to a level loop, away from what it goes round."""
    count = len(points)
    area = sum(p[0] * q[1] - p[1] * q[0] for p, q in zip(points, points[1:] + points[:1]))
    sign = 1 if area > 0 else -1
    ways = []
    for i in range(count):
        x, y, _ = subtract(points[(i + 1) % count], points[i - 1])
        ways.append(unit((sign * y, -sign * x, 0.0)))
    return ways


def fillet(points, width, steps=4):
    """A hollow quarter round from a level rim down to the level `width` below it."""
    rings = []
    for step in range(1, steps + 1):
        turn = math.pi / 2 * step / steps
        out, down = width * (1 - math.cos(turn)), width * math.sin(turn)
        rings.append([add_scaled(add_scaled(p, n, out), (0.0, 0.0, -1.0), down)
                      for p, n in zip(points, outward(points))])
    return rings


def onto_square(way, half):
    """Where a level ray from the middle of a square leaves it."""
    return half / max(abs(way[0]), abs(way[1]))


def onto_disc(way, radius):
    return radius


def plate(inner, middle, reach, wobble, steps=10):
    """From a level ring outwards until `reach(way)` from the middle, uneven by `wobble`."""
    rings = []
    for step in range(1, steps + 1):
        part = (step / steps) ** 1.5
        ring = []
        for p in inner:
            way = unit(subtract(p, middle)[:2] + (0.0,))
            edge = add_scaled((middle[0], middle[1], p[2]), way, reach(way))
            q = add_scaled(p, subtract(edge, p), part)
            ring.append(add_scaled(q, (0.0, 0.0, 1.0), wobble(q)))
        rings.append(ring)
    return rings


def lowered(ring, by):
    return [add_scaled(p, (0.0, 0.0, -1.0), by) for p in ring]


def on_table(positions, facets, width, reach, wobble, wall=0.0):
    """The body as it lies on a plate that the scan joins with it by a fillet of `width`; the plate
    touches its lowest point. With a `wall` the plate's rim goes on down, as that of a disc."""
    height = min(p[2] for p in positions) + width
    positions, facets = cut_above(positions, facets, height)
    loops = [loop for loop in rims(facets) if all(positions[v][2] == height for v in loop)]
    if len(loops) != 1:
        raise SystemExit(f"the body meets the height of the fillet in {len(loops)} whole loops, "
                         "not one: is there a hole in it?")
    rim = [positions[v] for v in loops[0]]
    rings = fillet(rim, width)
    rings += plate(rings[-1], mean(rings[-1]), reach, wobble)
    if wall:
        rings += [lowered(rings[-1], wall * part) for part in (0.3, 0.7, 1.0)]
    return sewn(positions, facets, loops[0], rings)


def on_pin(positions, facets, place, radius, length, disc, wobble):
    """The body on an upright pin that the scan joins with it, the pin on a disc; the rim nearest
    to `place` is the pin's."""
    def away(loop):
        d = subtract(mean([positions[v] for v in loop]), place)
        return dot(d, d)
    rim = min(rims(facets), key=away)
    points = [positions[v] for v in rim]
    middle = mean(points)
    low = min(p[2] for p in points)
    first = math.atan2(points[0][1] - middle[1], points[0][0] - middle[0])
    # Seen from below the rim of a hole in the belly runs clockwise, as a belly's facets do not.
    turn = sum(p[0] * q[1] - p[1] * q[0] for p, q in zip(
        [subtract(p, middle) for p in points],
        [subtract(p, middle) for p in points[1:] + points[:1]]))
    step = math.copysign(2 * math.pi / len(points), turn)

    def circle(size, z):
        return [(middle[0] + size * math.cos(first + i * step),
                 middle[1] + size * math.sin(first + i * step), z) for i in range(len(points))]
    rings = [circle(radius, low - 0.5 - length * part) for part in (0.0, 0.25, 0.5, 0.75, 1.0)]
    rings += plate(rings[-1], middle, lambda way: onto_disc(way, disc), wobble)
    return sewn(positions, facets, rim, rings)


def hand(centre, size, wobble, cells=16):
    """A lumpy cap, open below, longer than wide, its middle at `centre`."""
    positions, facets = [], []
    for row in range(cells + 1):
        polar = 0.15 + (2.0 - 0.15) * row / cells
        for column in range(cells):
            round_ = 2 * math.pi * column / cells
            way = (1.6 * math.sin(polar) * math.cos(round_), math.sin(polar) * math.sin(round_),
                   math.cos(polar))
            p = add_scaled(centre, way, size / 2)
            positions.append(add_scaled(p, unit(way), wobble(p)))
    for row in range(cells):
        for column in range(cells):
            a, b = row * cells + column, row * cells + (column + 1) % cells
            facets += [(a, a + cells, b + cells), (a, b + cells, b)]
    return positions, facets
