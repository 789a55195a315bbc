/** Fills the slots of a calculator with an answer, an error or a state. */

import { h, setFlag, setText, showParts, svg } from "./dom.js";
import { describePicture, markInvalid, showFieldErrors, showShares, writeFields } from "./fields.js";
import { showFills } from "./fills.js";

/**
 * @import {Answer, Bar, BarLabel, Caution, DrawingSpec, Export, FieldError, Output, PlotSpec, Source, Verdict, WorkingStep} from "./types"
 * @import {Part} from "./dom.js"
 * @typedef {"example" | "starting" | "live" | "failed"} State
 */

/**
 * @param {Element} section
 * @param {Answer} answer
 */
export function showAnswer(section, answer) {
  const [primary, ...others] = answer.outputs;
  showPrimary(section, primary);
  showOutputs(section, others);
  showShares(section, answer.shares);
  setText(section.querySelector(".range-method"), answer.range_method);
  showWorking(section, answer.working);
  showCautions(section, answer.cautions);
  showRemarks(section, answer.remarks);
  showSolveOutputs(section, answer.outputs);
  showLink(/** @type {HTMLElement} */ (section), answer.link);
  showFills(section, answer.fills);
  showExports(section, answer.exports);
  if (answer.solved) showSolved(section, answer);
  showErrors(section, []);
}

/**
 * What the picture shows, in words, and the name of each line. A single line needs no name.
 * @param {Element} section
 * @param {PlotSpec} plot
 */
export function showPlotWords(section, plot) {
  setText(section.querySelector(".plot-words"), plot.description);
  const key = /** @type {Element} */ (section.querySelector(".plot-key"));
  // A line with gaps is several of one name.
  const named = [...new Map(plot.lines.map((line) => [`${line.kind} ${line.name}`, line])).values()];
  const lines = named.length > 1 ? named : [];
  const wanted = lines.map(({ kind, name }) => `${kind} ${name}`).join();
  if (key.getAttribute("data-lines") === wanted) return;
  key.setAttribute("data-lines", wanted);
  key.replaceChildren(
    ...lines.map(({ kind, name }) => h(key.ownerDocument, "li", { "data-kind": kind }, name)),
  );
}

/**
 * @param {Element} section
 * @param {DrawingSpec} drawing
 */
export function showDrawingWords(section, drawing) {
  setText(section.querySelector(".drawing-words"), drawing.description);
}

/**
 * @param {Element} section
 * @param {string[]} remarks
 */
function showRemarks(section, remarks) {
  const list = /** @type {Element} */ (section.querySelector(".remarks"));
  const wanted = JSON.stringify(remarks);
  if (list.getAttribute("data-shown") === wanted) return;
  list.setAttribute("data-shown", wanted);
  list.replaceChildren(...remarks.map((remark) => h(list.ownerDocument, "li", {}, remark)));
}

/**
 * @param {Element} section
 * @param {Export[]} exports
 */
function showExports(section, exports) {
  for (const { name, text } of exports) {
    setText(section.querySelector(`[data-export="${name}"] .export-text`), text);
  }
}

/**
 * A link leads to the calculator's own page, wherever it was made.
 * @param {HTMLElement} section
 * @param {string} link
 */
function showLink(section, link) {
  const { base = "", page = "" } = section.dataset;
  section.dataset.link = link;
  section.querySelector(".here")?.setAttribute("href", base + page + link);
}

/**
 * @param {Element} section
 * @param {Output} output
 */
function showPrimary(section, output) {
  const box = /** @type {Element} */ (section.querySelector(".answer"));
  setText(box.querySelector(".answer-name"), output.label);
  showValue(/** @type {Element} */ (box.querySelector(".answer-value")), output);
  showVerdict(/** @type {Element} */ (box.querySelector(".verdict")), output.verdict);
  showBar(/** @type {Element} */ (box.querySelector("svg.range")), output);
  setText(box.querySelector(".by"), rangeWords(output, ", "));
}

/**
 * A level's reference belongs to it, but its number is what a reader looks for.
 * @param {Element} place
 * @param {Output} output
 */
function showValue(place, { number, reference }) {
  if (!place.firstElementChild) {
    place.append(...["number", "reference"].map((name) => h(place.ownerDocument, "span", { class: name })));
  }
  setText(place.querySelector(".number"), number);
  setText(place.querySelector(".reference"), reference && ` ${reference}`);
}

/**
 * @param {Output} output
 * @param {string} joint
 */
function rangeWords(output, joint) {
  const range = output.range_text;
  return range && output.by ? `${range}${joint}${byWords(output)}` : range;
}

/** @param {Output} output */
function byWords(output) {
  return output.by ? `mostly: ${output.by.label}, ${Math.round(output.by.share * 100)}\u00a0%` : "";
}

/**
 * @param {Element} place
 * @param {Verdict | null} verdict
 */
