/**
 * When a running check says how far it is, and when it shows what it has found so far: both take time
 * that the check waits for. Times are those of `performance.now()`, in ms.
 */

/** A report may take this part of the time that it stands. */
const REPORTING = 0.03;
/** Shortest time that a report stands. */
const REPORT_AFTER = 3000;
/** How often it is said anew how far a check is: often enough to be read, and to paint it takes time as well. */
const SAY_AFTER = 1000;
/** After so long its speed is known. */
const MEASURED_AFTER = 2000;

export class Pace {
  /** Since when its speed is measured, and how far it was then. @type {{at: number, done: number} | null} */ #since = null;
  #saidAt = -Infinity;
  #reportDue = Infinity;
  /** How long the next report has to stand to be worth its making. */ #reportStands = REPORT_AFTER;

  /**
   * It goes on from here, at a speed of its own: after its sample, and after a pause.
   * @param {number} now
   * @param {number} done
   */
  measure(now, done) {
    this.#since = { at: now, done };
  }

  /**
   * Time that the rest takes if it goes on like this; Infinity as long as that can't be said.
   * @param {number} now
   * @param {number} done
   * @param {number} all in the unit of `done`
   */
  left(now, done, all) {
    if (!this.#since) return Infinity;
    const took = now - this.#since.at;
    const lately = done - this.#since.done;
    return lately > 0 && took >= MEASURED_AFTER ? ((all - done) / lately) * took : Infinity;
  }

  /** Whether to say how far it is. If so, that has been said. @param {number} now */
  saysNow(now) {
    if (now - this.#saidAt < SAY_AFTER) return false;
    this.#saidAt = now;
    return true;
  }

  /** A report is to be made then. @param {number} due */
  reportAt(due) {
    this.#reportDue = due;
  }

  /**
   * Whether to make a report: not one that the last one would replace before it has been worth it. If so,
   * the next one waits for this one.
   * @param {number} now
   * @param {number} done
   * @param {number} all
   */
  reportsNow(now, done, all) {
    if (now < this.#reportDue || this.left(now, done, all) < this.#reportStands) return false;
    this.#reportDue = Infinity;
    return true;
  }

  /**
   * A report is there.
   * @param {number} now
   * @param {number} took
   */
  reported(now, took) {
    this.#reportStands = Math.max(REPORT_AFTER, took / REPORTING);
    this.#reportDue = now + this.#reportStands;
  }
}
