// SPDX-License-Identifier: GPL-3.0-or-later
// The lure in the water, from the side and from the tail in one picture, with one water surface.
// It turns smoothly from pose to pose: that is a picture of the change, not of how it moves.
import { ballRadius, cross, dot, level, plus, scaled, unit, waterOf } from '../afloat.js';
import { drawing, el, svg } from '../dom.js';
import { outlineOf } from '../outline.js';
import { extentOf } from './thin.js';

// Of the outline's grid; its steps are rounded off. Finer once it lies still.
const CELL_PX = 1.5;
const FINE_PX = 0.5;
const FINE_AFTER_MS = 150;
const STEP_AT_ONCE_RAD = 0.12;
const TURN_MS = 300;
const UNDER_MM = 10;
const MARGIN = 7;

const calm = globalThis.matchMedia('(prefers-reduced-motion: reduce)');

/** Between two unit vectors, share 0 to 1. Half a turn goes over a flank, as a lure would. */
export function between(from, to, share) {
  const angle = Math.acos(Math.max(-1, Math.min(1, dot(from, to))));
  if (angle < 1e-9) return to;
  if (angle > 3) {
    const flank = unit(cross(from, [1, 0, 0]).map((x) => x * (to[1] < 0 ? 1 : -1)));
    return share < 0.5 ? between(from, flank, 2 * share) : between(flank, to, 2 * share - 1);
  }
  const [a, b] = [Math.sin((1 - share) * angle), Math.sin(share * angle)];
  return unit(plus(scaled(from, a), scaled(to, b)));
}

const angleOf = (a, b) => Math.acos(Math.max(-1, Math.min(1, dot(a, b))));

// Corners rounded by a curve through the middles of the sides.
function softPath(loops, toX, toY) {
  return loops.map((loop) => {
    const points = loop.map(([u, v]) => [toX(u), toY(v)]);
    const middle = (i) => {
      const [a, b] = [points[i], points[(i + 1) % points.length]];
      return `${((a[0] + b[0]) / 2).toFixed(1)} ${((a[1] + b[1]) / 2).toFixed(1)}`;
    };
    return `M${middle(points.length - 1)}${points.map(([x, y], i) => `Q${x.toFixed(1)} ${y.toFixed(1)} ${middle(i)}`).join('')}Z`;
  }).join('');
}

