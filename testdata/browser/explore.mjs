// The explore page in Chromium: its five flows over HTTP and with the simulation
// as WebAssembly, on a phone, a tablet and a desk, by touch, keyboard and mouse.
//
//   node testdata/browser/explore.mjs --program ./counterpoise [--shots FOLDER] [--only http|wasm] [--widths 360,1280] [--parts flows,first,looks,times,rest] [--site FOLDER] [--every-input]
//
// From the sources' own folder, where the program compiles the site. It starts
// `counterpoise explore`, writes the static site, and says what it checked. It ends
// with 1 if a check failed. Times are printed and not judged.

import {spawn} from 'node:child_process';
import {mkdtemp, mkdir, readFile, rm} from 'node:fs/promises';
import http from 'node:http';
import {createRequire} from 'node:module';
import os from 'node:os';
import path from 'node:path';
import {chromium} from 'playwright-core';

const option = (name, fallback) => {
  const i = process.argv.indexOf('--' + name);
  return i < 0 ? fallback : process.argv[i + 1];
};
const program = path.resolve(option('program', 'counterpoise'));
const shots = option('shots', '');
const only = option('only', '');
const widths = option('widths', '360,768,1280').split(',').map(Number);
const everyInput = process.argv.includes('--every-input'); // every input at every width and more widths, where the gate has one at each of three
const parts = option('parts', 'flows,first,looks,times,rest').split(',');
const axeSource = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
if (shots) await mkdir(shots, {recursive: true});

const failed = [];
let checks = 0;
function check(ok, what) {
  checks++;
  if (!ok) {
    failed.push(what);
    console.log('FAILED  ' + what);
  }
}
const equal = (found, wanted, what) => check(found === wanted, `${what}: found ${JSON.stringify(found)}, wanted ${JSON.stringify(wanted)}`);

// close says whether two JSON values agree, numbers to a relative 1e-12. It
// returns the first place where they do not.
function differs(a, b, at = '') {
  if (typeof a === 'number' && typeof b === 'number') return Math.abs(a - b) <= 1e-12 * Math.max(1, Math.abs(a), Math.abs(b)) ? '' : `${at}: ${a} and ${b}`;
  if (a === null || b === null || typeof a !== 'object' || typeof b !== 'object') return a === b ? '' : `${at}: ${JSON.stringify(a)} and ${JSON.stringify(b)}`;
  for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) {
    const found = differs(a[key], b[key], `${at}.${key}`);
    if (found) return found;
  }
  return '';
}

function run(...args) {
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, {stdio: ['ignore', 'pipe', 'pipe']});
    let text = '';
    child.stdout.on('data', (d) => { text += d; });
    child.stderr.on('data', (d) => { text += d; });
    child.on('error', reject);
    child.on('exit', (code) => (code === 0 ? resolve(text) : reject(new Error(`${args.join(' ')} ended with ${code}: ${text}`))));
  });
}

// serveProgram starts the server and waits for its address.
function serveProgram() {
  const child = spawn(program, ['explore', '--port', '0'], {stdio: ['ignore', 'pipe', 'pipe']});
  return new Promise((resolve, reject) => {
    let text = '';
    const take = (d) => {
      text += d;
      const address = text.match(/http:\/\/127\.0\.0\.1:\d+\/?/);
      if (address) resolve({base: address[0].replace(/\/?$/, '/'), stop: () => child.kill('SIGINT')});
    };
    child.stdout.on('data', take);
    child.stderr.on('data', take);
    child.on('exit', (code) => reject(new Error(`explore ended with ${code}: ${text}`)));
  });
}

const kinds = {'.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.wasm': 'application/wasm', '.svg': 'image/svg+xml', '.json': 'application/json'};

// serveFolder is as plain a file server as any static host; types are those it knows.
function serveFolder(folder, types = kinds) {
  const server = http.createServer(async (request, response) => {
    let name = decodeURIComponent(new URL(request.url, 'http://localhost').pathname);
    if (name.endsWith('/')) name += 'index.html';
    const file = path.join(folder, path.normalize(name));
    try {
      const bytes = await readFile(file);
      response.setHeader('Content-Type', types[path.extname(file)] || 'application/octet-stream');
      response.end(bytes);
    } catch {
      response.statusCode = 404;
      response.end();
    }
  });
  return new Promise((resolve) => server.listen(0, '127.0.0.1', () => resolve({base: `http://127.0.0.1:${server.address().port}/`, stop: () => server.close(), cut: () => server.closeAllConnections()})));
}

const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});

// open opens the page, and fails for whatever goes wrong on it.
async function open(base, {width = 1440, height = 900, touch = false, scheme = 'light', scale = 1, fragment = '', where}) {
  const context = await browser.newContext({
    viewport: {width, height}, hasTouch: touch, isMobile: touch, colorScheme: scheme, deviceScaleFactor: scale, acceptDownloads: true, reducedMotion: 'reduce',
    permissions: ['clipboard-read', 'clipboard-write'],
  });
  const page = await context.newPage();
  const origin = new URL(base).origin;
  page.on('console', (m) => { if (m.type() === 'error' || m.type() === 'warning') check(false, `${where}: the console says ${m.text()}`); });
  page.on('pageerror', (e) => check(false, `${where}: ${e.message}`));
  page.on('request', (r) => {
    const url = r.url();
    check(url.startsWith(origin + '/') || url.startsWith(`blob:${origin}/`), `${where}: a request leaves the origin: ${url}`);
    check(!/measurements|stature|mass/.test(url.split('#')[0]), `${where}: a request's address carries measurements: ${url}`);
  });
  await page.goto(base + (fragment ? '#' + fragment : ''));
  await page.waitForFunction(() => document.querySelectorAll('#hold option').length > 0);
  return {context, page};
}

