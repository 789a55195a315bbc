/** After a failed start: which file of the runtime is at fault? Said in plain words. */

import { isIntact } from "./integrity.js";

/** @import {RuntimeFile, RuntimeManifest} from "./types" */

/** How long, in ms, a file may take to be looked at. */
const PATIENCE = 6_000;

/**
 * Look at every file of the runtime as this page would get it. A damaged copy that the browser keeps is
 * thrown away, so that the next try fetches it anew.
 * @param {string} runtime
 * @param {string} script address of the Worker's script
 * @param {string} message what the start itself said
 * @param {{later: boolean, still: string}} options `later`: this start also loads what calculators
 *   start without; `still`: what the reader has all the same
 */
export async function findFault(runtime, script, message, { later, still }) {
  const manifest = await readManifest(runtime);
  if (typeof manifest === "string") return `${manifest} ${still}`;
  const needed = manifest.files.filter((file) => later || !manifest.later.includes(file.path));
  const looks = needed.map((file) => faultOf(runtime, file));
  const faults = (await Promise.all([faultOfScript(script), ...looks])).filter((fault) => fault !== null);
  if (faults.length > 0) return `${sentence(faults.join("; "))} ${still}`;
  const device =
    "All files of the Python runtime are complete, so the device may be short of memory, or the " +
    "browser may block WebAssembly.";
  return `Python did not start: ${trimDot(message)}. ${device} ${still}`;
}

/** @param {string} runtime */
async function readManifest(runtime) {
  const address = `${runtime}manifest.json`;
  try {
    const response = await look(address);
    if (!response.ok) return `The list of the Python runtime is missing (answer ${response.status}).`;
    return /** @type {RuntimeManifest} */ (await response.json());
  } catch {
    await forget(address);
    return navigator.onLine === false
      ? "The device is offline, and the Python runtime is not kept on it yet."
      : "The Python runtime cannot be reached: check the connection.";
  }
}

/** @param {string} address */
const look = (address) => fetch(address, { signal: AbortSignal.timeout(PATIENCE) });

/** @param {string} script */
async function faultOfScript(script) {
  try {
    const response = await look(script);
    return response.ok ? null : `the script that starts it is missing (answer ${response.status})`;
  } catch (error) {
    return unreachable("the script that starts it", error);
  }
}

/**
 * @param {string} name
 * @param {unknown} error
 */
function unreachable(name, error) {
  const slow = error instanceof DOMException && error.name === "TimeoutError";
  return slow ? `${name} does not arrive` : `${name} cannot be reached`;
}

/**
 * @param {string} runtime
 * @param {RuntimeFile} file
 */
async function faultOf(runtime, file) {
  try {
    const response = await look(runtime + file.path);
    if (!response.ok) return `${file.path} is missing (answer ${response.status})`;
    if (await isIntact(await response.arrayBuffer(), file)) return null;
  } catch (error) {
    return unreachable(file.path, error);
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
