// On the page after a form: what was kept on the phone, and the way to take it back.

import { add } from "./outbox_store.js";
import { offset, soon, watch } from "./outbox_send.js";
import { strip } from "./outbox_strip.js";
import { ulid } from "./ulid.js";

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
