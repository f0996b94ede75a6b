// SPDX-License-Identifier: GPL-3.0-or-later
// Is the copy the body that was meant? One copy with all its places, or many in a table.
import { bodyPanel } from './body_panel.js';
import { plot } from './charts.js';
import { el, fitting, section, table } from './dom.js';
import { fewFigures, fixed, percent, signed } from './numbers.js';
import { placeList } from './place_list.js';

const byVolume = (a, b) => Math.abs(b.volume_mm3) - Math.abs(a.volume_mm3);

function whereTheyDiffer(copy, view) {
  const places = [...copy.differences].sort(byVolume);
  const told = (place) => `${signed(place.greatest_mm, 2)} mm at the most (± ${fixed(place.greatest_doubt_mm, 2)} by how they are laid on ` +
    `each other), ${fewFigures(place.area_mm2)} mm², ${signed(place.volume_mm3, 0)} mm³` +
    (place.mass_g === null ? '.' : `, ${signed(place.mass_g, 2)} g.`);
  return section('places', 'Where they differ', places.length
    ? [el('p', {}, 'Plus: the copy has more there; minus: it has less. What noise explains is left alone. Touch a place to turn the body to it.'),
      placeList(places, view, told)]
    : el('p', {}, 'Nowhere by more than noise explains.'));
}

function againstTheLimit(copy, view) {
  const profile = copy.profile;
  if (!profile) return null;
  return section('limit', profile.passed ? 'Within the limit' : 'Outside the limit', el('p', {},
    `Held to the master’s profile, a zone ${fixed(profile.zone_mm, 2)} mm wide about it (profile of a surface in the sense of ISO 1101): ` +
    `largest ${signed(profile.largest_mm, 3)} mm, 95 % within ${fixed(profile.p95_mm, 3)} mm.`),
  profile.places.length ? placeList(profile.places, view, (place) =>
    `${signed(place.greatest_mm, 2)} mm, ${fewFigures(place.area_mm2)} mm² outside.`) : null);
}

function sizeTable(copy) {
  const { changes, figures } = copy;
  const row = (name, unit, now, change, decimals) => [name, `${fixed(now - change, decimals)} ${unit}`, `${fixed(now, decimals)} ${unit}`, signed(change, decimals)];
  const rows = [
    row('volume', 'mm³', figures.volume_mm3, copy.volume_change_mm3, 0),
    row('surface', 'mm²', figures.area_mm2, changes.area_mm2, 0),
    ...['length', 'width', 'height'].map((name, k) => row(name, 'mm', figures.size_mm[k], changes.size_mm[k], 2)),
  ];
  const shrunk = (name, factor) => [name, `${signed(-factor.shrinkage_percent, 2)} %`, `± ${fixed(100 * factor.sd, 2)}`];
  return section('size', 'Size', table('The master and the copy', ['', 'master', 'copy', 'change'], rows),
    copy.stretch ? table('How far it has shrunk (−) or grown (+)', ['', 'by', ''], [shrunk('evenly', copy.size),
      ...['along', 'across', 'upright'].map((name) => shrunk(name, copy.stretch[name]))]) : null,
    el('p', {}, `The middle of its volume moved by ${copy.centroid_shift_mm.map((v) => signed(v, 2)).join(', ')} mm (aft, right, up); ` +
      `its right side has ${signed(changes.balance_mm3, 0)} mm³ more over its left than the master’s has.`));
}

const KINDS = {
  added: (way) => `add ${fixed(Math.abs(way.grams), 2)} g of ${way.metal} at ${fixed(way.at_mm[0], 0)} mm`,
  drilled: (way) => `drill ${fixed(Math.abs(way.grams), 2)} g of wood out at ${fixed(way.at_mm[0], 0)} mm`,
  changed: (way) => `${way.ballast}: ${signed(way.grams, 2)} g, moved by ${signed(way.moved_mm, 1)} mm (plus: aft)`,
};

