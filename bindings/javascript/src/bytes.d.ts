// SPDX-License-Identifier: GPL-3.0-or-later
/** The library as it is loaded, for a page that is one file: load(await bytes()). */
export function bytes(): Promise<Uint8Array>;
