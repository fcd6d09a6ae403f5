// The scanner: the camera where the browser gives it, a photo of the tag, the typed code, and each answered at once.

import { FOREIGN, PASSES, decode, warm } from "./decode.js";
import { complain } from "./elements.js";
import { dashed, isRecipe, readCode, slip } from "./read.js";
import { chirp } from "./ring.js";
import { inReach, onReturn } from "./sending.js";

const LONG_MS = 3000;
const REST_MS = 60;
/** What takes long and reads what the first reader cannot looks at every third frame. */
const THOROUGH = 3;
const SIDE = 1600;
const box = document.querySelector("[data-scanner]");
const video = box?.querySelector("video");
const line = box?.querySelector("[data-scan-say]");
const torch = box?.querySelector("[data-scan-torch]");
let stream = null;

/** Shows a sentence under the picture; gives what takes it back. */
function say(words) {
  line.textContent = words;
  return () => line.textContent === words && say("");
}

function end() {
  stream?.getTracks().forEach((track) => track.stop());
  stream = null;
  video.hidden = true;
  torch.hidden = true;
}

/** Brought in when a code is there: it needs all that this phone knows. */
const answer = async (code, tell) => (await import("./found.js")).answer(code, tell);

/** Shows what holds only while the laptop is away, and takes it back when it returns. */
const away = (words, put = say) => onReturn(put(words));

async function scanned(code) {
  end();
  chirp();
  box.dataset.found = code;
  if (!isRecipe(code)) say(dashed(code));
  return answer(code, away);
}

async function light() {
  const [track] = stream.getVideoTracks();
  if (!track.getCapabilities?.().torch) return;
  torch.hidden = false;
  torch.onclick = async () => {
    const on = torch.getAttribute("aria-pressed") !== "true";
    await track.applyConstraints({ advanced: [{ torch: on }] });
    torch.setAttribute("aria-pressed", String(on));
  };
}

async function watch() {
  const began = performance.now();
  for (let n = 0; stream; n += 1) {
    if (video.videoWidth) {
      const found = await decode(video, video.videoWidth, video.videoHeight, n % THOROUGH === THOROUGH - 1);
      if (!stream) return;
      if (found === FOREIGN) say(box.dataset.slip);
      else if (found) return scanned(found);
      else if (performance.now() - began > LONG_MS) say(box.dataset.none);
    }
    await new Promise((settle) => setTimeout(settle, REST_MS));
  }
}

async function start() {
  warm();
  video.hidden = false; // its room is there at once: nothing moves when the camera opens
  try {
    const size = { width: { ideal: 1280 }, height: { ideal: 720 } };
    stream = await navigator.mediaDevices.getUserMedia({ audio: false, video: { facingMode: { ideal: "environment" }, ...size } });
    video.srcObject = stream;
    await video.play();
    light();
    await watch();
  } catch (error) {
    end();
    say(box.dataset.refused.replace("{why}", error.name ?? "?"));
  }
}

/** A photo is read on the phone itself, smaller and smaller; only where that fails does it go to the laptop. */
async function photo(event) {
  const [file] = event.target.files;
  if (!file) return;
  const picture = await createImageBitmap(file).catch(() => null);
  if (!picture) return;
  for (const share of [1, 0.5, 0.25]) {
    const scale = Math.min(1, SIDE / Math.max(picture.width, picture.height)) * share;
    const small = document.createElement("canvas");
    small.width = Math.max(1, Math.round(picture.width * scale));
    small.height = Math.max(1, Math.round(picture.height * scale));
    small.getContext("2d").drawImage(picture, 0, 0, small.width, small.height);
    const found = await decode(small, small.width, small.height, true, [...PASSES, "edges"]).catch(() => null);
    if (found && found !== FOREIGN) return scanned(found);
  }
  say(box.dataset.photoNone);
}

/** A typed code is read on the phone: a slip is said at once, and what is under way is found without the laptop. */
async function typed(event) {
  event.preventDefault();
  const { code } = event.target.elements;
  const put = (words) => complain(code, words);
  const read = readCode(code.value);
  put("");
  if (!read) return put(slip(code.value, box.dataset));
  return answer(read, (words) => away(words, put));
}

/** The laptop reads a photo that the phone could not read, while it is in reach. */
async function sent(event) {
  event.preventDefault();
  if (await inReach()) return event.target.submit();
  const [input] = event.target.querySelectorAll("input[type=file]");
  return away((await import("./away.js")).say("photo-away"), (words) => complain(input, words));
}

if (box) {
  const key = box.querySelector("[data-scan-start]");
  key.hidden = !navigator.mediaDevices?.getUserMedia;
  key.addEventListener("click", start);
  document.querySelector("#by-photo input[type=file]")?.addEventListener("change", photo);
  if (document.querySelector("[data-outbox-mark]")) {
    document.getElementById("seek").addEventListener("submit", typed);
    document.getElementById("by-photo")?.addEventListener("submit", sent);
  }
  window.addEventListener("pagehide", end);
}
