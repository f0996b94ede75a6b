// SPDX-License-Identifier: GPL-3.0-or-later
// Drawings over a length: strips, sections, curves, bars.
import { drawing, svg } from './dom.js';
import { decimalsOf, fixed, signed, ticks } from './numbers.js';

/** A frame with axes; curves: lists of [x, y] with a class. */
export function plot({ title, narrow = false, height = 240, x, y, curves = [], bars = [], marks = [] }) {
  const width = narrow ? 320 : 640;
  const [left, right, top, bottom] = [58, 14, 14, 40];
  const toX = (v) => left + (width - left - right) * (v - x.low) / (x.high - x.low || 1);
  const toY = (v) => height - bottom - (height - top - bottom) * (v - y.low) / (y.high - y.low || 1);
  const across = ticks(x.low, x.high, narrow ? 4 : 8);
  const upward = ticks(y.low, y.high, 5);
  const path = (points) => points.map(([a, b], i) => `${i ? 'L' : 'M'}${toX(a).toFixed(1)} ${toY(b).toFixed(1)}`).join('');
  return drawing(width, height, title, { class: 'plot' },
    upward.at.map((v) => [
      svg('line', { x1: left, x2: width - right, y1: toY(v), y2: toY(v), class: Math.abs(v) < 1e-9 ? 'zero' : 'grid' }),
      svg('text', { x: left - 6, y: toY(v) + 4, 'text-anchor': 'end' }, (y.signed ? signed : fixed)(v, decimalsOf(upward.step))),
    ]),
    across.at.map((v) => svg('text', { x: toX(v), y: height - bottom + 16, 'text-anchor': 'middle' }, (x.signed ? signed : fixed)(v, decimalsOf(across.step)))),
    svg('text', { x: (left + width - right) / 2, y: height - 6, 'text-anchor': 'middle', class: 'label' }, x.label),
    svg('text', { x: 12, y: (top + height - bottom) / 2, class: 'label', 'text-anchor': 'middle',
      transform: `rotate(-90 12 ${(top + height - bottom) / 2})` }, y.label),
    bars.map(({ at, value, half }) => svg('rect', { class: value >= 0 ? 'bar plus' : 'bar minus',
      x: toX(at - half), width: Math.max(1, toX(at + half) - toX(at - half)),
      y: Math.min(toY(0), toY(value)), height: Math.abs(toY(value) - toY(0)) })),
    curves.map(({ points, kind }) => svg('path', { d: path(points), class: `curve ${kind ?? ''}` })),
    marks.map(({ at, kind }) => svg('line', { x1: toX(at), x2: toX(at), y1: top, y2: height - bottom, class: `mark ${kind ?? ''}` })));
}

/** A section with its left half folded over its right one. pairs: of sectionAt. */
export function foldedSection(pairs, station) {
  const points = pairs.flat();
  if (points.length === 0) return svg('svg', {});
  const reach = Math.max(...points.map(([y]) => Math.abs(y)), 1e-6);
  const low = Math.min(...points.map(([, z]) => z));
  const high = Math.max(...points.map(([, z]) => z));
  const scale = Math.min(300 / reach, 300 / (high - low));
  const [width, height] = [60 + scale * reach, 60 + scale * (high - low)];
  const toX = (y) => 30 + scale * Math.abs(y);
  const toY = (z) => 30 + scale * (high - z);
  const half = (side) => {
    // Cut at the middle, so that nothing folds over itself.
    const parts = [];
    for (const [a, b] of pairs) {
      const [p, q] = [side * a[0], side * b[0]];
      if (p < 0 && q < 0) continue;
      const t = p < 0 || q < 0 ? p / (p - q) : null;
      const cut = t === null ? null : [0, a[1] + t * (b[1] - a[1])];
      const [from, to] = [p < 0 ? cut : a, q < 0 ? cut : b];
      parts.push(`M${toX(from[0]).toFixed(1)} ${toY(from[1]).toFixed(1)}L${toX(to[0]).toFixed(1)} ${toY(to[1]).toFixed(1)}`);
    }
    return parts.join('');
  };
  const bar = 10 * scale <= width - 60 ? 10 : 5;
  return drawing(width, height + 26, `Section ${fixed(station, 1)} mm from the nose, left folded over right`, { class: 'plot section' },
    svg('line', { x1: 30, x2: 30, y1: 8, y2: height - 8, class: 'zero' }),
    svg('path', { d: half(1), class: 'curve right' }),
    svg('path', { d: half(-1), class: 'curve left' }),
    svg('path', { d: `M30 ${height}h${bar * scale}m0 -4v8m${-bar * scale} 0v-8`, class: 'axis' }),
    svg('text', { x: 34, y: height + 16 }, `${bar} mm`));
}

/** Shares of a whole as one bar; parts: [name, value]. */
export function budgetBar(parts, unit, title, narrow) {
  const room = narrow ? 320 : 640;
  const whole = parts.reduce((sum, [, value]) => sum + Math.max(0, value), 0) || 1;
  let at = 0;
  const shown = parts.filter(([, value]) => value > 0);
  return drawing(room, 54 + 20 * shown.length, title, { class: 'plot budget' }, shown.map(([name, value], i) => {
    const width = (room - 20) * value / whole;
    const part = [
      svg('rect', { x: 10 + at, y: 8, width: Math.max(0.5, width - 1.5), height: 30, class: `part part${i % 7}` }),
      svg('rect', { x: 10, y: 48 + 20 * i, width: 12, height: 12, class: `part part${i % 7}` }),
      svg('text', { x: 28, y: 59 + 20 * i }, `${name}: ${fixed(value, 1)} ${unit}, ${fixed(100 * value / whole, 0)} %`),
    ];
    at += width;
    return part;
  }));
}
