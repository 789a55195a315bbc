/** Where things lie. All addresses follow from where this code lies: ROOT/assets/wetside/. */

const ROOT = new URL("../../", import.meta.url);

/** @param {string} name */
const meta = (name) => document.querySelector(`meta[name="${name}"]`)?.getAttribute("content") ?? "";

/** @param {string} path from the root of the site */
export const siteAddress = (path) => new URL(path, ROOT).href;

export const runtimeHash = () => meta("wetside-runtime");
export const edition = () => meta("wetside-edition");
export const runtimeAddress = () => siteAddress(`runtime/${runtimeHash()}/`);

export const workerAddress = () => new URL(__WORKER__, import.meta.url).href;
export const recordingWorkerAddress = () => new URL(__RECORDING_WORKER__, import.meta.url).href;
