/** The controls of the recording check, built once when the page comes alive. */

import { h } from "./dom.js";
import { readShelf } from "./rig-store.js";

/**
 * @import {LevelChoice} from "./recording-types"
 * @import {KeptRig} from "./rig-store.js"
 */

const ACCEPTED = ".wav,.wave,.bwf,.rf64,.bw64,.flac,audio/wav,audio/x-wav,audio/vnd.wave,audio/flac,audio/x-flac";
const NONE = "none";
const TYPED = "typed";

/** @param {string} name @param {string} words */
export function button(name, words) {
  return /** @type {HTMLButtonElement} */ (h(document, "button", { type: "button", class: name }, words));
}

/** @param {string} name @param {[string, string][]} options */
function select(name, options) {
  const items = options.map(([value, words]) => h(document, "option", { value }, words));
  return /** @type {HTMLSelectElement} */ (h(document, "select", { id: `recording-${name}` }, ...items));
}

/** @param {string} name @param {string} words @param {HTMLElement} control @param {string} [hint] */
function labelled(name, words, control, hint = "") {
  control.id = `recording-${name}`;
  const label = h(document, "label", { for: control.id }, words);
  if (hint) label.append(h(document, "small", {}, hint));
  return h(document, "div", { class: `desk-field ${name}` }, label, control);
}

/** @returns {KeptRig[]} */
function keptRigs() {
  try {
    return readShelf().rigs;
  } catch {
    return [];
  }
}

/** @returns {string | null} */
function openRigId() {
  try {
    return readShelf().open;
  } catch {
    return null;
  }
}

/** What full scale stands for: a kept rig, a sensitivity as typed, or nothing. */
export class Levels {
  /** @param {() => void} changed */
  constructor(changed) {
    this.rigs = keptRigs();
    const options = /** @type {[string, string][]} */ ([
      [NONE, "Not known: dB re full scale"],
      [TYPED, "A sensitivity that I type in"],
      ...this.rigs.map(({ id, name }) => /** @type {[string, string]} */ ([id, `My rig “${name}”`])),
    ]);
    this.choice = select("levels", options);
    const open = openRigId();
    if (open && this.rigs.some(({ id }) => id === open)) this.choice.value = open;
    this.text = /** @type {HTMLInputElement} */ (
      h(document, "input", { type: "text", inputmode: "text", autocomplete: "off", spellcheck: "false", "aria-describedby": "recording-sensitivity-error" })
    );
    this.error = h(document, "p", { class: "err", id: "recording-sensitivity-error", role: "alert" });
    this.typed = labelled(
      "sensitivity",
      "System sensitivity",
      this.text,
      "of hydrophone, amplifier and recorder to full scale of the file, as in −163 dB re 1 FS/µPa",
    );
    this.typed.append(this.error);
    this.element = h(document, "div", { class: "desk-levels" }, labelled("levels", "Levels", this.choice), this.typed);
    this.choice.addEventListener("change", () => {
      this.#show();
      if (this.choice.value !== TYPED) changed();
      else if (this.text.value.trim()) changed();
    });
    this.text.addEventListener("change", changed);
    this.#show();
  }

  #show() {
    this.typed.hidden = this.choice.value !== TYPED;
  }

  /** @returns {LevelChoice} */
  get chosen() {
    if (this.choice.value === TYPED) return this.text.value.trim() ? { sensitivity: this.text.value } : null;
    const rig = this.rigs.find(({ id }) => id === this.choice.value);
    return rig ? { rig: rig.toml } : null;
  }

  /** @param {string} words what is wrong, empty for nothing */
  refuse(words) {
    this.error.textContent = words;
    this.text.setAttribute("aria-invalid", String(words !== ""));
  }
}

