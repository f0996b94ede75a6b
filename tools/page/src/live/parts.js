// SPDX-License-Identifier: GPL-3.0-or-later
// The panel beside the drawings: the part that is held, with its mass, place and material; parts
// added and taken away; wood, water and finish.
import { el } from '../dom.js';
import { fixed } from '../numbers.js';
import { choice, quantity } from './controls.js';
import { INCH_MM } from './place_words.js';
import { heldParts, hookChoices, partOf, placeOf } from './state.js';

const KINDS = { ballast: 'weight', outside: 'stuck on', pocket: 'pocket', hook: 'hook' };

// A round number above twice the mass: where the slider ends.
function roomFor(mass) {
  const wanted = Math.max(10, 2 * mass);
  const power = 10 ** Math.floor(Math.log10(wanted));
  return power * [1, 2, 5, 10].find((lead) => lead * power >= wanted);
}

const massWords = (part) => (part.mass_g === undefined ? '' : ` ${fixed(part.mass_g, 1)} g`);

/** hands: see live.js. */
export function partsPanel(live, sheet, hands) {
  const chips = el('div', { class: 'chips', role: 'group', 'aria-label': 'Parts' });
  const editor = el('div', { class: 'editor' });
  let form = null;

  function drawChips() {
    const rig = hands.rig();
    const chosen = hands.chosen();
    const parts = heldParts(rig);
    // Rebuilt only where the parts differ, so that the keyboard keeps its place.
    const signs = parts.map((one) => `${one.kind} ${one.index} ${one.part.name}`).join('|');
    if (chips.dataset.parts !== signs) {
      chips.dataset.parts = signs;
      chips.replaceChildren(...parts.map((one) => el('button', { type: 'button', class: `chip ${one.kind}`, 'data-chip': `${one.kind} ${one.index}`,
        onclick: () => hands.choose({ kind: one.kind, index: one.index }) }, '')));
    }
    parts.forEach((one, i) => {
      const chip = chips.children[i];
      chip.textContent = `${one.part.name}${massWords(one.part)}`;
      chip.setAttribute('aria-pressed', String(chosen !== null && chosen.kind === one.kind && chosen.index === one.index));
    });
  }

  function placeField(name, axis, chosen) {
    const inches = hands.units().inches;
    const unit = inches ? INCH_MM : 1;
    const field = quantity({ name, unit: inches ? 'in' : 'mm', decimals: inches ? 3 : 2, slider: null,
      step: () => (axis === 0 ? hands.units().step_mm : hands.units().fine_mm) / unit,
      change: (value) => {
        const at = [...placeOf(chosen.kind, partOf(hands.rig(), chosen))];
        at[axis] = value * unit;
        hands.place(chosen, at, axis);
      } });
    return { ...field, show: (at) => field.show(at[axis] / unit) };
  }

  function formOf(chosen) {
    const part = partOf(hands.rig(), chosen);
    const fields = [];
    const add = (field, read) => {
      fields.push((now) => field.show(...read(now)));
      return field.node;
    };
    const nodes = [];
    if (chosen.kind !== 'pocket') {
      nodes.push(add(quantity({ name: 'Mass', unit: 'g', decimals: 2, step: () => hands.units().step_g,
        slider: { low: 0.1, high: () => roomFor(partOf(hands.rig(), chosen)?.mass_g ?? part.mass_g), step: 0.1 },
        change: (value, isLive) => hands.weigh(chosen, value, isLive), done: hands.drop }), (now) => [now.mass_g]));
    }
    if (chosen.kind === 'hook') {
      const choices = hookChoices(hands.rig(), sheet, chosen.index);
      const list = [{ value: '', text: 'of its own mass' }, ...choices.map((one, i) => ({ value: String(i), text: `${fixed(one.mass_g, 1)} g, ${one.name}` }))];
      nodes.push(add(choice('Exchange for', list, (value) => value !== '' && hands.exchange(chosen.index, choices[Number(value)])),
        (now) => [String(choices.findIndex((one) => one.mass_g === now.mass_g && one.hang_mm === now.hang_mm)).replace('-1', '')]));
    }
    if (chosen.kind === 'ballast' || chosen.kind === 'outside') {
      const same = (one, now) => Math.abs(one.density_g_cm3 - now.density_g_cm3) < 1e-9;
      const list = [{ value: '', text: `${fixed(part.density_g_cm3, 2)} g/cm³` },
        ...live.materials.map((one, i) => ({ value: String(i), text: `${one.name}, ${fixed(one.density_g_cm3, 2)} g/cm³` }))];
      nodes.push(add(choice('Of', list, (value) => value !== '' && hands.makeOf(chosen, live.materials[Number(value)])), (now) => {
        const named = live.materials.findIndex((one) => one.name === now.metal && same(one, now));
        return [String(named >= 0 ? named : live.materials.findIndex((one) => same(one, now))).replace('-1', '')];
      }));
    }
    const at = (now) => [placeOf(chosen.kind, now)];
    const places = el('div', { class: 'places' }, add(placeField('From the nose', 0, chosen), at), add(placeField('Height', 2, chosen), at),
      add(placeField('To the right', 1, chosen), at));
    const stays = hands.stays(chosen);
    const takeOut = stays ? el('p', { class: 'small' }, stays) : el('button', { type: 'button', class: 'remove', onclick: () => hands.remove(chosen) }, `Take the ${part.name} out`);
    return { node: el('div', {}, el('h3', {}, part.name, el('span', { class: 'small' }, ` ${KINDS[chosen.kind]}`)), nodes, places, takeOut),
      show: (now) => fields.forEach((field) => field(now)) };
  }

  function draw() {
    drawChips();
    const chosen = hands.chosen();
    const part = partOf(hands.rig(), chosen);
    const sign = part ? `${chosen.kind} ${chosen.index} ${part.name} ${hands.units().name}` : '';
    if (!form || form.sign !== sign) {
      form = part ? { ...formOf(chosen), sign } : { node: el('p', { class: 'small' }, 'Choose a part, or touch it in the drawing.'), show: () => {}, sign };
      editor.replaceChildren(form.node);
    }
    if (part) form.show(part);
  }

  const add = (kind, words) => el('button', { type: 'button', 'data-add': kind, onclick: () => hands.add(kind) }, words);
  const node = el('div', { class: 'live-parts' }, chips, editor,
    el('div', { class: 'row adds' }, add('ballast', 'Add a weight'), add('outside', 'Stick a weight on'), add('hook', 'Add a hook')));
  return { node, draw };
}

