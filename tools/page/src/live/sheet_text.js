// SPDX-License-Identifier: GPL-3.0-or-later
// A changed rig as a build sheet. What was not changed keeps its text byte for byte: whole tables,
// and of a table that was changed the lines of all keys that still say the same.
import { LISTS, sizeUp } from './rig.js';

const ONE_OF_A_KIND = ['wood', 'finish', 'water'];
const HEADING = /^[ \t]*\[/;

const isSame = (a, b) => JSON.stringify(a) === JSON.stringify(b);

// ---- values as TOML ------------------------------------------------------------------------------

/** A number in as few digits as read back to the same double. */
export function tomlNumber(value) {
  if (!Number.isFinite(value)) throw new Error('A build sheet holds finite numbers only.');
  const text = String(value);
  return /^-?\d{16,}$/.test(text) ? `${text}.0` : text;
}

/** A text in quotes. */
export function tomlText(text) {
  const escaped = text.replace(/[\u0000-\u001f\u007f"\\]/g, (c) => {
    if (c === '"' || c === '\\') return `\\${c}`;
    return `\\u${c.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}`;
  });
  return `"${escaped.replace(/\p{Surrogate}/gu, '\ufffd')}"`;
}

const list = (values) => `[${values.map(tomlNumber).join(', ')}]`;
const stuff = ({ metal, density_g_cm3 }) => (metal ? ['metal', tomlText(metal)] : ['density', tomlNumber(density_g_cm3)]);
const number = (key, value) => (value == null ? null : [key, tomlNumber(value)]);

// ---- each kind's keys, [key, value as text] each --------------------------------------------------

function woodKeys({ kind, name, density_g_cm3, weighed_g, left_g, right_g, balance_mm }) {
  const species = name ? ['species', tomlText(name)] : null;
  const keys = {
    species: [species],
    density: [number('density', density_g_cm3)],
    weighed: [species, number('weighed', weighed_g)],
    halves: [['halves', `{ left = ${tomlNumber(left_g ?? 0)}, right = ${tomlNumber(right_g ?? 0)} }`]],
  }[kind];
  return [...keys, number('balance', balance_mm)];
}

function waterKeys({ kind, salinity, temperature_c, density_g_cm3 }) {
  const what = {
    fresh: ['kind', '"fresh"'], sea: ['kind', '"sea"'], salinity: number('salinity', salinity), density: number('density', density_g_cm3),
  }[kind];
  return [what, number('temperature', temperature_c)];
}

const finishKeys = ({ thickness_mm, density_g_cm3, weighed_g }) =>
  [number('thickness', thickness_mm), weighed_g == null ? number('density', density_g_cm3) : number('weighed', weighed_g)];

const wireKeys = (part) => [
  ['name', tomlText(part.name)], stuff(part), number('diameter', part.diameter_mm),
  ['path', `[${part.path_mm.map(list).join(', ')}]`], number('weighed', part.weighed_g)];

const weightKeys = (part) =>
  [['name', tomlText(part.name)], ['at', list(part.at_mm)], number('mass', part.mass_g), stuff(part)];

const ballastKeys = (part) =>
  [...weightKeys(part), number('diameter', part.diameter_mm), part.axis ? ['axis', tomlText(part.axis)] : null];

const filling = ({ filled, filling_density_g_cm3 }) => (filled === 'density' ? tomlNumber(filling_density_g_cm3) : tomlText(filled));

const pocketKeys = (part) => [
  ['name', tomlText(part.name)], ['at', list(part.at_mm)], number('diameter', part.diameter_mm), number('depth', part.depth_mm),
  ['axis', tomlText(part.axis)], ['filled', filling(part)]];

const hookKeys = (part) => [
  ['name', tomlText(part.name)], ['eye', list(part.eye_mm)], number('mass', part.mass_g), stuff(part),
  number('hang', part.hang_mm ?? 0), number('size_up', sizeUp(part)),
  part.sizes_g?.length ? ['sizes', list(part.sizes_g)] : null, part.eye_x_mm ? ['eye_x', list(part.eye_x_mm)] : null];

const KEYS = { wood: woodKeys, finish: finishKeys, water: waterKeys, wire: wireKeys, ballast: ballastKeys, pocket: pocketKeys,
  hook: hookKeys, outside: weightKeys };

const keysOf = (kind, part) => KEYS[kind](part).filter(Boolean);
const headingOf = (kind) => (ONE_OF_A_KIND.includes(kind) ? `[${kind}]` : `[[${kind}]]`);
const lineOf = ([key, value]) => `${key} = ${value}`;

/** A table, a line a key. */
const tableOf = (kind, part) => [headingOf(kind), ...keysOf(kind, part).map(lineOf)];

// ---- a table changed in its own text ---------------------------------------------------------------

// How many brackets and braces a line leaves open; null where that can't be told without a parser.
function leftOpen(line) {
  if (line.includes('"""') || line.includes("'''")) return null;
  const bare = line.replace(/"(?:[^"\\]|\\.)*"|'[^']*'/g, '').replace(/#.*/, '');
  if (/["']/.test(bare)) return null;
  return (bare.match(/[[{]/g)?.length ?? 0) - (bare.match(/[\]}]/g)?.length ?? 0);
}

// The lines of a table's text by what they say: [{ key, lines }], key null for blanks and comments,
// '[' for the heading. Null where the text is not laid out as plain lines of `key = value`.
function linesByKey(text) {
  const found = [];
  let open = 0;
  for (const line of text.split(/\r?\n/)) {
    const key = /^[ \t]*([A-Za-z_]+)[ \t]*=/.exec(line)?.[1];
    const isEmpty = /^[ \t]*(#.*)?$/.test(line);
    if (open > 0) found.at(-1).lines.push(line);
    else if (isEmpty) found.push({ key: null, lines: [line] });
    else if (HEADING.test(line)) found.push({ key: '[', lines: [line] });
    else if (key) found.push({ key, lines: [line] });
    else return null;
    const opened = isEmpty || found.at(-1).key === '[' ? 0 : leftOpen(line);
    if (opened === null) return null;
    open += opened;
  }
  return open === 0 && found.filter(({ key }) => key === '[').length === 1 ? found : null;
}

// A wire's diameter may follow from its weight; it must not, once anything of the wire is changed.
const mustBeSaid = (kind, key) => kind === 'wire' && key === 'diameter';

function changedTable(kind, text, before, after) {
  const lines = linesByKey(text);
  if (!lines) return null;
  const old = new Map(keysOf(kind, before));
  const now = new Map(keysOf(kind, after));
  const isKept = (key) => now.has(key) && now.get(key) === old.get(key);
  const written = new Set();
  const out = [];
  let end = 0;  // just past the last line that says something
  for (const { key, lines: own } of lines) {
    const isKey = key !== null && key !== '[';
    if (!isKey || isKept(key)) out.push(...own);
    else if (now.has(key)) out.push(lineOf([key, now.get(key)]));
    if (isKey) written.add(key);
    if (key !== null) end = out.length;
  }
  const fresh = [...now].filter(([key]) => !written.has(key) && (!isKept(key) || mustBeSaid(kind, key)));
  out.splice(end, 0, ...fresh.map(lineOf));
  return out;
}

// What stands above a table's heading belongs to it.
function commentAbove(text) {
  const lines = text.split(/\r?\n/);
  return lines.slice(0, Math.max(0, lines.findIndex((line) => HEADING.test(line)))).filter((line) => /^[ \t]*(#.*)?$/.test(line));
}

// ---- the sheet -----------------------------------------------------------------------------------

// A part whose density is no longer that of its metal, or its wood's, is given by the density.
function byDensity(rig) {
  const differs = (table, name, density) => table?.some((row) => row.name === name && row.density_g_cm3 !== density);
  const honest = (part) => (differs(rig.materials, part.metal, part.density_g_cm3) ? { ...part, metal: null } : part);
  const wood = rig.wood.kind === 'species' && differs(rig.woods, rig.wood.name, rig.wood.density_g_cm3) ? { ...rig.wood, kind: 'density' } : rig.wood;
  const lists = Object.values(LISTS).map((list) => [list, rig[list].map(honest)]);
  return { ...rig, wood, ...Object.fromEntries(lists) };
}

class SheetWriter {
  constructor(live, rig) {
    [this.live, this.rig] = [live, byDensity(rig)];
    this.texts = live.sheet.map(({ text }) => text);
    this.below = this.texts.map(() => []);  // tables to come below each piece
    [this.atTop, this.atEnd] = [[], []];
    this.lineEnd = this.texts.join('').includes('\r\n') ? '\r\n' : '\n';
  }

  join(lines) { return lines.join(this.lineEnd); }

  /** The places among the pieces of a kind, or of one of its tables. */
  piecesOf(kind, index = null) {
    return this.live.sheet.flatMap((piece, i) => (piece.table === kind && (index === null || piece.index === index) ? [i] : []));
  }

  drop(places) { for (const i of places) this.texts[i] = ''; }

  change(kind, index, before, after) {
    const places = this.piecesOf(kind, index);
    const text = this.texts[places[0]];
    const lines = places.length === 1 ? changedTable(kind, text, before, after) : null;
    this.drop(places);
    this.texts[places[0]] = this.join(lines ?? [...commentAbove(text), ...tableOf(kind, after), '', '']);
  }

  /** Whether all of a kind stands below headings of its own. */
  isHeaded(kind) { return this.piecesOf(kind).every((i) => this.live.sheet[i].index >= 0); }

  single(kind) {
    const [before, after] = [this.live[kind], this.rig[kind]];
    const said = (part) => (part ? keysOf(kind, part) : null);
    if (isSame(said(before), said(after))) return;
    const places = this.piecesOf(kind);
    if (after && places.length > 0 && this.isHeaded(kind)) {
      this.change(kind, this.live.sheet[places[0]].index, before, after);
      return;
    }
    this.drop(places);
    if (after) this.atEnd.push(tableOf(kind, after));
  }

  /** Parts of one kind, which stay where they are and in their order. */
  many(kind) {
    const [before, after] = [this.live[LISTS[kind]], this.rig[LISTS[kind]]];
    const said = (parts) => parts.map((part) => keysOf(kind, part));
    if (isSame(said(before), said(after))) return;
    if (!this.isHeaded(kind)) {
      this.drop(this.piecesOf(kind));
      this.atEnd.push(...after.map((part) => tableOf(kind, part)));
      return;
    }
    const origins = originsOf(before, after);
    const lost = before.flatMap((_, index) => (origins.includes(index) ? [] : [index]));
    let last = null;  // the piece of the part before
    after.forEach((part, i) => {
      if (origins[i] === null) return this.add(kind, part, last);
      this.keep(kind, origins[i], before[origins[i]], part, lost.length > 0);
      last = this.piecesOf(kind, origins[i]).at(-1);
      return null;
    });
    for (const index of lost) this.drop(this.piecesOf(kind, index));
  }

  /** A new table below a piece, or above all of its kind; where there are none, at the end. */
  add(kind, part, below) {
    const [first] = this.piecesOf(kind);
    if (below !== null) this.below[below].push(tableOf(kind, part));
    else if (first > 0) this.below[first - 1].push(tableOf(kind, part));
    else (first === 0 ? this.atTop : this.atEnd).push(tableOf(kind, part));
  }

  // A part without a name is given one by its number among its like: where some are gone it must be
  // written, or it would be another.
  keep(kind, index, before, after, someLost) {
    const unsure = someLost && new RegExp(`^${kind}( \\d+)?$`).test(before.name);
    const old = unsure ? { ...before, name: '' } : before;
    if (!isSame(keysOf(kind, old), keysOf(kind, after))) this.change(kind, index, old, after);
  }

  /** The line can't be tied to a hook, or a wire, that is no more; to one renamed it still is. */
  line() {
    const { line_hook, hooks, wires } = this.live;
    const isLost = line_hook && !this.rig.hooks.some(({ name }) => name === line_hook);
    const hasNoWire = wires.length > 0 && this.rig.wires.length === 0;
    if (!isLost && !hasNoWire) return;
    const tied = isLost ? originsOf(hooks, this.rig.hooks).indexOf(hooks.findIndex(({ name }) => name === line_hook)) : -1;
    const name = tied < 0 ? null : tomlText(this.rig.hooks[tied].name);
    this.live.sheet.forEach((piece, i) => { if (!piece.table) this.texts[i] = retied(this.texts[i], isLost ? ANY_TEXT : NOSE, name); });
  }

  // Tables that come anew stand apart from what is above them.
  with(text, tables) {
    return tables.reduce((whole, lines) => {
      const gap = whole === '' || /\n\r?\n$/.test(whole) ? '' : whole.endsWith('\n') ? this.lineEnd : this.lineEnd.repeat(2);
      return whole + gap + this.join([...lines, '']);
    }, text);
  }

  done() {
    let text = this.with('', this.atTop);
    if (text !== '') this.texts[0] = this.texts[0].replace(/^\ufeff/, '');
    let endsNew = text !== '';
    this.texts.forEach((own, i) => {
      if (endsNew && own !== '') text += this.lineEnd;
      text = this.with(text + own, this.below[i]);
      if (own !== '' || this.below[i].length > 0) endsNew = this.below[i].length > 0;
    });
    return this.with(text, this.atEnd);
  }
}

const placeOf = (part) => part.at_mm ?? part.eye_mm ?? part.path_mm;
const isRenamed = (part, before) => isSame(placeOf(part), placeOf(before)) || (part.mass_g !== undefined && part.mass_g === before.mass_g);

/**
 * For each part of a changed list the place that it had before, or null. Those are the same that
 * have one name; a new name where one is gone is the same too if place or mass still are.
 */
function originsOf(before, after) {
  const indexOf = (part) => before.findIndex(({ name }) => name === part.name);
  const known = new Set(after.map(indexOf));
  let next = 0;
  const origins = after.map((part) => {
    let found = indexOf(part);
    for (let i = next; found < 0 && i < before.length && !known.has(i); ++i) if (isRenamed(part, before[i])) found = i;
    if (found < 0) return null;
    next = found + 1;
    return found;
  });
  const told = origins.filter((index) => index !== null);
  const isInOrder = told.every((index, i) => i === 0 || index > told[i - 1]);
  return isInOrder ? origins : after.map(() => null);  // in another order all is written anew
}

const ANY_TEXT = /^(?:"(?:[^"\\]|\\.)*"|'[^']*')/;
const NOSE = /^(?:"nose"|'nose')/;
const EYE = /^[ \t]*eye[ \t]*=[ \t]*/;
const LINE_AT_TOP = /^[ \t]*line(?:[ \t]*\.[ \t]*eye)?[ \t]*=[ \t]*(?:\{[ \t]*eye[ \t]*=[ \t]*)?/;

// The text with the eye of [line], where that is as `old` has it, named anew; or without [line].
function retied(text, old, name) {
  const out = [];
  let heading = -1;  // where [line] stands in `out`, while below it
  for (const line of text.split(/(?<=\n)/)) {
    if (HEADING.test(line)) heading = /^[ \t]*\[[ \t]*line[ \t]*\]/.test(line) ? out.length : -1;
    const before = (heading < 0 ? LINE_AT_TOP : EYE).exec(line)?.[0];
    const isIt = before !== undefined && old.test(line.slice(before.length));
    if (!isIt) out.push(line);
    else if (name !== null) out.push(before + line.slice(before.length).replace(old, () => name));
    else if (heading >= 0) out[heading] = '';
  }
  return out.join('');
}

/** The sheet of a changed rig: `live` is scene.live, `rig` the copy of it that was changed. */
export function sheetText(live, rig) {
  const sheet = new SheetWriter(live, rig);
  for (const kind of ONE_OF_A_KIND) sheet.single(kind);
  for (const kind of Object.keys(LISTS)) sheet.many(kind);
  sheet.line();
  return sheet.done();
}
