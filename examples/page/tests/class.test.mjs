// SPDX-License-Identifier: GPL-3.0-or-later
// The classroom, with the page in a real browser.

import assert from "node:assert/strict";
import { test } from "node:test";
import axe from "axe-core";
import { openPage, PHONE, picture, PROJECTOR } from "./kit.mjs";

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

test("the pump is turned by hand, and says what is true", async (t) => {
    const { page, said } = await openPage(t, PROJECTOR, "#class/0/7");
    const words = page.locator("svg text").filter({ hasText: /^crank -?\d/ });
    const before = await words.textContent(),
        box = await page.locator("svg .grab").first().boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x + 40, y);
    await page.mouse.down();
    await page.mouse.move(x, y + 40, { steps: 8 });
    await page.mouse.up();
    const after = await words.textContent();
    assert.ok(
        Math.abs(parseFloat(after.slice(6)) - parseFloat(before.slice(6)) - 90) < 12,
        `${before} became ${after}`,
    );
    await page.click("#sweep");
    assert.match(await page.locator("#says").innerText(), /covered/);
    await noViolation(page);
    await picture(page, "class-pump");
    assert.deepEqual(said, []);
});

test("eight exercises: the solution is right, another answer is not, the same seed is the same", async (t) => {
    const { page, said } = await openPage(t, PHONE, "#class/sheet/42");
    const solutions = await page
        .locator("#solutions li")
        .evaluateAll((items) =>
            items.map((item) => item.querySelectorAll("strong")[1].textContent),
        );
    assert.equal(solutions.length, 8);
    await picture(page, "class-solutions");
    for (let k = 1; k <= 8; k++) {
        await page.evaluate((hash) => {
            location.hash = hash;
        }, `#class/${k}/42`);
        await page.locator("h1", { hasText: `${k}. ` }).waitFor();
        const field = page.locator("#answer"),
            told = await page.locator("main").innerText();
        const say = async (text) => {
            if (await field.count()) {
                await field.fill(text);
                await page.click("#mark");
            } else await page.getByRole("button", { name: text, exact: true }).click();
            return page.locator("#marked").innerText();
        };
        const right =
            (await field.count()) && k !== 7 ? solutions[k - 1].split(" ")[0] : solutions[k - 1];
        assert.match(await say(right), /^✓/, `exercise ${k}`);
        if (await field.count()) assert.match(await say("12345"), /^✗/);
        await page.reload();
        await page.locator("h1", { hasText: `${k}. ` }).waitFor();
        assert.equal(await page.locator("main").innerText(), told, "the same seed");
        if (k === 2 || k === 7) await noViolation(page);
    }
    assert.deepEqual(said, []);
});
