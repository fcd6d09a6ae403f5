// Parts of a page, made on the phone as the laptop's own parts look, in the words that came along with the pages.

import { fact } from "./outbox_store.js";

const words = (await fact("words").catch(() => null)) ?? {};

const SVG = "http://www.w3.org/2000/svg";

/** The words of a name, with what stands in their braces. */
export const say = (name, values = {}) =>
  Object.entries(values).reduce((text, [key, value]) => text.replace(`{${key}}`, String(value)), words[name] ?? name);

export function make(name, { look = "", text, ...more } = {}, ...inside) {
  const made = document.createElement(name);
  if (look) made.className = look;
  if (text !== undefined) made.textContent = text;
  for (const [key, value] of Object.entries(more)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
}

export function drawn(name, attributes, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
}

export const clock = (ms) => [new Date(ms).getHours(), new Date(ms).getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");

/** A number in its size with its unit. */
export const figure = (value, unit, size = "xl") =>
  make("span", { look: `fig fig-${size}` }, make("span", { look: "figure", text: value }), make("span", { look: "unit", text: unit }));

export const strip = (title, second = "", role = "status") =>
  make("section", { look: "strip", role }, make("p", {}, make("b", { text: title }), ...(second ? [make("span", { text: second })] : [])));
