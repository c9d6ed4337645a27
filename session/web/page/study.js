// The gauge study: whose turn it is, in large words, while readings go to the study; how to start one; and
// its result. While it runs no reading is shown, not even those of the ribs: whoever measures must not
// know what was read before.

import { el, byId, redraw } from './dom.js';
import { sign } from './signs.js';
import { button, twice } from './press.js';
import { sheet, ask, askName, REASONS } from './sheets.js';

// taking gives the study while readings go to it, or wait for its end.
export const taking = (v) => (v.saved && v.batch && !v.batch.closed && v.study && (v.study.state === 'running' || v.study.state === 'complete') ? v.study : null);

export const head = (s) => [
  el('h1.tag.none', {}, 'Gauge study'),
  el('p.count', {}, el('b', {}, s.step ? `${s.step.step} of ${s.of}` : `${s.done} of ${s.of}`), el('span', {}, s.step ? `round ${s.step.round} of ${s.repeats}` : 'all taken')),
];

export const progress = (s) => el('progress.study-bar', { max: s.of, value: s.done, 'aria-label': `${s.done} of ${s.of} readings taken` });

export const goes = (s) => el('h2.what.study-goes', {}, s.state === 'running' ? 'Readings go to the study, not to a rib' : 'Readings wait: finish the study');

// turn says who measures which rib with what.
export function turn({ study: s }) {
  if (!s.step) return [el('div.top', {}, sign('PASS', ''), el('div.words', {}, el('p.word', {}, 'ALL TAKEN'))), el('p.say', {}, s.result ? s.result.verdict : ''), el('p.say.do', {}, 'Read the result below, then finish the study.')];
  return [
    el('div.words.turn', {}, el('p.word' + (s.step.person.length > 9 ? '.long' : ''), {}, s.step.person), el('p.word.rib', {}, 'RIB ' + s.step.rib)),
    el('p.say', {}, el('b', {}, s.label), ' with ', el('b', {}, s.gauge)),
    el('p.say.do', {}, s.step.again ? 'That reading was withdrawn: take it again.' : 'Set the gauge on afresh, read once.'),
  ];
}

// asked is what the keypad is opened for.
export const asked = (s) => ({ study: true, version: s.version, label: s.label, face: '', unit: s.unit, signed: s.signed, note: `${s.step.person}, step ${s.step.step} of ${s.of}` });

export function drawStudy(view, act) {
  const { study: s, study_offer: offer, batch } = view;
  redraw(byId('study'), [s || null, offer || null, batch?.closed], () => {
    if (!batch || (!s && !offer)) return [];
    return [el('h2', {}, 'Gauge study'), s ? [facts(s), controls(s, act), s.result ? result(s, act) : null] : el('p', {}, 'How far gauge and hands can be trusted: several people measure the same ribs blind.'),
      offer && !batch.closed ? start(offer, act) : null];
  });
}

const facts = (s) => [
  el('p.study-say', {}, el('b', {}, s.say)),
  el('p', {}, `${s.label} with ${s.gauge} · ribs ${s.ribs.join(', ')} · ${s.persons.join(', ')} · ${s.repeats} readings each · ${s.done} of ${s.of} taken`),
];

function controls(s, act) {
  const open = s.state === 'running' || s.state === 'paused' || s.state === 'complete';
  if (!open) return null;
  return el('div.study-turns', {},
    s.state === 'complete' ? twice('act.wide.primary', { 'data-k': 'study-finish' }, 'Finish: count the repeatability', () => 'Press again to finish', () => act.study({ op: 'study-finish' })) : null,
    s.state === 'paused' ? button('act.wide.primary', { 'data-k': 'study-resume' }, () => act.study({ op: 'study-resume' }), 'Go on with the study') : null,
    s.state === 'running' ? button('act.wide', { 'data-k': 'study-pause' }, () => act.study({ op: 'study-pause' }), 'Pause: measure ribs') : null,
    button('act.wide', { 'data-k': 'study-cancel' }, () => ask('Cancel the study: why?', REASONS.study.map((w) => ({ words: w })), (reason) => act.study({ op: 'study-cancel', reason })), 'Cancel the study'));
}

const SIGN = { __proto__: null, GOOD: 'PASS', 'USABLE WITH CARE': 'RE-MEASURE', 'NOT GOOD ENOUGH': 'REJECT' };

function result(s, act) {
  const r = s.result;
  const gone = s.readings.filter((x) => x.voided);
  return el('div.study-result', {},
    el('p.study-word', {}, sign(SIGN[r.word], ''), el('b', {}, r.word)),
    el('p.study-say', {}, r.verdict, r.help ? ' ' + r.help : ''),
    el('img.pair', { src: '/drawings/study.svg?' + new URLSearchParams({ study: s.id, at: s.version }), alt: 'Every reading less the wanted value, by rib and person. The table of readings below holds the same numbers.' }),
    el('dl.study-lines', {}, r.lines.map((l) => [el('dt', {}, l.name), el('dd', {}, l.value)])),
    el('details', {}, el('summary', {}, 'Analysis of variance'), table(['source', 'dof', 'SS mm²', 'MS mm²', 'F', 'p'], r.table.map((l) => [l.source, l.dof, l.ss, l.ms, l.f || '–', l.p || '–']))),
    el('details', {}, el('summary', {}, `Readings: ${s.readings.length - gone.length}`), table(['rib', 'person', 'reading', 'value'], s.readings.filter((x) => !x.voided).map((x) => [x.rib, x.person, x.round, x.value]))),
    gone.length ? el('ul.notices', {}, gone.map((x) => el('li', {}, `Withdrawn: rib ${x.rib}, ${x.person}, ${x.value}: ${x.voided}`))) : null,
    s.state === 'finished' ? null : button('act.wide', { 'data-k': 'study-void' }, () => act.studyVoid(), 'Withdraw a reading, with the cause'));
}

