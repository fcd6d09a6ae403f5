// The key that prints a page: there only where a script runs, since nothing else can call the printer.
for (const key of document.querySelectorAll("[data-print]")) {
  key.hidden = false;
  key.addEventListener("click", () => print());
}
