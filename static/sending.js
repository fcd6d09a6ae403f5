// Sends what waits, in order, one page at a time, and takes an entry out only when the laptop has confirmed it. And
// whether the laptop answers: what was said for want of it is taken back as soon as it does.

import { all, fact, keep, mark, note, remove, waits } from "./store.js";

const HELLO_MS = 4000;
const SEND_MS = 15000;
const SLOWEST_MS = 15000;
const MOST_SENT = 300;
const LOOK_MS = 3000;

export const state = { reach: "unknown", entries: [], broken: false };
const watchers = new Set();

/** Calls back whenever the count or the reach has changed. */
export function watch(callback) {
  watchers.add(callback);
  callback(state);
}

export async function refresh() {
  try {
    state.entries = await all();
    state.broken = false;
  } catch {
    state.broken = true;
  }
  for (const callback of watchers) callback(state);
}

/** By hand, not by AbortSignal.timeout: what waits on a phone that gets no newer browser must arrive too. */
async function within(ms, address, options) {
  const stop = new AbortController();
  const late = setTimeout(() => stop.abort(), ms);
  try {
    const answer = await fetch(address, { ...options, signal: stop.signal, cache: "no-store" });
    return { status: answer.status, said: await answer.json().catch(() => null) };
  } finally {
    clearTimeout(late);
  }
}

/** Greets the laptop: its token, and how far this phone's clock is from its own, by the quickest answer so far. */
export async function hello() {
  const sent = Date.now();
  const ticked = performance.now();
  const { status, said } = await within(HELLO_MS, "/outbox/hello", { headers: { "X-Bench-Outbox": "hello" } });
  if (status === 401) return { shut: true };
  if (status !== 200 || !said) throw new Error("no answer");
  const trip = performance.now() - ticked;
  const measured = { ms: Math.round(said.now_ms + trip / 2 - (sent + trip)), trip, at: Date.now() };
  const before = await fact("offset");
  // A slow answer says little; one that differs from what is known by more than both trips means the clock was set.
  const moved = before && Math.abs(before.ms - measured.ms) > (before.trip + trip) / 2 + 50;
  if (!before || moved || trip <= before.trip * 1.5) await note("offset", measured);
  return { token: said.token };
}

export const offset = async () => (await fact("offset"))?.ms ?? null;

function bodyOf(fields) {
  const files = fields.some(([, value]) => typeof value !== "string");
  const body = files ? new FormData() : new URLSearchParams();
  for (const [name, value] of fields) body.append(name, value);
  return body;
}

/** The entries whose page still stands there and waits for the answer: it alone can answer what the laptop asks back. */
export const awaited = new Set();

async function send(entry, token) {
  const told = {
    id: entry.id,
    at_ms: entry.at_ms,
    offset_ms: entry.offset_ms ?? (await offset()),
    tz_min: entry.tz_min,
    store: await mark(),
    waited: Boolean(entry.tries),
    awaited: awaited.has(entry.id),
  };
  return within(SEND_MS, entry.action, {
    method: "POST",
    body: bodyOf(entry.fields),
    headers: { "X-Bench-Outbox": JSON.stringify(told), "X-Bench-Token": token, "Idempotency-Key": entry.id },
    redirect: "error",
  });
}

const results = new Map();

/** What the laptop said of an entry on this page's watch; undefined while it has said nothing. */
export const resultOf = (id) => results.get(id);

/** A page waits for the answer to an entry; what was said of it before it was mended counts no more. */
export function expectAnswer(id) {
  results.delete(id);
  awaited.add(id);
}

/** Keeps what has arrived until all under way is taken in anew: what was told before it does not count it in. */
async function noteDelivered(entry) {
  const fields = entry.fields.filter(([, value]) => typeof value === "string");
  await note("delivered", [...((await fact("delivered")) ?? []), { ...entry, fields }].slice(-MOST_SENT));
}

/** The entry by which another one that waits was taken back, if it was. */
async function takenBack(id) {
  const named = ({ fields }) => fields.some(([name, value]) => name === "ids" && value === id);
  return (await all()).find((entry) => entry.action === "/undo" && !entry.refused && named(entry));
}

