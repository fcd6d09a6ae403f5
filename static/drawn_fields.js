// The parts of a page that the phone draws and the fields of its forms, as the laptop's own parts look (templates/parts).

import { feetOf, rulesTold, say } from "./away.js";
import { glyph, make, whole } from "./elements.js";
import { fill, valueOf } from "./facts.js";
import { dashed, wholeDigits } from "./read.js";
import { ulid } from "./store.js";

export const titleOf = (here, things, id) => fill(here.sorts[things[id].sort].title, here.look(things, id, {}), here.places);
export const codeOf = (thing) => (thing.code ? dashed(thing.code) : "");
export const line = (...words) => [...new Set(words.filter(Boolean))].join(" · ");

/** What stands over a page, in place of what it said while it was empty. */
export function head(title, sub, back) {
  document.title = title;
  document.querySelector(".head-title h1").textContent = title;
  document.querySelector(".head-title p").textContent = sub;
  document.querySelector(".head-key.start").href = back;
  document.querySelector("[data-nowhere]").remove();
}

export const caution = (strong, words, level = "caution") => make("div", { look: `caution-block ${level}-row` }, make("p", {}, make("b", { text: strong }), ` ${words}`));

/** A length of time: minutes, or hours and minutes. */
export function span(minutes) {
  const [h, m] = [Math.floor(whole(minutes) / 60), whole(minutes) % 60];
  return h ? say("hours", { h, m: String(m).padStart(2, "0") }) : say("minutes", { m });
}

/** A sign of safety, small, with its words. */
export function sign(name) {
  const made = glyph(name);
  if (!made) return made;
  made.removeAttribute("aria-hidden");
  for (const [what, value] of [["class", "sign s"], ["role", "img"], ["aria-label", say(`sign-${name}`)]]) made.setAttribute(what, value);
  return made;
}

/** What is to be minded and holds nothing. */
export function flags(found) {
  if (!found.length) return [];
  const rows = found.map((one) => make("li", { "data-rule": one.rule }, make("b", { text: one.say }), ...(one.sure ? [] : [make("span", { text: say("worse-taken") })])));
  return [make("section", { look: "gate", role: "alert" }, make("p", { look: "gate-head" }, make("b", { text: say("mind") })), make("ul", {}, ...rows))];
}

export function foot(here, things, id, step, own = null) {
  const rule = here.told.rules[step.verb];
  if (!rule) return [];
  const first = own ?? feetOf(here, things, id)?.[rule];
  const rest = here.told.rest[rule] ?? [];
  const list = make("ul", { look: "caution-list pad" }, ...(first ? [first, ...rest.slice(1)] : rest).map((text) => make("li", { text })));
  const unjudged = rulesTold(here, things, step, id) ? [] : [make("p", { look: "pad soft", text: say("not-judged") })];
  return [make("section", { look: "cautions" }, list, ...unjudged, make("p", { look: "pad gap-b soft", text: here.told.defer }))];
}

export function plate(words, { href, form, glyph: sign } = {}) {
  const made = href ? make("a", { look: "plate", href }, ...inner(words, sign)) : make("button", { look: "plate", type: "submit", form }, ...inner(words, sign));
  const stop = document.querySelector(".actionbar .stop");
  document.querySelector(".actionbar").replaceChildren(...(stop ? [stop] : []), made);
}

/** Puts lesser keys before the main one. */
export const bar = (...keys) => document.querySelector(".actionbar .plate").before(...keys);

const inner = (words, sign) => [...(sign ? [glyph(sign)] : []), make("span", { text: words })];

/** A lesser key: to another page, else of the form that it stands in. */
export const plain = (words, href, sign) => (href ? make("a", { look: "plain", href }, ...inner(words, sign)) : make("button", { look: "plain", type: "submit" }, ...inner(words, sign)));

