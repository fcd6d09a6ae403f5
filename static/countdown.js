// Time left to an absolute end, never a counter: right whenever it is looked at. The clock of the status line too.
// Ends are moments by the laptop's clock; a phone whose clock is off is told by how much.

const MINUTE = 60_000;
let shift = 0;

/** What is added to this device's clock to get the laptop's, in ms. */
export function byLaptop(ms) {
  shift = ms;
  paint();
}

/** The laptop's time now, in ms since 1970. */
export const now = () => Date.now() + shift;

function parts(ms) {
  const whole = Math.max(0, Math.round(ms / MINUTE));
  return [Math.floor(whole / 60), whole % 60];
}

function small(words) {
  const element = document.createElement("small");
  element.textContent = words;
  return element;
}

function paintEnd(element) {
  const left = Number(element.dataset.ends) - now();
  const figure = element.querySelector(".figure");
  if (!figure) return;
  const [hours, minutes] = parts(left);
  const units = element.dataset.units ? element.dataset.units.split(" ") : ["h", "min"];
  if (hours) figure.replaceChildren(String(hours), small(units[0]), String(minutes).padStart(2, "0"));
  else figure.replaceChildren(String(minutes), small(units[1]));
  element.closest(".countdown")?.classList.toggle("over", left <= 0);
}

function paintClock(element) {
  const moment = new Date(now());
  element.textContent = [moment.getHours(), moment.getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");
}

export function paint() {
  for (const element of document.querySelectorAll("[data-ends]")) paintEnd(element);
  for (const element of document.querySelectorAll("[data-clock]")) paintClock(element);
}

paint();
setInterval(paint, 1000);
document.addEventListener("visibilitychange", paint);
window.addEventListener("pageshow", paint);
