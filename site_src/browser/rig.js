/**
 * My rig: the reader's rigs on this device, one of them open, its verdict after every edit. A rig is
 * the text of its file here; what it means is Python's matter.
 */

import { h, setFlag, setText } from "./dom.js";
import { latestWins } from "./engine.js";
import { markInvalid } from "./fields.js";
import { RigChance } from "./rig-chance.js";
import { findMends, forgetMends } from "./rig-changes.js";
import { listOthers, showComparison } from "./rig-compare.js";
import { RigForm } from "./rig-form.js";
import { RigLasting } from "./rig-lasting.js";
import { printSheet, showSheet } from "./rig-paper.js";
import { RigOnShow } from "./rig-on-show.js";
import { RigPicturesShown } from "./rig-pictures.js";
import { showRig } from "./rig-view.js";
import * as store from "./rig-store.js";
import { chosenSystem } from "./settings.js";
import { siteAddress } from "./site.js";

/**
 * @import {Defect, FieldError, QrCode, Refusal, Request, RigCheck, RigComparison, RigEdited, RigFields, RigNews, RigOpened, RigSheet, RigText, System} from "./types"
 * @import {Engine, Status} from "./engine.js"
 * @import {Edit} from "./rig-form.js"
 * @import {KeptRig} from "./rig-store.js"
 * @typedef {{name: string, toml: string, kept: KeptRig | null, from: string, touched: boolean, saved?: boolean}} Shown
 */

const LARGEST_FILE = 200_000;
/** What is dead until Python is there. */
const LIVE = "#rig-choice, #rig-other, .last-start, .draw-start, .show-sheet, .rig-tools :is(button, input)";
const QR_ARCHIVE = "segno.zip";
const EMPTY = "My rig";

const EXAMPLE = "#example-";

/** Whether the address brings a rig. @param {string} hash */
const isForRigs = (hash) => hash.startsWith("#rig?") || hash.startsWith(EXAMPLE);

/** @type {RigPage | null} */ let current = null;

store.watchShelf(() => current?.changedElsewhere());
addEventListener("beforeprint", () => current?.form.showStated());
addEventListener("afterprint", () => current?.form.showFields());
addEventListener("beforeunload", (event) => {
  if (current?.unkept) event.preventDefault();
});

/**
 * @param {HTMLElement} section
 * @param {Engine} engine
 */
export function mountRig(section, engine) {
  const before = current;
  current = new RigPage(section, engine);
  current.begin(before?.unkept ? before.shown : null);
  return current;
}

export class RigPage {
  #stopWatching = () => {};
  /** Edits that Python has not taken yet, the newest of each entry. @type {Map<string, Edit>} */ #edits = new Map();
  #works = 0;

