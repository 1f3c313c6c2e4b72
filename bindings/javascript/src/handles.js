// SPDX-License-Identifier: GPL-3.0-or-later
// What the library holds for somebody: each handle has a holder that frees it when nobody
// uses it any more, neither the handle nor what was made of it.
import { refuse } from "./errors.js";

const holders = new WeakMap(); // of handles that are not disposed of
const secret = Symbol("made by the library");

class Handle {
  constructor(key) {
    if (key !== secret) throw new TypeError("the library makes handles by its functions");
  }

  get disposed() {
    return !holders.has(this);
  }

  dispose() {
    const holder = holders.get(this);
    if (!holder) return;
    holders.delete(this);
    forgotten.unregister(this);
    holder.release();
  }
}
if (Symbol.dispose) Handle.prototype[Symbol.dispose] = Handle.prototype.dispose;

const forgotten = new FinalizationRegistry((holder) => holder.release());

class Holder {
  users = 1;

  constructor(at, free, keeps) {
    this.at = at;
    this.free = free;
    this.keeps = keeps;
    for (const other of keeps) other.users += 1;
  }

  release() {
    this.users -= 1;
    if (this.users > 0) return;
    this.free(this.at);
    for (const other of this.keeps) other.release();
  }
}

/** The handles of one instance of the library: a class for each name. */
export class Handles {
  #classes = {};
  #free = {};

  constructor(names, exports) {
    for (const [name, stem] of Object.entries(names)) {
      this.#classes[name] = { [name]: class extends Handle {} }[name];
      this.#free[name] = exports[`dialarc_${stem}_free`];
    }
  }

  get classes() {
    return { ...this.#classes };
  }

  has(name) {
    return name in this.#classes;
  }

  /** A handle for what stands at this place; it keeps alive what it was made of. */
  make(name, at, keeps = []) {
    const handle = new this.#classes[name](secret);
    const holder = new Holder(at, this.#free[name], keeps);
    holders.set(handle, holder);
    forgotten.register(handle, holder, handle);
    return handle;
  }

  holder(name, handle, where) {
    if (!(handle instanceof this.#classes[name]))
      throw refuse(where, `a ${name}`, handle);
    const holder = holders.get(handle);
    if (!holder) throw new TypeError(`${where}: this ${name} has been disposed of`);
    return holder;
  }
}
