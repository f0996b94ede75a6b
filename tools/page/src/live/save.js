// SPDX-License-Identifier: GPL-3.0-or-later
// The changed build as a sheet: shown, copied, downloaded.
import { el } from '../dom.js';
import { sheetText } from './sheet_text.js';

const nameOf = (file) => `${(file || 'build.toml').replace(/\.toml$/i, '')}-changed.toml`;

async function toClipboard(text, area) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    // Where a page from the disk may not use the clipboard's own way.
    area.focus();
    area.select();
    return document.execCommand('copy');
  }
}

/** hands: rig(). */
export function savePanel(live, hands) {
  const area = el('textarea', { id: 'live-sheet', readonly: true, rows: 14, spellcheck: 'false', 'aria-label': 'The build sheet', wrap: 'off' });
  const said = el('span', { class: 'small', role: 'status' });
  const text = () => sheetText(live, hands.rig());
  const more = el('details', { ontoggle: () => draw() }, el('summary', {}, 'Show the sheet'), area);
  const name = nameOf(live.file);
  const download = () => {
    const link = el('a', { href: URL.createObjectURL(new Blob([text()], { type: 'application/toml' })), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    said.textContent = `${name}: put it beside ${live.file}, since it names the same body; then run float on it.`;
  };
  const copy = async () => {
    more.open = true;
    area.value = text();
    said.textContent = await toClipboard(area.value, area) ? 'Copied.' : 'This browser would not copy: the text below is chosen, copy it by hand.';
  };
  function draw() {
    if (more.open) area.value = text();
  }
  const node = el('div', { class: 'live-save' }, el('h3', {}, 'Keep it'),
    el('p', { class: 'small' }, 'As a build sheet that float takes: what you left alone stays as the sheet has it, to the letter. On paper it comes with its figures.'),
    el('div', { class: 'row' }, el('button', { type: 'button', id: 'live-download', onclick: download }, 'Save the sheet'),
      el('button', { type: 'button', id: 'live-copy', onclick: copy }, 'Copy it'),
      el('button', { type: 'button', onclick: () => globalThis.print() }, 'Print'), said), more);
  return { node, draw, text };
}
