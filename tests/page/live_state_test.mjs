// SPDX-License-Identifier: GPL-3.0-or-later
// What the live page does without a browser: the rig's operations and their history, what is kept
// over a reload, where a dragged part stops, the thinned skin, and the words for rolling over.
import assert from 'node:assert/strict';
import { test } from 'node:test';

import { changeLines } from '../../tools/page/src/live/changes.js';
import { Water } from '../../tools/page/src/live/client.js';
import { ridden, rideOf, spansOf, stoppedAtSkin } from '../../tools/page/src/live/inside.js';
import * as state from '../../tools/page/src/live/state.js';
import { extentOf, thinnedSkin } from '../../tools/page/src/live/thin.js';
import { reasons } from '../../tools/page/src/live/why.js';

const LIVE = {
  wood: { kind: 'species', name: 'basswood', density_g_cm3: 0.41, weighed_g: null, left_g: null, right_g: null, balance_mm: null },
  finish: { thickness_mm: 0.3, density_g_cm3: null, weighed_g: 3.4 },
  water: { kind: 'fresh', salinity: 0, temperature_c: 12, density_g_cm3: null },
  baseline: null,
  wires: [{ name: 'wire', density_g_cm3: 7.9, metal: 'stainless steel', diameter_mm: 1.6, weighed_g: null, path_mm: [[-7, 0, 1], [147, 0, 1]] }],
  ballasts: [{ name: 'tail weight', at_mm: [108, 0, -2], mass_g: 4, density_g_cm3: 9.78, metal: 'bismuth', diameter_mm: null, axis: null }],
  pockets: [],
  hooks: [{ name: 'belly treble', eye_mm: [56, 0, -14], mass_g: 8, density_g_cm3: 7.8, metal: 'steel', hang_mm: 17, size_up_g: 10, sizes_g: [7], eye_x_mm: null },
    { name: 'tail treble', eye_mm: [147, 0, 1], mass_g: 5.5, density_g_cm3: 7.8, metal: 'steel', hang_mm: 15, size_up_g: null, sizes_g: [], eye_x_mm: null }],
  outsides: [], air: false, materials: [], woods: [], file: 'pencil-140.toml', sheet: [],
};
const WEIGHT = { kind: 'ballast', index: 0 };
const sheet = state.rigOf(LIVE);

test('an operation gives a new rig and leaves the old one', () => {
  const before = JSON.stringify(sheet);
  const rig = state.weighing(state.moved(sheet, WEIGHT, [90, 1, -3]), WEIGHT, 6);
  assert.deepEqual(rig.ballasts[0].at_mm, [90, 1, -3]);
  assert.equal(rig.ballasts[0].mass_g, 6);
  assert.equal(JSON.stringify(sheet), before);
  assert.deepEqual(rig.hooks, sheet.hooks);
});

test('a mass stays a mass, a place a place', () => {
  assert.equal(state.weighing(sheet, WEIGHT, -3).ballasts[0].mass_g, 0.01);
  assert.equal(state.weighing(sheet, WEIGHT, NaN), sheet);
  assert.equal(state.moved(sheet, WEIGHT, [NaN, 0, 0]), sheet);
});

test('a hook is exchanged for the sheet’s sizes and for the other hooks', () => {
  const choices = state.hookChoices(sheet, sheet, 0);
  assert.deepEqual(choices.map((one) => one.mass_g), [8, 7, 10, 5.5]);
  const rig = state.exchanged(sheet, 0, choices[3]);
  assert.equal(rig.hooks[0].mass_g, 5.5);
  assert.equal(rig.hooks[0].hang_mm, 15);
  assert.deepEqual(rig.hooks[0].eye_mm, sheet.hooks[0].eye_mm);
  // Exchanged, it can still be had back.
  assert.equal(state.hookChoices(rig, sheet, 0)[0].mass_g, 8);
});

test('wood, water and finish are changed as the solver takes them', () => {
  const wood = state.inWood(sheet, { name: null, density_g_cm3: 0.5 }).wood;
  assert.deepEqual([wood.kind, wood.name, wood.density_g_cm3], ['density', null, 0.5]);
  const sea = state.inWater(sheet, { kind: 'sea' }).water;
  assert.deepEqual([sea.kind, sea.salinity, sea.temperature_c], ['sea', 35, 12]);
  assert.equal(state.coated(sheet, 0, sheet, 1.15).finish, null);
  const thicker = state.coated(sheet, 0.5, sheet, 1.2).finish;
  assert.deepEqual([thicker.thickness_mm, thicker.density_g_cm3, thicker.weighed_g], [0.5, 1.2, null]);
  assert.deepEqual(state.coated(state.coated(sheet, 0.5, sheet, 1.2), 0.3, sheet, 1.2), sheet);
});

