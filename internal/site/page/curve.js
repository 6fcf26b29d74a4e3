// What the hold asks over the arm angle: the middle body's curve, how wide it is
// left by what was not measured and by the assumptions, and the people behind.

import {svg, typeface} from './dom.js';

// at interpolates a list of values over the angles.
export function at(angles, values, angle) {
  let i = angles.findIndex((a) => a >= angle);
  if (i < 0) i = angles.length - 1;
  if (i === 0) i = 1;
  const [a, b] = [values[i - 1], values[i]];
  if (a === null || b === null || a === undefined || b === undefined) return null;
  return a + (b - a) * (angle - angles[i - 1]) / (angles[i] - angles[i - 1]);
}

// drawCurve returns {root, angleAt(clientX), move(angle, text)}. curve and people
// are curves of answers, people null where there are none.
export function drawCurve({curve, people, width, height = 300, title}) {
  const brief = width < 520;
  const type = brief ? 12 : 13;
  const box = {left: 46, right: width - 14, top: 26, bottom: height - 42};
  const angles = curve.angle_deg;
  const [low, high] = [angles[0], angles[angles.length - 1]];
  const most = curve.most;
  const x = (a) => box.left + (a - low) / (high - low) * (box.right - box.left);
  const y = (v) => box.bottom - Math.min(v, most * 1.5) / most * (box.bottom - box.top);
  const root = svg('svg', {viewBox: `0 0 ${width} ${height}`, width, height, class: 'curve', role: 'img', 'aria-describedby': 'curve-words', 'font-family': typeface, 'font-size': type});
  root.append(svg('title', null, title));
  const clip = svg('clipPath', {id: 'curve-clip'}, svg('rect', {x: box.left, y: box.top, width: box.right - box.left, height: box.bottom - box.top}));
  root.append(svg('defs', null, clip));

  const grid = svg('g', {class: 'grid'});
  for (const {at: v, text} of curve.ticks) {
    grid.append(svg('line', {x1: box.left, x2: box.right, y1: y(v), y2: y(v)}));
    grid.append(svg('text', {x: box.left - 7, y: y(v) + 4, 'text-anchor': 'end'}, text));
  }
  for (const {at: a, text} of curve.angle_ticks.filter((_, i) => !brief || i % 2 === 0)) {
    grid.append(svg('text', {x: x(a), y: box.bottom + 18, 'text-anchor': 'middle'}, text));
    grid.append(svg('line', {x1: x(a), x2: x(a), y1: box.bottom, y2: box.bottom + 4}));
  }
  grid.append(svg('text', {x: (box.left + box.right) / 2, y: height - 6, 'text-anchor': 'middle'}, 'angle between arms and pole'));
  grid.append(svg('text', {x: 4, y: 14}, curve.unit === '' ? 'times the strength' : 'force along the arm, body weights'));
  root.append(grid);

  const points = (values, over = angles) => over.map((a, i) => [a, values[i]]).filter(([, v]) => v !== null && v !== undefined).map(([a, v]) => `${x(a).toFixed(1)} ${y(v).toFixed(1)}`);
  const band = (lows, highs) => 'M' + points(highs).join('L') + 'L' + points(lows).reverse().join('L') + 'Z';
  const plot = svg('g', {'clip-path': 'url(#curve-clip)'});
  plot.append(svg('path', {class: 'all', d: band(curve.all_low, curve.all_high)}));
  plot.append(svg('path', {class: 'bodies', d: band(curve.body_low, curve.body_high)}));
  if (people) {
    for (const side of [people.body_low, people.body_high]) plot.append(svg('path', {class: 'people', d: 'M' + points(side, people.angle_deg).join('L')}));
  }
  plot.append(svg('path', {class: 'median', d: 'M' + points(curve.peak).join('L')}));
  root.append(plot);

  if (curve.best_angle_deg !== null && curve.best_peak !== null) {
    root.append(svg('line', {class: 'best', x1: x(curve.best_angle_deg), x2: x(curve.best_angle_deg), y1: box.bottom, y2: y(curve.best_peak)}));
    root.append(svg('text', {class: 'best-word', x: x(curve.best_angle_deg), y: box.bottom - 8, 'text-anchor': 'middle'}, 'best'));
  }
  const marker = svg('g', {class: 'marker', visibility: 'hidden'}, svg('line', {y1: box.top, y2: box.bottom}), svg('circle', {r: 8}), svg('text', {class: 'halo', 'text-anchor': 'middle', 'font-weight': 600, y: box.top - 8}));
  root.append(marker);
  const move = (angle, text) => {
    const v = at(angles, curve.peak, angle);
    const [line, dot, word] = marker.children;
    const px = x(angle);
    marker.setAttribute('visibility', 'visible');
    line.setAttribute('x1', px);
    line.setAttribute('x2', px);
    dot.setAttribute('cx', px);
    dot.setAttribute('cy', v === null ? box.top : Math.max(y(v), box.top));
    word.textContent = text;
    word.setAttribute('x', Math.min(Math.max(px, box.left + text.length * type * 0.29), box.right - text.length * type * 0.29));
  };
  const angleAt = (clientX) => {
    const r = root.getBoundingClientRect();
    const a = low + ((clientX - r.left) * width / r.width - box.left) / (box.right - box.left) * (high - low);
    return Math.min(Math.max(a, low), high);
  };
  return {root, move, angleAt};
}
