/**
 * Checks that this browser keeps, so that one that was cut off goes on: what was found so far, as bytes
 * that only the core can read, and which files it was found in. The files themselves are never kept.
 */

const DATABASE = "wetside.recording";
const CHECKS = "checks";
/** Checks that are kept at most; the oldest makes room. */
const MOST = 4;

/**
 * @typedef {{done: number, bytes: ArrayBuffer | null}} KeptShare `done`: stretches of it that are in the bytes
 * @typedef {{key: string, edition: string, at: number, title: string, frames: number, framesDone: number,
 *   workers: number, shares: KeptShare[], handles: any[]}} KeptCheck
 */

/** @returns {Promise<IDBDatabase>} */
function database() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(DATABASE, 1); // throws where storage is blocked: rejects too
    request.onupgradeneeded = () => request.result.createObjectStore(CHECKS, { keyPath: "key" });
    request.onerror = () => reject(request.error);
    request.onsuccess = () => resolve(request.result);
  });
}

/**
 * @template T
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore) => IDBRequest<T>} work
 * @returns {Promise<T>}
 */
async function transaction(mode, work) {
  const opened = await database();
  try {
    const done = opened.transaction(CHECKS, mode);
    return await new Promise((resolve, reject) => {
      const request = work(done.objectStore(CHECKS));
      done.oncomplete = () => resolve(request.result);
      done.onabort = () => reject(done.error ?? new Error("the browser broke the change off"));
    });
  } finally {
    opened.close();
  }
}

/** The newest first. @param {string} edition @returns {Promise<KeptCheck[]>} */
export async function keptChecks(edition) {
  const all = await transaction("readonly", (store) => store.getAll());
  return all.filter((check) => check.edition === edition).sort((a, b) => b.at - a.at);
}

/** @param {string} key @param {string} edition @returns {Promise<KeptCheck | null>} */
export async function keptCheck(key, edition) {
  const found = await transaction("readonly", (store) => store.get(key));
  return found?.edition === edition ? found : null;
}

/** @param {KeptCheck} check */
export async function keepCheck(check) {
  try {
    await transaction("readwrite", (store) => store.put(check));
  } catch (error) {
    if (check.handles.length === 0) throw error;
    await transaction("readwrite", (store) => store.put({ ...check, handles: [] })); // not every browser stores them
  }
  const all = await transaction("readonly", (store) => store.getAll());
  const old = all.sort((a, b) => b.at - a.at).slice(MOST);
  for (const { key } of old) await forgetCheck(key);
}

/** @param {string} key */
export const forgetCheck = (key) => transaction("readwrite", (store) => store.delete(key));
