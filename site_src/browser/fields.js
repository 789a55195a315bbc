/**
 * The fields of a calculator: built from its declaration, read and written as texts.
 * What a text means is Python's matter; here is only where it stands.
 */

import { h, setFlag, setText, svg } from "./dom.js";
import { hideIdleFills, renderFill } from "./fills.js";
import { logField, logText, putLog } from "./log.js";

/**
 * @import {Decl, Group, Input, NumberInput, ChoiceInput, System, Texts, FieldError, WrittenInput} from "./types"
 * @typedef {{base: string, fields: Texts, tolerances: Texts, system: System}} View
 */

/**
 * Row 1 has the plain name, row n the suffix `_n`.
 * @param {string} name
 * @param {number} row
 */
export const rowName = (name, row) => (row === 1 ? name : `${name}_${row}`);

/**
 * How many rows of a group these names hold.
 * @param {Decl} decl
 * @param {Group} group
 * @param {Texts} fields
 */
export function countRows(decl, group, fields) {
  const members = decl.inputs.filter((input) => input.group === group.name);
  let count = 1;
  for (let row = 2; row <= group.most; row++) {
    if (members.some((input) => rowName(input.name, row) in fields)) count = row;
  }
  return count;
}

/**
 * @param {Document} document
 * @param {Decl} decl
 * @param {View} view
 */
export function renderInputs(document, decl, view) {
  const box = h(document, "div", { class: "inputs" });
  const seen = new Set();
  for (const input of decl.inputs) {
    const fills = decl.fills.filter((fill) => fill.inputs[0] === input.name);
    box.append(...fills.map((fill) => renderFill(document, fill, view.base)));
    if (input.group === null) {
      box.append(renderInput(document, input, 1, view, chooserOf(decl, input, 1)));
    } else if (!seen.has(input.group)) {
      seen.add(input.group);
      box.append(renderGroup(document, decl, findGroup(decl, input.group), view));
    }
  }
  applyShownWhen(box);
  return box;
}

/**
 * @param {Decl} decl
 * @param {string} name
 */
export function findGroup(decl, name) {
  const group = decl.groups.find((candidate) => candidate.name === name);
  if (!group) throw new Error(`${decl.id}: no group ${name}`);
  return group;
}

/**
 * @param {Document} document
 * @param {Decl} decl
 * @param {Group} group
 * @param {View} view
 */
export function renderGroup(document, decl, group, view) {
  const count = countRows(decl, group, view.fields);
  const box = h(document, "div", { class: "rows", "data-group": group.name });
  for (let row = 1; row <= count; row++) box.append(renderRow(document, decl, group, row, view));
  const button = { type: "button", disabled: true };
  const add = h(document, "button", { ...button, class: "add-row" }, group.add_label);
  const remove = h(document, "button", { ...button, class: "remove-row" }, group.remove_label);
  box.append(h(document, "div", { class: "row-tools" }, add, remove));
  setFlag(add, "hidden", count >= group.most);
  setFlag(remove, "hidden", count === 1);
  return box;
}

/**
 * @param {Document} document
 * @param {Decl} decl
 * @param {Group} group
 * @param {number} row
 * @param {View} view
 */
function renderRow(document, decl, group, row, view) {
  const set = h(document, "fieldset", { class: "group", "data-row": row });
  set.append(h(document, "legend", {}, `${group.label} ${row}`));
  for (const input of decl.inputs) {
    if (input.group !== group.name) continue;
    set.append(renderInput(document, input, row, view, chooserOf(decl, input, row)));
  }
  return set;
}

/**
 * Name of the choice that decides whether this input is asked for. A choice of the same group counts
 * for its own row.
 * @param {Decl} decl
 * @param {Input} input
 * @param {number} row
 */
function chooserOf(decl, input, row) {
  if (!input.shown_when) return null;
  const name = input.shown_when.input;
  const chooser = decl.inputs.find((other) => other.name === name);
  return input.group && chooser?.group === input.group ? rowName(name, row) : name;
}

/**
 * @param {Document} document
 * @param {Input} input
 * @param {number} row
 * @param {View} view
 * @param {string | null} chooser
 */
export function renderInput(document, input, row, view, chooser) {
  const name = rowName(input.name, row);
  const id = `${view.base}-${name}`;
  const box = h(document, "div", {
    class: "in",
    "data-input": name,
    "data-kind": input.kind,
    "data-when": chooser,
    "data-is": input.shown_when?.is.join(" "),
  });
  const about = h(document, "div", { class: "about" }, h(document, "label", { for: id }, input.label));
  about.append(h(document, "small", { class: "hint", id: `${id}-hint` }, input.hint));
  const parts = controls(document, input, name, id, view);
  box.append(shareColumn(document), about, ...parts);
  box.append(h(document, "p", { class: "err", id: `${id}-err`, "aria-live": "polite" }));
  return box;
}

