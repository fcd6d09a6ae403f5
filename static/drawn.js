// A page that the phone draws: a thing, or a declared step on it, from the declarations and the facts that it knows. The
// laptop's own pages ask the same fields in the same words.

import { addressOf, at, burns, fieldsOf, isHot, openDust, say, standing } from "./away.js";
import { stayAwake } from "./device.js";
import { asks, caution, codeOf, earlier, field, fold, foot, head, line, offer, photo, plate, row, titleOf } from "./drawn_fields.js";
import { chargeErrors, checklist, dusty, placeErrors, watch, whichCharge, whichPlace } from "./drawn_form.js";
import { drawWeighing, mortar } from "./drawn_weigh.js";
import { make } from "./elements.js";
import { clock, holds } from "./facts.js";
import { provedC } from "./fire.js";
import { join } from "./keypad.js";
import { asked, readStep } from "./read.js";
import { fact } from "./store.js";
import { guard } from "./stored.js";
import { LISTS, listFirst, nextOf, pageOf } from "./ways.js";

const main = document.getElementById("main");

const BACK = { swatch: (thing) => `/pigment/${thing.pigment}` };
const homeOf = (thing) => BACK[thing.sort]?.(thing) ?? `/${thing.sort}/${thing.id}`;

/** What a thing's own page says beside the sentences of its sort. */
const OWN = {
  batch: (here, things, batch) => {
    const mine = Object.values(things).filter((one) => one.sort === "charge" && !one.ended && (one.from === batch.id || one.batches?.includes(batch.id)));
    return [mortar(batch), ...mine.map((one) => row(`/charge/${one.id}`, say("grams", { g: (one.g ?? 0).toFixed(batch.places ?? 2) }), here.says(things, one.id)[0]?.text, codeOf(one)))];
  },
  charge: (here, things, charge) => {
    const hot = isHot(here, things, charge.id) && !charge.ended ? [caution(say("too-hot"), say("touch-below"))] : [];
    const g = typeof charge.g === "number" ? [make("p", { look: "pad lead", text: say("grams-dry", { g: charge.g.toFixed(here.places ?? 2) }) })] : [];
    return [...hot, ...(charge.ended ? [] : cooling(charge)), ...g];
  },
  jar: (_here, things, jar) => {
    const waits = Object.values(things).filter(({ sort, ended }) => sort === "batch" && !ended).flatMap((batch) => batch.lines.filter((one) => one.jar === jar.id && one.weighed_g === null).map((one) => [batch, one]));
    const rows = waits.map(([batch, one]) => row(`/batch/${batch.id}/weigh/${one.line}?by=jar`, batch.name, say("grams", { g: one.target_g.toFixed(batch.places ?? 2) })));
    return rows.length ? rows : [make("p", { look: "pad gap-t lead", text: say("jar-done") })];
  },
  crucible: (_here, _things, { standing }) => (["free", "to-clean"].includes(standing) ? [make("p", { look: "pad gap-t", text: say(`standing-${standing}`) })] : []),
};

/** How a charge is to be cooled; of one that is out only what is done outside: no furnace cools it any more. */
function cooling({ cooling: told, out }) {
  if (out && !told?.[2]) return [];
  const [words, sure] = told ?? [say("cooling-unknown"), false];
  return [make("section", { look: "order-of-day" }, make("h2", { text: words }), make("p", { text: say(sure ? "cooling-planned" : "cooling-unsure") }))];
}

/** What can be done with a thing out here, each on its own page. */
function stepRows(here, thing) {
  const ways = new RegExp(`^/(${thing.sort}|thing)/`);
  const steps = [...here.steps.values()].filter((step) => step.on.includes(thing.sort) && step.away !== false && ways.test(addressOf(step, thing)));
  const open = thing.ended ? [] : steps.filter((step) => addressOf(step, thing) !== location.pathname);
  return open.map((step) => row(pageOf(step, thing), step.title));
}

function drawThing({ here, things, unsure }, id) {
  const thing = things[id];
  const title = titleOf(here, things, id);
  head(title, title === codeOf(thing) ? "" : codeOf(thing), "/");
  const code = thing.code && title !== codeOf(thing) ? [make("p", { look: "pad gap-t lead" }, make("b", { look: "num", text: codeOf(thing) }), ...(thing.away && thing.sort !== "charge" ? [` ${say("write-code")}`] : []))] : [];
  const says = (unsure ? [] : here.says(things, id)).map((one) => make("p", { look: one.look === "warn" ? "pad lead" : "pad", text: one.text }));
  const next = unsure ? null : nextOf(here, things, id);
  const fresh = Object.values(things).filter((one) => one.from === id && one.code && one.sort !== "charge");
  const rows = [...fresh.map((one) => row(`/${one.sort}/${one.id}`, codeOf(one), say("write-code"))), ...stepRows(here, thing)];
  const due = next && here.steps.get(next.verb);
  main.append(...code, ...(unsure ? [] : (OWN[thing.sort]?.(here, things, thing) ?? [])), ...says, make("nav", { look: "part" }, ...rows), ...(due ? foot(here, things, id, due) : []));
  if (next) plate(next.title, { href: next.page, glyph: due?.glyph });
}

