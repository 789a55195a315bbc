/**
 * The verdict page of a rig: built at build time, so that it is whole before any script runs, and
 * filled again by the live page after every edit. A row keeps its element while its calculator asks
 * the same, so that what has the focus keeps it.
 */

import { showBar } from "./answer.js";
import { h, setFlag, setText } from "./dom.js";
import { unitSwitch } from "./render.js";
import { chancePlace } from "./rig-chance.js";
import { mendPlace, showMendPlace } from "./rig-changes.js";
import { comparePlace } from "./rig-compare.js";
import { lastingPlace, showWhatEnds } from "./rig-lasting.js";
import { paperPlace } from "./rig-paper.js";

/**
 * @import {DrawingSpec, OpenQuestion, Requirement, RigCheck, RigChecked, RigEntry, RigPictures, RigSection, RigVerdict, RigWhole} from "./types"
 * @typedef {{name: string, title: string, file: string}} ExampleRig file is its path from the root of the site
 * @typedef {(spec: DrawingSpec, id: string) => Node[]} DrawAtBuild
 * @typedef {{base: string, name: string, toml: string, live: boolean, examples: ExampleRig[], drawing?: DrawAtBuild}} RigOptions
 */

/**
 * @param {Document} document
 * @param {RigWhole} check
 * @param {RigOptions} options
 */
export function renderRig(document, check, options) {
  const section = h(document, "section", {
    class: "rig-sheet",
    "data-rig": "",
    "data-base": options.base,
    "data-live": options.live,
    "data-state": "example",
    "aria-label": "Verdict on the rig",
  });
  const required = h(document, "div", { class: "rig-required" }, h(document, "h2", {}, "Requirements"), columnHeads(document));
  required.append(h(document, "ol", { class: "requirements" }));
  if (options.live) section.append(picker(document, check, options));
  section.append(
    summary(document),
    ...(options.live ? [tools(document), withoutScript(document, options), jumps(document)] : [wayToMine(document, options)]),
    required,
    h(document, "div", { class: "rig-open", id: "rig-open" }),
    pictures(document, check.pictures, options),
    ...(options.live ? [lastingPlace(document, options.base), chancePlace(document), comparePlace(document), paperPlace(document), nameFields(document, check)] : []),
    h(document, "div", { class: "rig-sections" }),
    fileFold(document, options),
  );
  showRig(section, check);
  showPictureWords(section, check.pictures);
  showStated(section, check);
  return section;
}

/**
 * Which rig is on show. Dead until the page is live; it keeps its place, so nothing moves.
 * @param {Document} document
 * @param {RigCheck} check
 * @param {RigOptions} options
 */
function picker(document, check, { examples }) {
  const choice = h(
    document,
    "select",
    { class: "rig-choice", id: "rig-choice", disabled: true },
    h(document, "optgroup", { label: "Examples" }, ...examples.map((each) => exampleOption(document, each, check))),
  );
  return h(
    document,
    "div",
    { class: "rig-pick" },
    h(document, "label", { for: "rig-choice" }, "Rig"),
    choice,
    h(document, "p", { class: "rig-which", role: "status" }, "An example; change it, and keep it as your own."),
    h(document, "p", { class: "notice", role: "status", hidden: true }),
  );
}

/** @param {Document} document */
function tools(document) {
  /** @type {(name: string, words: string) => HTMLElement} */
  const button = (name, words) => h(document, "button", { type: "button", class: name, disabled: true }, words);
  const file = { type: "file", accept: ".toml,text/plain", id: "rig-import", disabled: true };
  const state = h(document, "p", { class: "state", role: "status" });
  state.append(h(document, "span", { class: "state-text" }, "worked example"));
  return h(
    document,
    "div",
    { class: "rig-tools" },
    h(document, "div", { class: "state-line" }, state, h(document, "button", { type: "button", class: "retry", hidden: true }, "Try again")),
    button("keep main", "Keep on this device"),
    button("duplicate", "Duplicate"),
    button("delete", "Delete"),
    h(document, "label", { class: "take-in", for: "rig-import" }, "Open a file", h(document, "input", file)),
    button("save-file", "Save as a file"),
    button("copy-link", "Copy link"),
    unitSwitch(document, "rig", "metric"),
    h(document, "p", { class: "rig-said", role: "status" }),
    h(document, "div", { class: "rig-offer" }),
  );
}

/**
 * @param {Document} document
 * @param {ExampleRig} example
 * @param {RigCheck} check
 */
