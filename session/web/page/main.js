// Wires the page: views from the bench go to the drawings, presses go to the bench as commands.

import { el, byId, redraw } from './dom.js';
import { button } from './press.js';
import { follow } from './stream.js';
import { command, send, sendKeys, sendAct, keepUnanswered, unanswered } from './send.js';
import { drawBench, fit } from './bench.js';
import { makeActs } from './acts.js';
import { drawRound, drawBatch, drawWaiting, drawGauges, drawNotices } from './lists.js';
import { drawPairs } from './pairs.js';
import { drawDrift, newFinding } from './drift.js';
import { drawShape, drawJig } from './shape.js';
import { drawProof } from './proof.js';
import { taking, asked, drawStudy, withdraw, cause } from './study.js';
import { keypad } from './keypad.js';
import { ask, askName, REASONS } from './sheets.js';
import { catchBursts } from './burst.js';
import { cautionsOnce, cautionList } from './cautions.js';
import { menuButton } from './menu.js';
import { lane } from './signs.js';
import { apply, set, setting } from './settings.js';
import * as sound from './sound.js';

let view = null;
let lost = unanswered(); // a command that got no answer: sent again with the same key
const leftFor = new Set(); // held values that a person left for later
let clock = null; // when the bench was last heard, while it is not

// PULL is what the keypad asks for when the tips are held under load.
const PULL = { pull: true, label: 'tips under load (minus: past each other)', face: '', unit: 'mm', signed: true };

const pad = keypad(async (text, mm, what) => {
  const rib = view.current?.rib;
  const r = await run(what.study ? { op: 'type', text, version: what.version } : what.pull ? { op: 'pull', rib, loaded: mm + ' mm' } : { op: 'type', rib, char: what.char, text });
  return r.ok ? null : r.problem;
});

// onRib adds the rib and its version as they are shown, so that a rib that has moved on is not changed.
const onRib = (fields) => ({ ...fields, rib: view.current.rib, version: view.current.version });

const act = {
  type: () => { const s = taking(view); if (s) pad.open(asked(s), s.step.rib); else pad.open(view.current.next, view.current.rib); },
  read: () => onGauge(taking(view)?.gauge_id || view.current.next.gauge_id, 'ask'),
  study: async (fields) => {
    const r = await run({ ...fields, ...(fields.op !== 'study-start' && { version: view.study.version }) });
    if (r.ok && fields.op !== 'study-finish') scrollTo(0, 0);
  },
  studyVoid: () => withdraw(view.study, (seq, reason) => run({ op: 'void', seq, reason })),
  seeStudy: () => byId('study').scrollIntoView(),
  find: (g) => onGauge(g.id, 'find', `Press the send key of ${g.name} now.`),
  settle: (g) => onGauge(g.id, 'settle'),
  start: () => run({ op: 'start' }),
  startBar: (text) => run({ op: 'start', text }),
  undo: () => run(taking(view) ? { op: 'undo' } : onRib({ op: 'undo' })),
  again: () => {
    const done = view.current.steps.filter((s) => s.seqs?.length);
    ask('Measure which again?', done.map((s) => ({ words: `${s.label}: ${s.value}`, value: s.char })),
      (char) => ask('Measure again: why?', REASONS.again.map((w) => ({ words: w })), (reason) => run(onRib({ op: 'again', char, reason }))));
  },
  void: () => {
    if (taking(view)) { act.studyVoid(); return; }
    const { version } = view.current;
    const all = view.current.steps.flatMap((s) => (s.seqs || []).map((q) => ({ words: `${s.label}: ${q.value}${q.typed ? ' typed' : ''}`, value: q.seq })));
    ask('Void which value?', all, (seq) => {
      const words = all.find((a) => a.value === seq).words;
      cause('Void ' + words + ': why?', (reason) => run({ op: 'void', seq, reason, version }));
    });
  },
  skip: () => {
    const n = view.current.next;
    ask(`Skip ${n.label}: why?`, REASONS.skip.map((w) => ({ words: w })), (reason) => run(onRib({ op: 'skip', char: n.char, reason })));
  },
  goOn: () => {
    const { current } = view;
    ask(`Rib ${current.rib}: ${current.verdict}`, [
      ...current.steps.filter((s) => s.lane === 'unsure' && s.seqs.length).map((s) => ({ words: `Measure ${s.label} again`, value: { op: 'again', char: s.char, reason: 'too near the limit' } })),
      ...REASONS.round.map((w) => ({ words: 'New round: ' + w, value: { op: 'round', reason: w } })),
      ...(current.verdict === 'RE-BEND' ? [{ words: 'Note a pull: tips under load', value: null }] : []),
      { words: 'Next rib', value: { op: 'start' } },
    ], (c) => (c === null ? pad.open(PULL, current.rib) : run(c.op === 'start' ? c : onRib(c))));
  },
  take: (h, suggested) => run({ op: 'take', seq: h.seq, ...(suggested && { suggested }) }),
  discard: (h) => ask('Discard ' + h.value + ': why?', REASONS.discard.map((w) => ({ words: w })), (reason) => run({ op: 'discard', seq: h.seq, reason })),
  takeWithCause: (h) => cause('Take ' + h.value + ' although they differ: why?', (reason) => run({ op: 'take', seq: h.seq, reason })),
  allAgain: (h) => run({ op: 'again', rib: h.rib, char: h.char, seq: h.seq, reason: 'readings disagree' }),
  later: () => { for (const h of view.held) leftFor.add(h.seq); draw(); },
  now: () => { leftFor.clear(); draw(); scrollTo(0, 0); },
  choose: (r) => { if (r.rib !== view.current?.rib) run({ op: 'choose', rib: r.rib }); scrollTo(0, 0); },
  lot: (lot) => run({ op: 'lot', lot }),
  warm: (fields) => run({ op: 'temperature', ...fields }),
  closeBatch: () => run({ op: 'close' }),
  confirmPairs: (p) => named('Who confirms the pairs?', () => run({ op: 'confirm-pairs', token: p.token })),
  confirmOrder: (o) => named('Who confirms the run order?', () => run({ op: 'confirm-order', token: o.token, ...(o.first && { first: o.first }), ...(o.last && { last: o.last }) })),
  jigBuilt: (text) => run({ op: 'jig-built', text }),
  lockPair: (p) => run({ op: 'pair-lock', rib: p.a, with: p.b }),
  releasePair: (p) => run({ op: 'pair-release', rib: p.a, with: p.b }),
  forbidPair: (p, reason) => run({ op: 'pair-forbid', rib: p.a, with: p.b, reason }),
};

