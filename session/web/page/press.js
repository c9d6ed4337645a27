// What counts as a press: released on the button, by one finger, that was down long enough to be
// meant, on a button that was there when the finger came down.

import { el } from './dom.js';

const SETTLE = 350; // ms a new button must have stood before a finger on it counts
const DROP = 60; // ms; a shorter touch is a drop of water
let fingers = 0;

addEventListener('pointerdown', (e) => { fingers = e.isPrimary ? 1 : fingers + 1; }, true);

// button makes a button whose press calls act(event).
export function button(spec, props, act, ...kids) {
  const born = performance.now();
  let down = 0;
  let brief = false;
  const b = el('button.' + spec, { type: 'button', ...props }, ...kids);
  b.addEventListener('pointerdown', (e) => { down = e.timeStamp; brief = false; });
  b.addEventListener('pointerup', (e) => { brief = e.pointerType === 'touch' && e.timeStamp - down < DROP; });
  b.addEventListener('click', (e) => {
    if (b.getAttribute('aria-disabled') === 'true') return;
    const pointed = e.detail > 0;
    if (pointed && (fingers > 1 || brief || performance.now() - born < SETTLE)) return;
    act(e);
  });
  return b;
}

// twice makes a button that asks for a second press: the first one changes its words.
export function twice(spec, props, words, again, act) {
  let armed = 0;
  const b = button(spec, props, () => {
    if (armed) {
      rest();
      act();
      return;
    }
    b.classList.add('armed');
    b.textContent = again();
    armed = setTimeout(rest, 6000);
  }, words);
  function rest() {
    clearTimeout(armed);
    armed = 0;
    b.classList.remove('armed');
    b.textContent = words;
  }
  return b;
}
