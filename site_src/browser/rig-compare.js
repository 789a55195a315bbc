/** Two rigs side by side: what they state otherwise, and what becomes of each requirement. */

import { h, setFlag, setText } from "./dom.js";

/** @import {ComparedSide, RigComparison} from "./types" */

const CHANGES = {
  better: "better",
  worse: "worse",
  same: "the same",
  "first only": "only in the first",
  "second only": "only in the second",
};

/**
 * @param {HTMLElement} section
 * @param {RigComparison | null} comparison null clears the place
 */
export function showComparison(section, comparison) {
  const place = /** @type {HTMLElement} */ (section.querySelector(".compared"));
  place.replaceChildren(...(comparison ? [statedTable(comparison), requiredTable(comparison)] : []));
}

/** @param {RigComparison} comparison */
function statedTable({ names, entries }) {
  const rows = entries.map(({ label, texts }) => [label, ...texts.map((text) => text || "not stated")]);
  return table("What they state otherwise", ["Entry", ...names], rows, "Both state the same.");
}

/** What is not the same in both first. @param {RigComparison} comparison */
function requiredTable({ names, requirements }) {
  const differ = requirements.filter(({ change }) => change !== "same");
  const rows = differ.map(({ label, change, sides }) => [label, ...sides.map(sideWords), CHANGES[change]]);
  const same = requirements.length - differ.length;
  const rest = same > 0 ? `${same} requirements come out the same.` : "";
  const box = table("What becomes of the requirements", ["Requirement", ...names, "The second is"], rows, "");
  box.append(h(document, "p", {}, rest));
  return box;
}

/** @param {ComparedSide | null} side */
const sideWords = (side) => (side ? `${side.word}: ${side.text}, ${side.margin_text}` : "no answer");

/**
 * @param {string} title
 * @param {string[]} heads
 * @param {string[][]} rows
 * @param {string} none
 */
function table(title, heads, rows, none) {
  const box = h(document, "div", { class: "compare-box" }, h(document, "h3", {}, title));
  if (rows.length === 0) {
    box.append(h(document, "p", {}, none));
    return box;
  }
  const head = h(document, "tr", {}, ...heads.map((words) => h(document, "th", { scope: "col" }, words)));
  const body = rows.map(([first, ...rest]) =>
    h(document, "tr", {}, h(document, "th", { scope: "row" }, first), ...rest.map((words) => h(document, "td", {}, words))),
  );
  const made = h(document, "table", {}, h(document, "thead", {}, head), h(document, "tbody", {}, ...body));
  box.append(h(document, "div", { class: "table-box", tabindex: 0, role: "region", "aria-label": title }, made));
  return box;
}

/**
 * The place for it, dead until the page is live.
 * @param {Document} document
 */
export function comparePlace(document) {
  const select = h(document, "select", { id: "rig-other", disabled: true }, h(document, "option", { value: "" }, "no other rig"));
  return h(
    document,
    "div",
    { class: "rig-compare screen-only" },
    h(document, "h2", {}, "Beside another rig"),
    h(document, "p", { class: "rig-pick" }, h(document, "label", { for: "rig-other" }, "Compare with"), select),
    h(document, "p", { class: "compare-state", role: "status" }),
    h(document, "div", { class: "compared" }),
  );
}

/**
 * The same rigs as in the list above it.
 * @param {HTMLElement} section
 */
export function listOthers(section) {
  const select = /** @type {HTMLSelectElement} */ (section.querySelector("#rig-other"));
  const kept = select.value;
  const choices = [...section.querySelectorAll("#rig-choice optgroup > option")].filter(
    (option) => option.getAttribute("value") !== "empty",
  );
  const copies = choices.map((option) => {
    const attributes = { value: option.getAttribute("value"), "data-file": option.getAttribute("data-file") };
    return h(document, "option", attributes, option.textContent);
  });
  select.replaceChildren(h(document, "option", { value: "" }, "no other rig"), ...copies);
  select.value = choices.some((option) => option.getAttribute("value") === kept) ? kept : "";
  setFlag(select, "data-chosen", select.value !== "");
  if (select.value === "") setText(section.querySelector(".compare-state"), "");
}
