// The signs: each word has its own shape, pattern and fill, so that any one of them is enough.

import { svg, el } from './dom.js';

// SIGNS maps a verdict word, a lane or a state to its class and drawing.
const SIGNS = {
  __proto__: null,
  PASS: ['pass', circle],
  'RE-BEND': ['rebend', octagon],
  'RE-MEASURE': ['remeasure', triangle],
  REJECT: ['reject', cross],
  'NOT SAVED': ['fault', barred],
  CHECK: ['check', question],
  OPEN: ['open', hollow],
};

// Words and signs of a single reading against its limits.
const LANES = {
  __proto__: null,
  in: { word: 'IN', sign: 'PASS' },
  out: { word: 'OUT', sign: 'RE-BEND' },
  unsure: { word: 'UNSURE', sign: 'RE-MEASURE' },
  skipped: { word: 'SKIPPED', sign: 'OPEN' },
};

export const lane = (name) => LANES[name] || { word: '', sign: 'OPEN' };

// fillOf is the class that gives a panel or a chip its fill and pattern.
export const fillOf = (word) => 'fill-' + (SIGNS[word] || SIGNS.CHECK)[0];

// sign draws the shape for a word; way is proud, shy or empty and turns the octagon's arrow.
export function sign(word, way) {
  const [name, draw] = SIGNS[word] || SIGNS.CHECK;
  return svg('svg.sign.sign-' + name, { viewBox: '0 0 48 48', 'aria-hidden': 'true', focusable: 'false' }, draw(way));
}

// mark is the sign as a group of a larger drawing, centred on x, y.
export function mark(word, way, x, y, size) {
  const [name, draw] = SIGNS[word] || SIGNS.CHECK;
  return svg('g.sign.sign-' + name, { transform: `translate(${x - size / 2} ${y - size / 2}) scale(${size / 48})` }, draw(way));
}

// chip is sign and word together, for lists.
export function chip(word, way) {
  return el('span.chip.' + fillOf(word), {}, sign(word, way), el('span', {}, word));
}

function circle() {
  return [svg('circle.body', { cx: 24, cy: 24, r: 22 }), svg('path.line', { d: 'M13 25l8 8 14-17' })];
}

function octagon(way) {
  const up = 'M24 37V13M14 22l10-10 10 10';
  const down = 'M24 11v24M14 26l10 10 10-10';
  const both = 'M24 10v28M16 18l8-8 8 8M16 30l8 8 8-8';
  return [svg('path.body', { d: 'M15 2h18l13 13v18l-13 13h-18l-13-13v-18z' }),
    svg('path.line', { d: way === 'proud' ? up : way === 'shy' ? down : both })];
}

function triangle() {
  return [svg('path.body', { d: 'M24 3l22 41h-44z' }), svg('path.line', { d: 'M24 17v14M24 36v4' })];
}

function cross() {
  return [svg('path.body', { d: 'M24 1l23 23-23 23-23-23z' }), svg('path.line', { d: 'M16 16l16 16M32 16l-16 16' })];
}

function barred() {
  return [svg('rect.body', { x: 3, y: 3, width: 42, height: 42 }), svg('path.line', { d: 'M10 24h28' })];
}

function question() {
  return [svg('rect.body', { x: 3, y: 3, width: 42, height: 42 }),
    svg('path.line', { d: 'M17 18a7 7 0 1 1 10 6.500c-2.500 1.200-3 2.500-3 5.500M24 36v3' })];
}

function hollow() {
  return [svg('circle.body', { cx: 24, cy: 24, r: 20 })];
}
