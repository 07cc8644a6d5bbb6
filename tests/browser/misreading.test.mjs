// Readings that cannot be right: the one that disagrees is named, by shape and word; a value far
// from its neighbours is asked back; a value that can be none is refused with the cure.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { TABLET, openBench, openBrowser } from "./browser.mjs";
import { example, readingsOf } from "./figures.mjs";
import { closeShops, openShop } from "./shop.mjs";
import { atRotor, begin, beginBuild, readingsAt, readingsCsv, standsAt, stands } from "./steps.mjs";

let browser;
before(async () => { browser = await openBrowser(); });
after(async () => {
  await browser.close();
  await closeShops();
});

/** Types all readings of a rotor of an example; says of each that is asked back that it is so. */
async function typed(page, bench, of, serial) {
  await begin(page);
  const build = await beginBuild(bench, of);
  const rotor = of.rotors.find((one) => one.serial === serial);
  const path = await readingsAt(page, build, rotor.serial);
  await page.goto(path);
  const asked = [];
  for (const { station, value } of readingsOf(rotor)) {
    if ((await page.locator('#entry [name="station"]').inputValue()) !== station) {
      await page.locator(`li[data-station="${station}"] a`).click();
    }
    await page.keyboard.type(value);
    await page.keyboard.press("Enter");
    await page.waitForFunction((station) => document.querySelector(`li[data-station="${station}"].read .by, #said .mark.due`), station);
    const sure = page.getByLabel("I read it again, and it is so");
    if (await sure.count()) {
      asked.push(station);
      await sure.check();
      await page.locator("#value").press("Enter");
    }
    await page.waitForFunction((station) => document.querySelector(`li[data-station="${station}"].read .by`), station);
  }
  return { build, rotor, asked };
}

test("dipper: the reading that disagrees with the others is named", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop, { viewport: TABLET });
  const { page } = bench;
  const { build, rotor, asked } = await typed(page, bench, await example("dipper-pump"), "DR-2");
  // A whole turn of the thimble is asked back at once, and again of whatever follows beside it.
  assert.equal(asked[0], "land_width.2");

  const marked = page.locator("#read li[data-station]", { has: page.locator(".mark.stopped") });
  const suspects = await marked.evaluateAll((items) => items.map((item) => item.dataset.station));
  assert.equal(suspects.length, 1, `${suspects}`);
  assert.match(await marked.locator("a").innerText(), /disagrees/, "by word");
  const shape = await marked.locator("svg.mark path").count();
  assert.equal(shape, 1, "by shape: a triangle, where the others have discs");
  const told = page.locator("#read .told").first();
  assert.equal(await told.locator(".mark.stopped").count(), 1);
  const words = (await marked.locator("a").innerText()).split(",")[0].toLowerCase();
  assert.ok((await told.innerText()).toLowerCase().includes(words), `${words} in ${await told.innerText()}`);

  // What is wanted now is that it is read again, here and whenever the page is opened.
  const wanted = page.locator('#entry [name="station"]');
  assert.equal(await wanted.inputValue(), suspects[0]);
  await page.reload();
  assert.equal(await wanted.inputValue(), suspects[0]);

  await page.goto(`/builds/${build}`);
  const inspection = await stands(page, "inspection");
  assert.equal(inspection.state, "stopped");
  assert.ok(inspection.words.includes(rotor.serial) && inspection.words.toLowerCase().includes(words), inspection.words);
  await bench.close();
  await shop.close();
});

test("teal: a group that cannot be told apart is named with the repeat that settles it", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop, { viewport: TABLET });
  const { page } = bench;
  const { build } = await typed(page, bench, await example("teal-pump"), "TR-5");
  const marked = page.locator("#read li[data-station]", { has: page.locator(".mark.stopped") });
  const suspects = await marked.evaluateAll((items) => items.map((item) => item.dataset.station));
  // Four readings tie at tip 3; which of them is wrong cannot be told.
  assert.deepEqual(suspects, ["land_width.3", "gear_step.3", "plain_step.3", "tip_width.3"]);
  assert.match(await page.locator("#read .told").first().innerText(), /read|repeat|take/i);

  // The one that was misread is read again, and everything agrees.
  await page.locator('li[data-station="plain_step.3"] a').click();
  await page.keyboard.type("102");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector('li[data-station="plain_step.3"] .by')?.textContent.includes("read again"));
  assert.equal(await marked.count(), 0);
  await page.goto(`/builds/${build}`);
  assert.notEqual((await stands(page, "inspection")).state, "stopped");
  await bench.close();
  await shop.close();
});

test("a value far from its neighbours is asked back, and kept when it was read again", async () => {
  const { shop, bench, page, build } = await atRotor(browser, await example("sprint-boat"));
  await page.keyboard.type("79.915");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector('li[data-station="land_width.1"].read .by'));
  // A whole turn of the thimble.
  await page.keyboard.type("80.422");
  await page.keyboard.press("Enter");
  await page.getByText("Is that right?").waitFor();
  assert.match(await page.locator("#said").innerText(), /tip 1 reads 79\.915 mm/);
  assert.equal(await page.locator("#said .mark.due").count(), 1);
  assert.equal(await page.locator('#entry [name="station"]').inputValue(), "land_width.2", "back at the station in question");
  assert.equal(await page.locator("#value").inputValue(), "80.422", "with what was typed");
  assert.equal((await readingsCsv(bench, build)).length, 1, "nothing is kept yet");

  await page.getByLabel("I read it again, and it is so").check();
  await page.getByRole("button", { name: "Enter" }).click();
  await page.waitForFunction(() => document.querySelector('li[data-station="land_width.2"].read .by'));
  assert.match(await standsAt(page, "land_width.2"), /^80\.422 mm/);
  await bench.close();
  await shop.close();
});

test("a value that can be none is refused, and the cure is told", async () => {
  const { shop, bench, page, build } = await atRotor(browser, await example("sprint-boat"));
  for (const [value, cure] of [
    ["7991.5", /Not kept\. .*7991\.5 mm .*expected/s],
    ["79,915", /Not kept\. .*a comma can be misread; write "79\.915"/s],
    ["79.915 mil", /Not kept\. .*thou/s],
    ["seventy", /Not kept\. .*no number here/s],
  ]) {
    await page.locator("#value").fill(value);
    await page.keyboard.press("Enter");
    await page.waitForFunction((cure) => new RegExp(cure, "s").test(document.getElementById("said").innerText), cure.source);
    assert.equal(await page.locator("#said .mark.stopped").count(), 1);
    assert.equal(await page.locator("#value").inputValue(), value, "what was typed is still there");
  }
  assert.equal((await readingsCsv(bench, build)).length, 0);
  await bench.close();
  await shop.close();
});
