// SPDX-License-Identifier: GPL-3.0-or-later
// Puts the page together from the result (the JSON of the run), the scene (what only a picture
// needs) and the skin.
import { ballastPage } from './ballast.js';
import { comparePage } from './compare.js';
import { el, section } from './dom.js';
import { liveSection } from './live/live.js';
import { mirrorPage } from './mirror.js';
import { notebookPage } from './notebook.js';
import { checkPage, weighPage } from './plain.js';
import { unpackSkin } from './skin.js';
import { floatPage } from './water.js';

const PAGES = { check: checkPage, weigh: weighPage, mirror: mirrorPage, float: floatPage, ballast: ballastPage,
  compare: comparePage, notebook: notebookPage };
const QUESTIONS = {
  check: 'Is the scan usable?', weigh: 'What does it weigh?', mirror: 'Is it true?', float: 'How will it lie?', ballast: 'Which weight, where?',
  compare: 'Is the copy the body that was meant?', notebook: 'What was built, and did the water agree?',
};

function dataOf(id) {
  return document.getElementById(id)?.textContent ?? '';
}

function save(text, name) {
  const link = el('a', { href: URL.createObjectURL(new Blob([text], { type: 'application/json' })), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

function closing(result, scene, resultText) {
  return [
    result.warnings.length ? section('notes', 'Notes', result.warnings.map((line) => el('p', {}, line))) : null,
    section('cautions', 'Take care', el('ul', {}, scene.cautions.map((line) => el('li', {}, line)))),
    section('more', 'All figures',
      el('div', { class: 'row' },
        el('button', { type: 'button', id: 'save', onclick: () => save(resultText, `${scene.verb}.json`) }, 'Save the figures (JSON)'),
        el('button', { type: 'button', onclick: () => globalThis.print() }, 'Print')),
      el('details', {}, el('summary', {}, 'As the terminal told it'), el('pre', {}, scene.text)),
      el('details', {}, el('summary', {}, 'What this page is made with'), scene.notices.map((line) => el('p', {}, line)))),
  ];
}

// Paper can't be turned: still pictures stand in for the body.
function readyForPaper(view, letters, root) {
  globalThis.addEventListener('beforeprint', () => {
    const shown = letters.map((letter) => el('img', { src: view.still(letter), alt: `The body, view ${letter.toUpperCase()}` }));
    root.querySelector('.stills').replaceChildren(...shown);
  });
}

// Shown once something is changed.
function stillNote() {
  return el('p', { id: 'still-note', role: 'note' }, 'What follows is the sheet’s own build, before your changes.');
}

function start() {
  const resultText = dataOf('result');
  const result = JSON.parse(resultText);
  const scene = JSON.parse(dataOf('scene'));
  const root = document.getElementById('page');
  const skin = scene.skin ? unpackSkin(scene.skin, dataOf('skin')) : null;
  const page = PAGES[scene.verb](result, scene, skin);
  const live = scene.live && skin ? liveSection(result, scene, skin, { moduleText: dataOf('water-module'), workerText: dataOf('water-worker') }) : null;
  root.replaceChildren(
    el('header', {}, el('p', { class: 'question' }, QUESTIONS[scene.verb]), el('h1', {}, scene.title),
      el('p', { class: 'answer' }, scene.answer)),
    el('main', {}, live?.node, live ? stillNote() : null, page.parts.filter(Boolean), closing(result, scene, resultText)),
    el('footer', {}, el('p', {}, `Made by trueblank ${result.version} from ${result.input?.file ?? result.book}.`)));
  const view = page.start();
  if (page.stills.length > 0) readyForPaper(view, page.stills, root);
  root.dataset.ready = 'yes';
  globalThis.trueblank = { view, result, skin, live: live?.facts };
  // The still page first.
  if (live) requestAnimationFrame(() => setTimeout(live.begin));
}

start();
