/**
 * What an entry of the field log is, and how it is written to a file and read back: CSV (RFC 4180) and
 * JSON, both without loss. Pure: no page, no storage, no clock. A file is taken as a whole or refused
 * by its first fault.
 */

import { readCsv, writeCsv } from "./csv.js";
import { FileFault, placeInText, quoted } from "./file-fault.js";
import { readJson } from "./json-text.js";

/**
 * @typedef {Record<string, string>} Entry every field of `FIELDS`, a text each, empty where nothing is known
 * @typedef {"id" | "time" | "event" | "stamp" | "number" | "line" | "text"} Kind
 * @typedef {{name: string, label: string, kind: Kind, unit?: string, low?: number, high?: number}} Field
 * @typedef {{here: Entry, file: Entry, fields: Field[]}} Conflict the same entry, with what differs
 * @typedef {{fresh: Entry[], same: number, conflicts: Conflict[]}} Comparison
 */

export const FORMAT = "wetside-field-log";
export const VERSION = 1;
export const EVENTS = ["deployed", "checked", "recovered", "note"];
/** Characters of a text: a cell of a spreadsheet holds 32 767, and the CSV may need some more. */
export const LONGEST = 30_000;

/** The fields of version 1, in the order of the CSV. A name is for ever. @type {Field[]} */
export const FIELDS = [
  { name: "id", label: "Identifier", kind: "id" },
  { name: "time", label: "Date and time", kind: "time" },
  { name: "event", label: "What happened", kind: "event" },
  { name: "place", label: "Place", kind: "line" },
  { name: "latitude_deg", label: "Latitude", kind: "number", unit: "degrees", low: -90, high: 90 },
  { name: "longitude_deg", label: "Longitude", kind: "number", unit: "degrees", low: -180, high: 180 },
  { name: "depth_m", label: "Depth", kind: "number", unit: "metres", low: 0, high: 11000 },
  { name: "water_temperature_c", label: "Water temperature", kind: "number", unit: "°C", low: -5, high: 60 },
  { name: "gain", label: "Gain setting", kind: "line" },
  { name: "weather", label: "Weather and water", kind: "line" },
  { name: "rig", label: "Parts of the rig", kind: "text" },
  { name: "time_mark", label: "Time mark", kind: "line" },
  { name: "people", label: "People", kind: "line" },
  { name: "notes", label: "Notes", kind: "text" },
  { name: "written", label: "First written", kind: "stamp" },
  { name: "changed", label: "Last changed", kind: "stamp" },
];
const BY_NAME = new Map(FIELDS.map((field) => [field.name, field]));

const NUMBER = /^-?(0|[1-9]\d*)(\.\d+)?$/;
const ID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const TIME = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d):(\d\d)([+-])(\d\d):(\d\d)$/;
const STAMP = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d):(\d\d)\.\d{3}Z$/;
/** Control characters except tab and line feed, and halves of a character, which UTF-8 cannot carry. */
const UNWANTED = /[\u0000-\u0008\u000b-\u001f\u007f]|\p{Surrogate}/u;

/* One field. */

/**
 * Why a text is no value of a field, or null. The words say what is accepted.
 * @param {Field} field
 * @param {string} text
 */
export function faultOf(field, text) {
  if (field.kind === "id") return ID.test(text) ? null : "accepted is a UUID in lower case";
  if (field.kind === "event") return EVENTS.includes(text) ? null : `accepted is one of ${EVENTS.join(", ")}`;
  if (field.kind === "time") return isTime(text) ? null : TIME_ACCEPTED;
  if (field.kind === "stamp") return isStamp(text) ? null : STAMP_ACCEPTED;
  if (field.kind === "number") return isNumber(field, text) ? null : numberAccepted(field);
  return faultOfText(field, text);
}

const TIME_ACCEPTED =
  "accepted is a date and time that exist, with the offset from UTC, as in 2026-06-14T21:40:00+02:00";
const STAMP_ACCEPTED = "accepted is a time in UTC with milliseconds, as in 2026-06-14T19:40:00.000Z";