// pointing is a way by what presses an element, presses a place, and drags from one.
const pointing = (press, pressAt, drag) => ({
  press,
  type: async (page, selector, text) => { await press(page, selector); await page.keyboard.type(text); },
  sex: (page, sex) => press(page, `label:has(input[name=sex][value=${sex}])`),
  select: (page, selector, value) => page.selectOption(selector, value),
  slide: async (page, selector, share) => {
    const box = await boxOf(page, selector);
    await pressAt(page, box.x + box.width * share, box.y + box.height / 2);
  },
  drag: async (page, selector, dy) => {
    const box = await boxOf(page, selector);
    await drag(page, box.x + box.width / 2, box.y + box.height / 2, dy);
  },
});

const ways = {
  mouse: pointing((page, selector) => page.click(selector), (page, x, y) => page.mouse.click(x, y), async (page, x, y, dy) => {
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let i = 1; i <= 6; i++) await page.mouse.move(x, y + dy * i / 6);
    await page.mouse.up();
  }),
  touch: pointing((page, selector) => page.tap(selector), (page, x, y) => page.touchscreen.tap(x, y), async (page, x, y, dy) => {
    const cdp = await page.context().newCDPSession(page);
    const send = (type, y) => cdp.send('Input.dispatchTouchEvent', {type, touchPoints: type === 'touchEnd' ? [] : [{x, y}]});
    await send('touchStart', y);
    for (let i = 1; i <= 6; i++) await send('touchMove', y + dy * i / 6);
    await send('touchEnd');
  }),
  keyboard: {
    press: async (page, selector) => { await page.focus(selector); await page.keyboard.press('Enter'); },
    type: async (page, selector, text) => { await tabTo(page, selector); await page.keyboard.type(text); },
    sex: async (page, sex) => { await tabTo(page, 'input[name=sex]'); await page.keyboard.press('Space'); if (sex === 'male') await page.keyboard.press('ArrowRight'); },
    select: async (page, selector, value) => { await page.focus(selector); await page.selectOption(selector, value); },
    slide: async (page, selector, share) => {
      await page.focus(selector);
      for (let i = 0; i < 10; i++) await page.keyboard.press(share > 0.5 ? 'ArrowRight' : 'ArrowLeft');
    },
    drag: async (page, selector, dy) => {
      await page.focus('#hands');
      for (let i = 0; i < 8; i++) await page.keyboard.press(dy < 0 ? 'ArrowUp' : 'ArrowDown');
    },
  },
};

async function boxOf(page, selector) {
  await page.locator(selector).first().scrollIntoViewIfNeeded();
  return page.locator(selector).first().boundingBox();
}

// tabTo goes to an element with the Tab key alone.
async function tabTo(page, selector) {
  for (let i = 0; i < 60; i++) {
    if (await page.evaluate((s) => document.activeElement.matches(s), selector)) {
      const outline = await page.evaluate(() => {
        const node = document.activeElement;
        const shown = node.matches('.switch input') ? node.nextElementSibling : node;
        return getComputedStyle(shown).outlineStyle;
      });
      check(outline !== 'none', `the focus on ${selector} is not visible`);
      return;
    }
    await page.keyboard.press('Tab');
  }
  check(false, `the Tab key does not reach ${selector}`);
}

// asked asks a question as the page is now, past its display.
const asked = (page, question, more = {}) => page.evaluate(async ([question, more]) => {
  const {ask} = await import('./transport.js');
  const {person, state} = await import('./state.js');
  return ask(question, {person: person(state), ...more});
}, [question, more]);

const plainSpaces = (text) => text.replaceAll('\u00a0', ' ');
const tile = async (page, quantity) => plainSpaces(await page.textContent(`[data-quantity=${quantity}] .tile-value`));

// settled waits until what was entered is asked, answered and drawn.
async function settled(page) {
  await page.waitForTimeout(280);
  await page.waitForFunction(() => document.querySelector('#see').getAttribute('aria-busy') !== 'true');
  await page.waitForTimeout(80);
}

// full waits until a part shows what as many bodies say as the command line draws.
async function full(page, part = '#see') {
  const draws = await page.evaluate(async () => (await (await import('./transport.js')).ask('catalogue', {})).draws.full);
  await settled(page);
  await page.waitForFunction(([part, draws]) => document.querySelector(part).dataset.draws === String(draws), [part, draws]);
  await page.waitForTimeout(80);
  return draws;
}

