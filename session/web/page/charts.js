// Small drawings of deviations against their limits. Numbers in micrometres come from the bench and
// are used for drawing only; what is said in words beside them was made there too.

import { svg } from './dom.js';
import { mark, lane } from './signs.js';

// reach is the deviation in half-widths of the tolerance, held to what the drawing can show.
const reach = (cell, most) => Math.max(-most, Math.min(most, cell.limit_um > 0 ? cell.dev_um / cell.limit_um : 0));

// spot draws one deviation of a rib. Spots stand side by side in the batch table and their tolerance
// bands join, so that the row of a rib is its chart: up is proud, and a mark beyond the band is out.
export function spot(cell) {
  const h = 48;
  const mid = h / 2;
  const unit = 12; // one half-width of the tolerance
  if (!cell.dev) return svg('svg.spot', { viewBox: `0 0 24 ${h}`, 'aria-hidden': 'true' }, svg('path.gap', { d: `M6 ${mid}h12` }));
  const y = mid - reach(cell, 1.35) * unit;
  return svg('svg.spot', { viewBox: `0 0 24 ${h}`, 'aria-hidden': 'true' },
    svg('path.stem', { d: `M12 ${mid}V${y}` }), mark(lane(cell.lane).sign, cell.dev_um > 0 ? 'proud' : 'shy', 12, y, 16));
}

// bar draws one deviation on the line from lower to upper limit.
export function bar(cell, words) {
  const w = 320;
  const h = 34;
  const mid = w / 2;
  const unit = 88;
  const x = mid + reach(cell, 1.7) * unit;
  const far = Math.abs(cell.dev_um) > 1.7 * cell.limit_um;
  const over = far ? (cell.dev_um > 0 ? 1 : -1) : 0;
  return svg('svg.limits', { viewBox: `0 0 ${w} ${h}`, role: 'img' },
    svg('title', {}, words),
    svg('path.axis', { d: `M6 17H${w - 6}` }),
    svg('rect.zone', { x: mid - unit, y: 7, width: 2 * unit, height: 20 }),
    svg('path.edge', { d: `M${mid - unit} 2V32M${mid + unit} 2V32` }),
    svg('path.zero', { d: `M${mid} 9V25` }),
    over ? svg('path.needle', { d: `M${x - 8 * over} 5L${x + 8 * over} 17L${x - 8 * over} 29Z` })
      : svg('path.needle', { d: `M${x} 1L${x + 8} 17L${x} 33L${x - 8} 17Z` }));
}

// nest draws two ribs laid on each other, the paint bands on one end or on both.
export function nest(flip) {
  const bow = (o) => `M${6 + o} ${46 - o / 2}L${14 + o} ${30}A26 24 0 0 1 ${66 - o} 30L${74 - o} ${46 - o / 2}`;
  return svg('svg.nest', { viewBox: '0 0 80 50', 'aria-hidden': 'true', focusable: 'false' },
    svg('path.outer', { d: bow(0) }), svg('path.inner', { d: bow(9) }),
    svg('path.band', { d: 'M8 42L12 34' }),
    svg('path.band', { d: flip ? 'M63 40L59.500 34' : 'M17 40L20.500 34' }));
}
