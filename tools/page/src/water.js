// SPDX-License-Identifier: GPL-3.0-or-later
// How does it lie?
import { poseDrawings } from './afloat.js';
import { bodyPanel } from './body_panel.js';
import { budgetBar, plot } from './charts.js';
import { el, fitting, section, table } from './dom.js';
import { fixed, percent, signed } from './numbers.js';
import { poseWords } from './pose_words.js';
import { sweepSection } from './sweep.js';

function howItLies(result, scene, skin) {
  const stage = el('div', { class: 'water-stage' });
  const facts = el('p', { class: 'readout', id: 'pose-facts' });
  const curve = el('div', { id: 'righting' });
  const show = (index) => {
    const pose = result.poses[index];
    stage.replaceChildren(fitting((narrow) => poseDrawings(result, pose, scene.rig, skin, narrow).map((picture) =>
      el('figure', {}, picture, el('figcaption', {}, picture.getAttribute('aria-label'))))));
    const share = pose.submerged_mm3 / result.wet_volume_mm3;
    facts.textContent = [
      pose.waterline === null ? 'Under water, set free before it gathers speed.' : `${percent(share)} % of the body under water.`,
      pose.least_stiffness_g_mm_per_deg === null ? '' : `Least stiffness ${fixed(pose.least_stiffness_g_mm_per_deg, 2)} g·mm per degree.`,
      pose.gm_roll_mm === null ? '' : `Metacentric height ${fixed(pose.gm_roll_mm, 2)} mm in roll, ${fixed(pose.gm_pitch_mm, 1)} mm in pitch.`,
      pose.barrier_g_mm === null || pose.barrier_g_mm === undefined ? '' :
        `${fixed(pose.barrier_g_mm, 1)} g·mm of work turn it out of this pose, as to lift 1 g by ${fixed(pose.barrier_g_mm, 1)} mm.`,
    ].join(' ');
    curve.replaceChildren(fitting((narrow) => rightingCurve(pose, narrow)));
  };
  const choices = el('div', { class: 'row', role: 'radiogroup', 'aria-label': 'Rest poses' }, result.poses.map((pose, i) =>
    el('label', { class: 'choice' }, el('input', { type: 'radio', name: 'pose', value: i, checked: i === 0, onchange: () => show(i) }),
      `${percent(pose.share)} %: ${poseWords(pose)}`)));
  if (result.poses.length > 0) show(0);
  return [
    section('lies', 'How it lies', el('p', {}, result.poses.length > 1
      ? 'The ways in which it can lie, each with the share of all starts that end there.' : 'The one way in which it lies.'),
    choices, stage, facts, el('ul', { class: 'keys' },
      el('li', {}, el('b', {}, 'G'), ' centre of mass'), el('li', {}, el('b', {}, 'B'), ' centre of buoyancy'),
      el('li', {}, el('b', {}, 'M'), ' metacentre for roll, in the view from the tail'),
      el('li', {}, el('span', { class: 'dot' }), ' weights; hooks hang from their eyes'))),
    section('arm', 'How firmly it stands', el('p', {},
      'The arm that turns a listed lure back, its trim left free. Where it is nil the lure goes on by itself.'), curve),
  ];
}

function rightingCurve(pose, narrow) {
  const points = pose.righting.map((p) => [p.list_deg, p.arm_mm]).sort((a, b) => a[0] - b[0]);
  if (points.length < 2) return el('p', {}, 'No righting curve here: a list means nothing in this pose.');
  const arms = points.map(([, arm]) => arm);
  const room = 0.08 * (Math.max(...arms) - Math.min(...arms) || 1);
  return plot({
    title: 'Righting arm by list', height: 280, narrow,
    x: { low: points[0][0], high: points.at(-1)[0], label: 'list, ° (+ right flank down)', signed: true },
    y: { low: Math.min(0, ...arms) - room, high: Math.max(0, ...arms) + room, label: 'arm, mm', signed: true },
    curves: [{ points, kind: 'arm' }],
    marks: pose.list_deg === null ? [] : [{ at: pose.list_deg, kind: 'chosen' }],
  });
}

