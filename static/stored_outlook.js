// On a stored firing: that it stands still, by what was read since, with the keys for it; and what its slope proves.
// Twin of bench/screens/furnace/outlook.py, which says more once the laptop is in reach.

import { clock, make, say, whole } from "./made.js";
import { sinceLit } from "./overlay.js";
import { track } from "./slope_bound.js";
import { standstill } from "./standstill.js";
import { span } from "./stored_stretch.js";
import { aimNow } from "./stretches.js";

const MINUTE = 60_000;
const NOTED = { any: ["flame", "lid", "gas-change", "wind"], electric: ["lid", "power"] };
const SMALL_RISE_C = 2;

/** The minute from which all begins anew: the last change of the burner, or the start of this climb. */
function changedMin(fire, aim) {
  const last = Math.max(fire.changed_ms ?? -Infinity, aim.sinceMs ?? -Infinity);
  return Number.isFinite(last) ? Math.max(0, (last - fire.lit_ms) / MINUTE) : null;
}

function strong({ minutes, then, now, fell }) {
  if (fell > 0) return say("fallen", { c: whole(fell), span: span(minutes) });
  const rise = whole(now) - whole(then);
  return rise > SMALL_RISE_C ? say("risen-only", { c: rise, span: span(minutes) }) : say("not-risen", { span: span(minutes) });
}

function noted(fire) {
  const here = (NOTED[fire.fuel] ?? NOTED.any).filter((what) => fire.noted[what]);
  const found = here.map((what) => `${say(`noted-${what}-${fire.noted[what][0]}`)} ${clock(fire.noted[what][1])}`);
  return found.length ? `${say("noted")} ${found.join(" · ")}` : say("nothing-noted");
}

const key = (name, fire, path) => make("a", { look: "plain", href: `/firing/${fire.id}/${path}` }, make("span", { text: say(name) }));

function standing(fire, fact, aim) {
  const levels = say("levels", { then: whole(fact.then), now: whole(fact.now), to: whole(aim.toC) });
  const parts = [
    make("p", { look: "forecast" }, make("b", { text: strong(fact) }), ` ${levels}`),
    make("p", { text: say("look-first", { c: whole(fact.now) }) }),
    make("p", { look: "soft", text: noted(fire) }),
    key("record-change", fire, "note"),
    key("end-firing", fire, "off?reason=stalled"),
  ];
  if (fire.noted.flame?.[0] !== "sooty") return parts;
  return [make("div", { look: "caution-block caution-row" }, make("p", {}, make("b", { text: say("caution") }), ` ${say("co-first")}`)), ...parts];
}

/** What can be said of a climb: paragraphs and keys; none while it holds as planned, and before the first reading. */
export function climb(fire) {
  const aim = aimNow(fire, fire.readings);
  if (!aim || !fire.readings.length) return [];
  const known = { tau: fire.slowest_tau_min, carbonate: fire.carbonate ?? true, changed: changedMin(fire, aim) };
  const { used, call, bound } = track(sinceLit(fire, fire.readings), aim.toC, known);
  const fact = call === "reached" ? null : standstill(used, aim.toC);
  const name = call === "reached" || call === "stalled" ? call : "possible";
  const why = name === "reached" ? "" : say(name === "stalled" ? "stalled_why" : `why-${call}`, { c: whole(bound ?? 0) });
  const verdict = make("p", { look: "forecast" }, make("b", { text: say(name) }), ` ${why}`);
  return [...(fact ? standing(fire, fact, aim) : []), verdict];
}
