/**
 * Entry of the page. With instant navigation this code is loaded once a visit and told of every new
 * page; the one Worker with Python stays alive all the while.
 */

import { Engine } from "./engine.js";
import { LiveCalculator } from "./live.js";
import { mountOffline, setupOffline } from "./offline.js";
import { askPersistence } from "./proof.js";
import { RigBar } from "./rig-binding.js";
import { openRig } from "./rig-store.js";
import { chooseSystem } from "./settings.js";
import { edition, runtimeAddress, workerAddress } from "./site.js";
import { makeSnapshot } from "./snapshot.js";

/** @import {Decl, Description, System} from "./types" */

/** Latest start, in ms after the page is drawn, when the browser is never idle. */
const LATEST_START = 2000;
/** When to make the start of the next visit faster, in ms after this one: not while the reader begins. */
const SNAPSHOT_AFTER = 10_000;

/** The runtime this code belongs to: that of the page that loaded it. */
const runtime = runtimeAddress();
const engine = new Engine(runtime, workerAddress());

/** @type {LiveCalculator[]} */ let calculators = [];

/** @type {import("./rig.js").RigPage | null} */ let rig = null;

/** @type {import("./recording.js").RecordingPage | null} */ let recording = null;

/** @type {Description | null} */ let description = null;

/**
 * @param {string} id
 * @returns {Promise<Decl>}
 */
async function declarationOf(id) {
  description ??= /** @type {Description} */ (await engine.ask({ op: "describe" }));
  const found = description.calculators.find((decl) => decl.id === id);
  if (!found) throw new Error(`no calculator ${id}`);
  return found;
}

function mountPage() {
  // A page of another edition came by instant navigation: it needs its own code and its own Python.
  if (runtimeAddress() !== runtime) {
    location.reload();
    return;
  }
  calculators.forEach((calculator) => calculator.stop());
  const sections = /** @type {NodeListOf<HTMLElement>} */ (
    document.querySelectorAll("section.calc[data-calculator]")
  );
  calculators = [...sections].map((section) => {
    return new LiveCalculator(section, engine, () => declarationOf(section.dataset.calculator ?? ""));
  });
  if (calculators.length > 0) startWhenIdle();
  openLink();
  mountOffline();
  mountFieldwork();
  mountRigs();
  mountRigBars();
  mountRecordings();
}

/**
 * Beside the rig that is open, a calculator fills from it. What an address brings, or an example, is
 * left as it is: the reader came for that.
 */
function mountRigBars() {
  const open = openRig();
  if (!open) return;
  for (const calculator of calculators) {
    const { example, binds } = calculator.section.dataset;
    if (example !== undefined || binds === undefined) continue;
    const bar = new RigBar(calculator, engine, open);
    if (!location.hash.startsWith(`#${calculator.id}?`)) void bar.fillForm();
  }
}

/** The reader's rigs, on their page. */
function mountRigs() {
  const sheet = /** @type {HTMLElement | null} */ (document.querySelector("[data-rig][data-live]"));
  rig?.stop();
  rig = null;
  if (!sheet) return;
  startWhenIdle();
  void import("./rig.js").then(({ mountRig }) => {
    if (sheet.isConnected) rig = mountRig(sheet, engine);
  });
}

/** The recording check, on its page; another page ends its Workers. */
function mountRecordings() {
  recording?.leave();
  recording = null;
  const section = /** @type {HTMLElement | null} */ (document.querySelector("[data-wetside=recording]"));
  if (!section) return;
  void import("./recording.js").then(({ mountRecording }) => {
    if (section.isConnected) recording = mountRecording(section);
  });
}

/** What is used at the water comes with code of its own, on the pages that have it. */
function mountFieldwork() {
  const lists = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".checklist"));
  if (lists.length > 0) void import("./checklists.js").then(({ mountChecklists }) => mountChecklists(lists));
  const log = document.querySelector("[data-wetside=field-log]");
  if (log) {
    void import("./field-log.js")
      .then(({ mountFieldLog }) => mountFieldLog(log, { edition: edition(), askPersistence }))
      .catch((error) => log.replaceChildren(`The form did not start: ${error.message}. Use the sheet below.`));
  }
}

function startWhenIdle() {
  const start = () => void engine.start().catch(() => {}); // the engine tells the calculators
  if ("requestIdleCallback" in globalThis) requestIdleCallback(start, { timeout: LATEST_START });
  else setTimeout(start, LATEST_START / 4);
}

/** A link names its calculator; a calculator with a worked example's values gives way to a plain one. */
function openLink() {
  const id = /^#([a-z0-9-]+)\?/.exec(location.hash)?.[1];
  const named = calculators.filter((calculator) => calculator.id === id);
  const target = named.find((calculator) => !calculator.section.dataset.example) ?? named[0];
  if (!target) return;
  target.section.scrollIntoView();
  void target.openLink(location.hash);
}

addEventListener("hashchange", openLink);
addEventListener("hashchange", () => rig?.followHash());

addEventListener("wetside:units", (event) => {
  const system = /** @type {CustomEvent<System>} */ (event).detail;
  chooseSystem(system);
  for (const calculator of calculators) void calculator.convert(system);
  void rig?.convert();
});

/** @type {{subscribe: (next: () => void) => void} | undefined} */
const pages = /** @type {any} */ (globalThis).document$;
if (pages) pages.subscribe(mountPage);
else if (document.readyState === "loading") addEventListener("DOMContentLoaded", mountPage);
else mountPage();

/** Resolves when Python is up or has failed; on a page without calculators, after a while. */
const quiet = new Promise((resolve) => {
  engine.watch(({ state }) => {
    if (state === "live" || state === "failed") resolve(null);
  });
  if (calculators.length === 0) setTimeout(resolve, LATEST_START);
});
void setupOffline(quiet).then((registered) => {
  if (registered && engine.status.state === "live") setTimeout(keepMemory, SNAPSHOT_AFTER);
});

/** For the next visit: a start from kept memory. Only where the service worker tidies up after it. */
function keepMemory() {
  if (engine.status.state !== "live" || !navigator.serviceWorker.controller) return;
  void makeSnapshot(runtime, workerAddress());
}

/** The page is about to be loaded anew: carry the reader's values over in its address. */
addEventListener("wetside:leaving", () => {
  const touched = calculators.find((calculator) => calculator.touched);
  if (touched) history.replaceState(history.state, "", touched.section.dataset.link);
});
