// SPDX-License-Identifier: GPL-3.0-or-later
// The lure on the bench: from the side and from above, in the body's own axes, with handles to take
// hold of: weights, stuck-on weights, pockets and hooks. By mouse, finger and keyboard.
import { el, svg } from '../dom.js';
import { fixed, sensibleStep } from '../numbers.js';
import { outlineOf } from '../outline.js';
import { INCH_MM, placeWords } from './place_words.js';
import { heldParts, partOf, placeOf } from './state.js';

const LOOKS = [{ name: 'from the side', up: 2, key: 'side' }, { name: 'from above', up: 1, key: 'above' }];
const HALF_TARGET = 22;  // CSS pixels: a fingertip

/** Length and width of a weight in mm: the stated hole's, else a ball's. */
function sizeOf(part) {
  const volume = 1000 * (part.mass_g ?? 0) / (part.density_g_cm3 ?? 1);
  if (part.diameter_mm && part.depth_mm) return { length: part.depth_mm, width: part.diameter_mm, axis: part.axis ?? 'along' };
  if (part.diameter_mm) return { length: volume / (Math.PI * part.diameter_mm ** 2 / 4), width: part.diameter_mm, axis: part.axis ?? 'along' };
  const ball = Math.cbrt(6 * volume / Math.PI);
  return { length: ball, width: ball, axis: null };
}

// Half sizes of a part on the drawing, and whether it is seen as a round.
function shapeOf(part, look) {
  const { length, width, axis } = sizeOf(part);
  const along = { along: 0, across: 1, upright: 2 }[axis];
  if (axis === null || (along !== 0 && along !== look.up)) return { round: true, u: width / 2, v: width / 2 };
  return along === 0 ? { round: false, u: length / 2, v: width / 2 } : { round: false, u: width / 2, v: length / 2 };
}

/**
 * skin: thinned. hands: rig(), chosen(), units(), choose({kind, index}), drag(chosen, at, when), drop(), nudge(chosen, way),
 * heavier(chosen, count), remove(chosen).
 */
