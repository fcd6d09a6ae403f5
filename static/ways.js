// Which page is next out here, and which copy of a page fits what happened since it was stored.

import { isHot, lineToWeigh, nextStep } from "./gates.js";

const stopped = (checks, { recorded_only: free = [] }) =>
  Object.entries(checks ?? {}).some(([item, answer]) => answer === "not-done" && !free.includes(item));
const unanswered = (checks) => Object.values(checks ?? {}).includes(null);

/** Where a batch is weighed on: its checks while they are open, else the line to weigh. */
export function weighing(batch) {
  const checks = batch.checks?.["before-weighing"];
  const begun = batch.lines.some((one) => one.weighed_g !== null);
  if (stopped(checks, batch) || (!begun && unanswered(checks))) return `/batch/${batch.id}/weigh?checks=1`;
  return `/batch/${batch.id}/weigh/${lineToWeigh(batch).line}?late=1`;
}

/** Where a crucible is filled from a batch: its checks while they are open, else the filling. */
export function loading(batch) {
  const checks = batch.checks?.["before-loading"];
  return `/batch/${batch.id}/load?${stopped(checks, batch) || unanswered(checks) ? "checks" : "late"}=1`;
}

/** Where a thing's next step is done; null when nothing is left to be done with it. */
export function nextPage(thing) {
  const home = `/${thing.sort}/${thing.id}`;
  switch (nextStep(thing)) {
    case "weigh":
      return weighing(thing);
    case "grind":
      // What must be topped up since the batch was made larger comes before the mortar.
      return lineToWeigh(thing) ? weighing(thing) : `${home}/grind?late=1`;
    case "load":
      return loading(thing);
    case "dry":
    case "place":
      return `${home}/${nextStep(thing)}?late=1`;
    case "fire":
      return thing.sort === "firing" ? home : `/firing/${thing.firing}`;
    case "cool":
      return `${home}/cool`;
    case "open":
      return `${home}/open`;
    case "after-checks":
      return `${home}/checks/after-shutdown`;
    default:
      return null;
  }
}

/** The copy of a page that was drawn for what has happened since, where another one than the plain one fits. */
export function fitting(address, told, things) {
  const [path, query] = address.split("?");
  const [, sort, id, step] = path.match(/^\/(firing|charge)\/(\w{26})(?:\/(\w+))?$/) ?? [];
  const [before, now] = [told[id], things[id]];
  if (!sort || query || !now) return address;
  if (sort === "firing" && !step) {
    if (now.off_ms !== null && before.off_ms === null) return `${path}?then=off`;
    return now.lit_ms !== null && before.lit_ms === null ? `${path}?then=lit` : address;
  }
  if (step === "cool" && now.out && !before?.out) return `${path}?then=out`;
  const cold = (thing) => Boolean(thing?.out) && !isHot(thing);
  return step === "open" && cold(now) && !cold(before) ? `${path}?then=cool` : address;
}

/** Where one goes on to after a fact, as the laptop would send one. */
export function onward(fact, things) {
  const thing = things[fact.kind === "charged" ? fact.id : fact.thing];
  if (!thing) return null;
  if (fact.kind === "mixed" && fact.streak === "specks") return `/batch/${thing.id}/grind?late=1`;
  if (fact.kind === "off") return `/firing/${thing.id}/checks/after-shutdown`;
  if (fact.kind === "out" && !fact.all) {
    const codes = (one) => fact.code && one.code?.replace("-", "") === fact.code.replace("-", "").toUpperCase();
    const one = Object.values(things).find((each) => each.sort === "charge" && (each.id === fact.charge || codes(each)));
    if (one) return `/charge/${one.id}/cool`;
  }
  if (thing.sort === "firing") return `/firing/${thing.id}`;
  if (fact.kind === "opened") return `/pigment/${fact.id}`;
  if (["placed", "charged"].includes(fact.kind)) return `/charge/${thing.id}`;
  return nextPage(thing) ?? `/${thing.sort}/${thing.id}`;
}
