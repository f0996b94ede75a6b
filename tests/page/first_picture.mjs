// SPDX-License-Identifier: GPL-3.0-or-later
// node first_picture.mjs PAGE : milliseconds from opening a page to its first picture, median of
// five, beside an empty page's. For scripts/bench.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

import { startBrowser } from './browser.mjs';

const folder = mkdtempSync(join(tmpdir(), 'trueblank-first-'));
const empty = join(folder, 'empty.html');
writeFileSync(empty, '<!DOCTYPE html><title>empty</title><div id="page" data-ready="yes">empty</div>');
const browser = await startBrowser();

async function once(path) {
  const context = await browser.newContext({ viewport: { width: 1200, height: 900 } });
  const page = await context.newPage();
  await page.goto(pathToFileURL(path).href);
  const shown = await page.evaluate(() => new Promise((done) => {
    const look = () => (document.querySelector('#page[data-ready=yes]')
      ? requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now()))) : setTimeout(look, 2));
    look();
  }));
  await context.close();
  return shown;
}

async function median(path) {
  const times = [];
  for (let i = 0; i < 5; ++i) times.push(await once(path));
  return times.sort((a, b) => a - b)[2];
}

await once(empty);
console.log(`${Math.round(await median(process.argv[2]))} ${Math.round(await median(empty))}`);
await browser.close();
rmSync(folder, { recursive: true });
