// A stored page brought up to what waits on this phone: the fitting copy, its numbers, its next step.

import { takeOff } from "./as_of.js";
import { dashed } from "./codes.js";
import { nextStep } from "./gates.js";
import { watchForms } from "./hold.js";
import { clock, make, say, whole } from "./made.js";
import { fact } from "./outbox_store.js";
import { since } from "./since.js";
import { firingPage } from "./stored_firing.js";
import { weighPage } from "./stored_weigh.js";
import { fitting, nextPage } from "./ways.js";

const PAGE = /^\/(batch|charge|firing)\/(\w{26})(?:\/(\w+))?(?:\/(\d+))?/;

/** The places kept free for fillings that nobody made are taken off the page; those that were made get their code. */
async function fillings(things) {
  for (const id of Object.values((await fact("free")) ?? {}).flat()) {
    const rows = [...document.querySelectorAll(`a[href*="${id}"], input[value="${id}"]`)].map((one) => one.closest("label, li") ?? one);
    const made = things[id];
    for (const row of rows) {
      if (!made || made.ended) row.remove();
      else (row.querySelector("b") ?? row).textContent = [made.code, say("made")].filter(Boolean).join(" · ");
    }
  }
}

/** The key for what is next; where nothing is left to be done with a thing, back to the start. */
function plate(thing) {
  const key = document.querySelector(".actionbar a.plate");
  if (!key) return;
  key.href = nextPage(thing) ?? "/";
  key.querySelector("span").textContent = say(nextStep(thing) ?? "today");
}

/** On the page of a charge, in the place of what is old: its crucible's code and its grams. */
function chargeTop(charge) {
  const grams = charge.g === undefined ? "" : `${charge.g} g`;
  document.querySelector(".charge-top")?.append(make("p", { look: "lead", text: [charge.code && dashed(charge.code.replace("-", "")), grams].filter(Boolean).join(" · ") }));
}

/** A mass that was proposed by what was left then is no proposal any more; what was typed meanwhile stays. */
function emptied(name) {
  const field = document.getElementById("ask")?.elements.namedItem(name);
  if (field && field.value === field.defaultValue) field.value = "";
}

function nameOf(thing) {
  return thing.name ?? (thing.code ? dashed(thing.code.replace("-", "")) : say("made"));
}

/** What was recorded since, thing by thing, with the way to its next step. */
function panel(facts, things) {
  const touched = new Map(facts.map((one) => [one.kind === "charged" ? one.id : one.thing, one]));
  if (!touched.size) return;
  const box = make("section", { look: "part since", "data-since": "" }, make("h2", { look: "pad", text: say("since") }));
  for (const [id, last] of touched) {
    const thing = things[id];
    const page = thing && nextPage(thing);
    if (!page || page === location.pathname + location.search) continue;
    const text = make("span", { look: "thing-what" }, make("b", { text: nameOf(thing) }), make("span", { text: `${clock(last.ms)} · ${say("next")}: ${say(nextStep(thing))}` }));
    box.append(make("a", { look: "thing-row", href: page }, text));
  }
  if (box.childElementCount > 1) document.getElementById("main").prepend(box);
}

/** On the start page: what was read of a fire since the page was drawn stands in its place; its small curve is old. */
function readings(things) {
  for (const box of document.querySelectorAll("[data-read]")) {
    const [ms, c] = things[box.dataset.of]?.readings?.at(-1) ?? [0];
    if (ms <= Number(box.dataset.read)) continue;
    box.querySelector(".fire-read > :last-child").replaceWith(make("span", { look: "figure", text: whole(c) }, make("small", { text: "°C" })));
    box.querySelector(".fire-soak").replaceChildren(make("span", { text: `${say("read")} ` }, make("span", { look: "num", text: clock(ms) })));
    box.querySelector("svg.curve, figure, .fire-link > svg")?.remove();
  }
}

/** Brings the page up to date; gives false where another copy of it is being opened instead. */
export async function bringUp() {
  const known = await since();
  const { told, facts, things } = known;
  const here = location.pathname + location.search;
  const fits = fitting(here, told, things);
  if (fits !== here && (await caches.match(fits))) {
    location.replace(fits);
    return false;
  }
  const [, sort, id, step, number] = location.pathname.match(PAGE) ?? [];
  const thing = things[id];
  if (sort === "firing") await fillings(things);
  const old = await takeOff(known, id);
  if (!("drawn" in document.body.dataset)) panel(facts, things);
  readings(things);
  watchForms();
  if (thing && sort === "batch" && step === "weigh" && number) weighPage(thing, Number(number));
  else if (thing && !step && sort === "firing") firingPage(thing, things, told[id]);
  else if (thing && !step) plate(thing);
  if (old && step === "load") emptied("g");
  if (old && thing && sort === "charge" && !step) chargeTop(thing);
  document.body.dataset.brought = "";
  return true;
}