const table = (heads, rows) => el('div.study-scroll', {}, el('table.study-table', {}, el('thead', {}, el('tr', {}, heads.map((h) => el('th', { scope: 'col' }, h)))), el('tbody', {}, rows.map((r) => el('tr', {}, r.map((c) => el('td', {}, String(c))))))));

function start(offer, act) {
  if (offer.ribs.length < offer.least_ribs) return el('p', {}, `A study needs ${offer.least_ribs} ribs or more; ${offer.ribs.length} have been started.`);
  return button('act.wide', { 'data-k': 'study-start' }, () => ask('Study which measure?', offer.chars.map((c) => ({ words: c.label, value: c })),
    (c) => (c.gauges.length === 1 ? lay(offer, c, c.gauges[0], act) : ask('With which gauge?', c.gauges.map((g) => ({ words: g.name, value: g })), (g) => lay(offer, c, g, act)))), 'Start a gauge study');
}

// lay asks for the people, the ribs and the repeats, and says what that comes to before it starts.
function lay(offer, char, gauge, act) {
  let people = [];
  let repeats = offer.least_repeats;
  const shown = offer.ribs.slice(-offer.most_ribs);
  const ribs = new Set(shown.slice(-offer.least_ribs));
  sheet(`Study ${char.label} with ${gauge.name}`, (close) => {
    const body = el('div.sheet-body');
    const draw = () => {
      const dof = ribs.size * people.length * (repeats - 1);
      const why = !people.length ? 'Name who measures.' : ribs.size < offer.least_ribs ? `Choose ${offer.least_ribs} ribs or more.` : dof < offer.least_dof ? 'Too few readings for a result: add a person, ribs or readings.' : '';
      body.replaceChildren(
        el('p', {}, el('b', {}, 'Who measures: '), people.join(', ') || 'nobody yet', people.length === 1 ? ' (alone: what another would read stays unknown)' : ''),
        el('div.study-pick', {}, people.length < offer.most_persons ? button('act', {}, () => one(), 'Add a person') : null, people.length ? button('act', {}, () => { people = people.slice(0, -1); draw(); }, 'Take the last off') : null),
        el('p', {}, el('b', {}, 'Readings of each rib by each person')),
        el('div.study-pick', {}, Array.from({ length: offer.most_repeats - offer.least_repeats + 1 }, (_, i) => offer.least_repeats + i).map((n) => pick(String(n), n === repeats, () => { repeats = n; draw(); }))),
        el('p', {}, el('b', {}, 'Ribs: ' + ribs.size)),
        el('div.study-pick', {}, shown.map((id) => pick(id, ribs.has(id), () => { if (ribs.has(id)) ribs.delete(id); else ribs.add(id); draw(); }))),
        el('p', {}, el('b', {}, why || `${ribs.size} ribs × ${people.length} ${people.length === 1 ? 'person' : 'persons'} × ${repeats}: ${ribs.size * people.length * repeats} readings, in a blind order.`)),
        why ? '' : button('act.wide.primary', {}, () => { close(); act.study({ op: 'study-start', char: char.char, gauge: gauge.id, ribs: shown.filter((id) => ribs.has(id)), persons: people, repeats }); }, 'Start the study'));
    };
    const one = () => {
      const input = el('input.line', { type: 'text', maxlength: 60, autocomplete: 'off', onkeydown: (e) => { if (e.key === 'Enter') { e.preventDefault(); keep(); } } });
      const keep = () => { const t = input.value.replace(/[,;]/g, ' ').trim(); if (t && !people.includes(t)) people = [...people, t]; draw(); };
      body.replaceChildren(el('label.line', {}, 'Name of a person who measures', input), button('act.wide.primary', {}, keep, 'Keep it'));
      input.focus();
    };
    draw();
    return body;
  });
}

const pick = (words, on, run) => button('act.study-choice', { 'aria-pressed': on ? 'true' : 'false' }, run, words);

// withdraw asks which reading and why; the cause is written by choice or by hand.
export function withdraw(s, then) {
  ask('Withdraw which reading?', s.readings.filter((x) => !x.voided).map((x) => ({ words: `Rib ${x.rib}, ${x.person}, reading ${x.round}: ${x.value}`, value: x.seq })),
    (seq) => cause('Withdraw it: what was wrong?', (reason) => then(seq, reason)));
}

// cause asks for a written cause: one of the usual ones, or in own words.
export function cause(title, then) {
  ask(title, [...REASONS.void.map((w) => ({ words: w })), { words: 'Write it', value: null }], (w) => (w === null ? askName(title, 'Cause, for the report', '', then) : then(w)));
}
