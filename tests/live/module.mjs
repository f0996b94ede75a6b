// SPDX-License-Identifier: GPL-3.0-or-later
// The WebAssembly module in node, by its plain functions (lib/live/live.h).
import { readFileSync } from 'node:fs';

export class Module {
  constructor(path) {
    const compiled = new WebAssembly.Module(readFileSync(path));
    this.imports = WebAssembly.Module.imports(compiled);
    const wasi_snapshot_preview1 = Object.fromEntries(this.imports.map(({ name }) => [name, () => 8]));
    this.calls = new WebAssembly.Instance(compiled, { wasi_snapshot_preview1 }).exports;
    this.calls._initialize?.();
  }

  put(values, Type = Float64Array) {
    const address = this.calls.malloc(Math.max(1, values.length) * Type.BYTES_PER_ELEMENT);
    new Type(this.calls.memory.buffer, address, values.length).set(values);
    return address;
  }

  // An answer without its length.
  read(address) {
    const [count] = new Float64Array(this.calls.memory.buffer, address, 1);
    return new Float64Array(this.calls.memory.buffer, address + 8, count).slice();
  }

  open({ positions, facets, air = false }) {
    const given = [this.put(positions), this.put(facets, Int32Array)];
    const lure = this.calls.trueblank_live_open(given[0], positions.length / 3, given[1], facets.length / 3, air ? 1 : 0);
    given.forEach((address) => this.calls.free(address));
    return lure;
  }

  close(lure) { this.calls.trueblank_live_close(lure); }

  #with(values, call) {
    const address = this.put(values);
    const answer = this.read(call(address));
    this.calls.free(address);
    return answer;
  }

  lay(lure, rig) { return this.#with(rig, (at) => this.calls.trueblank_live_lay(lure, at, rig.length)); }

  pose(lure, up = null) {
    return up ? this.#with(up, (at) => this.calls.trueblank_live_pose(lure, at)) : this.read(this.calls.trueblank_live_pose(lure, 0));
  }

  balance(lure) { return this.read(this.calls.trueblank_live_balance(lure)); }

  slopes(lure) { return this.read(this.calls.trueblank_live_slopes(lure)); }

  map(lure, wish) { return this.#with(wish, (at) => this.calls.trueblank_live_map(lure, at)); }

  heights(lure, x, y) { return this.read(this.calls.trueblank_live_heights(lure, x, y)); }
}
