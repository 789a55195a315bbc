/**
 * A calculator beside the rig that is open on this device: filled from it when the page opens, and
 * kept in it when the reader says so, with a way back.
 */

import { h, setFlag, setText } from "./dom.js";
import * as store from "./rig-store.js";
import { siteAddress } from "./site.js";

/**
 * @import {Defect, Refusal, Request, RigChange, RigFill, RigKept} from "./types"
 * @import {Engine} from "./engine.js"
 * @import {LiveCalculator} from "./live.js"
 * @import {KeptRig} from "./rig-store.js"
 */

/** Changes that are named one by one. */
const NAMED = 4;

export class RigBar {
  /** What the last "keep" replaced, and the rig it made. @type {{before: KeptRig, after: KeptRig} | null} */ #undo = null;

  /**
   * @param {LiveCalculator} calculator
   * @param {Engine} engine
   * @param {KeptRig} rig
   */
  constructor(calculator, engine, rig) {
    this.calculator = calculator;
    this.engine = engine;
    this.rig = rig;
    this.words = h(document, "p", { class: "rig-bar-words", role: "status" });
    this.fill = this.#button("rig-fill", "Fill from my rig", () => this.fillForm());
    this.back = this.#button("rig-back", "Handbook’s values", () => this.#handbook());
    this.keep = this.#button("rig-keep", "Keep in my rig", () => this.#keepForm());
    this.undo = this.#button("rig-undo", "Undo", () => this.#takeBack());
    setFlag(this.undo, "hidden", true);
    const page = h(document, "a", { href: siteAddress("rig/") }, "My rig");
    this.element = h(document, "div", { class: "rig-bar" }, this.words, this.fill, this.back, this.keep, this.undo, page);
    calculator.section.querySelector("form")?.before(this.element);
    this.#filled(false);
  }

  /**
   * @param {string} name
   * @param {string} words
   * @param {() => unknown} act
   */
  #button(name, words, act) {
    const made = h(document, "button", { type: "button", class: name }, words);
    made.addEventListener("click", () => void act());
    return made;
  }

  /** @param {boolean} filled */
  #filled(filled) {
    setFlag(this.fill, "hidden", filled);
    setFlag(this.back, "hidden", !filled);
    if (!filled) setText(this.words, `Your rig “${this.rig.name}” is open.`);
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

  /** The rig as it is kept now: another page or tab may have changed it. */
  #current() {
    this.rig = store.openRig() ?? this.rig;
    return this.rig;
  }

  fillForm() {
    return this.calculator.busy(this.#fillForm());
  }

  async #fillForm() {
    const { calculator } = this;
    const { toml } = this.#current();
    setText(this.words, `Filling from your rig “${this.rig.name}”…`);
    let system;
    let reply;
    do {
      ({ system } = calculator);
      reply = await /** @type {Promise<RigFill | Refusal | Defect | null>} */ (
        this.#ask({ op: "rig_fill", toml, calculator: calculator.id, system })
      );
    } while (system !== calculator.system); // the units of the form were changed meanwhile
    if (!reply?.ok || !reply.fill) {
      this.#filled(false);
      if (reply && !reply.ok) setText(this.words, `Your rig cannot be read: ${firstWords(reply)}`);
      return;
    }
    const { fields, tolerances, missing, refused } = reply.fill;
    await calculator.take(fields, tolerances);
    this.#filled(true);
    setText(this.words, filledWords(this.rig.name, Object.keys(fields).length, missing.length, refused));
  }

  async #handbook() {
    await this.calculator.reset();
    this.#filled(false);
    setText(this.words, `The handbook’s values; your rig “${this.rig.name}” is as it was.`);
    this.fill.focus();
  }

  #keepForm() {
    return this.calculator.busy(this.#keep());
  }

  async #keep() {
    const { calculator } = this;
    const rig = this.#current();
    const { id, system } = calculator;
    /** @type {RigKept | Refusal | Defect | null} */
    const reply = await this.#ask({ op: "rig_keep", toml: rig.toml, calculator: id, ...calculator.texts(), system });
    if (!reply) return;
    if (!reply.ok) {
      setText(this.words, `Not kept: ${firstWords(reply)}`);
      return;
    }
    if (reply.changed.length === 0) {
      setText(this.words, `Your rig “${rig.name}” says all of this already.`);
      return;
    }
    this.#store(rig, reply.toml, () => `Kept in “${rig.name}”: ${changeWords(reply.changed)}.`);
  }

  /**
   * @param {KeptRig} rig
   * @param {string} toml
   * @param {() => string} words
   */
  #store(rig, toml, words) {
    try {
      const after = store.changeRig(rig, { name: rig.name, toml });
      this.#undo = { before: rig, after };
      this.rig = after;
      setFlag(this.undo, "hidden", false);
      setText(this.words, words());
    } catch (error) {
      const elsewhere = error instanceof store.ChangedElsewhere;
      setText(
        this.words,
        elsewhere ? `Not kept: another tab has ${error.message} this rig. Try again.` : `Not kept: ${store.storageWords(error)}.`,
      );
    }
  }

  #takeBack() {
    if (!this.#undo) return;
    const { before, after } = this.#undo;
    this.#store(after, before.toml, () => `Taken back: “${before.name}” is as it was.`);
    this.#undo = null;
    setFlag(this.undo, "hidden", true);
    this.keep.focus();
  }
}

/**
 * @param {string} name
 * @param {number} filled
 * @param {number} missing
 * @param {{message: string}[]} refused
 */
function filledWords(name, filled, missing, refused) {
  if (filled === 0) return `Your rig “${name}” states nothing that is asked here: these are the handbook’s values.`;
  const rest = missing > 0 ? ` ${missing === 1 ? "One input is" : `${missing} inputs are`} not stated there: the handbook’s value stays.` : "";
  const wrong = refused.map(({ message }) => ` ${message}`).join("");
  return `From your rig “${name}”.${rest}${wrong}`;
}

/** @param {RigChange[]} changed */
function changeWords(changed) {
  const named = changed.slice(0, NAMED).map(({ label, before, after }) => {
    if (!after) return `${label}, no longer stated`;
    return before ? `${label}, ${after} instead of ${before}` : `${label}, ${after}`;
  });
  const more = changed.length - NAMED;
  return more > 0 ? `${named.join("; ")}; and ${more} more` : named.join("; ");
}

/** @param {Refusal | Defect} reply */
function firstWords(reply) {
  return reply.errors?.[0]?.message ?? reply.defect ?? "";
}
