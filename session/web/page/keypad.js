// Typed entry with big keys. The bench reads the text back while it is typed, and only a text that was
// read back can be counted; nothing is worked out here.

import { el, svg, byId } from './dom.js';
import { button } from './press.js';
import { readBack } from './send.js';

const SETTLED = 120; // ms without a key before the bench is asked

// Two sheets of keys; both are shown side by side where there is room.
const DIGITS = [['7', '8', '9'], ['4', '5', '6'], ['1', '2', '3'], ['', '0', '.']];
const MARKS = [["'", '"', '/'], ['space', '-', ','], ['mm', 'cm', 'm'], ['in', 'ft', '+']];
const NAMES = { "'": 'feet mark', '"': 'inch mark', '/': 'stroke of a fraction', '.': 'point', ',': 'comma', '-': 'minus or joining hyphen', '+': 'plus' };

// keypad gives {open(what, rib), close(), isOpen()}; count(text, mm, what) is called with a text that was
// read back and returns a promise of a problem or nothing.
export function keypad(count) {
  const dialog = byId('pad');
  let what = null; // what is asked for: the view's next, or a pull
  let understood = null; // {text, mm}: the reading of exactly what stands in the field
  let asking = null;
  let timer = 0;
  let input;
  let line;
  let keys;
  let go;

  function open(next, rib) {
    what = next;
    understood = null;
    input = el('input.typed', { type: 'text', inputmode: 'none', autocomplete: 'off', spellcheck: 'false', maxlength: 40,
      'aria-label': 'value', 'aria-describedby': 'read-back', oninput: changed, onkeydown: enter });
    line = el('div.read-back', { id: 'read-back', role: 'status', 'aria-live': 'polite' });
    go = button('key.go', { 'data-k': 'go' }, submit, 'COUNT IT');
    keys = el('div.keys', {}, sheet('numbers', rows(next)), sheet('marks', MARKS));
    dialog.replaceChildren(
      el('p.what', {}, el('b', {}, 'Rib ' + rib + ' · ' + next.label), next.face ? ' · ' + next.face + ' face' : '',
        next.want ? el('span', {}, `wanted ${next.want}, limits ${next.limit}`) : el('span', {}, next.note || 'tip to tip while the rib is held')),
      el('div.entry', {}, input, button('key.back', { 'aria-label': 'take the last character away' }, rubOut, arrow())),
      line, keys,
      el('div.pad-foot', {},
        button('key.leave', {}, close, 'Close'),
        button('key.turn', { 'aria-label': 'more keys: feet, inches, units' }, () => dialog.classList.toggle('marks-up'), `' " / mm`),
        go));
    dialog.classList.remove('marks-up');
    show(`A bare number is read in ${next.unit || 'mm'}.`);
    dialog.showModal();
    input.focus();
  }

  const close = () => { clearTimeout(timer); asking?.abort(); dialog.close(); };

  // rows puts the sign on the first sheet where a value may lie below zero.
  function rows(next) {
    const r = DIGITS.map((row) => [...row]);
    r[3][0] = next.signed ? '-' : ',';
    return r;
  }

  function sheet(name, lines) {
    return el('div.sheet-of-keys.' + name, {}, lines.flat().map((k) => button('key', { 'aria-label': NAMES[k] }, () => type(k), k === '-' && name === 'numbers' ? '−' : k)));
  }

  function type(key) {
    const text = key === 'space' ? ' ' : /^[a-z]/.test(key) ? ' ' + key : key;
    if (input.value.length + text.length > 40) return;
    input.value += text;
    changed();
  }

  function rubOut() {
    input.value = input.value.replace(/ ?[a-z]+$|.$/u, '');
    changed();
  }

  function enter(e) {
    if (e.key !== 'Enter') return;
    e.preventDefault();
    submit();
  }

  function changed() {
    understood = null;
    mark();
    clearTimeout(timer);
    asking?.abort();
    if (input.value.trim() === '') {
      show('');
      return;
    }
    timer = setTimeout(ask, SETTLED);
  }

  async function ask() {
    const text = input.value;
    asking = new AbortController();
    try {
      const r = await readBack(text, what.pull, asking.signal);
      if (text !== input.value) return;
      if (r.read) {
        understood = { text, mm: r.mm };
        show(el('b.understood', {}, r.read));
      } else {
        show(el('b.why', {}, r.detail || 'not understood'), (r.choose || []).map((c) =>
          button('key.choice', {}, () => { input.value = c.text; changed(); }, c.read)));
      }
      mark();
    } catch (err) {
      if (err.name !== 'AbortError') show(el('b.why', {}, 'The bench computer did not answer, so the value cannot be read back. Write it down.'));
    }
  }

  function show(...what) {
    line.replaceChildren(...what.flat());
    dialog.classList.toggle('choosing', line.querySelector('.choice') !== null);
  }

  function mark() { go.classList.toggle('ready', understood?.text === input.value); }

  async function submit() {
    const text = input.value;
    if (understood?.text !== text || go.classList.contains('busy')) return;
    go.classList.add('busy');
    const problem = await count(text, understood.mm, what);
    go.classList.remove('busy');
    if (!problem) {
      close();
      return;
    }
    show(el('b.why', {}, problem.detail), problem.do ? el('span', {}, problem.do) : '');
  }

  return { open, close, isOpen: () => dialog.open };
}

const arrow = () => svg('svg.icon', { viewBox: '0 0 24 24', 'aria-hidden': 'true' }, svg('path', { d: 'M22 5H9l-7 7 7 7h13zM12 9l6 6M18 9l-6 6' }));
