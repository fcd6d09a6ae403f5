// A step that is held: its reasons stand at the key, always in view, with a second key that says it was done already.

import { happened } from "./happened.js";
import { make, say } from "./made.js";
import { fact } from "./outbox_store.js";
import { since } from "./since.js";
import { stopsOf } from "./stops.js";

const DONE = { in: "already-in", out: "already-out", lit: "already-burns", opened: "already-open" };
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

/** The fact that a form would record, as its fields stand. */
function factOf(form, fields) {
  const { pathname } = new URL(form.getAttribute("action") || location.href, location.href);
  return happened([{ id: "", action: pathname, fields, at_ms: Date.now() }])[0];
}

const typed = (form) => [...new FormData(form)].filter(([, value]) => typeof value === "string");

/** The reasons for which this phone would hold a form, and the words of its second key. */
export async function reasonsFor(form, fields = typed(form)) {
  if (fields.some(([name, value]) => name === "in_fact" && value)) return null;
  const would = factOf(form, fields);
  if (!would) return null;
  const [{ things }, codes] = await Promise.all([since(), fact("codes")]);
  const found = stopsOf(would, things, codes ?? {});
  if (!found.length) return null;
  const already = found.some(([name]) => FIRM.includes(name)) ? "" : say(DONE[would.kind] ?? "already");
  return { against: found.map(([name, values]) => say(name, values)), already };
}

async function judge(form) {
  if (!form?.matches("form[data-records]")) return;
  const found = await reasonsFor(form);
  if (found) hold(form, found);
  else release();
}

/** While the laptop is away: says at the key what stands against a form as soon as it is filled in. */
export function watchForms() {
  for (const what of ["change", "saggar-filled"]) document.addEventListener(what, ({ target }) => judge(target.form));
}