/** A key of a row of keys: to another page, else of the form that it stands in. */
export const tap = (words, sign, { href, ...more }) => (href ? make("a", { look: "tap", href }, ...inner(words, sign)) : make("button", { look: "tap", type: "submit", ...more }, ...inner(words, sign)));
export const taps = (label, ...keys) => make("div", { look: "taps", ...(label ? { role: "group", "aria-label": label } : {}) }, ...keys);

/** A form that records at an address what its fields and keys say. */
export function sends(action, fields, ...inside) {
  const hidden = Object.entries({ record_id: ulid(), ...fields }).map(([name, value]) => make("input", { type: "hidden", name, value }));
  return make("form", { look: "ask", method: "post", action, "data-records": "", novalidate: "" }, ...hidden, ...inside);
}

/** The main form of a page: the key in the bar sends it. */
export const asks = (action, fields, ...inside) => Object.assign(sends(action, fields, ...inside), { id: "ask" });

export const row = (href, first, second, end) =>
  make("a", { look: "thing-row", href }, make("span", { look: "thing-what" }, make("b", { text: first }), ...(second ? [make("span", { text: second })] : [])), ...(end ? [make("span", { look: "thing-end num", text: end })] : []));

// --- fields ---

const block = (...inside) => make("div", { look: "field-block" }, ...inside);
export const labelled = (name, label, input, look = "field wordy") => make("p", { look }, make("label", { for: name, text: label }), input);

export const fold = (label, ...inside) => make("details", { look: "fold" }, make("summary", {}, make("span", { text: label })), ...inside);

function startOf(one, look) {
  const value = valueOf(one.start ?? null, {}, look);
  const begins = one.start !== undefined && one.options && !one.options.some(([option]) => option === value);
  return begins ? one.options[0][0] : (value ?? "");
}

/** The large keypad under a number, as templates/parts/keypad.html has it; keypad.js joins the two once both are shown. */
function pad(one) {
  const keyOf = (sign, label, shown = sign) =>
    make("button", { look: "key", type: "button", "data-key": sign, ...(label ? { "aria-label": say(label) } : {}) }, shown);
  const point = one.kind === "whole" ? make("span") : keyOf(".", "point");
  const keys = [..."123456789"].map((digit) => keyOf(digit));
  return make("div", { look: "keypad", id: `${one.name}-keys`, role: "group", "aria-label": say("keypad") }, ...keys, point, keyOf("0"), keyOf("del", "delete-digit", glyph("del", "l")));
}

/** Lets the keypad of a field set the point by itself, where about the figure is known. */
export function pointed(input, like) {
  const digits = wholeDigits(like);
  if (digits) input.dataset.point = digits;
}

export function numeric(one, value) {
  const id = one.id ?? one.name;
  const bounds = one.low === undefined ? {} : { "data-low": one.low, "data-high": one.high, ...(one.required === false ? {} : { "data-asked": "" }) };
  const input = make("input", { id, name: one.name, ...bounds, inputmode: one.kind === "whole" ? "numeric" : "decimal", autocomplete: "off", value });
  if (one.keypad) input.dataset.keypad = `${one.name}-keys`;
  const unit = one.unit ? [make("span", { look: "unit", text: one.unit })] : [];
  return labelled(id, one.label, make("span", { look: "field-value" }, input, ...unit), "field");
}

function words(one, value) {
  const input = one.lines ? make("textarea", { id: one.name, name: one.name, rows: 3, text: value }) : make("input", { id: one.name, name: one.name, autocomplete: "off", value });
  // A day is today's until another one is chosen.
  if (one.name === "date") Object.assign(input, { type: "date", value: value || new Date(Date.now() - new Date().getTimezoneOffset() * 60_000).toISOString().slice(0, 10) });
  const made = labelled(one.name, one.label, input);
  if (!one.listed) return made;
  input.setAttribute("list", `${one.name}-list`);
  made.append(make("datalist", { id: `${one.name}-list` }, ...one.listed.map((item) => make("option", { value: item }))));
  return made;
}

