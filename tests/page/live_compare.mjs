// SPDX-License-Identifier: GPL-3.0-or-later
// A page of the program taken apart, and what its own solver tells held against the program's JSON.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const sources = join(process.env.TRUEBLANK_SOURCE, 'tools/page/src');
const load = (name) => import(pathToFileURL(join(sources, name)));
const { unpackSkin } = await load('skin.js');
const { moduleBytes, openWater } = await load('live/water_module.js');
const { statusOf, unpackFault, unpackLaid, unpackMap, unpackPose, unpackPoses, unpackSlopes } = await load('live/rig.js');

const GRAMS = 1e-6;
const DEGREES = 1e-6;
const MILLIMETRES = 1e-6;
const RELATIVE = 1e-6;
// A share is told to a hundredth, from starts each of which may end on the other side of a ridge.
const SHARE = 0.01;

const element = (html, id) => new RegExp(`<script type="[^"]*" id="${id}">([^]*?)</script>`).exec(html)?.[1];

/** What a page carries: scene, skin, module. */
export function takenApart(path) {
  const html = readFileSync(path, 'utf8');
  const scene = JSON.parse(element(html, 'scene'));
  const moduleText = element(html, 'water-module');
  if (!moduleText?.trim()) throw new Error(`${path} carries no module.`);
  return { live: scene.live, skin: { ...unpackSkin(scene.skin, element(html, 'skin')), air: scene.live.air }, moduleText };
}

let compiled = null;

/** The solver of a page on its body. */
export async function waterOf({ skin, moduleText }) {
  if (compiled?.text !== moduleText) compiled = { text: moduleText, module: await WebAssembly.compile(await moduleBytes(moduleText)) };
  return openWater(compiled.module, skin);
}

/** All that the solver tells of a rig; { fault } where it refuses it. */
export function solved(water, rig) {
  const laid = water.lay(rig);
  if (statusOf(laid) !== 0) return { fault: unpackFault(laid, rig) };
  const told = { fault: null, ...unpackLaid(laid, rig), poses: unpackPoses(water.balance()) };
  return { ...told, sensitivity: unpackSlopes(water.slopes(), rig), upright: unpackPose(water.pose(null)) };
}

const apart = (a, b) => Math.hypot(...a.map((x, k) => x - b[k]));
const RAD = 180 / Math.PI;

/** Gathers what is off, and by how much each sort of figure at most. */
export class Differences {
  constructor() {
    this.wrong = [];
    this.most = {};
  }

  /** One figure; both null is right. */
  number(what, sort, ours, theirs, allowed) {
    if (ours === null || theirs === null || ours === undefined || theirs === undefined) {
      if ((ours ?? null) !== (theirs ?? null)) this.wrong.push(`${what}: ${ours} for ${theirs}`);
      return;
    }
    const off = Math.abs(ours - theirs);
    this.most[sort] = Math.max(this.most[sort] ?? 0, off / allowed(theirs));
    if (!(off <= allowed(theirs))) this.wrong.push(`${what}: ${ours} for ${theirs}`);
  }

  grams(what, ours, theirs) { this.number(what, 'g', ours, theirs, () => GRAMS); }

  mm(what, ours, theirs) { this.number(what, 'mm', ours, theirs, () => MILLIMETRES); }

  degrees(what, ours, theirs) {
    const turned = ours != null && theirs != null && Math.abs(ours - theirs) > 180 ? ours + 360 * Math.sign(theirs - ours) : ours;
    this.number(what, 'deg', turned, theirs, () => DEGREES);
  }

  /** A figure that is good to a millionth of itself, or of `scale` where it is near nil. */
  relative(what, ours, theirs, scale = 1e-3, sort = 'relative') {
    this.number(what, sort, ours, theirs, (value) => RELATIVE * Math.max(Math.abs(value), scale));
  }

  point(what, ours, theirs) {
    if (!ours || !theirs) return this.same(what, ours ?? null, theirs ?? null);
    return this.mm(what, apart(ours, theirs), 0);
  }