function whatItWeighs(result) {
  const kinds = { wood: 'wood', finish: 'finish', wire: 'wire', ballast: 'weights', pocket: 'pockets', hook: 'hooks', outside: 'outside parts' };
  const parts = Object.entries(result.mass_by_kind_g).map(([kind, grams]) => [kinds[kind] ?? kind, grams]);
  return section('weighs', 'What it weighs', el('p', {},
    `${fixed(result.mass_g, 1)} g; wholly under water it displaces ${fixed(result.displacement_full_g, 1)} g, ` +
    `${result.reserve_g >= 0 ? `${fixed(result.reserve_g, 1)} g in reserve` : `and weighs ${fixed(-result.reserve_g, 1)} g in water`}. ` +
    `${fixed(result.ratio_g_per_100g_wood, 0)} g of wire, weights and hooks per 100 g of wood.`),
  fitting((narrow) => budgetBar(parts, 'g', 'What the lure weighs, by kind', narrow)),
  table('By part, body frame', ['part', 'g', 'x mm', 'y mm', 'z mm'], result.mass_parts.map((part) =>
    [part.name, fixed(part.mass_g, 2), ...part.centre_mm.map((x) => fixed(x, 1))])));
}

/** What becomes of it without a hook, or with one a size up. */
export function hookLines(sensitivity) {
  return (sensitivity?.hooks ?? []).map((hook) => {
    const what = hook.change === 'lost' ? `If the ${hook.name} is lost` : `If the ${hook.name} is one size up (${fixed(hook.mass_g, 1)} g)`;
    const then = hook.tail_down_deg === null ? 'comes to no rest that was found'
      : `${hook.rolls ? 'rolls: ' : 'lies '}${poseWords({ tail_down_deg: hook.tail_down_deg, list_deg: hook.list_deg, indifferent: false })}`;
    return `${what} it ${then}; ${fixed(hook.reserve_g, 1)} g in reserve.`;
  });
}

/** A little more of each part, and what it does. */
export function slopesTable(sensitivity) {
  const rows = (sensitivity?.parts ?? []).map((part) => [part.name,
    part.per_g ? signed(part.per_g.tail_down_deg, 2) : '–', part.per_g ? signed(part.per_g.reserve_g, 2) : '–',
    part.per_g ? signed(part.per_g.least_stiffness_g_mm_per_deg, 3) : '–',
    part.per_mm ? signed(part.per_mm.x.tail_down_deg, 2) : '–', part.per_mm ? signed(part.per_mm.z.least_stiffness_g_mm_per_deg, 3) : '–',
    part.per_mm ? signed(part.per_mm.y.list_deg, 2) : '–']);
  return rows.length ? table('A little more of each part', ['part', '1 g: tail °', '1 g: reserve g', '1 g: least stiffness',
    '1 mm aft: tail °', '1 mm up: least stiffness', '1 mm right: list °'], rows) : null;
}

function nearBorder(result, scene) {
  const lines = hookLines(result.sensitivity);
  const draws = result.tolerances;
  if (draws) {
    lines.push(`Of ${draws.builds} builds within the tolerances ${percent(draws.share_as_nominal)} % lie as this one does, ` +
      `${percent(draws.share_rolls)} % roll.`);
  }
  return section('border', 'How near it is to lying otherwise', el('p', {}, scene.answer),
    lines.map((line) => el('p', {}, line)), slopesTable(result.sensitivity));
}

function otherWater(result) {
  return section('waters', 'In other water', table('Reserve by water', ['salinity', '°C', 'g/cm³', 'reserve g', 'it'],
    result.waters.map((w) => [fixed(w.salinity, 0), fixed(w.temperature_c, 0), fixed(w.density_g_cm3, 4), signed(w.reserve_g, 1), w.state])));
}

export function floatPage(result, scene, skin) {
  const panel = bodyPanel(skin, scene.scale, result.frame);
  return {
    parts: [
      ...howItLies(result, scene, skin),
      whatItWeighs(result),
      nearBorder(result, scene),
      sweepSection(result, scene),
      otherWater(result),
      section('body', 'The body', panel.node),
    ],
    start: panel.start,
    stills: [],
  };
}
