/**
 * FLAC, unpacked by libFLAC: the WebAssembly of the package libflacjs, called directly.
 *
 * Only the compiled library of that package is used. Its own script turns every sample into bytes one
 * by one, guesses at what belongs to samples of 16 bits, and puts itself in the place of `fetch`;
 * here the library's 32-bit samples are copied as they are.
 */

import wasm from "libflacjs/dist/libflac.wasm.wasm";

/** Where the compiled library keeps the end of its heap, and that end at first: read at build. */
const { heapEnd, heapStart } = __LIBFLAC__;

const PAGE = 65_536;
/** Memory of the library in pages, as it was compiled, and at most: far more than a block of sound takes. */
const PAGES = { initial: 256, maximum: 1024 };
/** Places that the library itself takes in its table of functions. */
const OWN_FUNCTIONS = 22;
/** Bytes of the library's own header of a block: frames, rate, channels, and so on, 4 bytes each. */
const HEADER = { frames: 0, channels: 8, bits: 16 };
/** From this state on there is nothing more to read. */
const ENDED = 4;
const CONTINUE = 0;
const END_OF_STREAM = 1;
const ABORT = 1;

/**
 * Unpack whole blocks.
 * @callback Unpack
 * @param {Uint8Array} head of the stream, up to its blocks
 * @param {Uint8Array} packed blocks; what comes behind the last wanted frame is not looked at
 * @param {number} frames that are in them
 * @param {number} channels
 * @param {number} size bytes of a sample: 1, 2 or 3; 1 has no sign, and 128 is zero
 * @returns {Uint8Array | null} the frames, lowest byte first; null if any of them is damaged
 */

/** @returns {Promise<Unpack>} */
export async function loadUnpacker() {
  const response = await fetch(new URL(wasm, import.meta.url));
  if (!response.ok) throw new Error(`the part that unpacks FLAC is missing (answer ${response.status})`);
  return makeUnpacker(await response.arrayBuffer());
}

/** @param {BufferSource} binary @returns {Promise<Unpack>} */
export async function makeUnpacker(binary) {
  const library = new Library();
  await library.start(binary);
  return (...given) => library.unpack(...given);
}

class Library {
  #memory = new WebAssembly.Memory(PAGES);
  /** @type {Record<string, (...given: number[]) => number>} */ #calls = {};
  #decoder = 0;
  /** What the library is to read, one after another. @type {Uint8Array[]} */ #parts = [];
  /** What it has unpacked. */ #out = new Uint8Array(0);
  #wanted = { frames: 0, channels: 0, size: 0 };
  #frames = 0;
  #damaged = false;

