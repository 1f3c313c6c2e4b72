// SPDX-License-Identifier: GPL-3.0-or-later
// A scripted mechanic at the engine, with the page in a real browser.

import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import axe from "axe-core";
import { asked, begin, dialAt, openPage, PHONE, picture, PROGRAM, type } from "./kit.mjs";

/** Reads as asked until it is enough, or `most` readings are taken. */
async function readings(page, most) {
    let count = 0;
    for (let next = await asked(page); next && count < most; next = await asked(page), count++)
        await type(page, dialAt(next.crank_deg, next.back));
    return count;
}

/** What the program says of the tables that the page hands out. */
async function bySameTables(page) {
    const folder = mkdtempSync(join(tmpdir(), "dialarc-tables-"));
    for (const name of ["setups.csv", "sweeps.csv"]) {
        const href = await page.locator(`a[download="${name}"]`).getAttribute("href");
        writeFileSync(join(folder, name), decodeURIComponent(href.slice(href.indexOf(",") + 1)));
    }
    const run = spawnSync(
        PROGRAM,
        ["assess", join(folder, "setups.csv"), join(folder, "sweeps.csv")],
        { encoding: "utf8" },
    );
    const [head, row] = run.stdout
        .trim()
        .split("\n")
        .map((line) => line.split(","));
    return Object.fromEntries(head.map((name, k) => [name, row[k]]));
}

async function noViolation(page) {
    await page.evaluate(axe.source);
    const { violations } = await page.evaluate(() => window.axe.run());
    assert.deepEqual(
        violations.map(
            (one) => `${one.id}: ${one.nodes.map((node) => node.html.slice(0, 120)).join(" | ")}`,
        ),
        [],
    );
}

test("from opening to the verdict, as the program has it", async (t) => {
    const { page, said, asked: requests } = await openPage(t, PHONE);
    await noViolation(page);
    await picture(page, "before");
    const inputs = await begin(page);
    assert.ok(inputs + 10 * 1 + 1 <= 25, "a reading is one number, and the verdict one press");
    await noViolation(page);
    await readings(page, 40);
    await noViolation(page);
    await picture(page, "readings");
    await page.locator("#go, #early").first().click();
    await page.locator("#verdict").waitFor();
    await noViolation(page);
    await picture(page, "verdict");
    const row = await bySameTables(page),
        words = {
            in: "GOOD",
            low: "TOO LATE",
            high: "TOO EARLY",
            undecided: "NOT SURE",
            unusable: "NO VERDICT",
        };
    assert.match(await page.locator("#verdict").innerText(), new RegExp(words[row.verdict]));
    assert.equal(row.verdict, "in", "the lift is 0.927 mm, and the window 0.88 to 0.96");
    if (row.lift_mm)
        assert.match(
            await page.locator("#lift").innerText(),
            new RegExp(Number(row.lift_mm).toFixed(3)),
        );
    assert.deepEqual(said, []);
    assert.deepEqual(requests, []);
});

test("nothing is lost when the page is closed in the midst, or is killed", async (t) => {
    const first = await openPage(t, PHONE);
    await begin(first.page);
    await readings(first.page, 4);
    await first.page.reload();
    await first.page.locator("#angle").waitFor();
    assert.equal(await first.page.locator("details table tbody tr").count(), 4);
    await readings(first.page, 1);
    await first.close();
    const second = await openPage(t, PHONE, "", { profile: first.profile });
    await second.page.locator("#angle").waitFor();
    assert.equal(await second.page.locator("details table tbody tr").count(), 5);
});

