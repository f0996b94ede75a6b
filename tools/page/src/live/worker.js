// SPDX-License-Identifier: GPL-3.0-or-later
// What runs in each of the page's workers. One answers questions about what is held in the hand, each
// at once; the page keeps but the newest waiting. The others work at a judgement or at a map in
// steps, and between two steps let in what the page has to say.
import { evenly, statusOf } from './rig.js';
import { openWater } from './water_module.js';

// So long may one step of a map take: until then nothing newer is heard.
const STEP_MS = 120;

let water = null;

function post(message) {
  const buffers = Object.values(message).filter((value) => value instanceof Float64Array).map((value) => value.buffer);
  self.postMessage(message, buffers);
}

function open({ module, skin }) {
  const begins = performance.now();
  try {
    water = openWater(module, skin);
    post({ type: 'ready', open_ms: performance.now() - begins });
  } catch (wrong) {
    post({ type: 'failed', why: String(wrong?.message ?? wrong) });
  }
}

function settle({ id, rig, up }) {
  const begins = performance.now();
  const laid = water.lay(rig);
  const pose = statusOf(laid) === 0 ? water.pose(up) : null;
  post({ type: 'settled', id, laid, pose, ms: performance.now() - begins });
}

// ---- in steps -------------------------------------------------------------------------------------

let judgement = null;  // { id, rig, next: what is to be done next }
let map = null;        // { id, rig, wish, sizes: those to come, cell_ms, rows: the strip's first, found }
let laidFor = 0;       // the id whose rig lies in the solver
let isAwake = false;

function lieFor(task) {
  if (laidFor === task.id) return null;
  laidFor = 0;
  const laid = water.lay(task.rig);
  if (statusOf(laid) === 0) laidFor = task.id;
  return laid;
}

function findPoses() {
  const { id } = judgement;
  laidFor = 0;
  const laid = lieFor(judgement);
  const poses = laidFor === id ? water.balance() : null;
  judgement.next = findSlopes;
  post({ type: 'poses', id, laid, poses });
  if (!poses) judgement = null;
}

// About the poses that the solver has just found.
function findSlopes() {
  post({ type: 'slopes', id: judgement.id, slopes: water.slopes() });
  judgement = null;
}

/** How many rows of places a strip of the map takes, so that it is done in good time. */
function rowsOfStrip(size, cell_ms) {
  if (!cell_ms) return size;
  return Math.max(2, Math.min(size, 1 + Math.floor(STEP_MS / (cell_ms * size))));
}

// A strip ends with the row that the next begins with, so that the border is whole.
function stripOf({ wish, size, first, rows }) {
  const last = Math.min(size - 1, first + rows - 1);
  const places = evenly(wish.from, wish.to, size);
  return { ...wish, from: places[first], to: places[last], n: last - first + 1, m: size, last };
}

function begin(task) {
  task.size = task.sizes.shift();
  task.rows = rowsOfStrip(task.size, task.cell_ms);
  task.first = 0;
  task.strips = [];
}

// The next strip; false where the solver refuses it.
function stripOn(task) {
  const strip = stripOf(task);
  const begins = performance.now();
  const answer = water.map(strip);
  if (statusOf(answer) !== 0) return false;
  task.cell_ms = (performance.now() - begins) / (strip.n * strip.m);
  task.strips.push(answer);
  task.first = strip.last;
  if (strip.last === task.size - 1) handOver(task);
  return true;
}

function handOver(task) {
  const final = task.sizes.length === 0;
  self.postMessage({ type: 'map', id: task.id, size: task.size, strips: task.strips, final }, task.strips.map((part) => part.buffer));
  task.strips = null;
  if (final) map = null;
}

function mapOn() {
  lieFor(map);
  const isLaid = laidFor === map.id;
  if (isLaid && !map.strips) begin(map);
  if (!isLaid || !stripOn(map)) {
    post({ type: 'refused', id: map.id });
    map = null;
  }
}

function work() {
  isAwake = false;
  if (!judgement && !map) return;
  try {
    if (judgement) judgement.next();
    else mapOn();
  } catch (wrong) {
    post({ type: 'failed', why: String(wrong?.message ?? wrong) });
    judgement = map = null;
  }
  wake();
}

function wake() {
  if (isAwake || (!judgement && !map)) return;
  isAwake = true;
  setTimeout(work, 0);
}

const ANSWERS = {
  open,
  settle,
  heights: ({ id, x, y }) => post({ type: 'heights', id, heights: water.heights(x, y) }),
  judge: ({ id, rig }) => { judgement = { id, rig, next: findPoses }; },
  map: ({ id, rig, wish, sizes }) => { map = { id, rig, wish, sizes }; },
};

self.addEventListener('message', ({ data }) => {
  ANSWERS[data.type](data);
  wake();
});
// A module that a browser does not hand over to a worker: the page then sends its bytes.
self.addEventListener('messageerror', () => post({ type: 'unread' }));
