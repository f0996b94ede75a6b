// SPDX-License-Identifier: GPL-3.0-or-later
// node bench_module.mjs MODULE [FACETS] : how long the module takes on a body of so many facets;
// the middle of several runs, in ms of the processor's time. The body is an ellipsoid-like lure with weights and a coat.
import { Module } from './module.mjs';

const [path, wanted = '100000'] = process.argv.slice(2);

// Rings of vertices about x, poles at both ends, fuller at the back.
function body(facets) {
  const around = 2 * Math.round(Math.sqrt(facets / 6));
  const rings = Math.round(facets / (2 * around)) + 1;
  const positions = [0, 0, 0];
  for (let i = 1; i < rings; ++i) {
    const t = i / rings;
    const thick = Math.pow(4 * t * (1 - t), 0.3) * (1.1 - 0.35 * t);
    for (let k = 0; k < around; ++k) {
      const turn = 2 * Math.PI * k / around;
      positions.push(140 * t, 8.5 * thick * Math.cos(turn), 9.5 * thick * Math.sin(turn) + 1.5 * t * t);
    }
  }
  positions.push(140, 0, 1.5);
  const index = [];
  const at = (i, k) => 1 + (i - 1) * around + k % around;
  for (let k = 0; k < around; ++k) {
    index.push(0, at(1, k + 1), at(1, k));
    index.push(positions.length / 3 - 1, at(rings - 1, k), at(rings - 1, k + 1));
    for (let i = 1; i < rings - 1; ++i) {
      index.push(at(i, k), at(i, k + 1), at(i + 1, k), at(i, k + 1), at(i + 1, k + 1), at(i + 1, k));
    }
  }
  return { positions, facets: index };
}

const none = NaN;
// Wood, finish, water, baseline, then a wire, two weights, a pocket, two hooks, an outside part.
const rig = (x, thickness = 0.2) => [
  0, 0.3, none, none, thickness, 1.1, none, 0, 15, none, none, none, none, none, none, none, 1, 2, 1, 2, 1,
  7.9, 1.2, none, 3, -6, 0, 0, 70, 0, 1, 150, 0, 0,
  x, 0.2, -5, 4, 11.34, 95, -0.2, -4, 2, 11.34,
  75, 0, 3, 6, 8, 2, 0, 0,
  60, 0, -11, 3, 7.8, 14, none, 138, 0, 0, 2, 7.8, 12, none,
  4, 0, -4, 1.5, 1.2,
];

const module = new Module(path);
const shape = body(Number(wanted));
let lure = 0;

function time(what, runs, call) {
  const taken = [];
  for (let i = 0; i < runs; ++i) {
    const begin = process.cpuUsage();
    call(i);
    const { user, system } = process.cpuUsage(begin);
    taken.push((user + system) / 1000);
  }
  taken.sort((a, b) => a - b);
  console.log(`${what.padEnd(44)} ${taken[runs >> 1].toFixed(2).padStart(9)} ms  (${taken[0].toFixed(2)} to ${taken[runs - 1].toFixed(2)})`);
}

console.log(`${shape.facets.length / 3} facets`);
time('open', 5, () => {
  if (lure) module.close(lure);
  lure = module.open(shape);
});
let answer = null;
time('lay: coat, tree, all parts', 5, (i) => { answer = module.lay(lure, rig(50, 0.2 + i / 100)); });
if (answer[0] !== 0) throw new Error(`not laid: ${answer}`);
let up = null;
time('drag a weight: lay, pose from the last', 41, (i) => {
  module.lay(lure, rig(50 + 0.5 * i));
  answer = module.pose(lure, up);
  up = [...answer.subarray(3, 6)];
});
time('  of that lay', 41, (i) => { module.lay(lure, rig(51 + 0.5 * i)); });
time('  of that pose', 41, () => { module.pose(lure, up); });
time('set on the water back up', 11, () => { module.pose(lure); });
time('balance', 3, (i) => { module.lay(lure, rig(50 + i)); module.balance(lure); });
time('slopes', 3, () => { module.slopes(lure); });
for (const n of [9, 17, 33]) time(`map ${n} × ${n}`, 3, () => { module.map(lure, [3, 0, 0, 20, 110, n, 1, 14, n]); });
