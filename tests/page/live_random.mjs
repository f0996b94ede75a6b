// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers drawn from a seed, the same on every machine: xorshift with shifts 13, 17, 5.
// Source: G. Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8(14), 2003.

export class Random {
  constructor(seed) {
    this.state = (Math.imul(seed, 0x9e3779b1) ^ 0x5bd1e995) >>> 0 || 1;
    for (let i = 0; i < 8; ++i) this.next();
  }

  /** From 0 to 1, without 1. */
  next() {
    let x = this.state;
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    this.state = x >>> 0;
    return this.state / 2 ** 32;
  }

  within(low, high) { return low + (high - low) * this.next(); }

  /** As a maker writes a number: with so many decimals. */
  rounded(low, high, decimals = 1) { return Number(this.within(low, high).toFixed(decimals)); }

  /** Small ones as likely as great ones. */
  spread(low, high, decimals = 1) { return Number((low * (high / low) ** this.next()).toFixed(decimals)); }

  whole(below) { return Math.floor(this.next() * below); }

  chance(share) { return this.next() < share; }

  one(of) { return of[this.whole(of.length)]; }
}
