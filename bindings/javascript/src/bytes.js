// SPDX-License-Identifier: GPL-3.0-or-later
// The bytes of the library without a file beside it, for a page that is one file:
// load(await bytes()).
import { packed } from "./packed.js";

export async function bytes() {
  const zipped = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
  const stream = new Blob([zipped]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}
