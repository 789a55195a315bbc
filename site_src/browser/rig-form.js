/**
 * The entries of a rig as fields, by section. A section's fields are built when it is opened; what
 * nothing asks for as the rig stands is folded away. What a text means is Python's matter.
 */

import { h, setFlag, setText } from "./dom.js";
import { inputBoxes, readFields, renderInput, showFieldErrors, toleranceOf, valueOf, writeFields } from "./fields.js";
import { isMissing, sectionWords, statedList } from "./rig-view.js";

/**
 * @import {FieldError, RigEntry, RigRows, RigSection, System} from "./types"
 * @typedef {{key: string, text: string, tolerance: string}} Edit
 */

const NOT_STATED = "not stated";

export class RigForm {
  /** @type {RigSection[]} */ #sections = [];
  /** @type {System} */ #system = "metric";
  /** While it is printed, every section is words. */
  #onPaper = false;
  /** Rows that are on show and not stated yet, by path. @type {Map<string, number>} */ #more = new Map();
  /** @type {WeakMap<HTMLInputElement, string>} */ #before = new WeakMap();

  /**
   * @param {HTMLElement} box
   * @param {(edits: Edit[]) => void} edit told of what the reader has changed
   */
  constructor(box, edit) {
    this.box = box;
    this.edit = edit;
    box.addEventListener("input", ({ target }) => this.#typed(/** @type {Element} */ (target)));
    box.addEventListener("focusin", ({ target }) => {
      if (target instanceof HTMLInputElement) this.#before.set(target, target.value);
    });
    box.addEventListener("keydown", (event) => this.#key(event));
    box.addEventListener("click", ({ target }) => this.#clicked(/** @type {Element} */ (target)));
    for (const fold of this.#folds()) fold.addEventListener("toggle", () => this.#toggled(fold));
  }

  /** @returns {HTMLDetailsElement[]} */
  #folds() {
    return [...this.box.querySelectorAll("details")].filter((fold) => fold.matches(".rig-section"));
  }

  /** Another rig: nothing on show of the last one is of this one. */
  forget() {
    this.#more.clear();
    for (const body of this.box.querySelectorAll(".rig-body")) {
      body.removeAttribute("data-built");
      body.replaceChildren();
    }
  }

  /** What every section states, in words: for paper, for which the theme opens them all. */
  showStated() {
    if (this.#sections.length === 0) return;
    this.#onPaper = true;
    for (const fold of this.#folds()) {
      const body = /** @type {Element} */ (fold.querySelector(".rig-body"));
      body.removeAttribute("data-built");
      body.replaceChildren(statedList(document, this.#of(fold)));
    }
  }

  /** Fields again, where a section is open. */
  showFields() {
    this.#onPaper = false;
    this.show(this.#sections, this.#system);
  }

  /**
   * @param {RigSection[]} sections
   * @param {System} system
   */
  show(sections, system) {
    this.#sections = sections;
    this.#system = system;
    if (sections.length === 0) return;
    for (const fold of this.#folds()) {
      const section = this.#of(fold);
      setText(fold.querySelector("summary small"), sectionWords(section));
      if (fold.open) this.#fill(fold, section);
    }
  }

  /** @param {HTMLElement} fold */
  #of(fold) {
    const name = fold.dataset.section;
    return /** @type {RigSection} */ (this.#sections.find(({ section }) => section === name));
  }

  /**
   * Errors of what was typed; an empty list clears them.
   * @param {FieldError[]} errors
   * @returns {FieldError[]} those without a field on show
   */
  showErrors(errors) {
    return showFieldErrors(this.box, errors);
  }

  /**
   * Whether the field of an entry is on the page with an error.
   * @param {string} key
   */
  isBad(key) {
    return inputBoxes(this.box).some((box) => box.dataset.input === key && box.classList.contains("bad"));
  }

  /**
   * Open the section of an entry, and go to its field.
   * @param {string} key
   */
  reveal(key) {
    const fold = this.#folds().find((each) => each.dataset.section === key.split(".")[0]);
    if (!fold || this.#sections.length === 0) return;
    fold.open = true;
    this.#fill(fold, this.#of(fold));
    const box = inputBoxes(fold).find((each) => each.dataset.input === key);
    if (!box) return;
    fold.querySelector(".rig-body")?.setAttribute("data-all", "");
    valueOf(box).focus();
  }

  /** @param {HTMLDetailsElement} fold */
  #toggled(fold) {
    if (fold.open && this.#sections.length > 0 && !this.#onPaper) this.#fill(fold, this.#of(fold));
  }

  /**
   * @param {HTMLElement} fold
   * @param {RigSection} section
   */
  #fill(fold, section) {
    const body = /** @type {HTMLElement} */ (fold.querySelector(".rig-body"));
    const entries = this.#withMore(section);
    const wanted = JSON.stringify([this.#system, entries.map(({ name }) => name)]);
    if (body.getAttribute("data-built") !== wanted) {
      body.setAttribute("data-built", wanted);
      this.#build(body, section, entries);
    }
    fillEntries(body, entries);
  }

  /**
   * The entries of a section with those of rows that are on show and not stated yet.
   * @param {RigSection} section
   */
  #withMore(section) {
    const entries = [...section.entries];
    for (const rows of section.rows) {
      const count = Math.min(rows.most, rows.count + (this.#more.get(rows.path) ?? 0));
      const first = section.entries.filter((entry) => entry.rows === rows.path && entry.row === 1);
      for (let row = rows.count + 1; row <= count; row++) entries.push(...first.map((entry) => emptyIn(entry, row)));
    }
    return entries;
  }

  /**
   * @param {HTMLElement} body
   * @param {RigSection} section
   * @param {RigEntry[]} entries
   */
  #build(body, section, entries) {
    const once = entries.filter((entry) => entry.rows === null).map((entry) => this.#field(entry));
    const repeated = section.rows.map((rows) => this.#rows(rows, entries));
    const all = h(document, "button", { type: "button", class: "show-all" });
    body.replaceChildren(h(document, "div", { class: "inputs" }, ...once, ...repeated), all);
  }

  /** @param {RigEntry} entry */
  #field(entry) {
    const given = { ...entry, group: null, shown_when: null };
    if (given.kind === "choice") given.options = [{ value: "", label: NOT_STATED }, ...given.options];
    const texts = { fields: { [entry.name]: entry.text }, tolerances: { [entry.name]: entry.tolerance } };
    const view = { base: "rig-field", system: this.#system, ...texts };
    const box = renderInput(document, /** @type {any} */ (given), 1, view, null);
    box.querySelector(".about")?.append(h(document, "small", { class: "origin" }));
    return box;
  }

  /**
   * @param {RigRows} rows
   * @param {RigEntry[]} entries
   */
  #rows(rows, entries) {
    const own = entries.filter((entry) => entry.rows === rows.path);
    const count = Math.max(1, ...own.map((entry) => entry.row ?? 1));
    const box = h(document, "div", { class: "rows", "data-path": rows.path, "data-count": count });
    for (let row = 1; row <= count; row++) {
      const fields = own.filter((entry) => entry.row === row).map((entry) => this.#field(entry));
      box.append(h(document, "fieldset", { class: "group" }, h(document, "legend", {}, `${rows.label} ${row}`), ...fields));
    }
    const what = rows.label.toLowerCase();
    const add = h(document, "button", { type: "button", class: "add-row", hidden: count >= rows.most }, `Add another ${what}`);
    const remove = h(document, "button", { type: "button", class: "remove-row" }, `Remove ${what} ${count}`);
    box.append(h(document, "div", { class: "row-tools" }, add, remove));
    return box;
  }

  /* What the reader does */

  /** @param {Element} field */
  #typed(field) {
    const box = /** @type {HTMLElement | null} */ (field.closest(".in"));
    if (box) this.edit([editOf(box)]);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const field = event.target;
    if (!(field instanceof HTMLInputElement) || !field.closest(".in")) return;
    if (event.key === "Enter") {
      event.preventDefault();
      this.#before.set(field, field.value);
    } else if (event.key === "Escape" && this.#before.get(field) !== field.value) {
      field.value = this.#before.get(field) ?? "";
      this.#typed(field);
    }
  }

  /** @param {Element} target */
  #clicked(target) {
    const button = /** @type {HTMLElement | null} */ (target.closest("button"));
    const rows = /** @type {HTMLElement | null | undefined} */ (button?.closest(".rows"));
    if (button?.matches(".sign")) this.#changeSign(button);
    else if (button?.matches(".show-all")) showAll(button);
    else if (rows && button?.matches(".add-row")) this.#addRow(rows);
    else if (rows && button?.matches(".remove-row")) this.#removeRow(rows);
  }

  /** @param {Element} button */
  #changeSign(button) {
    const field = valueOf(/** @type {Element} */ (button.closest(".in")));
    field.value = /^\s*[-−]/.test(field.value) ? field.value.replace(/[-−]\s*/, "") : `-${field.value}`;
    this.#typed(field);
  }

  /** @param {HTMLElement} rows */
  #addRow({ dataset: { path = "", count } }) {
    this.#more.set(path, (this.#more.get(path) ?? 0) + 1);
    this.show(this.#sections, this.#system);
    const added = this.box.querySelector(`.rows[data-path="${path}"] fieldset:nth-of-type(${Number(count) + 1}) .value`);
    /** @type {HTMLElement | null} */ (added)?.focus();
  }

  /**
   * The last row: what is stated of it goes; one that was only on show is no longer.
   * @param {HTMLElement} rows
   */
  #removeRow(rows) {
    const { path = "", count } = rows.dataset;
    const prefix = `${path}.${count}.`;
    const stated = this.#sections.flatMap(({ entries }) => entries).filter((e) => e.stated && e.name.startsWith(prefix));
    const more = this.#more.get(path) ?? 0;
    if (more > 0) this.#more.set(path, more - 1);
    if (stated.length > 0) this.edit(stated.map(({ name }) => ({ key: name, text: "", tolerance: "" })));
    else this.show(this.#sections, this.#system);
    const button = this.box.querySelector(`.rows[data-path="${path}"] .add-row`);
    /** @type {HTMLElement | null} */ (button)?.focus();
  }
}

/**
 * @param {HTMLElement} box
 * @returns {Edit}
 */
const editOf = (box) => ({
  key: box.dataset.input ?? "",
  text: valueOf(box).value,
  tolerance: toleranceOf(box)?.value ?? "",
});

/**
 * The same entry in a row that nothing is stated of.
 * @param {RigEntry} entry
 * @param {number} row
 * @returns {RigEntry}
 */
function emptyIn(entry, row) {
  const name = `${entry.rows}.${row}.${entry.name.split(".")[3]}`;
  return { ...entry, name, row, text: "", tolerance: "", stated: false, derived: null };
}

/**
 * Bring the fields up to date; one that the reader is in keeps what is typed there.
 * @param {HTMLElement} body
 * @param {RigEntry[]} entries
 */
function fillEntries(body, entries) {
  const known = new Map(entries.map((entry) => [entry.name, entry]));
  const { fields, tolerances } = readFields(body);
  for (const box of inputBoxes(body)) {
    const entry = /** @type {RigEntry} */ (known.get(box.dataset.input ?? ""));
    if (!box.contains(document.activeElement) && !box.classList.contains("bad")) {
      fields[entry.name] = entry.text;
      tolerances[entry.name] = entry.tolerance;
    }
    setFlag(box, "data-missing", isMissing(entry));
    setFlag(box, "data-idle", isIdle(entry));
    setText(box.querySelector(".origin"), originWords(entry));
  }
  writeFields(body, fields, tolerances);
  showIdle(body, entries.filter(isIdle).length);
}

/** @param {RigEntry} entry */
const isIdle = (entry) => !entry.asked && !entry.stated;

/** @param {RigEntry} entry */
function originWords(entry) {
  if (entry.derived?.text) return `${entry.derived.entry ? `as “${entry.derived.entry}”` : "worked out"}: ${entry.derived.text}`;
  if (entry.derived && entry.asked) return "not stated; worked out as soon as what it follows from is stated";
  if (entry.stated) return entry.asked ? "" : "stated; nothing asks for it as the rig stands";
  return entry.asked ? NOT_STATED : "";
}

/**
 * @param {Element} body
 * @param {number} idle how many entries nothing asks for
 */
function showIdle(body, idle) {
  const button = /** @type {Element} */ (body.querySelector(".show-all"));
  setFlag(button, "hidden", idle === 0);
  const open = body.hasAttribute("data-all");
  setText(button, open ? "Show only what is asked for" : `Show ${idle} more that nothing asks for`);
}

/** @param {Element} button */
function showAll(button) {
  const body = /** @type {Element} */ (button.closest(".rig-body"));
  setFlag(body, "data-all", !body.hasAttribute("data-all"));
  showIdle(body, body.querySelectorAll(".in[data-idle]").length);
}
