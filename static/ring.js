// Every open page, on the laptop and on a phone, rings when a timer ends, and shows how each one stands. A browser lets a
// page sound only after a tap on it: the tap that starts a timer unlocks it.

import { clock, key, make } from "./elements.js";
import { fact, note } from "./store.js";
import { ask, byLaptop, hand, list, now, paint } from "./timers.js";

// --- the sound ---

const BEEP_S = 0.35;
let sound = null;
let ringing = null;

/** Lets this page sound from now on; to be called within a tap. */
function unlock() {
  try {
    sound ??= new AudioContext();
    if (sound.state === "suspended") sound.resume();
  } catch {
    // No sound here: the screen and the vibration say it.
  }
}

/** Whether a sound would be heard now. */
const canSound = () => sound?.state === "running";

/** Shakes the phone; a page that nobody has touched yet may not, and would only complain. */
function shake(pattern) {
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(pattern);
}

/** A tone of so many Hz: how loud, from when, and for how many seconds. */
function tone(pitch, loud, afterS, lastsS) {
  if (!canSound()) return;
  const [made, level] = [sound.createOscillator(), sound.createGain()];
  made.frequency.value = pitch;
  level.gain.value = loud;
  made.connect(level).connect(sound.destination);
  made.start(sound.currentTime + afterS);
  made.stop(sound.currentTime + afterS + lastsS);
}

function beep() {
  shake([300, 150, 300]);
  for (const [n, pitch] of [880, 660, 880].entries()) tone(pitch, 0.4, n * BEEP_S, BEEP_S * 0.8);
}

/** One short tone, and a shake. */
export function chirp() {
  shake(80);
  tone(880, 1, 0, 0.12);
}

/** Rings until it is stopped. */
function ring() {
  if (ringing) return;
  beep();
  ringing = setInterval(beep, 2000);
}

function hush() {
  clearInterval(ringing);
  ringing = null;
  shake(0);
}

document.addEventListener("pointerdown", unlock, { capture: true });
document.addEventListener("keydown", unlock, { capture: true });

// --- what ended ---

const ASK_MS = 15_000;
const JUMP_MS = 5_000;
const SHOWN_MS = 60 * 60_000;
const SILENCE_MS = 2 * 60_000;
const KEPT = 60;
const box = document.querySelector("[data-bell]");
const onPhone = Boolean(document.querySelector("meta[name=bench-device]"));
let timers = [];

const silent = () => JSON.parse(localStorage.getItem("saggar-silent") ?? "{}");
const heard = () => JSON.parse(localStorage.getItem("saggar-heard") ?? "[]");
const purposeOf = (one) => one.purpose || (one.soak ? box.dataset.soak : box.dataset.look);

/** A timer that ended was heard for good; a reading that is due falls silent for a while. */
function stop(due) {
  const ids = due.filter((one) => !one.reminder).map((one) => one.id);
  localStorage.setItem("saggar-heard", JSON.stringify([...heard(), ...ids].slice(-KEPT)));
  const later = Object.fromEntries(due.filter((one) => one.reminder).map((one) => [one.id, now() + SILENCE_MS]));
  localStorage.setItem("saggar-silent", JSON.stringify(later));
  hush();
  check();
}

/** What has ended and nobody has answered yet, on this device. */
function show(due) {
  box.hidden = !due.length;
  if (!due.length) {
    hush();
    return box.replaceChildren();
  }
  const words = due.map((one) => (one.reminder ? purposeOf(one) : `${purposeOf(one)}, ${clock(one.endsMs)}`)).join("; ");
  if (box.dataset.says === words) return ring();
  box.dataset.says = words;
  const reading = due.every((one) => one.reminder);
  const said = reading ? [make("a", { href: `/firing/${due[0].of}/reading`, text: words })] : [make("span", {}, make("b", { text: `${box.dataset.over}:` }), ` ${words}`)];
  if (!canSound()) said.push(make("span", { text: box.dataset.silent }));
  box.replaceChildren(make("p", {}, ...said), key(box.dataset.heard, () => stop(due)));
  return ring();
}

