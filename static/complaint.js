// A sentence under a field, as the laptop's own refusals stand there.

/** Opens what is folded over a field, and scrolls: what was typed stays in sight over what is said of it. */
export function inSight(field, sentence) {
  for (let fold = field.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  const typed = field.closest(".field, .choice") ?? field.querySelector("legend:not(.sr)") ?? field;
  for (const one of [sentence, typed]) one.scrollIntoView({ block: "nearest" });
}

/** Puts it there in place of any other; empty words only take those away. Gives what takes this one back. */
export function complain(field, words) {
  const block = field.closest(".field-block") ?? field.parentElement;
  // What was refused before says nothing of what stands in the field now.
  for (const old of block.querySelectorAll(".complaint")) old.remove();
  field.removeAttribute("aria-invalid");
  if (!words) return () => {};
  const p = document.createElement("p");
  p.className = "complaint";
  p.setAttribute("role", "alert");
  // A code stays in one piece: a hyphen that no line breaks at.
  p.textContent = words.replace(/\b([0-9A-Z]{5})-([0-9A-Z])\b/g, "$1\u2011$2");
  field.setAttribute("aria-invalid", "true");
  field.closest(".field").after(p);
  inSight(field, p);
  return () => {
    if (p.isConnected) field.removeAttribute("aria-invalid");
    p.remove();
  };
}