function inTheWater(copy) {
  const water = copy.water;
  if (!water) return null;
  const row = (name, key, decimals) => [name, ...['body', 'other'].map((who) => fixed(water[who][key], decimals)),
    ...['change', 'by_size', 'by_shape'].map((what) => signed(water[what][key], decimals))];
  const ways = water.restored?.ways ?? [];
  return section('water', 'In the water', water.pose_lost ? el('p', {}, 'It no longer lies as its master does.') : null,
    table('Rigged alike', ['', 'master', 'copy', 'change', 'by size', 'by shape'], [
      row('mass, g', 'mass_g', 2), row('reserve, g', 'reserve_g', 2), row('tail down, °', 'tail_down_deg', 2), row('list, °', 'list_deg', 2),
      row('roll, g·mm/°', 'roll_stiffness_g_mm_per_deg', 2), row('pitch, g·mm/°', 'pitch_stiffness_g_mm_per_deg', 2),
      row('least, g·mm/°', 'least_stiffness_g_mm_per_deg', 2)]),
    ways.length ? [el('p', {}, 'What brings it back to its master, best first:'), el('ol', {}, ways.map((way) => el('li', {},
      `${KINDS[way.kind](way)}: reserve ${fixed(way.then.reserve_g, 2)} g, tail ${fixed(way.then.tail_down_deg, 2)}° down` +
      (way.met ? ', as the master.' : '; not quite as the master.'))))] : null);
}

function alongTheLength(copy) {
  const stations = copy.stations;
  if (stations.length < 2) return null;
  const x = { low: 0, high: Math.max(...stations.map((s) => s.x_mm)) * 1.05, label: 'mm from the nose' };
  const half = 0.35 * (stations[1].x_mm - stations[0].x_mm);
  const strip = (title, label, key) => {
    const most = Math.max(1e-6, ...stations.map((s) => Math.abs(s[key])));
    return fitting((narrow) => plot({ title, narrow, x, y: { low: -1.1 * most, high: 1.1 * most, label, signed: true },
      bars: stations.map((s) => ({ at: s.x_mm, value: s[key], half })) }));
  };
  return section('length', 'Along the length', el('p', {}, 'Bars above the line: the copy has more there.'),
    el('div', { class: 'strips' }, strip('Change of width by station', 'width, mm', 'width_change_mm'),
      strip('Change of height by station', 'height, mm', 'height_change_mm'),
      strip('Change of area by station', 'area, mm²', 'area_change_mm2')),
    el('details', {}, el('summary', {}, `${stations.length} stations`),
      table('The master by station, and how much more (+) the copy has; mm and mm²',
        ['from nose', 'width', '+ −', 'height', '+ −', 'area', '+ −', 'belly + −', 'back + −'],
        stations.map((s) => [fixed(s.x_mm, 1), fixed(s.body.left_half_width_mm + s.body.right_half_width_mm, 2), signed(s.width_change_mm, 2),
          fixed(s.body.height_mm, 2), signed(s.height_change_mm, 2), fixed(s.body.left_area_mm2 + s.body.right_area_mm2, 1),
          signed(s.area_change_mm2, 1), signed(s.belly_change_mm, 2), signed(s.back_change_mm, 2)]))));
}

function howSure(copy) {
  const { deviation_mm: deviation, alignment_uncertainty: sure } = copy;
  const largest = (values) => Math.max(...values.map(Math.abs));
  return section('sure', 'How sure', el('p', {},
    `${percent(copy.compared_share)} % of the copy’s skin and ${percent(copy.body_compared_share)} % of the master’s were compared. ` +
    `The copy is laid on to ${fixed(copy.rms_mm, 3)} mm rms, sure to ± ${fixed(largest(sure.turn_deg), 3)}° and ± ${fixed(largest(sure.shift_mm), 3)} mm ` +
    '(one standard deviation: believe twice as much).'),
  el('p', {}, `95 % of the copy’s skin lies within ${fixed(deviation.other_onto_body.p95, 3)} mm of the master, 95 % of the master’s within ` +
    `${fixed(deviation.body_onto_other.p95, 3)} mm of the copy; the noise of either is ${fixed(deviation.noise, 3)} mm.`),
  copy.warnings.map((line) => el('p', {}, line)));
}

