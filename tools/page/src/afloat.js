// SPDX-License-Identifier: GPL-3.0-or-later
// A lure at rest in still water, seen from the side, from the tail and from above.
import { drawing, svg } from './dom.js';
import { fixed } from './numbers.js';
import { outlineOf } from './outline.js';

export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = ([a, b, c], [d, e, f]) => [b * f - c * e, c * d - a * f, a * e - b * d];
export const scaled = (a, s) => a.map((x) => s * x);
export const plus = (a, b) => a.map((x, k) => x + b[k]);
/** mm, of a part drawn as a ball; never too small to be seen. */
export const ballRadius = (part) => Math.max(1.6, 10 * Math.cbrt(3 * part.mass_g / (4 * Math.PI * part.density_g_cm3)));
export const unit = (a) => scaled(a, 1 / (Math.hypot(...a) || 1));

// The level directions of a pose: aft along the body as far as it lies level, and across.
export function level(up) {
  const along = Math.abs(up[0]) > 0.99 ? [0, 0, -Math.sign(up[0])] : [1, 0, 0];
  const aft = unit(plus(along, scaled(up, -dot(along, up))));
  return { up, aft, right: cross(up, aft) };
}

/** Right of the picture and up of the picture, of each of the three. */
function pictures(pose) {
  const { up, aft, right } = level(pose.up);
  return [
    { name: 'from the side', across: aft, upward: up, side: true },
    // From the tail one sees the lure's right on the right.
    { name: 'from the tail', across: right, upward: up, side: true },
    { name: 'from above', across: aft, upward: right, side: false },
  ];
}

function marksOf(result, pose, rig) {
  const marks = [];
  for (const part of rig.weights) {
    marks.push({ at: part.at_mm, name: part.name, kind: 'weight', size: ballRadius(part) });
  }
  marks.push({ at: result.centre_of_mass_mm, name: 'centre of mass', kind: 'mass', letter: 'G', beside: -6 });
  if (pose.centre_of_buoyancy_mm) {
    marks.push({ at: pose.centre_of_buoyancy_mm, name: 'centre of buoyancy', kind: 'lift', letter: 'B', beside: 6 });
  }
  if (Number.isFinite(pose.gm_roll_mm) && pose.gm_roll_mm !== null) {
    marks.push({ at: plus(result.centre_of_mass_mm, scaled(pose.up, pose.gm_roll_mm)), name: 'metacentre for roll',
      kind: 'meta', letter: 'M', beside: 6, endOnly: true });
  }
  return marks;
}

function outlinePath(loops, toX, toY) {
  return loops.map((loop) => `${loop.map(([u, v], i) =>
    `${i ? 'L' : 'M'}${toX(u).toFixed(2)} ${toY(v).toFixed(2)}`).join('')}Z`).join('');
}

export function waterOf(width, surface, height, id) {
  const ripples = [];
  for (let y = surface + 9; y < height; y += 11) {
    ripples.push(svg('line', { x1: 0, x2: width, y1: y, y2: y, class: 'ripple', 'stroke-dasharray': `${14 + (y * 7) % 9} ${22 + (y * 5) % 13}` }));
  }
  return svg('g', { id }, svg('rect', { x: 0, y: surface, width, height: Math.max(0, height - surface), class: 'water' }),
    ripples, svg('line', { x1: 0, x2: width, y1: surface, y2: surface, class: 'surface' }));
}

let drawn = 0;

