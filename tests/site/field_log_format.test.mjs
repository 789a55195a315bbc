/** The files of the field log: nothing is lost, and what is broken is named. Run by test_field_log_format.py. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { guard, readCsv, unguard } from "../../site_src/browser/csv.js";
import * as log from "../../site_src/browser/field-log-format.js";
import { readJson } from "../../site_src/browser/json-text.js";
import { NASTY, anEntry, randomly } from "./field_log_entries.mjs";

const MADE = { exported: "2026-06-17T08:00:00.000Z", edition: "2026.11" };
const FIELD = new Map(log.FIELDS.map((field) => [field.name, field]));

/** @param {string} name */
const field = (name) => /** @type {log.Field} */ (FIELD.get(name));

/** @param {() => unknown} work @returns {string} */
function faultIn(work) {
  try {
    work();
  } catch (error) {
    return /** @type {Error} */ (error).message;
  }
  return assert.fail("it was accepted");
}

test("hundreds of entries with nasty texts come back from CSV and from JSON as they were", () => {
  const { text, pick } = randomly(20260614);
  const entries = Array.from({ length: 400 }, (_, i) => anEntry(i, (kind) => text(kind === "line"), pick));
  assert.deepEqual(log.fromCsv(log.toCsv(entries)), entries);
  assert.deepEqual(log.fromJson(log.toJson(entries, MADE)), entries);
  assert.deepEqual(log.fromFile(log.toCsv(entries)), entries);
  assert.deepEqual(log.fromFile(log.toJson(entries, MADE)), entries);
});

test("every pair of nasty pieces comes back from CSV", () => {
  const notes = NASTY.flatMap((a) => NASTY.map((b) => a + b));
  const entries = notes.map((text, i) => anEntry(i, (kind) => (kind === "text" ? text : ""), () => ""));
  assert.deepEqual(log.fromCsv(log.toCsv(entries)).map(({ notes: n }) => n), notes);
  for (const text of notes) assert.equal(unguard(guard(text)), text);
});

test("an empty log is a file too", () => {
  assert.deepEqual(log.fromCsv(log.toCsv([])), []);
  assert.deepEqual(log.fromJson(log.toJson([], MADE)), []);
});

test("a text is guarded where a cell of a formula could begin, a number never", () => {
  /** @type {[string, string][]} */
  const pairs = [
    ["=1+1", "'=1+1"],
    ["'=1", "''=1"],
    [' "@x', " \"'@x"],
    ["calm; -3 °C", "calm; '-3 °C"],
    ["calm, -3 °C", "calm, -3 °C"],
    ["one\n+two", "one\n'+two"],
    ["＝full", "'＝full"],
    ["'tis", "'tis"],
    ["a-b", "a-b"],
  ];
  for (const [plain, guarded] of pairs) assert.equal(guard(plain), guarded);
  const entry = { ...anEntry(1, () => "", () => ""), latitude_deg: "-54.50", longitude_deg: "-2.0" };
  assert.match(log.toCsv([entry]), /,-54\.50,-2\.0,/);
});

test("columns may stand in any order, lines may end as on any system", () => {
  const entries = [anEntry(1, () => 'a,"b"', () => "")];
  const { names, rows } = readCsv(log.toCsv(entries));
  const order = names.map((_, i) => i).reverse();
  const quote = (/** @type {string} */ text) => `"${text.replaceAll('"', '""')}"`;
  const lines = [names, ...rows.map(({ cells }) => cells)].map((cells) => order.map((i) => quote(cells[i].text)).join(","));
  assert.deepEqual(log.fromCsv(lines.join("\n")), entries);
});

