/**
 * One check of one set of files: Workers, their shares, what is kept on the way, and how long it takes.
 * It knows nothing of how the page looks.
 */

import { Engine } from "./engine.js";
import { forgetCheck, keepCheck, keptCheck } from "./recording-kept.js";
import { keyOf } from "./recording-files.js";
import { edition, recordingWorkerAddress, runtimeAddress } from "./site.js";

/**
 * @import {CheckFrom, LevelChoice, Opened, Plan, Refused, Report, Stretch} from "./recording-types"
 * @import {KeptCheck} from "./recording-kept.js"
 * @import {Status} from "./engine.js"
 * @typedef {{share: number, frames: number}} Step
 */

/** Longest silence, in ms, of a Worker that checks: one step of it takes a fraction of a second. */
const SILENCE = 90_000;

const WORDS = {
  idle: "not started",
  still: "The command line checks recordings too.",
  stays: "What was found so far is kept.",
  later: true,
  starting: 60_000, // numpy takes its time, and says nothing meanwhile
};

export class Crew {
  /** @type {Engine[]} */ engines = [];

  /** @param {(worker: number, message: any) => void} hear @param {(status: Status) => void} watch */
  constructor(hear, watch) {
    this.hear = hear;
    this.watch = watch;
  }

  /** @param {number} n @returns {Engine} */
  engine(n) {
    while (this.engines.length <= n) {
      const number = this.engines.length;
      const options = { ...WORDS, hear: (/** @type {any} */ message) => this.hear(number, message) };
      const engine = new Engine(runtimeAddress(), recordingWorkerAddress(), options);
      if (number === 0) engine.watch(this.watch);
      this.engines.push(engine);
    }
    return this.engines[n];
  }

  /** End all Workers but the first so many. @param {number} [left] */
  end(left = 0) {
    for (const engine of this.engines.slice(left)) engine.terminate();
    this.engines.length = Math.min(this.engines.length, Math.max(left, 1));
  }
}

export class Run {
  /** @type {Opened | null} */ opened = null;
  /** @type {Stretch[][]} */ shares = [];
  /** @type {Stretch[]} */ sample = [];
  /** @type {KeptCheck | null} */ #kept = null;
  /** Frames that each Worker has done of its share. @type {number[]} */ #done = [];
  #ended = false;
  sampled = false;

  /**
   * @param {Crew} crew
   * @param {File[]} files
   * @param {any[]} handles
   * @param {() => void} stepped is told whenever there is news
   */
  constructor(crew, files, handles, stepped) {
    this.crew = crew;
    this.files = files;
    this.handles = handles;
    this.stepped = stepped;
    this.key = keyOf(files);
    crew.hear = (worker, message) => this.#hear(worker, message);
  }

  /** Read the heads of the files. @returns {Promise<Opened | Refused>} */
  async open() {
    const found = await this.#open(0);
    this.opened = found.ok ? found : null;
    return found;
  }

