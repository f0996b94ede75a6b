// SPDX-License-Identifier: GPL-3.0-or-later
// Is the blank true?
import { bodyPanel } from './body_panel.js';
import { foldedSection, plot } from './charts.js';
import { el, fitting, section, table } from './dom.js';
import { fewFigures, fixed, signed } from './numbers.js';
import { placeList } from './place_list.js';
import { sectionAt } from './skin.js';

function around(values) {
  const most = Math.max(1e-6, ...values.map(Math.abs));
  return { low: -1.1 * most, high: 1.1 * most };
}

function alongTheLength(result, skin) {
  const stations = result.stations;
  if (stations.length < 2) return null;
  const x = { low: 0, high: skin.high_mm[0], label: 'mm from the nose' };
  const half = 0.35 * (stations[1].x_mm - stations[0].x_mm);
  const areas = stations.map((s) => s.area_difference_mm2);
  const offsets = stations.map((s) => s.centre_offset_mm);
  const strips = el('div', { class: 'strips' });
  const cut = el('div', { class: 'cut' });
  const says = el('output', { class: 'readout', id: 'at-station' });
  const slider = el('input', { type: 'range', min: 0, max: stations.length - 1, step: 1,
    value: Math.floor(stations.length / 2), id: 'station', 'aria-label': 'Station of the section' });
  const update = () => {
    const s = stations[Number(slider.value)];
    slider.setAttribute('aria-valuetext', `${fixed(s.x_mm, 1)} mm from the nose`);
    const marks = [{ at: s.x_mm, kind: 'chosen' }];
    strips.replaceChildren(fitting((narrow) => [
      plot({ title: 'Right area less left area by station', x, marks, narrow,
        y: { ...around(areas), label: 'right − left, mm²', signed: true },
        bars: stations.map((one, i) => ({ at: one.x_mm, value: areas[i], half })) }),
      plot({ title: 'How far the middle of the section lies to the right, by station', x, marks, narrow,
        y: { ...around(offsets), label: 'middle, mm right', signed: true },
        curves: [{ points: stations.map((one, i) => [one.x_mm, offsets[i]]), kind: 'offset' }] })]));
    cut.replaceChildren(foldedSection(sectionAt(skin, s.x_mm), s.x_mm));
    says.textContent = `${fixed(s.x_mm, 1)} mm from the nose: half widths ${fixed(s.left_half_width_mm, 2)} left, ` +
      `${fixed(s.right_half_width_mm, 2)} mm right; areas differ by ${signed(s.area_difference_mm2, 1)} mm²; ` +
      `the middle lies ${fixed(Math.abs(s.centre_offset_mm), 2)} mm to the ${s.centre_offset_mm >= 0 ? 'right' : 'left'}.`;
  };
  slider.addEventListener('input', update);
  update();
  return section('length', 'Along the length', el('p', {},
    'Bars above the line: more on the right there. Slide to a station to see its section, left folded over right.'),
  slider, says, el('div', { class: 'beside' }, strips, el('figure', {}, cut,
    el('figcaption', {}, el('span', { class: 'swatch right' }), 'right ', el('span', { class: 'swatch left' }), 'left, folded over'))));
}

