// The menu: who measures, the screen's own settings, the batch's rare commands, and the cautions.

import { el } from './dom.js';
import { button, twice } from './press.js';
import { sheet, ask, askName } from './sheets.js';
import { showCautions, soundTest } from './cautions.js';
import { set, setting, perMM, cardWidth } from './settings.js';
import { askWarm } from './warm.js';
import * as sound from './sound.js';

// menuButton opens the menu; view() gives the present view.
export function menuButton(view, act) {
  return button('act.menu', { 'aria-label': 'menu' }, () => openMenu(view(), act), el('span', {}, 'Menu'));
}

function openMenu(view, act) {
  const { batch } = view;
  sheet('Menu', (close) => [
    row('Who measures: ' + (setting('by') || 'not said'), () => askName('Who measures?', 'Name on the record', setting('by'), (t) => set('by', t))),
    view.current?.next && view.asked.includes(view.current.next.gauge_id) ? row('Type ' + view.current.next.label, () => { close(); act.type(); }) : null,
    batch && !batch.closed ? row('Next rib, its bar measured', () => askName('The next bar: its whole length', 'Length as measured, such as 6012 mm', '', act.startBar)) : null,
    batch && !batch.closed && batch.lots?.length > 1 ? row('Lot of the next rib: ' + batch.lot, () =>
      ask('Lot of the next rib', batch.lots.map((l) => ({ words: l, value: l })), act.lot)) : null,
    batch?.temperature ? row('Temperatures of bar and tape', () => { close(); askWarm(batch.temperature, act); }) : null,
    row('Bench hand: ' + setting('hand'), () => { set('hand', setting('hand') === 'left' ? 'right' : 'left'); close(); }),
    row('Gloves: ' + setting('glove'), () => { set('glove', setting('glove') === 'thick' ? 'thin' : 'thick'); close(); }),
    row('Sound test', soundTest),
    row('Set the size of the screen', calibrate),
    row('Cautions', showCautions),
    batch && !batch.closed ? twice('act.wide', {}, 'Close this batch', () => 'Press again to close ' + batch.id, () => { close(); act.closeBatch(); }) : null,
    el('p', {}, 'Sound is ' + sound.state() + '.'),
  ]);
}

const row = (words, run) => button('act.wide', {}, run, words);

// calibrate lets a bank card be laid on the screen: then millimetres on the page are millimetres.
function calibrate() {
  let mm = perMM();
  sheet('Lay a bank card on the screen', (close) => {
    const card = el('div.card', {}, 'make this box as wide as the card');
    const size = () => { card.style.width = cardWidth(mm) + 'px'; };
    const step = (f) => () => { mm = Math.min(20, Math.max(2, mm * f)); size(); };
    size();
    return [card,
      el('div.answers', {}, button('act', {}, step(1 / 1.02), 'Narrower'), button('act', {}, step(1.02), 'Wider')),
      button('act.wide.primary', {}, () => { set('mm', mm); close(); }, 'It fits'),
      button('act.wide', {}, () => { set('mm', 0); close(); }, 'Forget the size')];
  });
}
