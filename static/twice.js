// One touch is one touch. The second of two quick taps can land on the page that the first one opened, on whatever key
// stands there: a check would be answered unread. At the same place, it counts for nothing until the finger has rested.

const REST_MS = 500;
const NEAR_PX = 40;
const KEPT = "saggar-touched";

let byFinger = false;

/** Whether this touch belongs to one of another page: too soon after it, and too near. */
function belongs({ clientX, clientY }, { page, at, x, y }) {
  return page !== performance.timeOrigin && Math.abs(Date.now() - at) < REST_MS && Math.hypot(clientX - x, clientY - y) < NEAR_PX;
}

function onClick(event) {
  if (!byFinger || !event.isTrusted || !event.detail) return;
  const last = JSON.parse(sessionStorage.getItem(KEPT));
  const again = last !== null && belongs(event, last);
  const now = { page: again ? last.page : performance.timeOrigin, at: Date.now(), x: event.clientX, y: event.clientY };
  sessionStorage.setItem(KEPT, JSON.stringify(now));
  // *Emergency* is never kept from anybody.
  if (!again || event.target.closest('[href="/emergency"]')) return;
  event.preventDefault();
  event.stopImmediatePropagation();
}

window.addEventListener("pointerdown", ({ pointerType }) => (byFinger = pointerType === "touch"), { capture: true });
window.addEventListener("click", onClick, { capture: true });
