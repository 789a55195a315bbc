/**
 * Chance over the whole rig: many draws within its tolerances, made in Python a few at a time, so
 * that the page shows how far they are, stays usable, and stops when the reader says so.
 */

import { h, setFlag, setText } from "./dom.js";

/**
 * @import {Defect, Refusal, RigDrawn, System} from "./types"
 * @import {Engine} from "./engine.js"
 */

const DRAWS = 2000;
/** Draws of one request: a fraction of a second, so that an edit need not wait longer. */
const CHUNK = 50;
/** The same draws each time, so that two rigs and two visits can be compared. */
const SEED = 1;
const LISTED = 5;

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
    h(document, "p", { class: "draw-tools" }, button("draw-start", `Draw ${DRAWS} rigs`), button("draw-stop", "Stop", true)),
    h(document, "progress", { max: DRAWS, value: 0, hidden: true, "aria-label": "Draws made" }),
    h(document, "p", { class: "draw-state", role: "status" }),
    h(document, "div", { class: "draw-result" }),
  );
}

export class RigChance {
  /** Counts the runs: a run that is no longer the newest ends. */
  #run = 0;

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
    this.stop = find(".draw-stop");
    this.progress = /** @type {HTMLProgressElement} */ (find(".rig-chance progress"));
    this.state = find(".draw-state");
    this.result = find(".draw-result");
    this.begin.addEventListener("click", () => void this.#draw());
    this.stop.addEventListener("click", () => this.#stopped());
  }

  /** The rig has changed: what was drawn is of another one. */
  forget() {
    if (this.progress.hidden && this.result.childElementCount === 0) return;
    this.#run += 1;
    this.#running(false);
    this.result.replaceChildren();
    setText(this.state, "The rig has changed: draw again.");
  }

  #stopped() {
    this.#run += 1;
    this.#running(false);
    setText(this.state, `Stopped after ${this.progress.value} draws.`);
    this.begin.focus();
  }

  /** @param {boolean} on */
  #running(on) {
    setFlag(this.progress, "hidden", !on);
    setFlag(this.stop, "hidden", !on);
    setFlag(this.begin, "hidden", on);
  }

  async #draw() {
    const run = ++this.#run;
    const { toml, system } = this.read();
    this.progress.value = 0;
    this.#running(true);
    this.stop.focus();
    setText(this.state, "Drawing…");
    for (let count = CHUNK; count <= DRAWS; count += CHUNK) {
      const reply = await this.#ask(toml, system, count);
      if (run !== this.#run) return;
      if (!reply?.ok) {
        this.#failed(reply);
        return;
      }
      this.progress.value = count;
      this.#show(reply);
    }
    this.#running(false);
    setText(this.state, `${DRAWS} draws made.`);
    this.begin.focus();
  }

  /**
   * @param {string} toml
   * @param {System} system
   * @param {number} draws
   * @returns {Promise<RigDrawn | Refusal | Defect | null>}
   */
  #ask(toml, system, draws) {
    return this.engine.ask({ op: "rig_draws", toml, system, seed: SEED, draws }).then(
      (reply) => /** @type {RigDrawn} */ (reply),
      () => null,
    );
  }

  /** @param {Refusal | Defect | null} reply */
  #failed(reply) {
    this.#running(false);
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
