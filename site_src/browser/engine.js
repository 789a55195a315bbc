/**
 * The page's side of the Worker that runs Python: one Worker a visit, kept while the reader goes from
 * page to page. Every start is watched, because a start that hangs must become a message.
 */

import { findFault } from "./diagnose.js";
import { recall, remember } from "./settings.js";
import { forgetSnapshot } from "./snapshot.js";

/**
 * @import {FromWorker, Request, ToWorker} from "./types"
 * @typedef {"idle" | "starting" | "live" | "failed"} EngineState
 * @typedef {{state: EngineState, words: string}} Status
 * @typedef {{resolve: (text: string) => void, reject: (error: Error) => void}} Waiting
 */

/** Longest silence, in ms: while bytes should flow, and while Python sets itself up. */
const SILENCE = { downloading: 12_000, starting: 20_000 };

/** Longest time, in ms, for one answer; a calculation takes some ms. */
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
  /** @type {Status} */ #status = { state: "idle", words: "worked example" };

  /**
   * @param {string} runtime absolute address of the runtime's folder, ending in "/"
   * @param {string} script absolute address of the Worker's script
   */
  constructor(runtime, script) {
    this.runtime = runtime;
    this.script = script;
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
    this.#tell("idle", "worked example");
  }

  /**
   * Python died or hangs: say so, and offer a new start.
   * @param {string} reason
   */
  #stop(reason) {
    this.#end(reason);
    this.#tell("failed", `Python stopped: ${reason}. The last answer stays.`);
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
    await this.start();
    const id = ++this.#lastId;
    const late = setTimeout(() => this.#stop("it did not answer in time"), within);
    try {
      /** @type {string} */
      const text = await new Promise((resolve, reject) => {
        this.#waiting.set(id, { resolve, reject });
        this.#post({ type: "run", id, request: JSON.stringify(request), needs });
      });
      return JSON.parse(text);
    } finally {
      clearTimeout(late);
    }
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
      const words = await findFault(this.runtime, this.script, /** @type {Error} */ (error).message);
      this.#start = null;
      this.#tell("failed", words);
      throw new Error(words);
    }
  }

  /** @returns {Promise<void>} */
  #startWatched() {
    const worker = new Worker(this.script, { type: "module", name: "wetside-python" });
    this.#worker = worker;
    return new Promise((resolve, reject) => {
      /** @type {ReturnType<typeof setTimeout>} */ let timer;
      /** @param {keyof typeof SILENCE} phase */
      const watch = (phase) => {
        clearTimeout(timer);
        timer = setTimeout(() => reject(new Error(silenceWords(phase))), SILENCE[phase]);
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
    if (message.type !== "result" && message.type !== "failed") return;
    const waiting = this.#waiting.get(message.id ?? -1);
    if (!waiting) return;
    this.#waiting.delete(message.id ?? -1);
    if (message.type === "result") waiting.resolve(message.text);
    else waiting.reject(new Error(message.message));
    // The core answers everything, refusals too: when a call itself fails, Python is gone.
    if (message.type === "failed" && message.fatal) this.#stop(message.message);
  }

  /** @param {ToWorker} message */
  #post(message) {
    this.#worker?.postMessage(message);
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

/** @param {keyof typeof SILENCE} phase */
function silenceWords(phase) {
  const seconds = SILENCE[phase] / 1000;
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
