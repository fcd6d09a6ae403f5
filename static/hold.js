// What keeps a form on a page while the laptop is away: numbers by the bounds that the page carries, too much or too little
// on the balance, and a step that is held. Its reasons stand at the key, always in view, with a second key that says it was
// done already.

import { doing, knows, say, standing } from "./away.js";
import { doubted } from "./doubts.js";
import { make, strip } from "./elements.js";
import { FUNCTIONS, rescale } from "./facts.js";
import { netOf } from "./happened.js";
import { anew } from "./keypad.js";
import { complain } from "./outbox_said.js";
import { readNumber, stripped } from "./read.js";
import { fact } from "./store.js";
import { stopsOf } from "./ways.js";

// --- a step that is held ---

const DONE = { "go-in": "already-in", "come-out": "already-out", light: "already-burns", open: "already-open", "shut-down": "as-planned" };
const FIRM = ["no-crucible"];

/** Takes away what was said at the key. */
export function release() {
  for (const old of document.querySelectorAll("[data-held]")) old.remove();
}

/** Says at the key why a form is held; `already` are the words of the key by which it is recorded all the same, `again` of
 * the one that leads back to the figure. */
export function hold(form, { against, already, held, again }, submitter = null) {
  release();
  const list = make("ul", {}, ...against.map((text) => make("li", { text })));
  const head = make("b", { text: held ?? say("against") });
  const box = make("section", { look: "held", role: "alert", "data-held": "" }, head, list);
  if (again) {
    const back = make("button", { look: "plain", type: "button", text: again });
    back.addEventListener("click", () => {
      release();
      anew(form.querySelector("input[data-keypad]"));
    });
    box.append(back);
  }
  if (already) {
    const key = make("button", { look: "plain", type: "button", text: already });
    key.addEventListener("click", () => sendAsDone(form, submitter));
    box.append(key);
  }
  document.querySelector(".actionbar").prepend(box);
}

/** Says something at the key that holds nothing. */
export const remark = (text) => document.querySelector(".actionbar").prepend(make("section", { look: "held", "data-held": "" }, make("p", { text })));

function sendAsDone(form, submitter) {
  release();
  if (!form.elements.namedItem("in_fact")) form.append(make("input", { type: "hidden", name: "in_fact", "data-said-done": "" }));
  const field = form.elements.namedItem("in_fact");
  if (field.type === "checkbox") field.checked = true;
  else field.value = "1";
  form.requestSubmit(submitter?.form === form ? submitter : null);
}

/** The reasons for which this phone would hold a form, and the words of its second key. */
export async function reasonsFor(form, fields) {
  if (fields.some(([name, value]) => name === "in_fact" && value)) return null;
  const [{ here, things }, codes] = await Promise.all([standing(), fact("codes")]);
  const { pathname } = new URL(form.getAttribute("action") || location.href, location.href);
  return here && heldIn(here, things, doing(here, things, pathname, fields), codes ?? {});
}

/** The same where all is known already. */
export function heldIn(here, things, would, codes) {
  const found = stopsOf(here, things, would, codes).filter((one) => one.effect !== "flag");
  if (!found.length) return null;
  const already = found.some(({ rule }) => FIRM.includes(rule)) ? "" : say(DONE[would.verb] ?? "already");
  return { against: found.map((one) => one.say), already };
}

// --- a form judged by its bounds ---

const LAPTOP_ONLY = new Set(["token", "record_id", "corrects"]);

function boundsOf({ low, high, unit, whole }) {
  return { low: Number(low), high: Number(high), unit, whole: whole !== undefined };
}

/** Whether anything else was typed or tapped that may say the same: then the laptop alone can tell what is missing. */
function saidOtherwise(form, field, submitter) {
  if (submitter?.name) return true;
  const typed = (one) => one !== field && !LAPTOP_ONLY.has(one.name) && /^(text|time|number|)$/.test(one.type ?? "") && one.value?.trim();
  return [...form.elements].some((one) => one.tagName === "INPUT" && one.type !== "hidden" && typed(one));
}

function sentence(form, field, submitter) {
  const bounds = boundsOf(field.dataset);
  if (!stripped(field.value)) {
    const missing = "asked" in field.dataset && !saidOtherwise(form, field, submitter);
    return missing ? say(bounds.whole ? "no-empty-whole" : "no-empty") : null;
  }
  const { no, ...values } = readNumber(field.value, bounds);
  return no ? say(`no-${no}`, values) : null;
}

/** The sentences of a form by the names of its fields, as the laptop would say them. */
function errorsOf(form, submitter) {
  const fields = [...form.querySelectorAll("input[data-low]")].filter((one) => !one.disabled);
  const found = fields.map((field) => [field.name, sentence(form, field, submitter)]);
  return Object.fromEntries(found.filter(([, said]) => said));
}

/** Whether a form may be kept as it stands; what cannot is said beside its field, and all that was typed stays. */
export function isSound(form, submitter) {
  if (!knows("no-empty")) return true;
  const errors = form.errorsNow?.(submitter) ?? errorsOf(form, submitter);
  const said = Object.values(errors);
  if (said.length) complain(form, [...new Set(said)].join(" "), errors);
  return !said.length;
}

// --- a weight off its target: what to do about it, before anything is recorded ---

// As the laptop offers it.
const MOST_LARGER = 1.2;
const WAY = /^\/batch\/(\w{26})\/weigh\/(\d+)$/;

