// Time left to an absolute end, never a counter: right whenever it is looked at. The clock of the status line too.

const MINUTE = 60_000;

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
  const left = Number(element.dataset.ends) - Date.now();
  const figure = element.querySelector(".figure");
  if (!figure) return;
  const [hours, minutes] = parts(left);
  const units = element.dataset.units ? element.dataset.units.split(" ") : ["h", "min"];
  if (hours) figure.replaceChildren(String(hours), small(units[0]), String(minutes).padStart(2, "0"));
  else figure.replaceChildren(String(minutes), small(units[1]));
  element.closest(".countdown")?.classList.toggle("over", left <= 0);
}

function paintClock(element) {
  const now = new Date();
  element.textContent = [now.getHours(), now.getMinutes()].map((n) => String(n).padStart(2, "0")).join(":");
}

function paint() {
  for (const element of document.querySelectorAll("[data-ends]")) paintEnd(element);
  for (const element of document.querySelectorAll("[data-clock]")) paintClock(element);
}

paint();
setInterval(paint, 1000);
document.addEventListener("visibilitychange", paint);
window.addEventListener("pageshow", paint);
