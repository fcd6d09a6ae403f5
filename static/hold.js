// A step that is held: its reasons stand at the key, always in view, with a second key that says it was done already.

import { doing, standing } from "./away.js";
import { make } from "./elements.js";
import { say } from "./made.js";
import { stopsOf } from "./stops.js";
import { fact } from "./store.js";

const DONE = { "go-in": "already-in", "come-out": "already-out", light: "already-burns", open: "already-open" };
const FIRM = ["no-crucible"];

/** Takes away what was said at the key. */
export function release() {
  for (const old of document.querySelectorAll("[data-held]")) old.remove();
}

/** Says at the key why a form is held; `already` are the words of the key by which it is recorded all the same. */
export function hold(form, { against, already, held }, submitter = null) {
  release();
  const list = make("ul", {}, ...against.map((text) => make("li", { text })));
  const head = make("b", { text: held ?? say("against") });
  const box = make("section", { look: "held", role: "alert", "data-held": "" }, head, list);
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

const typed = (form) => [...new FormData(form)].filter(([, value]) => typeof value === "string");

/** The reasons for which this phone would hold a form, and the words of its second key. */
export async function reasonsFor(form, fields = typed(form)) {
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
