// A value that was offered counts as read as soon as its field is touched: the offer then leaves the form.

function touched(event) {
  const { form, name } = event.target;
  const offer = form && name ? form.elements.namedItem(`offered.${name}`) : null;
  if (!offer) return;
  offer.remove();
  event.target.closest(".offered")?.classList.remove("offered");
}

for (const what of ["input", "change", "click"]) {
  document.addEventListener(what, (event) => {
    // A field that is only looked at, on the way to the keypad, is not read yet; a key that was chosen is.
    if (what !== "click" || event.target.matches?.("input[type=radio], input[type=checkbox]")) touched(event);
  });
}

document.addEventListener("focusin", (event) => {
  if (event.target.closest?.(".offered")) event.target.select?.();
});
