// The rib as a picture: the round's places where they are on the bar, each with its sign. The place to
// measure next carries a ring. It is a sketch, not to scale.

import { svg, el } from './dom.js';
import { mark, lane } from './signs.js';

const W = 360;
const H = 134;
const MID = W / 2;
const R = 132; // of the arc
const LEG = 50;
const HALF = (66 * Math.PI) / 180;
const FLAT = 0.62; // height squeezed to fit a phone
const TOP = 37;

// at gives the point on the bar at angle a from the crown; side A is left and negative.
const at = (a, out = 0) => [MID + (R + out) * Math.sin(a), TOP + (R - (R + out) * Math.cos(a)) * FLAT];
const legEnd = (side) => {
  const [x, y] = at(side * HALF);
  return [x + side * LEG * Math.cos(HALF), y + LEG * Math.sin(HALF) * FLAT];
};

// arch draws the steps of a rib; steps may be empty for a bare rib.
export function arch(steps) {
  const [ax, ay] = legEnd(-1);
  const [bx, by] = legEnd(1);
  const [sx, sy] = at(-HALF);
  const [ex, ey] = at(HALF);
  const stations = steps.filter((s) => /^[AB]\d+$/.test(s.char));
  const perSide = Math.max(1, ...stations.map((s) => Number(s.char.slice(1))));
  const has = (c) => steps.some((s) => s.char === c);
  const parts = [
    svg('path.bar', { d: `M${ax} ${ay}L${sx} ${sy}A${R} ${R * FLAT} 0 0 1 ${ex} ${ey}L${bx} ${by}` }),
    band(ax, ay, sx, sy),
    svg('text.leg', { x: ax - 9, y: ay + 3, 'text-anchor': 'end' }, 'A'),
    svg('text.leg', { x: bx + 9, y: by + 3 }, 'B'),
  ];
  if (has('tip')) parts.push(svg('path.dim', { d: `M${ax} ${ay + 4}V${H - 8}M${bx} ${by + 4}V${H - 8}M${ax} ${H - 17}H${bx}` }));
  if (has('crown')) parts.push(svg('path.dim', { d: `M${MID} ${TOP + 4}V${H - 17}` }));
  for (const s of steps) parts.push(place(s, position(s, perSide, has('tip'))));
  return svg('svg.arch', { viewBox: `0 0 ${W} ${H}`, 'aria-hidden': 'true', focusable: 'false' }, parts);
}

// band is the paint band on the leg that was bent first.
function band(ax, ay, sx, sy) {
  const f = (t) => [ax + (sx - ax) * t, ay + (sy - ay) * t];
  const [x1, y1] = f(0.3);
  const [x2, y2] = f(0.62);
  return [svg('path.band', { d: `M${x1} ${y1}L${x2} ${y2}` })];
}

function position({ char, is_now }, perSide, tip) {
  const off = is_now ? 31 : 26; // of the label from the mark
  if (/^[AB]\d+$/.test(char)) {
    const side = char[0] === 'A' ? -1 : 1;
    const i = Number(char.slice(1));
    const a = side * HALF * (1 - (i - 0.35) / (perSide + 0.3));
    const [x, y] = at(a);
    return [x, y, x + off * Math.sin(a), y - (off - 2) * Math.cos(a) + 1];
  }
  const [ax, ay] = legEnd(-1);
  const [bx, by] = legEnd(1);
  switch (char) {
    case 'tip': return [MID - 66, H - 18, MID - 46, H - 18];
    case 'crown': return [MID, tip ? 80 : 88, MID + 22, 80];
    case 'leg-a': return [ax + 12, ay - 15, ax + 30, ay - 6];
    case 'leg-b': return [bx - 12, by - 15, bx - 30, by - 6];
    case 'twist': return [W - 16, 17, W - 36, 17];
    default: return [16, 17, 36, 17];
  }
}

function place(step, [x, y, tx, ty]) {
  const l = lane(step.lane);
  const size = step.is_now ? 26 : 23;
  const side = { tip: 'start', crown: 'start', twist: 'end', 'leg-a': 'start', 'leg-b': 'end', diameter: 'start' }[step.char] || 'middle';
  return [
    step.is_now ? svg('circle.now', { cx: x, cy: y, r: 16 }) : null,
    mark(l.sign, step.sign, x, y, size),
    svg('text.place' + (step.is_now ? '.is-now' : ''), { x: tx, y: ty + 5, 'text-anchor': side }, step.short || step.char),
  ];
}

// spoken is the same in words, for those who do not see the picture.
export function spoken(steps) {
  return el('ol.unseen', {}, steps.map((s) => el('li', {},
    [s.label, s.dev || s.value, lane(s.lane).word, s.is_now ? 'next' : ''].filter(Boolean).join(', '))));
}
