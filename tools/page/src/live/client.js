// SPDX-License-Identifier: GPL-3.0-or-later
// The page's side of its workers: one settles what is held in the hand, one finds all rest poses and
// what is near the border, one the map. Nothing waits in line behind what is no longer asked for.
import { LISTS, mapAxes, packRig, statusOf, unpackFault, unpackLaid, unpackMap, unpackPose, unpackPoses, unpackSlopes } from './rig.js';
import { moduleBytes } from './water_module.js';

const QUIET_MS = 150;
const MAP_SIZES = [9, 17, 33, 65];

class WaterWorker {
  constructor(answer) { this.answer = answer; }

  /** Kept, with how long it took, once the body stands in the worker; refused with the reason. */
  open({ url, module, bytes, skin }) {
    const worker = new Worker(url);
    this.worker = worker;
    const hear = (data) => { if (this.worker === worker) this.#hear(data); };
    worker.addEventListener('message', ({ data }) => hear(data));
    worker.addEventListener('error', (event) => {
      event.preventDefault();
      hear({ type: 'failed', why: event.message || 'a worker did not start' });
    });
    return new Promise((done, fail) => {
      this.opening = { done, fail, withBytes: () => this.say({ type: 'open', module: bytes, skin }) };
      try {
        this.say({ type: 'open', module, skin });
      } catch {  // a browser that hands no module over
        this.opening.withBytes();
      }
    });
  }

  #hear(data) {
    const { opening } = this;
    if (!opening) return this.answer(data);
    if (data.type === 'unread') return opening.withBytes();
    this.opening = null;
    return data.type === 'ready' ? opening.done(data.open_ms) : opening.fail(new Error(data.why));
  }

  say(message, buffers = []) { this.worker.postMessage(message, buffers); }

  /** Begins, or gives up what it is at: a new worker takes its place, where what is said waits. */
  again(texts) {
    this.worker?.terminate();
    this.open(texts).catch((wrong) => this.answer({ type: 'failed', why: wrong.message }));
  }
}

function sayWith(worker, message, packed) {
  worker.say({ ...message, rig: packed }, [packed.buffer]);
}

// The rig in which the swept place and mass do not count: a map is good for all that are alike so.
function keyOf(rig, wish) {
  const { sheet, woods, materials, ...bare } = rig;
  const list = LISTS[wish.kind];
  const swept = bare[list][wish.index];
  const place = swept.eye_mm ? 'eye_mm' : 'at_mm';
  const axis = 'xyz'.indexOf(wish.axis);
  const free = { ...swept, mass_g: null, size_up_g: null, [place]: swept[place]?.map((x, k) => (k === axis ? null : x)) };
  return JSON.stringify([{ ...bare, [list]: bare[list].map((part) => (part === swept ? free : part)) }, wish]);
}

/** A map of strips, each of which begins with the row that the one before ended with. */
function joinedMap(strips, rig, wish, size) {
  const maps = strips.map((answer) => unpackMap(answer, rig, wish));
  const [whole, ...rest] = maps;
  const row = whole.axes[1].values.length;
  for (const strip of rest) {
    for (const [key, values] of Object.entries(strip)) {
      if (key === 'border') whole.border.push(...values);
      else if (key !== 'axes') whole[key].push(...values.slice(row));
    }
  }
  whole.axes = mapAxes(rig, wish, size, row);
  return whole;
}

// The same map for a rig that differs in the swept place and mass alone.
const placedAnew = (map, rig, wish) => ({ ...map, axes: mapAxes(rig, wish, ...map.axes.map((axis) => axis.values.length)) });

/** The solver, out of the page's way. What each function gives back stands with startWater(). */
export class Water {
  #hand = new WaterWorker((data) => this.#hearHand(data));
  #judge = new WaterWorker((data) => this.#hearJudge(data));
  #mapper = new WaterWorker((data) => this.#hearMapper(data));
  #with = null;       // what a worker is opened with
  #id = 0;
  #settling = null;   // with the worker
  #waiting = null;    // the newest behind it
  #heights = new Map();
  #judging = null;
  #quiet = 0;         // the timer that a judgement waits for
  #mapping = null;

  constructor(facts) {
    this.facts = facts;
  }

