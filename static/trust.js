// Tries on the phone itself what has to work: the bench's name, its certificate, the worker and the camera.

const box = document.querySelector("[data-check]");
const TRY_MS = 6000;

/** Whether a picture of ours can be loaded from there: the name is found and the certificate is trusted. */
function reaches(origin) {
  return new Promise((settle) => {
    const picture = new Image();
    const late = setTimeout(() => settle(false), TRY_MS);
    const done = (worked) => () => {
      clearTimeout(late);
      settle(worked);
    };
    picture.onload = done(true);
    picture.onerror = done(false);
    picture.src = `${origin}/trust/ping.svg?${Date.now()}`;
  });
}

function say(part, worked) {
  const element = box.querySelector(`[data-part=${part}]`);
  element.textContent = worked === null ? box.dataset.there : worked ? box.dataset.yes : box.dataset.no;
  element.dataset.works = String(worked);
}

async function worker() {
  if (!window.isSecureContext) return null;
  if (!("serviceWorker" in navigator)) return false;
  try {
    await navigator.serviceWorker.register("/worker.js");
    return true;
  } catch {
    return false;
  }
}

async function firstOf(origins) {
  for (const origin of origins) if (await reaches(origin)) return true;
  return false;
}

async function check() {
  const named = box.dataset.origin ? await reaches(box.dataset.origin) : false;
  say("name", named);
  const trusted = named || (await firstOf(box.dataset.byAddress.split(" ").filter(Boolean)));
  say("trust", trusted);
  say("worker", await worker());
  say("camera", window.isSecureContext ? Boolean(navigator.mediaDevices?.getUserMedia) : null);
  const advice = named ? "app" : trusted ? "address" : "trust";
  box.querySelector(`[data-advice=${advice}]`).hidden = false;
}

if (box) check();
