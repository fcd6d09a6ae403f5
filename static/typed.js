// What is typed into a form and not yet sent stays on this device, by the form and its thing: a reload, a page that the
// phone dropped, a way round by another page gives it back and says so. Brought in where one types, or something lies here.

import { clock } from "./elements.js";

const KEPT = "saggar-typed";
const SENT = "saggar-sent";
const LONGEST_MS = 24 * 3_600_000;
const MOST = 12;
/** No secrets, no photos, and no answer that holds for its own moment alone. */
const KEPT_OUT = "[type=hidden], [type=file], [type=password], [name^=answer], [name$=sure], .reader *";
const OF_THE_PAGE = "[name=token], [name=record_id], [name=from_page], [name=rows], [name=heat_for], [name=back], [name^='offered.'], [name$=_held]";

const read = () => JSON.parse(localStorage.getItem(KEPT) ?? "{}");

function write(drafts) {
  const lasting = Object.entries(drafts).filter(([, { at }]) => Date.now() - at < LONGEST_MS);
  const newest = lasting.sort(([, one], [, other]) => other.at - one.at).slice(0, MOST);
  try {
    if (newest.length) localStorage.setItem(KEPT, JSON.stringify(Object.fromEntries(newest)));
    else localStorage.removeItem(KEPT);
  } catch {
    // A full store keeps nothing more; the form is as it would be without.
  }
}

function forget(...keys) {
  const drafts = read();
  for (const key of keys) delete drafts[key];
  write(drafts);
}

const forms = () => [...document.querySelectorAll("form[data-records]")];
const known = new WeakMap();

/** Which form it is and of what: where it was opened, where it goes, and what it carries unseen; as that was at first. */
function about(form) {
  if (!known.has(form)) {
    const unseen = [...form.elements].filter((one) => one.type === "hidden" && one.value && !one.matches(OF_THE_PAGE));
    const from = form.elements.namedItem("from_page")?.value ?? location.pathname + location.search;
    known.set(form, [from, form.getAttribute("action"), ...unseen.map(({ name, value }) => `${name}=${value}`)].join(" "));
  }
  return known.get(form);
}

const takes = (field) => Boolean(field.name && field.value !== undefined && !field.matches(`button, fieldset, output, ${KEPT_OUT}`));
const nameOf = (field) => (field.type === "checkbox" ? `${field.name}=${field.value}` : field.name);
const given = (field) => (field.type === "checkbox" ? field.checked : field.value);
/** Of some keys only the one that is chosen says anything. */
const speaks = (field) => takes(field) && (field.type !== "radio" || field.checked);

/** What the maker put into a field; not what a balance puts there as long as the field follows it. */
export function note({ target, again }) {
  const { form } = target;
  if (again || !form?.matches("form[data-records]") || !speaks(target)) return;
  if (target.closest(".field-block")?.querySelector(".balance-key[aria-pressed=true]")) return;
  const drafts = read();
  drafts[about(form)] = { at: Date.now(), fields: { ...drafts[about(form)]?.fields, [nameOf(target)]: given(target) } };
  write(drafts);
}

/** A form goes off: whether it was taken, the next page tells. */
export function sent(form) {
  if (read()[about(form)]) sessionStorage.setItem(SENT, about(form));
}

export const cleared = (form) => forget(about(form));

/** Lets go what was taken. Nothing came of a form that was refused or met a fault, nor where no answer led here: the
 * maker came back by the browser's key, or by an address of their own, which has no page before it. */
function settle() {
  const key = sessionStorage.getItem(SENT);
  if (!key) return;
  const [{ type, responseStatus }] = performance.getEntriesByType("navigation");
  if (responseStatus === 403) return; // too old a page: the form goes off again from the page that says so
  sessionStorage.removeItem(SENT);
  const { answers, refused } = document.body.dataset;
  const failed = answers !== undefined || refused !== undefined || responseStatus >= 400;
  const led = type === "navigate" ? Boolean(document.referrer) : type === "reload" && !forms().some((form) => about(form) === key);
  if (!failed && led) forget(key);
}

/** A page that answers a form shows what was typed: that is what a reload has to bring. */
function takeOver() {
  const drafts = read();
  for (const form of forms()) {
    const { pathname } = new URL(form.getAttribute("action") || "", location.href);
    if (pathname !== location.pathname) continue;
    const old = drafts[about(form)];
    const shown = [...form.elements].filter((field) => speaks(field) && (!old || nameOf(field) in old.fields));
    const fields = Object.fromEntries(shown.map((field) => [nameOf(field), given(field)]));
    if (shown.length) drafts[about(form)] = { at: old?.at ?? Date.now(), fields };
  }
  write(drafts);
}

function served(field) {
  if (field.type === "checkbox" || field.type === "radio") return field.defaultChecked;
  if (!field.options || field.matches("input")) return field.defaultValue;
  return ([...field.options].find((one) => one.defaultSelected) ?? field.options[0])?.value;
}

/** Puts one field as it was left; gives whether the page did not bring it so. */
function put(field, was) {
  const ticked = field.type === "checkbox" || field.type === "radio";
  const wanted = field.type === "radio" ? field.value === was : was;
  field[ticked ? "checked" : "value"] = wanted;
  if (wanted === served(field) || (field.type === "radio" && !wanted)) return false;
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  field.dispatchEvent(Object.assign(new Event("input", { bubbles: true }), { again: true }));
  return true;
}

function putBack(form, { fields }) {
  const left = [...form.elements].filter((field) => takes(field) && fields[nameOf(field)] !== undefined);
  return left.map((field) => put(field, fields[nameOf(field)])).some(Boolean);
}

/** In the line of what was recorded last, so that nothing moves; that comes back when this is cleared. */
function say(at, keys) {
  const [words, key] = document.querySelector("template[data-typed]").content.cloneNode(true).children;
  words.textContent = words.textContent.replace("{clock}", clock(at));
  key.addEventListener("click", () => {
    forget(...keys);
    location.reload();
  });
  const head = document.querySelector(".head");
  const title = head?.querySelector(".head-title");
  if (!title) return document.getElementById("main").prepend(words, key);
  for (const old of head.querySelectorAll(".recorded-last, .undo-form, [data-aloud]")) old.remove();
  title.classList.add("recorded");
  title.append(words);
  return head.append(key);
}

/** As a page opens, and once the phone drew one: what was left in its forms. */
export function open() {
  settle();
  if ("answers" in document.body.dataset) return takeOver();
  const drafts = read();
  const left = forms().filter((form) => drafts[about(form)] && putBack(form, drafts[about(form)])).map(about);
  return left.length ? say(Math.max(...left.map((key) => drafts[key].at)), left) : null;
}
