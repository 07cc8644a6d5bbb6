// What people do at their benches, through the pages they see.

import assert from "node:assert/strict";
import { TABLET, openBench } from "./browser.mjs";
import { readingsOf } from "./figures.mjs";
import { openShop } from "./shop.mjs";

export const OWNER = { name: "Ada Quill", password: "a long quill 7" };
export const BUILDER = { name: "Ben Reed", password: "warm start 8" };

/** Fills the fields of a form by their names. */
export async function fill(form, fields) {
  for (const [name, value] of Object.entries(fields)) {
    const field = form.locator(`[name="${name}"]`).first();
    if ((await field.evaluate((node) => node.tagName)) === "SELECT") await field.selectOption(value);
    else await field.fill(value);
  }
}

/** The first start: the shop begins, its owner is signed in. */
export async function begin(page) {
  await page.goto("/");
  await fill(page.locator('form[action="/first"]'), {
    shop: "Quill Rotary",
    name: OWNER.name,
    password: OWNER.password,
    again: OWNER.password,
  });
  await page.getByRole("button", { name: "Begin" }).click();
  await page.waitForURL("/builds");
}

export async function signIn(page, person) {
  await page.goto("/in");
  await page.locator('select[name="name"]').selectOption(person.name);
  await page.locator('input[name="password"]').fill(person.password);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForURL("/builds");
}

/** Somebody else of the shop. */
export async function addPerson(bench, person, role = "builder") {
  await bench.send("/people", { name: person.name, role, password: person.password, again: person.password });
}

/** Brings in a build file; gives the build's number. */
export async function bringIn(bench, text) {
  const path = await bench.send("/builds/bring", { text });
  return Number(path.match(/^\/builds\/(\d+)$/)[1]);
}

/** Keeps the engine of an example in the library. */
export async function keepEngine(bench, name, example) {
  const roots = ["engine", "shaft", "bearing", "gear", "seals", "oil", "gas", "inertia", "assembly"];
  const path = await bench.send("/engines", { "text-name": name, text: example.written(...roots) });
  return path.split("/").at(-1);
}

/** Keeps the spec of an example in the library. */
export async function keepSpec(bench, example) {
  const { "spec.name": name, ...places } = example.places("spec");
  const fields = Object.fromEntries(Object.entries(places).map(([place, value]) => [`at:${place}`, value]));
  const path = await bench.send("/specs", { name, ...fields });
  return path.split("/").at(-1);
}

/** Begins a build of an example whose parts and readings are still to come; gives its number. */
export async function beginBuild(bench, example) {
  const engine = await keepEngine(bench, "Merganser 2", example);
  const spec = await keepSpec(bench, example);
  const duty = example.places("build");
  const path = await bench.send("/builds/new", {
    name: duty["build.name"],
    engine,
    spec,
    speed: duty["build.duty.speed"] ?? "",
    boost: duty["build.duty.boost"] ?? "",
    running: duty["build.duty.running"] ?? "",
  });
  const build = Number(path.match(/^\/builds\/(\d+)$/)[1]);
  for (const housing of example.housings) await bench.send(`/builds/${build}/parts`, { kind: "rotor housing", serial: housing.serial });
  for (const rotor of example.rotors) {
    await bench.send(`/builds/${build}/parts`, { kind: "rotor", serial: rotor.serial, gear_face: rotor.gear_face });
  }
  return build;
}

/** Where the readings of a part of a build are taken. */
export async function readingsAt(page, build, serial, when = "before") {
  await page.goto(`/builds/${build}`);
  const paths = await page
    .locator(`a[href*="/readings/"][href$="/${when}"]`)
    .evaluateAll((links, serial) => links.filter((link) => link.textContent.includes(serial)).map((link) => link.getAttribute("href")), serial);
  assert.equal(paths.length, 1, `one way to the readings of ${serial}: ${paths}`);
  return paths[0];
}

/** The value that stands at a station in the list of a readings page; empty where there is none. */
export async function standsAt(page, station) {
  const item = page.locator(`li[data-station="${station}"]`);
  if (!(await item.evaluate((node) => node.classList.contains("read")))) return "";
  return (await item.locator(".value").innerText()).trim();
}

/** All readings of a build as its CSV has them, in the order in which they arrived. */
export async function readingsCsv(bench, build) {
  const answer = await bench.context.request.get(`/builds/${build}/readings.csv`);
  assert.equal(answer.status(), 200);
  const [head, ...rows] = (await answer.text()).trimEnd().split(/\r?\n/);
  const names = head.split(",");
  return rows.map((row) => Object.fromEntries(row.split(",").map((cell, i) => [names[i], cell])));
}

/** How a part of the sheet stands: holds, due or stopped, and the words. */
export async function stands(page, part) {
  const line = page.locator(`nav.parts li:has(a[href="#${part}"])`);
  return { state: await line.getAttribute("class"), words: (await line.locator(".stands").innerText()).trim() };
}

/** A shop of its own, at the readings of the first rotor of an example that was just begun. */
export async function atRotor(browser, of, { bench: asked } = {}) {
  const shop = await openShop();
  const bench = await openBench(browser, shop, { viewport: TABLET, ...asked });
  const { page } = bench;
  await begin(page);
  const build = await beginBuild(bench, of);
  const rotor = of.rotors[0];
  const path = await readingsAt(page, build, rotor.serial);
  await page.goto(path);
  return { shop, bench, page, build, path, readings: readingsOf(rotor) };
}

/** What waits on a tablet, in its order. */
export const waitingIn = (page) => page.evaluate(() => Object.entries(localStorage)
  .filter(([key]) => key.startsWith("lobewright reading "))
  .map(([, entry]) => JSON.parse(entry))
  .sort((a, b) => a.order - b.order));

/** Types readings while the line is out, each at the station that is wanted. */
export async function typeOut(page, readings) {
  for (const { station, value } of readings) {
    await page.waitForFunction((wanted) => document.forms.entry.elements.station.value === wanted, station);
    await page.keyboard.type(value);
    await page.keyboard.press("Enter");
  }
}

/** Waits until what a page is asked comes out true; unlike the browser's driver it waits for an answer that comes later. */
export async function until(page, asked, given) {
  for (let i = 0; i < 1200; i += 1) {
    if (await page.evaluate(asked, given)) return;
    await page.waitForTimeout(50);
  }
  assert.fail(`never: ${asked}`);
}

/** Waits until the tablet keeps the page of these readings, with the picture of every station. */
export async function keptOnTablet(page, path, stations) {
  await until(page, async (wanted) => (await Promise.all(wanted.map((one) => caches.match(one)))).every(Boolean),
    [path, ...stations.map((station) => `${path}/${station}`)]);
}
