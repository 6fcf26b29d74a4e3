// What an answer says, put on the page: the large numbers, the words, where the
// body stands, what to measure next, what carries it, and all the rest.

import {el, byId, replace, svg} from './dom.js';
import * as u from './units.js';

const middle = (range) => range && range.p50;

// quantityOf finds a quantity in what an answer says of a model.
export const quantityOf = (model, name) => model.quantities.find((q) => q.quantity === name);

// info describes a quantity by the catalogue.
export const info = (catalogue, name) => catalogue.quantities.find((q) => q.name === name) || {label: name, unit: '', meaning: ''};

// rangeText prints the 5–95 % range of a quantity with the assumptions drawn.
function rangeText(q, system) {
  const all = q.body_and_assumptions, absolute = q.body_and_assumptions_absolute || {};
  return u.joined(u.value(q.unit, all.p5, absolute.p5, system, true), u.value(q.unit, all.p95, absolute.p95, system, true));
}

const valueText = (q, system) => u.value(q.unit, middle(q.body_and_assumptions), middle(q.body_and_assumptions_absolute), system);

// tileNames are the quantities worth large type, the first largest.
function tileNames(model) {
  const wanted = ['hand_spacing', model.main_quantity, 'best_angle', 'difficulty', 'lean_angle', 'shoulder_moment', 'required_force', 'foot_share'];
  return [...new Set(wanted)].filter((name) => quantityOf(model, name)).slice(0, 4);
}

// tiles shows the numbers that people came for.
export function tiles(catalogue, model, system) {
  replace(byId('tiles'), tileNames(model).map((name, i) => {
    const q = quantityOf(model, name), what = info(catalogue, name);
    const possible = middle(q.body_and_assumptions) !== null;
    const weights = q.unit === 'BW' && q.absolute_unit ? `${u.number(middle(q.body_and_assumptions), 2)}\u00a0BW · ` : '';
    return el('div', {class: i === 0 ? 'tile large' : 'tile', 'data-quantity': name},
      el('p', {class: 'tile-label'}, what.label),
      el('p', {class: 'tile-value'}, possible ? valueText(q, system) : 'not possible'),
      possible ? el('p', {class: 'small'}, `${weights}5–95\u00a0%: ${rangeText(q, system)}`) : null,
      el('p', {class: 'small meaning'}, what.meaning));
  }));
}

