// Weighing, drawn on the phone: one line of a batch as templates/weigh/line.html has it, and what is in the mortar.

import { addressOf, say } from "./away.js";
import { asks, codeField, codeOf, earlier, field, fold, foot, head, key, line as inLine, plate, pointed, row, sign } from "./drawn_fields.js";
import { watch } from "./drawn_form.js";
import { drawn, figure, make } from "./elements.js";
import { joinNeedle } from "./keypad.js";
import { dashed, faultOf, readCode, readStep } from "./read.js";
import { lineToWeigh, pageOf, shortOf } from "./ways.js";

const nameOf = (line) => line.called ?? line.name;
const digits = (batch) => (g) => g.toFixed(batch.places ?? 2);

/** The lines of a batch with target and actual, and their sums; `now` is the number of the one that is weighed. */
export function mortar(batch, now = null) {
  const grams = (g) => (g === null ? "–" : digits(batch)(g));
  // As they are shown, so that the shown ones add up to it.
  const sum = (name) => batch.lines.reduce((all, one) => all + Number(digits(batch)(one[name] ?? 0)), 0);
  const cells = (name, target, weighed) => [make("th", { scope: "row", text: name }), make("td", { text: grams(target) }), make("td", { text: grams(weighed) })];
  const titles = ["reagent", "target-g", "weighed-g"].map((name) => make("th", { scope: "col", text: say(name) }));
  const mark = (one) => (one.line === now ? { look: "now", "aria-current": "step" } : one.weighed_g === null ? {} : { look: "done" });
  const rows = batch.lines.map((one) => make("tr", mark(one), ...cells(nameOf(one), one.target_g, one.weighed_g)));
  const foot = make("tr", {}, ...cells(say("together"), sum("target_g"), sum("weighed_g")));
  return make("div", { look: "ledger-wrap" }, make("table", { look: "ledger" }, make("thead", {}, make("tr", {}, ...titles)), make("tbody", {}, ...rows), make("tfoot", {}, foot)));
}

/** The graduation round the target, four bands wide, as the laptop draws it; keypad.js moves the needle on it. */
function gauge(low, high, text) {
  const digit = (high - low) / 4; // the balance's last one
  const at = (value) => 164 + ((value - (low + high) / 2) / (high - low)) * 77;
  const [first, last] = [Math.ceil((2.5 * low - 1.5 * high) / digit - 1e-6), Math.floor((2.5 * high - 1.5 * low) / digit + 1e-6)];
  const marks = Array.from({ length: last - first + 1 }, (_one, n) => first + n);
  const ticks = marks.map((n) => drawn("path", { class: n % 5 ? "tick" : "tick maj", d: `M${at(n * digit)} 34v-${n % 5 ? 8 : 16}` }));
  const label = (value) => Object.assign(drawn("text", { class: "axis num", x: at(value), y: 58, "text-anchor": "middle" }), { textContent: text(value) });
  const band = drawn("rect", { class: "band", x: at(low), y: 8, width: at(high) - at(low), height: 26 });
  const edges = drawn("path", { class: "bandedge", d: `M${at(low)} 38v-34M${at(high)} 38v-34` });
  return drawn("svg", { class: "gauge", viewBox: "0 0 328 62", "aria-hidden": "true" }, band, ...ticks, drawn("path", { class: "base", d: "M10 34H318" }), edges, label(low), label(high));
}

function jarFold(line) {
  const tag = line.jar_code ? make("span", { look: "tag", text: dashed(line.jar_code) }) : make("span", { look: "soft", text: say(line.jar ? "jar-untagged" : "jar-unplanned") });
  const what = [make("h2", { text: nameOf(line) }), make("span", { look: "formula", text: line.formula ?? "" }), make("span", { look: "jarcheck" }, tag)];
  const asked = codeField("jar", say("jar-code"));
  asked.querySelector("input").setAttribute("form", "ask");
  return make("details", { look: "jar-fold" }, make("summary", { look: "reagent pad" }, ...what), make("div", { look: "pad gap-b" }, asked));
}

const spanOf = ({ span: [low, high], target_g: g }, text) => say("span", { low: text(low * g), high: text(high * g) });