async function askFlow(page, way, where) {
  // Before anything is entered, somebody depends on the pole, and is said to be an example.
  await page.waitForSelector('[data-quantity=hand_spacing]', {timeout: 20000});
  await settled(page);
  check(await page.isVisible('#figure svg .body'), `${where}: nobody stands on the pole at once`);
  check(/^Example, not you: the middle of US women/.test(await page.textContent('#example')) && await page.isVisible('#example'), `${where}: what nobody entered is not marked as an example`);
  const example = await tile(page, 'hand_spacing');
  await way.type(page, '#f-person-measurements-stature', '181,5');
  await page.waitForFunction(() => /^No sex chosen/.test(document.querySelector('#example').textContent), null, {timeout: 5000}).catch(() => check(false, `${where}: a body without a sex is not told apart`));
  await page.focus('#hold');
  await way.sex(page, 'female');
  await page.fill('#f-person-measurements-stature', '');
  // A comma is as good as a point, in every field that takes a number.
  await page.fill('#f-person-measurements-stature', '');
  await way.type(page, '#f-person-measurements-stature', '168,0');
  await way.type(page, '#f-person-measurements-mass', '61');
  await way.type(page, '#f-person-measurements-span', '172');
  await page.waitForFunction((was) => document.querySelector('[data-quantity=hand_spacing] .tile-value').textContent !== was, example);
  await settled(page);
  await page.waitForFunction(() => document.querySelector('#example').hidden, null, {timeout: 3000}).catch(() => {});
  check(await page.isHidden('#example'), `${where}: an answer of one's own is marked as an example`);
  const answer = await asked(page, 'answer', {draws: await full(page)});
  const model = answer.summary.models.find((m) => m.model === 'equilibrium');
  const q = (name) => model.quantities.find((q) => q.quantity === name);
  equal(await tile(page, 'hand_spacing'), 5 * Math.round(20 * q('hand_spacing').body_and_assumptions.p50) + ' cm', `${where}: hand spacing`);
  equal(await tile(page, 'required_force'), (q('required_force').body_and_assumptions_absolute.p50 / 9.80665).toFixed(0) + ' kg', `${where}: force`);
  equal(await tile(page, 'best_angle'), q('best_angle').body_and_assumptions.p50.toFixed(0) + '°', `${where}: angle`);
  equal(await page.textContent('#headline'), answer.words.headline, `${where}: headline`);
  const {heavy} = await page.evaluate(async () => {
    const {ask} = await import('./transport.js');
    const of = (text) => ask('pose', {person: {sex: 'female', measurements: {stature: text}}, model: 'equilibrium'});
    return {heavy: [await of('168,3'), await of('168.3')].map((a) => JSON.stringify(a))};
  });
  equal(heavy[0], heavy[1], `${where}: a decimal comma`);
  await page.evaluate(() => document.querySelectorAll('#ask details, #change-more').forEach((d) => { d.open = true; }));
  // By their names: what is typed may make fields come and go, and their order with them.
  const fields = await page.locator('#ask input[type=text], #change input[type=text]').evaluateAll((nodes) => nodes.map((n) => n.id));
  for (const id of fields) {
    const input = page.locator('#' + id), was = await input.inputValue();
    await input.fill('1,5');
    await page.waitForTimeout(20);
    const reason = await input.evaluate((n) => { const f = document.getElementById(n.id + '-fault'); return f ? f.textContent : n.getAttribute('aria-invalid') === 'true' ? 'invalid' : ''; });
    check(!/comma|not a number|invalid/.test(reason), `${where}: 1,5 in ${id}: ${reason}`);
    await input.fill(was);
    equal(await input.inputValue(), was, `${where}: ${id} as it was`);
  }
  check(await page.locator('input[type=number]').count() === 0, `${where}: a field of numbers takes no comma in some languages`);
  await page.evaluate(() => { document.querySelectorAll('#ask details').forEach((d) => { d.open = false; }); });
  await page.fill('#f-person-measurements-stature', '168');
  await settled(page);

  // A slip is answered beside its field, and does not block the rest.
  const field = '#f-person-measurements-stature';
  await page.fill(field, '68');
  await page.waitForSelector(`${field}[aria-invalid=true]`);
  const words = await page.textContent(`${field}-fault`);
  check(/inches/.test(words), `${where}: no likely slip beside the field: ${words}`);
  check((await page.getAttribute(field, 'aria-describedby')).includes('f-person-measurements-stature-fault'), `${where}: the fault does not describe its field`);
  check(await page.isVisible('[data-quantity=hand_spacing]'), `${where}: a slip takes the answer away`);
  await way.press(page, `${field}-fault button`);
  await page.waitForFunction((f) => !document.querySelector(f).hasAttribute('aria-invalid'), field);
  equal(await page.inputValue(field), '172.7 cm', `${where}: the likely value`);
  await page.fill(field, '168');

  // Units turn at any time, and back.
  const focus = (units) => (way === ways.touch ? page.tap(`label:has(input[name=units][value=${units}])`) : page.click(`label:has(input[name=units][value=${units}])`));
  const turned = (was) => page.waitForFunction(([field, was]) => document.querySelector(field).value !== was, [field, was], {timeout: 3000}).catch(() => {});
  await settled(page);
  await focus('imperial');
  await turned('168');
  equal(await page.inputValue(field), '5 ft 6.1 in', `${where}: height in inches`);
  equal(await page.inputValue('#f-person-measurements-mass'), '134.5', `${where}: weight in pounds`);
  await settled(page);
  check(/^\d+ in$/.test(await tile(page, 'hand_spacing')), `${where}: no whole inches: ${await tile(page, 'hand_spacing')}`);
  await focus('metric');
  await turned('5 ft 6.1 in');
  equal(await page.inputValue(field), '168', `${where}: height back in centimetres`);
  await settled(page);
}

async function dragFlow(page, way, where) {
  const best = await page.textContent('#hands-text');
  const look = () => page.evaluate(() => ({
    spacing: document.querySelector('#hands-text').textContent, label: document.querySelector('.label.dimension').textContent,
    marker: document.querySelector('.marker text').textContent, forces: document.querySelector('.figures tbody').textContent,
  }));
  const before = await look();
  await way.drag(page, '.handle[data-hand=top]', -24);
  await page.waitForFunction((was) => document.querySelector('.marker text').textContent !== was, before.marker);
  await settled(page);
  const after = await look();
  for (const what of ['spacing', 'label', 'marker', 'forces']) check(after[what] !== before[what], `${where}: ${what} does not follow the hands`);
  check(after.label.includes(after.spacing) && after.marker.includes(after.spacing), `${where}: hands ${after.spacing}, picture ${after.label}, curve ${after.marker}`);
  const wider = parseFloat(after.spacing) > parseFloat(before.spacing);
  check(wider, `${where}: the top hand up does not put the hands wider: ${before.spacing}, ${after.spacing}`);
  const pose = await asked(page, 'pose', {model: 'equilibrium', spacing_m: await page.evaluate(async () => (await import('./state.js')).state.spacing)});
  const force = pose.figure.supports[0].texts.weight;
  check(after.forces.includes(force), `${where}: the table lacks the force ${force} of this posture`);

  await page.focus('#hands');
  await page.keyboard.press('End');
  await settled(page);
  equal(plainSpaces(await page.getAttribute('#hands', 'aria-valuetext')), (100 * pose.figure.spacing_range_m.most).toFixed(1) + ' cm', `${where}: End`);
  await page.keyboard.press('Home');
  await settled(page);
  equal(plainSpaces(await page.getAttribute('#hands', 'aria-valuetext')), (100 * pose.figure.spacing_range_m.least).toFixed(1) + ' cm', `${where}: Home`);
  await page.keyboard.press('ArrowUp');
  await settled(page);
  equal(plainSpaces(await page.getAttribute('#hands', 'aria-valuetext')), (100 * pose.figure.spacing_range_m.least + 1).toFixed(1) + ' cm', `${where}: an arrow key`);
  await way.press(page, '#best');
  await settled(page);
  equal(await page.textContent('#hands-text'), best, `${where}: back to best`);
}

