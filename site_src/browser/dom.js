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
