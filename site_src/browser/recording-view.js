/**
 * What a check found, as elements. At build time for the demo, so that the page says it before any
 * script runs, and live for the reader's own recordings. Every text is set as text, never as markup.
 */

import { h } from "./dom.js";

/**
 * @import {Finding, FindingPlace, Moment, Report, ReportPicture, ReportTable} from "./recording-types"
 * @typedef {(text: string) => Element} Draw makes an element of a picture's text
 * @typedef {{base: string, draw: Draw, hear: ((moment: Moment) => void) | null, save: ((picture: ReportPicture, kind: "svg" | "png") => void) | null}} ReportOptions
 *   `base`: the way to the root of the site
 */

/** Places of a finding that are not folded away. */
const FIRST_PLACES = 3;

/**
 * @param {Document} document
 * @param {Report} report
 * @param {ReportOptions} options
 * @returns {HTMLElement[]}
 */
export function reportParts(document, report, options) {
  return [
    h(
      document,
      "div",
      { class: "report-head", "data-level": report.level },
      h(document, "p", { class: "report-headline" }, report.headline),
      h(document, "p", { class: "report-basis" }, report.basis),
    ),
    findingList(document, report.findings, options),
    factList(document, report.facts),
    h(document, "p", { class: "report-levels" }, report.levels),
    ...report.pictures.map((picture) => pictureFigure(document, picture, options)),
    ...report.tables.map((table) => tableFold(document, table)),
    h(
      document,
      "details",
      { class: "report-method" },
      h(document, "summary", {}, "How it was measured, and what is not said"),
      h(document, "ul", {}, ...report.method.map((words) => h(document, "li", {}, words))),
    ),
  ];
}

/**
 * @param {Document} document
 * @param {Finding[]} findings
 * @param {ReportOptions} options
 */
function findingList(document, findings, options) {
  return h(document, "ol", { class: "findings" }, ...findings.map((finding, n) => findingItem(document, n + 1, finding, options)));
}

/**
 * @param {Document} document
 * @param {number} number that pictures call it by
 * @param {Finding} finding
 * @param {ReportOptions} options
 */
function findingItem(document, number, finding, options) {
  const { weight, weight_words, sure, title, what, where, causes, todo, page } = finding;
  const more = h(
    document,
    "details",
    {},
    h(document, "summary", {}, "Why, and what to do"),
    ...listed(document, "Likely causes", causes),
    ...listed(document, "What to do", todo),
  );
  if (page) more.append(h(document, "p", {}, h(document, "a", { href: options.base + address(page) }, "In the handbook")));
  return h(
    document,
    "li",
    { class: "finding", "data-weight": weight, "data-kind": finding.kind },
    h(
      document,
      "p",
      { class: "finding-title" },
      h(document, "strong", {}, `${number}. ${title}`),
      h(document, "span", { class: "finding-weight" }, `${weight_words} · ${sure}`),
    ),
    ...what.map((words) => h(document, "p", { class: "finding-what" }, words)),
    places(document, where, options),
    more,
  );
}