function showVerdict(place, verdict) {
  setText(place, verdict?.text ?? "");
  if (verdict) place.setAttribute("data-level", verdict.level);
  else place.removeAttribute("data-level");
  if (verdict?.source) place.setAttribute("title", sourceText(verdict.source));
  else place.removeAttribute("title");
}

/** @param {Source} source */
export const sourceText = (source) => (typeof source === "string" ? source : source.text);

/**
 * @param {Element} section
 * @param {Output[]} outputs
 */
function showOutputs(section, outputs) {
  const list = /** @type {Element} */ (section.querySelector(".outputs"));
  const document = list.ownerDocument;
  const wanted = outputs.map((output) => output.name).join();
  if (list.getAttribute("data-names") !== wanted) {
    list.setAttribute("data-names", wanted);
    list.replaceChildren(...outputs.map((output) => outputSlot(document, output)));
  }
  outputs.forEach((output, index) => fillOutput(list.children[index], output));
}

/**
 * @param {Document} document
 * @param {Output} output
 */
function outputSlot(document, output) {
  return h(
    document,
    "div",
    { class: "out", "data-output": output.name },
    h(document, "dt", {}, output.label),
    h(document, "dd", { class: "out-value" }),
    h(document, "dd", { class: "out-range" }),
    h(document, "dd", { class: "out-bar" }, svg(document, "svg", { class: "range" })),
    h(document, "dd", { class: "verdict" }),
    h(document, "dd", { class: "by" }),
  );
}

/**
 * @param {Element} slot
 * @param {Output} output
 */
function fillOutput(slot, output) {
  setText(slot.querySelector("dt"), output.label);
  showValue(/** @type {Element} */ (slot.querySelector(".out-value")), output);
  setText(slot.querySelector(".out-range"), rangeWords({ ...output, by: null }, ""));
  showBar(/** @type {Element} */ (slot.querySelector("svg.range")), output);
  showVerdict(/** @type {Element} */ (slot.querySelector(".verdict")), output.verdict);
  setText(slot.querySelector(".by"), byWords(output));
}

/* The range bar. Positions are percentages, so that it needs neither a width nor a style. */

/** Where a label may stand: the limit on the upper line, the ends of the range below. */
const UPPER = 10;
const LOWER = 40;
/** Share of the bar that one character takes on the narrowest screen (12 px type, 320 px bar). */
const CHARACTER = 0.024;

/**
 * @param {Element} picture
 * @param {Pick<Output, "bar" | "label" | "text" | "range_text">} output
 */
export function showBar(picture, output) {
  const bar = output.bar;
  showParts(picture, bar ? barParts(bar) : []);
  describePicture(picture, bar ? barWords(output, bar) : null);
}

/** @param {number} share */
const percent = (share) => `${Math.round(share * 1000) / 10}%`;

/** @param {Bar} bar @returns {Part[]} */
function barParts(bar) {
  const [low, high] = bar.band;
  const shape = { y: 18, height: 6, rx: 3 };
  /** @type {Part[]} */
  const parts = [{ tag: "rect", attributes: { class: "axis", x: 0, width: "100%", ...shape } }];
  if (high > low) {
    parts.push({ tag: "rect", attributes: { class: "band", x: percent(low), width: percent(high - low), ...shape } });
  }
  if (bar.limit !== null) parts.push(rule("limit", bar.limit));
  parts.push(rule("tick", bar.nominal));
  for (const { kind, text, ...place } of placeLabels(bar.labels)) {
    parts.push({ tag: "text", attributes: { class: kind, ...place }, text });
  }
  return parts;
}

/** @param {string} name @param {number} at @returns {Part} */
function rule(name, at) {
  return { tag: "line", attributes: { class: name, x1: percent(at), x2: percent(at), y1: 13, y2: 29 } };
}

/**
 * Low stands left of the range, high right of it, each kept inside the bar and off the other.
 * @param {BarLabel[]} labels
 */
function placeLabels(labels) {
  const low = labels.find((label) => label.kind === "low");
  const high = labels.find((label) => label.kind === "high");
  const limit = labels.find((label) => label.kind === "limit");
  const nominal = labels.find((label) => label.kind === "nominal");
  const placed = [];
  if (low && high) placed.push(...placePair(low, high));
  else if (nominal) placed.push(placeMiddle(nominal, LOWER));
  if (limit) placed.push(placeMiddle(limit, UPPER));
  return placed;
}

/** @param {BarLabel} label */
const width = (label) => (label.text.length + 1) * CHARACTER;

/**
 * @param {BarLabel} low
 * @param {BarLabel} high
 */
function placePair(low, high) {
  const room = width(high);
  const lowEnd = Math.min(Math.max(low.at, width(low)), 1 - room);
  const highStart = Math.min(Math.max(high.at, lowEnd + CHARACTER), 1 - room + CHARACTER);
  return [
    { kind: "low", text: low.text, x: percent(lowEnd), y: LOWER, "text-anchor": "end" },
    { kind: "high", text: high.text, x: percent(highStart), y: LOWER, "text-anchor": "start" },
  ];
}

