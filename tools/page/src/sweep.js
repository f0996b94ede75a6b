// SPDX-License-Identifier: GPL-3.0-or-later
// The map of float --sweep: what becomes of builds that differ in one or two quantities.
import { plot } from './charts.js';
import { MADE_UP, css, depthColour, deviationColour } from './colours.js';
import { drawing, el, fitting, section, svg } from './dom.js';
import { decimalsOf, fewFigures, fixed, signed, ticks } from './numbers.js';

export const FIGURES = {
  tail_down_deg: { name: 'tail down', unit: '°', signed: true, decimals: 1 },
  list_deg: { name: 'list', unit: '°', signed: true, decimals: 1 },
  least_stiffness_g_mm_per_deg: { name: 'least stiffness', unit: 'g·mm/°', decimals: 2 },
  reserve_g: { name: 'in reserve', unit: 'g', signed: true, decimals: 1 },
};
const HALF_INCH_MM = 12.7;
const STEP_G = 5;

/** An axis with its values rising, whichever way they were asked for. */
export function axisOf(axis) {
  const count = axis.values.length;
  const falls = axis.values[0] > axis.values[count - 1];
  const low = falls ? axis.values[count - 1] : axis.values[0];
  const high = falls ? axis.values[0] : axis.values[count - 1];
  const half = (high - low) / (count - 1) / 2;
  return {
    ...axis, count, low: low - half, high: high + half, label: `${axis.key}, ${axis.unit.replace('cm3', 'cm³')}`,
    decimals: Math.min(6, decimalsOf(half) + 1),
    // The build at a place from the low end, and its place.
    index: (place) => (falls ? count - 1 - place : place),
    nearest: (value) => Math.min(count - 1, Math.max(0, Math.round((value - low) / (2 * half)))),
  };
}

const valueText = (axis, value) => `${fixed(value, axis.decimals)} ${axis.unit.replace('cm3', 'cm³')}`;

export function furthest(sweep, key) {
  const standing = sweep[key].filter((value, k) => value !== null && sweep.stands[k]);
  const all = standing.length > 0 ? standing : sweep[key].filter((value) => value !== null);
  return all.reduce((most, value) => Math.max(most, Math.abs(value)), 0) || 1;
}

function colourOf(figure, value, end) {
  return figure.signed ? deviationColour(Math.max(-1, Math.min(1, value / end))) : depthColour(value / end);
}

/** A dot a build; what tips over is veiled with grey. */
function picture(sweep, across, upward, key) {
  const canvas = el('canvas', { width: across.count, height: upward.count });
  const ink = canvas.getContext('2d');
  const dots = ink.createImageData(across.count, upward.count);
  const end = furthest(sweep, key);
  for (let row = 0; row < upward.count; ++row) {
    for (let column = 0; column < across.count; ++column) {
      const k = across.index(column) * upward.count + upward.index(upward.count - 1 - row);
      const value = sweep[key][k];
      const bare = value === null ? MADE_UP : colourOf(FIGURES[key], value, end);
      const colour = value === null || sweep.stands[k] ? bare : bare.map((part) => 0.35 * part + 0.65 * 128);
      dots.data.set([...colour.map(Math.round), sweep.state[k] === null ? 0 : 255], 4 * (row * across.count + column));
    }
  }
  ink.putImageData(dots, 0, 0);
  return canvas.toDataURL('image/png');
}

/** Where a maker who works in inches, or with weights of 5 g, has a mark. */
function handySteps(axis, imperial) {
  const step = !imperial ? 0 : axis.unit === 'mm' ? HALF_INCH_MM : axis.unit === 'g' ? STEP_G : 0;
  const found = [];
  if (step === 0 || (axis.high - axis.low) / step > 60) return found;
  for (let i = Math.ceil(axis.low / step); i * step <= axis.high; ++i) {
    found.push({ at: i * step, label: axis.unit === 'mm' ? `${fixed(i / 2, 1)} in` : '' });
  }
  return found;
}

export function legend(key, end, narrow) {
  const figure = FIGURES[key];
  const [width, pieces] = [narrow ? 240 : 320, 40];
  const low = figure.signed ? -end : 0;
  const at = (share) => low + (end - low) * share;
  return drawing(width, 40, `Colours: ${figure.name} from ${fewFigures(low)} to ${fewFigures(end)} ${figure.unit}`, { class: 'legend' },
    Array.from({ length: pieces }, (_, i) => svg('rect', { x: 10 + i * (width - 20) / pieces, y: 4, width: (width - 20) / pieces + 0.5, height: 12,
      fill: css(colourOf(figure, at((i + 0.5) / pieces), end)) })),
    [0, 0.5, 1].map((share) => svg('text', { x: 10 + share * (width - 20), y: 32, 'text-anchor': ['start', 'middle', 'end'][2 * share] },
      (figure.signed ? signed : fixed)(at(share), figure.decimals) + (share === 1 ? ` ${figure.unit}` : ''))));
}

