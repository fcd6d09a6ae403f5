// A form on a page that the phone drew: judged as it stands, and whenever it is changed.

import { doing, fieldsOf } from "./away.js";
import { flags } from "./drawn_fields.js";
import { heldIn, hold, release } from "./hold.js";
import { join } from "./keypad.js";
import { stopsOf } from "./stops.js";

const atKey = (form, found) => (found ? hold(form, found) : release());

/** What is to be minded stands in `box`, what holds it at its key. `errors` gives what its fields leave out; `more` what else stands in the box. */
export function watch({ here, things, unsure }, form, box, errors, codes, more = () => []) {
  form.querySelectorAll("[data-keypad]").forEach(join);
  const pairs = () => [...new FormData(form)].filter(([, value]) => typeof value === "string");
  const would = () => doing(here, things, form.getAttribute("action"), pairs());
  const judge = () => {
    const one = would();
    box.replaceChildren(...more(one), ...flags(unsure ? [] : stopsOf(here, things, one, codes).filter(({ effect }) => effect === "flag")));
    atKey(form, form.heldBy());
  };
  // The outbox asks these of the form before it keeps what was typed; what holds it stands at its key all the while.
  form.errorsNow = () => errors(fieldsOf(pairs()));
  form.heldBy = () => (unsure || fieldsOf(pairs()).happened ? null : heldIn(here, things, would(), codes));
  for (const what of ["input", "change", "saggar-filled"]) form.addEventListener(what, judge);
  judge();
  if (document.querySelector(".coded input")) import("./scan_fill.js");
}
