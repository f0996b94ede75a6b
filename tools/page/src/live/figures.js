// SPDX-License-Identifier: GPL-3.0-or-later
// What it weighs and how it lies now, each figure beside the sheet's own, with the change.
import { el } from '../dom.js';
import { fixed, signed } from '../numbers.js';
import { poseWords } from '../pose_words.js';

const FIGURES = [
  { key: 'tail', name: 'Tail down', unit: '°', decimals: 1, of: (s) => s.pose?.tail_down_deg },
  { key: 'list', name: 'List', unit: '°', decimals: 1, of: (s) => s.pose?.list_deg },
  { key: 'reserve', name: 'In reserve', unit: ' g', decimals: 1, signed: true, of: (s) => s.laid?.reserve_g },
  { key: 'mass', name: 'Mass', unit: ' g', decimals: 1, of: (s) => s.laid?.mass_g },
  { key: 'stiffness', name: 'Upright stiffness', unit: ' g·mm/°', decimals: 2, signed: true, of: (s) => s.standing?.upright_stiffness_g_mm_per_deg },
  { key: 'least', name: 'Least stiffness', unit: ' g·mm/°', decimals: 2, of: (s) => s.pose?.least_stiffness_g_mm_per_deg },
  { key: 'ratio', name: 'Per 100 g of wood', unit: ' g', decimals: 0, of: (s) => s.laid?.ratio_g_per_100g_wood },
];

const written = (figure, value) => (Number.isFinite(value) ? `${(figure.signed ? signed : fixed)(value, figure.decimals)}${figure.unit}` : '–');

/** settled: { laid, pose, standing }. For the panel, and for paper. */
export function figureRows(settled, own) {
  return FIGURES.map((figure) => {
    const [now, then] = [figure.of(settled), figure.of(own)];
    const differs = Number.isFinite(now) && Number.isFinite(then) && Math.abs(now - then) >= 0.5 * 10 ** -figure.decimals;
    return { key: figure.key, name: figure.name, now: written(figure, now), own: (figure.signed ? signed : fixed)(then, figure.decimals),
      change: differs ? signed(now - then, figure.decimals) : '' };
  });
}

/** How it lies, in a line. */
export function answerOf({ laid, pose }) {
  if (!laid) return '';
  if (!pose) return 'No place of rest was found for it.';
  const spare = laid.reserve_g >= 0 ? `${fixed(laid.reserve_g, 1)} g in reserve` : `${fixed(-laid.reserve_g, 1)} g heavy in water`;
  const how = { floats: 'Floats', sinks: 'Sinks', suspends: 'Hovers' }[laid.state] ?? 'Lies';
  return `${how}, ${poseWords(pose)}; ${spare}.`;
}

export function figuresPanel() {
  const cells = new Map();
  const node = el('dl', { class: 'live-figures' }, FIGURES.map((figure) => {
    const cell = { now: el('span', { class: 'now' }, '–'), own: el('span', { class: 'own small' }, '') };
    cells.set(figure.key, cell);
    return el('div', { 'data-figure': figure.key }, el('dt', { class: 'small' }, figure.name), el('dd', {}, cell.now, cell.own));
  }));
  function show(settled, own) {
    for (const row of figureRows(settled, own)) {
      const cell = cells.get(row.key);
      cell.now.textContent = row.now;
      cell.own.textContent = row.change === '' ? 'as in the sheet' : `sheet ${row.own}, ${row.change}`;
      cell.own.parentElement.parentElement.classList.toggle('differs', row.change !== '');
    }
  }
  return { node, show };
}
