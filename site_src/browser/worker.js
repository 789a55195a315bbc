/**
 * The Worker that runs Python. It loads the runtime from our own origin, imports the core and then
 * answers requests, one JSON text in and one out. Nothing that arrives here is ever run as code.
 */

import { Runtime, failure } from "./runtime.js";
import { keepSnapshot } from "./snapshot.js";

/** @import {FromWorker, ToWorker} from "./types" */

const BRIDGE = "calculators.bridge";

const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @type {Runtime} */ let runtime;
/** @type {(request: string) => string} */ let call;

/** @param {FromWorker} message */
const tell = (message) => scope.postMessage(message);

scope.addEventListener("message", (event) => {
  /** @type {ToWorker} */ const message = event.data;
  if (message.type === "load") void load(message.runtime, message.first);
  else if (message.type === "snapshot") void snapshot(message.runtime);
  else void run(message.id, message.request, message.needs);
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
    call = runtime.python.pyimport(BRIDGE).call;
    runtime.python.pyimport("gc").freeze(); // what was imported stays: no collection need look at it
    tell({ type: "ready", ms: performance.now() - begun });
  } catch (error) {
    tell(failure(null, error));
  }
}

/** @param {string} address */
async function snapshot(address) {
  runtime = new Runtime(address, tell);
  try {
    await runtime.startPlain({ _makeSnapshot: true });
    const { python } = runtime;
    // An import by Python's own hand: nothing of JavaScript may be referred to from the memory kept.
    python.runPython(`import ${BRIDGE}, gc; ${BRIDGE}.call('{"op": "describe"}'); gc.collect()`);
    await keepSnapshot(address, /** @type {any} */ (python).makeMemorySnapshot());
    tell({ type: "kept" });
  } catch (error) {
    tell(failure(null, error));
  }
}

/**
 * @param {number} id
 * @param {string} request
 * @param {string | null} needs
 */
async function run(id, request, needs) {
  let fatal = false;
  try {
    if (needs) await runtime.addArchive(needs);
    fatal = true;
    tell({ type: "result", id, text: call(request) });
  } catch (error) {
    tell(failure(id, error, fatal));
  }
}
