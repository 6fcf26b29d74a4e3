// The card to print: the one that the command makes of a club's athletes.

import {el, replace} from './dom.js';

// show puts a card into its part of the page. picture is null where nothing is drawn.
export function show(part, {texts: t}, size, picture, version) {
  part.className = size;
  replace(part, el('h2', null, t.title), el('p', {class: 'under'}, t.under), picture ? el('div', {class: 'drawing'}, picture) : null,
    t.steps.length ? el('div', null, el('h3', null, t.above), el('table', null, el('tbody', null, t.steps.map((s) => el('tr', null, el('th', {scope: 'row'}, s.name), el('td', null, s.text)))))) : null,
    t.tests.length ? el('table', null, el('thead', null, el('tr', null, t.tests[0].map((c) => el('th', {scope: 'col'}, c)))),
      el('tbody', null, t.tests.slice(1).map(([of, ...cells]) => el('tr', null, el('th', {scope: 'row'}, of), cells.map((c) => el('td', null, c)))))) : null,
    t.below ? el('p', null, t.below) : null,
    t.says.map((s) => el('p', null, el('strong', null, s.of), ' ', s.text)),
    el('p', {class: 'foot'}, t.foot, ' Version ', version, '.'));
}
