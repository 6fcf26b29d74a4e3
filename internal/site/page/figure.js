// The hold as a picture to scale: the body from its own segment lengths, what it
// is held by, the forces that hold it up and the moments at its joints.
//
// Lengths, places and outlines come from the answer, in metres. The picture is drawn in the pixels of its frame, so
// that type has the same size on every screen.

import {svg, typeface} from './dom.js';
import {place, along} from './place.js';

const plus = (p, q, t = 1) => [p[0] + t * q[0], p[1] + t * q[1]];
const minus = (p, q) => [p[0] - q[0], p[1] - q[1]];
const size = (v) => Math.hypot(v[0], v[1]);
const unit = (v) => (size(v) > 0 ? [v[0] / size(v), v[1] / size(v)] : [0, 0]);
const across = (v) => [-v[1], v[0]];

// pathOf is a closed outline in pixels.
const pathOf = (points, at) => `M${points.map((p) => at(p).map(f).join(' ')).join('L')}Z`;

const f = (x) => (Math.round(x * 10) / 10).toString();

// fromAnswer turns a figure of an answer into what is drawn.
export function fromAnswer(a) {
  const weight = a.weight_n;
  const figure = {
    stature: a.stature_m, centre: a.centre, texts: a.texts, body: a.body, fixture: a.fixture,
    bones: a.bones.filter((b) => a.from_front || !/^(right|other) /.test(b.segment)),
    supports: [...a.supports, ...a.loads].map((s) => ({name: s.name, at: s.at, force: s.force_n.map((c) => c / weight), texts: s.texts})),
    carried: (a.carried || []).map((c) => ({text: c.text, at: c.at, force: c.force_n.map((x) => x / weight), texts: c.texts})),
    moments: a.joints.filter((j) => Math.abs(j.moment_bwm) >= 0.0005).map((j) => ({name: j.name, at: j.at, value: j.moment_bwm, texts: j.texts})),
  };
  if (typeof a.spacing_m === 'number' && figure.supports.length > 1) figure.hands = [figure.supports[0].at, figure.supports[1].at];
  return figure;
}

// extent is the smallest box in metres that holds a figure, with its arrows or
// with room for arrows of one body weight.
export function extent(figure, arrows = true) {
  const points = [];
  for (const shape of figure.body) points.push(...shape.points);
  for (const e of figure.fixture) points.push(e.from, e.to);
  const long = perWeight(figure);
  if (arrows) for (const s of figure.supports) points.push(...arrowOf(figure, s, long));
  points.push(plus(figure.centre, [0, -0.75 * long]));
  const x = points.map((p) => p[0]), y = points.map((p) => p[1]);
  const edge = 0.04 * figure.stature;
  return {left: Math.min(...x) - edge, right: Math.max(...x) + edge, low: Math.min(...y) - edge, high: Math.max(...y) + edge};
}

// union holds all of several boxes.
export function union(boxes) {
  return {
    left: Math.min(...boxes.map((b) => b.left)), right: Math.max(...boxes.map((b) => b.right)),
    low: Math.min(...boxes.map((b) => b.low)), high: Math.max(...boxes.map((b) => b.high)),
  };
}

// arrowOf returns tail and tip of a support's force. A force that points into
// the body ends at the support, one that points away starts there.
function arrowOf(figure, support, perWeight) {
  const long = support.force.map((c) => c * perWeight);
  const inward = minus(inside(figure, support), support.at);
  const pushes = long[0] * inward[0] + long[1] * inward[1] > 0;
  return pushes ? [minus(support.at, long), support.at] : [support.at, plus(support.at, long)];
}

// inside is a point of the body near a support: where its limb comes from.
function inside(figure, support) {
  let best = figure.centre, least = Infinity;
  for (const b of figure.bones) {
    const d = size(minus(b.to, support.at));
    if (d < least) [best, least] = [b.from, d];
  }
  return size(minus(best, support.at)) > 1e-6 ? best : figure.centre;
}

// perWeight is the length in metres of an arrow for one body weight: less where
// a force is so great that its arrow would run off the picture.
export function perWeight(figure) {
  const most = Math.max(1, ...figure.supports.map((s) => size(s.force)));
  return 0.24 * figure.stature * Math.min(1, 1.4 / most);
}

