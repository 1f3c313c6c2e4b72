// SPDX-License-Identifier: GPL-3.0-or-later
// Structs of C as plain objects and back. A field is described by three words: its name,
// what it is, and where it stands ("rise_mm number[65] 168").
import { refuse } from "./errors.js";

const SIZES = { number: 8, text: 4, length: 4 };
const LARGEST = 2 ** 32 - 1; // of a size: DIALARC_NO_ROW, which is -1 here

function parse(words) {
  const [name, what, offset] = words.split(" ");
  const [, kind, dims, star] = /^(\w+)((?:\[\d+\])*)(\*?)$/.exec(what);
  return { name, kind, listed: star === "*", offset: Number(offset),
    dims: (dims.match(/\d+/g) ?? []).map(Number) };
}

/** A whole number between two limits. */
export function whole(given, least, most, where) {
  if (typeof given !== "number" || !Number.isInteger(given))
    throw refuse(where, "a whole number", given);
  if (given < least || given > most)
    throw new RangeError(`${where}: ${given} is not within ${least} and ${most}`);
  return given;
}

export class Structs {
  #memory;
  #handles;
  #share;
  #layouts = {};

  /** share: what makes a handle of its own of a pointer to what somebody else holds. */
  constructor(layouts, memory, handles, share) {
    this.#memory = memory;
    this.#handles = handles;
    this.#share = share;
    for (const [name, [size, ...fields]] of Object.entries(layouts))
      this.#layouts[name] = { size, fields: fields.map(parse) };
  }

  has(name) {
    return name in this.#layouts;
  }

  size(kind) {
    return this.#layouts[kind]?.size ?? SIZES[kind] ?? 4;
  }

  // ---- into memory ----------------------------------------------------------------

  /** Writes an object; what it leaves out is as in a new struct. */
  write(frame, kind, given, at, where) {
    if (typeof given !== "object" || given === null)
      throw refuse(where, `a ${kind}`, given);
    const { fields } = this.#layouts[kind];
    const names = fields.filter(({ kind }) => kind !== "length").map(({ name }) => name);
    for (const name of Object.keys(given))
      if (!names.includes(name))
        throw new TypeError(`${where}: a ${kind} has no field ${name}; it has ` +
          names.join(", "));
    const listed = fields.filter((field) => field.listed);
    const n = listed.length > 0 ? this.#length(listed, given, where) : 0;
    for (const field of fields) {
      const value = field.kind === "length" ? n : given[field.name];
      const left = !(field.name in given) && field.kind !== "length";
      if (left && kind !== "Setup" && !listed.includes(field)) continue;
      this.#writeField(frame, field, value, at + field.offset, n,
        `${where}.${field.name}`, kind === "Setup");
    }
    return n;
  }

  /** How long the arrays of a struct are. */
  #length(listed, given, where) {
    const first = given[listed[0].name];
    if (typeof first?.length !== "number")
      throw refuse(`${where}.${listed[0].name}`, "an array", first);
    return first.length;
  }

  #writeField(frame, field, value, at, n, where, unknown) {
    if (field.listed) {
      if (field.name === "direction" && value == null) return;
      if (value?.length !== n) throw refuse(where, `an array of ${n} values`, value);
      const place = frame.take(n * this.size(field.kind));
      this.#memory.view.setUint32(at, place, true);
      this.#writeMany(frame, field.kind, value, place, [n], where);
    } else if (field.dims.length > 0) {
      this.#writeMany(frame, field.kind, value, at, field.dims, where);
    } else if (value == null && (unknown || field.kind === "number" ||
        this.#handles.has(field.kind))) {
      if (field.kind === "number") this.#memory.view.setFloat64(at, NaN, true);
    } else {
      this.writeValue(frame, field.kind, value, at, where);
    }
  }

  #writeMany(frame, kind, values, at, [n, ...inner], where) {
    if (values?.length !== n) throw refuse(where, `an array of ${n} values`, values);
    const size = inner.reduce((product, dim) => product * dim, this.size(kind));
    for (let i = 0; i < n; i++) {
      const place = `${where}[${i}]`;
      if (inner.length > 0)
        this.#writeMany(frame, kind, values[i], at + i * size, inner, place);
      else this.writeValue(frame, kind, values[i], at + i * size, place);
    }
  }

  writeValue(frame, kind, value, at, where) {
    if (this.has(kind)) this.write(frame, kind, value, at, where);
    else {
      const word = this.word(kind, value, where);
      if (kind === "number") this.#memory.view.setFloat64(at, word, true);
      else this.#memory.view.setUint32(at, word >>> 0, true);
    }
  }

  /** One value as a word for a call or a field. */
  word(kind, value, where) {
    if (this.#handles.has(kind)) return this.#handles.holder(kind, value, where).at;
    if (kind === "number") {
      if (typeof value !== "number") throw refuse(where, "a number", value);
      return value;
    }
    if (kind === "size") return whole(value, -1, LARGEST, where);
    if (kind === "uint") return whole(value, 0, LARGEST, where);
    return whole(value, -(2 ** 31), 2 ** 31 - 1, where);
  }

  // ---- out of memory --------------------------------------------------------------

  read(kind, at) {
    const { fields } = this.#layouts[kind];
    const found = {};
    for (const field of fields.filter((one) => one.kind !== "length"))
      found[field.name] = this.#readField(fields, field, found, at);
    return found;
  }

  #readField(fields, field, found, at) {
    const place = at + field.offset;
    if (field.listed) return this.#readListed(fields, field, found, at);
    if (field.kind === "chars") return this.#memory.text(place, field.dims[0]);
    if (field.dims.length > 0) return this.readMany(field.kind, place, field.dims);
    return this.readValue(field.kind, place);
  }

  /** An array outside the struct, as long as n says, or the sweep that is within it. */
  #readListed(fields, field, found, at) {
    const length = fields.find((other) => other.kind === "length");
    const n = length ? this.#memory.view.getUint32(at + length.offset, true)
      : found.sweep.dial_mm.length;
    const place = this.#memory.view.getUint32(at + field.offset, true);
    return place === 0 && field.name === "direction" ? null
      : this.readMany(field.kind, place, [n]);
  }

  readMany(kind, at, [n, ...inner]) {
    if (kind === "number" && inner.length === 0) return this.#memory.numbers(at, n);
    const size = inner.reduce((product, dim) => product * dim, this.size(kind));
    return Array.from({ length: n }, (_, i) => inner.length > 0
      ? this.readMany(kind, at + i * size, inner) : this.readValue(kind, at + i * size));
  }

  readValue(kind, at) {
    const { view } = this.#memory;
    if (this.has(kind)) return this.read(kind, at);
    if (kind === "number") return view.getFloat64(at, true);
    if (kind === "uint") return view.getUint32(at, true);
    if (kind === "text") return this.#memory.text(view.getUint32(at, true));
    if (this.#handles.has(kind)) return this.#share(kind, view.getUint32(at, true));
    return view.getInt32(at, true); // a size is below 2^31, but for -1
  }
}
