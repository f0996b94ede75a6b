// SPDX-License-Identifier: GPL-3.0-or-later
// Why it lies as it does, in plain words, from what the solver told: the stiffness with which it
// is held back up, where its metacentre is against its centre of mass, and what pulls it aside.
import { fixed } from '../numbers.js';

const DEG = 180 / Math.PI;
const BACK_UP_DEG = 1;
const REACH_MM = 20;

/** Moment of all masses about the centreline, g·mm; + pulls to the right. */
export const asideMoment = (laid) => laid.mass_g * laid.centre_of_mass_mm[1];

function endsAs(pose) {
  if (!pose || pose.indifferent) return 'It then rolls freely.';
  if (pose.list_deg === null) return 'It ends on end.';
  const list = Math.abs(pose.list_deg);
  if (list > 170) return 'It ends belly up.';
  if (list < BACK_UP_DEG) return 'It comes round to back up again.';
  return `It ends on its ${pose.list_deg > 0 ? 'right' : 'left'} side, listing ${fixed(list, 0)}°.`;
}

// By how much lower one part alone would have to lie for the upright stiffness to be nil again: of
// a lure held at its trim, m lower by d gives m·d of moment a radian (its waterplane stays).
function lower(laid, stiffness) {
  const wanted = -stiffness * DEG;
  return laid.mass_parts.filter((part) => ['ballast', 'outside', 'hook'].includes(part.kind) && part.mass_g > 0)
    .map((part) => ({ name: part.name, by: wanted / part.mass_g }))
    .filter((one) => one.by < REACH_MM).sort((a, b) => a.by - b.by).slice(0, 2);
}

function helpUpright(laid, stiffness) {
  const ways = lower(laid, stiffness).map((one) => `the ${one.name} about ${fixed(Math.max(one.by, 0.1), 1)} mm lower`);
  const first = ways.length > 0 ? `What helps: ${ways.join(', or ')}, brings it to the border; more makes it firm.` : 'What helps: more weight, and lower.';
  return `${first} Lighter wood helps too if the weight saved goes in low.`;
}

function helpAside(laid) {
  const moment = asideMoment(laid);
  const worst = laid.mass_parts.filter((part) => part.kind !== 'wood' && part.mass_g * part.centre_mm[1] * Math.sign(moment) > 1e-6)
    .sort((a, b) => Math.abs(b.mass_g * b.centre_mm[1]) - Math.abs(a.mass_g * a.centre_mm[1]))[0];
  const other = moment > 0 ? 'left' : 'right';
  if (!worst) return `What helps: some weight further to the ${other}.`;
  return `What helps: the ${worst.name}, or something else of its weight, ${fixed(Math.abs(moment) / worst.mass_g, 1)} mm further to the ${other}.`;
}

/** Sentences; none where it simply lies back up. rolls: it does not stay where it was set. */
export function reasons(laid, pose, standing) {
  if (!laid || !standing) return { rolls: false, says: [] };
  const stiffness = standing.upright_stiffness_g_mm_per_deg;
  const moment = asideMoment(laid);
  const side = moment > 0 ? 'right' : 'left';
  const aside = Math.abs(moment) / laid.mass_g > 0.02;
  if (!standing.stands && stiffness <= 0) {
    const gm = stiffness * DEG / laid.mass_g;
    return { rolls: true, says: [
      `It rolls over. Set on the water back up, its metacentre M lies ${fixed(Math.abs(gm), 1)} mm below its centre of mass G: ` +
      `each degree of list pushes it ${fixed(-stiffness, 2)} g·mm further over${aside ? `, and what it carries pulls to the ${side}` : ''}. ${endsAs(pose)}`,
      helpUpright(laid, stiffness)] };
  }
  if (!standing.stands) {
    return { rolls: true, says: [
      `It does not stay back up. It is held there by ${fixed(stiffness, 2)} g·mm a degree, but what it carries pulls ` +
      `${fixed(Math.abs(moment), 1)} g·mm to the ${side}. ${endsAs(pose)}`,
      aside ? helpAside(laid) : helpUpright(laid, stiffness)] };
  }
  if (pose && pose.list_deg !== null && Math.abs(pose.list_deg) >= BACK_UP_DEG && aside) {
    return { rolls: false, says: [
      `It leans: what it carries pulls ${fixed(Math.abs(moment), 1)} g·mm to the ${side}, and it is held by ` +
      `${fixed(stiffness, 2)} g·mm a degree.`, helpAside(laid)] };
  }
  return { rolls: false, says: [] };
}
