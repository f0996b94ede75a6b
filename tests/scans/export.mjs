// SPDX-License-Identifier: GPL-3.0-or-later
// Writes what the packages hold as OFF, mm: node export.mjs FOLDER
//   bunny.off        the scan, closed, as long as a lure
//   bunny-open.off   the same without a patch of its back, as scans come
//   teapot.off       a body of patches, open at every seam
import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';

const require = createRequire(import.meta.url);
const bunny = require('bunny');
const teapot = require('teapot');
const folder = process.argv[2];

function write(name, positions, cells, scale) {
  const lines = ['OFF', `${positions.length} ${cells.length} 0`];
  for (const point of positions) lines.push(point.map((part) => part * scale).join(' '));
  for (const cell of cells) lines.push(`3 ${cell.join(' ')}`);
  writeFileSync(join(folder, name), `${lines.join('\n')}\n`);
}

const bunnyMm = 15;
write('bunny.off', bunny.positions, bunny.cells, bunnyMm);

// The patch: what lies within 9 mm of the point of the skin that is highest in the rear half.
const rear = bunny.positions.filter(([x]) => x > 0);
const middle = rear.reduce((best, point) => (point[1] > best[1] ? point : best));
const away = (cell) => {
  const centre = [0, 1, 2].map((k) => cell.reduce((sum, i) => sum + bunny.positions[i][k], 0) / 3);
  return Math.hypot(...centre.map((part, k) => (part - middle[k]) * bunnyMm));
};
const kept = bunny.cells.filter((cell) => away(cell) > 9);
if (kept.length === bunny.cells.length) throw new Error('nothing was taken away');
write('bunny-open.off', bunny.positions, kept, bunnyMm);

write('teapot.off', teapot.positions, teapot.cells, 4);
