/**
 * The recording check in the page: takes files, has Workers read and judge them, shows what they found
 * so far, keeps it on the way, and plays moments. What anything means is Python's matter.
 */

import { h, setText } from "./dom.js";
import { isIntact } from "./integrity.js";
import { Hearing, Intake, Levels, Progress, button } from "./recording-desk.js";
import { fromDrop, fromInput, fromKept, recordings } from "./recording-files.js";
import { forgetCheck, keptChecks } from "./recording-kept.js";
import { Pace } from "./recording-pace.js";
import { Crew, Run } from "./recording-run.js";
import { allowSound, play, stop } from "./recording-sound.js";
import { reportParts, stackingTable } from "./recording-view.js";
import { runtimeAddress, runtimeHash, siteAddress } from "./site.js";

/**
 * @import {Heard, Moment, Opened, Refused, Report, ReportPicture} from "./recording-types"
 * @import {Given} from "./recording-files.js"
 * @import {KeptCheck} from "./recording-kept.js"
 * @import {Status} from "./engine.js"
 * @import {RuntimeFile} from "./types"
 */

/** When the first report of a check is made that takes no sample, in ms. */
const FIRST_REPORT = 700;
/** How long the width has to stay as it is before pictures are drawn for it, in ms. */
const WIDTH_STAYS = 300;
/** From this many cores on two Workers are the default. */
const MANY_CORES = 4;

/** @param {HTMLElement} section */
export const mountRecording = (section) => new RecordingPage(section);

export class RecordingPage {
  /** @type {Run | null} */ run = null;
  /** @type {Opened | null} */ opened = null;
  /** @type {Report | null} */ report = null;
  #paused = false;
  #pace = new Pace();

  /** @param {HTMLElement} section */
  constructor(section) {
    this.section = section;
    this.base = section.dataset.base ?? "";
    this.intake = new Intake();
    this.levels = new Levels(() => void this.#showReport());
    this.bars = new Progress();
    this.hearing = new Hearing();
    this.python = h(document, "p", { class: "python-state" });
    this.state = h(document, "p", { class: "desk-state", role: "status" });
    this.keeping = h(document, "p", { class: "keep-fault", role: "status" });
    this.error = h(document, "p", { class: "desk-error", role: "alert" });
    this.keptPlace = h(document, "div", { class: "desk-kept" });
    this.filesPlace = h(document, "div", { class: "desk-files" });
    this.two = /** @type {HTMLInputElement} */ (h(document, "input", { type: "checkbox", id: "recording-two" }));
    this.two.checked = navigator.hardwareConcurrency >= MANY_CORES;
    this.exports = this.#exportTools();
    this.crew = new Crew(
      (worker, status) => this.#showPython(worker, status),
      (worker) => {
        this.section.dataset[worker === 0 ? "warm" : "secondWarm"] = "yes"; // for whoever looks after it
      },
    );
    const speed = h(
      document,
      "div",
      { class: "desk-field two" },
      this.two,
      h(document, "label", { for: this.two.id }, "Two at a time", h(document, "small", {}, "faster; takes twice the memory")),
    );
    this.#place(".recording-desk").replaceChildren(
      this.keptPlace,
      this.intake.element,
      h(document, "div", { class: "desk-options" }, this.levels.element, speed),
      this.python,
      this.error,
      this.state,
      this.keeping,
      this.bars.element,
      this.filesPlace,
      this.hearing.element,
    );
    this.#place(".report").before(this.exports);
    section.setAttribute("data-live", "");
    this.#listen();
    void this.#showKept();
    this.#startWhenIdle();
  }

