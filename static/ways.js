// Which step comes next out here, on which page it is done, and what stands against lighting by the order of the work.

import { addressOf, isDamp } from "./away.js";
import { fill } from "./facts.js";
import { say } from "./made.js";

const stopped = (checks, { recorded_only: free = [] }) =>
  Object.entries(checks ?? {}).some(([item, answer]) => answer === "not-done" && !free.includes(item));
const unanswered = (checks) => Object.values(checks ?? {}).includes(null);

/** Grams to add to a weighed line since the batch was made larger; 0 where nothing is missing. */
export function shortOf(batch, { target_g, planned_g, weighed_g }) {
  const missing = weighed_g === null || target_g <= planned_g ? 0 : target_g - weighed_g;
  return missing > (batch.within_g ?? 0) + 1e-9 ? missing : 0;
}

/** The line to weigh: the first that is not weighed, else the first that must be topped up; null when all is there. */
export const lineToWeigh = (batch) => batch.lines.find((one) => one.weighed_g === null) ?? batch.lines.find((one) => shortOf(batch, one)) ?? null;

/** The list that comes before a step on a batch. */
export const LISTS = { weigh: "before-weighing", load: "before-loading" };

/** Whether an item of that list stands answered with not done. */
export const isStopped = (thing, verb) => stopped(thing.checks?.[LISTS[verb]], thing);

/** The same while it is open: one of its items is not done, or nobody answered it yet and the weighing has not begun. */
export function listFirst(thing, verb) {
  const list = thing.checks?.[LISTS[verb]];
  const begun = verb === "weigh" && thing.lines?.some((one) => one.weighed_g !== null);
  return list && (isStopped(thing, verb) || (!begun && unanswered(list))) ? LISTS[verb] : null;
}

/** Where a batch is weighed on: its checks while they are open, else the line to weigh. */
export function weighing(batch) {
  const line = lineToWeigh(batch);
  return line && !listFirst(batch, "weigh") ? `/batch/${batch.id}/weigh/${line.line}` : `/batch/${batch.id}/weigh`;
}

/** The page on which a step is done on a thing. */
export function pageOf(step, thing) {
  if (step.verb === "weigh") return weighing(thing);
  // What must be topped up since the batch was made larger comes before the mortar.
  if (step.verb === "grind" && thing.sort === "batch" && lineToWeigh(thing)) return weighing(thing);
  return addressOf(step, thing);
}

/** The next step of a thing: {verb, title, page}; null when nothing is left to be done with it. */
export function nextOf(here, things, id) {
  const thing = things[id];
  if (thing.ended) return null;
  const [first] = here.due(things, id);
  if (first) return { verb: first.step.verb, title: fill(first.title, here.look(things, id, {}), here.places), page: pageOf(first.step, thing) };
  const waits = thing.sort === "charge" && thing.firing && !thing.ended && !thing.out;
  return waits ? { verb: "fire", title: say("fire"), page: `/firing/${thing.firing}` } : null;
}

/** Where one goes on to after what was done, as the laptop would send one. */
export function onward(here, things, { verb, step, thing: id, id: made, on, data, fields }) {
  if (verb === "grind" && data.streak === "specks") return addressOf(step, things[id]);
  if (verb === "shut-down") return `/firing/${id}/checks/after-shutdown`;
  if (verb === "come-out" && on.length === 1 && !fields.all) return `/charge/${on[0]}/cool`;
  if (verb === "load") return `/charge/${made}`;
  if (verb === "open") return `/pigment/${made}`;
  const thing = things[id];
  if (!thing) return null;
  const home = `/${thing.sort}/${thing.id}`;
  if (thing.sort === "firing" || verb === "place") return home;
  return nextOf(here, things, id)?.page ?? home;
}

// --- what stands against lighting, by the order of the work ---

const GOOD = ["done", "does-not-apply"];

/** The names of what stands against lighting a firing now. */
export function againstLighting(here, things, firing) {
  const answers = Object.values(firing.checks?.["before-lighting"] ?? {});
  const damp = Object.values(things).some((one) => one.sort === "charge" && one.firing === firing.id && !one.ended && isDamp(here, things, one.id));
  return [
    ...(firing.lit_ms !== null ? ["already-lit"] : []),
    ...(answers.includes("not-done") ? ["check-says-stop"] : []),
    ...(answers.some((one) => !GOOD.includes(one)) ? ["checks-before-lighting"] : []),
    ...(damp ? ["damp-charge"] : []),
  ];
}
