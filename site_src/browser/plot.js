/**
 * Draws the curve of an answer. Colours come from the page's style sheet through classes and
 * variables; the drawing itself carries no style, so that a strict policy holds.
 */

import { areaY, axisX, axisY, gridX, gridY, line, plot, ruleX, ruleY, text } from "@observablehq/plot";

/**
 * @import {Axis, PlotSpec} from "./types"
 * @typedef {{width: number, height: number}} Size
 * @typedef {Size & {id: string}} Drawing `id` is used once a page: names inside the drawing start with it
 */

const MARGIN = { marginLeft: 52, marginRight: 16, marginTop: 22, marginBottom: 44 };
/** Widest digit of the 12 px number type, for deciding which labels would touch. */
const CHARACTER = 7.3;
const LINE_HEIGHT = 15;
/** From a level to the middle of its label, and from the edge of the frame to that of the first mark's. */
const LEVEL_LABEL = 8;
const FIRST_ROW = 14;

/**
 * @param {Document} document
 * @param {PlotSpec} spec
 * @param {Drawing} drawing
 * @returns {SVGElement}
 */
export function drawPlot(document, spec, { id, ...size }) {
  const picture = plot({
    document,
    ...MARGIN,
    ...size,
    className: "curve",
    x: scale(spec.x),
    y: scale(spec.y),
    ariaLabel: spec.title,
    ariaDescription: spec.description,
    marks: [...frame(spec, size), ...curves(spec), ...levels(spec, size), ...marks(spec, size)],
  });
  picture.querySelectorAll("style").forEach((style) => style.remove());
  picture.setAttribute("role", "img");
  picture.setAttribute("aria-label", `${spec.title}. ${spec.description}`);
  picture.removeAttribute("aria-description");
  // The picture is one image to a screen reader; names of its parts would only be in the way.
  picture.querySelectorAll("[aria-label]").forEach((part) => part.removeAttribute("aria-label"));
  nameClips(picture, id);
  for (const name of ["font-family", "font-size", "fill"]) picture.removeAttribute(name);
  picture.setAttribute("class", "curve");
  return /** @type {SVGElement} */ (picture);
}

/**
 * The library numbers its clip paths anew in every page and every build; two drawings must not share one.
 * @param {Element} picture
 * @param {string} id
 */
function nameClips(picture, id) {
  for (const clip of picture.querySelectorAll("clipPath")) clip.id = `${id}-${clip.id}`;
  for (const part of picture.querySelectorAll("[clip-path]")) {
    const target = /** @type {string} */ (part.getAttribute("clip-path"));
    part.setAttribute("clip-path", target.replace("url(#", `url(#${id}-`));
  }
}

/** @param {Axis} axis */
function scale(axis) {
  return { type: /** @type {"log" | "linear"} */ (axis.log ? "log" : "linear"), domain: axis.domain };
}

/**
 * @param {PlotSpec} spec
 * @param {Size} size
 */
function frame(spec, size) {
  const x = ticks(spec.x, size.width / 70);
  const y = ticks(spec.y, size.height / 40);
  const fine = spec.x.log ? minorTicks(spec.x.domain) : [];
  return [
    gridX(fine, { className: "grid fine", stroke: "var(--rule-2)", strokeOpacity: 1 }),
    gridX(x, { className: "grid", stroke: "var(--rule)", strokeOpacity: 1 }),
    gridY(y, { className: "grid", stroke: "var(--rule)", strokeOpacity: 1 }),
    axisX(x, {
      className: "axis",
      label: spec.x.label,
      labelAnchor: "center",
      labelArrow: "none",
      tickFormat: tickText(spec.x),
      tickSize: 4,
    }),
    axisY(y, {
      className: "axis",
      label: spec.y.label,
      labelAnchor: "top",
      labelArrow: "none",
      tickFormat: tickText(spec.y),
      tickSize: 4,
    }),
  ];
}

/** @param {PlotSpec} spec */
function curves(spec) {
  const bands = spec.bands.map((band) =>
    areaY(band.points, {
      className: "band",
      x: (p) => p[0],
      y1: (p) => p[1],
      y2: (p) => p[2],
      fill: "var(--brass-2)",
      clip: true,
    }),
  );
  const lines = spec.lines.map(({ kind, points }) =>
    line(points, {
      className: `line ${kind}`,
      x: (p) => p[0],
      y: (p) => p[1],
      stroke: kind === "main" ? "var(--deep)" : "var(--ink-2)",
      strokeWidth: kind === "main" ? 2.5 : 1.5,
      strokeDasharray: kind === "third" ? "5 4" : undefined,
      clip: true,
    }),
  );
  return [...bands, ...lines];
}

