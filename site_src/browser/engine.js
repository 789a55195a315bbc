/**
 * The page's side of the Worker that runs Python: one Worker a visit, kept while the reader goes from
 * page to page. Every start is watched, because a start that hangs must become a message.
 */

import { findFault } from "./diagnose.js";
import { recall, remember } from "./settings.js";
import { forgetSnapshot } from "./snapshot.js";

/**
 * @import {FromWorker, Request} from "./types"
 * @typedef {"idle" | "starting" | "live" | "failed"} EngineState
 * @typedef {{state: EngineState, words: string}} Status
 * @typedef {{resolve: (reply: any) => void, reject: (error: Error) => void, hear: () => void}} Waiting
 * @typedef {{idle: string, still: string, stays: string, later: boolean, starting: number, hear: (message: any) => void}} Options
 *   `idle`: words before the start; `still`: what a reader has without Python; `stays`: what is left when
 *   it died; `later`: this Worker loads what calculators start without; `starting`: longest silence, in ms, while
 *   Python sets itself up; `hear` gets what answers nothing
 */

/** @type {Options} */
const CALCULATORS = {
  idle: "worked example",
  still: "The worked example stays as it is.",
  stays: "The last answer stays.",
  later: false,
  starting: 20_000,
  hear: () => {},
};

/** Longest silence, in ms, while bytes should flow. */
const DOWNLOADING = 12_000;

/** Longest silence, in ms, of a Worker that owes an answer; a calculation takes some ms. */
const ANSWER_WITHIN = 20_000;

const STARTING = "starting Python…";

/** Names the runtime that has started here before: its files are then most likely on the device. */
const STARTED = "wetside.started";

export class Engine {
  /** @type {Worker | null} */ #worker = null;
  /** @type {Promise<void> | null} */ #start = null;
  /** @type {Map<number, Waiting>} */ #waiting = new Map();
  /** @type {Set<(status: Status) => void>} */ #listeners = new Set();
  #lastId = 0;
  /** @type {Status} */ #status;

  /**
   * @param {string} runtime absolute address of the runtime's folder, ending in "/"
   * @param {string} script absolute address of the Worker's script
   * @param {Options} [options]
   */
  constructor(runtime, script, options = CALCULATORS) {
    this.runtime = runtime;
    this.script = script;
    this.options = options;
    this.#status = { state: "idle", words: options.idle };
  }

  get status() {
    return this.#status;
  }

  /**
   * Be told of every change of state, and of the present one at once.
   * @param {(status: Status) => void} listener
   * @returns {() => void} stops telling
   */
  watch(listener) {
    this.#listeners.add(listener);
    listener(this.#status);
    return () => this.#listeners.delete(listener);
  }

  /** Start Python, or wait for the start that is under way. A failed start is tried anew. */
  start() {
    this.#start ??= this.#tryStart();
    return this.#start;
  }

  /** Stop Python at once, whatever it is doing. The next request starts it anew. */
  terminate() {
    this.#end("stopped");
    this.#tell("idle", this.options.idle);
  }

  /**
   * Python died or hangs: say so, and offer a new start.
   * @param {string} reason
   */
  #stop(reason) {
    this.#end(reason);
    this.#tell("failed", `Python stopped: ${reason}. ${this.options.stays}`);
  }

  /** @param {string} reason */
  #end(reason) {
    this.#drop();
    this.#start = null;
    const waiting = [...this.#waiting.values()];
    this.#waiting.clear();
    for (const { reject } of waiting) reject(new Error(reason));
  }

  /**
   * @template T
   * @param {Request} request
   * @param {string | null} [needs] archive of the runtime that this request wants besides the core
   * @param {number} [within] longest time for the answer, in ms
   * @returns {Promise<T>}
   */
  async ask(request, needs = null, within = ANSWER_WITHIN) {
    const { text } = await this.send({ type: "run", request: JSON.stringify(request), needs }, within);
    return JSON.parse(text);
  }

  /**
   * Send a message that is to be answered, and wait for what answers it.
   * @param {Record<string, unknown>} message
   * @param {number} [within] longest silence, in ms: whatever the Worker says breaks it
   * @param {Transferable[]} [transfer]
   * @returns {Promise<any>}
   */
  async send(message, within = ANSWER_WITHIN, transfer = []) {
    await this.start();
    const id = ++this.#lastId;
    /** @type {ReturnType<typeof setTimeout> | undefined} */ let late;
    const hear = () => {
      clearTimeout(late);
      late = setTimeout(() => this.#stop("it did not answer in time"), within);
    };
    try {
      return await new Promise((resolve, reject) => {
        this.#waiting.set(id, { resolve, reject, hear });
        hear();
        this.#post({ ...message, id }, transfer);
      });
    } finally {
      clearTimeout(late);
    }
  }

  /**
   * Send a message that nothing answers.
   * @param {Record<string, unknown>} message
   */
  say(message) {
    this.#post(message);
  }

  #drop() {
    this.#worker?.terminate();
    this.#worker = null;
  }