/** @param {Field} field */
const numberAccepted = ({ low, high, unit }) =>
  `accepted is a number from ${low} to ${high} (${unit}), or nothing`;

/**
 * @param {Field} field
 * @param {string} text
 */
const isNumber = ({ low = -Infinity, high = Infinity }, text) =>
  text === "" || (NUMBER.test(text) && Number(text) >= low && Number(text) <= high);

/** @param {string} text */
function isTime(text) {
  const found = TIME.exec(text);
  if (!found) return false;
  const [hours, minutes] = [Number(found[8]), Number(found[9])];
  const farthest = found[7] === "+" ? 14 * 60 : 12 * 60;
  const offset = hours * 60 + minutes;
  const utcHasOneName = offset > 0 || found[7] === "+"; // ISO 8601 has no -00:00
  return exists(found) && minutes < 60 && offset <= farthest && utcHasOneName;
}

/** @param {string} text */
function isStamp(text) {
  const found = STAMP.exec(text);
  return found !== null && exists(found);
}

/**
 * Whether year, month, day, hour, minute and second name a moment of the calendar.
 * @param {RegExpExecArray} found
 */
function exists(found) {
  const [year, month, day, hour, minute, second] = found.slice(1, 7).map(Number);
  const date = new Date(Date.UTC(year, month - 1, day));
  const dayExists = year >= 1900 && date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
  return dayExists && hour < 24 && minute < 60 && second < 60;
}

/**
 * @param {Field} field
 * @param {string} text
 */
function faultOfText(field, text) {
  const unwanted = UNWANTED.exec(text);
  if (unwanted) return `accepted are characters, not ${nameOf(unwanted[0])}`;
  if (field.kind === "line" && text.includes("\n")) return "accepted is one line";
  return text.length <= LONGEST ? null : `accepted are ${LONGEST} characters, not ${text.length}`;
}

/** @param {string} character */
const nameOf = (character) =>
  `U+${character.charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")}`;

/* From the form. What is typed may be looser than what is kept. */

/**
 * The number a reader typed, as it is kept, or null. A comma may be the decimal sign unless it could
 * as well part thousands.
 * @param {Field} field
 * @param {string} typed
 */
export function numberTyped(field, typed) {
  const text = typed.trim().replace("\u2212", "-").replace(/^\+/, "");
  if (/^-?[1-9]\d{0,2},\d{3}$/.test(text) && isNumber(field, text.replace(",", ""))) return null;
  const plain = text.replace(",", ".").replace(/^(-?)0+(?=\d)/, "$1");
  return isNumber(field, plain) ? plain : null;
}