  way(what, ours, theirs) {
    if (!ours || !theirs) return this.same(what, ours ?? null, theirs ?? null);
    return this.degrees(what, RAD * apart(ours, theirs), 0);
  }

  same(what, ours, theirs) {
    if (JSON.stringify(ours) !== JSON.stringify(theirs)) this.wrong.push(`${what}: ${JSON.stringify(ours)} for ${JSON.stringify(theirs)}`);
  }
}

const STIFFNESSES = ['roll_stiffness_g_mm_per_deg', 'pitch_stiffness_g_mm_per_deg', 'least_stiffness_g_mm_per_deg', 'list_stiffness_g_mm_per_deg'];

function comparePose(found, what, ours, theirs) {
  found.same(`${what}.indifferent`, ours.indifferent, theirs.indifferent);
  found.way(`${what}.up`, ours.up, theirs.up);
  found.degrees(`${what}.tail_down`, ours.tail_down_deg, theirs.tail_down_deg);
  found.degrees(`${what}.list`, ours.list_deg, theirs.list_deg);
  found.mm(`${what}.waterline`, ours.waterline?.offset_mm ?? null, theirs.waterline?.offset_mm ?? null);
  found.relative(`${what}.submerged`, ours.submerged_mm3, theirs.submerged_mm3);
  found.point(`${what}.centre_of_buoyancy`, ours.centre_of_buoyancy_mm, theirs.centre_of_buoyancy_mm);
  found.relative(`${what}.waterplane`, ours.waterplane_mm2, theirs.waterplane_mm2, 1);
  for (const key of STIFFNESSES) found.relative(`${what}.${key}`, ours[key], theirs[key], 1, 'stiffness');
  for (const key of ['gm_roll_mm', 'gm_pitch_mm']) found.relative(`${what}.${key}`, ours[key], theirs[key], 1, 'stiffness');
  found.number(`${what}.share`, 'share', ours.share, theirs.share, () => SHARE);
  for (const key of ['barrier_g_mm', 'hardest_push_g_mm', 'overturn_g_mm']) found.relative(`${what}.${key}`, ours[key], theirs[key], 1, 'barrier');
  found.same(`${what}.barrier_to`, ours.barrier_to, theirs.barrier_to);
  if (theirs.tail_down_baseline_deg !== undefined) found.degrees(`${what}.baseline`, ours.tail_down_baseline_deg, theirs.tail_down_baseline_deg);
}

function compareParts(found, ours, theirs) {
  found.same('parts', ours.map(({ name, kind }) => [name, kind]), theirs.map(({ name, kind }) => [name, kind]));
  ours.forEach((part, i) => {
    found.grams(`${part.name}.mass`, part.mass_g, theirs[i]?.mass_g);
    found.point(`${part.name}.centre`, part.centre_mm, theirs[i]?.centre_mm);
  });
}

// A slope is a difference of two figures over a small step (0.1 mm, 0.1 g, 0.1 %): a tenth of the
// digits that the figures themselves have.
function compareSlope(found, what, ours, theirs) {
  if (!ours || !theirs) return found.same(what, ours ?? null, theirs ?? null);
  found.same(`${what}.at_border`, ours.at_border, theirs.at_border);
  for (const key of ['tail_down_deg', 'list_deg', 'reserve_g', 'least_stiffness_g_mm_per_deg']) {
    found.relative(`${what}.${key}`, ours[key], theirs[key], 10, 'slope');
  }
  return null;
}

function compareSensitivity(found, ours, theirs) {
  if (!ours || !theirs) return found.same('sensitivity', ours ?? null, theirs ?? null);
  found.same('slopes of', ours.parts.map(({ name, kind }) => [name, kind]), theirs.parts.map(({ name, kind }) => [name, kind]));
  ours.parts.forEach((part, i) => {
    compareSlope(found, `${part.name}.per_g`, part.per_g, theirs.parts[i]?.per_g);
    for (const axis of 'xyz') compareSlope(found, `${part.name}.per_mm.${axis}`, part.per_mm?.[axis], theirs.parts[i]?.per_mm?.[axis]);
  });
  for (const key of ['wood_density_per_percent', 'wood_per_g']) compareSlope(found, key, ours[key], theirs[key]);
  const told = ({ name, change, assumed, state, rolls }) => ({ name, change, assumed, state, rolls });
  found.same('hook changes', ours.hooks.map(told), theirs.hooks.map(told));
  ours.hooks.forEach((hook, i) => {
    const what = `${hook.name} ${hook.change}`;
    found.grams(`${what}.reserve`, hook.reserve_g, theirs.hooks[i]?.reserve_g);
    for (const key of ['tail_down_deg', 'list_deg', 'turns_deg']) found.degrees(`${what}.${key}`, hook[key], theirs.hooks[i]?.[key]);
  });
  return null;
}