  /** @param {string} selector */
  #place(selector) {
    return /** @type {HTMLElement} */ (this.section.querySelector(selector));
  }

  #listen() {
    const { intake, bars, hearing, section } = this;
    intake.files.addEventListener("change", () => this.#picked(intake.files));
    intake.folder.addEventListener("change", () => this.#picked(intake.folder));
    intake.demo.addEventListener("click", () => void this.#demo());
    for (const control of [intake.choose, intake.chooseFolder]) control.addEventListener("click", () => this.#warmAll());
    this.two.addEventListener("change", () => this.#warmAll());
    section.addEventListener("dragover", (event) => {
      event.preventDefault();
      intake.over = true;
      this.#warmAll();
    });
    section.addEventListener("dragleave", (event) => {
      if (!section.contains(/** @type {Node | null} */ (event.relatedTarget))) intake.over = false;
    });
    section.addEventListener("drop", (event) => void this.#dropped(event));
    bars.pause.addEventListener("click", () => this.#pause(!this.#paused));
    bars.cancel.addEventListener("click", () => this.#cancel());
    hearing.play.addEventListener("click", () => void this.#play());
    hearing.stop.addEventListener("click", stop);
    this.#place(".report").addEventListener("click", (event) => void this.#clicked(event));
    document.addEventListener("visibilitychange", this.#hidden);
    this.#widths.observe(this.#place(".report"));
  }

  /** Pictures are drawn for a width: a phone that is turned gets them anew, when it has settled. */
  #widths = new ResizeObserver(() => {
    clearTimeout(this.#widthTimer);
    this.#widthTimer = setTimeout(() => {
      if (this.report && columnWidth(this.#place(".report")) !== this.#drawnFor) void this.#showReport().catch(() => {});
    }, WIDTH_STAYS);
  });
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #widthTimer;
  #drawnFor = 0;

  /** A page that is out of sight may be ended without another word. */
  #hidden = () => {
    if (document.visibilityState === "hidden") void this.run?.keep();
  };

  #startWhenIdle() {
    if (/** @type {any} */ (navigator).connection?.saveData) return;
    const start = () => this.#warm();
    if ("requestIdleCallback" in globalThis) requestIdleCallback(start, { timeout: 2000 });
    else setTimeout(start, 500);
  }

  /** Start Python, so that it is there when the files are. */
  #warm() {
    if (this.section.isConnected) void this.crew.engine(0).start().catch(() => {}); // the state line says it
  }

  /** Files are about to come: whoever is to work on them starts while the reader looks for them. */
  #warmAll() {
    this.#warm();
    if (!this.section.isConnected || this.crew.engine(0).status.state !== "live") return;
    // Not beside a check, or after one: new files would end it.
    if (this.two.checked && !this.run) void this.crew.engine(1).start().catch(() => {}); // one does it all, then
  }

  /** @param {number} worker @param {Status} status */
  #showPython(worker, { state, words }) {
    if (worker > 0) {
      this.section.dataset.second = state; // for whoever measures
      return;
    }
    this.section.dataset.python = state;
    setText(this.python, state === "live" || state === "idle" ? "" : words);
  }

  /** Leave the page: what was found is kept, the Workers end. */
  leave() {
    stop();
    document.removeEventListener("visibilitychange", this.#hidden);
    this.#widths.disconnect();
    clearTimeout(this.#widthTimer);
    this.run?.stop();
    this.crew.end();
  }

  /* Files in */

  /** @param {HTMLInputElement} input */
  #picked(input) {
    const given = fromInput(input.files);
    input.value = ""; // so that the same files can be chosen again
    if (given.length > 0) void this.#take(given);
  }

  /** @param {DragEvent} event */
  async #dropped(event) {
    event.preventDefault();
    this.intake.over = false;
    if (!event.dataTransfer) return;
    const given = await fromDrop(event.dataTransfer);
    if (given.length > 0) await this.#take(given);
    else this.#fail("Nothing that was dropped is a file. Drop recordings, or a folder of them.");
  }

  async #demo() {
    this.#clear();
    setText(this.state, "Fetching the demo…");
    try {
      const response = await fetch(`${runtimeAddress()}manifest.json`);
      const { demo, files } = await response.json();
      const given = await Promise.all(
        demo.map(async (/** @type {string} */ name) => ({ file: await demoFile(name, files), handle: null })),
      );
      await this.#take(given);
    } catch (error) {
      this.#fail(`The demo did not arrive: ${messageOf(error)}.`);
    }
  }

  /** @param {Given[]} given */
  async #take(given) {
    const { chosen, passed } = recordings(given);
    this.#clear();
    // Before Python has looked at anything: what the browser itself knows.
    this.#showNames(chosen.map(({ file }) => file));
    const files = chosen.map(({ file }) => file);
    const handles = chosen.every(({ handle }) => handle) ? chosen.map(({ handle }) => handle) : [];
    await this.#begin(new Run(this.crew, files, handles, () => this.#stepped()), passed);
  }

  #clear() {
    stop();
    if (this.section.dataset.check === "opening" && this.run?.opening) this.run.stop(); // it would open all of them first
    else this.run?.retire();
    this.run = null;
    this.opened = null;
    if (this.report) this.#place(".report").replaceChildren(); // it is of other files
    this.report = null;
    this.bars.element.hidden = true;
    this.hearing.element.hidden = true;
    this.exports.hidden = true;
    setText(this.keeping, "");
    setText(this.error, "");
    setText(this.state, "");
    this.filesPlace.replaceChildren();
  }

  /** @param {string} words */
  #fail(words) {
    setText(this.state, "");
    setText(this.error, words);
    this.bars.element.hidden = true;
    this.section.dataset.check = "failed";
  }

  /**
   * @param {Run} run
   * @param {number} passed files that were passed over
   */
  async #begin(run, passed) {
    this.run = run;
    this.#paused = false;
    setText(this.bars.pause, "Pause");
    this.section.dataset.check = "opening";
    setText(this.state, "Opening the files…");
    try {
      const opened = await run.open();
      if (this.run !== run) return;
      if (!opened.ok) return this.#fail(refusalWords(opened));
      this.#showOpened(opened, passed);
      const before = await run.plan(this.two.checked ? 2 : 1);
      await this.#work(run, before);
    } catch (error) {
      if (this.run === run && !run.ended) await this.#interrupted(run, messageOf(error));
    }
  }

  /**
   * @param {Run} run
   * @param {number} before frames that an earlier check has left
   */
  async #work(run, before) {
    this.section.dataset.check = "running";
    this.bars.bar.value = 0;
    setText(this.bars.words, "");
    this.#pace = new Pace();
    this.bars.pause.hidden = false;
    this.bars.element.hidden = false;
    this.#place(".made-up").hidden = true;
    setText(this.state, before > 0 ? "Going on where the last check of these files stopped." : "Checking.");
    if (!run.sampled) {
      await run.takeSample();
      await this.#showReport(); // before Workers start that are not there yet: they would delay it
    }
    const now = performance.now();
    this.#pace.measure(now, run.progress.done);
    if (run.progress.done === 0) this.#pace.reportAt(now + FIRST_REPORT);
    else if (before > 0) this.#pace.reportAt(now);
    this.#stepped();
    await run.check();
    if (run.ended) return;
    await Promise.all([this.#showReport(), run.stored]);
    this.section.dataset.check = "done";
    this.bars.element.hidden = true;
    setText(this.state, "Checked all of it. What was found stands below.");
  }

  /**
   * The check broke off: what was found is kept, and may go on.
   * @param {Run} run
   * @param {string} words
   */
  async #interrupted(run, words) {
    await run.cancel();
    if (this.run !== run) return;
    this.#fail(`The check stopped: ${words.replace(/\.$/, "")}.`);
    this.#offerAgain(run);
  }

  async #cancel() {
    const { run } = this;
    if (!run || run.ended) return;
    stop();
    this.bars.element.hidden = true;
    setText(this.state, "Stopping…");
    await run.cancel();
    if (this.run !== run) return;
    this.section.dataset.check = "cancelled";
    setText(this.state, `Cancelled. ${keptWords(run)}`);
    this.#offerAgain(run);
  }

  /** @param {Run} run */
  #offerAgain(run) {
    const again = button("again main", "Go on");
    again.addEventListener("click", () => {
      again.remove();
      void this.#begin(new Run(this.crew, run.files, run.handles, () => this.#stepped(), run.kept), 0);
    });
    this.filesPlace.prepend(again);
  }

  /** @param {boolean} on */
  #pause(on) {
    this.#paused = on;
    this.run?.rest(on);
    setText(this.bars.pause, on ? "Go on" : "Pause");
    setText(this.state, on ? "Paused." : "Checking.");
    this.section.dataset.check = on ? "paused" : "running";
    if (!on && this.run?.sampled) this.#pace.measure(performance.now(), this.run.progress.done);
  }

  /* News of a running check */

  #stepped() {
    const { run } = this;
    if (!run || run.ended) return;
    this.section.dataset.kept = String(run.notKept ? 0 : (run.kept?.framesDone ?? 0)); // frames, for whoever looks after it
    setText(this.keeping, run.notKept ? `${KEEPS_NOTHING} It goes on as long as this page is open.` : "");
    if (this.#paused) return;
    if (run.opening && this.section.dataset.check === "opening") return this.#showOpening(run.opening);
    const now = performance.now();
    const { done, all } = run.progress;
    this.section.dataset.heap = String(run.heap); // bytes of WebAssembly memory, for whoever measures
    if (all > 0 && this.#pace.saysNow(now)) {
      this.bars.bar.value = done / all;
      setText(this.bars.words, this.#progressWords(done, all, now));
    }
    if (run.sampled && this.#pace.reportsNow(now, done, all)) {
      void this.#showReport().catch(() => {}); // a run that ended meanwhile has its own words
    }
  }

  /** @param {{file: number, of: number}} opening */
  #showOpening({ file, of }) {
    this.bars.pause.hidden = true; // it can be cancelled only
    this.bars.element.hidden = false;
    this.bars.bar.value = (file - 1) / of;
    setText(this.bars.words, `Opening file ${file} of ${of}`);
  }

  /**
   * @param {number} done
   * @param {number} all
   * @param {number} now
   */
  #progressWords(done, all, now) {
    const part = `${Math.floor((100 * done) / all)}\u00a0% checked`;
    const left = this.#pace.left(now, done, all);
    return left < Infinity ? `${part}, ${lengthWords(left / 1000)} left` : part;
  }

  /* What was found */

  /** @param {File[]} files */
  #showNames(files) {
    const when = new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeStyle: "short" });
    const rows = files.map(({ name, size, lastModified }) => [name, sizeWords(size), when.format(new Date(lastModified))]);
    this.#showFiles(["File", "Size", "Changed"], rows);
  }

  /**
   * @param {Opened} opened
   * @param {number} passed
   */
  #showOpened(opened, passed) {
    this.opened = opened;
    const rows = opened.files.map(({ name, format, length, started, faults }) => [name, length, format, started, faults.join(" ")]);
    this.#showFiles(["File", "Length", "Format", "Started", "Faults of the file"], rows);
    const words = [opened.words];
    if (passed > 0) words.push(`${passed} other ${passed === 1 ? "file was" : "files were"} passed over.`);
    this.filesPlace.prepend(h(document, "p", { class: "opened-words" }, words.join(" ")));
    if (opened.refused.length > 0) {
      const items = opened.refused.map((words) => h(document, "li", {}, words));
      this.filesPlace.append(h(document, "p", {}, "Left out:"), h(document, "ul", { class: "refused" }, ...items));
    }
    this.#fillHearing(opened);
  }

  /** @param {string[]} head @param {string[][]} rows */
  #showFiles(head, rows) {
    const fold = h(
      document,
      "details",
      { open: rows.length <= 6 },
      h(document, "summary", {}, rows.length === 1 ? "1 file" : `${rows.length} files`),
      stackingTable(document, "Files", head, rows),
    );
    this.filesPlace.replaceChildren(fold);
  }

  async #showReport() {
    const { run } = this;
    if (!run?.opened || run.progress.done === 0) return;
    const begun = performance.now();
    const width = columnWidth(this.#place(".report"));
    const report = await run.report(this.levels.chosen, width);
    if (this.run !== run) return;
    const now = performance.now();
    this.#pace.reported(now, now - begun);
    if (!report.ok) return this.levels.refuse(refusalWords(report));
    this.levels.refuse("");
    this.report = report;
    this.#drawnFor = width;
    this.#place(".report").replaceChildren(
      ...reportParts(document, report, {
        base: this.base,
        draw: pictureElement,
        hear: (moment) => this.#offerToHear(moment),
        save: (picture, kind) => void this.#savePicture(picture, kind),
      }),
    );
    this.#place(".report").dataset.reports = String(Number(this.#place(".report").dataset.reports ?? 0) + 1);
    this.exports.hidden = false;
  }

  /* Files out */

  #exportTools() {
    const kinds = /** @type {[string, string][]} */ ([
      ["html", "Save the report"],
      ["csv", "Save CSV"],
      ["json", "Save JSON"],
    ]);
    const buttons = kinds.map(([kind, words]) => {
      const save = button(`save-${kind}`, words);
      save.addEventListener("click", () => void this.#export(kind));
      return save;
    });
    return h(document, "div", { class: "desk-buttons report-exports", hidden: true }, ...buttons);
  }

  /** @param {string} kind */
  async #export(kind) {
    try {
      /** @type {{ok: true, files: {name: string, type: string, text: string}[]} | Refused | undefined} */
      const made = await this.run?.ask({ op: "export", kind, level: this.levels.chosen, handbook: siteAddress("") });
      if (!made) return;
      if (!made.ok) return this.#fail(refusalWords(made));
      for (const { name, type, text } of made.files) save(new Blob([text], { type }), name);
    } catch (error) {
      this.#fail(`It could not be saved: ${messageOf(error)}.`);
    }
  }

  /**
   * @param {ReportPicture} picture
   * @param {"svg" | "png"} kind
   */
  async #savePicture(picture, kind) {
    try {
      if (kind === "png") return save(await asPng(picture.svg[0]), `${picture.name}.png`);
      const asked = { op: "picture", level: this.levels.chosen, name: picture.name, width: 1000 };
      /** @type {{ok: true, svg: string} | Refused | undefined} */ const made = await this.run?.ask(asked);
      if (made?.ok) save(new Blob([made.svg], { type: "image/svg+xml" }), `${picture.name}.svg`);
    } catch (error) {
      this.#fail(`“${picture.title}” could not be saved: ${messageOf(error)}.`);
    }
  }

  /* Hearing */

  /** @param {Opened} opened */
  #fillHearing(opened) {
    const { file, channel, element } = this.hearing;
    file.replaceChildren(...opened.files.map(({ name }, n) => h(document, "option", { value: n }, name)));
    const channels = opened.channels > 1 ? ["", ...Array.from({ length: opened.channels }, (_, n) => String(n))] : [""];
    channel.replaceChildren(
      ...channels.map((value) => h(document, "option", { value }, value === "" ? "All" : `Channel ${Number(value) + 1}`)),
    );
    element.hidden = false;
  }

  /** @param {Moment} moment */
  #offerToHear({ file, start, seconds, channel }) {
    const { hearing } = this;
    hearing.file.value = String(file);
    hearing.start.value = String(start);
    hearing.seconds.value = String(seconds);
    hearing.channel.value = channel === null ? "" : String(channel);
    hearing.element.open = true;
    hearing.element.scrollIntoView({ block: "center" });
    hearing.play.focus();
  }

  /** A picture over time was clicked: that moment is offered. @param {MouseEvent} event */
  async #clicked(event) {
    const area = /** @type {Element} */ (event.target).closest(".moments");
    if (!area || !this.run) return;
    const { left, width } = area.getBoundingClientRect();
    const [from, to] = ["data-from", "data-to"].map((name) => Number(area.getAttribute(name)));
    const seconds = from + ((event.clientX - left) / width) * (to - from);
    /** @type {{ok: true, at: Moment} | Refused} */ const found = await this.run.ask({ op: "at", seconds });
    if (found.ok) this.#offerToHear(found.at);
    else setText(this.state, refusalWords(found));
  }

  async #play() {
    const { hearing, run } = this;
    if (!run) return;
    allowSound();
    setText(hearing.words, "Reading…");
    const request = {
      file: Number(hearing.file.value),
      start: hearing.start.value,
      seconds: hearing.seconds.value,
      channel: hearing.channel.value === "" ? null : Number(hearing.channel.value),
      how: hearing.how.value,
      shift: hearing.shift.value,
      raised: hearing.raised.value,
    };
    try {
      const reply = await this.crew.engine(0).send({ type: "hear", request: JSON.stringify(request) }, 60_000);
      /** @type {Heard | Refused} */ const heard = JSON.parse(reply.text);
      if (!heard.ok) return setText(hearing.words, refusalWords(heard));
      setText(hearing.words, heard.words);
      this.section.dataset.playing = "yes";
      play(reply.samples, heard.channels, heard.rate, () => {
        this.section.dataset.playing = "no";
      });
    } catch (error) {
      setText(hearing.words, `It cannot be heard: ${messageOf(error)}.`);
    }
  }

  /* What is kept of earlier checks */

  async #showKept() {
    try {
      const kept = await keptChecks(runtimeHash());
      this.keptPlace.replaceChildren(...kept.map((check) => this.#keptItem(check)));
    } catch {
      this.keptPlace.replaceChildren(); // a browser that keeps nothing has nothing to go on with
    }
  }

  /** @param {KeptCheck} check */
  #keptItem(check) {
    const whole = check.framesDone >= check.frames;
    const part = Math.floor((100 * check.framesDone) / check.frames);
    const when = new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeStyle: "short" }).format(new Date(check.at));
    const words = whole ? `Checked ${when}: ${check.title}` : `An unfinished check, ${when}: ${check.title} ${part}\u00a0% is done.`;
    const forget = button("forget", "Forget it");
    const item = h(document, "div", { class: "kept" }, h(document, "p", {}, words));
    if (check.handles.length > 0) {
      const goOn = button("go-on main", whole ? "Show it" : "Go on");
      goOn.addEventListener("click", () => void this.#goOn(check, item));
      item.append(goOn);
    } else {
      const then = whole ? "what was found is there at once" : "it goes on";
      item.append(h(document, "p", {}, `Choose or drop the same files again, and ${then}.`));
    }
    item.append(forget);
    forget.addEventListener("click", () => {
      item.remove();
      void forgetCheck(check.key);
    });
    return item;
  }

  /** @param {KeptCheck} check @param {HTMLElement} item */
  async #goOn(check, item) {
    try {
      const given = await fromKept(check.handles);
      item.remove();
      await this.#take(given);
    } catch (error) {
      this.#fail(`${messageOf(error)}. Choose the files again.`);
    }
  }
}

