// SPDX-License-Identifier: GPL-3.0-or-later
// A coarse copy of a skin for pictures that move: vertices in one cell of a grid become one
// (J. Rossignac, P. Borrel, Modeling in Computer Graphics, 1993). Drawings only; figures are the
// solver's, from the whole skin.

function clustered({ positions, index }, low, sizes, cell) {
  const [columns, rows] = [Math.floor(sizes[0] / cell) + 1, Math.floor(sizes[1] / cell) + 1];
  const layers = Math.floor(sizes[2] / cell) + 1;
  const places = new Int32Array(columns * rows * layers).fill(-1);
  const count = positions.length / 3;
  const own = new Int32Array(count);
  const sums = new Float64Array(3 * count);
  const members = new Int32Array(count);
  let found = 0;
  for (let v = 0; v < count; ++v) {
    const [x, y, z] = [positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]];
    const key = (Math.floor((z - low[2]) / cell) * rows + Math.floor((y - low[1]) / cell)) * columns + Math.floor((x - low[0]) / cell);
    if (places[key] < 0) places[key] = found++;
    const at = places[key];
    own[v] = at;
    sums[3 * at] += x;
    sums[3 * at + 1] += y;
    sums[3 * at + 2] += z;
    ++members[at];
  }
  const corners = new Uint32Array(index.length);
  let filled = 0;
  for (let f = 0; f < index.length; f += 3) {
    const [a, b, c] = [own[index[f]], own[index[f + 1]], own[index[f + 2]]];
    if (a === b || b === c || c === a) continue;
    corners[filled] = a;
    corners[filled + 1] = b;
    corners[filled + 2] = c;
    filled += 3;
  }
  const few = new Float32Array(3 * found);
  for (let i = 0; i < few.length; ++i) few[i] = sums[i] / members[Math.floor(i / 3)];
  return { positions: few, index: corners.slice(0, filled) };
}

export function extentOf({ positions }) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i += 3) {
    for (let k = 0; k < 3; ++k) {
      low[k] = Math.min(low[k], positions[i + k]);
      high[k] = Math.max(high[k], positions[i + k]);
    }
  }
  return { low, high };
}

/** At most `facets` facets; the skin itself where it has no more. */
export function thinnedSkin(skin, facets = 5000) {
  if (skin.index.length <= 3 * facets) return skin;
  const { low, high } = extentOf(skin);
  const sizes = high.map((x, k) => x - low[k]);
  let cell = Math.max(...sizes) / 110;
  for (;;) {
    const few = clustered(skin, low, sizes, cell);
    if (few.index.length <= 3 * facets) return few;
    cell *= 1.2;
  }
}
