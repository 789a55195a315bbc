/** The selects that fill several fields from a row of a table. The texts they fill in are Python's. */

import { h, setFlag } from "./dom.js";
import { findBox } from "./fields.js";

/** @import {Fill} from "./types" */

/** Words for fields that no row of the table stands for. */
const OWN = "values of your own";

/**
 * @param {Document} document
 * @param {Fill} fill
 * @param {string} base id of the calculator
 */
export function renderFill(document, fill, base) {
  const id = `${base}-${fill.name}`;
  const select = h(document, "select", { class: "fill-choice", id, "aria-describedby": `${id}-hint` });
  select.append(h(document, "option", { value: "", disabled: true }, OWN));
  for (const { value, label } of fill.options) select.append(h(document, "option", { value }, label));
  const about = h(document, "div", { class: "about" }, h(document, "label", { for: id }, fill.label));
  about.append(h(document, "small", { class: "hint", id: `${id}-hint` }, "fills the fields below it"));
  const box = { class: "fill", "data-fill": fill.name, "data-fills": fill.inputs.join(" ") };
  return h(document, "div", box, about, h(document, "div", { class: "field" }, select));
}

/**
 * @param {Element} root
 * @returns {HTMLElement[]}
 */
const fillBoxes = (root) => [...root.querySelectorAll(".fill[data-fill]")].map(asElement);

/** @param {Element} element */
const asElement = (element) => /** @type {HTMLElement} */ (element);

/**
 * Show which row the fields stand for.
 * @param {Element} root
 * @param {Record<string, string>} fills
 */
export function showFills(root, fills) {
  for (const box of fillBoxes(root)) {
    const row = fills[box.dataset.fill ?? ""] ?? "";
    const options = [...box.querySelectorAll("option")];
    const chosen = options.find((option) => option.getAttribute("value") === row);
    for (const option of options) setFlag(option, "selected", option === chosen); // at build
    if (chosen) chosen.selected = true; // what a browser goes by once the reader has chosen
  }
}

/**
 * Hide a select while none of the fields that it fills is asked for.
 * @param {Element} root
 */
export function hideIdleFills(root) {
  for (const box of fillBoxes(root)) {
    const inputs = (box.dataset.fills ?? "").split(" ").map((name) => findBox(root, name));
    setFlag(box, "hidden", inputs.every((input) => !input || input.hidden));
  }
}
