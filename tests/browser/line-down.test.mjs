// The line is down for longer: the page of the readings is loaded again on the tablet and worked on,
// says from when it is, and what was typed arrives once. Nothing is decided unseen, and nobody sees
// what was kept for somebody else.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { TABLET, openBench, openBrowser } from "./browser.mjs";
import { example } from "./figures.mjs";
import { closeShops } from "./shop.mjs";
import { BUILDER, OWNER, addPerson, atRotor, bringIn, keptOnTablet, readingsAt, readingsCsv, signIn, standsAt, typeOut, until, waitingIn } from "./steps.mjs";

let browser, boat;
before(async () => {
  browser = await openBrowser();
  boat = await example("sprint-boat");
});
after(async () => {
  await browser.close();
  await closeShops();
});

const AS_IT_WAS = /The line is out: this page is as it was at \d\d:\d\d\./;
const GONE = /ERR_(CONNECTION_REFUSED|FAILED)/;
const valueOf = (entry) => Object.fromEntries(entry.fields).value;
const readHere = (page, count) => page.waitForFunction((count) => document.querySelectorAll("#read li.read .by").length === count, count);

/** A shop with a rotor to read, its page kept on the tablet. */
async function kept(options) {
  const all = await atRotor(browser, boat, options);
  await keptOnTablet(all.page, all.path, all.readings.map((reading) => reading.station));
  return all;
}

test("the shop's machine is off and the page is loaded again: it says from when it is, is worked on, and all arrives once and in order", async () => {
  const { shop, bench, page, build, readings } = await kept();
  await page.locator("#temperature").fill("21 degC");
  await page.locator("#value").focus();
  await typeOut(page, readings.slice(0, 2));
  await readHere(page, 2);
  await shop.stop();
  await typeOut(page, readings.slice(2, 5));
  await page.keyboard.type("9");
  await page.waitForFunction(() => /3 readings wait/.test(document.getElementById("line").textContent));

  await page.reload();
  await page.locator("#line", { hasText: AS_IT_WAS }).waitFor();
  assert.match(await page.locator("#line").innerText(), /3 readings wait on this tablet, and will be sent when it is back\./);
  // What is half typed stands where it was, and what waits is not asked for again.
  assert.equal(await page.locator("#value").inputValue(), "9");
  assert.equal(await page.locator('#entry [name="station"]').inputValue(), readings[5].station);
  assert.equal(await page.locator("#temperature").inputValue(), "21 degC");
  assert.match(await page.locator("#said").innerText(), /Typed before, and not entered yet\./);
  for (const { station, value } of readings.slice(2, 5)) assert.equal(await standsAt(page, station), `${value}, waits here`);
  assert.ok(await page.locator("#wanted-picture svg").count() > 0, "the drawing is there");

  // Work goes on, and is there after another time too.
  await page.keyboard.press("End");
  await page.keyboard.type("1");
  await page.keyboard.press("Enter");
  await typeOut(page, readings.slice(6, 8));
  await page.reload();
  assert.deepEqual((await waitingIn(page)).map(valueOf), [...readings.slice(2, 5).map((r) => r.value), "91", ...readings.slice(6, 8).map((r) => r.value)]);

  await shop.start();
  await readHere(page, 8);
  await page.waitForFunction(() => document.getElementById("line").textContent === "");
  assert.deepEqual(await waitingIn(page), []);
  const arrived = await readingsCsv(bench, build);
  assert.deepEqual(arrived.map((row) => [row.station, row.value.split(" ")[0]]),
    readings.slice(0, 8).map((r, i) => [r.station, i === 5 ? "91" : r.value]));
  await bench.close();
  await shop.close();
});

test("a reading that somebody else took meanwhile is shown beside one's own, stays over a load of the page, and is decided by hand", async () => {
  const { shop, bench, page, build, path, readings } = await kept();
  await addPerson(bench, BUILDER);
  const { port } = shop;
  await bench.context.setOffline(true);
  await page.reload();
  await page.locator("#line", { hasText: AS_IT_WAS }).waitFor();
  await typeOut(page, readings.slice(0, 2));
  assert.equal((await waitingIn(page)).length, 2);
  // Another bench has its line.
  const other = await openBench(browser, shop, { viewport: TABLET });
  await signIn(other.page, BUILDER);
  await other.page.goto(path);
  await other.page.keyboard.type("79.930");
  await other.page.keyboard.press("Enter");
  await readHere(other.page, 1);

  await bench.context.setOffline(false);
  await page.getByText("Somebody else read this station.").waitFor();
  const both = async () => {
    const said = await page.locator("#said").innerText();
    assert.ok(said.includes("79.930 mm") && said.includes(`${readings[0].value} mm`) && said.includes(BUILDER.name), said);
    assert.equal(await page.locator("#value").inputValue(), readings[0].value);
  };
  await both();
  // The second, of which nobody disagrees, is kept meanwhile.
  await page.waitForFunction(() => document.querySelector('li[data-station="land_width.2"] .by'));
  await page.reload();
  await page.getByText("Somebody else read this station.").waitFor();
  await both();
  assert.deepEqual((await readingsCsv(other, build)).map((row) => row.value), ["79.930 mm", `${readings[1].value} mm`]);
  await page.locator("#value").press("Enter");
  await page.waitForFunction(() => document.querySelector('li[data-station="land_width.1"] .by')?.textContent.includes("read again"));
  assert.deepEqual(await waitingIn(page), []);
  assert.deepEqual((await readingsCsv(other, build)).map((row) => row.value), ["79.930 mm", `${readings[1].value} mm`, `${readings[0].value} mm`]);
  assert.equal(shop.port, port);
  await other.close();
  await bench.close();
  await shop.close();
});

