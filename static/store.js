// The phone's own store of what is still to be sent, and the ids of what is made. A record is on its disk before anything
// else happens with it.

const NAME = "saggar-outbox";
const LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/** So many random letters of Crockford's base 32. */
const random = (count) => Array.from(crypto.getRandomValues(new Uint8Array(count)), (byte) => LETTERS[byte % 32]).join("");

/** A ULID, made where the record is made: 48 bits of the time in ms, 80 random bits. */
export function ulid(ms = Date.now()) {
  let time = "";
  for (let left = ms, n = 0; n < 10; n += 1, left = Math.floor(left / 32)) time = LETTERS[left % 32] + time;
  return time + random(16);
}

let opened = null;

/** The store, opened once a page; anew where the browser closed it, and closed for a page that wants a newer one. */
function open() {
  opened ??= newlyOpened().catch((error) => {
    opened = null;
    throw error;
  });
  return opened;
}

function newlyOpened() {
  return new Promise((settle, fail) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("entries", { keyPath: "n", autoIncrement: true });
      asked.result.createObjectStore("facts");
    };
    asked.onsuccess = () => {
      const base = asked.result;
      base.onclose = () => (opened = null);
      base.onversionchange = () => {
        opened = null;
        base.close();
      };
      settle(base);
    };
    asked.onerror = () => fail(asked.error);
    asked.onblocked = () => fail(new Error("the store is held by an older page"));
  });
}

async function using(store, mode, act) {
  const begin = (base) => base.transaction(store, mode, mode === "readwrite" ? { durability: "strict" } : {});
  let work;
  try {
    work = begin(await open());
  } catch {
    // A phone that slept may have closed it without a word.
    opened = null;
    work = begin(await open());
  }
  return new Promise((settle, fail) => {
    const asked = act(work.objectStore(store));
    work.oncomplete = () => settle(asked?.result);
    work.onabort = () => fail(work.error ?? new Error("the phone's disk refused"));
    work.onerror = () => fail(work.error);
  });
}

/** Whether an entry is still to be sent, and nothing is to be answered before. */
export const waits = ({ refused, aside }) => !refused && !aside;

/** Every entry, in the order in which they were made. */
export const all = () => using("entries", "readonly", (store) => store.getAll());

/** Keeps a new entry; settles with its number when it is on the disk. */
export const add = (entry) => using("entries", "readwrite", (store) => store.add(entry));

/** Keeps an entry as it is now. */
export const keep = (entry) => using("entries", "readwrite", (store) => store.put(entry));

/** Takes out an entry that the laptop has confirmed. */
export const remove = (n) => using("entries", "readwrite", (store) => store.delete(n));

/** A fact of this storage, such as the clock's offset. */
export const fact = (name) => using("facts", "readonly", (store) => store.get(name));

/** Keeps a fact. */
export const note = (name, value) => using("facts", "readwrite", (store) => store.put(value, name));

/** Five letters that mark this browser's storage: a fresh one is a fresh device. */
export async function mark() {
  const known = await fact("store");
  if (known) return known;
  await note("store", random(5).toLowerCase());
  return fact("store");
}
