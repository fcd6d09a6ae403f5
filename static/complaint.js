// A sentence under a field, as the laptop's own refusals stand there.

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
  p.textContent = words;
  field.setAttribute("aria-invalid", "true");
  field.closest(".field").after(p);
  p.scrollIntoView({ block: "nearest" });
  return () => {
    if (p.isConnected) field.removeAttribute("aria-invalid");
    p.remove();
  };
}
