// The sound of a timer. A browser lets a page sound only after a tap on it: the tap that starts a timer unlocks it.

const BEEP_S = 0.35;
let sound = null;
let ringing = null;

/** Lets this page sound from now on; to be called within a tap. */
export function unlock() {
  try {
    sound ??= new AudioContext();
    if (sound.state === "suspended") sound.resume();
  } catch {
    // No sound here: the screen and the vibration say it.
  }
}

/** Whether a sound would be heard now. */
export const canSound = () => sound?.state === "running";

/** Shakes the phone; a page that nobody has touched yet may not, and would only complain. */
function shake(pattern) {
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(pattern);
}

function beep() {
  shake([300, 150, 300]);
  if (!canSound()) return;
  for (const [n, pitch] of [880, 660, 880].entries()) {
    const [tone, level] = [sound.createOscillator(), sound.createGain()];
    tone.frequency.value = pitch;
    level.gain.value = 0.4;
    tone.connect(level).connect(sound.destination);
    tone.start(sound.currentTime + n * BEEP_S);
    tone.stop(sound.currentTime + n * BEEP_S + BEEP_S * 0.8);
  }
}

/** One short tone, and a shake. */
export function chirp() {
  shake(80);
  if (!canSound()) return;
  const tone = sound.createOscillator();
  tone.frequency.value = 880;
  tone.connect(sound.destination);
  tone.start();
  tone.stop(sound.currentTime + 0.12);
}

/** Rings until it is stopped. */
export function ring() {
  if (ringing) return;
  beep();
  ringing = setInterval(beep, 2000);
}

export function hush() {
  clearInterval(ringing);
  ringing = null;
  shake(0);
}

document.addEventListener("pointerdown", unlock, { capture: true });
document.addEventListener("keydown", unlock, { capture: true });
