// SPDX-License-Identifier: GPL-3.0-or-later

/**
 * A struct as it may be given: without fields that are as in a new one (a new Setup
 * knows nothing, in others numbers are 0), null or undefined for numbers that are not
 * known, any list of numbers for an array.
 */
export type Given<T> = T extends Float64Array ? ArrayLike<number>
    : T extends Handle | number | string | null | undefined ? T
    : T extends (infer Item)[] ? ArrayLike<Given<Item>>
    : { [Field in keyof T]?: Given<T[Field]> | null };

declare global {
    interface SymbolConstructor {
        readonly dispose: unique symbol;
    }
}

/** What the library holds for you, until dispose() or until nobody knows it any more. */
declare class Handle {
    protected constructor();
    /** Gives the memory back. Functions refuse what has been disposed of. */
    dispose(): void;
    readonly disposed: boolean;
    /** dispose() by `using`, where the host has it. */
    [Symbol.dispose](): void;
}

/** A status below 0 that a function returned. */
export class DialarcError extends Error {
    /** The code, as C has it. */
    readonly status: Status;
    /** Its name, such as "ERR_LIFT". */
    readonly code: string;
    /** What is wrong with a table, and where: the first 20 faults. */
    readonly places: ErrorPlace[];
}

/** One finding that was made, in words. */
export interface FindingMade {
    finding: Finding;
    severity: Severity;
    /** Word for the finding, as in tables. */
    code: string;
    /** What it says, a sentence. */
    text: string;
    /** The reading it points at, from 0; -1: none. */
    row: number;
}

/** The library. Unknown numbers are NaN, in what goes in and in what comes out. */
export interface Dialarc {
    /** The findings that were made, in the order of their codes. */
    findings_list(findings: Given<Findings>): FindingMade[];
    // functions
    // constants
    // classes
}

/**
 * Loads the library: from the file dialarc.wasm beside the module, or from its bytes.
 */
export function load(bytes?: ArrayBuffer | ArrayBufferView): Promise<Dialarc>;

/**
 * The same from bytes at once; some browsers refuse that for much more than a megabyte.
 */
export function instantiate(bytes: ArrayBuffer | ArrayBufferView): Dialarc;