  /** Kept once there is an answer to be had for what the hand holds; the others follow. */
  async open(texts) {
    this.#with = texts;
    this.facts.open_ms = await this.#hand.open(texts);
    for (const one of [this.#judge, this.#mapper]) one.again(texts);
  }

  settle(rig, up = null) {
    if (this.#judging && !this.#judging.begun) this.#waitForQuiet();
    return new Promise((done) => {
      this.#waiting?.done(null);
      this.#waiting = { id: ++this.#id, rig: structuredClone({ ...rig, sheet: null }), packed: packRig(rig), up: up && [...up], done };
      this.#settleNext();
    });
  }

  #settleNext() {
    if (this.#settling || !this.#waiting) return;
    this.#settling = this.#waiting;
    this.#waiting = null;
    const { id, packed, up } = this.#settling;
    sayWith(this.#hand, { type: 'settle', id, up }, packed);
  }

  async #refusal(laid, rig) {
    const fault = unpackFault(laid, rig);
    const part = LISTS[fault.kind] ? rig[LISTS[fault.kind]][fault.index] : null;
    return { ...fault, heights: part?.at_mm ? await this.heights(part.at_mm[0], part.at_mm[1]) : null };
  }

  async #settled({ id, laid, pose, ms }) {
    if (id !== this.#settling?.id) return;  // asked before something broke
    const { rig, done } = this.#settling;
    this.#settling = null;
    this.#settleNext();
    if (statusOf(laid) !== 0) {
      done({ laid: null, pose: null, standing: null, fault: await this.#refusal(laid, rig), ms });
    } else {
      done({ laid: unpackLaid(laid, rig), ...unpackPose(pose), fault: null, ms });
    }
  }

  #hearHand(data) {
    if (data.type === 'settled') return this.#settled(data);
    if (data.type === 'heights') {
      this.#heights.get(data.id)?.(data.heights);
      this.#heights.delete(data.id);
    }
    if (data.type === 'failed') this.#fail(data.why);
    return null;
  }

  heights(x, y) {
    return new Promise((done) => {
      this.#heights.set(++this.#id, done);
      this.#hand.say({ type: 'heights', id: this.#id, x, y });
    });
  }

  judge(rig, onPart = () => {}) {
    if (this.#judging?.begun) this.#judge.again(this.#with);
    this.#judging?.done(null);
    return new Promise((done) => {
      this.#judging = { id: ++this.#id, rig: structuredClone({ ...rig, sheet: null }), onPart, done, begun: false };
      this.#waitForQuiet();
    });
  }

  #waitForQuiet() {
    clearTimeout(this.#quiet);
    this.#quiet = setTimeout(() => {
      if (!this.#judging) return;
      this.#judging.begun = true;
      sayWith(this.#judge, { type: 'judge', id: this.#judging.id }, packRig(this.#judging.rig));
    }, QUIET_MS);
  }

  async #judged(data) {
    const task = this.#judging;
    if (data.id !== task?.id) return;
    if (data.type === 'poses' && !data.poses) {
      this.#judging = null;
      task.done({ fault: await this.#refusal(data.laid, task.rig), laid: null, poses: [], sensitivity: null });
    } else if (data.type === 'poses') {
      task.found = { fault: null, laid: unpackLaid(data.laid, task.rig), poses: unpackPoses(data.poses) };
      task.onPart(task.found);
    } else {
      this.#judging = null;
      task.done({ ...task.found, sensitivity: unpackSlopes(data.slopes, task.rig) });
    }
  }

  map(rig, wish, onPart = () => {}) {
    const key = keyOf(rig, wish);
    const before = this.#mapping;
    before?.done(null);
    const kept = structuredClone({ ...rig, sheet: null });
    return new Promise((done) => {
      if (before?.key === key) {
        this.#mapping = { ...before, rig: kept, onPart, done };
        if (before.last) queueMicrotask(() => this.#tellMap());
        return;
      }
      this.#mapping = { id: ++this.#id, key, rig: kept, wish: { ...wish }, onPart, done, last: null };
      sayWith(this.#mapper, { type: 'map', id: this.#mapping.id, wish, sizes: [...MAP_SIZES] }, packRig(rig));
    });
  }

  #tellMap() {
    const { last, rig, wish, onPart, done } = this.#mapping;
    const map = placedAnew(last, rig, wish);
    onPart(map);
    if (map.final) done(map);
  }

  #mapped(data) {
    const task = this.#mapping;
    if (data.id !== task?.id) return;
    if (data.type === 'refused') {
      this.#mapping = null;
      task.done(null);
      return;
    }
    task.last = { ...joinedMap(data.strips, task.rig, task.wish, data.size), final: data.final };
    this.#tellMap();
  }

  #hearJudge(data) { return data.type === 'failed' ? this.#fail(data.why) : this.#judged(data); }

  #hearMapper(data) { return data.type === 'failed' ? this.#fail(data.why) : this.#mapped(data); }

  // Something broke: all that waits is told that there is no answer.
  #fail(why) {
    this.failed = why;
    for (const task of [this.#settling, this.#waiting, this.#judging, this.#mapping]) task?.done(null);
    this.#settling = this.#waiting = this.#judging = this.#mapping = null;
    for (const done of this.#heights.values()) done(null);
    this.#heights.clear();
  }

  stop() {
    this.#fail('stopped');
    clearTimeout(this.#quiet);
    for (const one of [this.#hand, this.#judge, this.#mapper]) one.worker?.terminate();
    URL.revokeObjectURL(this.#with?.url);
  }
}

function whatIsMissing({ moduleText, workerText }) {
  if (!moduleText?.trim() || !workerText?.trim()) return 'This page was written without the solver, so its figures stand still.';
  if (typeof WebAssembly !== 'object') return 'This browser has WebAssembly off, so the figures stand still.';
  if (typeof Worker !== 'function') return 'This browser has no workers, so the figures stand still.';
  if (typeof DecompressionStream !== 'function') return 'This browser is too old to unpack the solver, so the figures stand still.';
  return null;
}

/**
 * Starts the workers and lays the body out in each.
 * skin     as unpackSkin gives it: exact, index
 * returns  { water, reason }: water null where it can't be had, and then a sentence that says why
 */
export async function startWater(scene, skin, texts) {
  const missing = whatIsMissing(texts);
  if (missing) return { water: null, reason: missing };
  const water = new Water({ facets: skin.index.length / 3, open_ms: null });
  const url = URL.createObjectURL(new Blob([texts.workerText], { type: 'text/javascript' }));
  try {
    const bytes = await moduleBytes(texts.moduleText);
    const module = await WebAssembly.compile(bytes);
    const { exact, index } = skin;
    await water.open({ url, module, bytes, skin: { exact, index, air: scene.live.air } });
    return { water, reason: null };
  } catch (wrong) {
    water.stop();
    return { water: null, reason: `The solver did not start (${wrong?.message ?? wrong}), so the figures stand still.` };
  }
}
