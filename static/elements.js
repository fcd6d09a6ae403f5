// Parts of a page that a script makes, and a sentence under a field, as the laptop's own parts look. Nothing here waits.

const SVG = "http://www.w3.org/2000/svg";

/** An element: `look` is its class, `text` what stands in it, all else its attributes. */
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

/** A key that does something on the page itself. */
export function key(words, act, more = {}) {
  const made = make("button", { look: "plain", type: "button", text: words, ...more });
  made.addEventListener("click", act);
  return made;
}

/** A title with what stands under it, across the page. */
export const strip = (title, second = "", role = "status") =>
  make("section", { look: "strip", role }, make("p", {}, make("b", { text: title }), ...(second ? [make("span", { text: second })] : [])));

/** A moment by the clock on the wall. */
export const clock = (ms) => [new Date(ms).getHours(), new Date(ms).getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");

/** To whole numbers as the laptop prints them: a half goes to the even one. */
export function whole(value) {
  const near = Math.round(value);
  return Math.abs(value % 1) === 0.5 && near % 2 ? near - 1 : near;
}

/** A number in its size with its unit. */
export const figure = (value, unit, size = "xl") =>
  make("span", { look: `fig fig-${size}` }, make("span", { look: "figure", text: value }), make("span", { look: "unit", text: unit }));

/** One of the bench's glyphs, from the same sheet as those on this page; nothing where the page has none. */
export function glyph(name, size = "") {
  const sheet = document.querySelector("svg use[href*='#']")?.getAttribute("href").split("#")[0];
  if (!sheet) return "";
  return drawn("svg", { class: `glyph ${size}`.trim(), "aria-hidden": "true", focusable: "false" }, drawn("use", { href: `${sheet}#${name}` }));
}

/** Opens what is folded over a field, and scrolls: its keypad where that fits, what is said of it, and over all what was typed. */
export function inSight(field, sentence) {
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  const typed = field.closest(".field, .choice") ?? field.querySelector("legend:not(.sr)") ?? field;
  const pad = field.closest(".field-block")?.querySelector(".keypad") ?? sentence;
  for (const one of [pad, sentence, typed]) one.scrollIntoView({ block: "nearest" });
}

/** Puts a sentence under a field in place of any other; empty words only take those away. Gives what takes this one back. */
export function complain(field, words) {
  const block = field.closest(".field-block") ?? field.parentElement;
  // What was refused before says nothing of what stands in the field now.
  for (const old of block.querySelectorAll(".complaint")) old.remove();
  field.removeAttribute("aria-invalid");
  if (!words) return () => {};
  // A code stays in one piece: a hyphen that no line breaks at.
  const p = make("p", { look: "complaint", role: "alert", text: words.replace(/\b([0-9A-Z]{5})-([0-9A-Z])\b/g, "$1\u2011$2") });
  field.setAttribute("aria-invalid", "true");
  field.closest(".field").after(p);
  inSight(field, p);
  return () => {
    if (p.isConnected) field.removeAttribute("aria-invalid");
    p.remove();
  };
}
