// On a stored firing: the stretch that it is in by what was read since, the air that it asks for, and what was noted.

import { glyph, make, say, whole } from "./made.js";
import { airToChange } from "./stretches.js";

/** A length of time: minutes, or hours and minutes. */
export function span(minutes) {
  const [h, m] = [Math.floor(whole(minutes) / 60), whole(minutes) % 60];
  return h ? say("hours", { h, m: String(m).padStart(2, "0") }) : say("minutes", { m });
}

/** The stretch that the fire is in, in one line; empty where there is but one and nothing is said of its air. */
export function stretchLine(fire, now) {
  if (!now || (fire.stretches.length < 2 && now.air === "unknown")) return [];
  const words = [say("stretch", { n: now.number, all: fire.stretches.length }), " ", say(now.falls ? "down-to" : "up-to", { c: now.toC })];
  if (now.holdMin > 0 && now.thereMs !== null) words.push(say("held-of", { held: span(now.heldMin), span: span(now.holdMin) }));
  else if (now.holdMin > 0) words.push(say("then-held", { span: span(now.holdMin) }));
  if (now.air !== "unknown") words.push(", ", say(`air-${now.air}`));
  return [make("p", { look: "soft", "data-stretch": String(now.number), text: `${words.join("")}.` })];
}

/** The air that this stretch asks for, with the key that notes it, as the laptop's own page has it. */
export function airStrip(fire, now) {
  const air = now && airToChange(fire, now);
  if (!air) return [];
  const hidden = (name, value) => make("input", { type: "hidden", name, value });
  const token = document.querySelector("meta[name=bench-token]").content;
  const fields = [hidden("token", token), hidden("record_id", ""), hidden("what", "air"), hidden("value", air)];
  const key = make("button", { look: "plain half", type: "submit" }, make("span", { text: say("so") }));
  const state = make("div", { look: "state" }, glyph("flag", "l"), make("p", {}, make("b", { text: say(`change-${air}`) })), key);
  return [make("form", { look: "ask", method: "post", action: `/firing/${fire.id}/note`, "data-records": "" }, ...fields, state)];
}

/** The keys of notes as they stand now: the newest of each sort is pressed. */
export function notes(fire) {
  for (const form of document.querySelectorAll(`.notes form[action="/firing/${fire.id}/note"]`)) {
    const [what, value] = ["what", "value"].map((name) => form.elements.namedItem(name)?.value);
    const pressed = fire.noted[what]?.[0] === value;
    form.querySelector(".tap")?.setAttribute("aria-pressed", String(pressed));
  }
}
