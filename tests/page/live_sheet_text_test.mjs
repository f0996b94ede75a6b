// SPDX-License-Identifier: GPL-3.0-or-later
// A changed rig as a build sheet, by its text alone; that the program takes it and tells the same,
// live_equal_test.mjs says. TRUEBLANK_SOURCE: the checkout.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';

const { sheetText, tomlNumber, tomlText } = await import(pathToFileURL(join(process.env.TRUEBLANK_SOURCE, 'tools/page/src/live/sheet_text.js')));

const HEAD = '# of cedar\nsheet = 1\n[body]\nmesh = "a.stl"\n\n';
const WOOD = '# the wood\n[wood]\nspecies = "western redcedar"   # dry\n\n';
const TAIL = '[[ballast]]\nname = "tail"\nat = { station = 108, above_belly = 10 } # measured\nmass = "4 g"\nmetal = "lead"\n# metal = "bismuth"\n\n';
const NOSE = '# in front\n[[ballast]]\nat = [\n  20, # aft of the nose\n  -3,\n]\nmass = 2\ndensity = 9\n\n';
const HOOK = '[[hook]]\nname = "belly"\neye = [56, -9]\nmass = 8\nmetal = "steel"\nhang = 17\nsize_up = 10\n\n';
const LINE = '[line]   # where it is tied\neye = "belly"\n[tolerances]\nmass = 0.2\n';

const live = () => ({
  wood: { kind: 'species', name: 'western redcedar', density_g_cm3: 0.3584, weighed_g: null, left_g: null, right_g: null, balance_mm: null },
  finish: null, water: { kind: 'fresh', salinity: 0, temperature_c: 15, density_g_cm3: null }, baseline: null,
  wires: [], pockets: [], outsides: [],
  ballasts: [
    { name: 'tail', at_mm: [108, 0, -1.25], mass_g: 4, density_g_cm3: 11.34, metal: 'lead', diameter_mm: null, axis: null },
    { name: 'ballast', at_mm: [20, 0, -3], mass_g: 2, density_g_cm3: 9, metal: null, diameter_mm: null, axis: null }],
  hooks: [{ name: 'belly', eye_mm: [56, 0, -9], mass_g: 8, density_g_cm3: 7.85, metal: 'steel', hang_mm: 17, size_up_g: 10, sizes_g: [], eye_x_mm: null }],
  materials: [{ name: 'lead', density_g_cm3: 11.34 }, { name: 'steel', density_g_cm3: 7.85 }], woods: [{ name: 'western redcedar', density_g_cm3: 0.3584 }],
  line_hook: 'belly',
  sheet: [{ text: HEAD }, { text: WOOD, table: 'wood', index: 0 }, { text: TAIL, table: 'ballast', index: 0 }, { text: NOSE, table: 'ballast', index: 1 },
    { text: HOOK, table: 'hook', index: 0 }, { text: LINE }],
});

const ALL = [HEAD, WOOD, TAIL, NOSE, HOOK, LINE].join('');

/** The text after a change to a copy. */
function after(change, before = live()) {
  const rig = structuredClone(before);
  change(rig);
  return sheetText(before, rig);
}

const weight = (name) => ({ name, at_mm: [70, 0, -2], mass_g: 1.5, density_g_cm3: 11.34, metal: 'lead', diameter_mm: null, axis: null });
const WEIGHT = '[[ballast]]\nname = "new"\nat = [70, 0, -2]\nmass = 1.5\nmetal = "lead"\n';

test('without a change it is the same bytes', () => {
  assert.equal(after(() => {}), ALL);
});

test('of a changed part only the line that changed is another', () => {
  assert.equal(after((rig) => { rig.ballasts[0].mass_g = 4.5; }), ALL.replace('mass = "4 g"', 'mass = 4.5'));
  assert.equal(after((rig) => { rig.ballasts[1].at_mm = [0.1 + 0.2, 0, -3]; }),
    ALL.replace('at = [\n  20, # aft of the nose\n  -3,\n]', 'at = [0.30000000000000004, 0, -3]'));
});

test('a metal goes where the density is another, whether the page said so or not', () => {
  const changed = ALL.replace('metal = "lead"\n# metal', 'density = 9.79\n# metal');
  assert.equal(after((rig) => Object.assign(rig.ballasts[0], { metal: null, density_g_cm3: 9.79 })), changed);
  assert.equal(after((rig) => Object.assign(rig.ballasts[0], { density_g_cm3: 9.79 })), changed);
});

test('a next size that is no longer heavier goes', () => {
  assert.equal(after((rig) => { rig.hooks[0].mass_g = 10; }), ALL.replace('mass = 8\n', 'mass = 10\n').replace('size_up = 10\n', ''));
});

test('a part removed takes the comment above it along, and a name by number is kept', () => {
  const named = NOSE.replace('density = 9\n', 'density = 9\nname = "ballast"\n');
  assert.equal(after((rig) => { rig.ballasts.splice(0, 1); }), ALL.replace(TAIL, '').replace(NOSE, named));
  assert.equal(after((rig) => { rig.ballasts.splice(1, 1); }), ALL.replace(NOSE, ''));
});

test('a part added stands below the one before it', () => {
  assert.equal(after((rig) => { rig.ballasts.push(weight('new')); }), ALL.replace(HOOK, `${WEIGHT}\n${HOOK}`));
  assert.equal(after((rig) => { rig.ballasts.splice(1, 0, weight('new')); }), ALL.replace(NOSE, `${WEIGHT}\n${NOSE}`));
  assert.equal(after((rig) => { rig.ballasts.unshift(weight('new')); }), ALL.replace(TAIL, `${WEIGHT}\n${TAIL}`));
});

