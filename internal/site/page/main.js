// The page: what is entered is asked about, what is answered is shown.

import {ask, askAside, lane, Refused} from './transport.js';
import {choice} from './transport-choice.js';
import {state, remember as keep, empty, fromFragment, toFragment, person, second, known} from './state.js';
import {Form} from './form.js';
import {WhatIf} from './whatif.js';
import * as figures from './figure.js';
import * as see from './see.js';
import {show as showCard} from './card.js';
import {drawCurve} from './curve.js';
import {show as showSayings} from './sayings.js';
import {listen as listenForPages} from './verify.js';
import {sheet, saveSVG, savePNG} from './save.js';
import {el, byId, replace, inFrames} from './dom.js';

// tracked marks what is shown as busy while a question is on its way.
let asking = 0;
const tracked = (asks) => async (question, body) => {
  byId('see').setAttribute('aria-busy', String(++asking > 0));
  try {
    return await asks(question, body);
  } finally {
    byId('see').setAttribute('aria-busy', String(--asking > 0));
  }
};
const aside = lane(askAside), asideChange = lane(askAside);
const asideCard = lane(askAside);
const lanes = {second: tracked(lane()), secondPose: tracked(lane()), answer: tracked(lane()), pose: tracked(lane()), change: tracked(lane()), people: tracked(lane()), frame: tracked(ask)};

let catalogue, form, whatIf, sayings;
let answer = null; // the newest
let pose = null; // the figure shown
let frame = null; // the box that holds the figure at every arm angle, and whose it is
let curve = null; // the curve drawn
let people = {key: '', curves: []};
let comparison = null;
let other = null; // the second person: {answer, figure}
let card = null; // {key, answer} of the card to print

// later calls a function once nothing has called it for a while.
function later(f, milliseconds) {
  let timer = 0;
  return (...args) => {
    clearTimeout(timer);
    timer = setTimeout(() => f(...args), milliseconds);
  };
}

const modelName = () => {
  const models = form.hold.models;
  return models.includes(state.model) ? state.model : models[models.length - 1];
};
const currentModel = () => answer && answer.summary.models.find((m) => m.model === modelName());

function say(text) {
  byId('loading').hidden = !text;
  byId('loading').textContent = text || '';
}

const announce = later(() => {
  const tiles = [...document.querySelectorAll('.tile')].slice(0, 2).map((t) => `${t.querySelector('.tile-label').textContent} ${t.querySelector('.tile-value').textContent}`);
  byId('live').textContent = tiles.join(', ');
}, 900);

const remember = later(keep, 150);

// changed is called after every edit of the form.
const soon = later(() => refresh(), 180);
function changed(typing) {
  remember();
  if (typing) soon(); else refresh();
}

// refresh asks anew; early is a question that was asked before the page was drawn.
async function refresh(early) {
  document.body.classList.remove('has-card'); // until there is one of this body
  whatIf.follow();
  if (sayings) sayings.follow(state.hold);
  const request = {person: person(state)};
  performance.mark('asked');
  let fresh;
  try {
    refreshPose(true);
    fresh = await (early && same(early.request, request) ? early.answer : lanes.answer('answer', request));
  } catch (error) {
    say(error instanceof Refused ? `Not answered: ${error.message}.` : `Not answered: ${error.message}. Try again.`);
    return;
  }
  if (!fresh) return;
  answer = fresh;
  performance.measure('answer', 'asked');
  say('');
  showAnswer();
  performance.measure('shown', 'asked');
  refreshSecond();
  refreshPeople();
  refreshChange();
  refine(request.person);
}

// refine asks again with as many bodies as the command line draws, once nothing has
// been entered for a moment: the same numbers as there, and steadier ones.
const refine = later(async (asked) => {
  let fresh;
  try {
    fresh = await aside('answer', {person: asked, draws: catalogue.draws.full});
  } catch {
    return; // the quick answer stands
  }
  if (!fresh || !answer || !same(asked, person(state))) return;
  answer = fresh;
  keepFocus(byId('shown'), showAnswer);
  soonCard();
}, 400);

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

