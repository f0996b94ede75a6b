// SPDX-License-Identifier: GPL-3.0-or-later
// Why it lies as it does, in plain words, from what the solver told: the stiffness with which it
// is held back up, where its metacentre is against its centre of mass, and what pulls it aside.
import { fixed } from '../numbers.js';

const BACK_UP_DEG = 1;
const REACH_MM = 20;
const LEVEL_MM = 0.02;  // so far off the middle G counts as on it

function endsAs(pose) {
  if (!pose || pose.indifferent) return 'It then rolls freely.';
  if (pose.list_deg === null) return 'It ends on end.';
  const list = Math.abs(pose.list_deg);
  if (list > 170) return 'It ends belly up.';
  if (list < BACK_UP_DEG) return 'It comes round to back up again.';
  return `It ends on its ${pose.list_deg > 0 ? 'right' : 'left'} side, listing ${fixed(list, 0)}°.`;
}

// What can be moved, with how far it alone would have to be.
const movable = (laid, standing) => laid.mass_parts.map((part, i) => ({ ...part, ...standing.moves[i] })).filter((part) => part.kind !== 'wood');

// The parts that need go least lower for it to stand again.
function lower(laid, standing) {
  return movable(laid, standing).filter((part) => ['ballast', 'outside', 'hook'].includes(part.kind))
    .map((part) => ({ name: part.name, by: part.lower_mm }))
    .filter((one) => one.by < REACH_MM).sort((a, b) => a.by - b.by).slice(0, 2);
}

function helpUpright(laid, standing) {
  const ways = lower(laid, standing).map((one) => `the ${one.name} about ${fixed(Math.max(one.by, 0.1), 1)} mm lower`);
  const first = ways.length > 0 ? `What helps: ${ways.join(', or ')}, brings it to the border; more makes it firm.` : 'What helps: more weight, and lower.';
  return `${first} Lighter wood helps too if the weight saved goes in low.`;
}

function helpAside(laid, standing) {
  const moment = standing.aside_g_mm;
  // The one that pulls most.
  const pull = (part) => part.mass_g * part.centre_mm[1] * Math.sign(moment);
  const worst = movable(laid, standing).filter((part) => pull(part) > 1e-6).sort((a, b) => pull(b) - pull(a))[0];
  const other = moment > 0 ? 'left' : 'right';
  if (!worst) return `What helps: some weight further to the ${other}.`;
  return `What helps: the ${worst.name}, or something else of its weight, ${fixed(Math.abs(worst.left_mm), 1)} mm further to the ${other}.`;
}

/** Sentences; none where it simply lies back up. rolls: it does not stay where it was set. */
export function reasons(laid, pose, standing) {
  if (!laid || !standing) return { rolls: false, says: [] };
  const stiffness = standing.upright_stiffness_g_mm_per_deg;
  const moment = standing.aside_g_mm;
  const side = moment > 0 ? 'right' : 'left';
  const aside = Math.abs(laid.centre_of_mass_mm[1]) > LEVEL_MM;
  if (!standing.stands && stiffness <= 0) {
    return { rolls: true, says: [
      `It rolls over. Set on the water back up, its metacentre M lies ${fixed(Math.abs(standing.gm_mm), 1)} mm below its centre of mass G: ` +
      `each degree of list pushes it ${fixed(-stiffness, 2)} g·mm further over${aside ? `, and what it carries pulls to the ${side}` : ''}. ${endsAs(pose)}`,
      helpUpright(laid, standing)] };
  }
  if (!standing.stands) {
    return { rolls: true, says: [
      `It does not stay back up. It is held there by ${fixed(stiffness, 2)} g·mm a degree, but what it carries pulls ` +
      `${fixed(Math.abs(moment), 1)} g·mm to the ${side}. ${endsAs(pose)}`,
      aside ? helpAside(laid, standing) : helpUpright(laid, standing)] };
  }
  if (pose && pose.list_deg !== null && Math.abs(pose.list_deg) >= BACK_UP_DEG && aside) {
    return { rolls: false, says: [
      `It leans: what it carries pulls ${fixed(Math.abs(moment), 1)} g·mm to the ${side}, and it is held by ` +
      `${fixed(stiffness, 2)} g·mm a degree.`, helpAside(laid, standing)] };
  }
  return { rolls: false, says: [] };
}
