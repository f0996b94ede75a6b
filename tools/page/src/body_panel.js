// SPDX-License-Identifier: GPL-3.0-or-later
// The body with its maps: picture, buttons, legend, and what lies under the finger.
import { BodyView, VIEWS } from './body_view.js';
import { css, depthColour, deviationColour } from './colours.js';
import { el, svg } from './dom.js';
import { FlatView } from './flat_view.js';
import { handle } from './hand.js';
import { decimalsOf, fixed, signed, ticks } from './numbers.js';

const MAPS = {
  deviation: 'Proud and shy, beyond the noise',
  raw: 'Proud and shy, with the noise',
  depth: 'Depth to sand',
  scan: 'Colours of the scan',
  plain: 'Plain',
};

function mapsOf(skin) {
  const maps = [];
  if (skin.deviation) maps.push('deviation', 'raw');
  if (skin.depth) maps.push('depth');
  if (skin.colours) maps.push('scan');
  return [...maps, 'plain'];
}

/** The legend of a map: a strip of its colours with a scale in millimetres. */
export function legend(map, scale) {
  if (map !== 'deviation' && map !== 'raw' && map !== 'depth') return null;
  const depth = map === 'depth';
  const end = depth ? scale.depth_mm : scale.deviation_mm;
  const low = depth ? 0 : -end;
  const colour = depth ? depthColour : deviationColour;
  const id = `ramp-${map}`;
  const x = (mm) => 20 + 280 * (mm - low) / (end - low);
  const { step, at } = ticks(low, end, 5);
  const number = (mm) => depth ? fixed(mm, decimalsOf(step)) : signed(mm, decimalsOf(step));
  const stops = Array.from({ length: 41 }, (_, i) => i / 40);
  return svg('svg', { viewBox: '0 0 340 64', class: 'legend', role: 'img',
    'aria-label': depth ? `Depth to sand, 0 to ${number(end)} mm`
      : `Shy, minus, in purple; proud, plus, in brown; the ends are ${number(end)} mm` },
  svg('defs', {}, svg('linearGradient', { id }, stops.map((s) => svg('stop', { offset: s,
    'stop-color': css(colour(depth ? s : 2 * s - 1)) })))),
  svg('text', { x: 20, y: 12 }, depth ? 'leave' : '− shy'),
  svg('text', { x: 300, y: 12, 'text-anchor': 'end' }, depth ? 'sand' : 'proud +'),
  svg('rect', { x: 20, y: 18, width: 280, height: 14, fill: `url(#${id})`, class: 'ramp' }),
  at.map((mm) => [
    svg('line', { x1: x(mm), x2: x(mm), y1: 32, y2: 37, class: 'axis' }),
    svg('text', { x: x(mm), y: 50, 'text-anchor': 'middle' }, number(mm)),
  ]),
  svg('text', { x: 316, y: 62, 'text-anchor': 'end', class: 'small' }, 'mm'));
}

/** "right flank" and so on from a point's own place. */
function placeWords([, y, z], framed) {
  if (!framed) return '';
  const side = Math.abs(y) < 0.05 ? 'on the middle' : `${fixed(Math.abs(y), 1)} mm ${y > 0 ? 'right' : 'left'}`;
  return `, ${side}, ${fixed(Math.abs(z), 1)} mm ${z >= 0 ? 'above' : 'below'} the long axis`;
}

function deviationWords(hit) {
  if (hit.deviation === null) return '';
  if ((hit.flags & 1) === 0) return ' · not compared: made up, or opposite what was made up';
  const sign = hit.deviation >= 0 ? 'proud' : 'shy';
  return ` · ${signed(hit.deviation, 3)} mm, ${sign}${(hit.flags & 2) === 0 ? ' (noise explains it)' : ''}`;
}

/**
 * frame: of the result, or null where points are in file axes already.
 * ghost: whether its mirror image may be laid over it.
 */