const soonCard = later(() => refreshCard().catch(() => {}), 3000);

// refreshCard makes the card ready to be printed, so that the browser's own way to print
// prints it too.
const cardRequest = () => ({person: {...person(state), name: byId('card-name').value || (known(state) ? 'You' : 'Example')}, draws: catalogue.draws.full});

const cardKey = () => JSON.stringify([cardRequest(), byId('card-size').value]);

async function refreshCard() {
  const request = cardRequest(), key = cardKey();
  if (state.hold !== 'human-flag') {
    card = null;
    replace(byId('card'));
  } else if (!card || card.key !== key) {
    const fresh = await asideCard('card', request);
    if (!fresh) return; // overtaken
    card = {key, answer: fresh};
    const hands = fresh.texts.marks.join(' · ');
    showCard(byId('card'), fresh, byId('card-size').value, fresh.figure.possible && drawn({...fresh.figure, joints: []}, 420, {brief: true, most: 300, words: {...labelWords(fresh.figure, true), spacing: () => [hands]}}).root, catalogue.version);
  }
  document.body.classList.toggle('has-card', Boolean(card));
}

// refreshSecond asks about who is laid over.
async function refreshSecond() {
  const who = second(state);
  if (!who) {
    if (other) {
      other = null;
      showAnswer();
      showPose();
    }
    return;
  }
  try {
    const [fresh, posed] = await Promise.all([lanes.second('answer', {person: who, draws: catalogue.draws.default}), lanes.secondPose('pose', {person: who, model: modelName()})]);
    if (!fresh || !posed || !second(state)) return;
    other = {answer: fresh, figure: posed.figure};
  } catch (error) {
    say(error.message);
    return;
  }
  showAnswer();
  showPose();
}

// keepFocus draws a part anew and gives the focus back to the same button of it.
function keepFocus(part, draw) {
  const buttons = () => [...part.querySelectorAll('button, summary')];
  const at = buttons().indexOf(document.activeElement);
  draw();
  if (at >= 0 && document.activeElement === document.body && buttons()[at]) buttons()[at].focus({preventScroll: true});
}

function showAnswer() {
  const model = currentModel();
  if (!model) return;
  byId('shown').hidden = false;
  byId('see').dataset.draws = answer.summary.draws;
  const who = catalogue.people.find((p) => p.name === answer.summary.people);
  const example = !known(state), whose = who ? who.title.split(',')[0] : answer.summary.people;
  byId('example').hidden = !example && state.sex !== '';
  replace(byId('example'), ...(example ? [el('strong', null, 'Example, not you: '), `the middle of ${whose}.`]
    : [el('strong', null, 'No sex chosen: '), `taken for one of ${whose}.`]));
  document.body.classList.toggle('is-example', example);
  see.tiles(catalogue, answer, model, other && other.answer);
  const left = form.take([...answer.faults, ...(other ? other.answer.faults.map((f) => ({...f, field: f.field.replace(/^person/, 'second')})) : [])]);
  replace(byId('faults'), left.map((f) => el('p', {class: 'fault'}, f.reason)));
  see.words(answer);
  showModels();
  see.among(catalogue, answer, model);
  see.next(catalogue, answer, model, (name) => form.focus('person.measurements.' + name));
  see.carry(answer);
  see.all(catalogue, answer);
  showCurve();
  if (pose && pose.possible) showFigureWords();
  announce();
}

function showModels() {
  const models = form.hold.models, name = modelName();
  byId('model').hidden = models.length < 2;
  const part = byId('model').querySelector('.options');
  const wanted = models.join();
  if (part.dataset.models !== wanted) {
    part.dataset.models = wanted;
    replace(part, models.map((m) => {
      const radio = el('input', {type: 'radio', name: 'model', value: m, onchange: () => {
        state.model = m;
        remember();
        showAnswer();
        refreshPose(true);
        refreshChange();
      }});
      return el('label', null, radio, el('span', null, (catalogue.models.find((c) => c.name === m) || {label: m}).label));
    }));
  }
  for (const radio of part.querySelectorAll('input')) radio.checked = radio.value === name;
  byId('model-words').textContent = see.modelWords(catalogue, answer, name);
}