// draw returns the picture as an SVG element.
//
// figure: {stature, body, bones, supports, moments, fixture, centre} in
// metres; frame: the box in metres that must be seen; width in pixels; most is
// the greatest height; words: {force(support), moment(moment), weight, spacing}
// give the lines of each label; brief draws values or names only, for small
// screens; over: other figures {figure, kind}, laid over; handles are marked where
// the hands can be dragged.
export function draw(figure, {frame, width, most = 620, words, brief = false, over = [], handles = [], title, describedBy = null, scaleWords}) {
  const margin = brief ? 6 : 10;
  const room = brief ? (figure.hands ? 8 : 0) : 34; // pixels beside the body, for labels
  const scale = Math.min((width - 2 * margin - 2 * room) / (frame.right - frame.left), (most - 60) / (frame.high - frame.low));
  const height = Math.ceil(scale * (frame.high - frame.low) + 2 * margin + (brief ? 18 : 34));
  const offset = [(width - scale * (frame.right - frame.left)) / 2 - scale * frame.left, margin + scale * frame.high];
  const at = (p) => [offset[0] + scale * p[0], offset[1] - scale * p[1]];
  const ppm = scale;

  const root = svg('svg', {
    viewBox: `0 0 ${width} ${height}`, width, height, role: 'img', class: 'figure', 'aria-describedby': describedBy,
    'font-family': typeface, 'font-size': brief ? 12 : 14,
  });
  if (title) root.append(svg('title', null, title));
  const obstacles = [];

  root.append(fixtures(figure, at, ppm, obstacles));
  root.append(bodyOf(figure, at, ppm, obstacles));
  for (const {figure: other, kind} of over) root.append(outlineOf(other, at, ppm, kind, width, height));
  root.append(endOn(figure, at, ppm));

  const labels = [];
  const marks = svg('g', {class: 'marks'});
  root.append(marks);
  const type = brief ? 12 : 14;

  if (figure.hands) dimension(figure, at, marks, obstacles, labels, words, type, brief);

  // The weight, at the centre of mass.
  const weight = [figure.centre, plus(figure.centre, [0, -0.75 * perWeight(figure)])].map(at);
  marks.append(arrow(weight[0], weight[1], 'weight', brief));
  obstacles.push(...along(weight[0], weight[1], 5, 3));
  marks.append(centreMark(at(figure.centre), brief ? 5 : 6.5));
  labels.push({kind: 'weight', lines: words.weight(), size: type, anchors: [weight[1], mid(weight[0], weight[1], 0.6)], gap: 8, towards: 0});

  // What is carried, and what is taken off.
  for (const load of figure.carried) {
    const ends = [load.at, plus(load.at, load.force.map((x) => x * perWeight(figure)))].map(at);
    const half = brief ? 4.5 : 6;
    if (size(minus(ends[1], ends[0])) > half) marks.append(arrow(ends[0], ends[1], 'weight', brief));
    marks.append(svg('rect', {class: 'carried', x: f(ends[0][0] - half), y: f(ends[0][1] - half), width: 2 * half, height: 2 * half}));
    obstacles.push(...along(ends[0], ends[1], 5, 3), {x: ends[0][0], y: ends[0][1], r: half, weight: 3});
    labels.push({kind: 'carried', lines: brief ? [(load.force[1] > 0 ? '−' : '') + load.text.split('\u00a0').slice(0, 2).join('\u00a0')] : [load.text], size: type, anchors: [ends[1], ends[0]], gap: half + 4, towards: Math.PI / 2});
  }

  // The moments: their names alone where there is little room.
  const radius = arcRadius(figure, ppm, brief);
  for (const m of figure.moments) {
    const c = at(m.at);
    marks.append(arc(c, radius, m.value));
    obstacles.push(...Array.from({length: 12}, (_, k) => ({
      x: c[0] + radius * Math.cos(k * Math.PI / 6), y: c[1] + radius * Math.sin(k * Math.PI / 6), r: 3, weight: 2,
    })), {x: c[0], y: c[1], r: radius, weight: 1});
    labels.push({kind: 'moment', lines: words.moment(m), size: type, anchors: [c], gap: radius + 5, towards: m.at[1] >= figure.centre[1] ? -Math.PI / 2 : Math.PI / 2});
  }

  // The forces at the supports.
  for (const s of figure.supports) {
    if (size(s.force) < 0.004) continue;
    let [tail, tip] = arrowOf(figure, s, perWeight(figure)).map(at);
    if (handles.some((h) => size(minus(h.at, s.at)) < 1e-6)) { // the handle would hide the arrow's end
      const far = size(minus(tail, at(s.at))) > size(minus(tip, at(s.at))) ? tail : tip;
      const off = unit(minus(far, at(s.at)));
      [tail, tip] = [tail, tip].map((p) => plus(p, off, brief ? 10 : 13));
    }
    marks.append(arrow(tail, tip, 'force', brief));
    obstacles.push(...along(tail, tip, 5, 3));
    const outer = size(minus(tail, at(s.at))) > size(minus(tip, at(s.at))) ? tail : tip;
    const way = unit(minus(outer, at(s.at)));
    labels.push({kind: 'force', lines: words.force(s), size: type, anchors: [outer, mid(at(s.at), outer, 0.6)], gap: 7, towards: Math.atan2(way[1], way[0])});
  }

  for (const h of handles) {
    const c = at(h.at);
    obstacles.push({x: c[0], y: c[1], r: 14, weight: 3});
  }

  // Labels last, over everything.
  const order = {force: 0, dimension: 1, carried: 2, weight: 3, moment: 4};
  labels.sort((a, b) => order[a.kind] - order[b.kind]);
  const boxes = place(labels, obstacles, {x: 2, y: 2, width: width - 4, height: height - 4 - (brief ? 16 : 30)});
  labels.forEach((label, i) => {
    const box = boxes[i];
    if (!box) return;
    const g = svg('g', {class: 'label ' + label.kind});
    const centre = [box.x + box.width / 2, box.y + box.height / 2];
    if (box.far > 10) {
      const edge = nearest(box, box.anchor);
      const from = plus(box.anchor, unit(minus(edge, box.anchor)), Math.max(0, label.gap - 4));
      g.append(svg('line', {class: 'leader', x1: f(from[0]), y1: f(from[1]), x2: f(edge[0]), y2: f(edge[1])}));
    }
    label.lines.forEach((line, k) => {
      g.append(svg('text', {
        class: 'halo', x: f(centre[0]), y: f(box.y + (k + 0.8) * label.size * 1.25), 'text-anchor': 'middle',
        'font-size': label.size, 'font-weight': k === 0 ? 600 : 400,
      }, line));
    });
    marks.append(g);
  });

  root.append(scales(figure, ppm, height, brief, scaleWords));

  for (const h of handles) {
    const c = at(h.at);
    root.append(svg('g', {class: 'handle', 'data-hand': h.name, transform: `translate(${f(c[0])} ${f(c[1])})`},
      svg('circle', {class: 'target', r: 24}),
      svg('circle', {class: 'grip', r: brief ? 9 : 11}),
      svg('path', {class: 'arrows', d: 'M-3.5 -2.5L0 -6L3.5 -2.5M-3.5 2.5L0 6L3.5 2.5'})));
  }
  return {root, at, scale: ppm, height};
}

