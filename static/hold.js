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

/** A reason as the declaration of the step says it, near the laptop too; in the phone's own words where none says it. */
function worded([name, values], { here, at, fill }, path, things) {
  const found = here && at(here, path);
  const gate = found && things[found.thing] && (found.step.gates ?? []).find(({ rule }) => rule === name);
  return gate ? fill(gate.say, here.look(things, found.thing, {}), here.places) : say(name, values);
}

/** Brought in when something is to be said: a page is watched from its first moment on. */
async function declarations() {
  const [{ at, house }, { fill }] = await Promise.all([import("./away.js"), import("./facts.js")]);
  return { here: await house(), at, fill };
}

/** The reasons for which this phone would hold a form, and the words of its second key. */
export async function reasonsFor(form, fields = typed(form)) {
  if (fields.some(([name, value]) => name === "in_fact" && value)) return null;
  const would = factOf(form, fields);
  if (!would) return null;
  const [{ things }, codes] = await Promise.all([since(), fact("codes")]);
  const found = stopsOf(would, things, codes ?? {});
  if (!found.length) return null;
  const already = found.some(([name]) => FIRM.includes(name)) ? "" : say(DONE[would.kind] ?? "already");
  const declared = await declarations().catch(() => ({}));
  const { pathname } = new URL(form.getAttribute("action") || location.href, location.href);
  return { against: found.map((one) => worded(one, declared, pathname, things)), already };
}

async function judge(form) {
  if (!form?.matches("form[data-records]")) return;
  const found = await reasonsFor(form);
  if (found) hold(form, found);
  else release();
}

/** While the laptop is away: says at the key what stands against a form as it stands, and whenever it is changed. */
export function watchForms() {
  // What is offered on the page already may have something against it.
  judge(document.getElementById("ask"));
  for (const what of ["change", "saggar-filled"]) document.addEventListener(what, ({ target }) => judge(target.form));
}
