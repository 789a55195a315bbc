/**
 * The field log of a page: a form, the entries that are kept on this device, and files to and from it.
 * Nothing here asks the network for anything.
 */

import { h, setText } from "./dom.js";
import * as drafts from "./field-log-drafts.js";
import { Form, button, capital, isTouched, typedOf } from "./field-log-form.js";
import { FIELDS, compare, entryTyped, fromFile, inOrder, textOf, toCsv, toJson } from "./field-log-format.js";
import * as store from "./field-log-store.js";
import { FileFault } from "./file-fault.js";
import { clockNow, newId } from "./new-entry.js";

/**
 * @import {Comparison, Entry} from "./field-log-format.js"
 * @typedef {{edition: string, askPersistence: () => Promise<boolean>}} Settings
 */

const LARGEST_FILE = 20_000_000;
/** Fields that an entry takes over from the one before. */
const LASTING = ["place", "latitude_deg", "longitude_deg", "depth_m", "gain", "rig", "people"];

const NOT_KEPT =
  "Unfinished, and this browser does not let the page keep it (its storage is full, or the window is private): save the entry before you close the tab.";

/** @type {FieldLog | null} */ let current = null;
const others = "BroadcastChannel" in globalThis ? new BroadcastChannel("wetside.field-log") : null;
others?.addEventListener("message", () => void current?.refresh());

addEventListener("beforeunload", (event) => {
  if (drafts.hasUnstored()) event.preventDefault();
});

/**
 * @param {Element} place
 * @param {Settings} settings
 */
export function mountFieldLog(place, settings) {
  current = new FieldLog(settings);
  place.replaceChildren(current.element);
  return current.begin();
}

class FieldLog {
  /** @param {Settings} settings */
  constructor(settings) {
    this.settings = settings;
    this.form = new Form();
    this.id = newId();
    /** When the entry in the form had last been changed; null for a new one. @type {string | null} */
    this.basis = null;
    this.written = "";
    this.touched = false;
    /** @type {Entry[]} */ this.entries = [];
    this.kept = h(document, "p", { class: "kept", role: "status" });
    this.unfinished = h(document, "div", { class: "unfinished" });
    this.listTitle = h(document, "h2", { tabindex: "-1" }, "Entries on this device");
    this.list = h(document, "ol", { class: "log-list" });
    this.offer = h(document, "div", { class: "offer" });
    this.files = this.#fileTools();
    this.dialog = /** @type {HTMLDialogElement} */ (h(document, "dialog", { class: "ask", "aria-labelledby": "field-log-ask" }));
    this.element = h(
      document,
      "div",
      { class: "log" },
      this.form.element,
      this.unfinished,
      this.listTitle,
      this.offer,
      this.list,
      this.files,
      this.kept,
      this.dialog,
    );
    this.#listen();
  }

