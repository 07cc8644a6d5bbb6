// Two people at two benches on one build: neither overwrites the other unseen.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { DESK, TABLET, openBench, openBrowser } from "./browser.mjs";
import { example } from "./figures.mjs";
import { closeShops, openShop } from "./shop.mjs";
import { BUILDER, OWNER, addPerson, begin, beginBuild, readingsAt, readingsCsv, signIn, standsAt } from "./steps.mjs";

let browser, boat;
before(async () => {
  browser = await openBrowser();
  boat = await example("sprint-boat");
});
after(async () => {
  await browser.close();
  await closeShops();
});

/** A shop with a build, and two people signed in. */
async function twoBenches() {
  const shop = await openShop();
  const one = await openBench(browser, shop, { viewport: DESK });
  await begin(one.page);
  await addPerson(one, BUILDER);
  const build = await beginBuild(one, boat);
  const two = await openBench(browser, shop, { viewport: TABLET });
  await signIn(two.page, BUILDER);
  return { shop, one, two, build, close: async () => { await one.close(); await two.close(); await shop.close(); } };
}

const enter = async (page, value) => {
  await page.locator("#value").fill(value);
  await page.keyboard.press("Enter");
};

test("the same station: the second reading shows both, and can be entered over", async () => {
  const { one, two, build, close } = await twoBenches();
  const path = await readingsAt(one.page, build, boat.rotors[0].serial);
  await one.page.goto(path);
  await two.page.goto(path);
  await enter(one.page, "79.915");
  await one.page.waitForFunction(() => document.querySelector('li[data-station="land_width.1"].read .by'));

  await enter(two.page, "79.916");
  await two.page.getByText("Somebody else read this station.").waitFor();
  const said = await two.page.locator("#said").innerText();
  assert.ok(said.includes("79.915 mm") && said.includes("79.916 mm"), `both are shown: ${said}`);
  assert.ok(said.includes(OWNER.name), `and who read the other: ${said}`);
  assert.equal(await two.page.locator("#value").inputValue(), "79.916");
  assert.equal((await readingsCsv(one, build)).length, 1);

  await two.page.keyboard.press("Enter");
  await two.page.waitForFunction(() => document.querySelector('li[data-station="land_width.1"] .by')?.textContent.includes("read again"));
  assert.match(await standsAt(two.page, "land_width.1"), /^79\.916 mm/);
  const kept = await readingsCsv(one, build);
  assert.deepEqual(kept.map((row) => row.value), ["79.915 mm", "79.916 mm"], "the first is superseded, not gone");
  await close();
});

test("different stations do not disturb each other", async () => {
  const { one, two, build, close } = await twoBenches();
  const path = await readingsAt(one.page, build, boat.rotors[0].serial);
  await one.page.goto(`${path}?at=land_width.1`);
  await two.page.goto(`${path}?at=gear_step.1`);
  for (const [page, value] of [[one.page, "79.915"], [two.page, "95"], [one.page, "79.922"], [two.page, "88"]]) {
    await enter(page, value);
    await page.locator("#said", { hasText: `${value} ` }).getByText("is kept").waitFor();
  }
  const kept = await readingsCsv(one, build);
  assert.deepEqual(kept.map((row) => [row.station, row.value]), [
    ["land_width.1", "79.915 mm"], ["gear_step.1", "95 um"], ["land_width.2", "79.922 mm"], ["gear_step.2", "88 um"],
  ]);
  await close();
});

test("the same value of the spec: the second change is refused with both values", async () => {
  const { one, two, build, close } = await twoBenches();
  const path = `/builds/${build}/values/spec`;
  const field = '[name="is:spec.match"]';
  const keep = (page) => page.getByRole("button", { name: "Keep these values" }).click();
  const other = await two.context.newPage();
  for (const page of [one.page, two.page, other]) await page.goto(path);
  await one.page.locator(field).fill("7 um");
  await keep(one.page);
  await one.page.waitForLoadState();
  assert.equal(await one.page.locator(field).inputValue(), "7 um");

  // Another value, from a page that was open meanwhile, is taken beside it.
  await other.locator('[name="is:spec.land_cut_limit"]').fill("0.14 mm");
  await keep(other);
  await other.waitForLoadState();
  assert.equal(await other.locator(field).inputValue(), "7 um");
  assert.equal(await other.locator('[name="is:spec.land_cut_limit"]').inputValue(), "0.14 mm");

  // The same value is not.
  await two.page.locator(field).fill("9 um");
  await keep(two.page);
  const told = await two.page.getByRole("alert").innerText();
  assert.ok(told.includes("9 um") && told.includes("7 um"), told);
  await other.goto(path);
  assert.equal(await other.locator(field).inputValue(), "7 um");

  // Back, what was typed is still there, and whoever has looked at both may keep it.
  await two.page.goBack();
  assert.equal(await two.page.locator(field).inputValue(), "9 um");
  await keep(two.page);
  await two.page.waitForLoadState();
  await other.goto(path);
  assert.equal(await other.locator(field).inputValue(), "9 um");
  await close();
});