function check() {
  const known = heard();
  const quiet = (one) => known.includes(one.id) || silent()[one.id] > now();
  show(timers.filter((one) => one.endsMs <= now() && one.endsMs > now() - SHOWN_MS && !quiet(one)));
}

/** Into the phone's calendar: from the laptop while it knows of the timer and is in reach, else made here. */
async function calendar(event, one, section) {
  event.preventDefault();
  if (one.known && (await ask())) return location.assign(`/timer/${one.id}.ics`);
  // The calendar goes by the phone's clock, which may differ from the laptop's.
  const endsMs = one.endsMs - (now() - Date.now());
  return hand({ ...one, endsMs, purpose: purposeOf(one) }, Date.now(), section.dataset.stay);
}

function row(one, section) {
  const words = section.dataset;
  const ends = make("span", { "data-ends": one.endsMs }, make("span", { look: "fig fig-m fig-span" }, make("span", { look: "figure" })));
  const what = make("span", { text: `${purposeOf(one)}, ${clock(one.endsMs)}` });
  const link = make("a", { look: "plain", href: `/timer/${one.id}.ics`, text: words.calendar });
  if (onPhone) link.addEventListener("click", (event) => calendar(event, one, section));
  return make("div", { look: "pad timer-row", "data-timer": one.id }, make("p", { look: "countdown" }, ends, what), make("p", { look: "soft", text: one.known ? words.known : words.unknown }), link);
}

/** On the timer's own page: all that run, and whether the laptop knows of each. */
function rows() {
  const section = document.querySelector("[data-timers]");
  if (!section) return;
  const shown = timers.filter((one) => !one.reminder && one.endsMs > now() - SHOWN_MS);
  const mark = JSON.stringify(shown);
  // Rows that say the same stay: a key that is put anew under a finger loses its tap.
  if (section.dataset.shown !== mark) section.replaceChildren(...shown.map((one) => row(one, section)));
  section.dataset.shown = mark;
  const sound = document.querySelector("[data-sound]");
  if (sound) sound.textContent = canSound() ? sound.dataset.on : sound.dataset.off;
  paint();
}

/** A laptop that answers again is greeted at once, also while nothing waits to be sent: then it is no more said to be away. */
async function greet() {
  const { soon, state } = await import("./sending.js");
  if (state.reach === "away") soon();
}

async function look(asks) {
  const near = asks && (await ask());
  if (near && onPhone) await greet();
  const off = onPhone ? await fact("offset").catch(() => null) : null;
  byLaptop(off?.ms ?? 0);
  timers = await list();
  rows();
  check();
}

let wall = Date.now();
let ticks = performance.now();
let seen = true;

/** A clock that is set while the screen is on moves no end: what was known of its offset is moved along. */
async function watch() {
  const [was, steady] = [wall, ticks];
  [wall, ticks] = [Date.now(), performance.now()];
  const jump = wall - was - (ticks - steady);
  const watched = seen && document.visibilityState === "visible";
  seen = document.visibilityState === "visible";
  if (!watched || Math.abs(jump) < JUMP_MS) return;
  const known = await fact("offset").catch(() => null);
  if (onPhone && known) await note("offset", { ...known, ms: known.ms - Math.round(jump) });
  const strip = document.querySelector("[data-clock-set]");
  strip.hidden = false;
  strip.textContent = strip.dataset.words.replace("{n}", String(Math.round(Math.abs(jump) / 60_000)));
  await look(true);
}

if (box) {
  look(true);
  setInterval(() => document.visibilityState === "visible" && look(true), ASK_MS);
  setInterval(check, 1000);
  setInterval(watch, 1000);
  window.addEventListener("pageshow", () => look(false));
  document.addEventListener("visibilitychange", () => look(document.visibilityState === "visible"));
  document.addEventListener("saggar-kept", () => look(true));
  document.addEventListener("pointerup", () => setTimeout(rows, 200));
  document.addEventListener("submit", unlock, { capture: true });
}
