// SPDX-License-Identifier: GPL-3.0-or-later
// The map of the part that is held: all places along the body and all masses, with the border
// between builds that stand and builds that tip over. Coarse first, then finer.
import { el } from '../dom.js';
import { FIGURES, axisOf, furthest, legend, mapDrawing } from '../sweep.js';
import { partOf, placeOf } from './state.js';

const LEAST_G = 0.1;
const EVERY_MS = 200;
const broad = globalThis.matchMedia('(min-width: 44rem)');

function massRoom(mass) {
  const wanted = Math.max(8, 1.8 * mass);
  const power = 10 ** Math.floor(Math.log10(wanted));
  return power * [1, 2, 5, 10].find((lead) => lead * power >= wanted);
}

/** hands: rig(), chosen(), units(), put(chosen, x, mass); reach: [nose, tail] of the body. */
export function placeMap(hands, reach) {
  const heading = el('p', { class: 'small', id: 'live-map-words' }, '');
  const place = el('div', { class: 'map-place' });
  let key = 'tail_down_deg';
  let map = null;
  let room = null;   // what the map is of: { kind, index, name, from, to, mass_to }
  let drawn = null;
  let drawnAt = 0;
  let later = 0;
  const choices = el('div', { class: 'row', role: 'radiogroup', 'aria-label': 'What the map shows' }, Object.entries(FIGURES).map(([name, figure]) =>
    el('label', { class: 'choice' }, el('input', { type: 'radio', name: 'live-swept', value: name, checked: name === key,
      onchange: () => { key = name; draw(); } }), figure.name)));
  const node = el('div', { class: 'live-map' }, el('h3', {}, 'Where else, how heavy'), heading, choices, place);

  function now() {
    const part = partOf(hands.rig(), hands.chosen());
    return part && part.mass_g !== undefined ? { part, at: [placeOf(hands.chosen().kind, part)[0], part.mass_g] } : null;
  }

  function draw() {
    clearTimeout(later);
    drawnAt = performance.now();
    drawn = null;
    const held = now();
    if (!map || !held) {
      place.replaceChildren(...(held ? [el('p', { class: 'small' }, 'It is being reckoned …')] : []));
      return;
    }
    const words = ['from the nose, mm', `${held.part.name}, g`];
    const axes = map.axes.map((axis, i) => ({ ...axisOf(axis), label: words[i] }));
    const narrow = !broad.matches;
    drawn = mapDrawing(map, axes, key, { id: 'live-map', imperial: hands.units().inches, narrow,
      cross: { at: held.at, name: 'the build as it is now', moves: true },
      choose: ([x, mass]) => hands.put({ kind: room.kind, index: room.index }, x, Math.max(LEAST_G, mass)) });
    place.replaceChildren(drawn, legend(key, furthest(map, key), narrow));
    place.dataset.final = map.final ? 'yes' : 'no';
  }

  function told(next) {
    // The same map once more, for a build elsewhere in it.
    const known = map !== null && drawn !== null && next.state === map.state;
    map = next;
    place.classList.toggle('waiting', !next.final);
    if (known) return;
    // While a hand moves, the water goes before the map.
    clearTimeout(later);
    const wait = drawnAt + EVERY_MS - performance.now();
    if (wait > 0) later = setTimeout(draw, wait);
    else draw();
  }

  /** The rig has changed: the cross moves; what the map is of is asked for anew. */
  function ask(water) {
    const chosen = hands.chosen();
    const held = now();
    if (!held) {
      map = null;
      room = null;
      heading.textContent = 'Choose a weight or a hook to see where else it could go.';
      draw();
      return;
    }
    const { part, at } = held;
    const other = room === null || room.kind !== chosen.kind || room.index !== chosen.index || room.name !== part.name;
    if (other || at[1] > room.mass_to) {
      const beyond = chosen.kind === 'hook' || chosen.kind === 'outside' ? 8 : 0;
      room = { kind: chosen.kind, index: chosen.index, name: part.name, from: Math.min(reach[0] - beyond, at[0]), to: Math.max(reach[1] + beyond, at[0]),
        mass_to: massRoom(at[1]) };
      if (other) map = null;
      heading.textContent = `Each dot is a build with the ${part.name} there and of that mass, all else as it is now: set on the water back up and let go. ` +
        'The line parts what stands from what tips over, which is greyed. Tap to put it there.';
      draw();
    }
    drawn?.crossAt(...at);
    place.classList.add('waiting');
    water.map(hands.rig(), { kind: chosen.kind, index: chosen.index, axis: 'x', from: room.from, to: room.to, mass_from: LEAST_G, mass_to: room.mass_to }, told);
  }
  broad.addEventListener('change', draw);
  return { node, ask, draw };
}
