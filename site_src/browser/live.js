/** Makes one prerendered calculator live: what the reader does goes to Python, its answer into the slots. */

import { showAnswer, showDrawingWords, showErrors, showPlotWords, showState } from "./answer.js";
import { h, setFlag, setText } from "./dom.js";
import { latestWins } from "./engine.js";
import {
  applyShownWhen,
  countRows,
  findGroup,
  inputBoxes,
  readFields,
  renderGroup,
  valueOf,
  writeFields,
  writeUnits,
} from "./fields.js";
import { putLog, readFile, taken } from "./log.js";
import { Picture } from "./picture.js";
import { chosenSystem } from "./settings.js";
import { copyLink, saveExport, showQr } from "./share.js";

/**
 * @import {Answer, AnswerRequest, Converted, Decl, Defect, DrawingSpec, FieldError, Filled} from "./types"
 * @import {OpenedLink, PlotSpec, QrCode, Refusal, Request, SolveRequest, System, Texts} from "./types"
 * @import {Engine, Status} from "./engine.js"
 */

const QR_ARCHIVE = "segno.zip";

export class LiveCalculator {
  /** @type {Picture<PlotSpec> | null} */ #curve = null;
  /** @type {Picture<DrawingSpec> | null} */ #drawing = null;
  /** The curve on show belongs to another answer than the numbers on show. */
  #curveIsOld = false;
  /** What the reader has changed waits for Python. */
  #pending = "";
  /** A link that Python failed to read: it is opened when Python is there after all. */
  #link = "";
  /** A step by arrow key is under way; further ones are dropped, so that a held key cannot pile up. */
  #stepping = false;
  /** How many things that the reader asked for are under way. */
  #works = 0;
  /** @type {WeakMap<HTMLInputElement, string>} */ #committed = new WeakMap();
  #stopWatching = () => {};
  /** The form holds something else than the page was built with. */
  touched = false;

  /**
   * @param {HTMLElement} section
   * @param {Engine} engine
   * @param {() => Promise<Decl>} declare the declaration of this calculator; only rows need it
   */
  constructor(section, engine, declare) {
    this.section = section;
    this.engine = engine;
    this.declare = declare;
    this.initial = readFields(section);
    this.update = latestWins(() => this.#recalculate(null));
    const box = /** @type {HTMLElement | null} */ (section.querySelector(".plot-box"));
    if (box) {
      const load = () => import("./plot.js").then((module) => module.drawPlot);
      this.#curve = new Picture(box, `${section.id}-live`, load);
    }
    const sheet = /** @type {HTMLElement | null} */ (section.querySelector(".drawing-box"));
    if (sheet) {
      const load = () => import("./drawing.js").then((module) => module.drawDrawing);
      this.#drawing = new Picture(sheet, `${section.id}-drawing-live`, load);
    }
    this.#listen();
    this.#stopWatching = engine.watch((status) => this.#showStatus(status));
  }

  get id() {
    return this.section.dataset.calculator ?? "";
  }

  get system() {
    return /** @type {System} */ (this.section.dataset.system);
  }

  /** Let go of a calculator whose page is gone. */
  stop() {
    this.#stopWatching();
  }

  /* Answers */

  /**
   * Ask for the answer to the form as it stands. It is read after Python is there, not before.
   * @param {SolveRequest | null} solve
   */
  async #recalculate(solve) {
    if (!(await this.#started())) return;
    const request = this.#request(solve);
    /** @type {Answer | Refusal | Defect | null} */
    const answer = await this.#ask(request);
    if (answer) this.#show(request, answer);
  }

  /** False where Python did not start: the engine has then told every calculator why. */
  #started() {
    return this.engine.start().then(
      () => true,
      () => false,
    );
  }

  /**
   * The reply, or null where Python failed.
   * @template T
   * @param {Request} request
   * @returns {Promise<T | null>}
   */
  #ask(request) {
    return this.engine.ask(request).then(
      (reply) => /** @type {T} */ (reply),
      () => null,
    );
  }

