// Follows the bench. Each view belongs to one point of the record, (epoch, seq): an older one is never
// shown over a newer, and after a break the stream goes on from the last point seen.

const SILENT = 20000; // ms without a word from the bench before the page is marked
const AGAIN = 3000; // ms before a refused stream is asked for again

// follow calls on.view(view, news), on.missed(n) after a break and on.live(live, lastHeard).
export function follow(on) {
  let source = null;
  let place = null;
  let heard = performance.now();
  let heardAt = new Date();
  let live = null;
  let broke = false;
  let missed = 0;

  function hear() {
    heard = performance.now();
    heardAt = new Date();
    tell(true);
  }

  function tell(now) {
    if (live === now) return;
    live = now;
    on.live(now, heardAt);
  }

  function open() {
    const after = place ? `?after=${place.epoch}-${place.seq}` : '';
    source = new EventSource('/api/events' + after);
    source.addEventListener('beat', hear);
    source.addEventListener('record', () => { hear(); if (broke) missed++; });
    source.addEventListener('view', (e) => {
      hear();
      const view = JSON.parse(e.data);
      if (place && place.epoch === view.epoch && view.seq < place.seq) return;
      const fresh = !place || place.epoch !== view.epoch;
      place = { epoch: view.epoch, seq: view.seq };
      if (broke) {
        broke = false;
        if (missed) on.missed(missed);
      }
      missed = 0;
      on.view(view, fresh);
    });
    source.addEventListener('error', () => {
      broke = true;
      tell(false);
      if (source.readyState === EventSource.CLOSED) {
        source.close();
        setTimeout(open, AGAIN);
      }
    });
  }

  setInterval(() => { if (performance.now() - heard > SILENT) { broke = true; tell(false); } }, 1000);
  addEventListener('pagehide', () => source?.close());
  addEventListener('pageshow', (e) => { if (e.persisted) open(); });
  open();
}