async function whatIfFlow(page, way, where) {
  // An answer that comes meanwhile leaves the field that is typed in, and what is typed.
  const arms = await page.locator('#change-arm_length-number').elementHandle();
  await page.fill('#f-person-measurements-mass', '62');
  await arms.focus();
  await arms.fill('1,');
  await settled(page);
  check(await arms.evaluate((n) => n.isConnected && n === document.activeElement && n.value === '1,'), `${where}: an answer takes away the field that is typed in`);
  await arms.fill('0');
  // One mass more is offered once there is one.
  await way.press(page, '#change-none');
  await page.evaluate(() => { document.querySelector('#change-more').open = true; });
  check(await page.isHidden('#another-mass'), `${where}: another mass before the first`);
  await page.fill('#mass-0-kilograms-number', '2');
  check(await page.isVisible('#another-mass'), `${where}: no other mass after the first`);
  await way.press(page, '#change-none');
  await page.fill('#f-person-measurements-mass', '61');
  await settled(page); // what is still to come would move the sliders under a finger
  await way.slide(page, '#change-arm_length', 0.8);
  await page.waitForSelector('#change-words');
  await settled(page);
  const centimetres = Number(await page.inputValue('#change-arm_length'));
  check(centimetres > 0, `${where}: the slider did not move`);
  const comparison = await asked(page, 'change', {model: 'equilibrium', draws: await full(page, '#change-answer'), change: {arm_length: `+${centimetres} cm`}});
  equal(await page.textContent('#change-words'), comparison.words.headline, `${where}: the difference in a sentence`);
  equal(await page.locator('#figure .laid-over.changed').count(), 1, `${where}: the changed body over the first`);
  equal(await page.locator('.change-words + .reason, #change-answer .reason').count(), (comparison.words.sentences || []).length, `${where}: reasons`);
  // It stands beside the drawing, where there is room for both.
  const [drawing, panel] = [await page.locator('#picture').boundingBox(), await page.locator('#what-if').boundingBox()];
  if (page.viewportSize().width >= 768) check(panel.x >= drawing.x + drawing.width && Math.abs(panel.y - drawing.y) < 40, `${where}: what if does not stand beside the drawing`);
  else check(panel.y >= drawing.y + drawing.height && panel.y - drawing.y - drawing.height < 40, `${where}: what if does not follow the drawing`);
  const spacing = comparison.quantities.find((q) => q.quantity === 'hand_spacing');
  const row = plainSpaces(await page.textContent('#change-answer tr:has(th:text-is("Hand spacing"))'));
  for (const x of [spacing.before.p50, spacing.after.p50]) check(row.includes((100 * x).toFixed(0) + ' cm'), `${where}: the row lacks ${x}: ${row}`);
  await way.press(page, '#change-none');
  await settled(page);
  check(await page.isHidden('#change-words'), `${where}: no change is still compared`);
  equal(await page.locator('#figure .laid-over').count(), 0, `${where}: a body laid over is left`);
  // A comma in a number of the change.
  await page.fill('#change-arm_length-number', '2,5');
  await settled(page);
  check(/^Arms \+2\.5/.test(await page.textContent('#change-words')), `${where}: ${await page.textContent('#change-words')}`);
  await page.fill('#change-arm_length-number', '0');
  await settled(page);
}

// reasonFlow moves the hands apart: less force, and yet harder.
async function reasonFlow(page, way, where) {
  const pose = async (spacing_m) => (await asked(page, 'pose', {model: 'equilibrium', ...(spacing_m ? {spacing_m} : {})})).figure;
  const best = await pose(), range = best.spacing_range_m;
  const demand = (f, name) => f.demands.find((d) => d.quantity === name).value;
  const uses = (f) => f.demands.filter((d) => /^use_of_/.test(d.quantity) && d.value >= 0.99 * demand(f, 'difficulty')).map((d) => d.quantity).sort().join();
  let apart = 0, other = 0;
  for (let i = 1; i < 8; i++) {
    const to = range.least + (range.most - range.least) * i / 8, posed = await pose(to);
    await page.evaluate((x) => { const n = document.querySelector('#hands'); n.value = x; n.dispatchEvent(new Event('input')); }, to);
    await settled(page);
    const said = plainSpaces(await page.textContent('#reason'));
    const force = demand(posed, 'required_force') / demand(best, 'required_force') - 1, harder = demand(posed, 'difficulty') / demand(best, 'difficulty') - 1;
    if (force < -0.01 && harder > 0.01) {
      apart++;
      check(/^The force along the harder-working arm falls by .* and yet it gets .* harder\. (Gives|What gives) out first/.test(said), `${where}: with the hands at ${to}: ${said}`);
    }
    if (uses(posed) !== uses(best)) {
      other++;
      check(/Gives out first now/.test(said), `${where}: another group gives out at ${to}, and nothing says so: ${said}`);
    }
    if (uses(posed) === uses(best) && force * harder >= 0) equal(said, '', `${where}: a reason where all is as expected`);
  }
  check(apart > 0 && other > 0, `${where}: no posture moved against its force (${apart}, ${other})`);
  await page.evaluate(() => document.querySelector('#best').click());
  await settled(page);
}

