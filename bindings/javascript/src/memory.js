// SPDX-License-Identifier: GPL-3.0-or-later
// The memory of the library: numbers and text in and out, and blocks for one call.

const encoder = new TextEncoder();
const decoder = new TextDecoder();

export class Memory {
  #exports;
  #view;

  constructor(exports) {
    this.#exports = exports;
  }

  /** Memory that has grown is another buffer. */
  get view() {
    const { buffer } = this.#exports.memory;
    if (this.#view?.buffer !== buffer) this.#view = new DataView(buffer);
    return this.#view;
  }

  bytes(at, length) {
    return new Uint8Array(this.#exports.memory.buffer, at, length);
  }

  /** A copy of n numbers. */
  numbers(at, n) {
    return new Float64Array(this.#exports.memory.buffer, at, n).slice();
  }

  /** Text up to its zero; null where there is none. */
  text(at, most = Infinity) {
    if (at === 0) return null;
    const all = new Uint8Array(this.#exports.memory.buffer, at);
    const end = all.indexOf(0);
    return decoder.decode(all.subarray(0, Math.min(end, most)));
  }
}

/** Blocks of memory for the time of one call, all zero. */
export class Frame {
  #exports;
  #memory;
  #name;
  #blocks = [];

  constructor(name, exports, memory) {
    this.#name = name;
    this.#exports = exports;
    this.#memory = memory;
  }

  take(size) {
    const at = size < 2 ** 31 ? this.#exports.malloc(Math.max(size, 8)) : 0;
    if (at === 0) throw new RangeError(`${this.#name}(): memory is exhausted`);
    this.#blocks.push(at);
    this.#memory.bytes(at, Math.max(size, 8)).fill(0);
    return at;
  }

  numbers(values) {
    const at = this.take(values.length * 8);
    new Float64Array(this.#exports.memory.buffer, at, values.length).set(values);
    return at;
  }

  /** Bytes and a zero behind them. */
  bytes(values) {
    const at = this.take(values.length + 1);
    this.#memory.bytes(at, values.length).set(values);
    return at;
  }

  text(string) {
    return this.bytes(encoder.encode(string));
  }

  release() {
    for (const at of this.#blocks) this.#exports.free(at);
    this.#blocks = [];
  }
}
