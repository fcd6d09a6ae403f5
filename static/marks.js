// Frames on a photo: each is dragged by finger or mouse, whole or by a corner; what stands is written into the field of
// its name, and the colour is worked out as soon as the finger lifts.

const WIDE = 1000;
const CAUGHT_PX = 30;

/** The point of a pointer in the drawing's own measure: thousandths of the photo's width. */
function place(drawing, event) {
  const box = drawing.getBoundingClientRect();
  const scale = WIDE / box.width;
  return [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
}

const at = (handle) => [Number(handle.getAttribute("cx")), Number(handle.getAttribute("cy"))];

/** The handle nearest to a point, where one is near enough to be meant. */
function nearest(drawing, x, y) {
  const reach = (CAUGHT_PX * WIDE) / drawing.getBoundingClientRect().width;
  const far = (handle) => Math.hypot(at(handle)[0] - x, at(handle)[1] - y);
  const near = [...drawing.querySelectorAll("circle")].filter((one) => far(one) <= reach);
  return near.sort((one, other) => far(one) - far(other))[0];
}

function write(group) {
  const corners = [...group.querySelectorAll("circle")].map((one) => at(one).join(","));
  group.querySelector("polygon").setAttribute("points", corners.join(" "));
  document.querySelector(`[name="${group.dataset.mark}"]`).value = corners.join(" ");
}

/** What a finger took hold of: one handle, or all of a frame; with where each stood then. */
function taken(drawing, event) {
  const start = place(drawing, event);
  const one = nearest(drawing, ...start);
  const group = one ? one.parentElement : event.target.closest("[data-mark]");
  if (!group) return null;
  const handles = one ? [one] : [...group.querySelectorAll("circle")];
  return { group, start, moves: handles.map((handle) => [handle, ...at(handle)]) };
}

function move(held, [x, y]) {
  for (const [handle, cx, cy] of held.moves) {
    handle.setAttribute("cx", Math.round(cx + x - held.start[0]));
    handle.setAttribute("cy", Math.round(cy + y - held.start[1]));
  }
  write(held.group);
}

let asked = 0;

/** The colour of the frames as they stand, and the key that keeps it; or why there is none. */
async function workOut(form) {
  const mine = ++asked;
  const answer = await fetch(form.action, { method: "POST", body: new FormData(form) });
  const found = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (mine !== asked || !found.querySelector("#found")) return;
  const refused = found.querySelector(".complaint");
  if (refused) found.querySelector("#found").replaceChildren(refused);
  for (const part of ["#found", ".actionbar"]) document.querySelector(part).replaceWith(found.querySelector(part));
}

function begin(drawing) {
  const picture = drawing.parentElement.querySelector("img");
  const fit = () => {
    const high = Math.round((WIDE * picture.naturalHeight) / (picture.naturalWidth || 1)) || WIDE;
    drawing.setAttribute("viewBox", `0 0 ${WIDE} ${high}`);
  };
  picture.complete ? fit() : picture.addEventListener("load", fit);
  let held = null;
  drawing.addEventListener("pointerdown", (event) => {
    held = taken(drawing, event);
    if (!held) return;
    event.preventDefault();
    drawing.setPointerCapture(event.pointerId);
  });
  drawing.addEventListener("pointermove", (event) => {
    if (held) move(held, place(drawing, event));
  });
  drawing.addEventListener("pointercancel", () => (held = null));
  drawing.addEventListener("pointerup", () => {
    // Out of reach of the laptop nothing is worked out, and the frames stand for later.
    if (held) workOut(drawing.closest("form")).catch(() => {});
    held = null;
  });
}

for (const drawing of document.querySelectorAll("[data-marking]")) begin(drawing);
