/** What a new entry of the field log begins with: a name of its own, and what the device's clock says. */

/** A random UUID. The browser's own function is for secure pages only. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/**
 * The offset from UTC, from what `Date.getTimezoneOffset` says.
 * @param {number} minutesWest
 */
export function offsetText(minutesWest) {
  const size = Math.abs(minutesWest);
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return `${minutesWest > 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** Local date and time of day, and the offset from UTC. @returns {Record<string, string>} */
export function clockNow() {
  const now = new Date();
  const west = now.getTimezoneOffset();
  const local = new Date(now.getTime() - west * 60_000).toISOString();
  return { date: local.slice(0, 10), time: local.slice(11, 19), offset: offsetText(west) };
}