export function bench(skin, hands) {
  const place = el('div', { class: 'live-bench' });
  const outlinesOf = (of) => LOOKS.map((look) => outlineOf(of, (p) => p[0], (p) => p[look.up]));
  let outlines = outlinesOf(skin);
  const broad = globalThis.matchMedia('(min-width: 44rem)');
  let views = [];
  let held = null;

  function frameOf(look, loops, narrow) {
    const rig = hands.rig();
    const points = loops.flat();
    const carried = [...heldParts(rig).map(({ at }) => [at[0], at[look.up]]),
      ...rig.wires.flatMap((wire) => wire.path_mm.map((p) => [p[0], p[look.up]]))];
    const all = [...points, ...carried];
    const width = narrow ? 328 : 760;
    const [low, high] = [Math.min(...all.map((p) => p[0])), Math.max(...all.map((p) => p[0]))];
    const side = 14;
    const scale = (width - 2 * side) / (high - low);
    const under = look.up === 2 ? 4 : 2;
    const [bottom, top] = [Math.min(...all.map((p) => p[1])) - under, Math.max(...all.map((p) => p[1])) + 2];
    const head = 20;
    const ruler = look.up === 2 ? 26 : 8;
    const height = Math.round(head + ruler + scale * (top - bottom));
    return { width, height, scale, low, high, top, head, rulerAt: height - ruler,
      toX: (u) => side + scale * (u - low), toY: (v) => head + scale * (top - v),
      fromX: (x) => low + (x - side) / scale, fromY: (y) => top - (y - head) / scale };
  }

  function ruler(frame, units, nose, tail) {
    const unit = units.inches ? INCH_MM : 1;
    const step = units.inches ? (frame.width < 500 ? 1 : 0.5) : sensibleStep(tail - nose, frame.width < 500 ? 7 : 14);
    const marks = [];
    for (let i = 0; i * step * unit <= tail + 1e-6; ++i) {
      const x = frame.toX(i * step * unit);
      const name = units.inches ? fixed(i * step, step < 1 ? 1 : 0) : fixed(i * step, 0);
      marks.push(svg('line', { x1: x, x2: x, y1: frame.rulerAt, y2: frame.rulerAt + 5, class: 'axis' }),
        svg('text', { x, y: frame.rulerAt + 18, 'text-anchor': 'middle', class: 'small' }, i === 0 ? `0 ${units.inches ? 'in' : 'mm'}` : name));
    }
    return [svg('line', { x1: frame.toX(nose), x2: frame.toX(tail), y1: frame.rulerAt, y2: frame.rulerAt, class: 'axis' }), marks];
  }

  function build() {
    const narrow = !broad.matches;
    views = LOOKS.map((look, i) => {
      const frame = frameOf(look, outlines[i], narrow);
      const points = outlines[i].flat();
      const [nose, tail] = [Math.min(...points.map((p) => p[0])), Math.max(...points.map((p) => p[0]))];
      const path = outlines[i].map((loop) => `${loop.map(([u, v], k) =>
        `${k ? 'L' : 'M'}${frame.toX(u).toFixed(1)} ${frame.toY(v).toFixed(1)}`).join('')}Z`).join('');
      const wires = svg('g', {});
      const handles = svg('g', {});
      const over = svg('g', { class: 'over' });
      const node = svg('svg', { viewBox: `0 0 ${frame.width} ${frame.height}`, class: `afloat bench ${look.key}`, role: 'group',
        'aria-label': `The lure on the bench, ${look.name}: its weights and hooks can be moved` },
      svg('path', { d: path, class: 'body' }), wires,
      look.up === 2 ? ruler(frame, hands.units(), nose, tail) : null,
      svg('text', { x: 6, y: 13, class: 'small' }, look.name), handles, over);
      hold(node, look, frame);
      return { look, frame, node, wires, handles, over, drawnWires: '' };
    });
    place.replaceChildren(...views.map((view) => view.node));
    draw();
  }

  const spotOf = (view, at) => [view.frame.toX(at[0]), view.frame.toY(at[view.look.up])];

  function glyph(one, look, frame) {
    const { kind, part } = one;
    if (kind === 'hook') {
      const hang = look.up === 2 ? Math.min(30, frame.scale * Math.max(8, part.hang_mm ?? 8)) : 0;
      return [svg('circle', { r: 4, class: 'eye' }), look.up === 2 ? svg('path', { d: `M0 4v${hang}m-7 -8q1 8 7 8q6 0 7 -8`, class: 'shank' }) : null];
    }
    const shape = shapeOf(part, look);
    const [u, v] = [Math.max(4, frame.scale * shape.u), Math.max(4, frame.scale * shape.v)];
    const kinds = kind === 'pocket' ? 'hole' : kind === 'outside' ? 'weight outside' : 'weight';
    return shape.round ? svg('circle', { r: u, class: kinds }) : svg('rect', { x: -u, y: -v, width: 2 * u, height: 2 * v, rx: 1.5, class: kinds });
  }

  function ringOf(one, look, frame) {
    if (one.kind === 'hook') return 10;
    const shape = shapeOf(one.part, look);
    return Math.max(10, 5 + frame.scale * Math.max(shape.u, shape.v));
  }

  const isSame = (a, b) => a !== null && a !== undefined && a.kind === b.kind && a.index === b.index;

  // A handle stays the same element while its part is moved, so that it keeps the keyboard.
  function newHandle(view, place_) {
    const now = () => heldParts(hands.rig())[place_];
    return svg('g', { tabindex: 0, role: 'slider', onkeydown: (event) => key(event, now(), view.look), onfocus: () => hands.choose(now()) });
  }

  function tellHandle(view, node, one) {
    const { look } = view;
    const [x, y] = spotOf(view, one.at);
    const mass = one.part.mass_g === undefined ? '' : `, ${fixed(one.part.mass_g, 1)} g`;
    const facts = { class: `handle of-${one.kind}`, transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})`, 'aria-label': `${one.part.name}, ${look.name}`,
      'aria-valuenow': one.at[0].toFixed(1), 'aria-valuetext': `${placeWords(one.at, hands.units())}${mass}`, 'data-part': `${one.kind} ${one.index}` };
    for (const [name, value] of Object.entries(facts)) node.setAttribute(name, value);
    const drawnAs = JSON.stringify([one.part.name, one.part.mass_g, one.part.density_g_cm3, one.part.hang_mm]);
    if (node.drawnAs === drawnAs) return;
    node.drawnAs = drawnAs;
    node.replaceChildren(svg('title', {}, `${one.part.name}${mass}`), svg('circle', { r: HALF_TARGET, class: 'target' }),
      ...[glyph(one, look, view.frame)].flat().filter(Boolean));
  }

  // A ring about the chosen part, and a line from it to the ruler.
  function mark(view, one) {
    const [x, y] = spotOf(view, one.at);
    const to = view.look.up === 2 ? view.frame.rulerAt : view.frame.head;
    return [svg('path', { d: `M${x.toFixed(1)} ${y.toFixed(1)}V${to}`, class: 'plumb' }),
      svg('circle', { cx: x.toFixed(1), cy: y.toFixed(1), r: ringOf(one, view.look, view.frame), class: 'ring' })];
  }

  /** Draws what the rig holds now. */
  function draw() {
    const rig = hands.rig();
    const parts = heldParts(rig);
    const chosen = parts.find((one) => isSame(hands.chosen(), one));
    for (const view of views) {
      const { frame, look } = view;
      const wires = rig.wires.map((wire) => ({ class: 'wire', 'stroke-width': Math.max(1.2, frame.scale * (wire.diameter_mm ?? 1)),
        points: wire.path_mm.map((p) => `${frame.toX(p[0]).toFixed(1)},${frame.toY(p[look.up]).toFixed(1)}`).join(' ') }));
      const drawnWires = JSON.stringify(wires);
      if (view.drawnWires !== drawnWires) view.wires.replaceChildren(...wires.map((wire) => svg('polyline', wire)));
      view.drawnWires = drawnWires;
      while (view.handles.children.length > parts.length) view.handles.lastChild.remove();
      while (view.handles.children.length < parts.length) view.handles.append(newHandle(view, view.handles.children.length));
      parts.forEach((one, i) => tellHandle(view, view.handles.children[i], one));
      view.over.replaceChildren(...(chosen ? mark(view, chosen) : []));
    }
  }

  const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  function key(event, one, look) {
    const way = KEYS[event.key];
    if (way) {
      const to = [way[0], 0, 0];
      to[look.up] += way[1];
      hands.nudge(one, to, event.shiftKey);
    } else if (event.key === '+' || event.key === '=') hands.heavier(one, 1);
    else if (event.key === '-' || event.key === '_') hands.heavier(one, -1);
    else if (event.key === 'Delete' || event.key === 'Backspace') hands.remove(one);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  function hold(node, look, frame) {
    let box = null;  // asked for once a hold: it makes the browser lay the page out
    const point = (event) => {
      return [(event.clientX - box.left) * frame.width / box.width, (event.clientY - box.top) * frame.height / box.height];
    };
    // A finger on a handle drags it and does not scroll the page: touch-action alone is not heeded on
    // every browser's shapes.
    node.addEventListener('touchstart', (event) => {
      if (event.target.closest?.('.handle')) event.preventDefault();
    }, { passive: false });
    node.addEventListener('pointerdown', (event) => {
      if (event.button > 0 || !event.target.closest?.('.handle') || held) return;
      box = node.getBoundingClientRect();
      const [x, y] = point(event);
      const far = (one) => Math.hypot(frame.toX(one.at[0]) - x, frame.toY(one.at[look.up]) - y);
      // Of handles on top of each other the nearest.
      const one = heldParts(hands.rig()).reduce((best, next) => (best === null || far(next) < far(best) ? next : best), null);
      held = { pointer: event.pointerId, one: { kind: one.kind, index: one.index }, look, frame, off: [frame.toX(one.at[0]) - x, frame.toY(one.at[look.up]) - y],
        from: [...one.at], start: [x, y], moved: false };
      node.setPointerCapture(event.pointerId);
      event.preventDefault();
      hands.choose(held.one);
      node.querySelector(`[data-part="${one.kind} ${one.index}"]`)?.focus({ preventScroll: true });
    });
    // As soon as the hand moves, where the browser tells that; else with the next picture.
    const moves = 'onpointerrawupdate' in node ? 'pointerrawupdate' : 'pointermove';
    node.addEventListener(moves, (event) => {
      if (!held || event.pointerId !== held.pointer || held.look !== look) return;
      const [x, y] = point(event);
      if (!held.moved && Math.hypot(x - held.start[0], y - held.start[1]) < 3) return;
      held.moved = true;
      const part = partOf(hands.rig(), held.one);
      const at = [...placeOf(held.one.kind, part)];
      at[0] = frame.fromX(x + held.off[0]);
      at[look.up] = frame.fromY(y + held.off[1]);
      hands.drag(held.one, at, { from: held.from, up: look.up, when: event.timeStamp });
    });
    const drop = (event) => {
      if (!held || event.pointerId !== held.pointer) return;
      const { moved } = held;
      held = null;
      if (moved) hands.drop();
    };
    node.addEventListener('pointerup', drop);
    node.addEventListener('pointercancel', drop);
  }

  broad.addEventListener('change', build);
  build();
  /** With the whole skin's outline in place of the thinned one's. */
  function outline(whole) {
    outlines = outlinesOf(whole);
    build();
  }
  return { node: place, draw, build, outline };
}