test("the build is signed meanwhile: what waited is refused, stays to be seen, and can be left out", async () => {
  const { shop, bench, page } = await kept();
  const build = await bringIn(bench, (await example("gannet-pump")).text);
  const serial = (await example("gannet-pump")).rotors[0].serial;
  const path = await readingsAt(page, build, serial);
  await page.goto(path);
  await until(page, (path) => caches.match(path).then(Boolean), path);
  await page.goto(`${path}?at=land_width.1`);
  await page.locator('li[data-station="land_width.1"] a').click();
  const old = await standsAt(page, "land_width.1");
  await bench.context.setOffline(true);
  await page.reload();
  await page.locator("#line", { hasText: AS_IT_WAS }).waitFor();
  assert.equal(await page.locator('#entry [name="station"]').inputValue(), "land_width.1");
  await page.locator("#value").fill("73.899");
  await page.keyboard.press("Enter");
  assert.equal((await waitingIn(page)).length, 1);
  const other = await openBench(browser, shop);
  await signIn(other.page, OWNER);
  await other.page.goto(`/builds/${build}`);
  const form = other.page.locator(`form[action="/builds/${build}/sign"]`);
  await form.locator('[name="meaning"]').fill("built and inspected");
  await form.locator('[name="password"]').fill(OWNER.password);
  await form.getByRole("button").click();
  await other.page.waitForURL(`/builds/${build}#sign-off`);

  await bench.context.setOffline(false);
  await page.locator("#said .told", { hasText: "signed" }).waitFor();
  assert.equal(await page.locator("#value").inputValue(), "73.899");
  // It stays, and is told on other pages too.
  await page.goto("/builds");
  await page.locator("#line", { hasText: "One that waited is not kept: Land width at tip 1 (73.899)." }).waitFor();
  await page.locator("#line a").click();
  await page.locator("#said .told", { hasText: "signed" }).waitFor();
  await page.locator("#said").getByRole("button", { name: "Leave it out" }).click();
  assert.deepEqual(await waitingIn(page), []);
  await page.reload();
  assert.equal(await standsAt(page, "land_width.1"), old);
  assert.equal(await page.locator("#line").innerText(), "");
  await other.close();
  await bench.close();
  await shop.close();
});

test("two people on one tablet: neither is shown what was kept for the other, nor sends it", async () => {
  const { shop, bench, page, build, path, readings } = await kept();
  await addPerson(bench, BUILDER);
  await bench.context.setOffline(true);
  await typeOut(page, readings.slice(0, 1));
  await page.keyboard.type("79.9");
  await page.locator("#line", { hasText: "1 reading waits" }).waitFor();
  // Signed out from elsewhere, and somebody else signs in here.
  await bench.context.clearCookies();
  await bench.context.setOffline(false);
  await page.locator("#line", { hasText: "Nobody is signed in any more: 1 reading waits" }).waitFor();
  await signIn(page, BUILDER);
  await page.locator("#line", { hasText: "1 of somebody else waits on this tablet until they sign in here." }).waitFor();
  await shop.stop();
  await assert.rejects(page.goto(path), GONE);
  await shop.start();
  // Their own page is kept for them, without what the other typed.
  const theirs = await bench.context.newPage();
  await page.close();
  await theirs.goto(path);
  assert.equal(await theirs.locator("#value").inputValue(), "");
  await keptOnTablet(theirs, path, readings.map((reading) => reading.station));
  assert.deepEqual(await readingsCsv(bench, build), []);
  // Signing out takes it away, with the line out as well.
  await shop.stop();
  await theirs.reload();
  await theirs.locator("#line", { hasText: AS_IT_WAS }).waitFor();
  await theirs.getByRole("button", { name: "Sign out" }).click();
  await theirs.getByText("The line is out: you are signed out at the shop only when you press this again").waitFor();
  await until(theirs, (path) => caches.match(path).then((found) => !found), path);
  await assert.rejects(theirs.reload(), GONE);
  await shop.start();
  // The first comes back: what waited is sent as theirs.
  const last = await bench.context.newPage();
  await theirs.close();
  await last.goto("/people/me");
  await last.getByRole("button", { name: "Sign out" }).click();
  await last.waitForURL("/in");
  await signIn(last, OWNER);
  await until(last, () => !Object.keys(localStorage).some((key) => key.startsWith("lobewright reading ")));
  await last.goto(path);
  await readHere(last, 1);
  assert.match(await last.locator('li[data-station="land_width.1"] .by').innerText(), new RegExp(OWNER.name));
  await bench.close();
  await shop.close();
});

