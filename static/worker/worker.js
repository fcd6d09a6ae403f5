// Pages without the laptop. It touches GET alone: records go through the outbox of the page, which asks for an answer.
// VERSION and WORDS are put in front by the laptop. A new worker waits until a page says that no step is under way.

const FILES = `files-${VERSION}`;
const RACE_MS = 350;
const GONE_MS = 2500;
const LOST_MS = 20_000;
const REST_MS = 30_000;
const KEPT_AT = "X-Bench-Kept";
const SAYS_SO = "X-Bench-Says-Stored";
const ALONE = ["/outbox/hello", "/worker.js"];
let restUntil = 0;
let taking = 0;
let heard = 0;
// Which list holds the newest copy of each page, learnt anew after each taking in.
let places = new Map();
let turn = 0;

self.addEventListener("install", (event) => event.waitUntil(takeIn("/bench/offline.json", "bench")));

self.addEventListener("activate", (event) => event.waitUntil(clearUp()));

async function clearUp() {
  for (const name of await caches.keys()) if (name.startsWith("files-") && name !== FILES) await caches.delete(name);
  await self.clients.claim();
}

/** A copy of an answer that may be given later: whole, not redirected, and marked with its time; a page says it itself. */
async function copyOf(answer, at) {
  const headers = new Headers(answer.headers);
  headers.set(KEPT_AT, String(at));
  headers.delete("Set-Cookie");
  const copy = new Response(await answer.blob(), { status: 200, headers });
  return headers.get("Content-Type")?.startsWith("text/html") ? saying(copy) : copy;
}

/** The page, saying in its body tag when it was stored. */
async function saying(copy) {
  const headers = new Headers(copy.headers);
  headers.set(SAYS_SO, "yes");
  const text = (await copy.text()).replace("<body ", `<body data-stored="${headers.get(KEPT_AT)}" `);
  return new Response(text, { status: 200, headers });
}

/** A copy of an earlier version of the bench does not say so yet. */
const shown = (copy) => (copy.headers.has(SAYS_SO) ? copy : saying(copy));

async function fetched(address, at) {
  const answer = await fetch(address, { cache: "no-store", headers: { "X-Bench-Pin": "1" } });
  if (answer.status !== 200) throw new Error(`${address}: ${answer.status}`);
  heard = Date.now();
  return copyOf(answer, at);
}

async function allOf(addresses, at) {
  const found = [];
  const left = [...addresses];
  const hand = async () => {
    while (left.length) {
      const address = left.shift();
      found.push([address, await fetched(address, at)]);
    }
  };
  taking += 1;
  try {
    await Promise.all([hand(), hand()]);
  } finally {
    taking -= 1;
  }
  return found;
}

/** Takes in one list: everything in it, or nothing. Answers with its mark and time. */
async function takeIn(list, kind) {
  const answer = await fetch(list, { cache: "no-store" });
  if (answer.status !== 200) throw new Error(`${list}: ${answer.status}`);
  const { rev, at_ms: at, items, ...alone } = await answer.json();
  const name = `pin ${list} ${rev}`;
  const files = await caches.open(FILES);
  const addresses = items.map(([address]) => address);
  const assets = addresses.filter((address) => address.startsWith("/static/"));
  const missing = [];
  for (const address of assets) if (!(await files.match(address))) missing.push(address);
  for (const [address, copy] of await allOf(missing, at)) await files.put(address, copy);
  if (!(await caches.has(name))) {
    const pages = await allOf(addresses.filter((address) => !address.startsWith("/static/")), at);
    const cache = await caches.open(name);
    try {
      for (const [address, copy] of pages) await cache.put(address, copy);
    } catch (error) {
      await caches.delete(name);
      throw error;
    } finally {
      places = new Map();
      turn += 1;
    }
  }
  for (const old of await caches.keys()) if (old.startsWith(`pin ${list} `) && old !== name) await caches.delete(old);
  return { ok: true, rev, at, ...alone, kind };
}

/** Lists that the bench no longer names: what is done is let go. */
async function letGo(lists) {
  for (const name of await caches.keys()) {
    const list = name.match(/^pin (\S+) /)?.[1];
    if (list && list !== "/bench/offline.json" && !lists.includes(list)) await caches.delete(name);
  }
}

self.addEventListener("message", (event) => {
  const { say, list, lists } = event.data ?? {};
  const answer = (said) => event.ports[0]?.postMessage(said);
  if (say === "take-in") event.waitUntil(takeIn(list).then(answer, (error) => answer({ ok: false, why: String(error) })));
  if (say === "let-go") event.waitUntil(letGo(lists));
  if (say === "take-over") self.skipWaiting();
  // What a page found out when it greeted the laptop: while it is away no page waits for it.
  if (say === "away") restUntil = Date.now() + REST_MS;
  if (say === "near") restUntil = 0;
});

