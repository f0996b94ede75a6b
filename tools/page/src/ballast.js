// SPDX-License-Identifier: GPL-3.0-or-later
// Which weight, where? The plan, and then all that float tells of the lure with it.
import { drawing, el, fitting, section, svg, table } from './dom.js';
import { fixed, percent } from './numbers.js';
import { outlineOf } from './outline.js';
import { floatPage } from './water.js';

const WISHES = {
  state: ['it', '', 0], reserve: ['reserve', ' g', 2], tail_down: ['tail down', '°', 1], list: ['list', '°', 1],
  least_stiffness: ['least stiffness', ' g·mm/°', 2], sink_rate: ['falls at', ' m/s', 2],
  wall: ['wood around', ' mm', 1], stands: ['share of all starts', '', 2],
};
const AT_LEAST = ['least_stiffness', 'wall'];

function wishRow(wish) {
  const [name, unit, decimals] = WISHES[wish.wish];
  const what = wish.wish === 'wall' ? `${name} ${wish.place}` : name;
  const met = wish.met ? 'yes' : 'no';
  if (wish.wish === 'state') return [what, wish.wanted ?? '–', wish.reached, met];
  const reached = wish.reached === null ? '–' : `${fixed(wish.reached, decimals)}${unit}`;
  if (wish.wish === 'stands') return [what, 'more than otherwise', reached, met];
  const wanted = AT_LEAST.includes(wish.wish) ? `≥ ${fixed(wish.wanted, decimals)}${unit}`
    : `${fixed(wish.wanted, decimals)} ± ${fixed(wish.tolerance, decimals)}${unit}`;
  return [what, wanted, reached, met];
}

// The body from one side with its holes: numbered as the table is.
function planPicture(result, rig, skin, look, narrow) {
  const { name, up, toward } = look;
  const loops = outlineOf(skin, (p) => p[0], (p) => p[up]);
  const points = [...loops.flat(), ...rig.wires.flatMap((wire) => wire.path_mm.map((p) => [p[0], p[up]]))];
  const margin = 14;
  const low = [0, 1].map((k) => Math.min(...points.map((p) => p[k])) - margin);
  const high = [0, 1].map((k) => Math.max(...points.map((p) => p[k])) + margin);
  const scale = (narrow ? 320 : 900) / (high[0] - low[0]);
  const spot = (p) => [scale * (p[0] - low[0]), scale * (high[1] - p[up])];
  const path = loops.map((loop) => `${loop.map(([u, v], i) =>
    `${i ? 'L' : 'M'}${(scale * (u - low[0])).toFixed(2)} ${(scale * (high[1] - v)).toFixed(2)}`).join('')}Z`).join('');
  const hole = (weight, i) => {
    const [x, y] = spot(weight.at_mm);
    const marks = [];
    const plan = weight.hole;
    if (plan && Math.abs(plan.direction[toward]) < 0.5) {
      const r = plan.diameter_mm / 2;
      const across = [-plan.direction[up], plan.direction[0]];
      const corner = (along, side) => {
        const p = plan.start_mm.map((c, k) => c + along * plan.direction[k]);
        p[0] += side * r * across[0];
        p[up] += side * r * across[1];
        return spot(p).map((c) => c.toFixed(1)).join(',');
      };
      const box = (from, to) => [corner(from, -1), corner(to, -1), corner(to, 1), corner(from, 1)].join(' ');
      marks.push(svg('polygon', { points: box(0, plan.depth_mm), class: 'hole' }),
        svg('polygon', { points: box(plan.depth_mm - plan.weight_length_mm, plan.depth_mm), class: 'weight' }));
    } else {
      const size = plan ? plan.diameter_mm : 2 * Math.cbrt(3000 * weight.mass_g / weight.density_g_cm3 / (4 * Math.PI));
      marks.push(svg('circle', { cx: x, cy: y, r: scale * size / 2, class: 'weight' }));
    }
    const from = plan ? spot(plan.start_mm) : [x, y];
    const out = plan && Math.abs(plan.direction[up]) > 0.5 ? Math.sign(plan.direction[up]) : 1;
    return svg('g', {}, svg('title', {}, `${weight.name}, ${fixed(weight.mass_g, 2)} g`), marks,
      svg('text', { x: from[0], y: from[1] + (out > 0 ? 16 : -6), 'text-anchor': 'middle', class: 'number' }, String(i + 1)));
  };
  const [width, height] = [scale * (high[0] - low[0]), scale * (high[1] - low[1])];
  return drawing(width.toFixed(1), height.toFixed(1), `The plan ${name}`, { class: 'afloat plan', width: width.toFixed(0) },
    svg('path', { d: path, class: 'body' }),
    rig.wires.map((wire) => svg('polyline', { points: wire.path_mm.map((p) => spot(p).map((c) => c.toFixed(1)).join(',')).join(' '),
      class: 'wire', 'stroke-width': Math.max(1.2, scale * wire.diameter_mm) })),
    rig.hooks.map((hook) => {
      const [x, y] = spot(hook.eye_mm);
      return svg('g', { class: 'hook' }, svg('title', {}, hook.name), svg('circle', { cx: x, cy: y, r: 3 }));
    }),
    result.weights.map(hole),
    svg('path', { d: `M8 ${height - 6}h${10 * scale}m0 -4v8m${-10 * scale} 0v-8`, class: 'axis' }),
    svg('text', { x: 12 + 10 * scale, y: height - 3, class: 'small' }, '10 mm'));
}

const LOOKS = [{ name: 'from the side', up: 2, toward: 1 }, { name: 'from above', up: 1, toward: 2 }];