// What the picture depends on beside the hands.
const poseKey = () => JSON.stringify([person(state), modelName()]);

// refreshPose asks for the figure at the hands' distance; anew after a change of
// the body or of the hold, and then also for the box that holds it at every angle.
async function refreshPose(anew) {
  const request = {person: person(state), model: modelName()};
  if (form.hold.drags_hands && state.spacing !== null) request.spacing_m = state.spacing;
  let fresh;
  try {
    fresh = await lanes.pose('pose', request);
  } catch (error) {
    if (!(error instanceof Refused)) say(`Not answered: ${error.message}. Try again.`);
    pose = null;
    return;
  }
  if (!fresh) return;
  pose = fresh.figure;
  if (anew && poseKey() !== (frame && frame.key)) await refreshFrame();
  showPose();
}

async function refreshFrame() {
  const key = poseKey(), request = {person: person(state), model: modelName()};
  const boxes = pose.possible ? [figures.extent(figures.fromAnswer(pose))] : [];
  if (form.hold.drags_hands && pose.possible && pose.angle_range_deg) {
    const {least, most} = pose.angle_range_deg;
    const ends = await Promise.all([least, most].map((angle_deg) => lanes.frame('pose', {...request, angle_deg}).catch(() => null)));
    for (const end of ends) if (end && end.figure.possible) boxes.push(figures.extent(figures.fromAnswer(end.figure), false));
  }
  frame = {key, box: boxes.length ? figures.union(boxes) : null};
}

// labelWords are the lines of a figure's labels.
function labelWords(figure, brief) {
  const capital = (t) => t.charAt(0).toUpperCase() + t.slice(1), {hands, weight} = figure.texts;
  return {
    force: ({name, texts: {along, weight, other}}) =>
      (brief ? [along?.weight ?? weight] : [`${capital(name)}: ${along?.whose ?? weight}`, along?.other ?? other]),
    moment: (m) => (brief ? [capital(m.name)] : [capital(m.name), m.texts.weight]),
    weight: () => (brief ? [weight] : ['Weight', weight]),
    spacing: () => (brief ? [hands] : ['Hands', hands]),
  };
}

const units = () => catalogue.units.find((u) => u.system === state.units);
const scaleWords = () => ({force: 'body weight', length: units().bar.metres, lengthText: units().bar.text});

// drawn makes the picture of a figure of an answer.
function drawn(a, width, options) {
  const figure = figures.fromAnswer(a);
  const brief = width < 500;
  return figures.draw(figure, {
    frame: figures.extent(figure), width, brief, scaleWords: scaleWords(), words: labelWords(figure, brief), title: form.hold.title, ...options,
  });
}

let picture = null; // what is drawn, with its scale
let pictureWords = ''; // what is said of it wherever it goes

function showPose() {
  const box = byId('figure');
  if (!pose) return;
  if (!pose.possible) {
    picture = null;
    replace(box, el('p', {class: 'notice'}, pose.why));
    replace(byId('forces'));
    byId('figure-words').textContent = byId('reason').textContent = '';
    byId('over-key').hidden = true;
    // Hands that were put where this body cannot have them can be put elsewhere.
    showDrag(state.spacing !== null && form.hold.drags_hands && pose.spacing_range_m);
    return;
  }
  const width = Math.max(280, Math.floor(box.clientWidth));
  const figure = figures.fromAnswer(pose);
  const brief = width < 500;
  const drags = form.hold.drags_hands && figure.hands && pose.spacing_range_m;
  const over = laidOver();
  picture = drawn(pose, width, {
    frame: figures.union([frame && frame.box || figures.extent(figure), figures.extent(figure, false), ...over.map((o) => figures.extent(o.figure, false))]), over, most: brief ? 300 : 560,
    handles: drags ? figure.hands.map((at, i) => ({name: i === 0 ? 'top' : 'bottom', at})) : [],
    title: `${form.hold.title}, drawn to scale.`, describedBy: 'figure-words',
  });
  replace(box, picture.root);
  const closed = document.querySelector('.figures');
  const open = closed ? closed.open : false;
  const table = see.forces(figure);
  table.open = open;
  replace(byId('forces'), table);
  showDrag(drags);
  showFigureWords();
  moveMarker();
}