// words shows the sentences of an answer.
export function words(answer) {
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

// strip is a line from 0 to 100 % with a dot.
function strip(share) {
  const g = svg('svg', {class: 'strip', viewBox: '0 0 200 24', 'aria-hidden': 'true'});
  g.append(svg('line', {class: 'rail', x1: 4, x2: 196, y1: 12, y2: 12}), svg('line', {class: 'half', x1: 100, x2: 100, y1: 5, y2: 19}),
    svg('circle', {cx: 4 + 192 * share, cy: 12, r: 7}));
  return g;
}

// among shows where the body stands among people.
export function among(catalogue, answer, model, system) {
  const rows = [];
  const label = (name) => (catalogue.measurements.find((m) => m.name === name) || {label: name}).label;
  for (const k of answer.summary.known) {
    if (k.percentile === null) continue;
    const text = k.unit === 'kg' ? u.mass(k.value, system) : u.height(k.value, system);
    rows.push([label(k.measurement), text, k.percentile, k.percentile_for_stature]);
  }
  for (const q of model.quantities) {
    if (q.percentile === null || q.percentile === undefined || ![model.main_quantity, 'hand_spacing', 'difficulty'].includes(q.quantity)) continue;
    rows.push([info(catalogue, q.quantity).label, u.value(q.unit, middle(q.body), middle(q.body_absolute), system), q.percentile, null]);
  }
  const people = catalogue.people.find((p) => p.name === answer.summary.people);
  replace(byId('among'),
    el('p', {class: 'small'}, `Among ${people ? `${people.title}, ${people.n.toLocaleString('en-GB')} of them` : answer.summary.people}. The 30th percentile: 30 of 100 have less.`),
    rows.length === 0 ? el('p', null, 'Enter a measurement to see its place.')
      : el('table', {class: 'among'},
        el('thead', null, el('tr', null, el('th', {scope: 'col'}, 'What'), el('th', {scope: 'col'}, 'Value'), el('th', {scope: 'col'}, 'Percentile'))),
        el('tbody', null, rows.map(([what, value, share, forStature]) => el('tr', null, el('th', {scope: 'row'}, what), el('td', null, value),
          el('td', null, strip(share), u.ordinal(share), forStature === null || forStature === undefined ? null : el('span', {class: 'small'}, ` (${u.ordinal(forStature)} for the height)`)))))));
}

// next shows what measuring would narrow the answer most.
export function next(catalogue, model, system, enter) {
  const main = quantityOf(model, model.main_quantity);
  const plan = (model.measure_plan || []).length ? model.measure_plan : model.measure_next || [];
  const width = main && main.body.p95 !== null ? main.body.p95 - main.body.p5 : null;
  byId('next-part').hidden = plan.length === 0 || width === null;
  if (plan.length === 0 || width === null) return;
  const ratio = main.body_absolute && width > 0 ? (main.body_absolute.p95 - main.body_absolute.p5) / width : null;
  const text = (w) => u.value(main.unit, w, ratio === null ? null : w * ratio, system);
  const all = main.body_and_assumptions;
  replace(byId('next'),
    el('p', null, `What is not measured of the body leaves a range of ${text(width)} in the ${info(catalogue, main.quantity).label.toLowerCase()}. One after the other, these narrow it most:`),
    el('ol', {class: 'plan'}, plan.slice(0, 3).map((g) => {
      const m = catalogue.measurements.find((m) => m.name === g.measure);
      return el('li', null, el('strong', null, m ? m.label : g.measure), g.width === null ? '' : ` to ${text(g.width)}. `,
        m ? el('span', {class: 'small'}, m.how + ' ') : null,
        m ? el('button', {type: 'button', class: 'quiet', onclick: () => enter(m.name)}, `Enter ${m.label.toLowerCase()}`) : null);
    })),
    el('p', {class: 'small'}, `With the assumptions the range is ${text(all.p95 - all.p5)}; no tape takes that part away (${u.share(main.variance_share_assumptions)} of the variance).`));
}

const newtons = (x, system) => (system === 'imperial' ? u.number(x / 4.4482216152605) + '\u00a0lbf' : u.number(x) + '\u00a0N');

// carry shows the forces on pole, bar, floor and wall.
export function carry(answer, system) {
  const f = answer.summary.fixture;
  byId('carry-part').hidden = !f || f.forces.length === 0;
  if (!f) return;
  const cell = (range, plus, minus) => {
    if (!range || range.p50 === null) return '–';
    const most = Math.max(Math.abs(range.p5), Math.abs(range.p95));
    if (most < 0.5) return 'nothing';
    const size = [range.p5, range.p50, range.p95].map(Math.abs).sort((a, b) => a - b);
    if (range.p5 < 0 && range.p95 > 0) return `${newtons(range.p50, system)} (${u.joined(newtons(range.p5, system), newtons(range.p95, system))}), ${plus} positive`;
    const [low, high] = [size[0], size[2]].map((x) => newtons(x, system));
    return `${newtons(Math.abs(range.p50), system)} ${range.p50 < 0 ? minus : plus}${low === high ? '' : ` (${u.joined(low, high)})`}`;
  };
  replace(byId('carry'),
    el('table', null, el('thead', null, el('tr', null, ['Where', 'Sideways', 'Up or down'].map((t) => el('th', {scope: 'col'}, t)))),
      el('tbody', null, f.forces.map((s) => el('tr', null, el('th', {scope: 'row'}, s.support),
        el('td', null, cell(s.horizontal_n, 'towards the body', 'away from the body')), el('td', null, cell(s.vertical_n, 'down', 'up')))))),
    f.overturning_nm && f.overturning_nm.p50 !== null
      ? el('p', null, `Together they tip the pole about its foot with ${u.moment(f.overturning_nm.p50, system)} (${u.joined(u.moment(f.overturning_nm.p5, system), u.moment(f.overturning_nm.p95, system))}).`) : null,
    el('p', {class: 'small'}, 'On what holds you, at rest only and without a safety factor: swinging in, a slip or a second person can load it several times as much.'));
}

// all shows every quantity of every model as a table.
export function all(catalogue, answer, system) {
  const rows = answer.summary.models.flatMap((m) => m.quantities.map((q) => {
    const what = info(catalogue, q.quantity);
    const own = q.unit === 'BW' || q.unit === 'BW·m' ? u.number(middle(q.body_and_assumptions), q.unit === 'BW' ? 3 : 4) + '\u00a0' + q.unit : '';
    return el('tr', null, el('th', {scope: 'row'}, what.label), el('td', null, m.model), el('td', null, valueText(q, system)), el('td', null, own),
      el('td', null, rangeText(q, system)), el('td', null, u.share(q.variance_share_body)), el('td', null, q.percentile === null || q.percentile === undefined ? '' : u.ordinal(q.percentile)));
  }));
  replace(byId('all'), el('table', null,
    el('thead', null, el('tr', null, ['Quantity', 'Model', 'Median', 'In body weights', '5–95 %', 'Of the variance, from the body', 'Percentile'].map((t) => el('th', {scope: 'col'}, t)))),
    el('tbody', null, rows)));
}

// forces shows in a table what the picture shows.
export function forces(figure, letters, system, weightNewtons) {
  const rows = [];
  const way = ([x, y]) => [Math.abs(x) < 0.5 ? '' : `${newtons(Math.abs(x), system)} to the ${x < 0 ? 'left' : 'right'}`, Math.abs(y) < 0.5 ? '' : `${newtons(Math.abs(y), system)} ${y < 0 ? 'down' : 'up'}`].filter(Boolean).join(', ');
  for (const s of figure.supports) rows.push([`Force on ${/^both /.test(s.name) ? '' : 'the '}${s.name}`, [u.force(Math.hypot(...s.newtons), system), `${u.number(s.bw, 2)}\u00a0BW`], way(s.newtons)]);
  rows.push(['Weight', [u.force(weightNewtons, system), '1\u00a0BW'], 'down']);
  figure.moments.forEach((m, i) => rows.push([(letters ? letters[i] + '  ' : '') + 'Moment at the ' + m.name, [u.moment(Math.abs(m.newtonMetres), system), `${u.number(Math.abs(m.value), 3)}\u00a0BW·m`], m.value < 0 ? 'clockwise' : 'counter\u00adclockwise']));
  return el('details', {class: 'figures', open: true}, el('summary', null, 'The same in numbers'),
    el('div', null,
      el('table', null, el('thead', null, el('tr', null, ['What', 'How much', 'Which way'].map((t) => el('th', {scope: 'col'}, t)))),
        el('tbody', null, rows.map(([first, much, way]) => el('tr', null, el('th', {scope: 'row'}, first),
          el('td', null, el('span', {class: 'whole'}, much[0]), ' · ', el('span', {class: 'whole'}, much[1])), el('td', null, way)))))),
    el('p', {class: 'small'}, 'In equilibrium of the whole body; moments are on the part beyond the joint.'));
}
