// Beside each field for a code: a key to scan it. Back from the scanner, the code stands in its field.

import { dashed } from "./codes.js";
import { fact } from "./outbox_store.js";

const mark = document.querySelector("[data-outbox-mark]");

function key(field) {
  const link = document.createElement("a");
  link.className = "plain scan-key";
  link.textContent = mark.dataset.scan;
  const here = location.pathname + location.search;
  link.href = `/find#${new URLSearchParams({ for: here, field: field.name })}`;
  field.closest(".field").after(link);
}

/** Whether this page itself names the code: then it is one of those that are asked for now. */
const named = (code) => document.getElementById("main").textContent.includes(dashed(code));

async function fill() {
  const raw = sessionStorage.getItem("saggar-scanned");
  if (!raw) return;
  const { code, field, page } = JSON.parse(raw);
  if (page !== location.pathname + location.search) return;
  sessionStorage.removeItem("saggar-scanned");
  const input = document.querySelector(`form[data-records] input[name="${CSS.escape(field ?? "")}"]`);
  if (!input) return;
  input.value = code;
  const known = (await fact("codes").catch(() => null))?.[code];
  const any = /[0-9A-HJKMNP-TV-Z]{5}-[0-9A-HJKMNP-TV-Z]/.test(document.getElementById("main").textContent);
  if (any && !named(code)) {
    const p = document.createElement("p");
    p.className = "complaint";
    p.setAttribute("role", "alert");
    p.textContent = mark.dataset.other.replace("{code}", dashed(code)).replace("{name}", known?.[0] ?? "?");
    input.closest(".field-block").append(p);
    return;
  }
  document.querySelector(".actionbar .plate")?.focus();
}

if (mark && !location.pathname.startsWith("/find")) {
  for (const field of document.querySelectorAll("form[data-records] .coded input")) key(field);
  fill();
}
