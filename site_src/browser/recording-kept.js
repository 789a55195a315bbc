/**
 * Checks that this browser keeps, so that one that was cut off goes on: what was found so far, as bytes
 * that only the core can read, and which files it was found in. The files themselves are never kept.
 */

const DATABASE = "wetside.recording";
const CHECKS = "checks";
/** Checks that are kept at most; the oldest makes room. */
const MOST = 4;

/**
 * @typedef {{key: string, runtime: string, at: number, title: string, frames: number, framesDone: number,
 *   done: number[], parts: ArrayBuffer[], handles: any[]}} KeptCheck
 *   `runtime`: the core that found it, for no other can read it; `parts`: the bytes of each Worker; `done`: which
 *   pieces of the plan are in them, counted from the first of the sample on
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

/** The newest first. @param {string} runtime @returns {Promise<KeptCheck[]>} */
export async function keptChecks(runtime) {
  const all = await transaction("readonly", (store) => store.getAll());
  return all.filter((check) => check.runtime === runtime).sort((a, b) => b.at - a.at);
}

/** @param {string} key @param {string} runtime @returns {Promise<KeptCheck | null>} */
export async function keptCheck(key, runtime) {
  const found = await transaction("readonly", (store) => store.get(key));
  return found?.runtime === runtime ? found : null;
}

/**
 * Settles when the browser has it; throws where it keeps nothing, or has no room.
 * @param {KeptCheck} check
 */
export async function keepCheck(check) {
  await makeRoom(check.key);
  try {
    await transaction("readwrite", (store) => store.put(check));
  } catch (error) {
    if (check.handles.length === 0) throw error;
    await transaction("readwrite", (store) => store.put({ ...check, handles: [] })); // not every browser stores them
  }
}

/** Before one is kept, so that it finds room. @param {string} key */
async function makeRoom(key) {
  const keys = await transaction("readonly", (store) => store.getAllKeys());
  if (keys.filter((other) => other !== key).length < MOST) return; // as nearly always: nothing is read
  const all = await transaction("readonly", (store) => store.getAll());
  const others = all.filter((check) => check.key !== key).sort((a, b) => b.at - a.at);
  for (const { key: old } of others.slice(MOST - 1)) await forgetCheck(old);
}

/** @param {string} key */
export const forgetCheck = (key) => transaction("readwrite", (store) => store.delete(key));
