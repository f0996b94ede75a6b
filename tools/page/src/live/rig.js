// SPDX-License-Identifier: GPL-3.0-or-later
// Between a rig as the page holds it (a copy of scene.live) and the flat arrays of the solver
// (lib/live/live.h), and from its answers to objects with the names of the program's own JSON.
// NaN in an array is what was not said, or what there is none of: null in an object.

export const KINDS = ['wood', 'finish', 'wire', 'ballast', 'pocket', 'hook', 'outside'];
export const LISTS = { wire: 'wires', ballast: 'ballasts', pocket: 'pockets', hook: 'hooks', outside: 'outsides' };
const STATES = ['floats', 'suspends', 'sinks'];
const HOLE_AXES = ['along', 'across', 'upright'];
const AXES = ['x', 'y', 'z'];
const SEA_SALINITY = 35;
// What may be at fault beside a part.
const AT_FAULT = [...KINDS, 'water', 'baseline'];
// How many doubles one of each takes.
const POSE = 32;
const CELL = 7;

const orNaN = (value) => value ?? NaN;
const orNull = (value) => (Number.isNaN(value) ? null : value);
const truth = (value) => value === 1;

/** What the next size weighs; nothing where this one is no longer lighter. */
export const sizeUp = (hook) => (hook.size_up_g != null && hook.size_up_g > hook.mass_g ? hook.size_up_g : null);

/** The salinity that a kind of water stands for. */
export function salinityOf(water) {
  if (water.kind === 'fresh') return 0;
  return water.kind === 'sea' ? SEA_SALINITY : water.salinity ?? 0;
}

function packWood({ kind, density_g_cm3, weighed_g, left_g, right_g, balance_mm }) {
  if (kind === 'halves') return [2, left_g, right_g, orNaN(balance_mm)];
  if (kind === 'weighed') return [1, weighed_g, NaN, orNaN(balance_mm)];
  return [0, density_g_cm3, NaN, orNaN(balance_mm)];
}

function packFinish(finish) {
  if (!finish) return [NaN, NaN, NaN];
  return [finish.thickness_mm, orNaN(finish.density_g_cm3), orNaN(finish.weighed_g)];
}

function packWater(water) {
  return [salinityOf(water), orNaN(water.temperature_c), water.kind === 'density' ? water.density_g_cm3 : NaN];
}

const packWire = (wire) => [wire.density_g_cm3, wire.diameter_mm, orNaN(wire.weighed_g), wire.path_mm.length, ...wire.path_mm.flat()];
const packBallast = (part) => [...part.at_mm, part.mass_g, part.density_g_cm3];
const packPocket = (part) => [...part.at_mm, part.diameter_mm, part.depth_mm, HOLE_AXES.indexOf(part.axis),
  part.filled === 'density' ? part.filling_density_g_cm3 : 0, part.filled === 'water' ? 1 : 0];
const packHook = (part) => [...part.eye_mm, part.mass_g, part.density_g_cm3, part.hang_mm ?? 0, orNaN(sizeUp(part))];

/** A rig as the solver takes it. */
export function packRig(rig) {
  const line = rig.baseline ? [...rig.baseline.nose_mm, ...rig.baseline.tail_mm] : Array(6).fill(NaN);
  return Float64Array.from([
    ...packWood(rig.wood), ...packFinish(rig.finish), ...packWater(rig.water), ...line,
    rig.wires.length, rig.ballasts.length, rig.pockets.length, rig.hooks.length, rig.outsides.length,
    ...rig.wires.flatMap(packWire), ...rig.ballasts.flatMap(packBallast), ...rig.pockets.flatMap(packPocket),
    ...rig.hooks.flatMap(packHook), ...rig.outsides.flatMap(packBallast),
  ]);
}

/** Reads an answer from its first figure on. */
class Reader {
  constructor(answer, at = 2) {
    this.answer = answer;
    this.at = at;
  }

  number() { return this.answer[this.at++]; }

  maybe() { return orNull(this.number()); }

  flag() { return truth(this.number()); }

  point() { return [this.number(), this.number(), this.number()]; }

  times(count, read) { return Array.from({ length: count }, () => read(this)); }
}