const KEEPS_NOTHING = "This browser keeps nothing of the check: its storage is full, or closed to this page.";

/** What is left of a check that was cancelled. @param {Run} run */
function keptWords(run) {
  if (run.notKept) return `${KEEPS_NOTHING} It goes on as long as this page is open.`;
  if (!run.kept) return "Nothing was found yet that could be kept.";
  return "What was found so far is kept on this device.";
}

/**
 * @param {string} name
 * @param {RuntimeFile[]} files
 */
async function demoFile(name, files) {
  const response = await fetch(runtimeAddress() + name);
  if (!response.ok) throw new Error(`${name} is missing (answer ${response.status})`);
  const bytes = await response.arrayBuffer();
  const wanted = files.find((file) => file.path === name);
  if (!wanted || !(await isIntact(bytes, wanted))) throw new Error(`${name} is damaged`);
  return new File([bytes], name, { type: "audio/wav", lastModified: 0 });
}

/** A picture's text becomes an element; nothing in it runs. @param {string} text */
function pictureElement(text) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  return /** @type {Element} */ (document.importNode(parsed, true));
}

/** @param {string} text @returns {Promise<Blob>} */
async function asPng(text) {
  const image = new Image();
  image.src = `data:image/svg+xml;base64,${btoa(String.fromCharCode(...new TextEncoder().encode(text)))}`;
  await image.decode();
  const canvas = h(document, "canvas", { width: image.width * 2, height: image.height * 2 });
  const paper = /** @type {HTMLCanvasElement} */ (canvas);
  paper.getContext("2d")?.drawImage(image, 0, 0, paper.width, paper.height);
  return new Promise((resolve, reject) =>
    paper.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("the browser made no picture")))),
  );
}

