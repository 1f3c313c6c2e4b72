// SPDX-License-Identifier: GPL-3.0-or-later
// One call: its arguments as C takes them, and what they tell of the others.
import { refuse } from "./errors.js";
import { Frame } from "./memory.js";
import { whole } from "./structs.js";

const encoder = new TextEncoder();

export class Call extends Frame {
  n = undefined; // length of arrays, when there are any
  readings = 0;  // of the sweep
  room = 0;      // bytes for a text
  keeps = [];    // holders of the handles that went in
  faults = 0;    // where the library tells what is wrong with a table
  context = 0;   // of the table that it reads
  model = null;  // the function that it calls
  thrown = null; // what that has thrown
  #core;

  constructor(name, core) {
    super(name, core.exports, core.memory);
    this.#core = core;
  }

  /** One argument as a word for C. */
  argument(word, given, where) {
    const { structs, handles, exports } = this.#core;
    const kind = word.replace(/[?!]$/, "");
    if (word.endsWith("?") && given == null) return 0;
    if (kind === "numbers") return this.numbers(this.#array(given, where));
    if (kind === "square") return this.numbers(this.#square(given, where));
    if (kind === "ints") return this.#ints(given, where);
    if (kind === "count") return this.n = whole(given, 0, 2 ** 28 - 1, where);
    if (kind === "text") return this.text(this.#text(given, where));
    if (kind === "contents") return this.#contents(given, where);
    if (kind === "model") {
      if (typeof given !== "function") throw refuse(where, "a function", given);
      this.model = given;
      return exports.darc_model();
    }
    if (kind.endsWith("[]")) return this.#list(kind.slice(0, -2), given, where);
    if (handles.has(kind)) return this.#handle(word, kind, given, where);
    if (!structs.has(kind)) return structs.word(kind, given, where);
    const at = this.take(structs.size(kind));
    const n = structs.write(this, kind, given, at, where);
    if (kind === "Sweep") this.readings = n;
    return at;
  }

  /** One more array: of the same length as those before it. */
  #count(given, where) {
    if (typeof given !== "object" || typeof given?.length !== "number")
      throw refuse(where, "an array", given);
    if (this.n !== undefined && this.n !== given.length)
      throw new RangeError(`${where}: the arrays are not of the same length`);
    this.n = given.length;
  }

  #array(given, where) {
    this.#count(given, where);
    return this.#numbers(given, where);
  }

  #numbers(given, where) {
    if (given instanceof Float64Array) return given;
    return Float64Array.from(given, (value, i) =>
      this.#core.structs.word("number", value, `${where}[${i}]`));
  }

  #square(given, where) {
    if (given?.length !== this.n ** 2)
      throw refuse(where, "an array of n times n", given);
    return this.#numbers(given, where);
  }

  #ints(given, where) {
    this.#count(given, where);
    const { structs } = this.#core;
    const at = this.take(this.n * 4);
    for (let i = 0; i < this.n; i++)
      structs.writeValue(this, "int", given[i], at + i * 4, `${where}[${i}]`);
    return at;
  }

  #list(kind, given, where) {
    this.#count(given, where);
    const { structs } = this.#core;
    const size = structs.size(kind), at = this.take(this.n * size);
    for (let i = 0; i < this.n; i++)
      structs.write(this, kind, given[i], at + i * size, `${where}[${i}]`);
    return at;
  }

  #text(given, where) {
    if (typeof given !== "string") throw refuse(where, "text", given);
    if (given.includes("\0"))
      throw new RangeError(`${where}: there is a zero in this text`);
    return given;
  }

  /** A table, as the library reads it from memory. */
  #contents(given, where) {
    if (typeof given !== "string" && !(given instanceof Uint8Array))
      throw refuse(where.replace(/read$/, "contents"), "text", given);
    const bytes = typeof given === "string" ? encoder.encode(given) : given;
    const data = this.bytes(bytes);
    this.context = this.take(12); // struct dialarc_memory
    this.#core.memory.view.setUint32(this.context, data, true);
    this.#core.memory.view.setUint32(this.context + 4, bytes.length, true);
    return this.#core.exports.darc_reader();
  }

  #handle(word, kind, given, where) {
    const holder = this.#core.handles.holder(kind, given, where);
    if (word.endsWith("!") && holder.users > 1)
      throw new TypeError(`${where}: tables have been read with this already`);
    this.keeps.push(holder);
    return holder.at;
  }
}
