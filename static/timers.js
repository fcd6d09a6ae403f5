// Timers: all that this device knows of, those that the laptop told of and those that wait in the phone's outbox; the time
// left to an absolute end, never a counter, right whenever it is looked at; and one as an event for a phone's own calendar.

import { clock, make } from "./elements.js";
import { all, fact, note } from "./store.js";

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

/** When a timer that waits ends, by the laptop's clock; null where it cannot be told here. */
async function endOf(timer, tzMin) {
  if (timer.soak) {
    const [{ standing }, { soaking }] = await Promise.all([import("./away.js"), import("./fire.js")]);
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

// --- the time left, and the clock of the status line. Ends are moments by the laptop's clock: a phone whose clock is off
// is told by how much ---

let shift = 0;

/** What is added to this device's clock to get the laptop's, in ms. */
export function byLaptop(ms) {
  shift = ms;
  paint();
}

/** The laptop's time now, in ms since 1970. */
export const now = () => Date.now() + shift;

function parts(ms) {
  const whole = Math.max(0, Math.round(ms / MINUTE));
  return [Math.floor(whole / 60), whole % 60];
}

function paintEnd(element) {
  const left = Number(element.dataset.ends) - now();
  const figure = element.querySelector(".figure");
  if (!figure) return;
  const [hours, minutes] = parts(left);
  const [h, min] = ["h", "min"].map((text) => make("small", { text }));
  figure.replaceChildren(...(hours ? [String(hours), h, String(minutes).padStart(2, "0")] : [String(minutes), min]));
  element.closest(".countdown")?.classList.toggle("over", left <= 0);
}

export function paint() {
  for (const element of document.querySelectorAll("[data-ends]")) paintEnd(element);
  for (const element of document.querySelectorAll("[data-clock]")) element.textContent = clock(now());
  // What may be done from a time on shows at that time, on a page that was left open too.
  for (const element of document.querySelectorAll("[data-from]")) element.hidden = now() < Number(element.dataset.from);
}

paint();
setInterval(paint, 1000);
document.addEventListener("visibilitychange", paint);
window.addEventListener("pageshow", paint);

// --- in a calendar with an alarm, made on the phone while the laptop is away. Twin of bench/screens/phone/timers.py by
// RFC 5545; one vector file proves both ---

const ON_CALENDAR_MIN = 5;
const LONGEST_LINE = 75;

const octets = (text) => new TextEncoder().encode(text).length;
const utc = (ms) => `${new Date(ms).toISOString().slice(0, 19).replace(/[-:]/g, "")}Z`;

function escaped(text) {
  const plain = [...text].filter((char) => char >= " " || char === "\n" || char === "\t").join("");
  return plain.replaceAll("\\", "\\\\").replaceAll(";", "\\;").replaceAll(",", "\\,").replaceAll("\n", "\\n");
}

/** A line with its end, folded so that none is longer than 75 octets and no character is torn. */
function folded(line) {
  const parts = [];
  let current = "";
  for (const char of line) {
    if (octets(current + char) > (parts.length ? LONGEST_LINE - 1 : LONGEST_LINE)) {
      parts.push(current);
      current = "";
    }
    current += char;
  }
  return `${[...parts, current].join("\r\n ")}\r\n`;
}

const alarm = (action, ...more) => ["BEGIN:VALARM", `ACTION:${action}`, "TRIGGER;RELATED=START:PT0S", ...more, "END:VALARM"];

/** A calendar of one event that begins when the timer ends, with an alarm at that moment. `stay` is its description. */
export function event({ id, endsMs, purpose, name }, madeMs, stay) {
  const lines = [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//Saggar//Bench//EN",
    "BEGIN:VEVENT",
    `UID:${id}@bench.local`,
    `DTSTAMP:${utc(madeMs)}`,
    `DTSTART:${utc(endsMs)}`,
    `DTEND:${utc(endsMs + ON_CALENDAR_MIN * MINUTE)}`,
    `SUMMARY:${escaped(name ? `${purpose}, ${name}` : purpose)}`,
    `DESCRIPTION:${escaped(stay)}`,
    "TRANSP:TRANSPARENT",
    ...alarm("DISPLAY", `DESCRIPTION:${escaped(purpose)}`),
    ...alarm("AUDIO"),
    "END:VEVENT",
    "END:VCALENDAR",
  ];
  return lines.map(folded).join("");
}

/** Hands a timer to the phone as a file that its calendar opens. */
export function hand(timer, madeMs, stay) {
  const file = URL.createObjectURL(new Blob([event(timer, madeMs, stay)], { type: "text/calendar" }));
  const link = make("a", { href: file, download: `timer-${timer.id.slice(-6).toLowerCase()}.ics` });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(file), MINUTE);
}
