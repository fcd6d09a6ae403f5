// Whether the laptop answers; and what was said for want of it is taken back as soon as it does.

import { hello, soon, state, watch } from "./outbox_send.js";

const LOOK_MS = 3000;

/** Whether the laptop answers now. */
export const inReach = () => hello().then(
  () => true,
  () => false,
);

/** Whether a page is on this phone: stored, or one that the phone draws, whatever stands behind its question mark. */
export async function isHere(page) {
  const stored = await globalThis.caches?.match(page);
  return Boolean(stored ?? (await globalThis.caches?.match(page.split("?")[0]))?.headers.has("X-Bench-Draws"));
}

/** Calls back once the laptop is in reach again. */
export function onReturn(callback) {
  let waits = true;
  state.reach = "away";
  const look = setInterval(soon, LOOK_MS);
  watch(({ reach }) => {
    if (!waits || reach === "away" || reach === "unknown") return;
    waits = false;
    clearInterval(look);
    callback();
  });
}
