/**
 * The pictures of the open rig. They take longer than its verdict and follow when the reader pauses;
 * until they do, their place says that it is busy, and looks it.
 */

import { latestWins } from "./engine.js";
import { Picture } from "./picture.js";
import { showPictureWords } from "./rig-view.js";

/**
 * @import {Defect, DrawingSpec, Refusal, RigPictured, System} from "./types"
 * @import {Engine} from "./engine.js"
 */

/** ms without another edit. */
const PAUSE = 100;

export class RigPicturesShown {
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #timer;
  /** What each picture shows, so that it is drawn only when that changes. @type {Map<string, string>} */ #drawn = new Map();

  /**
   * @param {HTMLElement} section
   * @param {Engine} engine
   * @param {() => {toml: string, system: System}} rig the one on show
   */
  constructor(section, engine, rig) {
    this.section = section;
    this.engine = engine;
    this.rig = rig;
    this.place = /** @type {HTMLElement} */ (section.querySelector(".rig-pictures"));
    const load = () => import("./drawing.js").then((module) => module.drawDrawing);
    /** @type {Map<string, Picture<DrawingSpec>>} */
    this.pictures = new Map(
      [...this.place.querySelectorAll(".rig-picture")].map((figure) => {
        const name = figure.getAttribute("data-picture") ?? "";
        const box = /** @type {HTMLElement} */ (figure.querySelector(".drawing-box"));
        return [name, new Picture(box, `rig-${name}-live`, load)];
      }),
    );
    this.draw = latestWins(() => this.#drawNow());
  }

  /** The rig has changed. */
  follow() {
    this.place.setAttribute("aria-busy", "true");
    this.stop();
    this.#whenIdle();
  }

  /** An edit under way goes first, and brings others. */
  #whenIdle() {
    this.#timer = setTimeout(() => {
      if (this.section.hasAttribute("aria-busy")) this.#whenIdle();
      else void this.draw();
    }, PAUSE);
  }

  stop() {
    clearTimeout(this.#timer);
  }

  async #drawNow() {
    const { toml, system } = this.rig();
    /** @type {RigPictured | Refusal | Defect | null} */
    const reply = await this.engine.ask({ op: "rig_pictures", toml, system }).then(
      (answer) => /** @type {RigPictured} */ (answer),
      () => null,
    );
    const now = this.rig();
    // What is not of the rig on show is followed by what is; without Python the old stays, marked.
    if (!reply?.ok || toml !== now.toml || system !== now.system) return;
    showPictureWords(this.section, reply.pictures);
    for (const [name, picture] of this.pictures) {
      const { drawing } = reply.pictures[name];
      const wanted = JSON.stringify(drawing);
      if (drawing && this.#drawn.get(name) !== wanted) picture.show(drawing);
      this.#drawn.set(name, wanted);
    }
    this.place.removeAttribute("aria-busy");
  }
}
