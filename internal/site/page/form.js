// The questions about a body and a hold: fields made from the catalogue, texts
// kept as typed, faults shown beside the field that they are about.

import {el, byId, replace} from './dom.js';
import {ask} from './transport.js';

// What the three first measurements are called by those who never measured.
const plain = {stature: 'Height', mass: 'Weight', span: 'Arm span'};
const firstFields = ['stature', 'mass', 'span'];

export class Form {
  // state is shared with the page; changed is called after every edit with
  // whether it came from typing.
  constructor(catalogue, state, changed) {
    Object.assign(this, {catalogue, state, changed});
    this.fields = new Map(); // by the field's path in a request
    this.converted = new Map(); // what a conversion of units was made from
    byId('hold').replaceChildren(...catalogue.holds.map((h) => el('option', {value: h.name}, h.title)));
    byId('hold').addEventListener('change', (e) => {
      Object.assign(state, {hold: e.target.value, legs: '', straddle: '', tilt: '', pose: {}, spacing: null, model: ''});
      this.drawHold();
      this.drawMore();
      changed();
    });
    byId('legs').addEventListener('change', (e) => {
      state.legs = e.target.value === 'together' ? '' : e.target.value;
      state.spacing = null;
      this.drawPose();
      changed();
    });
    for (const radio of document.querySelectorAll('#units input')) {
      radio.addEventListener('change', () => this.convert(radio.value));
    }
    byId('ask').addEventListener('submit', (e) => e.preventDefault());
    byId('more').open = this.hasMore();
    this.draw();
  }

  get hold() { return this.catalogue.holds.find((h) => h.name === this.state.hold) || this.catalogue.holds[0]; }

  hasMore() {
    const s = this.state;
    return Object.entries(s.measurements).some(([k, v]) => v && !firstFields.includes(k)) || Object.values(s.scan).some(Boolean) || s.tests.length > 0 || s.tilt !== '';
  }

  draw() {
    for (const radio of document.querySelectorAll('#units input')) radio.checked = radio.value === this.state.units;
    this.drawHold();
    this.drawFirst();
    this.drawMore();
    this.drawSecond();
  }

  drawHold() {
    if (!this.catalogue.holds.some((h) => h.name === this.state.hold)) this.state.hold = this.hold.name;
    byId('hold').value = this.hold.name;
    const legs = this.hold.legs;
    byId('legs-field').hidden = legs.length < 2;
    byId('legs').replaceChildren(...legs.map((l) => el('option', {value: l.name}, l.label)));
    if (!legs.some((l) => l.name === this.state.legs)) this.state.legs = '';
    byId('legs').value = this.state.legs || 'together';
    this.drawPose();
  }

  drawPose() {
    const s = this.state, list = [];
    for (const path of [...this.fields.keys()]) if (/^person\.(pose|legs)/.test(path)) this.fields.delete(path);
    const form = this.hold.legs.find((l) => l.name === s.legs);
    if (form && form.angle_deg) {
      list.push(this.field({
        path: 'person.legs.angle', label: 'Each leg opened by', kind: 'angle', hint: form.range_texts[s.units],
        get: () => s.straddle || '40', set: (v) => { s.straddle = v; },
      }));
    }
    for (const v of this.hold.variants) {
      if (v.kind === 'switch') {
        const id = 'pose-' + v.name;
        const box = el('input', {type: 'checkbox', id, onchange: (e) => {
          if (e.target.checked) s.pose[v.name] = 'yes'; else delete s.pose[v.name];
          this.changed();
        }});
        box.checked = s.pose[v.name] === 'yes';
        list.push(el('div', {class: 'field check'}, el('label', {for: id}, box, ' ', v.label)));
        continue;
      }
      list.push(this.field({
        path: 'person.pose.' + v.name, label: v.label, kind: v.kind, hint: v.range_texts[s.units],
        get: () => s.pose[v.name] || '', set: (t) => { if (t.trim()) s.pose[v.name] = t; else delete s.pose[v.name]; },
      }));
    }
    byId('pose').hidden = list.length === 0;
    replace(byId('pose'), list);
  }

  drawFirst() {
    const s = this.state;
    replace(byId('first'), this.sexes('sex', s, () => this.drawMore()), el('div', {class: 'trio'}, firstFields.map((name) => this.measurement(name, true))));
  }

  // sexes is a choice of one, kept as sex of an object.
  sexes(name, of, chosen) {
    return el('fieldset', {class: 'switch sex'}, el('legend', null, 'Sex'),
      el('div', {class: 'options'}, ['female', 'male'].map((sex) => {
        const radio = el('input', {type: 'radio', name, value: sex, onchange: () => { of.sex = sex; chosen(); this.changed(); }});
        radio.checked = of.sex === sex;
        return el('label', null, radio, el('span', null, sex === 'female' ? 'Woman' : 'Man'));
      })));
  }

