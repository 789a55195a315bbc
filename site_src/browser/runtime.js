/**
 * How a Worker starts Python: from kept memory where there is some, else plainly, and tells how far it
 * is. What a start needs is checked against the list that the build wrote.
 */

import { isIntact } from "./integrity.js";
import { findSnapshot } from "./snapshot.js";

/** @import {FromWorker, RuntimeManifest} from "./types" */
/** @import {PyodideInterface} from "pyodide" */

const SITE_PACKAGES = "/lib/python3.12/site-packages";
/** Progress is told at most this often, in ms. */
const REPORT_EVERY = 100;

const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @typedef {(message: FromWorker) => void} Tell */

export class Runtime {
  /** @type {PyodideInterface} */ python = /** @type {any} */ (null);
  /** @type {Map<string, Promise<void>>} */ #archives = new Map();
  /** @type {Promise<RuntimeManifest> | null} */ #manifest = null;
  #tell;

  /**
   * @param {string} address folder of the runtime, ending in "/"
   * @param {Tell} tell
   */
  constructor(address, tell) {
    this.address = address;
    this.#tell = tell;
  }

  /** @param {boolean} first this runtime has not started on this device before */
  async start(first) {
    const stopCounting = countDownloads(first, this.#tell);
    failWithWebAssembly(this.#tell);
    const memory = await findSnapshot(this.address);
    if (memory) await this.#load({ _loadSnapshot: memory.arrayBuffer() });
    else await this.startPlain({});
    stopCounting();
  }

  /** @param {object} options */
  async startPlain(options) {
    const core = this.#fetchArchive("core.zip");
    core.catch(() => {}); // it is awaited below; a failure before that is not "unhandled"
    await this.#load(options);
    this.#unpack(await core);
  }

  /** @param {object} options */
  async #load(options) {
    const { loadPyodide } = await import(`${this.address}pyodide.mjs`);
    this.python = await loadPyodide({ indexURL: this.address, ...options });
  }

  /** @param {string} name */
  addArchive(name) {
    const known = this.#archives.get(name);
    if (known) return known;
    const added = this.#fetchArchive(name).then((archive) => this.#unpack(archive));
    added.catch(() => this.#archives.delete(name)); // so that the next request tries again
    this.#archives.set(name, added);
    return added;
  }

  /** @param {ArrayBuffer} archive */
  #unpack(archive) {
    this.python.unpackArchive(new Uint8Array(archive), "zip", { extractDir: SITE_PACKAGES });
  }

  /** @param {string} name */
  async #fetchArchive(name) {
    this.#manifest ??= this.#get("manifest.json").then((response) => response.json());
    const [list, response] = await Promise.all([this.#manifest, this.#get(name)]);
    const archive = await response.arrayBuffer();
    const wanted = list.files.find((file) => file.path === name);
    if (!wanted || !(await isIntact(archive, wanted))) throw new Error(`${name} is damaged`);
    return archive;
  }

  /** @param {string} name */
  async #get(name) {
    const response = await fetch(this.address + name);
    if (!response.ok) throw new Error(`${name} is missing (answer ${response.status})`);
    return response;
  }
}

/**
 * Pyodide fetches its own files and says nothing of how far it is. Count what passes, so that the page
 * can tell a slow connection from one that is dead.
 *
 * A response that was counted is no longer the one the browser keeps compiled WebAssembly for, and
 * compiling it anew doubles the start: only a first visit counts it.
 * @param {boolean} all
 * @param {Tell} tell
 * @returns {() => void} stops counting
 */
function countDownloads(all, tell) {
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
 * @param {Tell} tell
 */
function failWithWebAssembly(tell) {
  const plain = WebAssembly.instantiateStreaming;
  WebAssembly.instantiateStreaming = async (...given) => {
    try {
      const made = await plain(...given);
      tell({ type: "progress", milestone: "starting" });
      return made;
    } catch (error) {
      tell(failure(null, error));
      throw error;
    }
  };
}

/**
 * @param {number | null} id
 * @param {unknown} error
 * @param {boolean} [fatal]
 * @returns {FromWorker}
 */
export function failure(id, error, fatal = true) {
  return { type: "failed", id, fatal, message: error instanceof Error ? error.message : String(error) };
}
