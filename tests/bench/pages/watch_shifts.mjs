/** Runs before a page's own scripts. Adds up the layout shifts, those after an input too. */
{
  const shifts = { sum: 0, list: /** @type {{at: number, value: number}[]} */ ([]) };
  /** @type {any} */ (globalThis).benchShifts = shifts;
  new PerformanceObserver((entries) => {
    for (const entry of entries.getEntries()) {
      const { value } = /** @type {PerformanceEntry & {value: number}} */ (entry);
      shifts.sum += value;
      shifts.list.push({ at: entry.startTime, value });
    }
  }).observe({ type: "layout-shift", buffered: true });
}
