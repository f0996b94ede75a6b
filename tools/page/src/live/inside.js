// SPDX-License-Identifier: GPL-3.0-or-later
// Where a vertical line meets the skin, so that what is dragged stops there. The facets lie in the
// cells of a grid over the top view; the solver has the last word on what is inside.

const COLUMNS = 256;
const ROWS = 48;
const INSET_MM = 0.05;
const STEP_MM = 0.1;

function gridOf({ positions, index }) {
  let [lowX, highX, lowY, highY] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < positions.length; i += 3) {
    lowX = Math.min(lowX, positions[i]);
    highX = Math.max(highX, positions[i]);
    lowY = Math.min(lowY, positions[i + 1]);
    highY = Math.max(highY, positions[i + 1]);
  }
  const [wide, deep] = [(highX - lowX) / COLUMNS || 1, (highY - lowY) / ROWS || 1];
  const column = (x) => Math.min(COLUMNS - 1, Math.max(0, Math.floor((x - lowX) / wide)));
  const row = (y) => Math.min(ROWS - 1, Math.max(0, Math.floor((y - lowY) / deep)));
  const cells = Array.from({ length: COLUMNS * ROWS }, () => []);
  for (let f = 0; f < index.length; f += 3) {
    const [a, b, c] = [3 * index[f], 3 * index[f + 1], 3 * index[f + 2]];
    const [left, right] = [column(Math.min(positions[a], positions[b], positions[c])), column(Math.max(positions[a], positions[b], positions[c]))];
    const from = row(Math.min(positions[a + 1], positions[b + 1], positions[c + 1]));
    const to = row(Math.max(positions[a + 1], positions[b + 1], positions[c + 1]));
    for (let j = from; j <= to; ++j) {
      for (let i = left; i <= right; ++i) cells[j * COLUMNS + i].push(f);
    }
  }
  return { cells, column, row, lowX, highX, lowY, highY };
}

/** spans(x, y): what of the body lies over that place of the top view, [[low, high]…] from below; cavities part it. */
export function spansOf(skin) {
  const { positions, index } = skin;
  let grid = null;
  return (x, y) => {
    grid ??= gridOf(skin);
    // Off the round numbers on which vertices like to lie.
    const [px, py] = [x + 1.37e-6, y + 2.11e-6];
    if (px < grid.lowX || px > grid.highX || py < grid.lowY || py > grid.highY) return [];
    const met = [];
    for (const f of grid.cells[grid.row(py) * COLUMNS + grid.column(px)]) {
      const [a, b, c] = [3 * index[f], 3 * index[f + 1], 3 * index[f + 2]];
      const [ax, ay, bx, by] = [positions[a] - px, positions[a + 1] - py, positions[b] - px, positions[b + 1] - py];
      const [cx, cy] = [positions[c] - px, positions[c + 1] - py];
      const [u, v, w] = [bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx];
      const whole = u + v + w;
      if (whole === 0 || (Math.min(u, v, w) < 0 && Math.max(u, v, w) > 0)) continue;
      met.push((u * positions[a + 2] + v * positions[b + 2] + w * positions[c + 2]) / whole);
    }
    met.sort((one, other) => one - other);
    const spans = [];
    for (let i = 0; i + 1 < met.length; i += 2) spans.push([met[i], met[i + 1]]);
    return spans;
  };
}

const within = (spans, z) => spans.some(([low, high]) => z > low && z < high);

function clamped(spans, z) {
  let best = null;
  for (const [low, high] of spans) {
    const inset = Math.min(INSET_MM, (high - low) / 4);
    const to = Math.min(high - inset, Math.max(low + inset, z));
    if (best === null || Math.abs(to - z) < Math.abs(best.to - z)) best = { to, low: to > z };
  }
  if (best.to === z) return z;
  const step = Math.round(best.to / STEP_MM) * STEP_MM;
  const rounded = best.low ? Math.ceil(best.to / STEP_MM) * STEP_MM : Math.floor(best.to / STEP_MM) * STEP_MM;
  return within(spans, rounded) ? tidy(rounded) : within(spans, step) ? tidy(step) : best.to;
}

const tidy = (x) => Number(x.toFixed(4));

// The furthest from `from` towards `to` for which good() holds, which it does at `from`.
function furthest(from, to, good) {
  if (good(to)) return to;
  let [near, far] = [from, to];
  for (let i = 0; i < 24; ++i) {
    const middle = (near + far) / 2;
    if (good(middle)) near = middle;
    else far = middle;
  }
  const back = from < to ? Math.floor(near / STEP_MM) * STEP_MM : Math.ceil(near / STEP_MM) * STEP_MM;
  return good(back) && (back - from) * (to - from) >= 0 ? tidy(back) : near;
}

/** Where a part ends that is inside at `from` and wanted at `to`: it slides along the skin. */
export function stoppedAtSkin(spans, from, to) {
  if (spans(from[0], from[1]).length === 0) return within(spans(to[0], to[1]), to[2]) ? to : from;
  const x = furthest(from[0], to[0], (at) => spans(at, from[1]).length > 0);
  const z = clamped(spans(x, from[1]), to[2]);
  const y = furthest(from[1], to[1], (at) => within(spans(x, at), z));
  return [x, y, z];
}

const REACH_MM = 12;

/** Of what hangs under the belly or is stuck on it (or on the back): how it rides along the skin. */
export function rideOf(spans, at) {
  const here = spans(at[0], at[1]);
  if (here.length === 0) return null;
  const belly = here[0][0] - at[2];
  const back = at[2] - here.at(-1)[1];
  if (belly > -0.5 && belly < REACH_MM) return { side: 'belly', off: belly };
  if (back > -0.5 && back < REACH_MM) return { side: 'back', off: back };
  return null;
}

/** The height on which it rides at (x, y), or null where there is no skin over or under it. */
export function ridden(spans, ride, x, y) {
  const here = spans(x, y);
  if (here.length === 0) return null;
  return tidy(ride.side === 'belly' ? here[0][0] - ride.off : here.at(-1)[1] + ride.off);
}
