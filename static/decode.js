// Reads tags off a picture: the browser's own reader, then zxing on the whole, then its middle twice as large, then zbar.

import { isRecipe, readCode } from "./read.js";

const VENDOR = "/static/vendor/";
const OPTIONS = { formats: ["QRCodeModel2"], tryInvert: false, maxNumberOfSymbols: 2 };
const MIDDLE = 0.6;
const canvas = document.createElement("canvas");
const pen = canvas.getContext("2d", { willReadFrequently: true });
let native;
let zxing;
let zbar;

/** Something was read, but no code of ours; told apart from nothing at all. */
export const FOREIGN = "foreign";

async function ownReader() {
  if (!("BarcodeDetector" in window)) return null;
  try {
    const formats = await BarcodeDetector.getSupportedFormats();
    return formats.includes("qr_code") ? new BarcodeDetector({ formats: ["qr_code"] }) : null;
  } catch {
    return null;
  }
}

function script(address) {
  return new Promise((settle, fail) => {
    const element = document.createElement("script");
    element.src = address;
    element.onload = settle;
    element.onerror = () => fail(new Error("the reader is not here"));
    document.head.append(element);
  });
}

async function loadZxing() {
  await script(`${VENDOR}zxing-reader.js`);
  window.ZXingWASM.prepareZXingModule({ overrides: { locateFile: (name) => VENDOR + name } });
  return window.ZXingWASM;
}

async function loadZbar() {
  const module = await import("./vendor/zbar.js");
  module.setModuleArgs({ locateFile: (name) => VENDOR + name });
  return module;
}

function pixels(source, [x, y, width, height], scale) {
  canvas.width = Math.round(width * scale);
  canvas.height = Math.round(height * scale);
  pen.drawImage(source, x, y, width, height, 0, 0, canvas.width, canvas.height);
  return pen.getImageData(0, 0, canvas.width, canvas.height);
}

function judge(texts) {
  for (const text of texts) {
    const code = readCode(text);
    if (code) return code;
    if (isRecipe(text)) return text;
  }
  return texts.length ? FOREIGN : null;
}

async function byZxing(image) {
  zxing ??= loadZxing();
  const found = await (await zxing).readBarcodes(image, OPTIONS);
  return judge(found.map((one) => one.text));
}

/** Brings both readers in while the camera starts, so that no frame waits for them. */
export function warm() {
  zxing ??= loadZxing();
  zbar ??= loadZbar().catch(() => null);
  zxing.catch(() => (zxing = undefined)); // the next frame asks for it again, and says why it is not here
}

async function byZbar(image) {
  zbar ??= loadZbar().catch(() => null);
  const module = await zbar;
  if (!module) return null; // without it the first reader goes on alone
  const found = await module.scanImageData(image).catch(() => []); // where it fails, the film goes on
  const symbols = found.filter((one) => one.type === module.ZBarSymbolType.ZBAR_QRCODE);
  return judge(symbols.map((one) => one.decode()));
}

/** The middle of a picture, for a second look at twice its size. */
export function middle(width, height) {
  const side = Math.floor(Math.min(width, height) * MIDDLE);
  return [Math.floor((width - side) / 2), Math.floor((height - side) / 2), side, side];
}

/**
 * The code on a picture, the text of a recipe, FOREIGN, or null. `thorough` adds zbar, which takes long.
 * `passes` leaves out passes, for measuring one reader by itself.
 */
export async function decode(source, width, height, thorough = false, passes = ["own", "whole", "middle"]) {
  let foreign = null;
  const tries = [];
  if (passes.includes("own")) {
    native ??= ownReader();
    const reader = await native;
    if (reader) tries.push(async () => judge((await reader.detect(source)).map((one) => one.rawValue)));
  }
  if (passes.includes("whole")) tries.push(() => byZxing(pixels(source, [0, 0, width, height], 1)));
  if (passes.includes("middle")) tries.push(() => byZxing(pixels(source, middle(width, height), 2)));
  if (thorough) {
    tries.push(() => byZbar(pixels(source, [0, 0, width, height], 1)));
    tries.push(() => byZbar(pixels(source, middle(width, height), 2)));
  }
  for (const look of tries) {
    const found = await look();
    if (found && found !== FOREIGN) return found;
    foreign ??= found;
  }
  return foreign;
}
