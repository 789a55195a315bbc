/**
 * A field for rows of measurements: typed, pasted, dropped or from a file. What they mean is Python's
 * matter. A long text is held beside its field, which shows the first rows: a text area with 100 000
 * rows makes every page slow.
 */

import { h, setFlag } from "./dom.js";

/** @import {LogInput} from "./types" */

/** Characters up to which a text can be edited in its field. */
const LONG = 60_000;
/** Characters up to which a file is read at all: three times the most rows that Python reads. */
const LARGEST = 12_000_000;
const FIRST_ROWS = 8;

/** @type {WeakMap<HTMLTextAreaElement, string>} */
const held = new WeakMap();

/**
 * @param {Document} document
 * @param {LogInput} input
 * @param {string} name
 * @param {string} id
 * @param {string} text
 */
export function logField(document, input, name, id, text) {
  const area = {
    class: "value log",
    id,
    name,
    rows: FIRST_ROWS,
    spellcheck: "false",
    autocomplete: "off",
    autocapitalize: "off",
    wrap: "off",
    "aria-describedby": `${id}-hint ${id}-err`,
  };
  const file = {
    type: "file",
    class: "log-file",
    accept: ".csv,.tsv,.txt,text/plain,text/csv",
    "aria-label": `File with the rows of ${input.label}`,
    disabled: true,
  };
  const empty = { type: "button", class: "log-empty", disabled: true };
  return h(
    document,
    "div",
    { class: "field" },
    h(document, "textarea", area, text),
    h(document, "div", { class: "log-tools" }, h(document, "input", file), h(document, "button", empty, "Empty")),
  );
}

/**
 * The whole text of a field, whether it is shown or held.
 * @param {HTMLTextAreaElement} area
 */
export const logText = (area) => held.get(area) ?? area.value;

/**
 * @param {HTMLTextAreaElement} area
 * @param {string} text
 */
export function putLog(area, text) {
  const long = text.length > LONG;
  if (long) held.set(area, text);
  else held.delete(area);
  setFlag(area, "readonly", long);
  const shown = long ? firstRows(text) : text;
  if (area.value !== shown) area.value = shown;
}

/** @param {string} text */
function firstRows(text) {
  const lines = text.split("\n", FIRST_ROWS);
  const count = text.split("\n").length - lines.length;
  return `${lines.join("\n")}\n… and ${count} more rows, which are held but not shown`;
}

/**
 * @param {File} file
 * @returns {Promise<{text: string} | {problem: string}>}
 */
export async function readFile(file) {
  if (file.size > LARGEST) {
    const megabytes = Math.round(LARGEST / 1e6);
    return { problem: `${file.name} is larger than ${megabytes} MB: it is not read. Cut it into parts.` };
  }
  try {
    return { text: await file.text() };
  } catch (error) {
    return { problem: `${file.name} cannot be read: ${/** @type {Error} */ (error).message}` };
  }
}

/**
 * What was dropped or pasted here: a file, or a text too long to edit.
 * @param {DataTransfer | null} data
 * @returns {File | string | null}
 */
export function taken(data) {
  if (!data) return null;
  if (data.files.length > 0) return data.files[0];
  const text = data.getData("text/plain");
  return text.length > LONG ? text : null;
}
