// What became of a form, on the page after it: a strip on top, the reasons of a refusal beside its fields, the way to
// take back what was kept on the phone, and a refused record opened again.

import { inSight } from "./complaint.js";
import { offset, soon, watch } from "./outbox_send.js";
import { add, all } from "./outbox_store.js";
import { ulid } from "./ulid.js";

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

/** A refused record is opened again on its own page, with what was typed. */
export async function mend() {
  const asked = location.hash.match(/^#mend=([0-9A-Z]{26})$/);
  if (!asked) return;
  const entry = (await all()).find((one) => one.id === asked[1]);
  if (!entry) return;
  const forms = [...document.querySelectorAll("form[data-records]")];
  const path = (form) => new URL(form.action, location.href).pathname;
  const form = forms.find((one) => path(one) === entry.action.split("?")[0]) ?? forms[0];
  if (!form) return;
  form.dataset.mends = entry.id;
  const values = new Map();
  for (const [name, value] of entry.fields) values.set(name, [...(values.get(name) ?? []), value]);
  for (const field of form.elements) {
    const typed = values.get(field.name);
    if (!field.name || field.name === "record_id" || field.name === "token" || field.type === "file") continue;
    if (field.type === "radio" || field.type === "checkbox") field.checked = Boolean(typed?.includes(field.value));
    else if (typed && typeof typed[0] === "string") field.value = typed[0];
  }
  complain(form, entry.refused ?? "", entry.errors);
  if (entry.against?.length) (await import("./hold.js")).hold(form, entry);
}

/** Takes back a record that was kept on this phone, or sent from it. */
export async function takeBack(kept) {
  const id = ulid();
  const fields = [["ids", kept], ["back", location.pathname], ["record_id", id]];
  const times = { at_ms: Date.now(), offset_ms: await offset(), tz_min: -new Date().getTimezoneOffset() };
  const { undo } = document.querySelector("[data-outbox-mark]").dataset;
  await add({ id, action: "/undo", page: location.pathname, title: undo, fields, ...times });
  soon();
}

/** On the page after: what was kept on the phone, and the way to take it back. */
export function showKept() {
  const raw = sessionStorage.getItem("saggar-kept");
  if (!raw) return;
  const kept = JSON.parse(raw);
  sessionStorage.removeItem("saggar-kept");
  const words = document.querySelector("[data-outbox-mark]")?.dataset;
  if (!words) return;
  const section = strip(`${kept.title}: ${words.keptHere}`, words.keptWhy);
  section.classList.add("kept-here");
  const undo = document.createElement("button");
  undo.type = "button";
  undo.className = "plain";
  undo.textContent = words.undo;
  undo.addEventListener("click", async () => {
    undo.disabled = true;
    await takeBack(kept.id);
    section.remove();
  });
  section.append(undo);
  let seen = false; // before the phone's store is read, there are no entries either
  watch(({ entries }) => {
    const waits = entries.some((entry) => entry.id === kept.id);
    seen ||= waits;
    if (waits || !seen) return;
    section.querySelector("b").textContent = `${kept.title}: ${words.onLaptop}`;
    section.querySelector("span")?.remove();
  });
}
