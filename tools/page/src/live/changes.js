// SPDX-License-Identifier: GPL-3.0-or-later
// What was changed against the sheet, in lines.
import { fixed } from '../numbers.js';
import { placeWords } from './place_words.js';
import { LISTS } from './rig.js';
import { placeOf, same } from './state.js';

const METRIC = { inches: false };

function woodWords({ kind, name, density_g_cm3: density, weighed_g: weighed }) {
  if (kind === 'species') return `${name}, ${fixed(density, 3)} g/cm³`;
  if (kind === 'weighed') return `a blank of ${fixed(weighed, 1)} g`;
  return kind === 'halves' ? 'two halves, weighed' : `${fixed(density, 3)} g/cm³`;
}

function waterWords({ kind, temperature_c: warmth, salinity, density_g_cm3: density }) {
  if (kind === 'density') return `${fixed(density, 4)} g/cm³`;
  return `${kind === 'salinity' ? `salinity ${fixed(salinity, 0)}` : kind}, ${fixed(warmth, 1)} °C`;
}

const coatWords = (finish) => (finish ? `${fixed(finish.thickness_mm, 2)} mm thick` : 'none');

function partLine(kind, before, now) {
  const changes = [];
  if (before.mass_g !== now.mass_g) changes.push(`${fixed(now.mass_g, 2)} g (sheet ${fixed(before.mass_g, 2)} g)`);
  if (before.density_g_cm3 !== now.density_g_cm3) changes.push(`of ${now.metal ?? `${fixed(now.density_g_cm3, 2)} g/cm³`}`);
  if (kind !== 'wire' && !same(placeOf(kind, before), placeOf(kind, now))) {
    changes.push(`at ${placeWords(placeOf(kind, now), METRIC)} (sheet ${placeWords(placeOf(kind, before), METRIC)})`);
  }
  return `${now.name}: ${changes.join(', ') || 'otherwise made'}.`;
}

export function changeLines(sheet, rig) {
  const lines = [];
  for (const [kind, list] of Object.entries(LISTS)) {
    for (const part of rig[list]) {
      const before = sheet[list].find((one) => one.name === part.name);
      if (!before) lines.push(`${part.name}: new, ${part.mass_g === undefined ? '' : `${fixed(part.mass_g, 2)} g `}at ${placeWords(placeOf(kind, part), METRIC)}.`);
      else if (!same(before, part)) lines.push(partLine(kind, before, part));
    }
    for (const part of sheet[list]) {
      if (!rig[list].some((one) => one.name === part.name)) lines.push(`${part.name}: taken out.`);
    }
  }
  if (!same(sheet.wood, rig.wood)) lines.push(`Wood: ${woodWords(rig.wood)} (sheet ${woodWords(sheet.wood)}).`);
  if (!same(sheet.water, rig.water)) lines.push(`Water: ${waterWords(rig.water)} (sheet ${waterWords(sheet.water)}).`);
  if (!same(sheet.finish, rig.finish)) lines.push(`Finish: ${coatWords(rig.finish)} (sheet ${coatWords(sheet.finish)}).`);
  return lines;
}
