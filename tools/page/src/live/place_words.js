// SPDX-License-Identifier: GPL-3.0-or-later
// A place on the bench in words.
import { fixed, signed } from '../numbers.js';

export const INCH_MM = 25.4;

/** What a place is called on the bench: stations from the nose, in the ruler's unit. */
export function placeWords(at, units) {
  const say = (mm) => (units.inches ? `${fixed(mm / INCH_MM, 2)} in` : `${fixed(mm, 1)} mm`);
  const aside = Math.abs(at[1]) < 0.05 ? '' : `, ${say(Math.abs(at[1]))} to the ${at[1] > 0 ? 'right' : 'left'}`;
  return `${say(at[0])} from the nose, height ${units.inches ? `${signed(at[2] / INCH_MM, 2)} in` : `${signed(at[2], 1)} mm`}${aside}`;
}

/** Of the part in hand, with its height from the skin. spans: of inside.js. */
export function heldPlaceWords(at, spans, units) {
  const say = (mm) => (units.inches ? `${fixed(mm / INCH_MM, 2)} in` : `${fixed(mm, 1)} mm`);
  const here = spans(at[0], at[1]);
  const belly = here.length === 0 ? '' : at[2] >= here[0][0] ? `, ${say(at[2] - here[0][0])} above the belly` : `, ${say(here[0][0] - at[2])} below the belly`;
  const aside = Math.abs(at[1]) < 0.05 ? '' : `, ${say(Math.abs(at[1]))} to the ${at[1] > 0 ? 'right' : 'left'}`;
  return `${say(at[0])} from the nose${belly}${aside}.`;
}
