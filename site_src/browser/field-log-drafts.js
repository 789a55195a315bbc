/**
 * Entries that are not finished yet, kept at every keystroke. Each lies under a key of its own, and the
 * tab that has it open holds a lock of that name, so that another tab leaves it alone. What cannot be
 * stored is held for as long as this tab lives.
 */

/** @typedef {{basis: string | null, typed: Record<string, string>, at: string}} Draft */

const KEY = "wetside.field-log.draft.";
const MINE = "wetside.field-log.open";

/** @type {Map<string, Draft>} */ const unstored = new Map();

/** The draft that this tab has open. @type {{id: string, release: () => void} | null} */
let mine = null;

/** Those that would be lost with this tab. */
export const hasUnstored = () => unstored.size > 0;

/**
 * @param {string} id
 * @param {Draft} draft
 * @returns {boolean} whether it outlives this tab
 */
export function keepDraft(id, draft) {
  try {
    localStorage.setItem(KEY + id, JSON.stringify(draft));
    unstored.delete(id);
    return true;
  } catch {
    unstored.set(id, draft); // full or blocked
    return false;
  }
}

/** @param {string} id */
export function dropDraft(id) {
  unstored.delete(id);
  try {
    localStorage.removeItem(KEY + id);
  } catch {
    // blocked: then there is none
  }
}

/**
 * @param {string} id
 * @returns {Draft | null}
 */
export function readDraft(id) {
  try {
    const draft = unstored.get(id) ?? JSON.parse(localStorage.getItem(KEY + id) ?? "null");
    return draft && typeof draft.typed === "object" ? draft : null;
  } catch {
    return null;
  }
}

/** Every draft on the device, the newest first. */
export function allDrafts() {
  const ids = new Set(unstored.keys());
  try {
    for (const key of Object.keys(localStorage)) if (key.startsWith(KEY)) ids.add(key.slice(KEY.length));
  } catch {
    // blocked: only those of this tab
  }
  return [...ids]
    .map((id) => ({ id, draft: readDraft(id) }))
    .filter((found) => found.draft !== null)
    .map(({ id, draft }) => ({ id, draft: /** @type {Draft} */ (draft) }))
    .sort((a, b) => b.draft.at.localeCompare(a.draft.at));
}

/**
 * Take a draft as this tab's own, unless another tab has it open. Without locks (a page that is not
 * secure) it is taken all the same; saving still finds out when the other tab was faster.
 * @param {string} id
 */
export async function open(id) {
  if (mine?.id === id) return true;
  const release = await lock(KEY + id);
  if (!release) return false;
  mine?.release();
  mine = { id, release };
  try {
    sessionStorage.setItem(MINE, id);
  } catch {
    // a reload then opens the newest one
  }
  return true;
}

/**
 * @param {string} name
 * @returns {Promise<(() => void) | null>} lets go of it; null when another tab has it
 */
function lock(name) {
  if (!navigator.locks) return Promise.resolve(() => {});
  return new Promise((resolve) => {
    void navigator.locks.request(name, { ifAvailable: true }, (held) => {
      if (!held) return resolve(null);
      return new Promise((release) => resolve(() => release(undefined)));
    });
  });
}

/** The draft to go on with: that of this tab, else the newest that no other tab has open. */
export async function openLast() {
  let last = null;
  try {
    last = mine?.id ?? sessionStorage.getItem(MINE);
  } catch {
    // the newest one, then
  }
  const drafts = allDrafts();
  const order = [...drafts.filter(({ id }) => id === last), ...drafts.filter(({ id }) => id !== last)];
  for (const found of order) if (await open(found.id)) return found;
  return null;
}
