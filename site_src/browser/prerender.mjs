/**
 * Build time: formulas become MathML, declarations become complete calculators.
 * JSON on stdin, JSON on stdout; the shapes are in `main`.
 */

import { createHash } from "node:crypto";
import { text } from "node:stream/consumers";
import { DOMParser, parseHTML } from "linkedom";
import temml from "temml";
import { drawDrawing } from "./drawing.js";
import { drawPlot } from "./plot.js";
import { renderDemo } from "./recording-view.js";
import { renderCalculator } from "./render.js";
import { renderRig } from "./rig-view.js";

/** @import {Answer, Decl, DrawingSpec, RenderOptions, RigWhole} from "./types" */
/** @import {RigOptions} from "./rig-view.js" */

/** A drawing for a phone and one for a wide column: a drawing that is scaled has unreadable type. */
const SIZES = { narrow: { width: 340, height: 255 }, wide: { width: 640, height: 400 } };

const { document } = parseHTML("<!doctype html><html><body></body></html>");

/** Style attributes are refused by the page's policy: each becomes a class, collected here. */
const styles = new Map();

/**
 * @param {string} tex
 * @param {boolean} display
 * @returns {Element}
 */
function math(tex, display) {
  const html = temml.renderToString(tex, { displayMode: display, annotate: true, throwOnError: true });
  const box = document.createElement("div");
  box.innerHTML = html;
  for (const element of box.querySelectorAll("[style]")) styleToClass(element);
  return /** @type {Element} */ (box.firstElementChild);
}

/** @param {Element} element */
function styleToClass(element) {
  const style = /** @type {string} */ (element.getAttribute("style"));
  const name = `m-${createHash("sha256").update(style).digest("hex").slice(0, 8)}`;
  styles.set(name, style);
  element.removeAttribute("style");
  element.setAttribute("class", `${element.getAttribute("class") ?? ""} ${name}`.trim());
}

/**
 * @template Spec
 * @param {import("./picture.js").Draw<Spec>} draw
 * @returns {(spec: Spec, base: string) => SVGElement[]} base is the id of the calculator
 */
function inBothSizes(draw) {
  return (spec, base) =>
    Object.entries(SIZES).map(([name, size]) => {
      const picture = draw(document, spec, { ...size, id: `${base}-${name}` });
      picture.setAttribute("class", `${picture.getAttribute("class")} ${name}`);
      return picture;
    });
}

const plots = inBothSizes(drawPlot);
const drawings = inBothSizes(drawDrawing);

/** @param {{spec: DrawingSpec, id: string}} job */
function figure({ spec, id }) {
  const box = document.createElement("div");
  box.setAttribute("class", "drawing-box");
  box.append(...drawings(spec, id));
  return box.outerHTML;
}

/** @param {{decl: Decl, answer: Answer, options?: RenderOptions}} job */
function calculator({ decl, answer, options = {} }) {
  const section = renderCalculator(document, decl, answer, {
    ...options,
    math: (tex) => math(tex, true),
    plot: plots,
    drawing: (spec, id) => drawings(spec, `${id}-drawing`),
  });
  const styled = section.querySelector("[style]");
  if (styled) throw new Error(`${decl.id}: a style attribute is left: ${styled.outerHTML.slice(0, 200)}`);
  escapeAmpersands(section);
  return section.outerHTML;
}

/** @param {{check: RigWhole, options: RigOptions}} job */
function rig({ check, options }) {
  const section = renderRig(document, check, { ...options, drawing: drawings });
  escapeAmpersands(section);
  return section.outerHTML;
}

/** @param {{report: import("./recording-types").Report, base: string}} job */
function recording({ report, base }) {
  const section = renderDemo(document, report, { base, draw: chart });
  escapeAmpersands(section);
  return section.outerHTML;
}

/** @param {string} text a picture that the core has drawn */
function chart(text) {
  const picture = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  // The theme sets every "href" of a page that arrives anew, and that of an SVG image cannot be set.
  for (const image of picture.querySelectorAll("image")) {
    image.setAttribute("xlink:href", image.getAttribute("href"));
    image.removeAttribute("href");
  }
  return /** @type {any} */ (document.importNode(/** @type {any} */ (picture), true));
}

/**
 * The serializer leaves "&" in attributes as it is; a link's "&name=" must not become a character.
 * @param {Element} root
 */
function escapeAmpersands(root) {
  for (const element of [root, ...root.querySelectorAll("*")]) {
    for (const { name, value } of element.attributes) {
      if (value.includes("&")) element.setAttribute(name, value.replaceAll("&", "&amp;"));
    }
  }
}

/** @returns {string} */
function css() {
  return [...styles].sort().map(([name, style]) => `.${name}{${style}}`).join("\n");
}

/** @type {{math?: {tex: string, display: boolean}[], calculators?: any[], drawings?: any[], rigs?: any[], recordings?: any[]}} */
const job = JSON.parse(await text(process.stdin));
const result = {
  math: (job.math ?? []).map(({ tex, display }) => math(tex, display).outerHTML),
  calculators: (job.calculators ?? []).map(calculator),
  drawings: (job.drawings ?? []).map(figure),
  rigs: (job.rigs ?? []).map(rig),
  recordings: (job.recordings ?? []).map(recording),
  css: css(),
};
process.stdout.write(JSON.stringify(result));