// secondFlow lays another body over the first.
async function secondFlow(page, way, where) {
  await way.press(page, '#second-part > summary');
  const own = await tile(page, 'hand_spacing');
  if (way === ways.keyboard) {
    await tabTo(page, '#second input[type=radio]');
    await page.keyboard.press('Space');
    await page.keyboard.press('ArrowRight');
  } else await way.press(page, 'label:has(input[name=second-sex][value=male])');
  await way.type(page, '#f-second-measurements-stature', '185,5');
  await settled(page);
  await page.waitForFunction(() => document.querySelector('#figure .laid-over.second') && /185\.5/.test(document.querySelector('#over-key').textContent), null, {timeout: 8000})
    .catch(() => check(false, `${where}: no second body over the first`));
  const {answer} = await page.evaluate(async () => {
    const {ask} = await import('./transport.js');
    return {answer: await ask('answer', {person: {sex: 'male', measurements: {stature: '185.5'}}, draws: 2000})};
  });
  const i = answer.summary.models.findIndex((m) => m.model === 'equilibrium');
  const k = answer.summary.models[i].quantities.findIndex((q) => q.quantity === 'hand_spacing');
  equal(plainSpaces(await page.textContent('[data-quantity=hand_spacing] .other strong')), plainSpaces(answer.texts.models[i].quantities[k].value), `${where}: the second person's number`);
  equal(await tile(page, 'hand_spacing'), own, `${where}: one's own number`);
  await page.fill('#f-second-measurements-stature', '85');
  await page.waitForFunction(() => document.querySelector('#f-second-measurements-stature-fault').textContent !== '', null, {timeout: 5000}).catch(() => check(false, `${where}: no fault at the second person's field`));
  await way.press(page, '#no-second');
  await settled(page);
  equal(await page.locator('#figure .laid-over, .tile .other').count(), 0, `${where}: the second person is left`);
  await way.press(page, '#second-part > summary');
}

// cardFlow prints the card, at both sizes.
async function cardFlow(page, way, where) {
  await page.evaluate(() => { window.print = () => { window.printed = (window.printed || 0) + 1; }; });
  await page.fill('#card-name', 'Io');
  let printed = 0;
  for (const [size, box] of [['a6', [105, 148]], ['a4', [210, 297]]]) {
    await page.selectOption('#card-size', size);
    await way.press(page, '#print');
    await page.waitForFunction((n) => (window.printed || 0) > n, printed++, {timeout: 20000});
    const card = await asked(page, 'card', {draws: 20000});
    const text = plainSpaces(await page.textContent('#card'));
    check(text.includes('Io: hands ') && card.texts.says.every((s) => text.includes(plainSpaces(s.text))) && card.texts.marks.every((m) => text.includes(plainSpaces(m))), `${where} ${size}: the card says ${text.slice(0, 300)}`);
    check(await page.locator('#card svg .body').count() === 1, `${where} ${size}: the card has no drawing`);
    const pdf = (await page.pdf({preferCSSPageSize: true})).toString('latin1');
    const pages = [...pdf.matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/g)].map((m) => [m[1], m[2]].map((x) => x * 25.4 / 72));
    check(pages.length === 1 && Math.abs(pages[0][0] - box[0]) < 1 && Math.abs(pages[0][1] - box[1]) < 1, `${where} ${size}: printed are ${pages.length} pages of ${pages[0]}`);
    if (shots) await page.pdf({preferCSSPageSize: true, path: path.join(shots, `card-${size}-${where.replace(/\W+/g, '-')}.pdf`)});
  }
  check(await page.isHidden('#card'), `${where}: the card stands on the screen`);
}

async function sayingsFlow(page, way, where) {
  await page.evaluate(() => document.querySelectorAll('#sayings details').forEach((d) => { d.open = true; }));
  const {sayings} = await page.evaluate(async () => (await import('./transport.js')).ask('sayings', {}));
  if (sayings.length === 0) {
    console.log(`        ${where}: no sayings came with this page`);
    return;
  }
  const here = sayings.filter((s) => s.hold === 'human-flag');
  equal(await page.locator('.saying').count(), here.length, `${where}: sayings of the hold`);
  await way.select(page, '#sayings-hold', '');
  equal(await page.locator('.saying').count(), sayings.length, `${where}: all sayings`);
  for (const s of sayings.slice(0, 3)) {
    const text = await page.textContent(`.saying:has-text(${JSON.stringify(s.says)})`);
    check(text.includes(s.verdict) && s.headline.split(/(?<=[.!]) (?=[A-Z])/).every((t) => text.includes(t)), `${where}: “${s.says}” lacks its verdict or headline`);
  }
  const first = sayings.find((s) => s.page);
  if (first) {
    const status = await page.evaluate(async (p) => (await fetch(p)).status, first.page);
    equal(status, 200, `${where}: the evidence page ${first.page}`);
  }
}

// The browser has one clipboard for all its pages: one copies and reads at a time.
let clipboard = Promise.resolve();
const alone = (f) => (clipboard = clipboard.catch(() => {}).then(f));

