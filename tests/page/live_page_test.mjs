// SPDX-License-Identifier: GPL-3.0-or-later
// Taking hold of the lure in the page, in a real browser, as a person would: by mouse, finger and
// keyboard, with the page's own solver. The program judges what the page says. TRUEBLANK: the
// program, TRUEBLANK_SOURCE: the checkout.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';

import { open, startBrowser } from './browser.mjs';

const program = process.env.TRUEBLANK;
const source = process.env.TRUEBLANK_SOURCE;
const folder = mkdtempSync(join(tmpdir(), 'trueblank-live-'));
const at = (name) => join(folder, name);
const mesh = (name) => join(source, 'meshes', name);
const run = (...words) => execFileSync(program, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
const read = (name) => JSON.parse(readFileSync(at(name), 'utf8'));

const WEIGHT = 'ballast 0';
const BELLY_HOOK = 'hook 0';

let browser;

before(async () => {
  run('float', mesh('pencil-140.toml'), '--page', at('pencil.html'), '--json', at('pencil.json'));
  run('float', mesh('pencil-140-no-belly-hook.toml'), '--page', at('rolled.html'), '--json', at('rolled.json'));
  run('float', mesh('needle-180-halves.toml'), '--page', at('needle.html'), '--json', at('needle.json'));
  run('float', mesh('pencil-140.toml'), '--imperial', '--page', at('inches.html'));
  browser = await startBrowser();
});

after(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true });
});

async function live(name, options) {
  const opened = await open(browser, at(`${name}.html`), options);
  await opened.page.waitForSelector('#page[data-live=ready]');
  return opened;
}

const rig = (page) => page.evaluate(() => globalThis.trueblank.live.rig());
const settled = (page) => page.evaluate(() => globalThis.trueblank.live.settled());

/** Waits until the water shows the rig as it is now, and lies still. */
async function still(page) {
  await page.waitForFunction(() => {
    const { live } = globalThis.trueblank;
    return JSON.stringify(live.settledRig()) === JSON.stringify(live.rig()) && live.view().resting;
  });
  return settled(page);
}

async function grip(page, part, look = 'side') {
  const target = page.locator(`.bench.${look} [data-part="${part}"] .target`);
  await target.scrollIntoViewIfNeeded();
  const box = await target.boundingBox();
  return [box.x + box.width / 2, box.y + box.height / 2];
}

async function drag(page, part, dx, dy, look = 'side') {
  const [x, y] = await grip(page, part, look);
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 6; ++i) await page.mouse.move(x + dx * i / 6, y + dy * i / 6);
  await page.mouse.up();
}

async function press(page, part, ...keys) {
  await page.locator(`.bench.side [data-part="${part}"]`).focus();
  for (const key of keys) await page.keyboard.press(key);
}

const field = (page, words) => page.locator('.live-panel .quantity').filter({ has: page.locator('label', { hasText: words }) });

