// What a page asks of the device itself: to read aloud, to print, to send a photo off as it is taken, to stay awake.
// A key that needs a script stays hidden where none runs, or where the device cannot do it.

const SKIPPED = "svg, .sr, .keypad, details:not([open]) > :not(summary), [hidden], script";

function wordsOf(main) {
  const copy = main.cloneNode(true);
  for (const element of copy.querySelectorAll(SKIPPED)) element.remove();
  for (const block of copy.querySelectorAll("p, li, h1, h2, h3, tr, dt, dd, label, section")) block.append(". ");
  return copy.textContent.replace(/\s+/g, " ").replace(/(\. )+/g, ". ").trim();
}

/** Says something aloud in the page's language, in place of what is being said. */
export function speak(words) {
  speechSynthesis.cancel();
  const said = new SpeechSynthesisUtterance(words);
  said.lang = document.documentElement.lang;
  speechSynthesis.speak(said);
}

function toggle(key) {
  if (speechSynthesis.speaking) return speechSynthesis.cancel();
  const title = document.querySelector("h1")?.textContent ?? "";
  return speak(key.dataset.aloud || `${title}. ${wordsOf(document.querySelector("main"))}`);
}

if ("speechSynthesis" in window) {
  for (const key of document.querySelectorAll("[data-aloud]")) {
    key.hidden = false;
    key.addEventListener("click", () => toggle(key));
  }
  window.addEventListener("pagehide", () => speechSynthesis.cancel());
}

for (const key of document.querySelectorAll("[data-print]")) {
  key.hidden = false;
  key.addEventListener("click", () => print());
}

// Its form has nothing else to be filled in.
for (const field of document.querySelectorAll("[data-snap]")) {
  field.addEventListener("change", () => {
    if (field.files.length) field.form.requestSubmit();
  });
}

/** Keeps the screen awake while <body data-wake> asks for it. The lock goes when the page is hidden, and comes back with it. */
export async function stayAwake() {
  if (document.visibilityState !== "visible" || !("wake" in document.body.dataset)) return;
  // Low battery, no permission, or nothing that could: the screen then sleeps as the phone wants.
  await navigator.wakeLock?.request("screen").catch(() => null);
}

stayAwake();
document.addEventListener("visibilitychange", stayAwake);