const pinned = async () => (await caches.keys()).filter((name) => name.startsWith("pin "));
const at = (copy) => Number(copy.headers.get(KEPT_AT));

/** The newest copy of a page, whichever list brought it: looked for in all of them. */
async function searched(address) {
  const found = await Promise.all((await pinned()).map((name) => caches.match(address, { cacheName: name })));
  return found.filter(Boolean).reduce((newest, copy) => (newest && at(newest) >= at(copy) ? newest : copy), null);
}

/** All that one list brought is of one time; a page that two lists brought lies in the later one. */
async function learnPlaces() {
  const mine = turn;
  const look = async (name) => {
    const cache = await caches.open(name);
    const addresses = (await cache.keys()).map(({ url }) => url);
    return { name, addresses, at: addresses.length ? at(await cache.match(addresses[0])) : 0 };
  };
  const lists = await Promise.all((await pinned()).map(look));
  lists.sort((one, other) => one.at - other.at);
  // What was taken in meanwhile is not in it: then it is learnt with a later page.
  if (mine === turn) places = new Map(lists.flatMap(({ name, addresses }) => addresses.map((address) => [address, name])));
}

/** The newest copy of a page: where it is known to lie, else wherever it is found. */
async function kept(address) {
  const place = places.get(new URL(address, location.href).href.split("#")[0]);
  const copy = place && (await caches.match(address, { cacheName: place }));
  if (copy) return copy;
  if (!places.size) learnPlaces().catch(() => null);
  return searched(address);
}

const after = (ms) => new Promise((settle) => setTimeout(settle, ms, null));

/** While pages go on being taken in the laptop is near and busy: its answer is worth a wait, a copy would be an old one. */
async function worthTheWait() {
  const began = Date.now();
  const left = () => Math.max(began, taking ? Math.min(heard, began + GONE_MS - RACE_MS) : 0) + RACE_MS - Date.now();
  while (left() > 0) await after(left());
  return null;
}

async function asked(request, ms, spare = false) {
  const stop = new AbortController();
  const late = setTimeout(() => stop.abort(), ms);
  try {
    const answer = await fetch(request, { signal: stop.signal });
    restUntil = 0;
    // A thing that is not on the laptop may have been made out here, and wait on this phone.
    return answer.status < 500 && !(spare && answer.status === 404) ? answer : null;
  } catch {
    restUntil = Date.now() + REST_MS;
    return null;
  } finally {
    clearTimeout(late);
  }
}

/** How many records wait on this phone; null where its store is not there: it is not made here either. */
function waiting() {
  return new Promise((settle) => {
    const asked = indexedDB.open("saggar-outbox");
    asked.onupgradeneeded = () => asked.transaction.abort();
    asked.onerror = () => settle(null);
    asked.onsuccess = () => {
      const base = asked.result;
      const count = base.transaction("entries").objectStore("entries").count();
      count.onsuccess = () => settle(count.result);
      count.onerror = () => settle(null);
      base.close();
    };
  });
}

/** In the place of every page, where the browser threw the stored ones away: what was recorded is here all the same. */
async function bare() {
  const count = await waiting().catch(() => null);
  const safe = count === null ? WORDS.none : count ? WORDS.safe.replace("{n}", count) : WORDS.all;
  const body = `<h1>${WORDS.title}</h1><p><strong>${safe}</strong></p><p>${WORDS.why}</p><p><a href="">${WORDS.again}</a></p>`;
  const head = '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">';
  const text = `<!doctype html><html lang="en"><head>${head}<title>${WORDS.title}</title></head><body>${body}</body></html>`;
  return new Response(text, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
}

async function page(request) {
  const copy = await kept(request.url);
  if (!copy) {
    // Known to be away, the laptop is not waited for; a page that is not here is then said to be not here.
    const answer = await asked(request, Date.now() < restUntil ? GONE_MS : LOST_MS);
    if (answer) return answer;
    const nowhere = await kept("/offline");
    // It stands for another page, and says nothing of when it was stored.
    const text = nowhere && (await nowhere.text()).replace(/ data-stored="\d+"/, "");
    if (nowhere) return new Response(text, { status: 503, headers: nowhere.headers });
    return bare();
  }
  if (Date.now() < restUntil) return shown(copy);
  const answer = await Promise.race([asked(request, GONE_MS, true), worthTheWait()]);
  return answer ?? shown(copy);
}

async function file(request) {
  const marked = new URL(request.url).searchParams.has("v");
  const copy = await caches.match(request.url, { cacheName: FILES });
  if (copy) return copy;
  const answer = await fetch(request);
  if (marked && answer.status === 200) await (await caches.open(FILES)).put(request.url, await copyOf(answer.clone(), 0));
  return answer;
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== location.origin || request.method !== "GET" || ALONE.includes(address.pathname)) return;
  if (address.pathname.startsWith("/static/")) event.respondWith(file(request));
  else if (request.mode === "navigate") event.respondWith(page(request));
});