test('a new part has a name of its own; a part taken out is gone', () => {
  const facts = { name: 'tail weight', at: [50, 0, 0], mass: 3, material: { name: 'tungsten', density_g_cm3: 17 } };
  const rig = state.added(state.added(sheet, 'ballast', facts), 'outside', facts);
  assert.deepEqual([rig.ballasts[1].name, rig.outsides[0].name], ['tail weight 2', 'tail weight 3']);
  assert.equal(state.freeName(sheet, 'wood'), 'wood 2');
  assert.deepEqual(Object.keys(rig.ballasts[1]).sort(), Object.keys(sheet.ballasts[0]).sort());
  assert.deepEqual(Object.keys(state.added(sheet, 'hook', { ...facts, hang: 15 }).hooks[2]).sort(), Object.keys(sheet.hooks[0]).sort());
  assert.deepEqual(state.removed(rig, { kind: 'ballast', index: 0 }).ballasts.map((part) => part.name), ['tail weight 2']);
});

test('a drag is one step back; undo and redo lead to the very same rigs', () => {
  let history = state.started(sheet);
  for (const x of [107, 106, 100]) history = state.changed(history, state.moved(history.now, WEIGHT, [x, 0, -2]), 'drag');
  history = state.ended(history);
  history = state.changed(history, state.weighing(history.now, WEIGHT, 6));
  assert.equal(history.past.length, 2);
  const [dragged, heavier] = [history.past[1], history.now];
  history = state.undone(history);
  assert.equal(history.now, dragged);
  history = state.undone(history);
  assert.equal(history.now, sheet);
  assert.equal(state.undone(history), history);
  history = state.redone(state.redone(history));
  assert.equal(history.now, heavier);
  assert.equal(state.redone(history), history);
  // Something new forgets what was undone.
  const other = state.changed(state.undone(history), state.weighing(sheet, WEIGHT, 1));
  assert.equal(other.future.length, 0);
  // Two drags are two steps, and one that comes back to where it began is none.
  let two = state.ended(state.changed(state.started(sheet), state.moved(sheet, WEIGHT, [90, 0, -2]), 'drag'));
  two = state.ended(state.changed(two, state.moved(sheet, WEIGHT, [80, 0, -2]), 'drag'));
  assert.equal(two.past.length, 2);
  const there = state.moved(two.now, WEIGHT, [70, 0, -2]);
  const back = state.ended(state.changed(state.changed(two, there, 'drag'), two.now, 'drag'));
  assert.equal(back.past.length, 2);
});

function storageOf(entries = {}) {
  const held = new Map(Object.entries(entries));
  return { getItem: (key) => held.get(key) ?? null, setItem: (key, text) => held.set(key, text), removeItem: (key) => held.delete(key), held };
}

test('what was changed is kept for its own sheet, and nothing where nothing is changed', () => {
  const storage = storageOf();
  const key = state.keyOf(sheet, LIVE.file);
  const changed = state.changed(state.started(sheet), state.weighing(sheet, WEIGHT, 6));
  assert.ok(state.keep(() => storage, key, changed));
  assert.deepEqual(state.kept(() => storage, key, sheet), changed.now);
  assert.notEqual(state.keyOf(state.weighing(sheet, WEIGHT, 5), LIVE.file), key);
  state.keep(() => storage, key, state.started(sheet));
  assert.equal(storage.held.size, 0);
});

test('a shut or spoilt storage gives the sheet', () => {
  const shut = () => { throw new Error('shut'); };
  assert.equal(state.keep(shut, 'k', state.changed(state.started(sheet), state.weighing(sheet, WEIGHT, 6))), false);
  assert.equal(state.kept(shut, 'k', sheet), null);
  for (const spoilt of ['', '{', 'null', '[]', '{"wood":1}', JSON.stringify({ ...sheet, ballasts: [{ name: 'x', at_mm: [1, 2] }] })]) {
    assert.equal(state.kept(() => storageOf({ k: spoilt }), 'k', sheet), null, spoilt);
  }
});

test('what was changed is told, and nothing else', () => {
  assert.deepEqual(changeLines(sheet, sheet), []);
  const rig = state.removed(state.weighing(state.inWater(sheet, { kind: 'sea' }), WEIGHT, 6), { kind: 'hook', index: 1 });
  const lines = changeLines(sheet, rig);
  assert.equal(lines.length, 3);
  assert.ok(lines[0].startsWith('tail weight: 6.00 g (sheet 4.00 g)'), lines[0]);
  assert.ok(lines[1].includes('tail treble: taken out'));
  assert.ok(lines[2].includes('sea, 12.0 °C'));
});