  /** @param {number} n @returns {Promise<Opened | Refused>} */
  async #open(n) {
    const { text } = await this.crew.engine(n).send({ type: "open", files: this.files }, SILENCE);
    return JSON.parse(text);
  }

  /** Frames done, and all of them. */
  get progress() {
    const all = this.opened?.frames ?? 0;
    const sample = this.sampled ? framesOf(this.sample) : 0;
    return { done: Math.min(all, this.#done.reduce((sum, frames) => sum + frames, sample)), all };
  }

  /**
   * @param {number} workers
   * @returns {Promise<number>} frames that an earlier check has left to take up
   */
  async plan(workers) {
    const kept = await keptCheck(this.key, edition()).catch(() => null);
    /** @type {Plan} */
    const plan = await this.ask({ op: "plan", workers: kept?.workers ?? workers });
    this.shares = plan.shares;
    this.sample = plan.sample;
    // The first share's bytes hold the sample too.
    this.sampled = Boolean(kept?.shares[0]?.bytes) || plan.sample.length === 0;
    this.#done = plan.shares.map((share, n) => framesOf(share.slice(0, kept?.shares[n]?.done ?? 0)));
    this.#kept = kept ?? {
      key: this.key,
      edition: edition(),
      at: Date.now(),
      title: this.opened?.words ?? "",
      frames: this.opened?.frames ?? 0,
      framesDone: 0,
      workers: plan.shares.length,
      shares: plan.shares.map(() => ({ done: 0, bytes: null })),
      handles: this.handles,
    };
    return this.progress.done;
  }

  /** A few short stretches all over, for a first picture. They are part of the whole. */
  async takeSample() {
    await this.#check(0, this.sample, "nothing");
    this.sampled = true;
  }

  /** The whole. Settles when it is done, or when it was stopped. */
  async check() {
    await Promise.all(this.shares.map((_, n) => this.#checkShare(n)));
    if (this.#ended) return;
    await this.#join();
    this.crew.end(1);
  }

  /** @param {number} n */
  async #checkShare(n) {
    if (n > 0) await this.#open(n);
    const { done, bytes } = this.#kept?.shares[n] ?? { done: 0, bytes: null };
    this.#before[n] = framesOf(this.shares[n].slice(0, done));
    const anew = n === 0 && this.sample.length > 0 ? "here" : "nothing";
    await this.#check(n, this.shares[n].slice(done), bytes ?? anew);
    if (!this.#ended) this.#done[n] = framesOf(this.shares[n]);
  }

  /** @param {number} n @param {Stretch[]} stretches @param {CheckFrom} from */
  #check(n, stretches, from) {
    return this.crew.engine(n).send({ type: "check", stretches, from }, SILENCE);
  }

  /** Frames of a Worker's share that were done before what it works on. @type {number[]} */ #before = [];

  /** Bring what the other Workers have found to the first. */
  async #join() {
    const others = this.crew.engines.slice(1);
    if (others.length === 0) return;
    const taken = await Promise.all(others.map((engine) => engine.send({ type: "take" }, SILENCE)));
    await this.crew.engine(0).send({ type: "join", parts: taken.map(({ bytes }) => bytes) }, SILENCE);
  }

  /**
   * What is known so far.
   * @param {LevelChoice} level
   * @param {number} width of the column, CSS pixels
   * @returns {Promise<Report | Refused>}
   */
  async report(level, width) {
    await this.#join();
    return this.ask({ op: "report", level, width });
  }

  /**
   * @template T
   * @param {Record<string, unknown>} request
   * @returns {Promise<T>}
   */
  async ask(request) {
    const { text } = await this.crew.engine(0).send({ type: "run", request: JSON.stringify(request) }, SILENCE);
    return JSON.parse(text);
  }

  /** @param {boolean} on */
  rest(on) {
    for (const engine of this.crew.engines) engine.say({ type: "rest", on });
  }

  /** End it and its Workers at once, whatever they are doing. */
  stop() {
    this.#ended = true;
    this.crew.end();
  }

  /** End it, and leave a Worker for the next one. */
  retire() {
    this.#ended = true;
    this.crew.end(1);
  }

  get ended() {
    return this.#ended;
  }

  forget() {
    return forgetCheck(this.key);
  }

  /** @param {number} worker @param {any} message */
  #hear(worker, message) {
    if (message.type === "step") {
      this.heap = Math.max(this.heap, message.heap);
      if (this.sampled) this.#done[worker] = (this.#before[worker] ?? 0) + message.frames;
    } else if (message.type === "keep" && this.#kept) {
      const share = this.#kept.shares[worker];
      share.done = this.#lengthDone(worker, message.index);
      share.bytes = message.bytes;
      this.#done[worker] = framesOf(this.shares[worker].slice(0, share.done));
      Object.assign(this.#kept, { at: Date.now(), framesDone: this.progress.done });
      void keepCheck(this.#kept).catch(() => {}); // then it cannot go on after a reload: it goes on here
    }
    this.stepped();
  }

  heap = 0;

  /** @param {number} worker @param {number} index of the stretch among those that were left to do */
  #lengthDone(worker, index) {
    const share = this.shares[worker];
    let left = this.#before[worker] ?? 0;
    const first = share.findIndex((stretch) => {
      if (left <= 0) return true;
      left -= stretch.last - stretch.first;
      return false;
    });
    return Math.max(first, 0) + index + 1;
  }
}

/** @param {Stretch[]} stretches */
const framesOf = (stretches) => stretches.reduce((sum, { first, last }) => sum + last - first, 0);
