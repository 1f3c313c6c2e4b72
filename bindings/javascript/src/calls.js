// SPDX-License-Identifier: GPL-3.0-or-later
// A function of JavaScript for each function of C, from the words that generate/calls.py
// has for its arguments.
import { Call } from "./call.js";
import { DialarcError } from "./errors.js";

const HIDDEN = new Set(["length", "workspace", "error", "room", "null", "context"]);
const FAULTS = 20; // DIALARC_ERRORS_MAX

/** What functions need of an instance of the library. */
export class Caller {
  #core;
  #models = [];
  #workspace = 0;

  constructor(core) {
    this.#core = core; // exports, memory, handles, structs
  }

  /** The function that the library calls for a model; it must not throw through C. */
  model(input) {
    const call = this.#models.at(-1);
    if (call.thrown) return Infinity;
    try {
      return Number(call.model(this.#core.memory.numbers(input, call.n)));
    } catch (problem) {
      call.thrown = { problem };
      return Infinity;
    }
  }

  /** The function for one line of the interface. */
  make(name, [gives, ...words]) {
    const takes = words.map((text) => {
      const [argument, ...word] = text.split(" ");
      return { name: argument, word: word[0], more: word[1] };
    });
    const seen = takes.filter(({ word }) => !HIDDEN.has(word) && !word.startsWith("="));
    const made = (...given) => {
      if (given.length > seen.length)
        throw new TypeError(
          `${name}(): takes ${seen.length} arguments, not ${given.length}`);
      const call = new Call(name, this.#core);
      try {
        return this.#run(call, name, gives, takes, seen, given);
      } finally {
        call.release();
      }
    };
    return Object.defineProperties(made,
      { name: { value: name }, length: { value: seen.length } });
  }

  #run(call, name, gives, takes, seen, given) {
    const words = new Map();
    seen.forEach((taken, i) =>
      words.set(taken, call.argument(taken.word, given[i], `${name}(): ${taken.name}`)));
    for (const taken of takes)
      if (!words.has(taken)) words.set(taken, this.#prepare(call, taken));
    const { structs } = this.#core;
    const place = structs.has(gives) ? [call.take(structs.size(gives))] : [];
    if (call.model) this.#models.push(call);
    let returned;
    try {
      returned = this.#core.exports[`dialarc_${name}`](...place,
        ...takes.map((taken) => words.get(taken)));
    } finally {
      if (call.model) this.#models.pop();
    }
    if (call.thrown) throw call.thrown.problem;
    if (gives !== "status")
      return this.#returned(call, gives, place[0] ?? returned, name);
    if (returned < 0) throw this.#error(call, name, returned);
    return this.#results(call, takes, words);
  }

  /** An argument that nobody gives: what it needs is known by now. */
  #prepare(call, { word, more }) {
    const { structs, exports } = this.#core;
    const n = call.n ?? 0;
    switch (word) {
    case "length": return n;
    case "workspace": return this.#workspace ||= exports.dialarc_workspace_new();
    case "null": return 0;
    case "context": return call.context;
    case "error": {
      const size = structs.size("ErrorPlace");
      call.faults = call.take(FAULTS * size);
      structs.write(call, "ErrorPlace", { room: FAULTS }, call.faults, "error");
      return call.faults;
    }
    case "room": return call.room;
    case "=text":
      call.room = parseInt(more, 10) * (more.endsWith("*") ? Math.min(n, 2 ** 21) : 1);
      return call.take(call.room);
    case "=numbers": return call.take(n * 8);
    // The library writes no residuals of a sweep that it cannot use: they stay NaN.
    case "=readings": return call.numbers(new Float64Array(call.readings).fill(NaN));
    case "=ints": return call.take(n * 4);
    default: {
      const [, kind, many] = /^=(\w+)(?:\[(\d+)\])?$/.exec(word);
      return call.take(structs.size(kind) * (many ?? 1));
    }
    }
  }

  // ---- what comes out -------------------------------------------------------------

  /** One result as it is, several as an object with their names. */
  #results(call, takes, words) {
    const outs = takes.filter(({ word }) => word.startsWith("="));
    const found = outs.map((taken) =>
      [taken.name, this.#result(call, taken, words.get(taken))]);
    return found.length > 1 ? Object.fromEntries(found) : found[0]?.[1];
  }

  #result(call, { word }, at) {
    const { memory, structs, handles } = this.#core;
    const [, kind, many] = /^=(\w+)(?:\[(\d+)\])?$/.exec(word);
    switch (kind) {
    case "numbers": return memory.numbers(at, call.n);
    case "readings": return memory.numbers(at, call.readings);
    case "ints": return structs.readMany("int", at, [call.n]);
    case "text": return memory.text(at);
    }
    if (handles.has(kind))
      return handles.make(kind, memory.view.getUint32(at, true), call.keeps);
    return many ? structs.readMany(kind, at, [Number(many)])
      : structs.readValue(kind, at);
  }

  #returned(call, gives, value, name) {
    const { memory, structs } = this.#core;
    const kind = gives.replace("*", "");
    if (value === 0 && (gives.endsWith("*") || gives === "text"))
      throw this.#error(call, name, this.#core.constants.ERR_SIZE); // no such index
    if (structs.has(kind)) return structs.read(kind, value);
    return gives === "text" ? memory.text(value) : gives === "size" ? value >>> 0 : value;
  }

  #error(call, name, status) {
    const { exports, memory, structs } = this.#core;
    const code = memory.text(exports.dialarc_status_name(status)).replace("DIALARC_", "");
    const sentence = memory.text(exports.dialarc_status_text(status));
    const places = [];
    const size = structs.size("ErrorPlace");
    for (let i = 0; call.faults && i < FAULTS; i++) {
      const place = structs.read("ErrorPlace", call.faults + i * size);
      if (place.status < 0) places.push(place);
    }
    if (places.length === 0)
      return new DialarcError(`${name}(): ${sentence} (${code})`, status, code);
    const room = FAULTS * 600, text = call.take(room);
    exports.dialarc_errors_text(call.faults, 0, text, room);
    return new DialarcError(`${name}(): ${memory.text(text)}`, status, code, places);
  }
}