function choice(name, second, words = name) {
  const text = make("span", { look: "answer-apart" }, make("b", { text: say(words) }), make("span", { text: second }));
  return make("button", { look: "plain", type: "button", value: name }, text);
}

/** What the batch becomes if it is made larger: each line's new target, or what is to be added to it. */
function larger(batch, number, net) {
  const planned = batch.lines.map((one) => one.target_g);
  const weighed = batch.lines.map((one) => (one.line === number ? net : one.weighed_g));
  const found = rescale(planned, weighed);
  const text = (g) => g.toFixed(batch.places ?? 2);
  const rows = batch.lines.flatMap((one, n) => {
    if (found.rescaled[n] !== null) return [[one.called ?? one.name, `${text(one.target_g)} → ${text(found.rescaled[n])} g`]];
    return found.topUp[n] > batch.within_g ? [[say("add", { name: one.called ?? one.name }), `+${text(found.topUp[n])} g`]] : [];
  });
  return { factor: found.factor, rows };
}

function ledger(rows) {
  const caption = make("caption", { text: say("targets") });
  const body = rows.map(([name, value]) => make("tr", {}, make("th", { scope: "row", text: name }), make("td", { text: value })));
  return make("div", { look: "ledger-wrap", "data-off-targets": "" }, make("table", { look: "ledger rescale" }, caption, make("tbody", {}, ...body)));
}

function decide(form, box, name) {
  box.remove();
  const field = form.querySelector("[name=net_g], [name=added_g]");
  if (name === "retype") return anew(field);
  if (["back", "more"].includes(name)) return field?.focus();
  const taken = form.elements.namedItem("do") ?? form.appendChild(make("input", { type: "hidden", name: "do" }));
  taken.value = name;
  // What was decided of one figure says nothing of another one.
  form.addEventListener("input", () => (taken.value = ""), { once: true });
  return form.requestSubmit();
}

/** Whether the form must wait for a choice, which is then shown; the choice sends it. */
export async function mustChoose(form) {
  const [, thing, n] = new URL(form.action, location.href).pathname.match(WAY) ?? [];
  const field = (name) => form.elements.namedItem(name)?.value;
  if (!thing) return mustLookAgain(form);
  if (field("do") || field("happened")) return false;
  const batch = (await standing()).things[thing];
  const line = batch?.lines.find((one) => one.line === Number(n));
  const net = line ? netOf(Object.fromEntries(new FormData(form)), line) : null;
  if (net === null || Math.abs(net - line.target_g) <= batch.within_g + 1e-9) return false;
  ask(form, batch, line, net);
  return true;
}

// --- a mass or a time that can hardly be right ---

/** Whether the form must wait until the maker has looked again; the choice sends it. */
async function mustLookAgain(form) {
  const { here, things } = await standing();
  const pairs = [...new FormData(form)].filter(([, value]) => typeof value === "string");
  const { pathname } = new URL(form.getAttribute("action") || location.href, location.href);
  const found = here ? doubted(here, things, doing(here, things, pathname, pairs), Object.fromEntries(pairs)) : [];
  if (found.length) lookAgain(form, found);
  return found.length > 0;
}

function lookAgain(form, found) {
  const choices = [choice("retype", say("more_why"), "again"), choice("sure", "", "sure")];
  const strips = found.map(({ title, say: words }) => strip(title, words, "alert"));
  const box = make("section", { "data-off": "" }, ...strips, make("div", { look: "answer-keys pad gap-t", role: "group", "aria-label": say("do") }, ...choices));
  choices[0].addEventListener("click", () => {
    box.remove();
    anew(form.elements.namedItem(found[0].name));
  });
  choices[1].addEventListener("click", () => {
    box.remove();
    const field = form.elements.namedItem("sure") ?? form.appendChild(make("input", { type: "hidden", name: "sure" }));
    field.value = found.map(({ key }) => key).join(" ");
    form.requestSubmit();
  });
  show(box, choices[0]);
}

function show(box, first) {
  document.querySelector("[data-off]")?.remove();
  document.getElementById("main").prepend(box);
  first.focus();
  box.scrollIntoView();
}

function ask(form, batch, line, net) {
  const text = (g) => g.toFixed(batch.places ?? 2);
  const over = net > line.target_g;
  const bigger = over ? larger(batch, line.line, net) : null;
  const grown = bigger && bigger.factor <= MOST_LARGER + 1e-9 ? bigger : null;
  const pct = ((100 * Math.abs(net - line.target_g)) / line.target_g).toFixed(1);
  const kept = line.fate === "washed-out" ? say("washed") : say(over ? "share-over" : "share-under", { name: line.called ?? line.name, pct });
  const slip = FUNCTIONS.slip(net, line.target_g);
  const choices = [
    choice("retype", slip === null ? say("more_why") : say("again_why", { n: String(slip) }), "again"),
    over ? choice("back", say("back_why")) : choice("more", say("more_why")),
    ...(grown ? [choice("scale", say("scale_why", { factor: String(Number(grown.factor.toPrecision(4))) }))] : []),
    choice("keep", kept),
  ];
  const title = strip(say(over ? "over" : "under", { g: text(Math.abs(net - line.target_g)) }), say("wanted", { g: text(net), target: text(line.target_g) }), "alert");
  const box = make("section", { "data-off": "" }, title, make("div", { look: "answer-keys pad gap-t", role: "group", "aria-label": say("do") }, ...choices), ...(grown ? [ledger(grown.rows)] : []));
  for (const key of choices) key.addEventListener("click", () => decide(form, box, key.value));
  show(box, choices[0]);
}
