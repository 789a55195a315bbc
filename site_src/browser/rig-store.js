/**
 * The rigs that a reader keeps on this device: texts of rig files, in this browser's storage and
 * nowhere else. Each has a revision, so that two tabs cannot silently write over each other; what
 * the browser refuses to store is refused here with its reason, and what was there stays.
 */

import { newId } from "./new-entry.js";

/**
 * @typedef {{id: string, name: string, toml: string, revision: number}} KeptRig
 * @typedef {{version: 1, open: string | null, rigs: KeptRig[]}} Shelf
 */

const KEY = "wetside.rigs";
const VERSION = 1;

/** Another tab has changed or deleted the rig since it was read here. */
export class ChangedElsewhere extends Error {}

/** What is kept was not written by this edition, or is damaged: it is left as it is. */
export class UnknownShelf extends Error {}

/**
 * @returns {Shelf}
 * @throws {UnknownShelf}
 */
export function readShelf() {
  const text = localStorage.getItem(KEY);
  if (text === null) return { version: VERSION, open: null, rigs: [] };
  const shelf = parsed(text);
  if (shelf?.version > VERSION) throw new UnknownShelf("a newer edition of the handbook wrote what is kept");
  if (shelf?.version !== VERSION || !Array.isArray(shelf.rigs) || !shelf.rigs.every(isRig)) {
    throw new UnknownShelf("what is kept is damaged");
  }
  return shelf;
}

/** @param {string} text */
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/** @param {any} rig */
const isRig = (rig) =>
  rig !== null &&
  [rig?.id, rig?.name, rig?.toml].every((part) => typeof part === "string") &&
  Number.isInteger(rig.revision);

/** @param {Shelf} shelf */
const write = (shelf) => localStorage.setItem(KEY, JSON.stringify(shelf));

/**
 * Keep a rig that is not on this device yet, and open it.
 * @param {string} name
 * @param {string} toml
 * @returns {KeptRig}
 */
export function addRig(name, toml) {
  const shelf = readShelf();
  const rig = { id: newId(), name, toml, revision: 1 };
  write({ ...shelf, open: rig.id, rigs: [...shelf.rigs, rig] });
  return rig;
}

/**
 * Keep a change.
 * @param {KeptRig} rig as it was read, its revision too
 * @param {{name: string, toml: string}} now
 * @returns {KeptRig}
 * @throws {ChangedElsewhere}
 */
export function changeRig(rig, { name, toml }) {
  const shelf = readShelf();
  expectSame(shelf, rig);
  const changed = { ...rig, name, toml, revision: rig.revision + 1 };
  write({ ...shelf, rigs: shelf.rigs.map((other) => (other.id === rig.id ? changed : other)) });
  return changed;
}

/**
 * @param {KeptRig} rig
 * @returns {() => void} puts it back
 * @throws {ChangedElsewhere}
 */
export function removeRig(rig) {
  const shelf = readShelf();
  expectSame(shelf, rig);
  const rest = shelf.rigs.filter((other) => other.id !== rig.id);
  write({ ...shelf, open: shelf.open === rig.id ? null : shelf.open, rigs: rest });
  return () => {
    const now = readShelf();
    if (now.rigs.some((other) => other.id === rig.id)) return;
    write({ ...now, open: rig.id, rigs: [...now.rigs, { ...rig, revision: rig.revision + 1 }] });
  };
}

/**
 * @param {Shelf} shelf
 * @param {KeptRig} rig
 */
function expectSame(shelf, rig) {
  const there = shelf.rigs.find((other) => other.id === rig.id);
  if (!there) throw new ChangedElsewhere("deleted");
  if (there.revision !== rig.revision) throw new ChangedElsewhere("changed");
}

/** @param {string | null} id the rig that calculators fill from, null for none */
export function openKept(id) {
  const shelf = readShelf();
  if (shelf.open !== id) write({ ...shelf, open: id });
}

/**
 * The rig that is open on this device; null where there is none or nothing can be read.
 * @returns {KeptRig | null}
 */
export function openRig() {
  try {
    const shelf = readShelf();
    return shelf.rigs.find((rig) => rig.id === shelf.open) ?? null;
  } catch {
    return null;
  }
}

/**
 * Be told when another tab has changed what is kept.
 * @param {() => void} listener
 */
export function watchShelf(listener) {
  addEventListener("storage", (event) => {
    const { key } = /** @type {StorageEvent} */ (event);
    if (key === KEY || key === null) listener();
  });
}

/**
 * A name that no kept rig has: "Tarn", "Tarn 2", "Tarn 3".
 * @param {string} wanted
 * @param {KeptRig[]} rigs
 */
export function freeName(wanted, rigs) {
  const taken = new Set(rigs.map((rig) => rig.name));
  if (!taken.has(wanted)) return wanted;
  const stem = wanted.replace(/ \d+$/, "").slice(0, 70);
  for (let count = 2; ; count++) {
    if (!taken.has(`${stem} ${count}`)) return `${stem} ${count}`;
  }
}

/** @param {unknown} error */
export function storageWords(error) {
  if (error instanceof UnknownShelf) return `${error.message}, so nothing was written over it`;
  const full = error instanceof DOMException && error.name === "QuotaExceededError";
  return full ? "this browser's storage is full" : "this browser does not let the page store anything";
}