  #fileTools() {
    this.csv = button("to-csv", "Save all as CSV");
    this.json = button("to-json", "Save all as JSON");
    this.deleteAll = button("delete-all", "Delete all…");
    this.file = /** @type {HTMLInputElement} */ (
      h(document, "input", { type: "file", accept: ".csv,.json,text/csv,application/json", id: "field-log-file" })
    );
    const label = h(document, "label", { for: "field-log-file", class: "take-in" }, "Take in a file", this.file);
    return h(document, "div", { class: "log-files" }, this.csv, this.json, label, this.deleteAll);
  }

  #listen() {
    const { form } = this;
    form.element.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.#save();
    });
    form.element.addEventListener("input", (event) => this.#typed(/** @type {HTMLInputElement} */ (event.target)));
    form.element.addEventListener("change", (event) => this.#left(/** @type {HTMLInputElement} */ (event.target)));
    form.now.addEventListener("click", () => {
      form.showNow();
      this.#keepDraft();
    });
    form.asLast.addEventListener("click", () => this.#takeLasting());
    form.clear.addEventListener("click", () => this.#clear());
    this.csv?.addEventListener("click", () => this.#download("csv", toCsv(this.entries)));
    this.json?.addEventListener("click", () => this.#download("json", this.#jsonOf(this.entries)));
    this.file?.addEventListener("change", () => void this.#takeFile());
    this.deleteAll?.addEventListener("click", () => this.#askDeleteAll());
  }

  async begin() {
    const last = await drafts.openLast();
    if (last) this.#showDraft(last.id, last.draft);
    else this.#fresh();
    await this.refresh();
  }

  /** Show what the device holds: at the beginning, after each change, and when another tab made one. */
  async refresh() {
    try {
      this.entries = inOrder(await store.readAll());
    } catch (error) {
      this.#say(this.kept, `This browser does not give the page its storage (${reason(error)}). An entry stays in the form: save it as a file.`);
    }
    this.#showList();
  }

  /* The form. */

  /** An empty form, for a new entry. */
  #fresh() {
    this.#openEntry(newId(), null, "", {});
    this.form.showNow();
    this.touched = false;
  }

  /**
   * @param {string} id
   * @param {string | null} basis
   * @param {string} written
   * @param {Record<string, string>} typed
   */
  #openEntry(id, basis, written, typed) {
    void drafts.open(id);
    this.id = id;
    this.basis = basis;
    this.written = written;
    this.touched = true;
    this.form.show(typed);
    setText(this.form.title, basis === null ? "New entry" : "Change an entry");
    setText(this.form.save, basis === null ? "Save entry" : "Save the change");
    setText(this.form.clear, basis === null ? "Clear the form" : "Leave it as it was");
    this.form.wayOut.replaceChildren();
    setText(this.form.draftState, "");
  }

  /**
   * @param {string} id
   * @param {drafts.Draft} draft
   */
  #showDraft(id, draft) {
    this.#openEntry(id, draft.basis, draft.typed.written ?? "", draft.typed);
    setText(this.form.draftState, "Unfinished since you were last here.");
  }

  /** @param {HTMLInputElement} input */
  #typed(input) {
    const clock = ["date", "time", "offset"].includes(input.name);
    if (!this.touched && !clock) this.form.showNow(); // the form may have lain open for hours
    if (input.name === "date") this.form.adjustOffset();
    this.touched = true;
    this.form.markOne(input.closest(".field-of")?.getAttribute("data-field") ?? "", {});
    this.#keepDraft();
  }

  #keepDraft() {
    const typed = { ...this.form.typed(), written: this.written };
    if (this.basis === null && !isTouched(typed)) {
      drafts.dropDraft(this.id);
      setText(this.form.draftState, "");
      return;
    }
    const stored = drafts.keepDraft(this.id, { basis: this.basis, typed, at: new Date().toISOString() });
    setText(this.form.draftState, stored ? "Unfinished; kept on this device as you type." : "");
    setText(this.form.said, stored ? "" : NOT_KEPT);
  }

  /** @param {HTMLInputElement} input */
  #left(input) {
    if (input.type === "radio" || input.value === "") return;
    const { faults } = entryTyped(this.#complete());
    const fault = faults[input.name];
    if (!fault || /needs both/.test(fault)) return;
    this.form.markOne(input.name, faults);
    setText(this.form.said, fault);
  }

  /** What is typed, with what the form does not show. */
  #complete() {
    const now = new Date().toISOString();
    return { ...this.form.typed(), id: this.id, written: this.written || now, changed: now };
  }

  async #save() {
    const { entry, faults } = entryTyped(this.#complete());
    this.form.mark(faults);
    const count = Object.keys(faults).length;
    if (count > 0) {
      this.form.focusFault();
      setText(this.form.said, `Not saved: ${count === 1 ? "one field is" : `${count} fields are`} to be put right.`);
      return;
    }
    try {
      await store.keep(entry, this.basis);
    } catch (error) {
      this.#notKept(entry, error);
      return;
    }
    drafts.dropDraft(this.id);
    this.#fresh();
    setText(this.form.said, `Saved on this device: ${nameOf(entry)}.`);
    this.form.title.focus();
    await this.#changed();
    this.#say(this.kept, persistenceWords(await this.settings.askPersistence()));
  }

  /**
   * @param {Entry} entry
   * @param {unknown} error
   */
  #notKept(entry, error) {
    const elsewhere = error instanceof store.ChangedElsewhere;
    setText(
      this.form.said,
      elsewhere
        ? `Not saved: another tab has ${error.message} this entry meanwhile. Yours stays in the form.`
        : `Not saved: the browser refused to store it (${reason(error)}). The entry stays in the form. Copy it, or save it as a file that can be taken in later.`,
    );
    const json = this.#jsonOf([entry]);
    const copy = button("copy", "Copy this entry");
    const save = button("save-one", "Save this entry as a file");
    copy.addEventListener("click", () => void this.#copy(json));
    save.addEventListener("click", () => this.#download("json", json));
    const ways = [copy, save];
    if (elsewhere) {
      const both = button("both", "Save mine as a new entry");
      both.addEventListener("click", () => void this.#saveAsNew());
      ways.unshift(both);
    }
    this.form.wayOut.replaceChildren(...ways);
    ways[0].focus();
  }

  async #saveAsNew() {
    const typed = this.form.typed();
    drafts.dropDraft(this.id);
    this.#openEntry(newId(), null, "", typed);
    this.#keepDraft();
    await this.#save();
  }

  #clear() {
    const typed = this.form.typed();
    const { id, basis, written } = this;
    drafts.dropDraft(id);
    this.#fresh();
    setText(this.form.said, "");
    this.#showUnfinished();
    if (!isTouched(typed)) return;
    this.#offerUndo("The form is cleared.", () => {
      this.#openEntry(id, basis, written, typed);
      this.#keepDraft();
      this.form.title.focus();
    });
  }

  #takeLasting() {
    const [newest] = this.entries;
    if (!newest) return;
    const typed = this.form.typed();
    const taken = LASTING.filter((name) => !typed[name]?.trim() && newest[name]);
    for (const name of taken) typed[name] = newest[name];
    this.form.show(this.touched ? typed : { ...typed, ...clockNow() });
    this.touched = true;
    this.#keepDraft();
    setText(this.form.said, taken.length > 0 ? `Taken over from ${nameOf(newest)}.` : "Nothing was empty that the newest entry has.");
  }

  /* The list. */

  async #changed() {
    others?.postMessage("changed");
    await this.refresh();
  }

  #showList() {
    const count = this.entries.length;
    setText(this.listTitle, `Entries on this device: ${count}`);
    this.list.replaceChildren(...this.entries.map((entry) => this.#item(entry)));
    for (const tool of [this.csv, this.json]) if (tool) tool.disabled = count === 0;
    if (this.deleteAll) this.deleteAll.disabled = count === 0 && drafts.allDrafts().length === 0;
    this.form.asLast.disabled = count === 0;
    this.#showUnfinished();
  }

  /** @param {Entry} entry */
  #item(entry) {
    const edit = button("edit", "Change");
    const gone = button("delete", "Delete");
    edit.setAttribute("aria-label", `Change: ${nameOf(entry)}`);
    gone.setAttribute("aria-label", `Delete: ${nameOf(entry)}`);
    edit.addEventListener("click", () => void this.#edit(entry));
    gone.addEventListener("click", () => void this.#delete(entry));
    const facts = FIELDS.filter(({ name, kind }) => entry[name] && !["id", "stamp", "event", "time"].includes(kind) && name !== "place");
    const about = h(document, "dl", {}, ...facts.flatMap((field) => [
      h(document, "dt", {}, field.label),
      h(document, "dd", {}, factText(entry[field.name], field.unit)),
    ]));
    const title = h(document, "h3", {}, h(document, "b", {}, capital(entry.event)), entry.place ? ` · ${entry.place}` : "");
    const time = h(document, "time", { datetime: entry.time }, timeWords(entry.time));
    return h(document, "li", { "data-id": entry.id }, title, time, about, h(document, "div", { class: "item-tools" }, edit, gone));
  }

  #showUnfinished() {
    const rest = drafts.allDrafts().filter(({ id }) => id !== this.id);
    this.unfinished.replaceChildren(...rest.map(({ id, draft }) => {
      const { event = "note", place = "", date = "" } = draft.typed;
      const name = `${capital(event)}${place ? `, ${place}` : ""}${date ? `, ${date}` : ""}`;
      const openIt = button("open-draft", "Go on with it");
      openIt.setAttribute("aria-label", `Go on with: ${name}`);
      openIt.addEventListener("click", () => void this.#openDraft(id, draft));
      return h(document, "p", {}, `Unfinished: ${name} `, openIt);
    }));
  }

  /**
   * @param {string} id
   * @param {drafts.Draft} draft
   */
  async #openDraft(id, draft) {
    if (!this.#mayLeave()) return;
    if (!(await drafts.open(id))) {
      setText(this.form.said, "That one is open in another tab.");
      return;
    }
    this.#showDraft(id, draft);
    this.#showUnfinished();
    this.form.title.focus();
  }

  /** What is in the form is either kept as unfinished or must not be left. */
  #mayLeave() {
    if (!drafts.hasUnstored()) return true;
    setText(this.form.said, "Save or clear what is in the form first: this browser cannot keep it beside.");
    return false;
  }

  /** @param {Entry} entry */
  async #edit(entry) {
    if (!this.#mayLeave()) return;
    const draft = drafts.readDraft(entry.id);
    if (draft) return this.#openDraft(entry.id, draft);
    if (!(await drafts.open(entry.id))) {
      setText(this.form.said, "That one is open in another tab.");
      return;
    }
    this.#openEntry(entry.id, entry.changed, entry.written, typedOf(entry));
    this.#showUnfinished();
    setText(this.form.said, "");
    this.form.title.focus();
  }

  /** @param {Entry} entry */
  async #delete(entry) {
    try {
      await store.remove(entry.id);
    } catch (error) {
      this.#say(this.kept, `Not deleted: ${reason(error)}.`);
      return;
    }
    drafts.dropDraft(entry.id);
    if (this.id === entry.id) this.#fresh();
    await this.#changed();
    this.#offerUndo(`Deleted: ${nameOf(entry)}.`, async () => {
      await store.keep(entry, null);
      await this.#changed();
      this.listTitle.focus();
    });
  }

  /**
   * @param {string} words
   * @param {() => void | Promise<void>} undo
   */
  #offerUndo(words, undo) {
    const back = button("undo", "Undo");
    back.addEventListener("click", async () => {
      this.offer.replaceChildren();
      try {
        await undo();
        this.#say(this.kept, "Put back.");
      } catch (error) {
        this.#say(this.kept, `Not put back: ${reason(error)}.`);
      }
    });
    this.offer.replaceChildren(h(document, "p", { role: "status" }, words), back);
    back.focus();
  }

  #askDeleteAll() {
    const count = this.entries.length;
    const title = `Delete ${count === 1 ? "the entry" : `all ${count} entries`} from this device?`;
    const yes = button("yes main", "Delete all");
    const no = button("no", "Keep them");
    this.dialog.replaceChildren(
      h(document, "h2", { id: "field-log-ask" }, title),
      h(document, "p", {}, "Unfinished ones go as well. It cannot be undone. Files that you saved stay where you put them."),
      h(document, "div", { class: "item-tools" }, no, yes),
    );
    no.addEventListener("click", () => this.dialog.close());
    yes.addEventListener("click", () => void this.#deleteAll());
    this.dialog.showModal();
  }

  async #deleteAll() {
    this.dialog.close();
    try {
      await store.removeAll();
    } catch (error) {
      this.#say(this.kept, `Not deleted: ${reason(error)}.`);
      return;
    }
    for (const { id } of drafts.allDrafts()) drafts.dropDraft(id);
    this.offer.replaceChildren();
    this.#fresh();
    await this.#changed();
    this.#say(this.kept, "All entries are deleted from this device.");
    this.listTitle.focus();
  }

  /* Files. */

  /** @param {Entry[]} entries */
  #jsonOf(entries) {
    return toJson(entries, { exported: new Date().toISOString(), edition: this.settings.edition });
  }

  /**
   * @param {"csv" | "json"} kind
   * @param {string} text
   */
  #download(kind, text) {
    const type = kind === "csv" ? "text/csv;charset=utf-8" : "application/json";
    const address = URL.createObjectURL(new Blob([text], { type }));
    const name = `field-log-${clockNow().date}.${kind}`;
    h(document, "a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000); // some browsers ask first where to put it
    this.#say(this.kept, `${name} was handed to the browser: look that it lies where you want it.`);
  }

  /** @param {string} text */
  async #copy(text) {
    try {
      await navigator.clipboard.writeText(text);
      setText(this.form.said, "Copied.");
    } catch {
      const area = /** @type {HTMLTextAreaElement} */ (h(document, "textarea", { readonly: true, rows: 6, id: "field-log-copy" }));
      area.value = text;
      this.form.wayOut.append(h(document, "label", { for: "field-log-copy" }, "Copy this text:"), area);
      area.focus();
      area.select();
    }
  }

  async #takeFile() {
    const file = this.file?.files?.[0];
    if (!file || !this.file) return;
    try {
      if (file.size > LARGEST_FILE) throw new FileFault(`it has ${file.size} bytes; accepted are ${LARGEST_FILE}`);
      const entries = fromFile(textOf(new Uint8Array(await file.arrayBuffer())));
      const found = compare(await store.readAll(), entries);
      if (found.conflicts.length > 0) this.#askConflicts(found);
      else await this.#takeIn(found, false);
    } catch (error) {
      this.#say(this.kept, `${file.name} was not taken in, and nothing was changed: ${reason(error)}.`);
    }
    this.file.value = ""; // the same file may be chosen again
  }

  /** @param {Comparison} found */
  #askConflicts(found) {
    const { fresh, conflicts } = found;
    const words = conflicts.map(({ here, file, fields }) => {
      const differ = fields.map(({ name, label }) => `${label}: here ${shown(here[name])}, in the file ${shown(file[name])}`);
      return h(document, "li", {}, h(document, "b", {}, nameOf(here)), h(document, "br"), differ.join("; "));
    });
    const mine = button("mine", "Keep mine");
    const theirs = button("theirs", "Take the file's");
    const neither = button("neither", "Take nothing in");
    this.offer.replaceChildren(
      h(document, "p", { role: "status" }, `${fresh.length} new, ${found.same} here already, and ${conflicts.length} that differ from what is here. Nothing is changed yet.`),
      h(document, "ul", {}, ...words),
      h(document, "p", {}, "Of those that differ:"),
      h(document, "div", { class: "item-tools" }, mine, theirs, neither),
    );
    mine.addEventListener("click", () => void this.#decided(found, false));
    theirs.addEventListener("click", () => void this.#decided(found, true));
    neither.addEventListener("click", () => {
      this.offer.replaceChildren();
      this.#say(this.kept, "Nothing was taken in.");
    });
    mine.focus();
  }

  /**
   * @param {Comparison} found
   * @param {boolean} replace
   */
  async #decided(found, replace) {
    try {
      await this.#takeIn(found, replace);
    } catch (error) {
      this.#say(this.kept, `Nothing was taken in: ${reason(error)}.`);
    }
  }

  /**
   * @param {Comparison} found
   * @param {boolean} replace
   */
  async #takeIn({ fresh, same, conflicts }, replace) {
    await store.takeIn(fresh, replace ? conflicts : []);
    this.offer.replaceChildren();
    await this.#changed();
    const kept = replace ? `${conflicts.length} replaced` : `${conflicts.length} kept as they are here`;
    this.#say(this.kept, `${fresh.length} taken in, ${same} were here already${conflicts.length > 0 ? `, ${kept}` : ""}.`);
    this.listTitle.focus();
  }

  /**
   * @param {Element} where
   * @param {string} words
   */
  #say(where, words) {
    setText(where, words);
  }
}

