// Pages without the laptop. It touches GET alone: records go through the outbox of the page, which asks for an answer.
// VERSION and WORDS are put in front by the laptop. A new worker waits until a page says that no step is under way.

const FILES = `files-${VERSION}`;
const RACE_MS = 350;
const GONE_MS = 2500;
const LOST_MS = 20_000;
const REST_MS = 30_000;
const PAGES = "pages";
const LISTS = "lists";
const MARK = "X-Bench-Mark";
/** What a page of its own may be drawn for on the phone; where it knows nothing of it, that page says so. */
const DRAWN = /^(?:\/weigh)?\/(jar|pigment|swatch|thing|charge|batch|waste|crucible)\/\w{26}(\/[a-z-]+(\/\d+)?)?$/;
/** On what stands in the place of a page that the phone draws from what it knows: nothing of it is stored. */
const DRAWS = "X-Bench-Draws";
const ALONE = ["/outbox/hello", "/worker.js"];
let restUntil = 0;
let taking = 0;
let heard = 0;

/** What never changes under its address. */
const isFile = (path) => path.startsWith("/static/") || path.startsWith("/steps.json");

self.addEventListener("install", (event) => event.waitUntil(takeIn("/bench/offline.json", "bench")));

self.addEventListener("activate", (event) => event.waitUntil(clearUp()));

async function clearUp() {
  for (const name of await caches.keys()) if (![FILES, PAGES, LISTS].includes(name)) await caches.delete(name);
  await self.clients.claim();
}

/** A copy of an answer that may be given later: whole, not redirected; a page says itself when it was stored. */
async function copyOf(answer, at) {
  const headers = new Headers(answer.headers);
  headers.delete("Set-Cookie");
  const isPage = headers.get("Content-Type")?.startsWith("text/html");
  const body = isPage ? (await answer.text()).replace("<body ", `<body data-stored="${at}" `) : await answer.blob();
  return new Response(body, { status: 200, headers });
}

