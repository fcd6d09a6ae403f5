// What is done at a furnace, drawn on the phone: which crucible goes in or comes out, and at which place one stands.

import { burns } from "./away.js";
import { choices, codeField, codeOf, key, line, titleOf } from "./drawn_fields.js";
import { make, say } from "./made.js";

const charges = (things) => Object.values(things).filter((one) => one.sort === "charge" && !one.ended);

/** The crucible that is meant: one of those that may be, or the code on it. */
export function whichCharge(step, here, things, firing) {
  const may = step.verb === "come-out" ? (one) => one.firing === firing && one.in_heat : (one) => !one.in_heat;
  const found = charges(things).filter(may).sort((one, other) => Number(other.firing === firing) - Number(one.firing === firing));
  const asked = new URLSearchParams(location.search).get("charge") ?? (step.verb === "come-out" && found.length === 1 ? found[0].id : null);
  const keys = found.map((one) => key("radio", "charge", one.id, one.id === asked, line(codeOf(one), titleOf(here, things, one.id)), here.says(things, one.id)[0]?.text));
  return make("div", {}, ...(keys.length ? [choices(say("which-one"), keys)] : [make("p", { look: "pad gap-t lead", text: say("none-known") })]), codeField("code"));
}

/** What a form at a furnace leaves out. */
export const chargeErrors = ({ charge, code }) => (charge || code?.trim() ? {} : { code: say("choose-one") });

/** The firings that a charge can still be placed in, and the places of the one that is chosen. */
export function whichPlace(here, things, charge) {
  const fires = Object.values(things).filter((one) => one.sort === "firing" && !one.closed && one.off_ms === null);
  const chosen = new URLSearchParams(location.search).get("firing") ?? (fires.some(({ id }) => id === charge.firing) ? charge.firing : fires[0]?.id);
  const keys = fires.map((one) => key("radio", "firing", one.id, one.id === chosen, one.name, burns(here, things, one.id) ? say("burns-now") : ""));
  const spots = make("div", {});
  const show = (id) => {
    const taken = new Set(charges(things).filter((one) => one.firing === id && one.id !== charge.id && !one.out).map(({ place }) => place));
    const rows = (things[id]?.spots ?? []).map(([value, name]) => key("radio", "place", value, id === charge.firing && value === charge.place, name, taken.has(value) ? say("taken") : ""));
    spots.replaceChildren(...(rows.length ? [choices(say("its-place"), rows)] : []));
  };
  show(chosen);
  const box = make("div", {}, keys.length ? choices(say("which-firing"), keys) : make("p", { look: "pad gap-t lead", text: say("no-firing") }), spots);
  box.addEventListener("change", ({ target }) => target.name === "firing" && show(target.value));
  return box;
}

/** What the form of a placing leaves out. */
export const placeErrors = ({ place }) => (place ? {} : { place: say("choose-place") });
