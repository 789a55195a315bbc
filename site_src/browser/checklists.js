/**
 * Checklists that work by tap. The page holds them as plain lists; here each item gets a real checkbox.
 * What is ticked lies on this device, by list and item, with the item's words and the time.
 */

import { h, setFlag, setText } from "./dom.js";
import { keepDraft, open } from "./field-log-drafts.js";
import { clockNow, newId } from "./new-entry.js";

/**
 * @typedef {{at: string, words: string}} Tick
 * @typedef {Record<string, Tick>} Ticks by item
 * @typedef {{item: HTMLElement, box: HTMLInputElement, words: string, time: HTMLElement, note: HTMLElement}} Line
 */

const KEY = "wetside.checklist.";
const VERSION = 1;

/** For browsers that store nothing: the ticks last as long as this tab. @type {Map<string, Ticks>} */
const memory = new Map();

/** @type {Checklist[]} */ let lists = [];

addEventListener("storage", (event) => {
  const { key } = /** @type {StorageEvent} */ (event);
  for (const list of lists) if (key === KEY + list.id || key === null) list.show();
});

/** @param {Iterable<HTMLElement>} places */
export function mountChecklists(places) {
  lists = [...places].map((place) => new Checklist(place));
}

class Checklist {
  /** @param {HTMLElement} place */
  constructor(place) {
    this.place = place;
    this.id = place.id;
    this.count = h(document, "p", { class: "count", role: "status" });
    this.again = button("again", "Start again");
    this.undo = button("undo", "Undo");
    this.storage = h(document, "p", { class: "storage", role: "status" });
    /** @type {Ticks | null} */ this.before = null;
    /** @type {Line[]} */
    this.lines = [...place.querySelectorAll("li[id]")].map((item) => this.#line(/** @type {HTMLElement} */ (item)));
    const bar = h(document, "div", { class: "ticks" }, this.count, this.undo, this.again);
    place.querySelector("ul")?.before(bar);
    place.append(this.#tools(), this.storage);
    setFlag(place, "data-live", true);
    this.again.addEventListener("click", () => this.#startAgain());
    this.undo.addEventListener("click", () => this.#undo());
    this.show();
  }

  /**
   * The bold words become the label of a checkbox; the rest of the item says why.
   * @param {HTMLElement} item
   * @returns {Line}
   */
  #line(item) {
    const strong = /** @type {HTMLElement} */ (item.querySelector("strong"));
    const id = `${item.id}-tick`;
    const box = /** @type {HTMLInputElement} */ (h(document, "input", { type: "checkbox", id, autocomplete: "off" }));
    const time = h(document, "time", { class: "ticked" });
    const note = h(document, "p", { class: "reworded" });
    const why = h(document, "span", { class: "why", id: `${item.id}-why` });
    why.append(...[...item.childNodes].filter((node) => node !== strong));
    if (why.textContent?.trim()) box.setAttribute("aria-describedby", why.id);
    item.replaceChildren(box, h(document, "label", { for: id }, strong), why, note, time);
    box.addEventListener("change", () => this.#tick(item.id, box.checked, strong.textContent ?? ""));
    return { item, box, words: strong.textContent ?? "", time, note };
  }

  #tools() {
    const print = button("print", "Print this list");
    const copy = button("copy", "Copy with times");
    const toLog = button("to-log", "Into the field log");
    print.addEventListener("click", () => this.#print());
    copy.addEventListener("click", () => void this.#copy());
    toLog.addEventListener("click", () => void this.#toLog());
    return h(document, "div", { class: "list-tools" }, toLog, copy, print);
  }

  /** Draw what is kept. An item whose words have changed since is open again, and says so. */
  show() {
    const ticks = this.#read();
    for (const { item, box, words, time, note } of this.lines) {
      const tick = ticks[item.id];
      box.checked = tick?.words === words;
      setText(time, box.checked ? tick.at.slice(11, 16) : "");
      if (box.checked) time.setAttribute("datetime", tick.at);
      setText(note, tick && !box.checked ? `Worded anew since you ticked it. It was: ${tick.words}` : "");
    }
    const done = this.lines.filter(({ box }) => box.checked).length;
    setText(this.count, `${done} of ${this.lines.length}`);
    setFlag(this.count, "data-all", done === this.lines.length);
    setFlag(this.again, "hidden", Object.keys(ticks).length === 0);
    setFlag(this.undo, "hidden", this.before === null);
  }

  /**
   * @param {string} item
   * @param {boolean} on
   * @param {string} words
   */
  #tick(item, on, words) {
    const ticks = this.#read(); // anew: another tab may have ticked meanwhile
    if (on) ticks[item] = { at: now(), words };
    else delete ticks[item];
    this.before = null;
    this.#write(ticks);
  }

  #startAgain() {
    this.before = this.#read();
    this.#write({});
    this.undo.focus();
  }

  #undo() {
    const ticks = this.before ?? {};
    this.before = null;
    this.#write(ticks);
    this.lines[0]?.box.focus();
  }

  /** @returns {Ticks} */
  #read() {
    const held = memory.get(this.id);
    if (held) return { ...held };
    try {
      const kept = JSON.parse(localStorage.getItem(KEY + this.id) ?? "null");
      return kept?.version === VERSION ? kept.ticks : {};
    } catch {
      return {}; // blocked or damaged: nothing is ticked
    }
  }

  /** @param {Ticks} ticks */
  #write(ticks) {
    try {
      localStorage.setItem(KEY + this.id, JSON.stringify({ version: VERSION, ticks }));
      memory.delete(this.id);
      setText(this.storage, "");
    } catch {
      memory.set(this.id, ticks);
      setText(
        this.storage,
        "This browser does not let the page keep the ticks (a private window, or its storage is full): they last until you close this tab.",
      );
    }
    this.show();
  }

  /** This list alone, boxes as they stand. */
  #print() {
    const { dataset } = document.documentElement;
    dataset.printing = "one";
    setFlag(this.place, "data-printing", true);
    print();
    delete dataset.printing;
    setFlag(this.place, "data-printing", false);
  }

  #text() {
    const title = this.place.querySelector("h2")?.firstChild?.textContent ?? this.id;
    const ticks = this.#read();
    const lines = this.lines.map(({ item, box, words }) => `${box.checked ? ticks[item.id].at : "open"}  ${words}`);
    return [`${title}: ${this.count.textContent}`, ...lines].join("\n");
  }

  async #copy() {
    const text = this.#text();
    try {
      await navigator.clipboard.writeText(text);
      setText(this.storage, "Copied.");
    } catch {
      const area = /** @type {HTMLTextAreaElement} */ (
        h(document, "textarea", { readonly: true, rows: 6, "aria-label": "The list as text, to copy" })
      );
      area.value = text;
      this.storage.replaceChildren(area);
      area.focus();
      area.select();
    }
  }

  /** A note in the field log, not saved yet, with this list in it. */
  async #toLog() {
    const id = newId();
    const typed = { event: "note", notes: this.#text(), ...clockNow() };
    keepDraft(id, { basis: null, typed, at: new Date().toISOString() });
    await open(id);
    const way = h(document, "a", { href: new URL("../field-log/", location.href).href });
    this.place.append(way); // as a link of the page, so that the page changes in place
    way.click();
    way.remove();
  }
}

/** @param {string} name @param {string} words */
const button = (name, words) => h(document, "button", { type: "button", class: name }, words);

function now() {
  const { date, time, offset } = clockNow();
  return `${date}T${time}${offset}`;
}
