/** When a running check speaks and reports. Times in ms, progress in parts of 1000. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { Pace } from "../../site_src/browser/recording-pace.js";

const ALL = 1000;

/** A check that began at 0 with nothing done, whose first report took so long and was there at 500. @param {number} took */
function reportedOnce(took) {
  const pace = new Pace();
  pace.measure(0, 0);
  pace.reported(500, took);
  return pace;
}

test("the time left follows from the speed so far, and is unknown in the first two seconds", () => {
  const pace = new Pace();
  assert.equal(pace.left(5000, 400, ALL), Infinity, "nothing is measured yet");
  pace.measure(1000, 100);
  assert.equal(pace.left(2900, 200, ALL), Infinity);
  assert.equal(pace.left(5000, 100, ALL), Infinity, "it stands still");
  assert.equal(pace.left(5000, 300, ALL), 14_000); // 200 parts in 4 s, 700 are left
});

test("a pause is no part of the speed", () => {
  const pace = new Pace();
  pace.measure(0, 0);
  pace.measure(100_000, 500);
  assert.equal(pace.left(102_000, 600, ALL), 8000);
});

test("how far it is is said once a second", () => {
  const pace = new Pace();
  const said = Array.from({ length: 31 }, (_, n) => 100 * n).filter((now) => pace.saysNow(now));
  assert.deepEqual(said, [0, 1000, 2000, 3000]);
});

test("no report comes before its time, and none while one is being made", () => {
  const pace = new Pace();
  assert.equal(pace.reportsNow(1e9, 0, ALL), false, "none is due before one was asked for");
  pace.measure(0, 0);
  pace.reportAt(700);
  assert.equal(pace.reportsNow(699, 1, ALL), false);
  assert.equal(pace.reportsNow(700, 1, ALL), true);
  assert.equal(pace.reportsNow(100_000, 10, ALL), false);
});

test("a report that took long stands longer, none less than three seconds", () => {
  for (const [took, due] of [
    [30, 3500],
    [90, 3500],
    [300, 10_500],
  ]) {
    assert.equal(reportedOnce(took).reportsNow(due - 1, 10, ALL), false);
    assert.equal(reportedOnce(took).reportsNow(due, 10, ALL), true);
  }
});

test("a report that the last one would soon replace is not made", () => {
  // Half is done after 12 s, so 12 s are left; a report that took 300 ms is to stand for 10 s.
  assert.equal(reportedOnce(300).reportsNow(12_000, 500, ALL), true);
  // 8 s are left.
  assert.equal(reportedOnce(300).reportsNow(12_000, 600, ALL), false);
  // Made quickly, it is worth it still.
  assert.equal(reportedOnce(30).reportsNow(12_000, 600, ALL), true);
});
