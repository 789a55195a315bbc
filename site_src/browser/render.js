/**
 * Builds a whole calculator from its declaration and one answer. Used at build time, so that the page
 * is complete before any script runs; the live page fills the same slots (`showAnswer`).
 */

import { h, svg } from "./dom.js";
import { showAnswer, showDrawingWords, showPlotWords, sourceText } from "./answer.js";
import { renderInputs } from "./fields.js";

export { showAnswer, showErrors, showState } from "./answer.js";

/** @import {Answer, Decl, DrawingSpec, ExportDecl, Formula, Input, PlotSpec, RenderOptions, Source} from "./types" */

/**
 * @param {Document} document
 * @param {Decl} decl
 * @param {Answer} answer
 * @param {RenderOptions} [options]
 * @returns {HTMLElement}
 */
export function renderCalculator(document, decl, answer, options = {}) {
  const base = options.id ?? (options.example ? `${decl.id}--${options.example.name}` : decl.id);
  const system = options.system ?? "metric";
  const tolerances = answer.tolerances ?? defaultTolerances(decl);
  const view = { base, fields: answer.fields, tolerances, system };
  const form = h(document, "form", { novalidate: true, autocomplete: "off" });
  form.append(
    answerSlot(document),
    h(document, "p", { class: "notice", role: "status", hidden: true }),
    h(document, "p", { class: "form-err", "aria-live": "polite" }),
    withoutScript(document),
    renderInputs(document, decl, view),
    h(document, "div", { class: "cautions" }),
    h(document, "ul", { class: "remarks" }),
    h(document, "dl", { class: "outputs" }),
    h(document, "p", { class: "range-method" }),
    tools(document, base, system),
    solveFold(document, decl, base),
    ...drawingFold(document, answer.drawing, base, options),
    workingFold(document, answer.working.length),
    ...plotFold(document, answer.plot, base, options),
    ...decl.exports.map((each) => exportFold(document, each)),
    sourcesFold(document, decl, options),
  );
  const section = h(document, "section", {
    class: "calc",
    id: base,
    "data-calculator": decl.id,
    "data-example": options.example?.name,
    "data-page": decl.page,
    "data-base": options.base ?? "",
    "data-system": system,
    "data-binds": decl.inputs.some((input) => input.rig),
    "data-state": "example",
    "aria-label": options.example ? `${decl.title}: ${options.example.title}` : decl.title,
  });
  section.append(h(document, "p", { class: "question" }, decl.question), form);
  if (options.example) section.prepend(exampleLine(document, options.example));
  showAnswer(section, answer);
  return section;
}

/** @param {Decl} decl */
function defaultTolerances(decl) {
  /** @type {Record<string, string>} */ const found = {};
  for (const input of decl.inputs) {
    if (input.kind === "number") found[input.name] = input.default_tolerance;
  }
  return found;
}

/**
 * @param {Document} document
 * @param {{title: string, link: string}} example
 */
function exampleLine(document, example) {
  const link = h(document, "a", { href: example.link }, example.title);
  return h(document, "p", { class: "example-of" }, "Values of ", link);
}

/** @param {Document} document */
function answerSlot(document) {
  const row = h(
    document,
    "div",
    { class: "row" },
    h(document, "output", { class: "answer-value" }),
    h(document, "p", { class: "verdict" }),
  );
  const retry = { type: "button", class: "retry", hidden: true };
  const state = h(
    document,
    "div",
    { class: "state-line" },
    h(
      document,
      "p",
      { class: "state", role: "status" },
      h(document, "span", { class: "state-text" }, "worked example"),
    ),
    h(document, "button", retry, "Try again"),
  );
  return h(
    document,
    "div",
    { class: "answer" },
    h(document, "small", { class: "answer-name" }),
    row,
    svg(document, "svg", { class: "range" }),
    h(document, "p", { class: "by" }),
    state,
  );
}

/** @param {Document} document */
function withoutScript(document) {
  const words =
    "Without JavaScript this page shows the worked example: its fields, answers and curve. " +
    "For your own values follow the working below by hand, with your numbers in place of the marked ones.";
  return h(document, "noscript", {}, h(document, "p", { class: "without-script" }, words));
}

/**
 * Buttons are dead until the page is live; they keep their place, so nothing moves.
 * @param {Document} document
 * @param {string} base
 * @param {string} system
 */
function tools(document, base, system) {
  /** @type {(name: string, words: string) => HTMLElement} */
  const button = (name, words) =>
    h(document, "button", { type: "button", class: name, disabled: true }, words);
  return h(
    document,
    "div",
    { class: "tools" },
    button("copy-link", "Copy link"),
    button("show-qr", "QR code"),
    button("reset", "Reset"),
    unitSwitch(document, base, system),
    h(document, "p", { class: "tool-status", role: "status" }),
    h(document, "p", { class: "address" }, h(document, "a", { class: "here" }, "These values as a link")),
  );
}

/**
 * @param {Document} document
 * @param {string} base
 * @param {string} system
 */
export function unitSwitch(document, base, system) {
  /** @type {(value: string, words: string) => HTMLElement} */
  const choice = (value, words) => {
    const radio = { type: "radio", name: `${base}-units`, value, disabled: true };
    const checked = value === system;
    return h(document, "label", {}, h(document, "input", { ...radio, checked }), ` ${words}`);
  };
  const group = { class: "units", role: "radiogroup", "aria-label": "Units" };
  return h(document, "div", group, choice("metric", "Metric"), choice("us", "US"));
}

