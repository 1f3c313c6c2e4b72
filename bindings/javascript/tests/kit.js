// SPDX-License-Identifier: GPL-3.0-or-later
// What the tests in Node share: the package that was built, and what lies in the sources.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const built = pathToFileURL(`${process.env.PACKAGE}/`);
export const { load, instantiate, DialarcError } = await import(new URL("dialarc.js", built));
export const { functions, structs, handles } = await import(new URL("interface.js", built));
export const { bytes } = await import(new URL("bytes.js", built));
export const dialarc = await load();

export const built_file = (name) => readFileSync(new URL(name, built));
export const source_file = (name) => readFileSync(`${process.env.srcdir}/${name}`, "utf8");

export const setups = () => dialarc.setups_read(source_file("examples/demo/setups.csv"));
export const sweeps = (of) => dialarc.sweeps_read(source_file("examples/demo/sweeps.csv"), of);

export const cam = { lobes: 4, lift_mm: 2.2, rise_deg: 38, top_dwell_deg: 2,
  base_dwell_deg: 10, law: dialarc.LAW_POLY345 };
