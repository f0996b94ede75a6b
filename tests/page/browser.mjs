// SPDX-License-Identifier: GPL-3.0-or-later
// A page as a maker opens it: from the disk, in a browser that notes what goes wrong.
import { existsSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

import { chromium } from 'playwright-core';

const PLACES = ['/usr/bin/chromium', '/usr/bin/chromium-browser'];
// Three dimensions without a graphics card, and no traffic of the browser's own.
const ARGUMENTS = ['--no-sandbox', '--disable-gpu', '--use-gl=angle', '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync'];

export async function startBrowser(more = []) {
  const executablePath = PLACES.find(existsSync);
  if (!executablePath) throw new Error('no chromium: install the package chromium');
  return chromium.launch({ executablePath, headless: true, args: [...ARGUMENTS, ...more] });
}

// For a page that hangs: a busy machine may take its time.
const PATIENCE_MS = 120000;

/** The opened page, and what it should not have done. */
export async function open(browser, path, { width = 1200, scheme = 'light', touch = false } = {}) {
  const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme: scheme, hasTouch: touch });
  context.setDefaultTimeout(PATIENCE_MS);
  const page = await context.newPage();
  const wrong = [];
  page.on('console', (message) => {
    if (message.type() === 'error') wrong.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => wrong.push(`error: ${error.message}`));
  page.on('request', (request) => {
    if (!/^(file|data|blob):/.test(request.url())) wrong.push(`request: ${request.url()}`);
  });
  await page.goto(pathToFileURL(path).href);
  await page.waitForSelector('#page[data-ready=yes]');
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  return { page, wrong };
}