/** The names of a rig's parts of one kind, one after the other. */
function namesInTurn(rig) {
  const next = {};
  return (kind) => {
    if (!LISTS[kind]) return kind;
    next[kind] = (next[kind] ?? -1) + 1;
    return rig[LISTS[kind]][next[kind]]?.name ?? kind;
  };
}

const isFilled = (pocket) => pocket.filled === 'water' || (pocket.filled === 'density' && pocket.filling_density_g_cm3 > 0);

// Of these only filled pockets weigh anything.
const thatWeighs = (rig) => ({ ...rig, pockets: rig.pockets.filter(isFilled) });

export const statusOf = (answer) => answer[1];

const WHY = [
  null,
  () => 'The rig could not be read.',
  (part) => `The centre of the ${part} would lie outside the body.`,
  (part) => `The middle of the ${part} would lie outside the body.`,
  (part) => `The ${part} would miss the body.`,
  () => 'So thick a coat folds over itself on this body.',
  () => 'The body lies on one side of its middle, so that it has no two halves.',
  (part) => `A number of the ${part} is out of range.`,
];

/** Why a rig was refused, in a sentence too; null where it was not. */
export function unpackFault(answer, rig) {
  const status = statusOf(answer);
  if (status === 0) return null;
  const kind = AT_FAULT[answer[2]] ?? null;
  const index = orNull(answer[3] ?? NaN);
  const name = rig[LISTS[kind]]?.[index]?.name ?? kind ?? 'rig';
  return { status, kind, index, why: (WHY[status] ?? WHY[1])(name) };
}

/** What lay() told. */
export function unpackLaid(answer, rig) {
  const from = new Reader(answer);
  const laid = {
    mass_g: from.number(), displacement_full_g: from.number(), reserve_g: from.number(), state: STATES[from.number()],
    centre_of_mass_mm: from.point(), wood_density_g_cm3: from.number(), undrilled_wood_g: from.number(),
    ratio_g_per_100g_wood: from.number(), ratio_without_hooks_g_per_100g_wood: from.number(),
    dry_mass_g: from.number(), dry_balance_mm: from.number(), blank_balance_mm: from.number(),
    water_density_g_cm3: from.number(), volume_mm3: from.number(), coated_volume_mm3: from.number(),
    mass_by_kind_g: Object.fromEntries(KINDS.map((kind) => [kind, from.number()])),
  };
  const name = namesInTurn(thatWeighs(rig));
  laid.mass_parts = from.times(from.number(), () => {
    const kind = KINDS[from.number()];
    return { name: name(kind), kind, mass_g: from.number(), centre_mm: from.point() };
  });
  return laid;
}

function readPose(from) {
  const begins = from.at;
  const pose = { up: from.point(), tail_down_deg: from.number(), list_deg: from.maybe() };
  const offset_mm = from.maybe();
  Object.assign(pose, {
    waterline: offset_mm === null ? null : { offset_mm },
    submerged_mm3: from.number(), centre_of_buoyancy_mm: from.point(), waterplane_mm2: from.number(),
    roll_stiffness_g_mm_per_deg: from.maybe(), pitch_stiffness_g_mm_per_deg: from.maybe(),
    least_stiffness_g_mm_per_deg: from.maybe(), list_stiffness_g_mm_per_deg: from.maybe(),
    gm_roll_mm: from.maybe(), gm_pitch_mm: from.maybe(), share: from.maybe(), indifferent: from.flag(),
    barrier_g_mm: from.maybe(), barrier_to: from.maybe(),
  });
  const barrier_up = from.point();
  pose.barrier_up = barrier_up.some(Number.isNaN) ? null : barrier_up;
  Object.assign(pose, {
    hardest_push_g_mm: from.maybe(), overturn_g_mm: from.maybe(), energy_g_mm: from.maybe(), tail_down_baseline_deg: from.maybe(),
  });
  from.at = begins + POSE;
  return pose;
}

/**
 * What pose() told: whether it stands as the hand sets it and why, and where it goes; pose null: not
 * found. moves: of each mass part, how much lower and how much further to the left it alone would
 * have to be.
 */
