// All timers that this device knows: those that the laptop told of, and those that wait in the phone's outbox.

import { all, fact, note } from "./outbox_store.js";

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

/** When a timer that waits ends, by the laptop's clock; null where it cannot be told here. */
async function endOf(timer, tzMin) {
  if (timer.soak) {
    const [{ standing }, { soaking }] = await Promise.all([import("./away.js"), import("./overlay.js")]);
    const fire = (await standing()).things[timer.thing];
    return fire ? soaking(fire, fire.readings).endsMs : null;
  }
  const typed = (timer.clock ?? "").match(/^(\d{1,2})[:.](\d{2})$/);
  if (!typed) return timer.minutes === null ? null : timer.ms + timer.minutes * MINUTE;
  const then = new Date(timer.ms + tzMin * MINUTE);
  then.setUTCHours(Number(typed[1]), Number(typed[2]), 0, 0);
  const ends = then.getTime() - tzMin * MINUTE;
  return ends > timer.ms ? ends : ends + DAY;
}

/** Asks the laptop for its list, and keeps it; false where it is not in reach. */
export async function ask() {
  try {
    const answer = await fetch("/timers.json", { cache: "no-store", signal: AbortSignal.timeout(4000) });
    if (!answer.ok) return false;
    await note("timers", (await answer.json()).timers);
    return true;
  } catch {
    return false;
  }
}

/** Every timer, the next to end first: {id, purpose, soak, name, endsMs, known}. */
export async function list() {
  const told = ((await fact("timers").catch(() => null)) ?? []).map((one) => ({ ...one, endsMs: one.ends_ms, known: true }));
  const entries = await all().catch(() => []);
  const zone = new Map(entries.map((entry) => [entry.id, entry.tz_min ?? 0]));
  const { waitingOf } = entries.length ? await import("./happened.js") : { waitingOf: () => [] };
  const [waits, readings] = [waitingOf(entries, "timer"), waitingOf(entries, "reading")];
  // What was read since on this phone, the laptop does not know when it calls for a reading.
  const read = (one) => one.reminder && readings.some((each) => each.thing === one.of && each.ms > one.endsMs);
  const names = waits.length ? (await import("./away.js")).standing().then(({ things }) => things) : {};
  const nameOf = async (one) => (await names)[one.thing]?.name ?? "";
  const entry = async (one) => ({ id: one.id, purpose: one.purpose, soak: one.soak, name: await nameOf(one), endsMs: await endOf(one, zone.get(one.id)), known: false });
  const mine = await Promise.all(waits.map(entry));
  const gone = new Set(told.map((one) => one.id));
  return [...told.filter((one) => !read(one)), ...mine.filter((one) => one.endsMs !== null && !gone.has(one.id))].sort((a, b) => a.endsMs - b.endsMs);
}
