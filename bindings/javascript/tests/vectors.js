// SPDX-License-Identifier: GPL-3.0-or-later
// refdata/vectors.csv, which C has written, set against what the module gives: for Node
// and for browsers.
const view = new DataView(new ArrayBuffer(8));

/** The place of a double among all doubles: neighbours differ by 1. */
function rank(number) {
  view.setFloat64(0, number);
  const bits = view.getBigInt64(0);
  return bits < 0n ? -(bits & 0x7fffffffffffffffn) : bits;
}

function ofBits(text) {
  view.setBigUint64(0, BigInt(`0x${text}`));
  return view.getFloat64(0);
}

/** Units in the last place between two numbers; two that are NaN are alike. */
function ulps(a, b) {
  if (Number.isNaN(a) || Number.isNaN(b)) return Object.is(a, b) ? 0 : Infinity;
  return Math.abs(Number(rank(a) - rank(b)));
}

/** musl's exp(), log(), hypot() and their like are not glibc's: only rows of these
 *  functions may differ, by no more units in the last place. A fit carries it further. */
export const MAY_DIFFER = { crosscheck_at_rest: 4, design_expect: 2, gauge_judge: 2,
  minimum_fit: 2, minimum_shape: 2, wheel_error_at: 2 };

/** What other languages have as functions, and a few that take something else here. */
function standIns(dialarc) {
  return {
    workspace_new: () => "workspace",
    make_sweep: (crank_deg, dial_mm, direction) => ({ crank_deg, dial_mm, direction }),
    make_injection: (crank_rpm, advance_crank_deg, delay_ms, buildup_crank_deg) =>
      ({ crank_rpm, advance_crank_deg, delay_ms, buildup_crank_deg }),
    whatif_sensitivity: (whatif, which) => dialarc.whatif_sensitivity(whatif)[which],
    assess: (setup, sweep) => {
      const { timing, decision } = dialarc.assess(setup, sweep);
      return { timing, decision };
    },
  };
}

class Reader {
  known = { product: (x) => x[0] * x[1] };

  constructor(dialarc) {
    this.dialarc = dialarc;
    this.instead = standIns(dialarc);
  }

  value(word) {
    if (word === "-") return null;
    if (word.includes(";")) return word.split(";").map((part) => this.value(part));
    if (word in this.known) return this.known[word];
    return Number.isNaN(Number(word)) ? word : Number(word);
  }

  call(name, text) {
    if (/^[A-Z]/.test(name)) return {};
    const given = (text === "" ? [] : text.split(" ")).map((word) => this.value(word))
      .filter((value) => value !== "workspace");
    return (this.instead[name] ?? this.dialarc[name])(...given);
  }
}

/** What is at a path: the number of the result, and the way in it. Several results have
 *  come as one object. */
function at(result, path) {
  const [number, ...keys] = path.replaceAll("[", ".").replaceAll("]", "").split(".");
  const single = keys.length > 0 ? keys[0] in result : typeof result !== "object";
  return keys.reduce((value, key) => value[key],
    single ? result : Object.values(result)[Number(number) - 1]);
}

/** [{ line, ulps }] for each row: 0 where it is the same to the bit. */
export function compare(dialarc, text) {
  const reader = new Reader(dialarc);
  const rows = [];
  let last, result;
  for (const line of text.trim().split("\n").slice(1)) {
    const [name, words, path, value, bits] = line.split(",");
    if (name.startsWith("=")) {
      reader.known[name.slice(1)][path] = Number(value);
      continue;
    }
    if (path.startsWith("=") || last !== `${name} ${words}`)
      result = reader.call(name, words);
    last = `${name} ${words}`;
    if (path.startsWith("=")) reader.known[path.slice(1)] = result;
    else rows.push({ line, ulps: ulps(at(result, path), ofBits(bits)) });
  }
  return rows;
}

/** What is wrong with the rows: nothing, as it should be. */
export function faults(rows) {
  const allowed = (line) => MAY_DIFFER[line.split(",")[0]] ?? 0;
  return rows.filter(({ line, ulps }) => ulps > allowed(line));
}
