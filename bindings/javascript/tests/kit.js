// SPDX-License-Identifier: GPL-3.0-or-later
// What the tests in Node share: the package that was built, and what lies in the sources.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const built = pathToFileURL(`${process.env.PACKAGE}/`);
const part = (name) => import(new URL(name, built));
export const { load, instantiate, DialarcError } = await part("dialarc.js");
export const { functions } = await part("interface.js");
export const { bytes } = await part("bytes.js");
export const dialarc = await load();

export const built_file = (name) => readFileSync(new URL(name, built));
export const source_file = (name) =>
  readFileSync(`${process.env.srcdir}/${name}`, "utf8");

const demo = (name) => source_file(`examples/demo/${name}.csv`);
export const setups = () => dialarc.setups_read(demo("setups"));
export const sweeps = (of) => dialarc.sweeps_read(demo("sweeps"), of);

export const cam = { lobes: 4, lift_mm: 2.2, rise_deg: 38, top_dwell_deg: 2,
  base_dwell_deg: 10, law: dialarc.LAW_POLY345 };