  // drawSecond asks for who is laid over.
  drawSecond() {
    const of = this.state.second;
    if (of.sex) byId('second-part').open = true;
    replace(byId('second'), this.sexes('second-sex', of, () => { byId('no-second').disabled = false; }),
      el('div', {class: 'trio'}, firstFields.map((name) => this.measurement(name, true, of, 'second.measurements.'))),
      el('button', {type: 'button', class: 'quiet', id: 'no-second', disabled: !of.sex, onclick: () => {
        Object.assign(of, {sex: '', measurements: {}});
        this.drawSecond();
        this.changed();
        document.querySelector('#second input').focus();
      }}, 'Take away again'));
  }

  measurement(name, brief, s = this.state, path = 'person.measurements.') {
    const m = this.catalogue.measurements.find((m) => m.name === name);
    return this.field({
      path: path + name, label: (brief && plain[name]) || m.label, kind: m.kind, how: brief ? '' : m.how,
      get: () => s.measurements[name] || '', set: (v) => { s.measurements[name] = v; },
    });
  }

  drawMore() {
    const s = this.state, c = this.catalogue;
    for (const path of [...this.fields.keys()]) if (/^person\.(scan|tests|tilt|load)/.test(path)) this.fields.delete(path);
    const loadFault = el('p', {class: 'fault', id: 'fault-load'});
    this.fields.set('person.load', {fault: loadFault, label: 'Carried'});
    const others = c.measurements.filter((m) => !firstFields.includes(m.name));
    const scanFault = el('p', {class: 'fault', id: 'fault-scan'});
    const testsFault = el('p', {class: 'fault', id: 'fault-tests'});
    this.fields.set('person.scan', {fault: scanFault, label: 'Scan'});
    this.fields.set('person.tests', {fault: testsFault, label: 'Tests'});
    const tilt = this.hold.tilt_deg && this.field({
      path: 'person.tilt', label: 'Feet above the shoulders', kind: 'angle', hint: 'level where empty',
      get: () => s.tilt, set: (v) => { s.tilt = v; },
    });
    replace(byId('more-fields'),
      tilt && el('fieldset', null, el('legend', null, 'Posture'), el('div', {class: 'many'}, tilt)),
      el('p', {class: 'small'}, 'With an error if you know it: “168 ± 0.5”. Empty fields are drawn from people who have the rest in common.'),
      el('fieldset', null, el('legend', null, 'Measurements'), el('div', {class: 'many'}, others.map((m) => this.measurement(m.name)))),
      el('fieldset', null, el('legend', null, 'Carried in the hold, or with a minus taken off by a band or a hand, straight up; of limbs on both together'),
        el('div', {class: 'many'}, c.points.map((p) => this.field({
          path: 'person.load.' + p.name, label: p.label, kind: 'mass', get: () => s.load[p.name] || '', set: (v) => { s.load[p.name] = v; },
        }))), loadFault),
      el('fieldset', null, el('legend', null, 'Body-composition scan: mass of each part, all or none'),
        el('div', {class: 'many'}, c.scan_regions.map((r) => this.field({
          path: 'person.scan.' + r.name, label: r.label, kind: 'mass', get: () => s.scan[r.name] || '', set: (v) => { s.scan[r.name] = v; },
        }))), scanFault),
      el('fieldset', null, el('legend', null, 'Strength tests'),
        s.tests.map((t, i) => this.test(t, i)), testsFault,
        c.tests.map((kind) => el('button', {type: 'button', class: 'quiet', onclick: () => {
          s.tests.push({test: kind.name});
          this.drawMore();
          this.changed();
          this.focus(`person.tests[${s.tests.length - 1}].${kind.fields.includes('held') ? 'held' : 'angle'}`);
        }}, 'Add: ' + kind.label))));
  }

  test(t, i) {
    const kind = this.catalogue.tests.find((k) => k.name === t.test) || this.catalogue.tests[0];
    const labels = {held: 'Held for', added: 'Load added', assisted: 'Load taken off', fingers: 'Read under the other hand’s fingers', wall_distance: 'Wrist to wall', angle: 'Angle between arm and trunk', reads: 'The scale reads'};
    const kinds = {held: 'time', added: 'mass', assisted: 'mass', fingers: 'mass', wall_distance: 'length', angle: 'angle', reads: 'mass'};
    const choices = {
      side: ['Side', [['', 'both alike'], ['left', 'left'], ['right', 'right']]],
      hand: ['The hand goes', [['', 'choose'], ...['down', 'up', 'back', 'forward', 'push', 'pull'].map((way) => [way, way])]],
    };
    return el('fieldset', {class: 'test'}, el('legend', null, `${kind.label} ${i + 1}`), el('p', {class: 'small'}, kind.how),
      el('div', {class: 'many'}, kind.fields.map((f) => {
        if (choices[f]) {
          const id = `test-${i}-${f}`, [name, options] = choices[f];
          const select = el('select', {id, onchange: (e) => { t[f] = e.target.value; this.changed(); }},
            options.map(([v, label]) => el('option', {value: v}, label)));
          select.value = t[f] || '';
          return el('div', {class: 'field'}, el('label', {for: id}, name), select);
        }
        return this.field({path: `person.tests[${i}].${f}`, label: labels[f] || f, kind: kinds[f] || 'time', get: () => t[f] || '', set: (v) => { t[f] = v; }});
      })),
      el('button', {type: 'button', class: 'quiet', onclick: () => { this.state.tests.splice(i, 1); this.drawMore(); this.changed(); }}, `Remove ${kind.label.toLowerCase()} ${i + 1}`));
  }

