// Enter in a row of the sheet goes to the first blank of the next row; after the last one, to the key that records all of them.

function onEnter(event) {
  const row = event.key === "Enter" && event.target.matches("input") ? event.target.closest(".paper-row") : null;
  if (!row) return;
  event.preventDefault();
  const shown = [...document.querySelectorAll(".paper-row")].filter((one) => one.checkVisibility());
  const next = shown[shown.indexOf(row) + 1];
  (next?.querySelector("input, select") ?? document.querySelector(".actionbar .plate")).focus();
}

document.addEventListener("keydown", onEnter);