/**
 * @param {Document} document
 * @param {Input} input
 * @param {string} name
 * @param {string} id
 * @param {View} view
 */
function controls(document, input, name, id, view) {
  switch (input.kind) {
    case "number":
      return numberParts(document, input, name, id, view);
    case "choice":
      return [choiceField(document, input, name, id, view)];
    case "log":
      return [logField(document, input, name, id, view.fields[name] ?? input.default)];
    default:
      return [writtenField(document, input, name, id, view)];
  }
}

/** @param {Document} document */
function shareColumn(document) {
  const column = svg(document, "rect", { class: "of", x: 0, y: "100%", width: "100%", height: 0 });
  return svg(document, "svg", { class: "share", "aria-hidden": "true" }, column);
}

/** @param {string} id */
const described = (id) => ({ "aria-describedby": `${id}-hint ${id}-err` });

/** How every typed field behaves: a full keyboard with a decimal key, and no help from the browser. */
const TYPED = {
  type: "text",
  inputmode: "decimal",
  autocomplete: "off",
  autocapitalize: "off",
  spellcheck: "false",
  enterkeyhint: "done",
};

/**
 * @param {Document} document
 * @param {NumberInput} input
 * @param {string} name
 * @param {string} id
 * @param {View} view
 */
function numberParts(document, input, name, id, view) {
  const shown = input[view.system];
  const tolerance = h(document, "input", {
    ...TYPED,
    class: "tolerance",
    id: `${id}-tolerance`,
    name: `${name}~`,
    value: view.tolerances[name] ?? "",
    placeholder: "±",
    "aria-label": `Tolerance of ${input.label}`,
    "aria-describedby": `${id}-err`,
  });
  const value = h(document, "input", {
    ...TYPED,
    class: "value",
    id,
    name,
    value: view.fields[name] ?? shown.default_text,
    "aria-describedby": `${id}-unit ${id}-hint ${id}-err`,
  });
  const unit = h(document, "span", { class: "unit", id: `${id}-unit` }, shown.unit);
  const field = h(document, "div", { class: "field" }, value, unit);
  if (input.signed) field.append(signButton(document, input.label));
  return [field, h(document, "div", { class: "tol" }, tolerance)];
}

/**
 * Dates and their like need signs that a keypad of numbers lacks.
 * @param {Document} document
 * @param {WrittenInput} input
 * @param {string} name
 * @param {string} id
 * @param {View} view
 */
function writtenField(document, input, name, id, view) {
  const value = view.fields[name] ?? input.default;
  const field = { ...TYPED, inputmode: "text", class: "value", id, name, value, ...described(id) };
  return h(document, "div", { class: "field" }, h(document, "input", field));
}

/**
 * Phone keypads with a decimal key have no minus.
 * @param {Document} document
 * @param {string} label
 */
function signButton(document, label) {
  const words = `Change the sign of ${label}`;
  return h(document, "button", { type: "button", class: "sign", "aria-label": words }, "±");
}

/**
 * @param {Document} document
 * @param {ChoiceInput} input
 * @param {string} name
 * @param {string} id
 * @param {View} view
 */
function choiceField(document, input, name, id, view) {
  const select = h(document, "select", { class: "value", id, name, ...described(id) });
  const chosen = view.fields[name] ?? input.default;
  for (const { value, label } of input.options) {
    select.append(h(document, "option", { value, selected: value === chosen }, label));
  }
  return h(document, "div", { class: "field" }, select);
}

/**
 * @param {Element} root
 * @returns {HTMLElement[]}
 */
export const inputBoxes = (root) => [...root.querySelectorAll(".in[data-input]")].map(asElement);

/** @param {Element} element */
const asElement = (element) => /** @type {HTMLElement} */ (element);

/**
 * @param {Element} root
 * @param {string} name
 * @returns {HTMLElement | null}
 */
export function findBox(root, name) {
  return inputBoxes(root).find((box) => box.dataset.input === name) ?? null;
}

/**
 * @param {Element} box
 * @returns {HTMLInputElement}
 */
export function valueOf(box) {
  return /** @type {HTMLInputElement} */ (box.querySelector(".value"));
}

/**
 * @param {Element} box
 * @returns {HTMLInputElement | null}
 */
export const toleranceOf = (box) => box.querySelector(".tolerance");

/**
 * Every input as it stands in the form, hidden ones too.
 * @param {Element} root
 */
