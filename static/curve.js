// The curve so far against its plan, drawn on the phone from what was read, also from what still waits.

import { drawn, say } from "./made.js";

const BOX = { width: 360, height: 230, left: 52, right: 348, top: 24, base: 196 };
const HOUR = 3_600_000;
const STEPS = [100, 200, 300];

const path = (points, x, y) => points.map(([ms, c], n) => `${n ? "L" : "M"}${x(ms).toFixed(1)} ${y(c).toFixed(1)}`).join("");

/** The hours of the clock under the curve; the last one that is named says that these are hours. */
function hours(from, to, x) {
  const every = Math.ceil((to - from) / HOUR / 5);
  const all = [];
  for (let ms = Math.ceil(from / HOUR) * HOUR; ms <= to; ms += HOUR) all.push(ms);
  const named = all.filter((ms) => (ms / HOUR) % every === 0);
  const words = (ms) => `${String(new Date(ms).getHours()).padStart(2, "0")}${ms === named.at(-1) ? " h" : ""}`;
  const ticks = all.map((ms) => drawn("path", { class: "tick", d: `M${x(ms).toFixed(1)} ${BOX.base}v8` }));
  const at = (ms) => ({ class: "axis num", x: Math.min(x(ms), BOX.right - 14), y: BOX.base + 28, "text-anchor": "middle" });
  return [...ticks, ...named.map((ms) => drawn("text", at(ms), words(ms)))];
}

/** readings and plan as [ms, °C]; soak {startMs, endsMs}. Gives an SVG element. */
export function draw(readings, plan, soak) {
  const all = [...readings, ...plan];
  const [from, to] = [Math.min(...all.map(([ms]) => ms)), Math.max(...all.map(([ms]) => ms), ...(soak?.endsMs ? [soak.endsMs] : []))];
  const high = Math.max(...all.map(([, c]) => c), 100) * 1.11;
  const x = (ms) => BOX.left + ((BOX.right - BOX.left) * (ms - from)) / Math.max(to - from, 1);
  const y = (c) => BOX.base - ((BOX.base - BOX.top) * c) / high;
  const svg = drawn("svg", { class: "curve curve-away", viewBox: `0 0 ${BOX.width} ${BOX.height}`, role: "img", "aria-label": say("curve") });
  const step = STEPS.find((one) => high / one <= 5) ?? 500;
  for (let c = step; c < high; c += step) {
    const text = drawn("text", { class: "axis num", x: BOX.left - 8, y: y(c) + 6, "text-anchor": "end" }, String(c));
    svg.append(drawn("path", { class: "grid", d: `M${BOX.left} ${y(c).toFixed(1)}H${BOX.right}` }), text);
  }
  svg.append(...hours(from, to, x));
  if (plan.length) svg.append(drawn("path", { class: "planned", d: path(plan, x, y) }));
  if (readings.length > 1) svg.append(drawn("path", { class: "measured", d: path(readings, x, y) }));
  svg.append(drawn("path", { class: "base", d: `M${BOX.left} ${BOX.base}H${BOX.right}` }));
  if (soak?.startMs && soak.endsMs) {
    const [start, end] = [x(soak.startMs), x(soak.endsMs)];
    svg.append(drawn("path", { class: "bracket", d: `M${start.toFixed(1)} ${BOX.top + 3}v-7H${end.toFixed(1)}v7` }));
    svg.append(drawn("text", { class: "axis", x: (start + end) / 2, y: BOX.top - 9, "text-anchor": "middle" }, say("in-soak")));
  }
  const last = readings.at(-1);
  if (last) svg.append(drawn("circle", { class: "nowdot", cx: x(last[0]).toFixed(1), cy: y(last[1]).toFixed(1), r: 7 }));
  return svg;
}