/**
 * options: { id, chosen: indices of a build or null, cross: { at: [a, b], name }, choose([a, b]) on a tap,
 * imperial, narrow }. The drawing's crossAt(a, b) moves its cross.
 */
export function mapDrawing(sweep, axes, key, { id, chosen = null, cross, choose, imperial, narrow }) {
  const [across, upward] = axes;
  const [width, height] = narrow ? [320, 300] : [640, 440];
  const [left, right, top, bottom] = [58, imperial ? 46 : 14, imperial ? 26 : 12, 42];
  const [inside, tall] = [width - left - right, height - top - bottom];
  const toX = (v) => left + inside * (v - across.low) / (across.high - across.low);
  const toY = (v) => top + tall * (upward.high - v) / (upward.high - upward.low);
  const xTicks = ticks(across.low, across.high, narrow ? 4 : 8);
  const yTicks = ticks(upward.low, upward.high, 6);
  const lines = sweep.border.map((line) => line.map(([a, b], i) => `${i ? 'L' : 'M'}${toX(a).toFixed(1)} ${toY(b).toFixed(1)}`).join('')).join('');
  const mark = svg('g', { class: 'as-sheet' }, svg('title', {}, cross.name), ['halo', null].map((kind) =>
    [svg('circle', { r: 6, class: kind }), svg('path', { d: 'M-10 0h20m-10 -10v20', class: kind })]));
  const crossAt = (a, b) => {
    const within = a >= across.low && a <= across.high && b >= upward.low && b <= upward.high;
    mark.setAttribute('visibility', within ? 'visible' : 'hidden');
    mark.setAttribute('transform', `translate(${toX(a)} ${toY(b)})`);
    return within;
  };
  const within = crossAt(...cross.at);
  const title = `Map of ${FIGURES[key].name} over ${across.key} and ${upward.key}, with the line between builds that stand and builds that tip over`;
  const node = drawing(width, height, title, { class: 'plot map', id },
    svg('rect', { x: left, y: top, width: inside, height: tall, class: 'untold' }),
    svg('image', { href: picture(sweep, across, upward, key), x: left, y: top, width: inside, height: tall,
      preserveAspectRatio: 'none', 'image-rendering': 'pixelated' }),
    handySteps(across, imperial).map(({ at, label }) => [
      svg('line', { x1: toX(at), x2: toX(at), y1: top, y2: top + tall, class: 'handy' }),
      label ? svg('text', { x: toX(at), y: top - 8, 'text-anchor': 'middle', class: 'small' }, label) : null]),
    handySteps(upward, imperial).map(({ at, label }) => [
      svg('line', { x1: left, x2: left + inside, y1: toY(at), y2: toY(at), class: 'handy' }),
      label ? svg('text', { x: left + inside + 5, y: toY(at) + 4, class: 'small' }, label) : null]),
    svg('path', { d: lines, class: 'line-halo' }), svg('path', { d: lines, class: 'line-between' }),
    within || cross.moves ? mark : null,
    chosen ? svg('rect', { x: toX(across.values[chosen[0]]) - 4, y: toY(upward.values[chosen[1]]) - 4, width: 8, height: 8, class: 'chosen' }) : null,
    svg('path', { d: `M${left} ${top}v${tall}h${inside}`, class: 'axis' }),
    xTicks.at.map((v) => [svg('line', { x1: toX(v), x2: toX(v), y1: top + tall, y2: top + tall + 4, class: 'axis' }),
      svg('text', { x: toX(v), y: top + tall + 17, 'text-anchor': 'middle' }, fixed(v, decimalsOf(xTicks.step)))]),
    yTicks.at.map((v) => [svg('line', { x1: left - 4, x2: left, y1: toY(v), y2: toY(v), class: 'axis' }),
      svg('text', { x: left - 7, y: toY(v) + 4, 'text-anchor': 'end' }, fixed(v, decimalsOf(yTicks.step)))]),
    svg('text', { x: left + inside / 2, y: height - 5, 'text-anchor': 'middle', class: 'label' }, across.label),
    svg('text', { x: 12, y: top + tall / 2, class: 'label', 'text-anchor': 'middle', transform: `rotate(-90 12 ${top + tall / 2})` }, upward.label));
  const held = (value, axis) => Math.min(axis.high, Math.max(axis.low, value));
  node.addEventListener('click', (event) => {
    const box = node.getBoundingClientRect();
    const x = (event.clientX - box.left) * width / box.width;
    const y = (event.clientY - box.top) * height / box.height;
    choose([held(across.low + (x - left) / inside * (across.high - across.low), across),
      held(upward.high - (y - top) / tall * (upward.high - upward.low), upward)]);
  });
  node.crossAt = crossAt;
  return node;
}

