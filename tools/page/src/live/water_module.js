// SPDX-License-Identifier: GPL-3.0-or-later
// The solver, compiled from the program's own rooms to WebAssembly: its few functions over flat
// arrays (lib/live/live.h). Works alike in a page, in a worker and in node.
import { packRig, packWish } from './rig.js';

// The module has no files; the C library that it was linked with asks for these all the same.
const NO_FILES = { fd_close: () => 8, fd_seek: () => 8, fd_write: () => 8 };

/** The bytes of a module that the page carries: base64 of a raw deflate. */
export async function moduleBytes(text) {
  const coded = atob(text.trim());
  const packed = Uint8Array.from(coded, (c) => c.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream('deflate-raw'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

export class LiveWater {
  constructor(exports, skin) {
    this.calls = exports;
    this.lure = this.#open(skin);
    if (this.lure === 0) throw new Error('The body is not closed.');
  }

  #open({ exact, index, air }) {
    const places = this.#put(exact, Float64Array);
    const facets = this.#put(index, Int32Array);
    const lure = this.calls.trueblank_live_open(places, exact.length / 3, facets, index.length / 3, air ? 1 : 0);
    for (const address of [places, facets]) this.calls.free(address);
    return lure;
  }

  // A copy in the module's memory. Memory may grow with any call, so that views are made anew.
  #put(values, Type) {
    const address = this.calls.malloc(Math.max(1, values.length) * Type.BYTES_PER_ELEMENT);
    new Type(this.calls.memory.buffer, address, values.length).set(values);
    return address;
  }

  // A copy of the answer that stands at an address.
  #answer(address) {
    const count = new Float64Array(this.calls.memory.buffer, address, 1)[0];
    return new Float64Array(this.calls.memory.buffer, address, 1 + count).slice();
  }

  #ask(call, values) {
    if (!values) return this.#answer(call(this.lure, 0));
    const address = this.#put(values, Float64Array);
    const answer = this.#answer(call(this.lure, address, values.length));
    this.calls.free(address);
    return answer;
  }

  /** Takes a rig, as an object or packed. */
  lay(rig) {
    const packed = rig instanceof Float64Array ? rig : packRig(rig);
    return this.#ask((lure, at, count) => this.calls.trueblank_live_lay(lure, at, count), packed);
  }

  /** Let go with `up` upward, or, of null, set on the water back up. */
  pose(up = null) {
    return this.#ask((lure, at) => this.calls.trueblank_live_pose(lure, at), up && Float64Array.from(up));
  }

  balance() { return this.#answer(this.calls.trueblank_live_balance(this.lure)); }

  /** About the first pose of the last balance. */
  slopes() { return this.#answer(this.calls.trueblank_live_slopes(this.lure)); }

  map(wish) {
    return this.#ask((lure, at) => this.calls.trueblank_live_map(lure, at), packWish(wish));
  }

  /** Where the bare skin's belly and back are; null where there is no body. */
  heights(x, y) {
    const [, status, belly_mm, back_mm] = this.#answer(this.calls.trueblank_live_heights(this.lure, x, y));
    return status === 0 ? { belly_mm, back_mm } : null;
  }

  close() {
    this.calls.trueblank_live_close(this.lure);
    this.lure = 0;
  }
}

/**
 * Starts the solver on a body.
 * module  bytes, or a WebAssembly.Module
 * skin    exact (places in mm, body frame), index, air: whether its cavities hold air
 */
export function openWater(module, skin) {
  const compiled = module instanceof WebAssembly.Module ? module : new WebAssembly.Module(module);
  const { exports } = new WebAssembly.Instance(compiled, { wasi_snapshot_preview1: NO_FILES });
  exports._initialize?.();
  return new LiveWater(exports, skin);
}
