/**
 * Chance over the whole rig: many draws within its tolerances, made in Python a few at a time, so
 * that the page shows how far they are, stays usable, and stops when the reader says so.
 */

import { h, setFlag, setText } from "./dom.js";

/**
 * @import {Defect, Refusal, Request, RigDrawn, RigExact, System} from "./types"
 * @import {Engine} from "./engine.js"
 */

const DRAWS = 2000;
/** Draws of one request: a fraction of a second, so that an edit need not wait longer. */
const CHUNK = 50;
/** The same draws each time, so that two rigs and two visits can be compared. */
const SEED = 1;
const LISTED = 5;
/** So many of the costliest tolerances are asked for; Python says which, and when there are fewer. */
const MOST_EXACT = 3;

/**
 * The place for it, dead until the page is live.
 * @param {Document} document
 */
export function chancePlace(document) {
  const words = "Every part is given a value of its own within its tolerance, again and again: how many of these rigs meet everything, and whose tolerance decides it?";
  const button = (/** @type {string} */ name, /** @type {string} */ text, hidden = false) =>
    h(document, "button", { type: "button", class: name, disabled: !hidden, hidden }, text);
  return h(
    document,
    "div",
    { class: "rig-chance screen-only" },
    h(document, "h2", {}, "How likely is it?"),
    h(document, "p", { class: "about" }, words),
    h(
      document,
      "p",
      { class: "draw-tools" },
      button("draw-start", `Draw ${DRAWS} rigs`),
      button("draw-exact", "Draw again as if the costliest were exact", true),
      button("draw-stop", "Stop", true),
    ),
    h(document, "progress", { max: DRAWS, value: 0, hidden: true, "aria-label": "Draws made" }),
    h(document, "p", { class: "draw-state", role: "status" }),
    h(document, "div", { class: "draw-result" }),
    h(document, "div", { class: "exact-result" }),
  );
}

export class RigChance {
  /** Counts the runs: a run that is no longer the newest ends. */
  #run = 0;
  /** All draws are made, and some tolerance costs something. */
  #hasCosts = false;

  /**
   * @param {HTMLElement} section
   * @param {Engine} engine
   * @param {() => {toml: string, system: System}} read the rig on show
   */
  constructor(section, engine, read) {
    this.engine = engine;
    this.read = read;
    const find = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (section.querySelector(selector));
    this.begin = find(".draw-start");
    this.exact = find(".draw-exact");
    this.stop = find(".draw-stop");
    this.progress = /** @type {HTMLProgressElement} */ (find(".rig-chance progress"));
    this.state = find(".draw-state");
    this.result = find(".draw-result");
    this.ifExact = find(".exact-result");
    this.begin.addEventListener("click", () => void this.#draw());
    this.exact.addEventListener("click", () => void this.#drawExact());
    this.stop.addEventListener("click", () => this.#stopped());
  }

  /** The rig has changed: what was drawn is of another one. */
  forget() {
    if (this.progress.hidden && this.result.childElementCount === 0) return;
    this.#run += 1;
    this.#clear();
    this.#rest();
    setText(this.state, "The rig has changed: draw again.");
  }

  #clear() {
    this.result.replaceChildren();
    this.ifExact.replaceChildren();
    this.#hasCosts = false;
  }

  #stopped() {
    this.#run += 1;
    this.#ended(`Stopped after ${this.progress.value} draws.`);
  }

  /** Nothing is drawn any more. */
  #rest() {
    for (const part of [this.progress, this.stop]) setFlag(part, "hidden", true);
    setFlag(this.begin, "hidden", false);
    setFlag(this.exact, "hidden", !this.#hasCosts);
  }

  /**
   * A run begins.
   * @param {number} most draws that it will make
   */
  #begin(most) {
    this.progress.max = most;
    this.progress.value = 0;
    for (const part of [this.progress, this.stop]) setFlag(part, "hidden", false);
    for (const part of [this.begin, this.exact]) setFlag(part, "hidden", true);
    setText(this.state, "Drawing…");
    this.stop.focus();
    return ++this.#run;
  }

  async #draw() {
    const { toml, system } = this.read();
    this.#clear();
    const run = this.#begin(DRAWS);
    for (let count = CHUNK; count <= DRAWS; count += CHUNK) {
      /** @type {RigDrawn | Refusal | Defect | null} */
      const reply = await this.#ask({ op: "rig_draws", toml, system, seed: SEED, draws: count });
      if (run !== this.#run) return;
      if (!reply?.ok) {
        this.#failed(reply);
        return;
      }
      this.progress.value = count;
      this.#show(reply);
      this.#hasCosts = count === DRAWS && reply.costs.length > 0;
    }
    this.#ended(`${DRAWS} draws made.`);
  }

  /** @param {string} words */
  #ended(words) {
    const waits = document.activeElement === this.stop; // who has gone on meanwhile stays there
    setText(this.state, words);
    this.#rest();
    if (waits) this.begin.focus();
  }

  /** The costliest tolerances, each drawn without in its turn. */
  async #drawExact() {
    const { toml } = this.read();
    this.ifExact.replaceChildren();
    const list = h(document, "ol");
    const run = this.#begin(DRAWS * MOST_EXACT);
    this.ifExact.append(h(document, "h3", {}, "What one exact value would do"), list);
    for (let which = 0; which < MOST_EXACT; which++) {
      const item = h(document, "li");
      for (let count = CHUNK; count <= DRAWS; count += CHUNK) {
        /** @type {RigExact | Refusal | Defect | null} */
        const reply = await this.#ask({ op: "rig_exact", toml, seed: SEED, draws: count, which });
        if (run !== this.#run) return;
        if (!reply?.ok) {
          this.#failed(reply);
          return;
        }
        if (!reply.says) break; // there are no more
        setText(item, reply.says);
        list.append(item);
        this.progress.value = DRAWS * which + count;
      }
    }
    if (list.childElementCount > 0) this.#ended(`${DRAWS} draws made for each.`);
    else this.#failed(null); // Python has been started anew meanwhile: it knows of no draws
  }

  /**
   * @template T
   * @param {Request} request
   * @returns {Promise<T | Refusal | Defect | null>}
   */
  #ask(request) {
    return this.engine.ask(request).then(
      (reply) => /** @type {T} */ (reply),
      () => null,
    );
  }

  /** @param {Refusal | Defect | null} reply */
  #failed(reply) {
    this.#rest();
    setText(this.state, reply?.errors?.[0]?.message ?? reply?.defect ?? "Python stopped.");
  }

  /** @param {RigDrawn} drawn */
  #show({ says, missed, costs, unanswered }) {
    const list = (/** @type {string} */ title, /** @type {string[]} */ items) =>
      items.length > 0
        ? [h(document, "h3", {}, title), h(document, "ol", {}, ...items.slice(0, LISTED).map((words) => h(document, "li", {}, words)))]
        : [];
    this.result.replaceChildren(
      ...says.map((words) => h(document, "p", {}, words)),
      ...list("Missed most often", missed),
      ...list("Whose tolerance decides it", costs),
      ...(unanswered ? [h(document, "p", {}, unanswered)] : []),
    );
  }
}