// laidOver are the bodies over the one drawn: after the change, and the second person.
function laidOver() {
  const over = [];
  const add = (kind, name, f) => { if (f && f.possible) over.push({kind, name: f.texts.hands ? `${name}, hands ${f.texts.hands} apart` : name, figure: figures.fromAnswer(f)}); };
  add('changed', 'after the change', comparison && comparison.after);
  add('second', other && `second person: ${other.figure.texts.height}, ${other.figure.texts.mass}`, other && other.figure);
  byId('over-key').hidden = over.length === 0;
  replace(byId('over-key'), over.map((o) => el('li', null, el('span', {class: 'swatch ' + o.kind, 'aria-hidden': 'true'}), o.name)));
  return over;
}

function showFigureWords() {
  const parts = [`Drawn: the middle one of the bodies that fit what is known, ${pose.texts.height} and ${pose.texts.mass}, assumptions at their central values. Forces are whole, along a limb and across it. Breadths are for the eye.`];
  const here = drawnWords().join(', ');
  const turned = typeof pose.angle_deg === 'number';
  if (here) parts.unshift(`${turned ? (state.spacing === null ? 'At its best' : 'As dragged') : 'Shown'}: ${here}.`);
  parts.splice(here ? 1 : 0, 0, pose.texts.more);
  pictureWords = parts.filter(Boolean).join(' ');
  byId('reason').textContent = pose.texts.reason || '';
  byId('figure-words').textContent = pictureWords + ' The large numbers are the middle over all bodies and assumptions that are left open.';
}

// drawnWords are the numbers of the posture drawn, the first ones first.
function drawnWords() {
  const own = [...new Set([form.hold.main[modelName()], 'difficulty', 'shoulder_moment'])]
    .map((name) => pose.demands.find((d) => d.quantity === name)).filter(Boolean).slice(0, 2)
    .map((d) => `${see.info(catalogue, d.quantity).label.toLowerCase()} ${d.brief}`);
  return typeof pose.angle_deg === 'number'
    ? [`hands ${pose.texts.hands} apart`, `arms ${pose.texts.arms} from the pole`, ...own] : own;
}

function showDrag(drags) {
  byId('drag').hidden = !drags;
  if (!drags) return;
  const slider = byId('hands'), range = pose.spacing_range_m;
  slider.min = range.least;
  slider.max = range.most;
  slider.step = 'any';
  const spacing = state.spacing === null ? pose.spacing_m : state.spacing;
  slider.value = spacing;
  if (pose.texts.hands) { // of the posture shown, which follows the slider
    slider.setAttribute('aria-valuetext', pose.texts.hands);
    byId('hands-text').textContent = pose.texts.hands;
  }
  const [small, large] = units().steps;
  byId('step-small').textContent = small.text;
  byId('step-large').textContent = large.text;
  byId('best').disabled = state.spacing === null;
}

const askPose = inFrames(() => refreshPose(false));

// drag puts the hands at a distance.
function drag(metres) {
  if (!pose || !pose.spacing_range_m) return;
  const {least, most} = pose.spacing_range_m;
  state.spacing = Math.min(Math.max(metres, least), most);
  // A link keeps tenths of a millimetre: rounded outwards, whoever opens it would be out of
  // reach.
  state.kept = Math.min(Math.max(state.spacing, Math.ceil(1e4 * least) / 1e4), Math.floor(1e4 * most) / 1e4);
  showDrag(true);
  remember();
  askPose();
}

// spacingAt is the hands' distance at an arm angle: both ends are known, and
// between them the distance goes with the cosine.
function spacingAt(angle) {
  const cos = (a) => Math.cos(a * Math.PI / 180);
  const {least, most} = pose.angle_range_deg, s = pose.spacing_range_m;
  const share = (cos(angle) - cos(most)) / (cos(least) - cos(most));
  return s.least + share * (s.most - s.least);
}

