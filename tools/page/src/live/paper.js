// SPDX-License-Identifier: GPL-3.0-or-later
// On paper: what was changed, with its figures, and the sheet that makes it.
import { el, table } from '../dom.js';
import { fixed } from '../numbers.js';
import { changeLines } from './changes.js';
import { figureRows } from './figures.js';
import { same } from './state.js';

/** now(): { sheet, rig, last, own, text() }. Written when the page is printed; nothing where nothing is changed. */
export function paperPart(now) {
  const node = el('div', { class: 'live-paper' });
  globalThis.addEventListener('beforeprint', () => {
    const { sheet, rig, last, own, text } = now();
    if (same(rig, sheet)) return node.replaceChildren();
    return node.replaceChildren(
      el('p', {}, 'Changed against the sheet:'), el('ul', {}, changeLines(sheet, rig).map((line) => el('li', {}, line))),
      table('As changed', ['', 'now', 'sheet', 'change'], figureRows(last, own).map((row) => [row.name, row.now, row.own, row.change || '–'])),
      table('By part, body frame', ['part', 'g', 'x mm', 'y mm', 'z mm'], (last.laid?.mass_parts ?? []).map((part) =>
        [part.name, fixed(part.mass_g, 2), ...part.centre_mm.map((x) => fixed(x, 1))])),
      el('pre', {}, text()));
  });
  return node;
}
