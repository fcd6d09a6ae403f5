// What waits in the outbox, as facts: each form that was sent says what happened, to which thing, and when.

const THING = "([0-9A-HJKMNP-TV-Z]{26})";
const MINUTE = 60_000;

/** The number that was typed, one comma alone being the decimal mark; null while it is none. */
export function numberOf(text) {
  const plain = String(text ?? "").trim().replace(",", ".");
  return /^-?\d*\.?\d*$/.test(plain) && /\d/.test(plain) ? Number(plain) : null;
}

/** When it happened, by the laptop's clock in ms: as typed where it was entered late, else when it was sent. */
function whenOf(entry, field) {
  const sent = entry.at_ms + (entry.offset_ms ?? 0);
  const typed = (field("happened") ?? "").match(/^(\d{1,2}):(\d{2})$/);
  if (!typed) return sent;
  const shift = (entry.tz_min ?? 0) * MINUTE;
  const then = new Date(sent + shift);
  then.setUTCHours(Number(typed[1]), Number(typed[2]), 0, 0);
  const ms = then.getTime() - shift;
  return ms > sent ? ms - 24 * 60 * MINUTE : ms;
}

function weighed(field, thing, [line]) {
  const [before, after, added] = ["before_g", "after_g", "added_g"].map((name) => numberOf(field(name)));
  const net = before !== null && after !== null ? Math.abs(after - before) : numberOf(field("net_g"));
  if (field("do") === "back" || (net === null && added === null)) return null;
  return { kind: "weighed", thing, line: Number(line), net_g: net, added_g: net === null ? added : null, scale: field("do") === "scale" };
}

function checks(list) {
  return (field, thing, [phase], fields) => {
    const said = fields.filter(([name]) => name.startsWith("answer."));
    return { kind: "checks", thing, list: phase ?? list, answers: Object.fromEntries(said.map(([name, answer]) => [name.slice(7), answer])) };
  };
}

function dried(field, thing) {
  const gross = numberOf(field("gross_g"));
  return { kind: "dried", thing, mass_g: gross === null ? null : gross - (numberOf(field("tare_g")) ?? 0) };
}

function reading(field, thing) {
  if (field("same")) return { kind: "reading", thing, c: null, same: true };
  const digit = numberOf(field("digit"));
  if (digit !== null) return { kind: "reading", thing, c: 10 * numberOf(field("tens")) + digit };
  const raw = numberOf(field("c"));
  const unit = field("unit") || "C";
  if (raw === null) return null;
  // What they are in degrees depends on the furnace's probe.
  if (unit === "mV") return { kind: "reading", thing, c: null, mv: raw, cold_c: numberOf(field("cold_junction_c")) ?? 0 };
  return { kind: "reading", thing, c: unit === "F" ? ((raw - 32) * 5) / 9 : raw };
}

function loaded(field, thing, more, fields) {
  if (field("part") === "checks") return checks("before-loading")(field, thing, more, fields);
  return { kind: "charged", thing, g: numberOf(field("g")) ?? 0, wet: Boolean(field("wet_g")), code: field("code"), crucible: field("crucible") };
}

const WAYS = [
  [`/batch/${THING}/weigh/(\\d+)`, weighed],
  ["/weigh/jar/.+", (field) => (field("batch") ? weighed(field, field("batch"), [field("line")]) : null)],
  [`/batch/${THING}/weigh`, checks("before-weighing")],
  [`/batch/${THING}/grind`, (field, thing) => ({ kind: "mixed", thing, medium: field("medium") === "other" ? field("medium_name") : field("medium"), streak: field("streak") })],
  [`/(?:batch|charge)/${THING}/dry`, dried],
  [`/batch/${THING}/load`, loaded],
  [`/charge/${THING}/place`, (field, thing) => ({ kind: "placed", thing, firing: field("firing"), place: field("place") })],
  [`/firing/${THING}/map`, (field, thing) => ({ kind: "put", thing, charge: field("charge"), code: field("code"), place: field("place") })],
  [`/firing/${THING}/checks/([a-z-]+)`, checks()],
  [`/firing/${THING}/unlit`, (_field, thing) => ({ kind: "unlit", thing })],
  [`/firing/${THING}/light`, (_field, thing) => ({ kind: "lit", thing })],
  [`/firing/${THING}/reading`, reading],
  [`/firing/${THING}/note`, (field, thing) => ({ kind: "noted", thing, what: field("what"), value: field("value") })],
  [`/firing/${THING}/timer`, (field, thing) => ({ kind: "timer", thing, purpose: field("purpose"), minutes: numberOf(field("minutes")), clock: field("clock"), soak: Boolean(field("soak")) })],
  [`/firing/${THING}/in`, (field, thing) => ({ kind: "in", thing, charge: field("charge"), code: field("code") })],
  [`/firing/${THING}/out`, (field, thing) => ({ kind: "out", thing, charge: field("charge"), code: field("code") })],
  [`/firing/${THING}/all-out`, (_field, thing) => ({ kind: "out", thing, all: true })],
  [`/firing/${THING}/off`, (_field, thing) => ({ kind: "off", thing })],
  [`/firing/${THING}/close`, (_field, thing) => ({ kind: "closed", thing })],
  [`/thing/${THING}/close`, (_field, thing) => ({ kind: "closed", thing })],
  [`/charge/${THING}/cool`, (field, thing) => ({ kind: "touched", thing, c: numberOf(field("surface_c")) })],
  [`/charge/${THING}/open`, (_field, thing) => ({ kind: "opened", thing })],
].map(([way, read]) => [new RegExp(`^${way}$`), read]);

function factOf(entry) {
  const field = (name) => entry.fields.find(([one]) => one === name)?.[1] || null;
  const path = entry.action.split("?")[0];
  for (const [way, read] of WAYS) {
    const found = path.match(way);
    const fact = found && read(field, found[1], found.slice(2), entry.fields);
    if (fact) return { ...fact, id: entry.id, ms: whenOf(entry, field) };
  }
  return null;
}

/** What the entries of the outbox say, in their order; what was undone on the phone, refused or set aside is left out. */
export function happened(entries) {
  const undone = entries.filter((entry) => entry.action === "/undo").flatMap((entry) => entry.fields.filter(([name]) => name === "ids"));
  const ids = new Set(undone.flatMap(([, value]) => String(value).split(" ")));
  return entries.filter((entry) => !entry.refused && !entry.aside && !ids.has(entry.id)).map(factOf).filter(Boolean);
}