function weightRow(weight, i) {
  return [`${i + 1} ${weight.name}`, weight.metal ?? `${fixed(weight.density_g_cm3, 2)} g/cm³`, fixed(weight.mass_g, 2),
    fixed(weight.at_mm[0], 2), fixed(weight.above_belly_mm, 2), fixed(weight.at_mm[1], 2), fixed(weight.wall_mm, 1)];
}

function holeRow(weight, i) {
  const hole = weight.hole;
  if (!hole) return [`${i + 1} ${weight.name}`, '–', '–', '–', '–', '–', '–', '–'];
  return [`${i + 1} ${weight.name}`, hole.from, fixed(hole.start_mm[0], 1), fixed(hole.start_mm[1], 1),
    fixed(hole.diameter_mm, 1), fixed(hole.depth_mm, 1), fixed(hole.plug_mm, 1), `${fixed(hole.wall_mm, 1)} to ${hole.wall_to}`];
}

function wireWords(wire) {
  return `${wire.name}: cut ${fixed(wire.cut_mm, 1)} mm of ${fixed(wire.diameter_mm, 1)} mm wire, ${fixed(wire.eye_mm, 1)} mm of it for each eye. ` +
    (wire.bends.length === 0 ? 'It is straight.' : wire.bends.map((bend) =>
      `At ${fixed(wire.eye_mm + bend.from_start_mm, 1)} mm from the cut end bend it by ${fixed(bend.angle_deg, 1)}°` +
      `${Math.abs(bend.twist_deg) > 0.5 ? `, turned by ${fixed(bend.twist_deg, 0)}° about the wire` : ''}.`).join(' '));
}

function planInShort(plan) {
  return [plan.weights.map((weight) => `${weight.name} ${fixed(weight.mass_g, 2)} g at ${fixed(weight.at_mm[0], 1)} mm`).join(', ') || 'none',
    fixed(plan.added_g, 2), fixed(plan.tail_down_deg, 1), fixed(plan.reserve_g, 2), fixed(plan.least_stiffness_g_mm_per_deg, 2)];
}

function rowsOver(id, heading, unit, key, rows) {
  if (rows.length === 0) return null;
  return section(id, heading, table(heading, ['', unit, 'weight g', 'per 100 g of wood', 'reserve g', 'tail down °',
    'least stiffness g·mm/°', '1 mm aside: list °', 'met'],
  rows.map((row) => [row.name, fixed(row[key], key === 'mass_g' ? 1 : 3), fixed(row.added_g, 2), fixed(row.ratio_g_per_100g_wood, 1),
    fixed(row.reserve_g, 2), fixed(row.tail_down_deg, 1), fixed(row.least_stiffness_g_mm_per_deg, 2),
    fixed(row.list_deg_per_mm_aside, 2), row.met ? 'yes' : 'no'])));
}

function measureFirst(varies) {
  if (!varies || varies.shares.length === 0) return null;
  const first = varies.shares.find((one) => one.measurable);
  return section('measure-first', 'What to measure first', el('p', {},
    `Over builds within the tolerances the tail varies by ± ${fixed(varies.tail_down_sd_deg, 2)}°, the list by ± ` +
    `${fixed(varies.list_sd_deg, 2)}°, the reserve by ± ${fixed(varies.reserve_sd_g, 2)} g.` +
    `${first ? ` Measure first: ${first.what}.` : ''}`),
  table('By share of the variance, %', ['', 'tail down', 'list', 'reserve', 'measurable'], varies.shares.map((one) =>
    [one.what, percent(one.tail_down), percent(one.list), percent(one.reserve), one.measurable ? 'yes' : 'no'])));
}

function thePlan(result, scene, skin) {
  return section('plan', result.met ? 'The plan' : 'The nearest there is',
    fitting((narrow) => LOOKS.map((look) => {
      const picture = planPicture(result, scene.rig, skin, look, narrow);
      return el('figure', {}, picture, el('figcaption', {}, picture.getAttribute('aria-label')));
    })),
    result.weights.length === 0 ? el('p', {}, 'No weight is needed.') : [
      table('Weights, by the middle of each', ['weight', 'of', 'g', 'station mm', 'above belly mm', 'to the right mm', 'wood mm'],
        result.weights.map(weightRow)),
      table('Holes', ['weight', 'from the', 'station mm', 'to the right mm', 'wide mm', 'deep mm', 'plug mm', 'thinnest wood mm'],
        result.weights.map(holeRow))],
    result.hooks.map((hook) => el('p', {}, `${hook.name}: ${fixed(hook.mass_g, 1)} g, hung at ${fixed(hook.eye_mm[0], 1)} mm ` +
      `(in the sheet ${fixed(hook.mass_before_g, 1)} g at ${fixed(hook.eye_before_mm[0], 1)} mm).`)),
    result.wire.map((wire) => el('p', {}, wireWords(wire))));
}

export function ballastPage(result, scene, skin) {
  const lies = floatPage(result.result, scene, skin);
  const others = result.others.length === 0 ? null : section('others', 'Other plans that meet every wish',
    table('Other plans', ['weights', 'g in all', 'tail down °', 'reserve g', 'least stiffness g·mm/°'], result.others.map(planInShort)));
  return {
    ...lies,
    parts: [
      thePlan(result, scene, skin),
      section('wishes', 'What was wished for', table('Wishes', ['wish', 'wanted', 'reached', 'met'], result.wishes.map(wishRow))),
      others,
      rowsOver('woods', 'In other woods', 'g/cm³', 'density_g_cm3', result.woods),
      rowsOver('hook-sizes', 'With other hooks', 'g', 'mass_g', result.hook_sizes),
      measureFirst(result.varies_by),
      ...lies.parts,
    ],
  };
}
