// SPDX-License-Identifier: GPL-3.0-or-later
// Where parts may be put: weights and pockets within the body, hooks and what is stuck on along its
// skin or free about it.
import { ridden, rideOf, stoppedAtSkin } from './inside.js';

const DRAG_STEP_MM = 0.1;
const OFF_SKIN_MM = 8;   // so far off, a hook leaves the skin it rides on
const ROOM_MM = 60;      // so far outside the body a hook may hang

export const rounded = (x) => Number((Math.round(x / DRAG_STEP_MM) * DRAG_STEP_MM).toFixed(4));

/** Where a part may be put that was at `from`. */
export function placer(spans, extent) {
  const near = (at) => at.map((x, k) => Math.min(extent.high[k] + ROOM_MM, Math.max(extent.low[k] - ROOM_MM, x)));
  const inside = (kind) => kind === 'ballast' || kind === 'pocket';
  return {
    typed: (kind, from, to) => (inside(kind) ? stoppedAtSkin(spans, from, to) : near(to)),
    /** start: where the drag began; up: the drawing's upward axis. */
    dragged(kind, from, wanted, { start, up }) {
      const to = wanted.map((x, k) => (k === 0 || k === up ? rounded(x) : start[k]));
      if (inside(kind)) return stoppedAtSkin(spans, from, to);
      const ride = rideOf(spans, start);
      const height = ride ? ridden(spans, ride, to[0], to[1]) : null;
      if (height !== null && (up !== 2 || Math.abs(to[2] - height) < OFF_SKIN_MM)) to[2] = rounded(height);
      return near(to);
    },
    /** Of a part moved along by a step or by the map: a hook keeps to the skin. */
    along(kind, from, x) {
      if (inside(kind)) return stoppedAtSkin(spans, from, [x, from[1], from[2]]);
      const ride = rideOf(spans, from);
      const height = ride ? ridden(spans, ride, x, from[1]) : null;
      return near([x, from[1], height === null ? from[2] : rounded(height)]);
    },
    /** Of a new part: amidships, a weight low in the body, the others under it. */
    fresh(kind) {
      const x = rounded((extent.low[0] + extent.high[0]) / 2);
      const [belly, back] = spans(x, 0)[0] ?? [extent.low[2], extent.high[2]];
      return [x, 0, rounded(kind === 'ballast' ? belly + 0.25 * (back - belly) : belly - (kind === 'hook' ? 2 : 1))];
    },
  };
}
