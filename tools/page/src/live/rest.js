// SPDX-License-Identifier: GPL-3.0-or-later
// All ways in which the changed build can lie, and how near it is to lying otherwise: what takes
// the solver longer, greyed while it is being reckoned.
import { el } from '../dom.js';
import { fixed, percent } from '../numbers.js';
import { poseWords } from '../pose_words.js';
import { hookLines, slopesTable } from '../water.js';

/** look(pose): shows the build let go from that pose. */
export function restPanel(look) {
  const ways = el('ul', { class: 'ways' });
  const near = el('div', { class: 'near' });
  const node = el('div', { class: 'live-rest waiting' },
    el('h3', {}, 'All ways in which it can lie'), el('p', { class: 'small' }, 'Each with the share of all starts that end there.'), ways,
    el('h3', {}, 'How near it is to lying otherwise'), near);
  let poses = null;

  function told(judged) {
    if (judged.fault || !judged.poses) return;
    poses = judged.poses;
    ways.replaceChildren(...poses.map((pose) => el('li', {},
      el('button', { type: 'button', class: 'way', onclick: () => look(pose) }, `${percent(pose.share)} %: ${poseWords(pose)}`),
      el('span', { class: 'small' }, ` least stiffness ${fixed(pose.least_stiffness_g_mm_per_deg, 2)} g·mm/°` +
        `${pose.barrier_g_mm === null || pose.barrier_g_mm === undefined ? '' : `; ${fixed(pose.barrier_g_mm, 1)} g·mm of work turn it out`}`))));
    if (judged.sensitivity === undefined) return;
    const table = slopesTable(judged.sensitivity);
    near.replaceChildren(...hookLines(judged.sensitivity).map((line) => el('p', {}, line)), ...(table ? [table] : []));
    node.classList.remove('waiting');
    node.dataset.told = String(Number(node.dataset.told ?? 0) + 1);
  }

  async function ask(water, rig) {
    node.classList.add('waiting');
    const judged = await water.judge(rig, told);
    if (judged) told({ sensitivity: null, ...judged });
  }
  return { node, ask, poses: () => poses };
}
