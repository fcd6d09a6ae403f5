// Reads tags off a picture: the browser's own reader, then zxing on the whole, then its middle, sharpened and twice as
// large, then zbar on that, then our own, which knows what a small tag looks like.

import { sharpen } from "./light.js";
import { isRecipe, readCode } from "./read.js";
import { symbolsOn } from "./tag_fit.js";
import { codeOn } from "./tag_words.js";

const VENDOR = "/static/vendor/";
const OPTIONS = { formats: ["QRCodeModel2"], tryInvert: false, maxNumberOfSymbols: 2 };
const MIDDLE = 0.6;
export const PASSES = ["own", "whole", "middle"];
const canvas = document.createElement("canvas");
const rough = document.createElement("canvas");
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

/** The middle of a picture with its edges drawn out, as it is and twice as large. */
function sharpened(source, width, height) {
  const close = pixels(source, middle(width, height), 1);
  sharpen(close);
  rough.width = close.width;
  rough.height = close.height;
  rough.getContext("2d").putImageData(close, 0, 0);
  return { close, large: pixels(rough, [0, 0, close.width, close.height], 2) };
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

/** Where the middle of a picture lies, for a second look at twice its size. */
export function middle(width, height) {
  const side = Math.floor(Math.min(width, height) * MIDDLE);
  return [Math.floor((width - side) / 2), Math.floor((height - side) / 2), side, side];
}

/** The code of a tag that is marred, by what it must look like. */
function byFit(image) {
  for (const seen of symbolsOn(image)) {
    const code = codeOn(seen);
    if (code) return code;
  }
  return null;
}

/**
 * The code on a picture, the text of a recipe, FOREIGN, or null. `thorough` adds zbar and our own, which take long.
 * `passes` leaves out passes, for measuring one reader by itself; "edges" lets zbar look at the whole too.
 */
export async function decode(source, width, height, thorough = false, passes = PASSES) {
  let foreign = null;
  let near;
  const whole = () => pixels(source, [0, 0, width, height], 1);
  const closer = () => (near ??= sharpened(source, width, height));
  const tries = [];
  if (passes.includes("own")) {
    native ??= ownReader();
    const reader = await native;
    if (reader) tries.push(async () => judge((await reader.detect(source)).map((one) => one.rawValue)));
  }
  if (passes.includes("whole")) tries.push(() => byZxing(whole()));
  if (passes.includes("middle")) tries.push(() => byZxing(closer().large));
  if (thorough) tries.push(() => byZbar(closer().large), () => byFit(closer().close));
  if (thorough && passes.includes("edges")) tries.push(() => byZbar(whole()));
  for (const look of tries) {
    const found = await look();
    if (found && found !== FOREIGN) return found;
    foreign ??= found;
  }
  return foreign;
}
