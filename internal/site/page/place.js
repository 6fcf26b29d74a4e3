// Labels that keep off what is drawn and off each other.
//
// Everything drawn leaves obstacles: discs {x, y, r, weight}. A label is a
// block of lines that wants to stand near an anchor; of many places round it
// the one that covers least is taken, near ones first. Two rounds, so that the
// labels placed first also make way for the later ones.

import {measure} from './dom.js';

// along returns discs along a line, as obstacles.
export function along(from, to, r, weight = 1) {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const steps = Math.max(1, Math.ceil(length / Math.max(2, r)));
  return Array.from({length: steps + 1}, (_, i) => ({
    x: from[0] + (to[0] - from[0]) * i / steps,
    y: from[1] + (to[1] - from[1]) * i / steps,
    r, weight,
  }));
}

// sizeOf returns the size of a label's block.
export function sizeOf(label) {
  const size = label.size;
  const widths = label.lines.map((line, i) => measure(line, size, i === 0 ? 600 : 400));
  return {width: Math.max(...widths), height: label.lines.length * size * 1.25};
}

function covered(box, disc) {
  const dx = Math.max(box.x - disc.x, 0, disc.x - box.x - box.width);
  const dy = Math.max(box.y - disc.y, 0, disc.y - box.y - box.height);
  return dx * dx + dy * dy < disc.r * disc.r;
}

function overlap(a, b) {
  const w = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const h = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  return w > 0 && h > 0 ? w * h : 0;
}

const turns = 16;

// crosses says whether a line crosses a box.
function crosses(from, to, box) {
  for (let i = 1; i < 12; i++) {
    const x = from[0] + (to[0] - from[0]) * i / 12, y = from[1] + (to[1] - from[1]) * i / 12;
    if (x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height) return true;
  }
  return false;
}

// place returns for each label its box {x, y, width, height} and the anchor
// used. A label is {lines, size, anchors: [[x, y], …], gap, towards}, where
// towards is the direction in radians (y down) in which it would rather stand.
export function place(labels, obstacles, area) {
  const boxes = labels.map(() => null);
  for (let round = 0; round < 3; round++) {
    labels.forEach((label, n) => {
      const {width, height} = sizeOf(label);
      let best = null;
      label.anchors.forEach((anchor, rank) => {
        for (const far of [0, 10, 22, 38, 58, 84, 120]) {
          for (let t = 0; t < turns; t++) {
            const angle = 2 * Math.PI * t / turns;
            const cos = Math.cos(angle), sin = Math.sin(angle);
            // The side of the box that faces the anchor is at the distance.
            const away = label.gap + far;
            const x = anchor[0] + cos * away - width / 2 + cos * width / 2;
            const y = anchor[1] + sin * away - height / 2 + sin * height / 2;
            const box = {x, y, width, height, anchor, far};
            if (x < area.x || y < area.y || x + width > area.x + area.width || y + height > area.y + area.height) continue;
            let cost = far * 0.6 + rank * 4;
            if (label.towards !== undefined) cost += 6 * (1 - Math.cos(angle - label.towards));
            const wide = {x: x - 4, y: y - 3, width: width + 8, height: height + 6};
            for (const disc of obstacles) if (covered(wide, disc)) cost += 12 * disc.weight;
            boxes.forEach((other, k) => {
              if (!other || k === n) return;
              cost += overlap(wide, other) > 0 ? 400 + overlap(wide, other) : 0;
              if (other.far > 10 && crosses(other.anchor, [other.x + other.width / 2, other.y + other.height / 2], wide)) cost += 120;
            });
            if (far > 10) boxes.forEach((other, k) => {
              if (other && k !== n && crosses(anchor, [x + width / 2, y + height / 2], other)) cost += 120;
            });
            if (!best || cost < best.cost) best = {...box, cost};
          }
        }
      });
      boxes[n] = best;
    });
  }
  return boxes;
}