function listenForDrags() {
  const box = byId('figure');
  let start = null;
  box.addEventListener('pointerdown', (e) => {
    const handle = e.target.closest && e.target.closest('.handle');
    if (!handle || !pose) return;
    e.preventDefault();
    box.setPointerCapture(e.pointerId);
    start = {id: e.pointerId, y: e.clientY, spacing: pose.spacing_m, way: handle.dataset.hand === 'top' ? -1 : 1};
    box.classList.add('dragging');
  });
  box.addEventListener('pointermove', (e) => {
    if (!start || e.pointerId !== start.id || !picture) return;
    // The other hand moves as far the other way.
    const zoom = picture.root.getBoundingClientRect().height / picture.height || 1;
    drag(start.spacing + 2 * start.way * (e.clientY - start.y) / (picture.scale * zoom));
  });
  const end = (e) => {
    if (!start || e.pointerId !== start.id) return;
    start = null;
    box.classList.remove('dragging');
    announce();
  };
  box.addEventListener('pointerup', end);
  box.addEventListener('pointercancel', end);

  const slider = byId('hands');
  slider.addEventListener('input', () => drag(Number(slider.value)));
  slider.addEventListener('keydown', (e) => {
    const [small, large] = units().steps.map((step) => step.metres);
    const by = {ArrowUp: small, ArrowRight: small, ArrowDown: -small, ArrowLeft: -small, PageUp: large, PageDown: -large}[e.key];
    if (by === undefined) return;
    e.preventDefault();
    drag(Number(slider.value) + by);
  });
  byId('best').addEventListener('click', () => {
    state.spacing = null;
    remember();
    byId('hands').focus();
    refreshPose(false);
  });

  const chart = byId('curve');
  let turning = null;
  const turn = (e) => { if (curve && pose && pose.angle_range_deg) drag(spacingAt(curve.angleAt(e.clientX))); };
  chart.addEventListener('pointerdown', (e) => {
    if (!curve || e.button !== 0) return;
    chart.setPointerCapture(e.pointerId);
    turning = e.pointerId;
    turn(e);
  });
  chart.addEventListener('pointermove', (e) => { if (e.pointerId === turning) turn(e); });
  for (const name of ['pointerup', 'pointercancel']) chart.addEventListener(name, () => { turning = null; });
}

// refreshPeople asks for the curve of all people of the sex, to stand behind.
async function refreshPeople() {
  const p = person(state);
  const bare = {sex: p.sex, units: p.units, hold: p.hold, pose: p.pose, ...(p.legs ? {legs: p.legs} : {}), ...(p.tilt ? {tilt: p.tilt} : {})};
  const key = JSON.stringify(bare);
  if (!answer || answer.curves.length === 0 || !known(state) || people.key === key) return;
  try {
    const all = await lanes.people('answer', {person: bare, draws: catalogue.draws.default});
    if (!all) return;
    people = {key, curves: all.curves};
    showCurve();
  } catch {
    // The curve does without them.
  }
}

function showCurve() {
  const mine = answer.curves.find((c) => c.model === modelName());
  byId('curve-part').hidden = !mine;
  if (!mine) { curve = null; return; }
  const width = Math.max(280, Math.floor(byId('curve').clientWidth));
  const behind = known(state) ? people.curves.find((c) => c.model === mine.model) || null : null;
  curve = drawCurve({curve: mine, people: behind, width, height: width < 520 ? 260 : 340,
    title: `What the ${form.hold.title.toLowerCase()} asks at arm angles of ${mine.angles}.`});
  replace(byId('curve'), curve.root);
  const swatch = (kind, text) => el('li', null, el('span', {class: 'swatch ' + kind, 'aria-hidden': 'true'}), text);
  replace(byId('curve-key'), swatch('median', 'the middle body that fits'), swatch('bodies', 'what is not measured of the body, nine in ten'),
    swatch('all', 'and what nobody has measured'), behind ? swatch('people', 'nine in ten people of the sex') : null);
  byId('curve-words').textContent = mine.best;
  moveMarker();
}

