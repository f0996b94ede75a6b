// SPDX-License-Identifier: GPL-3.0-or-later
// What a maker may do to a rig in the page, drawn at random.

const moved = (random, at, reach) => at.map((x, k) => x + (k === 1 ? 0.2 : 1) * random.within(-reach, reach));

function movePart(random, rig) {
  const list = random.one(['ballasts', 'hooks', 'outsides', 'pockets']);
  const part = random.one(rig[list]);
  if (!part) return;
  const key = part.eye_mm ? 'eye_mm' : 'at_mm';
  part[key] = moved(random, part[key], 5);
}

function changeMass(random, rig) {
  const part = random.one([...rig.ballasts, ...rig.hooks, ...rig.outsides]);
  if (part) part.mass_g *= random.within(0.4, 2);
}

function changeStuff(random, rig) {
  const part = random.one([...rig.ballasts, ...rig.outsides]);
  if (!part) return;
  const metal = random.one(rig.materials);
  Object.assign(part, random.chance(0.7) ? { metal: metal.name, density_g_cm3: metal.density_g_cm3 } : { metal: null, density_g_cm3: random.within(1.1, 19) });
}

function removePart(random, rig) {
  const list = random.one(['ballasts', 'hooks', 'outsides', 'pockets', 'wires']);
  if (rig[list].length > 0) rig[list].splice(random.whole(rig[list].length), 1);
}

function addWeight(random, rig) {
  const near = random.one([...rig.ballasts, ...rig.pockets]);
  const at_mm = near ? moved(random, near.at_mm, 2) : [random.within(55, 90), 0, random.within(-2, 2)];
  rig.ballasts.splice(random.whole(rig.ballasts.length + 1), 0,
    { name: `added "${random.whole(1e6)}" \\ ö`, at_mm, mass_g: random.within(0.5, 6), density_g_cm3: 11.34, metal: 'lead', diameter_mm: null, axis: null });
}

function addHook(random, rig) {
  rig.hooks.push({ name: `hook, added ${random.whole(1e6)}`, eye_mm: [random.within(20, 120), 0, random.within(-18, -8)], mass_g: random.within(2, 12),
    density_g_cm3: 7.85, metal: 'steel', hang_mm: random.within(0, 20), size_up_g: null, sizes_g: [], eye_x_mm: null });
}

function changeWood(random, rig) {
  const { balance_mm } = rig.wood;
  const bare = { kind: 'density', name: null, density_g_cm3: random.within(0.2, 0.8), weighed_g: null, left_g: null, right_g: null, balance_mm };
  const wood = random.one(rig.woods);
  rig.wood = random.one([bare, { ...bare, kind: 'species', name: wood.name, density_g_cm3: wood.density_g_cm3 },
    { ...bare, kind: 'weighed', weighed_g: random.within(12, 40), density_g_cm3: null }]);
}

function changeWater(random, rig) {
  const temperature_c = random.within(0, 28);
  rig.water = random.one([
    { kind: 'fresh', salinity: 0, temperature_c, density_g_cm3: null }, { kind: 'sea', salinity: 35, temperature_c, density_g_cm3: null },
    { kind: 'salinity', salinity: random.within(0, 38), temperature_c, density_g_cm3: null },
    { kind: 'density', salinity: 0, temperature_c, density_g_cm3: random.within(0.99, 1.04) }]);
}

function changeFinish(random, rig) {
  const coat = { thickness_mm: random.within(0.05, 0.7), density_g_cm3: 1.15, weighed_g: null };
  rig.finish = random.one([null, coat, { ...coat, density_g_cm3: null, weighed_g: random.within(1, 4) }]);
}

function renamePart(random, rig) {
  const part = random.one([...rig.ballasts, ...rig.hooks, ...rig.outsides, ...rig.pockets, ...rig.wires]);
  if (part) part.name = `"renamed" ${random.whole(1e6)}`;
}

const CHANGES = [movePart, movePart, movePart, changeMass, changeMass, changeStuff, removePart, addWeight, addHook, changeWood, changeWater,
  changeFinish, renamePart];

/** A copy of a rig with one to four changes. */
export function changedRig(random, live) {
  const rig = structuredClone(live);
  for (let left = 1 + random.whole(4); left > 0; --left) random.one(CHANGES)(random, rig);
  return rig;
}
