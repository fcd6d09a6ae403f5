// A strip on top of a page for what became of a form, and the reasons beside its fields.

import { inSight } from "./complaint.js";

/** Puts it there in place of any other; gives it. */
export function strip(words, second) {
  const section = document.createElement("section");
  section.className = "strip";
  section.setAttribute("role", "alert");
  section.dataset.outboxStrip = "";
  const p = document.createElement("p");
  const b = document.createElement("b");
  b.textContent = words;
  p.append(b);
  if (second) {
    const span = document.createElement("span");
    span.textContent = second;
    p.append(span);
  }
  section.append(p);
  document.querySelector("[data-outbox-strip]")?.remove();
  document.getElementById("main").prepend(section);
  return section;
}

/** The reasons of a refusal, each beside its field, as the laptop's own page would show them. */
export function complain(form, why, errors = {}) {
  for (const old of document.querySelectorAll("[data-outbox-complaint]")) old.remove();
  const top = strip(why);
  for (const [name, sentence] of Object.entries(errors)) {
    const field = form.elements.namedItem(name);
    const first = field instanceof RadioNodeList ? field[0] : field;
    if (!first) continue;
    const p = document.createElement("p");
    p.className = "complaint";
    p.dataset.outboxComplaint = "";
    p.textContent = sentence;
    (first.closest(".field-block, fieldset, .field") ?? first).append(p);
    first.setAttribute("aria-invalid", "true");
  }
  // A field may stand outside its form.
  const refused = [...form.elements].find((one) => one.matches("[aria-invalid]"));
  const sentence = document.querySelector("[data-outbox-complaint]");
  refused?.focus({ preventScroll: true });
  if (refused && sentence) inSight(refused, sentence);
  else top.scrollIntoView({ block: "nearest" });
}