function exampleOption(document, { name, title, file }, check) {
  // The address of an example names its option, so that the check of links finds it.
  return h(document, "option", { id: `example-${name}`, value: `example ${name}`, "data-file": file, selected: title === check.name }, title);
}

/**
 * Where an example stands in a chapter: the way to change it.
 * @param {Document} document
 * @param {RigOptions} options
 */
function wayToMine(document, { base, name }) {
  const link = h(document, "a", { href: `${base}rig/#example-${name}` }, "Open it in My rig");
  return h(document, "p", { class: "rig-way" }, link, " to change it, or to start your own from it.");
}

/** The sheet is long: ways to what a reader looks for next. @param {Document} document */
function jumps(document) {
  const link = (/** @type {string} */ place, /** @type {string} */ words) => h(document, "a", { href: `#${place}` }, words);
  return h(
    document,
    "nav",
    { class: "rig-jumps screen-only", "aria-label": "On this sheet" },
    link("rig-states", "What the rig states: change it there"),
    link("rig-pictures", "In pictures"),
    link("rig-lasting", "How long, and how likely"),
    link("rig-paper", "On paper"),
  );
}

/**
 * @param {Document} document
 * @param {RigOptions} options
 */
function withoutScript(document, { base, examples }) {
  const link = (/** @type {string} */ to, /** @type {string} */ words) => h(document, "a", { href: base + to }, words);
  const words = [
    "Without JavaScript this page shows an example rig and its verdict. For your own, save the file of the example nearest to it, change it in an editor, and ",
    link("rig/file/#command", "check it on the command line"),
    ":",
  ];
  const files = examples.map(({ file, title }) => h(document, "li", {}, link(file, title)));
  return h(document, "noscript", {}, h(document, "div", { class: "without-script" }, h(document, "p", {}, ...words), h(document, "ul", {}, ...files)));
}

/** @param {Document} document */
function summary(document) {
  return h(
    document,
    "div",
    { class: "rig-verdict" },
    h(document, "p", { class: "rig-name" }),
    h(document, "p", { class: "rig-says", role: "status" }, h(document, "strong"), " ", h(document, "span", { class: "rig-why" })),
    h(document, "ul", { class: "rig-counts" }),
    h(document, "p", { class: "rig-ends" }),
    h(document, "p", { class: "rig-note" }),
  );
}

/**
 * @param {Document} document
 * @param {RigCheck} check
 */
function nameFields(document, { name, note }) {
  const common = { autocomplete: "off", spellcheck: "false" };
  return h(
    document,
    "div",
    { class: "rig-words screen-only" },
    h(document, "label", { for: "rig-name-field" }, "Name"),
    h(document, "input", { ...common, type: "text", id: "rig-name-field", value: name, maxlength: 80, "aria-describedby": "rig-name-err" }),
    h(document, "p", { class: "err", id: "rig-name-err", role: "alert" }),
    h(document, "label", { for: "rig-note-field" }, "Note"),
    h(document, "textarea", { ...common, id: "rig-note-field", rows: 2, maxlength: 2000 }, note),
  );
}

/** Names of the columns on a wide screen. A screen reader hears them in each row. @param {Document} document */
function columnHeads(document) {
  const names = ["Verdict", "Requirement", "Answer", "Limit", "Margin"];
  const heads = names.map((name) => h(document, "span", {}, name));
  return h(document, "p", { class: "requirement-heads", "aria-hidden": "true" }, ...heads);
}

/**
 * @param {Document} document
 * @param {RigOptions} options
 */
function fileFold(document, { toml }) {
  const text = { class: "export-text rig-toml", tabindex: 0, role: "group", "aria-label": "The rig as a TOML file" };
  return h(
    document,
    "details",
    { class: "rig-file" },
    h(document, "summary", {}, "This rig as a file (TOML)"),
    h(document, "pre", text, toml),
  );
}

/**
 * The verdict and all that it rests on.
 * @param {Element} section
 * @param {RigChecked} check
 */
export function showRig(section, check) {
  showSummary(section, check);
  showOpen(section, check);
  showRequirements(section, check.requirements);
  showWhatEnds(section, check.requirements);
}

/**
 * @param {Element} section
 * @param {RigChecked} check
 */
function showSummary(section, check) {
  const box = /** @type {Element} */ (section.querySelector(".rig-verdict"));
  box.setAttribute("data-level", check.verdict);
  setText(box.querySelector(".rig-name"), check.name);
  setText(box.querySelector(".rig-says strong"), says(check));
  setText(box.querySelector(".rig-why"), why(check));
  setText(box.querySelector(".rig-ends"), endWords(check.ends));
  setText(box.querySelector(".rig-note"), check.note);
  const counts = /** @type {Element} */ (box.querySelector(".rig-counts"));
  const wanted = countWords(check);
  if (counts.textContent === wanted.join("")) return;
  counts.replaceChildren(...wanted.map((words) => h(section.ownerDocument, "li", {}, words)));
}