// onGauge has something done to a gauge and says what to do then.
async function onGauge(id, what, then) {
  const p = await sendAct(id, what);
  say(p || (then ? { detail: then } : null));
  if (p) sound.play('CHECK');
}

// named runs go once somebody has said who they are.
function named(title, go) {
  if (setting('by')) go();
  else askName(title, 'Name on the record', '', (t) => { set('by', t); go(); });
}

const drawActs = makeActs(act);

// run sends a command and says what came of it. The view that follows comes by the stream.
async function run(fields, again) {
  const c = again || command(fields);
  const r = await send(c);
  if (!r.lost && lost?.key === c.key) lose(null); // it has its answer, whichever
  if (r.ok) {
    say(null);
  } else if (r.lost || r.problem.code === 'not_saved') {
    if (r.lost) lose(c);
    say(null); // the alarm says it
  } else if (!pad.isOpen()) {
    say(r.problem);
    sound.play('CHECK');
  }
  alarm();
  return r;
}

function lose(c) {
  lost = c;
  keepUnanswered(c);
}

// say shows a message over the actions until it is put away.
function say(p) {
  byId('message').replaceChildren(...(!p ? [] : [el('p', {}, el('b', {}, p.detail), p.do ? ' ' + p.do : ''), button('act.put-away', {}, () => say(null), 'OK')]));
}

// asWords tells a command by its operation and what it was about.
const asWords = (c) => [c.op, c.rib && 'rib ' + c.rib, c.char, c.text, c.loaded].filter(Boolean).join(', ');

let touched = true; // the alarm has been seen
let alarmed = '';

// alarm shows NOT SAVED while the bench cannot store or a command was lost, and sounds until touched.
function alarm() {
  const why = view && !view.saved ? view.fault || 'The bench cannot store.' : lost ? `The bench computer did not answer to: ${asWords(lost)}.` : '';
  if (why !== alarmed) {
    alarmed = why;
    touched = !why;
    if (why) sound.nag();
    else sound.quiet();
  }
  document.body.classList.toggle('has-alarm', why !== '');
  redraw(byId('alarm'), [why, touched, lost?.key], () => !why ? [] : [
    el('p', {}, el('b', {}, 'NOT SAVED'), ' ', lost ? why : ['Readings do not count now.', el('span.unseen', {}, ' ' + why)]),
    lost ? button('act', {}, () => run(null, lost), 'Send again') : null,
    touched ? null : button('act', {}, () => hush(), 'Seen'),
    lost && touched ? button('act', {}, () => { lose(null); alarm(); }, 'Give up') : null]);
}

