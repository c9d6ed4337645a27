// What a maker must know before bending and measuring, shown once for each batch and always at hand.

import { el } from './dom.js';
import { sheet } from './sheets.js';
import { button } from './press.js';
import { set, setting } from './settings.js';
import * as sound from './sound.js';

const CAUTIONS = [
  ['A bent bar whips.', 'It springs back when it is let go. Stand clear of both legs, and let go of one leg at a time.'],
  ['Crossing legs pinch.', 'When a rib is closed by its tips, keep hands out from between the legs.'],
  ['Cut ends are sharp.', 'Wear gloves, and cap or grind the ends.'],
  ['Wear eye protection', 'while cutting, bending and letting go.'],
  ['Shape only.', 'Springline compares shapes. It says nothing on strength.'],
  ['Whether it may be built', 'is decided by the local codes and a licensed engineer.'],
];

export const cautionList = () => el('ul.cautions', {}, CAUTIONS.map(([head, rest]) => el('li', {}, el('b', {}, head), ' ', rest)));

// showCautions opens them with the sound test, the first step of a shift.
export function showCautions() {
  sheet('Before you start', (close) => [
    cautionList(),
    button('act.wide', {}, soundTest, 'Sound test'),
    button('act.wide.primary', {}, () => { sound.unlock(); close(); }, 'I have read this'),
  ]);
}

// cautionsOnce shows them when batch is opened on this screen for the first time.
export function cautionsOnce(batch) {
  if (!batch || batch.closed || setting('seen') === batch.id) return;
  set('seen', batch.id);
  showCautions();
}

// soundTest plays the four sounds that matter most, one after the other.
export async function soundTest() {
  await sound.unlock();
  ['in', 'out proud', 'unsure', 'PASS'].forEach((name, i) => setTimeout(() => sound.play(name), i * 1100));
}
