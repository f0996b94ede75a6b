// SPDX-License-Identifier: GPL-3.0-or-later
// The rig that the page changes: plain data as in scene.live, and operations that give a new one.
// A history with undo and redo (a drag is one step); what was changed is kept over a reload.
import { LISTS, salinityOf } from './rig.js';

const CARRIED = ['wood', 'finish', 'water', 'baseline', 'wires', 'ballasts', 'pockets', 'hooks', 'outsides', 'air'];
const LEAST_G = 0.01;
const MOST_G = 5000;
const MOST_STEPS = 200;

/** What of scene.live can be changed. */
export function rigOf(live) {
  return structuredClone(Object.fromEntries(CARRIED.map((key) => [key, live[key] ?? null])));
}

export const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

export const partOf = (rig, chosen) => (chosen ? rig[LISTS[chosen.kind]]?.[chosen.index] ?? null : null);

export const placeOf = (kind, part) => (kind === 'hook' ? part.eye_mm : part.at_mm);

/** Of all that can be taken hold of: [{kind, index, part, at}]. */
export function heldParts(rig) {
  return ['ballast', 'outside', 'pocket', 'hook'].flatMap((kind) => rig[LISTS[kind]].map((part, index) =>
    ({ kind, index, part, at: placeOf(kind, part) })));
}

// ---- Operations -------------------------------------------------------------------------------

function withPart(rig, { kind, index }, change) {
  const list = LISTS[kind];
  return { ...rig, [list]: rig[list].map((part, i) => (i === index ? { ...part, ...change } : part)) };
}

export function moved(rig, chosen, at) {
  if (!at.every(Number.isFinite)) return rig;
  return withPart(rig, chosen, chosen.kind === 'hook' ? { eye_mm: [...at] } : { at_mm: [...at] });
}

const inRange = (value, low, high) => Math.min(high, Math.max(low, value));

export function weighing(rig, chosen, mass) {
  if (!Number.isFinite(mass) || chosen.kind === 'pocket') return rig;
  return withPart(rig, chosen, { mass_g: inRange(mass, LEAST_G, MOST_G) });
}

export function madeOf(rig, chosen, material) {
  return withPart(rig, chosen, { metal: material.name, density_g_cm3: material.density_g_cm3 });
}

/** Hooks that this one can be exchanged for: the sheet's sizes, and the other hooks. */
export function hookChoices(rig, sheet, index) {
  const hook = rig.hooks[index];
  const own = sheet.hooks.find((one) => one.name === hook.name);
  const like = (one, name) => ({ name, mass_g: one.mass_g, density_g_cm3: one.density_g_cm3, metal: one.metal, hang_mm: one.hang_mm });
  const found = own ? [like(own, 'as in the sheet')] : [];
  for (const mass of (own ?? hook).sizes_g ?? []) found.push({ ...like(own ?? hook, 'of the sheet’s sizes'), mass_g: mass });
  const up = (own ?? hook).size_up_g;
  if (up) found.push({ ...like(own ?? hook, 'one size up'), mass_g: up });
  for (const other of sheet.hooks) {
    if (other.name !== hook.name) found.push(like(other, `like the ${other.name}`));
  }
  return found.filter((one, i) => found.findIndex((two) => two.mass_g === one.mass_g && two.hang_mm === one.hang_mm) === i);
}

export function exchanged(rig, index, { mass_g, density_g_cm3, metal, hang_mm }) {
  return withPart(rig, { kind: 'hook', index }, { mass_g, density_g_cm3, metal, hang_mm });
}

export function inWood(rig, { name, density_g_cm3 }) {
  const density = inRange(density_g_cm3, 0.01, 3);
  return { ...rig, wood: { kind: name ? 'species' : 'density', name: name ?? null, density_g_cm3: density,
    weighed_g: null, left_g: null, right_g: null, balance_mm: null } };
}

export function inWater(rig, { kind, temperature_c }) {
  const salinity = kind === 'fresh' || kind === 'sea' ? salinityOf({ kind }) : rig.water.salinity;
  return { ...rig, water: { ...rig.water, kind, salinity, temperature_c: inRange(temperature_c ?? rig.water.temperature_c ?? 15, 0, 40),
    density_g_cm3: kind === 'density' ? rig.water.density_g_cm3 : null } };
}

