// The codes that lie ready on this phone for what is made out of the laptop's reach: each is taken once.

import { all, fact, note } from "./outbox_store.js";
import { hello } from "./outbox_send.js";

const LOW = 4;
const MAKES = /^\/charge\/\w{26}\/open$|^\/pigment\/\w{26}\/swatch$/;

async function left() {
  const used = new Set((await all()).flatMap(({ fields }) => fields.filter(([name]) => name === "new_code").map(([, code]) => code)));
  const spent = new Set((await fact("spent")) ?? []);
  return ((await fact("stock")) ?? []).filter((code) => !used.has(code) && !spent.has(code));
}

/** A code for what a form makes, taken from the stock; null where the form makes nothing, or no code is left. */
export async function takeFor(form, path) {
  if (!("makes" in form.dataset) && !MAKES.test(path)) return null;
  const [code] = await left();
  if (!code) return null;
  await note("spent", [...((await fact("spent")) ?? []).slice(-200), code]);
  return code;
}

/** Fills the stock up while the laptop is near. */
export async function fillUp() {
  if ((await left()).length >= LOW) return;
  const { token } = await hello();
  const answer = await fetch("/outbox/codes", { method: "POST", headers: { "X-Bench-Token": token }, cache: "no-store" });
  if (answer.ok) await note("stock", (await answer.json()).codes);
}