  /** @param {BufferSource} binary */
  async start(binary) {
    const table = new WebAssembly.Table({ element: "anyfunc", initial: OWN_FUNCTIONS + 3 });
    const { instance } = await WebAssembly.instantiate(binary, this.#imports(table));
    this.#calls = /** @type {any} */ (instance.exports);
    new Int32Array(this.#memory.buffer)[heapEnd / 4] = heapStart;
    this.#calls.__wasm_call_ctors();
    const ours = [
      callable((_, to, length) => this.#read(to, length), 4, true),
      callable((_, frame, channels) => this.#write(frame, channels), 4, true),
      callable(() => this.#fail(), 3, false),
    ];
    ours.forEach((one, n) => table.set(OWN_FUNCTIONS + n, one));
    const [read, write, fail] = ours.map((_, n) => OWN_FUNCTIONS + n);
    this.#decoder = this.#calls.FLAC__stream_decoder_new();
    const refused = this.#calls.FLAC__stream_decoder_init_stream(this.#decoder, read, 0, 0, 0, 0, write, 0, fail, 0);
    if (!this.#decoder || refused) throw new Error("the part that unpacks FLAC did not start");
  }

  /** What the library asks of the world around it; it has no files here. @param {WebAssembly.Table} table */
  #imports(table) {
    const noFile = () => 8;
    return {
      env: {
        memory: this.#memory,
        table,
        emscripten_resize_heap: (/** @type {number} */ bytes) => this.#grow(bytes >>> 0),
        emscripten_memcpy_big: (/** @type {number} */ to, /** @type {number} */ from, /** @type {number} */ length) => {
          new Uint8Array(this.#memory.buffer).copyWithin(to, from, from + length);
        },
        round: (/** @type {number} */ value) => Math.sign(value) * Math.round(Math.abs(value)),
        setTempRet0: () => {},
      },
      wasi_snapshot_preview1: { fd_close: noFile, fd_read: noFile, fd_write: noFile, fd_seek: noFile },
    };
  }

  /** @param {number} bytes */
  #grow(bytes) {
    try {
      this.#memory.grow(Math.ceil((bytes - this.#memory.buffer.byteLength) / PAGE));
      return 1;
    } catch {
      return 0;
    }
  }

  /** @type {Unpack} */
  unpack(head, packed, frames, channels, size) {
    this.#parts = [head, packed];
    this.#out = new Uint8Array(frames * channels * size);
    this.#wanted = { frames, channels, size };
    this.#frames = 0;
    this.#damaged = false;
    const calls = this.#calls;
    calls.FLAC__stream_decoder_reset(this.#decoder);
    calls.FLAC__stream_decoder_process_until_end_of_metadata(this.#decoder);
    while (this.#frames < frames && !this.#damaged && calls.FLAC__stream_decoder_get_state(this.#decoder) < ENDED) {
      calls.FLAC__stream_decoder_process_single(this.#decoder);
    }
    return this.#damaged || this.#frames < frames ? null : this.#out;
  }

  /**
   * The library wants bytes.
   * @param {number} to
   * @param {number} length where it says how many at most, and hears how many there are
   */
  #read(to, length) {
    const said = new DataView(this.#memory.buffer);
    while (this.#parts.length > 0 && this.#parts[0].length === 0) this.#parts.shift();
    const [part] = this.#parts;
    const given = part?.subarray(0, said.getUint32(length, true)) ?? new Uint8Array(0);
    new Uint8Array(this.#memory.buffer).set(given, to);
    said.setUint32(length, given.length, true);
    if (part) this.#parts[0] = part.subarray(given.length);
    return part ? CONTINUE : END_OF_STREAM;
  }

  /**
   * The library has unpacked a block.
   * @param {number} frame its header
   * @param {number} pointers to the samples of each channel
   */
  #write(frame, pointers) {
    const said = new DataView(this.#memory.buffer);
    const { frames, channels, size } = this.#wanted;
    const count = said.getUint32(frame + HEADER.frames, true);
    const alike =
      said.getUint32(frame + HEADER.channels, true) === channels && said.getUint32(frame + HEADER.bits, true) === 8 * size;
    if (!alike || this.#frames + count > frames) return this.#fail();
    const put = [put8, put16, put24][size - 1];
    for (let n = 0; n < channels; n++) {
      const samples = new Int32Array(this.#memory.buffer, said.getUint32(pointers + 4 * n, true), count);
      put(samples, this.#out, this.#frames * channels + n, channels);
    }
    this.#frames += count;
    return CONTINUE;
  }

  #fail() {
    this.#damaged = true;
    return ABORT;
  }
}

/** @type {typeof put16} */
function put8(samples, out, first, step) {
  for (let n = 0, at = first; n < samples.length; n++, at += step) out[at] = samples[n] + 128;
}

/**
 * One channel into frames.
 * @param {Int32Array} samples
 * @param {Uint8Array} out
 * @param {number} first sample of it in `out`
 * @param {number} step from frame to frame, in samples
 */
function put16(samples, out, first, step) {
  const whole = new Int16Array(out.buffer); // every device with WebAssembly has the lowest byte first
  for (let n = 0, at = first; n < samples.length; n++, at += step) whole[at] = samples[n];
}

/** @type {typeof put16} */
function put24(samples, out, first, step) {
  for (let n = 0, at = 3 * first; n < samples.length; n++, at += 3 * step) {
    const value = samples[n];
    out[at] = value;
    out[at + 1] = value >> 8;
    out[at + 2] = value >> 16;
  }
}

/**
 * A function of ours as one of WebAssembly, which a table takes: a module that gives out what it got.
 * @param {(...given: number[]) => number} ours
 * @param {number} count of its arguments, whole numbers
 * @param {boolean} answers with a whole number
 */
function callable(ours, count, answers) {
  const int = 0x7f;
  const type = [1, 0x60, count, ...Array(count).fill(int), ...(answers ? [1, int] : [0])];
  const section = (/** @type {number} */ id, /** @type {number[]} */ body) => [id, body.length, ...body];
  const bytes = new Uint8Array([
    ...[0, 0x61, 0x73, 0x6d, 1, 0, 0, 0], // "\0asm", version 1
    ...section(1, type),
    ...section(2, [1, 1, 0x65, 1, 0x66, 0, 0]), // import "e" "f", of type 0
    ...section(7, [1, 1, 0x66, 0, 0]), // export it as "f"
  ]);
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes), { e: { f: ours } });
  return /** @type {Function} */ (exports.f);
}
