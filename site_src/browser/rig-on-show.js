/**
 * What Python has told of the open rig. An edit brings only what it changed; here it is put together
 * again with the rest, each row and field that is the same being the very same object.
 */

/** @import {RigChecked, RigEntry, RigFields, RigNews, RigSection, Requirement} from "./types" */

export class RigOnShow {
  /** Names the rows that are here, for Python; empty while none are. */ #rowsMark = "";
  /** The same of the fields. */ #fieldsMark = "";
  /** @type {Map<string, Requirement>} */ #rows = new Map();
  /** @type {Map<string, RigEntry>} */ #fields = new Map();
  /** The fields of each section, in order. @type {Map<string, string[]>} */ #names = new Map();
  /** Entries as they were first described, by path. @type {Map<string, RigEntry>} */ #described = new Map();

  /** What a request for a verdict says of it. */
  get knownRows() {
    return { known: this.#rowsMark };
  }

  /** What a request for fields says of it. */
  get knownFields() {
    return { known: this.#fieldsMark, described: this.#described.size === 0 };
  }

  /** @param {RigNews} reply @returns {RigChecked} */
  withRows(reply) {
    const { mark, since, order, ...check } = reply;
    if (!follows(since, this.#rowsMark)) this.#rows.clear();
    this.#rowsMark = mark;
    for (const row of check.requirements) this.#rows.set(row.name, row);
    return { ...check, requirements: order.map((name) => /** @type {Requirement} */ (this.#rows.get(name))) };
  }

  /** @param {RigFields} reply @returns {RigSection[]} */
  withFields({ mark, since, sections }) {
    const more = follows(since, this.#fieldsMark);
    if (!more) this.#fields.clear();
    this.#fieldsMark = mark;
    for (const { section, entries } of sections) {
      for (const entry of entries) this.#fields.set(entry.name, this.#whole(entry));
      if (!more) this.#names.set(section, entries.map(({ name }) => name));
    }
    return sections.map((each) => ({ ...each, entries: this.#of(each.section) }));
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

/**
 * Whether an answer goes on from what is here; if not, it brings everything.
 * @param {string} since
 * @param {string} mark
 */
function follows(since, mark) {
  if (since !== "" && since !== mark) throw new Error("an answer that builds on another");
  return since !== "";
}