const LABEL = { className: "mark-label", fill: "var(--ink)", stroke: "var(--sheet)", strokeWidth: 4 };

/**
 * @param {PlotSpec} spec
 * @param {Size} size
 */
function levels(spec, size) {
  return levelsInside(spec).flatMap(({ y, label, kind }) => [
    ruleY([y], {
      className: `level ${kind}`,
      stroke: kind === "limit" ? "var(--fail)" : "var(--ink-2)",
      strokeDasharray: "6 4",
    }),
    text([label], {
      ...LABEL,
      className: `level-label ${kind}`,
      y: [y],
      ...freeEnd(spec, y),
      dy: levelSide(spec, y, size) * LEVEL_LABEL,
    }),
  ]);
}

/** @param {PlotSpec} spec */
const levelsInside = (spec) => spec.levels.filter((level) => inside(level.y, spec.y.domain));

/**
 * A level's label stands above it (-1), but below (1) where another level or the frame's edge, with
 * the name of the axis, is too near for it.
 * @param {PlotSpec} spec
 * @param {number} y
 * @param {Size} size
 */
function levelSide(spec, y, size) {
  const above = levelsInside(spec).filter((level) => level.y > y);
  const edges = [0, ...above.map((level) => fromTop(spec, level.y, size))];
  return edges.some((edge) => fromTop(spec, y, size) - edge < LINE_HEIGHT) ? 1 : -1;
}

/**
 * The end of a level where its label is farther from the first curve.
 * @param {PlotSpec} spec
 * @param {number} y
 */
function freeEnd(spec, y) {
  const points = curveOf(spec) ?? [[0, y]];
  const away = [points[0], points[points.length - 1]].map((p) => Math.abs(p[1] - y));
  /** @type {"left" | "right"} */ const frameAnchor = away[0] > away[1] ? "left" : "right";
  /** @type {"start" | "end"} */ const textAnchor = frameAnchor === "left" ? "start" : "end";
  return { frameAnchor, textAnchor, dx: frameAnchor === "left" ? 4 : -4 };
}

/**
 * @param {PlotSpec} spec
 * @param {Size} size
 */
function marks(spec, size) {
  const found = spec.marks.filter((mark) => inside(mark.x, spec.x.domain));
  const rules = ruleX(found.map((mark) => mark.x), {
    className: "mark",
    stroke: "var(--ink)",
    strokeDasharray: "3 4",
  });
  return [rules, ...placeMarks(spec, found, size).map((place) => markLabel(place))];
}

/** @param {Placed} place */
function markLabel({ x, label, end, top, row, dx }) {
  return text([label], {
    ...LABEL,
    x: [x],
    frameAnchor: top ? "top" : "bottom",
    textAnchor: end ? "end" : "start",
    dx,
    dy: (top ? 1 : -1) * (8 + row * LINE_HEIGHT),
  });
}

/**
 * @typedef {{x: number, label: string, end: boolean, top: boolean, row: number, dx: number}} Placed
 */

/** @param {Size} size */
const frameWidth = (size) => size.width - MARGIN.marginLeft - MARGIN.marginRight;
/** @param {Size} size */
const frameHeight = (size) => size.height - MARGIN.marginTop - MARGIN.marginBottom;
/**
 * How far below the frame's upper edge a value lies.
 * @param {PlotSpec} spec
 * @param {number} y
 * @param {Size} size
 */
const fromTop = (spec, y, size) => frameHeight(size) - pixel(spec.y, y, frameHeight(size));

/**
 * Where the labels of the levels are.
 * @param {PlotSpec} spec
 * @param {Size} size
 */
function levelPlaces(spec, size) {
  return levelsInside(spec).map(({ y, label }) => {
    const middle = fromTop(spec, y, size) + levelSide(spec, y, size) * LEVEL_LABEL;
    const room = label.length * CHARACTER + 5;
    const from = freeEnd(spec, y).frameAnchor === "left" ? 0 : frameWidth(size) - room;
    return { middle, from, to: from + room };
  });
}

/**
 * Each label stands beside its rule, at the end of the frame that the curve leaves free, in the first
 * row where it touches no other. With too little room on either side it lies across its rule.
 * @param {PlotSpec} spec
 * @param {PlotSpec["marks"]} found
 * @param {Size} size
 * @returns {Placed[]}
 */