  /**
   * @param {HTMLElement} section
   * @param {Engine} engine
   */
  constructor(section, engine) {
    this.section = section;
    this.engine = engine;
    this.example = this.#find("#rig-choice option[selected]")?.getAttribute("value") ?? "";
    /** @type {Shown} */
    this.shown = this.#exampleShown(this.#find(".rig-toml").textContent ?? "", this.#find(".rig-name").textContent ?? "");
    this.form = new RigForm(this.#find(".rig-sections"), (edits) => this.#edited(edits));
    /** What was typed and cannot be read, by entry: it stands at its field until it is mended. @type {Map<string, FieldError[]>} */ this.faults = new Map();
    /** @type {string[]} */ this.without = [];
    /** The link of a rig that no Python has read yet. */ this.waiting = "";
    this.onShow = new RigOnShow();
    /** The rigs of the list, as it was written last. */
    this.listed = "";
    this.check = latestWins(() => this.#checkNow());
    /** The fields of the rig on show. They follow its verdict, which need not wait for them. */
    this.fields = latestWins(() => this.#showFields());
    const read = () => ({ toml: this.shown.toml, system: this.system });
    this.pictures = new RigPicturesShown(section, engine, read);
    this.lasting = new RigLasting(section, engine, read);
    this.chance = new RigChance(section, engine, read);
    /** The text that was drawn or compared last; another one makes both old. */
    this.seen = "";
    this.work = latestWins(() => this.#takeEdits());
    this.#listen();
  }

  /** @param {string} selector @returns {HTMLElement} */
  #find(selector) {
    return /** @type {HTMLElement} */ (this.section.querySelector(selector));
  }

  /** @returns {System} */
  get system() {
    return chosenSystem();
  }

  /** What a reader has changed and nothing keeps. */
  get unkept() {
    return this.shown.touched && !this.shown.saved;
  }

  /** What is kept lacks the last change. */
  get #isBehind() {
    return Boolean(this.shown.kept && this.shown.touched);
  }

  stop() {
    this.#stopWatching();
    this.pictures.stop();
  }

  /** @param {Shown | null} unkept what the reader had changed before going to another page and back */
  begin(unkept) {
    this.#stopWatching = this.engine.watch((status) => this.#showStatus(status));
    const kept = store.openRig();
    if (unkept) this.shown = unkept;
    else if (kept) this.shown = keptShown(kept);
    this.#showWhich();
    if (isForRigs(location.hash)) void this.openLink(location.hash);
    else void this.check();
  }

  /* Python */

  /**
   * The reply, or null where Python failed; the state line then says so.
   * @template T
   * @param {Request} request
   * @returns {Promise<T | Refusal | Defect | null>}
   */
  #ask(request) {
    return this.engine.ask(request).then(
      (reply) => /** @type {T} */ (reply),
      () => null,
    );
  }

  /** @template T @param {Promise<T>} work */
  #busy(work) {
    this.#works += 1;
    this.section.setAttribute("aria-busy", "true");
    return work.finally(() => {
      this.#works -= 1;
      if (this.#works === 0) this.section.removeAttribute("aria-busy");
    });
  }

  /** @param {Status} status */
  #showStatus({ state, words }) {
    const before = this.section.dataset.state;
    this.section.dataset.state = state === "idle" ? "example" : state;
    const said = state === "live" && this.section.classList.contains("stale") ? "last good verdict" : words;
    setText(this.#find(".state-text"), this.waiting && state !== "live" ? `the rig of the link waits: ${said}` : said);
    setFlag(this.#find(".retry"), "hidden", state !== "failed");
    if (state !== "live" || before === "live") return;
    for (const control of this.section.querySelectorAll(LIVE)) setFlag(control, "disabled", false);
    this.#showWhich();
  }

  async #checkNow() {
    const { shown } = this;
    /** @type {RigNews | Refusal | Defect | null} */
    const reply = await this.#busy(this.#ask({ op: "rig_check", toml: shown.toml, system: this.system, ...this.onShow.knownRows }));
    if (!reply || shown !== this.shown) return;
    if (reply.ok) this.#show(reply);
    else this.#refused(reply, "This rig cannot be read.");
  }

  /** @param {RigNews} reply */
  #show(reply) {
    const check = this.onShow.withRows(reply);
    this.shown.name = check.name;
    this.without = check.without;
    showRig(this.section, check);
    this.form.box.setAttribute("aria-busy", "true");
    void this.fields();
    if (this.seen !== this.shown.toml) {
      this.seen = this.shown.toml;
      this.lasting.forget();
      this.chance.forget();
      forgetMends(this.section);
      showSheet(this.section, null, null);
      void this.#compare();
    }
    this.pictures.follow();
    setText(this.#find(".rig-toml"), this.shown.toml);
    this.section.classList.toggle("stale", this.faults.size > 0);
    this.#showSystem();
    this.#showStatus(this.engine.status);
    /** @type {HTMLInputElement} */ (this.#find("#rig-name-field")).value = check.name;
    this.#showNameError("");
    /** @type {HTMLInputElement} */ (this.#find("#rig-note-field")).value = check.note;
  }

  async #showFields() {
    const { shown, system } = this;
    /** @type {RigFields | Refusal | Defect | null} */
    const reply = await this.#ask({ op: "rig_fields", toml: shown.toml, system, ...this.onShow.knownFields });
    // What is not of the rig on show is followed by what is.
    if (shown !== this.shown || system !== this.system) return;
    this.form.box.removeAttribute("aria-busy");
    if (!reply) return; // Python has stopped, and the state line says so
    if (!reply.ok) return this.#refused(reply, "The entries cannot be shown anew.");
    this.form.show(this.onShow.withFields(reply), system);
    for (const key of this.faults.keys()) if (!this.form.isBad(key)) this.faults.delete(key); // its row or its units are gone
    this.section.classList.toggle("stale", this.faults.size > 0);
  }

  /**
   * The last good verdict stays, greyed.
   * @param {Refusal | Defect} reply
   * @param {string} words
   */
  #refused(reply, words) {
    const errors = reply.errors ?? [{ name: null, part: /** @type {const} */ ("value"), message: `This is a defect of the handbook, not of your rig: ${reply.defect}` }];
    this.section.classList.add("stale");
    const rest = this.form.showErrors([...new Set([...this.faults.values()].flat().concat(errors))]);
    if (rest.length > 0) this.#say(words, faultList(rest));
    else if (!this.#isBehind) this.#say("");
    this.#showStatus(this.engine.status);
  }

  /* Edits */

  /** @param {Edit[]} edits */
  #edited(edits) {
    for (const edit of edits) this.#edits.set(edit.key, edit);
    void this.#busy(this.work());
  }

  async #takeEdits() {
    for (let next = this.#nextEdit(); next; next = this.#nextEdit()) await this.#takeEdit(next);
  }

  #nextEdit() {
    const [next] = this.#edits.values();
    if (next) this.#edits.delete(next.key);
    return next;
  }

