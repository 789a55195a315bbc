/**
 * Runs before a page's own scripts. Notes for every keystroke, in ms after its input event, when the
 * page asks the Worker, when the Worker's reply is here, when the answer's text changes, when the
 * curve is replaced, and when the next frame has been drawn.
 */
{
  /** @typedef {{begun: number, key: number} & Record<string, number>} Stroke */
  /** @type {Stroke | null} */ let stroke = null;
  /** @type {(stroke: Stroke) => void} */ let settle = () => {};
  let key = 0;
  /** Marks that a stroke is complete with. @type {string[]} */ let wanted = [];

  /** @param {string} name */
  const mark = (name) => {
    if (!stroke || name in stroke) return;
    stroke[name] = performance.now() - stroke.begun;
    if (wanted.every((other) => stroke && other in stroke)) finish(stroke);
  };

  /** @param {Stroke} done */
  const finish = (done) => {
    stroke = null;
    const channel = new MessageChannel();
    channel.port1.onmessage = () => {
      channel.port1.close();
      settle({ ...done, frame: performance.now() - done.key });
    };
    requestAnimationFrame(() => channel.port2.postMessage(null));
  };

  addEventListener("keydown", (event) => (key = event.timeStamp), true);
  addEventListener("input", () => (stroke = { begun: performance.now(), key }), true);

  globalThis.Worker = class extends Worker {
    /** @param {ConstructorParameters<typeof Worker>} given */
    constructor(...given) {
      super(...given);
      this.addEventListener("message", () => mark("reply"));
    }
    /** @param {any[]} given */
    postMessage(...given) {
      mark("asked");
      super.postMessage(.../** @type {[any]} */ (given));
    }
  };

  /** @param {Element} target @param {string} name */
  const watch = (target, name) => {
    const all = { childList: true, characterData: true, subtree: name === "answer" };
    new MutationObserver(() => mark(name)).observe(target, all);
  };

  /** @type {any} */ (globalThis).bench = {
    /** @param {string} calculator @param {boolean} curve unfold it; a stroke is done once it is drawn */
    begin(calculator, curve) {
      const section = /** @type {Element} */ (document.querySelector(`[data-calculator="${calculator}"]`));
      watch(/** @type {Element} */ (section.querySelector(".answer-value")), "answer");
      /** @type {HTMLDetailsElement} */ (section.querySelector("details.plot")).open = curve;
      wanted = ["answer"];
      if (!curve) return;
      watch(/** @type {Element} */ (section.querySelector(".plot-box")), "curve");
      wanted.push("curve");
    },
    /** Resolves with the marks of the stroke that comes next. */
    next() {
      /** @type {any} */ (globalThis).benchStroke = new Promise((resolve, reject) => {
        settle = resolve;
        setTimeout(() => reject(new Error(`not in 30 s: ${wanted}; had ${JSON.stringify(stroke)}`)), 30_000);
      });
    },
  };
}
