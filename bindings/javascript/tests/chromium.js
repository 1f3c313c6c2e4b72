// SPDX-License-Identifier: GPL-3.0-or-later
// The shared vectors in Chromium: in a page from a server, and in one file from disk.
//
//     node chromium.js PACKAGE VECTORS BUNDLE FOLDER
//
// BUNDLE is page.js with all that it imports, FOLDER is for what the browser leaves.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { basename, dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const [packed, vectors, bundle, folder] = process.argv.slice(2);
const own = dirname(fileURLToPath(import.meta.url));
const TYPES = { js: "text/javascript", wasm: "application/wasm", html: "text/html" };
const FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
  "--no-first-run", "--disable-background-networking", "--disable-component-update",
  "--disable-sync", `--user-data-dir=${join(folder, "profile")}`];

const server = createServer((asked, answer) => {
  if (asked.method === "POST") {
    let text = "";
    asked.on("data", (piece) => text += piece);
    asked.on("end", () => {
      answer.end();
      server.emit("said", JSON.parse(text));
    });
    return;
  }
  const name = basename(asked.url), room = asked.url.split("/").at(-2);
  const place = { "": folder, tests: own, package: packed }[room];
  answer.setHeader("Content-Type", TYPES[name.split(".").at(-1)] ?? "text/plain");
  answer.end(readFileSync(join(place, name)));
});
await once(server.listen(0, "127.0.0.1"), "listening");
const address = `http://127.0.0.1:${server.address().port}/`;

const table = readFileSync(vectors, "utf8");
const html = (script) => `<!doctype html>
<meta charset="utf-8"><link rel="icon" href="data:,"><body data-address="${address}">
<script type="text/plain" id="vectors">${table}</script>${script}`;
const imports = { dialarc: "/package/dialarc.js", "dialarc/bytes": "/package/bytes.js" };
writeFileSync(join(folder, "page.html"), html(`
<script type="importmap">${JSON.stringify({ imports })}</script>
<script type="module" src="/tests/page.js"></script>`));
writeFileSync(join(folder, "alone.html"),
  html(`<script type="module">${readFileSync(bundle, "utf8")}</script>`));

/** What the page at an address says. */
async function said(page) {
  const browser = spawn("chromium", [...FLAGS, page], { stdio: "ignore" });
  process.on("exit", () => browser.kill());
  const late = setTimeout(() => server.emit("said", { failed: "no report" }), 60000);
  const [report] = await once(server, "said");
  clearTimeout(late);
  browser.kill();
  await once(browser, "exit");
  return report;
}

const alone = pathToFileURL(join(folder, "alone.html")).href;
for (const page of [`${address}page.html`, alone]) {
  const report = await said(page);
  assert.equal(report.failed, undefined);
  assert.equal(report.alone, page.startsWith("file:"));
  assert.deepEqual(report.faults, []);
  assert.ok(report.rows > 700);
  assert.equal(report.refused, "cam_lift(): cam.lift_mm: a number is needed, not string");
  console.log(`Chromium, ${new URL(page).protocol} ${report.rows} numbers are alike`);
}
server.close();
