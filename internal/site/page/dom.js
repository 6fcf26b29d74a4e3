// Small helpers to make elements. Text is only ever set as text, so that no
// words of the data can become markup.

const svgSpace = 'http://www.w3.org/2000/svg';

// fill sets attributes and appends children. A child is a node, a text, or
// nothing (null, undefined, false).
function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : String(value));
  }
  node.append(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
  return node;
}

// el makes an HTML element: el('p', {class: 'note'}, 'text').
export function el(tag, attributes, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

// svg makes an SVG element.
export function svg(tag, attributes, ...children) {
  return fill(document.createElementNS(svgSpace, tag), attributes, children);
}

// byId finds an element that the page is known to have.
export function byId(id) {
  return document.getElementById(id);
}

// replace puts children in the place of those that a node has.
export function replace(node, ...children) {
  node.replaceChildren(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
}

// inFrames makes a function of which only the last call before each animation
// frame is carried out.
export function inFrames(f) {
  let waiting = null;
  return (...args) => {
    const first = waiting === null;
    waiting = args;
    if (first) {
      requestAnimationFrame(() => {
        const last = waiting;
        waiting = null;
        f(...last);
      });
    }
  };
}

// measure returns the width of a text in pixels, by the page's own type.
const canvas = document.createElement('canvas').getContext('2d');
export const typeface = 'system-ui, -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif';
export function measure(text, size, weight = 400) {
  canvas.font = `${weight} ${size}px ${typeface}`;
  return canvas.measureText(text).width;
}
