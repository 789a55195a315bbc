/** What the reader chose, remembered where the browser allows it, and otherwise for this visit. */

/** @import {System} from "./types" */

const UNITS = "wetside.units";

/**
 * @param {string} key
 * @returns {string | null}
 */
export function recall(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

/**
 * @param {string} key
 * @param {string} value
 */
export function remember(key, value) {
  try {
    localStorage.setItem(key, value);
  } catch {
    // Storage may be blocked or full: the choice then lasts as long as the page.
  }
}

/** @type {System} */ let system = recall(UNITS) === "us" ? "us" : "metric";

export const chosenSystem = () => system;

/** @param {System} chosen */
export function chooseSystem(chosen) {
  system = chosen;
  remember(UNITS, chosen);
}
