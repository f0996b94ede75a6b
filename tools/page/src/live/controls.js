// SPDX-License-Identifier: GPL-3.0-or-later
// A quantity by slider, number and step buttons, and a choice from a list: the panel's controls.
import { el } from '../dom.js';
import { decimalsOf } from '../numbers.js';

let made = 0;

const plain = (value, decimals) => (Number.isFinite(value) ? String(Number(value.toFixed(decimals))) : '');

/**
 * facts: { name, unit, decimals, step(), slider: {low, high(), step} | null, change(value, live), done() }
 * Returns { node, show(value) }.
 */
export function quantity(facts) {
  const id = `live-q${++made}`;
  const { decimals } = facts;
  let value = NaN;
  const number = el('input', { type: 'number', id, step: 'any', inputmode: 'decimal', class: 'number',
    onchange: () => {
      const read = Number(number.value.replace(',', '.'));
      if (number.value.trim() === '' || !Number.isFinite(read)) {
        number.value = plain(value, decimals);
        return;
      }
      facts.change(read, false);
    } });
  const byStep = (count) => {
    // To the next whole step, as on a scale with marks.
    const step = facts.step();
    const places = decimalsOf(step) + 3;
    const at = value / step;
    const next = count > 0 ? Math.floor(at + 1e-6) + 1 : Math.ceil(at - 1e-6) - 1;
    facts.change(Number((next * step).toFixed(places)), false);
  };
  const button = (sign, count) => el('button', { type: 'button', class: 'step', 'aria-label': `${facts.name} ${count > 0 ? 'up' : 'down'} a step`,
    onclick: () => byStep(count) }, sign);
  const slider = facts.slider ? el('input', { type: 'range', 'aria-label': `${facts.name}, ${facts.unit}`, min: facts.slider.low, max: facts.slider.high(),
    step: facts.slider.step, oninput: () => facts.change(Number(slider.value), true), onchange: () => facts.done?.() }) : null;
  const node = el('div', { class: `quantity${slider ? ' wide-one' : ''}` }, el('label', { for: id }, facts.name, el('span', { class: 'small' }, ` ${facts.unit}`)),
    el('div', { class: 'entry' }, button('−', -1), number, button('+', 1)), slider);
  return {
    node,
    show(now) {
      value = now;
      if (document.activeElement !== number || number.dataset.told !== plain(now, decimals)) number.value = plain(now, decimals);
      number.dataset.told = plain(now, decimals);
      if (slider) {
        if (now > Number(slider.max)) slider.max = String(facts.slider.high());
        slider.value = String(now);
      }
    },
  };
}

/** options: [{value, text}]. change(value). */
export function choice(name, options, change) {
  const id = `live-c${++made}`;
  const select = el('select', { id, onchange: () => change(select.value) });
  const fill = (list) => select.replaceChildren(...list.map(({ value, text }) => el('option', { value }, text)));
  fill(options);
  return { node: el('div', { class: 'quantity' }, el('label', { for: id }, name), select),
    show(value, list) {
      if (list) fill(list);
      select.value = value;
    } };
}
