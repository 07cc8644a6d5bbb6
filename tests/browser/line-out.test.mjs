// The line is out: what is typed waits on the tablet, survives a reload of the page, and arrives
// once, in order, when the line is back.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { openBrowser } from "./browser.mjs";
import { example, readingsOf } from "./figures.mjs";
import { closeShops } from "./shop.mjs";
import { OWNER, atRotor, readingsAt, readingsCsv, typeOut, waitingIn } from "./steps.mjs";

let browser, boat;
before(async () => {
  browser = await openBrowser();
  boat = await example("sprint-boat");
});
after(async () => {
  await browser.close();
  await closeShops();
});

const waiting = (page) => waitingIn(page).then((entries) => entries.length);

const atARotor = () => atRotor(browser, boat);

test("the cable is pulled: readings wait, the page says how many, they arrive once and in order", async () => {
  const { shop, bench, page, build, readings } = await atARotor();
  await typeOut(page, readings.slice(0, 2));
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 2);
  // Every picture is there before the cable comes out.
  await page.waitForFunction((count) => performance.getEntriesByType("resource")
    .filter((entry) => /\/before\/[a-z]/.test(entry.name) && entry.responseEnd > 0).length >= count, readings.length);
  await bench.context.setOffline(true);
  await typeOut(page, readings.slice(2, 7));
  assert.equal(await waiting(page), 5);
  assert.match(await page.locator("#line").innerText(), /The line is out: 5 readings wait on this tablet/);
  assert.match(await page.locator("#said").innerText(), /kept on this tablet/);
  // The drawing still follows.
  const words = (await page.locator("#wanted-words").innerText()).toLowerCase();
  assert.match(words, /plain-face step at tip 2/);
  await page.waitForFunction(() => /plain/i.test(document.querySelector("#wanted-picture svg title").textContent));

  await bench.context.setOffline(false);
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 7);
  assert.equal(await waiting(page), 0);
  assert.equal(await page.locator("#line").innerText(), "");
  assert.deepEqual((await readingsCsv(bench, build)).map((row) => row.station), readings.slice(0, 7).map((r) => r.station));
  await bench.close();
  await shop.close();
});

test("the shop's machine is off, the page is loaded again meanwhile: readings arrive once, in order", async () => {
  const { shop, bench, page, build, path, readings } = await atARotor();
  await shop.stop();
  await typeOut(page, readings.slice(0, 6));
  assert.equal(await waiting(page), 6);
  await page.waitForFunction(() => /6 readings wait/.test(document.getElementById("line").textContent));
  // A page that is not kept loads into nothing; the tab of the readings is closed.
  const nothing = await bench.context.newPage();
  await assert.rejects(nothing.goto("/builds"), /ERR_CONNECTION_REFUSED/);
  await nothing.close();
  const again = await bench.context.newPage();
  await page.close();
  await shop.start();
  // Whichever page is opened first sends what waits.
  await again.goto(path);
  await again.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 6);
  assert.equal(await waiting(again), 0);
  const kept = await readingsCsv(bench, build);
  assert.deepEqual(kept.map((row) => [row.station, row.value.split(" ")[0]]), readings.slice(0, 6).map((r) => [r.station, r.value]));
  await bench.close();
  await shop.close();
});

test("an answer that is lost on the way does not enter a reading twice", async () => {
  const { shop, bench, page, build, path, readings } = await atARotor();
  // The shop takes the reading, and the line goes out before its answer.
  let lost = 0;
  await page.route(`**${path}`, async (route) => {
    if (route.request().method() === "POST" && lost === 0) {
      lost += 1;
      await route.fetch();
      await route.abort("connectionreset");
    } else await route.continue();
  });
  await page.keyboard.type(readings[0].value);
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => /1 reading waits/.test(document.getElementById("line").textContent));
  assert.equal(lost, 1);
  assert.equal((await readingsCsv(bench, build)).length, 1, "it had arrived");
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 1);
  assert.equal(await waiting(page), 0);
  assert.equal((await readingsCsv(bench, build)).length, 1, "and is there once");
  await bench.close();
  await shop.close();
});

test("signed out meanwhile: what was typed waits until somebody signs in", async () => {
  const { shop, bench, page, build, readings } = await atARotor();
  await bench.context.clearCookies();
  await page.keyboard.type(readings[0].value);
  await page.keyboard.press("Enter");
  await page.locator("#line", { hasText: "Nobody is signed in any more: 1 reading waits on this tablet" }).waitFor();
  await page.getByRole("link", { name: "Sign in again" }).click();
  await page.locator('input[name="password"]').fill(OWNER.password);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForURL("/builds");
  await page.waitForFunction(() => !Object.keys(localStorage).some((key) => key.startsWith("lobewright reading ")));
  assert.deepEqual((await readingsCsv(bench, build)).map((row) => row.station), ["land_width.1"]);
  await bench.close();
  await shop.close();
});

