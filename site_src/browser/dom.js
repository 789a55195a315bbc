/**
 * Two helpers that build elements. Attributes only: no innerHTML and no style attribute,
 * so that a strict Content-Security-Policy holds and no data is ever read as markup.
 */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @typedef {Record<string, string | number | boolean | null | undefined>} Attributes
 * @typedef {Node | string | null} Child
 */

/**
 * @param {Document} document
 * @param {string} tag
 * @param {Attributes} [attributes]
 * @param {...Child} children
 * @returns {HTMLElement}
 */
export function h(document, tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  return /** @type {HTMLElement} */ (fill(element, attributes, children));
}

/**
 * @param {Document} document
 * @param {string} tag
 * @param {Attributes} [attributes]
 * @param {...Child} children
 * @returns {SVGElement}
 */
export function svg(document, tag, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  return /** @type {SVGElement} */ (fill(element, attributes, children));
}

/**
 * @typedef {{tag: string, attributes: Attributes & {class: string}, text?: string}} Part
 */

/**
 * Make the children of a picture these. Those that are there already, by tag and class, get what is
 * new of them: to make elements anew takes longer.
 * @param {Element} picture
 * @param {Part[]} parts
 */
export function showParts(picture, parts) {
  const there = [...picture.children];
  const stay = there.length === parts.length && parts.every((part, n) => isPart(there[n], part));
  if (!stay) picture.replaceChildren(...parts.map(({ tag, attributes, text = null }) => svg(picture.ownerDocument, tag, attributes, text)));
  else parts.forEach((part, n) => update(there[n], part));
}

/** @param {Element} element @param {Part} part */
const isPart = (element, { tag, attributes }) => element.tagName === tag && element.getAttribute("class") === attributes.class;

/** @param {Element} element @param {Part} part */
function update(element, { attributes, text }) {
  for (const [name, value] of Object.entries(attributes)) {
    if (element.getAttribute(name) !== String(value)) element.setAttribute(name, String(value));
  }
  if (text !== undefined) setText(element, text);
}

/**
 * @param {Element} element
 * @param {Attributes} attributes
 * @param {Child[]} children
 */
function fill(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    element.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children) if (child !== null) element.append(child);
  return element;
}

/**
 * Write a text only when it differs: a live region speaks on every write, also of the same words.
 * @param {Element | null} element
 * @param {string} text
 */
export function setText(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}

/**
 * @param {Element} element
 * @param {string} name
 * @param {boolean} on
 */
export function setFlag(element, name, on) {
  if (on) element.setAttribute(name, "");
  else element.removeAttribute(name);
}
