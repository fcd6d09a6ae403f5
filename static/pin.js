// Keeps everything under way whole on the phone, with codes for what is made out of the laptop's reach; says when it is
// ready, and lets a new version in between two steps.

import { clock } from "./elements.js";
import { hello } from "./sending.js";
import { all, fact, note } from "./store.js";

const EVERY_MS = 15_000;
const LOW = 4;
const MAKES = /^\/charge\/\w{26}\/open$|^\/pigment\/\w{26}\/swatch$/;

function ask(worker, message) {
  return new Promise((settle) => {
    const line = new MessageChannel();
    line.port1.onmessage = (event) => settle(event.data);
    worker.postMessage(message, [line.port2]);
  });
}

/** Says when everything under way was last taken in, if it ever was. */
async function tell() {
  const [known, mark] = [await fact("ready"), document.querySelector("[data-ready]")];
  if (!mark) return;
  mark.dataset.state = known ? "ready" : "not-ready";
  mark.textContent = known ? mark.dataset.yes.replace("{clock}", clock(known.at)) : mark.dataset.no;
}

/** What arrived since all was last taken in, as its newest one's id. */
const newest = async () => ((await fact("delivered")) ?? []).at(-1)?.id;

async function pin(worker, tries = 3) {
  const before = await newest();
  const first = await ask(worker, { say: "take-in", list: "/bench/offline.json" });
  if (!first.ok) return first;
  let told = first.told ?? {};
  const drawn = first.drawn ?? {};
  for (const list of first.more) {
    const one = await ask(worker, { say: "take-in", list, rev: first.revs?.[list] });
    if (!one.ok) return one;
    told = { ...told, ...one.told };
    // What was told of a thing itself counts before what is only to come of it.
    for (const part of ["feet", "minds", "fires"]) drawn[part] = { ...one.drawn?.[part], ...drawn[part] };
  }
  worker.postMessage({ say: "let-go", lists: first.more });
  // What arrived meanwhile may be counted in or not: laid over what was told it would count twice.
  if ((await newest()) !== before) return tries > 1 ? pin(worker, tries - 1) : { ok: false, why: "busy" };
  await note("codes", first.codes ?? {});
  await note("words", first.words ?? {});
  await note("told", told);
  await note("drawn", drawn);
  await note("delivered", []);
  await fillUp().catch(() => null);
  await note("ready", { at: first.at });
  return { ok: true };
}

let last = 0;

/** Takes in what is under way, unless that was done just now; and says how it stands. */
export async function ready(force = false) {
  const worker = navigator.serviceWorker?.controller;
  if (!worker || (!force && Date.now() - last < EVERY_MS)) return;
  last = Date.now();
  const done = await pin(worker);
  if (!done.ok) document.documentElement.dataset.pinTrouble = done.why;
  await tell();
}

// --- codes that lie ready for what is made out here: each is taken once ---

async function left() {
  const used = (await all()).flatMap(({ fields }) => fields.filter(([name]) => name === "new_code").map(([, code]) => code));
  const spent = new Set([...used, ...((await fact("spent")) ?? [])]);
  return ((await fact("stock")) ?? []).filter((code) => !spent.has(code));
}

/** A code for what a form makes, taken from the stock; null where the form makes nothing, or no code is left. */
export async function takeFor(form, path) {
  if (!("makes" in form.dataset) && !MAKES.test(path)) return null;
  const [code] = await left();
  if (!code) return null;
  await note("spent", [...((await fact("spent")) ?? []).slice(-200), code]);
  return code;
}

/** Fills the stock up while the laptop is near. */
async function fillUp() {
  if ((await left()).length >= LOW) return;
  const { token } = await hello();
  const answer = await fetch("/outbox/codes", { method: "POST", headers: { "X-Bench-Token": token }, cache: "no-store" });
  if (answer.ok) await note("stock", (await answer.json()).codes);
}

// --- a new version ---

/** It takes over on the start page alone, and only while nothing waits to be sent. */
async function takeOver(registration) {
  const said = document.querySelector("[data-version-waits]");
  const { active, waiting } = registration;
  // The very first one only waits for a moment, and takes nobody's place.
  if (!active || !waiting) return;
  if (location.pathname === "/" && !(await all()).length) waiting.postMessage({ say: "take-over" });
  else if (said) said.hidden = false;
}

export async function begin() {
  if (!("serviceWorker" in navigator)) return;
  const had = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (had && location.pathname === "/") location.reload();
    else ready(true);
  });
  await tell();
  const registration = await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
  await takeOver(registration);
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", () => takeOver(registration));
  });
}
