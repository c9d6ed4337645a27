// What this screen remembers of its user: nothing of the record.

const KEY = 'springline-screen';
const CARD = 85.6; // mm, the long side of a bank card (ISO/IEC 7810, ID-1)

const kept = load();

function load() {
  const plain = { by: '', hand: 'right', glove: 'thin', mm: 0, seen: '' };
  try {
    return { ...plain, ...JSON.parse(localStorage.getItem(KEY) || '{}') };
  } catch {
    return plain;
  }
}

export const setting = (name) => kept[name];

export function set(name, value) {
  kept[name] = value;
  try {
    localStorage.setItem(KEY, JSON.stringify(kept));
  } catch {
    // A browser that keeps nothing still works until it is closed.
  }
  apply();
}

// apply puts hand, glove size and screen scale on the page.
export function apply() {
  const root = document.documentElement;
  root.classList.toggle('left', kept.hand === 'left');
  root.classList.toggle('thick', kept.glove === 'thick');
  if (kept.mm > 2 && kept.mm < 20) root.style.setProperty('--mm', kept.mm + 'px');
  else root.style.removeProperty('--mm');
}

// perMM is how many of the screen's units make a millimetre.
export function perMM() {
  const probe = document.createElement('div');
  probe.className = 'one-mm';
  document.body.append(probe);
  const n = probe.getBoundingClientRect().width / 10;
  probe.remove();
  return n;
}

export const cardWidth = (mm) => mm * CARD;
