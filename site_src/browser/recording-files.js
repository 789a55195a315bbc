/** The files that a reader gives, however they come: chosen, a folder, dropped, or kept handles. */

/**
 * @typedef {{file: File, handle: any}} Given `handle` where the browser hands one out: it outlives the page
 */

/** More files than any card holds of one deployment; a dropped home folder stops here. */
const MOST_FILES = 20_000;

/** What is looked into; all else in a folder is passed over, and said so. */
const RECORDING = /\.(wav|wave|bwf|rf64|bw64|w64|flac)$/i;

/** @param {FileList | null} list @returns {Given[]} */
export const fromInput = (list) => [...(list ?? [])].map((file) => ({ file, handle: null }));

/**
 * What was dropped: files, and all that is in folders.
 * @param {DataTransfer} dropped
 * @returns {Promise<Given[]>}
 */
export async function fromDrop(dropped) {
  const items = [...dropped.items].filter((item) => item.kind === "file");
  // Both have to be asked for before the first wait: afterwards the browser takes the drop back.
  const asked = items.map((item) => ({
    entry: item.webkitGetAsEntry?.() ?? null,
    file: item.getAsFile(),
    handle: /** @type {any} */ (item).getAsFileSystemHandle?.() ?? null,
  }));
  /** @type {Given[]} */ const found = [];
  for (const { entry, file, handle } of asked) {
    const held = await Promise.resolve(handle).catch(() => null);
    if (held) await fromHandle(held, found);
    else if (entry?.isDirectory) await fromFolder(/** @type {FileSystemDirectoryEntry} */ (entry), found);
    else if (file) found.push({ file, handle: null });
  }
  return found;
}

/**
 * @param {any} handle
 * @param {Given[]} found
 */
async function fromHandle(handle, found) {
  if (handle.kind === "file") {
    found.push({ file: await handle.getFile(), handle });
    return;
  }
  for await (const inside of handle.values()) {
    if (found.length >= MOST_FILES) return;
    await fromHandle(inside, found);
  }
}

/**
 * @param {FileSystemDirectoryEntry} folder
 * @param {Given[]} found
 */
async function fromFolder(folder, found) {
  const reader = folder.createReader();
  for (;;) {
    /** @type {FileSystemEntry[]} */
    const some = await new Promise((resolve, reject) => reader.readEntries(resolve, reject));
    if (some.length === 0) return;
    for (const entry of some) {
      if (found.length >= MOST_FILES) return;
      if (entry.isDirectory) await fromFolder(/** @type {FileSystemDirectoryEntry} */ (entry), found);
      else found.push({ file: await fileOf(/** @type {FileSystemFileEntry} */ (entry)), handle: null });
    }
  }
}

/** @param {FileSystemFileEntry} entry @returns {Promise<File>} */
const fileOf = (entry) => new Promise((resolve, reject) => entry.file(resolve, reject));

/**
 * Those whose name is a recording's, in the order of their names. Where none is, all: the reader then
 * hears of each why it is no recording.
 * @param {Given[]} given
 */
export function recordings(given) {
  const named = given.filter(({ file }) => RECORDING.test(file.name));
  const chosen = named.length > 0 ? named : given;
  const order = new Intl.Collator("en", { numeric: true }).compare;
  return {
    chosen: chosen.sort((a, b) => order(a.file.name, b.file.name)),
    passed: given.length - chosen.length,
  };
}

/**
 * Take up handles that were kept; the browser may ask the reader first, so it has to be after a click.
 * @param {any[]} handles
 * @returns {Promise<Given[]>}
 */
export async function fromKept(handles) {
  /** @type {Given[]} */ const found = [];
  for (const handle of handles) {
    const allowed = (await handle.queryPermission({ mode: "read" })) === "granted";
    if (!allowed && (await handle.requestPermission({ mode: "read" })) !== "granted") {
      throw new Error("the browser was not allowed to read the files again");
    }
    found.push({ file: await handle.getFile(), handle });
  }
  return found;
}

/**
 * What tells this set of files from any other, without reading them.
 * @param {File[]} files
 */
export const keyOf = (files) =>
  files.map(({ name, size, lastModified }) => `${name}|${size}|${lastModified}`).join("\n");
