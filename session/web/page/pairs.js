// The pairs: which ribs stand together, which way round, how sure it is that no pairing is better, and the
// order in which the pairs stand along the structure.

import { el, byId, redraw } from './dom.js';
import { nest } from './charts.js';
import { button, twice } from './press.js';
import { sheet, ask, REASONS } from './sheets.js';
import { ask as question } from './send.js';

const STATES = {
  __proto__: null,
  provisional: 'provisional',
  confirmed: 'confirmed',
  outdated: 'outdated',
};

export function drawPairs({ pairs }, act) {
  redraw(byId('pairs'), pairs || null, () => {
    if (!pairs) return [];
    const words = STATES[pairs.state] || pairs.state;
    const n = pairs.pairs.length;
    return [
      el('h2', {}, 'Pairs'),
      el('p.state', {}, el('b', {}, words), pairs.confirmed ? ' · ' + pairs.confirmed : ''),
      pairs.note ? el('p', {}, pairs.note) : null,
      n ? el('ol.pairs', {}, pairs.pairs.map((p) => pair(p, pairs, act))) : el('p', {}, 'No two passed ribs can be paired yet.'),
      (pairs.loose || []).map((l) => el('p.loose', {}, l)),
      pairs.spares.length ? el('p.spares', {}, el('b', {}, 'Spare: '), pairs.spares.map((id, i) => [i ? ' ' : '', pairs.state === 'confirmed' ? id : button('pick', { 'data-k': 'spare' + id, 'aria-label': `who could stand with rib ${id}` }, () => partners(id, act), id)])) : null,
      pairs.left.length ? el('details', {}, el('summary', {}, `Not paired: ${pairs.left.length}`),
        el('ul', {}, pairs.left.map((l) => el('li', {}, el('b', {}, l.rib), ' ', l.reason)))) : null,
      el('p.proof', {}, [pairs.sum && 'In all ' + pairs.sum, pairs.proof].filter(Boolean).join(' · ')),
      pairs.rule ? el('p.proof', {}, 'Compared by: ' + pairs.rule + '.') : null,
      pairs.can_fix && n ? twice('act.wide', { 'data-k': 'confirm' }, `Confirm ${n} pairs`, () => 'Press again to confirm', () => act.confirmPairs(pairs)) : null,
      pairs.order ? run(pairs.order, act) : pairs.state === 'confirmed' && n > 1 ? button('act.wide', { 'data-k': 'order' }, () => orderSheet('', '', act), 'Work out the run order') : null,
    ];
  });
}

function pair(p, pairs, act) {
  return el('li' + (p.locked ? '.locked' : ''), {}, button('look', { 'data-k': `pair${p.a}+${p.b}`, 'aria-label': `look at the pair ${p.a} and ${p.b}` }, () => look(p, pairs, act),
    nest(p.flip),
    el('span.two', {}, el('b', {}, p.a), ' + ', el('b', {}, p.b)),
    el('span.how', {}, p.how),
    el('span.mismatch', {}, el('b', {}, p.mismatch)),
    el('span.note', {}, [p.largest, p.locked ? 'locked' : p.good ? 'good enough to lock' : ''].filter(Boolean).join(' · '))));
}

const picture = (p, turned) => el('img.pair', {
  src: '/drawings/pair.svg?' + new URLSearchParams({ a: p.a, b: p.b, flip: p.flip, turned: turned || false }),
  alt: `Ribs ${p.a} and ${p.b} drawn over each other as they stand; largest difference: ${p.largest}`,
});

