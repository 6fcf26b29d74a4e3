// What if: one thing about the body or the posture changed, before and after.
// The picture beside it shows the changed body laid over.

import {el, svg, byId, replace} from './dom.js';
import {info} from './see.js';

// sliders are the changes of a body by one number: [name, label, most, unit]. They are
// kept in centimetres or per cent.
const sliders = (catalogue) => catalogue.changes.map((c) => [c.name, c.label, round(100 * c.most, 3), c.kind === 'length' ? 'cm' : '%']);

// typed is a quantity as a request has it.
const typed = (x, unit) => `${x} ${unit}`;

export class WhatIf {
  constructor(catalogue, state, changed) {
    Object.assign(this, {catalogue, state, changed: () => { this.shown = this.key(); this.offer(); changed(); }});
    byId('change').addEventListener('submit', (e) => e.preventDefault());
    this.draw();
  }

  // key is what the fields show.
  key() {
    const {units, hold, change, masses, loads} = this.state;
    return JSON.stringify([units, hold, change, masses, loads]);
  }

  // follow draws the fields anew where they show something else than the state has: those
  // that do not change stay under the finger that moves them.
  follow() {
    if (this.shown !== this.key()) this.draw();
  }

  draw() {
    const s = this.state, c = this.catalogue;
    const hold = c.holds.find((h) => h.name === s.hold) || c.holds[0];
    const units = c.units.find((u) => u.system === s.units);
    const parts = sliders(c).map(([name, label, most, unit]) => this.slider({
      id: 'change-' + name, label, ...(unit === 'cm' ? {unit: units.length.unit, factor: units.length.size / 0.01} : {unit, factor: 1}),
      least: -most, most, step: unit === 'cm' && units.length.unit !== unit ? 0.25 : 0.5,
      get: () => Number(s.change[name] || 0), set: (x) => { if (x) s.change[name] = String(round(x, 3)); else delete s.change[name]; },
    }));
    const masses = s.masses.length ? s.masses : [{}];
    const mass = masses.map((m, i) => {
      const region = el('select', {id: `mass-${i}-region`, onchange: (e) => { keep(); m.region = e.target.value; this.changed(); }},
        c.mass_regions.map((r) => el('option', {value: r.name}, r.label)));
      const keep = () => { if (!s.masses.includes(m)) s.masses.push(m); };
      region.value = m.region || (c.mass_regions.find((r) => r.name === 'trunk') || c.mass_regions[0]).name;
      return el('fieldset', {class: 'mass'}, el('legend', null, masses.length > 1 ? `Mass ${i + 1}` : 'Mass put on or lost'),
        el('div', {class: 'field'}, el('label', {for: `mass-${i}-region`}, 'Where'), region),
        this.slider({id: `mass-${i}-kilograms`, label: 'How much', unit: units.mass.unit, factor: units.mass.size, least: -10, most: 10, step: 0.5,
          get: () => Number(m.kilograms || 0), set: (x) => { keep(); m.region = region.value; m.kilograms = x ? String(round(x, 3)) : ''; }}),
        this.slider({id: `mass-${i}-working`, label: 'of which muscle that works in the hold', unit: '%', factor: 1, least: 0, most: 100, step: 5,
          get: () => Number(m.working || 0), set: (x) => { keep(); m.region = region.value; m.working = x ? String(x) : ''; }}));
    });
    const loads = s.loads.length ? s.loads : [{}];
    const load = loads.map((l, i) => {
      const keep = () => { l.point = point.value; if (!s.loads.includes(l)) s.loads.push(l); };
      const point = el('select', {id: `load-${i}-point`, onchange: () => { keep(); this.changed(); }}, c.points.map((p) => el('option', {value: p.name}, p.label)));
      point.value = l.point || (c.points.find((p) => p.name === 'hips') || c.points[0]).name;
      return el('fieldset', {class: 'mass'}, el('legend', null, loads.length > 1 ? `Load ${i + 1}` : 'Carried, or with a minus taken off by a band'),
        el('div', {class: 'field'}, el('label', {for: `load-${i}-point`}, 'Where'), point),
        this.slider({id: `load-${i}-kilograms`, label: 'How much, of limbs on both together', unit: units.mass.unit, factor: units.mass.size, least: -40, most: 40, step: 0.5,
          get: () => Number(l.kilograms || 0), set: (x) => { keep(); l.kilograms = x ? String(round(x, 3)) : ''; }}));
    });
    const legs = hold.legs.length > 1 ? [
      el('div', {class: 'field'}, el('label', {for: 'change-legs'}, 'Legs'), (() => {
        const select = el('select', {id: 'change-legs', onchange: (e) => { s.change.legs = e.target.value; if (!e.target.value) delete s.change.legs; this.draw(); byId('change-legs').focus(); this.changed(); }},
          el('option', {value: ''}, 'as they are'), hold.legs.map((l) => el('option', {value: l.name}, l.label)));
        if (!hold.legs.some((l) => l.name === s.change.legs)) delete s.change.legs;
        select.value = s.change.legs || '';
        return select;
      })()),
      s.change.legs === 'straddle' ? this.slider({id: 'change-straddle', label: 'Each leg opened by', unit: '°', factor: 1, least: 0, most: 90, step: 5,
        get: () => Number(s.change.straddle || 40), set: (x) => { s.change.straddle = String(x); }}) : null,
    ] : null;
    const more = byId('change-more'), open = more ? more.open : s.masses.length + s.loads.length > 0 || Boolean(s.change.legs);
    replace(byId('change'), parts.slice(0, 3), el('details', {id: 'change-more', open}, el('summary', null, 'Other changes: hands, size, mass, load, legs'), parts.slice(3), mass,
      el('button', {type: 'button', class: 'quiet', id: 'another-mass', onclick: () => { s.masses.push({}); this.draw(); byId(`mass-${s.masses.length - 1}-region`).focus(); }}, 'Another mass'),
      load,
      el('button', {type: 'button', class: 'quiet', id: 'another-load', onclick: () => { s.loads.push({}); this.draw(); byId(`load-${s.loads.length - 1}-point`).focus(); }}, 'Another load'),
      legs),
      el('button', {type: 'button', class: 'quiet', id: 'change-none', onclick: () => { s.change = {}; s.masses = []; s.loads = []; this.draw(); this.changed(); byId('change-none').focus(); }}, 'Back to no change'));
    this.shown = this.key();
    this.offer();
  }

