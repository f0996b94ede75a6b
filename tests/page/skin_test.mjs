// SPDX-License-Identifier: GPL-3.0-or-later
// The skin that a page of `float` solves with, unpacked by the page's own script, against the body
// that the program writes down in full. TRUEBLANK: the program, TRUEBLANK_SOURCE: the checkout.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, test } from 'node:test';
import { pathToFileURL } from 'node:url';

const program = process.env.TRUEBLANK;
const source = process.env.TRUEBLANK_SOURCE;
const { unpackSkin } = await import(pathToFileURL(join(source, 'tools/page/src/skin.js')));
const folder = mkdtempSync(join(tmpdir(), 'trueblank-skin-'));
const at = (name) => join(folder, name);

after(() => rmSync(folder, { recursive: true }));

const run = (...words) => execFileSync(program, words, { stdio: ['ignore', 'pipe', 'pipe'] });

function pageOf(sheet) {
  run('float', sheet, '--page', at('page.html'));
  const html = readFileSync(at('page.html'), 'utf8');
  const element = (id) => new RegExp(`<script [^>]*id="${id}">([^<]*)</script>`).exec(html)[1];
  const scene = JSON.parse(element('scene'));
  return { scene, skin: unpackSkin(scene.skin, element('skin')) };
}

// Numbers of an OBJ, which has all their digits.
function bodyOf(sheet) {
  run('check', sheet, '--aligned', at('body.obj'));
  const [positions, index] = [[], []];
  for (const line of readFileSync(at('body.obj'), 'utf8').split('\n')) {
    if (line.startsWith('v ')) positions.push(...line.slice(2).split(' ').map(Number));
    if (line.startsWith('f ')) index.push(...line.slice(2).split(' ').map((corner) => corner - 1));
  }
  return { positions, index };
}

function worstOff(skin, body) {
  let worst = 0;
  for (let i = 0; i < body.index.length; ++i) {
    for (let k = 0; k < 3; ++k) {
      worst = Math.max(worst, Math.abs(skin.exact[3 * skin.index[i] + k] - body.positions[3 * body.index[i] + k]));
    }
  }
  return worst;
}

for (const name of ['pencil-140', 'glider-165', 'needle-180', 'slim-150-sections']) {
  test(`${name}: every corner within 1e-7 mm`, () => {
    const sheet = join(source, 'meshes', `${name}.toml`);
    const { scene, skin } = pageOf(sheet);
    const body = bodyOf(sheet);
    assert.equal(skin.index.length, body.index.length);
    assert.ok(skin.exact instanceof Float64Array);
    const worst = worstOff(skin, body);
    assert.ok(worst > 0 && worst < 1e-7, `${worst} mm`);
    assert.equal(scene.live.air, false);
    assert.equal(scene.live.sheet.map((piece) => piece.text).join(''), readFileSync(sheet, 'utf8'));
  });
}

// A box with facets outward, or inward as a cavity's.
function box([l, w, h], outward) {
  const corner = (i) => [i & 1 ? l : -l, i & 2 ? w : -w, i & 4 ? h : -h].map((x) => x / 2);
  const sides = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
  const facets = sides.flatMap(([a, b, c, d]) => [[a, b, c], [a, c, d]]);
  return facets.map((facet) => (outward ? facet : facet.reverse()).map(corner));
}

for (const cavity of ['air', 'flooded']) {
  test(`a cavity of ${cavity}: its wall is there, and what it holds is told`, () => {
    const facets = [...box([60, 10, 8], false), ...box([120, 30, 20], true)];
    writeFileSync(at('hollow.stl'), `solid hollow\n${facets.map((facet) =>
      `facet normal 0 0 0\nouter loop\n${facet.map((p) => `vertex ${p.join(' ')}`).join('\n')}\nendloop\nendfacet`).join('\n')}\nendsolid\n`);
    writeFileSync(at('hollow.toml'), `[body]\nmesh = "hollow.stl"\nunits = "mm"\nnose = "-x"\nback = "+z"\ncavity = "${cavity}"\n[wood]\ndensity = 0.4\n`);
    const { scene, skin } = pageOf(at('hollow.toml'));
    const outer = Array.from({ length: 24 }, (_, f) => [0, 1, 2].every((k) => Math.abs(skin.exact[3 * skin.index[3 * f + k] + 1]) > 10));
    assert.equal(skin.index.length, 3 * 24);
    assert.equal(outer.filter(Boolean).length, 12);
    assert.equal(scene.live.air, cavity === 'air');
  });
}
