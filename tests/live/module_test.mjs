// SPDX-License-Identifier: GPL-3.0-or-later
// The WebAssembly module against the native library: the same calls on the same bodies and rigs.
// LIVE_MODULE: live.wasm; LIVE_NATIVE: the program that prints the native answers.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { deflateRawSync } from 'node:zlib';

import { Module } from './module.mjs';

const path = process.env.LIVE_MODULE;
const native = JSON.parse(execFileSync(process.env.LIVE_NATIVE, { maxBuffer: 1 << 28 }));
const numbers = (list) => Float64Array.from(list, (number) => number ?? NaN);

// The answers to all that can be asked once a rig is laid, as all_answers() of the native side.
function allAnswers(module, lure) {
  return [
    module.pose(lure), module.pose(lure, [0.1, -0.3, 1]), module.balance(lure), module.slopes(lure),
    module.map(lure, [3, 0, 0, 40, 100, 5, 2, 12, 5]), module.heights(lure, 60, 1),
  ].flatMap((answer) => [...answer]);
}

// Both do the same sums in the same order, but their sines and roots are two libraries', a last bit
// apart, and poses are found to 1e-9 rad.
function mustAgree(ours, theirs, what) {
  assert.equal(ours.length, theirs.length, what);
  let most = 0;
  theirs.forEach((number, i) => {
    if (number === null) return assert.ok(Number.isNaN(ours[i]), `${what}: ${ours[i]} at ${i} for nothing`);
    const off = Math.abs(ours[i] - number) / Math.max(1, Math.abs(number));
    most = Math.max(most, off);
    assert.ok(off <= 1e-7, `${what}: ${ours[i]} at ${i} for ${number}`);
  });
  return most;
}

for (const body of native) {
  test(`the module answers as the native library does: ${body.name}`, () => {
    const module = new Module(path);
    const lure = module.open(body);
    assert.notEqual(lure, 0);
    body.rigs.forEach(({ rig, laid, asked }, i) => {
      mustAgree(module.lay(lure, numbers(rig)), laid, `laying rig ${i}`);
      mustAgree(allAnswers(module, lure), asked, `asking of rig ${i}`);
    });
    module.close(lure);
  });
}

test('the module refuses a body that is not closed', () => {
  const module = new Module(path);
  const [{ positions, facets }] = native;
  assert.equal(module.open({ positions, facets: facets.slice(3) }), 0);
});

test('the module wants nothing of its surroundings that could reach out of the page', () => {
  const { imports } = new Module(path);
  for (const { name } of imports) assert.ok(['fd_close', 'fd_seek', 'fd_write'].includes(name), name);
});

test('the module is small enough to stand in each page', () => {
  const packed = deflateRawSync(readFileSync(path), { level: 9, memLevel: 9 }).toString('base64');
  console.log(`${packed.length} characters`);
  assert.ok(packed.length <= 150_000, `${packed.length} characters`);
});
