// One timer as an event with an alarm for the phone's own calendar, made on the phone while the laptop is away.
// Twin of bench/screens/phone/timers.py by RFC 5545; one vector file proves both.

const MINUTE = 60_000;
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
  const link = document.createElement("a");
  Object.assign(link, { href: file, download: `timer-${timer.id.slice(-6).toLowerCase()}.ics` });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(file), MINUTE);
}
