// What somebody has entered and chosen, and its form as a link.
//
// The address holds, after #, what is chosen and nothing that is about a person; that
// is kept for this tab alone, and is in a link only where somebody wants it there. Only
// what differs from the beginning is written.

// exampleSex is whose example is shown until a sex is chosen.
const exampleSex = 'female';

export const empty = () => ({
  units: 'metric', hold: 'human-flag', model: '', sex: '',
  measurements: {}, scan: {}, tests: [],
  legs: '', straddle: '', tilt: '', pose: {},
  spacing: null, // m, where the hands were dragged to; null is the best
  load: {}, // by the points of the body
  change: {}, masses: [], loads: [],
  second: {sex: '', measurements: {}}, // who is laid over
});

const testFields = ['test', 'side', 'held', 'added', 'assisted', 'fingers', 'wall_distance', 'hand', 'angle', 'reads'];

// toFragment writes a state, without the "#"; with what is about persons where personal.
export function toFragment(s, personal) {
  const q = new URLSearchParams();
  const put = (name, text) => { if (text !== '' && text !== null && text !== undefined) q.set(name, text); };
  put('hold', s.hold);
  if (s.units !== 'metric') put('units', s.units);
  put('model', s.model);
  put('legs', s.legs);
  put('straddle', s.straddle);
  put('tilt', s.tilt);
  const groups = (...names) => {
    for (const group of names) for (const name of Object.keys(s[group]).sort()) put(`${group}.${name}`, s[group][name]);
  };
  groups('pose', 'change');
  s.masses.forEach((m, i) => ['region', 'kilograms', 'working'].forEach((f) => put(`masses.${i}.${f}`, m[f])));
  s.loads.forEach((l, i) => ['point', 'kilograms'].forEach((f) => put(`loads.${i}.${f}`, l[f])));
  if (!personal) return q.toString();
  put('sex', s.sex);
  if (s.spacing !== null) put('hands', (s.kept ?? s.spacing).toFixed(4));
  groups('measurements', 'scan', 'load');
  s.tests.forEach((test, i) => testFields.forEach((f) => put(`tests.${i}.${f}`, test[f])));
  put('second.sex', s.second.sex);
  for (const name of Object.keys(s.second.measurements)) put('second.' + name, s.second.measurements[name]);
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
    } else if (name === 'second.sex') {
      s.second.sex = ['female', 'male'].includes(short) ? short : '';
    } else if (head === 'second' && /^[a-z_]{1,40}$/.test(key || '')) {
      s.second.measurements[key] = short;
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

const filled = (map) => Object.fromEntries(Object.entries(map).filter(([, v]) => String(v).trim() !== ''));

// person is a state as the questions want it.
export function person(s) {
  const p = {sex: s.sex || exampleSex, units: s.units, hold: s.hold, measurements: filled(s.measurements), scan: filled(s.scan), pose: filled(s.pose), load: filled(s.load)};
  if (s.legs) p.legs = s.legs === 'straddle' ? {form: s.legs, angle: s.straddle || '40'} : {form: s.legs};
  if (s.tilt.trim()) p.tilt = s.tilt;
  const tests = s.tests.map((t) => Object.fromEntries(testFields.filter((f) => (t[f] || '').trim()).map((f) => [f, t[f]])));
  if (tests.length) p.tests = tests.map((t) => ({held: '', ...t}));
  return p;
}

// second is who is laid over, in the same hold; null without a sex.
export function second(s) {
  const {hold, units, legs, tilt, pose} = person(s);
  return s.second.sex ? {hold, units, pose, ...(legs ? {legs} : {}), ...(tilt ? {tilt} : {}), sex: s.second.sex, measurements: filled(s.second.measurements)} : null;
}

// known says whether anything but the sex was entered.
export function known(s) {
  return [...Object.values(s.measurements), ...Object.values(s.scan)].some((v) => v.trim() !== '') || s.tests.some((t) => (t.held || t.reads || '').trim());
}

// Storage may be forbidden: then a reload begins anew.
const storage = (use) => { try { return use(sessionStorage); } catch { return null; } };

// state is what the page shows: what a link brings, or what this tab had.
export const state = (() => {
  const linked = fromFragment(location.hash.slice(1)), kept = fromFragment(storage((s) => s.getItem('state')) || '');
  const same = kept && linked && [true, false].every((personal) => toFragment(linked, personal) === toFragment(kept, false));
  return (same || !linked ? kept : linked) || linked || empty();
})();

// remember keeps the state for a reload.
export function remember() {
  history.replaceState(null, '', '#' + toFragment(state, false));
  storage((s) => s.setItem('state', toFragment(state, true)));
}
