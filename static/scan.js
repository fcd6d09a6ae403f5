// The scanner: the camera where the browser gives it, a photo of the tag, and what was found answered at once.

import { dashed } from "./codes.js";
import { FOREIGN, decode } from "./decode.js";
import { fact } from "./outbox_store.js";

const LONG_MS = 3000;
const REST_MS = 60;
const SIDE = 1600;
const box = document.querySelector("[data-scanner]");
const video = box?.querySelector("video");
const line = box?.querySelector("[data-scan-say]");
const torch = box?.querySelector("[data-scan-torch]");
let stream = null;

const say = (words) => {
  line.textContent = words;
};

function signal() {
  navigator.vibrate?.(80);
  try {
    const sound = new AudioContext();
    const tone = sound.createOscillator();
    tone.frequency.value = 880;
    tone.connect(sound.destination);
    tone.start();
    tone.stop(sound.currentTime + 0.12);
    tone.onended = () => sound.close();
  } catch {
    // No sound here: the screen and the vibration say it too.
  }
}

function end() {
  stream?.getTracks().forEach((track) => track.stop());
  stream = null;
  video.hidden = true;
  torch.hidden = true;
}

/** Where a code leads: back to the field that asked for it, to its page, or to the laptop's own search. */
async function answer(code) {
  end();
  signal();
  box.dataset.found = code;
  say(dashed(code));
  const asked = new URLSearchParams(location.hash.slice(1));
  const back = asked.get("for");
  if (back?.startsWith("/") && !back.startsWith("//")) {
    sessionStorage.setItem("saggar-scanned", JSON.stringify({ code, field: asked.get("field"), page: back }));
    return location.assign(back);
  }
  const known = (await fact("codes").catch(() => null))?.[code];
  if (known) return location.assign(known[1]);
  return location.assign(`/find?code=${code}`);
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
      const long = performance.now() - began > LONG_MS;
      const found = await decode(video, video.videoWidth, video.videoHeight, long && n % 3 === 0);
      if (!stream) return;
      if (found === FOREIGN) say(box.dataset.slip);
      else if (found) return answer(found);
      else if (long) say(box.dataset.none);
    }
    await new Promise((settle) => setTimeout(settle, REST_MS));
  }
}

async function start() {
  try {
    const size = { width: { ideal: 1280 }, height: { ideal: 720 } };
    stream = await navigator.mediaDevices.getUserMedia({ audio: false, video: { facingMode: { ideal: "environment" }, ...size } });
    video.srcObject = stream;
    video.hidden = false;
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
    const found = await decode(small, small.width, small.height, true).catch(() => null);
    if (found && found !== FOREIGN) return answer(found);
  }
  say(box.dataset.photoNone);
}

if (box) {
  box.hidden = false;
  const key = box.querySelector("[data-scan-start]");
  if (navigator.mediaDevices?.getUserMedia) key.addEventListener("click", start);
  else key.hidden = true;
  document.querySelector("#by-photo input[type=file]")?.addEventListener("change", photo);
  window.addEventListener("pagehide", end);
}