function manyCopies(result) {
  const limit = result.limit_mm !== null;
  const water = result.copies.some((copy) => copy.water);
  const heads = ['copy', 'volume %', 'size %', '95 % mm', 'most mm', 'least mm', 'compared %',
    ...(limit ? [`within ± ${fixed(result.limit_mm, 2)}`] : []), ...(water ? ['reserve g', 'tail °'] : [])];
  const rows = result.copies.map((copy) => [copy.input.file, signed(copy.changes.volume_percent, 2),
    copy.size ? signed(-copy.size.shrinkage_percent, 2) : '–', fixed(Math.max(copy.deviation_mm.other_onto_body.p95, copy.deviation_mm.body_onto_other.p95), 2),
    signed(copy.deviation_mm.other_onto_body.max_proud, 2), signed(copy.deviation_mm.other_onto_body.max_shy, 2), percent(copy.compared_share),
    ...(limit ? [copy.profile.passed ? 'yes' : 'no'] : []),
    ...(water ? [signed(copy.water?.change.reserve_g ?? null, 2), signed(copy.water?.change.tail_down_deg ?? null, 2)] : [])]);
  return section('copies', 'The copies', table('Each beside the master', heads, rows),
    result.skipped.map((one) => el('p', {}, `Skipped ${one.file}: ${one.why}`)));
}

function byPlace(result) {
  if (!result.by_place.length) return null;
  const cell = (face) => face ? `${signed(face.mean_mm, 2)} ± ${fixed(face.spread_mm, 2)}` : '–';
  return section('where', 'By place', table('The mean copy, + where it has more, ± from copy to copy; mm', ['from nose', 'back', 'right', 'belly', 'left'],
    result.by_place.map((slice) => [`${fixed(slice.from_mm, 0)} to ${fixed(slice.to_mm, 0)}`, ...['back', 'right', 'belly', 'left'].map((face) => cell(slice[face]))])));
}

function mould(result, view) {
  const all = result.together;
  if (!all) return null;
  const words = { mould: 'It is the mould: most of what they differ by is the same in all.', scatter: 'It is the scatter: most of what they differ by changes from copy to copy.',
    neither: 'What they differ by may be noise and chance.' };
  return section('mould', 'Mould or scatter', el('p', {}, `${words[all.verdict]} In common ${fixed(all.mould_rms_mm, 3)} mm rms, ` +
    `from copy to copy ${fixed(all.scatter_rms_mm, 3)} mm rms. The picture above shows the mean of the copies on the master.`),
  placeList([...all.patches].sort(byVolume), view, (place) =>
    `${signed(place.greatest_mm, 2)} mm at the most, ${signed(place.mean_mm, 2)} mm on average, ± ${fixed(place.spread_mm, 2)} from copy to copy.`));
}

export function comparePage(result, scene, skin) {
  const panel = bodyPanel(skin, scene.scale, result.frame, { ghost: false });
  const sole = result.copies.length === 1 && result.skipped.length === 0 ? result.copies[0] : null;
  const picture = section('body', 'More and less', el('div', { class: 'stills' }), panel.node);
  const parts = sole
    ? [picture, whereTheyDiffer(sole, panel.view), againstTheLimit(sole, panel.view), sizeTable(sole), inTheWater(sole),
      alongTheLength(sole), howSure(sole)]
    : [picture, manyCopies(result), mould(result, panel.view), byPlace(result)];
  return { parts, start: panel.start, stills: ['l', 'r', 'b', 'u'] };
}
