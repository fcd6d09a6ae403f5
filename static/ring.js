// Every open page, on the laptop and on a phone, rings when a timer ends, and shows how each one stands.

import { canSound, hush, ring, unlock } from "./bell.js";
import { byLaptop, now, paint } from "./countdown.js";
import { fact, note } from "./outbox_store.js";
import { ask, list } from "./timers.js";

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
const two = (n) => String(n).padStart(2, "0");

function clock(ms) {
  const moment = new Date(ms);
  return `${two(moment.getHours())}:${two(moment.getMinutes())}`;
}

const purposeOf = (one) => one.purpose || (one.soak ? box.dataset.soak : box.dataset.look);

function element(name, look, text) {
  const made = document.createElement(name);
  if (look) made.className = look;
  if (text) made.textContent = text;
  return made;
}

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
  const p = element("p");
  const reading = due.every((one) => one.reminder);
  const said = element(reading ? "a" : "span", "", words);
  if (reading) said.href = `/firing/${due[0].of}/reading`;
  if (!reading) p.append(element("b", "", box.dataset.over));
  p.append(said);
  if (!canSound()) p.append(element("span", "", box.dataset.silent));
  const key = element("button", "plain", box.dataset.heard);
  key.type = "button";
  key.addEventListener("click", () => stop(due));
  box.replaceChildren(p, key);
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
  const { hand } = await import("./calendar.js");
  // The calendar goes by the phone's clock, which may differ from the laptop's.
  const endsMs = one.endsMs - (now() - Date.now());
  return hand({ ...one, endsMs, purpose: purposeOf(one) }, Date.now(), section.dataset.stay);
}

function row(one, section) {
  const made = element("div", "pad timer-row");
  made.dataset.timer = one.id;
  const line = element("p", "countdown");
  const span = element("span");
  span.dataset.ends = one.endsMs;
  const figure = element("span", "fig fig-m fig-span");
  figure.append(element("span", "figure"));
  span.append(figure);
  line.append(span, element("span", "", `${purposeOf(one)}, ${section.dataset.ends.replace("{clock}", clock(one.endsMs))}`));
  made.append(line, element("p", "soft", one.known ? section.dataset.known : section.dataset.unknown));
  const link = element("a", "plain", section.dataset.calendar);
  link.href = `/timer/${one.id}.ics`;
  if (onPhone) link.addEventListener("click", (event) => calendar(event, one, section));
  made.append(link);
  return made;
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
  const { soon, state } = await import("./outbox_send.js");
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

if (box && "indexedDB" in window) {
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
