/**
 * The Worker that runs Python. It loads the runtime from our own origin, imports the core and then
 * answers requests, one JSON text in and one out. Nothing that arrives here is ever run as code.
 */

import { isIntact } from "./integrity.js";
import { findSnapshot, keepSnapshot } from "./snapshot.js";

/** @import {FromWorker, RuntimeManifest, ToWorker} from "./types" */
/** @import {PyodideInterface} from "pyodide" */

const BRIDGE = "calculators.bridge";
const SITE_PACKAGES = "/lib/python3.12/site-packages";
/** Progress is told at most this often, in ms. */
const REPORT_EVERY = 100;

const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

let runtime = "";
/** @type {PyodideInterface} */ let python;
/** @type {(request: string) => string} */ let call;
/** @type {Map<string, Promise<void>>} */ const archives = new Map();

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
  runtime = address;
  try {
    const stopCounting = countDownloads(first);
    failWithWebAssembly();
    const memory = await findSnapshot(runtime);
    if (memory) await start({ _loadSnapshot: memory.arrayBuffer() });
    else await startWithCore({});
    stopCounting();
    call = python.pyimport(BRIDGE).call;
    python.pyimport("gc").freeze(); // what was imported stays: no collection need look at it
    tell({ type: "ready", ms: performance.now() - begun });
  } catch (error) {
    fail(null, error);
  }
}

/** @param {string} address */
async function snapshot(address) {
  runtime = address;
  try {
    await startWithCore({ _makeSnapshot: true });
    // An import by Python's own hand: nothing of JavaScript may be referred to from the memory kept.
    python.runPython(`import ${BRIDGE}, gc; ${BRIDGE}.call('{"op": "describe"}'); gc.collect()`);
    await keepSnapshot(runtime, /** @type {any} */ (python).makeMemorySnapshot());
    tell({ type: "kept" });
  } catch (error) {
    fail(null, error);
  }
}

/** @param {object} options */
async function startWithCore(options) {
  const core = fetchArchive("core.zip");
  core.catch(() => {}); // it is awaited below; a failure before that is not "unhandled"
  await start(options);
  unpack(await core);
}

/** @param {object} options */
async function start(options) {
  const { loadPyodide } = await import(`${runtime}pyodide.mjs`);
  python = await loadPyodide({ indexURL: runtime, ...options });
}

/**
 * @param {number} id
 * @param {string} request
 * @param {string | null} needs
 */
async function run(id, request, needs) {
  let fatal = false;
  try {
    if (needs) await addArchive(needs);
    fatal = true;
    tell({ type: "result", id, text: call(request) });
  } catch (error) {
    fail(id, error, fatal);
  }
}

/**
 * @param {number | null} id
 * @param {unknown} error
 * @param {boolean} fatal
 */
function fail(id, error, fatal = true) {
  tell({ type: "failed", id, fatal, message: error instanceof Error ? error.message : String(error) });
}

/** @param {string} name */
function addArchive(name) {
  const known = archives.get(name);
  if (known) return known;
  const added = fetchArchive(name).then(unpack);
  added.catch(() => archives.delete(name)); // so that the next request tries again
  archives.set(name, added);
  return added;
}

/** @param {ArrayBuffer} archive */
function unpack(archive) {
  python.unpackArchive(new Uint8Array(archive), "zip", { extractDir: SITE_PACKAGES });
}

/** @type {Promise<RuntimeManifest> | null} */
let manifest = null;

/** @param {string} name */
async function fetchArchive(name) {
  manifest ??= get("manifest.json").then((response) => response.json());
  const [list, response] = await Promise.all([manifest, get(name)]);
  const archive = await response.arrayBuffer();
  const wanted = list.files.find((file) => file.path === name);
  if (!wanted || !(await isIntact(archive, wanted))) throw new Error(`${name} is damaged`);
  return archive;
}

/** @param {string} name */
async function get(name) {
  const response = await fetch(runtime + name);
  if (!response.ok) throw new Error(`${name} is missing (answer ${response.status})`);
  return response;
}

/**
 * Pyodide fetches its own files and says nothing of how far it is. Count what passes, so that the page
 * can tell a slow connection from one that is dead.
 *
 * A response that was counted is no longer the one the browser keeps compiled WebAssembly for, and
 * compiling it anew doubles the start: only a first visit counts it.
 * @param {boolean} all
 * @returns {() => void} stops counting
 */
function countDownloads(all) {
  const plain = scope.fetch;
  let bytes = 0;
  let told = 0;
  /** @param {Uint8Array} chunk */
  const count = (chunk) => {
    bytes += chunk.byteLength;
    if (performance.now() - told < REPORT_EVERY) return;
    told = performance.now();
    tell({ type: "progress", milestone: "downloading", bytes });
  };
  scope.fetch = async (...request) => {
    const response = await plain(...request);
    return all || !response.url.endsWith(".wasm") ? counted(response, count) : response;
  };
  return () => {
    scope.fetch = plain;
  };
}

/**
 * @param {Response} response
 * @param {(chunk: Uint8Array) => void} count
 */
function counted(response, count) {
  if (!response.ok || !response.body) return response;
  const counter = new TransformStream({
    transform(chunk, controller) {
      count(chunk);
      controller.enqueue(chunk);
    },
  });
  return new Response(response.body.pipeThrough(counter), response);
}

/**
 * When WebAssembly is blocked, cut off or damaged, loadPyodide waits for ever. Hear of it ourselves.
 */
function failWithWebAssembly() {
  const plain = WebAssembly.instantiateStreaming;
  WebAssembly.instantiateStreaming = async (...given) => {
    try {
      const made = await plain(...given);
      tell({ type: "progress", milestone: "starting" });
      return made;
    } catch (error) {
      fail(null, error);
      throw error;
    }
  };
}