/** The solver's answer held against the JSON of `float`. */
export function differences(ours, theirs) {
  const found = new Differences();
  if (ours.fault) {
    found.wrong.push(`refused: ${JSON.stringify(ours.fault)}`);
    return found;
  }
  for (const key of ['mass_g', 'displacement_full_g', 'reserve_g']) found.grams(key, ours[key], theirs[key]);
  found.same('state', ours.state, theirs.state);
  found.point('centre of mass', ours.centre_of_mass_mm, theirs.centre_of_mass_mm);
  found.relative('wet volume', ours.coated_volume_mm3, theirs.wet_volume_mm3);
  for (const key of ['ratio_g_per_100g_wood', 'ratio_without_hooks_g_per_100g_wood']) found.relative(key, ours[key], theirs[key], 1);
  found.mm('dry balance', ours.dry_balance_mm, theirs.bench.rigged_balance_station_mm);
  found.grams('dry mass', ours.dry_mass_g, theirs.bench.rigged_dry_mass_g);
  found.mm('blank balance', ours.blank_balance_mm, theirs.bench.blank_balance_station_mm);
  for (const [kind, grams] of Object.entries(ours.mass_by_kind_g)) found.grams(`all ${kind}`, grams, theirs.mass_by_kind_g[kind]);
  compareParts(found, ours.mass_parts, theirs.mass_parts);
  found.same('number of poses', ours.poses.length, theirs.poses.length);
  ours.poses.forEach((pose, i) => theirs.poses[i] && comparePose(found, `pose ${i}`, pose, theirs.poses[i]));
  compareSensitivity(found, ours.sensitivity, theirs.sensitivity);
  return found;
}

/** A map of the solver held against the JSON of `float --sweep` of the same two quantities. */
export function mapDifferences(water, rig, wish, theirs) {
  const found = new Differences();
  water.lay(rig);
  const ours = unpackMap(water.map({ ...wish, n: theirs.axes[0].values.length, m: theirs.axes[1].values.length }), rig, wish);
  for (const key of ['state', 'stands']) found.same(key, ours[key], theirs[key]);
  ours.axes.forEach(({ key, unit, values, sheet_value }, i) => {
    found.same(`axis ${i}`, [key, unit], [theirs.axes[i].key, theirs.axes[i].unit]);
    found.mm(`axis ${i} of the sheet`, sheet_value, theirs.axes[i].sheet_value);
    values.forEach((value, k) => found.mm(`axis ${i}, ${k}`, value, theirs.axes[i].values[k]));
  });
  theirs.reserve_g.forEach((reserve, k) => {
    found.grams(`reserve ${k}`, ours.reserve_g[k], reserve);
    for (const key of ['tail_down_deg', 'list_deg']) found.degrees(`${key} ${k}`, ours[key][k], theirs[key][k]);
    found.relative(`stiffness ${k}`, ours.least_stiffness_g_mm_per_deg[k], theirs.least_stiffness_g_mm_per_deg[k], 1, 'stiffness');
  });
  found.same('border lines', ours.border.map((line) => line.length), theirs.border.map((line) => line.length));
  // Where it stands no more is sought to a thousandth of a step, or better.
  ours.border.flat().forEach((point, k) => point.forEach((value, i) => {
    const { values } = theirs.axes[i];
    found.number(`border ${k}`, 'border', value, theirs.border.flat()[k]?.[i], () => 2e-3 * Math.abs(values[1] - values[0]));
  }));
  return found.wrong;
}