// look shows two ribs over each other as they will stand, and what can be decided about them.
function look(p, pairs, act) {
  const open = pairs.state !== 'confirmed' && pairs.can_fix;
  sheet(`Pair ${p.a} + ${p.b}`, (close) => [
    picture(p, p.turned),
    el('p', {}, el('b', {}, p.mismatch), ` apart, ${p.how}.`),
    p.tag ? el('p.tie', {}, 'Tie the tag: ', el('b', {}, p.tag), '.') : null,
    p.cost ? el('p', {}, (p.cost[0] || '').toUpperCase() + p.cost.slice(1) + '.') : null,
    open && !p.locked ? twice('act.wide', {}, `Lock ${p.a} + ${p.b}`, () => 'Press again to lock', () => { close(); act.lockPair(p); }) : null,
    open && p.locked ? twice('act.wide', {}, `Release ${p.a} + ${p.b}`, () => 'Press again to release', () => { close(); act.releasePair(p); }) : null,
    open && !p.locked ? button('act.wide', {}, () => ask(`Never ${p.a} with ${p.b}: why?`, REASONS.forbid.map((w) => ({ words: w })), (reason) => act.forbidPair(p, reason)), 'Never these two') : null,
    pairs.state !== 'confirmed' ? [p.a, p.b].map((id) => button('act.wide', {}, () => partners(id, act), `Who else could stand with ${id}`)) : null,
  ]);
}

// partners lists who could stand with a rib, the most alike first, with what locking would cost.
async function partners(id, act) {
  const list = await question('/api/partners?' + new URLSearchParams({ rib: id }));
  sheet(`Who could stand with ${id}`, (close) => !list.ok ? el('p.why', {}, list.problem.detail) : !list.body.length ? el('p', {}, 'No other rib that passes.')
    : list.body.map((p) => button('act.wide.partner', {}, () => look({ ...p, locked: false }, { state: 'provisional', can_fix: true }, act),
      el('span', {}, el('b', {}, p.partner), ' · ', p.mismatch, p.one_lot ? '' : ' · another lot'), el('span.note', {}, [p.largest, p.cost].filter(Boolean).join(' · ')))));
}

function run(o, act) {
  return el('div.run', {},
    el('h2', {}, 'Run order'),
    el('p.state', {}, el('b', {}, o.state), o.confirmed ? ' · ' + o.confirmed : ''),
    el('p', {}, 'Walk along the structure: all tags hang on one side.'),
    strip(o),
    el('p.proof', {}, `All steps ${o.length} · ${o.proof}`),
    o.can_fix && o.state !== 'confirmed' ? twice('act.wide', { 'data-k': 'confirm-order' }, 'Confirm this order', () => 'Press again to confirm', () => act.confirmOrder(o)) : null,
    o.can_fix ? button('act.wide', { 'data-k': 'ends' }, () => ends(o, act), 'Choose which pair stands at an end') : null);
}

const strip = (o) => el('ol.strip', {}, o.stands.map((s) => [
  s.step ? el('li.step', {}, s.step) : null,
  el('li.stand', {}, el('span.nth', {}, s.place), el('b', {}, `${s.a} + ${s.b}`), el('span.note', {}, 'tag: ' + s.tag), s.turned ? el('span.note', {}, 'pair turned end for end') : null)]));

// ends asks for the pair that stands first, then shows the best order with it there.
function ends(o, act) {
  ask('Which pair stands first?', [{ words: 'Any: the shortest order', value: '' }, ...o.stands.map((s) => ({ words: `${s.a} + ${s.b}`, value: s.a }))],
    (first) => ask('Which pair stands last?', [{ words: 'Any: the shortest order', value: '' }, ...o.stands.filter((s) => s.a !== first).map((s) => ({ words: `${s.a} + ${s.b}`, value: s.a }))],
      (last) => orderSheet(first, last, act)));
}

async function orderSheet(first, last, act) {
  const got = await question('/api/order?' + new URLSearchParams({ first, last }));
  sheet('Run order', (close) => !got.ok ? el('p.why', {}, got.problem.detail, ' ', got.problem.do || '') : [
    strip(got.body), el('p.proof', {}, `All steps ${got.body.length} · ${got.body.proof}`),
    got.body.can_fix ? twice('act.wide', {}, 'Confirm this order', () => 'Press again to confirm', () => { close(); act.confirmOrder(got.body); }) : null]);
}