function onePicture(picture, result, pose, rig, skin, scale) {
  const { across, upward, side, name } = picture;
  const loops = outlineOf(skin, (p) => dot(p, across), (p) => dot(p, upward));
  const points = loops.flat();
  const hanging = rig.hooks.map((hook) => ({ ...hook, end: plus(hook.eye_mm, scaled(pose.up, -2 * Math.max(hook.hang_mm, 1))) }));
  const extra = [...rig.wires.flatMap((wire) => wire.path_mm), ...hanging.flatMap((hook) => [hook.eye_mm, hook.end])]
    .map((p) => [dot(p, across), dot(p, upward)]);
  const all = [...points, ...extra];
  const margin = 9;
  const low = [0, 1].map((k) => Math.min(...all.map((p) => p[k])) - margin);
  const high = [0, 1].map((k) => Math.max(...all.map((p) => p[k])) + margin);
  const afloat = pose.waterline !== null && side;
  if (afloat) {
    low[1] = Math.min(low[1], pose.waterline.offset_mm - margin);
    high[1] = Math.max(high[1], pose.waterline.offset_mm + margin);
  }
  const [width, height] = [scale * (high[0] - low[0]), scale * (high[1] - low[1])];
  const toX = (u) => scale * (u - low[0]);
  const toY = (v) => scale * (high[1] - v);
  const spot = (p) => [toX(dot(p, across)), toY(dot(p, upward))];
  const path = outlinePath(loops, toX, toY);
  const surface = afloat ? toY(pose.waterline.offset_mm) : 0;
  const id = `wet${++drawn}`;
  const bar = width > scale * 70 ? 50 : 10;
  const title = `The lure ${name}${afloat ? ', with the waterline' : side ? ', under water' : ''}`;
  const svgMarks = marksOf(result, pose, rig).filter((mark) => !mark.endOnly || name === 'from the tail').map((mark) => {
    const [x, y] = spot(mark.at);
    return mark.kind === 'weight'
      ? svg('g', {}, svg('title', {}, mark.name), svg('circle', { cx: x, cy: y, r: scale * mark.size, class: 'weight' }))
      : svg('g', { class: `centre ${mark.kind}` }, svg('title', {}, mark.name),
        svg('circle', { cx: x, cy: y, r: 3.2 }),
        svg('text', { x: x + mark.beside, y: y + 4, 'text-anchor': mark.beside < 0 ? 'end' : 'start' }, mark.letter));
  });
  return drawing(width.toFixed(1), height.toFixed(1), title, { class: `afloat ${name.replaceAll(' ', '-')}`, width: width.toFixed(0) },
    svg('defs', {}, svg('clipPath', { id }, svg('rect', { x: 0, y: surface, width, height: Math.max(0, height - surface) }))),
    side ? null : svg('rect', { x: 0, y: 0, width, height, class: 'water' }),
    side ? waterOf(width, surface, height, `${id}w`) : null,
    svg('path', { d: path, class: 'body' }),
    side ? svg('path', { d: path, class: 'body wet', 'clip-path': `url(#${id})` }) : null,
    rig.wires.map((wire) => svg('polyline', { points: wire.path_mm.map((p) => spot(p).map((x) => x.toFixed(1)).join(',')).join(' '),
      class: 'wire', 'stroke-width': Math.max(1.2, scale * wire.diameter_mm) })),
    hanging.map((hook) => {
      const [x, y] = spot(hook.eye_mm);
      const [hx, hy] = spot(hook.end);
      return svg('g', { class: 'hook' }, svg('title', {}, `${hook.name}, ${fixed(hook.mass_g, 1)} g`),
        svg('circle', { cx: x, cy: y, r: 2.5 }),
        side ? svg('path', { d: `M${x} ${y}L${hx} ${hy}m-7 -8q1 8 7 8q6 0 7 -8` }) : svg('circle', { cx: hx, cy: hy, r: 4 }));
    }),
    afloat ? svg('line', { x1: 0, x2: width, y1: surface, y2: surface, class: 'surface' }) : null,
    svgMarks,
    svg('path', { d: `M8 ${height - 8}h${bar * scale}m0 -4v8m${-bar * scale} 0v-8`, class: 'axis' }),
    svg('text', { x: 12, y: height - 13, class: 'small' }, `${bar} mm`));
}

export function poseDrawings(result, pose, rig, skin, narrow) {
  const scale = (narrow ? 300 : 560) / Math.max(1, skin.high_mm[0] - skin.low_mm[0] + 40);
  return pictures(pose).map((picture) => onePicture(picture, result, pose, rig, skin, scale));
}
