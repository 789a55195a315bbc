/**
 * JSON, with the place of every value: what is at fault in a file can then be named by line and column,
 * in the same words in every browser. A name that stands twice in an object is refused.
 */

import { FileFault, placeInText, quoted } from "./file-fault.js";

const TOKEN = {
  string: /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y,
  number: /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y,
  word: /true|false|null/y,
};
const DEEPEST = 8;

/**
 * @param {string} source
 * @returns {{value: unknown, at: Map<string, number>}} objects as maps; offsets by path, as in /entries/0/id
 * @throws {FileFault} naming the first fault
 */
export function readJson(source) {
  const reader = new Reader(source.replace(/^\ufeff/, ""));
  const value = reader.value("", 0);
  reader.space();
  if (reader.i < reader.text.length) reader.refuse("the end of the file");
  return { value, at: reader.at };
}

class Reader {
  /** @param {string} text */
  constructor(text) {
    this.text = text;
    this.i = 0;
    /** @type {Map<string, number>} */ this.at = new Map();
  }

  /**
   * @param {string} path
   * @param {number} depth
   * @returns {unknown}
   */
  value(path, depth) {
    this.space();
    this.at.set(path, this.i);
    if (depth > DEEPEST) this.refuse("a file that is not nested so deep");
    const first = this.text[this.i];
    if (first === "{") return this.object(path, depth);
    if (first === "[") return this.list(path, depth);
    const token = this.take(TOKEN.string) ?? this.take(TOKEN.number) ?? this.take(TOKEN.word);
    return token === null ? this.refuse("a value") : JSON.parse(token);
  }

  /**
   * @param {string} path
   * @param {number} depth
   */
  object(path, depth) {
    /** @type {Map<string, unknown>} */ const object = new Map();
    this.items("{", "}", () => {
      const start = this.i;
      const name = JSON.parse(this.take(TOKEN.string) ?? this.refuse("a name in quotation marks"));
      this.space();
      if (this.text[this.i] !== ":") this.refuse("a colon");
      this.i += 1;
      if (object.has(name)) throw new FileFault(`${placeInText(this.text, start)}: the field ${quoted(name)} stands there a second time`);
      object.set(name, this.value(`${path}/${name}`, depth + 1));
    });
    return object;
  }

  /**
   * @param {string} path
   * @param {number} depth
   */
  list(path, depth) {
    /** @type {unknown[]} */ const list = [];
    this.items("[", "]", () => list.push(this.value(`${path}/${list.length}`, depth + 1)));
    return list;
  }

  /**
   * What stands between two brackets, parted by commas.
   * @param {string} open
   * @param {string} close
   * @param {() => void} item
   */
  items(open, close, item) {
    this.i += open.length;
    this.space();
    if (this.text[this.i] !== close) {
      for (;;) {
        item();
        this.space();
        if (this.text[this.i] === close) break;
        if (this.text[this.i] !== ",") this.refuse(`a comma or ${close}`);
        this.i += 1;
        this.space();
      }
    }
    this.i += close.length;
  }

  /** @param {RegExp} token */
  take(token) {
    token.lastIndex = this.i;
    const found = token.exec(this.text)?.[0] ?? null;
    if (found !== null) this.i += found.length;
    return found;
  }

  space() {
    this.take(/[ \t\n\r]*/y);
  }

  /**
   * @param {string} accepted
   * @returns {never}
   */
  refuse(accepted) {
    const found = this.i < this.text.length ? quoted(this.text.slice(this.i, this.i + 10)) : "the end of the file";
    throw new FileFault(`${placeInText(this.text, this.i)}: ${found} is not accepted; accepted is ${accepted}`);
  }
}
