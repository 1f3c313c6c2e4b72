// SPDX-License-Identifier: GPL-3.0-or-later
// The page in a real browser, opened from disk, without a network; and an invented engine
// whose dial is read as the page asks.

import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

export const PAGE = pathToFileURL(process.env.DIALARC_PAGE).href;
export const PROGRAM = process.env.DIALARC_PROGRAM;
export const PICTURES = process.env.DIALARC_PICTURES;

export const PHONE = { width: 360, height: 740 },
    PROJECTOR = { width: 1280, height: 800 };

const OPTIONS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
];

/** Opens the page for a test; `said` collects what it says on the console against itself.
 * `more.before` runs in it before its own script. */
export async function openPage(t, viewport, address = "", more = {}) {
    const profile = more.profile ?? mkdtempSync(join(tmpdir(), "dialarc-page-"));
    const context = await chromium.launchPersistentContext(profile, {
        executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
        args: OPTIONS,
        viewport,
        offline: true,
        acceptDownloads: true,
        colorScheme: more.colorScheme ?? "light",
        hasTouch: viewport === PHONE,
    });
    const page = context.pages()[0] ?? (await context.newPage()),
        said = [],
        asked = [];
    page.on("console", (message) => {
        if (["error", "warning"].includes(message.type())) said.push(message.text());
    });
    page.on("pageerror", (error) => said.push(String(error)));
    page.on("request", (request) => {
        if (!/^(file|data|blob):/.test(request.url())) asked.push(request.url());
    });
    page.on("dialog", (dialog) => void dialog.accept());
    if (more.before) await context.addInitScript(more.before);
    await page.goto(PAGE + address);
    await page.locator("main h1").waitFor();
    const close = () => context.close();
    t.after(async () => {
        await close();
        rmSync(profile, { recursive: true, force: true });
    });
    return { page, context, said, asked, profile, close };
}

export async function picture(page, name) {
    if (PICTURES) await page.screenshot({ path: join(PICTURES, name + ".png"), fullPage: true });
}

/* An invented engine: cycloidal flanks of 2.2 mm, lobes 180 crank degrees apart. The foot stands
 * 35 degrees before TDC, so that the lift there is 0.927 mm. */
const FOOT = -35;
const RISE = 76;
const TOP = 4;
const FALL = 84;
const PITCH = 180;
const SLACK = 2;
const HYSTERESIS_MM = 0.004;
const ZERO_MM = 0.1;

const cycloid = (x) => 2.2 * (x - Math.sin(2 * Math.PI * x) / (2 * Math.PI));

/** What its dial shows, to a hundredth, come to forward or back. */
export function dialAt(crank_deg, back = false) {
    const at = (((crank_deg + (back ? SLACK : 0) - FOOT) % PITCH) + PITCH) % PITCH;
    const falling = (at - RISE - TOP) / FALL;
    const lift =
        at < RISE ? cycloid(at / RISE) : falling < 0 ? 2.2 : falling < 1 ? cycloid(1 - falling) : 0;
    const way = at < RISE === !back ? -1 : 1; // rising, or turned back over a fall
    return (Math.round((ZERO_MM + lift + (way * HYSTERESIS_MM) / 2) * 100) / 100).toFixed(2);
}

/** Answers the first two places as a mechanic would; returns how many inputs it took. */
export async function begin(page, { low = "0.88", high = "0.96" } = {}) {
    await page.click("#go");
    await page.click("#lobes-2");
    await page.fill("#lift_low_mm", low);
    await page.fill("#lift_high_mm", high);
    await page.click("#tdc_sd_deg-0");
    await page.click("#go");
    await page.locator("#angle").waitFor();
    return 6;
}

/** The angle that is asked for, and whether it is come to on the way back. */
export async function asked(page) {
    const box = await page.locator(".ask-angle").innerText();
    const angle = /Reading/.test(box) ? await page.locator("#angle").innerText() : null;
    if (angle === null) return null;
    const size = angle.startsWith("TDC") ? 0 : parseFloat(angle);
    return { crank_deg: /before/.test(angle) ? -size : size, back: /turn back/.test(box) };
}

/** Types a reading by the keys on the page. */
export async function type(page, text) {
    const rows = await page.locator("details table tbody tr").count();
    for (const key of text.replace("-", "−")) await page.locator(`[id="key-${key}"]`).click();
    await page.waitForTimeout(350); // less between two alike is an indicator that sends twice
    await page.click("#key-take");
    await page.waitForFunction(
        (before) => document.querySelectorAll("details table tbody tr").length !== before,
        rows,
    );
}
