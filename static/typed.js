// A page that answers a form is, for the browser's Back and Reload, the sending of that form: it shows its own page of
// errors instead, and what was typed is lost. Here such a page becomes one that is asked for, and gets its fields again.

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

if (document.body.dataset.answers !== undefined) {
  keep();
  document.addEventListener("submit", keep);
} else if (history.state?.typed && type !== "navigate") putBack(history.state.typed);
