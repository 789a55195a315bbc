/**
 * Reads a file in order, a piece at a time, into the same memory again and again: a file of gigabytes
 * that is read in slices leaves hundreds of megabytes behind before the browser clears them away.
 */

export class PieceReader {
  /** @type {ReadableStreamBYOBReader | null} */ #stream = null;
  #at = 0;
  #memory = new ArrayBuffer(0);

  /** @param {File} file */
  constructor(file) {
    this.file = file;
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
    if (!this.#stream) return new Uint8Array(await this.file.slice(offset, offset + length).arrayBuffer());
    if (this.#memory.byteLength < length) this.#memory = new ArrayBuffer(length);
    let got = 0;
    while (got < length) {
      const { value, done } = await this.#stream.read(new Uint8Array(this.#memory, got, length - got));
      if (value) {
        this.#memory = value.buffer; // it was taken away to be filled, and is given back
        got += value.length;
      }
      if (done) break;
    }
    this.#at = offset + got;
    return new Uint8Array(this.#memory, 0, got);
  }

  /** @param {number} offset */
  #open(offset) {
    this.end();
    this.#at = offset;
    try {
      this.#stream = this.file.slice(offset).stream().getReader({ mode: "byob" });
    } catch {
      this.#stream = null; // a browser that gives no memory to fill: in slices, then
    }
  }

  end() {
    void this.#stream?.cancel().catch(() => {});
    this.#stream = null;
  }
}
