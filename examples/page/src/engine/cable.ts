// SPDX-License-Identifier: GPL-3.0-or-later
// An indicator on a cable, where the browser lets a page read a serial line. What it sends is
// handed on as it comes: the library makes lines of it.

/** The part of the Web Serial interface (WICG, draft community group report) that is used here. */
interface Port {
    open(options: { baudRate: number }): Promise<void>;
    readonly readable: ReadableStream<Uint8Array>;
}
interface Serial {
    requestPort(): Promise<Port>;
}

export function cableThere(): boolean {
    return "serial" in navigator;
}

/** Asks for a port and reads until it is lost; then throws, or ends. */
export async function readCable(baudRate: number, heard: (text: string) => void): Promise<void> {
    const port = await (navigator as unknown as { serial: Serial }).serial.requestPort();
    await port.open({ baudRate });
    const reader = port.readable
        .pipeThrough(new TextDecoderStream() as unknown as TransformStream<Uint8Array, string>)
        .getReader();
    for (;;) {
        const { value, done } = await reader.read();
        if (done) return;
        heard(value);
    }
}
