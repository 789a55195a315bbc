/**
 * One check of one set of files: Workers, what each of them does next, and what is kept on the way. It
 * knows nothing of how the page looks.
 */

import { Engine, latestWins } from "./engine.js";
import { forgetCheck, keepCheck, keptCheck } from "./recording-kept.js";
import { keyOf } from "./recording-files.js";
import { recordingWorkerAddress, runtimeAddress, runtimeHash } from "./site.js";

/**
 * @import {LevelChoice, Opened, Plan, Refused, Report, Stretch} from "./recording-types"
 * @import {KeptCheck} from "./recording-kept.js"
 * @import {Status} from "./engine.js"
 * @typedef {{frames: number, done: number[], now: number}} Share what a Worker has done: frames of what is
 *   finished, which pieces of the plan these are, and frames of the one that it works on
 */

/** What is found is kept this often, in ms: it costs a Worker some hundredths of a second. */
const KEEP_EVERY = 4000;
/** How long a check that is cancelled may take to keep what it has found, in ms. */
const LAST_WORDS = 2000;
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

  /** What Workers say of a check; whoever runs one listens. @type {(worker: number, message: any) => void} */
  hear = () => {};

  /**
   * @param {(worker: number, status: Status) => void} watch
   * @param {(worker: number) => void} warmed is told when one has warmed up
   */
  constructor(watch, warmed) {
    this.watch = watch;
    this.warmed = warmed;
  }

  /** @param {number} n @returns {Engine} */
  engine(n) {
    while (this.engines.length <= n) {
      const number = this.engines.length;
      /** @param {any} message */
      const hear = (message) => {
        if (message.type === "warm") this.warmed(number);
        else this.hear(number, message);
      };
      const options = { ...WORDS, hear };
      const engine = new Engine(runtimeAddress(), recordingWorkerAddress(), options);
      engine.watch((status) => this.watch(number, status));
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
  /** All of the work: first the pieces of the sample, if there is to be one. @type {Stretch[]} */ #pieces = [];
  /** How many of them are the sample. */ #sample = 0;
  /** How many Workers are worth their start. */ #workers = 1;
  /** Those that no Worker has taken yet. @type {number[]} */ #left = [];
  /** Of each Worker beside the first that was called: settles when it has nothing to do any more. @type {Map<number, Promise<void>>} */
  #helped = new Map();
  /** Of each Worker that has begun; what was taken up counts for the first. @type {Map<number, Share>} */ #shares = new Map();
  #resting = false;
  #ended = false;
  /** Whether the bytes that Workers give are all that is done: not when one has what others found. */ #keepable = true;
  #keptAt = -Infinity;
  /** The sample, if there is to be one, is done. */
  sampled = false;
  /** Settles when the whole is kept, or was refused. @type {Promise<void>} */ stored = Promise.resolve();
  /** What was kept of this check last. @type {KeptCheck | null} */ kept = null;
  /** Why the browser does not have it, if it has not. @type {Error | null} */ notKept = null;
  /** Which file is being opened, of how many, once that takes a while. @type {{file: number, of: number} | null} */ opening = null;
  /** Bytes of WebAssembly memory, of the largest Worker. */
  heap = 0;

  /**
   * @param {Crew} crew
   * @param {File[]} files
   * @param {any[]} handles
   * @param {() => void} stepped is told whenever there is news
   * @param {KeptCheck | null} [kept] of a check of these files that was stopped in this page
   */
  constructor(crew, files, handles, stepped, kept = null) {
    this.crew = crew;
    this.files = files;
    this.handles = handles;
    this.stepped = stepped;
    this.kept = kept;
    this.key = keyOf(files);
    crew.hear = (worker, message) => this.#hear(worker, message);
    /** Keep what was found so far. Settles when the browser has it, or has refused it. */
    this.keep = latestWins(() => this.#keepNow());
  }

  /** Read the heads of the files. @returns {Promise<Opened | Refused>} */
  async open() {
    const found = await this.#open(0);
    this.opened = found.ok ? found : null;
    return found;
  }

  /** @param {number} n @returns {Promise<Opened | Refused>} */
  async #open(n) {
    const { text } = await this.#send(n, { type: "open", files: this.files });
    return JSON.parse(text);
  }

  /** Frames done, and all of them. */
  get progress() {
    const all = this.opened?.frames ?? 0;
    const done = [...this.#shares.values()].reduce((sum, { frames, now }) => sum + frames + now, 0);
    return { done: Math.min(all, done), all };
  }

  /**
   * Cut up the work, and take up what an earlier check has left.
   * @param {number} workers
   * @returns {Promise<number>} frames that are done already
   */
  async plan(workers) {
    /** @type {Plan} */ const plan = await this.ask({ op: "plan", workers });
    this.#pieces = [...plan.sample, ...plan.stretches];
    this.#sample = plan.sample.length;
    this.#workers = plan.workers;
    this.crew.end(plan.workers); // one that was started early, and has nothing to do
    const done = (await this.#takeUp())?.done ?? [];
    this.sampled = done.length > 0 || this.#sample === 0;
    this.#left = this.#pieces.map((_, n) => n).filter((n) => !done.includes(n));
    const before = this.#framesOf(done);
    this.#shares.set(0, { frames: before, done: [...done], now: 0 });
    return before;
  }

  /** @param {number[]} pieces */
  #framesOf(pieces) {
    return pieces.reduce((sum, n) => sum + this.#pieces[n].last - this.#pieces[n].first, 0);
  }

  /** @returns {Promise<KeptCheck | null>} */
  async #takeUp() {
    this.kept ??= await keptCheck(this.key, runtimeHash()).catch(() => null);
    if (!this.kept) return null;
    const { text } = await this.#send(0, { type: "take up", parts: this.kept.parts });
    if (!JSON.parse(text).ok) this.kept = null; // damaged: from the start, then
    return this.kept;
  }

  /** Set the Workers beside the first to work that there is work for. @param {(n: number) => boolean} which */
  #callHelpers(which) {
    const most = Math.min(this.#workers, this.#left.length);
    for (let n = 1; n < most; n += 1) {
      if (!this.#helped.has(n) && which(n)) this.#helped.set(n, this.#help(n));
    }
  }

  /**
   * A few short stretches all over, for a first picture. They are part of the whole. Other Workers that
   * are there help, and go on with the rest; one that has to start yet would delay the picture.
   */
  async takeSample() {
    this.#callHelpers((n) => this.crew.engine(n).status.state === "live");
    await this.#work(0, this.#sample);
    this.sampled = !this.#ended;
    void this.keep();
  }

  /** The whole. Settles when it is done, or when it was stopped; `stored` then goes on. */
  async check() {
    this.#callHelpers(() => true);
    await Promise.all([this.#work(0), ...this.#helped.values()]);
    await this.#work(0); // what a Worker that failed has given back
    if (this.#ended) return;
    const [found] = await Promise.all([this.#found(), this.#join()]);
    this.#keepable = false; // what the first has of the others is not in its bytes
    if (found) this.stored = this.keep().then(() => this.#store(found)); // after one that is under way
    const { frames } = this.opened ?? { frames: 0 };
    this.#shares = new Map([[0, { frames, done: [], now: 0 }]]);
    this.crew.end(1);
  }

  /** Work beside the first. One that fails, most likely for want of memory, gives all back. @param {number} n */
  async #help(n) {
    try {
      await this.#open(n);
      this.#shares.set(n, { frames: 0, done: [], now: 0 });
      if (this.#resting) this.crew.engine(n).say({ type: "rest", on: true });
      await this.#work(n);
    } catch (error) {
      if (this.#ended) return;
      this.#left.unshift(...(this.#shares.get(n)?.done ?? []));
      this.#shares.delete(n);
      console.warn(`The check goes on with one Worker less: ${error}`);
    }
  }

  /**
   * Piece after piece, as long as there are any left.
   * @param {number} n
   * @param {number} [until] up to this one
   */
  async #work(n, until = this.#pieces.length) {
    while (!this.#ended && this.#left.length > 0 && this.#left[0] < until) {
      const next = /** @type {number} */ (this.#left.shift());
      try {
        await this.#check(n, this.#pieces[next]);
      } catch (error) {
        this.#left.unshift(next);
        throw error;
      }
      if (this.#ended) return;
      this.#shares.get(n)?.done.push(next);
      if (this.sampled && performance.now() - this.#keptAt > KEEP_EVERY) void this.keep();
    }
  }

  /** @param {number} n @param {Stretch} stretch */
  async #check(n, stretch) {
    const { text } = await this.#send(n, { type: "check", stretch });
    const share = this.#shares.get(n);
    if (!share || JSON.parse(text).stopped) return;
    share.frames += stretch.last - stretch.first;
    share.now = 0;
  }

  async #keepNow() {
    const found = await this.#found();
    if (found) await this.#store(found);
  }

  /**
   * What was found in the pieces that are done.
   * @returns {Promise<KeptCheck | null>} null if that is nothing, or cannot be told any more
   */
  async #found() {
    if (!this.#keepable) return null;
    this.#keptAt = performance.now();
    /** @type {number[]} */ const done = [];
    const parts = await Promise.all(
      [...this.#shares].map(async ([n, share]) => {
        const { bytes } = await this.#send(n, { type: "keep" });
        done.push(...share.done); // as they are now: a stretch that ended meanwhile was heard of before
        return bytes;
      }),
    ).catch(() => null); // a Worker failed or was ended: whoever waits for its work says so
    if (!parts || !this.#keepable || done.length === 0) return null;
    const { words, frames } = /** @type {Opened} */ (this.opened);
    return {
      key: this.key,
      runtime: runtimeHash(),
      at: Date.now(),
      title: words,
      frames,
      framesDone: this.#framesOf(done),
      done,
      parts,
      handles: this.handles,
    };
  }

  /** @param {KeptCheck} found */
  async #store(found) {
    this.kept = found;
    this.notKept = await keepCheck(found).then(
      () => null,
      (error) => error,
    );
    this.stepped();
  }

  /** Bring what the other Workers have found to the first. */
  async #join() {
    const others = [...this.#shares.keys()].filter((n) => n > 0);
    if (others.length === 0) return;
    const taken = await Promise.all(others.map((n) => this.#send(n, { type: "take" })));
    await this.#send(0, { type: "join", parts: taken.map(({ bytes }) => bytes) });
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
    const { text } = await this.#send(0, { type: "run", request: JSON.stringify(request) });
    return JSON.parse(text);
  }

  /** @param {number} n @param {Record<string, unknown>} message @returns {Promise<any>} */
  #send(n, message) {
    return this.crew.engine(n).send(message, SILENCE);
  }

  /** @param {boolean} on */
  rest(on) {
    this.#resting = on;
    for (const engine of this.crew.engines) engine.say({ type: "rest", on });
    if (on) void this.keep(); // a page that is set aside may not come back
  }

  /** End it when what was found is kept, or when that takes too long. */
  async cancel() {
    this.#ended = true;
    const late = new Promise((done) => setTimeout(done, LAST_WORDS));
    if (this.crew.engine(0).status.state === "live") await Promise.race([this.keep(), late]);
    this.stop();
  }

  /** End it and its Workers at once, whatever they are doing. */
  stop() {
    this.#ended = true;
    this.#keepable = false;
    this.crew.end();
  }

  /** End it, and leave a Worker for the next one. */
  retire() {
    this.rest(false);
    this.#ended = true;
    this.#keepable = false;
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
    const share = this.#shares.get(worker);
    if (message.type === "opening" && worker === 0) this.opening = message;
    if (message.type === "step" && share) {
      this.heap = Math.max(this.heap, message.heap);
      share.now = message.frames;
    }
    this.stepped();
  }
}
