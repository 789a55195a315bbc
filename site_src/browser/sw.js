/**
 * The service worker. It keeps one edition of the handbook as a whole: pages, code, fonts and search
 * index when it is installed, the Python runtime when it is first used or when the reader asks.
 * Another edition waits until the reader lets it in.
 */

import { addPlugins, getCacheKeyForURL, precache } from "workbox-precaching";
import { cacheNames } from "workbox-core";
import { isIntact } from "./integrity.js";
import { isRuntimeCache, runtimeCache } from "./snapshot.js";

/** @import {FileState, RuntimeFile, ToServiceWorker} from "./types" */

const scope = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
/** @type {{url: string, revision: string | null}[]} */
const shell = /** @type {any} */ (self).__WB_MANIFEST;

const MANIFEST = "offline-manifest.json";
const RUNTIME_CACHE = runtimeCache(__RUNTIME__);
const RUNTIME_FOLDER = `runtime/${__RUNTIME__}/`;
/** A page's policy does not bind a Worker that is loaded by address: its own answer has to carry one. */
const NEEDS_POLICY = /^assets\/wetside\/(?:recording-)?worker-[^/]*\.js$/;

// A file that the host answers with an error must fail the installation, not be kept as that error.
addPlugins([{ cacheWillUpdate: async ({ response }) => (response.status === 200 ? response : null) }]);
precache([...shell, { url: MANIFEST, revision: fingerprint(JSON.stringify(shell) + __RUNTIME__) }]);

scope.addEventListener("activate", (event) => {
  // The open page of a first visit comes under it at once; later editions get here only when no page
  // of the former one is open, or when the reader has let them in.
  event.waitUntil(Promise.all([forgetOtherRuntimes(), scope.clients.claim()]));
});

scope.addEventListener("message", (event) => {
  /** @type {ToServiceWorker} */ const message = event.data;
  if (message.type === "SKIP_WAITING") event.waitUntil(scope.skipWaiting());
  else if (message.type === "FILE") {
    event.waitUntil(fileState(message.file, message.fetch).then((s) => event.ports[0].postMessage(s)));
  }
});

scope.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(scope.registration.scope)) return;
  event.respondWith(answer(request));
});

/** @param {Request} request */
async function answer(request) {
  const path = pathOf(request.url);
  if (path.startsWith(RUNTIME_FOLDER)) return runtimeFile(request);
  const kept = await keptFile(path);
  if (kept) return NEEDS_POLICY.test(path) ? withPolicy(kept) : kept;
  if (request.mode === "navigate" && (await keptFile(`${path}/`))) return toFolder(request.url);
  try {
    return await fetch(request);
  } catch (error) {
    return request.mode === "navigate" ? notFound(error) : Response.error();
  }
}

/**
 * Path from the root of the site, without search and fragment.
 * @param {string} address
 */
function pathOf(address) {
  const { origin, pathname } = new URL(address);
  return decodeURI((origin + pathname).slice(scope.registration.scope.length));
}

/**
 * A file of the precached shell; a folder stands for its index page.
 * @param {string} path
 */
async function keptFile(path) {
  const name = path === "" || path.endsWith("/") ? `${path}index.html` : path;
  const key = getCacheKeyForURL(new URL(name, scope.registration.scope).href);
  return key ? (await caches.open(cacheNames.precache)).match(key) : undefined;
}

/** @param {string} address */
function toFolder(address) {
  const url = new URL(address);
  url.pathname += "/"; // relative links on the page count on it
  return Response.redirect(url.href, 302);
}

/** @param {unknown} error */
async function notFound(error) {
  const page = await keptFile("404.html");
  if (!page) throw error;
  return new Response(page.body, { status: 404, headers: page.headers });
}

/** @param {Response} response */
function withPolicy(response) {
  const headers = new Headers(response.headers);
  headers.set("Content-Security-Policy", __POLICY__);
  return new Response(response.body, { headers });
}

/**
 * From the cache of this runtime, else from the network and into the cache.
 * @param {Request} request
 */
async function runtimeFile(request) {
  const cache = await caches.open(RUNTIME_CACHE);
  const kept = await cache.match(request, { ignoreSearch: true });
  if (kept) return kept;
  const response = await fetch(request);
  // Keeping it must not hold it up, and a full disk must not spoil it.
  if (response.status === 200) void cache.put(request, response.clone()).catch(() => {});
  return response;
}

async function forgetOtherRuntimes() {
  for (const name of await caches.keys()) {
    if (isRuntimeCache(name) && name !== RUNTIME_CACHE) await caches.delete(name);
  }
}

/**
 * @param {RuntimeFile} file
 * @param {boolean} mayFetch
 * @returns {Promise<FileState>}
 */
async function fileState(file, mayFetch) {
  const place = await placeOf(file.path);
  if (!place) return "missing";
  const kept = await place.cache.match(place.key);
  const intact = kept && (await isIntact(await kept.arrayBuffer(), file));
  if (intact) return "kept";
  return mayFetch ? fetchFile(file, place) : kept ? "damaged" : "missing";
}

/**
 * Where this edition keeps a file, whether it is there or not.
 * @param {string} path
 */
async function placeOf(path) {
  const address = new URL(path, scope.registration.scope).href;
  if (path.startsWith(RUNTIME_FOLDER)) return { cache: await caches.open(RUNTIME_CACHE), key: address };
  const key = getCacheKeyForURL(address);
  return key ? { cache: await caches.open(cacheNames.precache), key } : null;
}

/**
 * @param {RuntimeFile} file
 * @param {{cache: Cache, key: string}} place
 * @returns {Promise<FileState>}
 */
async function fetchFile(file, { cache, key }) {
  try {
    const response = await fetch(new URL(file.path, scope.registration.scope), { cache: "reload" });
    if (response.status !== 200) return "missing";
    const intact = await isIntact(await response.clone().arrayBuffer(), file);
    if (!intact) return "damaged";
    await cache.put(key, response);
    return "kept";
  } catch {
    return "unreachable";
  }
}

/**
 * A short name for a text (FNV-1a), so that the list of files is fetched anew when any of them changed.
 * @param {string} text
 */
function fingerprint(text) {
  let hash = 0x811c9dc5;
  for (const character of text) {
    hash = Math.imul(hash ^ /** @type {number} */ (character.codePointAt(0)), 0x01000193);
  }
  return (hash >>> 0).toString(16);
}
