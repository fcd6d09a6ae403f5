// Whether the laptop answers; and what was said for want of it is taken back as soon as it does.

import { hello, soon, state, watch } from "./outbox_send.js";

const LOOK_MS = 3000;

/** Whether the laptop answers now. */
export const inReach = () => hello().then(
  () => true,
  () => false,
);

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
