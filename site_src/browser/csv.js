/**
 * CSV as RFC 4180 has it, with one addition of our own: an apostrophe stands before a sign that could
 * make a spreadsheet take a text for a formula. Reading takes exactly that apostrophe away again.
 */

import { FileFault } from "./file-fault.js";

/**
 * @typedef {{text: string, place: string}} Cell a text and where it stands in the file
 * @typedef {{cells: Cell[]}} Row
 */

/**
 * Where a cell may begin: at the cell's own beginning, but also after a semicolon, a tab or an end of
 * line within it, since a spreadsheet that is set to another separator cuts there, quotes or not.
 */
const BEGINS_A_FORMULA = /(^|[;\t\n])([ "]*)('*)(?=[=+\-@＝＋－＠])/g;
const WAS_GUARDED = /(^|[;\t\n])([ "]*)'('*)(?=[=+\-@＝＋－＠])/g;

/** @param {string} text */
export const guard = (text) => text.replace(BEGINS_A_FORMULA, "$1$2'$3");

/** @param {string} text */
export const unguard = (text) => text.replace(WAS_GUARDED, "$1$2$3");

/**
 * @param {string[]} names
 * @param {{text: string, plain: boolean}[][]} rows plain cells are written as they are
 */
export function writeCsv(names, rows) {
  const lines = rows.map((cells) => {
    return cells.map(({ text, plain }) => (plain ? text : `"${guard(text).replaceAll('"', '""')}"`)).join(",");
  });
  // The mark tells spreadsheets that this is UTF-8.
  return `\ufeff${[names.join(","), ...lines].join("\r\n")}\r\n`;
}

/**
 * @param {string} source
 * @returns {{names: Cell[], rows: Row[]}}
 * @throws {FileFault} naming the first fault
 */
export function readCsv(source) {
  const text = source.replace(/^\ufeff/, "");
  if (text.trim() === "") {
    throw new FileFault("line 1: the file is empty; accepted is CSV or JSON that this page has written");
  }
  const [firstLine] = text.split("\n", 1);
  if (/[;\t]/.test(firstLine) && !firstLine.includes(",")) {
    throw new FileFault("line 1: the fields are parted by something else; accepted is the comma");
  }
  const [head, ...rows] = cutRows(text);
  for (const { cells } of rows) {
    if (cells.length !== head.cells.length) {
      throw new FileFault(`${cells[0].place}: ${cells.length} fields; accepted are ${head.cells.length}, as in line 1`);
    }
  }
  return { names: head.cells, rows };
}

/** @param {string} text */
function cutRows(text) {
  /** @type {Row[]} */ const rows = [];
  /** @type {Cell[]} */ let cells = [];
  const where = placesIn(text);
  for (let i = 0; i < text.length || cells.length > 0; ) {
    const cell = text[i] === '"' ? quotedCell(text, i, where) : plainCell(text, i, where);
    cells.push({ text: unguard(cell.text), place: where(i) });
    const end = /^(?:,|\r?\n|$)/.exec(text.slice(cell.end, cell.end + 2));
    if (!end) throw new FileFault(`${where(cell.end)}: after a closing quotation mark accepted is a comma or the end of the line`);
    i = cell.end + end[0].length;
    if (end[0] === ",") continue;
    rows.push({ cells });
    cells = [];
  }
  return rows;
}

/**
 * Line and column for offsets that only grow: a long file is not counted anew for each cell.
 * @param {string} text
 */
function placesIn(text) {
  let line = 1;
  let start = 0;
  return (/** @type {number} */ offset) => {
    for (let end = text.indexOf("\n", start); end >= 0 && end < offset; end = text.indexOf("\n", start)) {
      line += 1;
      start = end + 1;
    }
    return `line ${line}, column ${offset - start + 1}`;
  };
}

/**
 * @param {string} text
 * @param {number} start
 * @param {(offset: number) => string} where
 */
function quotedCell(text, start, where) {
  for (let end = text.indexOf('"', start + 1); end >= 0; end = text.indexOf('"', end + 2)) {
    if (text[end + 1] === '"') continue;
    return { text: text.slice(start + 1, end).replaceAll('""', '"'), end: end + 1 };
  }
  throw new FileFault(`${where(start)}: a quotation mark is opened and never closed`);
}

/**
 * @param {string} text
 * @param {number} start
 * @param {(offset: number) => string} where
 */
function plainCell(text, start, where) {
  const upTo = /[^,\r\n"]*/y;
  upTo.lastIndex = start;
  const end = start + (upTo.exec(text)?.[0].length ?? 0);
  const stop = text[end];
  if (stop === '"') throw new FileFault(`${where(end)}: a quotation mark within a field; accepted is a field in quotation marks, with each of its own doubled`);
  if (stop === "\r" && text[end + 1] !== "\n") throw new FileFault(`${where(end)}: a carriage return by itself; accepted is one with a line feed`);
  return { text: text.slice(start, end), end };
}
