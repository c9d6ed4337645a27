// The left half: the rib on the bench, its picture, what to measure next, and the large panel that
// carries the reading and the verdict.

import { el, byId, named, redraw } from './dom.js';
import { arch, spoken } from './arch.js';
import { bar } from './charts.js';
import { sign, lane, fillOf } from './signs.js';
import * as study from './study.js';

// drawBench draws head, picture, next and panel from a view; view.later says that values which wait are
// left for later.
export function drawBench(view) {
  const { current, batch, last, held, saved, fault } = view;
  const st = study.taking(view);
  document.body.classList.toggle('study-on', st !== null);
  if (st) {
    redraw(byId('head'), st, () => study.head(st));
    redraw(byId('arch'), [st.id, st.done, st.of], () => study.progress(st));
    redraw(byId('next'), [st.id, st.state], () => study.goes(st));
  } else {
    redraw(byId('head'), [current?.rib, current?.number, current?.lot, current?.round, current?.bar, batch?.planned, batch?.id], () => head(view));
    redraw(byId('arch'), current?.steps || [], () => [arch(current?.steps || []), spoken(current?.steps || [])]);
    redraw(byId('next'), [current?.next, current?.steps.length, current?.verdict, batch?.id], () => next(current, batch));
  }
  const state = panelState(view);
  const data = { state, saved, later: view.later, fault, held, batch: batch?.id, last, current, cell: lastCell(view), study: st };
  byId('panel').className = 'panel ' + panelFill(state, view); // its border takes room: before fit
  if (redraw(byId('panel'), data, () => PANELS[state](view))) fit();
  byId('bench').classList.toggle('asking', state === 'held' || state === 'fault');
}

// fit squeezes a long reading or word sideways, so that it keeps its height.
export function fit() {
  for (const d of document.querySelectorAll('.digits, .word')) {
    d.style.transform = '';
    const room = d.parentElement.clientWidth;
    if (d.scrollWidth > room) d.style.transform = `scaleX(${room / d.scrollWidth})`;
  }
}

function head({ current, batch }) {
  if (!batch) return el('h1.tag.none', {}, 'No batch');
  if (!current) return el('h1.tag.none', {}, 'No rib yet');
  return [
    el('h1.tag', {}, el('span.small', {}, 'RIB'), ' ', current.rib),
    el('p.count', {}, el('b', {}, `${current.number} of ${batch.planned}`),
      current.lot ? el('span', {}, named('lot', current.lot)) : null,
      current.bar ? el('span', {}, current.bar) : null,
      current.round > 1 ? el('span', {}, 'round ' + current.round) : null),
  ];
}

function next(current, batch) {
  if (!batch || !current) return [];
  const n = current.next;
  if (!n) return el('p.next-done', {}, current.verdict === 'OPEN' ? 'Something was skipped: this rib stays open.' : 'All of this rib is measured.');
  const i = current.steps.findIndex((s) => s.is_now);
  return [
    el('h2.what', {}, el('span.nth', {}, `${i + 1} of ${current.steps.length}`), ' ', n.label, n.face ? el('span.face', {}, n.face + ' face') : null),
    el('p.want', {}, el('span.roomy', {}, 'wanted '), el('b', {}, n.want), ', ', el('span.roomy', {}, 'limits '), el('b', {}, n.limit), ' · ', n.gauge || 'no gauge bound'),
    n.of > 1 ? el('p.relay', {}, el('b', {}, `reading ${n.reading} of ${n.of}`), n.reading > 1 && n.hint ? ': ' + n.hint : '') : null,
  ];
}

const complete = (c) => c && !c.next && c.verdict && c.verdict !== 'OPEN';

function panelState(v) {
  if (!v.saved) return 'fault';
  if (v.held.length && !v.later) return 'held';
  if (study.taking(v)) return 'turn';
  if (!v.batch) return 'idle';
  if (!v.current) return 'empty';
  if (complete(v.current)) return 'verdict';
  if (v.last && v.last.rib === v.current.rib && v.current.steps.some((s) => s.seqs?.some((q) => q.seq === v.last.seq))) return 'reading';
  return 'waiting';
}

