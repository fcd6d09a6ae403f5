// What every form needs on every page. Without this file the id that came with the page is sent, and the laptop makes the
// same id one record.

import { inSight } from "./elements.js";
import { anew } from "./keypad.js";
import { ulid } from "./store.js";

// --- a fresh record id at each submit, so that ten submits of one stored page are ten records; one submit at a time ---

function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-records]")) return;
  if (form.dataset.sent) return event.preventDefault();
  form.dataset.sent = "1";
  const id = form.elements.namedItem("record_id");
  if (id) id.value = ulid();
}

/** A page that comes back from the browser's store, or that the network failed, can be sent again. */
function release() {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
}

document.addEventListener("submit", onSubmit);
window.addEventListener("pageshow", release);
window.addEventListener("pagehide", release);

// --- a value that was offered counts as read as soon as its field is touched: the offer then leaves the form ---

function touched({ target }) {
  const { form, name } = target;
  const offer = form && name ? form.elements.namedItem(`offered.${name}`) : null;
  if (!offer) return;
  offer.remove();
  target.closest(".offered")?.classList.remove("offered");
}

document.addEventListener("input", touched);
document.addEventListener("change", touched);
// A field that is only looked at, on the way to the keypad, is not read yet; a key that was chosen is.
document.addEventListener("click", (event) => event.target.matches?.("input[type=radio], input[type=checkbox]") && touched(event));
document.addEventListener("focusin", ({ target }) => target.closest?.(".offered") && target.select?.());

// --- a page that was refused opens at what was refused, as the phone's own refusals do ---

function showRefused() {
  const field = document.querySelector("main [aria-invalid]");
  const sentence =
    document.getElementById(field?.getAttribute("aria-describedby")?.split(" ")[0] ?? "") ??
    document.querySelector("main .complaint") ??
    // A step that is held says why in its gate; a strip above may only point to it.
    document.querySelector("main .gate[role=alert]") ??
    document.querySelector("main .strip");
  if (!field || !sentence) return sentence?.scrollIntoView({ block: "nearest" });
  inSight(field, sentence);
  anew(field);
}

// What is scrolled to stops above the bar, which is higher with more keys and with larger text.
const bar = document.querySelector(".actionbar");
document.documentElement.style.scrollPaddingBottom = `${bar.offsetHeight + 8}px`;
const isRefused = "refused" in document.body.dataset;
if (isRefused) showRefused();

// --- as a page opens no key stands half under the bar: it comes up above that, or goes down under it ---

const UP_PX = 52;
/** The address by which one comes back to a number that is typed again. */
const isAgain = location.hash === "#again";

function clearOfBar() {
  const over = bar.getBoundingClientRect();
  const cut = [...document.querySelectorAll(isRefused ? "main :is(.key, .ten, .field)" : "main :is(.key, .ten)")].flatMap((key) => {
    const { top, bottom, left, right } = key.getBoundingClientRect();
    const edge = left < over.right && right > over.left ? over.top : innerHeight;
    return top < edge - 1 && bottom > edge + 1 ? [{ key, up: bottom - edge, down: edge - top }] : [];
  });
  if (!cut.length) return;
  const { key, up, down } = cut.find(({ key: one }) => !one.matches(".field")) ?? cut[0];
  const { activeElement: at } = document;
  // What was refused stays in sight; else little more than the line of the status goes up.
  const room = at === document.body ? UP_PX : at.getBoundingClientRect().top;
  if (up <= room) scrollBy(0, Math.ceil(up));
  else if (!key.matches(".field")) (key.closest(".keypad") ?? key).style.marginTop = `${Math.ceil(down)}px`;
}

// A laptop's page opens at its head: a wheel brings up the rest.
const isWide = matchMedia("(min-width: 76rem)").matches;
if (isRefused || !(isWide || (location.hash && !isAgain) || scrollY)) clearOfBar();

// --- what a fold just above the bar brings up is seen: its whole, or from its row on what has room ---

function unfolded({ target }) {
  const fold = target.closest?.("summary")?.parentElement;
  if (fold && !fold.open) fold.addEventListener("toggle", () => fold.open && fold.scrollIntoView({ block: "nearest" }), { once: true });
}

document.addEventListener("click", unfolded);

// --- what is typed and not yet sent stays on the device (typed.js, brought in where there is any) ---

let typed = null;
const typing = (act) => (typed ??= import("./typed.js")).then(act, () => (typed = null));
const openTyped = () => ("answers" in document.body.dataset || localStorage.getItem("saggar-typed")) && typing((it) => it.open());

for (const what of ["input", "change", "saggar-filled"]) {
  document.addEventListener(what, (event) => event.target.form && typing((it) => it.note(event)));
}
for (const what of ["submit", "saggar-sent"]) document.addEventListener(what, ({ target }) => typed?.then((it) => it?.sent(target)));
document.addEventListener("reset", ({ target }) => typed?.then((it) => it?.cleared(target)));
document.addEventListener("saggar-drawn", openTyped);

// A page that answers a form is, for the browser's Back and Reload, the sending of that form. Here it becomes the page on
// which the form was opened, which gets its fields again.
if ("answers" in document.body.dataset) {
  const from = new URL(document.querySelector("main [name=from_page]")?.value ?? "", location.href);
  history.replaceState(history.state, "", from.origin === location.origin ? from : location.href);
}
const opened = openTyped();
if (isAgain) Promise.resolve(opened).then(() => anew(document.querySelector("main input[data-keypad]")));
if (isWide) Promise.resolve(opened).then(() => import("./laptop.js"));
