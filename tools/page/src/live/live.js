// SPDX-License-Identifier: GPL-3.0-or-later
// Take hold of it: the section in which weights and hooks are moved and the lure takes its new
// place in the water. Figures are the solver's, which runs in workers beside the page.
import { el, section } from '../dom.js';
import { fixed } from '../numbers.js';
import { bench } from './bench.js';
import { startWater } from './client.js';
import { answerOf, figuresPanel } from './figures.js';
import { spansOf } from './inside.js';
import { paperPart } from './paper.js';
import { partsPanel, settingsPanel } from './parts.js';
import { placeMap } from './place_map.js';
import { heldPlaceWords } from './place_words.js';
import { placer, rounded } from './placing.js';
import { restPanel } from './rest.js';
import { LISTS } from './rig.js';
import { savePanel } from './save.js';
import * as state from './state.js';
import { extentOf, thinnedSkin } from './thin.js';
import { waterView } from './water_view.js';
import { reasons } from './why.js';

const UNITS = [
  { name: 'metric', words: '10 mm, 1 g', inches: false, step_mm: 10, fine_mm: 1, step_g: 1 },
  { name: 'fine', words: '1 mm, 0.1 g', inches: false, step_mm: 1, fine_mm: 0.5, step_g: 0.1 },
  { name: 'inches', words: 'half an inch, 5 g', inches: true, step_mm: 12.7, fine_mm: 1.27, step_g: 5 },
];
const FRESH = { ballast: { name: 'weight', mass: 3 }, outside: { name: 'stuck-on weight', mass: 2 }, hook: { name: 'hook', mass: 5, hang: 15 } };

function offSection(sentence) {
  return { node: section('live', 'Take hold of it', el('p', { id: 'live-off' }, sentence, ' What follows is the sheet’s own build, as it stands.')),
    begin() {
      document.getElementById('page').dataset.live = 'off';
    } };
}

