// The pairs: which ribs stand together, which way round, and how sure it is that no pairing is better.

import { el, byId, redraw } from './dom.js';
import { nest } from './charts.js';
import { twice } from './press.js';

const STATES = {
  __proto__: null,
  provisional: 'provisional',
  confirmed: 'confirmed',
  outdated: 'outdated: ribs have changed since',
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
      n ? el('ol.pairs', {}, pairs.pairs.map(pair)) : el('p', {}, 'No two passed ribs can be paired yet.'),
      pairs.spares.length ? el('p.spares', {}, el('b', {}, 'Spare: '), pairs.spares.join(', ')) : null,
      pairs.left.length ? el('details', {}, el('summary', {}, `Not paired yet: ${pairs.left.length}`),
        el('ul', {}, pairs.left.map((l) => el('li', {}, el('b', {}, l.rib), ' ', l.reason)))) : null,
      el('p.proof', {}, [pairs.sum, pairs.proof].filter(Boolean).join(' · ')),
      pairs.can_fix && n ? twice('act.wide', { 'data-k': 'confirm' }, `Confirm ${n} pairs`, () => 'Press again to confirm', () => act.confirmPairs(pairs)) : null,
    ];
  });
}

function pair(p) {
  return el('li', {}, nest(p.flip),
    el('span.two', {}, el('b', {}, p.a), ' + ', el('b', {}, p.b)),
    el('span.how', {}, p.how),
    el('span.mismatch', {}, el('b', {}, p.mismatch)),
    el('span.note', {}, p.largest));
}

