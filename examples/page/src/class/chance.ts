// SPDX-License-Identifier: GPL-3.0-or-later
// Chance from a seed: the same numbers on every device, so that a class sees the same.

export interface Chance {
    uniform(): number;
    normal(): number;
    within(low: number, high: number): number;
    one<T>(of: readonly T[]): T;
}

/** Mulberry32, a generator of 32 bits in the public domain (from memory), and Box and Muller, 1958. */
export function chance(seed: number): Chance {
    let state = seed >>> 0;
    const uniform = () => {
        state = (state + 0x6d2b79f5) >>> 0;
        let t = Math.imul(state ^ (state >>> 15), state | 1);
        t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
        return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
    };
    const normal = () =>
        Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
    const within = (low: number, high: number) => low + (high - low) * uniform();
    return { uniform, normal, within, one: (of) => of[Math.floor(uniform() * of.length)]! };
}
