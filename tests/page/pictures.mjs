// SPDX-License-Identifier: GPL-3.0-or-later
// node pictures.mjs PROGRAM SOURCE FOLDER : the pictures of pages that README shows.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

import { open, startBrowser } from './browser.mjs';

const [program, source, out] = process.argv.slice(2);
const mesh = (name) => join(source, 'meshes', name);
const SHOWN = [
  ['page-mirror.png', '#body', ['mirror', mesh('pencil-140-scan.stl'), '--sheet', mesh('pencil-140-scan.toml')]],
  ['page-float.png', '#lies', ['float', mesh('pencil-140.toml')]],
  ['page-live.png', '#live .live-stage', ['float', mesh('glider-165.toml')]],
];

const folder = mkdtempSync(join(tmpdir(), 'trueblank-pictures-'));
const browser = await startBrowser();
for (const [name, part, words] of SHOWN) {
  const path = join(folder, 'page.html');
  execFileSync(program, [...words, '--page', path]);
  const { page } = await open(browser, path, { width: 1000 });
  // What is solved in the page stands there once it is.
  if (await page.locator('#live').count() > 0) {
    await page.waitForSelector('#page[data-live=ready]');
    await page.waitForTimeout(1000);
  }
  await page.locator(part).screenshot({ path: join(out, name) });
  await page.context().close();
}
await browser.close();
rmSync(folder, { recursive: true });
