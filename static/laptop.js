// In a wide window with a keyboard under the hands (forms.js brings this in): the first empty field has the focus, and
// Alt+Enter presses the main key. No key alone does anything: a balance that types would press it.

const bar = document.querySelector(".actionbar");
const seen = (one) => one.checkVisibility();
const isEmpty = (one) => (one.type === "radio" ? ![...document.getElementsByName(one.name)].some(({ checked }) => checked) : !one.value);

/** What asks for an answer first in the form that the bar's key sends. What a check asks is read before it is answered. */
function firstEmpty() {
  const { form } = [...bar.querySelectorAll("button[form]")].find(seen) ?? {};
  if (!form || document.querySelector("main .check")) return null;
  const asked = "input:not([type=hidden], [type=checkbox], [type=file]), select, textarea";
  return [...form.querySelectorAll(asked)].find((one) => seen(one) && isEmpty(one));
}

/** The page stays where it is; a line that a balance types goes into no other field than that of a weight. */
function begin(field) {
  const { top, bottom } = (field.closest("label") ?? field).getBoundingClientRect();
  const isInView = top >= 0 && bottom <= bar.getBoundingClientRect().top;
  const isWeighed = document.querySelector("template[data-balance]") && field.type !== "radio";
  if (isInView && (!isWeighed || "grams" in field.dataset)) field.focus({ preventScroll: true });
}

if (matchMedia("(pointer: fine)").matches) {
  const main = [...bar.querySelectorAll(".plate")].find(seen);
  main?.setAttribute("aria-keyshortcuts", "Alt+Enter");
  document.addEventListener("keydown", (event) => {
    if (!event.altKey || event.key !== "Enter" || event.repeat || !main) return;
    event.preventDefault();
    main.click();
  });
  const isFresh = document.activeElement === document.body && !("refused" in document.body.dataset || location.hash || scrollY);
  const field = isFresh && firstEmpty();
  if (field) begin(field);
}