/** A page's address from the name of its source: "listen/trouble.md#hum". @param {string} page */
const address = (page) => page.replace(/(?:index)?\.md(?=#|$)/, "/").replace("//", "/");

/**
 * @param {Document} document
 * @param {FindingPlace[]} where
 * @param {ReportOptions} options
 */
function places(document, where, { hear }) {
  if (where.length === 0) return null;
  const items = where.map(({ words, at }) => {
    const item = h(document, "li", {}, words);
    if (hear && at) item.append(" ", hearButton(document, at, words, hear));
    return item;
  });
  const list = (/** @type {HTMLElement[]} */ some) => h(document, "ul", { class: "finding-where" }, ...some);
  if (items.length <= FIRST_PLACES + 1) return list(items);
  const rest = items.slice(FIRST_PLACES);
  const fold = h(document, "details", {}, h(document, "summary", {}, `${rest.length} more places`), list(rest));
  return h(document, "div", {}, list(items.slice(0, FIRST_PLACES)), fold);
}

/**
 * @param {Document} document
 * @param {Moment} at
 * @param {string} words
 * @param {(moment: Moment) => void} hear
 */
function hearButton(document, at, words, hear) {
  const button = h(document, "button", { type: "button", class: "hear", "aria-label": `Hear ${words}` }, "Hear");
  button.addEventListener("click", () => hear(at));
  return button;
}

/**
 * @param {Document} document
 * @param {string} title
 * @param {string[]} items
 */
function listed(document, title, items) {
  if (items.length === 0) return [];
  return [
    h(document, "p", { class: "finding-list" }, title),
    h(document, "ul", {}, ...items.map((item) => h(document, "li", {}, item))),
  ];
}

/**
 * @param {Document} document
 * @param {[string, string][]} facts
 */
function factList(document, facts) {
  const rows = facts.map(([name, value]) =>
    h(document, "div", {}, h(document, "dt", {}, name), h(document, "dd", {}, value)),
  );
  return h(document, "dl", { class: "report-facts" }, ...rows);
}

/**
 * @param {Document} document
 * @param {ReportPicture} picture
 * @param {ReportOptions} options
 */
function pictureFigure(document, picture, { draw, save }) {
  const figure = h(document, "figure", { class: "report-picture", "data-picture": picture.name });
  const sizes = picture.svg.length > 1 ? ["narrow", "wide"] : ["only"];
  for (const [n, text] of picture.svg.entries()) {
    figure.append(h(document, "div", { class: `chart-box ${sizes[n]}` }, draw(text)));
  }
  if (save) {
    const tools = /** @type {const} */ (["svg", "png"]).map((kind) => {
      const label = `Save ${kind.toUpperCase()}: ${picture.title}`;
      const button = h(document, "button", { type: "button", "aria-label": label }, `Save ${kind.toUpperCase()}`);
      button.addEventListener("click", () => save(picture, kind));
      return button;
    });
    figure.append(h(document, "div", { class: "picture-tools" }, ...tools));
  }
  return figure;
}

/**
 * @param {Document} document
 * @param {ReportTable} table
 */
function tableFold(document, { name, title, notes, head, rows }) {
  return h(
    document,
    "details",
    { class: "report-table", "data-table": name },
    h(document, "summary", {}, title),
    stackingTable(document, title, head, rows),
    ...notes.map((words) => h(document, "p", {}, words)),
  );
}

/**
 * A table that a phone shows row below row, each cell after the name of its column. Roles are written
 * out: a cell that is no longer laid out as one may lose its own.
 * @param {Document} document
 * @param {string} title
 * @param {string[]} head
 * @param {string[][]} rows
 */
export function stackingTable(document, title, head, rows) {
  const heads = head.map((words) => h(document, "th", { scope: "col", role: "columnheader" }, words));
  const cell = (/** @type {string} */ words, /** @type {number} */ n) =>
    h(document, "td", n === 0 ? { role: "rowheader" } : { role: "cell", "data-column": head[n] }, words);
  const row = (/** @type {HTMLElement[]} */ cells) => h(document, "tr", { role: "row" }, ...cells);
  const table = h(
    document,
    "table",
    { class: "data stacks", role: "table" },
    h(document, "thead", { role: "rowgroup" }, row(heads)),
    h(document, "tbody", { role: "rowgroup" }, ...rows.map((cells) => row(cells.map(cell)))),
  );
  return h(document, "div", { class: "table-scroll", tabindex: 0, role: "region", "aria-label": title }, table);
}

/**
 * The whole at build time: the demo's report, in the place that the live page takes over.
 * @param {Document} document
 * @param {Report} report
 * @param {{base: string, draw: Draw}} options
 */
export function renderDemo(document, report, { base, draw }) {
  const place = h(document, "div", { class: "report" }, ...reportParts(document, report, { base, draw, hear: null, save: null }));
  return h(
    document,
    "section",
    { class: "recording", "data-wetside": "recording", "data-base": base, "aria-label": "Recording check" },
    h(document, "div", { class: "recording-desk" }, withoutScript(document)),
    h(document, "p", { class: "made-up" }, "Below: what the check says of the demo, a synthetic recording. Nobody recorded it; its faults were put in."),
    place,
  );
}

/** @param {Document} document */
function withoutScript(document) {
  return h(
    document,
    "p",
    { class: "no-form" },
    h(document, "strong", {}, "Checking your own recordings here needs JavaScript, which is off or not available."),
    " The command line does the same: ",
    h(document, "code", {}, "python -m calculators recording check FOLDER"),
    ".",
  );
}
