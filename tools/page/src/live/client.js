// SPDX-License-Identifier: GPL-3.0-or-later
// The page's side of its two workers: the swift one settles what is held in the hand, the thorough
// one finds all rest poses, what is near the border, and the map. Nothing here waits in line behind
// what is no longer asked for.
import { LISTS, mapAxes, packRig, statusOf, unpackFault, unpackLaid, unpackMap, unpackPose, unpackPoses, unpackSlopes } from './rig.js';
import { moduleBytes } from './water_module.js';

const QUIET_MS = 150;
const MAP_SIZES = [9, 17, 33, 65];

class WaterWorker {
  constructor(url, answer) {
    this.worker = new Worker(url);
    this.answer = answer;
    this.worker.addEventListener('message', ({ data }) => this.#hear(data));
    this.worker.addEventListener('error', (event) => {
      event.preventDefault?.();
      this.#hear({ type: 'failed', why: event.message || 'The worker did not start.' });
    });
  }

  /** Kept once the body stands in the worker; refused with the reason. */
  open(module, bytes, skin) {
    return new Promise((done, fail) => {
      this.opening = { done, fail, again: () => this.say({ type: 'open', module: bytes, skin }) };
      try {
        this.say({ type: 'open', module, skin });
      } catch {
        this.opening.again();
      }
    });
  }

  #hear(data) {
    const { opening } = this;
    if (!opening) return this.answer(data);
    if (data.type === 'unread') return opening.again();
    this.opening = null;
    return data.type === 'ready' ? opening.done(data.open_ms) : opening.fail(new Error(data.why));
  }

  say(message, buffers = []) { this.worker.postMessage(message, buffers); }
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
  return JSON.stringify([{ ...bare, [list]: bare[list].with?.(wish.index, free) ?? bare[list].map((part, i) => (i === wish.index ? free : part)) }, wish]);
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
  #swift;
  #thorough;
  #id = 0;
  #settling = null;   // with the swift worker
  #waiting = null;    // the newest behind it
  #heights = new Map();
  #judging = null;
  #quiet = 0;         // the timer that a judgement waits for
  #mapping = null;

  constructor(facts) {
    this.facts = facts;
  }

  async open(url, module, bytes, skin) {
    this.#swift = new WaterWorker(url, (data) => this.#hearSwift(data));
    this.#thorough = new WaterWorker(url, (data) => this.#hearThorough(data));
    const [swift, thorough] = await Promise.all([this.#swift, this.#thorough].map((one) => one.open(module, bytes, skin)));
    this.facts.open_ms = { swift, thorough };
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
    sayWith(this.#swift, { type: 'settle', id, up }, packed);
  }

  async #refusal(laid, rig) {
    const fault = unpackFault(laid);
    const part = LISTS[fault.kind] ? rig[LISTS[fault.kind]][fault.index] : null;
    return { ...fault, heights: part?.at_mm ? await this.heights(part.at_mm[0], part.at_mm[1]) : null };
  }

  async #settled({ laid, pose, ms }) {
    const { rig, done } = this.#settling;
    this.#settling = null;
    this.#settleNext();
    if (statusOf(laid) !== 0) {
      done({ laid: null, pose: null, standing: null, fault: await this.#refusal(laid, rig), ms });
    } else {
      done({ laid: unpackLaid(laid, rig), ...unpackPose(pose), fault: null, ms });
    }
  }

  #hearSwift(data) {
    if (data.type === 'settled') return this.#settled(data);
    if (data.type === 'heights') {
      this.#heights.get(data.id)(data.heights);
      this.#heights.delete(data.id);
    }
    if (data.type === 'failed') this.#fail(data.why);
    return null;
  }

  heights(x, y) {
    return new Promise((done) => {
      this.#heights.set(++this.#id, done);
      this.#swift.say({ type: 'heights', id: this.#id, x, y });
    });
  }

  judge(rig, onPart = () => {}) {
    if (this.#judging?.begun) this.#thorough.say({ type: 'dropJudgement' });
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
      sayWith(this.#thorough, { type: 'judge', id: this.#judging.id }, packRig(this.#judging.rig));
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
      sayWith(this.#thorough, { type: 'map', id: this.#mapping.id, wish, sizes: [...MAP_SIZES] }, packRig(rig));
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

  #hearThorough(data) {
    if (data.type === 'poses' || data.type === 'slopes') return this.#judged(data);
    if (data.type === 'map' || data.type === 'refused') return this.#mapped(data);
    if (data.type === 'failed') this.#fail(data.why);
    return null;
  }

  // Something broke: all that waits is told that there is no answer.
  #fail(why) {
    this.failed = why;
    for (const task of [this.#settling, this.#waiting, this.#judging, this.#mapping]) task?.done(null);
    this.#settling = this.#waiting = this.#judging = this.#mapping = null;
  }

  stop() {
    this.#fail('stopped');
    clearTimeout(this.#quiet);
    for (const one of [this.#swift, this.#thorough]) one?.worker.terminate();
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
 * Starts both workers and lays the body out in each.
 * skin     as unpackSkin gives it: exact, index, outer
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
    const { exact, index, outer = null } = skin;
    await water.open(url, module, bytes, { exact, index, outer, air: scene.live.air });
    return { water, reason: null };
  } catch (wrong) {
    water.stop();
    return { water: null, reason: `The solver did not start (${wrong?.message ?? wrong}), so the figures stand still.` };
  } finally {
    URL.revokeObjectURL(url);
  }
}
