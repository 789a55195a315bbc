/**
 * The memory of a started Python, kept on the device that made it. A later start takes it up in about
 * a third of the time. It is an extra: whoever finds it damaged throws it away and starts plainly.
 */

const RUNTIME_CACHES = "wetside-runtime-";

/**
 * The cache of a runtime; the service worker forgets it together with the edition.
 * @param {string} hash
 */
export const runtimeCache = (hash) => RUNTIME_CACHES + hash;

/** @param {string} name */
export const isRuntimeCache = (name) => name.startsWith(RUNTIME_CACHES);

/** @param {string} runtime address of the runtime's folder, ending in "/" */
async function place(runtime) {
  const hash = new URL(runtime).pathname.split("/").at(-2) ?? "";
  // Another browser version may lay out memory otherwise, so it makes its own.
  const key = `${runtime}snapshot.bin?${encodeURIComponent(navigator.userAgent)}`;
  return { cache: await caches.open(runtimeCache(hash)), key };
}

/** Marks the place of a snapshot that did not work, so that it is not made again and again. */
const USELESS = "X-Useless";
/** A Worker that has made none after this time, in ms, is ended. */
const PATIENCE = 120_000;

/**
 * @param {string} runtime
 * @returns {Promise<Response | null>}
 */
export async function findSnapshot(runtime) {
  if (!globalThis.caches) return null; // not a secure page
  const { cache, key } = await place(runtime);
  const kept = await cache.match(key);
  return kept && !kept.headers.has(USELESS) ? kept : null;
}

/**
 * @param {string} runtime
 * @param {Uint8Array} memory
 */
export async function keepSnapshot(runtime, memory) {
  const { cache, key } = await place(runtime);
  for (const { url } of await cache.keys()) {
    if (url.startsWith(`${runtime}snapshot.bin`)) await cache.delete(url);
  }
  await cache.put(key, new Response(/** @type {BodyInit} */ (memory)));
}

/**
 * @param {string} runtime
 * @returns {Promise<boolean>} whether there was one
 */
export async function forgetSnapshot(runtime) {
  if (!(await findSnapshot(runtime))) return false;
  const { cache, key } = await place(runtime);
  await cache.put(key, new Response("", { headers: { [USELESS]: "yes" } }));
  return true;
}

/**
 * Have a Worker of its own make a snapshot, unless there is one. Settles when it is kept, or when it
 * turns out that it cannot be: the plain start then remains.
 * @param {string} runtime
 * @param {string} script address of the Worker's script
 */
export async function makeSnapshot(runtime, script) {
  if (!globalThis.caches) return;
  const { cache, key } = await place(runtime);
  if (await cache.match(key)) return;
  const worker = new Worker(script, { type: "module", name: "wetside-snapshot" });
  await new Promise((resolve) => {
    setTimeout(resolve, PATIENCE);
    worker.onerror = resolve;
    worker.onmessage = ({ data }) => {
      if (data.type === "kept" || data.type === "failed") resolve(null);
    };
    worker.postMessage({ type: "snapshot", runtime });
  });
  worker.terminate();
}
