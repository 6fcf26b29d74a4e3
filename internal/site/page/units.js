// The border between SI values of answers and what people read and type.

// A number and its unit stay on one line.
const space = '\u00a0';

const gravity = 9.80665; // m/s², standard gravity
const inch = 0.0254, pound = 0.45359237, poundFoot = 1.3558179483314004;

// number prints a number with a true minus sign.
export function number(x, decimals = 0) {
  if (x === null || x === undefined || Number.isNaN(x)) return '–';
  // What is half way but for the last bits, as two hands that carry the same, is printed alike.
  const text = Number(Math.abs(x).toPrecision(12)).toFixed(decimals);
  return (x < 0 && Number(text) !== 0 ? '−' : '') + text;
}

// signed prints a change.
export function signed(x, decimals = 0) {
  const text = number(x, decimals);
  return x > 0 && Number(Math.abs(x).toFixed(decimals)) !== 0 ? '+' + text : text;
}

// tape prints a length as it is read off a tape measure: to the millimetre, or
// to the eighth of an inch.
export function tape(metres, system) {
  if (metres === null || metres === undefined) return '–';
  if (system !== 'imperial') return number(100 * metres, 1) + `${space}cm`;
  const eighths = Math.round(Math.abs(metres) / inch * 8);
  const whole = Math.floor(eighths / 8);
  let top = eighths % 8, bottom = 8;
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const parts = [];
  if (whole > 0 || !top) parts.push(whole);
  if (top) parts.push(`${top}/${bottom}`);
  return (metres < 0 && eighths > 0 ? '−' : '') + parts.join(space) + `${space}in`;
}

// rough prints a length without the last digit: for ranges.
export function rough(metres, system) {
  if (system !== 'imperial') return number(100 * metres) + `${space}cm`;
  return number(metres / inch) + `${space}in`;
}

// stature prints a body length: feet and inches where those are used.
export function height(metres, system) {
  if (system !== 'imperial') return number(100 * metres, 1) + `${space}cm`;
  const tenths = Math.round(metres / inch * 10);
  if (tenths < 360) return trim(tenths / 10) + `${space}in`;
  const feet = Math.floor(tenths / 120), rest = (tenths - feet * 120) / 10;
  return rest ? `${feet}${space}ft ${trim(rest)}${space}in` : `${feet}${space}ft`;
}

const trim = (x) => x.toFixed(1).replace(/\.0$/, '');

export function mass(kilograms, system, decimals = 1) {
  return system === 'imperial' ? number(kilograms / pound, decimals) + `${space}lb` : number(kilograms, decimals) + `${space}kg`;
}

// force prints a force as the mass that weighs as much.
export function force(newtons, system, decimals = 0) {
  return mass(newtons / gravity, system, decimals);
}

export function moment(newtonMetres, system, decimals = 0) {
  return system === 'imperial' ? number(newtonMetres / poundFoot, decimals) + `${space}lbf·ft` : number(newtonMetres, decimals) + `${space}N·m`;
}

// joined drops the unit of the low end of a range where both have the same.
export function joined(low, high) {
  const unit = high.match(/(\s?[^\d\s−./][^\d]*|°)$/);
  return `${unit && low.endsWith(unit[0]) ? low.slice(0, -unit[0].length) : low} to ${high}`;
}

// share prints a share as a percentage.
export const share = (x) => number(100 * x) + `${space}%`;

// ordinal prints a percentile.
export function ordinal(x) {
  const n = Math.round(Math.min(Math.max(100 * x, 1), 99));
  const end = n % 100 > 10 && n % 100 < 14 ? 'th' : ['th', 'st', 'nd', 'rd'][n % 10] || 'th';
  return n + end;
}

// value prints a value of a quantity by its unit: {unit, value, absolute}.
export function value(unit, x, absolute, system, coarse = false) {
  if (x === null || x === undefined) return '–';
  switch (unit) {
    case 'm': return coarse ? rough(x, system) : tape(x, system);
    case 'deg': return number(x) + '°';
    case 'BW': return absolute === null || absolute === undefined ? number(x, 2) + `${space}BW` : force(absolute, system);
    case 'BW·m': return absolute === null || absolute === undefined ? number(x, 3) + `${space}BW·m` : moment(absolute, system);
  }
  return number(100 * x) + `${space}%`;
}

const spelled = {
  m: 1, cm: 0.01, mm: 0.001, in: inch, '"': inch, '″': inch, ft: 12 * inch, "'": 12 * inch, '′': 12 * inch,
  kg: 1, lb: pound, lbs: pound, st: 14 * pound,
};

// read reads what somebody typed, as far as is needed to convert it: a number
// with or without a unit, feet and inches, an error after "±". It returns
// {value, error} in SI units, or null for anything else; the answer judges that.
export function read(text, kind, system) {
  const bare = kind === 'mass' ? (system === 'imperial' ? pound : 1) : (system === 'imperial' ? inch : 0.01);
  const parts = text.replace(/−/g, '-').replace(/\+\/?-/g, '±').split('±').map((p) => p.trim());
  if (parts.length > 2) return null;
  const one = (part) => {
    const found = [...part.matchAll(/(\d+(?:[.,]\d+)?|\.\d+)\s*(\d+\/\d+)?\s*([a-z"'″′]*)/gi)];
    if (!found.length || found.map((m) => m[0]).join('').replace(/\s/g, '') !== part.replace(/\s/g, '')) return null;
    let sum = 0;
    for (const [, digits, fraction, unit] of found) {
      const size = unit === '' ? bare : spelled[unit.toLowerCase()];
      if (!size) return null;
      const [top, bottom] = fraction ? fraction.split('/') : [0, 1];
      sum += (Number(digits.replace(',', '.')) + top / bottom) * size;
    }
    return sum;
  };
  const value = one(parts[0]), error = parts.length > 1 ? one(parts[1]) : 0;
  return value === null || error === null ? null : {value, error};
}

// write prints a typed value in a system of units, as read reads it back.
export function write(read, kind, system) {
  const digits = (x, size) => trim(Math.round(x / size * 10) / 10);
  const [size, unit] = kind === 'mass'
    ? (system === 'imperial' ? [pound, 'lb'] : [1, 'kg'])
    : (system === 'imperial' ? [inch, 'in'] : [0.01, 'cm']);
  let text = digits(read.value, size);
  if (kind === 'length' && system === 'imperial' && read.value >= 36 * inch) {
    text = height(read.value, system).replaceAll(space, ' ');
  } else if (read.error) {
    text += ' ' + unit;
  }
  return read.error ? `${text} ± ${digits(read.error, size)} ${unit}` : text;
}