  // field makes a text field and remembers it by the path that faults name.
  field({path, label, kind, hint, how, get, set}) {
    const id = 'f-' + path.replace(/[^a-z0-9]+/g, '-');
    const {unit} = this.catalogue.units.find((u) => u.system === this.state.units)[kind];
    const fault = el('p', {class: 'fault', id: id + '-fault'});
    const notes = [hint && el('span', {class: 'small', id: id + '-hint'}, hint), how && el('span', {class: 'small', id: id + '-how'}, how)].filter(Boolean);
    const input = el('input', {
      id, type: 'text', inputmode: this.state.units === 'imperial' || kind === 'angle' ? 'text' : 'decimal', maxlength: 60, spellcheck: 'false',
      'aria-describedby': [id + '-fault', ...notes.map((n) => n.id)].join(' '),
      oninput: (e) => {
        set(e.target.value);
        this.typed();
        this.clear(path);
        this.changed(true);
      },
    });
    input.value = get();
    const box = el('div', {class: 'field'}, el('label', {for: id}, el('span', null, label, unit ? el('span', {class: 'unit'}, ' ', unit) : null)), input, notes, fault);
    this.fields.set(path, {input, fault, label, kind, get, set, box});
    return box;
  }

  focus(path) {
    const field = this.fields.get(path);
    if (!field) return;
    const closed = field.box.closest('details');
    if (closed) closed.open = true;
    field.input.focus();
    field.input.scrollIntoView({block: 'center', behavior: 'auto'});
  }

  // typed holds back the fault of the field being typed in until there is a pause:
  // half a number is not a mistake.
  typed() {
    this.typing = true;
    clearTimeout(this.pause);
    this.pause = setTimeout(() => { this.typing = false; this.show(); }, 900);
  }

  clear(path) {
    this.faults = (this.faults || []).filter((f) => f.field !== path);
    this.show();
  }

  // take shows the faults of an answer. It returns those that no field shows.
  take(faults) {
    this.faults = faults;
    return this.show();
  }

  show() {
    const left = [];
    for (const {input, fault} of this.fields.values()) {
      fault.replaceChildren();
      if (input) { input.removeAttribute('aria-invalid'); }
    }
    for (const f of this.faults || []) {
      const field = this.fields.get(f.field) || this.fields.get(f.field.replace(/\.[^.]*$/, ''));
      if (!field) { left.push(f); continue; }
      if (this.typing && field.input && field.input === document.activeElement) continue;
      const words = f.reason.charAt(0).toUpperCase() + f.reason.slice(1);
      field.fault.append(el('strong', null, field.label + ': '), words.replace(/\.?$/, '. '));
      if (f.slip) {
        field.fault.append(`Perhaps ${f.slip.text}? `, el('button', {type: 'button', class: 'quiet', onclick: () => {
          field.set(f.slip.would);
          field.input.value = f.slip.would;
          this.clear(f.field);
          this.changed();
          field.input.focus();
        }}, `Use ${f.slip.would}`));
      } else {
        field.fault.append('It is left out until then.');
      }
      if (field.input) field.input.setAttribute('aria-invalid', 'true');
      const closed = field.box && field.box.closest('details');
      if (closed) closed.open = true;
    }
    return left;
  }

  // convert turns every number that was typed into another system of units, and
  // back into what was typed where nothing was edited since.
  async convert(system) {
    const s = this.state, from = s.units, fields = [];
    this.wanted = system;
    if (system === from) return;
    const turn = (map, name, kind) => {
      const text = map[name];
      if (text && text.trim()) fields.push({map, name, kind, text, was: this.converted.get(text + '|' + from + '|' + kind)});
    };
    for (const m of this.catalogue.measurements) for (const of of [s, s.second]) turn(of.measurements, m.name, m.kind);
    for (const r of this.catalogue.scan_regions) turn(s.scan, r.name, 'mass');
    for (const p of this.catalogue.points) turn(s.load, p.name, 'mass');
    for (const v of this.hold.variants) if (v.kind === 'length') turn(s.pose, v.name, 'length');
    for (const t of s.tests) {
      for (const f of ['added', 'assisted', 'fingers', 'reads']) turn(t, f, 'mass');
      turn(t, 'wall_distance', 'length');
    }
    const {texts} = await ask('convert', {from, to: system, typed: fields.map(({kind, text}) => ({kind, text}))});
    if (this.wanted !== system || s.units !== from) return; // another choice came meanwhile
    fields.forEach(({map, name, kind, text, was}, i) => {
      const now = was || texts[i];
      if (map[name] !== text || now === text) return; // edited meanwhile, or not to be read
      this.converted.set(now + '|' + system + '|' + kind, text);
      map[name] = now;
    });
    s.units = system;
    this.draw();
    this.changed();
  }
}
