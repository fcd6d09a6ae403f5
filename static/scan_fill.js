// Beside each field for a code: a key to scan it. Back from the scanner the code stands in its field; and whether it is
// what is asked for here is said at once, of a typed one too.

import { complain, make } from "./elements.js";
import { dashed, readCode, slip } from "./read.js";

const STALE_MS = 10 * 60_000;
const mark = document.querySelector("[data-outbox-mark]");
const here = location.pathname + location.search;
const CODED = "form[data-records] .coded input, .coded input[form], #seek .coded input";

function key(field) {
  const href = `/find#${new URLSearchParams({ for: here, field: field.name })}`;
  field.closest(".field").after(make("a", { look: "plain scan-key", href, text: mark.dataset.scan }));
}

/** Whether this page names codes, and not this one: then it is none of those that are asked for now. */
function unnamed(code) {
  const text = document.getElementById("main").textContent;
  return /[0-9A-HJKMNP-TV-Z]{5}-[0-9A-HJKMNP-TV-Z]/.test(text) && !text.includes(dashed(code));
}

/** Why a code is not what is asked for here; empty where it may be. */
async function against(code, stands, otherThan, typed) {
  const why = otherThan(stands, here);
  // A page of the laptop's own may be newer than what this phone was told last.
  if (why && (why.rule !== "empty" || document.body.dataset.stored)) return why.say;
  // A page that asks for a new tag names other codes too: there only what was scanned is compared with them.
  if ((typed && !here.includes("/weigh/")) || !unnamed(code)) return "";
  return mark.dataset.other.replace("{code}", dashed(code)).replace("{name}", stands.name ?? "?");
}

/** On from the question which one comes out, to that one's own page. */
async function seekOut(input, held) {
  const page = `${location.pathname}?charge=${held.id}`;
  if (await (await import("./sending.js")).isHere(page)) location.assign(page);
  else input.form.submit();
}

/** Says at once what is wrong with a field's code; true where nothing is. */
async function judged(input, typed) {
  complain(input, "");
  if (!input.value.trim()) return false;
  const code = readCode(input.value);
  if (!code) return !complain(input, slip(input.value, mark.dataset));
  const { otherThan, standsFor } = await import("./found.js");
  const stands = await standsFor(code).catch(() => ({ code, things: {} }));
  const words = await against(code, stands, otherThan, typed);
  if (words) return !complain(input, words);
  if (input.form.id !== "seek") return true;
  if (stands.held) return seekOut(input, stands.held);
  return unknown(input, code, complain);
}

/** Where this phone knows nothing of a code, the laptop is asked; while it is away that is said, and taken back after. */
async function unknown(input, code, complain) {
  const { inReach, onReturn } = await import("./sending.js");
  if (await inReach()) return input.form.submit();
  onReturn(complain(input, (await import("./away.js")).say("unknown-away", { code: dashed(code) })));
  return false;
}

async function fill() {
  const { code, field, page, at } = JSON.parse(sessionStorage.getItem("saggar-scanned") ?? "{}");
  if (page !== here) return;
  const input = [...document.querySelectorAll(CODED)].find((one) => one.name === field);
  sessionStorage.removeItem("saggar-scanned");
  if (!input || Date.now() - at > STALE_MS) return;
  const fold = input.closest("details");
  if (fold) fold.open = true;
  input.value = code;
  input.dispatchEvent(new CustomEvent("saggar-filled", { bubbles: true }));
  if (await judged(input, false)) document.querySelector(".actionbar .plate")?.focus();
}

function seeks(event) {
  event.preventDefault();
  // Where even what would say so cannot be brought in, the laptop is asked as by any form.
  judged(event.target.querySelector(".coded input"), true).catch(() => event.target.submit());
}

if (mark && !location.pathname.startsWith("/find")) {
  for (const field of document.querySelectorAll(CODED)) {
    key(field);
    field.addEventListener("change", () => field.form.id !== "seek" && judged(field, true));
  }
  if (document.querySelector("#seek .coded input")) document.getElementById("seek").addEventListener("submit", seeks);
  fill();
}