async function one(entry, token) {
  const { status, said } = await send(entry, token).catch(() => ({ status: 0 }));
  if (status) results.set(entry.id, said);
  const ok = status >= 200 && status < 300;
  // Nothing was recorded: the laptop asks something. A page that has moved on in the meantime cannot answer it.
  if (ok && said?.status === "page" && !awaited.has(entry.id)) {
    await keep({ ...entry, refused: said.say, errors: {}, asks: true });
    return true;
  }
  if (ok && said?.status) {
    if (said.status !== "page") await noteDelivered(entry);
    await remove(entry.n);
    return true;
  }
  const undo = said?.status === "refused" && (await takenBack(entry.id));
  if (undo) {
    // It was never recorded, and was taken back: of neither is anything left to do.
    for (const one of [entry, undo]) await remove(one.n);
    return true;
  }
  if (status >= 400 && status < 500 && ["refused", "conflict"].includes(said?.status)) {
    const { say, errors = {}, against, already, held, again } = said;
    // What one answer at its key records is asked, and not refused.
    await keep({ ...entry, refused: say, errors, against, already, held, again, asks: Boolean(said.asks || already) });
    return true;
  }
  entry.tries = (entry.tries ?? 0) + 1;
  await keep(entry);
  return false;
}

/** The worker answers pages from the phone at once while the laptop is away, and needs to hear when it is back. */
function tellWorker(say) {
  navigator.serviceWorker?.controller?.postMessage({ say });
}

async function drain() {
  const waiting = (await all()).filter(waits);
  const greeting = await hello().catch(() => null);
  if (!greeting) {
    state.reach = "away";
    tellWorker("away");
    for (const entry of waiting) if (!entry.tries) await keep({ ...entry, tries: 1 });
    return false;
  }
  state.reach = greeting.shut ? "shut" : "near";
  tellWorker("near");
  if (greeting.shut) return false;
  for (const entry of waiting) {
    // One that was sent before it may have taken it along.
    if (!(await all()).some(({ n }) => n === entry.n)) continue;
    const settled = await one(entry, greeting.token);
    await refresh();
    if (!settled) return false;
  }
  return true;
}

let busy = null;

/** Sends what waits, once for all pages of this phone; true when nothing waits any more. */
function flush() {
  busy ??= (async () => {
    try {
      // Another page may hold the lock: wait for it, since what it did not see may be ours.
      return navigator.locks ? await navigator.locks.request("saggar-outbox", drain) : await drain();
    } catch {
      return false;
    } finally {
      busy = null;
      await refresh();
    }
  })();
  return busy;
}

let wait = 1000;
let timer = null;

/** Sends now, and goes on trying at growing distances while something waits. */
async function kick() {
  clearTimeout(timer);
  const done = await flush();
  const left = state.entries.some(waits);
  // What was kept while that round was under way may not have been seen by it: then the next one begins at once.
  if (done && left) return kick();
  wait = done ? 1000 : Math.min(wait * 2, SLOWEST_MS);
  clearTimeout(timer);
  if (left) timer = setTimeout(kick, wait);
  return done;
}

/** A new reason to try at once. */
export function soon() {
  wait = 500;
  return kick();
}

// --- reach ---

/** Whether the laptop answers now. */
export const inReach = async () => Boolean(await hello().catch(() => null));

/** Whether a page is on this phone: stored, or one that the phone draws, whatever stands behind its question mark. */
export async function isHere(page) {
  const stored = await globalThis.caches?.match(page);
  return Boolean(stored ?? (await globalThis.caches?.match(page.split("?")[0]))?.headers.has("X-Bench-Draws"));
}

/** Calls back once the laptop is in reach again. */
export function onReturn(callback) {
  let away = true;
  state.reach = "away";
  const look = setInterval(soon, LOOK_MS);
  watch(({ reach }) => {
    if (!away || reach === "away" || reach === "unknown") return;
    away = false;
    clearInterval(look);
    callback();
  });
}