test("a broken CSV is refused by its first fault", () => {
  const good = log.toCsv([anEntry(1, () => "x", () => ""), anEntry(2, (kind) => (kind === "text" ? "y\nz" : "y"), () => "")]);
  assert.equal(log.fromCsv(good).length, 2);
  /** @type {[string, string, RegExp][]} */
  const faults = [
    ["T21:40", "T25:40", /^line 2, column 38, field time: “2026-06-14T25:40:00\+02:00” is not accepted; accepted is a date and time that exist/],
    [",deployed,", ",sunk,", /^line 2, column 64, field event: “sunk” is not accepted; accepted is one of deployed, checked, recovered, note$/],
    ["depth_m", "depth", /^line 1, column 48: “depth” is not a field; accepted are id, time/],
    ["depth_m", "place", /^line 1, column 48: the field place stands there a second time$/],
    [",depth_m", "", /^line 2, column 1: 16 fields; accepted are 15, as in line 1$/],
    ['"x"', 'x"', /^line 2, column 74: a quotation mark within a field/],
    ['"x"', '"x"x', /^line 2, column 76: after a closing quotation mark/],
    ['"x"', '"x\u0000"', /^line 2, column 73, field place: “x\\x00” is not accepted; accepted are characters, not U\+0000$/],
    ['"y\nz"', '"y\nz', /^line \d+, column \d+: /],
    ["000002", "000001", /^line 3, column 1, field id: “00000000-0000-4000-8000-000000000001” stands in the file a second time$/],
    [",,,,", ",deep,,,", /field latitude_deg: “deep” is not accepted; accepted is a number from -90 to 90 \(degrees\), or nothing$/],
  ];
  for (const [from, to, words] of faults) {
    assert.ok(good.includes(from), from);
    assert.match(faultIn(() => log.fromCsv(good.replace(from, to))), words);
  }
  assert.match(faultIn(() => log.fromCsv("")), /^line 1: the file is empty/);
  assert.match(faultIn(() => log.fromCsv(good.replaceAll(",", ";"))), /^line 1: the fields are parted by something else/);
});

test("a broken JSON is refused by its first fault", () => {
  const good = log.toJson([anEntry(1, () => "x", () => ""), anEntry(2, () => "y", () => "")], MADE);
  /** @type {[string, string, RegExp][]} */
  const faults = [
    ['"version": 1', '"version": 2', /^line 3, column 13, field version: “2” is not accepted; accepted is 1; it comes from a newer edition$/],
    ["wetside-field-log", "diary", /^line 2, column 12, field format: “diary” is not accepted/],
    ['"depth_m": ""', '"depth_m": "4,5"', /^line 14, column 15, entry 1, field depth_m: “4,5” is not accepted; accepted is a number from 0 to 11000/],
    ['"depth_m": ""', '"depth_m": 4', /^line 14, column 15, entry 1, field depth_m: “4” is not accepted; accepted is a text/],
    ['"depth_m"', '"depth"', /^line 14, column 13, entry 1: “depth” is not a field of version 1$/],
    ['"depth_m": "",', "", /^line 7, column 3, entry 1: the field depth_m is missing$/],
    ['"depth_m": "",', '"depth_m": "" ', /^line 15, column 4: .* accepted is a comma or }$/],
    ['"place": "x"', '"place": "\\ud800"', /accepted are characters, not U\+D800$/],
    ['"place": "x"', '"place": "a\\nb"', /field place: “a⏎b” is not accepted; accepted is one line$/],
    ['"place"', '"event"', /the field “event” stands there a second time$/],
    ['"place"', '"__proto__"', /“__proto__” is not a field/],
  ];
  for (const [from, to, words] of faults) {
    assert.ok(good.includes(from), from);
    assert.match(faultIn(() => log.fromJson(good.replace(from, to))), words);
  }
  assert.match(faultIn(() => log.fromJson("[]")), /^line 1, column 1: accepted is an object/);
  assert.match(faultIn(() => log.fromJson("[".repeat(1e5))), /nested so deep/);
});

