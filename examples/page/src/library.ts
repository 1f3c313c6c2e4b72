// SPDX-License-Identifier: GPL-3.0-or-later
// The library, compiled to WebAssembly, behind what the page asks for.

import { DialarcError, load, type Dialarc, type Given, type Setup as Known } from "dialarc";
import { bytes } from "dialarc/bytes";
import {
    Refused,
    type Core,
    type Expected,
    type Live,
    type Next,
    type Planned,
    type Reach,
    type Seen,
    type Setup,
} from "./core";
import type { Reading, Round } from "./engine/job";
import { findings, seen, steps, verdict } from "./seen";
import { setupsTable } from "./tables";

const PROSPECTS = ["more", "enough", "never"] as const;

/** Calls the library; what it refuses of an input is told as its own sentence. */
function asking<T>(call: () => T): T {
    try {
        return call();
    } catch (error) {
        if (error instanceof DialarcError) throw new Refused(error.message);
        throw error;
    }
}

export async function openLibrary(): Promise<Core> {
    return new Library(await load(await bytes()));
}

class Library implements Core {
    constructor(private readonly lib: Dialarc) {}

    get version(): string {
        return this.lib.version();
    }

    private known(setup: Setup): Given<Known> {
        const known: Record<string, number> = {};
        for (const [column, value] of Object.entries(setup)) {
            if (column === "setup") continue;
            if (typeof value === "number") known[column] = value;
            else
                known[column] =
                    column === "cam_law"
                        ? this.lib.law_from_name(value)
                        : (this.lib as unknown as Record<string, number>)[
                              `${column}_${value}`.toUpperCase()
                          ]!;
        }
        return known as Given<Known>;
    }

    private sweep(readings: Reading[]) {
        return {
            crank_deg: readings.map((r) => r.crank_deg),
            dial_mm: readings.map((r) => r.dial_mm),
            direction: readings.map((r) => this.way(r.direction)),
        };
    }

    private way(direction: Reading["direction"]) {
        return direction === "with" ? this.lib.DIRECTION_WITH : this.lib.DIRECTION_AGAINST;
    }

    check(setup: Setup): void {
        asking(() => this.lib.setup_check(this.known(setup)));
    }

    see(setup: Setup, readings: Reading[]): Seen {
        const known = this.known(setup);
        return asking(() => {
            const { timing, decision } = this.lib.assess(known, this.sweep(readings));
            return seen(this.lib, known, timing, decision);
        });
    }

    plan(setup: Setup, rounds: Round[]): Planned {
        const known = this.known(setup);
        return asking(() => {
            const plan = this.lib.plan_rounds(
                known,
                rounds.map((round, k) => ({
                    round: k + 1,
                    minimum_mm: round.minimum_mm,
                    tdc_mm: round.tdc_mm,
                    tight: round.tight ? 1 : 0,
                })),
            );
            return {
                ...plan,
                verdict: verdict(this.lib, plan.decision),
                findings: findings(this.lib, plan.findings),
                steps: steps(
                    this.lib,
                    (which) => this.lib.next_round_step(known, plan, which),
                    known,
                ),
            };
        });
    }

    live(setup: Setup, { both_ways, ...reach }: Reach, readings: Reading[]): Live {
        const { lib } = this,
            known = this.known(setup),
            live = asking(() => lib.live_new(known, { ...reach, both_ways: both_ways ? 1 : 0 }));
        for (const reading of readings)
            asking(() =>
                lib.live_add(live, { ...reading, direction: this.way(reading.direction) }),
            );
        return {
            hear: (text, time_s) => {
                const lines: ReturnType<Live["hear"]> = [];
                for (
                    let heard = lib.live_hear(live, text, time_s);
                    heard !== lib.HEARD_WAITING;
                    heard = lib.live_hear(live, "", time_s)
                )
                    if (heard !== lib.HEARD_BLANK)
                        lines.push({
                            taken: heard === lib.HEARD_READING || heard === lib.HEARD_FROM_BEHIND,
                            struck: heard === lib.HEARD_STRUCK,
                            text: lib.heard_text(heard),
                        });
                return lines;
            },
            readings: () =>
                Array.from({ length: lib.live_count(live) }, (_, k) => {
                    const { crank_deg, dial_mm, direction, time_s } = lib.live_reading(live, k);
                    return {
                        crank_deg,
                        dial_mm,
                        time_s,
                        direction: direction === lib.DIRECTION_AGAINST ? "against" : "with",
                    };
                }),
            seen: () => {
                const timing = lib.live_timing(live);
                return seen(this.lib, known, timing, lib.decision_judge(known, timing));
            },
            next: (): Next => {
                const next = lib.live_next(live);
                return {
                    prospect: PROSPECTS[next.prospect],
                    crank_deg: next.crank_deg,
                    direction: next.direction === lib.DIRECTION_AGAINST ? "against" : "with",
                    lift_u_next_mm: next.lift_u_next_mm,
                    advice: lib.advice_text(next.advice),
                };
            },
            free: () => live.dispose(),
        };
    }

    choose(setup: Setup, lift_mm: number, { both_ways, ...reach }: Reach, count: number): number[] {
        return asking(() => [
            ...this.lib.design_choose(
                this.known(setup),
                lift_mm,
                { ...reach, both_ways: both_ways ? 1 : 0 },
                count,
            ),
        ]);
    }

    expect(setup: Setup, lift_mm: number, crank_deg: number[]): Expected {
        return asking(() => this.lib.design_expect(this.known(setup), lift_mm, crank_deg));
    }

    lift(setup: Setup): (pump_deg: number) => number {
        const cam = this.cam(setup);
        return (pump_deg) => this.lib.cam_lift(cam, pump_deg);
    }

    angleAtLift(setup: Setup, lift_mm: number): number {
        return asking(() =>
            this.lib.cam_angle_at_lift(this.cam(setup), lift_mm, this.lib.FLANK_RISING),
        );
    }

    private cam(setup: Setup) {
        return {
            lobes: setup["lobes"] as number,
            law: this.lib.law_from_name(String(setup["cam_law"])),
            lift_mm: setup["cam_lift_mm"] as number,
            rise_deg: setup["rise_deg"] as number,
            top_dwell_deg: setup["top_dwell_deg"] as number,
            base_dwell_deg: setup["base_dwell_deg"] as number,
        };
    }

    readSweeps(setup: Setup, text: string): { name: string; readings: Reading[] }[] {
        return asking(() => {
            const setups = this.lib.setups_read(setupsTable(setup)),
                sweeps = this.lib.sweeps_read(text, setups);
            return Array.from({ length: this.lib.sweeps_count(sweeps) }, (_, index) => {
                const { name, sweep } = this.lib.sweeps_get(sweeps, index);
                return {
                    name,
                    readings: [...sweep.crank_deg].map((crank_deg, k) => ({
                        crank_deg,
                        dial_mm: sweep.dial_mm[k]!,
                        time_s: 0,
                        direction: wayOf(sweep, k),
                    })),
                };
            });
        });
    }
}

/** The way of a reading: as stated, or by where the one before it stood. */
function wayOf(
    sweep: { crank_deg: ArrayLike<number>; direction: ArrayLike<number> | null },
    k: number,
): Reading["direction"] {
    const stated = sweep.direction?.[k] ?? 0,
        other = k > 0 ? k - 1 : 1;
    const moved =
        k > 0
            ? sweep.crank_deg[k]! - sweep.crank_deg[other]!
            : (sweep.crank_deg[other] ?? 0) - sweep.crank_deg[k]!;
    return (stated || moved) < 0 ? "against" : "with";
}
