// Ids of records, made where the record is made.

const LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/** A ULID: 48 bits of the time in ms, 80 random bits, in Crockford's base 32. */
export function ulid(ms = Date.now()) {
  let time = "";
  for (let left = ms, n = 0; n < 10; n += 1, left = Math.floor(left / 32)) time = LETTERS[left % 32] + time;
  const random = crypto.getRandomValues(new Uint8Array(16));
  return time + Array.from(random, (byte) => LETTERS[byte % 32]).join("");
}
