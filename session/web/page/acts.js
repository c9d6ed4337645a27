// The five bench actions, made once and never replaced, so that a press is not lost to a redraw. Their
// places are fixed; only the large one changes its words with what is next.

import { el, svg, byId, redraw } from './dom.js';
import { button } from './press.js';
import { taking } from './study.js';

const ICONS = {
  void: 'M5 5l14 14M19 5L5 19',
  skip: 'M4 6l8 6-8 6zM19 5v14',
  undo: 'M9 5L3 11l6 6M4 11h10a6 6 0 0 1 0 9h-3',
  again: 'M19 12a7 7 0 1 1-2-5M18 2v6h-6',
};

// asks says whether what is next is read by a gauge that sends when it is asked, and is there to be asked.
const asks = (next, asked, gauges) => asked.includes(next.gauge_id) && gauges.some((g) => g.id === next.gauge_id && g.state === 'reading');

const icon = (name) => svg('svg.icon', { viewBox: '0 0 24 24', 'aria-hidden': 'true', focusable: 'false' }, svg('path', { d: ICONS[name] }));

// makeActs builds the buttons and gives draw(view), which sets what can be pressed.
export function makeActs(act) {
  const make = (name, words, run) => button('act.' + name, { 'data-k': name }, () => run(), icon(name), el('span', {}, words));
  const voiding = make('void', 'Void', act.void);
  const skip = make('skip', 'Skip', act.skip);
  const undo = make('undo', 'Undo', act.undo);
  const again = make('again', 'Again', act.again);
  const main = button('act.main.primary', { 'data-k': 'main' }, () => main.run?.());
  byId('acts').replaceChildren(voiding, skip, undo, again, main);
  let asked = null; // the held value that the answers below are for

  const enable = (b, on) => b.setAttribute('aria-disabled', on ? 'false' : 'true');

  return function draw(view) {
    const { current, batch, saved, held, later } = view;
    const study = taking(view);
    asked = held.length && !later && saved ? held[0] : null;
    byId('acts').hidden = asked !== null || !saved;
    redraw(byId('answers'), asked, () => (asked ? answers(asked) : []));
    const open = saved && batch && !batch.closed;
    const values = current?.steps.some((s) => s.seqs?.length);
    enable(voiding, open && values);
    enable(undo, open && values);
    enable(again, open && values);
    enable(skip, open && current?.next);
    if (study) {
      enable(voiding, study.readings?.length);
      enable(undo, study.done > 0);
      enable(again, false);
      enable(skip, false);
    }
    const [words, run] = mainAct(view);
    enable(main, open && run);
    main.run = run;
    if (main.textContent !== words) main.textContent = words;
  };

  // answers stand where the actions do, in reach of the thumb.
  function answers(h) {
    if (h.repeat) {
      return [
        button('act', { 'data-k': 'all' + h.seq }, () => act.allAgain(h), icon('again'), el('span', {}, 'Measure all again')),
        button('act', { 'data-k': 'later' }, act.later, icon('skip'), el('span', {}, 'Later')),
        button('act.main.primary.alone', { 'data-k': 'take' + h.seq }, () => act.takeWithCause(h), 'Take ', el('b', {}, h.value), ' with a cause'),
      ];
    }
    return [
      button('act', { 'data-k': 'drop' + h.seq }, () => act.discard(h), icon('void'), el('span', {}, 'Discard')),
      button('act', { 'data-k': 'later' }, act.later, icon('skip'), el('span', {}, 'Later')),
      // With a suggestion neither answer is the large black one: nobody is nudged either way.
      h.suggest ? button('act', { 'data-k': 'suggest' + h.seq }, () => act.take(h, true), 'Take ', el('b', {}, h.suggest)) : null,
      button(h.suggest ? 'act' : 'act.main.primary.alone', { 'data-k': 'take' + h.seq }, () => act.take(h, false), 'Take ', el('b', {}, h.value)),
    ];
  }

  function mainAct(view) {
    const { current, batch, asked, gauges } = view;
    const study = taking(view);
    if (!batch || batch.closed) return ['No batch', null];
    if (study) return study.step ? (asks(study, asked, gauges) ? ['Read gauge', act.read] : ['Type it', act.type]) : ['See the result', act.seeStudy];
    if (current?.next && asks(current.next, asked, gauges)) return ['Read gauge', act.read];
    if (current?.next) return ['Type it', act.type];
    if (current && (current.verdict === 'RE-BEND' || current.verdict === 'RE-MEASURE')) return ['Go on', act.goOn];
    return [current ? 'Next rib' : 'Start first rib', act.start];
  }
}
