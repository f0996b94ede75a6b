// SPDX-License-Identifier: GPL-3.0-or-later
// The outline of a body seen from one side: its facets painted onto a fine grid, the grid's edge
// walked round.

const CELLS = 900;

/** across(p), up(p): the picture's two directions of a point; cell: the grid's own, in mm, else a
 * 900th of the longer side. Returns loops of [across, up]. */
export function outlineOf({ positions, index }, across, up, cell_mm = 0) {
  const count = positions.length / 3;
  const u = new Float32Array(count);
  const v = new Float32Array(count);
  let [lowU, highU, lowV, highV] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < count; ++i) {
    const p = [positions[3 * i], positions[3 * i + 1], positions[3 * i + 2]];
    u[i] = across(p);
    v[i] = up(p);
    lowU = Math.min(lowU, u[i]);
    highU = Math.max(highU, u[i]);
    lowV = Math.min(lowV, v[i]);
    highV = Math.max(highV, v[i]);
  }
  const cell = cell_mm || Math.max(highU - lowU, highV - lowV) / CELLS || 1;
  const columns = Math.ceil((highU - lowU) / cell) + 5;
  const rows = Math.ceil((highV - lowV) / cell) + 5;
  const full = new Uint8Array(columns * rows);
  const toColumn = (x) => (x - lowU) / cell + 2;
  const toRow = (y) => (y - lowV) / cell + 2;
  for (let i = 0; i < index.length; i += 3) {
    const [a, b, c] = [index[i], index[i + 1], index[i + 2]];
    paint(full, columns, toColumn(u[a]), toRow(v[a]), toColumn(u[b]), toRow(v[b]), toColumn(u[c]), toRow(v[c]));
  }
  return loopsOf(full, columns, rows).map((loop) =>
    thinned(loop.map(([c, r]) => [(c - 2) * cell + lowU, (r - 2) * cell + lowV]), 0.7 * cell));
}

// Where the line from (px, py) to (qx, qy) crosses the height y; NaN where it does not.
function crossing(y, px, py, qx, qy) {
  return (py <= y) === (qy <= y) ? NaN : px + (y - py) / (qy - py) * (qx - px);
}

// All cells whose middle lies in the triangle. (No lists: this is what a moving picture waits for.)
function paint(full, columns, ax, ay, bx, by, cx, cy) {
  const first = Math.ceil(Math.min(ay, by, cy) - 0.5);
  const last = Math.floor(Math.max(ay, by, cy) - 0.5);
  for (let row = first; row <= last; ++row) {
    const y = row + 0.5;
    const x1 = crossing(y, ax, ay, bx, by);
    const x2 = crossing(y, bx, by, cx, cy);
    const x3 = crossing(y, cx, cy, ax, ay);
    // Two of the three sides are crossed, or none.
    const from = x1 !== x1 ? Math.min(x2, x3) : x2 !== x2 ? Math.min(x1, x3) : Math.min(x1, x2);
    const to = x1 !== x1 ? Math.max(x2, x3) : x2 !== x2 ? Math.max(x1, x3) : Math.max(x1, x2);
    for (let column = Math.ceil(from - 0.5); column <= to - 0.5; ++column) full[row * columns + column] = 1;
  }
}

// Walks along the edges between full and empty cells, the full ones on the left.
function loopsOf(full, columns, rows) {
  const filledAt = (c, r) => c >= 0 && r >= 0 && c < columns && r < rows && full[r * columns + c] === 1;
  const seen = new Uint8Array(columns * rows);
  const loops = [];
  for (let r = 1; r < rows; ++r) {
    for (let c = 1; c < columns; ++c) {
      // A lower edge: full above, empty below.
      if (!filledAt(c, r) || filledAt(c, r - 1) || seen[r * columns + c]) continue;
      const loop = walk(filledAt, seen, columns, c, r);
      if (loop.length > 40) loops.push(loop);
    }
  }
  return loops;
}

function walk(filledAt, seen, columns, startC, startR) {
  const steps = [[1, 0], [0, 1], [-1, 0], [0, -1]];
  const loop = [];
  let [x, y, way] = [startC, startR, 0];
  for (let count = 0; count < 1e6; ++count) {
    loop.push([x, y]);
    if (way === 0) seen[y * columns + x] = 1;
    x += steps[way][0];
    y += steps[way][1];
    if (x === startC && y === startR) break;
    // The cells ahead on the left and on the right of the way.
    const ahead = [[[x, y], [x, y - 1]], [[x - 1, y], [x, y]], [[x - 1, y - 1], [x - 1, y]],
      [[x, y - 1], [x - 1, y - 1]]][way];
    const left = filledAt(...ahead[0]);
    const right = filledAt(...ahead[1]);
    if (right) way = (way + 3) % 4;
    else if (!left) way = (way + 1) % 4;
  }
  return loop;
}

// Fewer points, none further off than `reach` (D. Douglas, T. Peucker, Cartographica 10(2), 1973).
function thinned(loop, reach) {
  const keep = new Uint8Array(loop.length);
  keep[0] = keep[loop.length - 1] = 1;
  const middle = Math.floor(loop.length / 2);
  keep[middle] = 1;
  const open = [[0, middle], [middle, loop.length - 1]];
  while (open.length > 0) {
    const [from, to] = open.pop();
    const [ax, ay] = loop[from];
    const [bx, by] = loop[to];
    const size = Math.hypot(bx - ax, by - ay) || 1e-12;
    let [worst, off] = [-1, reach];
    for (let i = from + 1; i < to; ++i) {
      const d = Math.abs((bx - ax) * (loop[i][1] - ay) - (by - ay) * (loop[i][0] - ax)) / size;
      if (d > off) [worst, off] = [i, d];
    }
    if (worst < 0) continue;
    keep[worst] = 1;
    open.push([from, worst], [worst, to]);
  }
  return loop.filter((_, i) => keep[i] === 1);
}
