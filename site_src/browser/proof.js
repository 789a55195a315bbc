/**
 * Is the handbook really on this device? Not believed but proved: every file is there and is the
 * published one, and Python has been started from the kept files and has calculated.
 */

import { Engine } from "./engine.js";
import { recall, remember } from "./settings.js";
import { edition, runtimeAddress, siteAddress, workerAddress } from "./site.js";

/**
 * @import {Answer, Description, FileState, OfflineManifest, Proof, RuntimeFile, ToServiceWorker} from "./types"
 * @typedef {{file: RuntimeFile, state: FileState}} Fault
 * @typedef {(done: number, total: number) => void} Progress
 */

const RECORD = "wetside.offline";
/** Files looked at or fetched at the same time. */
const AT_ONCE = 4;

/** @type {Promise<OfflineManifest> | null} */ let manifest = null;

/** The list of files of the edition that this page belongs to. */
export function offlineManifest() {
  manifest ??= readManifest();
  manifest.catch(() => {
    manifest = null;
  });
  return manifest;
}

/** @returns {Promise<OfflineManifest>} */
async function readManifest() {
  const response = await fetch(siteAddress("offline-manifest.json"));
  if (!response.ok) throw new Error(`the list of files is missing (answer ${response.status})`);
  const list = await response.json();
  if (list.edition !== edition()) throw new Error(`edition ${list.edition} is out; load the page anew`);
  return list;
}

/** @returns {Proof | null} */
export function lastProof() {
  try {
    const proof = JSON.parse(recall(RECORD) ?? "null");
    return proof?.edition === edition() ? proof : null;
  } catch {
    return null; // written by an older edition or damaged: as good as none
  }
}

/**
 * Look at every file; with `fetch`, get those that are missing or damaged.
 * @param {OfflineManifest} list
 * @param {boolean} mayFetch
 * @param {Progress} progress
 * @returns {Promise<Fault[]>}
 */
export async function checkFiles(list, mayFetch, progress) {
  /** @type {Fault[]} */ const faults = [];
  const left = [...list.files];
  let done = 0;
  const worker = async () => {
    for (let file = left.shift(); file; file = left.shift()) {
      /** @type {FileState} */
      const state = await askServiceWorker({ type: "FILE", file, fetch: mayFetch });
      if (state !== "kept") faults.push({ file, state });
      done += file.bytes;
      progress(done, list.bytes);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
  return faults;
}

/**
 * @template T
 * @param {ToServiceWorker} message
 * @returns {Promise<T>}
 */
function askServiceWorker(message) {
  const controller = navigator.serviceWorker.controller;
  if (!controller) throw new Error("the browser has not handed this page to its offline copy yet");
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => resolve(event.data);
    controller.postMessage(message, [port2]);
  });
}

/** Start Python afresh and let it calculate once. */
export async function tryPython() {
  const engine = new Engine(runtimeAddress(), workerAddress());
  try {
    /** @type {Description} */
    const { calculators } = await engine.ask({ op: "describe" });
    const [decl] = calculators;
    /** @type {Record<string, string>} */ const fields = {};
    for (const input of decl.inputs) {
      fields[input.name] = input.kind === "number" ? input.metric.default_text : input.default;
    }
    /** @type {Answer} */
    const answer = await engine.ask({
      op: "answer",
      calculator: decl.id,
      fields,
      tolerances: {},
      system: "metric",
      plot: false,
      solve: null,
    });
    if (!answer.ok) throw new Error(`Python started but did not calculate “${decl.title}”`);
    return `${decl.title}: ${answer.outputs[0].text}`;
  } finally {
    engine.terminate();
  }
}

/** Whether the browser has promised not to clear what is kept. */
export async function askPersistence() {
  try {
    return (await navigator.storage?.persisted?.()) || (await navigator.storage?.persist?.()) || false;
  } catch {
    return false;
  }
}

/**
 * @param {OfflineManifest} list
 * @param {boolean} persisted
 * @returns {Proof}
 */
export function recordProof(list, persisted) {
  const proof = {
    edition: list.edition,
    version: list.version,
    date: new Date().toISOString(),
    files: list.files.length,
    bytes: list.bytes,
    persisted,
  };
  remember(RECORD, JSON.stringify(proof));
  return proof;
}

export const forgetProof = () => remember(RECORD, "null");
