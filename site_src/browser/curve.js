/** The live curve: drawn at the width of its box, at most once a frame, by a chunk fetched on demand. */

/** @import {PlotSpec} from "./types" */

const NARROWEST = 320;

export class Curve {
  /** @type {PlotSpec | null} */ #spec = null;
  #drawn = { width: 0, height: 0 };
  #waiting = false;

  /**
   * @param {HTMLElement} box
   * @param {string} id
   */
  constructor(box, id) {
    this.box = box;
    this.id = id;
    new ResizeObserver(() => this.#resized()).observe(box);
  }

  /** @param {PlotSpec} spec */
  show(spec) {
    this.#spec = spec;
    this.#request();
  }

  #resized() {
    if (this.#spec && this.box.clientWidth > 0 && this.box.clientWidth !== this.#drawn.width) {
      this.#request();
    }
  }

  #request() {
    if (this.#waiting) return;
    this.#waiting = true;
    requestAnimationFrame(() => void this.#draw());
  }

  async #draw() {
    const { drawPlot } = await import("./plot.js");
    this.#waiting = false;
    const width = Math.max(NARROWEST, this.box.clientWidth);
    const height = this.box.clientHeight || Math.round(width * 0.7);
    if (!this.#spec || this.box.clientWidth === 0) return;
    const picture = drawPlot(document, this.#spec, { width, height, id: this.id });
    picture.setAttribute("class", "curve live");
    this.#drawn = { width: this.box.clientWidth, height };
    this.box.replaceChildren(picture);
  }
}