function whereToSand(result, view) {
  const patches = result.patches;
  const sanding = result.sanding;
  if (!sanding) return null;
  const told = (patch) => [
    `${fixed(patch.greatest_mm, 2)} mm at the most`,
    patch.greatest_doubt_mm === null ? '' : ` (± ${fixed(patch.greatest_doubt_mm, 2)} by what the plane may be off)`,
    `, ${fewFigures(patch.area_mm2)} mm², ${fewFigures(patch.volume_mm3)} mm³`,
    patch.wood_g === null ? '' : `, ${fewFigures(patch.wood_g)} g of wood`,
    patch.list_deg === null ? '' : `; in the water ${signed(patch.list_deg, 2)}° of list`,
    patch.greatest_doubt_mm !== null && patch.greatest_mm < 2 * patch.greatest_doubt_mm
      ? '. No surer than the plane: wait for a second scan' : '',
    '.',
  ].join('');
  const total = `To sand: ${fixed(sanding.remove_mm3, 0)} mm³` +
    (sanding.remove_g === null ? '' : ` (${fixed(sanding.remove_g, 2)} g)`) +
    `, ${fixed(sanding.left_mm3, 0)} on the left, ${fixed(sanding.right_mm3, 0)} on the right; ` +
    `at the deepest ${fixed(sanding.deepest_mm, 2)} mm. With all that may be noise it would be ${fixed(sanding.remove_raw_mm3, 0)} mm³.`;
  return section('sand', 'Where to sand', el('p', {}, patches.length ? total : 'Nothing stands proud by more than noise explains.'),
    placeList(patches, view, told),
    patches.length ? el('p', { class: 'small' }, 'Touch a place to turn the body to it. Wood comes off the proud side only.') : null);
}

function inTheWater(result) {
  if (result.list_deg === null || result.list_deg === undefined) return null;
  return section('effect', 'Does it matter in the water?', el('p', {},
    `The asymmetry turns it by ${signed(result.turning_moment_g_mm, 1)} g·mm: ${signed(result.list_deg, 2)}° of list ` +
    '(+ right flank down). A proud flank under water lifts its own side, since it displaces more than its wood weighs.'));
}

function howSure(result) {
  const sure = result.plane_uncertainty;
  const deviation = result.deviation_mm;
  const lines = [];
  if (sure) {
    lines.push(`The mirror plane is sure to ± ${fixed(sure.tilt_deg, 2)}° of tilt, ± ${fixed(sure.yaw_deg, 2)}° of yaw and ` +
      `± ${fixed(sure.offset_mm, 3)} mm (one standard deviation each: believe twice as much).`);
  }
  if (deviation) {
    lines.push(`95 % of the skin lies within ${fixed(deviation.p95, 3)} mm of its mirror image, rms ${fixed(deviation.rms, 3)} mm; ` +
      `the scan’s noise is ${fixed(deviation.noise, 3)} mm, holding together over ${fixed(deviation.noise_correlation_mm, 1)} mm.`);
  }
  if (sure) {
    lines.push('A slow bend of the whole scan looks just like a bent blank, and no figure here can know it: ' +
      'turn the blank over, scan it again and give that scan as --again.');
  }
  if (!result.plane) lines.push('The shape does not say which plane is the mirror plane. Touch the back below and copy the option.');
  return section('sure', 'How sure', lines.map((line) => el('p', {}, line)),
    result.candidates.length > 1 ? table('Planes that were in the running (file axes)', ['', 'normal', 'offset mm', 'rms mm'],
      result.candidates.slice(0, 6).map((c, i) => [String(i + 1), c.normal.map((n) => fixed(n, 3)).join(', '),
        fixed(c.offset_mm, 2), fixed(c.rms_mm, 3)])) : null);
}

function stationTable(result) {
  if (result.stations.length === 0) return null;
  return section('stations', 'Stations', el('details', {}, el('summary', {}, `${result.stations.length} stations`),
    table('By station, mm and mm²', ['from nose', 'left half', 'right half', 'height', 'left area', 'right area', 'belly below', 'back above'],
      result.stations.map((s) => [fixed(s.x_mm, 1), fixed(s.left_half_width_mm, 2), fixed(s.right_half_width_mm, 2),
        fixed(s.height_mm, 2), fixed(s.left_area_mm2, 1), fixed(s.right_area_mm2, 1), fixed(s.belly_mm, 2), fixed(s.back_mm, 2)]))));
}

export function mirrorPage(result, scene, skin) {
  const panel = bodyPanel(skin, scene.scale, result.frame);
  return {
    parts: [
      section('body', 'Proud and shy', el('div', { class: 'stills' }), panel.node),
      whereToSand(result, panel.view),
      inTheWater(result),
      alongTheLength(result, skin),
      howSure(result),
      stationTable(result),
    ],
    start: panel.start,
    stills: ['l', 'r', 'b', 'u'],
  };
}
