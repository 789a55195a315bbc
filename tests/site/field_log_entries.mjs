/** Invented entries with texts that break careless readers. Run by itself it prints them as CSV and JSON. */

import { pathToFileURL } from "node:url";

import { EVENTS, FIELDS, toCsv } from "../../site_src/browser/field-log-format.js";

/** @import {Entry, Kind} from "../../site_src/browser/field-log-format.js" */

export const NASTY = [
  '"', '""', "'", "''", ",", ";", "\n", "\t", "=1+1", "+", "-", "@x", "＝", "＠", " ", "", "é", "😀", "👩‍🚀", "שלום", "\u202e", "\u2028",
  "e\u0301", "\ufeff", "\\", "\\n", "{", "]", "a", "0", "=cmd|' /C calc'!A0", '";"=', '";=', ";'=", "\u00a0-", "null", "1,234",
];

/**
 * A small generator of our own (Lehmer's), so that a failure comes back.
 * @param {number} seed
 */
export function randomly(seed) {
  let state = seed;
  const below = (/** @type {number} */ most) => {
    state = (state * 48271) % 2147483647;
    return state % most;
  };
  const pick = (/** @type {string[]} */ from) => from[below(from.length)];
  const text = (/** @type {boolean} */ oneLine) => {
    const pieces = Array.from({ length: below(7) }, () => pick(NASTY));
    return pieces.join("").replaceAll("\n", oneLine ? " " : "\n");
  };
  return { pick, text };
}

/**
 * @param {number} i
 * @param {(kind: Kind) => string} text for fields that hold text
 * @param {(from: string[]) => string} pick of numbers
 * @returns {Entry}
 */
export function anEntry(i, text, pick) {
  /** @type {Entry} */ const entry = {};
  for (const { name, kind } of FIELDS) {
    entry[name] = kind === "number" ? pick(["", "0", "4.0", "12.345", "1"]) : text(kind);
  }
  const id = `00000000-0000-4000-8000-${String(i).padStart(12, "0")}`;
  const stamp = "2026-06-14T19:40:00.123Z";
  return { ...entry, id, time: "2026-06-14T21:40:00+02:00", event: EVENTS[(i - 1 + EVENTS.length) % EVENTS.length], written: stamp, changed: stamp };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const { text, pick } = randomly(1);
  const entries = Array.from({ length: 300 }, (_, i) => anEntry(i, (kind) => text(kind === "line"), pick));
  console.log(JSON.stringify({ entries, csv: toCsv(entries) }));
}
