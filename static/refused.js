// A page that was refused opens at what was refused, as the phone's own refusals do.

import { inSight } from "./complaint.js";

const field = document.querySelector("main [aria-invalid]");
const sentence =
  document.getElementById(field?.getAttribute("aria-describedby")?.split(" ")[0] ?? "") ??
  document.querySelector("main .complaint") ??
  // A step that is held says why in its gate; a strip above may only point to it.
  document.querySelector("main .gate[role=alert]") ??
  document.querySelector("main .strip");

if (field && sentence) {
  inSight(field, sentence);
  field.focus({ preventScroll: true });
} else sentence?.scrollIntoView({ block: "nearest" });
