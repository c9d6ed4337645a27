// The jig: one sentence on what the ribs off it say, and on request the chart of any characteristic with the
// figures behind it.

import { el, byId, redraw } from './dom.js';
import { sign } from './signs.js';
import { button } from './press.js';
import { sheet, ask as choose } from './sheets.js';
import { ask as question } from './send.js';

// drawDrift says what the bench says; everything else waits until it is asked for.
export function drawDrift({ drift, batch, current }) {
  redraw(byId('drift'), [drift, batch?.id, current?.steps.length], () => !drift ? [] : [
    el('h2', {}, 'The jig so far'),
    drift.text ? el('p.found', {}, sign('CHECK', ''), el('b', {}, drift.text)) : el('p', {}, drift.quiet),
    drift.text ? el('p.note', {}, drift.note) : null,
    button('act.wide', { 'data-k': 'drift' }, () => look(''), 'Chart of the ribs off the jig'),
  ]);
}

// newFinding is what to say once when the bench has found something it had not said before.
export function newFinding(was, now) {
  const key = now.drift?.key;
  return key && was && key !== was.drift?.key ? { detail: now.drift.text, do: '' } : null;
}

// look shows one characteristic: finding, drawing, figures, and the table that the drawing is made of.
async function look(char) {
  const got = await question('/api/drift?' + new URLSearchParams(char ? { char } : {}));
  if (!got.ok) {
    sheet('The jig', () => el('p.why', {}, got.problem.detail, ' ', got.problem.do || ''));
    return;
  }
  const s = got.body;
  sheet(`Off the jig: ${s.label}`, () => [
    el('p', {}, el('b', {}, s.text)),
    s.rows.length ? scrolled(`/drawings/drift.svg?${new URLSearchParams({ char: s.char, n: s.rows.length })}`, `${s.label} of ${s.rows.length} ribs in bend order. ${s.text}`) : null,
    button('act.wide', { 'data-k': 'other' }, () => choose('Which characteristic?', s.chars.map((c) => ({ words: c.label, value: c.char })), look), 'Another characteristic'),
    figures(s.lines),
    s.rows.length ? el('details', {}, el('summary', {}, 'The numbers of the chart'), rowsTable(s)) : null,
  ]);
}

// scrolled shows a drawing half as large again as on paper, so that it reads at arm's length; where it is wider
// than the screen it is moved sideways by hand.
export const scrolled = (src, alt) => el('div.drawn', { tabindex: 0, role: 'group', 'aria-label': 'drawing, can be moved sideways' },
  el('img', { src, alt, onload: (e) => { e.target.style.width = e.target.naturalWidth * 1.45 + 'px'; } }));

// figures lists names and values.
export const figures = (lines) => !lines?.length ? null : el('dl.figures', {}, lines.map((l) => [el('dt', {}, l.name), el('dd', {}, l.value)]));

function rowsTable(s) {
  const heads = ['Rib', 'Deviation mm', 'To the rib before mm', 'Moving average', 'Sum up', 'Sum down'];
  return el('div.drawn', { tabindex: 0, role: 'group', 'aria-label': 'table, can be moved sideways' },
    el('table.numbers', {},
      el('caption', {}, `Averages and sums are in standard deviations of the ribs before: average with weight 0.2, sums above 5 signal.`),
      el('thead', {}, el('tr', {}, heads.map((h) => el('th', { scope: 'col' }, h)))),
      el('tbody', {}, s.rows.map((r) => el('tr', {}, el('th', { scope: 'row' }, r.rib), [r.dev, r.range || '–', r.average, r.up, r.down].map((v) => el('td', {}, v)))))));
}
