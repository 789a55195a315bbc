/**
 * Draws a picture to scale from shapes in millimetres. Looks come from the style sheet through
 * classes; materials differ by hatching, so that they can be told apart without colour.
 */

import { svg } from "./dom.js";

/**
 * @import {DrawingSpec, DrawnShape} from "./types"
 * @typedef {{width: number, height: number}} Size
 * @typedef {[number, number]} Point
 * @typedef {{text: string, x: number, y: number, anchor: "start" | "middle" | "end"}} Words
 * @typedef {{left: number, right: number, top: number, bottom: number}} Sides
 * @typedef {(point: Point) => Point} Place from millimetres, y up, to the picture, y down
 */

/** Widest digit of the 12 px number type. */
const CHARACTER = 7.3;
const LINE_HEIGHT = 14;
const MARGIN = 10;
/** Half a tick across the end of a dimension line. */
const TICK = 4;
const GAP = 5;

/** Hatching by material: how the strokes of one 6 px tile run. What is not here is plain. */
const HATCHES = {
  wall: ["M0 6L6 0"],
  lid: ["M0 0L6 6"],
  resin: ["M3 2.5v1"],
  cable: ["M0 6L6 0", "M0 0L6 6"],
  ballast: ["M0 3h6", "M3 0v6"],
  ground: ["M0 5h3", "M3 2h3"],
  doubt: ["M3 0v6"],
  lost: ["M0 6L6 0", "M0 0L6 6"],
};

/**
 * @param {Document} document
 * @param {DrawingSpec} spec
 * @param {Size & {id: string}} options `id` is used once a page: names inside start with it
 * @returns {SVGElement}
 */
export function drawDrawing(document, spec, { id, width, height }) {
  const { place, scale } = fit(spec.shapes, { width, height });
  const pieces = spec.shapes.flatMap((shape) => drawn(document, shape, place, scale, id));
  const words = spec.shapes.flatMap((shape) => wordsOf(shape, place, scale));
  return svg(
    document,
    "svg",
    {
      class: "to-scale",
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: "img",
      "aria-label": `${spec.title}. ${spec.description}`,
    },
    svg(document, "defs", {}, ...patterns(document, id)),
    ...pieces,
    ...words.map((word) => written(document, word, width)),
  );
}

/**
 * The scale at which shapes and words fit: words keep their size, so the first try shows how much
 * room they need at each side, and the second gives it.
 * @param {DrawnShape[]} shapes
 * @param {Size} size
 */
function fit(shapes, size) {
  const edges = bounds(shapes.flatMap(outline));
  let margins = { left: MARGIN, right: MARGIN, top: MARGIN, bottom: MARGIN };
  let fitted = placed(edges, size, margins);
  for (let round = 0; round < 2; round++) {
    const words = shapes.flatMap((shape) => wordsOf(shape, fitted.place, fitted.scale));
    margins = roomFor(words, size, margins);
    fitted = placed(edges, size, margins);
  }
  return fitted;
}

/**
 * @param {Sides} edges in millimetres
 * @param {Size} size
 * @param {Sides} margins
 */
function placed(edges, { width, height }, margins) {
  const wide = edges.right - edges.left || 1;
  const high = edges.top - edges.bottom || 1;
  const room = { x: width - margins.left - margins.right, y: height - margins.top - margins.bottom };
  const scale = Math.max(Math.min(room.x / wide, room.y / high), 1e-6);
  const left = margins.left + (room.x - wide * scale) / 2;
  const top = margins.top + (room.y - high * scale) / 2;
  /** @type {Place} */
  const place = ([x, y]) => [left + (x - edges.left) * scale, top + (edges.top - y) * scale];
  return { place, scale };
}

/**
 * @param {Words[]} words
 * @param {Size} size
 * @param {Sides} margins
 */
