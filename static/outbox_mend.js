// A refused record, opened again on its own page.

import { all } from "./outbox_store.js";
import { complain } from "./outbox_strip.js";

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
