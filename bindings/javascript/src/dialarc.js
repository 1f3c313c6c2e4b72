// SPDX-License-Identifier: GPL-3.0-or-later
// The library: load() and what it gives.
import { Caller } from "./calls.js";
import { DialarcError } from "./errors.js";
import { Handles } from "./handles.js";
import { constants, functions, handles as handleNames, structs as layouts }
  from "./interface.js";
import { Frame, Memory } from "./memory.js";
import { Structs } from "./structs.js";

export { DialarcError };

/** The findings that were made, in the order of their codes, in words. */
function findingsList(library, findings) {
  return findings.severity.map((severity, finding) => ({ finding, severity,
    code: library.finding_code(finding), text: library.finding_text(finding),
    row: findings.row[finding] }))
    .filter(({ finding }) => library.findings_has(findings, finding));
}

function build(instance) {
  const { exports } = instance;
  exports._initialize?.();
  const memory = new Memory(exports);
  const handles = new Handles(handleNames, exports);
  const share = (kind, at) => {
    if (at === 0) return null;
    const frame = new Frame(kind, exports, memory); // a share is the thing itself
    exports[`dialarc_${handleNames[kind]}_share`](at, frame.take(4));
    frame.release();
    return handles.make(kind, at);
  };
  const structs = new Structs(layouts, memory, handles, share);
  const caller = new Caller({ exports, memory, handles, structs, constants });
  const library = { ...constants, ...handles.classes };
  for (const [name, words] of Object.entries(functions))
    library[name] = caller.make(name, words);
  library.findings_list = (findings) => findingsList(library, findings);
  return { library: Object.freeze(library), caller };
}

/** What the library asks of its host: models of uncertainty, and nothing else. */
function host(called) {
  return { host: { model: (input) => called.caller.model(input) },
    env: { emscripten_notify_memory_growth() {} } };
}

/** The library from its bytes, at once. */
export function instantiate(bytes) {
  const called = {};
  const instance = new WebAssembly.Instance(new WebAssembly.Module(bytes), host(called));
  const { library, caller } = build(instance);
  called.caller = caller;
  return library;
}

/** The bytes of dialarc.wasm beside this file. */
async function bytesBeside() {
  const place = new URL("./dialarc.wasm", import.meta.url);
  const files = "node:fs/promises"; // no literal below: bundlers for browsers lack it
  if (place.protocol === "file:" && typeof process === "object")
    return (await import(files)).readFile(place);
  const answer = await fetch(place);
  if (!answer.ok) throw new Error(`${place}: ${answer.status} ${answer.statusText}`);
  return answer.arrayBuffer();
}

/** The library, from the file beside this one or from its bytes. */
export async function load(bytes) {
  const called = {};
  const { instance } = await WebAssembly.instantiate(bytes ?? await bytesBeside(),
    host(called));
  const { library, caller } = build(instance);
  called.caller = caller;
  return library;
}