function placeMarks(spec, found, size) {
  const taken = levelPlaces(spec, size);
  const sorted = [...found].sort((a, b) => a.x - b.x);
  return sorted.map(({ x, label }) => {
    const at = pixel(spec.x, x, frameWidth(size));
    const room = label.length * CHARACTER + 10;
    const over = Math.max(0, at + room - frameWidth(size));
    const end = over > 0 && at >= room;
    const from = at - (end ? room : over);
    const to = from + room;
    const top = !curveIsHigh(spec, x);
    let row = 0;
    /** @param {number} row */
    const middleOf = (row) => {
      const inwards = FIRST_ROW + row * LINE_HEIGHT;
      return top ? inwards : frameHeight(size) - inwards;
    };
    /** @param {number} middle */
    const touches = (middle) =>
      taken.some((t) => t.from < to && t.to > from && Math.abs(t.middle - middle) < LINE_HEIGHT - 1);
    while (touches(middleOf(row))) row++;
    taken.push({ middle: middleOf(row), from, to });
    return { x, label, end, top, row, dx: end ? -5 : 5 - over };
  });
}

/**
 * The points of the first line that has any: a line may lie outside the frame as a whole.
 * @param {PlotSpec} spec
 */
const curveOf = (spec) => spec.lines.find((one) => one.points.length > 0)?.points;

/**
 * Is the first curve in the upper half of the frame here?
 * @param {PlotSpec} spec
 * @param {number} x
 */
function curveIsHigh(spec, x) {
  const next = curveOf(spec)?.find((point) => point[0] >= x);
  return next !== undefined && pixel(spec.y, next[1], 1) > 0.5;
}

/**
 * Position along an axis of this length.
 * @param {Axis} axis
 * @param {number} value
 * @param {number} length
 */
function pixel(axis, value, length) {
  /** @type {(v: number) => number} */
  const to = axis.log ? Math.log : (v) => v;
  const [low, high] = axis.domain;
  return (length * (to(value) - to(low))) / (to(high) - to(low));
}

/**
 * @param {number} value
 * @param {[number, number]} domain
 */
const inside = (value, [a, b]) => value >= Math.min(a, b) && value <= Math.max(a, b);

/**
 * @param {Axis} axis
 * @param {number} most
 */
function ticks(axis, most) {
  return axis.log ? logTicks(axis.domain, most) : linearTicks(axis, most);
}

/**
 * Powers of ten; where there are few of them, also their doubles and fives.
 * @param {[number, number]} domain
 * @param {number} most
 */
function logTicks(domain, most) {
  const rich = decades(domain, [1, 2, 5]);
  if (rich.length <= most) return rich;
  const plain = decades(domain, [1]);
  const every = Math.ceil(plain.length / most);
  return plain.filter((_, index) => index % every === 0);
}

/** @param {[number, number]} domain */
const minorTicks = (domain) => decades(domain, [2, 3, 4, 5, 6, 7, 8, 9]);

/**
 * @param {[number, number]} domain
 * @param {number[]} steps
 */
function decades([low, high], steps) {
  const found = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high); power++) {
    for (const step of steps) found.push(Number(`${step}e${power}`));
  }
  return found.filter((value) => value >= low * (1 - 1e-9) && value <= high * (1 + 1e-9));
}

/**
 * @param {Axis} axis
 * @param {number} most
 */
function linearTicks({ domain: [low, high], whole }, most) {
  const rough = Math.max(whole ? 1 : 0, (high - low) / Math.max(1, most));
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((n) => n * power).find((n) => n >= rough) ?? rough;
  const found = [];
  for (let n = Math.ceil(low / step - 1e-9); n * step <= high + step * 1e-9; n++) found.push(n * step);
  return found;
}

/**
 * On an even axis thousands stay whole, 1455 and not 1.455k: such values often differ in their last digits.
 * @param {Axis} axis
 * @returns {(value: number) => string}
 */
const tickText = (axis) => (value) => plainNumber(value, axis.log ? 1e3 : 1e4);

/**
 * 10⁻⁵, 0.1, 1, 10, 100, 1k, 1M; a true minus sign.
 * @param {number} value
 * @param {number} [from] smallest size that gets the letter of thousands
 */
export function plainNumber(value, from = 1e3) {
  const size = Math.abs(value);
  if (size > 0 && size < 1e-4) return powerOfTen(value);
  const [divisor, letter] = size >= 1e6 ? [1e6, "M"] : size >= from ? [1e3, "k"] : [1, ""];
  const digits = Number((size / divisor).toPrecision(6));
  return `${value < 0 ? "−" : ""}${digits}${letter}`;
}

/**
 * 10⁻⁵, 2·10⁻⁵: written out, so many zeros find no room beside the frame.
 * @param {number} value
 */
function powerOfTen(value) {
  const [digits, power] = Number(Math.abs(value).toPrecision(6)).toExponential().split("e-");
  const raised = [...power].map((digit) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(digit)]).join("");
  return `${value < 0 ? "−" : ""}${digits === "1" ? "" : `${digits}·`}10⁻${raised}`;
}
