// SPDX-License-Identifier: GPL-3.0-or-later
// How numbers are written: a point, a true minus, a dash where there is none.

export function fixed(value, decimals = 1) {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  const text = value.toFixed(decimals);
  const nil = Number(text) === 0;
  return nil ? text.replace('-', '') : text.replace('-', '−');
}

export function signed(value, decimals = 1) {
  const text = fixed(value, decimals);
  return Number.isFinite(value) && value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

/** With two figures that count, or all whole digits. */
export function fewFigures(value) {
  if (!Number.isFinite(value) || value === 0) return fixed(value, 0);
  return fixed(value, Math.max(0, 1 - Math.floor(Math.log10(Math.abs(value)))));
}

export const percent = (share) => fixed(100 * share, 0);

/** A sensible step (1, 2 or 5 times a power of ten) for about `count` of them over `range`. */
export function sensibleStep(range, count) {
  const rough = range / Math.max(1, count);
  if (!(rough > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  const lead = rough / power;
  return power * (lead > 5 ? 10 : lead > 2 ? 5 : lead > 1 ? 2 : 1);
}

export function decimalsOf(step) {
  return Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
}

/** Multiples of a sensible step from `low` to `high`. */
export function ticks(low, high, count) {
  const step = sensibleStep(high - low, count);
  const found = [];
  for (let i = Math.ceil(low / step - 1e-9); i * step <= high + step * 1e-9; ++i) found.push(i * step);
  return { step, at: found };
}