/** @param {Entry} entry */
const nameOf = ({ event, place, time }) => `${capital(event)}, ${place ? `${place}, ` : ""}${timeWords(time)}`;

/** @param {string} time */
const timeWords = (time) => `${time.slice(0, 10)} ${time.slice(11, 19).replace(/:00$/, "")} ${time.slice(19)}`;

/** @param {string} text */
const shown = (text) => (text === "" ? "nothing" : `“${text}”`);

/**
 * @param {string} text
 * @param {string} [unit]
 */
function factText(text, unit) {
  if (!unit) return text;
  return unit === "degrees" ? `${text}°` : `${text}\u00a0${unit === "metres" ? "m" : unit}`;
}

/** @param {unknown} error */
function reason(error) {
  if (error instanceof store.ChangedElsewhere) return "another tab has changed the log meanwhile";
  if (error instanceof FileFault) return error.message;
  if (error instanceof DOMException && error.name === "QuotaExceededError") return "its storage is full";
  return error instanceof Error ? error.message.replace(/\.$/, "") || error.name : String(error);
}

/** @param {boolean} promised */
const persistenceWords = (promised) =>
  promised
    ? "The browser has promised not to clear the entries by itself."
    : "The browser has not promised to hold the entries: it may clear them when the device is short of space, and some do after days without a visit. Save a file.";
