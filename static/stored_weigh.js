// A stored weighing brought up to what waits: the new target after an overshoot, what is to be added, what it corrects.

import { make, say, strip } from "./made.js";

function hidden(form, name, value) {
  const field = form.elements.namedItem(name) ?? form.appendChild(make("input", { type: "hidden", name }));
  field.value = value;
}

export function weighPage(batch, number) {
  const line = batch.lines.find((one) => one.line === number);
  const form = document.getElementById("ask");
  const target = document.querySelector(".weigh-target .bigfig .figure");
  if (!line || !form || !target) return;
  const text = (g) => g.toFixed(batch.places ?? 2);
  const short = line.weighed_g !== null && line.target_g > line.planned_g ? line.target_g - line.weighed_g : 0;
  const adding = short > batch.within_g + 1e-9;
  hidden(form, "corrects", line.heads.join(" "));
  target.textContent = text(adding ? short : line.target_g);
  const holder = document.querySelector("[data-needle-on]");
  if (holder && (adding || Number(holder.dataset.low) !== line.target_g - batch.within_g)) holder.hidden = true;
  const place = document.querySelector(".weigh-target");
  if (adding) {
    place.append(make("p", { look: "pad lead", text: say("adding", { was: text(line.weighed_g), now: text(line.target_g) }) }));
    const net = form.elements.namedItem("net_g");
    if (!net) return;
    hidden(form, "adding", "1");
    net.name = "added_g";
    form.querySelector(`label[for="${net.id}"]`).textContent = say("added");
    return;
  }
  if (line.weighed_g !== null) place.append(strip(say("weighed", { g: text(line.weighed_g) }), say("corrects")));
  else if (line.target_g > line.planned_g) place.append(make("p", { look: "pad lead", text: say("rescaled", { g: text(line.target_g) }) }));
}
