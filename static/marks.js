// Frames on a photo: each corner is dragged by finger or mouse; what stands is written into the field of its name.

const WIDE = 1000;
const CAUGHT_PX = 30;

/** The point of a pointer in the drawing's own measure: thousandths of the photo's width. */
function place(drawing, event) {
  const box = drawing.getBoundingClientRect();
  const scale = WIDE / box.width;
  return [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
}

/** The handle nearest to a point, where one is near enough to be meant. */
function nearest(drawing, x, y) {
  const reach = (CAUGHT_PX * WIDE) / drawing.getBoundingClientRect().width;
  let found = null;
  let least = reach;
  for (const handle of drawing.querySelectorAll("circle")) {
    const far = Math.hypot(handle.getAttribute("cx") - x, handle.getAttribute("cy") - y);
    if (far <= least) [found, least] = [handle, far];
  }
  return found;
}

function write(group) {
  const corners = [...group.querySelectorAll("circle")].map((one) => `${one.getAttribute("cx")},${one.getAttribute("cy")}`);
  group.querySelector("polygon").setAttribute("points", corners.join(" "));
  document.querySelector(`[name="${group.dataset.mark}"]`).value = corners.join(" ");
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
    held = nearest(drawing, ...place(drawing, event));
    if (!held) return;
    event.preventDefault();
    drawing.setPointerCapture(event.pointerId);
  });
  drawing.addEventListener("pointermove", (event) => {
    if (!held) return;
    const [x, y] = place(drawing, event);
    held.setAttribute("cx", Math.round(x));
    held.setAttribute("cy", Math.round(y));
    write(held.parentElement);
  });
  for (const end of ["pointerup", "pointercancel"]) drawing.addEventListener(end, () => (held = null));
}

for (const drawing of document.querySelectorAll("[data-marking]")) begin(drawing);