export function bodyPanel(skin, scale, frame, { ghost = true } = {}) {
  const canvas = el('canvas', { class: 'body', tabindex: '0', id: 'body-picture', role: 'img',
    'aria-label': 'The body, to turn: drag or arrow keys turn it, plus and minus zoom, L R B U N T look from one side' });
  const readout = el('output', { class: 'readout', id: 'readout', 'aria-live': 'polite' });
  const key = el('div', { class: 'key' });
  const point = el('div', { class: 'point', id: 'point' });
  const framed = skin.frame === 'body';

  let view;
  const startView = () => {
    try {
      view = new BodyView(canvas, skin, scale);
    } catch {
      view = new FlatView(canvas, skin, scale);
      readout.textContent = 'This browser can’t draw in three dimensions: still pictures instead.';
    }
  };

  const maps = mapsOf(skin);
  const show = (map) => {
    view.show(map);
    key.replaceChildren(legend(map, scale) ?? '');
  };
  const tell = (event) => {
    const hit = view.pick(event.clientX, event.clientY);
    if (hit === null) return hit;
    const station = framed ? `${fixed(hit.point[0], 1)} mm from the nose` :
      `at ${hit.point.map((x) => fixed(x, 1)).join(', ')}`;
    readout.textContent = station + placeWords(hit.point, framed) + deviationWords(hit) +
      (hit.depth > 0 ? ` · sand ${fixed(hit.depth, 2)} mm` : '');
    return hit;
  };
  const choose = (map) => el('label', { class: 'choice' },
    el('input', { type: 'radio', name: 'map', value: map, checked: map === maps[0],
      onchange: () => show(map) }), MAPS[map]);
  const controls = el('div', { class: 'row' },
    Object.entries(VIEWS).map(([letter, { name }]) => el('button', {
      type: 'button', 'data-view': letter, title: `Key ${letter.toUpperCase()}`, onclick: () => view.look(letter),
    }, el('u', {}, name[0]), name.slice(1))),
    ghost && framed && skin.deviation ? el('label', { class: 'choice' }, el('input', { type: 'checkbox', id: 'ghost',
      onchange: (event) => view.showGhost(event.target.checked) }), 'Mirror image as a veil') : null);

  canvas.addEventListener('pointermove', (event) => {
    if (event.buttons === 0) tell(event);
  });
  canvas.addEventListener('keydown', (event) => {
    const turns = { ArrowLeft: [0.1, 0], ArrowRight: [-0.1, 0], ArrowUp: [0, 0.1], ArrowDown: [0, -0.1] };
    if (turns[event.key]) view.turn(...turns[event.key]);
    else if (event.key === '+' || event.key === '=') view.zoomBy(1.2);
    else if (event.key === '-') view.zoomBy(1 / 1.2);
    else return;
    event.preventDefault();
  });
  document.addEventListener('keydown', (event) => {
    const letter = event.key.toLowerCase();
    if (event.ctrlKey || event.metaKey || event.altKey || /^(input|select|textarea)$/i.test(event.target.tagName)) return;
    if (VIEWS[letter]) view.look(letter);
  });

  const node = el('div', { class: 'panel' }, controls,
    maps.length > 1 ? el('div', { class: 'row', role: 'radiogroup', 'aria-label': 'What the colours show' }, maps.map(choose)) : null,
    el('div', { class: 'stage' }, canvas), readout,
    skin.thinned_from ? el('p', { class: 'small' },
      `For this page alone the body is thinned from ${skin.thinned_from} to ${skin.facets} facets; the program’s figures are of the whole one.`) : null,
    framed ? null : el('p', { class: 'small' },
      'Nose and back are not known here: the views go by the body’s own long, high and thin way.'),
    point);

  const start = () => {
    startView();
    handle(canvas, view, (event) => {
      const hit = tell(event);
      if (hit) point.replaceChildren(pointCard(hit, frame, framed));
    });
    show(maps[0]);
    return view;
  };
  return { node: [node, key], start, view: () => view };
}

const collected = [];

/** What was touched, in both frames, and options that say so on the command line. */
function pointCard(hit, frame, framed) {
  const file = framed && frame ? ['x', 'y', 'z'].map((_, k) => frame.origin_mm[k] +
    ['x', 'y', 'z'].reduce((sum, axis, i) => sum + frame[axis][k] * hit.point[i], 0)) : hit.point;
  const words = file.map((x) => x.toFixed(2)).join(',');
  const option = el('input', { type: 'text', readonly: true, class: 'option', id: 'option', 'aria-label': 'The option to copy' });
  const say = (text) => {
    option.value = text;
    option.select();
  };
  const back = () => {
    // From the long axis to the point, in the file's axes.
    const from = framed && frame
      ? [0, 1, 2].map((k) => frame.y[k] * hit.point[1] + frame.z[k] * hit.point[2]) : null;
    if (!from) return;
    const size = Math.hypot(...from) || 1;
    say(`--back ${from.map((x) => (x / size).toFixed(3)).join(',')}`);
  };
  const split = () => {
    collected.push(words);
    if (collected.length > 3) collected.shift();
    say(collected.length < 3 ? `${3 - collected.length} more to touch; so far ${collected.join(' ')}`
      : `--split-line ${collected.join(' ')}`);
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(option.value);
    } catch {
      option.select();  // then by hand
    }
  };
  return el('div', { class: 'card' },
    el('p', {}, `Touched: ${words} in the file’s axes, mm.`),
    el('div', { class: 'row' },
      el('button', { type: 'button', onclick: () => say(`--nose-point ${words}`) }, 'This is the nose'),
      framed && frame ? el('button', { type: 'button', onclick: back }, 'This is the back') : null,
      el('button', { type: 'button', onclick: split }, 'This is on the split line')),
    el('div', { class: 'row' }, option, el('button', { type: 'button', onclick: copy }, 'Copy')));
}
