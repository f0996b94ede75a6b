// SPDX-License-Identifier: GPL-3.0-or-later
// The page's own solver against the program: what `float --json` tells of a sheet, the module in the
// page of that sheet must tell too, to 1e-6 g and 1e-6°; and a rig that was changed in the page must,
// written as a sheet, make the program tell what the page told.
// TRUEBLANK: the program, TRUEBLANK_SOURCE: the checkout, LIVE_RIGS: how many rigs to draw (none: 3
// sheets only), LIVE_SEED: of the first.
import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, describe, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { promisify } from 'node:util';

import { changedRig } from './live_changes.mjs';
import { differences, mapDifferences, solved, takenApart, waterOf } from './live_compare.mjs';
import { Random } from './live_random.mjs';
import { demoBodies, hollowStl, randomSheet } from './live_sheets.mjs';

const program = process.env.TRUEBLANK;
const meshes = join(process.env.TRUEBLANK_SOURCE, 'meshes');
const { sheetText } = await import(pathToFileURL(join(process.env.TRUEBLANK_SOURCE, 'tools/page/src/live/sheet_text.js')));
const rigs = Number(process.env.LIVE_RIGS ?? 0);
const firstSeed = Number(process.env.LIVE_SEED ?? 1);
const FEW = ['pencil-140.toml', 'needle-180-halves.toml', 'glider-165-sinking.toml'];

const folder = mkdtempSync(join(tmpdir(), 'trueblank-live-'));
const at = (name) => join(folder, name);
writeFileSync(at('hollow.stl'), hollowStl());
const bodies = demoBodies(meshes, at('hollow.stl'));
const counts = { floats: 0, suspends: 0, sinks: 0, rolls: 0, drawnAgain: 0, changedAgain: 0 };
const most = {};

after(() => {
  rmSync(folder, { recursive: true });
  console.log(`drawn: ${JSON.stringify(counts)}; furthest off, as a share of what is allowed: ${JSON.stringify(most)}`);
});

/** `float` on a sheet: { result } or, where it is refused, { refusal }. */
async function float(sheet, name, ...more) {
  try {
    await promisify(execFile)(program, ['float', sheet, '--quiet', '--threads', '1', '--json', at(`${name}.json`), ...more]);
  } catch (wrong) {
    assert.equal(wrong.code, 2, `${wrong.message}\n${readFileSync(sheet, 'utf8')}`);
    return { refusal: wrong.stderr };
  }
  return { result: JSON.parse(readFileSync(at(`${name}.json`), 'utf8')) };
}

function mustBeEqual(ours, theirs, what) {
  const { wrong, most: off } = differences(ours, theirs);
  for (const [sort, value] of Object.entries(off)) most[sort] = Math.max(most[sort] ?? 0, value);
  assert.deepEqual(wrong, [], what);
}

// Let go a little off the first pose, it goes back there.
function mustSettle(water, { poses }) {
  const [pose] = poses;
  if (!pose || pose.indifferent) return;
  const [x, y, z] = pose.up;
  const { pose: found, status } = water.settledFrom([x + 0.004, y - 0.003, z + 0.002]);
  assert.equal(status, 0);
  const turned = Math.hypot(...found.map((part, k) => part - pose.up[k])) * 180 / Math.PI;
  assert.ok(turned < 1e-6, `settles ${turned}° from its pose`);
}

function withSettledFrom(water) {
  water.settledFrom = (up) => {
    const answer = water.pose(up);
    return { status: answer[1], pose: [...answer.slice(4, 7)] };
  };
  return water;
}

/** A sheet with its page: both tell the same. Null where the sheet is refused. */
async function opened(sheet, name) {
  const { result, refusal } = await float(sheet, name, '--page', at(`${name}.html`));
  if (refusal) return { refusal };
  const page = takenApart(at(`${name}.html`));
  rmSync(at(`${name}.html`));
  const water = withSettledFrom(await waterOf(page));
  const ours = solved(water, page.live);
  mustBeEqual(ours, result, readFileSync(sheet, 'utf8'));
  mustSettle(water, ours);
  assert.equal(sheetText(page.live, structuredClone(page.live)), readFileSync(sheet, 'utf8'), 'unchanged, it is the same bytes');
  return { ...page, water, result };
}

