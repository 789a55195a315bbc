/**
 * The Worker that checks recordings: Python with numpy, and a loop that brings it the bytes it wants.
 *
 * A recording may be larger than all memory there is. Python says which bytes come next, they are read
 * and copied into one buffer that Python keeps; the browser reads ahead while Python computes. The files
 * are only ever read, here, and go nowhere.
 */

import { PieceReader } from "./recording-read.js";
import { Runtime, failure } from "./runtime.js";

/**
 * @import {FromRecordingWorker, Opened, Refused, Stretch, ToRecordingWorker} from "./recording-types"
 */

const DESK = "calculators.recording.bridge_ops";
const WARM_UP = "calculators.recording.warm_up";
const ARCHIVES = ["numpy.zip", "recording.zip"];
/** How often the page is told how far a check is, in ms. */
const TELL_EVERY = 300;
/** How often a Worker that rests says that it is still there, in ms. */
const STILL_HERE = 3000;

const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @type {Runtime} */ let runtime;
/** The core's side of all this: calculators/recording/bridge_ops.py. @type {any} */ let desk;
/** Those that are checked, in their order. @type {File[]} */ let files = [];
/** Goes up with every check, so that one that is given up stops. */
let turn = 0;
/** Settles when a check may go on; null while none rests. @type {Promise<void> | null} */ let rest = null;
let wake = () => {};

/** @param {FromRecordingWorker} message @param {Transferable[]} [transfer] */
const tell = (message, transfer = []) => scope.postMessage(message, transfer);

scope.addEventListener("message", (event) => {
  /** @type {ToRecordingWorker} */ const message = event.data;
  if (message.type === "load") void load(message.runtime, message.first);
  else if (message.type === "rest") pause(message.on);
  else if (message.type === "check") void check(message.id, message.stretch);
  else if (message.type === "open") void open(message.id, message.files);
  else reply(message);
});

/**
 * @param {string} address folder of the runtime, ending in "/"
 * @param {boolean} first this runtime has not started on this device before
 */
async function load(address, first) {
  const begun = performance.now();
  runtime = new Runtime(address, tell);
  try {
    await runtime.start(first);
    tell({ type: "progress", milestone: "starting" });
    await Promise.all(ARCHIVES.map((name) => runtime.addArchive(name)));
    desk = runtime.python.pyimport(DESK).Desk();
    tell({ type: "ready", ms: performance.now() - begun });
  } catch (error) {
    tell(failure(null, error));
    return;
  }
  await warmUp().catch((error) => console.warn(`Not warmed up: ${error}`)); // slower at first, and as good
}

/** Have the browser compile what a check is made of, until there are files. */
async function warmUp() {
  const mine = turn;
  const steps = runtime.python.pyimport(WARM_UP).steps();
  let done = false;
  while (mine === turn && !done) {
    done = steps.next().done;
    await others();
  }
  steps.destroy();
  if (done) tell({ type: "warm" });
}

/** What needs no waiting. @param {Exclude<ToRecordingWorker, {type: "load" | "rest" | "check" | "open"}>} message */
function reply(message) {
  const { id } = message;
  try {
    if (message.type === "run") tell({ type: "result", id, text: desk.call(message.request) });
    else if (message.type === "hear") hear(id, message.request);
    else if (message.type === "take") give(id, desk.take());
    else if (message.type === "keep") give(id, desk.keep());
    else {
      const parts = runtime.python.toPy(message.parts.map((part) => new Uint8Array(part)));
      tell({ type: "result", id, text: message.type === "join" ? desk.join(parts) : desk.take_up(parts) });
      parts.destroy();
    }
  } catch (error) {
    tell(failure(id, error));
  }
}

/**
 * @param {number} id
 * @param {File[]} chosen
 */
async function open(id, chosen) {
  const mine = ++turn;
  try {
    if (await anyFlac(chosen)) await bringUnpacker().catch(() => {}); // then Python says what is missing
    // Files that were chosen meanwhile go before these, which nobody waits for any more.
    const text = mine === turn ? openNow(chosen) : '{"ok": false, "errors": []}';
    tell({ type: "result", id, text });
  } catch (error) {
    tell(failure(id, error));
  }
}

/** Whether there is one that begins like FLAC, or with a tag that may stand before it. @param {File[]} chosen */
async function anyFlac(chosen) {
  for (const file of chosen) {
    const begins = await file.slice(0, 4).text().catch(() => ""); // one that is gone: Python names it
    if (begins === "fLaC" || begins.startsWith("ID3")) return true;
  }
  return false;
}

let broughtUnpacker = false;

/** Give Python what unpacks FLAC. */
async function bringUnpacker() {
  if (broughtUnpacker) return;
  const { loadUnpacker } = await import("./recording-flac.js");
  const unpack = await loadUnpacker();
  /** @param {any} head @param {any} packed @param {number} frames @param {number} channels @param {number} size */
  const forPython = (head, packed, frames, channels, size) => {
    const views = [head.getBuffer("u8"), packed.getBuffer("u8")];
    try {
      const [first, second] = views.map(({ data }) => data);
      const found = unpack(first, second, frames, channels, size);
      return found && runtime.python.toPy(found);
    } finally {
      for (const view of views) view.release();
    }
  };
  desk.bring(forPython);
  broughtUnpacker = true;
}

