/** Reading a file piece by piece: what a stream gives, and what is done when it gives nothing. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { PieceReader } from "../../site_src/browser/recording-read.js";

const BYTES = Uint8Array.from({ length: 1000 }, (_, n) => n % 251);

/**
 * A file whose stream gives so many bytes, a few at a time, and then nothing any more.
 * @param {number} gives
 * @param {number[]} slices notes what is read as a slice
 * @returns {File}
 */
const fileOf = (gives, slices) =>
  /** @type {any} */ ({
    slice: (/** @type {number} */ from, /** @type {number} */ to) => ({
      stream: () => streamOf(BYTES.subarray(from), gives),
      arrayBuffer: async () => {
        slices.push(from);
        return BYTES.slice(from, to).buffer;
      },
    }),
  });

/** @param {Uint8Array} bytes @param {number} gives */
function streamOf(bytes, gives) {
  let at = 0;
  return new ReadableStream({
    type: "bytes",
    async pull(controller) {
      const request = /** @type {any} */ (controller).byobRequest;
      const { view } = request;
      const count = Math.min(view.byteLength, 7, gives - at, bytes.length - at);
      if (count <= 0) return new Promise(() => {});
      new Uint8Array(view.buffer, view.byteOffset, count).set(bytes.subarray(at, at + count));
      at += count;
      request.respond(count);
    },
  });
}

/** @param {PieceReader} reader */
async function readAll(reader) {
  /** @type {number[]} */ const got = [];
  for (let at = 0; at < BYTES.length; at += 100) got.push(...(await reader.read(at, 100)));
  return got;
}

test("a stream gives all pieces in order", async () => {
  /** @type {number[]} */ const slices = [];
  assert.deepEqual(await readAll(new PieceReader(fileOf(Infinity, slices), 1000)), [...BYTES]);
  assert.deepEqual(slices, []);
});

test("a stream that stands still is left, and nothing is lost or comes twice", async () => {
  /** @type {number[]} */ const slices = [];
  assert.deepEqual(await readAll(new PieceReader(fileOf(250, slices), 20)), [...BYTES]);
  assert.deepEqual(slices, [200, 500, 800]); // a new stream after each gives 250 bytes again
});

test("a reader takes the memory of one that has ended, and of no other", async () => {
  const begun = () => new PieceReader(fileOf(Infinity, []), 1000);
  const first = begun();
  await first.read(0, 333);
  first.end();
  const piece = await begun().read(7, 50);
  assert.equal(piece.buffer.byteLength, 333);
  const other = await begun().read(0, 50); // the second still has it
  assert.equal(other.buffer.byteLength, 50);
  assert.deepEqual([...piece], [...BYTES.subarray(7, 57)]);
});
