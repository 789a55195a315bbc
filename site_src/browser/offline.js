/** The reader's hold on the offline copy: keep it, check it, and let a new edition in. */

import { h, setFlag, setText } from "./dom.js";
import {
  askPersistence,
  checkFiles,
  forgetProof,
  lastProof,
  offlineManifest,
  recordProof,
  tryPython,
} from "./proof.js";
import { runtimeAddress, siteAddress, workerAddress } from "./site.js";
import { makeSnapshot } from "./snapshot.js";

/** @import {Fault} from "./proof.js" */
/** @import {OfflineManifest, Proof} from "./types" */

const HOUR = 3_600_000;

const supported = Boolean(navigator.serviceWorker) && location.protocol !== "file:";

/** @type {ServiceWorkerRegistration | null} */ let registration = null;
let lastUpdateCheck = 0;
/** The reader has said "use it now" in this tab. */
let letIn = false;

/**
 * Once a visit. The copy is made after the page's own work, and not at all where the reader saves data
 * and has not asked for it.
 * @param {Promise<unknown>} quiet settles when the page has nothing urgent to load
 * @returns {Promise<boolean>} whether there is a service worker now
 */
export async function setupOffline(quiet) {
  if (!supported) return false;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (!letIn) return;
    // Not before: a changed address holds the change of editions up in some browsers.
    dispatchEvent(new Event("wetside:leaving"));
    location.reload();
  });
  await quiet.catch(() => {});
  if (!navigator.serviceWorker.controller && savesData()) return false;
  await register();
  return true;
}

function savesData() {
  return Boolean(/** @type {any} */ (navigator).connection?.saveData);
}

async function register() {
  if (registration) return registration;
  const scope = new URL(siteAddress("")).pathname;
  registration = await navigator.serviceWorker.register(siteAddress("sw.js"), { scope });
  lastUpdateCheck = Date.now();
  registration.addEventListener("updatefound", () => watchInstalling());
  offerUpdate();
  return registration;
}

function watchInstalling() {
  const worker = registration?.installing;
  worker?.addEventListener("statechange", () => {
    if (worker.state === "installed") offerUpdate();
  });
}

/* A new edition: offered, never forced. */

function offerUpdate() {
  const waiting = registration?.waiting;
  if (!waiting || !navigator.serviceWorker.controller) return;
  if (document.querySelector(".update-bar")) return;
  const now = h(document, "button", { type: "button", class: "use-now" }, "Use it now");
  const later = h(document, "button", { type: "button", class: "later" }, "Later");
  const words = h(document, "p", {}, "A new edition is here.");
  const bar = h(document, "div", { class: "update-bar", role: "status" }, words, now, later);
  later.addEventListener("click", () => bar.remove());
  now.addEventListener("click", () => {
    letIn = true;
    waiting.postMessage({ type: "SKIP_WAITING" });
  });
  document.body.append(bar);
}

/** With instant navigation the browser sees no new visit, so ask from time to time. */
function checkForUpdate() {
  if (!registration || Date.now() - lastUpdateCheck < HOUR) return;
  lastUpdateCheck = Date.now();
  void registration.update().catch(() => {}); // offline, most likely: ask again in an hour
}

/* The control. It stands at the foot of every page, so it asks for nothing until it is looked at. */

/** Fill the place for the control on a new page. */
export function mountOffline() {
  checkForUpdate();
  for (const place of document.querySelectorAll("[data-wetside=offline]")) {
    const control = new Control(place);
    const watcher = new IntersectionObserver((entries) => {
      if (!entries.some((entry) => entry.isIntersecting)) return;
      watcher.disconnect();
      void control.showSize();
    });
    watcher.observe(place);
  }
}

