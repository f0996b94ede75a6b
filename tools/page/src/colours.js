// SPDX-License-Identifier: GPL-3.0-or-later
// Colours of the maps. Deviation: ColorBrewer PuOr, 11 classes (Cynthia A. Brewer, The
// Pennsylvania State University), proud towards brown, shy towards purple, read off smoothly
// between the classes. It keeps its sign for red-green blindness.

const PUOR = ['7F3B08', 'B35806', 'E08214', 'FDB863', 'FEE0B6', 'F7F7F7', 'D8DAEB', 'B2ABD2',
  '8073AC', '542788', '2D004B'].map((hex) => [0, 2, 4].map((i) => parseInt(hex.slice(i, i + 2), 16)));

export const MADE_UP = [150, 150, 150];
export const WOOD = [222, 205, 178];
export const EXPLAINED = [247, 247, 247];

function between(list, at) {
  const place = Math.min(Math.max(at, 0), 1) * (list.length - 1);
  const low = Math.min(Math.floor(place), list.length - 2);
  return list[low].map((value, k) => value + (list[low + 1][k] - value) * (place - low));
}

/** share: deviation over the scale's end, −1 to 1. */
export const deviationColour = (share) => between(PUOR, 0.5 - 0.5 * share);

/** share: depth over the scale's end, 0 to 1. */
export const depthColour = (share) => between(PUOR.slice(0, 6).reverse(), share);

export const css = ([r, g, b]) => `rgb(${Math.round(r)},${Math.round(g)},${Math.round(b)})`;