test("JSON is read as the engine's own reader does, whatever was done to the text", () => {
  const good = log.toJson([anEntry(1, () => 'x"\\\n\u2028😀', () => "")], MADE);
  const places = Array.from({ length: good.length }, (_, i) => i).filter((i) => i % 3 === 0);
  const spoilt = places.flatMap((i) => [
    good.slice(0, i),
    good.slice(0, i) + good.slice(i + 1),
    ...['"', "{", "]", ",", "\\", "0", "\n", "e"].map((sign) => good.slice(0, i) + sign + good.slice(i + 1)),
  ]);
  let refused = 0;
  for (const text of spoilt) {
    const [ours, theirs] = [attempt(() => plain(readJson(text).value)), attempt(() => JSON.parse(text))];
    if (ours.error?.includes("a second time")) continue; // stricter on purpose
    assert.equal(ours.error === undefined, theirs.error === undefined, text);
    assert.deepEqual(ours.value, theirs.value);
    if (ours.error) refused += 1;
  }
  assert.ok(refused > 500, "most were broken");
});

/** @param {() => unknown} work @returns {{value?: unknown, error?: string}} */
function attempt(work) {
  try {
    return { value: work() };
  } catch (error) {
    return { error: /** @type {Error} */ (error).message };
  }
}

/** @param {unknown} value @returns {unknown} */
function plain(value) {
  if (value instanceof Map) return Object.fromEntries([...value].map(([name, item]) => [name, plain(item)]));
  return Array.isArray(value) ? value.map(plain) : value;
}

test("a file that is not UTF-8 is refused by its line", () => {
  assert.match(faultIn(() => log.textOf(Uint8Array.of(97, 10, 98, 10, 0xe9, 10))), /^line 3: not UTF-8/);
  assert.equal(log.textOf(Uint8Array.of(0xef, 0xbb, 0xbf, 0xc3, 0xa9)), "é");
});

test("times that no calendar or clock shows are refused", () => {
  const good = ["2026-06-14T21:40:00+02:00", "2024-02-29T00:00:00-03:30", "2026-01-01T23:59:59+14:00", "1999-12-31T12:00:00+00:00"];
  const bad = ["2026-02-29T00:00:00+00:00", "2026-06-14T24:00:00+02:00", "2026-06-14T21:60:00+02:00", "2026-06-14T21:40:60+02:00",
    "2026-06-14T21:40:00-00:00", "2026-06-14T21:40:00+15:00", "2026-06-14T21:40:00-12:30", "2026-06-14T21:40:00", "2026-06-14 21:40:00+02:00",
    "2026-13-01T00:00:00+00:00", "2026-06-31T00:00:00+00:00", "1600-01-01T00:00:00+00:00"];
  for (const time of good) assert.equal(log.faultOf(field("time"), time), null, time);
  for (const time of bad) assert.notEqual(log.faultOf(field("time"), time), null, time);
});

test("a position is taken as people write it, and kept in decimal degrees", () => {
  /** @type {[string, string, string | null][]} */
  const typed = [
    ["latitude_deg", "54.4321", "54.4321"],
    ["latitude_deg", "54.4320", "54.4320"],
    ["latitude_deg", "54,4321", "54.4321"],
    ["latitude_deg", "54 30 N", "54.500000"],
    ["latitude_deg", "54°30′36″S", "-54.510000"],
    ["latitude_deg", "S 54° 30.6'", "-54.510000"],
    ["longitude_deg", "2 15 W", "-2.250000"],
    ["longitude_deg", "-2 15", "-2.250000"],
    ["longitude_deg", "0 30 W", "-0.500000"],
    ["longitude_deg", "−2.5", "-2.5"],
    ["longitude_deg", "002.5", "2.5"],
    ["latitude_deg", "", ""],
    ["latitude_deg", "91", null],
    ["latitude_deg", "54 60 N", null],
    ["latitude_deg", "54.5 30 N", null],
    ["latitude_deg", "54 E", null],
    ["latitude_deg", "-54 S", null],
    ["latitude_deg", "N 54 N", null],
    ["latitude_deg", "5412", null],
    ["longitude_deg", "181", null],
    ["latitude_deg", "north", null],
  ];
  for (const [name, text, kept] of typed) assert.equal(log.angleTyped(field(name), text), kept, text);
});

