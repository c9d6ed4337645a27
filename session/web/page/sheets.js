// Sheets that ask before something is done: a list of large choices over the page.

import { el, byId } from './dom.js';
import { button } from './press.js';

// sheet opens a sheet with a title and what build(close) gives.
export function sheet(title, build) {
  const dialog = byId('sheet');
  const close = () => dialog.close();
  dialog.replaceChildren(el('h2', {}, title), el('div.sheet-body', {}, build(close)), button('act.wide', {}, close, 'Close'));
  if (!dialog.open) dialog.showModal();
  return close;
}

// ask is a sheet with one button for each choice; then(choice) runs after the press.
export function ask(title, choices, then, before) {
  sheet(title, (close) => [before || null,
    choices.map((c) => button('act.wide', {}, () => { close(); then('value' in c ? c.value : c.words); }, c.words))]);
}

// askName asks for a text of one line; then(text) runs with a text that is not empty.
export function askName(title, label, value, then) {
  sheet(title, (close) => {
    const input = el('input.line', { type: 'text', maxlength: 60, value, autocomplete: 'off', onkeydown: (e) => { if (e.key === 'Enter') { e.preventDefault(); done(); } } });
    const done = () => { const t = input.value.trim(); if (t) { close(); then(t); } };
    return [el('label.line', {}, label, input), button('act.wide.primary', {}, done, 'Keep it')];
  });
}

export const REASONS = {
  void: ['wrong place on the rib', 'rib moved while measuring', 'gauge slipped', 'belongs to another rib', 'typed wrongly'],
  skip: ['mark is missing', 'cannot be reached', 'gauge is not at hand', 'left for later'],
  again: ['not sure of it', 'lifted and laid again', 'rib moved', 'gauge slipped'],
  forbid: ['they do not look alike', 'one is twisted', 'they belong to two places'],
  study: ['rain or dark', 'gauge was dropped or changed', 'a rib was bent meanwhile', 'somebody had to leave', 'wrong ribs or gauge'],
  discard: ['sent by mistake', 'sent twice', 'wrong gauge or unit', 'belongs to another rib'],
  round: ['rib was re-bent', 'measure all of it again'],
};
