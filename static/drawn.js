// A page that the phone draws: a thing, or a declared step on it, from the declarations and the facts that it knows. The
// laptop's templates/steps/ask.html asks the same fields in the same words.

import { addressOf, at, feetOf, fieldsOf, house, standing } from "./away.js";
import { dashed } from "./codes.js";
import { against, fill, holds, valueOf } from "./facts.js";
import { make, say } from "./made.js";
import { asked, readStep } from "./step_read.js";
import { ulid } from "./ulid.js";

const main = document.getElementById("main");

function head(title, sub, back) {
  document.title = title;
  document.querySelector(".head-title h1").textContent = title;
  document.querySelector(".head-title p").textContent = sub;
  document.querySelector(".head-key.start").href = back;
  document.querySelector("[data-nowhere]").remove();
}

const titleOf = (here, things, id) => fill(here.sorts[things[id].sort].title, here.look(things, id, {}), here.places);
const codeOf = (thing) => (thing.code ? dashed(thing.code) : "");
const line = (...words) => words.filter(Boolean).join(" · ");

// --- fields ---

function startOf(one, look) {
  const value = valueOf(one.start ?? null, {}, look);
  const begins = one.start !== undefined && one.options && !one.options.some(([option]) => option === value);
  return begins ? one.options[0][0] : (value ?? "");
}

function number(one, value) {
  const input = make("input", { id: one.name, name: one.name, inputmode: one.kind === "whole" ? "numeric" : "decimal", autocomplete: "off", value });
  const unit = one.unit ? [make("span", { look: "unit", text: one.unit })] : [];
  return make("p", { look: "field" }, make("label", { for: one.name, text: one.label }), make("span", { look: "field-value" }, input, ...unit));
}

function words(one, value) {
  const input = one.lines ? make("textarea", { id: one.name, name: one.name, rows: 3, text: value }) : make("input", { id: one.name, name: one.name, autocomplete: "off", value });
  const inside = [make("label", { for: one.name, text: one.label }), input];
  if (one.listed) {
    input.setAttribute("list", `${one.name}-list`);
    inside.push(make("datalist", { id: `${one.name}-list` }, ...one.listed.map((item) => make("option", { value: item }))));
  }
  return make("p", { look: "field wordy" }, ...inside);
}

function thingOf(one, things, here) {
  const rows = Object.values(things).filter((each) => each.sort === one.of);
  const options = rows.map((each) => make("option", { value: each.id, text: line(titleOf(here, things, each.id), codeOf(each)) }));
  return make("p", { look: "field wordy" }, make("label", { for: one.name, text: one.label }), make("select", { id: one.name, name: one.name }, make("option", { value: "", text: say("not-said") }), ...options));
}

const key = (type, name, value, on, first, second) =>
  make("label", { look: type === "radio" ? "choice" : "choice tick" }, make("input", { type, name, value, ...(on ? { checked: "" } : {}) }), make("span", {}, make("b", { text: first }), ...(second ? [make("span", { text: second })] : [])));

function field(one, here, things, look) {
  const value = String(startOf(one, look));
  if (one.kind === "flag") return key("checkbox", one.name, "1", false, one.label, one.hint);
  const hint = one.hint ? [make("p", { look: "hint", text: one.hint })] : [];
  if (one.kind === "choice") {
    const keys = one.options.map(([option, first, second]) => key("radio", one.name, option, option === value, first, second));
    return make("fieldset", { look: "choices" }, make("legend", { text: one.label }), ...keys, ...hint);
  }
  const inside = one.kind === "thing" ? thingOf(one, things, here) : one.kind === "number" || one.kind === "whole" ? number(one, value) : words(one, value);
  return make("div", { look: "field-block" }, inside, ...hint);
}

// --- parts ---

function gates(found) {
  if (!found.length) return [];
  const rows = found.map((one) => make("li", { "data-rule": one.rule }, make("b", { text: one.say }), ...(one.sure ? [] : [make("span", { text: say("worse-taken") })])));
  return [make("section", { look: "gate", role: "alert" }, make("p", { look: "gate-head" }, make("b", { text: say("against") })), make("ul", {}, ...rows))];
}