/** Changes the rig in the page: the program tells the same of its sheet, and refuses what the page refuses. */
async function changes({ live, water }, random, name, beside) {
  for (let tries = 0; ; ++tries) {
    assert.ok(tries < 30, 'no change that would do was found');
    const rig = changedRig(random, live);
    const sheet = join(beside, `${name}.toml`);
    writeFileSync(sheet, sheetText(live, rig));
    const ours = solved(water, rig);
    const { result, refusal } = await float(sheet, name);
    const written = readFileSync(sheet, 'utf8');
    assert.equal(Boolean(refusal), Boolean(ours.fault), `${JSON.stringify(ours.fault)} here, there ${refusal}\n${written}`);
    if (refusal) {
      counts.changedAgain += 1;
      continue;
    }
    mustBeEqual(ours, result, written);
    count(ours);
    return;
  }
}

function count(ours) {
  counts[ours.state] += 1;
  if (!ours.upright.standing.stands) counts.rolls += 1;
}

/** A copy of a demo sheet beside a path to its mesh, so that changed ones can stand there too. */
function copied(name) {
  const text = readFileSync(join(meshes, name), 'utf8').replace(/^mesh\s*=\s*"(.*)"/m, (_, file) => `mesh = "${join(meshes, file)}"`);
  writeFileSync(at(name), text);
  return at(name);
}

const demo = rigs > 0 ? readdirSync(meshes).filter((name) => name.endsWith('.toml')) : FEW;

describe('demo sheets', { concurrency: 2 }, () => {
  demo.forEach((name, i) => {
    test(`${name}: the page's solver tells what the program tells, changed or not`, async () => {
      const page = await opened(copied(name), `demo-${i}`);
      assert.equal(page.refusal, undefined);
      await changes(page, new Random(1000 + i), `demo-${i}-changed`, folder);
      page.water.close();
    });
  });
});

test('the map over place and mass is that of float --sweep, its border too', async () => {
  const sheet = copied('pencil-140.toml');
  const { result } = await float(sheet, 'map', '--page', at('map.html'), '--sweep', 'belly treble.x=20:120:9', '--sweep', 'belly treble.mass=0.5:12:13');
  assert.ok(result.sweep.border.length > 0 && result.sweep.stands.includes(true), 'some stand, some do not');
  const page = takenApart(at('map.html'));
  const wish = { kind: 'hook', index: 0, axis: 'x', from: 20, to: 120, mass_from: 0.5, mass_to: 12 };
  assert.deepEqual(mapDifferences(await waterOf(page), page.live, wish, result.sweep), []);
});

// Of a sheet drawn at random a part may lie outside: then it is drawn again, and counted.
const FAULTS_OF_DRAWING = /outside|isn't in the body|misses|folds|not on the body|no wood|above the skin|line at station/;

async function drawn(random, name) {
  for (let tries = 0; ; ++tries) {
    assert.ok(tries < 30, 'no sheet that would do was drawn');
    const { text } = randomSheet(random, bodies);
    writeFileSync(at(`${name}.toml`), text);
    const page = await opened(at(`${name}.toml`), name);
    if (!page.refusal) return page;
    assert.match(page.refusal, FAULTS_OF_DRAWING, text);
    counts.drawnAgain += 1;
  }
}

describe('rigs drawn at random', { concurrency: 2 }, () => {
  for (let seed = firstSeed; seed < firstSeed + rigs; ++seed) {
    test(`seed ${seed}: the page's solver tells what the program tells, changed or not`, async () => {
      const random = new Random(seed);
      const page = await drawn(random, `rig-${seed}`);
      await changes(page, random, `rig-${seed}-changed`, folder);
      page.water.close();
    });
  }
});

describe('what was drawn', () => {
  test('is of every sort', { skip: rigs < 100 }, () => {
    for (const sort of ['floats', 'sinks', 'rolls']) assert.ok(counts[sort] > rigs / 20, JSON.stringify(counts));
    assert.ok(counts.drawnAgain < 2 * rigs && counts.changedAgain < 2 * rigs, JSON.stringify(counts));
  });
});
