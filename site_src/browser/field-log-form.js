/** The form of one entry. It shows, reads and marks; it keeps nothing. */

import { h, setText } from "./dom.js";
import { EVENTS, FIELDS } from "./field-log-format.js";
import { clockNow, offsetText } from "./new-entry.js";

/** @import {Child} from "./dom.js" */
/** @import {Entry} from "./field-log-format.js" */

const LABELS = new Map(FIELDS.map(({ name, label }) => [name, label]));
/** What stands in a form but not, under that name, in an entry. */
const CLOCK = ["date", "time", "offset"];

/** @param {string} word */
export const capital = (word) => word[0].toUpperCase() + word.slice(1);

/** @param {string} name */
const idOf = (name) => `field-log-${name}`;

/**
 * @param {string} name
 * @param {string} label
 * @param {Record<string, string>} attributes of the input
 * @param {string} [hint]
 */
function field(name, label, attributes, hint = "") {
  const id = idOf(name);
  const about = { id, name, autocomplete: "off", "aria-describedby": `${id}-hint ${id}-err` };
  const { rows, ...others } = attributes;
  const input = rows
    ? h(document, "textarea", { ...about, rows, ...others })
    : h(document, "input", { ...about, type: "text", ...others });
  return h(
    document,
    "div",
    { class: `field-of ${attributes.class ?? ""}`, "data-field": name },
    h(document, "label", { for: id }, label),
    h(document, "span", { class: "hint", id: `${id}-hint` }, hint),
    input,
    h(document, "p", { class: "err", id: `${id}-err` }),
  );
}

/** @param {string} name @param {Record<string, string>} [attributes] @param {string} [hint] */
const own = (name, attributes = {}, hint = "") => field(name, LABELS.get(name) ?? name, attributes, hint);

/** @param {...Child} fields */
const row = (...fields) => h(document, "div", { class: "field-row" }, ...fields);

function events() {
  const choices = EVENTS.map((event) => {
    const radio = h(document, "input", { type: "radio", name: "event", value: event });
    return h(document, "label", {}, radio, h(document, "span", {}, capital(event)));
  });
  const legend = h(document, "legend", {}, LABELS.get("event") ?? "");
  const box = h(document, "div", { class: "choices" }, ...choices);
  const err = h(document, "p", { class: "err", id: `${idOf("event")}-err` });
  const about = { class: "field-of", "data-field": "event", "aria-describedby": `${idOf("event")}-err` };
  return h(document, "fieldset", about, legend, box, err);
}

/** @param {HTMLButtonElement} now */
function clock(now) {
  return row(
    field("date", "Date", { type: "date", max: "9999-12-31" }),
    field("time", "Time", { type: "time", step: "1" }),
    field("offset", "Offset from UTC", { autocapitalize: "off", spellcheck: "false" }),
    now,
  );
}

const NUMBER = { inputmode: "decimal", class: "number", spellcheck: "false" };
const ANGLE = { class: "number", autocapitalize: "characters", spellcheck: "false" };

/** @param {string} name @param {string} words @param {string} [kind] */
export const button = (name, words, kind = "button") =>
  /** @type {HTMLButtonElement} */ (h(document, "button", { type: kind, class: name }, words));

export class Form {
  constructor() {
    this.now = button("now", "Now");
    this.asLast = button("as-last", "Place and rig as in the newest entry");
    this.asLast.disabled = true; // until there is an entry
    this.save = button("save main", "Save entry", "submit");
    this.clear = button("clear", "Clear the form");
    this.title = h(document, "h2", { id: "field-log-title", tabindex: "-1" }, "New entry");
    this.said = h(document, "p", { class: "said", role: "status" });
    this.draftState = h(document, "p", { class: "draft-state" });
    this.wayOut = h(document, "div", { class: "way-out" });
    const end = h(document, "div", { class: "form-end" });
    end.append(this.said, this.draftState, this.wayOut, this.save, this.clear);
    this.element = /** @type {HTMLFormElement} */ (
      h(
        document,
        "form",
        { class: "log-form", novalidate: true, "aria-labelledby": "field-log-title" },
        this.title,
        events(),
        clock(this.now),
        this.asLast,
        own("place"),
        row(
          own("latitude_deg", ANGLE, "54.4321, or 54 25.93 N"),
          own("longitude_deg", ANGLE, "-2.1234, or 2 7.40 W"),
        ),
        row(own("depth_m", NUMBER, "of the hydrophone, m"), own("water_temperature_c", NUMBER, "°C")),
        own("gain", {}, "as its switch or menu calls it"),
        own("weather", {}, "wind, rain, waves, current, ice"),
        own("rig", { rows: "2" }, "what you have written on case, hydrophones, card"),
        own("time_mark", {}, "what can be heard on the recording, and its true time"),
        own("people"),
        own("notes", { rows: "4" }),
        end,
      )
    );
  }

  /** What stands in it, as typed. */
  typed() {
    const data = new FormData(this.element);
    /** @type {Record<string, string>} */ const typed = {};
    for (const [name, value] of data) typed[name] = String(value);
    return typed;
  }

  /**
   * Write into it, and forget what it had been told.
   * @param {Record<string, string>} typed
   */
  show(typed) {
    this.element.reset();
    for (const [name, value] of Object.entries(typed)) this.#set(name, value);
    this.mark({});
  }

  /** @param {string} name @param {string} value */
  #set(name, value) {
    const found = this.element.elements.namedItem(name);
    if (found) /** @type {HTMLInputElement} */ (found).value = value;
  }

  /** The device's clock and time zone, on request. */
  showNow() {
    for (const [name, value] of Object.entries(clockNow())) this.#set(name, value);
  }

  /** The offset that the device's time zone has on the day that was typed. */
  adjustOffset() {
    const { date = "", time = "" } = this.typed();
    const moment = new Date(`${date}T${time || "12:00"}`);
    if (!Number.isNaN(moment.getTime())) this.#set("offset", offsetText(moment.getTimezoneOffset()));
  }

  /**
   * Show what is wrong at each field.
   * @param {Record<string, string>} faults
   */
  mark(faults) {
    for (const box of this.element.querySelectorAll(".field-of")) {
      this.markOne(box.getAttribute("data-field") ?? "", faults);
    }
  }

  /** @param {string} name @param {Record<string, string>} faults */
  markOne(name, faults) {
    const box = this.element.querySelector(`.field-of[data-field="${name}"]`);
    setText(box?.querySelector(".err") ?? null, faults[name] ?? "");
    for (const input of box?.querySelectorAll("input, textarea") ?? []) {
      if (faults[name]) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    }
  }

  focusFault() {
    /** @type {HTMLElement | null} */ (this.element.querySelector("[aria-invalid]"))?.focus();
  }
}

/**
 * An entry as it stands in the form.
 * @param {Entry} entry
 */
export function typedOf(entry) {
  /** @type {Record<string, string>} */ const typed = { ...entry };
  typed.date = entry.time.slice(0, 10);
  typed.time = entry.time.slice(11, 19);
  typed.offset = entry.time.slice(19);
  return typed;
}

/**
 * Whether a reader has put anything in.
 * @param {Record<string, string>} typed
 */
export function isTouched(typed) {
  return Object.entries(typed).some(([name, value]) => !CLOCK.includes(name) && value.trim() !== "");
}