/**
 * @param {BarLabel} label
 * @param {number} y
 */
function placeMiddle(label, y) {
  const half = width(label) / 2;
  const anchor = label.at < half ? "start" : label.at > 1 - half ? "end" : "middle";
  return { kind: label.kind, text: label.text, x: percent(label.at), y, "text-anchor": anchor };
}

/**
 * @param {Pick<Output, "label" | "text" | "range_text">} output
 * @param {Bar} bar
 */
function barWords(output, bar) {
  const limit = bar.labels.find((label) => label.kind === "limit");
  const range = output.range_text;
  const words = [`${output.label}: ${output.text}`];
  if (range) words.push(`range ${range}`);
  if (limit) words.push(`limit ${limit.text}`);
  return words.join("; ");
}

/* Working, cautions, solving */

/**
 * @param {Element} section
 * @param {WorkingStep[]} working
 */
function showWorking(section, working) {
  const list = /** @type {Element} */ (section.querySelector(".work ol"));
  list.replaceChildren(...working.map((step) => workingStep(section, step)));
}

/**
 * @param {Element} section
 * @param {WorkingStep} step
 */
function workingStep(section, step) {
  const document = section.ownerDocument;
  const item = h(document, "li", {}, h(document, "p", { class: "work-label" }, step.label));
  for (const line of step.lines) {
    const parts = line.map((part) => (part.field ? h(document, "em", {}, part.text) : part.text));
    item.append(h(document, "p", { class: "line" }, ...parts));
  }
  const href = ledgerLink(section, step);
  if (href) {
    const words = { class: "checked", href, "aria-label": `How this is checked: ${step.label}` };
    item.append(h(document, "a", words, "how this is checked"));
  }
  return item;
}

/**
 * @param {Element} section
 * @param {WorkingStep} step
 */
function ledgerLink(section, { formula, anchor }) {
  if (anchor?.includes("/")) return `${section.getAttribute("data-base")}${anchor}`;
  // The sources below know where each formula stands in the ledger.
  const known = [...section.querySelectorAll(".sources a[data-formula]")];
  return known.find((link) => link.getAttribute("data-formula") === formula)?.getAttribute("href");
}

/**
 * @param {Element} section
 * @param {Caution[]} cautions
 */
function showCautions(section, cautions) {
  const place = /** @type {Element} */ (section.querySelector(".cautions"));
  const wanted = JSON.stringify(cautions);
  if (place.getAttribute("data-shown") === wanted) return;
  place.setAttribute("data-shown", wanted);
  place.replaceChildren(...cautions.map((caution) => cautionBox(place.ownerDocument, caution)));
}

/**
 * @param {Document} document
 * @param {Caution} caution
 */
function cautionBox(document, caution) {
  const title = h(document, "strong", {}, caution.title);
  return h(document, "aside", { class: "caution", "aria-label": caution.title }, title, " ", caution.text);
}

/**
 * @param {Element} section
 * @param {Output[]} outputs
 */
function showSolveOutputs(section, outputs) {
  const select = section.querySelector(".solve-output");
  if (!select) return;
  const wanted = outputs.map((output) => output.name).join();
  if (select.getAttribute("data-names") === wanted) return;
  select.setAttribute("data-names", wanted);
  const kept = /** @type {HTMLSelectElement} */ (select).value;
  const options = outputs.map(({ name, label }) =>
    h(section.ownerDocument, "option", { value: name, selected: name === kept }, label),
  );
  select.replaceChildren(...options);
}

/**
 * @param {Element} section
 * @param {Answer} answer
 */
function showSolved(section, answer) {
  writeFields(section, answer.fields, null);
  setText(section.querySelector(".solve-message"), answer.solved?.message ?? "");
}

/**
 * Errors stand at their fields; what has no field of its own stands above the form. The last good
 * answer stays, greyed.
 * @param {Element} section
 * @param {FieldError[]} errors an empty list clears all
 */
export function showErrors(section, errors) {
  const target = errors.filter((error) => error.part === "target");
  const rest = showFieldErrors(section, errors).filter((error) => error.part !== "target");
  setText(section.querySelector(".form-err"), rest.map((error) => error.message).join(" "));
  setText(section.querySelector(".solve-err"), target.map((error) => error.message).join(" "));
  const field = section.querySelector(".solve-target");
  if (field) markInvalid(field, target.length > 0);
  if (target.length) setText(section.querySelector(".solve-message"), "");
  section.classList.toggle("stale", errors.length > target.length);
}

/**
 * @param {Element} section
 * @param {State} state
 * @param {string} words
 * @param {{retry?: boolean}} [options]
 */
export function showState(section, state, words, { retry = false } = {}) {
  section.setAttribute("data-state", state);
  setText(section.querySelector(".state-text"), words);
  const button = section.querySelector(".retry");
  if (button) setFlag(button, "hidden", !retry);
}