/** @param {File[]} chosen */
function openNow(chosen) {
  const reader = new FileReaderSync();
  told = performance.now(); // few files need no words
  /** @param {number} index @param {number} offset @param {number} length */
  const read = (index, offset, length) => {
    tellOpening(index + 1, chosen.length);
    try {
      const bytes = reader.readAsArrayBuffer(chosen[index].slice(offset, offset + length));
      return runtime.python.toPy(new Uint8Array(bytes));
    } catch {
      return null; // Python names the file
    }
  };
  const text = desk.open(JSON.stringify(chosen.map(({ name, size }) => ({ name, size }))), read);
  /** @type {Opened | Refused} */ const opened = JSON.parse(text);
  files = opened.ok ? opened.order.map((n) => chosen[n]) : [];
  return text;
}

/** @param {number} id @param {string} request */
function hear(id, request) {
  const answer = desk.hear(request);
  const [text, sound] = answer.toJs({ depth: 1 });
  if (!sound) {
    tell({ type: "result", id, text });
    return;
  }
  const view = sound.getBuffer("f32");
  const samples = view.data.slice();
  view.release();
  sound.destroy();
  answer.destroy();
  tell({ type: "result", id, text, samples }, [samples.buffer]);
}

/** What was found, as bytes that another Worker takes up. @param {number} id @param {any} found */
function give(id, found) {
  const bytes = found.toJs().buffer;
  found.destroy();
  tell({ type: "result", id, text: "{}", bytes }, [bytes]);
}

/** @param {boolean} on */
function pause(on) {
  wake();
  rest = on ? new Promise((resolve) => (wake = resolve)) : null;
}

/**
 * @param {number} id
 * @param {Stretch} stretch
 */
async function check(id, stretch) {
  const mine = ++turn;
  const file = files[stretch.file];
  try {
    await checkStretch(mine, file, stretch);
    tell({ type: "result", id, text: mine === turn ? "{}" : '{"stopped": true}' });
  } catch (error) {
    // A slice that cannot be read is a DOMException; Python itself is well.
    if (error instanceof DOMException) tell(failure(id, goneWords(file.name), false));
    else tell(failure(id, error));
  }
}

/** @param {string} name */
const goneWords = (name) =>
  `${name} cannot be read any more: it was changed, moved or taken out since it was chosen. Choose the files again and the check goes on`;

/**
 * @param {number} mine
 * @param {File} file
 * @param {Stretch} stretch
 */
async function checkStretch(mine, file, { file: index, first, last }) {
  desk.begin(index, first, last);
  await feed(mine, file);
  if (mine === turn) desk.end();
}

/**
 * @param {number} mine
 * @param {File} file
 */
async function feed(mine, file) {
  const reader = new PieceReader(file);
  try {
    for (let wanted = wantedNow(); wanted; wanted = wantedNow()) {
      const bytes = await reader.read(wanted.offset, wanted.length);
      if (mine !== turn) return;
      fill(bytes);
      desk.add(bytes.length);
      tellProgress();
      await others();
      await resting();
      if (mine !== turn) return;
    }
  } finally {
    reader.end();
  }
}

function wantedNow() {
  const wanted = desk.wants();
  if (!wanted) return null;
  const [offset, length] = wanted.toJs();
  wanted.destroy();
  return { offset, length };
}

/**
 * Copy a piece into the core's buffer. That is asked for anew each time: it grows with what is wanted,
 * and a heap that has grown leaves old views behind.
 * @param {Uint8Array} bytes
 */
function fill(bytes) {
  const buffer = desk.buffer;
  const view = buffer.getBuffer("u8");
  view.data.set(bytes);
  view.release();
  buffer.destroy();
}

const { port1: pinged, port2: ping } = new MessageChannel();

/** Let the messages in that have come meanwhile: a piece that is there already waits for nothing. */
function others() {
  return new Promise((resolve) => {
    pinged.addEventListener("message", resolve, { once: true });
    pinged.start();
    ping.postMessage(null);
  });
}

let told = 0;

function tellProgress() {
  if (performance.now() - told < TELL_EVERY) return;
  told = performance.now();
  const { length } = /** @type {any} */ (runtime.python)._module.HEAPU8;
  tell({ type: "step", frames: desk.frames_done, heap: length });
}

/** Many files take a while. @param {number} file the number of this one @param {number} of all of them */
function tellOpening(file, of) {
  if (performance.now() - told < TELL_EVERY) return;
  told = performance.now();
  tell({ type: "opening", file, of });
}

async function resting() {
  while (rest) {
    const { promise, timer } = awhile();
    await Promise.race([rest, promise]);
    clearTimeout(timer);
    tell({ type: "resting" });
  }
}

function awhile() {
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let timer;
  const promise = new Promise((resolve) => {
    timer = setTimeout(resolve, STILL_HERE);
  });
  return { promise, timer };
}
