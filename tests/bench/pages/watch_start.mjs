/**
 * Runs before a page's own scripts. Notes when, in ms after navigation, a calculator's state changes
 * and when its first answer from Python stands in the page (it then carries its link). The bare page
 * says so itself. `benchStart` resolves with the times at that first answer.
 */
{
  /** @type {Record<string, number>} */ const times = {};
  /** @type {any} */ (globalThis).benchStart = new Promise((resolve, reject) => {
    setTimeout(() => reject(new Error("no live answer within two minutes")), 120_000);
    new MutationObserver((changes) => {
      for (const { target, attributeName } of changes) {
        const { dataset } = /** @type {HTMLElement} */ (target);
        if (attributeName === "data-state") times[dataset.state ?? ""] ??= performance.now();
        else if (times.live || attributeName === "data-answer") times.answer ??= performance.now();
      }
      if (times.answer) resolve(times);
    }).observe(document, { subtree: true, attributeFilter: ["data-state", "data-link", "data-answer"] });
  });
}
