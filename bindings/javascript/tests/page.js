// SPDX-License-Identifier: GPL-3.0-or-later
// What the page of chromium.js does: the shared vectors in a browser, from a server or
// from one file, and a report to whoever waits at the address that it is given.
import { load } from "dialarc";
import { bytes } from "dialarc/bytes";
import { compare, faults } from "./vectors.js";

async function report() {
  const alone = location.protocol === "file:";
  const dialarc = await load(alone ? await bytes() : undefined);
  const rows = compare(dialarc, document.getElementById("vectors").textContent);
  let refused;
  try {
    dialarc.cam_lift({ lobes: 4, lift_mm: "2" }, 1);
  } catch (problem) {
    refused = problem.message;
  }
  return { alone, rows: rows.length, faults: faults(rows), refused,
    version: dialarc.version() };
}

const { address } = document.body.dataset;
report().catch((problem) => ({ failed: String(problem.stack) })).then((said) =>
  fetch(address, { method: "POST", mode: "no-cors", body: JSON.stringify(said) }));