function moveMarker() {
  if (!curve || !pose || !pose.possible || pose.angle_deg === null || pose.angle_deg === undefined) return;
  curve.move(pose.angle_deg, `${pose.texts.arms} · ${pose.texts.hands}`);
}

// changeRequest is what to ask about the change, or null.
function changeRequest() {
  const change = whatIf.request();
  return change ? {person: person(state), model: modelName(), change} : null;
}

async function refreshChange() {
  const request = changeRequest();
  if (!request) {
    whatIf.show(null);
    if (comparison) {
      comparison = null;
      showPose();
    }
    return;
  }
  let fresh;
  try {
    fresh = await lanes.change('change', {...request, draws: catalogue.draws.default});
  } catch (error) {
    if (changeRequest()) replace(byId('change-answer'), el('p', {class: 'fault'}, error.message));
    return;
  }
  if (!fresh || !changeRequest()) return; // or it was taken back meanwhile
  comparison = fresh;
  showChange();
  refineChange(request);
}

// refineChange is refine for a change.
const refineChange = later(async (request) => {
  let fresh;
  try {
    fresh = await asideChange('change', {...request, draws: catalogue.draws.full});
  } catch {
    return;
  }
  if (!fresh || !comparison || JSON.stringify(request) !== JSON.stringify(changeRequest())) return;
  comparison = fresh;
  showChange();
}, 400);

function showChange() {
  if (!comparison) return;
  byId('change-answer').dataset.draws = comparison.draws;
  whatIf.show(comparison);
  showPose();
}

const changedChange = inFrames(() => { remember(); refreshChange(); });

function listenForTools() {
  byId('copy').addEventListener('click', async () => {
    const link = byId('link'), address = location.href.split('#')[0] + '#' + toFragment(state, byId('with-numbers').checked);
    try {
      await navigator.clipboard.writeText(address);
      byId('shared').textContent = choice === 'http' ? 'Copied. It opens on this machine, while counterpoise explore runs at this address.' : 'Copied.';
    } catch {
      link.hidden = false;
      link.value = address;
      link.select();
      byId('shared').textContent = 'Copy it from the field below.';
    }
  });
  const page = () => {
    const title = [form.hold.title + (known(state) ? '' : ', an example'), drawnWords().join(', ')].filter(Boolean).join(': ');
    const ranges = [...document.querySelectorAll('.tile')].slice(0, 2).map((t) => `${t.querySelector('.tile-label').textContent.toLowerCase()} ${t.querySelector('.tile-value').textContent} (${t.querySelector('.small').textContent})`);
    // Drawn anew, so that a phone's file has the labels of a wide screen's.
    const room = byId('offstage');
    replace(room, drawn(pose, 920, {frame: figures.extent(figures.fromAnswer(pose))}).root);
    const made = sheet(room.firstElementChild, title, `${pictureWords} With all that is left open: ${ranges.join(', ')}. ${catalogue.validation} ` +
      `Source: counterpoise ${catalogue.version}, model ${modelName()}, bodies drawn from ${(catalogue.people.find((p) => p.name === answer.summary.people) || {credit: answer.summary.people}).credit}, ${answer.texts.draws} draws, seed ${answer.seed}.`);
    replace(room);
    return made;
  };
  const drawable = () => answer && pose && pose.possible;
  byId('save-svg').addEventListener('click', () => drawable() && saveSVG(page(), form.hold.name));
  byId('save-png').addEventListener('click', () => drawable() && savePNG(page(), form.hold.name));
  byId('print').addEventListener('click', async () => {
    byId('print').disabled = true;
    try {
      do await refreshCard(); while (state.hold === 'human-flag' && (!card || card.key !== cardKey()));
    } catch (error) {
      say(`No card: ${error.message}.`);
    }
    byId('print').disabled = false;
    window.print();
  });
  for (const id of ['card-name', 'card-size']) byId(id).addEventListener('change', soonCard);
  byId('forget').addEventListener('click', () => {
    Object.assign(state, {...empty(), hold: state.hold, units: state.units});
    byId('card-name').value = '';
    byId('second-part').open = false;
    form.draw();
    refresh();
    remember();
    byId('hold').focus();
  });
}

