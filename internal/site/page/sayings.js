// The shipped rules of thumb with what came of testing them.

import {el, byId, replace} from './dom.js';
import {ask} from './transport.js';

// A headline's first sentence says the strongest thing, the others the numbers.
const first = (text) => text.match(/^.*?[.!](?=\s+[A-Z]|$)|^.*$/s)[0];
const rest = (text) => text.slice(first(text).length).trim();

// show lists the sayings, those of the hold shown on the page first.
export async function show(catalogue, chosen) {
  const {sayings} = await ask('sayings', {});
  const part = byId('sayings-list');
  if (sayings.length === 0) {
    replace(part, el('p', null, 'None came with this page.'));
    return {follow() {}};
  }
  const holds = catalogue.holds.filter((h) => sayings.some((s) => s.hold === h.name));
  const verdicts = [...new Set(sayings.map((s) => s.verdict))].sort();
  const hold = el('select', {id: 'sayings-hold'}, el('option', {value: ''}, 'all holds'), holds.map((h) => el('option', {value: h.name}, h.title)));
  const verdict = el('select', {id: 'sayings-verdict'}, el('option', {value: ''}, 'any verdict'), verdicts.map((v) => el('option', {value: v}, v)));
  const list = el('ul', {class: 'sayings'});
  const count = el('p', {class: 'small', role: 'status'});
  const draw = () => {
    const shown = sayings.filter((s) => (!hold.value || s.hold === hold.value) && (!verdict.value || s.verdict === verdict.value));
    count.textContent = `${shown.length} of ${sayings.length}`;
    replace(list, shown.map((s) => el('li', {class: 'saying'},
      el('h3', null, s.page ? el('a', {href: s.page}, `“${s.says}”`) : `“${s.says}”`),
      el('p', {class: 'verdict'}, el('span', {class: 'mark', 'aria-hidden': 'true'}, s.mark), ' ', s.verdict),
      el('p', null, first(s.headline)),
      rest(s.headline) ? el('details', null, el('summary', null, 'In numbers'), el('p', null, rest(s.headline))) : null,
      s.for_whom ? el('p', {class: 'small'}, s.for_whom) : null,
      (s.models || []).length > 1 ? el('p', {class: 'small'}, s.models.map((m) => `${m.model}: ${m.verdict}`).join(' · ')) : null,
      el('p', {class: 'small'}, (catalogue.holds.find((h) => h.name === s.hold) || {title: s.hold}).title))));
  };
  hold.addEventListener('change', draw);
  verdict.addEventListener('change', draw);
  replace(part, el('div', {class: 'row'}, el('div', {class: 'field'}, el('label', {for: 'sayings-hold'}, 'About'), hold),
    el('div', {class: 'field'}, el('label', {for: 'sayings-verdict'}, 'Verdict'), verdict)), count, list);
  const follow = (name) => {
    hold.value = holds.some((h) => h.name === name) ? name : '';
    draw();
  };
  follow(chosen);
  return {follow};
}