function hush() {
  touched = true;
  sound.quiet();
  alarm();
}

function draw() {
  view.later = view.held.length > 0 && view.held.every((h) => leftFor.has(h.seq));
  drawBench(view);
  drawWaiting(view, act);
  drawActs(view);
  drawStudy(view, act);
  drawRound(view);
  drawBatch(view, act);
  drawPairs(view, act);
  drawShape(view);
  drawJig(view, act);
  drawDrift(view);
  drawProof(view);
  drawGauges(view, act);
  drawNotices(view);
  redraw(byId('about'), [view.software, view.bench, view.batch?.id], () => [el('h2', {}, 'Cautions'), cautionList(), el('p', {}, `Bench ${view.bench} · ${view.software}`)]);
  document.title = (view.current ? 'Rib ' + view.current.rib + ' · ' : '') + 'Springline bench';
}

// tell sounds and speaks what is new between two views.
function tell(was, now) {
  const done = (v) => (v.current && !v.current.next && v.current.verdict !== 'OPEN' ? v.current.rib + v.current.round + v.current.verdict : '');
  let name = '';
  let words = '';
  if (now.held.length && now.held[0].seq !== was.held[0]?.seq) {
    name = 'CHECK';
    words = `Check. ${now.held[0].label} ${now.held[0].value}. ${now.held[0].ask}`;
  } else if (taking(now)) {
    const step = (v) => v.study?.step?.step;
    if (step(now) === step(was) && now.study.state === was.study?.state) return;
    name = 'in';
    words = now.study.step ? now.study.step.do : 'All readings of the study are taken.';
  } else if (done(now) && done(now) !== done(was)) {
    name = now.current.verdict;
    words = `Rib ${now.current.rib} ${now.current.verdict}. ${now.current.reason}`;
  } else if (now.last && now.last.seq !== was.last?.seq) {
    const l = now.last;
    name = l.lane === 'out' ? 'out ' + (l.sign || 'proud') : l.lane;
    words = [l.label, l.value, lane(l.lane).word, l.dev].filter(Boolean).join(', ');
  }
  if (!name) return;
  sound.play(name);
  byId('say').textContent = words;
}

function stale() {
  const since = clock ? clock.toTimeString().slice(0, 8) : '';
  document.body.classList.toggle('not-live', clock !== null);
  redraw(byId('stale'), since, () => !since ? [] : el('p', {}, el('b', {}, 'NOT LIVE'), ` since ${since}. What you see is old. Gauge readings are still stored if the bench program runs.`));
}

apply();
byId('bench').prepend(menuButton(() => view || { batch: null }, act));
stale();
catchBursts(byId('catch'), () => view?.keyboards.length > 0, {
  reading: async (keys) => {
    const p = await sendKeys(view.keyboards[0], keys);
    if (p) { say(p); sound.play('CHECK'); }
  },
  refused: (why) => { say({ detail: why + '.', do: 'Send it again.' }); sound.play('CHECK'); },
});
follow({
  view(now, fresh) {
    const was = view;
    view = now;
    draw();
    alarm();
    const jig = newFinding(was, now);
    if (jig) { say(jig); sound.play('CHECK'); }
    if (was && !fresh) tell(was, now);
    cautionsOnce(now.batch);
  },
  missed: (n) => say({ detail: `${n} records came in while this page was away.`, do: 'They are all shown.' }),
  live(on, heard) { clock = on ? null : heard; stale(); },
});
addEventListener('resize', fit);
addEventListener('pointerdown', () => { sound.unlock(); stayAwake(); }, { capture: true });

// stayAwake keeps the screen on where the browser can; it is lost when the page is hidden.
let awake = null;
async function stayAwake() {
  if (awake || !navigator.wakeLock) return;
  try {
    awake = await navigator.wakeLock.request('screen');
    awake.addEventListener('release', () => { awake = null; });
  } catch {
    awake = null;
  }
}