test("nothing else is kept: no sheet, no plan, no paper, no program; and nothing is answered but pages that are", async () => {
  const { shop, bench, page, build, path } = await kept();
  const other = await readingsAt(page, build, boat.rotors[1].serial);
  for (const one of ["/builds", `/builds/${build}`, `/builds/${build}/plan-in-full`, `/builds/${build}/what-if`, "/shop"]) await page.goto(one);
  await page.goto(path);
  const stored = await page.evaluate(async () => {
    const found = [];
    for (const name of await caches.keys()) for (const request of await (await caches.open(name)).keys()) found.push(new URL(request.url).pathname);
    return found;
  });
  const allowed = (one) => one === path || one.startsWith(`${path}/`) || ["/look.css", "/bench.js", "/forms.js", "/readings.js", "/waits.js", "/favicon.ico"].includes(one);
  assert.deepEqual(stored.filter((one) => !allowed(one)), []);
  await shop.stop();
  for (const one of ["/builds", `/builds/${build}`, `/builds/${build}/plan-in-full`, `/builds/${build}/programs`, other]) {
    const tab = await bench.context.newPage();
    await assert.rejects(tab.goto(one), GONE, one);
    await tab.close();
  }
  await page.reload();
  await page.locator("#line", { hasText: AS_IT_WAS }).waitFor();
  const asked = await page.evaluate((path) => fetch(path, { method: "POST" }).then((answer) => answer.status, () => "out"), path);
  assert.equal(asked, "out");
  await bench.close();
  await shop.close();
});

test("what an older program kept is gone with it", async () => {
  const { shop, bench, page, path } = await kept();
  const names = await page.evaluate(async () => {
    for (const name of ["lobewright pages 0123", "lobewright files 0123"]) await (await caches.open(name)).put("/builds/1", new Response("old"));
    const before = await caches.keys();
    await (await navigator.serviceWorker.getRegistration()).unregister();
    return before;
  });
  assert.equal(names.length, 4, names.join(", "));
  await page.reload();
  await until(page, () => caches.keys().then((names) => names.length === 2 && !names.some((name) => name.endsWith("0123"))));
  await until(page, (path) => caches.match(path).then(Boolean), path);
  await bench.close();
  await shop.close();
});

test("two pages of one tablet: what is entered in both arrives once each, and both show it", async () => {
  const { shop, bench, page, build, path, readings } = await kept();
  const second = await bench.context.newPage();
  await second.goto(`${path}?at=${readings[6].station}`);
  await shop.stop();
  await typeOut(page, readings.slice(0, 3));
  await second.bringToFront();
  await typeOut(second, readings.slice(6, 8));
  await page.bringToFront();
  await typeOut(page, readings.slice(3, 4));
  assert.equal((await waitingIn(page)).length, 6);
  await shop.start();
  await readHere(page, 6);
  await readHere(second, 6);
  const order = [0, 1, 2, 6, 7, 3].map((i) => readings[i].station);
  assert.deepEqual((await readingsCsv(bench, build)).map((row) => row.station), order);
  await bench.close();
  await shop.close();
});