class Control {
  /** @param {Element} place */
  constructor(place) {
    this.state = h(document, "p", { class: "offline-state", role: "status" });
    this.keep = button("keep", "Keep for offline");
    this.check = button("check", "Check now");
    this.progress = /** @type {HTMLProgressElement} */ (
      h(document, "progress", { class: "offline-progress", max: 1, value: 0, hidden: true })
    );
    this.progress.setAttribute("aria-label", "Progress of the offline copy");
    this.facts = h(document, "ul", { class: "offline-facts" });
    const tools = h(document, "div", { class: "offline-tools" }, this.keep, this.check);
    place.replaceChildren(this.state, tools, this.progress, this.facts);
    this.keep.addEventListener("click", () => void this.#run(true));
    this.check.addEventListener("click", () => void this.#run(false));
    this.#showLast();
  }

  #showLast() {
    setFlag(this.keep, "hidden", !supported);
    setFlag(this.check, "hidden", !supported || !lastProof());
    if (!supported) {
      setText(
        this.state,
        "This browser, or this way of opening the page, cannot keep the handbook for offline use. " +
          "Serve it over https, or from this device, in a browser with service workers.",
      );
      return;
    }
    const proof = lastProof();
    if (proof) this.#showProof(proof);
    else setText(this.state, "Not proved to work offline on this device.");
  }

  async showSize() {
    if (!supported) return;
    try {
      const { bytes } = await offlineManifest();
      setText(this.keep, `Keep for offline · ${megabytes(bytes)}`);
    } catch {
      // Without the list there is no size to show; keeping will say what is wrong.
    }
  }

  /** @param {boolean} mayFetch */
  async #run(mayFetch) {
    this.keep.disabled = this.check.disabled = true;
    setFlag(this.progress, "hidden", false);
    this.facts.replaceChildren();
    try {
      await this.#prove(mayFetch);
    } catch (error) {
      forgetProof();
      setText(this.state, `Not ready for offline: ${/** @type {Error} */ (error).message}.`);
    }
    setFlag(this.progress, "hidden", true);
    setFlag(this.check, "hidden", false);
    this.keep.disabled = this.check.disabled = false;
  }

  /** @param {boolean} mayFetch */
  async #prove(mayFetch) {
    setText(this.state, mayFetch ? "Keeping every file…" : "Checking every file…");
    await controlled();
    const list = await offlineManifest();
    const faults = await checkFiles(list, mayFetch, (done, total) => {
      this.progress.value = done / total;
    });
    if (faults.length > 0) throw new Error(faultWords(list, faults));
    this.#fact(`All ${list.files.length} files (${megabytes(list.bytes)}) are here and as published.`);
    setText(this.state, "Starting Python from the kept files…");
    if (mayFetch) await makeSnapshot(runtimeAddress(), workerAddress());
    this.#fact(`Python started from them and calculated: ${await tryPython()}.`);
    const proof = recordProof(list, await askPersistence());
    this.#showProof(proof);
  }

  /** @param {Proof} proof */
  #showProof(proof) {
    setText(this.state, `Ready for offline: edition ${proof.edition}, proved ${dateWords(proof.date)}.`);
    if (!this.facts.hasChildNodes()) {
      this.#fact(`${proof.files} files (${megabytes(proof.bytes)}) were here and as published.`);
      this.#fact("Python was started from them and calculated.");
    }
    this.#fact(
      proof.persisted
        ? "The browser has promised not to clear them."
        : "The browser may clear them when the device is short of space: check before you leave.",
    );
  }

  /** @param {string} words */
  #fact(words) {
    this.facts.append(h(document, "li", {}, words));
  }
}

/**
 * @param {string} name
 * @param {string} words
 */
function button(name, words) {
  return /** @type {HTMLButtonElement} */ (
    h(document, "button", { type: "button", class: name }, words)
  );
}

/** Wait until the service worker answers for this page. */
async function controlled() {
  await register();
  await navigator.serviceWorker.ready;
  if (navigator.serviceWorker.controller) return;
  await new Promise((resolve, reject) => {
    navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true });
    const words = "the browser has not handed this page to the offline copy; load the page anew";
    setTimeout(() => reject(new Error(words)), 5000);
  });
}

/**
 * @param {OfflineManifest} list
 * @param {Fault[]} faults
 */
function faultWords(list, faults) {
  const named = faults.slice(0, 3).map(({ file, state }) => `${file.path} is ${FAULT[state]}`);
  const more = faults.length > 3 ? ` and ${faults.length - 3} more` : "";
  return `${faults.length} of ${list.files.length} files: ${named.join(", ")}${more}`;
}

const FAULT = {
  kept: "here",
  missing: "missing",
  damaged: "damaged",
  unreachable: "not to be reached",
};

/** @param {number} bytes */
const megabytes = (bytes) => `${Math.max(1, Math.round(bytes / 1e6))} MB`;

/** @param {string} date */
function dateWords(date) {
  return new Intl.DateTimeFormat("en-GB", { dateStyle: "long", timeStyle: "short" }).format(
    new Date(date),
  );
}