function foot(here, things, id, step) {
  const rule = here.told.rules[step.verb];
  const first = feetOf(here, things, id)?.[rule];
  const rest = here.told.rest[rule] ?? [];
  if (!rule) return [];
  const list = make("ul", { look: "caution-list pad" }, ...[...(first ? [first] : []), ...rest].map((text) => make("li", { text })));
  return [make("section", { look: "cautions" }, list, make("p", { look: "pad gap-b soft", text: here.told.defer }))];
}

function plate(words_, { href, form } = {}) {
  const made = href ? make("a", { look: "plate", href }, make("span", { text: words_ })) : make("button", { look: "plate", type: "submit", form }, make("span", { text: words_ }));
  document.querySelector(".actionbar").replaceChildren(made);
}

const row = (href, first, second) => make("a", { look: "thing-row", href }, make("span", { look: "thing-what" }, make("b", { text: first }), ...(second ? [make("span", { text: second })] : [])));

// --- pages ---

const BACK = { swatch: (thing) => `/pigment/${thing.pigment}` };
const homeOf = (thing) => BACK[thing.sort]?.(thing) ?? `/${thing.sort}/${thing.id}`;

function drawThing(here, things, id) {
  const thing = things[id];
  head(titleOf(here, things, id), codeOf(thing), "/");
  const code = thing.code ? [make("p", { look: "pad gap-t lead" }, make("b", { look: "num", text: codeOf(thing) }), ...(thing.away ? [` ${say("write-code")}`] : []))] : [];
  const says = (here.unsure ? [] : here.says(things, id)).map((one) => make("p", { look: one.look === "warn" ? "pad lead" : "pad", text: one.text }));
  const due = here.unsure ? [] : here.due(things, id);
  const open = [...here.steps.values()].filter((step) => step.on.includes(thing.sort) && step.away !== false && addressOf(step, thing));
  const fresh = Object.values(things).filter((one) => one.from === id && one.code);
  const rows = [...fresh.map((one) => row(`/${one.sort}/${one.id}`, codeOf(one), say("write-code"))), ...open.map((step) => row(addressOf(step, thing), step.title))];
  main.append(...code, ...says, make("nav", { look: "part" }, ...rows));
  if (due.length) plate(fill(due[0].title, here.look(things, id, {}), here.places), { href: addressOf(due[0].step, thing) });
}

function drawStep(here, things, { step, thing: id }) {
  const thing = things[id];
  const look = here.look(things, id, {});
  head(step.title, line(titleOf(here, things, id), codeOf(thing)), homeOf(thing));
  const form = make("form", { look: "ask", id: "ask", method: "post", action: location.pathname, "data-records": "", novalidate: "", "data-next": homeOf(thing) });
  if (step.effects?.some((one) => one.op === "make")) form.dataset.makes = "";
  form.append(make("input", { type: "hidden", name: "record_id", value: ulid() }));
  const drawn = asked(step).map((one) => [one, field(one, here, things, look)]);
  const box = make("div", {});
  form.append(...drawn.map(([, made]) => made));
  main.append(box, form, ...foot(here, things, id, step));
  plate(step.key, { form: "ask" });
  const now = () => readStep(here, things, step, id, fieldsOf(new FormData(form)), say);
  const judge = () => {
    const { typed } = now();
    for (const [one, made] of drawn) made.hidden = Boolean(one.when) && holds(one.when, here.look(things, id, typed)) === false;
    box.replaceChildren(...gates(against(step, here.look(things, id, typed))));
  };
  // The outbox asks these of the form before it keeps what was typed.
  form.errorsNow = () => now().errors;
  form.heldBy = () => against(step, here.look(things, id, now().typed)).filter((one) => one.effect !== "flag").map((one) => one.say);
  form.addEventListener("input", judge);
  judge();
}

async function draw() {
  const here = await house();
  if (!here) return;
  const things = await standing(here);
  const found = at(here, location.pathname);
  const [, sort, id] = location.pathname.match(/^\/(pigment|swatch)\/(\w{26})$/) ?? [];
  if (found && things[found.thing]?.sort === found.sort) drawStep(here, things, found);
  else if (things[id]?.sort === sort && sort) drawThing(here, things, id);
  else return;
  document.body.dataset.brought = "";
}

await draw();
