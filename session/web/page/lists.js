// The right half: the round of this rib, the batch table, values that wait, gauges and notices.

import { el, byId, named, redraw } from './dom.js';
import { spot } from './charts.js';
import { sign, chip, lane } from './signs.js';
import { button } from './press.js';
import { warmth } from './warm.js';

// drawRound lists the measures of the rib on the bench.
export function drawRound({ current }) {
  redraw(byId('round'), [current?.rib, current?.steps], () => !current?.steps.length ? [] : [
    el('h2', {}, 'Rib ' + current.rib),
    el('ol.steps', {}, current.steps.map((s) => el('li' + (s.is_now ? '.is-now' : ''), {},
      sign(lane(s.lane).sign, s.sign),
      el('span.name', {}, s.label),
      el('span.value', {}, s.value || ''),
      el('b.dev', {}, s.dev || (s.is_now ? 'next' : lane(s.lane).word)), s.to_20 ? el('span.note', {}, 'corrected ' + s.to_20) : null))),
    current.steps.filter((s) => s.odd).map((s) => el('p.odd', {}, s.odd.text)),
  ]);
}

// drawBatch draws the table: a line for each rib with its verdict, its chart and every deviation.
export function drawBatch({ batch, ribs, current, reports }, act) {
  redraw(byId('batch'), [reports, batch, ribs, current?.rib, current?.steps.map((s) => [s.char, s.short])], () => {
    if (!batch) return [];
    const heads = ribs[0]?.cells.map((c) => current?.steps.find((s) => s.char === c.char)?.short || c.char) || [];
    const counts = Object.entries(batch.counts || {}).filter(([, n]) => n > 0);
    return [
      el('h2', {}, batch.title),
      el('p.facts', {}, [batch.target, batch.bar, batch.rule, batch.jig].filter(Boolean).join(' · ')),
      el('p.counts', {}, counts.map(([word, n]) => el('span', {}, chip(word), ' ', String(n)))),
      ribs.length ? table(heads, ribs, current?.rib, act) : el('p', {}, 'No rib has been measured yet.'),
      reports ? el('p.reports', {}, el('span', {}, 'Report: '), ['pdf', 'html', 'csv', 'json'].map((ext) =>
        el('a', { href: `/reports/${encodeURIComponent(batch.id)}.${ext}`, target: '_blank', rel: 'noopener' }, ext.toUpperCase()))) : null,
    ];
  });
}

function table(heads, ribs, now, act) {
  return el('table', { role: 'table', 'aria-label': 'ribs and their deviations in millimetres' },
    el('thead', { role: 'rowgroup' }, el('tr', { role: 'row' }, ['Rib', 'Verdict', ...heads].map((h) => el('th', { role: 'columnheader', scope: 'col' }, h)))),
    el('tbody', { role: 'rowgroup' }, ribs.map((r) => el('tr' + (r.rib === now ? '.is-now' : ''), { role: 'row' },
      el('th', { role: 'rowheader', scope: 'row' }, button('pick', { 'data-k': 'rib' + r.rib, 'aria-label': `put rib ${r.rib} on the bench` }, () => act.choose(r), r.rib)),
      el('td.verdict', { role: 'cell' }, chip(r.verdict, r.cells.find((c) => c.lane === 'out')?.dev_um < 0 ? 'shy' : 'proud'),
        el('span.note', {}, [r.lot && named('lot', r.lot), r.round > 1 && 'round ' + r.round, r.pair && (r.pair === 'spare' ? 'spare' : 'with ' + r.pair)].filter(Boolean).join(' · ')),
        r.worst && r.verdict !== 'PASS' ? el('span.note', {}, r.worst) : null),
      r.cells.map((c, i) => el('td.cell', { role: 'cell', 'data-head': heads[i] || c.char },
        el('div.band', {}, spot(c)), el(c.lane === 'out' || c.lane === 'unsure' ? 'b' : 'span', {}, c.dev || '–'), c.dev ? el('span.unseen', {}, ' ' + lane(c.lane).word) : null))))));
}

// drawWaiting lists the values that were left for later.
export function drawWaiting({ held, later }, act) {
  redraw(byId('waiting'), [held, later], () => !held.length || !later ? [] : [
    el('h2', {}, held.length === 1 ? '1 value waits' : held.length + ' values wait'),
    el('ul.waiting', {}, held.map((h) => el('li', {}, sign('CHECK', ''), el('b', {}, h.study ? 'of the study' : h.value), el('span', {}, [h.label, h.study ? 'waits for an answer' : h.reason].filter(Boolean).join(' · '))))),
    button('act.wide', {}, act.now, 'Decide now'),
  ]);
}

// The sign for each state of a gauge's connection; any other state is a fault.
const STATES = { __proto__: null, reading: 'PASS', typed: 'OPEN', connecting: 'CHECK', busy: 'CHECK' };

export function drawGauges({ gauges, batch }, act) {
  redraw(byId('gauges'), [gauges, batch?.temperature], () => !gauges.length ? [] : [
    el('h2', {}, 'Gauges'),
    el('ul.gauges', {}, gauges.map((g) => el('li', {},
      sign(g.unsure ? 'CHECK' : STATES[g.state] || 'NOT SAVED', ''),
      el('span.name', {}, el('b', {}, g.name), ' ', el('b.state', {}, g.state)),
      g.last ? el('span.value', {}, g.last) : null,
      el('span.note', {}, [g.detail, (g.measures || []).join(', '), g.kind].filter(Boolean).join(' · ')),
      el(g.overdue ? 'b.note' : 'span.note', {}, g.check),
      g.unsure ? el('div.which', {},
        button('act', { 'data-k': 'find' + g.id }, () => act.find(g), 'Find it by its send key'),
        button('act', { 'data-k': 'settle' + g.id }, () => act.settle(g), 'This is it')) : null))),
    warmth(batch?.temperature, act),
  ]);
}

export function drawNotices({ notices }) {
  redraw(byId('notices'), notices, () => !notices.length ? [] : [
    el('h2', {}, 'Notices'), el('ul.notices', {}, notices.slice(0, 12).map((n) => el('li', {}, n)))]);
}