// An ellipsoid about (70, 0, 0) with half axes 70, 12, 14, its vertices on the true one.
const [A, B, C] = [70, 12, 14];
function ellipsoid(around, along) {
  const positions = [0, 0, 0];
  for (let i = 1; i < along; ++i) {
    const t = Math.PI * i / along;
    for (let j = 0; j < around; ++j) {
      const p = 2 * Math.PI * j / around;
      positions.push(A - A * Math.cos(t), B * Math.sin(t) * Math.cos(p), C * Math.sin(t) * Math.sin(p));
    }
  }
  positions.push(2 * A, 0, 0);
  const at = (i, j) => 1 + (i - 1) * around + j % around;
  const last = positions.length / 3 - 1;
  const index = [];
  for (let j = 0; j < around; ++j) {
    index.push(0, at(1, j + 1), at(1, j), last, at(along - 1, j), at(along - 1, j + 1));
    for (let i = 1; i < along - 1; ++i) index.push(at(i, j), at(i, j + 1), at(i + 1, j + 1), at(i, j), at(i + 1, j + 1), at(i + 1, j));
  }
  return { positions: Float32Array.from(positions), index: Uint32Array.from(index) };
}
const skin = ellipsoid(120, 240);
const half = (x, y) => C * Math.sqrt(1 - ((x - A) / A) ** 2 - (y / B) ** 2);
const spans = spansOf(skin);

test('the skin over a place is the ellipsoid’s own', () => {
  for (const [x, y] of [[70, 0], [20, 3], [120, -8], [2, 0], [70, 11]]) {
    const found = spans(x, y);
    assert.equal(found.length, 1, `${x} ${y}`);
    assert.ok(Math.abs(found[0][1] - half(x, y)) < 0.05 && Math.abs(found[0][0] + half(x, y)) < 0.05, `${x} ${y}: ${found}`);
  }
  for (const [x, y] of [[-1, 0], [141, 0], [70, 12.5], [2, 9]]) assert.deepEqual(spans(x, y), []);
});

test('a cavity is no part of the body: what is dragged stops at its wall', () => {
  const inner = skin.positions.map((x, i) => (i % 3 === 0 ? A + 0.8 * (x - A) : 0.8 * x));
  const count = skin.positions.length / 3;
  const hollow = { positions: Float32Array.from([...skin.positions, ...inner]), index: Uint32Array.from([...skin.index, ...skin.index.map((v) => v + count)]) };
  const around = spans(60, 1)[0];
  const wall = 0.8 * half(A + (60 - A) / 0.8, 1 / 0.8);
  const [below, above] = spansOf(hollow)(60, 1);
  assert.deepEqual([below[0], above[1]], around);
  assert.ok(Math.abs(below[1] + wall) < 0.05 && Math.abs(above[0] - wall) < 0.05, `${below} ${above} ${wall}`);
});

test('a drag that leaves the body stops at the skin, wherever it goes', () => {
  let seed = 7;
  const random = () => (seed = seed * 16807 % 2147483647) / 2147483647;
  const inside = ([x, y, z]) => spans(x, y).some(([low, high]) => z > low && z < high);
  let at = [70, 0, 0];
  for (let i = 0; i < 400; ++i) {
    const to = [-20 + 180 * random(), -20 + 40 * random(), -25 + 50 * random()];
    const before = at;
    at = stoppedAtSkin(spans, at, to);
    assert.ok(inside(at), `${before} to ${to}: ${at}`);
    if (inside(to) && spans(to[0], before[1]).length > 0 && inside([to[0], before[1], to[2]])) assert.deepEqual(at, to);
  }
  // Straight down it stops within a step of the belly.
  const low = stoppedAtSkin(spans, [70, 0, 0], [70, 0, -40]);
  assert.ok(low[2] + half(70, 0) > 0 && low[2] + half(70, 0) < 0.2, String(low));
});

test('a hook under the belly rides along it', () => {
  const ride = rideOf(spans, [70, 0, -C - 2]);
  assert.equal(ride.side, 'belly');
  assert.ok(Math.abs(ridden(spans, ride, 40, 0) - (-half(40, 0) - 2)) < 0.1);
  assert.equal(ridden(spans, ride, 160, 0), null);
  assert.equal(rideOf(spans, [70, 0, C + 1]).side, 'back');
  assert.equal(rideOf(spans, [147, 0, 1]), null);
  assert.equal(rideOf(spans, [70, 0, 0]), null);
});