function target(batch, line, adding) {
  const text = digits(batch);
  const [low, high] = [line.target_g - batch.within_g, line.target_g + batch.within_g];
  const signs = (line.signs ?? []).map(sign);
  const big = make("div", { look: "bigfig" }, figure(text(adding || line.target_g), "g"), make("p", { look: "hero-side" }, make("span", { look: "within num", text: `±${text(batch.within_g)}` }), ...signs));
  const words = adding ? say("adding", { was: text(line.weighed_g), now: text(line.target_g) }) : line.target_g > line.planned_g && line.weighed_g === null ? say("rescaled", { g: text(line.target_g) }) : "";
  const span = line.span && !adding ? say("water-unknown", { span: spanOf(line, text) }) : "";
  const needle = adding ? [] : [make("div", { look: "pad", "data-needle-on": "net_g", "data-low": low, "data-high": high }, gauge(low, high, text))];
  const said = [words, span].filter(Boolean).map((one) => make("p", { look: "pad lead", text: one }));
  return make("section", { look: "weigh-target" }, jarFold(line), big, ...said, ...needle);
}

const state = (title, second) => make("div", { look: "state" }, make("p", {}, make("b", { text: title }), make("span", { text: second })));

/** What stands recorded of the line, and that the jar may not hold enough. */
function standing(batch, line, adding) {
  const text = digits(batch);
  if (line.weighed_g !== null) return adding ? [] : [state(say(line.heads.length > 1 ? "two-weighings" : "weighed", { g: text(line.weighed_g) }), say(line.heads.length > 1 ? "right-corrects" : "corrects"))];
  const less = typeof line.jar_left_g === "number" && line.jar_left_g < line.target_g;
  return less ? [state(say("jar-short"), say("jar-left", { g: text(Math.max(line.jar_left_g, 0)) }))] : [];
}

/** The declared step, with what is to be typed as the page asks it. */
function askedAs(step, batch, fields, adding) {
  const both = Boolean(fields.before_g?.trim() || fields.after_g?.trim());
  const more = { net_g: { required: !adding && !both, low: batch.within_g / 20 }, added_g: { required: Boolean(adding), low: batch.within_g / 20 } };
  return { ...step, fields: step.fields.map((one) => ({ ...one, ...more[one.name] })) };
}

function byDifference(batch, { net_g: net, before_g: before, after_g: after }, fields) {
  if (!fields.before_g?.trim() && !fields.after_g?.trim()) return {};
  if (before === undefined) return { before_g: say("both-weighings") };
  if (after === undefined) return { after_g: say("both-weighings") };
  if (before === after) return { after_g: say("nothing-taken") };
  const text = digits(batch);
  const off = net !== undefined && Math.abs(net - Math.abs(after - before)) > batch.within_g;
  return off ? { net_g: say("differs", { net: text(Math.abs(after - before)), typed: net }) } : {};
}

/** The jar whose code was typed: a slip in it, or another jar, which is to be said so. */
function jarErrors(things, line, fields, codes) {
  const raw = fields.jar?.trim();
  if (!raw) return {};
  const code = readCode(raw.slice(0, 64));
  const { no, ...values } = code ? {} : faultOf(raw.slice(0, 64));
  if (!code) return { jar: say(`no-${no}`, values) };
  const [, sort, id] = codes[code]?.[1].match(/^\/(\w+)\/(\w{26})/) ?? [];
  if (sort && sort !== "jar") return { jar: say("no-jar", { what: sort }) };
  const jar = things[id];
  if (!jar || id === line.jar || fields.this_jar || (!line.jar && jar.shown === line.formula)) return {};
  const why = jar.shown === line.formula ? "another-jar" : "wrong-jar";
  return { jar: `${say(why, { name: jar.name, formula: jar.shown, wanted: nameOf(line) })} ${say("put-back")}` };
}

