// Weighing with the laptop out of reach: the stored page with the new target after an overshoot, and what to do about too
// much or too little on the balance, before anything is recorded.

import { standing } from "./away.js";
import { numberOf } from "./happened.js";
import { make, say, strip } from "./made.js";
import { rescale } from "./named.js";

// As the laptop offers it.
const MOST_LARGER = 1.2;
const WAY = /^\/batch\/(\w{26})\/weigh\/(\d+)$/;

function netOf(form, line) {
  const value = (name) => numberOf(form.elements.namedItem(name)?.value);
  const [before, after, added] = [value("before_g"), value("after_g"), value("added_g")];
  if (before !== null && after !== null) return Math.abs(after - before);
  return added === null ? value("net_g") : (line.weighed_g ?? 0) + added;
}

/** How many times ten a figure is what is wanted; null where it is not about that: a point slips, a hand does not. */
function slippedPoint(value, wanted) {
  const near = (times) => Math.abs(value / wanted / times - 1) <= 0.1;
  return value > 0 && wanted > 0 ? [10, 0.1, 100, 0.01, 1000, 0.001].find(near) ?? null : null;
}

function choice(name, second) {
  const text = make("span", {}, make("b", { text: say(name) }), make("br"), make("span", { text: second }));
  return make("button", { look: "plain off-key", type: "button", value: name }, text);
}

/** What the batch becomes if it is made larger: each line's new target, or what is to be added to it. */
function larger(batch, number, net) {
  const planned = batch.lines.map((one) => one.target_g);
  const weighed = batch.lines.map((one) => (one.line === number ? net : one.weighed_g));
  const found = rescale(planned, weighed);
  const text = (g) => g.toFixed(batch.places ?? 2);
  const rows = batch.lines.flatMap((one, n) => {
    if (found.rescaled[n] !== null) return [[one.called ?? one.name, `${text(one.target_g)} → ${text(found.rescaled[n])} g`]];
    return found.topUp[n] > batch.within_g ? [[say("add", { name: one.called ?? one.name }), `+${text(found.topUp[n])} g`]] : [];
  });
  return { factor: found.factor, rows };
}

function ledger(rows) {
  const caption = make("caption", { text: say("targets") });
  const body = rows.map(([name, value]) => make("tr", {}, make("th", { scope: "row", text: name }), make("td", { text: value })));
  return make("div", { look: "ledger-wrap", "data-off-targets": "" }, make("table", { look: "ledger rescale" }, caption, make("tbody", {}, ...body)));
}

function decide(form, box, name) {
  box.remove();
  if (["back", "more", "again"].includes(name)) return form.querySelector("[name=net_g], [name=added_g]")?.focus();
  const field = form.elements.namedItem("do") ?? form.appendChild(make("input", { type: "hidden", name: "do" }));
  field.value = name;
  return form.requestSubmit();
}

/** Whether the form must wait for a choice, which is then shown; the choice sends it. */
export async function mustChoose(form) {
  const [, thing, n] = new URL(form.action, location.href).pathname.match(WAY) ?? [];
  const field = (name) => form.elements.namedItem(name)?.value;
  if (!thing || field("do") || field("happened")) return false;
  const batch = (await standing()).things[thing];
  const line = batch?.lines.find((one) => one.line === Number(n));
  const net = line ? netOf(form, line) : null;
  if (net === null || Math.abs(net - line.target_g) <= batch.within_g + 1e-9) return false;
  const text = (g) => g.toFixed(batch.places ?? 2);
  const over = net > line.target_g;
  const bigger = over ? larger(batch, line.line, net) : null;
  const grown = bigger && bigger.factor <= MOST_LARGER + 1e-9 ? bigger : null;
  const title = say(over ? "over" : "under", { g: text(Math.abs(net - line.target_g)) });
  const kept = line.fate === "washed-out" ? say("washed") : say("keep_why");
  const first = over ? "back" : "more";
  const slip = slippedPoint(net, line.target_g);
  const again = choice("again", slip === null ? say("more_why") : say("again_why", { n: String(slip) }));
  const choices = [again, choice(first, say(`${first}_why`)), choice("keep", kept)];
  if (grown) choices.splice(2, 0, choice("scale", say("scale_why", { factor: String(Number(grown.factor.toPrecision(4))) })));
  const box = make("section", { "data-off": "" }, strip(title, say("wanted", { g: text(net), target: text(line.target_g) }), "alert"));
  box.append(make("div", { look: "pad gap-t", role: "group", "aria-label": say("do") }, ...choices), ...(grown ? [ledger(grown.rows)] : []));
  for (const key of choices) key.addEventListener("click", () => decide(form, box, key.value));
  document.querySelector("[data-off]")?.remove();
  document.getElementById("main").prepend(box);
  choices[0].focus();
  box.scrollIntoView();
  return true;
}

function hidden(form, name, value) {
  const field = form.elements.namedItem(name) ?? form.appendChild(make("input", { type: "hidden", name }));
  field.value = value;
}

export function weighPage(batch, number) {
  const line = batch.lines.find((one) => one.line === number);
  const form = document.getElementById("ask");
  const target = document.querySelector(".weigh-target .bigfig .figure");
  if (!line || !form || !target) return;
  const text = (g) => g.toFixed(batch.places ?? 2);
  const short = line.weighed_g !== null && line.target_g > line.planned_g ? line.target_g - line.weighed_g : 0;
  const adding = short > batch.within_g + 1e-9;
  hidden(form, "corrects", line.heads.join(" "));
  target.textContent = text(adding ? short : line.target_g);
  const holder = document.querySelector("[data-needle-on]");
  if (holder && (adding || Number(holder.dataset.low) !== line.target_g - batch.within_g)) holder.hidden = true;
  const place = document.querySelector(".weigh-target");
  if (adding) {
    place.append(make("p", { look: "pad lead", text: say("adding", { was: text(line.weighed_g), now: text(line.target_g) }) }));
    const net = form.elements.namedItem("net_g");
    if (!net) return;
    hidden(form, "adding", "1");
    net.name = "added_g";
    form.querySelector(`label[for="${net.id}"]`).textContent = say("added");
    return;
  }
  if (line.weighed_g !== null) place.append(strip(say("weighed", { g: text(line.weighed_g) }), say("corrects")));
  else if (line.target_g > line.planned_g) place.append(make("p", { look: "pad lead", text: say("rescaled", { g: text(line.target_g) }) }));
}