test("signed in again on another page: this one asks for its form's token anew, and nothing is lost", async () => {
  const { shop, bench, page, build, readings } = await atARotor();
  await bench.context.clearCookies();
  const other = await bench.context.newPage();
  await other.goto("/in");
  await other.locator('input[name="password"]').fill(OWNER.password);
  await other.getByRole("button", { name: "Sign in" }).click();
  await other.waitForURL("/builds");
  await other.close();
  const before = await page.evaluate(() => document.body.dataset.formToken);
  const refused = page.waitForResponse((answer) => answer.request().method() === "POST" && answer.status() === 403);
  await page.keyboard.type(readings[0].value);
  await page.keyboard.press("Enter");
  await refused;
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 1);
  assert.equal(await waiting(page), 0);
  assert.equal(await page.evaluate(() => document.body.dataset.formToken), before, "the page itself was not loaded again");
  assert.deepEqual((await readingsCsv(bench, build)).map((row) => row.station), ["land_width.1"]);
  await bench.close();
  await shop.close();
});

test("what waits for one rotor is sent from the page of another, and shown on its own alone", async () => {
  const { shop, bench, page, build, path, readings } = await atARotor();
  const other = await readingsAt(page, build, boat.rotors[1].serial);
  await page.goto(path);
  await shop.stop();
  // The second is no width that this rotor can have; the third is good again.
  await typeOut(page, [readings[0], { station: "land_width.2", value: "79.422" }, readings[2]]);
  assert.equal(await waiting(page), 3);
  await shop.start();
  await page.goto(other);
  await page.locator("#line", { hasText: "One that waited is not kept: Land width at tip 2" }).waitFor();
  assert.match(await page.locator("h1").innerText(), new RegExp(boat.rotors[1].serial));
  assert.equal(await page.locator("#read li.read").count(), 0, "nothing of the other rotor stands here");
  assert.deepEqual((await readingsCsv(bench, build)).map((row) => row.station), ["land_width.1", "land_width.3"]);
  // Work goes on here meanwhile.
  await page.keyboard.type(readingsOf(boat.rotors[1])[0].value);
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 1);
  // Its own page asks it back with what was typed.
  await page.locator("#line a").click();
  await page.getByText("Is that right?").waitFor();
  assert.equal(await page.locator("#value").inputValue(), "79.422");
  assert.equal(await waiting(page), 1, "it stays until it is decided");
  await page.locator("#value").fill(readings[1].value);
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 3);
  assert.equal(await waiting(page), 0);
  await bench.close();
  await shop.close();
});

test("a number that is being typed does not land at a station that is asked back meanwhile", async () => {
  const { shop, bench, page, build, path, readings } = await atARotor();
  await page.keyboard.type(readings[0].value);
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 1);
  // The answer to the second comes while the third is half typed.
  let answer;
  const held = new Promise((done) => { answer = done; });
  await page.route(`**${path}`, async (route) => {
    if (route.request().method() === "POST") await held;
    await route.continue();
  });
  await page.keyboard.type("79.422");
  await page.keyboard.press("Enter");
  await page.keyboard.type("79.9");
  answer();
  await page.waitForFunction(() => Object.values(localStorage).some((entry) => entry.includes("79.422") && entry.includes('"why":"asked"')));
  assert.equal(await page.locator("#value").inputValue(), "79.9");
  await page.keyboard.type("18");
  await page.keyboard.press("Enter");
  await page.getByText("Is that right?").waitFor();
  assert.equal(await page.locator("#value").inputValue(), "79.422");
  await page.waitForFunction(() => document.querySelector('li[data-station="land_width.3"].read .by'));
  assert.deepEqual((await readingsCsv(bench, build)).map((row) => [row.station, row.value]), [["land_width.1", "79.915 mm"], ["land_width.3", "79.918 mm"]]);
  await bench.close();
  await shop.close();
});

test("the shop's disk is full: readings wait on the tablet, the page says why, and they arrive when there is room", async () => {
  const { shop, bench, page, build, readings } = await atARotor();
  const full = "The disk of the shop is full; make room.";
  await page.route("**/before", (route) => (route.request().method() === "POST"
    ? route.fulfill({ status: 507, json: { error: full, status: 507 } })
    : route.fallback()));
  await typeOut(page, readings.slice(0, 3));
  await page.getByText("3 readings wait on this tablet").waitFor();
  assert.match(await page.locator("#line").innerText(), /^The disk of the shop is full; make room\. Until then/);
  assert.equal((await readingsCsv(bench, build)).length, 0);
  await page.unroute("**/before");
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 3);
  assert.equal(await waiting(page), 0);
  const arrived = await readingsCsv(bench, build);
  assert.deepEqual(arrived.map((row) => row.value.split(" ")[0]), readings.slice(0, 3).map((r) => r.value));
  await bench.close();
  await shop.close();
});
