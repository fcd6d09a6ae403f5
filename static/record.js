// A fresh record id at each submit, so that ten submits of one stored page are ten records; and one submit at a time.
// Without this file the id that came with the page is sent, and the laptop makes the same id one record.

import { ulid } from "./ulid.js";

export { ulid };

function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-records]")) return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
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
