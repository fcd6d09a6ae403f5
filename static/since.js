// How things stand on this phone: what the laptop told, with what waits in the outbox laid over it.

import { happened } from "./happened.js";
import { laid } from "./laid.js";
import { all, fact } from "./outbox_store.js";

/** What was told, what happened since, and how things stand now. */
export async function since() {
  const told = (await fact("told")) ?? {};
  const facts = happened(await all());
  return { told, facts, things: laid(told, facts) };
}

/** The id kept free on the laptop for the next filling of a batch, which no other filling of this phone has taken. */
export async function freeFor(path) {
  const [, batch] = path.match(/^\/batch\/(\w{26})\/load$/) ?? [];
  const free = (await fact("free"))?.[batch] ?? [];
  const taken = new Set([...(await all()).map((entry) => entry.id), ...((await fact("taken")) ?? [])]);
  return free.find((id) => !taken.has(id)) ?? null;
}
