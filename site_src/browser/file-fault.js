/** The first fault of a file that is refused, named so that it can be found in an editor. */

export class FileFault extends Error {}

const SHOWN = 60;

/**
 * A value in quotation marks, cut where it is long. Control characters become visible.
 * @param {unknown} value
 */
export function quoted(value) {
  if (value === undefined) return "nothing";
  const text = typeof value === "string" ? value : value instanceof Map ? "{…}" : JSON.stringify(value);
  const cut = [...text].slice(0, SHOWN).join("");
  const visible = cut.replace(/[\u0000-\u001f\u007f]/g, (c) => (c === "\n" ? "⏎" : `\\x${c.charCodeAt(0).toString(16).padStart(2, "0")}`));
  return `“${visible}${cut.length < text.length ? "…" : ""}”`;
}

/**
 * Line and column of an offset, both from 1.
 * @param {string} text
 * @param {number} offset
 */
export function placeInText(text, offset) {
  const before = text.slice(0, offset);
  const line = before.split("\n").length;
  return `line ${line}, column ${offset - before.lastIndexOf("\n")}`;
}
