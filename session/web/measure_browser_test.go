//go:build full

package web

// The page is measured by the scripts below, in the browser, on what was rendered.

// contrasts gives [text, ratio, where] for every visible piece of text, against the colour painted
// behind it; ratio by WCAG 2.2, relative luminance.
const contrasts = `(() => {
  const channel = (c) => { c /= 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; };
  const lum = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
  const rgb = (s) => { const n = s.match(/[\d.]+/g).map(Number); return n.length > 3 && n[3] === 0 ? null : n.slice(0, 3); };
  const behind = (e) => {
    for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c) return c; }
    return [255, 255, 255];
  };
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const t = walk.currentNode, e = t.parentElement;
    if (!t.data.trim() || e.closest('.unseen, noscript, title, [hidden]') || !e.getClientRects().length) continue;
    const s = getComputedStyle(e);
    const ink = rgb(e instanceof SVGElement ? s.fill : s.color);
    const [a, b] = [lum(ink), lum(behind(e))].sort((x, y) => y - x);
    found.push({ text: t.data.trim().slice(0, 30), ratio: (a + 0.05) / (b + 0.05), size: parseFloat(s.fontSize),
	panel: !!e.closest('#panel'), opacity: Number(s.opacity) });
  }
  return found;
})()`

// targets gives every button and link that can be seen, with its size and whether it is a bench action.
const targets = `[...document.querySelectorAll('button, a, summary, input')].filter((e) => e.getClientRects().length &&
	!e.closest('.unseen') && !e.classList.contains('unseen')).map((e) => {
  const r = e.getBoundingClientRect();
  return { name: (e.getAttribute('aria-label') || e.textContent).trim(), x: r.x, y: r.y, width: r.width, height: r.height,
	action: !!e.closest('#acts, #answers, #pad .keys, #pad .pad-foot, #pad .entry button') };
})`

// digitHeight gives the height of a painted digit of the reading in millimetres by the page's own scale.
const digitHeight = `(() => {
  const d = document.querySelector('.digits');
  const s = getComputedStyle(d);
  const c = document.createElement('canvas').getContext('2d');
  c.font = s.fontWeight + ' ' + s.fontSize + ' ' + s.fontFamily;
  const m = c.measureText('0');
  const probe = document.createElement('div');
  probe.className = 'one-mm';
  document.body.append(probe);
  const mm = probe.getBoundingClientRect().width / 10;
  probe.remove();
  return (m.actualBoundingBoxAscent + m.actualBoundingBoxDescent) / mm;
})()`

type contrast struct {
	Text    string
	Ratio   float64
	Size    float64
	Panel   bool
	Opacity float64
}

type target struct {
	Name                string
	X, Y, Width, Height float64
	Action              bool
}