test('the thinned skin is small and keeps its size', () => {
  const few = thinnedSkin(skin);
  assert.ok(few.index.length / 3 <= 5000 && few.index.length / 3 > 1000, String(few.index.length / 3));
  assert.ok(few.index.every((v) => v < few.positions.length / 3));
  const [whole, small] = [extentOf(skin), extentOf(few)];
  for (let k = 0; k < 3; ++k) {
    assert.ok(Math.abs(whole.high[k] - small.high[k]) < 1 && Math.abs(whole.low[k] - small.low[k]) < 1);
  }
  assert.equal(thinnedSkin(few), few);
});

const laidWith = (parts) => {
  const mass = parts.reduce((sum, part) => sum + part.mass_g, 0);
  return { mass_g: mass, centre_of_mass_mm: [0, 1, 2].map((k) => parts.reduce((sum, part) => sum + part.mass_g * part.centre_mm[k], 0) / mass), mass_parts: parts };
};

// As the solver tells it (water::upright), of a lure of such a stiffness.
const standingOf = (laid, stiffness, stands) => {
  const [gm_mm, aside_g_mm] = [stiffness * 180 / Math.PI / laid.mass_g, laid.mass_g * laid.centre_of_mass_mm[1]];
  return { upright_stiffness_g_mm_per_deg: stiffness, stands, gm_mm, aside_g_mm,
    moves: laid.mass_parts.map((part) => ({ lower_mm: -gm_mm * laid.mass_g / part.mass_g, left_mm: aside_g_mm / part.mass_g })) };
};

test('rolling over is told with the metacentre against the centre of mass, and what helps', () => {
  const laid = laidWith([{ name: 'wood', kind: 'wood', mass_g: 16, centre_mm: [70, 0, 0] }, { name: 'tail weight', kind: 'ballast', mass_g: 4, centre_mm: [100, 0, 2] }]);
  // GM = stiffness · 180/π / mass: −0.35 · 57.3 / 20 = −1.0 mm; 4 g lower by 0.35 · 57.3 / 4 = 5.0 mm.
  const told = reasons(laid, { list_deg: 83, indifferent: false }, standingOf(laid, -0.35, false));
  assert.ok(told.rolls);
  assert.ok(told.says[0].includes('M lies 1.0 mm below its centre of mass G') && told.says[0].includes('right side, listing 83°'), told.says[0]);
  assert.ok(told.says[1].includes('the tail weight about 5.0 mm lower'), told.says[1]);
});

test('what pulls aside is told, and by how much the other way helps', () => {
  const laid = laidWith([{ name: 'wood', kind: 'wood', mass_g: 16, centre_mm: [70, 0, 0] }, { name: 'tail weight', kind: 'ballast', mass_g: 4, centre_mm: [100, 2, -5] }]);
  const leans = reasons(laid, { list_deg: 6, indifferent: false }, standingOf(laid, 1.5, true));
  assert.equal(leans.rolls, false);
  assert.ok(leans.says[0].includes('8.0 g·mm to the right'), leans.says[0]);
  assert.ok(leans.says[1].includes('the tail weight') && leans.says[1].includes('2.0 mm further to the left'), leans.says[1]);
  const rolls = reasons(laid, { list_deg: 90, indifferent: false }, standingOf(laid, 0.05, false));
  assert.ok(rolls.rolls && rolls.says[0].includes('pulls 8.0 g·mm to the right'));
  const bare = laidWith([laid.mass_parts[0]]);
  assert.deepEqual(reasons(bare, { list_deg: 0, indifferent: false }, standingOf(bare, 1.5, true)).says, []);
});

// A worker that says what it is told to.
class FakeWorker {
  static made = [];
  constructor() { FakeWorker.made.push(this); }
  addEventListener(kind, hear) { if (kind === 'message') this.hear = hear; }
  postMessage({ type }) { if (type === 'open') queueMicrotask(() => this.answer({ type: 'ready', open_ms: 1 })); }
  answer(data) { return this.hear({ data }); }
}

test('an answer that comes after a failure is taken for no other question', async () => {
  globalThis.Worker = FakeWorker;
  const water = new Water({});
  await water.open({ url: '', module: null, bytes: null, skin: null });
  const [hand, judge] = FakeWorker.made;
  const refused = (id) => ({ type: 'settled', id, laid: Float64Array.of(3, 1, 0, NaN), pose: null, ms: id });
  const first = water.settle(sheet);
  judge.answer({ type: 'failed', why: 'it fell over' });
  assert.equal(await first, null);
  await hand.answer(refused(1));
  const second = water.settle(sheet);
  await hand.answer(refused(1));
  await hand.answer(refused(2));
  assert.equal((await second).ms, 2);
});