function panelFill(state, v) {
  switch (state) {
    case 'fault': return fillOf('NOT SAVED');
    case 'verdict': return fillOf(v.current.verdict);
    case 'reading': return v.last.lane ? fillOf(lane(v.last.lane).sign) : fillOf('OPEN');
    case 'held': return fillOf('CHECK');
    default: return fillOf('OPEN');
  }
}

const PANELS = { fault, held, idle, empty, verdict, reading, waiting, turn: study.turn };

function top(word, way, text, beside, right) {
  return el('div.top', {}, sign(word, way), el('div.words', {}, el('p.word', {}, text || word), beside || null), right || null);
}

// digits shows a value with its figures at least 12 mm high and the unit small.
function digits(value) {
  const m = /^\s*([-+\u2212]?[\d.,]+)\s*(mm|cm|m|in|ft)?\s*$/.exec(value);
  return el('div.figure', {}, el('p.digits', {}, m ? m[1] : value, m && m[2] ? el('span.unit', {}, m[2]) : null));
}

function fault(v) {
  return [top('NOT SAVED', ''), el('p.say', {}, v.fault || 'The bench could not store a record.'), el('p.say.do', {}, 'Nothing more is taken. Write readings down on paper.')];
}

function idle() {
  return [top('OPEN', '', 'NO BATCH'), el('p.say', {}, 'Open a batch with the springline program. This page follows by itself.')];
}

function empty(v) {
  return [top('OPEN', '', 'READY'), el('p.say', {}, v.batch.closed ? 'This batch is closed.' : 'Lay the first rib on the bench and start it.'), el('p.say', {}, v.batch.target)];
}

function waiting({ current }) {
  const n = current.next;
  if (!n) return [top('OPEN', ''), el('p.say', {}, current.reason), el('p.say.do', {}, current.action)];
  return [top('OPEN', '', 'MEASURE'), el('p.say', {}, el('b', {}, n.label), n.face ? `, ${n.face} face` : ''), el('p.say.do', {}, n.hint || current.action)];
}

function reading(v) {
  const { last, current } = v;
  const l = lane(last.lane);
  const cell = lastCell(v);
  return [
    top(l.sign, last.sign, l.word || 'TAKEN', null, last.dev ? el('b.dev', {}, last.dev) : null),
    el('p.beside', {}, [last.label, last.sign && { proud: 'over', shy: 'under' }[last.sign], last.typed && 'typed', last.dev && last.doubt, last.to_20].filter(Boolean).join(' · ')),
    digits(last.value),
    cell && last.dev ? bar(cell, `${last.dev}, limits ${last.limit}`) : null,
    last.dev ? null : el('p.say', {}, last.read),
    current.next ? null : el('p.say.do', {}, current.action),
  ];
}

function verdict(v) {
  const { current, last } = v;
  const way = current.steps.find((s) => s.lane === 'out')?.sign || '';
  const tail = last && last.rib === current.rib ? el('p.beside', {}, `last: ${last.label} ${last.value}${last.dev ? ', ' + last.dev : ''}`) : null;
  return [
    top(current.verdict, way, null, el('p.beside', {}, 'rib ' + current.rib)),
    el('p.say.reason', {}, current.reason),
    current.action ? el('p.say.do', {}, current.action) : null,
    tail,
  ];
}

function held(v) {
  const h = v.held[0];
  return [
    top('CHECK', '', null, el('p.beside', {}, [h.label, h.gauge].filter(Boolean).join(' · '), v.held.length > 1 ? ` · 1 of ${v.held.length} waiting` : '')),
    digits(h.value),
    el('p.say', {}, h.reason),
    el('p.say.do', {}, h.ask),
  ];
}

function lastCell({ last, ribs }) {
  return last && ribs.find((r) => r.rib === last.rib)?.cells.find((c) => c.char === last.char);
}
