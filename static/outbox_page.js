// The list of what is on this phone, with what can be done about each.

import { keep } from "./outbox_store.js";
import { refresh, soon, watch } from "./outbox_send.js";

const list = document.querySelector("[data-outbox-list]");
const HIDDEN = new Set(["token", "record_id", "in_fact"]);

function element(name, words, look = "") {
  const made = document.createElement(name);
  made.textContent = words;
  if (look) made.className = look;
  return made;
}

function key(words, act) {
  const made = element("button", words, "plain");
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

async function change(entry, now) {
  await keep(now);
  await refresh();
  soon();
}

function row(entry) {
  const made = document.createElement("div");
  made.className = "state outbox-row";
  made.dataset.entry = entry.id;
  const p = document.createElement("p");
  p.append(element("b", entry.title));
  const typed = entry.fields.filter(([name, value]) => !HIDDEN.has(name) && !name.startsWith("offered.") && typeof value === "string" && value);
  const status = entry.aside ? list.dataset.aside : entry.refused ? list.dataset.refused : list.dataset.waits;
  const at = new Date(entry.at_ms + (entry.offset_ms ?? 0));
  const clock = [at.getHours(), at.getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");
  p.append(element("span", `${clock} · ${status}${entry.refused ? `: ${entry.refused}` : ""}`));
  p.append(element("span", typed.map(([name, value]) => `${name} ${value}`).join(", ")));
  made.append(p);
  if (entry.refused) {
    const mend = element("a", list.dataset.mend, "plain");
    mend.href = `${entry.page}#mend=${entry.id}`;
    made.append(mend);
    made.append(key(list.dataset.again, () => change(entry, { ...entry, refused: undefined, errors: undefined, aside: false })));
    if (!entry.aside) made.append(key(list.dataset.putAside, () => change(entry, { ...entry, aside: true })));
  }
  return made;
}

if (list) {
  watch(({ entries }) => {
    list.replaceChildren(...(entries.length ? entries.map(row) : [element("p", list.dataset.empty, "pad")]));
  });
}