function roomFor(words, { width, height }, margins) {
  const wanted = { ...margins };
  for (const word of words) {
    const [left, right] = extent(word);
    wanted.left = Math.max(wanted.left, margins.left + MARGIN / 2 - left);
    wanted.right = Math.max(wanted.right, margins.right + right - (width - MARGIN / 2));
    wanted.top = Math.max(wanted.top, margins.top + LINE_HEIGHT - word.y);
    wanted.bottom = Math.max(wanted.bottom, margins.bottom + word.y + GAP - height);
  }
  // Words must not take the picture's place.
  const most = { x: 0.35 * width, y: 0.35 * height };
  return {
    left: Math.min(wanted.left, most.x),
    right: Math.min(wanted.right, most.x),
    top: Math.min(wanted.top, most.y),
    bottom: Math.min(wanted.bottom, most.y),
  };
}

/** @param {Words} word */
function extent({ text, x, anchor }) {
  const long = text.length * CHARACTER;
  const left = anchor === "start" ? x : anchor === "end" ? x - long : x - long / 2;
  return [left, left + long];
}

/**
 * The points that must lie within the picture.
 * @param {DrawnShape} shape
 * @returns {Point[]}
 */
function outline(shape) {
  if (shape.shape === "ellipse") {
    const [[x, y]] = shape.points;
    return [
      [x - shape.rx, y - shape.ry],
      [x + shape.rx, y + shape.ry],
    ];
  }
  return shape.shape === "dimension" ? [...shape.points, ...dimensionLine(shape)] : shape.points;
}

/** @param {Point[]} points */
function bounds(points) {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  return {
    left: Math.min(...xs),
    right: Math.max(...xs),
    top: Math.max(...ys),
    bottom: Math.min(...ys),
  };
}

/**
 * The ends of a dimension line: those measured, moved aside.
 * @param {Extract<DrawnShape, {shape: "dimension"}>} shape
 * @returns {[Point, Point]}
 */
function dimensionLine({ points: [a, b], offset }) {
  const [nx, ny] = leftOf(a, b);
  return [
    [a[0] + nx * offset, a[1] + ny * offset],
    [b[0] + nx * offset, b[1] + ny * offset],
  ];
}

/**
 * Unit vector to the left of the way from a to b, y up.
 * @param {Point} a
 * @param {Point} b
 * @returns {Point}
 */
function leftOf(a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = Math.hypot(dx, dy) || 1;
  return [-dy / long, dx / long];
}

/**
 * @param {Document} document
 * @param {DrawnShape} shape
 * @param {Place} place
 * @param {number} scale
 * @param {string} id
 * @returns {SVGElement[]}
 */
function drawn(document, shape, place, scale, id) {
  switch (shape.shape) {
    case "polygon": {
      const points = shape.points.map(place).map((point) => point.map(tidy).join(",")).join(" ");
      return filled(document, "polygon", { points }, shape.kind, id);
    }
    case "ellipse": {
      const [cx, cy] = place(shape.points[0]).map(tidy);
      const radii = { rx: tidy(shape.rx * scale), ry: tidy(shape.ry * scale) };
      return filled(document, "ellipse", { cx, cy, ...radii }, shape.kind, id);
    }
    case "segment":
      return [stroke(document, shape.kind, place(shape.points[0]), place(shape.points[1]))];
    case "dimension":
      return dimension(document, shape, place);
    default:
      return [];
  }
}

/** @param {number} number */
const tidy = (number) => Math.round(number * 100) / 100;

/**
 * The material's colour, and its hatching over it.
 * @param {Document} document
 * @param {"polygon" | "ellipse"} tag
 * @param {Record<string, string | number>} form
 * @param {string} kind
 * @param {string} id
 */
function filled(document, tag, form, kind, id) {
  const pieces = [svg(document, tag, { class: `of-${kind}`, ...form })];
  if (kind in HATCHES) {
    pieces.push(svg(document, tag, { class: "hatched", fill: `url(#${id}-${kind})`, ...form }));
  }
  return pieces;
}

/**
 * @param {Document} document
 * @param {string} id
 */