/**
 * @param {Document} document
 * @param {string} name
 * @param {string} title
 * @param {boolean} open
 * @param {...Node} children
 */
function fold(document, name, title, open, ...children) {
  return h(document, "details", { class: name, open }, h(document, "summary", {}, title), ...children);
}

/**
 * @param {Document} document
 * @param {Decl} decl
 * @param {string} base
 */
function solveFold(document, decl, base) {
  const output = h(document, "select", { class: "solve-output", id: `${base}-solve-output` });
  const target = h(document, "input", {
    class: "solve-target",
    id: `${base}-solve-target`,
    type: "text",
    inputmode: "decimal",
    autocomplete: "off",
    "aria-describedby": `${base}-solve-err`,
  });
  const input = h(document, "select", { class: "solve-input", id: `${base}-solve-input` });
  for (const { kind, name, label } of decl.inputs) {
    if (kind === "number") input.append(h(document, "option", { value: name }, label));
  }
  /** @type {(words: string, control: Element) => HTMLElement} */
  const pair = (words, control) =>
    h(document, "div", { class: "pair" }, h(document, "label", { for: control.id }, words), control);
  const body = h(
    document,
    "div",
    { class: "solve-body" },
    pair("I want", output),
    pair("to be", target),
    pair("by changing", input),
    h(document, "button", { type: "button", class: "solve-go", disabled: true }, "Find it"),
    h(document, "p", { class: "solve-message", role: "status" }),
    h(document, "p", { class: "solve-err", id: `${base}-solve-err`, "aria-live": "polite" }),
  );
  return fold(document, "solve", "Solve for…", false, body);
}

/** More steps than this are folded away, so that what follows them is found. */
const STEPS_ON_SHOW = 10;

/**
 * @param {Document} document
 * @param {number} steps
 */
function workingFold(document, steps) {
  const work = h(document, "div", { class: "work" }, h(document, "ol"));
  const title = steps > STEPS_ON_SHOW ? `Working · ${steps} steps` : "Working";
  return fold(document, "working", title, steps <= STEPS_ON_SHOW, work);
}

/**
 * @param {Document} document
 * @param {PlotSpec | null} plot
 * @param {string} base
 * @param {RenderOptions} options
 */
function plotFold(document, plot, base, options) {
  if (!plot) return [];
  const box = h(document, "div", { class: "plot-box" });
  if (options.plot) box.append(...options.plot(plot, base));
  const key = h(document, "ul", { class: "plot-key" });
  const picture = fold(document, "plot", plot.title, true, box, key, h(document, "p", { class: "plot-words" }));
  showPlotWords(picture, plot);
  return [picture];
}

/**
 * @param {Document} document
 * @param {DrawingSpec | null} drawing
 * @param {string} base
 * @param {RenderOptions} options
 */
function drawingFold(document, drawing, base, options) {
  if (!drawing) return [];
  const box = h(document, "div", { class: "drawing-box" });
  if (options.drawing) box.append(...options.drawing(drawing, base));
  const picture = fold(document, "drawing", drawing.title, true, box, h(document, "p", { class: "drawing-words" }));
  showDrawingWords(picture, drawing);
  return [picture];
}

/**
 * @param {Document} document
 * @param {ExportDecl} each
 */
function exportFold(document, each) {
  const text = h(document, "pre", { class: "export-text", tabindex: 0, "aria-label": each.label });
  const save = { type: "button", class: "save-export", "data-file": each.file, disabled: true };
  const button = h(document, "button", save, `Save as ${each.file}`);
  const box = fold(document, "export", each.label, false, text, button);
  box.setAttribute("data-export", each.name);
  return box;
}

/**
 * @param {Document} document
 * @param {Decl} decl
 * @param {RenderOptions} options
 */
function sourcesFold(document, decl, options) {
  const formulas = decl.formulas.map((formula) => formulaBlock(document, formula, options));
  const limits = h(document, "dl", { class: "accepted" });
  for (const input of decl.inputs) limits.append(...acceptedRow(document, input));
  const title = `Formulas, limits and sources · ${decl.formulas.length}`;
  const heading = h(document, "p", { class: "accepted-title" }, "What the fields accept, and why");
  return fold(document, "sources", title, false, ...formulas, heading, limits);
}

/**
 * @param {Document} document
 * @param {Formula} formula
 * @param {RenderOptions} options
 */
function formulaBlock(document, formula, options) {
  const block = h(document, "div", { class: "formula" });
  block.append(h(document, "p", { class: "formula-title" }, formula.title));
  if (options.math) {
    const box = { class: "math-box", tabindex: 0, role: "group", "aria-label": formula.title };
    block.append(h(document, "div", box, options.math(formula.tex)));
  }
  block.append(h(document, "p", { class: "validity" }, formula.validity));
  block.append(h(document, "ul", { class: "cited" }, ...formula.sources.map((s) => cited(document, s))));
  const link = { href: `${options.base ?? ""}${formula.anchor}`, "data-formula": formula.id };
  block.append(h(document, "a", link, `How “${formula.title}” is checked`));
  return block;
}

/**
 * @param {Document} document
 * @param {Source} source
 */
const cited = (document, source) => h(document, "li", {}, sourceText(source));

/**
 * @param {Document} document
 * @param {Input} input
 */
function acceptedRow(document, input) {
  if (input.kind === "choice") return [];
  const accepted = input.kind === "number" ? `${input.metric.range_text}: ${input.why}` : input.accepted;
  const words = h(document, "dd", {}, accepted);
  return [h(document, "dt", {}, input.label), words];
}
