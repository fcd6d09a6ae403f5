// What a code stands for as far as this phone knows, and where it leads by what is due now: at a furnace in or
// out, at a weighing the jar's own line, at a loading the crucible to fill; else the thing's own page.

import { dashed } from "./codes.js";
import { burns, isDamp, lineToWeigh, nextStep } from "./gates.js";
import { fact } from "./outbox_store.js";
import { since } from "./since.js";
import { comingOut, goingIn, isOther, plain } from "./stops.js";
import { fitting, loading, weighing } from "./ways.js";

/** The thing of a code: its name and page as told, the charge that is in a crucible now, and how all things stand. */
export async function standsFor(code) {
  const [codes, { told, things }] = await Promise.all([fact("codes"), since()]);
  const [name, path] = codes?.[code] ?? [];
  const bears = (one) => plain(one.code) === code || (one.crucible && path === `/crucible/${one.crucible}`);
  const held = Object.values(things).find((one) => one.sort === "charge" && !one.ended && bears(one));
  return { code, name: held?.of || name, path, held, told, things };
}

function ofCharge(held, things) {
  const fire = things[held.firing];
  // Also when the fire is off: what stands in the furnace is to come out, and its cooling is said first.
  if (fire && held.in_heat && !fire.closed) return [{ page: `/firing/${fire.id}/out?charge=${held.id}` }];
  if (burns(fire) && !held.out && !isDamp(held)) return [{ page: `/firing/${fire.id}/in`, field: "code" }];
  return [{ page: `/charge/${held.id}` }];
}

const batches = (things, step) => Object.values(things).filter((one) => one.sort === "batch" && nextStep(one) === step);

/** The page of a step with a field for the code. While its checks are open they come first, and the code waits. */
function asked(batch, due, back, field) {
  return { page: due.includes("checks=1") ? due : back, back, field, name: batch.name };
}

function ofJar(jar, things) {
  const from = (one) => one.jar === jar;
  const due = (batch) => [lineToWeigh(batch), ...batch.lines.filter((one) => one.weighed_g === null)].find((one) => one && from(one));
  const open = [...batches(things, "weigh"), ...batches(things, "grind").filter(lineToWeigh)].filter(due);
  return open.map((batch) => asked(batch, weighing(batch), `/batch/${batch.id}/weigh/${due(batch).line}?late=1`, "jar"));
}

/** What is mixed may be filled damp too, and be dried in its crucible. */
function ofCrucible(things) {
  const mixed = ["load", "dry"].flatMap((step) => batches(things, step));
  return mixed.map((batch) => asked(batch, loading(batch), `/batch/${batch.id}/load?late=1`, "code"));
}

/** Where a code leads now: {page, back, field, name}, with a field where the code is to stand in it on the page `back`. */
export function waysNow({ path, held, told, things }) {
  if (held) return ofCharge(held, things);
  const [, sort, id] = path?.match(/^\/(\w+)\/(\w{26})$/) ?? [];
  const due = sort === "jar" ? ofJar(id, things) : sort === "crucible" ? ofCrucible(things) : [];
  if (due.length || !path) return due;
  return [{ page: fitting(path, told, things) }];
}

/** Why a code is not what is asked for on a page: the name of a sentence and what stands in it; null where it may be. */
export function otherThan({ code, name, path, held, things }, page) {
  const [, sort, id, step] = page.match(/^\/(firing|batch)\/(\w{26})\/(in|out|load)\b/) ?? [];
  if (!sort || (!held && !path)) return null;
  const values = { code: dashed(code), name };
  if (!held && isOther(path)) return ["no-crucible", values];
  if (step === "load") return held ? ["full", values] : null;
  if (!held) return ["empty", values];
  const [found] = step === "in" ? goingIn(held, id) : comingOut(held, id);
  if (found) return found;
  const shown = new URLSearchParams(page.split("?")[1]).get("charge");
  return step === "out" && shown && shown !== held.id ? ["other-here", values] : null;
}
