// The sounds of the bench: told apart by rhythm as well as by pitch, between 800 and 3000 Hz, each
// note at least 150 ms. They repeat what the sign says and never stand alone.

// TUNES holds [hertz, milliseconds, pause after] for each word; the tune of OUT goes the way the rib is out.
const TUNES = {
  __proto__: null,
  in: [[2100, 150, 0]],
  unsure: [[1900, 160, 60], [1200, 240, 0]],
  'out proud': [[850, 220, 90], [1150, 320, 0]],
  'out shy': [[1150, 220, 90], [850, 320, 0]],
  PASS: [[1500, 150, 40], [1900, 150, 40], [2400, 260, 0]],
  'RE-BEND': [[900, 200, 80], [900, 200, 80], [900, 420, 0]],
  'RE-MEASURE': [[1900, 160, 60], [1200, 240, 160], [1900, 160, 60], [1200, 240, 0]],
  REJECT: [[1000, 200, 60], [900, 200, 60], [800, 600, 0]],
  'NOT SAVED': [[820, 450, 150], [820, 450, 150], [820, 450, 0]],
  CHECK: [[1600, 150, 0]],
};
const REPEAT = 2600; // ms between the alarms

let audio = null;
let nagging = 0;

export const tuneOf = (name) => TUNES[name] || TUNES.CHECK;
export const names = () => Object.keys(TUNES);

// state is off (never unlocked), on, or blocked (the browser has no sound).
export function state() {
  if (!audio) return 'off';
  return audio.state === 'running' ? 'on' : 'blocked';
}

// unlock must be called from a press: browsers play nothing before one.
export async function unlock() {
  if (!audio && window.AudioContext) audio = new AudioContext();
  if (audio && audio.state !== 'running') await audio.resume().catch(() => {});
  return state();
}

export function play(name) {
  if (state() !== 'on') return false;
  let t = audio.currentTime + 0.02;
  for (const [hertz, ms, pause] of tuneOf(name)) {
    const tone = audio.createOscillator();
    const level = audio.createGain();
    tone.type = 'triangle';
    tone.frequency.value = hertz;
    level.gain.setValueAtTime(0, t);
    level.gain.linearRampToValueAtTime(0.9, t + 0.012);
    level.gain.setValueAtTime(0.9, t + ms / 1000 - 0.03);
    level.gain.linearRampToValueAtTime(0, t + ms / 1000);
    tone.connect(level).connect(audio.destination);
    tone.start(t);
    tone.stop(t + ms / 1000);
    t += (ms + pause) / 1000;
  }
  if (name === 'NOT SAVED') navigator.vibrate?.([450, 150, 450, 150, 450]);
  return true;
}

// nag repeats the alarm until quiet.
export function nag() {
  if (nagging) return;
  play('NOT SAVED');
  nagging = setInterval(() => play('NOT SAVED'), REPEAT);
}

export function quiet() {
  clearInterval(nagging);
  nagging = 0;
}
