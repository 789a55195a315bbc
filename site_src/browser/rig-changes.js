/** What single change mends a requirement: asked for at its row, shown there, and made on request. */

import { h, setFlag, setText } from "./dom.js";

/**
 * @import {Defect, Refusal, RigChanges, System} from "./types"
 * @import {Engine} from "./engine.js"
 * @import {Edit} from "./rig-form.js"
 * @typedef {RigChanges["changes"][number]} Change
 */

/** Every number of the rig may have to be tried, each with its ranges. */
const WITHIN = 120_000;

/**
 * The place for it in a row, dead until the page is live.
 * @param {Document} document
 */
export function mendPlace(document) {
  const button = h(document, "button", { type: "button", class: "mend" }, "What would mend it?");
  return h(document, "div", { class: "mending screen-only" }, button, h(document, "div", { class: "mends", role: "status" }));
}

/**
 * Only a requirement that is missed or unsure has something to mend.
 * @param {Element} row
 * @param {boolean} wanted
 */
export function showMendPlace(row, wanted) {
  setFlag(/** @type {Element} */ (row.querySelector(".mending")), "hidden", !wanted);
}

/** What was found is of the rig as it stood, and goes with it. @param {Element} section */
export function forgetMends(section) {
  for (const place of section.querySelectorAll(".mends")) place.replaceChildren();
}

/**
 * @param {Element} row
 * @param {Engine} engine
 * @param {{toml: string, system: System}} rig
 * @param {() => boolean} isCurrent whether that rig is still on show
 * @param {(edits: Edit[], words: string) => void} make
 */
export async function findMends(row, engine, rig, isCurrent, make) {
  const place = /** @type {HTMLElement} */ (row.querySelector(".mends"));
  const button = /** @type {HTMLButtonElement} */ (row.querySelector(".mend"));
  setText(place, "Looking through all that could be changed…");
  button.disabled = true;
  const request = { op: /** @type {const} */ ("rig_changes"), requirement: row.getAttribute("data-name") ?? "", ...rig };
  const reply = await /** @type {Promise<RigChanges | Refusal | Defect | null>} */ (
    engine.ask(request, null, WITHIN).catch(() => null)
  );
  button.disabled = false;
  if (!isCurrent()) {
    place.replaceChildren();
    return;
  }
  if (!reply?.ok) {
    setText(place, reply?.errors?.[0]?.message ?? reply?.defect ?? "Python stopped.");
    return;
  }
  const items = reply.changes.map((change) => changeItem(change, make));
  place.replaceChildren(reply.none || "Any one of these mends it, with its whole range:", h(document, "ul", {}, ...items));
}

/**
 * @param {Change} change
 * @param {(edits: Edit[], words: string) => void} make
 */
function changeItem({ says, gives_way, edits, breaks, mends }, make) {
  const button = h(document, "button", { type: "button", "aria-label": `Change it: ${says}` }, "Change it");
  button.addEventListener("click", () => {
    make(Object.entries(edits).map(([key, text]) => ({ key, text, tolerance: "" })), says);
  });
  const effects = (/** @type {string} */ title, /** @type {string[]} */ words) =>
    words.length > 0 ? h(document, "p", { class: title === "But" ? "breaks" : "also" }, `${title}: ${words.join("; ")}.`) : null;
  return h(
    document,
    "li",
    {},
    h(document, "p", { class: "change" }, says),
    gives_way ? h(document, "p", { class: "also" }, "The rig stays as it is; less is wanted of it.") : null,
    effects("But", breaks),
    effects("Also", mends),
    button,
  );
}
