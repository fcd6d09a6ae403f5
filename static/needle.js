// The needle follows what is typed: where the balance stands against the band, before anything is recorded.

const SVG = "http://www.w3.org/2000/svg";
const START = 10;
const END = 318;

/** The number that was typed, one comma alone being the decimal mark; NaN while it is none. */
export function typedNumber(text) {
  const plain = text.trim().replace(",", ".");
  return /^\d*\.?\d*$/.test(plain) && /\d/.test(plain) ? Number(plain) : NaN;
}

/** Where a value stands on the graduation, which is four bands wide each way; kept inside its ends. */
export function needleAt(value, low, high) {
  const middle = (low + high) / 2;
  const reach = (high - low) * 4;
  const share = (value - middle + reach / 2) / reach;
  return START + Math.min(1, Math.max(0, share)) * (END - START);
}

/** Joins a graduation and the field that it follows. */
export function join(holder) {
  const field = document.getElementById(holder.dataset.needleOn);
  const drawing = holder.querySelector("svg.gauge");
  const base = drawing?.querySelector(".base")?.getAttribute("d").match(/^M10 ([\d.]+)/);
  if (!field || !base) return;
  const low = Number(holder.dataset.low);
  const high = Number(holder.dataset.high);
  let needle = drawing.querySelector(".needle");
  const follow = () => {
    const value = typedNumber(field.value);
    if (Number.isNaN(value)) return needle?.setAttribute("visibility", "hidden");
    if (!needle) {
      needle = document.createElementNS(SVG, "path");
      needle.setAttribute("class", "needle");
      drawing.append(needle);
    }
    const x = needleAt(value, low, high).toFixed(1);
    needle.setAttribute("d", `M${x} ${Number(base[1]) + 2}V6M${x - 9} 0h18l-9 13z`);
    needle.setAttribute("visibility", "visible");
  };
  field.addEventListener("input", follow);
  if (field.value) follow();
}

for (const holder of document.querySelectorAll("[data-needle-on]")) join(holder);