function thingOf(one, here, things) {
  const rows = Object.values(things).filter((each) => each.sort === one.of);
  const options = rows.map((each) => make("option", { value: each.id, text: line(titleOf(here, things, each.id), codeOf(each)) }));
  return labelled(one.name, one.label, make("select", { id: one.name, name: one.name }, make("option", { value: "", text: say("not-said") }), ...options));
}

export const key = (type, name, value, on, first, second) =>
  make("label", { look: type === "radio" ? "choice" : "choice tick" }, make("input", { type, name, value, ...(on ? { checked: "" } : {}) }), make("span", {}, make("b", { text: first }), ...(second ? [make("span", { text: second })] : [])));

export const choices = (label, keys, hint = []) => make("fieldset", { look: "choices" }, make("legend", { text: label }), ...keys, ...hint);

/** A field for a code; scan_fill.js gives it the key to scan. */
export function codeField(name, label = say("code-on-it")) {
  const input = make("input", { id: name, name, autocomplete: "off", autocapitalize: "characters", spellcheck: "false", maxlength: 12 });
  return block(labelled(name, label, make("span", { look: "field-value" }, input), "field coded"));
}

/** A thing by the code on it, or from the list of those that are free as far as this phone knows. */
function coded(one, here, things) {
  const free = Object.values(things).filter((each) => each.sort === one.of && ["free", "to-clean"].includes(each.standing));
  const keys = free.map((each) => key("radio", one.name, each.id, false, titleOf(here, things, each.id), say(`standing-${each.standing}`)));
  return make("div", {}, ...(keys.length ? [choices(one.label, keys)] : []), codeField(one.alias?.[0] ?? one.name));
}

/** Offers a value that nobody read: drawn lighter and sent marked, until it is touched (forms.js). What stands there stays. */
export function offer(made, name, value) {
  const key = made.querySelector(`[type=radio][name="${name}"][value="${value}"]`);
  const input = made.querySelector(`input[name="${name}"]:not([type=radio])`);
  if (!key && (!input || input.value)) return;
  if (key) key.checked = true;
  else input.value = value;
  made.classList.add("offered");
  made.append(make("input", { type: "hidden", name: `offered.${name}`, value }));
}

/** One field of a declared step. */
export function field(one, here, things, look) {
  const value = String(new URLSearchParams(location.search).get(one.name) ?? startOf(one, look));
  if (one.kind === "flag") return key("checkbox", one.name, "1", false, one.label, one.hint);
  if (one.kind === "code") return coded(one, here, things);
  const hint = one.hint ? [make("p", { look: "hint", text: one.hint })] : [];
  if (one.kind === "choice") return choices(one.label, one.options.map(([option, first, second]) => key("radio", one.name, option, option === value, first, second)), hint);
  const inside = one.kind === "thing" ? thingOf(one, here, things) : one.kind === "number" || one.kind === "whole" ? numeric(one, value) : words(one, value);
  if (one.like) pointed(inside.querySelector("input"), valueOf(one.like, {}, look));
  return block(inside, ...hint, ...(one.keypad ? [pad(one)] : []));
}

/** Words that no step declares. */
export const worded = (name, label, hint) => block(labelled(name, label, make("input", { id: name, name, autocomplete: "off" })), ...(hint ? [make("p", { look: "hint", text: hint })] : []));

export const day = (name, label, hint) => block(labelled(name, label, make("span", { look: "field-value" }, make("input", { id: name, name, type: "date" })), "field"), make("p", { look: "hint", text: hint }));

export const photo = (hint) =>
  block(labelled("photo", say("photo"), make("input", { id: "photo", name: "photo", type: "file", accept: "image/*", capture: "environment" })), make("p", { look: "hint", text: hint }));

/** When it was done, where that was not just now. */
export function earlier() {
  const inputs = ["happened", "happened_date"].map((name, n) => labelled(name, say(n ? "date" : "at"), make("input", { id: name, name, type: n ? "date" : "time" })));
  return fold(say("earlier"), block(make("div", { look: "two-fields" }, ...inputs), make("p", { look: "hint", text: say("earlier-hint") })));
}