test("wrong input is told and not taken", async (t) => {
    const { page } = await openPage(t, PHONE);
    await page.click("#go");
    await page.click("#lobes-2");
    await page.fill("#lift_low_mm", "nought");
    assert.match(await page.locator("#lift_low_mm-fault").innerText(), /not a number/);
    assert.ok(await page.locator("#go").isDisabled());
    await page.fill("#lift_low_mm", "0,96");
    await page.fill("#lift_high_mm", "0.88");
    await page.click("#tdc_sd_deg-0");
    assert.ok(await page.locator("#go").isDisabled(), "a window that ends below its beginning");
    await page.fill("#lift_high_mm", "1,00");
    await page.click("#go");
    await page.locator("#angle").waitFor();
    await page.keyboard.type("400");
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector("#told").textContent !== "");
    assert.equal(await page.locator("details table tbody tr").count(), 0);
    await page.keyboard.type("0.1");
    await page.keyboard.press("Enter");
    await page.waitForFunction(
        () => document.querySelectorAll("details table tbody tr").length === 1,
    );
    await page.locator("summary", { hasText: "Another angle" }).click();
    await page.click("#strike");
    await page.waitForFunction(
        () => document.querySelectorAll("details table tbody tr").length === 0,
    );
});

/* A line of Web Serial without a port: the test says what comes, in what pieces. */
function fakeSerial() {
    const readable = new ReadableStream({
        start(line) {
            window.send = (text) => line.enqueue(new TextEncoder().encode(text));
            window.unplug = () => line.error(new Error("the device has been lost"));
        },
    });
    const open = async ({ baudRate }) => void (window.baudRate = baudRate);
    const requestPort = async () => ({ open, readable });
    Object.defineProperty(navigator, "serial", { value: { requestPort } });
}

test("an indicator on a cable is heard, and its loss is told", async (t) => {
    const { page, said } = await openPage(t, PHONE, "", { before: fakeSerial });
    const rows = (count) =>
        page.waitForFunction(
            (wanted) => document.querySelectorAll("details table tbody tr").length === wanted,
            count,
        );
    await begin(page);
    await page.locator("summary", { hasText: "Another angle" }).click();
    await page.getByRole("button", { name: "Indicator on a cable" }).click();
    await page.waitForFunction(() => window.baudRate === 9600);
    for (let count = 1; count <= 3; count++) {
        const { crank_deg, back } = await asked(page),
            text = `+${dialAt(crank_deg, back)} mm\r\n`;
        await page.waitForTimeout(350);
        for (const part of [text.slice(0, 3), text.slice(3, 4), text.slice(4)])
            await page.evaluate((piece) => window.send(piece), part);
        await rows(count);
    }
    await page.evaluate(() => window.unplug());
    await page.waitForFunction(() =>
        /lost.*What was read is kept/.test(document.querySelector("#told").textContent),
    );
    await rows(3);
    const { crank_deg, back } = await asked(page);
    await type(page, dialAt(crank_deg, back));
    await rows(4);
    assert.deepEqual(said, []);
});

test("after the verdict: rounds, the list, the sheet", async (t) => {
    const { page } = await openPage(t, PHONE, "", { colorScheme: "dark" });
    await begin(page);
    await readings(page, 14);
    await page.locator("#go, #early").first().click();
    await page.locator("#verdict").waitFor();
    await page.click("#rounds");
    for (const [minimum, tdc, state] of [
        ["0", "0.92", "loose"],
        ["0", "0.91", "tight"],
    ]) {
        await page.fill("#minimum", minimum);
        await page.fill("#tdc", tdc);
        await page.click("#" + state);
        await page.waitForFunction(
            (text) => document.querySelector("tbody")?.innerText.includes(text),
            state,
        );
    }
    assert.match(await page.locator("#lift").innerText(), /0\.9/);
    await noViolation(page);
    await picture(page, "rounds-dark");
    await page.click("#closing");
    await noViolation(page);
    const sheet = await page.pdf({ format: "A4", preferCSSPageSize: true, printBackground: true });
    const file = join(mkdtempSync(join(tmpdir(), "dialarc-sheet-")), "sheet.pdf");
    writeFileSync(file, sheet);
    const text = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
    assert.match(text, /Static timing/);
    assert.match(text, /Readings, in the order taken/);
    assert.ok(text.split("\f").length - 1 <= 2, "two pages at most");
    assert.ok(readFileSync(file).length > 1000);
});