async function shareFlow(page, base, way, where, options) {
  const copied = () => alone(async () => {
    await page.evaluate(() => { document.querySelector('#shared').textContent = ''; });
    await way.press(page, '#copy');
    await page.waitForFunction(() => document.querySelector('#shared').textContent !== '');
    return page.evaluate(() => navigator.clipboard.readText());
  });
  // Neither the address nor a link tells anything of a person unless that is asked for.
  const personal = /168|61|172|sex|female|measurements|hands=|tests|scan|load/;
  const plain = await copied();
  check(/hold=human-flag/.test(plain) && !personal.test(plain.split('#')[1]), `${where}: a link that nobody asked numbers of: ${plain}`);
  check(!personal.test(await page.evaluate(() => location.hash)), `${where}: the address tells ${await page.evaluate(() => location.hash)}`);
  await page.reload();
  await page.waitForSelector('[data-quantity=hand_spacing]', {timeout: 20000});
  equal(await page.inputValue('#f-person-measurements-stature'), '168', `${where}: after a reload`);
  if (way === ways.keyboard) { await page.focus('#with-numbers'); await page.keyboard.press('Space'); } else await way.press(page, '#with-numbers');
  const link = await copied();
  check(link.includes('measurements.stature=168'), `${where}: the link lacks what was entered: ${link}`);
  check(!link.split('#')[0].includes('stature'), `${where}: measurements stand before the #`);
  const {page: other, context} = await open(base, {...options, fragment: link.split('#')[1], where});
  await other.waitForSelector('[data-quantity=hand_spacing]');
  await Promise.all([full(page), full(other)]);
  for (const name of ['hand_spacing', 'required_force']) equal(await tile(other, name), await tile(page, name), `${where}: ${name} by the link`);
  equal(await other.inputValue('#f-person-measurements-stature'), '168', `${where}: what was entered, by the link`);
  await context.close();

  for (const kind of ['svg', 'png']) {
    const [download] = await Promise.all([page.waitForEvent('download'), way.press(page, '#save-' + kind)]);
    const bytes = await readFile(await download.path());
    equal(download.suggestedFilename(), 'human-flag.' + kind, `${where}: the file's name`);
    if (kind === 'svg') {
      const text = bytes.toString();
      for (const wanted of ['Model estimate', 'counterpoise', 'Human flag']) check(text.includes(wanted), `${where}: the SVG lacks “${wanted}”`);
      check(!/var\(|class=|style=/.test(text), `${where}: the SVG leans on the page's style`);
    } else {
      check(bytes.subarray(1, 4).toString() === 'PNG' && bytes.length > 10000, `${where}: no PNG`);
      if (shots) await download.saveAs(path.join(shots, `saved-${where.replace(/\W+/g, '-')}.png`));
    }
  }
}

// forgetFlow comes last: it takes everything away again.
async function forgetFlow(page, way, where) {
  await way.press(page, '#forget');
  await settled(page);
  await page.waitForFunction(() => /^Example/.test(document.querySelector('#example').textContent) && !document.querySelector('#example').hidden, null, {timeout: 5000}).catch(() => check(false, `${where}: an answer is left`));
  check(!/168|measurements/.test(await page.evaluate(() => sessionStorage.getItem('state'))), `${where}: numbers are kept`);
  equal(await page.inputValue('#f-person-measurements-stature'), '', `${where}: height`);
  check(!/measurements|sex/.test(await page.evaluate(() => location.hash)), `${where}: the address still has numbers`);
}

// late holds answers back until what they are about was taken away: they are not shown.
async function late(base, name) {
  const where = name + ' late answers';
  const {page, context} = await open(base, {fragment: fragment + '&change.arm_length=5', where});
  await page.waitForSelector('#change-words');
  await settled(page);
  let letGo;
  const gate = new Promise((resolve) => { letGo = resolve; });
  await page.route(/\/api\/(answer|pose|change)$/, async (route) => { await gate; await route.continue(); });
  await page.fill('#change-arm_length-number', '7');
  await page.fill('#f-person-measurements-stature', '171');
  await page.waitForTimeout(400); // until both are asked
  await page.click('#change-none');
  await page.click('#forget');
  letGo();
  await settled(page);
  check(/^Example/.test(await page.textContent('#example')) && await page.isVisible('#example'), `${where}: what was forgotten is shown again`);
  check(await page.isHidden('#change-words'), `${where}: a change that was taken back is compared`);
  await context.close();
}

// beforehand compares what the site's files answer with what its program does.
async function beforehand(base) {
  const where = 'wasm beforehand', {page, context} = await open(base, {where});
  await page.waitForSelector('[data-quantity=hand_spacing]');
  const files = await page.evaluate(async () => {
    const {ask, askAside} = await import('./transport.js');
    const person = {sex: 'male', units: 'metric', hold: 'front-lever', measurements: {}, scan: {}, pose: {}, load: {}};
    const same = async (question, body) => JSON.stringify(await ask(question, body)) === JSON.stringify(await askAside(question, body));
    const alike = [await same('catalogue', {}), await same('answer', {person})];
    return {alike, read: performance.getEntriesByType('resource').map((e) => new URL(e.name).pathname).filter((n) => n.endsWith('.json'))};
  });
  equal(files.alike.join(), 'true,true', `${where}: the program's own answers`);
  equal(files.read.join(), '/catalogue.json,/answers/human-flag-female.json,/catalogue.json,/answers/front-lever-male.json', `${where}: files that were read`);
  await context.close();
}

// offline loads the static site once, takes the network away, and loads it again.
async function offline(folder) {
  const where = 'wasm without a network', server = await serveFolder(folder);
  const {page, context} = await open(server.base, {where});
  await page.waitForFunction(() => /^Kept in this browser/.test(document.querySelector('#offline').textContent), null, {timeout: 30000}).catch(async () => check(false, `${where}: not kept: ${await page.textContent('#offline')}`));
  const was = await tile(page, 'hand_spacing');
  server.stop();
  server.cut();
  await context.setOffline(true);
  await page.reload().catch((e) => check(false, `${where}: ${e.message}`));
  await page.waitForSelector('[data-quantity=hand_spacing]', {timeout: 30000}).catch(() => check(false, `${where}: no answer`));
  equal(await tile(page, 'hand_spacing'), was, `${where}: the answer`);
  await page.fill('#f-person-measurements-stature', '181');
  await page.waitForFunction((was) => document.querySelector('[data-quantity=hand_spacing] .tile-value').textContent.replaceAll('\u00a0', ' ') !== was, was, {timeout: 15000}).catch(() => check(false, `${where}: another body is not answered`));
  await context.close();
}

// firstScreen is what a phone shows before it is moved, and how long the page is.
async function firstScreen(base, name) {
  for (const [scheme, fragment] of [['light', ''], ['dark', ''], ['light', fragmentOf.own]]) {
    const where = `${name} first screen ${scheme} ${fragment ? 'own' : 'example'}`;
    const {page, context} = await open(base, {width: 360, height: 740, touch: true, scheme, scale: 2, fragment, where});
    await page.waitForSelector('[data-quantity=hand_spacing]', {timeout: 20000});
    await full(page);
    for (const part of ['#tiles', '#figure svg']) {
      const box = await page.locator(part).boundingBox();
      check(box.y >= 0 && box.y + box.height <= 740, `${where}: ${part} from ${box.y} to ${box.y + box.height} of 740 px`);
    }
    const height = await page.evaluate(() => document.documentElement.scrollHeight);
    check(height < 4000, `${where}: the page is ${height} px high`);
    if (shots) await page.screenshot({path: path.join(shots, `first-${name}-${scheme}${fragment ? '-own' : ''}.png`)});
    await context.close();
  }
}

// impossible asks for a posture that nobody can take, and finds back from there.
async function impossible(base, name) {
  const where = name + ' an impossible posture';
  const {page, context} = await open(base, {fragment: fragment + '&hands=9', where});
  await page.waitForFunction(() => /cannot be held/.test(document.querySelector('#figure').textContent));
  const text = await page.textContent('#figure');
  check(/^With the hands 900.0.cm apart this body cannot be held; possible are [^.]+\.\d.cm to [^.]+\.\d.cm\.$/.test(text), `${where}: ${text}`);
  await page.click('#best');
  await page.waitForSelector('#figure svg').catch(() => check(false, `${where}: no way back to the best`));
  await context.close();
}

// untyped is a host that does not know what WebAssembly is.
async function untyped(folder) {
  const server = await serveFolder(folder, {...kinds, '.wasm': undefined});
  try {
    const {page, context} = await open(server.base, {fragment, where: 'wasm of no type'});
    await page.waitForSelector('[data-quantity=hand_spacing]').catch(() => check(false, 'wasm of no type: no answer'));
    await context.close();
  } finally {
    server.stop();
  }
}

// verifies lets the page run evidence again: as it was published, with a word altered, and what
// is no evidence. Served it is this program's answer, as WebAssembly the browser's.
async function verifies(base, name, evidence) {
  const {page, context} = await open(base, {fragment, where: name + ' verify'});
  await page.evaluate(() => { document.querySelector('#verify').open = true; });
  const published = await readFile(evidence, 'utf8');
  const word = published.match(/<h1[^>]*>[^<]*/)[0];
  for (const [file, text, said] of [
    ['as-published.html', published, /^The same, byte for byte/],
    ['altered.html', published.replace(word, word + '!'), /^Not the same: line \d+ of the page, whose data are the same\..* so the page was altered\.$/],
    ['letter.html', '<p>hello', /^letter\.html: is not a page of this program/],
  ]) {
    await page.setInputFiles('#verify-file', {name: file, mimeType: 'text/html', buffer: Buffer.from(text)});
    await page.waitForFunction((file) => { const t = document.querySelector('#verify-told').textContent; return t && !t.startsWith('Running'); }, file, {timeout: 120000})
      .catch(() => check(false, `${name} verify ${file}: no answer`));
    const told = await page.locator('#verify-told p').last().textContent();
    check(said.test(told), `${name} verify ${file}: ${told}`);
    if (shots) await page.locator('#verify').screenshot({path: path.join(shots, `verify-${name}-${file}.png`)});
  }
  await context.close();
}

// axe looks for what keeps people out, with everything opened.
async function axe(page, where) {
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => { d.open = true; }));
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}));
  for (const v of found.violations) check(false, `${where}: ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 140)).join(' | ')}`);
  checks += found.passes.length;
}