  /** @param {Edit} edit */
  async #takeEdit(edit) {
    const { shown } = this;
    /** @type {RigEdited | Refusal | Defect | null} */
    const reply = await this.#ask({ op: "rig_edit", toml: shown.toml, system: this.system, ...this.onShow.knownRows, ...edit });
    if (!reply || shown !== this.shown) return;
    if (!reply.ok) {
      if (reply.errors) this.faults.set(edit.key, reply.errors);
      this.#refused(reply, "That cannot be taken.");
      return;
    }
    this.faults.delete(edit.key);
    this.form.showErrors([...this.faults.values()].flat());
    this.#take(reply.toml, reply.name);
    this.#show(reply);
  }

  /** @param {Element} row */
  #findMends(row) {
    const { toml } = this.shown;
    const isCurrent = () => toml === this.shown.toml;
    return findMends(row, this.engine, { toml, system: this.system }, isCurrent, (edits, words) => this.#change(edits, words));
  }

  /**
   * A change that mends something, with the way back.
   * @param {Edit[]} edits
   * @param {string} words
   */
  async #change(edits, words) {
    const before = this.shown.toml;
    for (const edit of edits) this.#edits.set(edit.key, edit);
    await this.#busy(this.work());
    if (this.shown.toml === before || this.#isBehind) return; // refused, or not kept: that is said already
    this.#say(`Changed: ${words}.`, button("undo", "Undo", () => this.#takeBack(before)));
    this.#find(".undo").focus();
  }

  /** @param {string} toml */
  async #takeBack(toml) {
    this.#take(toml, this.shown.name);
    if (!this.#isBehind) this.#say("Taken back.");
    await this.#busy(this.check());
    this.#find("#rig-choice").focus();
  }

  /**
   * The open rig has another text now: keep it where it is kept.
   * @param {string} toml
   * @param {string} name
   */
  #take(toml, name) {
    const { shown } = this;
    if (toml === shown.toml) return;
    shown.toml = toml;
    shown.name = name;
    shown.saved = false;
    if (!shown.kept) {
      shown.touched = true;
      this.#say("");
      this.#showWhich();
      return;
    }
    try {
      shown.kept = store.changeRig(shown.kept, { name, toml });
      this.#say(shown.touched ? "Kept again." : "");
      shown.touched = false;
    } catch (error) {
      shown.touched = true;
      this.#notKept(error);
    }
    this.#showWhich();
  }

  /** @param {unknown} error */
  #notKept(error) {
    if (error instanceof store.ChangedElsewhere) {
      this.#say(
        `Another tab has ${error.message} this rig meanwhile. Your change is on show here, and not kept.`,
        button("keep-mine", "Keep mine as another rig", () => this.#keepAsNew()),
        button("show-other", "Show what the other tab kept", () => this.#showOther()),
      );
      return;
    }
    this.#say(
      `Not kept: ${store.storageWords(error)}. The rig stays on show as long as this page is open: save it as a file.`,
      button("save-now", "Save as a file", () => this.#saveFile()),
    );
  }

  #showOther() {
    const kept = this.#shelf().find(({ id }) => id === this.shown.kept?.id);
    if (kept) this.#open(keptShown(kept));
    else this.#say("It is no longer there.");
  }

  /* Which rig */

  /** @returns {KeptRig[]} */
  #shelf() {
    try {
      return store.readShelf().rigs;
    } catch {
      return [];
    }
  }

  /** @param {string} toml @param {string} name @returns {Shown} */
  #exampleShown(toml, name) {
    return { name, toml, kept: null, from: "example", touched: false };
  }

  /**
   * Show another rig.
   * @param {Shown} shown
   */
  #open(shown) {
    this.shown = shown;
    this.#edits.clear();
    this.faults.clear();
    this.form.forget();
    this.form.showErrors([]);
    this.#notice("");
    try {
      store.openKept(shown.kept?.id ?? null);
    } catch {
      // Nothing can be stored: then nothing is open the next time.
    }
    this.#showWhich();
    return this.#busy(this.check());
  }

  #showWhich() {
    const { shown } = this;
    const choice = /** @type {HTMLSelectElement} */ (this.#find("#rig-choice"));
    const loose = !shown.kept && (shown.from !== "example" || shown.touched);
    this.#listRigs(choice, loose ? `${shown.name} (not kept)` : null);
    choice.value = loose ? "loose" : shown.kept ? `kept ${shown.kept.id}` : this.example;
    const live = this.engine.status.state === "live";
    setFlag(this.#find(".keep"), "disabled", !live || Boolean(shown.kept));
    setFlag(this.#find(".delete"), "disabled", !live || !shown.kept);
    setText(this.#find(".rig-which"), whichWords(shown));
  }

  /**
   * The rigs there are, written anew only when they are others: an edit asks for it as well.
   * @param {HTMLSelectElement} choice
   * @param {string | null} loose words for the one that is not kept
   */
  #listRigs(choice, loose) {
    const rigs = this.#shelf().map(({ id, name }) => ({ id, name }));
    const wanted = JSON.stringify([rigs, loose]);
    if (this.listed === wanted) return;
    this.listed = wanted;
    choice.querySelector(".mine")?.remove();
    choice.querySelector(".loose")?.remove();
    const options = rigs.map(({ id, name }) => h(document, "option", { value: `kept ${id}` }, name));
    options.push(h(document, "option", { value: "empty" }, "A new, empty rig"));
    choice.prepend(h(document, "optgroup", { class: "mine", label: "On this device" }, ...options));
    if (loose !== null) choice.prepend(h(document, "option", { class: "loose", value: "loose" }, loose));
    listOthers(this.section);
  }

  async #choose() {
    const choice = /** @type {HTMLSelectElement} */ (this.#find("#rig-choice"));
    const [kind, id] = choice.value.split(" ");
    if (kind === "loose") return;
    const wanted = choice.value;
    const again = () => {
      choice.value = wanted;
      void this.#choose();
    };
    if (!this.#mayLeave(again)) return;
    if (kind === "kept") {
      const kept = this.#shelf().find((rig) => rig.id === id);
      if (kept) await this.#open(keptShown(kept));
    } else if (kind === "empty") await this.#openEmpty();
    else await this.#openExample(/** @type {HTMLElement} */ (choice.selectedOptions[0]));
  }

  /**
   * Changes that nothing keeps are not dropped unasked.
   * @param {() => void} again what the reader was about to do
   */
  #mayLeave(again) {
    if (!this.unkept) return true;
    this.#showWhich();
    const drop = () => {
      this.shown.touched = false;
      this.#say("");
      again();
    };
    const words = "Keep this rig, or save it as a file, before you open another: its changes are nowhere else.";
    this.#say(words, button("drop-changes", "Drop the changes", drop));
    return false;
  }

  async #openEmpty() {
    const name = store.freeName(EMPTY, this.#shelf());
    /** @type {RigText | Refusal | Defect | null} */
    const made = await this.#ask({ op: "rig_new", name });
    if (!made?.ok) return;
    await this.#open({ ...this.#exampleShown(made.toml, name), from: "new" });
    this.#say("An empty rig. State what you know of it below, and keep it when you like. Quicker: take the example nearest to yours, and change it.");
  }

  /** @param {HTMLElement} option */
  async #openExample(option) {
    this.example = option.getAttribute("value") ?? "";
    try {
      await this.#open(this.#exampleShown(await exampleText(option), option.textContent ?? ""));
    } catch (error) {
      this.#say(`That example did not load: ${/** @type {Error} */ (error).message}.`);
      this.#showWhich();
    }
  }

  /** The rig on show beside the one that is chosen, if one is. */
  async #compare() {
    const select = /** @type {HTMLSelectElement} */ (this.#find("#rig-other"));
    const state = this.#find(".compare-state");
    const option = /** @type {HTMLElement | undefined} */ (select.selectedOptions[0]);
    if (!option || select.value === "") {
      showComparison(this.section, null);
      return;
    }
    const kept = this.#shelf().find(({ id }) => select.value === `kept ${id}`);
    const other = kept?.toml ?? (await exampleText(option).catch(() => null));
    const request = { op: /** @type {const} */ ("rig_compare"), toml: this.shown.toml, other: other ?? "", system: this.system };
    /** @type {RigComparison | Refusal | Defect | null} */
    const reply = other === null ? null : await this.#ask(request);
    showComparison(this.section, reply?.ok ? reply : null);
    const refused = other === null ? "That example did not load." : "That rig cannot be read.";
    setText(state, reply?.ok ? `The first is ${this.shown.name}, the second ${option.textContent}.` : refused);
  }

  /** Another tab has changed what is kept. */
  changedElsewhere() {
    const { shown } = this;
    const now = shown.kept && this.#shelf().find(({ id }) => id === shown.kept?.id);
    if (shown.kept && !now) {
      this.shown = { ...shown, kept: null, from: "deleted", touched: true };
      this.#say("Another tab has deleted this rig. It is still on show here.");
    } else if (shown.kept && now && now.revision !== shown.kept.revision && !shown.touched) {
      this.shown = keptShown(now);
      this.#edits.clear();
      this.#say("Another tab has changed this rig.");
      void this.#busy(this.check());
    }
    this.#showWhich();
  }

  /* What can be done with it */

  #listen() {
    const { section } = this;
    const on = (/** @type {string} */ selector, /** @type {string} */ event, /** @type {(event: Event) => unknown} */ act) =>
      this.#find(selector)?.addEventListener(event, act);
    section.addEventListener("click", (event) => this.#goOn(event), true);
    section.addEventListener("change", (event) => this.#goOn(event), true);
    on("#rig-choice", "change", () => this.#choose());
    on(".keep", "click", () => this.#keepAsNew(this.shown.name));
    on(".duplicate", "click", () => this.#keepAsNew());
    on(".delete", "click", () => this.#delete());
    on(".save-file", "click", () => this.#saveFile());
    on(".copy-link", "click", () => this.#busy(this.#copyLink()));
    on(".paper-tools", "click", ({ target }) => this.#paper(/** @type {HTMLElement} */ (target)));
    on("#rig-other", "change", () => this.#busy(this.#compare()));
    on("#rig-import", "change", (event) => this.#busy(this.#takeFile(/** @type {HTMLInputElement} */ (event.target))));
    on("#rig-name-field", "change", ({ target }) => this.#rename({ name: /** @type {HTMLInputElement} */ (target).value }));
    on("#rig-note-field", "change", ({ target }) => this.#rename({ note: /** @type {HTMLInputElement} */ (target).value }));
    on(".retry", "click", () => (this.waiting ? this.openLink(this.waiting) : this.check()));
    section.addEventListener("click", (event) => this.#clicked(event));
    on(".units", "change", ({ target }) => {
      const detail = /** @type {HTMLInputElement} */ (target).value;
      section.dispatchEvent(new CustomEvent("wetside:units", { detail, bubbles: true }));
    });
  }

  /**
   * The reader does the next thing: what was said of the last one goes. An entry does so when its
   * text is taken, for to leave its field for a button must not take that button away.
   * @param {Event} event
   */
  #goOn({ target, type }) {
    const element = /** @type {Element} */ (target);
    const acts = type === "click" ? element.closest("button") : !element.closest(".rig-sections");
    if (acts && !element.closest(".rig-offer")) this.#say("");
  }

  /** @param {Event} event */
  #clicked(event) {
    const target = /** @type {Element} */ (event.target);
    const entry = target.closest("[data-entry]")?.getAttribute("data-entry");
    const card = target.closest("[data-calculator]")?.getAttribute("data-calculator") ?? "";
    if (entry && this.engine.status.state === "live") {
      event.preventDefault();
      this.form.reveal(entry);
    } else if (target.matches(".mend")) {
      void this.#busy(this.#findMends(/** @type {Element} */ (target.closest(".requirement"))));
    } else if (target.matches(".leave-out")) void this.#rename({ without: [...this.without, card] });
    else if (target.matches(".ask-again")) void this.#rename({ without: this.without.filter((id) => id !== card) });
  }

  /** The reader has chosen other units. */
  convert() {
    this.#showSystem();
    return this.#busy(this.check());
  }

  #showSystem() {
    this.section.dataset.system = this.system;
    for (const radio of this.section.querySelectorAll(".units input")) {
      const input = /** @type {HTMLInputElement} */ (radio);
      input.checked = input.value === this.system;
    }
  }

  /**
   * Keep the text on show as a rig of its own.
   * @param {string} [name] a copy gets a number
   */
  async #keepAsNew(name) {
    const { shown } = this;
    const wanted = name ?? shown.name;
    const fresh = store.freeName(wanted, this.#shelf());
    for (const tool of this.section.querySelectorAll(".duplicate, .delete")) setFlag(tool, "disabled", true); // a copy under way is of this rig
    const toml = fresh === shown.name ? shown.toml : await this.#busy(this.#renamed(shown.toml, { name: fresh }));
    setFlag(this.#find(".duplicate"), "disabled", false);
    this.#showWhich();
    if (toml === null) return;
    try {
      await this.#open(keptShown(store.addRig(fresh, toml)));
      this.#say(`Kept on this device: ${fresh}. Calculators fill from it.`);
      this.#find("#rig-choice").focus();
    } catch (error) {
      this.#notKept(error);
    }
  }

  #delete() {
    const { kept } = this.shown;
    if (!kept) return;
    try {
      const putBack = store.removeRig(kept);
      this.shown = { ...this.shown, kept: null, from: "deleted", touched: false };
      this.#showWhich();
      this.#say(`Deleted: ${kept.name}.`, button("undo", "Undo", () => this.#undoDelete(putBack)));
      this.#find(".undo").focus();
    } catch (error) {
      this.#notKept(error);
    }
  }

  /** @param {() => void} putBack */
  #undoDelete(putBack) {
    try {
      putBack();
      const kept = store.openRig();
      if (kept) void this.#open(keptShown(kept));
      this.#say("Put back.");
      this.#find("#rig-choice").focus();
    } catch (error) {
      this.#notKept(error);
    }
  }

  /**
   * @param {string} toml
   * @param {{name?: string, note?: string, without?: string[]}} change
   * @returns {Promise<string | null>}
   */
  async #renamed(toml, change) {
    /** @type {RigText | Refusal | Defect | null} */
    const reply = await this.#ask({ op: "rig_rename", toml, ...change });
    if (reply?.ok) return reply.toml;
    if (!reply) return null;
    this.#refused(reply, "That cannot be taken.");
    this.#showNameError((reply.errors ?? []).filter((error) => error.name === "name").map(({ message }) => message).join(" "));
    return null;
  }

  /** @param {{name?: string, note?: string, without?: string[]}} change */
  async #rename(change) {
    await this.work(); // edits under way are of the text before
    const toml = await this.#busy(this.#renamed(this.shown.toml, change));
    if (toml === null) return;
    this.#take(toml, change.name ?? this.shown.name);
    await this.#busy(this.check());
  }

  /** @param {string} words empty clears it */
  #showNameError(words) {
    setText(this.#find("#rig-name-err"), words);
    markInvalid(this.#find("#rig-name-field"), words !== "");
  }

  /* Files and links */

  #saveFile() {
    const address = URL.createObjectURL(new Blob([this.shown.toml], { type: "application/toml" }));
    const file = `${fileName(this.shown.name)}.toml`;
    /** @type {HTMLElement} */ (h(document, "a", { href: address, download: file })).click();
    URL.revokeObjectURL(address);
    this.shown.saved = true;
    this.#say(`Saved as ${file}.`);
  }

  /** @param {HTMLInputElement} input */
  async #takeFile(input) {
    const [file] = input.files ?? [];
    input.value = ""; // so that the same file can be chosen again
    if (!file) return;
    if (file.size > LARGEST_FILE) {
      this.#say(`${file.name} has ${file.size} bytes; a rig's file has at most ${LARGEST_FILE}.`);
      return;
    }
    const words = `${file.name} cannot be read as a rig.`;
    /** @type {RigText | Refusal | Defect | null} */
    const reply = await base64(file).then(
      (bytes) => this.#ask({ op: "rig_read", bytes }),
      (error) => /** @type {Defect} */ ({ ok: false, defect: error.message }),
    );
    if (reply?.ok) await this.#offerRig(reply.toml, "file", words);
    else if (reply) this.#refusedWhole(reply, words);
  }

  /** The address has changed within the page. */
  followHash() {
    if (isForRigs(location.hash)) void this.openLink(location.hash);
  }

  /** @param {string} hash of a link that carries a rig, or names an example */
  async openLink(hash) {
    if (!this.#mayLeave(() => void this.openLink(hash))) return this.check();
    const example = hash.startsWith(EXAMPLE) ? this.#exampleOption(hash.slice(EXAMPLE.length)) : null;
    await this.#busy(example ? this.#openExample(example) : this.#openCarried(hash));
  }

  /**
   * @param {string} name
   * @returns {HTMLElement | null}
   */
  #exampleOption(name) {
    const options = [...this.section.querySelectorAll("#rig-choice option")];
    return /** @type {HTMLElement | null} */ (options.find((option) => option.getAttribute("value") === `example ${name}`) ?? null);
  }

  /** @param {string} hash */
  async #openCarried(hash) {
    this.waiting = hash;
    this.#showStatus(this.engine.status);
    /** @type {RigOpened | Refusal | Defect | null} */
    const reply = await this.#ask({ op: "rig_open", hash });
    if (!reply) return;
    this.waiting = "";
    if (!reply.ok) {
      this.#refusedWhole(reply, "This link cannot be read as a rig.");
      void this.check();
      return;
    }
    await this.#offerRig(reply.toml, "link", "This link cannot be read as a rig.", reply.notice?.text);
  }

  /**
   * Show a rig that came from elsewhere. It is kept when the reader says so, not before.
   * @param {string} toml
   * @param {string} from
   * @param {string} words where it is refused
   * @param {string} [notice] what is to be known of it
   */
  async #offerRig(toml, from, words, notice = "") {
    /** @type {RigCheck | Refusal | Defect | null} */
    const reply = await this.#ask({ op: "rig_check", toml, system: this.system });
    if (!reply) return;
    if (!reply.ok) {
      this.#refusedWhole(reply, words);
      return;
    }
    const show = async () => {
      await this.#open({ name: reply.name, toml, kept: null, from, touched: false });
      this.#notice(notice);
    };
    if (this.#mayLeave(() => void show())) await show();
  }

  /**
   * A file or link that is no rig: every fault with its line; what is open stays.
   * @param {Refusal | Defect} reply
   * @param {string} words
   */
  #refusedWhole(reply, words) {
    const errors = reply.errors ?? [{ name: null, part: /** @type {const} */ ("value"), message: reply.defect ?? "" }];
    this.#say(words, faultList(errors));
  }

  /** The address that opens this rig anywhere, with what to say of it. */
  async #address() {
    /** @type {{ok: true, link: string, notice: string} | Refusal | Defect | null} */
    const reply = await this.#ask({ op: "rig_link", toml: this.shown.toml });
    if (!reply?.ok) return { refused: reply };
    return { address: `${location.origin}${location.pathname}${reply.link}`, notice: reply.notice };
  }

  /** @param {HTMLElement} button */
  async #paper(button) {
    if (button.matches(".print-sheet")) printSheet(this.section);
    else if (button.dataset.sheet) await this.#busy(this.#showPaper(button.dataset.sheet));
  }

  /** @param {string} sheet */
  async #showPaper(sheet) {
    const { toml } = this.shown;
    const { address = "" } = await this.#address();
    const request = { op: /** @type {const} */ ("rig_sheet"), toml, system: this.system, sheet, link: address };
    /** @type {RigSheet | Refusal | Defect | null} */
    const reply = await this.#ask(request);
    if (!reply?.ok) {
      setText(this.#find(".paper-state"), reply?.errors?.[0]?.message ?? reply?.defect ?? "Python stopped.");
      return;
    }
    const coded = reply.sheet.blocks.some((block) => block.block === "qr" && block.qr);
    /** @type {QrCode | null} */
    const code = coded ? await this.engine.ask({ op: "qr", url: address }, QR_ARCHIVE).then((made) => /** @type {QrCode} */ (made), () => null) : null;
    if (toml !== this.shown.toml) return;
    showSheet(this.section, reply.sheet, code);
    this.#find(".paper-title").focus();
  }

  async #copyLink() {
    const { address, notice, refused } = await this.#address();
    if (!address) {
      if (refused) this.#refusedWhole(refused, "No link could be made.");
      return;
    }
    try {
      await navigator.clipboard.writeText(address);
      this.#say(`Link copied. It carries the whole rig. ${notice}`.trim());
    } catch {
      const field = /** @type {HTMLInputElement} */ (h(document, "input", { type: "text", readonly: true, id: "rig-link", value: address }));
      this.#say("", h(document, "label", { for: "rig-link" }, "Copy this link: "), field);
      field.focus();
      field.select();
    }
  }

  /**
   * Said until the reader does the next thing.
   * @param {string} words empty clears it
   * @param {...Element} ways what can be done about it
   */
  #say(words, ...ways) {
    setText(this.#find(".rig-said"), words);
    this.#find(".rig-offer").replaceChildren(...ways);
  }

  /** Of a rig that another edition put into a link. @param {string} words empty clears it */
  #notice(words) {
    const place = this.#find(".notice");
    setFlag(place, "hidden", words === "");
    setText(place, words);
  }
}