/** @param {RigChecked} check */
function says({ verdict, requirements }) {
  if (requirements.length === 0) return "Nothing is answered yet.";
  /** @type {Record<RigVerdict, string>} */
  const words = {
    fail: "It fails as it stands.",
    care: requirements.some(({ outcome }) => outcome === "short")
      ? "It works, but falls short of what is wanted."
      : "It works as stated; within its tolerances it may not.",
    good: "It works, wherever its parts lie within their tolerances.",
    open: "Not known yet.",
  };
  return words[verdict];
}

/** The requirement with the smallest margin, in words. @param {RigChecked} check */
function why({ verdict, requirements: [first], open }) {
  if (!first) return `State what you know of the rig below.${nearestWords(open)}`;
  const closest = `${first.label} (${first.title}): ${first.text}, ${first.margin_text}.`;
  if (verdict === "open") return `What is stated holds so far, but ${questions(open.length)} without an answer. Closest: ${closest}`;
  return verdict === "fail" ? closest : `Closest to its limit: ${closest}`;
}

/** What is soonest answered. @param {OpenQuestion[]} open */
function nearestWords([nearest]) {
  if (!nearest || nearest.refused.length > 0) return "";
  const count = nearest.missing.length;
  return ` Nearest to an answer: ${nearest.title}, ${count} ${count === 1 ? "entry" : "entries"} to go.`;
}

/** @param {number} count */
const questions = (count) => (count === 1 ? "one question is" : `${count} questions are`);

/** What ends the deployment first. @param {RigChecked["ends"]} ends */
function endWords(ends) {
  const [first, ...later] = ends.map(({ text }) => text);
  if (!first) return "";
  return `First comes: ${first}.${later.length > 0 ? ` Then: ${later.join("; ")}.` : ""}`;
}

/** @param {RigChecked} check */
function countWords({ requirements, open }) {
  const count = (/** @type {string} */ outcome) => requirements.filter((row) => row.outcome === outcome).length;
  const found = [
    [count("fails"), "fails", "fail"],
    [count("short"), "falls short", "fall short"],
    [count("unsure"), "is unsure", "are unsure"],
    [count("holds"), "holds", "hold"],
    [open.length, "has no answer yet", "have no answer yet"],
  ];
  return found.filter(([n]) => n).map(([n, one, many]) => `${n} ${n === 1 ? one : many}`);
}

/* Pictures */

/**
 * @param {Document} document
 * @param {RigPictures} shown
 * @param {RigOptions} options
 */
function pictures(document, shown, { drawing }) {
  const figures = Object.entries(shown).map(([name, { title, drawing: spec }]) => {
    const box = h(document, "div", { class: "drawing-box" });
    if (spec && drawing) box.append(...drawing(spec, `rig-${name}`));
    const words = [h(document, "p", { class: "drawing-words" }), h(document, "ul", { class: "left-out" })];
    return h(document, "figure", { class: "rig-picture", "data-picture": name }, h(document, "h3", {}, title), box, ...words);
  });
  return h(document, "div", { class: "rig-pictures", id: "rig-pictures" }, h(document, "h2", {}, "In pictures"), ...figures);
}

/**
 * What each picture shows and leaves out, in words. The live page draws it.
 * @param {Element} section
 * @param {RigPictures} shown
 */
export function showPictureWords(section, shown) {
  for (const figure of section.querySelectorAll(".rig-picture")) {
    const { drawing, left_out } = shown[figure.getAttribute("data-picture") ?? ""];
    setFlag(/** @type {Element} */ (figure.querySelector(".drawing-box")), "hidden", !drawing);
    setText(figure.querySelector(".drawing-words"), drawing?.description ?? "There is nothing to draw yet.");
    const list = /** @type {Element} */ (figure.querySelector(".left-out"));
    if (list.getAttribute("data-shown") === left_out.join("\n")) continue;
    list.setAttribute("data-shown", left_out.join("\n"));
    list.replaceChildren(...left_out.map((words) => h(section.ownerDocument, "li", {}, words)));
  }
}

/* Requirements */

/**
 * @param {Element} section
 * @param {Requirement[]} requirements
 */