const ANGLE =
  /^([NSEW])?\s*([+-])?(\d{1,3}(?:[.,]\d+)?)(?:[\s°]+(\d{1,2}(?:[.,]\d+)?)(?:[\s'′’]+(\d{1,2}(?:[.,]\d+)?))?)?[\s°'′’"″”]*([NSEW])?$/i;

/**
 * Latitude or longitude as typed: decimal degrees, degrees and minutes, or degrees, minutes and
 * seconds, with a sign or a letter. Kept as decimal degrees; null where it is neither.
 * @param {Field} field
 * @param {string} typed
 */
export function angleTyped(field, typed) {
  const text = typed.trim().replace("\u2212", "-");
  if (text === "") return "";
  const found = ANGLE.exec(text);
  if (!found) return null;
  const letter = (found[1] ?? found[6] ?? "").toUpperCase();
  const letters = field.name === "latitude_deg" ? "NS" : "EW";
  if ((found[1] && found[6]) || (letter && (found[2] || !letters.includes(letter)))) return null;
  const size = angleSize(found.slice(3, 6));
  if (size === null) return null;
  const negative = found[2] === "-" || letter === letters[1];
  const kept = (negative && Number(size) !== 0 ? "-" : "") + size;
  return isNumber(field, kept) ? kept : null;
}

/**
 * Only the last part may have a fraction, and minutes and seconds end at 60.
 * @param {(string | undefined)[]} found
 */
function angleSize(found) {
  const parts = found.filter((part) => part !== undefined).map((part) => part.replace(",", "."));
  const broken = parts.slice(0, -1).some((part) => part.includes("."));
  if (broken || parts.slice(1).some((part) => Number(part) >= 60)) return null;
  if (parts.length === 1) return parts[0].replace(/^0+(?=\d)/, "");
  return parts.reduce((sum, part, place) => sum + Number(part) / 60 ** place, 0).toFixed(6);
}

/**
 * The offset from UTC as typed (+02:00, +2, Z), as it is kept, or null.
 * @param {string} typed
 */
export function offsetTyped(typed) {
  const text = typed.trim().replace("\u2212", "-");
  if (/^(z|utc)$/i.test(text)) return "+00:00";
  const found = /^([+-])(\d{1,2})(?::(\d\d))?$/.exec(text);
  if (!found) return null;
  const offset = `${found[1]}${found[2].padStart(2, "0")}:${found[3] ?? "00"}`;
  const kept = offset === "-00:00" ? "+00:00" : offset;
  return isTime(`2000-01-01T00:00:00${kept}`) ? kept : null;
}

/**
 * An entry from what stands in the form, or what is wrong with it, by field of the form. The form has
 * date, time of day and offset where an entry has `time`.
 * @param {Record<string, string>} typed
 * @returns {{entry: Entry, faults: Record<string, string>}}
 */
export function entryTyped(typed) {
  /** @type {Record<string, string>} */ const faults = {};
  /** @type {Entry} */ const entry = {};
  for (const field of FIELDS) {
    if (field.kind === "time") entry.time = timeTyped(typed, faults);
    else entry[field.name] = fieldTyped(field, typed[field.name] ?? "", faults);
  }
  const [north, east] = [entry.latitude_deg, entry.longitude_deg];
  const alone = "a position needs both: give the other as well, or neither";
  if (north && !(typed.longitude_deg ?? "").trim()) faults.longitude_deg = `Longitude: ${alone}.`;
  if (east && !(typed.latitude_deg ?? "").trim()) faults.latitude_deg = `Latitude: ${alone}.`;
  return { entry, faults };
}

/**
 * @param {Record<string, string>} typed
 * @param {Record<string, string>} faults
 */
function timeTyped(typed, faults) {
  const { date = "", time = "", offset = "" } = typed;
  const clock = /^\d\d:\d\d$/.test(time) ? `${time}:00` : time;
  const shift = offsetTyped(offset);
  if (!isTime(`${date}T00:00:00+00:00`)) {
    faults.date = `Date: ${given(date)}; accepted is a day of the calendar, as in 2026-06-14.`;
  }
  if (!isTime(`2000-01-01T${clock}+00:00`)) {
    faults.time = `Time: ${given(time)}; accepted is a time of day from 00:00 to 23:59:59.`;
  }
  if (shift === null) {
    faults.offset = `Offset from UTC: ${given(offset)}; accepted is -12:00 to +14:00, as in +02:00.`;
  }
  return `${date}T${clock}${shift}`;
}

/**
 * @param {Field} field
 * @param {string} text
 * @param {Record<string, string>} faults
 */
function fieldTyped(field, text, faults) {
  const angle = field.unit === "degrees";
  const tidy = text.replace(/\r\n?/g, "\n");
  const kept =
    field.kind !== "number" ? tidy : angle ? angleTyped(field, tidy) : numberTyped(field, tidy);
  const fault = kept === null ? numberFault(field, tidy) : faultOf(field, kept);
  if (fault) faults[field.name] = `${field.label}: ${given(text)}; ${fault}.`;
  return kept ?? "";
}

/**
 * @param {Field} field
 * @param {string} text
 */
function numberFault(field, text) {
  if (field.unit === "degrees") {
    const letters = field.name === "latitude_deg" ? "N or S" : "E or W";
    return `accepted are degrees from ${field.low} to ${field.high}, as in 54.4321, or 54 25.93 with ${letters}, or nothing`;
  }
  const twoReadings = /^-?\d{1,3},\d{3}$/.test(text.trim());
  const both = twoReadings ? `it can be read as ${text.replace(",", ".")} or as ${text.replace(",", "")}; ` : "";
  return both + numberAccepted(field);
}

/** @param {string} text */
const given = (text) => (text.trim() === "" ? "nothing was given" : `${quoted(text)} is not accepted`);

/* Files. */

/** @param {Entry[]} entries */
export function toCsv(entries) {
  const names = FIELDS.map(({ name }) => name);
  const rows = entries.map((entry) => FIELDS.map(({ name, kind }) => ({ text: entry[name], plain: isPlain(kind) })));
  return writeCsv(names, rows);
}

/** Cells that no spreadsheet can read as a formula: their form has been checked. @param {Kind} kind */
const isPlain = (kind) => !["line", "text"].includes(kind);

/**
 * @param {string} text
 * @returns {Entry[]}
 * @throws {FileFault} naming the first fault
 */
export function fromCsv(text) {
  const { names, rows } = readCsv(text);
  checkColumns(names);
  const entries = rows.map(({ cells }) => {
    return readEntry(
      new Map(cells.map((cell, i) => [names[i].text, cell.text])),
      (name) => cells[names.findIndex((column) => column.text === name)].place,
    );
  });
  refuseTwins(entries, (i) => rows[i].cells[names.findIndex(({ text: name }) => name === "id")].place);
  return entries;
}

/** @param {{text: string, place: string}[]} names */
function checkColumns(names) {
  const seen = new Set();
  for (const { text, place } of names) {
    if (!BY_NAME.has(text)) {
      throw new FileFault(`${place}: ${quoted(text)} is not a field; accepted are ${FIELDS.map((f) => f.name).join(", ")}`);
    }
    if (seen.has(text)) throw new FileFault(`${place}: the field ${text} stands there a second time`);
    seen.add(text);
  }
  const missing = FIELDS.find(({ name }) => !seen.has(name));
  if (missing) throw new FileFault(`line 1: the field ${missing.name} is missing`);
}

/**
 * @param {Entry[]} entries
 * @param {{exported: string, edition: string}} made
 */
export function toJson(entries, { exported, edition }) {
  const inOrder = entries.map((entry) => Object.fromEntries(FIELDS.map(({ name }) => [name, entry[name]])));
  const file = { format: FORMAT, version: VERSION, edition, exported, entries: inOrder };
  return `${JSON.stringify(file, null, 1)}\n`;
}

/**
 * @param {string} text
 * @returns {Entry[]}
 * @throws {FileFault} naming the first fault
 */
export function fromJson(text) {
  const { value, at } = readJson(text);
  const place = (/** @type {string} */ path) => placeInText(text, at.get(path) ?? 0);
  const listed = listOf(value, place);
  const entries = listed.map((item, i) => {
    const where = (/** @type {string} */ name) => `${place(`/entries/${i}/${name}`)}, entry ${i + 1}`;
    if (!(item instanceof Map)) throw new FileFault(`${place(`/entries/${i}`)}: entry ${i + 1} is not an object`);
    refuseUnknown(item, where);
    const missing = FIELDS.find(({ name }) => !item.has(name));
    if (missing) throw new FileFault(`${place(`/entries/${i}`)}, entry ${i + 1}: the field ${missing.name} is missing`);
    return readEntry(item, where);
  });
  refuseTwins(entries, (i) => place(`/entries/${i}/id`));
  return entries;
}

/**
 * @param {unknown} value
 * @param {(path: string) => string} place
 * @returns {unknown[]}
 */
function listOf(value, place) {
  if (!(value instanceof Map)) throw new FileFault(`${place("")}: accepted is an object with format, version and entries`);
  if (value.get("format") !== FORMAT) {
    throw new FileFault(`${place("/format")}, field format: ${quoted(value.get("format"))} is not accepted; accepted is ${FORMAT}`);
  }
  if (value.get("version") !== VERSION) {
    const newer = Number(value.get("version")) > VERSION ? "; it comes from a newer edition" : "";
    throw new FileFault(`${place("/version")}, field version: ${quoted(value.get("version"))} is not accepted; accepted is ${VERSION}${newer}`);
  }
  const entries = value.get("entries");
  if (!Array.isArray(entries)) throw new FileFault(`${place("/entries")}, field entries: accepted is a list`);
  return entries;
}

/**
 * @param {Map<string, unknown>} item
 * @param {(name: string) => string} where
 */
function refuseUnknown(item, where) {
  const unknown = [...item.keys()].find((name) => !BY_NAME.has(name));
  if (unknown !== undefined) throw new FileFault(`${where(unknown)}: ${quoted(unknown)} is not a field of version ${VERSION}`);
}

/**
 * @param {Map<string, unknown>} values
 * @param {(name: string) => string} where
 * @returns {Entry}
 */
function readEntry(values, where) {
  /** @type {Entry} */ const entry = {};
  for (const field of FIELDS) {
    const value = values.get(field.name);
    const isText = typeof value === "string";
    // A spreadsheet may turn the ends of lines within a cell into its own.
    const text = isText ? value.replace(/\r\n?/g, "\n") : "";
    const fault = isText ? faultOf(field, text) : "accepted is a text in quotation marks";
    if (fault) throw new FileFault(`${where(field.name)}, field ${field.name}: ${quoted(value)} is not accepted; ${fault}`);
    entry[field.name] = text;
  }
  return entry;
}

/**
 * @param {Entry[]} entries
 * @param {(i: number) => string} place
 */
function refuseTwins(entries, place) {
  const seen = new Set();
  entries.forEach(({ id }, i) => {
    if (seen.has(id)) throw new FileFault(`${place(i)}, field id: ${quoted(id)} stands in the file a second time`);
    seen.add(id);
  });
}

/**
 * A file's bytes as text. Every file of ours is UTF-8; a mark at its beginning is passed over.
 * @param {Uint8Array} bytes
 * @throws {FileFault} naming the line that is not UTF-8
 */
export function textOf(bytes) {
  const decoder = new TextDecoder("utf-8", { fatal: true });
  try {
    return decoder.decode(bytes);
  } catch {
    throw new FileFault(`line ${lineNotUtf8(bytes)}: not UTF-8; accepted is a text file in UTF-8`);
  }
}

/** @param {Uint8Array} bytes */
function lineNotUtf8(bytes) {
  let line = 1;
  for (let start = 0; start < bytes.length; line += 1) {
    const end = bytes.indexOf(10, start);
    const stop = end < 0 ? bytes.length : end + 1;
    try {
      new TextDecoder("utf-8", { fatal: true }).decode(bytes.subarray(start, stop));
    } catch {
      return line;
    }
    start = stop;
  }
  return line;
}

/**
 * Either kind of file, told apart by how it begins.
 * @param {string} text
 * @returns {Entry[]}
 * @throws {FileFault} naming the first fault
 */
export function fromFile(text) {
  return /^\s*[{[]/.test(text) ? fromJson(text) : fromCsv(text);
}

/* Two logs. */

/**
 * What a file would add to a log. When an entry was written or changed is no difference by itself.
 * @param {Entry[]} here
 * @param {Entry[]} file
 * @returns {Comparison}
 */
export function compare(here, file) {
  const known = new Map(here.map((entry) => [entry.id, entry]));
  /** @type {Comparison} */ const found = { fresh: [], same: 0, conflicts: [] };
  for (const entry of file) {
    const mine = known.get(entry.id);
    const fields = mine ? FIELDS.filter((f) => f.kind !== "stamp" && mine[f.name] !== entry[f.name]) : [];
    if (!mine) found.fresh.push(entry);
    else if (fields.length === 0) found.same += 1;
    else found.conflicts.push({ here: mine, file: entry, fields });
  }
  return found;
}

/**
 * Newest first, by the moment and not by what the local clock showed.
 * @param {Entry[]} entries
 */
export function inOrder(entries) {
  return [...entries].sort(
    (a, b) => Date.parse(b.time) - Date.parse(a.time) || b.written.localeCompare(a.written) || (a.id < b.id ? -1 : 1),
  );
}
