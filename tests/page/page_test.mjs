// SPDX-License-Identifier: GPL-3.0-or-later
// The pages of the built program in a real browser. TRUEBLANK: the program, TRUEBLANK_SOURCE: the
// checkout.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';

import validator from 'gltf-validator';

import { open, startBrowser } from './browser.mjs';

const program = process.env.TRUEBLANK;
const source = process.env.TRUEBLANK_SOURCE;
const folder = mkdtempSync(join(tmpdir(), 'trueblank-page-'));
const at = (name) => join(folder, name);
const mesh = (name) => join(source, 'meshes', name);

function run(...words) {
  return execFileSync(program, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
}

// What keeps the pencil upright, from hardly there to more than it needs.
const HOOK = 'belly treble.mass=0.5:10:20';

let browser;

before(async () => {
  run('mirror', mesh('pencil-140-scan.stl'), '--sheet', mesh('pencil-140-scan.toml'),
    '--page', at('mirror.html'), '--json', at('mirror.json'));
  run('float', mesh('pencil-140-no-belly-hook.toml'), '--page', at('float.html'), '--json', at('float.json'));
  run('ballast', mesh('pencil-140-wanted.toml'), '--page', at('ballast.html'), '--json', at('ballast.json'));
  run('check', mesh('glider-165-scan.obj'), '--page', at('check.html'));
  run('weigh', mesh('pencil-140.stl'), '--density', '0.37', '--page', at('weigh.html'));
  run('mirror', mesh('needle-180.stl'), '--page', at('round.html'));
  run('float', mesh('pencil-140.toml'), '--imperial', '--sweep', HOOK, '--sweep', 'tail weight.x=80:120:21',
    '--page', at('map.html'), '--json', at('map.json'));
  run('float', mesh('pencil-140.toml'), '--sweep', HOOK, '--page', at('line.html'));
  run('compare', mesh('pencil-140.stl'), mesh('pencil-140-cast-2.stl'), '--fit-scale', '--sheet', mesh('pencil-140.toml'),
    '--page', at('copy.html'), '--json', at('copy.json'));
  run('compare', mesh('pencil-140.stl'), mesh('pencil-140-cast-1.stl'), mesh('pencil-140-cast-2.stl'), mesh('pencil-140-cast-3.stl'),
    '--fit-scale', '--page', at('copies.html'), '--json', at('copies.json'));
  const book = ['--book', at('book.db')];
  for (const name of ['pencil-140', 'glider-165', 'needle-180']) run('notebook', 'add', mesh(`${name}.toml`), ...book);
  run('notebook', 'tank', '1', '--tail-down', '11', '--sank-with', '7.2', '--notes', 'first swim', ...book);
  run('notebook', 'tank', '2', '--tail-down', '4.5', ...book);
  run('notebook', 'show', '1', '--page', at('build.html'), '--json', at('build.json'), ...book);
  run('notebook', 'list', '--page', at('book.html'), '--json', at('book.json'), ...book);
  browser = await startBrowser();
});

after(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true });
});

const ALL = ['mirror', 'float', 'check', 'weigh', 'round', 'map', 'line', 'ballast', 'copy', 'copies', 'build', 'book'];

for (const name of ALL) {
  for (const [width, scheme] of [[360, 'dark'], [360, 'light'], [1600, 'dark'], [1600, 'light']]) {
    test(`${name} opens at ${width} px, ${scheme}: nothing asked for, nothing wrong, no sideways scroll`, async () => {
      const { page, wrong } = await open(browser, at(`${name}.html`), { width, scheme });
      assert.deepEqual(wrong, []);
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width);
      await page.context().close();
    });
  }
}

const pixels = (page) => page.evaluate(() => document.getElementById('body-picture').toDataURL());

async function settled(page) {
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}

// How many different colours a picture holds: a blank one has one.
const colours = (page) => page.evaluate(() => {
  const canvas = document.getElementById('body-picture');
  const copy = document.createElement('canvas');
  [copy.width, copy.height] = [canvas.width, canvas.height];
  const ink = copy.getContext('2d');
  ink.drawImage(canvas, 0, 0);
  const data = ink.getImageData(0, 0, copy.width, copy.height).data;
  const seen = new Set();
  for (let i = 0; i < data.length; i += 4) seen.add(data[i] << 16 | data[i + 1] << 8 | data[i + 2]);
  return seen.size;
});

