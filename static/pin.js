// Keeps everything under way whole on the phone, says when it is ready, and lets a new version in between two steps.

import { all, fact, note } from "./outbox_store.js";

const EVERY_MS = 15_000;

function ask(worker, message) {
  return new Promise((settle) => {
    const line = new MessageChannel();
    line.port1.onmessage = (event) => settle(event.data);
    worker.postMessage(message, [line.port2]);
  });
}

function say(words) {
  const mark = document.querySelector("[data-ready]");
  if (!mark) return;
  mark.dataset.state = words ? "ready" : "not-ready";
  mark.textContent = words ? mark.dataset.yes.replace("{clock}", words) : mark.dataset.no;
}

const clock = (ms) => [new Date(ms).getHours(), new Date(ms).getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");

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
  await (await import("./stock.js")).fillUp().catch(() => null);
  // Every page that is kept is drawn as it would have been at this time, by the laptop's clock.
  await note("asOf", first.at);
  await note("ready", { at: Date.now() });
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
  await tell(done.ok);
}

/** The time at which everything under way was last taken in, if it ever was. */
export async function tell(fresh = true) {
  const known = await fact("ready");
  say(known && (fresh || known) ? clock(known.at) : null);
}

/** A new version takes over on the start page alone, and only while nothing waits to be sent. */
async function takeOver(registration) {
  const note = document.querySelector("[data-version-waits]");
  const { active, waiting } = registration;
  // The very first one only waits for a moment, and takes nobody's place.
  if (!active || !waiting) return;
  if (location.pathname === "/" && !(await all()).length) waiting.postMessage({ say: "take-over" });
  else if (note) note.hidden = false;
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
