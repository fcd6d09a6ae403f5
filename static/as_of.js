// A stored page says how things stood when it was drawn. What this phone knows to be otherwise is taken off it.

import { isHot } from "./away.js";
import { fact } from "./outbox_store.js";

/** The rules that this phone judges itself: what the laptop's page says of them may be over. */
const JUDGED = new Set([
  "already-lit", "batch-closed", "charge-ended", "check-says-stop", "checks-before-lighting", "damp", "damp-charge",
  "in-heat", "not-placed", "nothing-placed", "place-taken", "weigh-first",
]);

const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

/** A thing, and of a firing the charges that are in it, or were. */
function partsOf(id, { told, things }) {
  const inIt = (all) => Object.values(all).filter((one) => one.sort === "charge" && one.firing === id);
  return [id, ...[...inIt(told), ...inIt(things)].map((one) => one.id)];
}

/** Tells of a thing whether this phone knows it to stand otherwise than the page was drawn. */
async function older(known) {
  const sent = (await fact("sent")) ?? {};
  const drawnMs = Math.max(Number(document.body.dataset.stored), (await fact("asOf")) ?? 0);
  const differs = (id) => !same(known.told[id], known.things[id]) || sent[id] > drawnMs;
  return (id) => "ahead" in document.body.dataset || partsOf(id, known).some(differs);
}

function takeOffRules() {
  for (const one of document.querySelectorAll("[data-rule]")) if (JUDGED.has(one.dataset.rule)) one.remove();
  for (const gate of document.querySelectorAll(".gate")) if (!gate.querySelector("li")) gate.remove();
}

/** That a thing is hot stays until this phone knows better. */
function takeOffHot({ here, things }) {
  for (const one of document.querySelectorAll("[data-hot-of]")) {
    const thing = things[one.dataset.hotOf];
    if (thing && (thing.ended || !isHot(here, things, thing.id))) one.remove();
  }
}

/** Takes off what is known to be old; `id` names the thing of the page. True where the page itself is an old one. */
export async function takeOff(known, id) {
  const isOld = await older(known);
  // How long something lasted was true for a minute.
  for (const one of document.querySelectorAll("[data-now]")) one.remove();
  for (const one of document.querySelectorAll("[data-of]")) if (isOld(one.dataset.of)) one.remove();
  takeOffHot(known);
  if (!id || !isOld(id)) return false;
  takeOffRules();
  // What is read aloud is the page as it stands now.
  for (const key of document.querySelectorAll("[data-aloud]")) key.dataset.aloud = "";
  return true;
}