test('a part renamed keeps its place and its other lines', () => {
  assert.equal(after((rig) => { rig.ballasts[0].name = 'stern'; }), ALL.replace('name = "tail"', 'name = "stern"'));
  assert.equal(after((rig) => { rig.ballasts[1].name = 'bow'; }), ALL.replace('density = 9\n', 'density = 9\nname = "bow"\n'));
});

test('a part removed and another added there keeps nothing of it', () => {
  assert.equal(after((rig) => { rig.ballasts.splice(1, 1); rig.ballasts.push(weight('new')); }), ALL.replace(NOSE, `${WEIGHT}\n`));
  assert.equal(after((rig) => { rig.ballasts.splice(0, 1); rig.ballasts.unshift(weight('new')); }),
    ALL.replace(TAIL, `${WEIGHT}\n`).replace('density = 9\n', 'density = 9\nname = "ballast"\n'));
});

test('parts in another order are written so', () => {
  const text = after((rig) => { rig.ballasts.reverse(); });
  assert.ok(text.indexOf('name = "ballast"') < text.indexOf('name = "tail"'));
  assert.equal(text.match(/\[\[ballast\]\]/g).length, 2);
});

test('what the sheet had none of comes at its end', () => {
  assert.equal(after((rig) => { rig.finish = { thickness_mm: 0.3, density_g_cm3: 1.15, weighed_g: null }; }),
    `${ALL}\n[finish]\nthickness = 0.3\ndensity = 1.15\n`);
  assert.equal(after((rig) => { rig.water.kind = 'sea'; }), `${ALL}\n[water]\nkind = "sea"\ntemperature = 15\n`);
});

test('the line is not tied to a hook that is gone', () => {
  const untied = LINE.replace('[line]   # where it is tied\neye = "belly"\n', '');
  assert.equal(after((rig) => { rig.hooks = []; }), ALL.replace(HOOK, '').replace(LINE, untied));
  assert.equal(after((rig) => { rig.hooks[0].name = "the 'belly'"; }), ALL.replaceAll('"belly"', '"the \'belly\'"'), 'renamed it is still the one');
});

test('the line is not tied to the nose of a wire that is gone', () => {
  const before = live();
  const wire = '[[wire]]\nmetal = "steel"\ndiameter = 1\npath = [[-5, 0], [150, 0]]\n';
  before.wires = [{ name: 'wire', density_g_cm3: 7.85, metal: 'steel', diameter_mm: 1, weighed_g: null, path_mm: [[-5, 0, 0], [150, 0, 0]] }];
  before.line_hook = null;
  before.sheet = [{ text: "line = { eye = 'nose' }\n" }, { text: wire, table: 'wire', index: 0 }, { text: HEAD }];
  assert.equal(after((rig) => { rig.wires = []; }, before), HEAD);
  assert.equal(after((rig) => { rig.wires[0].diameter_mm = 2; }, before), `line = { eye = 'nose' }\n${wire.replace('= 1\n', '= 2\n')}${HEAD}`);
});

test('of a kind in braces all comes anew at the end, below any heading', () => {
  const before = live();
  const hooks = 'hook = [{ name = "belly", eye = [56, -9], mass = 8, metal = "steel", hang = 17, size_up = 10 }]\n';
  before.sheet = [{ text: 'sheet = 1\n' }, { text: hooks, table: 'hook', index: -1 }, { text: 'title = "x"\n[body]\nmesh = "a.stl"' }];
  assert.equal(after((rig) => { rig.hooks[0].mass_g = 9; }, before),
    'sheet = 1\ntitle = "x"\n[body]\nmesh = "a.stl"\n\n[[hook]]\nname = "belly"\neye = [56, 0, -9]\nmass = 9\nmetal = "steel"\nhang = 17\nsize_up = 10\n');
});

test('lines that end with carriage returns go on doing so', () => {
  const before = live();
  for (const piece of before.sheet) piece.text = piece.text.replaceAll('\n', '\r\n');
  const text = after((rig) => { rig.ballasts[0].mass_g = 5; rig.ballasts.push(weight('new')); rig.finish = { thickness_mm: 1, density_g_cm3: 1, weighed_g: null }; }, before);
  assert.equal(text.replaceAll('\r\n', '').includes('\n'), false);
  assert.match(text, /mass = 5\r\n/);
});

test('a table in two places is written as one, where its first stood', () => {
  const before = live();
  before.sheet.splice(2, 1, { text: '[[ballast]]\nname = "tail"\nmass = 4\nmetal = "lead"\n', table: 'ballast', index: 0 });
  before.sheet.splice(5, 0, { text: '[ballast.at]\nstation = 108\nabove_belly = 10\n', table: 'ballast', index: 0 });
  const text = after((rig) => { rig.ballasts[0].mass_g = 5; }, before);
  assert.equal(text, ALL.replace(TAIL, '[[ballast]]\nname = "tail"\nat = [108, 0, -1.25]\nmass = 5\nmetal = "lead"\n\n'));
});

test('numbers read back to the same double, texts to the same letters', () => {
  for (const value of [0.1, 1 / 3, -0, 1e-9, 1e21, 123456789012345680000, 4, 2 ** 53]) assert.equal(Number(tomlNumber(value)), value === 0 ? 0 : value);
  assert.equal(tomlNumber(123456789012345680000), '123456789012345680000.0', 'an integer would be beyond 64 bits');
  assert.throws(() => tomlNumber(NaN));
  assert.equal(tomlText('a "b" \\ ö\u0001'), '"a \\"b\\" \\\\ ö\\u0001"');
});