// The parts of the page are reached without touching the fragment, which is the
// state.
function listenForParts() {
  for (const link of document.querySelectorAll('a[href^="#"]')) {
    link.addEventListener('click', (e) => {
      e.preventDefault();
      const part = byId(link.getAttribute('href').slice(1));
      part.focus({preventScroll: true});
      const calm = matchMedia('(prefers-reduced-motion: reduce)').matches;
      part.scrollIntoView({behavior: calm ? 'auto' : 'smooth'});
    });
  }
  window.addEventListener('hashchange', () => {
    const linked = fromFragment(location.hash.slice(1));
    if (!linked) return;
    Object.assign(state, linked);
    form.draw();
    refresh();
  });
}

function showLimits() {
  replace(byId('limits-words'), el('p', null, el('strong', null, catalogue.validation)), el('p', null, catalogue.cautions),
    el('ul', null, catalogue.limits.map((l) => el('li', null, l))),
    el('h3', null, 'Left out of this hold'), el('ul', {id: 'leaves-out'}),
    el('h3', null, 'Whose bodies'), el('ul', null, catalogue.sources.map((s) => el('li', null, s))));
  byId('validation').textContent = catalogue.validation;
  byId('version').textContent = `counterpoise ${catalogue.version}. Computed ${choice === 'wasm' ? 'in this browser' : 'by the program on this machine'}; nothing is sent elsewhere.`;
}

// keepForOffline lets this browser keep the page, where it is computed here.
async function keepForOffline() {
  const tell = (text) => { byId('offline').textContent = text; };
  if (choice === 'http') return tell('It needs no network, only the program on this machine.');
  if (!navigator.serviceWorker) return tell('Once loaded it needs no network. To be kept for later it must come over https.');
  try {
    await navigator.serviceWorker.register('offline.js');
    await navigator.serviceWorker.ready;
    tell('Kept in this browser: it opens without a network too, as do the evidence pages that were opened.');
  } catch (error) {
    tell('Once loaded it needs no network. This browser did not keep it for later.');
  }
}

async function begin() {
  say(choice === 'wasm' ? 'Loading the simulation …' : '');
  performance.mark('begun');
  const early = {request: {person: person(state)}};
  try {
    const asked = ask('catalogue', {});
    early.answer = lanes.answer('answer', early.request);
    early.answer.catch(() => {}); // told when it is waited for
    catalogue = await asked;
  } catch (error) {
    say(`The simulation did not start: ${error.message}. Load the page again.`);
    return;
  }
  performance.measure('catalogue', 'begun');
  say('');
  form = new Form(catalogue, state, (typing) => {
    if (form) replace(byId('leaves-out'), form.hold.leaves_out.map((l) => el('li', null, l)));
    changed(typing);
  });
  whatIf = new WhatIf(catalogue, state, changedChange);
  showLimits();
  replace(byId('leaves-out'), form.hold.leaves_out.map((l) => el('li', null, l)));
  listenForDrags();
  listenForTools();
  listenForParts();
  listenForPages();
  if (matchMedia('(max-width: 40rem)').matches) for (const part of document.querySelectorAll('details.fold')) part.open = false;
  byId('curve-part').addEventListener('toggle', () => { if (answer) showCurve(); });
  let width = 0;
  new ResizeObserver(inFrames(() => {
    if (byId('figure').clientWidth === width || !answer) return;
    width = byId('figure').clientWidth;
    showPose();
    showCurve();
  })).observe(byId('see'));
  await refresh(early);
  keepForOffline();
  showSayings(catalogue, state.hold).then((s) => { sayings = s; }, (error) => { replace(byId('sayings-list'), el('p', {class: 'fault'}, error.message)); });
}

begin();
