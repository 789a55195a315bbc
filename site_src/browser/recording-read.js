/**
 * Reads a file in order, a piece at a time, into the same memory again and again: a file of gigabytes
 * that is read in slices leaves hundreds of megabytes behind before the browser clears them away.
 */

/** A stream that has not given a piece after so long, in ms, is given up, and the piece is read as a slice. */
const STANDS_STILL = 10_000;

/** What no reader has just now. Memory that each of them leaves behind is cleared away beside the check. */
let spare = new ArrayBuffer(0);

export class PieceReader {
  /** @type {ReadableStreamBYOBReader | null} */ #stream = null;
  #at = 0;
  #memory = spare;

  /** @param {File} file @param {number} [patience] in ms */
  constructor(file, patience = STANDS_STILL) {
    this.file = file;
    this.patience = patience;
    spare = new ArrayBuffer(0); // this reader has it
  }

  /**
   * @param {number} offset
   * @param {number} length
   * @returns {Promise<Uint8Array>} as many bytes, good until the next read
   * @throws {DOMException} if the file cannot be read any more, or has become shorter
   */
  async read(offset, length) {
    if (length === 0) return new Uint8Array(0); // Python goes on with what it has
    let piece;
    try {
      piece = await this.#read(offset, length);
    } catch {
      throw new DOMException("the file cannot be read", "NotReadableError"); // browsers differ in what they throw
    }
    if (piece.length < length) throw new DOMException("the file has become shorter", "NotReadableError");
    return piece;
  }

  /** @param {number} offset @param {number} length */
  async #read(offset, length) {
    if (!this.#stream || this.#at !== offset) this.#open(offset);
    const piece = this.#stream && (await within(this.patience, this.#fromStream(this.#stream, length)));
    if (!piece) {
      this.#memory = new ArrayBuffer(0); // the stream may have what was there
      this.#close();
      return new Uint8Array(await this.file.slice(offset, offset + length).arrayBuffer());
    }
    this.#at = offset + piece.length;
    return piece;
  }

  /**
   * @param {ReadableStreamBYOBReader} stream
   * @param {number} length
   * @returns {Promise<Uint8Array>} fewer bytes at the end only
   */
  async #fromStream(stream, length) {
    let memory = this.#memory.byteLength < length ? new ArrayBuffer(length) : this.#memory;
    let got = 0;
    while (got < length) {
      const { value, done } = await stream.read(new Uint8Array(memory, got, length - got));
      if (value) {
        memory = value.buffer; // it was taken away to be filled, and is given back
        got += value.length;
      }
      if (done) break;
    }
    this.#memory = memory;
    return new Uint8Array(memory, 0, got);
  }

  /** @param {number} offset */
  #open(offset) {
    this.#close();
    this.#at = offset;
    try {
      this.#stream = this.file.slice(offset).stream().getReader({ mode: "byob" });
    } catch {
      this.#stream = null; // a browser that gives no memory to fill: in slices, then
    }
  }

  #close() {
    void this.#stream?.cancel().catch(() => {});
    this.#stream = null;
  }

  /** Nothing more is wanted. What was read last is not good any more. */
  end() {
    this.#close();
    if (this.#memory.byteLength > spare.byteLength) spare = this.#memory;
    this.#memory = new ArrayBuffer(0);
  }
}

/**
 * @template T
 * @param {number} patience in ms
 * @param {Promise<T>} promise
 * @returns {Promise<T | null>} null if it takes longer
 */
function within(patience, promise) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let timer;
  const late = new Promise((/** @type {(nothing: null) => void} */ resolve) => {
    timer = setTimeout(() => resolve(null), patience);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}
