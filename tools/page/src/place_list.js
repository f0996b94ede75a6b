// SPDX-License-Identifier: GPL-3.0-or-later
// A list of places of the skin; a touch turns the body in the picture to one.
import { el } from './dom.js';

// From where a place is seen best, in the body frame.
function outward(place, at) {
  if (place === 'nose') return [-1, 0, 0];
  if (place === 'tail') return [1, 0, 0];
  if (place === 'back') return [0, 0.2, 1];
  if (place === 'belly') return [0, 0.2, -1];
  return [0, at[1] > 0 ? 1 : -1, 0.15];
}

/** places: each with name, place and at_mm. view(): the picture. told(place): what stands after its name. */
export function placeList(places, view, told) {
  const goTo = (place) => (event) => {
    event.preventDefault();
    view().face(place.at_mm, outward(place.place, place.at_mm));
    document.getElementById('body-picture').focus();
    document.getElementById('body').scrollIntoView({ behavior: 'smooth' });
  };
  return el('ol', { class: 'patches' }, places.map((place) => el('li', {},
    el('a', { href: '#body', onclick: goTo(place) }, place.name), ': ', told(place))));
}