function weighForm({ here, things }, step, batch, line, adding) {
  const look = here.look(things, batch.id, {});
  const ask = (name, more) => field({ ...step.fields.find((one) => one.name === name), ...more }, here, things, look);
  const form = asks(`/batch/${batch.id}/weigh/${line.line}`, { corrects: line.heads.join(" "), ...(adding ? { adding: "1" } : {}) });
  // What is weighed by jar goes on with the next mortar of that jar.
  if (line.jar && new URLSearchParams(location.search).get("by") === "jar") form.dataset.next = `/weigh/jar/${line.jar}`;
  const tick = key("checkbox", "this_jar", "1", false, say("this-jar"), say("this-jar-why"));
  tick.hidden = true;
  const main = adding ? ask("added_g", { keypad: true }) : ask("net_g", { label: say("on-balance") });
  pointed(main.querySelector("input"), adding || line.target_g);
  const both = adding ? [] : [fold(say("by-difference"), ask("before_g"), ask("after_g", { hint: say("difference-why") }))];
  form.append(tick, main, ...both, earlier());
  return { form, tick };
}

/** Whether something is to be added to the line, and not the whole of it weighed anew. */
const addsTo = (batch, line) => (new URLSearchParams(location.search).has("correct") ? 0 : shortOf(batch, line));

/** What the form of a line leaves out or says wrongly, by its fields, as the laptop would say it. */
export function refusals({ here, things }, step, batch, line, fields, codes) {
  const adding = addsTo(batch, line);
  const { errors, typed } = readStep(here, things, askedAs(step, batch, fields, adding), batch.id, fields, say);
  return { ...(adding ? {} : byDifference(batch, typed, fields)), ...errors, ...jarErrors(things, line, fields, codes) };
}

function drawLine(known, step, batch, line, codes) {
  const adding = addsTo(batch, line);
  const { form, tick } = weighForm(known, step, batch, line, adding);
  const errors = (fields) => {
    const found = refusals(known, step, batch, line, fields, codes);
    tick.hidden = !found.jar;
    return found;
  };
  const place = say("n-of", { n: batch.lines.indexOf(line) + 1, all: batch.lines.length });
  head(step.title, inLine(place, codeOf(batch)), `/batch/${batch.id}`);
  const [main, box] = [document.getElementById("main"), make("div", {})];
  // Where a weighing that the laptop has is to be undone, nothing is said of how it stands.
  const [ledger, stands] = known.unsure ? [[], []] : [[mortar(batch, line.line)], standing(batch, line, adding)];
  const order = make("aside", { look: "order wide" }, make("h2", { text: say("in-mortar") }), ...ledger);
  const more = [...(adding ? [row("?correct=1", say("correct-instead"))] : []), listRow(batch)];
  const side = make("div", { look: "weigh-side" }, ...stands, form, ...more, box, ...foot(known.here, known.things, batch.id, step, line.foot));
  main.className = "weigh";
  main.append(order, target(batch, line, adding), side);
  plate(say(adding ? "record-added" : line.weighed_g === null ? "record-weight" : "correct-weighing"), { form: "ask", glyph: step.glyph });
  main.querySelectorAll("[data-needle-on]").forEach(joinNeedle);
  watch(known, form, box, errors, codes);
}

const listRow = ({ id }) => row(`/batch/${id}/weigh?checks=1`, say("before-weighing"));

/** What is in the mortar, each weighing with the way to correct it. */
function drawSum({ here, unsure }, step, batch) {
  const correct = (one) => row(`/batch/${batch.id}/weigh/${one.line}`, say("correct-name", { name: nameOf(one) }), "", unsure || one.weighed_g === null ? "" : `${digits(batch)(one.weighed_g)} g`);
  head(say("in-mortar"), inLine(batch.name, codeOf(batch)), `/batch/${batch.id}`);
  document.getElementById("main").append(...(unsure ? [] : [mortar(batch)]), make("nav", { look: "part" }, ...batch.lines.map(correct), listRow(batch)));
  const next = lineToWeigh(batch) ? step : here.steps.get("grind");
  plate(next.title, { href: next === step ? pageOf(step, batch) : addressOf(next, batch), glyph: next.glyph });
}

/** A line of a batch on the balance; without its number the next one, or what is in the mortar once all is weighed. */
export function drawWeighing(known, { step, thing: id }, codes) {
  const batch = known.things[id];
  const [, number] = location.pathname.match(/\/weigh\/(\d+)$/) ?? [];
  const line = batch.lines.find((one) => one.line === Number(number));
  if (line) drawLine(known, step, batch, line, codes);
  else if (lineToWeigh(batch) && !location.search.includes("sum")) location.replace(pageOf(step, batch));
  else drawSum(known, step, batch);
}
