// SPDX-License-Identifier: GPL-3.0-or-later
// Small hands for making elements. Text always goes in as text, never as markup.

const SVG = 'http://www.w3.org/2000/svg';

function filled(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : String(value));
  }
  for (const child of children.flat(9)) {
    if (child === undefined || child === null || child === false) continue;
    node.append(child instanceof Node ? child : String(child));
  }
  return node;
}

export function el(name, attributes, ...children) {
  return filled(document.createElement(name), attributes, children);
}

export function svg(name, attributes, ...children) {
  return filled(document.createElementNS(SVG, name), attributes, children);
}

/** A picture drawn with lines, with its text alternative. */
export function drawing(width, height, title, attributes, ...children) {
  return svg('svg', { viewBox: `0 0 ${width} ${height}`, role: 'img', 'aria-label': title, ...attributes },
    svg('title', {}, title), ...children);
}

export function section(id, heading, ...children) {
  return el('section', { id, 'aria-labelledby': `${id}-heading` },
    el('h2', { id: `${id}-heading` }, heading), ...children);
}

const broad = globalThis.matchMedia('(min-width: 44rem)');

/** A drawing for the room there is: `render(narrow)` is called again when that changes. */
export function fitting(render) {
  const place = el('div', { class: 'fitting' });
  const draw = () => place.replaceChildren(...[render(!broad.matches)].flat().filter(Boolean));
  broad.addEventListener('change', draw);
  draw();
  return place;
}

/** rows: lists of cells; the first of each is its row's heading. */
export function table(caption, heads, rows) {
  return el('div', { class: 'wide', tabindex: '0', role: 'region', 'aria-label': caption },
    el('table', {},
      el('caption', {}, caption),
      el('thead', {}, el('tr', {}, heads.map((head) => el('th', { scope: 'col' }, head)))),
      el('tbody', {}, rows.map((cells) => el('tr', {}, cells.map((cell, i) =>
        i === 0 ? el('th', { scope: 'row' }, cell) : el('td', {}, cell)))))));
}