export function readFields(root) {
  /** @type {Texts} */ const fields = {};
  /** @type {Texts} */ const tolerances = {};
  for (const box of inputBoxes(root)) {
    const name = /** @type {string} */ (box.dataset.input);
    fields[name] = textOf(valueOf(box));
    const tolerance = toleranceOf(box)?.value.trim();
    if (tolerance) tolerances[name] = tolerance;
  }
  return { fields, tolerances };
}

/**
 * Put texts into the fields that are there. A field with the same text is left alone, so that the
 * caret stays where it is.
 * @param {Element} root
 * @param {Texts} fields
 * @param {Texts | null} tolerances null leaves them as they are
 */
export function writeFields(root, fields, tolerances) {
  for (const box of inputBoxes(root)) {
    const name = /** @type {string} */ (box.dataset.input);
    if (name in fields) writeValue(valueOf(box), fields[name]);
    const tolerance = toleranceOf(box);
    if (tolerance && tolerances) writeValue(tolerance, tolerances[name] ?? "");
  }
}

/**
 * @param {HTMLInputElement} field
 * @param {string} text
 */
function writeValue(field, text) {
  const area = asLog(field);
  if (area) putLog(area, text);
  else if (field.value !== text) field.value = text;
}

/** @param {HTMLInputElement} field */
function textOf(field) {
  const area = asLog(field);
  return area ? logText(area) : field.value;
}

/**
 * The field as a text area of rows, if it is one.
 * @param {Element} field
 */
export const asLog = (field) => (field.matches(".log") ? /** @type {HTMLTextAreaElement} */ (field) : null);

/**
 * @param {Element} root
 * @param {Texts} units
 */
export function writeUnits(root, units) {
  for (const box of inputBoxes(root)) {
    const name = /** @type {string} */ (box.dataset.input);
    if (name in units) setText(box.querySelector(".unit"), units[name]);
  }
}

/**
 * Show only the inputs that the choices call for.
 * @param {Element} root
 */
export function applyShownWhen(root) {
  for (const box of inputBoxes(root)) {
    const { when, is = "" } = box.dataset;
    if (!when) continue;
    const choice = findBox(root, when);
    setFlag(box, "hidden", !choice || !is.split(" ").includes(chosenValue(choice)));
  }
  hideIdleFills(root);
}

/**
 * The value of a select, also before a browser has made one of it (at build time).
 * @param {Element} box
 */
function chosenValue(box) {
  const select = valueOf(box);
  return select.value || (select.querySelector("option[selected]")?.getAttribute("value") ?? "");
}

/**
 * @param {Element} root
 * @param {FieldError[]} errors those with a name that the form does not show are returned
 */
export function showFieldErrors(root, errors) {
  const shown = new Set();
  for (const box of inputBoxes(root)) {
    const name = box.dataset.input;
    const own = box.hidden ? [] : errors.filter((e) => e.name === name && e.part !== "target");
    own.forEach((error) => shown.add(error));
    box.classList.toggle("bad", own.length > 0);
    setText(box.querySelector(".err"), own.map((error) => error.message).join(" "));
    markInvalid(valueOf(box), own.some((error) => error.part === "value"));
    const tolerance = toleranceOf(box);
    if (tolerance) markInvalid(tolerance, own.some((error) => error.part === "tolerance"));
  }
  return errors.filter((error) => !shown.has(error));
}

/**
 * @param {Element} field
 * @param {boolean} invalid
 */
export function markInvalid(field, invalid) {
  if (invalid) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
}

/**
 * @param {Element} root
 * @param {Record<string, number>} shares
 */
export function showShares(root, shares) {
  for (const box of inputBoxes(root)) {
    const share = shares[/** @type {string} */ (box.dataset.input)] ?? 0;
    const column = /** @type {Element} */ (box.querySelector("svg.share"));
    const bar = /** @type {Element} */ (column.querySelector(".of"));
    const percent = Math.round(share * 100);
    bar.setAttribute("y", `${100 - percent}%`);
    bar.setAttribute("height", `${percent}%`);
    describePicture(column, percent > 0 ? `${percent} % of the range comes from here` : null);
  }
}

/**
 * Give a drawing its words, or take it out of the way of a screen reader when it says nothing.
 * @param {Element} picture
 * @param {string | null} words
 */
export function describePicture(picture, words) {
  if (words) {
    picture.removeAttribute("aria-hidden");
    picture.setAttribute("role", "img");
    picture.setAttribute("aria-label", words);
  } else {
    picture.setAttribute("aria-hidden", "true");
    picture.removeAttribute("role");
    picture.removeAttribute("aria-label");
  }
}