function showRequirements(section, requirements) {
  const list = /** @type {Element} */ (section.querySelector(".requirements"));
  const there = new Map([...list.children].map((row) => [row.getAttribute("data-name"), row]));
  const base = section.getAttribute("data-base") ?? "";
  const rows = requirements.map((each) => {
    const row = there.get(each.name) ?? requirementSlot(list.ownerDocument, each);
    fillRequirement(row, each, base);
    return row;
  });
  placeInOrder(list, rows);
  setFlag(/** @type {Element} */ (section.querySelector(".rig-required")), "hidden", rows.length === 0);
}

/**
 * Move only what is out of its place: an element that is moved loses the focus.
 * @param {Element} list
 * @param {Element[]} rows
 */
function placeInOrder(list, rows) {
  const wanted = new Set(rows);
  for (const child of [...list.children]) if (!wanted.has(child)) child.remove();
  rows.forEach((row, index) => {
    if (list.children[index] !== row) list.insertBefore(row, list.children[index] ?? null);
  });
}

/**
 * @param {Document} document
 * @param {Requirement} requirement
 */
function requirementSlot(document, { name }) {
  /** @type {(name: string, words: string) => Element} */
  const fact = (name, words) =>
    h(document, "div", { class: `fact ${name}` }, h(document, "dt", {}, words), h(document, "dd"));
  /** @type {(name: string, words: string) => Element} with its range in small */
  const ranged = (name, words) => {
    const found = fact(name, words);
    /** @type {Element} */ (found.lastElementChild).append(
      h(document, "span", { class: "number" }),
      " ",
      h(document, "span", { class: "span-of" }),
    );
    return found;
  };
  const bar = h(document, "div", { class: "requirement-bar" });
  bar.append(document.createElementNS("http://www.w3.org/2000/svg", "svg"));
  /** @type {Element} */ (bar.firstElementChild).setAttribute("class", "range");
  const usual = h(document, "details", { class: "usual" }, h(document, "summary"), h(document, "p"));
  const what = h(
    document,
    "div",
    { class: "what" },
    h(document, "h3", { class: "asks" }),
    h(document, "p", { class: "verdict" }),
    h(document, "p", { class: "by" }),
    h(document, "a", { class: "to-calculator" }),
    usual,
  );
  const facts = h(document, "dl", { class: "facts" }, ranged("answered", "Answer"), ranged("limit", "Limit"), fact("margin", "Margin"));
  return h(
    document,
    "li",
    { class: "requirement", "data-name": name, id: `requirement-${name}` },
    h(document, "p", { class: "level" }),
    what,
    facts,
    bar,
    mendPlace(document),
  );
}

/** What each row shows: an edit leaves most of them as they are. @type {WeakMap<Element, Requirement>} */
const filled = new WeakMap();

/**
 * @param {Element} row
 * @param {Requirement} requirement
 * @param {string} base
 */
function fillRequirement(row, requirement, base) {
  if (filled.get(row) === requirement) return;
  filled.set(row, requirement);
  const { level, label, verdict, by, title, calculator, link, usual } = requirement;
  row.setAttribute("data-level", level);
  setText(row.querySelector(".level"), requirement.word);
  setText(row.querySelector(".asks"), label);
  setText(row.querySelector(".verdict"), verdict.text);
  setText(row.querySelector(".by"), by ? `mostly: ${by.label}, ${Math.round(by.share * 100)}\u00a0%` : "");
  setText(row.querySelector(".answered .number"), requirement.text);
  setText(row.querySelector(".answered .span-of"), requirement.range_text);
  setText(row.querySelector(".fact.limit .number"), verdict.limit_text);
  setText(row.querySelector(".fact.limit .span-of"), requirement.limit_range);
  setText(row.querySelector(".fact.margin dd"), requirement.margin_text);
  const to = /** @type {Element} */ (row.querySelector(".to-calculator"));
  setText(to, title);
  to.setAttribute("href", `${base}calculators/${calculator}/${link}`);
  showBar(/** @type {Element} */ (row.querySelector("svg.range")), requirement);
  showMendPlace(row, level !== "good");
  showUsual(/** @type {Element} */ (row.querySelector(".usual")), usual);
}

/**
 * @param {Element} fold
 * @param {string[]} usual
 */
function showUsual(fold, usual) {
  setFlag(fold, "hidden", usual.length === 0);
  setText(fold.querySelector("summary"), `${usual.length} taken as usual`);
  setText(fold.querySelector("p"), usual.join(", "));
}

/* What has no answer */

/**
 * @param {Element} section
 * @param {RigChecked} check
 */
