// The rib's fitted shape over its target, what it is called, and the jig for the next bar.

import { el, byId, redraw } from './dom.js';
import { sign } from './signs.js';
import { button } from './press.js';
import { sheet, askName } from './sheets.js';
import { scrolled } from './drift.js';

// whole makes a sentence of what the bench says.
const whole = (s) => s[0].toUpperCase() + s.slice(1) + '.';

// drawShape shows the rib on the bench: its picture, the diagnosis, and what to do next.
export function drawShape({ current }) {
  const s = current?.shape;
  redraw(byId('shape'), [s, current?.action], () => !s ? [] : [
    el('h2', {}, `Shape of rib ${s.rib}`),
    el('img.shape', { src: '/drawings/shape.svg?' + new URLSearchParams({ rib: s.rib, v: s.version }), alt: `Fitted shape of rib ${s.rib} over its target, differences enlarged. ${s.sentence}` }),
    el('p.told', {}, s.can_tell ? null : sign('CHECK', ''), el('b', {}, s.can_tell ? whole(s.sentence) : 'Cannot tell: ' + s.sentence + '.')),
    el('p.then', {}, current.action),
  ]);
}

// drawJig shows which radius to build for the next bar, and what the ribs so far say of the spring.
export function drawJig({ jig, batch, jig_sheet: printed }, act) {
  redraw(byId('jig'), [jig, batch?.id, printed], () => !jig || !batch ? [] : [
    el('h2', {}, `Jig for the next bar${jig.lot ? ' of ' + jig.lot : ''}`),
    jig.retest ? el('p.found', {}, sign('CHECK', ''), el('b', {}, jig.retest)) : null,
    jig.fault ? el('p', {}, jig.fault) : [
      el('p.radius', {}, 'face radius ', el('b', {}, jig.advised), ' ', el('span', {}, jig.band)),
      el('p', {}, whole(jig.now)),
      el('p', {}, `On the advised jig: ${jig.expect}. ${whole(jig.costs)}`),
      el('p', {}, whole(jig.rests))],
    jig.warnings.length ? el('ul.plain', {}, jig.warnings.map((w) => el('li', {}, w))) : null,
    jig.chart >= 3 ? button('act.wide', { 'data-k': 'spring' }, () => chart(jig), 'Spring constant, rib by rib') : null,
    button('act.wide', { 'data-k': 'built' }, () => askName('The jig was rebuilt', 'Radius of the block faces as built, such as 683 mm', '', act.jigBuilt), 'Enter a rebuilt jig'),
    printed && !jig.fault ? el('p.reports', {}, el('a', { href: '/jig-sheet.pdf?' + new URLSearchParams({ lot: jig.lot }), target: '_blank', rel: 'noopener' }, 'Jig sheet to print')) : null,
  ]);
}

const chart = (jig) => sheet('Spring constant, rib by rib', () => [
  jig.retest ? el('p', {}, el('b', {}, jig.retest)) : null,
  scrolled('/drawings/spring.svg?n=' + jig.chart, `Spring constant of ${jig.chart} ribs in bend order, in per cent of their lot and jig`),
  el('p', {}, 'How far each bar sprang back, beside the bars of its lot on the same jig. It is no yield stress. A new lot or a rebuilt jig starts anew.'),
]);
