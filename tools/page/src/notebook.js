// SPDX-License-Identifier: GPL-3.0-or-later
// The record: one build to print and keep with the lure, or the whole book.
import { bodyPanel } from './body_panel.js';
import { drawing, el, fitting, section, svg, table } from './dom.js';
import { fixed, signed, ticks } from './numbers.js';

const SAID = { reserve: 'the reserve', tail_down: 'the tail', list: 'the list', mass: 'the mass', soak_gain: 'what the soak brings' };
const UNITS = { reserve: ' g', tail_down: '°', list: '°', mass: ' g', soak_gain: ' g' };
const FIGURES = { reserve: ['reserve, g', 2], tail_down: ['tail down, °', 1], list: ['list, °', 1], mass: ['mass, g', 2], soak_gain: ['soak, g', 2] };
const CAUSES = {
  scale: (c) => `bodies ${signed(c.value, 2)} % in length against their scans`,
  wood_density: (c) => `wood${c.wood ? ` (${c.wood})` : ''} ${signed(c.value, 1)} % in density against the sheets`,
  water_taken_up: (c) => `${fixed(c.value, 1)} % of the wood’s mass taken up in an hour’s soak`,
  hook_mass: (c) => `each hook ${signed(c.value, 2)} g against its sheet`,
};
const RATIOS = [
  ['weight_g_per_100g_wood', 'weight, g per 100 g of wood', 0],
  ['weight_without_hooks_g_per_100g_wood', 'without hooks', 0],
  ['wire_percent', 'wire, % of it and ballast', 0],
  ['reserve_g_per_100g', 'reserve, g per 100 g', 1],
  ['least_stiffness_g_mm_per_deg_per_100g', 'least stiffness, g·mm/° per 100 g', 2],
];

const groupName = (group) => [group.wood, group.kind].filter(Boolean).join(', ') || 'all builds';
const day = (date) => date.slice(0, 10);
const waterName = (water) => water.salinity === null ? `${fixed(water.density_g_cm3, 4)} g/cm³`
  : `${water.salinity === 0 ? 'fresh' : 'salt'}, ${fixed(water.temperature_c, 0)} °C`;

function spreadCells(summary, decimals) {
  if (!summary) return '–';
  const median = fixed(summary.median, decimals);
  return summary.count < 2 ? median : `${median} (${fixed(summary.lower_quartile, decimals)} to ${fixed(summary.upper_quartile, decimals)})`;
}

// One line a group: from least to greatest, the middle half broad, the median marked.
function spreadPicture(groups, key, label, narrow) {
  const shown = groups.filter((group) => group[key]);
  const width = narrow ? 320 : 640;
  const left = narrow ? 110 : 190;
  const low = Math.min(0, ...shown.map((group) => group[key].least));
  const high = Math.max(1e-6, ...shown.map((group) => group[key].greatest));
  const x = (v) => left + (width - left - 20) * (v - low) / (high - low || 1);
  const height = 44 + 26 * shown.length;
  const axis = ticks(low, high, narrow ? 3 : 6);
  return drawing(width, height, `${label}, by wood and kind of body`, { class: 'plot' },
    axis.at.map((v) => [
      svg('line', { x1: x(v), x2: x(v), y1: 6, y2: height - 34, class: 'grid' }),
      svg('text', { x: x(v), y: height - 20, 'text-anchor': 'middle' }, String(Number(v.toPrecision(6))))]),
    svg('text', { x: (left + width) / 2, y: height - 4, 'text-anchor': 'middle', class: 'label' }, label),
    shown.map((group, i) => {
      const s = group[key];
      const y = 20 + 26 * i;
      return [
        svg('text', { x: left - 8, y: y + 4, 'text-anchor': 'end', class: 'small' }, `${groupName(group)} (${group.builds})`),
        svg('line', { x1: x(s.least), x2: x(s.greatest), y1: y, y2: y, class: 'axis' }),
        svg('rect', { x: x(s.lower_quartile), y: y - 7, height: 14, width: Math.max(2, x(s.upper_quartile) - x(s.lower_quartile)), class: 'bar plus' }),
        svg('line', { x1: x(s.median), x2: x(s.median), y1: y - 10, y2: y + 10, class: 'mark chosen' })];
    }));
}

function ratiosPart(result) {
  if (!result.ratios.length) return null;
  return section('ratios', 'Ratios', el('p', {}, 'Median, and between which the middle half lies. Weight: all that is neither wood nor finish.'),
    table('By wood and by kind of body', ['', 'builds', ...RATIOS.map(([, label]) => label)], result.ratios.map((group) =>
      [groupName(group), String(group.builds), ...RATIOS.map(([key, , decimals]) => spreadCells(group[key], decimals))])),
    fitting((narrow) => spreadPicture(result.ratios, 'weight_g_per_100g_wood', 'g of weight per 100 g of wood', narrow)));
}