/** What is in a file, as a request carries it. @param {File} file @returns {Promise<string>} */
function base64(file) {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result).replace(/^[^,]*,/, ""));
    reader.onerror = () => reject(reader.error);
    reader.readAsDataURL(file);
  });
}

/** The file of an example. @param {HTMLElement} option */
async function exampleText(option) {
  const response = await fetch(siteAddress(option.dataset.file ?? ""));
  if (!response.ok) throw new Error(`answer ${response.status}`);
  return response.text();
}

/** @param {KeptRig} kept @returns {Shown} */
const keptShown = (kept) => ({ name: kept.name, toml: kept.toml, kept, from: "device", touched: false });

/** @param {Shown} shown */
function whichWords({ kept, from, touched }) {
  if (kept) return touched ? "Kept on this device, without the last change." : "Kept on this device.";
  /** @type {Record<string, string>} */
  const words = {
    example: touched ? "A changed example; not kept yet." : "An example; change it, and keep it as your own.",
    link: "It came with a link, and is not kept on this device.",
    file: "It came from a file, and is not kept on this device.",
    new: "A new rig; not kept yet.",
    deleted: "No longer kept on this device.",
  };
  return words[from];
}

/**
 * @param {string} name
 * @param {string} words
 * @param {() => unknown} act
 */
function button(name, words, act) {
  const made = h(document, "button", { type: "button", class: name }, words);
  made.addEventListener("click", () => void act());
  return made;
}

/** @param {FieldError[]} errors */
function faultList(errors) {
  const lines = errors.map(({ line, name, message }) => {
    const place = [line ? `line ${line}` : "", line && name ? name : ""].filter(Boolean).join(", ");
    return h(document, "li", {}, place ? `${place}: ${message}` : message);
  });
  return h(document, "ul", { class: "faults" }, ...lines);
}

/** @param {string} name */
function fileName(name) {
  return name.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "") || "rig";
}
