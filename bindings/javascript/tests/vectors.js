// SPDX-License-Identifier: GPL-3.0-or-later
// refdata/vectors.csv, which C has written, set against what the module gives: for Node and
// for browsers.
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
  if (Number.isNaN(a) || Number.isNaN(b)) return Number.isNaN(a) && Number.isNaN(b) ? 0 : Infinity;
  const apart = rank(a) - rank(b);
  return Number(apart < 0n ? -apart : apart);
}

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

  constructor(dialarc, functions) {
    this.dialarc = dialarc;
    this.functions = functions;
    this.instead = standIns(dialarc);
  }

  value(word) {
    if (word === "-") return null;
    if (word.includes(";")) return word.split(";").map((part) => this.value(part));
    if (word in this.known) return this.known[word];
    return Number.isNaN(Number(word)) ? word : Number(word);
  }

  /** The results of a call, in the order of C. */
  call(name, text) {
    if (/^[A-Z]/.test(name)) return [{}];
    const given = (text === "" ? [] : text.split(" ")).map((word) => this.value(word))
      .filter((value) => value !== "workspace");
    if (this.instead[name]) return [this.instead[name](...given)];
    const found = this.dialarc[name](...given);
    const several = this.functions[name].filter((word) => / =/.test(word)).length > 1;
    return several ? Object.values(found) : [found];
  }
}

function at(results, path) {
  return path.replaceAll("[", ".").replaceAll("]", "").split(".")
    .reduce((value, key, i) => value[i === 0 ? Number(key) - 1 : key], results);
}

/** [{ line, ulps }] for each row: 0 where it is the same to the bit. functions: the words of
 *  the interface, which tell how many results there are. */
export function compare(dialarc, functions, text) {
  const reader = new Reader(dialarc, functions);
  const rows = [];
  let last, results;
  for (const line of text.trim().split("\n").slice(1)) {
    const [name, words, path, value, bits] = line.split(",");
    if (name.startsWith("=")) {
      reader.known[name.slice(1)][path] = Number(value);
      continue;
    }
    if (path.startsWith("=") || last !== `${name} ${words}`) results = reader.call(name, words);
    last = `${name} ${words}`;
    if (path.startsWith("=")) reader.known[path.slice(1)] = results[0];
    else rows.push({ line, ulps: ulps(at(results, path), ofBits(bits)) });
  }
  return rows;
}
