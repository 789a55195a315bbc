/**
 * Where the entries of the field log are kept: in this browser's IndexedDB, and nowhere else. Each
 * change is one transaction, so two tabs cannot lose each other's entries.
 */

/** @import {Entry} from "./field-log-format.js" */

const DATABASE = "wetside.field-log";
const ENTRIES = "entries";

/** The entry is not the one that was opened: another tab has changed or deleted it, or has this id. */
export class ChangedElsewhere extends Error {}

/** @type {Promise<IDBDatabase> | null} */ let opened = null;

function database() {
  opened ??= openDatabase();
  opened.catch(() => {
    opened = null;
  });
  return opened;
}

/** @returns {Promise<IDBDatabase>} */
function openDatabase() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(DATABASE, 1); // throws where storage is blocked: rejects too
    request.onupgradeneeded = () => request.result.createObjectStore(ENTRIES, { keyPath: "id" });
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const forget = () => {
        request.result.close();
        opened = null;
      };
      request.result.onversionchange = forget;
      request.result.onclose = forget;
      resolve(request.result);
    };
  });
}

/**
 * One transaction. It is done when the browser says that the change is on its disk.
 * @template T
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore, refuse: (why: Error) => void) => IDBRequest<T> | void} work
 * @returns {Promise<T>}
 */
async function transaction(mode, work) {
  const done = (await database()).transaction(ENTRIES, mode, { durability: "strict" });
  return new Promise((resolve, reject) => {
    /** @type {Error | null} */ let why = null;
    const refuse = (/** @type {Error} */ reason) => {
      why = reason;
      done.abort();
    };
    done.onabort = () => reject(why ?? done.error ?? new Error("the browser broke the change off"));
    done.oncomplete = () => resolve(/** @type {T} */ (request?.result));
    const request = work(done.objectStore(ENTRIES), refuse);
  });
}

/** @returns {Promise<Entry[]>} */
export const readAll = () => transaction("readonly", (store) => store.getAll());

/**
 * Keep an entry.
 * @param {Entry} entry
 * @param {string | null} basis when the entry that was opened had last been changed; null for a new one
 * @throws {ChangedElsewhere}
 */
export async function keep(entry, basis) {
  await transaction("readwrite", (store, refuse) => putOver(store, refuse, entry, basis));
}

/**
 * @param {IDBObjectStore} store
 * @param {(why: Error) => void} refuse
 * @param {Entry} entry
 * @param {string | null} basis
 */
function putOver(store, refuse, entry, basis) {
  const now = store.get(entry.id);
  now.onsuccess = () => {
    if ((now.result?.changed ?? null) !== basis) {
      refuse(new ChangedElsewhere(now.result ? "changed" : "deleted"));
      return;
    }
    try {
      store.put(entry);
    } catch (error) {
      refuse(/** @type {Error} */ (error)); // thrown here it would reach nobody
    }
  };
}

/**
 * Take entries of a file in, all or none.
 * @param {Entry[]} fresh that are not here yet
 * @param {{here: Entry, file: Entry}[]} replaced that are here and give way
 * @throws {ChangedElsewhere}
 */
export async function takeIn(fresh, replaced) {
  await transaction("readwrite", (store, refuse) => {
    for (const entry of fresh) putOver(store, refuse, entry, null);
    for (const { here, file } of replaced) putOver(store, refuse, file, here.changed);
  });
}

/** @param {string} id */
export const remove = (id) => transaction("readwrite", (store) => store.delete(id));

export const removeAll = () => transaction("readwrite", (store) => store.clear());