function showOpen(section, { open, without, without_titles }) {
  const box = /** @type {Element} */ (section.querySelector(".rig-open"));
  const wanted = JSON.stringify([open, without]);
  if (box.getAttribute("data-shown") === wanted) return;
  box.setAttribute("data-shown", wanted);
  const document = section.ownerDocument;
  const base = section.getAttribute("data-base") ?? "";
  const questions = open.map((question) => openQuestion(document, question, base));
  box.replaceChildren(
    ...(open.length > 0
      ? [h(document, "h2", {}, "Not answered yet"), h(document, "ul", { class: "questions" }, ...questions)]
      : []),
    ...(without.length > 0 ? [withoutLine(document, without, without_titles)] : []),
  );
}

/**
 * @param {Document} document
 * @param {string[]} without
 * @param {string[]} titles of these, in the same order
 */
function withoutLine(document, without, titles) {
  const again = without.map((id, index) =>
    h(document, "button", { type: "button", class: "ask-again screen-only", "data-calculator": id }, `Ask again: ${titles[index]}`),
  );
  const words = `Not asked of this rig: ${titles.join("; ")}.`;
  return h(document, "div", { class: "rig-without" }, h(document, "p", {}, words), ...again);
}

/**
 * @param {Document} document
 * @param {OpenQuestion} question
 * @param {string} base
 */
function openQuestion(document, { calculator, title, missing, missing_labels, refused }, base) {
  const words = { type: "button", class: "leave-out screen-only", "aria-label": `Not of this rig: ${title}` };
  return h(
    document,
    "li",
    { "data-calculator": calculator },
    h(document, "a", { href: `${base}calculators/${calculator}/` }, title),
    h(document, "button", words, "Not of this rig"),
    ...refused.map((message) => h(document, "p", { class: "refused" }, message)),
    ...(missing.length > 0 ? [missingLine(document, missing, missing_labels)] : []),
  );
}

/**
 * What nobody has stated, each with the way to its field.
 * @param {Document} document
 * @param {string[]} missing
 * @param {string[]} labels of these, in the same order
 */
function missingLine(document, missing, labels) {
  const line = h(document, "p", { class: "missing" }, "Not stated: ");
  missing.forEach((key, index) => {
    const href = `#rig-${key.split(".")[0]}`;
    if (index > 0) line.append(", ");
    line.append(h(document, "a", { href, "data-entry": key }, labels[index]));
  });
  return line;
}

/* What the rig states, as words: what a reader without scripts and a print see. */

/**
 * @param {Element} section
 * @param {RigCheck} check
 */
function showStated(section, { sections }) {
  const document = section.ownerDocument;
  const box = /** @type {Element} */ (section.querySelector(".rig-sections"));
  box.replaceChildren(h(document, "h2", { id: "rig-states" }, "What the rig states"), ...sections.map((each) => sectionFold(document, each)));
}

/**
 * @param {Document} document
 * @param {RigSection} section
 */
function sectionFold(document, section) {
  return h(
    document,
    "details",
    { class: "rig-section", id: `rig-${section.section}`, "data-section": section.section },
    h(document, "summary", {}, h(document, "span", {}, section.title), h(document, "small", {}, sectionWords(section))),
    h(document, "div", { class: "rig-body" }, statedList(document, section)),
  );
}

/**
 * @param {Document} document
 * @param {RigSection} section
 */
export function statedList(document, { entries }) {
  const stated = entries.filter((entry) => entry.stated);
  return h(document, "dl", { class: "stated" }, ...stated.flatMap((entry) => statedPair(document, entry)));
}

/**
 * How much of a section is stated, and what is still asked for.
 * @param {RigSection} section
 */
export function sectionWords({ entries }) {
  const stated = entries.filter((entry) => entry.stated).length;
  const missing = entries.filter(isMissing).length;
  return `${stated} stated${missing > 0 ? `, ${missing} still asked for` : ""}`;
}

/**
 * Asked for, not stated, and nothing that could work it out.
 * @param {RigEntry} entry
 */
export const isMissing = (entry) => entry.asked && !entry.stated && !entry.derived;

/**
 * @param {Document} document
 * @param {RigEntry} entry
 */
function statedPair(document, entry) {
  const label = entry.row === null ? entry.label : `${entry.label} (${entry.row})`;
  return [h(document, "dt", {}, label), h(document, "dd", {}, statedText(entry))];
}

/** @param {RigEntry} entry */
function statedText(entry) {
  if (entry.kind === "choice") return entry.options.find(({ value }) => value === entry.text)?.label ?? entry.text;
  return [entry.text, entry.unit, entry.tolerance].filter(Boolean).join(" ");
}
