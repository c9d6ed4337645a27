// Catches what a keyboard gauge types. Such a gauge sends its value as quick key presses ended by Enter
// or Tab; caught here, they press no button and land in no field. A person's keys come slower and go
// where they always go.

const GAP = 60; // ms between keys of one burst
const LEAST = 4; // keys that make a burst, the terminator counted

// catchBursts calls on.reading([{key, at}]) for a whole burst and on.refused(why) for a spoiled one. bound()
// says whether a keyboard gauge is in use; without one nothing is caught.
export function catchBursts(catcher, bound, on) {
  let keys = [];
  let last = -Infinity;
  let repeated = false;
  let field = null; // a text field the keys fell into, and what stood there before
  let waiting = null; // a lone Enter or Space that may press a button after all

  function clear() {
    keys = [];
    repeated = false;
    field = null;
  }

  function start(target) {
    clear();
    const text = target instanceof HTMLInputElement && target !== catcher;
    field = text ? { at: target, was: target.value } : null;
  }

  // end is reached at the terminator; true when the keys were a burst.
  function end(last) {
    const all = [...keys, last];
    const whole = all.length >= LEAST;
    const spoiled = repeated;
    if (whole && field) {
      field.at.value = field.was;
      field.at.dispatchEvent(new Event('input', { bubbles: true }));
    }
    clear();
    if (!whole) return false;
    if (spoiled) on.refused('a key of the gauge was held down, so the value is not certain');
    else on.reading(all);
    return true;
  }

  addEventListener('keydown', (e) => {
    if (!bound() || e.ctrlKey || e.altKey || e.metaKey || e.isComposing) return;
    const quick = e.timeStamp - last < GAP;
    const terminator = e.key === 'Enter' || e.key === 'Tab';
    const printable = e.key.length === 1;
    if (!terminator && !printable) return;
    last = e.timeStamp;
    if (waiting) {
      clearTimeout(waiting);
      waiting = null;
    }
    if (terminator) {
      if (quick && keys.length && end({ key: e.key, at: e.timeStamp })) {
        e.preventDefault();
        e.stopImmediatePropagation();
        return;
      }
      clear();
      if (e.repeat) { e.preventDefault(); return; }
      if (e.key === 'Enter' && isButton(e.target)) hold(e);
      return;
    }
    if (!quick) start(e.target);
    keys.push({ key: e.key, at: e.timeStamp });
    if (e.repeat) repeated = true;
    if (isButton(e.target)) {
      if (e.key === ' ' && keys.length === 1) hold(e);
      else e.preventDefault();
    }
  }, true);

  // A space is let go on the key's release in some browsers: the button was pressed by hold already.
  addEventListener('keyup', (e) => {
    if (bound() && e.key === ' ' && isButton(e.target)) e.preventDefault();
  }, true);

  // On a busy machine the press that belongs to an Enter held back can come all the same, some time later.
  addEventListener('keypress', (e) => {
    if (bound() && isButton(e.target)) e.preventDefault();
  }, true);

  function hold(e) {
    const target = e.target;
    e.preventDefault();
    waiting = setTimeout(() => {
      waiting = null;
      clear();
      target.click();
    }, GAP + 10);
  }

  // Focus rests on the catcher after a press, so a burst meets no button at all.
  addEventListener('click', (e) => {
    if (!bound() || e.detail === 0 || document.querySelector('dialog[open]')) return;
    if (!(e.target instanceof HTMLInputElement || e.target instanceof HTMLSelectElement)) catcher.focus({ preventScroll: true });
  });
}

const isButton = (e) => e instanceof Element && e.closest('button, a, summary') !== null;
