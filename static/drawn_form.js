// A form on a page that the phone drew: judged as it stands, and whenever it is changed. A checklist, as
// templates/parts/checks.html has it; and which crucible goes in or comes out, and at which place one stands.

import { burns, doing, fieldsOf, say } from "./away.js";
import { asks, choices, codeField, codeOf, earlier, flags, fold, key, labelled, line, plain, titleOf } from "./drawn_fields.js";
import { make } from "./elements.js";
import { charges } from "./happened.js";
import { heldIn, hold, release } from "./hold.js";
import { join } from "./keypad.js";
import { GOOD, stopsOf } from "./ways.js";

const atKey = (form, found) => (found ? hold(form, found) : release());

/** What is to be minded stands in `box`, what holds it at its key. `errors` gives what its fields leave out; `more` what else stands in the box. */
export function watch({ here, things, unsure }, form, box, errors, codes, more = () => []) {
  form.querySelectorAll("[data-keypad]").forEach(join);
  const pairs = () => [...new FormData(form)].filter(([, value]) => typeof value === "string");
  const would = () => doing(here, things, form.getAttribute("action"), pairs());
  const judge = () => {
    const one = would();
    box.replaceChildren(...more(one), ...flags(unsure ? [] : stopsOf(here, things, one, codes).filter(({ effect }) => effect === "flag")));
    atKey(form, form.heldBy());
  };
  // The outbox asks these of the form before it keeps what was typed; what holds it stands at its key all the while.
  form.errorsNow = () => errors(fieldsOf(pairs()));
  form.heldBy = () => (unsure || fieldsOf(pairs()).happened ? null : heldIn(here, things, would(), codes));
  for (const what of ["input", "change", "saggar-filled"]) form.addEventListener(what, judge);
  judge();
  if (document.querySelector(".coded input")) import("./scan_fill.js");
}

// --- a checklist: each item with its answers; what stands answered is folded until it is asked for ---

function answers({ slug, says, why, without, apart, fitting = [] }) {
  const name = `answer.${slug}`;
  const more = [...(apart ? [["does-not-apply", say("answer-does-not-apply"), apart]] : []), ...fitting];
  const keys = ["done", "not-done"].map((one) => key("radio", name, one, false, say(`answer-${one}`)));
  for (const one of more) {
    keys.push(key("radio", name, one[0], false, ...one.slice(1)));
    keys.at(-1).classList.add("apart");
  }
  const words = make("input", { id: `answer_why.${slug}`, name: `answer_why.${slug}`, autocomplete: "off" });
  return [
    make("fieldset", { look: "answers" }, make("legend", { look: "sr", text: says }), ...keys),
    make("p", { look: "soft", text: say("not-done-do", { do: without }) }),
    fold(say("why-not"), make("p", { look: "check-why", text: why ?? "" }), labelled(words.id, say("in-the-way"), words)),
  ];
}

/** One item; `answer` is what stands answered. */
export function item(one, answer = null) {
  const keys = answers(one);
  const stands = answer ? [make("p", { look: "check-stands" }, make("b", { text: say(`answer-${answer}`) }))] : [];
  const inside = GOOD.includes(answer) ? [fold(say("answer-again"), ...keys)] : keys;
  return make("section", { look: "check", "aria-labelledby": one.slug }, make("h2", { id: one.slug, text: one.says }), ...stands, ...inside);
}

/** What is not asked, by kind: not for this furnace, to keep in mind, held by the bench itself. */
function lines(found) {
  const kinds = [...new Set(found.map(([kind]) => kind))];
  const list = (kind) => make("ul", {}, ...found.filter(([one]) => one === kind).map(([, text]) => make("li", { text })));
  return kinds.map((kind) => make("section", { look: "part check-lines" }, make("h2", { look: "pad", text: say(`lines-${kind}`) }), list(kind)));
}

/** The form of a list of a thing, what stands under it, and what it leaves out. `more` are its hidden fields; of what
 * is `later` by its slug, the moment in words is given: it is not asked yet. */
export function checklist(thing, phase, action, more = {}, later = () => null) {
  const { asks: all, lines: others } = thing.lists?.[phase] ?? { asks: [], lines: [] };
  const items = all.filter(({ slug }) => later(slug) === null);
  const waits = all.filter((one) => !items.includes(one)).map(({ slug, says }) => ["later", say("later-at", { clock: later(slug), item: says })]);
  const rest = [...waits, ...others];
  const rows = items.map((one) => make("li", {}, item(one, thing.checks?.[phase]?.[one.slug] ?? null)));
  const form = asks(action, more, make("ol", { look: "checks" }, ...rows), earlier());
  return { form, under: lines(rest), errors: (fields) => leftOut(items, fields) };
}

function leftOut(items, fields) {
  const answered = items.filter(({ slug }) => fields[`answer.${slug}`]);
  const alone = items.filter(({ slug }) => fields[`answer_why.${slug}`]?.trim() && !fields[`answer.${slug}`]);
  if (alone.length) return Object.fromEntries(alone.map(({ slug }) => [`answer.${slug}`, say("answer-this")]));
  return answered.length ? {} : { "": say("answer-first") };
}

/** Mask and dust control where the powder harms for life, as far as nobody has answered it in this sitting. */
export function dusty(items) {
  if (!items.length) return [];
  return [make("h2", { look: "pad gap-t", text: say("dust") }), make("p", { look: "pad soft", text: say("dust-dry") }), ...items.map((one) => item(one))];
}

// --- at a furnace ---

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
