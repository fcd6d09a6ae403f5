// What is done at a furnace, drawn on the phone: which crucible goes in or comes out, at which place one stands, and the
// load that comes out by touch.

import { burns, doing } from "./away.js";
import { caution, choices, codeField, codeOf, earlier, head, key, line, plain, plate, row, sends, titleOf } from "./drawn_fields.js";
import { make } from "./elements.js";
import { heldIn, hold, release } from "./hold.js";
import { glyph, say } from "./made.js";
import { fact } from "./store.js";

const main = document.getElementById("main");

const charges = (things) => Object.values(things).filter((one) => one.sort === "charge" && !one.ended);

/** The crucible that is meant: one of those that may be, or the code on it. */
export function whichCharge(step, here, things, firing) {
  const may = step.verb === "come-out" ? (one) => one.firing === firing && one.in_heat : (one) => !one.in_heat;
  const found = charges(things).filter(may).sort((one, other) => Number(other.firing === firing) - Number(one.firing === firing));
  const asked = new URLSearchParams(location.search).get("charge") ?? (step.verb === "come-out" && found.length === 1 ? found[0].id : null);
  const keys = found.map((one) => key("radio", "charge", one.id, one.id === asked, line(codeOf(one), titleOf(here, things, one.id)), here.says(things, one.id)[0]?.text));
  const each = step.verb === "come-out" && found.length ? [make("div", { look: "pad gap-t" }, plain(say("hands-each"), `/firing/${firing}/hands`, "hand"))] : [];
  return make("div", {}, ...each, ...(keys.length ? [choices(say("which-one"), keys)] : [make("p", { look: "pad gap-t lead", text: say("none-known") })]), codeField("code"));
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

// --- the furnace's places, and taking out with full hands ---

const home = (fire) => `/firing/${fire.id}`;

/** What is to stand at a place that is empty: one of the charges, or the code on it. */
function placing({ here, things }, fire, place, codes) {
  const could = charges(things).filter((one) => !one.in_heat);
  const keys = could.map((one) => key("radio", "charge", one.id, false, line(codeOf(one), titleOf(here, things, one.id)), here.says(things, one.id)[0]?.text));
  const form = sends(`${home(fire)}/map`, { place }, ...(keys.length ? [choices(say("which-one"), keys)] : []), codeField("code"), earlier());
  Object.assign(form, { id: "ask", heldBy: () => heldIn(here, things, doing(here, things, `${home(fire)}/map`, [...new FormData(form)]), codes) });
  form.errorsNow = () => chargeErrors(Object.fromEntries(new FormData(form)));
  form.dataset.next = `${home(fire)}/map`;
  const judge = () => (form.heldBy() ? hold(form, form.heldBy()) : release());
  for (const what of ["change", "saggar-filled"]) form.addEventListener(what, judge);
  return form;
}

/** Every place of a furnace with what stands there; one that is empty can be tapped to put something there. */
export async function map(known, fire) {
  const { here, things } = known;
  head(say("map"), fire.name, home(fire));
  const chosen = new URLSearchParams(location.search).get("place");
  const at = (value) => charges(things).find((one) => one.firing === fire.id && one.place === value && !one.out);
  const [, name] = (fire.spots ?? []).find(([value]) => value === chosen && !at(value)) ?? [];
  const rows = (fire.spots ?? []).map(([value, words]) => {
    const one = at(value);
    return one ? row(`/charge/${one.id}`, words, line(one.of, here.says(things, one.id)[0]?.text), codeOf(one)) : row(`${home(fire)}/map?place=${value}`, words, say("empty-place"));
  });
  const open = name && fire.off_ms === null && !fire.closed;
  const form = open ? [make("h2", { look: "pad gap-t", text: say("what-at", { place: name }) }), placing(known, fire, chosen, (await fact("codes")) ?? {})] : [];
  main.append(...form, ...rows);
  if (open) plate(say("place-here"), { form: "ask", glyph: "inplace" });
  else plate(say("take-out"), { href: `${home(fire)}/out`, glyph: "outof" });
}

/** One of the order in which a load comes out: how it cools, and why it stays in where the laptop knew of a reason. */
function handsRow(one, why = null) {
  const code = codeOf(one);
  const cooling = why ?? one.cooling?.[0] ?? say("cooling-unknown");
  return make("li", why === null ? { "data-charge": one.id, "data-code": code || one.of, "data-what": one.of } : {}, line(code, one.of), make("span", { look: "soft", text: ` ${cooling}` }));
}

/** The next crucible in large letters; a touch anywhere records it as out (hands.js). */
export async function hands({ here, things }, fire) {
  head(say("hands-full"), fire.name, `${home(fire)}/out`);
  main.classList.add("hands");
  const told = here.told.fires?.[fire.id]?.hands ?? {};
  const within = charges(things).filter((one) => one.firing === fire.id && one.in_heat).sort((one, other) => (told[other.id]?.[0] ?? 0) - (told[one.id]?.[0] ?? 0));
  const stays = within.filter((one) => told[one.id]?.[1]);
  const rows = within.filter((one) => !stays.includes(one)).map((one) => handsRow(one));
  const button = make("button", { look: "touch-all", type: "submit" }, make("span", { look: "lead", text: say("hands-first") }), make("b", { look: "figure", "data-hands-code": "" }), make("span", { "data-hands-what": "" }), make("span", { look: "soft", text: say("hands-touch") }));
  const form = sends(`${home(fire)}/out`, { hands: "1", unconfirmed: "1", charge: "" }, button);
  Object.assign(form, { id: "hands", className: "hands-form" });
  form.dataset.stays = "";
  const words = Object.fromEntries(["out", "next", "last", "lost"].map((name) => [`data-${name}`, say(`hands-${name}`)]));
  const list = (title, name, all) => (all.length ? [make("section", { look: "part" }, make("h2", { look: "pad", text: say(title) }), make(name, { look: "hands-order" }, ...all))] : []);
  const none = make("p", { look: "pad lead", role: "status", "data-hands-say": "", ...(rows.length ? { hidden: "" } : {}), text: say(stays.length ? "hands-none" : "hands-last") });
  const burning = burns(here, things, fire.id) && typeof fire.last_c === "number" ? [caution(say("inside-c", { c: fire.last_c.toFixed(0) }), say("burning"))] : [];
  main.append(...burning, make("div", { "data-hands": "", ...words }, form, none, ...list("hands-order", "ol", rows), ...list("stays-in", "ul", stays.map((one) => handsRow(one, told[one.id][1])))));
  const undo = make("button", { look: "plain", type: "button", "data-hands-undo": "", hidden: "" }, glyph("undo"), make("span", { text: say("undo-last") }));
  document.querySelector(".actionbar .plate").replaceWith(undo);
  await import("./hands.js");
}
