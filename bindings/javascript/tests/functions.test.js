// SPDX-License-Identifier: GPL-3.0-or-later
// Every function of C is here, or it is said why not; and none of them can be led astray.
import assert from "node:assert/strict";
import test from "node:test";
import { DialarcError, dialarc, functions, source_file } from "./kit.js";

const exported = source_file("lib/dialarc.sym").trim().split("\n")
  .map((name) => name.replace("dialarc_", ""));

/** The table of README.md, as patterns. */
const leftOut = [...source_file("bindings/javascript/README.md")
  .matchAll(/^\| (`.*?`) \|/gm)]
  .flatMap(([, names]) => names.match(/[\w*]+/g))
  .map((name) => new RegExp(`^${name.replace("*", ".*")}$`));

test("every function is here or said to be left out", () => {
  for (const name of exported)
    assert.notEqual(typeof dialarc[name] === "function",
      leftOut.some((one) => one.test(name)), name);
  for (const pattern of leftOut)
    assert.ok(exported.some((name) => pattern.test(name)), `${pattern} names nothing`);
});

const WRONG = [undefined, null, NaN, Infinity, -1, 0.5, 2 ** 40, 1e308, "", "text", true,
  7n, Symbol("x"), {}, [], [NaN], ["1"], { lobes: "4" }, { length: 2 ** 31 }, () => 1,
  new Float64Array(3), new Uint8Array(2), Object.create(null), new Date()];

/** The call throws one of these, or gives a result; a trap is neither. */
function survives(name, given) {
  try {
    dialarc[name](...given);
  } catch (problem) {
    const known = problem instanceof DialarcError || problem.constructor === TypeError ||
      problem.constructor === RangeError;
    assert.ok(known, `${name}: ${problem.stack}`);
    assert.ok(problem.message.startsWith(`${name}(): `), `${name}: ${problem.stack}`);
  }
}

test("arguments of the wrong kind", () => {
  for (const name of Object.keys(functions)) {
    const many = functions[name].length + 1;
    for (const wrong of WRONG) survives(name, Array(dialarc[name].length).fill(wrong));
    for (let i = 0; i < 200; i++)       // a mixture, the same in every run
      survives(name, Array.from({ length: dialarc[name].length }, (_, k) =>
        WRONG[(i * 7 + k * 5 + i * k) % WRONG.length]));
    assert.throws(() => dialarc[name](...Array(many).fill(1)), TypeError, name);
  }
  assert.equal(dialarc.mm_from_in(1), 25.4);
});

test("what is refused says which and why", () => {
  const wrong = (call, message) => assert.throws(call, { message });
  wrong(() => dialarc.mm_from_in("1"),
    "mm_from_in(): length_in: a number is needed, not string");
  wrong(() => dialarc.cam_lift({ rise: 1 }, 1),
    /cam: a Cam has no field rise; it has lobes/);
  wrong(() => dialarc.cam_lift({ lobes: 1.5 }, 1),
    /cam\.lobes: a whole number is needed, not 1.5/);
  wrong(() => dialarc.cam_lift(null, 1), "cam_lift(): cam: a Cam is needed, not null");
  wrong(() => dialarc.drive_ratio([{}, 3]),
    "drive_ratio(): stage[1]: a Stage is needed, not 3");
  wrong(() => dialarc.conformity_probabilities([1, 2], [1], 0, 1),
    "conformity_probabilities(): sd: the arrays are not of the same length");
  wrong(() => dialarc.law_from_name("a\0b"), /there is a zero/);
  wrong(() => dialarc.setups_read(3), "setups_read(): contents: text is needed, not 3");
});
