// What somebody has entered and chosen, and its form as a link.
//
// All of it is in the part of the address after #, which browsers do not send.
// Only what differs from the beginning is written.

export const empty = () => ({
  units: 'metric', hold: 'human-flag', model: '', sex: '',
  measurements: {}, scan: {}, tests: [],
  legs: '', straddle: '', tilt: '', pose: {},
  spacing: null, // m, where the hands were dragged to; null is the best
  load: {}, // by the points of the body
  change: {}, masses: [], loads: [],
});

const testFields = ['test', 'side', 'held', 'added', 'assisted', 'fingers', 'wall_distance', 'hand', 'angle', 'reads'];

// toFragment writes a state, without the "#".
export function toFragment(s) {
  const q = new URLSearchParams();
  const put = (name, text) => { if (text !== '' && text !== null && text !== undefined) q.set(name, text); };
  put('hold', s.hold);
  put('sex', s.sex);
  if (s.units !== 'metric') put('units', s.units);
  put('model', s.model);
  put('legs', s.legs);
  put('straddle', s.straddle);
  put('tilt', s.tilt);
  if (s.spacing !== null) put('hands', (s.kept ?? s.spacing).toFixed(4));
  for (const group of ['measurements', 'scan', 'pose', 'load', 'change']) {
    for (const name of Object.keys(s[group]).sort()) put(`${group}.${name}`, s[group][name]);
  }
  s.tests.forEach((test, i) => testFields.forEach((f) => put(`tests.${i}.${f}`, test[f])));
  s.masses.forEach((m, i) => ['region', 'kilograms', 'working'].forEach((f) => put(`masses.${i}.${f}`, m[f])));
  s.loads.forEach((l, i) => ['point', 'kilograms'].forEach((f) => put(`loads.${i}.${f}`, l[f])));
  return q.toString();
}

const most = {tests: 20, masses: 6, loads: 6};

// fromFragment reads a state back; what it does not know it passes over. It
// returns null for a fragment that is no state.
export function fromFragment(text) {
  const s = empty();
  if (!text.includes('=')) return null;
  for (const [name, value] of new URLSearchParams(text)) {
    const short = value.slice(0, 120);
    const [head, key, field] = name.split('.');
    if (head === 'hands') {
      const metres = Number(short);
      s.spacing = Number.isFinite(metres) && metres > 0 ? metres : null;
    } else if (['units', 'hold', 'sex', 'model', 'legs', 'straddle', 'tilt'].includes(name)) {
      s[name] = short;
    } else if (['measurements', 'scan', 'pose', 'load', 'change'].includes(head) && /^[a-z_]{1,40}$/.test(key || '')) {
      s[head][key] = short;
    } else if (head in most && /^\d{1,2}$/.test(key || '') && Number(key) < most[head] && /^[a-z_]{1,20}$/.test(field || '')) {
      const i = Number(key);
      while (s[head].length <= i) s[head].push({});
      s[head][i][field] = short;
    }
  }
  s.tests = s.tests.filter((t) => t.test);
  if (!['metric', 'imperial'].includes(s.units)) s.units = 'metric';
  if (!['female', 'male'].includes(s.sex)) s.sex = '';
  return s;
}

// person is a state as the questions want it.
export function person(s) {
  const filled = (map) => Object.fromEntries(Object.entries(map).filter(([, v]) => String(v).trim() !== ''));
  const p = {sex: s.sex, units: s.units, hold: s.hold, measurements: filled(s.measurements), scan: filled(s.scan), pose: filled(s.pose), load: filled(s.load)};
  if (s.legs) p.legs = s.legs === 'straddle' ? {form: s.legs, angle: s.straddle || '40'} : {form: s.legs};
  if (s.tilt.trim()) p.tilt = s.tilt;
  const tests = s.tests.map((t) => Object.fromEntries(testFields.filter((f) => (t[f] || '').trim()).map((f) => [f, t[f]])));
  if (tests.length) p.tests = tests.map((t) => ({held: '', ...t}));
  return p;
}

// known says whether anything but the sex was entered.
export function known(s) {
  return [...Object.values(s.measurements), ...Object.values(s.scan)].some((v) => v.trim() !== '') || s.tests.some((t) => (t.held || t.reads || '').trim());
}