/** What stands over a form beside the gates: how hot the thing is, its cooling, and whether a furnace burns near it. */
function over({ here, things, unsure }, step, thing, firing) {
  if (unsure) return [];
  const found = [];
  if (["cool", "open"].includes(step.verb)) found.push(heat(here, things, thing));
  if (step.verb === "dry" && thing) found.push(...again(here, things, thing.id));
  if (["cool", "come-out"].includes(step.verb) && thing) found.push(...cooling(thing));
  const fire = things[firing];
  if (fire && burns(here, things, firing)) found.push(caution(provedC(fire.readings ?? []) === null ? say("this-burns") : say("inside-c", { c: provedC(fire.readings).toFixed(0) }), say("burning")));
  const lit = Object.values(things).some((one) => one.sort === "firing" && burns(here, things, one.id));
  if (lit && asked(step).some(({ name }) => name === "no_flame")) found.push(caution(say("caution"), say("lit-here")));
  return found;
}

/** When a mass like the last would show it dry, where that is still to come. */
function again(here, things, id) {
  const ms = here.fact(things, id, ["again_ms"]);
  const waits = here.fact(things, id, ["dry"]) === false && typeof ms === "number" && ms > Date.now();
  return waits ? [make("p", { look: "pad gap-t lead", text: say("weigh-again", { clock: clock(ms).slice(-5) }) })] : [];
}

function heat(here, things, thing) {
  if (thing.in_heat) return caution(say("in-furnace"), say("no-open"));
  if (isHot(here, things, thing.id)) return caution(say("too-hot"), say("touch-below"));
  const read = typeof thing.surface_c === "number" ? [make("b", { text: say("cool-enough") }), ` ${say("own-surface", { c: thing.surface_c })}`] : [];
  return read.length ? make("div", { look: "caution-block safe-row" }, make("p", {}, ...read)) : "";
}

const FOLDED = { load: ["wet_g", "paste_g", "gross_g", "packing"] };
const MINE = { place: ["firing"] };

/** The form of a step. `thing` is what it is done on; at a furnace none yet, and the form asks which charge. */
function formOf({ here, things }, step, thing, firing) {
  const look = here.look(things, thing?.id ?? null, {});
  const form = asks(location.pathname, {});
  // After a step on a powder its own page says how it stands; else the next step comes.
  if (["pigment", "swatch", "waste", "crucible"].includes(thing?.sort) || ["close", "lost"].includes(step.verb)) form.dataset.next = homeOf(thing);
  if (step.effects?.some((one) => one.op === "make")) form.dataset.makes = "";
  const drawn = asked(step).filter(({ name }) => !MINE[step.verb]?.includes(name)).map((one) => [one, field(one, here, things, look)]);
  for (const [one, made] of drawn) if (one.name in (here.told.offers?.[step.verb] ?? {})) offer(made, one.name, here.told.offers[step.verb][one.name]);
  const folded = drawn.filter(([one]) => FOLDED[step.verb]?.includes(one.name)).map(([, made]) => made);
  const open = drawn.map(([, made]) => made).filter((made) => !folded.includes(made));
  const first = firing ? [whichCharge(step, here, things, firing)] : step.verb === "place" ? [whichPlace(here, things, thing)] : [];
  form.append(...(step.photo ? [photo(step.photo)] : []), ...first, ...open);
  if (step.dust) form.append(...dusty(openDust(thing)));
  if (folded.length) form.append(fold(say("more-said"), ...folded));
  form.append(earlier());
  return { form, drawn };
}

/** What is still to be answered of dust: only where the powder is handled dry, and not of what was done before. */
function dustErrors(step, thing, typed, fields) {
  if (!step.dust || fields.happened || (typed.medium ?? "dry") !== "dry") return {};
  const open = openDust(thing).map(({ slug, holds: keys, without }) => {
    const answer = fields[`answer.${slug}`];
    if (!answer) return [`answer.${slug}`, say("dust-first")];
    return [`answer.${slug}`, answer === "not-done" && keys.includes(step.dust) ? say("dust-not", { do: without }) : null];
  });
  return Object.fromEntries(open.filter(([, words]) => words));
}

