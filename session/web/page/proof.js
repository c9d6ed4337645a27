// What the gauge can prove of the characteristic at hand, where its doubt comes from, and how the ribs so far
// fit the tolerance.

import { el, byId, redraw } from './dom.js';
import { button } from './press.js';
import { sheet, ask as choose } from './sheets.js';
import { ask as question } from './send.js';
import { figures, scrolled } from './drift.js';

// drawProof says what the next measurement can prove; the budget waits until it is asked for.
export function drawProof({ current }) {
  const next = current?.next;
  redraw(byId('proof'), [current?.rib, current?.steps[0]?.char, next?.char, next?.proof], () => !current?.steps.length ? [] : [
    el('h2', {}, 'What the gauge can prove'),
    next?.proof ? el('p', {}, el('b', {}, next.label), ' with ', el('b', {}, next.gauge), ': ', next.proof) : null,
    button('act.wide', { 'data-k': 'proof' }, () => look(next?.char || current.steps[0].char, current.rib), 'Where the doubt comes from'),
  ]);
}

// look shows the budget by parts and the capability of one characteristic.
async function look(char, rib) {
  const got = await question('/api/proof?' + new URLSearchParams({ char, rib: rib || '' }));
  if (!got.ok) {
    sheet('What the gauge can prove', () => el('p.why', {}, got.problem.detail, ' ', got.problem.do || ''));
    return;
  }
  const s = got.body;
  sheet(`What can be proven: ${s.label}`, () => [
    el('p', {}, s.gauge, ': ', s.zone),
    s.conformity ? el('p', {}, s.conformity) : null,
    scrolled('/drawings/budget.svg?' + new URLSearchParams({ char: s.char, rib: s.rib }), `Doubt about ${s.label} by parts. ${s.sentence}`),
    el('p', {}, el('b', {}, s.sentence)),
    s.help.length ? el('div', {}, el('p', {}, 'A pass zone of half the tolerance would need:'), el('ul.would', {}, s.help.map((h) => el('li', {}, h)))) : null,
    el('details', {}, el('summary', {}, 'The doubt in numbers'), parts(s), el('p', {}, s.coverage)),
    s.cosine ? el('p', {}, s.cosine) : null,
    el('h2', {}, 'The ribs so far'),
    el('p', {}, el('b', {}, s.capability)),
    el('p', {}, s.risk),
    s.lines.length ? el('details', {}, el('summary', {}, 'The ribs in numbers'), figures(s.lines)) : null,
    button('act.wide', { 'data-k': 'other' }, () => choose('Which characteristic?', s.chars.map((c) => ({ words: c.label, value: c.char })), (c) => look(c, rib)), 'Another characteristic'),
  ]);
}

const parts = (s) => el('table.numbers', {},
  el('thead', {}, el('tr', {}, ['Part', 'u mm', 'Share'].map((h) => el('th', { scope: 'col' }, h)))),
  el('tbody', {}, s.parts.map((p) => el('tr', {}, el('th', { scope: 'row' }, p.name), el('td', {}, p.u), el('td', {}, p.share)))));