function patterns(document, id) {
  return Object.entries(HATCHES).map(([kind, paths]) =>
    svg(
      document,
      "pattern",
      { id: `${id}-${kind}`, width: 6, height: 6, patternUnits: "userSpaceOnUse" },
      ...paths.map((d) => svg(document, "path", { class: "hatch", d })),
    ),
  );
}

/**
 * @param {Document} document
 * @param {string} kind
 * @param {Point} from
 * @param {Point} to
 */
function stroke(document, kind, from, to) {
  const [x1, y1, x2, y2] = [...from, ...to].map(tidy);
  return svg(document, "line", { class: kind, x1, y1, x2, y2 });
}

/**
 * The line with a tick across each end, and where it was moved aside a thin line back to its point.
 * @param {Document} document
 * @param {Extract<DrawnShape, {shape: "dimension"}>} shape
 * @param {Place} place
 */
function dimension(document, shape, place) {
  const [from, to] = dimensionLine(shape).map(place);
  const back = shape.offset
    ? [stroke(document, "aside", place(shape.points[0]), from), stroke(document, "aside", place(shape.points[1]), to)]
    : [];
  const ticks = [from, to].map(([x, y]) =>
    stroke(document, "measure", [x - TICK, y + TICK], [x + TICK, y - TICK]),
  );
  return [...back, stroke(document, "measure", from, to), ...ticks];
}

/**
 * The words that belong to a shape, and where they stand.
 * @param {DrawnShape} shape
 * @param {Place} place
 * @param {number} scale
 * @returns {Words[]}
 */
function wordsOf(shape, place, scale) {
  switch (shape.shape) {
    case "polygon":
    case "ellipse":
      return nameOf(shape, place, scale);
    case "dimension":
      return [dimensionWords(shape, place)];
    case "label": {
      const [x, y] = place(shape.points[0]);
      return [{ text: shape.text, x, y: y + 4, anchor: shape.anchor }];
    }
    default:
      return [];
  }
}

/**
 * A shape's name in its middle, if it has room for it.
 * @param {Extract<DrawnShape, {shape: "polygon" | "ellipse"}>} shape
 * @param {Place} place
 * @param {number} scale
 * @returns {Words[]}
 */
function nameOf(shape, place, scale) {
  if (!shape.label) return [];
  const { left, right, top, bottom } = bounds(outline(shape));
  const room = (right - left) * scale >= shape.label.length * CHARACTER + 2;
  if (!room || (top - bottom) * scale < LINE_HEIGHT) return [];
  const [x, y] = place([(left + right) / 2, (top + bottom) / 2]);
  return [{ text: shape.label, x, y: y + 4, anchor: "middle" }];
}

/**
 * Beside the middle of the line, on the side it was moved to.
 * @param {Extract<DrawnShape, {shape: "dimension"}>} shape
 * @param {Place} place
 * @returns {Words}
 */
function dimensionWords(shape, place) {
  const [a, b] = shape.points;
  const [from, to] = dimensionLine(shape).map(place);
  const [x, y] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
  const side = leftOf(a, b).map((part) => part * (shape.offset < 0 ? -1 : 1));
  const { text } = shape;
  if (Math.abs(side[1]) >= Math.abs(side[0])) {
    return { text, x, y: side[1] > 0 ? y - GAP : y + LINE_HEIGHT, anchor: "middle" };
  }
  return side[0] > 0
    ? { text, x: x + GAP + 1, y: y + 4, anchor: "start" }
    : { text, x: x - GAP - 1, y: y + 4, anchor: "end" };
}

/**
 * @param {Document} document
 * @param {Words} word
 * @param {number} width
 */
function written(document, word, width) {
  const [left, right] = extent(word);
  const shift = left < 2 ? 2 - left : Math.min(0, width - 2 - right);
  const at = { x: tidy(word.x + shift), y: tidy(word.y), "text-anchor": word.anchor };
  return svg(document, "text", at, word.text);
}
