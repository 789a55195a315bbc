/**
 * What Python has told of the open rig. An edit brings only what it changed; here it is put together
 * again with the rest, each row and field that is the same being the very same object.
 */

/** @import {RigCheck, RigChecked, RigEntry, Requirement} from "./types" */

export class RigOnShow {
  /** Names what is here, for Python; empty while nothing is. */ #mark = "";
  /** @type {Map<string, Requirement>} */ #rows = new Map();
  /** @type {Map<string, RigEntry>} */ #fields = new Map();
  /** The fields of each section, in order. @type {Map<string, string[]>} */ #names = new Map();
  /** Entries as they were first described, by path. @type {Map<string, RigEntry>} */ #described = new Map();

  /** What a request says of it. */
  get known() {
    return { known: this.#mark, described: this.#described.size === 0 };
  }

  /** @param {RigChecked} reply @returns {RigCheck} */
  with(reply) {
    const { mark, since, order, ...check } = reply;
    if (since === "") this.#forget();
    else if (since !== this.#mark) throw new Error("an answer that builds on another");
    this.#mark = mark;
    for (const row of check.requirements) this.#rows.set(row.name, row);
    for (const { section, entries } of check.sections) {
      for (const entry of entries) this.#fields.set(entry.name, this.#whole(entry));
      if (since === "") this.#names.set(section, entries.map(({ name }) => name));
    }
    return {
      ...check,
      requirements: order.map((name) => /** @type {Requirement} */ (this.#rows.get(name))),
      sections: check.sections.map((each) => ({ ...each, entries: this.#of(each.section) })),
    };
  }

  #forget() {
    this.#rows.clear();
    this.#fields.clear();
  }

  /** @param {string} section */
  #of(section) {
    return (this.#names.get(section) ?? []).map((name) => /** @type {RigEntry} */ (this.#fields.get(name)));
  }

  /**
   * What no edit changes (labels, hints, options) comes once; a row is described as the first is.
   * @param {RigEntry} entry
   * @returns {RigEntry}
   */
  #whole(entry) {
    const path = entry.rows === null ? entry.name : `${entry.rows}.${entry.name.split(".")[3]}`;
    if ("label" in entry) this.#described.set(path, entry);
    return { .../** @type {RigEntry} */ (this.#described.get(path)), ...entry };
  }
}