/** Where files come in: dropped, chosen, a folder, or the demo. */
export class Intake {
  constructor() {
    this.files = /** @type {HTMLInputElement} */ (
      h(document, "input", { type: "file", multiple: true, accept: ACCEPTED, hidden: true, tabindex: -1, class: "pick-files" })
    );
    this.folder = /** @type {HTMLInputElement} */ (
      h(document, "input", { type: "file", multiple: true, webkitdirectory: true, hidden: true, tabindex: -1, class: "pick-folder" })
    );
    this.choose = button("choose main", "Choose recordings");
    this.chooseFolder = button("choose-folder", "Choose a folder");
    this.demo = button("demo", "Try the demo");
    this.choose.addEventListener("click", () => this.files.click());
    this.chooseFolder.addEventListener("click", () => this.folder.click());
    const words = h(
      document,
      "p",
      { class: "drop-words" },
      h(document, "strong", {}, "Drop recordings here, or a folder of them."),
      " WAVE, also RF64 and BW64, and FLAC, of any length. They are read on this device and go nowhere.",
    );
    this.element = h(
      document,
      "div",
      { class: "drop" },
      words,
      h(document, "div", { class: "desk-buttons" }, this.choose, this.chooseFolder, this.demo),
      this.files,
      this.folder,
    );
  }

  /** @param {boolean} on */
  set over(on) {
    this.element.toggleAttribute("data-over", on);
  }
}

/** How far it is, and the two ways to interrupt it. */
export class Progress {
  constructor() {
    this.bar = /** @type {HTMLProgressElement} */ (h(document, "progress", { max: 1, value: 0, "aria-label": "How far the check is" }));
    this.words = h(document, "p", { class: "progress-words" });
    this.pause = button("pause", "Pause");
    this.cancel = button("cancel", "Cancel");
    this.element = h(
      document,
      "div",
      { class: "desk-progress", hidden: true },
      this.bar,
      this.words,
      h(document, "div", { class: "desk-buttons" }, this.pause, this.cancel),
    );
  }
}

/** How a moment is heard. The caution stands before the button. */
export class Hearing {
  constructor() {
    this.file = select("hear-file", []);
    this.start = /** @type {HTMLInputElement} */ (h(document, "input", { type: "text", inputmode: "decimal", autocomplete: "off", value: "0" }));
    this.seconds = /** @type {HTMLInputElement} */ (h(document, "input", { type: "text", inputmode: "decimal", autocomplete: "off", value: "5" }));
    this.channel = select("hear-channel", []);
    this.how = select("hear-how", [
      ["1", "As it is"],
      ["2", "2 times slower"],
      ["4", "4 times slower"],
      ["8", "8 times slower"],
      ["16", "16 times slower"],
      ["shift", "Shifted down"],
    ]);
    this.shift = /** @type {HTMLInputElement} */ (h(document, "input", { type: "text", inputmode: "decimal", autocomplete: "off", value: "20 kHz" }));
    this.raised = select("hear-raised", [
      ["", "As quiet moments need"],
      ["0", "Not at all"],
      ["20", "By 20 dB"],
      ["40", "By 40 dB"],
      ["60", "By 60 dB"],
    ]);
    this.play = button("play main", "Play");
    this.stop = button("stop", "Stop");
    this.words = h(document, "p", { class: "hear-words", role: "status" });
    this.shiftField = labelled("hear-shift", "Lowered by", this.shift, "what lies just above is heard low");
    this.how.addEventListener("change", () => this.#show());
    this.#show();
    this.element = /** @type {HTMLDetailsElement} */ (h(
      document,
      "details",
      { class: "hearing", hidden: true },
      h(document, "summary", {}, "Hear a moment"),
      h(
        document,
        "div",
        { class: "caution", role: "note" },
        h(document, "strong", {}, "Volume down first, headphones off."),
        " A recording holds knocks and boats far louder than what you look for. It comes in softly and is held below a ceiling, but only your own volume knob knows how loud that is.",
      ),
      h(
        document,
        "div",
        { class: "hear-fields" },
        labelled("hear-file", "File", this.file),
        labelled("hear-start", "From", this.start, "seconds into the file"),
        labelled("hear-seconds", "For", this.seconds, "seconds"),
        labelled("hear-channel", "Channel", this.channel),
        labelled("hear-how", "How", this.how),
        this.shiftField,
        labelled("hear-raised", "Made louder", this.raised),
      ),
      h(document, "div", { class: "desk-buttons" }, this.play, this.stop),
      this.words,
    ));
  }

  #show() {
    this.shiftField.hidden = this.how.value !== "shift";
  }
}