const mid = (a, b, t) => [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];

function nearest(box, p) {
  return [Math.min(Math.max(p[0], box.x), box.x + box.width), Math.min(Math.max(p[1], box.y), box.y + box.height)];
}

// bodyOf draws the body as silhouettes, each of all outlines first and then all fills:
// what is far, the body, and what lies over it with a line of its own.
function bodyOf(figure, at, ppm, obstacles) {
  const g = svg('g', {class: 'body'});
  for (const layer of ['far', 'behind', 'body', 'over']) {
    const shapes = figure.body.filter((shape) => shape.layer === layer);
    const paths = shapes.map((shape) => pathOf(shape.points, at));
    if (obstacles && layer !== 'far') {
      for (const shape of shapes) {
        const points = shape.points.map(at);
        points.forEach((p, i) => i % 3 === 0 && obstacles.push({x: p[0], y: p[1], r: 3, weight: 1.2}));
      }
    }
    const kind = layer === 'far' ? 'far' : 'skin';
    g.append(svg('path', {class: kind + '-line', d: paths.join('')}));
    for (const d of paths) g.append(svg('path', {class: kind, d}));
  }
  if (obstacles) {
    for (const b of figure.bones) obstacles.push(...along(at(b.from), at(b.to), 6, 1.2));
  }
  // Joints as quiet dots: they show what is measured.
  const dots = svg('g', {class: 'joints'});
  for (const b of figure.bones.filter((b) => /(arm|thigh|shank)$/.test(b.segment))) {
    const p = at(b.from);
    dots.append(svg('circle', {cx: f(p[0]), cy: f(p[1]), r: f(Math.max(1.4, 0.008 * figure.stature * ppm))}));
  }
  g.append(dots);
  return g;
}

