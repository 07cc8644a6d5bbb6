// Without the page's script everything still works, a page at a time.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { TABLET, openBench, openBrowser } from "./browser.mjs";
import { example, readingsOf } from "./figures.mjs";
import { closeShops, openShop } from "./shop.mjs";
import { begin, beginBuild, bringIn, readingsAt, readingsCsv, standsAt } from "./steps.mjs";

let browser, boat;
before(async () => {
  browser = await openBrowser();
  boat = await example("sprint-boat");
});
after(async () => {
  await browser.close();
  await closeShops();
});

test("a whole rotor is read", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop, { viewport: TABLET, javaScriptEnabled: false });
  const { page } = bench;
  await begin(page);
  const build = await beginBuild(bench, boat);
  const readings = readingsOf(boat.rotors[0]);
  await page.goto(await readingsAt(page, build, boat.rotors[0].serial));
  for (const { station, value } of readings) {
    assert.equal(await page.locator('#entry [name="station"]').inputValue(), station);
    assert.ok(await page.locator("#value").evaluate((node) => node === document.activeElement), `${station}: the field has the keys`);
    await page.keyboard.type(value);
    await Promise.all([page.waitForEvent("load"), page.keyboard.press("Enter")]);
    assert.match(await page.locator("#said").innerText(), /is kept/);
  }
  for (const { station, value } of readings) assert.match(await standsAt(page, station), new RegExp(`^${value.replace(".", "\\.")} `));
  assert.equal((await readingsCsv(bench, build)).length, readings.length);

  assert.equal(await page.locator("#wanted-words").innerText(), "Every station is read");
  await page.locator("#value").fill("79.920");
  await page.getByRole("button", { name: "Enter" }).click();
  assert.match(await page.getByRole("alert").innerText(), /choose the one that is to be read again/);
  await page.goBack();

  // Asked back, and kept over a box that is ticked.
  await page.locator('li[data-station="land_width.2"] a').click();
  await page.locator("#value").fill("80.422");
  await page.getByRole("button", { name: "Enter" }).click();
  assert.match(await page.locator("#said").innerText(), /Is that right\?/);
  assert.equal(await page.locator("#value").inputValue(), "80.422");
  await page.getByLabel("I read it again, and it is so").check();
  await page.getByRole("button", { name: "Enter" }).click();
  assert.match(await standsAt(page, "land_width.2"), /^80\.422 mm/);
  await bench.close();
  await shop.close();
});

test("what if works as a page", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop, { viewport: TABLET, javaScriptEnabled: false });
  const { page } = bench;
  await begin(page);
  const build = await bringIn(bench, boat.text);
  await page.goto(`/builds/${build}`);
  await page.getByRole("link", { name: "Work out what would be" }).click();
  await page.locator("#what-speed").fill("7000");
  await page.getByRole("button", { name: "Work it out" }).click();
  assert.match(await page.locator("#what-if-answer").innerText(), /at 7000 rpm/);
  assert.ok((await page.locator("#what-if-sweep svg").count()) > 0);
  assert.equal(await page.locator("#what-speed").inputValue(), "7000");
  const file = await (await bench.context.request.get(`/builds/${build}/build.toml`)).text();
  assert.match(file, /9800 rpm/, "nothing is stored");
  await page.getByRole("button", { name: "Put these figures into the build" }).click();
  await page.getByRole("button", { name: "Write them into the build" }).click();
  await page.waitForURL(`/builds/${build}#clearances`);
  assert.match(await page.locator("main dl").first().innerText(), /7000 rpm/);
  await bench.close();
  await shop.close();
});
