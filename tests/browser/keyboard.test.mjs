// Readings by keyboard alone: nothing but key presses, on a tablet held upright and on a desk.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { DESK, TABLET, openBench, openBrowser } from "./browser.mjs";
import { example, readingsOf } from "./figures.mjs";
import { closeShops, openShop } from "./shop.mjs";
import { begin, beginBuild, readingsAt, readingsCsv, standsAt, waitingIn } from "./steps.mjs";

let browser, boat;
before(async () => {
  browser = await openBrowser();
  boat = await example("sprint-boat");
});
after(async () => {
  await browser.close();
  await closeShops();
});

/** Whether all of an element is on the screen as it is scrolled now. */
const inSight = (page, selector) =>
  page.locator(selector).first().evaluate((node) => {
    const box = node.getBoundingClientRect();
    return box.width > 0 && box.top >= 0 && box.left >= 0 && box.bottom <= innerHeight && box.right <= innerWidth;
  });

for (const [called, viewport] of [["tablet", TABLET], ["desk", DESK]]) {
  test(`on a ${called}: 19 stations of a rotor, each wanted station in sight, Enter goes on`, async () => {
    const shop = await openShop();
    const bench = await openBench(browser, shop, { viewport });
    const { page } = bench;
    await begin(page);
    const build = await beginBuild(bench, boat);
    const rotor = boat.rotors[0];
    const readings = readingsOf(rotor);
    assert.equal(readings.length, 19);
    const drawings = new Set();
    await page.goto(await readingsAt(page, build, rotor.serial));

    for (const [i, { station, value }] of readings.entries()) {
      await page.waitForFunction((wanted) => document.forms.entry.elements.station.value === wanted, station);
      assert.equal(await page.evaluate(() => document.activeElement.id), "value", `${station}: the field has the keys`);
      for (const part of ["#wanted-words", "#value", "#wanted-picture svg", '#entry button[type="submit"]']) {
        assert.ok(await inSight(page, part), `${station}: ${part} is in sight`);
      }
      // The drawing is that of the station that is wanted: it says so, and no two are alike.
      await page.waitForFunction(() => {
        const plain = (text) => text.toLowerCase().replaceAll("-", " ");
        const drawn = plain(document.querySelector("#wanted-picture svg").textContent);
        return plain(document.getElementById("wanted-words").textContent).split(/ at | of the /).every((word) => drawn.includes(word));
      });
      drawings.add(await page.locator("#wanted-picture svg").innerHTML());
      await page.keyboard.type(value);
      await page.keyboard.press("Enter");
      await page.waitForFunction((count) => document.querySelectorAll("#read li.read .by").length === count, i + 1);
    }
    assert.equal(drawings.size, readings.length);
    for (const { station, value } of readings) {
      assert.match(await standsAt(page, station), new RegExp(`^${value.replace(".", "\\.")} (mm|µm|g)`), station);
    }
    await bench.close();
    await shop.close();
  });
}

test("a gauge with a cable types 19 stations back to back: each arrives once, in order", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop, { viewport: TABLET });
  const { page } = bench;
  await begin(page);
  const build = await beginBuild(bench, boat);
  const rotor = boat.rotors[0];
  const readings = readingsOf(rotor);
  await page.goto(await readingsAt(page, build, rotor.serial));
  for (const { value } of readings) {
    await page.keyboard.type(value);
    await page.keyboard.press("Enter");
  }
  await page.waitForFunction((count) => document.querySelectorAll("#read li.read .by").length === count, readings.length);
  const arrived = await readingsCsv(bench, build);
  assert.deepEqual(arrived.map((row) => row.station), readings.map((r) => r.station));
  assert.deepEqual(arrived.map((row) => row.value.split(" ")[0]), readings.map((r) => r.value));
  assert.deepEqual(await waitingIn(page), [], "nothing waits");

  // One number more goes over no reading.
  assert.equal(await page.locator("#wanted-words").innerText(), "Every station is read");
  await page.keyboard.type("79.920");
  await page.keyboard.press("Enter");
  await page.getByText("choose below the one that is to be read again").waitFor();
  await page.reload();
  assert.equal(await page.locator("#wanted-words").innerText(), "Every station is read");
  assert.equal((await readingsCsv(bench, build)).length, readings.length);
  // A station that is chosen is read again.
  await page.locator('li[data-station="land_width.2"] a').click();
  await page.keyboard.type("79.921");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector('li[data-station="land_width.2"] .by').textContent.includes("read again"));
  assert.match(await standsAt(page, "land_width.2"), /^79\.921 mm/);
  await bench.close();
  await shop.close();
});

test("with Tab alone every control of the readings page is reached, and shows where the keys go", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop, { viewport: TABLET });
  const { page } = bench;
  await begin(page);
  const build = await beginBuild(bench, boat);
  await page.goto(await readingsAt(page, build, boat.rotors[0].serial));
  await page.locator("#value").focus();
  const reached = [];
  for (let i = 0; i < 12; i += 1) {
    await page.keyboard.press("Tab");
    reached.push(await page.evaluate(() => {
      const node = document.activeElement;
      const style = getComputedStyle(node);
      return { what: node.name || node.textContent.trim(), ring: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2 };
    }));
  }
  const whats = reached.map((one) => one.what);
  for (const wanted of ["unit", "Enter", "gauge", "temperature"]) assert.ok(whats.includes(wanted), `${wanted} in ${whats}`);
  assert.ok(whats.some((what) => /^Land width at tip 1/.test(what)), `a station in ${whats}`);
  for (const { what, ring } of reached) assert.ok(ring, `${what}: a ring shows it`);

  // Another station by keys alone: its link, Enter, and the field is there for its number.
  await page.locator('li[data-station="mass"] a').focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.forms.entry.elements.station.value === "mass");
  assert.equal(await page.evaluate(() => document.activeElement.id), "value");
  assert.ok(await inSight(page, "#value"), "the field came into sight");
  await page.keyboard.type("4312");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector('li[data-station="mass"].read .by'));
  await bench.close();
  await shop.close();
});