async function overflow(page, where) {
  const [whole, seen] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
  check(whole <= seen, `${where}: the page is ${whole} px wide, ${seen} are seen`);
}

const fragmentOf = {own: 'hold=human-flag&sex=female&measurements.stature=168,0&measurements.mass=61&measurements.span=172'};
const fragment = 'hold=human-flag&sex=female&measurements.stature=168&measurements.mass=61&measurements.span=172';

async function looks(base, name) {
  for (const [width, height, scale] of [[360, 740, 2], [768, 1024, 1], [1280, 800, 1], ...(everyInput ? [[320, 640, 1], [1440, 900, 1], [2560, 1440, 1], [720, 450, 2]] : [])]) {
    for (const scheme of ['light', 'dark']) {
      const where = `${name} ${width} px ${scheme}`;
      const {page, context} = await open(base, {width, height, scale, scheme, fragment: fragment + '&change.arm_length=5&second.sex=male&second.stature=185', where});
      await page.waitForSelector('[data-quantity=hand_spacing]');
      await settled(page);
      await overflow(page, where);
      if (shots) await page.screenshot({path: path.join(shots, `${name}-${width}-${scheme}.png`), fullPage: true});
      await axe(page, where);
      await overflow(page, where + ', all opened');
      await context.close();
    }
  }
}

// holds goes through every hold and leg form: a picture, and labels that lie
// neither on each other nor outside.
async function holds(base, name) {
  const {page, context} = await open(base, {fragment, where: name + ' holds'});
  const {holds} = await page.evaluate(async () => (await import('./transport.js')).ask('catalogue', {}));
  for (const width of [1440, 360]) {
    await page.setViewportSize({width, height: 900});
    for (const h of holds) {
      for (const legs of h.legs) {
        const where = `${name} ${width} px ${h.name} ${legs.name}`;
        await page.selectOption('#hold', h.name);
        if (h.legs.length > 1) await page.selectOption('#legs', legs.name);
        await settled(page);
        const {labels, frame} = await page.evaluate(() => {
          const box = (n) => { const r = n.getBoundingClientRect(); return {text: n.textContent, x: r.x, y: r.y, right: r.right, bottom: r.bottom}; };
          const drawing = document.querySelector('#figure svg');
          return drawing ? {labels: [...drawing.querySelectorAll('.label text')].map(box), frame: box(drawing)} : {labels: null};
        });
        check(labels !== null, `${where}: no picture`);
        if (!labels) continue;
        labels.forEach((a, i) => {
          check(a.x >= frame.x - 1 && a.right <= frame.right + 1 && a.y >= frame.y - 1 && a.bottom <= frame.bottom + 1, `${where}: the label “${a.text}” leaves the picture`);
          for (const b of labels.slice(0, i)) {
            const wide = Math.min(a.right, b.right) - Math.max(a.x, b.x), high = Math.min(a.bottom, b.bottom) - Math.max(a.y, b.y);
            check(!(wide > 2 && high > 6), `${where}: the labels “${a.text}” and “${b.text}” overlap`);
          }
        });
        if (shots && legs.name === 'together') await page.locator('#picture').screenshot({path: path.join(shots, `hold-${width}-${h.name}.png`)});
      }
    }
  }
  await context.close();
}

