// What an answer says, put on the page: the large numbers, the words, where the
// body stands, what to measure next, what carries it, and all the rest.

import {el, byId, replace, svg} from './dom.js';

const middle = (range) => range && range.p50;

// quantityOf finds a quantity in what an answer says of a model.
export const quantityOf = (model, name) => model.quantities.find((q) => q.quantity === name);

// info describes a quantity by the catalogue.
export const info = (catalogue, name) => catalogue.quantities.find((q) => q.name === name) || {label: name, unit: '', meaning: ''};

// textsOf are the texts of a model of an answer, textOf those of one of its quantities.
const textsOf = (answer, model) => answer.texts.models[answer.summary.models.indexOf(model)];
const textOf = (answer, model, quantity) => textsOf(answer, model).quantities[model.quantities.indexOf(quantity)];

// tileNames are the quantities worth large type, the first largest.
function tileNames(model) {
  const wanted = ['hand_spacing', model.main_quantity, 'best_angle', 'difficulty', 'lean_angle', 'shoulder_moment', 'required_force', 'foot_share'];
  return [...new Set(wanted)].filter((name) => quantityOf(model, name)).slice(0, 4);
}

// tiles shows the numbers that people came for, of the second person too.
export function tiles(catalogue, answer, model, second) {
  const other = second && second.summary.models.find((m) => m.model === model.model);
  replace(byId('tiles'), tileNames(model).map((name, i) => {
    const q = quantityOf(model, name), what = info(catalogue, name), text = textOf(answer, model, q);
    const possible = middle(q.body_and_assumptions) !== null;
    return el('div', {class: i === 0 ? 'tile large' : 'tile', 'data-quantity': name},
      el('p', {class: 'tile-label'}, what.label),
      el('p', {class: 'tile-value'}, possible ? text.value : 'not possible'),
      possible ? el('p', {class: 'small'}, `${text.brief ? text.brief + ' · ' : ''}nine in ten: ${text.range}`) : null,
      other && quantityOf(other, name) ? el('p', {class: 'small other'}, el('span', {class: 'swatch second', 'aria-hidden': 'true'}), ' Second: ', el('strong', null, textOf(second, other, quantityOf(other, name)).value)) : null,
      el('p', {class: 'small meaning'}, what.meaning));
  }));
}

// words shows the sentences of an answer.
export function words(answer) {
  byId('reach').textContent = answer.words.reach;
  byId('reach').hidden = !answer.words.reach;
  byId('headline').textContent = answer.words.headline;
  const list = [...(answer.words.sentences || []), ...(answer.words.notes || [])];
  replace(byId('sentences'), list.map((s) => el('li', null, s.charAt(0).toUpperCase() + s.slice(1))));
  byId('sentences').hidden = list.length === 0;
}

// modelWords says what a model is and how the models differ.
export function modelWords(catalogue, answer, name) {
  const model = catalogue.models.find((m) => m.name === name);
  return [model ? model.meaning : '', ...(answer.words.models || [])].join(' ');
}

// strip is a line from 0 to 100 % with a dot, and a bar over what is not known of it.
function strip(share, low, high) {
  const g = svg('svg', {class: 'strip', viewBox: '0 0 200 24', 'aria-hidden': 'true'});
  g.append(svg('line', {class: 'rail', x1: 4, x2: 196, y1: 12, y2: 12}), svg('line', {class: 'half', x1: 100, x2: 100, y1: 5, y2: 19}),
    svg('line', {class: 'open', x1: 4 + 192 * low, x2: 4 + 192 * high, y1: 12, y2: 12}), svg('circle', {cx: 4 + 192 * share, cy: 12, r: 7}));
  return g;
}

// among shows where the body stands among people.
export function among(catalogue, answer, model) {
  const rows = [];
  const label = (name) => (catalogue.measurements.find((m) => m.name === name) || {label: name}).label;
  answer.summary.known.forEach((k, i) => {
    const text = answer.texts.known[i];
    if (k.percentile !== null) rows.push([label(k.measurement), text.value, {p5: k.percentile, p50: k.percentile, p95: k.percentile}, text.percentile, text.percentile_for_stature]);
  });
  for (const q of model.quantities) {
    if (q.percentile.p50 === null || ![model.main_quantity, 'hand_spacing', 'difficulty'].includes(q.quantity)) continue;
    const text = textOf(answer, model, q);
    rows.push([info(catalogue, q.quantity).label, text.value, q.percentile, text.percentile, '']);
  }
  const people = catalogue.people.find((p) => p.name === answer.summary.people);
  replace(byId('among'),
    el('p', {class: 'small'}, `Among ${people ? `${people.title}, ${people.count} of them` : answer.summary.people}. The 30th percentile: 30 of 100 have less. In brackets nine in ten of what is not known, the assumptions the same for everybody.`),
    rows.length === 0 ? el('p', null, 'Enter a measurement to see its place.')
      : el('table', {class: 'among'},
        el('thead', null, el('tr', null, el('th', {scope: 'col'}, 'What'), el('th', {scope: 'col'}, 'Value'), el('th', {scope: 'col'}, 'Percentile'))),
        el('tbody', null, rows.map(([what, value, at, percentile, forStature]) => el('tr', null, el('th', {scope: 'row'}, what), el('td', null, value),
          el('td', null, strip(at.p50, at.p5, at.p95), percentile, forStature ? el('span', {class: 'small'}, ` (${forStature} for the height)`) : null))))));
}

