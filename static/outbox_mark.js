// The status line of a paired phone: what waits, what was refused, whether the laptop is in reach, and how old a page is.

import { watch } from "./outbox_send.js";

const said = (mark, name, n) => mark.dataset[name].replace("{n}", String(n));

function glyphOf(name) {
  const use = document.querySelector("[data-outbox-mark] use");
  const base = use?.getAttribute("href")?.split("#")[0];
  if (base) use.setAttribute("href", `${base}#${name}`);
}

function paint({ entries, reach, broken }) {
  const mark = document.querySelector("[data-outbox-mark]");
  if (!mark) return;
  const refused = entries.filter((entry) => entry.refused && !entry.aside).length;
  const waiting = entries.filter((entry) => !entry.refused && !entry.aside).length;
  const words = [];
  if (broken) words.push(mark.dataset.broken);
  if (waiting) words.push(said(mark, "waiting", waiting));
  if (refused) words.push(said(mark, "refused", refused));
  if (!words.length && reach === "near") words.push(mark.dataset.none);
  if (reach === "away") words.push(mark.dataset.away);
  if (reach === "shut") words.push(mark.dataset.shut);
  if (words.length) mark.querySelector("[data-outbox-words]").textContent = words.join(" · ");
  glyphOf(refused || broken ? "refused" : waiting || reach === "away" ? "waiting" : "done");
}

/** A stored page says so, and when it was stored: it cannot know what was recorded since. */
function showStored() {
  const at = Number(document.body.dataset.stored);
  const words = document.querySelector("[data-outbox-mark]")?.dataset.stored;
  if (!at || !words) return;
  const when = new Date(at);
  const clock = [when.getHours(), when.getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");
  const p = document.createElement("p");
  p.className = "stored-copy";
  p.setAttribute("role", "status");
  p.textContent = words.replace("{clock}", clock);
  document.getElementById("main").before(p);
}

watch(paint);
showStored();