test('opened, it tells what the program told', async () => {
  const { page, wrong } = await live('pencil');
  const [now, told] = [await still(page), read('pencil.json')];
  assert.ok(Math.abs(now.laid.mass_g - told.mass_g) < 1e-6);
  assert.ok(Math.abs(now.pose.tail_down_deg - told.poses[0].tail_down_deg) < 1e-6);
  assert.match(await page.textContent('#live-answer'), /^Floats, back up, tail 9\.0° down; 8\.8 g in reserve\.$/);
  assert.equal(await page.locator('.live-figures .differs').count(), 0);
  assert.equal(await page.isVisible('#still-note'), false);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('a weight dragged with the mouse goes along and lifts the tail; undo, redo, back to the sheet', async () => {
  const { page, wrong } = await live('pencil');
  const first = await still(page);
  const before = await rig(page);
  await drag(page, WEIGHT, -120, 0);
  const moved = await still(page);
  const after_ = await rig(page);
  assert.ok(after_.ballasts[0].at_mm[0] < before.ballasts[0].at_mm[0] - 15, JSON.stringify(after_.ballasts));
  assert.equal(after_.ballasts[0].at_mm[1], 0);
  assert.ok(moved.pose.tail_down_deg < first.pose.tail_down_deg - 2);
  assert.ok(Math.abs(moved.laid.mass_g - first.laid.mass_g) < 1e-9);
  assert.match(await page.textContent('[data-figure=tail]'), /sheet 9\.0, −/);
  assert.ok(await page.isVisible('#still-note'));
  await page.click('#live-undo');
  assert.deepEqual(await rig(page), before);
  assert.equal(await page.isDisabled('#live-undo'), true);
  assert.ok(Math.abs((await still(page)).pose.tail_down_deg - first.pose.tail_down_deg) < 1e-9);
  await page.click('#live-redo');
  assert.deepEqual(await rig(page), after_);
  await press(page, WEIGHT, '+');
  await page.click('#live-back');
  assert.deepEqual(await rig(page), before);
  await page.keyboard.press('Control+z');
  await page.keyboard.press('Control+z');
  assert.deepEqual(await rig(page), after_);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('from above it goes aside, and the lure lists to that side', async () => {
  const { page } = await live('pencil');
  await drag(page, WEIGHT, 0, -12, 'above');
  const now = await still(page);
  const [, y, z] = (await rig(page)).ballasts[0].at_mm;
  assert.ok(y > 1 && Math.abs(z - (await page.evaluate(() => globalThis.trueblank.live.sheet().ballasts[0].at_mm[2]))) < 1e-9);
  assert.ok(now.pose.list_deg > 1, String(now.pose.list_deg));
  assert.match(await page.textContent('#live-why'), /pulls .* g·mm to the right/);
  await page.context().close();
});

test('a drag that leaves the body stops at the skin', async () => {
  const { page } = await live('pencil');
  for (const [dx, dy] of [[0, 300], [600, 0], [-900, -300]]) {
    await drag(page, WEIGHT, dx, dy);
    const now = await still(page);
    assert.equal(now.fault, null);
    assert.equal(await page.textContent('#live-fault'), '');
    const [x, y] = (await rig(page)).ballasts[0].at_mm;
    const heights = await page.evaluate(([u, v]) => globalThis.trueblank.live.water().heights(u, v), [x, y]);
    const z = (await rig(page)).ballasts[0].at_mm[2];
    assert.ok(z >= heights.belly_mm && z <= heights.back_mm, `${x} ${z} ${JSON.stringify(heights)}`);
  }
  await page.context().close();
});

test('by touch a weight is dragged, and beside it the page scrolls', async () => {
  const { page, wrong } = await live('pencil', { width: 360, touch: true });
  const touch = await page.context().newCDPSession(page);
  const send = (type, points) => touch.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const before = await rig(page);
  const [x, y] = await grip(page, WEIGHT);
  await send('touchStart', [[x, y]]);
  for (let i = 1; i <= 8; ++i) await send('touchMove', [[x - 6 * i, y]]);
  await send('touchEnd', []);
  await still(page);
  const after_ = await rig(page);
  assert.ok(after_.ballasts[0].at_mm[0] < before.ballasts[0].at_mm[0] - 15, JSON.stringify(after_.ballasts[0].at_mm));
  assert.equal(await page.evaluate(() => {
    const style = (selector) => getComputedStyle(document.querySelector(selector)).touchAction;
    return `${style('.bench .handle')} ${style('.bench')}`;
  }), 'none auto');
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('a fingertip’s room: each handle and button is 44 px high on a phone', async () => {
  const { page } = await live('pencil', { width: 360, touch: true });
  const small = await page.evaluate(() => [...document.querySelectorAll('.bench .target, .live-panel button, .live-panel select, .live-panel input[type=number], .live-panel input[type=range]')]
    .filter((one) => one.getBoundingClientRect().height > 0)
    .map((one) => [one.outerHTML.slice(0, 60), one.getBoundingClientRect().height]).filter(([, height]) => height < 39.5));
  assert.deepEqual(small, []);
  const handles = await page.evaluate(() => [...document.querySelectorAll('.bench .target')].map((one) => one.getBoundingClientRect().width));
  assert.ok(handles.every((width) => width >= 40), String(handles));
  await page.context().close();
});

test('on a phone the water and the drawing to drag on are on one screen', async () => {
  const { page } = await live('pencil', { width: 360 });
  await page.setViewportSize({ width: 360, height: 640 });
  await page.evaluate(() => document.getElementById('live').scrollIntoView());
  const bottom = await page.evaluate(() => Math.max(...[...document.querySelectorAll('.live-water svg, .bench')].map((one) => one.getBoundingClientRect().bottom)));
  assert.ok(bottom <= 640, String(bottom));
  await page.context().close();
});

test('by keyboard alone: handles are reached, moved by the step, made heavier, taken out', async () => {
  const { page, wrong } = await live('pencil');
  await page.locator(`.bench.side [data-part="${WEIGHT}"]`).focus();
  const seen = [];
  for (let i = 0; i < 3; ++i) {
    seen.push(await page.evaluate(() => document.activeElement.getAttribute('data-part')));
    await page.keyboard.press('Tab');
  }
  assert.deepEqual(seen, ['ballast 0', 'hook 0', 'hook 1']);
  await press(page, WEIGHT, 'ArrowLeft', '+', 'Shift+ArrowLeft');
  const after_ = (await rig(page)).ballasts[0];
  assert.ok(Math.abs(after_.at_mm[0] - 97) < 1e-9 && after_.mass_g === 5, JSON.stringify(after_));
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute('data-part')), WEIGHT);
  assert.match(await page.getAttribute(`.bench.side [data-part="${WEIGHT}"]`, 'aria-valuetext'), /97\.0 mm from the nose.*5\.0 g/);
  await press(page, WEIGHT, 'Delete');
  assert.equal((await rig(page)).ballasts.length, 0);
  await still(page);
  await page.keyboard.press('Control+z');
  assert.equal((await rig(page)).ballasts.length, 1);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('half an inch and 5 g are steps too', async () => {
  const { page } = await live('inches');
  assert.ok(await page.isChecked('input[name=live-steps][value=inches]'));
  await press(page, WEIGHT, 'ArrowLeft', '+');
  const now = (await rig(page)).ballasts[0];
  assert.ok(Math.abs(now.at_mm[0] - (108 - 12.7)) < 1e-9 && now.mass_g === 9, JSON.stringify(now));
  assert.match(await page.textContent('#live-held'), / in from the nose/);
  await page.context().close();
});

test('mass by slider, number and buttons; wood, water and finish; each is the program’s own', async () => {
  const { page, wrong } = await live('pencil');
  await page.click(`[data-chip="${WEIGHT}"]`);
  const mass = field(page, 'Mass');
  await mass.locator('input[type=number]').fill('6.5');
  await page.keyboard.press('Enter');
  assert.equal((await rig(page)).ballasts[0].mass_g, 6.5);
  await mass.locator('button', { hasText: '+' }).click();
  assert.equal((await rig(page)).ballasts[0].mass_g, 7);
  await mass.locator('input[type=range]').focus();
  for (let i = 0; i < 3; ++i) await page.keyboard.press('ArrowRight');
  assert.ok(Math.abs((await rig(page)).ballasts[0].mass_g - 7.3) < 1e-9);
  await field(page, 'Wood').locator('select').selectOption({ label: 'balsa' });
  await field(page, 'Water').locator('select').selectOption('fresh');
  await field(page, 'Finish').locator('input[type=number]').fill('0.4');
  await page.keyboard.press('Enter');
  const now = await still(page);
  const changed = await rig(page);
  assert.deepEqual([changed.wood.name, changed.water.kind, changed.finish.thickness_mm], ['balsa', 'fresh', 0.4]);
  await judgedByProgram(page, now);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

// Saves the sheet beside a copy of its body and has the program float it.
async function judgedByProgram(page, now) {
  await page.click('.live-save summary');
  // A browser tells that the part has opened after the click has been answered.
  await page.waitForFunction(() => document.querySelector('#live-sheet').value !== '');
  const sheet = await page.inputValue('#live-sheet');
  copyFileSync(mesh('pencil-140.stl'), at('pencil-140.stl'));
  writeFileSync(at('changed.toml'), sheet);
  run('float', at('changed.toml'), '--json', at('changed.json'));
  const told = read('changed.json');
  assert.ok(Math.abs(told.mass_g - now.laid.mass_g) < 1e-6, `${told.mass_g} ${now.laid.mass_g}`);
  assert.ok(told.poses.some((pose) => Math.abs(pose.tail_down_deg - now.pose.tail_down_deg) < 1e-6), JSON.stringify(told.poses.map((pose) => pose.tail_down_deg)));
  assert.ok(Math.abs(told.reserve_g - now.laid.reserve_g) < 1e-6);
}

test('a hook is exchanged; a weight, a stuck-on weight and a hook are added; the saved sheet floats the same', async () => {
  const { page, wrong } = await live('pencil');
  await page.click(`[data-chip="${BELLY_HOOK}"]`);
  await field(page, 'Exchange for').locator('select').selectOption({ label: '5.5 g, like the tail treble' });
  assert.equal((await rig(page)).hooks[0].mass_g, 5.5);
  for (const kind of ['ballast', 'outside', 'hook']) await page.click(`[data-add=${kind}]`);
  await drag(page, 'ballast 1', 30, 0);
  const now = await still(page);
  assert.equal(now.fault, null);
  const changed = await rig(page);
  assert.deepEqual([changed.ballasts.length, changed.outsides.length, changed.hooks.length], [2, 1, 3]);
  assert.equal(await page.locator('.chip').count(), 6);
  await judgedByProgram(page, now);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('left as it is, the saved sheet is the sheet, to the byte; saved, it has its own name', async () => {
  const { page } = await live('pencil');
  assert.equal(await page.evaluate(() => globalThis.trueblank.live.text()), readFileSync(mesh('pencil-140.toml'), 'utf8'));
  await press(page, WEIGHT, '+');
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('#live-download')]);
  assert.equal(download.suggestedFilename(), 'pencil-140-changed.toml');
  assert.match(readFileSync(await download.path(), 'utf8'), /mass = "?5/);
  await page.context().close();
});

test('a reload keeps what was changed', async () => {
  const { page } = await live('pencil');
  await drag(page, WEIGHT, -60, 0);
  const before = await rig(page);
  await page.reload();
  await page.waitForSelector('#page[data-live=ready]');
  assert.deepEqual(await rig(page), before);
  await still(page);
  assert.ok(await page.isVisible('#still-note'));
  await page.click('#live-back');
  await page.reload();
  await page.waitForSelector('#page[data-live=ready]');
  assert.deepEqual(await rig(page), await page.evaluate(() => globalThis.trueblank.live.sheet()));
  await page.context().close();
});

test('without its belly hook it rolls over and says why; a lower weight is said to help, and does', async () => {
  const { page, wrong } = await live('pencil');
  await press(page, BELLY_HOOK, 'Delete');
  const now = await still(page);
  assert.equal(now.standing.stands, false);
  assert.ok(Math.abs(now.pose.list_deg) > 60, String(now.pose.list_deg));
  assert.ok(Math.abs(Math.abs(now.pose.list_deg) - Math.abs(read('rolled.json').poses[0].list_deg)) < 0.5);
  const why = await page.textContent('#live-why');
  assert.match(why, /It rolls over\. Set on the water back up, its metacentre M lies \d+\.\d mm below its centre of mass G/);
  const [, lower] = /the tail weight about (\d+\.\d) mm lower/.exec(why) ?? [];
  assert.ok(lower, why);
  // A little more than that, and it stands.
  await page.click(`[data-chip="${WEIGHT}"]`);
  const [, , z] = (await rig(page)).ballasts[0].at_mm;
  await field(page, 'Height').locator('input').fill((z - 1.3 * Number(lower)).toFixed(2));
  await page.keyboard.press('Enter');
  const lowered = await still(page);
  assert.ok(lowered.standing.upright_stiffness_g_mm_per_deg > 0 && lowered.standing.stands, JSON.stringify(lowered.standing));
  assert.equal(await page.textContent('#live-why'), '');
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('all rest poses follow, and what is near the border', async () => {
  const { page } = await live('rolled');
  await page.waitForSelector('.live-rest[data-told]');
  const told = read('rolled.json');
  assert.equal(await page.locator('.live-rest .way').count(), told.poses.length);
  assert.equal(await page.locator('.live-rest tbody tr').count(), told.sensitivity.parts.length);
  await page.locator('.live-rest .way').nth(1).click();
  await page.waitForFunction(() => document.getElementById('live-answer').textContent.startsWith('Let go from there'));
  const sides = told.poses.map((pose) => Math.sign(pose.list_deg));
  await page.waitForFunction((side) => Math.sign(globalThis.trueblank.live.settled().pose.list_deg) === side, sides[1]);
  await page.context().close();
});

test('the map fills in behind the drag; its border is the program’s; a tap puts the weight there', async () => {
  const { page, wrong } = await live('pencil');
  await page.click(`[data-chip="${BELLY_HOOK}"]`);
  await page.waitForSelector('.map-place[data-final=yes]');
  assert.ok(await page.locator('#live-map .line-between').getAttribute('d'));
  const box = await page.locator('#live-map').boundingBox();
  await page.locator('#live-map').click({ position: { x: box.width * 0.5, y: box.height * 0.3 } });
  const tapped = (await rig(page)).hooks[0];
  assert.ok(tapped.mass_g > 8, JSON.stringify(tapped));
  await still(page);
  // The belly hook keeps to the belly.
  assert.match(await page.textContent('#live-held'), /below the belly/);
  // Where the border lies at its own place, the program finds it too.
  run('float', mesh('pencil-140.toml'), '--sweep', 'belly treble.mass=0.5:10:20', '--json', at('line.json'));
  const [border] = read('line.json').sweep.border.flat(2);
  await page.click('#live-back');
  await press(page, BELLY_HOOK, 'Home');
  await field(page, 'Mass').locator('input[type=number]').fill(String(Number((border - 0.1).toFixed(2))));
  await page.keyboard.press('Enter');
  assert.equal((await still(page)).standing.stands, false);
  await field(page, 'Mass').locator('input[type=number]').fill(String(Number((border + 0.1).toFixed(2))));
  await page.keyboard.press('Enter');
  assert.equal((await still(page)).standing.stands, true);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('the turn is smooth, and at once for those who want calm', async () => {
  const { page } = await live('pencil');
  await still(page);
  await press(page, BELLY_HOOK, 'Delete');
  await page.waitForFunction(() => !globalThis.trueblank.live.view().resting);
  await still(page);
  await page.keyboard.press('Control+z');
  await still(page);
  await page.emulateMedia({ reducedMotion: 'reduce' });
  const solved = Number(await page.getAttribute('#page', 'data-solved'));
  await press(page, BELLY_HOOK, 'Delete');
  await page.waitForFunction((count) => Number(document.getElementById('page').dataset.solved) > count, solved);
  assert.ok(await page.evaluate(() => globalThis.trueblank.live.view().resting));
  await page.context().close();
});

test('halves, finish, pockets and outside parts can be taken hold of too', async () => {
  const { page, wrong } = await live('needle');
  const now = await still(page);
  assert.ok(Math.abs(now.laid.mass_g - read('needle.json').mass_g) < 1e-6);
  const parts = await rig(page);
  assert.equal(await page.locator('.bench.side .handle').count(), parts.ballasts.length + parts.outsides.length + parts.pockets.length + parts.hooks.length);
  assert.ok(parts.pockets.length > 0 && parts.outsides.length > 0);
  await press(page, 'pocket 0', 'Shift+ArrowRight');
  const after_ = await still(page);
  assert.equal(after_.fault, null);
  assert.notEqual(after_.laid.centre_of_mass_mm[0], now.laid.centre_of_mass_mm[0]);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

for (const [width, scheme] of [[360, 'light'], [360, 'dark'], [1600, 'light'], [1600, 'dark']]) {
  test(`changed and opened out at ${width} px, ${scheme}: no sideways scroll, nothing wrong`, async () => {
    const { page, wrong } = await live('pencil', { width, scheme });
    await press(page, BELLY_HOOK, 'Delete');
    await page.click('[data-add=outside]');
    for (const one of await page.locator('#live summary').all()) if (!await one.evaluate((node) => node.parentElement.open)) await one.click();
    await still(page);
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width);
    assert.deepEqual(wrong, []);
    await page.context().close();
  });
}

test('on paper: the changes, their figures and the sheet; unchanged, nothing of it', async () => {
  const { page } = await live('pencil');
  const words = async (name) => {
    await page.pdf({ path: at(name), format: 'A4' });
    return execFileSync('pdftotext', ['-layout', at(name), '-'], { encoding: 'utf8' });
  };
  assert.ok(!(await words('same.pdf')).includes('Take hold of it'));
  await press(page, WEIGHT, '+', '+');
  await still(page);
  const changed = await words('changed.pdf');
  assert.match(changed, /tail weight: 6\.00 g \(sheet 4\.00 g\)/);
  assert.match(changed, /Mass +36\.0 g +34\.1 +\+1\.9/);
  assert.match(changed, /mass = "?6/);
  assert.match(changed, /before your changes/);
  await page.context().close();
});

test('a body that is thinned for the page: it says so, and how far off its own figures are', async () => {
  execFileSync('python3', ['-B', join(source, 'scripts/make-meshes'), '--pencil', '130000', at('more.stl')]);
  writeFileSync(at('more.toml'), readFileSync(mesh('pencil-140.toml'), 'utf8').replace('"pencil-140.stl"', '"more.stl"'));
  run('float', at('more.toml'), '--page', at('more.html'), '--json', at('more.json'));
  const { page, wrong } = await live('more');
  const words = await page.textContent('#live-thinned');
  const [, from, to, own, whole] = /thinned from (\d+) to (\d+) facets.* sheet (\d+\.\d+) g in reserve, .* found (\d+\.\d+) g/.exec(words);
  assert.ok(Number(from) > Number(to) && Number(to) <= 100000, words);
  assert.equal(whole, read('more.json').reserve_g.toFixed(3));
  assert.ok(Math.abs(own - whole) < 0.02, words);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('without its solver the still page remains, with a sentence', async () => {
  const html = readFileSync(at('pencil.html'), 'utf8');
  writeFileSync(at('none.html'), html.replace(/(id="water-module">)[^<]*/, '$1'));
  const { page, wrong } = await open(browser, at('none.html'));
  await page.waitForSelector('#page[data-live=off]');
  assert.match(await page.textContent('#live'), /made without the solver/);
  assert.equal(await page.locator('#live button, #live svg').count(), 0);
  assert.ok(await page.isVisible('#lies svg'));
  assert.deepEqual(wrong, []);
  await page.context().close();
});

for (const [missing, sentence] of [['WebAssembly', /WebAssembly/], ['Worker', /workers/], ['DecompressionStream', /too old/]]) {
  test(`a browser without ${missing} shows the still page, with a sentence`, async () => {
    const context = await browser.newContext({ viewport: { width: 360, height: 640 } });
    await context.addInitScript((name) => { delete globalThis[name]; }, missing);
    const page = await context.newPage();
    const wrong = [];
    page.on('pageerror', (error) => wrong.push(error.message));
    await page.goto(`file://${at('pencil.html')}`);
    await page.waitForSelector('#page[data-live=off]');
    assert.match(await page.textContent('#live'), sentence);
    assert.equal(await page.locator('#live button').count(), 0);
    assert.ok(await page.isVisible('#lies svg'));
    assert.deepEqual(wrong, []);
    await context.close();
  });
}

test('names of the user’s stay text in all of it', async () => {
  const nasty = '<img src=x onerror=alert(1)> & "weight"';
  writeFileSync(at('nasty.toml'), readFileSync(mesh('pencil-140.toml'), 'utf8').replace('mesh = "', () => `mesh = "${source}/meshes/`)
    .replace('name = "tail weight"', () => `name = '${nasty}'`));
  run('float', at('nasty.toml'), '--page', at('nasty.html'));
  const { page, wrong } = await live('nasty');
  await press(page, WEIGHT, '+');
  await still(page);
  assert.equal(await page.locator('img').count(), 0);
  assert.ok((await page.textContent('#live-held')).startsWith(nasty));
  assert.ok((await page.evaluate(() => globalThis.trueblank.live.text())).includes('onerror'));
  assert.deepEqual(wrong, []);
  await page.context().close();
});
