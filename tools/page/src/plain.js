// SPDX-License-Identifier: GPL-3.0-or-later
// Is the scan sound, and what does the body weigh?
import { bodyPanel } from './body_panel.js';
import { el, section, table } from './dom.js';
import { fixed } from './numbers.js';

function mendedTable(mended) {
  if (!mended || mended.length === 0) return el('p', {}, 'Nothing had to be mended.');
  return table('What was mended', ['what', 'count', 'volume, at most ± mm³'], mended.map((one) =>
    [one.what, String(one.count), one.bound_mm3 === undefined ? '–' : fixed(one.bound_mm3, 1)]));
}

export function checkPage(result, scene, skin) {
  const panel = bodyPanel(skin, scene.scale, null);
  const { length, width, height } = result.size_mm;
  return {
    parts: [
      section('body', 'The body', el('div', { class: 'stills' }), panel.node, skin.flags ? el('p', { class: 'small' }, 'Grey: made up, where the scan has nothing.') : null),
      section('size', 'Size', el('p', {}, `${fixed(length, 1)} × ${fixed(width, 1)} × ${fixed(height, 1)} mm along its principal axes.`)),
      section('mended', 'What was mended', mendedTable(result.mended)),
    ],
    start: panel.start,
    stills: ['l', 'b'],
  };
}

export function weighPage(result, scene, skin) {
  const panel = bodyPanel(skin, scene.scale, null);
  const rows = [
    ['volume', `${fixed(result.volume_mm3, 1)} mm³`],
    ['surface', `${fixed(result.area_mm2, 1)} mm²`],
    ['centroid (file axes)', `${result.centroid_mm.map((x) => fixed(x, 2)).join(', ')} mm`],
  ];
  if (result.mass_g !== undefined && result.mass_g !== null) rows.push(['mass', `${fixed(result.mass_g, 2)} g`]);
  if (result.density_g_cm3 !== undefined && result.density_g_cm3 !== null) rows.push(['density', `${fixed(result.density_g_cm3, 3)} g/cm³`]);
  return {
    parts: [
      section('figures', 'Volume and weight', table('Of the closed body', ['', ''], rows)),
      section('body', 'The body', el('div', { class: 'stills' }), panel.node),
    ],
    start: panel.start,
    stills: ['l', 'b'],
  };
}