/** skin: thinned. Returns the picture's node and show(). */
export function waterView(skin) {
  const { low: lowest, high: furthest } = extentOf(skin);
  const length = furthest[0] - lowest[0];
  const place = el('div', { class: 'live-water' });
  let sheet = null;
  let shown = null;  // { up, offset, under }
  let goal = null;
  let frame = 0;
  let drawnMs = 0;
  let finer = 0;

  function layOut(narrow) {
    const [width, height] = narrow ? [328, 150] : [760, 290];
    const side = Math.round(width * 0.73);
    const surface = Math.round(height * 0.34);
    const back = svg('g', {});
    const parts = ['side', 'tail'].map((name) => ({ name, body: svg('path', { class: 'body' }), wet: svg('path', { class: 'body wet' }),
      marks: svg('g', {}) }));
    const clip = `live-wet${narrow ? 'n' : 'b'}`;
    const node = drawing(width, height, 'The lure in the water, from the side and from the tail', { class: 'afloat live' },
      svg('defs', {}, svg('clipPath', { id: clip }, svg('rect', { x: 0, y: surface, width, height: height - surface }))),
      waterOf(width, surface, height, `${clip}w`),
      parts.map((part) => [part.body, svg('g', { 'clip-path': `url(#${clip})` }, part.wet), part.marks]),
      svg('line', { x1: 0, x2: width, y1: surface, y2: surface, class: 'surface' }),
      svg('line', { x1: side, x2: side, y1: 0, y2: height, class: 'divider' }),
      svg('text', { x: 6, y: 13, class: 'small' }, 'from the side'), svg('text', { x: side + 6, y: 13, class: 'small' }, 'from the tail'),
      back);
    sheet = { width, height, side, surface, parts, narrow };
    place.replaceChildren(node);
  }

  function drawOne(part, across, upward, left, right, { rig, laid, pose, resting, cell }) {
    const { surface, height } = sheet;
    const base = (sheet.side - 2 * MARGIN) / (length + 22);
    const loops = outlineOf(skin, (p) => dot(p, across), (p) => dot(p, upward), cell / base);
    const hanging = rig.hooks.map((hook) => ({ eye: hook.eye_mm, end: plus(hook.eye_mm, scaled(upward, -2 * Math.max(hook.hang_mm ?? 1, 1))) }));
    const extra = [...rig.wires.flatMap((wire) => wire.path_mm), ...hanging.flatMap(({ eye, end }) => [eye, end])];
    let [low, high, lowU, highU] = [Infinity, -Infinity, Infinity, -Infinity];
    const meet = (u, v) => {
      low = Math.min(low, v);
      high = Math.max(high, v);
      lowU = Math.min(lowU, u);
      highU = Math.max(highU, u);
    };
    for (const loop of loops) for (const [u, v] of loop) meet(u, v);
    for (const p of extra) meet(dot(p, across), dot(p, upward));
    const { offset } = shown;
    const scale = Math.min(base, (surface - MARGIN) / Math.max(1, high - offset), (height - surface - MARGIN) / Math.max(1, offset - low),
      (right - left - 2 * MARGIN) / Math.max(1, highU - lowU));
    return { loops, hanging, scale, centre: (lowU + highU) / 2, at: (left + right) / 2, part, across, upward, resting, rig, laid, pose };
  }

  function fill({ loops, hanging, centre, at, part, across, upward, resting, rig, laid, pose }, scale) {
    const { surface } = sheet;
    const toX = (u) => at + scale * (u - centre);
    const toY = (v) => surface - scale * (v - shown.offset);
    const spot = (p) => [toX(dot(p, across)), toY(dot(p, upward))];
    const path = softPath(loops, toX, toY);
    part.body.setAttribute('d', path);
    part.wet.setAttribute('d', path);
    const mark = (p, kind, letter, side) => {
      const [x, y] = spot(p);
      return svg('g', { class: `centre ${kind}` }, svg('circle', { cx: x, cy: y, r: 3.2 }),
        svg('text', { x: x + side, y: y + 4, 'text-anchor': side < 0 ? 'end' : 'start' }, letter));
    };
    const marks = rig.wires.map((wire) => svg('polyline', { points: wire.path_mm.map((p) => spot(p).map((x) => x.toFixed(1)).join(',')).join(' '),
      class: 'wire', 'stroke-width': Math.max(1.2, scale * (wire.diameter_mm ?? 1)) }));
    for (const { eye, end } of hanging) {
      const [[x, y], [hx, hy]] = [spot(eye), spot(end)];
      marks.push(svg('g', { class: 'hook' }, svg('circle', { cx: x, cy: y, r: 2 }), svg('path', { d: `M${x} ${y}L${hx} ${hy}m-6 -7q1 7 6 7q5 0 6 -7` })));
    }
    for (const one of [...rig.ballasts, ...rig.outsides]) {
      const [x, y] = spot(one.at_mm);
      marks.push(svg('circle', { cx: x, cy: y, r: Math.max(2, scale * ballRadius(one)), class: 'weight' }));
    }
    if (laid) marks.push(mark(laid.centre_of_mass_mm, 'mass', 'G', -6));
    if (laid && pose && resting) {
      if (pose.centre_of_buoyancy_mm) marks.push(mark(pose.centre_of_buoyancy_mm, 'lift', 'B', 6));
      if (part.name === 'tail' && Number.isFinite(pose.gm_roll_mm) && pose.gm_roll_mm !== null && Math.abs(pose.gm_roll_mm) * scale < 80) {
        marks.push(mark(plus(laid.centre_of_mass_mm, scaled(pose.up, pose.gm_roll_mm)), 'meta', 'M', 6));
      }
    }
    part.marks.replaceChildren(...marks);
  }

  function draw(resting, cell = CELL_PX) {
    if (!sheet || !shown || !goal) return;
    const began = performance.now();
    clearTimeout(finer);
    const { up, aft, right } = level(shown.up);
    const how = { ...goal, resting, cell };
    const seen = [drawOne(sheet.parts[0], aft, up, 0, sheet.side, how), drawOne(sheet.parts[1], right, up, sheet.side, sheet.width, how)];
    // Both views at one scale.
    const scale = Math.min(...seen.map((one) => one.scale));
    for (const one of seen) fill(one, scale);
    drawnMs = performance.now() - began;
    if (resting && cell !== FINE_PX) finer = setTimeout(() => draw(true, FINE_PX), FINE_AFTER_MS);
  }

  const highest = (up) => {
    let most = -Infinity;
    for (let v = 0; v < skin.positions.length; v += 3) {
      most = Math.max(most, skin.positions[v] * up[0] + skin.positions[v + 1] * up[1] + skin.positions[v + 2] * up[2]);
    }
    return most;
  };

  /** Takes the new pose: a small step at once, a great one turning. Resolves when it is drawn. */
  function show(rig, laid, pose) {
    if (!pose) return;
    const offset = pose.waterline === null ? highest(pose.up) + UNDER_MM : pose.waterline.offset_mm;
    goal = { rig, laid, pose, up: pose.up, offset };
    cancelAnimationFrame(frame);
    const from = shown;
    const angle = from ? angleOf(from.up, pose.up) : 0;
    const sinks = from ? Math.abs(from.offset - offset) : 0;
    if (!from || calm.matches || (angle < STEP_AT_ONCE_RAD && sinks < 8)) {
      shown = { up: pose.up, offset };
      draw(true);
      return;
    }
    const began = performance.now();
    const whole = TURN_MS * (1 + Math.min(1, angle / Math.PI));
    const step = () => {
      const share = Math.min(1, (performance.now() - began) / whole);
      const eased = share * share * (3 - 2 * share);
      shown = { up: between(from.up, pose.up, eased), offset: from.offset + (offset - from.offset) * eased };
      draw(share === 1);
      if (share < 1) frame = requestAnimationFrame(step);
    };
    step();
  }

  const broad = globalThis.matchMedia('(min-width: 44rem)');
  const again = () => {
    layOut(!broad.matches);
    if (goal) shown = { up: goal.up, offset: goal.offset };
    draw(true);
  };
  broad.addEventListener('change', again);
  layOut(!broad.matches);
  return { node: place, show, facts: () => ({ drawn_ms: drawnMs, up: shown?.up ?? null, resting: shown !== null && goal !== null && angleOf(shown.up, goal.up) < 1e-6 }) };
}
