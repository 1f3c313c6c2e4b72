// SPDX-License-Identifier: GPL-3.0-or-later
// A job at one engine: all that has been entered, and nothing that follows from it. Every
// change makes a new job from the old one, so that each can be kept as it is.

export type Way = "with" | "against";

/** A reading that was taken, in the order taken. */
export interface Reading {
    crank_deg: number;
    dial_mm: number;
    direction: Way;
    time_s: number;
}

/** One look without the degree wheel: minimum and TDC. */
export interface Round {
    minimum_mm: number;
    tdc_mm: number;
    tight: boolean;
}

/** The places of a job, in the order in which they are come to. */
export const PLACES = ["ready", "questions", "sweep", "verdict", "rounds", "closing"] as const;
export type Place = (typeof PLACES)[number];

export interface Job {
    id: number; // when it was begun, ms since 1970
    place: Place;
    ticked: string[]; // of the lists before and after
    answers: Record<string, string>; // as typed or chosen, by column of the setups table
    readings: Reading[];
    earlier: Reading[][]; // sweeps of this job before the last change of the setting
    rounds: Round[];
}

export function begin(id: number): Job {
    return { id, place: "ready", ticked: [], answers: {}, readings: [], earlier: [], rounds: [] };
}

export function go(job: Job, place: Place): Job {
    return { ...job, place };
}

export function tick(job: Job, items: string[], on: boolean): Job {
    const others = job.ticked.filter((item) => !items.includes(item));
    return { ...job, ticked: on ? [...others, ...items] : others };
}

export function answer(job: Job, column: string, text: string): Job {
    return { ...job, answers: { ...job.answers, [column]: text } };
}

export function measured(job: Job, readings: Reading[]): Job {
    return { ...job, readings };
}

/** The setting was turned, or is to be seen anew: what was read before stays on the sheet. */
export function anew(job: Job): Job {
    const earlier = job.readings.length ? [...job.earlier, job.readings] : job.earlier;
    return { ...job, place: "sweep", readings: [], earlier };
}

export function looked(job: Job, round: Round): Job {
    return { ...job, rounds: [...job.rounds, round] };
}

export function unlooked(job: Job): Job {
    return { ...job, rounds: job.rounds.slice(0, -1) };
}

export function nameOf(job: Job): string {
    return (
        job.answers["setup"]?.trim() || "engine of " + new Date(job.id).toISOString().slice(0, 10)
    );
}