export function liveSection(result, scene, skin, texts) {
  if (!texts.moduleText) return offSection('This page was made without the solver, so nothing can be moved here.');
  const { live } = scene;
  const sheet = state.rigOf(live);
  const storageKey = state.keyOf(sheet, live.file ?? '');
  const storage = () => globalThis.localStorage;
  let history = state.started(sheet, state.kept(storage, storageKey, sheet));
  let chosen = null;
  let units = UNITS[scene.imperial ? 2 : 0];
  let water = null;
  let own = { laid: null, pose: null, standing: null };
  let last = own;
  let lastRig = sheet;
  let asked = 0;
  let undrawn = false;  // what the hand holds has moved, and is drawn with the answer
  const timing = [];
  const spans = spansOf(skin);
  const extent = extentOf(skin);
  const put = placer(spans, extent);
  const root = document.getElementById('page');

  const few = thinnedSkin(skin);
  const view = waterView(few);
  const figures = figuresPanel();
  const answer = el('p', { id: 'live-answer', 'aria-live': 'polite' }, 'The solver is being started …');
  const why = el('div', { id: 'live-why', role: 'status' });
  const fault = el('p', { id: 'live-fault', role: 'alert' });
  const heldWords = el('p', { class: 'small', id: 'live-held' });

  const hands = {
    rig: () => history.now,
    chosen: () => (state.partOf(history.now, chosen) ? chosen : null),
    units: () => units,
    choose(one) {
      if (chosen && chosen.kind === one.kind && chosen.index === one.index) return;
      chosen = { kind: one.kind, index: one.index };
      refresh();
      if (water) map.ask(water);
    },
    drag(one, at, { from, up, when }) {
      const part = state.partOf(history.now, one);
      become(state.moved(history.now, one, put.dragged(one.kind, state.placeOf(one.kind, part), at, { start: from, up })), 'drag', when);
    },
    drop() {
      history = state.ended(history);
      state.keep(storage, storageKey, history);
      refresh();
    },
    nudge(one, way, fine) {
      const at = state.placeOf(one.kind, state.partOf(history.now, one));
      const step = way[0] !== 0 ? (fine ? 1 : units.step_mm) : (fine ? 0.1 : units.fine_mm);
      const to = at.map((x, k) => x + step * way[k]);
      become(state.moved(history.now, one, way[0] !== 0 ? put.along(one.kind, at, to[0]) : put.typed(one.kind, at, to)));
    },
    heavier: (one, count) => hands.weigh(one, Number(((state.partOf(history.now, one).mass_g ?? 0) + count * units.step_g).toFixed(4))),
    place(one, at, axis) {
      const from = state.placeOf(one.kind, state.partOf(history.now, one));
      become(state.moved(history.now, one, axis === 0 ? put.along(one.kind, from, at[0]) : put.typed(one.kind, from, at)));
    },
    put(one, x, mass) {
      const from = state.placeOf(one.kind, state.partOf(history.now, one));
      const there = state.moved(history.now, one, put.along(one.kind, from, rounded(x)));
      become(state.weighing(there, one, Number(mass.toFixed(1))));
    },
    weigh: (one, mass, isLive) => become(state.weighing(history.now, one, mass), isLive ? 'slide' : null),
    makeOf: (one, material) => become(state.madeOf(history.now, one, material)),
    exchange: (index, hook) => become(state.exchanged(history.now, index, hook)),
    /** Why a part has to stay, or null. */
    stays: (one) => (one.kind === 'hook' && live.line_hook && state.partOf(history.now, one)?.name === live.line_hook
      ? 'It stays: the sheet hangs the lure on it by its line.' : null),
    remove(one) {
      if (hands.stays(one)) return;
      chosen = null;
      become(state.removed(history.now, one));
      // What had the keyboard is gone with it.
      if (document.activeElement === document.body) undo.focus();
    },
    add,
    wood: (wood, isLive) => become(state.inWood(history.now, wood), isLive ? 'slide' : null),
    ownWood: () => become({ ...history.now, wood: structuredClone(sheet.wood) }),
    woodDensity: () => history.now.wood.density_g_cm3 ?? last.laid?.wood_density_g_cm3 ?? 0.4,
    water: (into, isLive) => become(state.inWater(history.now, into), isLive ? 'slide' : null),
    finish: (thickness, isLive) => become(state.coated(history.now, thickness, sheet, coatDensity()), isLive ? 'slide' : null),
  };

  const drawing = bench(few, hands);
  const parts = partsPanel(live, sheet, hands);
  const settings = settingsPanel(live, sheet, hands);
  const map = placeMap(hands, [extent.low[0], extent.high[0]]);
  const rest = restPanel((pose) => solve(performance.now(), pose.up));
  const save = savePanel(live, hands);

  const undo = el('button', { type: 'button', id: 'live-undo', onclick: () => step(state.undone) }, 'Undo');
  const redo = el('button', { type: 'button', id: 'live-redo', onclick: () => step(state.redone) }, 'Redo');
  const back = el('button', { type: 'button', id: 'live-back', onclick: () => become(sheet) }, 'Back to the sheet');
  const steps = el('div', { class: 'row', role: 'radiogroup', 'aria-label': 'Steps' }, el('span', { class: 'small' }, 'Steps of'),
    UNITS.map((one) => el('label', { class: 'choice' }, el('input', { type: 'radio', name: 'live-steps', value: one.name, checked: one === units,
      onchange: () => {
        units = one;
        drawing.build();
        refresh();
        map.draw();
      } }), one.words)));

  // Of the sheet's own coat what was weighed and measured makes; else of epoxy, a common coat.
  function coatDensity() {
    if (sheet.finish?.density_g_cm3) return sheet.finish.density_g_cm3;
    const volume = own.laid ? own.laid.coated_volume_mm3 - own.laid.volume_mm3 : 0;
    if (sheet.finish && volume > 0) return 1000 * own.laid.mass_by_kind_g.finish / volume;
    return live.materials.find((one) => one.name === 'epoxy')?.density_g_cm3 ?? 1.15;
  }

  function add(kind) {
    const facts = FRESH[kind];
    const list = kind === 'hook' ? history.now.hooks : history.now.ballasts;
    const like = list[0];
    const named = live.materials.find((one) => one.name === (kind === 'hook' ? 'steel' : 'tungsten'));
    const material = like ? { name: like.metal, density_g_cm3: like.density_g_cm3 } : named ?? live.materials[0] ?? { name: null, density_g_cm3: 7.8 };
    const rig = state.added(history.now, kind, { ...facts, at: put.fresh(kind), material }, live.place_names ?? []);
    chosen = { kind, index: rig[LISTS[kind]].length - 1 };
    become(rig);
  }

  function step(way) {
    history = way(history);
    after(performance.now());
  }

  function become(rig, gesture = null, when = performance.now()) {
    const before = history.now;
    history = state.changed(history, rig, gesture);
    if (history.now === before) refresh();
    else after(when, gesture !== null);
  }

  // While a hand holds something nothing is written down, and nothing is drawn before the answer is
  // there: a browser that paints in between has its answer one picture later.
  function after(when, held = false) {
    if (!held) state.keep(storage, storageKey, history);
    if (held && water) {
      undrawn = true;
      requestAnimationFrame(() => requestAnimationFrame(() => undrawn && refresh()));
      solve(when, null).then(askTheRest);
      return;
    }
    refresh();
    if (!water) return;
    solve(when, null);
    askTheRest();
  }

  function askTheRest() {
    rest.ask(water, history.now);
    map.ask(water);
  }

  function refresh() {
    undrawn = false;
    drawing.draw();
    parts.draw();
    settings.draw();
    save.draw();
    const differs = !state.same(history.now, sheet);
    root.dataset.changed = differs ? 'yes' : 'no';
    undo.disabled = history.past.length === 0;
    redo.disabled = history.future.length === 0;
    back.disabled = !differs;
    const part = state.partOf(history.now, hands.chosen());
    heldWords.textContent = part ? `${part.name}${part.mass_g === undefined ? '' : `, ${fixed(part.mass_g, 1)} g`}: ${heldPlaceWords(state.placeOf(chosen.kind, part), spans, units)}` : 'Take hold of a weight or a hook and slide it.';
  }

  /** up: let go from there; null: set on the water back up. when: of the event that asked. */
  async function solve(when, up) {
    const rig = history.now;
    const mine = ++asked;
    const heard = performance.now();
    const settled = await water.settle(rig, up);
    if (water.failed) fault.textContent = `The solver stopped (${water.failed}): load the page again.`;
    if (!settled || mine < asked) return;
    const drew = performance.now();
    if (undrawn) refresh();
    fault.textContent = settled.fault ? `${settled.fault.why} The water shows the last build that could be.` : '';
    if (!settled.fault) {
      last = settled;
      lastRig = rig;
      view.show(rig, settled.laid, settled.pose);
      tell(rig, settled, up);
      const now = performance.now();
      timing.push({ ms: now - when, from_handler_ms: now - heard, solver_ms: settled.ms, draw_ms: now - drew });
    }
    root.dataset.solved = String(Number(root.dataset.solved ?? 0) + 1);
  }

  function tell(rig, settled, up) {
    const words = reasons(settled.laid, settled.pose, settled.standing);
    answer.textContent = (up ? 'Let go from there: ' : '') + answerOf(settled);
    why.replaceChildren(...(up ? [] : words.says).map((line) => el('p', {}, line)));
    why.classList.toggle('rolls', words.rolls && !up);
    figures.show(settled, own);
  }

  const thinned = skin.thinned_from ? el('p', { class: 'small', id: 'live-thinned' }) : null;
  const paper = paperPart(() => ({ sheet, rig: history.now, last, own, text: save.text }));

  const node = section('live', 'Take hold of it',
    el('div', { class: 'live-grid' },
      el('div', { class: 'live-stage' },
        el('div', { class: 'live-top' }, view.node, answer), drawing.node, heldWords, fault, why, el('div', { class: 'row tools' }, undo, redo, back), steps),
      el('div', { class: 'live-panel' }, parts.node,
        el('details', { class: 'live-setting', open: globalThis.matchMedia('(min-width: 62rem)').matches }, el('summary', {}, 'Wood, finish and water'), settings.node)),
      figures.node, map.node, rest.node),
    save.node,
    el('p', { class: 'small' }, 'Still water, one rigid piece: the lure is set on the water back up and let go, and shown where it comes to rest. ' +
      'The smooth turn from one rest to the next is a picture; how it would really move is not reckoned.'),
    thinned, paper);

  document.addEventListener('keydown', (event) => {
    if (!water || !(event.ctrlKey || event.metaKey) || event.target.closest?.('input[type=number], textarea')) return;
    const letter = event.key.toLowerCase();
    if (letter !== 'z' && letter !== 'y') return;
    event.preventDefault();
    step(letter === 'y' || event.shiftKey ? state.redone : state.undone);
  });

  async function begin() {
    root.dataset.live = 'waiting';
    drawing.outline(skin);
    const began = performance.now();
    const { water: found, reason } = await startWater(scene, skin, texts);
    if (!found) {
      node.replaceWith(offSection(reason).node);
      root.dataset.live = 'off';
      root.dataset.changed = 'no';
      return;
    }
    water = found;
    const first = await water.settle(sheet, null);
    if (first && !first.fault) {
      own = first;
      thinned?.replaceChildren(`The page carries the body thinned from ${skin.thinned_from} to ${skin.facets} facets, and what it reckons is of that one: ` +
        `as in the sheet ${fixed(own.laid.reserve_g, 3)} g in reserve, where the program found ${fixed(result.reserve_g, 3)} g for the whole.`);
    }
    chosen ??= firstHeld();
    refresh();
    await solve(performance.now(), null);
    askTheRest();
    root.dataset.live = 'ready';
    facts.started_ms = performance.now() - began;
  }

  function firstHeld() {
    const [one] = state.heldParts(history.now);
    return one ? { kind: one.kind, index: one.index } : null;
  }

  refresh();
  // Until the solver is up: as the program found it.
  if (state.same(history.now, sheet) && result.poses.length > 0) view.show(sheet, null, result.poses[0]);
  const facts = { rig: () => history.now, sheet: () => sheet, settled: () => last, own: () => own, timing, view: view.facts, text: save.text, water: () => water,
    settledRig: () => lastRig };
  return { node, begin, facts };
}
