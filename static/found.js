// A code that was scanned or typed, answered at once: back to the field that asked for it, on to what is due now, to the
// laptop's own search, or in a plain sentence where neither this phone nor the laptop can show its thing.

import { dashed, isRecipe } from "./codes.js";
import { inReach, isHere } from "./sending.js";

const onPhone = Boolean(document.querySelector("[data-outbox-mark]"));

/** On to a page on which the code is to stand in a field. */
export function bring(code, page, back, field) {
  sessionStorage.setItem("saggar-scanned", JSON.stringify({ code, field, page: back, at: Date.now() }));
  location.assign(page);
}

function go(code, way, near) {
  // What is entered beside the laptop is asked of it in full; a stored page is for entering what was done out here.
  const plain = (page) => (near ? page?.replace(/\?late=1$/, "") : page);
  if (way.field) bring(code, plain(way.page), plain(way.back ?? way.page), way.field);
  else location.assign(plain(way.page));
}

/** Keys for each of the ways, where more than one thing waits for what bears the code. */
function offer(code, ways, near, words) {
  const list = document.createElement("nav");
  list.className = "part pad";
  list.dataset.scanWays = "";
  const lead = document.createElement("p");
  lead.className = "lead gap-b";
  lead.textContent = words;
  list.append(lead);
  for (const way of ways) {
    const key = document.createElement("button");
    key.className = "plain off-key";
    key.type = "button";
    key.textContent = way.name;
    key.addEventListener("click", () => go(code, way, near));
    list.append(key);
  }
  document.querySelector("[data-scan-ways]")?.remove();
  document.getElementById("main").prepend(list);
  list.scrollIntoView();
}

/** The ways that can be gone: those that are on the phone, and with the laptop in reach all. */
async function open(ways, near) {
  const stored = await Promise.all(ways.map(({ page }) => isHere(page)));
  return ways.filter((_way, n) => near || stored[n]);
}

/** On to the laptop's preview of another bench's recipe: it alone can work it out. */
async function recipe(text, tell) {
  if (!onPhone || (await inReach())) return location.assign(`/recipe?text=${encodeURIComponent(text)}`);
  return tell((await import("./made.js")).say("recipe-away"));
}

/** Answers a code; `tell(words)` shows a sentence that holds only while the laptop is away. */
export async function answer(code, tell) {
  if (isRecipe(code)) return recipe(code, tell);
  const asked = new URLSearchParams(location.hash.slice(1));
  const back = asked.get("for");
  if (back?.startsWith("/") && !back.startsWith("//")) return bring(code, back, back, asked.get("field"));
  if (!onPhone) return location.assign(`/find?code=${code}`);
  const [{ standsFor, waysNow }, { say }, near] = await Promise.all([import("./expected.js"), import("./made.js"), inReach()]);
  const stands = await standsFor(code).catch(() => ({}));
  const ways = await open(waysNow(stands), near);
  if (ways.length > 1) return offer(code, ways, near, say("which-now", { code: dashed(code) }));
  if (ways.length) return go(code, ways[0], near);
  if (near) return location.assign(`/find?code=${code}`);
  return tell(say(stands.name ? "known-away" : "unknown-away", { code: dashed(code), name: stands.name }));
}
