// What if: dragging a figure draws again at once; nothing is stored until somebody says so, and
// then exactly what was moved.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { DESK, openBench, openBrowser } from "./browser.mjs";
import { example } from "./figures.mjs";
import { closeShops, openShop } from "./shop.mjs";
import { begin, bringIn } from "./steps.mjs";

let browser, boat, shop, bench, page, build;
before(async () => {
  browser = await openBrowser();
  boat = await example("sprint-boat");
  shop = await openShop();
  bench = await openBench(browser, shop, { viewport: DESK });
  page = bench.page;
  await begin(page);
  build = await bringIn(bench, boat.text);
});
after(async () => {
  try {
    await bench?.close();
  } finally {
    await browser.close();
    await closeShops();
  }
});

const file = async () => (await bench.context.request.get(`/builds/${build}/build.toml`)).text();
const answer = () => page.locator("#what-if-answer").innerText();

/** Drags a slider to a share of its length with the mouse. */
async function drag(name, share) {
  const slider = page.locator(`input.drag[data-of="what-${name}"]`);
  await slider.scrollIntoViewIfNeeded();
  const box = await slider.boundingBox();
  const now = await slider.evaluate((node) => (node.value - node.min) / (node.max - node.min));
  const thumb = (s) => box.x + 8 + s * (box.width - 16);
  await page.mouse.move(thumb(now), box.y + box.height / 2);
  await page.mouse.down();
  for (let i = 1; i <= 4; i += 1) await page.mouse.move(thumb(now + ((share - now) * i) / 4), box.y + box.height / 2);
  await page.mouse.up();
}

test("dragging draws again, and nothing is stored", async () => {
  const before = await file();
  await page.goto(`/builds/${build}/what-if`);
  await page.locator("#what-if-answer table").waitFor();
  const at = await answer();
  const speed = page.locator("#what-speed");
  assert.equal(await speed.inputValue(), "9800");
  await drag("speed", 0.1);
  assert.ok(Number(await speed.inputValue()) < 6000, await speed.inputValue());
  await page.waitForFunction((at) => document.getElementById("what-if-answer").innerText !== at, at);
  await page.waitForFunction(() => new RegExp(`at ${document.getElementById("what-speed").value} rpm`).test(document.getElementById("what-if-answer").innerText));
  // The sweep over speeds follows.
  await page.waitForFunction(() => !document.getElementById("what-if-sweep").hasAttribute("aria-busy") &&
    document.querySelectorAll("#what-if-sweep svg").length > 0);
  // A typed figure moves its slider.
  await page.locator("#what-clearance").fill("260");
  assert.equal(await page.locator('input.drag[data-of="what-clearance"]').inputValue(), "260");
  await page.waitForFunction(() => document.querySelectorAll("#what-if-answer svg").length > 0);
  assert.equal(await file(), before, "the build's file is as it was");
});

test("a figure that can be none is refused, and the figures stay", async () => {
  await page.goto(`/builds/${build}/what-if`);
  await page.locator("#what-if-answer table").waitFor();
  await page.locator("#what-speed").fill("-20");
  await page.locator("#what-if-answer .told", { hasText: /the speed is not above 0 rpm/i }).waitFor();
  assert.equal(await page.locator("#what-speed").inputValue(), "-20");
});

test("'Put these figures into the build' stores what was moved and nothing else", async () => {
  const before = (await file()).split("\n");
  await page.goto(`/builds/${build}/what-if`);
  await page.locator("#what-if-answer table").waitFor();
  await page.locator("#what-speed").fill("9000");
  await page.locator("#what-step").fill("130");
  await page.getByRole("button", { name: "Put these figures into the build" }).click();
  await page.getByRole("button", { name: "Write them into the build" }).click();
  await page.waitForURL(`/builds/${build}#clearances`);
  const now = (await file()).split("\n");
  const changed = now.filter((line) => !before.includes(line)).map((line) => line.trim());
  assert.equal(now.length, before.length);
  assert.deepEqual(changed.length, 2, changed.join("\n"));
  assert.match(changed.join("\n"), /9000 rpm/);
  assert.match(changed.join("\n"), /130 (um|µm)/);
  assert.match(await page.locator("main dl").first().innerText(), /9000 rpm/);
});