// outlineOf draws the outline of a body as a whole: what its shapes with a rim cover, less
// what they cover.
let outlines = 0;
function outlineOf(figure, at, ppm, kind, width, height) {
  const id = 'outline-' + ++outlines, all = {x: 0, y: 0, width, height};
  const d = figure.body.map((shape) => pathOf(shape.points, at));
  return svg('g', {class: 'laid-over ' + kind},
    svg('mask', {id, maskUnits: 'userSpaceOnUse', ...all},
      d.map((d) => svg('path', {d, fill: '#fff', stroke: '#fff', 'stroke-width': 4.5})), d.map((d) => svg('path', {d, fill: '#000'}))),
    svg('rect', {...all, mask: `url(#${id})`}));
}

const thick = {pole: 0.045, bar: 0.03};

function fixtures(figure, at, ppm, obstacles) {
  const g = svg('g', {class: 'fixture'});
  for (const e of figure.fixture) {
    const a = at(e.from), b = at(e.to);
    if (e.name === 'pole' || e.name === 'bar') {
      const w = Math.max(thick[e.name] * ppm, 5);
      if (size(minus(a, b)) < 0.5) {
        obstacles.push({x: a[0], y: a[1], r: w, weight: 3});
        continue;
      }
      g.append(svg('line', {class: 'pole-edge', x1: f(a[0]), y1: f(a[1]), x2: f(b[0]), y2: f(b[1]), 'stroke-width': f(w)}));
      g.append(svg('line', {class: 'pole-core', x1: f(a[0]), y1: f(a[1]), x2: f(b[0]), y2: f(b[1]), 'stroke-width': f(w - 2)}));
      obstacles.push(...along(a, b, w / 2 + 2, 2));
      continue;
    }
    if (e.name === 'cable') {
      g.append(svg('line', {class: 'cable', x1: f(a[0]), y1: f(a[1]), x2: f(b[0]), y2: f(b[1])}));
      const o = plus(a, unit(minus(b, a)), 0.104 * ppm); // the hand is at the bottom of the ring
      g.append(svg('circle', {class: 'ring', cx: f(o[0]), cy: f(o[1]), r: f(0.104 * ppm)}));
      obstacles.push(...along(a, b, 3, 1), {x: o[0], y: o[1], r: 0.104 * ppm, weight: 1});
      continue;
    }
    // A surface: a line with strokes on the side away from the body.
    g.append(svg('line', {class: 'surface', x1: f(a[0]), y1: f(a[1]), x2: f(b[0]), y2: f(b[1])}));
    const way = unit(minus(b, a));
    let out = across(way);
    const body = at(figure.centre);
    if ((body[0] - a[0]) * out[0] + (body[1] - a[1]) * out[1] > 0) out = out.map((c) => -c);
    let d = '';
    for (let t = 5; t < size(minus(b, a)); t += 9) {
      const p = plus(a, way, t);
      d += `M${f(p[0])} ${f(p[1])}L${f(p[0] + 6 * out[0] - 5 * way[0])} ${f(p[1] + 6 * out[1] - 5 * way[1])}`;
    }
    g.append(svg('path', {class: 'hatch', d}));
    obstacles.push(...along(plus(a, out, 4), plus(b, out, 4), 5, 2));
  }
  return g;
}

// endOn draws a bar that is seen from its end, within the fist that holds it.
function endOn(figure, at, ppm) {
  const g = svg('g', {class: 'fixture'});
  for (const e of figure.fixture) {
    if (e.name !== 'bar' || size(minus(e.from, e.to)) > 1e-6) continue;
    const a = at(e.from);
    g.append(svg('circle', {class: 'pole', cx: f(a[0]), cy: f(a[1]), r: f(Math.max(3, 0.014 * ppm))}));
  }
  return g;
}

function arrow(tail, tip, kind, brief) {
  const length = size(minus(tip, tail));
  if (length < 1) return svg('g', null);
  const w = brief ? 2.2 : 3, head = Math.min(length, brief ? 10 : 13);
  const way = unit(minus(tip, tail)), side = across(way);
  const neck = plus(tip, way, -head);
  const a = plus(neck, side, head * 0.42), b = plus(neck, side, -head * 0.42);
  return svg('g', {class: 'arrow ' + kind},
    svg('line', {x1: f(tail[0]), y1: f(tail[1]), x2: f(neck[0]), y2: f(neck[1]), 'stroke-width': w}),
    svg('path', {d: `M${f(tip[0])} ${f(tip[1])}L${f(a[0])} ${f(a[1])}L${f(b[0])} ${f(b[1])}Z`}));
}

function arcRadius(figure, ppm, brief) {
  let radius = brief ? 11 : 17;
  figure.moments.forEach((m, i) => figure.moments.slice(0, i).forEach((o) => {
    const d = ppm * size(minus(m.at, o.at));
    if (d > 1) radius = Math.min(radius, 0.46 * d);
  }));
  return Math.max(radius, 7);
}