function buildsPart(result) {
  return section('builds', 'Builds', table('All that is kept', ['', 'title', 'added', 'kind', 'wood', 'length mm', 'state', 'mass g', 'reserve g', 'tail down °', 'trials'],
    result.builds.map((build) => [String(build.id), build.title, day(build.added), build.kind, build.figures.wood ?? fixed(build.figures.wood_density_g_cm3, 3),
      fixed(build.figures.length_mm, 1), build.figures.state ?? '–', fixed(build.figures.mass_g, 1), fixed(build.figures.reserve_g, 1),
      fixed(build.figures.tail_down_deg, 1), String(build.tank.length)])),
  result.forgotten.map((one) => el('p', { class: 'small' }, `Forgotten on ${day(one.forgotten)}: build ${one.id}, ${one.title}.`)));
}

function learnedPart(result) {
  const learned = result.learned;
  if (!learned || !learned.by_sheet.length) return null;
  const rows = learned.by_sheet.map((one) => {
    const [name, decimals] = FIGURES[one.figure];
    return [`build ${one.id}`, name, fixed(one.foretold, decimals), fixed(one.read, decimals),
      one.other_pose ? 'another pose' : signed(one.read - one.foretold, decimals), fixed(one.sd, decimals)];
  });
  return section('learned', 'How the water agreed',
    learned.calibration.filter((one) => one.builds > 1).map((one) => el('p', {},
      `On the last ${one.builds} builds ${SAID[one.figure]} was predicted within ${fixed(one.within, FIGURES[one.figure][1])}${UNITS[one.figure]} ` +
      `(as the sheets say: ${fixed(one.within_by_sheet, FIGURES[one.figure][1])}${UNITS[one.figure]}); the stated doubt held ${one.held} of them.`)),
    learned.named.map((one) => el('p', {}, `What explains it: ${CAUSES[one.cause](one)} (± ${fixed(one.sd, 2)})` +
      (one.or_else.length ? `, or ${one.or_else.map((other) => CAUSES[other.cause](other)).join(', or ')}.` : '.'))),
    table('Foretold by the sheets against what was read', ['', 'figure', 'by sheet', 'read', 'off', '±'], rows));
}

function buildFacts(build) {
  const f = build.figures;
  return section('facts', 'The build', table('As it was reckoned', ['', ''], [
    ['wood', `${f.wood ?? 'no name'}, ${fixed(f.wood_density_g_cm3, 3)} g/cm³`], ['length', `${fixed(f.length_mm, 1)} mm`],
    ['mass', `${fixed(f.mass_g, 1)} g`], ['wood, wire, weights, hooks', [f.wood_g, f.wire_g, f.ballast_g, f.hooks_g].map((g) => fixed(g, 1)).join(', ') + ' g'],
    ['reserve', `${fixed(f.reserve_g, 1)} g`], ['lies', `tail ${fixed(f.tail_down_deg, 1)}° down, list ${fixed(f.list_deg, 1)}°`],
    ['least stiffness', `${fixed(f.least_stiffness_g_mm_per_deg, 2)} g·mm per degree`]]),
  build.notes ? el('p', {}, build.notes) : null);
}

function partsPart(rig) {
  if (!rig) return null;
  const place = (p) => `${fixed(p[0], 1)}, ${fixed(p[2], 1)}`;
  return section('parts', 'Parts', table('Weights and hooks: station and height from the long axis, mm', ['', 'mass g', 'at'], [
    ...rig.weights.map((part) => [part.name, fixed(part.mass_g, 2), place(part.at_mm)]),
    ...rig.hooks.map((part) => [part.name, fixed(part.mass_g, 2), `eye ${place(part.eye_mm)}`])]),
  rig.wires.map((wire) => el('p', {}, `${wire.name}: ${fixed(wire.diameter_mm, 2)} mm, through ${wire.path_mm.map(place).join('; ')}.`)));
}

function trialsPart(build) {
  return section('trials', 'What the water showed', build.tank.length
    ? table('Trials', ['', 'water', 'state', 'tail down °', 'list °', 'sunk by g', 'before g', 'after g', 'notes'], build.tank.map((one) => [day(one.date),
      waterName(one.water), one.state ?? '–', fixed(one.tail_down_deg, 1), fixed(one.list_deg, 1), fixed(one.sank_with_g, 1), fixed(one.mass_before_g, 1),
      fixed(one.mass_after_g, 1), one.notes]))
    : el('p', {}, 'Nothing yet. Room for the next trial:'),
  el('table', { class: 'blank' }, el('tbody', {}, ['date, water, °C', 'tail down, list', 'grams that just sank it', 'before and after an hour’s soak'].map((what) =>
    el('tr', {}, el('th', { scope: 'row' }, what), el('td', {}, '\u00a0'))))));
}

export function notebookPage(result, scene, skin) {
  if (result.action !== 'show') {
    return { parts: [buildsPart(result), learnedPart(result), ratiosPart(result)], start: () => null, stills: [] };
  }
  const [build] = result.builds;
  const panel = bodyPanel(skin, scene.scale, null, { ghost: false });
  return {
    parts: [section('body', 'The body', el('div', { class: 'stills' }), panel.node), buildFacts(build), partsPart(scene.rig), trialsPart(build), learnedPart(result)],
    start: panel.start,
    stills: ['l', 'u'],
  };
}
