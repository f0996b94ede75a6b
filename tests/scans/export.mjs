// SPDX-License-Identifier: GPL-3.0-or-later
// Writes what the packages hold as OFF, mm: node export.mjs FOLDER
//   bunny.off        the scan, closed, as long as a lure
//   bunny-open.off   the same without a patch of its back, as scans come
//   bunny-true.off   one half of it and that half's mirror image, turned: what was measured, made true
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

// The half: facets cut at the plane, the new corners in it to the last bit, so that both halves meet.
const halfPositions = [];
const halfCells = [];
const numbers = new Map();
function numberOf(point) {
  const key = point.join(' ');
  if (!numbers.has(key)) {
    numbers.set(key, halfPositions.length);
    halfPositions.push(point);
  }
  return numbers.get(key);
}
const z0 = bunny.positions.reduce((sum, point) => sum + point[2], 0) / bunny.positions.length;
const between = (a, b) => {
  // From the same end for both facets of an edge.
  const [from, to] = a[2] < b[2] ? [a, b] : [b, a];
  const share = -from[2] / (to[2] - from[2]);
  return [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1]), 0];
};
for (const cell of bunny.cells) {
  const corners = cell.map((i) => [...bunny.positions[i].slice(0, 2), bunny.positions[i][2] - z0]);
  const behind = corners.flatMap((a, k) => {
    const b = corners[(k + 1) % 3];
    return [...(a[2] < 0 ? [a] : []), ...((a[2] < 0) !== (b[2] < 0) ? [between(a, b)] : [])];
  });
  for (let k = 2; k < behind.length; k += 1) {
    halfCells.push([behind[0], behind[k - 1], behind[k]].map(numberOf));
    halfCells.push([behind[k], behind[k - 1], behind[0]].map(([x, y, z]) => numberOf([x, y, 0 - z])));
  }
}
// The mirror plane's normal, z until here, then lies askew: (4/13, -3/5, 48/65).
const turned = ([x, y, z]) => {
  const [up, out] = [(4 * y - 3 * z) / 5, (3 * y + 4 * z) / 5];
  return [(12 * x + 5 * out) / 13, up, (12 * out - 5 * x) / 13];
};
write('bunny-true.off', halfPositions.map(turned), halfCells, bunnyMm);

write('teapot.off', teapot.positions, teapot.cells, 4);