/** A coat all over; nil takes it off. Of one that was weighed its density goes on. */
export function coated(rig, thickness, sheet, density) {
  if (!(thickness > 0)) return { ...rig, finish: null };
  if (sheet.finish && Math.abs(sheet.finish.thickness_mm - thickness) < 1e-9) return { ...rig, finish: structuredClone(sheet.finish) };
  return { ...rig, finish: { thickness_mm: thickness, density_g_cm3: density, weighed_g: null } };
}

const taken = (rig) => ['wood', 'finish', ...Object.values(LISTS).flatMap((list) => rig[list].map((part) => part.name))];

/** `base`, or with a number that no part has yet; `also`: names that the sheet needs for itself. */
export function freeName(rig, base, also = []) {
  const names = new Set([...taken(rig), ...also]);
  if (!names.has(base)) return base;
  for (let i = 2; ; ++i) {
    if (!names.has(`${base} ${i}`)) return `${base} ${i}`;
  }
}

const NEW = {
  ballast: ({ name, at, mass, material }) => ({ name, at_mm: [...at], mass_g: mass, density_g_cm3: material.density_g_cm3,
    metal: material.name, diameter_mm: null, axis: null }),
  outside: ({ name, at, mass, material }) => ({ name, at_mm: [...at], mass_g: mass, density_g_cm3: material.density_g_cm3,
    metal: material.name }),
  hook: ({ name, at, mass, material, hang }) => ({ name, eye_mm: [...at], mass_g: mass, density_g_cm3: material.density_g_cm3,
    metal: material.name, hang_mm: hang, size_up_g: null, sizes_g: [], eye_x_mm: null }),
};

/** Adds a part (ballast, outside, hook); returns it with its name made free. */
export function added(rig, kind, facts, also = []) {
  const list = LISTS[kind];
  const part = NEW[kind]({ ...facts, name: freeName(rig, facts.name, also) });
  return { ...rig, [list]: [...rig[list], part] };
}

export function removed(rig, { kind, index }) {
  const list = LISTS[kind];
  return { ...rig, [list]: rig[list].filter((_, i) => i !== index) };
}

// ---- History ----------------------------------------------------------------------------------

export function started(sheet, now = null) {
  return { sheet, past: [], now: now ?? sheet, future: [], gesture: null };
}

/** `gesture`: changes under one name follow each other as one step, until ended(). */
export function changed(history, rig, gesture = null) {
  if (same(rig, history.now)) return history;
  const goesOn = gesture !== null && gesture === history.gesture;
  const past = goesOn ? history.past : [...history.past, history.now].slice(-MOST_STEPS);
  return { ...history, past, now: rig, future: [], gesture };
}

/** The drag is over; where it came back to where it began there was none. */
export function ended(history) {
  const last = history.past.at(-1);
  const nothing = history.gesture !== null && last && same(last, history.now);
  return { ...history, gesture: null, past: nothing ? history.past.slice(0, -1) : history.past };
}

export function undone(history) {
  if (history.past.length === 0) return history;
  return { ...history, past: history.past.slice(0, -1), now: history.past.at(-1), future: [history.now, ...history.future], gesture: null };
}

export function redone(history) {
  if (history.future.length === 0) return history;
  return { ...history, past: [...history.past, history.now], now: history.future[0], future: history.future.slice(1), gesture: null };
}

// ---- Kept over a reload -----------------------------------------------------------------------

// FNV-1a, 32 bits: which sheet's changes these are.
function hashOf(text) {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; ++i) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(16);
}

export const keyOf = (sheet, file) => `trueblank live ${file} ${hashOf(JSON.stringify(sheet))}`;

function isRig(rig, sheet) {
  return rig !== null && typeof rig === 'object' && Object.keys(sheet).every((key) => key in rig) &&
    Object.values(LISTS).every((list) => Array.isArray(rig[list])) && rig.wood !== null && rig.water !== null &&
    heldParts(rig).every(({ part, at }) => typeof part.name === 'string' && Array.isArray(at) && at.length === 3 && at.every(Number.isFinite));
}

/** Storage may be shut (a private window, a browser's setting): then nothing is kept. */
export function keep(storage, key, history) {
  try {
    if (same(history.now, history.sheet)) storage().removeItem(key);
    else storage().setItem(key, JSON.stringify(history.now));
    return true;
  } catch {
    return false;
  }
}

export function kept(storage, key, sheet) {
  try {
    const rig = JSON.parse(storage().getItem(key));
    return isRig(rig, sheet) ? rig : null;
  } catch {
    return null;
  }
}
