/** Is a file the one that the build wrote? */

/** @import {RuntimeFile} from "./types" */

/**
 * @param {BufferSource} bytes
 * @returns {Promise<string>}
 */
export async function sha256(bytes) {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * Browsers give the hash function to secure pages only; elsewhere the length has to do.
 * @param {ArrayBuffer} bytes
 * @param {RuntimeFile} wanted
 */
export async function isIntact(bytes, wanted) {
  if (bytes.byteLength !== wanted.bytes) return false;
  return !globalThis.crypto?.subtle || (await sha256(bytes)) === wanted.sha256;
}