export function unpackPose(answer) {
  const from = new Reader(answer);
  const standing = { upright_stiffness_g_mm_per_deg: from.maybe(), stands: from.flag() };
  const pose = readPose(from);
  Object.assign(standing, { gm_mm: from.number(), aside_g_mm: from.number(),
    moves: from.times(from.number(), () => ({ lower_mm: from.number(), left_mm: from.number() })) });
  return { standing, pose: statusOf(answer) === 0 ? pose : null };
}

/** What balance() told: all rest poses. */
export function unpackPoses(answer) {
  const from = new Reader(answer);
  return from.times(from.number(), readPose);
}

function readSlope(from) {
  return {
    tail_down_deg: from.maybe(), list_deg: from.maybe(), reserve_g: from.maybe(), least_stiffness_g_mm_per_deg: from.maybe(),
    at_border: from.flag(),
  };
}

// Nothing is told of what can't be changed; of all else at least the reserve is.
const told = (slope) => (slope.reserve_g === null ? null : slope);

function readPartSlopes(from, name) {
  const kind = KINDS[from.number()];
  const per_g = told(readSlope(from));
  const [x, y, z] = from.times(3, readSlope);
  return { name: name(kind), kind, per_g, per_mm: told(x) && { x, y, z } };
}

function readHookChange(from, rig) {
  const name = rig.hooks[from.number()].name;
  const change = from.flag() ? 'size up' : 'lost';
  const told = { name, change, mass_g: from.number(), assumed: from.flag(), state: STATES[from.number()], reserve_g: from.number() };
  from.number();  // whether there is a pose: else there is no tail_down either
  return { ...told, tail_down_deg: from.maybe(), list_deg: from.maybe(), turns_deg: from.maybe(), rolls: from.flag() };
}

/** What slopes() told; null where there is no pose. */
export function unpackSlopes(answer, rig) {
  if (statusOf(answer) !== 0) return null;
  const from = new Reader(answer);
  const name = namesInTurn(rig);
  return {
    parts: from.times(from.number(), () => readPartSlopes(from, name)),
    wood_density_per_percent: readSlope(from),
    wood_per_g: readSlope(from),
    hooks: from.times(from.number(), () => readHookChange(from, rig)),
  };
}

/** What the solver is asked for a map of: a part's place on one axis by its mass. */
export function packWish({ kind, index, axis, from, to, mass_from, mass_to, n, m }) {
  return Float64Array.of(KINDS.indexOf(kind), index, AXES.indexOf(axis), from, to, n, mass_from, mass_to, m);
}

export const evenly = (from, to, count) =>
  Array.from({ length: count }, (_, i) => (i === count - 1 ? to : from + (to - from) * i / (count - 1)));

/** The two quantities of a map, and what they are in a rig. */
export function mapAxes(rig, wish, n, m) {
  const part = rig[LISTS[wish.kind]][wish.index];
  const place = (part.eye_mm ?? part.at_mm)?.[AXES.indexOf(wish.axis)] ?? null;
  return [
    { key: `${part.name}.${wish.axis}`, unit: 'mm', sheet_value: place, values: evenly(wish.from, wish.to, n) },
    { key: `${part.name}.mass`, unit: 'g', sheet_value: part.mass_g ?? null, values: evenly(wish.mass_from, wish.mass_to, m) },
  ];
}

/** What map() told, as the `sweep` of the program's JSON. */
export function unpackMap(answer, rig, wish) {
  const from = new Reader(answer);
  const [n, m] = [from.number(), from.number()];
  const map = {
    axes: mapAxes(rig, wish, n, m), state: [], reserve_g: [], tail_down_deg: [], list_deg: [], least_stiffness_g_mm_per_deg: [], stands: [],
  };
  for (let cell = 0; cell < n * m; ++cell, from.at = 4 + CELL * cell) {
    const isTold = from.flag();
    const stands = from.flag();
    const state = STATES[from.number()];
    map.stands.push(isTold ? stands : null);
    map.state.push(isTold ? state : null);
    const reserve = from.maybe();
    map.reserve_g.push(isTold ? reserve : null);
    for (const key of ['tail_down_deg', 'list_deg', 'least_stiffness_g_mm_per_deg']) map[key].push(from.maybe());
  }
  map.border = from.times(from.number(), () => from.times(from.number(), () => [from.number(), from.number()]));
  return map;
}