  /**
   * @param {SolveRequest | null} solve
   * @returns {AnswerRequest}
   */
  #request(solve) {
    const { fields, tolerances } = readFields(this.section);
    const plot = this.#curveIsOld && Boolean(this.#plotFold?.open);
    return {
      op: "answer",
      calculator: this.id,
      fields,
      tolerances,
      system: this.system,
      plot,
      solve,
    };
  }

  /**
   * @param {AnswerRequest} request
   * @param {Answer | Refusal | Defect} answer
   */
  #show(request, answer) {
    this.#pending = "";
    if (answer.ok) {
      showAnswer(this.section, answer);
      if (request.plot && answer.plot) this.#showCurve(answer);
      if (answer.drawing) this.#showDrawing(answer.drawing);
    } else {
      showErrors(this.section, answer.errors ?? [defectError(answer.defect)]);
    }
    this.#showStatus(this.engine.status);
  }

  /** @param {Answer} answer */
  #showCurve(answer) {
    if (!answer.plot) return;
    this.#curveIsOld = false;
    this.#curve?.show(answer.plot);
    showPlotWords(this.section, answer.plot);
  }

  /** @param {DrawingSpec} drawing */
  #showDrawing(drawing) {
    this.#drawing?.show(drawing);
    showDrawingWords(this.section, drawing);
  }

  /** @returns {HTMLDetailsElement | null} */
  get #plotFold() {
    return this.section.querySelector("details.plot");
  }

  /** @param {string} [words] */
  #changed(words = "your change waits") {
    this.#curveIsOld = true;
    this.touched = true;
    this.#link = ""; // the form goes on from what stands in it
    if (this.engine.status.state !== "live") this.#pending = words;
    this.#showStatus(this.engine.status);
    return this.busy(this.update());
  }

  /**
   * While something that the reader asked for is on its way, the section says so.
   * @param {Promise<void>} work
   */
  busy(work) {
    this.#works += 1;
    this.section.setAttribute("aria-busy", "true");
    return work.finally(() => {
      this.#works -= 1;
      if (this.#works === 0) this.section.removeAttribute("aria-busy");
    });
  }

  /* State */

  /** @param {Status} status */
  #showStatus({ state, words }) {
    const shown = state === "idle" ? "example" : state;
    const before = this.section.dataset.state;
    const text = this.section.classList.contains("stale") ? "last good answer" : words;
    const waiting = this.#pending && state !== "live" ? `${this.#pending}: ${words}` : text;
    showState(this.section, shown, waiting, { retry: state === "failed" });
    if (state === "live" && before !== "live") this.#becomeLive();
  }

  #becomeLive() {
    for (const control of this.section.querySelectorAll("button, .units input, .log-file")) {
      setFlag(control, "disabled", false);
    }
    if (this.system !== chosenSystem()) void this.convert(chosenSystem());
    else void this.update();
    if (this.#link) void this.openLink(this.#link);
  }

  /* What the reader does */

  #listen() {
    const { section } = this;
    section.addEventListener("submit", (event) => event.preventDefault());
    section.addEventListener("focusin", (event) => this.#focused(event));
    section.addEventListener("input", (event) => this.#typed(event));
    section.addEventListener("keydown", (event) => this.#key(/** @type {KeyboardEvent} */ (event)));
    section.addEventListener("click", (event) => this.#clicked(event));
    section.addEventListener("change", (event) => this.#fileChosen(event));
    for (const name of /** @type {const} */ (["paste", "drop"])) {
      section.addEventListener(name, (event) => this.#logGiven(event));
    }
    section.addEventListener("dragover", (event) => {
      if (/** @type {Element} */ (event.target).closest('[data-kind="log"]')) event.preventDefault();
    });
    for (const fold of section.querySelectorAll("details")) {
      fold.addEventListener("toggle", () => this.#toggled(fold));
    }
  }

  /** @param {Event} event */
  #focused({ target }) {
    void this.#started();
    if (target instanceof HTMLInputElement) this.#committed.set(target, target.value);
  }

  /** @param {Event} event */
  #typed({ target }) {
    const field = /** @type {HTMLElement} */ (target);
    if (field instanceof HTMLSelectElement && field.matches(".fill-choice")) {
      void this.busy(this.#fillFrom(field));
      return;
    }
    if (!field.closest(".in")) return;
    if (field instanceof HTMLSelectElement) applyShownWhen(this.section);
    void this.#changed();
  }

  /* Rows of measurements: typed as any field, or given as a whole. */

  /** @param {Event} event */
  #fileChosen({ target }) {
    if (!(target instanceof HTMLInputElement) || !target.matches(".log-file")) return;
    const box = /** @type {HTMLElement} */ (target.closest(".in"));
    if (target.files?.[0]) void this.busy(this.#takeLog(box, target.files[0]));
  }

  /** @param {ClipboardEvent | DragEvent} event */
  #logGiven(event) {
    const box = /** @type {Element} */ (event.target).closest('[data-kind="log"]');
    const given = taken("dataTransfer" in event ? event.dataTransfer : event.clipboardData);
    if (!box || !given) return;
    event.preventDefault();
    void this.busy(this.#takeLog(/** @type {HTMLElement} */ (box), given));
  }

  /**
   * @param {HTMLElement} box
   * @param {File | string} given
   */
  async #takeLog(box, given) {
    const read = typeof given === "string" ? { text: given } : await readFile(given);
    if ("problem" in read) {
      showErrors(this.section, [{ name: box.dataset.input ?? "", part: "value", message: read.problem }]);
      return;
    }
    putLog(/** @type {HTMLTextAreaElement} */ (box.querySelector(".log")), read.text);
    await this.#changed();
  }

  /** @param {Element} button */
  #emptyLog(button) {
    const box = /** @type {Element} */ (button.closest(".in"));
    const area = /** @type {HTMLTextAreaElement} */ (box.querySelector(".log"));
    putLog(area, "");
    /** @type {HTMLInputElement} */ (box.querySelector(".log-file")).value = "";
    area.focus();
    void this.#changed();
  }

  /**
   * Fill the fields from the row that was chosen. If Python fails, they keep their texts.
   * @param {HTMLSelectElement} select
   */
  async #fillFrom(select) {
    if (this.engine.status.state !== "live") this.#pending = "your choice waits";
    this.#showStatus(this.engine.status);
    const box = /** @type {HTMLElement} */ (select.closest(".fill"));
    const fill = box.dataset.fill ?? "";
    const asked = { calculator: this.id, fill, row: select.value, system: this.system };
    /** @type {Filled | Refusal | null} */
    const filled = await this.#ask({ op: "fill", ...asked });
    if (!filled?.ok) return;
    const { fields, tolerances } = readFields(this.section);
    writeFields(
      this.section,
      { ...fields, ...filled.fields },
      { ...tolerances, ...filled.tolerances },
    );
    const row = select.selectedOptions[0]?.textContent ?? "";
    const count = Object.keys(filled.fields).length;
    setText(this.section.querySelector(".tool-status"), `${count} fields filled: ${row}.`);
    await this.#changed();
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const field = event.target;
    if (!(field instanceof HTMLInputElement) || !field.matches(".value, .tolerance, .solve-target")) return;
    if (event.key === "Enter") {
      event.preventDefault();
      this.#committed.set(field, field.value);
      if (field.matches(".solve-target")) void this.busy(this.#solve());
    } else if (event.key === "Escape") {
      this.#restore(field);
    } else if (field.matches(".value") && (event.key === "ArrowUp" || event.key === "ArrowDown")) {
      event.preventDefault();
      void this.busy(this.#step(field, event.key === "ArrowUp" ? 1 : -1));
    }
  }

  /** @param {HTMLInputElement} field */
  #restore(field) {
    const kept = this.#committed.get(field);
    if (kept === undefined || kept === field.value) return;
    field.value = kept;
    if (field.closest(".in")) void this.#changed();
  }

  /**
   * @param {HTMLInputElement} field
   * @param {1 | -1} direction
   */
  async #step(field, direction) {
    if (this.#stepping) return;
    this.#stepping = true;
    const step = { name: field.name, text: field.value, direction, system: this.system };
    /** @type {{ok: true, text: string} | Refusal | null} */
    const reply = await this.#ask({ op: "step", calculator: this.id, ...step });
    this.#stepping = false;
    if (reply?.ok && field.value === step.text) field.value = reply.text;
    await this.#changed(); // also when refused: the field then says why
  }

  /** @param {Event} event */
  #clicked({ target }) {
    const control = /** @type {HTMLElement} */ (target).closest("button, .units input");
    if (!control) return;
    const rows = /** @type {HTMLElement | null} */ (control.closest("[data-group]"));
    const group = rows?.dataset.group ?? "";
    if (control.matches(".sign")) this.#changeSign(control);
    else if (control.matches(".log-empty")) this.#emptyLog(control);
    else if (control.matches(".retry")) void this.#started();
    else if (control.matches(".add-row")) void this.busy(this.#addRow(group, 1));
    else if (control.matches(".remove-row")) void this.busy(this.#addRow(group, -1));
    else if (control.matches(".reset")) void this.reset();
    else if (control.matches(".copy-link")) void copyLink(this.section);
    else if (control.matches(".show-qr")) void this.#qr();
    else if (control.matches(".save-export")) saveExport(/** @type {Element} */ (control.closest("details")));
    else if (control.matches(".solve-go")) void this.busy(this.#solve());
    else if (control.matches(".units input")) this.#chooseUnits(/** @type {HTMLInputElement} */ (control));
  }

  /** @param {HTMLDetailsElement} fold */
  #toggled(fold) {
    if (!fold.open) return;
    if (fold.matches(".solve")) this.#listSolveInputs();
    if (fold.matches(".plot") && this.#curveIsOld) void this.update();
  }

  /** @param {Element} button */
  #changeSign(button) {
    const field = valueOf(/** @type {Element} */ (button.closest(".in")));
    field.value = /^\s*[-−]/.test(field.value) ? field.value.replace(/[-−]\s*/, "") : `-${field.value}`;
    void this.#changed();
  }

  async #qr() {
    const status = this.section.querySelector(".tool-status");
    try {
      /** @type {(url: string) => Promise<QrCode>} */
      const make = (url) => this.engine.ask({ op: "qr", url }, QR_ARCHIVE);
      await showQr(this.section, make);
    } catch (error) {
      setText(status, `No QR code: ${/** @type {Error} */ (error).message}`);
    }
  }

  /* Units. The switch is for all calculators at once: the page passes it on. */

  /** @param {HTMLInputElement} radio */
  #chooseUnits(radio) {
    const detail = /** @type {System} */ (radio.value);
    this.section.dispatchEvent(new CustomEvent("wetside:units", { detail, bubbles: true }));
  }

  /** @param {System} system */
  async convert(system) {
    if (system === this.system) return;
    const texts = readFields(this.section);
    /** @type {Converted | null} */
    const converted = await this.#ask({ op: "convert", calculator: this.id, ...texts, system });
    if (!converted) return;
    this.section.dataset.system = system;
    writeFields(this.section, converted.fields, converted.tolerances);
    writeUnits(this.section, converted.units);
    this.#markUnits();
    await this.#changed();
  }

  #markUnits() {
    for (const radio of this.section.querySelectorAll(".units input")) {
      const input = /** @type {HTMLInputElement} */ (radio);
      input.checked = input.value === this.system;
    }
  }

  /* Rows */

  /**
   * @param {string} name
   * @param {1 | -1} change
   */
  async #addRow(name, change) {
    const decl = await this.declare();
    const { fields } = readFields(this.section);
    const group = findGroup(decl, name);
    const count = countRows(decl, group, fields) + change;
    this.#setRows(decl, name, count);
    const added = this.section.querySelector(`[data-group="${name}"] [data-row="${count}"] .value`);
    if (change > 0) /** @type {HTMLElement | null} */ (added)?.focus();
    else this.#rowButton(name, count > 1 ? ".remove-row" : ".add-row")?.focus();
    await this.#changed();
  }

  /**
   * @param {string} group
   * @param {string} button
   * @returns {HTMLElement | null}
   */
  #rowButton(group, button) {
    return this.section.querySelector(`[data-group="${group}"] ${button}`);
  }

  /**
   * Draw the rows anew with the texts they had; new ones get the declared values.
   * @param {Decl} decl
   * @param {string} name
   * @param {number} count
   */
  #setRows(decl, name, count) {
    const group = findGroup(decl, name);
    const { fields, tolerances } = readFields(this.section);
    const wanted = { ...fields };
    for (const input of decl.inputs.filter((other) => other.group === name)) {
      for (let row = 2; row <= group.most; row++) {
        const key = `${input.name}_${row}`;
        if (row > count) delete wanted[key];
        else wanted[key] ??= input.kind === "number" ? input[this.system].default_text : input.default;
      }
    }
    const view = { base: this.section.id, fields: wanted, tolerances, system: this.system };
    const fresh = renderGroup(document, decl, group, view);
    this.section.querySelector(`[data-group="${name}"]`)?.replaceWith(fresh);
    for (const button of fresh.querySelectorAll("button")) button.disabled = false;
    applyShownWhen(this.section);
  }

  /**
   * @param {Texts} fields
   * @param {Texts} tolerances
   */
  async #fill(fields, tolerances) {
    if (this.section.querySelector("[data-group]")) {
      const decl = await this.declare();
      for (const group of decl.groups) this.#setRows(decl, group.name, countRows(decl, group, fields));
    }
    writeFields(this.section, fields, tolerances);
    applyShownWhen(this.section);
  }

  /** The texts of the form as it stands. */
  texts() {
    return readFields(this.section);
  }

  /**
   * Fill the form from elsewhere; what is not given keeps its text.
   * @param {Texts} fields
   * @param {Texts} tolerances
   */
  take(fields, tolerances) {
    const now = this.texts();
    const given = Object.fromEntries(Object.keys(fields).map((name) => [name, tolerances[name] ?? ""]));
    const work = this.#fill({ ...now.fields, ...fields }, { ...now.tolerances, ...given });
    return this.busy(work.then(() => this.#changed()));
  }

  /** Back to what the page was built with. */
  reset() {
    return this.busy(this.#reset());
  }

  async #reset() {
    if (location.hash.startsWith(`#${this.id}?`)) history.replaceState(history.state, "", location.pathname);
    this.#notice("");
    this.section.dataset.system = "metric"; // what the page was built with
    await this.#fill(this.initial.fields, this.initial.tolerances);
    if (chosenSystem() === "us") await this.convert("us");
    else await this.#changed();
    this.touched = false;
  }

  /* Links */

  /**
   * Busy until its answer stands: the fields show another one until then, also after Python is there.
   * @param {string} hash
   */
  openLink(hash) {
    return this.busy(this.#openLink(hash));
  }

  /** @param {string} hash */
  async #openLink(hash) {
    this.#link = "";
    this.#pending = "the values of the link wait";
    this.#showStatus(this.engine.status);
    /** @type {OpenedLink | Refusal | Defect | null} */
    const link = await this.#ask({ op: "open_link", hash, system: this.system });
    if (!link) {
      this.#link = hash;
      return;
    }
    this.#pending = "";
    if (link.ok) await this.#showLink(link);
    else showErrors(this.section, link.errors ?? [defectError(link.defect)]);
    this.#showStatus(this.engine.status);
  }

  /** @param {OpenedLink} link */
  async #showLink(link) {
    await this.#fill(link.fields, link.tolerances);
    this.#notice(link.notice ? noticeWords(link.notice) : "");
    await this.#changed();
    if (link.errors.length > 0) showErrors(this.section, link.errors);
  }

  /** @param {string} words */
  #notice(words) {
    const place = /** @type {HTMLElement} */ (this.section.querySelector(".notice"));
    setFlag(place, "hidden", words === "");
    setText(place, words);
  }

  /* Solving */

  #listSolveInputs() {
    const select = /** @type {HTMLSelectElement} */ (this.section.querySelector(".solve-input"));
    const kept = select.value;
    const asked = inputBoxes(this.section).filter((b) => !b.hidden && b.dataset.kind === "number");
    select.replaceChildren(
      ...asked.map((box) => {
        const value = box.dataset.input ?? "";
        return h(document, "option", { value, selected: value === kept }, labelOf(box));
      }),
    );
  }

  async #solve() {
    /** @type {(name: string) => string} */
    const value = (name) => {
      const control = this.section.querySelector(name);
      return /** @type {HTMLInputElement} */ (control).value;
    };
    this.#curveIsOld = true;
    await this.#recalculate({
      output: value(".solve-output"),
      target: value(".solve-target"),
      input: value(".solve-input"),
    });
  }
}

/** @param {HTMLElement} box */
function labelOf(box) {
  const legend = box.closest("fieldset")?.querySelector("legend")?.textContent;
  const label = box.querySelector("label")?.textContent ?? "";
  return legend ? `${legend}: ${label}` : label;
}

/** @param {{text: string, then: string | null, now: string | null}} notice */
function noticeWords({ text, then, now }) {
  const parts = [text];
  if (then) parts.push(`Then: ${then}.`);
  if (now) parts.push(`Now: ${now}.`);
  return parts.join(" ");
}

/**
 * A defect is ours, not the reader's: it is named as one.
 * @param {string} text
 * @returns {FieldError}
 */
function defectError(text) {
  const message = `This is a defect of the calculator, not of your values: ${text}`;
  return { name: null, part: "value", message };
}
