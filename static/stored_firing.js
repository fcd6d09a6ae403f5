// A stored firing brought up to what waits: last reading, curve, soak, and what its slope says.

import { reasonsLeft } from "./as_of.js";
import { isDamp } from "./away.js";
import { hold, release, remark } from "./hold.js";
import { clock, figure, make, say, strip, whole } from "./made.js";
import { dashed } from "./codes.js";
import { paint } from "./countdown.js";
import { draw } from "./curve.js";
import { inside } from "./happened.js";
import { soaking } from "./overlay.js";
import { climb } from "./stored_outlook.js";
import { airStrip, notes, stretchLine } from "./stored_stretch.js";
import { stretchNow } from "./stretches.js";
import { againstLighting } from "./ways.js";

const MINUTE = 60_000;

function reading(last) {
  const box = document.querySelector(".now-read");
  if (!box || !last) return;
  const time = make("span", { look: "clock num", "data-clock": "" });
  const age = make("p", { look: "reading-age" }, time, make("span", { text: say("read") }), make("b", { look: "num", text: clock(last[0]) }));
  box.replaceChildren(figure(whole(last[1]), "°C", last[1] >= 999.5 ? "l" : "xl"), age);
}

function curve(fire, soak) {
  const box = document.querySelector("figure.picture");
  const from = fire.lit_ms ?? fire.readings[0]?.[0];
  if (!box || from === undefined || !fire.readings.length) return;
  const plan = (fire.plan ?? []).map(([minute, c]) => [from + minute * MINUTE, c]);
  box.replaceChildren(draw(fire.readings, plan, soak));
}

function countdown(endsMs) {
  const span = make("span", { "data-ends": String(endsMs) }, make("span", { look: "fig fig-m fig-span" }, make("span", { look: "figure" })));
  return make("p", { look: "countdown" }, span, make("span", { text: `${say("soak")} ${say("ends", { clock: clock(endsMs) })}` }));
}

function outlook(fire, soak) {
  const box = document.querySelector(".outlook");
  if (!box || fire.lit_ms === null || fire.off_ms !== null) return;
  const now = stretchNow(fire, fire.readings);
  const inside = airStrip(fire, now);
  if (soak.endsMs > soak.last?.[0]) inside.push(countdown(soak.endsMs));
  if (soak.startMs !== null) inside.push(make("p", { look: "forecast" }, make("b", { text: say(holding(fire, soak)) })));
  if (soak.startMs === null) inside.push(...climb(fire));
  box.replaceChildren(...inside, ...stretchLine(fire, now), make("p", { look: "soft", text: say("watch") }));
}

function holding(fire, soak) {
  if (soak.endsMs !== null && soak.endsMs <= soak.last[0]) return "held";
  return soak.holds ? "holding" : "fell";
}

/** The key of a fire that may not be lit yet leads to what is to be done before. */
function before(fire, { here, things }, key, unanswered) {
  const damp = unanswered ? null : inside(things, fire.id).find((one) => isDamp(here, things, one.id));
  const page = damp ? `/charge/${damp.id}/dry` : `/firing/${fire.id}/checks/before-lighting`;
  key?.replaceWith(make("a", { look: "plate", href: page }, make("span", { text: say(damp ? "dry" : "check-first") })));
}

/** The key that records the lighting, and why it is held where something stands against it. */
function lighting(fire, known) {
  const { here, things } = known;
  const form = document.querySelector(`form[action="/firing/${fire.id}/light"]`);
  if (!form?.id) return;
  const found = againstLighting(here, things, fire);
  const reasons = [...found.map((name) => say(name)), ...reasonsLeft()];
  const key = document.querySelector(".actionbar .plate");
  release();
  if (reasons.length) {
    hold(form, { against: reasons, already: say("already-burns") });
    return before(fire, known, key, found.some((name) => name.includes("check")));
  }
  if (!inside(things, fire.id).length) remark(say("nothing-placed"));
  if (form.closest(".actionbar")) return;
  key?.replaceWith(make("button", { look: "plate", type: "submit", form: form.id }, make("span", { text: say("lit") })));
}

/** The crucibles of this firing as this phone knows them. */
function crucibles(fire, things) {
  const list = document.querySelector(".in-fire");
  for (const one of inside(things, fire.id)) {
    const [path, word] = one.in_heat ? [`/firing/${fire.id}/out?charge=${one.id}`, "is-in"] : [`/charge/${one.id}`, one.out ? "is-out" : "is-placed"];
    const text = make("span", { look: "thing-what" }, make("b", { text: one.of }), make("span", { text: say(word) }));
    const row = make("a", { look: "thing-row", href: path }, text);
    if (one.code) row.append(make("span", { look: "thing-end num", text: dashed(one.code.replace("-", "")) }));
    list?.append(row);
  }
}

/** A voltage that is no temperature of the probe's type is said at once: the laptop would refuse it later. */
function untold({ untold: found }) {
  if (!found) return;
  const words = strip(say("untold", { mv: found[1], clock: clock(found[0]) }), say("untold_why"), "alert");
  document.getElementById("main").prepend(words);
}

/** Brings the page up to how the fire stands now; `told` is how it stood when the laptop told of it. */
export function firingPage(fire, known) {
  const told = known.told[fire.id];
  const soak = soaking(fire, fire.readings);
  // What was read since answers the call for a reading.
  if (soak.last?.[0] > (told?.readings.at(-1)?.[0] ?? 0)) document.querySelector("[data-no-reading]")?.remove();
  reading(soak.last);
  untold(fire);
  curve(fire, soak);
  outlook(fire, soak);
  notes(fire);
  paint();
  if (!document.querySelector(".in-fire ul")) crucibles(fire, known.things);
  if (fire.lit_ms === null) lighting(fire, known);
}