test("a number is taken with either decimal sign, unless it can be read in two ways", () => {
  /** @type {[string, string, string | null][]} */
  const typed = [
    ["depth_m", " 4,0 ", "4.0"],
    ["depth_m", "004.50", "4.50"],
    ["depth_m", "+4", "4"],
    ["depth_m", "1,234", null],
    ["depth_m", "12,345", "12.345"],
    ["water_temperature_c", "−1.8", "-1.8"],
    ["water_temperature_c", "1,234", "1.234"],
    ["depth_m", "1e3", null],
    ["depth_m", "4 m", null],
    ["depth_m", "NaN", null],
    ["depth_m", "-0.1", null],
  ];
  for (const [name, text, kept] of typed) assert.equal(log.numberTyped(field(name), text), kept, text);
});

test("the form's faults are named by field, value and what is accepted", () => {
  const filled = { ...anEntry(1, () => "", () => ""), event: "note", date: "2026-02-30", time: "25:00", offset: "2", depth_m: "1,234", latitude_deg: "54", notes: "a\u0000" };
  const { faults } = log.entryTyped(filled);
  assert.deepEqual(faults, {
    date: "Date: “2026-02-30” is not accepted; accepted is a day of the calendar, as in 2026-06-14.",
    time: "Time: “25:00” is not accepted; accepted is a time of day from 00:00 to 23:59:59.",
    offset: "Offset from UTC: “2” is not accepted; accepted is -12:00 to +14:00, as in +02:00.",
    depth_m: "Depth: “1,234” is not accepted; it can be read as 1.234 or as 1234; accepted is a number from 0 to 11000 (metres), or nothing.",
    longitude_deg: "Longitude: a position needs both: give the other as well, or neither.",
    notes: "Notes: “a\\x00” is not accepted; accepted are characters, not U+0000.",
  });
  const none = log.entryTyped({ ...filled, event: "", date: "", time: "" }).faults;
  assert.equal(none.event, "What happened: nothing was given; accepted is one of deployed, checked, recovered, note.");
  assert.equal(none.date, "Date: nothing was given; accepted is a day of the calendar, as in 2026-06-14.");
});

test("what the form accepts is what a file may hold", () => {
  const typed = { ...anEntry(7, () => "x", () => ""), event: "deployed", date: "2026-06-14", time: "21:40", offset: "+2", latitude_deg: "54 30 N", longitude_deg: "2 15 W", depth_m: "4,0", notes: "a\r\nb" };
  const { entry, faults } = log.entryTyped(typed);
  assert.deepEqual(faults, {});
  assert.equal(entry.time, "2026-06-14T21:40:00+02:00");
  assert.equal(entry.notes, "a\nb");
  assert.deepEqual(log.fromCsv(log.toCsv([entry])), [entry]);
});

test("two logs are compared by entry, and what differs is named", () => {
  const [a, b, c] = [1, 2, 3].map((i) => anEntry(i, () => "x", () => ""));
  const later = { ...a, changed: "2027-01-01T00:00:00.000Z" };
  const other = { ...b, depth_m: "4", notes: "y" };
  const found = log.compare([a, b], [later, other, c]);
  assert.deepEqual(found.fresh, [c]);
  assert.equal(found.same, 1);
  assert.deepEqual(found.conflicts.map(({ here, file, fields }) => [here, file, fields.map(({ name }) => name)]), [[b, other, ["depth_m", "notes"]]]);
});

test("the list goes by the moment, not by the local clock", () => {
  /** @type {log.Entry} */ const first = { ...anEntry(1, () => "", () => ""), time: "2026-06-14T23:00:00+05:00" };
  /** @type {log.Entry} */ const second = { ...anEntry(2, () => "", () => ""), time: "2026-06-14T21:00:00+02:00" };
  assert.deepEqual(log.inOrder([first, second]).map(({ id }) => id), [second.id, first.id]);
});