// times prints how long a change of input takes, and the first use.
async function times(base, name) {
  const {page, context} = await open(base, {where: name + ' times', fragment: 'sex=female'});
  await page.waitForSelector('[data-quantity=hand_spacing]');
  const [first, since] = await page.evaluate(() => ['catalogue', 'shown'].map((n) => performance.getEntriesByName(n)[0]).map((e) => e.startTime + e.duration));
  for (let i = 0; i < 8; i++) {
    await page.fill('#f-person-measurements-stature', String(165 + i));
    await page.waitForTimeout(1200);
  }
  const median = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];
  const [answer, shown] = await page.evaluate(() => ['answer', 'shown'].map((n) => performance.getEntriesByName(n).slice(1).map((e) => e.duration)));
  const poses = await page.evaluate(async () => {
    const {ask} = await import('./transport.js');
    const body = {person: {sex: 'female', measurements: {stature: '172'}}, model: 'equilibrium'};
    await ask('pose', body);
    const begun = performance.now();
    for (let i = 0; i < 20; i++) await ask('pose', {...body, angle_deg: 30 + i});
    return (performance.now() - begun) / 20;
  });
  console.log(`times   ${name}: first use: catalogue after ${first.toFixed(0)} ms, first answer on the page after ${since.toFixed(0)} ms; a change of input with 2,000 draws answered in ${median(answer).toFixed(0)} ms, shown in ${median(shown).toFixed(0)} ms (medians of ${answer.length}); a pose ${poses.toFixed(1)} ms`);
  await context.close();
}

const folder = await mkdtemp(path.join(os.tmpdir(), 'explore-'));
const site = option('site', path.join(folder, 'site')); // one that was written before, or a new one
const servers = {};
try {
  if (only !== 'wasm') servers.http = await serveProgram();
  if (only !== 'http') {
    if (!option('site', '')) await run('explore', '--static', site);
    servers.wasm = await serveFolder(site);
  }
  // What is served and what is computed in the browser at the same time: most of a flow is waiting.
  await Promise.all(Object.entries(servers).map(async ([name, {base}]) => {
    for (const [width, height] of [[360, 740], [768, 1024], [1280, 800]].filter(([width]) => parts.includes('flows') && widths.includes(width))) {
      for (const [input, way] of Object.entries(ways)) {
        if ((name === 'wasm' || !everyInput) && ({360: 'touch', 768: 'keyboard', 1280: 'mouse'})[width] !== input) continue;
        const where = `${name} ${width} px ${input}`;
        const options = {width, height, touch: input === 'touch'};
        const {page, context} = await open(base, {...options, where});
        for (const [flow, steps] of Object.entries({ask: askFlow, drag: dragFlow, reason: reasonFlow, 'what if': whatIfFlow, 'second person': secondFlow, card: cardFlow, sayings: sayingsFlow, share: (p, w, x) => shareFlow(p, base, w, x, options), forget: forgetFlow})) {
          try {
            await steps(page, way, `${where} ${flow}`);
          } catch (error) {
            check(false, `${where} ${flow}: ${error.message.split('\n').slice(0, 3).join(' ')}`);
          }
          console.log(`${failed.some((what) => what.startsWith(`${where} ${flow}`)) ? 'FAILED' : 'ok'}      ${where} ${flow}`);
        }
        await overflow(page, where);
        await context.close();
      }
    }
  }));
  for (const [name, {base}] of Object.entries(servers)) {
    if (parts.includes('first')) await firstScreen(base, name);
    // Both have the same files: the looks of one are those of the other.
    if (parts.includes('looks') && (name === 'http' || only === 'wasm')) await looks(base, name);
    if (parts.includes('times')) await times(base, name);
  }
  const rest = parts.includes('rest');
  if (rest && servers.http) {
    await late(servers.http.base, 'http');
    await impossible(servers.http.base, 'http');
    await holds(servers.http.base, 'http');
  }
  if (rest) {
    await run('claim', 'test', 'longer-arms', '--n', '2000', '--assumption-draws', '0', '--out', path.join(folder, 'claim'));
    for (const [name, {base}] of Object.entries(servers)) await verifies(base, name, path.join(folder, 'claim', 'evidence.html'));
  }
  if (rest && servers.wasm) {
    await untyped(site);
    await beforehand(servers.wasm.base);
    await offline(site);
  }
  if (rest && servers.http && servers.wasm) {
    const both = [];
    for (const name of ['http', 'wasm']) {
      const {page, context} = await open(servers[name].base, {fragment, where: name + ' compared'});
      both.push([await asked(page, 'answer', {draws: 2000}), await asked(page, 'pose', {model: 'equilibrium', angle_deg: 50}),
        await asked(page, 'change', {model: 'equilibrium', draws: 2000, change: {arm_length: '+5 cm'}})]);
      await context.close();
    }
    const difference = differs(both[0], both[1]);
    check(difference === '', `the transports answer differently at ${difference}`);
  }
} finally {
  await browser.close();
  for (const s of Object.values(servers)) s.stop();
  await rm(folder, {recursive: true, force: true});
}
console.log(`${checks} checks, ${failed.length} failed`);
process.exit(failed.length ? 1 : 0);