/** The step as it is asked of this thing: each sort ends in its own ways. */
function askedOf(here, step, thing) {
  const options = here.told.ends?.[thing?.sort];
  const fields = (step.fields ?? []).map((one) => (one.name === "outcome" && options ? { ...one, kind: "choice", options } : one));
  return step.verb === "close" ? { ...step, fields } : step;
}

function drawStep(known, { step: declared, thing: id, sort }, codes) {
  const { here, things } = known;
  const firing = declared.on.includes(sort) ? null : id;
  const thing = firing ? null : things[id];
  const step = askedOf(here, declared, thing);
  head(step.title, line(titleOf(here, things, id), codeOf(things[id])), firing ? `/firing/${firing}` : homeOf(thing));
  const { form, drawn } = formOf(known, step, thing, firing);
  const [box, minding] = [make("div", {}), make("div", {})];
  main.append(box, form, minding);
  if (thing && homeOf(thing) === location.pathname) main.append(make("nav", { look: "part" }, ...stepRows(here, thing)));
  // Without a firing nothing can be chosen, so no key offers to record a place.
  if (step.verb === "place" && !form.querySelector("[name=firing]")) plate(say("today"), { href: "/" });
  else plate(step.key, { form: "ask", glyph: step.glyph });
  watch(known, form, box, (fields) => {
    if (firing) return chargeErrors(fields);
    const read = readStep(here, things, step, id, fields, say);
    return { ...read.errors, ...dustErrors(step, thing, read.typed, fields), ...(step.verb === "place" ? placeErrors(fields) : {}) };
  }, codes, (one) => {
    const on = things[one?.on[0]];
    for (const [each, made] of drawn) made.hidden = Boolean(each.when) && holds(each.when, here.look(things, on?.id ?? null, one?.data ?? {})) === false;
    minding.replaceChildren(...foot(here, things, on?.id ?? id, step));
    return over(known, step, on, firing ?? one?.data.firing);
  });
}

/** The list that comes before a step: asked for, or still open. What is entered late waits for none. */
function listOf({ step, thing: id }, things) {
  const query = new URLSearchParams(location.search);
  if (query.has("checks")) return LISTS[step.verb];
  const begun = location.pathname.includes("/weigh/") && things[id].lines.some((one) => one.weighed_g !== null);
  return begun || ["late", "sum"].some((one) => query.has(one)) ? null : listFirst(things[id], step.verb);
}

function drawChecks({ here, things }, { step, thing: id }, phase) {
  const thing = things[id];
  const path = addressOf(step, thing);
  head(say(phase), titleOf(here, things, id), homeOf(thing));
  const { form, under, errors } = checklist(thing, phase, path, step.verb === "load" ? { part: "checks" } : {});
  const late = step.verb === "load" ? [make("p", { look: "pad gap-b" }, make("a", { look: "plain", href: `${path}?late=1`, text: say("enter-late") }))] : [];
  main.append(form, ...late, ...under, ...foot(here, things, id, step));
  plate(say("record-answers"), { form: "ask" });
  form.errorsNow = () => errors(fieldsOf([...new FormData(form)]));
}

async function drawFire(known, fire, page, more) {
  document.body.dataset.wake = "";
  stayAwake();
  if (page) return (await import("./drawn_fire_steps.js")).fireStep(known, fire, page, more);
  (await import("./drawn_fire.js")).firePage(known, fire);
  return true;
}

function done() {
  document.body.dataset.brought = "";
  document.dispatchEvent(new Event("saggar-drawn"));
}

async function draw() {
  const known = await standing();
  const { here, things } = known;
  if (!here) return;
  guard(known);
  const [, fire, page, more] = location.pathname.match(/^\/firing\/(\w{26})(?:\/([a-z]+))?(?:\/([a-z-]+))?$/) ?? [];
  if (things[fire]?.sort === "firing" && (await drawFire(known, things[fire], page, more))) {
    for (const field of main.querySelectorAll("[data-keypad]")) join(field);
    return done();
  }
  const found = at(here, location.pathname, things);
  const [, sort, id] = location.pathname.match(/^(?:\/weigh)?\/(batch|charge|pigment|swatch|crucible|jar)\/(\w{26})$/) ?? [];
  if (found && things[found.thing]?.sort === found.sort) await drawAct(known, found);
  else if (things[id]?.sort === sort && sort) drawThing(known, id);
  else return;
  return done();
}

async function drawAct(known, found) {
  const list = listOf(found, known.things);
  const codes = (await fact("codes")) ?? {};
  if (list) drawChecks(known, found, list);
  else if (found.step.verb === "weigh") drawWeighing(known, found, codes);
  else drawStep(known, found, codes);
}

await draw();