  async #tryStart() {
    this.#tell("starting", STARTING);
    try {
      await this.#startWatched().catch(async (error) => {
        this.#drop();
        // Kept memory that does not work is thrown away; the plain start is then the test.
        if (!(await forgetSnapshot(this.runtime))) throw error;
        return this.#startWatched();
      });
      remember(STARTED, this.runtime);
      this.#tell("live", "live");
    } catch (error) {
      this.#drop();
      remember(STARTED, ""); // the next start watches every byte again
      this.#tell("starting", "Python did not start: looking for the reason…");
      const words = await this.#faultWords(/** @type {Error} */ (error).message);
      this.#start = null;
      this.#tell("failed", words);
      throw new Error(words);
    }
  }

  /** @param {string} message */
  #faultWords(message) {
    return findFault(this.runtime, this.script, message, this.options);
  }

  /** @returns {Promise<void>} */
  #startWatched() {
    const worker = new Worker(this.script, { type: "module", name: "wetside-python" });
    this.#worker = worker;
    return new Promise((resolve, reject) => {
      /** @type {ReturnType<typeof setTimeout>} */ let timer;
      /** @param {"downloading" | "starting"} phase */
      const watch = (phase) => {
        const longest = phase === "downloading" ? DOWNLOADING : this.options.starting;
        clearTimeout(timer);
        timer = setTimeout(() => reject(new Error(silenceWords(phase, longest / 1000))), longest);
      };
      watch("downloading");
      worker.onerror = (event) => reject(new Error(event.message || "the Worker did not load"));
      worker.onmessage = (event) => {
        /** @type {FromWorker} */ const message = event.data;
        if (message.type === "progress") {
          watch(message.milestone);
          this.#tell("starting", progressWords(message));
        } else if (message.type === "ready") {
          clearTimeout(timer);
          worker.onmessage = (later) => this.#receive(later.data);
          worker.onerror = (error) => this.#stop(error.message || "the Worker failed");
          resolve();
        } else if (message.type === "failed") {
          clearTimeout(timer);
          reject(new Error(message.message));
        }
      };
      this.#post({ type: "load", runtime: this.runtime, first: recall(STARTED) !== this.runtime });
    });
  }

  /** @param {FromWorker} message */
  #receive(message) {
    for (const { hear } of this.#waiting.values()) hear();
    if (message.type !== "result" && message.type !== "failed") {
      this.options.hear(message);
      return;
    }
    const waiting = this.#waiting.get(message.id ?? -1);
    if (!waiting) return;
    this.#waiting.delete(message.id ?? -1);
    if (message.type === "result") waiting.resolve(message);
    else waiting.reject(new Error(message.message));
    // The core answers everything, refusals too: when a call itself fails, Python is gone.
    if (message.type === "failed" && message.fatal) this.#stop(message.message);
  }

  /**
   * @param {Record<string, unknown>} message
   * @param {Transferable[]} [transfer]
   */
  #post(message, transfer = []) {
    this.#worker?.postMessage(message, transfer);
  }

  /**
   * @param {EngineState} state
   * @param {string} words
   */
  #tell(state, words) {
    this.#status = { state, words };
    for (const listener of this.#listeners) listener(this.#status);
  }
}

/** @param {FromWorker & {type: "progress"}} progress */
function progressWords(progress) {
  if (progress.milestone === "starting") return STARTING;
  return `fetching Python… ${(progress.bytes / 1e6).toFixed(1)} MB`;
}

/**
 * @param {"downloading" | "starting"} phase
 * @param {number} seconds
 */
function silenceWords(phase, seconds) {
  return phase === "downloading"
    ? `nothing arrived for ${seconds} s`
    : `Python did not start within ${seconds} s`;
}

/**
 * A task that runs one at a time. Calls while it runs make it run once more when it is done, however
 * many they are: the task reads what it needs when it begins, so the newest state wins.
 * @param {() => Promise<void>} task
 * @returns {() => Promise<void>} settles when nothing is left to do
 */
export function latestWins(task) {
  let again = false;
  /** @type {Promise<void> | null} */ let running = null;
  const work = async () => {
    try {
      do {
        again = false;
        await task();
      } while (again);
    } finally {
      running = null;
    }
  };
  return () => {
    again = running !== null;
    running ??= work();
    return running;
  };
}