test("the tablet's store is full: the page says so, keeps what is typed while it is open, and sends it", async () => {
  const { shop, bench, page, build, readings } = await kept();
  await shop.stop();
  await page.evaluate(() => {
    for (let size = 1 << 22; size >= 1; size >>= 1) {
      try { for (let i = 0; ; i += 1) localStorage.setItem(`full ${size} ${i}`, "x".repeat(size)); } catch { /* A smaller one may fit. */ }
    }
  });
  await typeOut(page, readings.slice(0, 2));
  await page.locator("#line", { hasText: /2 readings wait on this tablet.* This tablet's own store is full or closed/ }).waitFor();
  assert.deepEqual(await waitingIn(page), []);
  await shop.start();
  await readHere(page, 2);
  assert.deepEqual((await readingsCsv(bench, build)).map((row) => row.station), readings.slice(0, 2).map((r) => r.station));
  assert.equal(await page.locator("#line").innerText(), "");
  await bench.close();
  await shop.close();
});

test("without a keeper of pages all is as it is without one: what is typed waits, half of it too", async () => {
  const { shop, bench, page, build, path, readings } = await atRotor(browser, boat, { bench: { serviceWorkers: "block" } });
  await shop.stop();
  await typeOut(page, readings.slice(0, 2));
  await page.keyboard.type("79.9");
  await assert.rejects(page.reload(), GONE);
  await shop.start();
  const again = await bench.context.newPage();
  await page.close();
  await again.goto(path);
  await readHere(again, 2);
  assert.equal(await again.locator("#value").inputValue(), "79.9");
  assert.equal(await again.locator('#entry [name="station"]').inputValue(), readings[2].station);
  assert.equal((await readingsCsv(bench, build)).length, 2);
  await bench.close();
  await shop.close();
});

test("what was mistyped with the line out is corrected there: both arrive, the second over the first", async () => {
  const { shop, bench, page, build, readings } = await kept();
  await shop.stop();
  await typeOut(page, [{ station: "land_width.1", value: "79.930" }]);
  await page.locator('li[data-station="land_width.1"] a').click();
  await typeOut(page, readings.slice(0, 2));
  await page.reload();
  assert.equal(await standsAt(page, "land_width.1"), `${readings[0].value}, waits here`);
  await shop.start();
  await readHere(page, 2);
  await page.waitForFunction(() => document.getElementById("line").textContent === "");
  const arrived = await readingsCsv(bench, build);
  assert.deepEqual(arrived.map((row) => [row.station, row.value.split(" ")[0], row.supersedes]),
    [["land_width.1", "79.930", ""], ["land_width.1", readings[0].value, arrived[0].reading], ["land_width.2", readings[1].value, ""]]);
  await bench.close();
  await shop.close();
});

/** The page of a spec's values of a build, and one of its fields. */
async function atValues(bench) {
  const all = await atRotor(browser, boat, { bench });
  const path = `/builds/${all.build}/values/spec`;
  await all.page.goto(path);
  const field = all.page.locator('[name="is:spec.match"]');
  const keep = () => all.page.getByRole("button", { name: "Keep these values" }).click();
  return { ...all, path, field, keep };
}

test("a form that cannot be sent keeps what was typed in it, says so, and is sent when the line is back", async () => {
  const { shop, bench, page, path, field, keep } = await atValues();
  await field.fill("7 um");
  await shop.stop();
  await page.locator("#line", { hasText: "The line is out: what you typed cannot be sent now." }).waitFor();
  await keep();
  await page.getByText("The line is out: nothing was sent. What you typed stays in this form").waitFor();
  assert.equal(await field.inputValue(), "7 um");
  assert.equal(new URL(page.url()).pathname, path);
  await shop.start();
  await page.waitForFunction(() => document.getElementById("line").textContent === "");
  await keep();
  await page.waitForFunction(() => !document.querySelector(".unsent"));
  await page.goto(path);
  assert.equal(await field.inputValue(), "7 um");
  assert.equal(await page.locator(".unsent").count(), 0);
  await bench.close();
  await shop.close();
});

test("a form that was sent into nothing has what was typed in it when its page is open again, and goes over nothing unseen", async () => {
  // A test cannot answer for the shop where a keeper of pages stands before it.
  const { shop, bench, page, path, field, keep } = await atValues({ serviceWorkers: "block" });
  // The page does not know yet that the line is out.
  await page.route("**/look.css", (route) => (route.request().method() === "HEAD" ? route.fulfill({ status: 200, body: "" }) : route.continue()));
  const limit = page.locator('[name="is:spec.land_cut_limit"]');
  await field.fill("7 um");
  await limit.fill("0.14 mm");
  const other = await bench.context.newPage();
  await shop.stop();
  const failed = page.waitForEvent("requestfailed", (request) => request.method() === "POST");
  await keep().catch(() => {});
  await failed;
  await shop.start();
  // One of the two is changed by somebody else meanwhile.
  await other.goto(path);
  await other.locator('[name="is:spec.land_cut_limit"]').fill("0.13 mm");
  await other.getByRole("button", { name: "Keep these values" }).click();
  await other.waitForFunction(() => document.querySelector('[name="is:spec.land_cut_limit"]')?.defaultValue === "0.13 mm");
  await page.goto(path);
  const told = page.locator(".unsent");
  await told.waitFor();
  assert.equal(await field.inputValue(), "7 um");
  assert.equal(await limit.inputValue(), "0.13 mm", "what stands is not gone over");
  assert.match(await told.innerText(), /may not have been sent.* Something else stands there now, in place of: 0\.14 mm\./);
  await keep();
  await page.waitForFunction(() => document.querySelector('[name="is:spec.match"]')?.defaultValue === "7 um");
  assert.equal(await told.count(), 0);
  await bench.close();
  await shop.close();
});
