// Codes on tags: five characters and a check character by ISO/IEC 7064, MOD 37-2, as the laptop reads them.

const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const VALUES = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

/** The check character of five digits and capital letters; may be `*`. */
export function checkCharacter(body) {
  let total = 0;
  for (const char of body) total = ((total + VALUES.indexOf(char)) * 2) % 37;
  return VALUES[(((1 - total) % 37) + 37) % 37];
}

const bare = (text) => (text ?? "").toUpperCase().replace(/[ \-\u2010\u2011\u2013\t]/g, "");

/** The code in capitals without its dash, or null where this cannot be a code of ours. */
export function readCode(text) {
  const code = bare(text);
  if (code.length !== 6 || [...code].some((char) => !ALPHABET.includes(char))) return null;
  return checkCharacter(code.slice(0, 5)) === code[5] ? code : null;
}

/** Whether a symbol holds another bench's recipe, of any packing. */
export const isRecipe = (text) => /^SAGGAR\d{1,4}:/.test(text);

/** As it is read out: five characters, a dash, and the last one. */
export const dashed = (code) => `${code.slice(0, 5)}-${code[5]}`;

/** What is wrong with a code before its check character is asked: the name of its sentence, and what stands in it. */
export function faultOf(text) {
  const code = bare(text);
  for (const char of code) {
    const meant = { I: "1", L: "1", O: "0" }[char];
    if ("ILOU".includes(char)) return { no: meant ? "code-meant" : "code-letter", char, meant };
    if (!ALPHABET.includes(char)) return { no: "code-char", char };
  }
  const n = [...code].length;
  return n === 6 ? { no: "code" } : { no: "code-length", size: 6, n };
}

/** What is wrong with what readCode does not take, in one of two sentences. */
export function slip(text, { short, wrong }) {
  const count = [...bare(text)].length;
  return count === 6 ? wrong : short.replace("{n}", String(count));
}
