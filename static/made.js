// The words that came along with the pages to this phone, and the parts of a page that are made of them.

import { drawn, make } from "./elements.js";
import { fact } from "./store.js";

const words = (await fact("words").catch(() => null)) ?? {};

/** Whether the words of a name came along to this phone. */
export const knows = (name) => Object.hasOwn(words, name);

/** The words of a name, with what stands in their braces. */
export const say = (name, values = {}) =>
  Object.entries(values).reduce((text, [key, value]) => text.replace(`{${key}}`, () => String(value)), words[name] ?? name);

/** To whole numbers as the laptop prints them: a half goes to the even one. */
export function whole(value) {
  const near = Math.round(value);
  return Math.abs(value % 1) === 0.5 && near % 2 ? near - 1 : near;
}

/** A length of time: minutes, or hours and minutes. */
export function span(minutes) {
  const [h, m] = [Math.floor(whole(minutes) / 60), whole(minutes) % 60];
  return h ? say("hours", { h, m: String(m).padStart(2, "0") }) : say("minutes", { m });
}

/** A number in its size with its unit. */
export const figure = (value, unit, size = "xl") =>
  make("span", { look: `fig fig-${size}` }, make("span", { look: "figure", text: value }), make("span", { look: "unit", text: unit }));

/** A sign of safety, small, with its words. */
export function sign(name) {
  const made = glyph(name);
  if (!made) return made;
  made.removeAttribute("aria-hidden");
  for (const [what, value] of [["class", "sign s"], ["role", "img"], ["aria-label", say(`sign-${name}`)]]) made.setAttribute(what, value);
  return made;
}

/** One of the bench's glyphs, from the same sheet as those on this page; nothing where the page has none. */
export function glyph(name, size = "") {
  const sheet = document.querySelector("svg use[href*='#']")?.getAttribute("href").split("#")[0];
  if (!sheet) return "";
  return drawn("svg", { class: `glyph ${size}`.trim(), "aria-hidden": "true", focusable: "false" }, drawn("use", { href: `${sheet}#${name}` }));
}