/** Of one quantity: a curve, broken where nothing is told and where it begins or ceases to stand. */
function lineDrawing(sweep, axis, key, narrow) {
  const figure = FIGURES[key];
  const curves = [];
  let before = null;
  axis.values.forEach((at, k) => {
    const value = sweep[key][k];
    if (value !== null) {
      if (before === null || before !== sweep.stands[k]) curves.push({ points: [], kind: sweep.stands[k] ? '' : 'left' });
      curves[curves.length - 1].points.push([at, value]);
    }
    before = value === null ? null : sweep.stands[k];
  });
  const all = sweep[key].filter((value) => value !== null);
  const [low, high] = [Math.min(0, ...all), Math.max(0, ...all)];
  const room = 0.06 * (high - low || 1);
  return plot({
    title: `${figure.name} by ${axis.key}`, narrow, height: 300, curves,
    x: { low: axis.low, high: axis.high, label: axis.label },
    y: { low: low - room, high: high + room, label: `${figure.name}, ${figure.unit}`, signed: figure.signed },
    marks: [...sweep.border.map(([[at]]) => ({ at, kind: 'line-between' })),
      ...(axis.sheet_value >= axis.low && axis.sheet_value <= axis.high ? [{ at: axis.sheet_value, kind: 'chosen' }] : [])],
  });
}

export function buildWords(sweep, axes, chosen) {
  const k = axes.length > 1 ? chosen[0] * axes[1].count + chosen[1] : chosen[0];
  const where = axes.map((axis, n) => `${axis.key} ${valueText(axis, axis.values[chosen[n]])}`).join(', ');
  if (sweep.state[k] === null) return `${where}: outside the body, nothing is told.`;
  const figure = (key) => `${FIGURES[key].name} ${(FIGURES[key].signed ? signed : fixed)(sweep[key][k], FIGURES[key].decimals)}${FIGURES[key].unit === '°' ? '' : ' '}${FIGURES[key].unit}`;
  return `${where}: ${sweep.stands[k] ? 'stands' : 'tips over'}, ${sweep.state[k]}; ${Object.keys(FIGURES).map(figure).join(', ')}.`;
}

export function sweepSection(result, scene) {
  const { sweep } = result;
  if (!sweep) return null;
  const axes = sweep.axes.map(axisOf);
  let key = 'tail_down_deg';
  let chosen = axes.map((axis) => axis.index(axis.nearest(axis.sheet_value)));
  const place = el('div');
  const readout = el('p', { class: 'readout', id: 'sweep-readout', 'aria-live': 'polite' });
  const sliders = axes.map((axis, n) => el('input', { type: 'range', min: 0, max: axis.count - 1, step: 1, id: `sweep-${n}`,
    'aria-label': axis.key, value: axis.index(chosen[n]),
    oninput: (event) => choose(chosen.map((old, m) => (m === n ? axis.index(Number(event.target.value)) : old))) }));
  function draw() {
    readout.textContent = buildWords(sweep, axes, chosen);
    place.replaceChildren(fitting((narrow) => (axes.length > 1
      ? [mapDrawing(sweep, axes, key, { id: 'sweep-map', chosen, imperial: scene.imperial, narrow,
        cross: { at: axes.map((axis) => axis.sheet_value), name: 'as in the sheet' },
        choose: (place) => choose(axes.map((axis, n) => axis.index(axis.nearest(place[n])))) }), legend(key, furthest(sweep, key), narrow)]
      : [lineDrawing(sweep, axes[0], key, narrow)])));
  }
  function choose(now) {
    chosen = now;
    sliders.forEach((slider, n) => { slider.value = axes[n].index(chosen[n]); });
    draw();
  }
  const choices = el('div', { class: 'row', role: 'radiogroup', 'aria-label': 'What the map shows' }, Object.entries(FIGURES).map(([name, figure]) =>
    el('label', { class: 'choice' }, el('input', { type: 'radio', name: 'swept', value: name, checked: name === key,
      onchange: () => { key = name; draw(); } }), `${figure.name}, ${figure.unit}`)));
  draw();
  const standing = sweep.axes.map((axis) => (axis.stands_between.length > 0
    ? `It stands with ${axis.key} from ${axis.stands_between.map(([from, to]) => `${valueText(axisOf(axis), from)} to ${valueText(axisOf(axis), to)}`).join(', and from ')}`
    : `It stands at no ${axis.key} of these`) + (sweep.axes.length > 1 ? ', the other as in the sheet.' : ', all else as in the sheet.'));
  return section('sweep', 'What else would do',
    el('p', {}, 'Each build is set on the water back up, held till it has trimmed, and let go. ' + (axes.length > 1
      ? 'The line parts the builds that stand from those that tip over, which are greyed; the cross is the sheet’s own build.'
      : 'Where the curve is dashed it tips over; the upright lines are the sheet’s own value and where it ceases to stand.')),
    standing.map((line) => el('p', {}, line)), choices, place,
    sliders.map((slider, n) => el('label', { class: 'row' }, axes[n].key, slider)), readout);
}
