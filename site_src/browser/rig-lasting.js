/**
 * What ends a deployment, and how long it lasts until then. Which requirements count is known with
 * the verdict; for how long each is met is searched for when the reader asks.
 */

import { h, setText } from "./dom.js";

/**
 * @import {Defect, Refusal, Requirement, RigEnds, System} from "./types"
 * @import {Engine} from "./engine.js"
 */

const NOTHING = "Nothing that ends it depends on the time in the water, as far as the rig is stated.";

/**
 * The place for it; what counts as an end stands there before the page is live.
 * @param {Document} document
 * @param {string} base
 */
export function lastingPlace(document, base) {
  const about = "Some requirements only cost sound when they are missed; others end the deployment. For each of those that depends on it: the longest time in the water for which it is met.";
  const button = h(document, "button", { type: "button", class: "last-start", disabled: true }, "Find the longest times");
  const words = "A case that floods, power or a card that runs out, an anchor that drags: if one of these requirements is missed, the deployment ends. A safety factor counts as it is wanted, though a part may well hold below it. ";
  const more = h(document, "a", { href: `${base}rig/chance/#likely` }, "Why these");
  return h(
    document,
    "div",
    { class: "rig-lasting", id: "rig-lasting" },
    h(document, "h2", {}, "How long does it last?"),
    h(document, "p", { class: "about" }, about),
    h(document, "p", { class: "draw-tools screen-only" }, button),
    h(document, "div", { class: "last-result", role: "status" }),
    h(
      document,
      "details",
      { class: "what-ends" },
      h(document, "summary", {}, "What counts as an end"),
      h(document, "p", { class: "about" }, words, more),
      h(document, "ul"),
    ),
  );
}

/**
 * What counts as an end in this rig, and what becomes of it.
 * @param {Element} section
 * @param {Requirement[]} requirements
 */
export function showWhatEnds(section, requirements) {
  const list = section.querySelector(".what-ends ul");
  if (!list) return;
  const words = requirements.filter(({ ends }) => ends).map(({ label, title, word }) => `${label} (${title}): ${word.toLowerCase()}`);
  const wanted = words.length > 0 ? words : ["Nothing that has an answer yet."];
  if (list.getAttribute("data-shown") === wanted.join("\n")) return;
  list.setAttribute("data-shown", wanted.join("\n"));
  list.replaceChildren(...wanted.map((each) => h(section.ownerDocument, "li", {}, each)));
}

export class RigLasting {
  /**
   * @param {HTMLElement} section
   * @param {Engine} engine
   * @param {() => {toml: string, system: System}} read the rig on show
   */
  constructor(section, engine, read) {
    this.engine = engine;
    this.read = read;
    this.begin = /** @type {HTMLButtonElement} */ (section.querySelector(".last-start"));
    this.result = /** @type {HTMLElement} */ (section.querySelector(".last-result"));
    this.begin.addEventListener("click", () => void this.#find());
  }

  /** The rig has changed: what was found is of another one. */
  forget() {
    this.result.replaceChildren();
  }

  async #find() {
    const { toml, system } = this.read();
    setText(this.result, "Looking for the longest times…");
    this.begin.disabled = true;
    const reply = await this.#ask(toml, system);
    this.begin.disabled = false;
    if (toml !== this.read().toml) this.forget();
    else if (reply?.ok) this.#show(reply);
    else setText(this.result, reply?.errors?.[0]?.message ?? reply?.defect ?? "Python stopped.");
  }

  /**
   * @param {string} toml
   * @param {System} system
   * @returns {Promise<RigEnds | Refusal | Defect | null>}
   */
  #ask(toml, system) {
    return this.engine.ask({ op: "rig_ends", toml, system }).then(
      (reply) => /** @type {RigEnds} */ (reply),
      () => null,
    );
  }

  /** @param {RigEnds} found */
  #show({ ends }) {
    if (ends.length === 0) {
      setText(this.result, NOTHING);
      return;
    }
    const items = ends.map(({ label, title, text }) => {
      return h(document, "li", {}, h(document, "strong", {}, label), ` (${title}): ${text}`);
    });
    this.result.replaceChildren(h(document, "h3", {}, "The earliest end first"), h(document, "ol", {}, ...items));
  }
}
