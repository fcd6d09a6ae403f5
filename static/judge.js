// A form judged on the phone while the laptop is away: its numbers, by the bounds that its page carries.

import { knows, say } from "./made.js";
import { readNumber, stripped } from "./numbers.js";
import { complain } from "./outbox_said.js";

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
export function errorsOf(form, submitter) {
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
