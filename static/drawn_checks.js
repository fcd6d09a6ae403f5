// A checklist that the phone draws: each item with its answers, as templates/parts/checks.html has it. What stands answered
// is folded until it is asked for.

import { earlier, fold, key, labelled } from "./drawn_fields.js";
import { make } from "./elements.js";
import { say } from "./made.js";
import { ulid } from "./store.js";

const GOOD = ["done", "does-not-apply"];

function answers({ slug, says, why, without, apart }) {
  const name = `answer.${slug}`;
  const keys = ["done", "not-done"].map((one) => key("radio", name, one, false, say(`answer-${one}`)));
  if (apart) {
    keys.push(key("radio", name, "does-not-apply", false, say("answer-does-not-apply"), apart));
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
  const asks = answers(one);
  const stands = answer ? [make("p", { look: "check-stands" }, make("b", { text: say(`answer-${answer}`) }))] : [];
  const inside = GOOD.includes(answer) ? [fold(say("answer-again"), ...asks)] : asks;
  return make("section", { look: "check", "aria-labelledby": one.slug }, make("h2", { id: one.slug, text: one.says }), ...stands, ...inside);
}

/** What is not asked, by kind: not for this furnace, to keep in mind, held by the bench itself. */
function lines(found) {
  const kinds = [...new Set(found.map(([kind]) => kind))];
  const list = (kind) => make("ul", {}, ...found.filter(([one]) => one === kind).map(([, text]) => make("li", { text })));
  return kinds.map((kind) => make("section", { look: "part check-lines" }, make("h2", { look: "pad", text: say(`lines-${kind}`) }), list(kind)));
}

/** The form of a list of a thing, what stands under it, and what it leaves out. `more` are its hidden fields. */
export function checklist(thing, phase, action, more = {}) {
  const { asks, lines: rest } = thing.lists?.[phase] ?? { asks: [], lines: [] };
  const rows = asks.map((one) => make("li", {}, item(one, thing.checks?.[phase]?.[one.slug] ?? null)));
  const hidden = Object.entries({ record_id: ulid(), ...more }).map(([name, value]) => make("input", { type: "hidden", name, value }));
  const form = make("form", { look: "ask", id: "ask", method: "post", action, "data-records": "", novalidate: "" }, ...hidden);
  form.append(make("ol", { look: "checks" }, ...rows), earlier());
  return { form, under: lines(rest), errors: (fields) => leftOut(asks, fields) };
}

function leftOut(asks, fields) {
  const answered = asks.filter(({ slug }) => fields[`answer.${slug}`]);
  const alone = asks.filter(({ slug }) => fields[`answer_why.${slug}`]?.trim() && !fields[`answer.${slug}`]);
  if (alone.length) return Object.fromEntries(alone.map(({ slug }) => [`answer.${slug}`, say("answer-this")]));
  return answered.length ? {} : { "": say("answer-first") };
}

/** Mask and dust control where the powder harms for life, as far as nobody has answered it in this sitting. */
export function dusty(items) {
  if (!items.length) return [];
  return [make("h2", { look: "pad gap-t", text: say("dust") }), make("p", { look: "pad soft", text: say("dust-dry") }), ...items.map((one) => item(one))];
}