test('the six views differ, by button and by the letter of the name', async () => {
  const { page, wrong } = await open(browser, at('mirror.html'));
  assert.ok(await colours(page) > 100);
  const byButton = {};
  for (const letter of 'lrbunt') {
    await page.click(`button[data-view=${letter}]`);
    await settled(page);
    byButton[letter] = await pixels(page);
  }
  assert.equal(new Set(Object.values(byButton)).size, 6);
  for (const letter of 'lrbunt') {
    await page.keyboard.press(letter);
    await settled(page);
    assert.equal(await pixels(page), byButton[letter], letter);
  }
  await page.focus('#body-picture');
  await page.keyboard.press('ArrowLeft');
  await settled(page);
  assert.notEqual(await pixels(page), byButton.t);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('what the finger reads at the greatest place of a patch is the figure of the JSON', async () => {
  const { page } = await open(browser, at('mirror.html'));
  const result = JSON.parse(readFileSync(at('mirror.json'), 'utf8'));
  const patch = result.patches[0];
  assert.ok(patch.at_mm[1] > 0, 'on the right flank');
  await page.keyboard.press('r');
  await settled(page);
  const [x, y] = await page.evaluate((point) => globalThis.trueblank.view.project(point), patch.at_mm);
  await page.mouse.move(x, y);
  const text = await page.textContent('#readout');
  const [, station] = /^([\d.]+) mm from the nose/.exec(text);
  const [, deviation] = /([+−][\d.]+) mm, proud/.exec(text);
  assert.ok(Math.abs(Number(station) - patch.at_mm[0]) < 0.2, text);
  // A pixel is a tenth of a millimetre of skin, over which the deviation hardly changes.
  assert.ok(Math.abs(Number(deviation) - patch.greatest_mm) < 0.003, `${text}; ${patch.greatest_mm}`);
  await page.context().close();
});

test('a touched place becomes an option that gives the same back', async () => {
  const { page } = await open(browser, at('mirror.html'));
  const result = JSON.parse(readFileSync(at('mirror.json'), 'utf8'));
  await page.keyboard.press('b');
  await settled(page);
  const box = await page.locator('#body-picture').boundingBox();
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  await page.click('text=This is the back');
  const option = await page.inputValue('#option');
  const back = /^--back (\S+)$/.exec(option)[1].split(',').map(Number);
  const along = back.reduce((sum, part, k) => sum + part * result.frame.z[k], 0);
  assert.ok(along > 0.9, option);
  await page.click('text=This is on the split line');
  assert.match(await page.inputValue('#option'), /2 more to touch/);
  await page.context().close();
});

test('one finger turns the body, two spread apart bring it nearer', async () => {
  const { page, wrong } = await open(browser, at('mirror.html'), { touch: true });
  const touch = await page.context().newCDPSession(page);
  const box = await page.locator('#body-picture').boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const send = (type, points) => touch.send('Input.dispatchTouchEvent', {
    type, touchPoints: points.map(([dx, dy], id) => ({ x: x + dx, y: y + dy, id })) });
  const eye = () => page.evaluate(() => {
    const { camera } = globalThis.trueblank.view;
    return { zoom: camera.zoom, at: camera.position.toArray().map((part) => part.toFixed(3)).join() };
  });
  const first = await eye();
  await send('touchStart', [[0, 0]]);
  await send('touchMove', [[20, 0]]);
  await send('touchMove', [[60, 10]]);
  await send('touchEnd', []);
  const turned = await eye();
  assert.notEqual(turned.at, first.at);
  assert.equal(turned.zoom, first.zoom);
  await send('touchStart', [[-30, 0], [30, 0]]);
  await send('touchMove', [[-45, 0], [45, 0]]);
  await send('touchMove', [[-60, 0], [60, 0]]);
  await send('touchEnd', []);
  // Twice as far apart, twice as near.
  assert.ok(Math.abs((await eye()).zoom / first.zoom - 2) < 0.05, JSON.stringify(await eye()));
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('a patch’s link turns the body to it', async () => {
  const { page } = await open(browser, at('mirror.html'));
  const first = await pixels(page);
  await page.click('.patches a >> nth=0');
  await settled(page);
  assert.notEqual(await pixels(page), first);
  await page.context().close();
});

test('maps, veil and station change what is seen', async () => {
  const { page, wrong } = await open(browser, at('mirror.html'));
  const seen = new Set([await pixels(page)]);
  for (const map of ['raw', 'depth', 'plain']) {
    await page.check(`input[value=${map}]`);
    await settled(page);
    seen.add(await pixels(page));
  }
  await page.check('#ghost');
  await settled(page);
  seen.add(await pixels(page));
  assert.equal(seen.size, 5);
  const before = await page.textContent('#at-station');
  await page.focus('#station');
  await page.keyboard.press('ArrowRight');
  assert.notEqual(await page.textContent('#at-station'), before);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('the JSON inside is the JSON of the run, and can be saved', async () => {
  const { page } = await open(browser, at('float.html'));
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('#save')]);
  assert.equal(readFileSync(await download.path(), 'utf8'), readFileSync(at('float.json'), 'utf8'));
  await page.context().close();
});

test('each rest pose has its own picture, which keeps to the figures', async () => {
  const { page } = await open(browser, at('float.html'));
  const { poses } = JSON.parse(readFileSync(at('float.json'), 'utf8'));
  assert.equal(await page.locator('input[name=pose]').count(), poses.length);
  const first = await page.textContent('#pose-facts');
  assert.ok(first.includes(`${poses[0].gm_roll_mm.toFixed(2)} mm in roll`), first);
  const picture = () => page.locator('.afloat.from-the-tail').innerHTML();
  const before = await picture();
  await page.check('input[name=pose][value="1"]');
  assert.notEqual(await picture(), before);
  await page.context().close();
});

test('the map shows each figure, its line, and the marks of inches; what it reads is in the JSON', async () => {
  const { page, wrong } = await open(browser, at('map.html'));
  const { sweep } = JSON.parse(readFileSync(at('map.json'), 'utf8'));
  const picture = () => page.getAttribute('#sweep-map image', 'href');
  const seen = new Set();
  for (const figure of ['tail_down_deg', 'list_deg', 'least_stiffness_g_mm_per_deg', 'reserve_g']) {
    await page.check(`input[name=swept][value=${figure}]`);
    seen.add(await picture());
  }
  assert.equal(seen.size, 4);
  assert.ok(sweep.border.length > 0);
  const drawn = await page.getAttribute('#sweep-map .line-between', 'd');
  assert.equal(drawn.match(/[ML]/g).length, sweep.border.flat().length);
  assert.equal(await page.locator('#sweep-map .as-sheet').count(), 1);
  // 5 and 10 g; 3.5, 4 and 4.5 in between 79 and 121 mm.
  assert.equal(await page.locator('#sweep-map .handy').count(), 5);
  await page.focus('#sweep-0');
  await page.keyboard.press('Home');
  await page.focus('#sweep-1');
  await page.keyboard.press('Home');
  const text = await page.textContent('#sweep-readout');
  assert.ok(text.includes(sweep.stands[0] ? 'stands' : 'tips over'), text);
  assert.ok(text.includes(`in reserve ${sweep.reserve_g[0] < 0 ? '−' : '+'}${Math.abs(sweep.reserve_g[0]).toFixed(1)} g`), text);
  const box = await page.locator('#sweep-map').boundingBox();
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  assert.notEqual(await page.textContent('#sweep-readout'), text);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('a map over one quantity is a curve, broken where it ceases to stand', async () => {
  const { page } = await open(browser, at('line.html'));
  assert.equal(await page.locator('#sweep .curve').count(), 2);
  const before = await page.locator('#sweep svg').first().innerHTML();
  await page.check('input[name=swept][value=reserve_g]');
  assert.notEqual(await page.locator('#sweep svg').first().innerHTML(), before);
  await page.context().close();
});

test('the plan is told and drawn: each weight with its hole, and how it then lies', async () => {
  const { page, wrong } = await open(browser, at('ballast.html'));
  const result = JSON.parse(readFileSync(at('ballast.json'), 'utf8'));
  assert.ok(result.met && result.weights.length > 0);
  const rows = page.locator('#plan table').first().locator('tbody tr');
  assert.equal(await rows.count(), result.weights.length);
  for (const [i, weight] of result.weights.entries()) {
    const text = await rows.nth(i).textContent();
    assert.ok(text.includes(weight.name) && text.includes(weight.mass_g.toFixed(2)), text);
  }
  assert.equal(await page.locator('#plan svg.plan').count(), 2);
  assert.equal(await page.locator('#plan svg.plan').first().locator('.number').count(), result.weights.length);
  assert.equal(await page.locator('#wishes tbody tr').count(), result.wishes.length);
  assert.equal(await page.locator('#lies').count(), 1);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('a copy’s places, sizes and the water are those of its JSON; a place’s link turns the body to it', async () => {
  const { page, wrong } = await open(browser, at('copy.html'));
  const [copy] = JSON.parse(readFileSync(at('copy.json'), 'utf8')).copies;
  const places = page.locator('#places li');
  assert.equal(await places.count(), copy.differences.length);
  const greatest = [...copy.differences].sort((a, b) => Math.abs(b.volume_mm3) - Math.abs(a.volume_mm3))[0];
  const first = await places.first().textContent();
  assert.ok(first.startsWith(greatest.name) && first.includes(Math.abs(greatest.greatest_mm).toFixed(2)), first);
  const reserve = await page.locator('#water tbody tr', { hasText: 'reserve' }).textContent();
  assert.ok(reserve.includes(Math.abs(copy.water.change.reserve_g).toFixed(2)), reserve);
  assert.equal(await page.locator('#water li').count(), copy.water.restored.ways.length);
  assert.ok((await page.locator('#size').textContent()).includes(copy.stretch.along.shrinkage_percent.toFixed(2)));
  assert.equal(await page.locator('#ghost').count(), 0);
  const before = await pixels(page);
  await places.first().locator('a').click();
  await settled(page);
  assert.notEqual(await pixels(page), before);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('many copies stand in one table, with what they have in common', async () => {
  const { page } = await open(browser, at('copies.html'));
  const result = JSON.parse(readFileSync(at('copies.json'), 'utf8'));
  assert.equal(await page.locator('#copies tbody tr').count(), 3);
  assert.equal(await page.locator('#mould li').count(), result.together.patches.length);
  assert.ok(result.together.patches.length > 0);
  // The map has the mould's places beyond the noise, and not the whole skin.
  const beyond = await page.evaluate(() => globalThis.trueblank.skin.flags.filter((f) => f & 2).length);
  assert.ok(beyond > 100 && beyond < 3000, String(beyond));
  assert.ok(await colours(page) > 50);
  await page.context().close();
});

test('a build’s page has its figures, its parts and its trials; on paper there is room for the next', async () => {
  const { page, wrong } = await open(browser, at('build.html'));
  const result = JSON.parse(readFileSync(at('build.json'), 'utf8'));
  const [build] = result.builds;
  assert.ok((await page.locator('#facts').textContent()).includes(`${build.figures.mass_g.toFixed(1)} g`));
  assert.equal(await page.locator('#parts tbody tr').count(), 3);
  assert.ok((await page.locator('#trials').textContent()).includes('first swim'));
  assert.equal(await page.locator('#learned tbody tr').count(), result.learned.by_sheet.length);
  assert.equal(await page.locator('.blank').isVisible(), false);
  await page.emulateMedia({ media: 'print' });
  assert.equal(await page.locator('.blank').isVisible(), true);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('the book’s page lists its builds and draws their ratios', async () => {
  const { page } = await open(browser, at('book.html'));
  const result = JSON.parse(readFileSync(at('book.json'), 'utf8'));
  assert.equal(await page.locator('#builds tbody tr').count(), 3);
  assert.equal(await page.locator('#ratios tbody tr').count(), result.ratios.length);
  assert.equal(await page.locator('#ratios svg rect').count(), result.ratios.length);
  await page.context().close();
});

test('text of the user’s stays text', async () => {
  const nasty = 'A </script><script>document.title=1</script> & "lure" <img src=x onerror=alert(1)>';
  const sheet = readFileSync(mesh('pencil-140.toml'), 'utf8')
    .replace(/^title = .*$/m, () => `title = '${nasty}'`)
    .replace('mesh = "', () => `mesh = "${source}/meshes/`);
  writeFileSync(at('nasty.toml'), sheet);
  run('float', at('nasty.toml'), '--page', at('nasty.html'));
  const { page, wrong } = await open(browser, at('nasty.html'));
  assert.deepEqual(wrong, []);
  assert.equal(await page.title(), nasty);
  assert.equal(await page.textContent('h1'), nasty);
  assert.equal(await page.locator('img').count(), 0);
  await page.context().close();
});

test('the policy allows its own script and style and nothing else', async () => {
  const { page, wrong } = await open(browser, at('weigh.html'));
  const policy = await page.getAttribute('meta[http-equiv=Content-Security-Policy]', 'content');
  assert.match(policy, /^default-src 'none'; script-src 'sha256-[^']+'; style-src 'sha256-[^']+'; img-src data:;/);
  await page.evaluate(() => {
    const script = document.createElement('script');
    script.textContent = 'globalThis.got = true;';
    document.body.append(script);
  });
  assert.equal(await page.evaluate(() => globalThis.got), undefined);
  assert.equal(wrong.length, 1);
  await page.context().close();
});

test('without WebGL there are still pictures', async () => {
  const plain = await startBrowser(['--disable-3d-apis']);
  const { page, wrong } = await open(plain, at('mirror.html'));
  assert.ok(await colours(page) > 100);
  assert.match(await page.textContent('#readout'), /still pictures/);
  const first = await pixels(page);
  await page.keyboard.press('b');
  assert.notEqual(await pixels(page), first);
  assert.deepEqual(wrong.filter((line) => !/WebGL/.test(line)), []);
  await plain.close();
});

// Relative luminance and contrast as WCAG 2.2 defines them; 4.5 is AA for text, 3 for drawings.
const contrast = (one, other) => {
  const light = (text) => {
    const parts = text.match(/[\d.]+/g).slice(0, 3).map((part) => {
      const share = Number(part) / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2];
  };
  const [low, high] = [light(one), light(other)].sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
};

for (const scheme of ['light', 'dark']) {
  test(`all words stand out from their ground, ${scheme}`, async () => {
    for (const name of ALL) {
      const { page } = await open(browser, at(`${name}.html`), { scheme });
      const pairs = await page.evaluate(() => {
        const ground = (node) => {
          for (let up = node; up; up = up.parentElement) {
            const colour = getComputedStyle(up).backgroundColor;
            if (!/, 0\)$|transparent/.test(colour)) return colour;
          }
          return 'rgb(255, 255, 255)';
        };
        const found = {};
        for (const node of document.querySelectorAll('#page *:not(title)')) {
          if (![...node.childNodes].some((child) => child.nodeType === 3 && child.textContent.trim())) continue;
          const style = getComputedStyle(node);
          const ink = node instanceof SVGElement ? style.fill : style.color;
          found[`${ink} on ${ground(node.closest('svg') ?? node)}`] = node.textContent.slice(0, 40);
        }
        return found;
      });
      for (const [pair, words] of Object.entries(pairs)) {
        const [ink, ground] = pair.split(' on ');
        assert.ok(contrast(ink, ground) >= 4.5, `${name}: ${pair}: ${contrast(ink, ground).toFixed(2)}: ${words}`);
      }
      await page.context().close();
    }
  });
}

test('each picture has words, each control a name and a way by keyboard', async () => {
  for (const name of ALL) {
    const { page } = await open(browser, at(`${name}.html`));
    const without = await page.evaluate(() => [
      ...[...document.querySelectorAll('svg[role=img], canvas')].filter((one) => !one.getAttribute('aria-label')),
      ...[...document.querySelectorAll('button')].filter((one) => !one.textContent.trim()),
      ...[...document.querySelectorAll('input')].filter((one) => !one.labels?.length && !one.getAttribute('aria-label')),
      ...[...document.querySelectorAll('button, input, canvas, a, summary')].filter((one) => one.tabIndex < 0),
    ].map((one) => one.outerHTML.slice(0, 80)));
    assert.deepEqual(without, [], name);
    await page.context().close();
  }
});

for (const [format, name] of [['A4', 'mirror'], ['Letter', 'mirror'], ['A4', 'float'], ['Letter', 'float']]) {
  test(`${name} is at most two pages of ${format} on paper`, async () => {
    const { page } = await open(browser, at(`${name}.html`));
    const path = at(`${name}-${format}.pdf`);
    await page.pdf({ path, format });
    const facts = execFileSync('pdfinfo', [path], { encoding: 'utf8' });
    assert.ok(Number(/Pages:\s+(\d+)/.exec(facts)[1]) <= 2, facts);
    await page.context().close();
  });
}

const textBytes = (html, id) => new RegExp(`<script type="text/plain" id="${id}">([^<]*)`).exec(html)?.[1].length ?? 0;
const skinBytes = (html) => textBytes(html, 'skin');
const solverBytes = (html) => textBytes(html, 'water-module');

test('a page is small: 900 KiB without body and solver, 150 kB for the solver, 2.5 MiB for a body of 100 000 facets', () => {
  execFileSync('python3', ['-B', join(source, 'scripts/make-meshes'), '--pencil', '100000', at('pencil.stl')]);
  run('mirror', at('pencil.stl'), '--back', '+z', '--nose', '-x', '--page', at('big.html'));
  for (const name of [...ALL, 'big']) {
    const html = readFileSync(at(`${name}.html`), 'utf8');
    assert.ok(Buffer.byteLength(html) - skinBytes(html) - solverBytes(html) <= 900 * 1024, name);
    assert.ok(solverBytes(html) <= 150000, name);
    assert.ok(!/<(link|iframe|img|object|embed)\b/i.test(html.replace(/<script>[\s\S]*?<\/script>/, '')), name);
  }
  assert.ok(skinBytes(readFileSync(at('big.html'), 'utf8')) <= 2.5 * 1024 * 1024);
});

test('a bigger body is thinned for the page, and the page says so', async () => {
  execFileSync('python3', ['-B', join(source, 'scripts/make-meshes'), '--pencil', '130000', at('more.stl')]);
  run('weigh', at('more.stl'), '--page', at('more.html'));
  assert.ok(skinBytes(readFileSync(at('more.html'), 'utf8')) <= 2.5 * 1024 * 1024);
  const { page, wrong } = await open(browser, at('more.html'));
  const [, from, to] = /thinned from (\d+) to (\d+) facets/.exec(await page.textContent('#body'));
  assert.ok(Math.abs(Number(from) - 130000) < 2000 && Number(to) <= 100000, `${from} to ${to}`);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('the colours of a scan can be shown, so that a pencil line is found', async () => {
  // A box with one red corner, a hole in it, and facets in an order of their own.
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => [100 * (i & 1), 20 * (i >> 1 & 1), 30 * (i >> 2 & 1)]);
  const quads = [[1, 5, 7, 3], [2, 3, 7, 6], [0, 4, 6, 2], [0, 1, 5, 4], [4, 5, 7, 6]];
  writeFileSync(at('coloured.obj'), corners.map((p, i) => `v ${p.join(' ')} ${i === 5 ? '1 0 0' : '0 0 1'}\n`).join('') +
    quads.map((q) => `f ${q.map((v) => v + 1).join(' ')}\n`).join(''));
  run('check', at('coloured.obj'), '--page', at('coloured.html'));
  const { page, wrong } = await open(browser, at('coloured.html'));
  const shown = await page.evaluate(() => {
    const { skin } = globalThis.trueblank;
    return Array.from({ length: skin.vertices }, (_, v) => [
      Array.from(skin.positions.subarray(3 * v, 3 * v + 3), Math.round), Array.from(skin.colours.subarray(3 * v, 3 * v + 3))]);
  });
  const red = shown.filter(([, colour]) => colour.join() === '255,0,0').map(([place]) => place);
  assert.deepEqual(red, [[100, 0, 30]]);
  assert.ok(await page.isChecked('input[value=scan]'));
  const before = await pixels(page);
  await page.check('input[value=plain]');
  await settled(page);
  assert.notEqual(await pixels(page), before);
  assert.deepEqual(wrong, []);
  await page.context().close();
});

test('the same run writes the same page', () => {
  const first = readFileSync(at('float.html'));
  run('float', mesh('pencil-140-no-belly-hook.toml'), '--page', at('again.html'), '--threads', '2');
  assert.ok(first.equals(readFileSync(at('again.html'))));
});

test('a GLB map is valid, without a remark', async () => {
  run('mirror', mesh('pencil-140-scan.stl'), '--map', at('map.glb'));
  const report = await validator.validateBytes(new Uint8Array(readFileSync(at('map.glb'))));
  assert.deepEqual(report.issues.messages, []);
  assert.equal(report.info.totalTriangleCount, JSON.parse(run('check', at('map.glb'), '--json', '-')).input.facets);
});
