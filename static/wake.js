// Keeps the screen awake while a step asks for it: <body data-wake>. The lock goes when the page is hidden, and comes back with it.

async function hold() {
  if (document.visibilityState !== "visible") return;
  try {
    await navigator.wakeLock.request("screen");
  } catch {
    // Low battery or no permission: the screen then sleeps as the phone wants.
  }
}

if ("wakeLock" in navigator && document.body.hasAttribute("data-wake")) {
  hold();
  document.addEventListener("visibilitychange", hold);
}
