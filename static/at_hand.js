// What an open page may come to need while the laptop is away, brought in beforehand where no worker keeps it.

import "./calendar.js";
import "./complaint.js";
import "./expected.js";
import "./away.js";
import "./overlay.js";
import "./reach.js";

document.documentElement.dataset.atHand = "";
