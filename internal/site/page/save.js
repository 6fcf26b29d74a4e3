// The picture as a file of its own: a title, the figure with its colours within,
// and a line that says where it comes from and that it is an estimate.

import {svg, typeface, measure} from './dom.js';

const kept = ['fill', 'stroke', 'stroke-width', 'stroke-linejoin', 'stroke-linecap', 'stroke-dasharray', 'opacity', 'paint-order'];

// inlined copies a drawing with the colours that the page's rules give it.
function inlined(drawing) {
  const copy = drawing.cloneNode(true);
  const from = [drawing, ...drawing.querySelectorAll('*')], to = [copy, ...copy.querySelectorAll('*')];
  from.forEach((node, i) => {
    const style = getComputedStyle(node);
    for (const name of kept) {
      const value = style.getPropertyValue(name);
      if (value && value !== 'normal') to[i].setAttribute(name, value);
    }
    to[i].removeAttribute('class');
    to[i].removeAttribute('aria-describedby');
  });
  return copy;
}

function folded(text, width, size, weight) {
  const lines = [''];
  for (const word of text.split(' ')) {
    const longer = lines[lines.length - 1] ? lines[lines.length - 1] + ' ' + word : word;
    if (measure(longer, size, weight) > width && lines[lines.length - 1]) lines.push(word);
    else lines[lines.length - 1] = longer;
  }
  return lines;
}

// sheet puts a drawing on a page with its title and source.
export function sheet(drawing, title, source) {
  drawing = inlined(drawing);
  const style = getComputedStyle(document.documentElement);
  const colour = (name) => style.getPropertyValue(name).trim();
  const [width, height] = drawing.getAttribute('viewBox').split(' ').slice(2).map(Number);
  const edge = 24, inner = Math.max(width, 320), heading = folded(title, inner, 20, 600), foot = folded(source, inner, 12, 400);
  const top = edge + heading.length * 26 + 12, bottom = foot.length * 16 + edge;
  const whole = [inner + 2 * edge, top + height + 12 + bottom];
  const root = svg('svg', {xmlns: 'http://www.w3.org/2000/svg', viewBox: `0 0 ${whole[0]} ${whole[1]}`, width: whole[0], height: whole[1], 'font-family': typeface});
  root.append(svg('title', null, title), svg('desc', null, source));
  root.append(svg('rect', {width: whole[0], height: whole[1], fill: colour('--card')}));
  heading.forEach((line, i) => root.append(svg('text', {x: edge, y: edge + 20 + 26 * i, 'font-size': 20, 'font-weight': 600, fill: colour('--ink')}, line)));
  drawing.setAttribute('x', edge + (inner - width) / 2);
  drawing.setAttribute('y', top);
  drawing.setAttribute('width', width);
  drawing.setAttribute('height', height);
  root.append(drawing);
  foot.forEach((line, i) => root.append(svg('text', {x: edge, y: top + height + 24 + 16 * i, 'font-size': 12, fill: colour('--soft')}, line)));
  return {text: new XMLSerializer().serializeToString(root), width: whole[0], height: whole[1]};
}

function give(blob, name) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

export function saveSVG(page, name) {
  give(new Blob([page.text], {type: 'image/svg+xml'}), name + '.svg');
}

// savePNG draws the page twice as large as on the screen.
export async function savePNG(page, name) {
  const address = URL.createObjectURL(new Blob([page.text], {type: 'image/svg+xml'}));
  try {
    const image = new Image();
    image.src = address;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = 2 * page.width;
    canvas.height = 2 * page.height;
    const context = canvas.getContext('2d');
    context.scale(2, 2);
    context.drawImage(image, 0, 0, page.width, page.height);
    give(await new Promise((done) => canvas.toBlob(done, 'image/png')), name + '.png');
  } finally {
    URL.revokeObjectURL(address);
  }
}
