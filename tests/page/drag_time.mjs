// SPDX-License-Identifier: GPL-3.0-or-later
// node drag_time.mjs PAGE : milliseconds from moving the mouse with a weight in hand to the lure
// drawn in its new pose, the median of a hundred moves while the map fills in, at the width of a
// phone and of a desk; beside them what the solver took. For scripts/bench.
import { pathToFileURL } from 'node:url';

import { startBrowser } from './browser.mjs';

const MOVES = 100;

const browser = await startBrowser();

async function drag(width) {
  const context = await browser.newContext({ viewport: { width, height: 900 } });
  const page = await context.newPage();
  await page.goto(pathToFileURL(process.argv[2]).href);
  await page.waitForSelector('#page[data-live=ready]', { timeout: 30000 });
  const handle = page.locator('.bench.side [data-part="ballast 0"] .target');
  await handle.scrollIntoViewIfNeeded();
  const box = await handle.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  const move = async (from, to) => {
    for (let i = from; i < to; ++i) {
      await page.mouse.move(x - i / 2, y - i / 20);
      await page.waitForTimeout(30);
    }
  };
  await move(0, 20);
  await page.evaluate(() => { globalThis.trueblank.live.timing.length = 0; });
  await move(20, 20 + MOVES);
  await page.mouse.up();
  const timing = await page.evaluate(() => globalThis.trueblank.live.timing);
  await context.close();
  if (timing.length < MOVES / 2) throw new Error(`of ${MOVES} moves ${timing.length} were answered`);
  const median = (key) => timing.map((one) => one[key]).sort((a, b) => a - b)[timing.length >> 1];
  return [median('ms'), median('solver_ms')];
}

const figures = [...await drag(360), ...await drag(1600)];
console.log(figures.map((ms) => ms.toFixed(1)).join(' '));
await browser.close();
