// SPDX-License-Identifier: GPL-3.0-or-later
// What is thrown: DialarcError for what the library says, TypeError and RangeError for
// what never reaches it.

/** A status below 0 that a function returned; its sentence is the message. */
export class DialarcError extends Error {
  constructor(message, status, code, places = []) {
    super(message);
    this.name = "DialarcError";
    this.status = status;
    this.code = code;
    this.places = places;
  }
}

/** "number", "an array", ... of what somebody gave. */
function nature(given) {
  if (given === null) return "null";
  if (Array.isArray(given)) return "an array";
  if (typeof given === "number") return String(given);
  if (typeof given !== "object") return typeof given;
  return given.constructor?.name ?? "an object";
}

/** The complaint about an argument or a field: where says which. */
export function refuse(where, needed, given) {
  return new TypeError(`${where}: ${needed} is needed, not ${nature(given)}`);
}
