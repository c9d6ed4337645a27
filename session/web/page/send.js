// Sends commands. A command keeps its key until it is answered, so sending it again cannot count twice.

import { setting } from './settings.js';

const WAIT = 8000; // ms for an answer

const newKey = () => (crypto.randomUUID ? crypto.randomUUID() : Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, '0')).join(''));

// command makes a command ready to send.
export function command(fields) {
  const c = { ...fields, key: newKey() };
  if (setting('by')) c.by = setting('by');
  return c;
}

// A command without an answer outlives a reload of its tab, so that it can be sent again with its key; nothing
// sends it but a press.
const UNANSWERED = 'springline-unanswered';

export function keepUnanswered(c) {
  try {
    if (c) sessionStorage.setItem(UNANSWERED, JSON.stringify(c));
    else sessionStorage.removeItem(UNANSWERED);
  } catch {
    // A browser that keeps nothing still sends it again until it is reloaded.
  }
}

// unanswered gives the command that got no answer before the page was loaded, or null.
export function unanswered() {
  try {
    const c = JSON.parse(sessionStorage.getItem(UNANSWERED));
    return c && c.op && c.key ? c : null;
  } catch {
    return null;
  }
}

// send gives {ok, ack} or {ok: false, problem}; lost is set when no answer came, so nobody knows
// whether it was stored.
export async function send(c) {
  let answer;
  try {
    answer = await fetch('/api/do', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(c),
      signal: AbortSignal.timeout(WAIT),
      cache: 'no-store',
    });
  } catch {
    return { ok: false, lost: true, problem: { code: 'no_answer', detail: 'the bench computer did not answer', do: 'send it again: it counts once only' } };
  }
  const body = await answer.json().catch(() => ({}));
  if (answer.ok && body.saved) return { ok: true, ack: body.ack };
  return { ok: false, problem: { detail: 'the bench refused it (' + answer.status + ')', ...body } };
}

// ask gets what the bench works out on request: {ok, body} or {ok: false, problem}.
export async function ask(address) {
  try {
    const answer = await fetch(address, { signal: AbortSignal.timeout(4 * WAIT), cache: 'no-store' });
    const body = await answer.json();
    return answer.ok ? { ok: true, body } : { ok: false, problem: body };
  } catch {
    return { ok: false, problem: { detail: 'The bench computer did not answer.', do: 'Try again.' } };
  }
}

// readBack asks how a typed text is understood, for what is next or for a pull.
export async function readBack(text, pull, signal) {
  const answer = await fetch('/api/read?' + new URLSearchParams(pull ? { text, for: 'pull' } : { text }), { signal, cache: 'no-store' });
  return answer.json();
}

// sendAct has something done to a connected gauge: ask it, find it by its send key, settle that it is the
// one. What it sends then comes as every reading does. It gives a problem or nothing.
export async function sendAct(gauge, act) {
  try {
    const answer = await fetch('/api/gauge', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ gauge, act }), signal: AbortSignal.timeout(WAIT) });
    return answer.ok ? null : await answer.json();
  } catch {
    return { detail: 'The bench computer did not answer.', do: 'Press again.' };
  }
}

// sendKeys hands over what a keyboard gauge typed, [{key, at}]; whether it is a reading is decided
// where every gauge's bytes are read. It gives a problem or nothing.
export async function sendKeys(gauge, keys) {
  const text = keys.map((k) => ({ Enter: '\r', Tab: '\t' })[k.key] || k.key).join('');
  const times = keys.map((k) => k.at.toFixed(1)).join(' ');
  try {
    const answer = await fetch('/api/keys', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ gauge, text, times }), signal: AbortSignal.timeout(WAIT) });
    return answer.ok ? null : await answer.json();
  } catch {
    return { detail: 'The bench computer did not answer: the value from the keyboard gauge is lost.', do: 'Send it again.' };
  }
}
