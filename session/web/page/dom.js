// Small helpers to build elements. Text goes in as text nodes only, so nothing that was named at the
// bench can become markup.

const SVG = 'http://www.w3.org/2000/svg';

// el makes an element: el('div.a.b', {title: 'x', onclick: f}, 'text', child, null, [more]).
export function el(spec, props, ...kids) {
  const [tag, ...classes] = spec.split('.');
  return fill(document.createElement(tag || 'div'), classes, props, kids);
}

// svg makes an element of a drawing.
export function svg(spec, props, ...kids) {
  const [tag, ...classes] = spec.split('.');
  return fill(document.createElementNS(SVG, tag), classes, props, kids);
}

function fill(e, classes, props, kids) {
  for (const c of classes) e.classList.add(c);
  for (const [name, value] of Object.entries(props || {})) {
    if (value === undefined || value === null || value === false) continue;
    if (typeof value === 'function') e.addEventListener(name.slice(2), value);
    else e.setAttribute(name, value === true ? '' : String(value));
  }
  for (const kid of kids.flat(3)) {
    if (kid !== undefined && kid !== null && kid !== false && kid !== '') e.append(kid);
  }
  return e;
}

export const byId = (id) => document.getElementById(id);

// named puts what a thing is before its name, unless the name says it: lot L1, but lot-1.
export const named = (what, name) => name.toLowerCase().startsWith(what) ? name : what + ' ' + name;

const drawn = new WeakMap();

// redraw rebuilds what is in host when data changed, and keeps the focus on the element that carries
// the same data-k.
export function redraw(host, data, build) {
  const now = JSON.stringify(data);
  if (drawn.get(host) === now) return false;
  drawn.set(host, now);
  const active = host.contains(document.activeElement) ? document.activeElement.dataset.k : undefined;
  host.replaceChildren(...[build()].flat(3).filter((k) => k !== undefined && k !== null && k !== false && k !== ''));
  if (active) host.querySelector(`[data-k="${CSS.escape(active)}"]`)?.focus();
  return true;
}
