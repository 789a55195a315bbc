/**
 * A live picture, a curve or a drawing to scale: drawn at the width of its box, at most once a frame,
 * by a chunk fetched on demand.
 */

/**
 * @template Spec
 * @typedef {(document: Document, spec: Spec, options: {width: number, height: number, id: string}) => SVGElement} Draw
 */

const NARROWEST = 320;

/** @template Spec */
export class Picture {
  /** @type {Spec | null} */ #spec = null;
  #drawn = { width: 0, height: 0 };
  #waiting = false;

  /**
   * @param {HTMLElement} box
   * @param {string} id
   * @param {() => Promise<Draw<Spec>>} load
   */
  constructor(box, id, load) {
    this.box = box;
    this.id = id;
    this.load = load;
    new ResizeObserver(() => this.#resized()).observe(box);
  }

  /** @param {Spec} spec */
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
    const draw = await this.load();
    this.#waiting = false;
    const width = Math.max(NARROWEST, this.box.clientWidth);
    const height = this.box.clientHeight || Math.round(width * 0.7);
    if (!this.#spec || this.box.clientWidth === 0) return;
    const picture = draw(document, this.#spec, { width, height, id: this.id });
    picture.classList.add("live");
    this.#drawn = { width: this.box.clientWidth, height };
    this.box.replaceChildren(picture);
  }
}