  // offer shows the buttons for one more of what there is some of already.
  offer() {
    for (const [id, list] of [['another-mass', this.state.masses], ['another-load', this.state.loads]]) byId(id).hidden = list.length === 0 || list.length > 3;
  }

  // slider is a range with a number beside it, in the unit shown.
  slider({id, label, unit, factor, least, most, step, get, set}) {
    const low = round(least / factor, 1), high = round(most / factor, 1);
    const shown = () => round(get() / factor, 2);
    const range = el('input', {type: 'range', id, min: low, max: high, step, oninput: () => { number.value = range.value; set(Number(range.value) * factor); this.changed(); }});
    const number = el('input', {type: 'text', inputmode: least < 0 ? 'text' : 'decimal', id: id + '-number', 'aria-label': `${label}, ${unit}`, maxlength: 12, oninput: () => {
      const text = number.value.trim().replace(',', '.').replace('−', '-'), x = Number(text);
      const fine = text !== '' && Number.isFinite(x) && x >= low && x <= high;
      number.setAttribute('aria-invalid', String(!fine));
      if (!fine) return;
      range.value = x;
      set(x * factor);
      this.changed();
    }});
    range.value = shown();
    number.value = shown();
    return el('div', {class: 'field slide'}, el('label', {for: id}, label), range, number, el('span', {class: 'unit', 'aria-hidden': 'true'}, unit));
  }

