// A stored page brought up to what waits on this phone: its numbers, and the next step of what was recorded since.

import { takeOff } from "./as_of.js";
import { standing } from "./away.js";
import { dashed } from "./codes.js";
import { watchForms } from "./hold.js";
import { clock, make, say, whole } from "./made.js";
import { nextOf } from "./ways.js";

const PAGE = /^\/(?:batch|charge|firing)\/(\w{26})/;

function nameOf(thing) {
  return thing.name ?? (thing.code ? dashed(thing.code.replace("-", "")) : say("made"));
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

/** Brings the page up to date. */
export async function bringUp() {
  // A page that the phone drew is drawn of what waits already.
  if ("drawn" in document.body.dataset) return;
  const known = await standing();
  const [, id] = location.pathname.match(PAGE) ?? [];
  await takeOff(known, id);
  if (!known.unsure) panel(known);
  readings(known.things);
  watchForms();
  document.body.dataset.brought = "";
}