async function fetched(address, at) {
  const answer = await fetch(address, { cache: "no-store", headers: { "X-Bench-Pin": address } });
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

/** A list as it was taken in last, if it ever was: all its pages are here then. */
async function listed(list) {
  const found = await (await caches.open(LISTS)).match(list);
  return found ? found.json() : null;
}

/** A list as the laptop has it now; the known one where it has not changed. */
async function asListed(list, rev) {
  const known = await listed(list);
  if (known && known.rev === rev) return { ...known, same: true };
  const headers = known ? { "If-None-Match": `"${known.rev}"` } : {};
  const answer = await fetch(list, { cache: "no-store", headers });
  if (answer.status === 304) return { ...known, at_ms: Number(answer.headers.get("X-Bench-At")), same: true };
  if (answer.status !== 200) throw new Error(`${list}: ${answer.status}`);
  return answer.json();
}

/** The pages of a list of which another copy is here, or none: those alone are fetched. */
async function changed(items, pages) {
  const found = [];
  for (const [address, mark] of items) {
    const copy = mark && (await pages.match(address));
    if (!copy || copy.headers.get(MARK) !== mark) found.push(address);
  }
  return found;
}

/** Takes in one list: all its pages that have changed, and then the list itself. Answers with what it says. */
async function takeIn(list, kind, rev) {
  const now = await asListed(list, rev);
  const { at_ms: at, items, same, ...alone } = now;
  if (!same) {
    const [files, pages] = [await caches.open(FILES), await caches.open(PAGES)];
    const missing = [];
    for (const [address] of items.filter(([one]) => isFile(one))) if (!(await files.match(address))) missing.push(address);
    for (const [address, copy] of await allOf(missing, at)) await files.put(address, copy);
    // Whole or not at all: what cannot be fetched leaves all as it was.
    const fetched = await allOf(await changed(items.filter(([one]) => !isFile(one)), pages), at);
    for (const [address, copy] of fetched) await pages.put(address, copy);
    for (const address of alone.draws ?? []) await pages.put(address, new Response("", { headers: { [DRAWS]: "yes" } }));
  }
  await (await caches.open(LISTS)).put(list, new Response(JSON.stringify({ ...alone, at_ms: at, items })));
  return { ok: true, at, ...alone, kind };
}

/** Lists that the bench no longer names, and pages that no list names any more: what is done is let go. */
async function letGo(lists) {
  const [known, pages] = [await caches.open(LISTS), await caches.open(PAGES)];
  const named = new Set();
  for (const { url } of await known.keys()) {
    const list = new URL(url).pathname;
    if (list !== "/bench/offline.json" && !lists.includes(list)) await known.delete(url);
    else {
      const { items, draws = [] } = await listed(list);
      for (const address of [...items.map(([one]) => one), ...draws]) named.add(new URL(address, location.href).href);
    }
  }
  for (const { url } of await pages.keys()) if (!named.has(url)) await pages.delete(url);
}

self.addEventListener("message", (event) => {
  const { say, list, lists, rev } = event.data ?? {};
  const answer = (said) => event.ports[0]?.postMessage(said);
  if (say === "take-in") event.waitUntil(takeIn(list, undefined, rev).then(answer, (error) => answer({ ok: false, why: String(error) })));
  if (say === "let-go") event.waitUntil(letGo(lists));
  if (say === "take-over") self.skipWaiting();
  // What a page found out when it greeted the laptop: while it is away no page waits for it.
  if (say === "away") restUntil = Date.now() + REST_MS;
  if (say === "near") restUntil = 0;
});

/** The copy of a page. What the phone draws it draws in one way, whatever stood behind the question mark. */
async function kept(address) {
  const [plain] = address.split("#");
  const pages = await caches.open(PAGES);
  const found = await pages.match(plain);
  const drawn = found ?? (await pages.match(plain.split("?")[0]));
  if (!drawn?.headers.has(DRAWS)) return found;
  const empty = await pages.match("/drawn");
  return empty && asOf(empty);
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

/** What waits on this phone, asked by one method of its store; null where that is not there: it is not made here either. */
function waiting(method) {
  return new Promise((settle) => {
    const asked = indexedDB.open("saggar-outbox");
    asked.onupgradeneeded = () => asked.transaction.abort();
    asked.onerror = () => settle(null);
    asked.onsuccess = () => {
      const base = asked.result;
      const found = base.transaction("entries").objectStore("entries")[method]();
      found.onsuccess = () => settle(found.result);
      found.onerror = () => settle(null);
      base.close();
    };
  });
}

/** In the place of every page, where the browser threw the stored ones away: what was recorded is here all the same. */
async function bare() {
  const count = await waiting("count").catch(() => null);
  const safe = count === null ? WORDS.none : count ? WORDS.safe.replace("{n}", count) : WORDS.all;
  const body = `<h1>${WORDS.title}</h1><p><strong>${safe}</strong></p><p>${WORDS.why}</p><p><a href="">${WORDS.again}</a></p>`;
  const head = '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">';
  const text = `<!doctype html><html lang="en"><head>${head}<title>${WORDS.title}</title></head><body>${body}</body></html>`;
  return new Response(text, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
}

/** The page on which the phone draws what it knows: as of the newest list, not of when the empty page was stored. */
async function asOf(copy) {
  const list = await listed("/bench/offline.json");
  const text = (await copy.text()).replace(/ data-stored="\d+"/, ` data-stored="${list?.at_ms ?? 0}"`);
  return new Response(text, { status: 200, headers: copy.headers });
}

/** A page of what was made out here and waits: the laptop knows nothing of it. */
async function madeHere(address) {
  const path = new URL(address).pathname;
  const entries = DRAWN.test(path) ? ((await waiting("getAll").catch(() => null)) ?? []) : [];
  const empty = entries.some(({ id }) => path.includes(id)) && (await kept("/drawn"));
  return empty ? asOf(empty) : null;
}

async function page(request) {
  const copy = (await kept(request.url)) ?? (await madeHere(request.url));
  if (!copy) {
    // Known to be away, the laptop is not waited for; a page that is not here is then said to be not here.
    const answer = await asked(request, Date.now() < restUntil ? GONE_MS : LOST_MS);
    if (answer) return answer;
    const drawn = DRAWN.test(new URL(request.url).pathname) && (await kept("/drawn"));
    if (drawn) return asOf(drawn);
    const nowhere = await kept("/offline");
    // It stands for another page, and says nothing of when it was stored.
    const text = nowhere && (await nowhere.text()).replace(/ data-stored="\d+"/, "");
    if (nowhere) return new Response(text, { status: 503, headers: nowhere.headers });
    return bare();
  }
  if (Date.now() < restUntil) return copy;
  const answer = await Promise.race([asked(request, GONE_MS, true), worthTheWait()]);
  return answer ?? copy;
}

async function file(request) {
  const marked = new URL(request.url).searchParams.has("v");
  // What a page of a coming version asks for lies beside it already.
  const copy = (await caches.match(request.url, { cacheName: FILES })) ?? (marked && (await caches.match(request.url)));
  if (copy) return copy;
  const answer = await fetch(request);
  if (marked && answer.status === 200) await (await caches.open(FILES)).put(request.url, await copyOf(answer.clone(), 0));
  return answer;
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== location.origin || request.method !== "GET" || ALONE.includes(address.pathname)) return;
  if (isFile(address.pathname)) event.respondWith(file(request));
  else if (request.mode === "navigate") event.respondWith(page(request));
});
