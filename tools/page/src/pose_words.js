// SPDX-License-Identifier: GPL-3.0-or-later
// A rest pose in words.
import { fixed } from './numbers.js';

export function poseWords(pose) {
  const trim = pose.tail_down_deg >= 0 ? `tail ${fixed(pose.tail_down_deg, 1)}° down` : `nose ${fixed(-pose.tail_down_deg, 1)}° down`;
  if (pose.indifferent) return `rolls freely, ${trim}`;
  if (pose.list_deg === null) return `on end, ${trim}`;
  const list = Math.abs(pose.list_deg);
  if (list < 0.05) return `back up, ${trim}`;
  if (list > 179.95) return `belly up, ${trim}`;
  return `list ${fixed(list, 1)}°, ${pose.list_deg > 0 ? 'right' : 'left'} flank down, ${trim}`;
}
