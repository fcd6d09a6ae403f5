// Both hands hold tongs: a touch anywhere, the space bar or a presenter's key records the next crucible as out. Its code
// is said aloud where this device can speak; a tone and the large code say it everywhere.

import { speak } from "./device.js";
import { chirp } from "./ring.js";

const AGAIN_MS = 900;
const STAMP = new Set([" ", "Enter", "PageDown", "ArrowRight"]);
const BACK = new Set(["PageUp", "ArrowLeft"]);
const box = document.querySelector("[data-hands]");
const form = document.getElementById("hands");
const undo = document.querySelector("[data-hands-undo]");
const line = box.querySelector("[data-hands-say]");
const rows = [...box.querySelectorAll("li[data-charge]")];
const onPhone = Boolean(document.querySelector("meta[name=bench-device]"));
const done = [];
let pressed = -AGAIN_MS;

const next = () => rows.find((row) => !row.dataset.out);

/** A code as one reads it out, character by character; a name stays a name. */
const spelled = (words) => (/^[0-9A-Z]{5}\W[0-9A-Z]$/.test(words) ? [...words].filter((one) => /\w/.test(one)).join(" ") : words);

function call(words) {
  chirp();
  if (globalThis.speechSynthesis?.getVoices().length) speak(words);
}

function tell(words) {
  line.hidden = !words;
  line.textContent = words;
}

function draw() {
  const row = next();
  const key = form.querySelector(".touch-all");
  key.hidden = !row;
  undo.hidden = !done.length;
  if (!row) return;
  form.elements.namedItem("charge").value = row.dataset.charge;
  key.querySelector("[data-hands-code]").textContent = row.dataset.code;
  key.querySelector("[data-hands-what]").textContent = row.dataset.what;
}

/** The next one is out, under this record. */
function stamped(id) {
  const row = next();
  if (!row) return;
  row.dataset.out = "1";
  done.push({ row, id });
  draw();
  const after = next();
  const words = box.dataset.out.replace("{code}", row.dataset.code);
  const more = after ? box.dataset.next.replace("{code}", after.dataset.code) : box.dataset.last;
  tell(`${words} ${more}`);
  call([words.replace(row.dataset.code, spelled(row.dataset.code)), after ? more.replace(after.dataset.code, spelled(after.dataset.code)) : more].join(" "));
}

async function back() {
  const last = done.pop();
  if (!last) return;
  if (onPhone) await (await import("./outbox_said.js")).takeBack(last.id);
  else {
    const fields = new FormData();
    for (const [name, value] of [["ids", last.id], ["token", form.elements.namedItem("token").value], ["back", location.pathname]]) fields.append(name, value);
    await fetch("/undo", { method: "POST", body: fields });
  }
  delete last.row.dataset.out;
  draw();
  tell("");
}

/** On the laptop itself: the record goes there and this page stays. What is refused there is shown there. */
async function send(event) {
  if (event.target !== form || event.defaultPrevented) return;
  event.preventDefault();
  const fields = new FormData(form);
  try {
    const answer = await fetch(form.action, { method: "POST", body: fields });
    if (answer.ok) stamped(fields.get("record_id"));
    else location.assign(`${form.action}?charge=${fields.get("charge")}`);
  } catch {
    tell(box.dataset.lost);
  } finally {
    delete form.dataset.sent;
  }
}

function press() {
  const now = performance.now();
  if (now - pressed < AGAIN_MS || !next()) return;
  pressed = now;
  form.requestSubmit();
}

function keyed(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (!STAMP.has(event.key) && !BACK.has(event.key)) return;
  if (event.target.closest?.("a, summary, .stop, [data-hands-undo]") && (event.key === " " || event.key === "Enter")) return;
  event.preventDefault();
  if (event.repeat) return;
  if (STAMP.has(event.key)) press();
  else back();
}

document.addEventListener("keydown", keyed);
document.addEventListener("keyup", (event) => event.key === " " && event.target.matches?.(".touch-all") && event.preventDefault());
document.getElementById("main").addEventListener("click", (event) => {
  if (event.target.closest("a, summary, input, [data-hands-undo]")) return;
  event.preventDefault();
  press();
});
undo.addEventListener("click", back);
document.addEventListener("submit", send);
document.addEventListener("saggar-kept", ({ detail }) => stamped(detail));

draw();
