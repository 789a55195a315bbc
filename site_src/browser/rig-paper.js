/** The sheets of a rig: what to get, how to build it, what to take along. Made to be printed. */

import { h, setFlag, setText } from "./dom.js";
import { drawQr } from "./share.js";

/**
 * @import {Caution, QrCode, RigSheet, SheetBlock, SheetValue} from "./types"
 * @typedef {RigSheet["sheet"]} Sheet
 * @typedef {SheetBlock & {block: "step"}} Step
 */

const SHEETS = { parts: "Parts list", build: "Build sheet", field: "Field sheet" };

/**
 * The place for them, dead until the page is live.
 * @param {Document} document
 */
export function paperPlace(document) {
  const buttons = Object.entries(SHEETS).map(([name, words]) =>
    h(document, "button", { type: "button", class: "show-sheet", "data-sheet": name, disabled: true }, words),
  );
  const print = h(document, "button", { type: "button", class: "print-sheet", hidden: true }, "Print this sheet");
  return h(
    document,
    "div",
    { class: "rig-paper", id: "rig-paper" },
    h(document, "h2", { class: "screen-only" }, "On paper"),
    h(document, "p", { class: "paper-tools screen-only" }, ...buttons, print),
    h(document, "p", { class: "paper-state", role: "status" }),
    h(document, "div", { class: "paper-place" }),
  );
}

/**
 * @param {HTMLElement} section
 * @param {Sheet | null} sheet null clears the place
 * @param {QrCode | null} code of the link to the rig
 */
export function showSheet(section, sheet, code) {
  const place = /** @type {HTMLElement} */ (section.querySelector(".paper-place"));
  setFlag(/** @type {Element} */ (section.querySelector(".print-sheet")), "hidden", !sheet);
  setText(section.querySelector(".paper-state"), "");
  place.replaceChildren(...(sheet ? [paper(sheet, code, section.dataset.base ?? "")] : []));
}

/** Print the sheet on show, and nothing of the page around it. @param {HTMLElement} section */
export function printSheet(section) {
  const { dataset } = document.documentElement;
  dataset.printing = "sheet";
  print();
  delete dataset.printing;
  /** @type {HTMLElement | null} */ (section.querySelector(".print-sheet"))?.focus();
}

/**
 * @param {Sheet} sheet
 * @param {QrCode | null} code
 * @param {string} base
 */
function paper({ name, title, rig, lead, blocks, pages }, code, base) {
  let step = 0;
  const made = blocks.map((block) => {
    if (block.block !== "step") return blockOf(block, code);
    step += 1;
    return stepOf(block, step, base);
  });
  const heading = h(document, "h3", { class: "paper-title", tabindex: "-1" }, `${title}: ${rig}`);
  const kind = `paper sheet-${name}${pages === 1 ? " one-page" : ""}`;
  return h(document, "article", { class: kind }, heading, h(document, "p", { class: "lead" }, lead), ...made);
}

/**
 * @param {Exclude<SheetBlock, Step>} block
 * @param {QrCode | null} code
 */
function blockOf(block, code) {
  switch (block.block) {
    case "parts":
      return h(document, "section", {}, title(block.title), ...block.parts.map(partOf));
    case "values":
      return h(document, "section", { class: "values" }, title(block.title), table(block.values, block.blanks));
    case "ticks":
      return h(document, "section", {}, title(block.title), ...cautions(block.cautions), ticks(block.items));
    case "write":
      return h(document, "section", {}, title(block.title), writing(block.fields));
    default:
      return h(document, "section", { class: `code ${block.size}` }, ...(code && block.qr ? [drawQr(code)] : []), h(document, "p", {}, block.words));
  }
}

/** @param {string} words */
const title = (words) => h(document, "h4", {}, words);

const box = () => h(document, "span", { class: "tick-box" });

/** @param {{name: string, quantity: SheetValue | null, values: SheetValue[], unknown: string[]}} part */
function partOf({ name, quantity, values, unknown }) {
  const words = quantity ? `${name}: ${quantity.text} ${quantity.label}` : name;
  return h(document, "div", { class: "part" }, h(document, "h5", {}, box(), words), table(values), ...unknowns(unknown));
}

/**
 * @param {Step} step
 * @param {number} number
 * @param {string} base
 */
function stepOf({ title: words, page, cautions: warned, todo, values, tests, proof, unknown }, number, base) {
  const link = h(document, "a", { href: `${base}${page.replace(/\.md$/, "/")}` }, words);
  const list = (/** @type {string} */ tag, /** @type {string[]} */ items) =>
    h(document, tag, {}, ...items.map((item) => h(document, "li", {}, item)));
  return h(
    document,
    "section",
    { class: "step" },
    h(document, "h4", {}, `${number}. `, link),
    ...cautions(warned),
    list("ol", todo),
    table(values),
    ...unknowns(unknown),
    h(document, "h5", {}, "Proved by"),
    list("ul", tests),
    table(proof),
    h(document, "p", { class: "proved" }, box(), "Proved. Measured, date, who:"),
  );
}

/** @param {Caution[]} warned */
const cautions = (warned) =>
  warned.map((caution) =>
    h(document, "aside", { class: "caution", "aria-label": caution.title }, h(document, "strong", {}, caution.title), " ", caution.text),
  );

/** @param {string[]} sentences */
const unknowns = (sentences) => sentences.map((words) => h(document, "p", { class: "unknown" }, words));

/** @param {string[]} items */
const ticks = (items) => h(document, "ul", { class: "ticks-of" }, ...items.map((item) => h(document, "li", {}, box(), item)));

/** @param {string[]} fields */
const writing = (fields) => h(document, "div", { class: "to-write" }, ...fields.map((words) => h(document, "p", {}, words)));

/**
 * @param {SheetValue[]} values
 * @param {string[]} [blanks]
 */
function table(values, blanks = []) {
  const rows = values.map(({ label, text }) => [label, text]).concat(blanks.map((label) => [label, "not stated"]));
  if (rows.length === 0) return null;
  return h(document, "dl", {}, ...rows.flatMap(([name, text]) => [h(document, "dt", {}, name), h(document, "dd", {}, text)]));
}
