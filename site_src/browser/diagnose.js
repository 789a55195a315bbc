/** After a failed start: which file of the runtime is at fault? Said in plain words. */

import { isIntact } from "./integrity.js";

/** @import {RuntimeFile, RuntimeManifest} from "./types" */

/** A file that is not here after this time, in ms, counts as not to be reached. */
const PATIENCE = 20_000;
const STILL_GOOD = "The worked example stays as it is.";

/**
 * Look at every file of the runtime as this page would get it. A damaged copy that the browser keeps is
 * thrown away, so that the next try fetches it anew.
 * @param {string} runtime
 * @param {string} message what the start itself said
 */
export async function findFault(runtime, message) {
  const manifest = await readManifest(runtime);
  if (typeof manifest === "string") return `${manifest} ${STILL_GOOD}`;
  const faults = [];
  for (const file of manifest.files) {
    const fault = await faultOf(runtime, file);
    if (fault) faults.push(fault);
  }
  if (faults.length > 0) return `${sentence(faults.join("; "))} ${STILL_GOOD}`;
  const device =
    "All files of the Python runtime are complete, so the device may be short of memory, or the " +
    "browser may block WebAssembly.";
  return `Python did not start: ${trimDot(message)}. ${device} ${STILL_GOOD}`;
}

/** @param {string} runtime */
async function readManifest(runtime) {
  const address = `${runtime}manifest.json`;
  try {
    const response = await fetch(address, { signal: AbortSignal.timeout(PATIENCE) });
    if (!response.ok) return `The list of the Python runtime is missing (answer ${response.status}).`;
    return /** @type {RuntimeManifest} */ (await response.json());
  } catch {
    await forget(address);
    return navigator.onLine === false
      ? "The device is offline, and the Python runtime is not kept on it yet."
      : "The Python runtime cannot be reached: check the connection.";
  }
}

/**
 * @param {string} runtime
 * @param {RuntimeFile} file
 */
async function faultOf(runtime, file) {
  try {
    const response = await fetch(runtime + file.path, { signal: AbortSignal.timeout(PATIENCE) });
    if (!response.ok) return `${file.path} is missing (answer ${response.status})`;
    if (await isIntact(await response.arrayBuffer(), file)) return null;
  } catch {
    return `${file.path} cannot be reached`;
  }
  await forget(runtime + file.path);
  return `${file.path} is damaged: it is not the file that belongs to this edition`;
}

/** @param {string} address */
async function forget(address) {
  for (const name of (await globalThis.caches?.keys()) ?? []) {
    await (await caches.open(name)).delete(address);
  }
  // Past the browser's own cache; a failure is of no account, the next try reports it.
  await fetch(address, { cache: "reload" }).catch(() => {});
}

/** @param {string} faults */
const sentence = (faults) => `A file of the Python runtime is at fault: ${faults}.`;

/** @param {string} text */
const trimDot = (text) => text.replace(/[.\s]+$/, "");
