// SPDX-License-Identifier: GPL-3.0-or-later
// What the types allow, and what they must not: for tsc, which only looks at it.
import { DialarcError, instantiate, load } from "dialarc";
import type { Dialarc, Given, Live, Setup, Timing } from "dialarc";
import { bytes } from "dialarc/bytes";

const dialarc: Dialarc = await load(await bytes());
const again: Dialarc = instantiate(new Uint8Array(1));
const setup: Given<Setup> = { lobes: 4, lift_low_mm: 0.7, lift_high_mm: null };
const { timing, decision, residual_mm } = dialarc.assess(setup,
  { crank_deg: [1, 2], dial_mm: new Float64Array(2), direction: [1, -1] });
const found: { lift: number, left: Float64Array, timing: Timing } =
  { lift: timing.lift_mm, left: residual_mm, timing };
const live: Live = dialarc.live_new(setup, { first_crank_deg: -60, last_crank_deg: 6 });
live.dispose();
live[Symbol.dispose]();
const share: number = dialarc.propagate_linear([{ centre: 1 }], ([x]) => x).slope[0];
const combined: number = dialarc.uncertainty_combine([1], [2]);
const good: boolean = decision.verdict === dialarc.VERDICT_IN;
const [first] = dialarc.findings_list(timing.findings);
const code: string = first.code;
if (new Error() instanceof DialarcError)
  console.log(again, found, share, combined, good, code);

// @ts-expect-error: a field that the struct has not
dialarc.assess({ lobs: 4 }, { crank_deg: [], dial_mm: [] });
// @ts-expect-error: text is no number
dialarc.mm_from_in("1");
// @ts-expect-error: one handle is not another
dialarc.sweeps_count(dialarc.setups_read(""));
// @ts-expect-error: no such member of an enumeration
dialarc.law_name(99);
// @ts-expect-error: handles are made by functions
new dialarc.Setups();
