/** Runs before a page's own scripts. Adds up the layout shifts, those after an input too. */
{
  const shifts = { sum: 0, moved: /** @type {string[]} */ ([]) };
  /** @type {any} */ (globalThis).benchShifts = shifts;
  /** @typedef {{value: number, sources: {node: Node | null}[]}} Shift */
  new PerformanceObserver((entries) => {
    for (const entry of entries.getEntries()) {
      const { value, sources } = /** @type {PerformanceEntry & Shift} */ (entry);
      shifts.sum += value;
      const at = Math.round(entry.startTime);
      shifts.moved.push(...sources.map(({ node }) => `${nameOf(node)} at ${at} ms`));
    }
  }).observe({ type: "layout-shift", buffered: true });

  /** @param {Node | null} node */
  const nameOf = (node) => {
    const element = node instanceof Element ? node : node?.parentElement;
    return element ? `${element.localName}.${element.getAttribute("class") ?? ""}` : "gone";
  };
}