// arc is three quarters of a turn with its head in the sense of the moment:
// positive is counterclockwise, as seen.
function arc(c, radius, value) {
  const sense = value < 0 ? 1 : -1; // on the screen y points down
  const from = Math.PI / 2 + sense * Math.PI / 4, sweep = sense * 1.4 * Math.PI;
  const end = from + sweep;
  const on = (angle, r = radius) => [c[0] + r * Math.cos(angle), c[1] + r * Math.sin(angle)];
  const a = on(from), b = on(end);
  const head = Math.max(5, radius * 0.5);
  const way = [-Math.sin(end) * sense, Math.cos(end) * sense], side = across(way);
  const tip = plus(b, way, head * 0.8);
  const p = plus(b, side, head * 0.5), q = plus(b, side, -head * 0.5);
  return svg('g', {class: 'arc'},
    svg('path', {class: 'turn', d: `M${f(a[0])} ${f(a[1])}A${f(radius)} ${f(radius)} 0 1 ${sense > 0 ? 1 : 0} ${f(b[0])} ${f(b[1])}`}),
    svg('path', {class: 'head', d: `M${f(tip[0])} ${f(tip[1])}L${f(p[0])} ${f(p[1])}L${f(q[0])} ${f(q[1])}Z`}));
}

// centreMark is the quartered disc of the centre of mass.
function centreMark(c, r) {
  const quarter = (x, y) => `M0 0L${x} 0A${r} ${r} 0 0 ${x * y > 0 ? 1 : 0} 0 ${y}Z`;
  return svg('g', {class: 'centre', transform: `translate(${f(c[0])} ${f(c[1])})`},
    svg('circle', {class: 'plate', r}), svg('path', {class: 'ink', d: quarter(r, r) + quarter(-r, -r)}));
}

// dimension marks the distance between the hands, on the side away from the body.
function dimension(figure, at, marks, obstacles, labels, words, type, brief) {
  const [a, b] = figure.hands.map(at);
  const out = [-(brief ? 15 : 26), 0];
  const level = Math.abs(a[0] - b[0]) > Math.abs(a[1] - b[1]);
  const p = level ? [a[0], a[1] + 26] : plus(a, out), q = level ? [b[0], b[1] + 26] : plus(b, out);
  const tick = level ? [0, 5] : [5, 0];
  const line = (u, v) => svg('line', {x1: f(u[0]), y1: f(u[1]), x2: f(v[0]), y2: f(v[1])});
  marks.append(svg('g', {class: 'dimension'}, line(p, q), line(minus(p, tick), plus(p, tick)), line(minus(q, tick), plus(q, tick))));
  obstacles.push(...along(p, q, 4, 2));
  if (brief && !level) { // along the line: there is no room beside it
    const c = plus(mid(p, q, 0.5), [-5, 0]);
    marks.append(svg('g', {class: 'label dimension'}, svg('text', {
      class: 'halo', x: f(c[0]), y: f(c[1]), 'text-anchor': 'middle', 'font-weight': 600, transform: `rotate(-90 ${f(c[0])} ${f(c[1])})`,
    }, words.spacing()[0])));
    obstacles.push(...along(plus(p, [-9, 0]), plus(q, [-9, 0]), 7, 3));
    return;
  }
  labels.push({kind: 'dimension', lines: words.spacing(), size: type, anchors: [mid(p, q, 0.5), mid(p, q, 0.35), mid(p, q, 0.65)], gap: 7, towards: level ? Math.PI / 2 : Math.PI});
}

// scales are the lengths that stand for a force and for a distance.
function scales(figure, ppm, height, brief, words) {
  const y = height - (brief ? 8 : 12);
  const force = perWeight(figure) * ppm, length = words.length * ppm;
  const type = brief ? 11 : 12;
  const g = svg('g', {class: 'scales', 'font-size': type});
  let x = 8;
  const head = svg('path', {class: 'force-head', d: `M${f(x + force)} ${y}l-8 -3.5v7Z`});
  g.append(svg('line', {class: 'force-line', x1: x, y1: y, x2: f(x + force - 7), y2: y}), head);
  g.append(svg('text', {x: f(x + force + 6), y: y + 4}, words.force));
  x += force + 6 + words.force.length * type * 0.52 + 22;
  g.append(svg('path', {class: 'length-line', d: `M${f(x)} ${y - 4}v8M${f(x)} ${y}h${f(length)}m0 -4v8`}));
  g.append(svg('text', {x: f(x + length + 6), y: y + 4}, words.lengthText));
  return g;
}
