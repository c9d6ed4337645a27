// The temperatures of bar and tape: what counts now, and a sheet to enter them.

import { el } from './dom.js';
import { button } from './press.js';
import { sheet } from './sheets.js';

// warmth is the line of the gauge panel, with the button that opens the sheet.
export function warmth(t, act) {
  return !t ? null : el('div.warmth', {},
    el('p.note', {}, t.old ? el('b', {}, 'Temperatures: ') : 'Temperatures: ', t.text),
    button('act.wide', { 'data-k': 'warm' }, () => askWarm(t, act), t.seq ? 'Read temperatures again' : 'Enter temperatures'));
}

// askWarm asks for both; readings that follow are corrected to 20 °C. A reading that was wrong is put right
// by entering it anew in its place.
export function askWarm(t, act) {
  sheet('Temperatures of bar and tape', (close) => {
    const field = () => el('input.line', { type: 'text', inputmode: 'text', maxlength: 12, autocomplete: 'off' });
    const bar = field();
    const tape = field();
    const why = el('p.why', { role: 'alert' });
    const go = (extra) => async () => {
      const r = await act.warm({ bar: bar.value, tape: tape.value, ...extra });
      if (r.ok) close(); else why.textContent = [r.problem.detail, r.problem.do].filter(Boolean).join('; ');
    };
    return [
      el('p', {}, 'Hold the thermometer against the bar, then against the tape, in the shade of your hand. Tape lengths of the next two hours are corrected to 20 °C.'),
      el('label.line', {}, 'Bar, °C', bar), el('label.line', {}, 'Tape, °C', tape), why,
      button('act.wide.primary', { 'data-k': 'warm-keep' }, go({}), 'Count from now on'),
      t.seq ? button('act.wide', { 'data-k': 'warm-right' }, go({ seq: t.seq }), 'The last reading was wrong: put it right') : null,
    ];
  });
}