const WOOD_AS = { weighed: 'as weighed', halves: 'two halves, as weighed' };

/** Wood, finish and water. */
export function settingsPanel(live, sheet, hands) {
  const OWN = 'own';
  const nameless = sheet.wood.kind in WOOD_AS;
  const woods = choice('Wood', [...(nameless ? [{ value: OWN, text: WOOD_AS[sheet.wood.kind] }] : []), { value: 'density', text: 'by its density' },
    ...live.woods.map((wood, i) => ({ value: String(i), text: wood.name }))],
  (value) => (value === OWN ? hands.ownWood() : value === 'density' ? hands.wood({ name: null, density_g_cm3: hands.woodDensity() }) : hands.wood(live.woods[Number(value)])));
  const density = quantity({ name: 'Density', unit: 'g/cm³', decimals: 3, step: () => 0.01, slider: { low: 0.08, high: () => 1.2, step: 0.005 },
    change: (value, isLive) => hands.wood({ name: null, density_g_cm3: value }, isLive), done: hands.drop });
  const waters = [{ value: 'fresh', text: 'fresh' }, { value: 'sea', text: 'sea' }];
  if (!['fresh', 'sea'].includes(sheet.water.kind)) waters.push({ value: sheet.water.kind, text: 'as in the sheet' });
  const water = choice('Water', waters, (value) => hands.water({ kind: value }));
  const warmth = quantity({ name: 'Temperature', unit: '°C', decimals: 1, step: () => 1, slider: { low: 0, high: () => 40, step: 0.5 },
    change: (value, isLive) => hands.water({ kind: hands.rig().water.kind, temperature_c: value }, isLive), done: hands.drop });
  const finish = quantity({ name: 'Finish, thick', unit: 'mm', decimals: 2, step: () => 0.1, slider: { low: 0, high: () => 1.5, step: 0.05 },
    change: (value, isLive) => hands.finish(Math.max(0, value), isLive), done: hands.drop });
  function draw() {
    const { wood, water: in_, finish: coat } = hands.rig();
    const named = live.woods.findIndex((one) => one.name === wood.name && wood.kind === 'species');
    woods.show(named >= 0 ? String(named) : nameless && wood.kind === sheet.wood.kind ? OWN : 'density');
    density.show(hands.woodDensity());
    water.show(in_.kind);
    warmth.show(in_.temperature_c ?? NaN);
    warmth.node.hidden = in_.kind === 'density';
    finish.show(coat?.thickness_mm ?? 0);
  }
  // What the body's own size was reckoned with: changed here, float would take another body.
  const hangs = live.body_hangs_on ?? {};
  const fixedWood = hangs.wood ? el('p', { class: 'small' }, 'The wood stays as the sheet has it: the body’s volume was found with the weight of its blank.') : null;
  const fixedFinish = hangs.finish ? el('p', { class: 'small' }, 'The finish stays as the sheet has it: it was taken off the scan.') : null;
  return { node: el('div', { class: 'live-settings' }, fixedWood ?? [woods.node, density.node], water.node, warmth.node, fixedFinish ?? finish.node), draw };
}