/** Of what stands in an element, CSS pixels. @param {HTMLElement} element */
function columnWidth(element) {
  const { paddingLeft, paddingRight } = getComputedStyle(element);
  return Math.floor(element.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight));
}

/** @param {Blob} blob @param {string} name */
function save(blob, name) {
  const address = URL.createObjectURL(blob);
  h(document, "a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** @param {Refused} refused */
const refusalWords = (refused) => refused.errors.map(({ message }) => message).join(" ");

/** @param {unknown} error */
const messageOf = (error) => (error instanceof Error ? error.message : String(error));

/** @param {number} bytes */
function sizeWords(bytes) {
  if (bytes < 1e3) return `${bytes}\u00a0B`;
  if (bytes < 1e6) return `${Math.round(bytes / 1e3)}\u00a0kB`;
  return bytes < 1e9 ? `${(bytes / 1e6).toFixed(1)}\u00a0MB` : `${(bytes / 1e9).toFixed(2)}\u00a0GB`;
}

/** @param {number} seconds */
function lengthWords(seconds) {
  if (seconds < 90) return `about ${Math.max(1, Math.round(seconds))}\u00a0s`;
  return seconds < 5400 ? `about ${Math.round(seconds / 60)}\u00a0min` : `about ${(seconds / 3600).toFixed(1)}\u00a0h`;
}
