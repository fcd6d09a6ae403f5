// A stored page, which is the start page or a list, says how things stood when it was made. What this phone knows to be
// otherwise is taken off it; what was recorded since stands over it, with the way to the next step.

import { burns, isDangerous, isHot, say, standing } from "./away.js";
import { clock, make, whole } from "./elements.js";
import { dashed } from "./read.js";
import { fact } from "./store.js";
import { nextOf } from "./ways.js";

function nameOf(thing) {
  return thing.name ?? (thing.code ? dashed(thing.code) : say("made"));
}

/** What was recorded since, thing by thing, with the way to its next step. */
function panel({ here, done, things }) {
  const touched = new Map(done.flatMap((one) => (one.verb === "load" ? [one.id] : one.on).map((id) => [id, one])));
  if (!touched.size) return;
  const box = make("section", { look: "part since", "data-since": "" }, make("h2", { look: "pad", text: say("since") }));
  for (const [id, last] of touched) {
    const next = things[id] && nextOf(here, things, id);
    if (!next?.page || next.page === location.pathname + location.search) continue;
    const text = make("span", { look: "thing-what" }, make("b", { text: nameOf(things[id]) }), make("span", { text: `${clock(last.ms)} · ${say("next")}: ${next.title}` }));
    box.append(make("a", { look: "thing-row", href: next.page }, text));
  }
  if (box.childElementCount > 1) document.getElementById("main").prepend(box);
}

/** A fire as the start page shows one; its small curve is left out, since the stored one is old. */
function fireBox(here, things, { id, name, readings }) {
  const [ms, c] = readings?.at(-1) ?? [0];
  const read = ms ? make("span", { look: "figure", text: whole(c) }, make("small", { text: "°C" })) : make("span", { look: "lead", text: say("reading") });
  const when = ms ? [make("span", { text: `${say("read")} ` }, make("span", { look: "num", text: clock(ms) }))] : [];
  const stands = make("b", { text: nextOf(here, things, id).title });
  const link = make("a", { look: "fire-link", href: `/firing/${id}` }, make("span", { look: "fire-read" }, make("span", { text: name }), read), make("span", { look: "fire-soak" }, stands, ...when));
  return make("section", { look: "fire", "data-of": id, "data-read": String(ms) }, link);
}

/** On the start page: each fire that burns by what this phone knows, with what was read of it last. */
function fires({ here, things }) {
  for (const box of document.querySelectorAll(".fire[data-of]")) if (things[box.dataset.of] && !burns(here, things, box.dataset.of)) box.remove();
  for (const one of Object.values(things).filter(({ sort, id }) => sort === "firing" && burns(here, things, id))) {
    const box = document.querySelector(`.fire[data-of="${one.id}"]`);
    if (box && (one.readings?.at(-1)?.[0] ?? 0) <= Number(box.dataset.read)) continue;
    if (box) box.replaceWith(fireBox(here, things, one));
    else document.querySelector(".burning")?.prepend(fireBox(here, things, one));
  }
}

/** A thing, and of a firing the charges that are in it, or were. */
function partsOf(id, { told, things }) {
  const inIt = (all) => Object.values(all).filter((one) => one.sort === "charge" && one.firing === id);
  return [id, ...[...inIt(told), ...inIt(things)].map((one) => one.id)];
}

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

/** Takes off what is said of things that stand otherwise; that one is hot stays until this phone knows better. */
async function takeOff(known) {
  const { here, told, things } = known;
  const arrived = JSON.stringify(((await fact("delivered")) ?? []).map(({ action, fields }) => [action, fields]));
  const differs = (id) => !same(told[id], things[id]) || arrived.includes(id);
  for (const one of document.querySelectorAll("[data-of]:not(.fire)")) if (partsOf(one.dataset.of, known).some(differs)) one.remove();
  for (const one of document.querySelectorAll("[data-hot-of]")) {
    const thing = things[one.dataset.hotOf];
    if (thing && (thing.ended || !isHot(here, things, thing.id))) one.remove();
  }
}

/** *Emergency* in its corner, also where nothing burned yet when the page was stored. */
export function guard(known) {
  const [bar, key] = [document.querySelector(".actionbar"), document.querySelector("template[data-stop]")];
  if (key && bar && !bar.querySelector(".stop") && isDangerous(known)) bar.prepend(key.content.cloneNode(true));
}

/** Brings the page up to date; one that the phone drew is drawn of what waits already. */
export async function bringUp() {
  if ("drawn" in document.body.dataset) return;
  const known = await standing();
  guard(known);
  await takeOff(known);
  if (!known.unsure && !("orders" in document.body.dataset)) panel(known);
  if (!known.unsure) fires(known);
  document.body.dataset.brought = "";
}
