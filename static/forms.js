// What every form needs on every page. Without this file the id that came with the page is sent, and the laptop makes the
// same id one record.

import { inSight } from "./elements.js";
import { ulid } from "./store.js";

// --- a fresh record id at each submit, so that ten submits of one stored page are ten records; one submit at a time ---

function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-records]")) return;
  if (form.dataset.sent) return event.preventDefault();
  form.dataset.sent = "1";
  const id = form.elements.namedItem("record_id");
  if (id) id.value = ulid();
}

/** A page that comes back from the browser's store, or that the network failed, can be sent again. */
function release() {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
}

document.addEventListener("submit", onSubmit);
window.addEventListener("pageshow", release);
window.addEventListener("pagehide", release);

// --- a value that was offered counts as read as soon as its field is touched: the offer then leaves the form ---

function touched({ target }) {
  const { form, name } = target;
  const offer = form && name ? form.elements.namedItem(`offered.${name}`) : null;
  if (!offer) return;
  offer.remove();
  target.closest(".offered")?.classList.remove("offered");
}

document.addEventListener("input", touched);
document.addEventListener("change", touched);
// A field that is only looked at, on the way to the keypad, is not read yet; a key that was chosen is.
document.addEventListener("click", (event) => event.target.matches?.("input[type=radio], input[type=checkbox]") && touched(event));
document.addEventListener("focusin", ({ target }) => target.closest?.(".offered") && target.select?.());

// --- a page that was refused opens at what was refused, as the phone's own refusals do ---

function showRefused() {
  const field = document.querySelector("main [aria-invalid]");
  const sentence =
    document.getElementById(field?.getAttribute("aria-describedby")?.split(" ")[0] ?? "") ??
    document.querySelector("main .complaint") ??
    // A step that is held says why in its gate; a strip above may only point to it.
    document.querySelector("main .gate[role=alert]") ??
    document.querySelector("main .strip");
  if (!field || !sentence) return sentence?.scrollIntoView({ block: "nearest" });
  inSight(field, sentence);
  field.focus({ preventScroll: true });
}

if ("refused" in document.body.dataset) showRefused();

// --- a page that answers a form is, for the browser's Back and Reload, the sending of that form: it shows its own page
// of errors instead, and what was typed is lost. Here it becomes one that is asked for, and gets its fields again ---

const KEPT_OUT = "[type=hidden], [type=file], [type=password], [name^=answer]";

const isTicked = (field) => field.type === "radio" || field.type === "checkbox";
const nameOf = (field) => (isTicked(field) ? `${field.name}=${field.value}` : field.name);
const given = (field) => (isTicked(field) ? field.checked : field.value);

function fields() {
  const all = document.querySelectorAll("main form[data-records] :is(input, select, textarea)");
  return [...all].filter((field) => field.name && !field.matches(KEPT_OUT));
}

function keep() {
  const typed = Object.fromEntries(fields().map((field) => [nameOf(field), given(field)]));
  history.replaceState({ ...history.state, typed }, "", location.href);
}

function putBack(typed) {
  for (const field of fields()) {
    const was = typed[nameOf(field)];
    if (was === undefined || was === given(field)) continue;
    field[isTicked(field) ? "checked" : "value"] = was;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

// Whoever comes anew, if only by the same address, begins with an empty form.
const [{ type }] = performance.getEntriesByType("navigation");

if ("answers" in document.body.dataset) {
  keep();
  document.addEventListener("submit", keep);
} else if (history.state?.typed && type !== "navigate") putBack(history.state.typed);
