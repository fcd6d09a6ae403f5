// A code: what it stands for as far as this phone knows, and where it leads by what is due now: at a furnace in or out, at a
// weighing the jar's own line, at a loading the crucible to fill; else the thing's own page. One that was scanned or typed
// is answered at once, where neither this phone nor the laptop can show its thing in a plain sentence.

import { burns, isDamp, say, standing } from "./away.js";
import { key, make } from "./elements.js";
import { bare, dashed, isRecipe } from "./read.js";
import { inReach, isHere } from "./sending.js";
import { fact } from "./store.js";
import { comingOut, goingIn, isOther, lineToWeigh, listFirst, nextOf } from "./ways.js";

/** The thing of a code: its name and page as told, the charge that is in a crucible now, and how all things stand. */
export async function standsFor(code) {
  const [codes, known] = await Promise.all([fact("codes"), standing()]);
  const { things } = known;
  const [name, path] = codes?.[code] ?? [];
  const bears = (one) => bare(one.code) === code || (one.crucible && path === `/crucible/${one.crucible}`);
  const held = Object.values(things).find((one) => one.sort === "charge" && !one.ended && bears(one));
  return { code, name: held?.of || name, path, held, ...known };
}

function ofCharge(held, { here, things }) {
  const fire = things[held.firing];
  // Also when the fire is off: what stands in the furnace is to come out, and its cooling is said first.
  if (fire && held.in_heat && !fire.closed) return [{ page: `/firing/${fire.id}/out?charge=${held.id}` }];
  if (fire && burns(here, things, fire.id) && !held.out && !isDamp(here, things, held.id)) return [{ page: `/firing/${fire.id}/in`, field: "code" }];
  return [{ page: `/charge/${held.id}` }];
}

const batches = ({ here, things }, verb) => Object.values(things).filter((one) => one.sort === "batch" && nextOf(here, things, one.id)?.verb === verb);

/** The page of a step with a field for the code. While its checks are open they come first, and the code waits. */
function asked(batch, verb, back, field) {
  return { page: listFirst(batch, verb) ? `/batch/${batch.id}/${verb}` : back, back, field, name: batch.name };
}

function ofJar(jar, known) {
  const from = (one) => one.jar === jar;
  const due = (batch) => [lineToWeigh(batch), ...batch.lines.filter((one) => one.weighed_g === null)].find((one) => one && from(one));
  const open = [...batches(known, "weigh"), ...batches(known, "grind").filter(lineToWeigh)].filter(due);
  return open.map((batch) => asked(batch, "weigh", `/batch/${batch.id}/weigh/${due(batch).line}`, "jar"));
}

/** What is mixed may be filled damp too, and be dried in its crucible. */
function ofCrucible(known) {
  const mixed = ["load", "dry"].flatMap((verb) => batches(known, verb));
  return mixed.map((batch) => asked(batch, "load", `/batch/${batch.id}/load`, "code"));
}

/** Where a code leads now: {page, back, field, name}, with a field where the code is to stand in it on the page `back`. */
function waysNow({ path, held, ...known }) {
  if (held) return ofCharge(held, known);
  const [, sort, id] = path?.match(/^\/(\w+)\/(\w{26})$/) ?? [];
  const due = sort === "jar" ? ofJar(id, known) : sort === "crucible" ? ofCrucible(known) : [];
  if (due.length || !path) return due;
  return [{ page: path }];
}

const WHOSE = { "not-placed": "other-firing", "in-heat": "in-already" };

/** Why a code is not what is asked for on a page: {rule, say}; null where it may be. */
export function otherThan({ code, name, path, held, here, things }, page) {
  const [, sort, id, step] = page.match(/^\/(firing|batch)\/(\w{26})\/(in|out|load)\b/) ?? [];
  if (!sort || (!held && !path)) return null;
  const why = (rule) => ({ rule, say: say(rule, { code: dashed(code), name }) });
  if (!held && isOther(path)) return why("no-crucible");
  if (step === "load") return held ? why("full") : null;
  if (!held) return why("empty");
  const [found] = step === "in" ? goingIn(here, things, held, id) : comingOut(held, id);
  // Of a tag that was just held to the phone it is said first what it stands for.
  if (found) return WHOSE[found.rule] ? why(WHOSE[found.rule]) : found;
  const shown = new URLSearchParams(page.split("?")[1]).get("charge");
  return step === "out" && shown && shown !== held.id ? why("other-here") : null;
}

// --- on from a code ---

const onPhone = Boolean(document.querySelector("[data-outbox-mark]"));

/** On to a page on which the code is to stand in a field. */
function bring(code, page, back, field) {
  sessionStorage.setItem("saggar-scanned", JSON.stringify({ code, field, page: back, at: Date.now() }));
  location.assign(page);
}

function go(code, { page, back, field }) {
  if (field) bring(code, page, back ?? page, field);
  else location.assign(page);
}

/** Keys for each of the ways, where more than one thing waits for what bears the code. */
function offer(code, ways, words) {
  const keys = ways.map((way) => key(way.name, () => go(code, way), { look: "plain off-key" }));
  const list = make("nav", { look: "part pad", "data-scan-ways": "" }, make("p", { look: "lead gap-b", text: words }), ...keys);
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
  return tell(say("recipe-away"));
}

/** Answers a code; `tell(words)` shows a sentence that holds only while the laptop is away. */
export async function answer(code, tell) {
  if (isRecipe(code)) return recipe(code, tell);
  const asked = new URLSearchParams(location.hash.slice(1));
  const back = asked.get("for");
  if (back?.startsWith("/") && !back.startsWith("//")) return bring(code, back, back, asked.get("field"));
  if (!onPhone) return location.assign(`/find?code=${code}`);
  const near = await inReach();
  const stands = await standsFor(code).catch(() => ({}));
  const ways = await open(waysNow(stands), near);
  if (ways.length > 1) return offer(code, ways, say("which-now", { code: dashed(code) }));
  if (ways.length) return go(code, ways[0]);
  if (near) return location.assign(`/find?code=${code}`);
  return tell(say(stands.name ? "known-away" : "unknown-away", { code: dashed(code), name: stands.name }));
}