  // request is the change as the question wants it, or null for none.
  request() {
    const s = this.state, change = {};
    for (const [name, , , unit] of sliders(this.catalogue)) {
      const x = Number(s.change[name]);
      if (x) change[name] = (x > 0 ? '+' : '') + typed(x, unit);
    }
    const mass = s.masses.filter((m) => Number(m.kilograms)).map((m) => ({region: m.region || 'trunk', kilograms: typed(m.kilograms, 'kg'), working_share: Number(m.working || 0) / 100}));
    if (mass.length) change.mass = mass;
    const load = {};
    for (const l of s.loads) {
      const x = Number(l.kilograms);
      if (x) load[l.point || 'hips'] = typed(round(x + (parseFloat(load[l.point || 'hips']) || 0), 3), 'kg');
    }
    if (Object.keys(load).length) change.load = load;
    if (s.change.legs) change.legs = s.change.legs === 'straddle' ? {form: 'straddle', angle: s.change.straddle || '40'} : {form: s.change.legs};
    return Object.keys(change).length ? change : null;
  }

  // show puts a comparison on the page.
  show(comparison) {
    const c = this.catalogue;
    if (!comparison) {
      replace(byId('change-answer'), el('p', {class: 'notice'}, 'Move a slider to compare.'));
      return;
    }
    const judged = comparison.judged, part = byId('change-answer'), open = Boolean(part.querySelector('details[open]'));
    const names = [...new Set([judged, 'required_force', 'hand_spacing', 'best_angle', 'lean_angle', 'shoulder_moment', ...comparison.quantities.map((q) => q.quantity)])];
    const rows = names.map((name) => comparison.quantities.find((q) => q.quantity === name)).filter(Boolean).slice(0, 7);
    replace(part,
      el('p', {class: 'change-words', id: 'change-words'}, comparison.words.headline),
      comparison.faults.filter((f) => f.field.startsWith('change')).map((f) => el('p', {class: 'fault'}, `${f.field.replace(/^change\.?/, '').replaceAll('_', ' ')}: ${f.reason}.`)),
      (comparison.words.sentences || []).map((t) => el('p', {class: 'reason'}, t)),
      ['before', 'after'].filter((side) => !comparison[side].possible).map((side) => el('p', {class: 'notice'}, side === 'before' ? 'Before: ' : 'After: ', comparison[side].why)),
      shares(comparison),
      el('details', {open}, el('summary', null, 'Before and after in numbers'),
        el('div', {class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Before and after'}, el('table', null,
          el('thead', null, el('tr', null, ['Quantity', 'Before', 'After', 'Difference', '5–95 %'].map((t) => el('th', {scope: 'col'}, t)))),
          el('tbody', null, rows.map((q) => el('tr', null, el('th', {scope: 'row'}, info(c, q.quantity).label),
            ['before', 'after', 'effect', 'range'].map((what) => el('td', null, q.texts[what]))))))),
        el('p', {class: 'small'}, 'Medians over bodies and assumptions; the difference is that of each draw with itself. The body laid over in the picture is the middle one after the change, at its best.')),
      (comparison.words.notes || []).map((t) => el('p', {class: 'small'}, t)));
  }
}

// shares shows for how many of the draws it gets easier and harder, or what is told
// instead of the difficulty less and more.
function shares(comparison) {
  const {easier_share: easier, harder_share: harder} = comparison;
  if (typeof easier !== 'number') return null;
  const [less, more] = comparison.judged === 'difficulty' ? ['easier', 'harder'] : ['less', 'more'];
  const bar = svg('svg', {class: 'shares', viewBox: '0 0 100 6', preserveAspectRatio: 'none', 'aria-hidden': 'true'},
    svg('rect', {class: 'easier', x: 0, y: 0, width: 100 * easier, height: 6}), svg('rect', {class: 'harder', x: 100 - 100 * harder, y: 0, width: 100 * harder, height: 6}));
  return el('div', {class: 'share-bar'}, bar, el('p', null, el('span', null, `${less} in ${comparison.easier_text} of the draws`), el('span', null, `${more} in ${comparison.harder_text}`)));
}

const round = (x, n) => Math.round(x * 10 ** n) / 10 ** n;