// next shows what measuring would narrow the answer most.
export function next(catalogue, answer, model, enter) {
  const main = quantityOf(model, model.main_quantity), texts = textsOf(answer, model).next;
  const plan = (model.measure_plan || []).length ? model.measure_plan : model.measure_next || [];
  byId('next-part').hidden = !texts;
  if (!texts) return;
  replace(byId('next'),
    texts.floor ? el('p', null, texts.floor) : null,
    plan.length === 0 ? null : el('p', null, texts.floor ? '' : `Nine in ten of what is not known of the ${info(catalogue, main.quantity).label.toLowerCase()} span ${texts.width}. `, 'One after the other, these narrow it most:'),
    plan.length === 0 ? null : el('ol', {class: 'plan'}, plan.slice(0, 3).map((g, i) => {
      const m = catalogue.measurements.find((m) => m.name === g.measure);
      return el('li', null, el('strong', null, m ? m.label : g.measure), g.width === null || texts.plan[i] === texts.width ? '. ' : ` to ${texts.plan[i]}. `,
        m ? el('span', {class: 'small'}, m.how + ' ') : null,
        m ? el('button', {type: 'button', class: 'quiet', onclick: () => enter(m.name)}, `Enter ${m.label.toLowerCase()}`) : null);
    })));
}

// carry shows the forces on pole, bar, floor and wall.
export function carry(answer) {
  const f = answer.summary.fixture;
  byId('carry-part').hidden = !f || f.forces.length === 0;
  if (!f) return;
  replace(byId('carry'),
    el('table', null, el('thead', null, el('tr', null, ['Where', 'Sideways', 'Up or down'].map((t) => el('th', {scope: 'col'}, t)))),
      el('tbody', null, f.forces.map((s, i) => el('tr', null, el('th', {scope: 'row'}, s.support),
        el('td', null, answer.texts.fixture[i].horizontal), el('td', null, answer.texts.fixture[i].vertical))))),
    answer.texts.tipping ? el('p', null, `Together they tip the pole about its foot with ${answer.texts.tipping}.`) : null,
    el('p', {class: 'small'}, 'On what holds you, at rest only and without a safety factor: swinging in, a slip or a second person can load it several times as much.'));
}

// all shows every quantity of every model as a table.
export function all(catalogue, answer) {
  const rows = answer.summary.models.flatMap((m) => m.quantities.map((q) => {
    const text = textOf(answer, m, q);
    return el('tr', null, el('th', {scope: 'row'}, info(catalogue, q.quantity).label), el('td', null, m.model),
      [text.value, text.own, text.range, text.from_body, text.percentile].map((t) => el('td', null, t)));
  }));
  replace(byId('all'), el('table', null,
    el('thead', null, el('tr', null, ['Quantity', 'Model', 'Median', 'In body weights', '5–95 %', 'Of the variance, from the body', 'Percentile'].map((t) => el('th', {scope: 'col'}, t)))),
    el('tbody', null, rows)));
}

// forces shows in a table what the picture shows.
export function forces(figure) {
  const rows = [];
  for (const s of figure.supports) rows.push([`Force on ${/^both /.test(s.name) ? '' : 'the '}${s.name}`, s.texts]);
  rows.push(['Weight', {weight: figure.texts.weight, other: '100\u00a0% of body weight', way: 'down'}]);
  for (const c of figure.carried) rows.push([c.text, c.texts]);
  for (const m of figure.moments) rows.push(['Moment at the ' + m.name, m.texts]);
  return el('details', {class: 'figures', open: true}, el('summary', null, 'The same in numbers'),
    el('div', null,
      el('table', null, el('thead', null, el('tr', null, ['What', 'How much', 'Which way'].map((t) => el('th', {scope: 'col'}, t)))),
        el('tbody', null, rows.map(([first, texts]) => el('tr', null, el('th', {scope: 'row'}, first),
          el('td', null, el('span', {class: 'whole'}, texts.weight), ' · ', el('span', {class: 'whole'}, texts.other)), el('td', null, texts.way)))))),
    el('p', {class: 'small'}, 'In equilibrium of the whole body; moments are on the part beyond the joint.'));
}
