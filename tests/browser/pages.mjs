// Every page there is, with a shop that has something on each of them. The list is held against
// the program's own table of addresses: a page that is added and not visited fails.

import assert from "node:assert/strict";
import { readFile, readdir } from "node:fs/promises";
import { join } from "node:path";
import { openBench, openBrowser } from "./browser.mjs";
import { example } from "./figures.mjs";
import { ROOT, closeShops, openShop } from "./shop.mjs";
import { BUILDER, OWNER, addPerson, begin, bringIn, keepEngine, keepSpec, readingsAt } from "./steps.mjs";

const WEB = join(ROOT, "crates/lobewright/src/web");

/** The addresses that the program answers, as its table writes them. */
export async function addresses() {
  const files = (await readdir(WEB, { recursive: true })).filter((name) => name.endsWith(".rs"));
  const texts = await Promise.all(files.map((name) => readFile(join(WEB, name), "utf8")));
  // A row is `get("/path", handler)`; a test's `bench.get("/path")` has a dot before it.
  const found = texts.flatMap((text) => [...text.matchAll(/(?<![.\w])get\(\s*"(\/[^"]*)"/g)].map((match) => match[1]));
  assert.ok(found.length >= 20, "the table of addresses is read");
  // What programs ask for is no page.
  return [...new Set(found)].filter((path) => !path.startsWith("/api/")).sort();
}

/** Waits until what is worked out while somebody looks is there. */
export async function settled(page) {
  if (await page.locator("[data-what-if]").count()) await page.locator("#what-if-answer :is(table, .told)").first().waitFor();
  await page.waitForFunction(() => !document.querySelector("[data-follows][aria-busy]"));
}

/** One red dot. */
export const DOT_PNG = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGP4z8AAAAMBAQDJ/pLvAAAAAElFTkSuQmCC",
  "base64",
);

/** A build is signed on its page. */
export async function sign(page, build, meaning = "built and inspected") {
  await page.goto(`/builds/${build}`);
  const form = page.locator(`form[action="/builds/${build}/sign"]`);
  await form.locator('[name="meaning"]').fill(meaning);
  await form.locator('[name="password"]').fill(OWNER.password);
  await form.getByRole("button").click();
  await page.waitForURL(`/builds/${build}#sign-off`);
}

/** And amended. */
export async function amend(page, build, reason) {
  await page.goto(`/builds/${build}`);
  await page.locator("summary", { hasText: "Amend it by a new revision" }).click();
  const form = page.locator(`form[action="/builds/${build}/amend"]`);
  await form.locator('[name="reason"]').fill(reason);
  await form.getByRole("button").click();
  await page.waitForURL(`/builds/${build}`);
}

/** Fills a shop with something of everything; gives each page's address by its pattern. */
export async function furnished(bench) {
  const { page, context } = bench;
  await begin(page);
  await addPerson(bench, BUILDER);
  const [boat, hydroplane, pilot] = await Promise.all(["sprint-boat", "shelduck-hydroplane", "petrel-worn"].map(example));

  const calibrated = { day: "2026-01-12", certificate: "C-118" };
  const gauge = await bench.send("/gauges", { name: "M-3", kind: "micrometer", repeat: "2 um", zero: "1 um", due: "2036-01-12", ...calibrated });
  await bench.send("/gauges", { name: "D-1", kind: "indicator", repeat: "3 um", zero: "", due: "2026-02-01", ...calibrated });
  const engine = await keepEngine(bench, "Merganser 2", boat);
  const spec = await keepSpec(bench, boat);
  await bench.send(`/specs/${spec}/next`, Object.fromEntries(
    Object.entries({ ...boat.places("spec"), "spec.match": "7 um" }).filter(([place]) => place !== "spec.name").map(([place, value]) => [`at:${place}`, value])));
  const material = await bench.send("/materials", {
    "material-name": "shaft steel", expansion: "12.2e-6 /K", density: "7850 kg/m3", young: "206 GPa", poisson: "0.29",
  });
  const machine = await bench.send("/machine-tools", {
    name: "west mill", kind: "vertical mill", units: "mm", units_word: "G21", most_speed: "4000 rpm",
    "fixture.held_by": "land", "fixture.clamp_radius": "34 mm", "fixture.clamp_height": "18 mm",
    "cutter.diameter": "16 mm", "cutter.corner_radius": "0.4 mm", "cutter.teeth": "3", "cutter.reach": "40 mm",
    "cutter.holder_diameter": "40 mm", "rough.cutting_speed": "70 m/min", "rough.feed": "0.08 mm", "rough.depth": "0.3 mm",
    "finish.cutting_speed": "90 m/min", "finish.feed": "0.05 mm", "finish.stock": "30 um",
  });
  const customer = await bench.send("/customers", { name: "Northlake Racing", contact: "by the harbour master", note: "wants her back by spring" });
  await bench.send(`${customer}/intake`, { "came-in": "one two-rotor, complete", wanted: "rebuilt to the sprint spec", due: "2027-03-01" });

  // One build in work, with all its papers; one that was signed and amended.
  const build = await bringIn(bench, boat.text);
  for (const papers of ["sheets", "plans"]) await bench.send(`/builds/${build}/${papers}`, {});
  const second = await bringIn(bench, hydroplane.text);
  await bench.send(`/builds/${second}/balance-runs`, {});
  const worn = await bringIn(bench, pilot.text);
  const shelf = await bench.send("/shelf", { "part-kind": "rotor", "part-serial": "R-200" });
  const sent = await context.request.post(`/builds/${build}/photos`, {
    multipart: { form_token: await bench.formToken(), photo: { name: "as it came.png", mimeType: "image/png", buffer: DOT_PNG } }, maxRedirects: 0,
  });
  assert.equal(sent.status(), 303);
  await sign(page, second, "released for the run-in");
  // One that is built to the spec, as far as anybody knows, for whoever looks at that again.
  const to = await bench.send("/builds/new", { name: "Merganser, boat 9", engine, spec, speed: "9800 rpm", boost: "0.9 bar", running: "12 h" });
  await sign(page, Number(to.split("/").at(-1)), "built elsewhere");
  await amend(page, second, "the boost was raised");
  await page.goto(`/builds/${second}/values/build`);
  await page.locator('[name="is:build.duty.boost"]').fill("1.2 bar");
  await page.getByRole("button", { name: "Keep these values" }).click();
  await page.waitForURL(`/builds/${second}/values/build`);

  // One that came back: told, taken apart, and its rotor read again on the shelf.
  const apart = await bringIn(bench, (await example("heron-aircraft")).text);
  await sign(page, apart, "released to fly");
  await bench.send(`/builds/${apart}/teardown`, {
    revision: "1", expected: "", running: "412 h", speed: "6150 rpm", boost: "0.15 bar",
    "seen-1-gear-1": "none", "seen-1-gear-2": "light", "where-1-gear-2": "trailing edge", "worn-1-gear-2": "4 um",
    "seen-1-plain-1": "heavy", note: "even grey",
  });
  await bench.send(`/builds/${apart}/tilt-test`, {
    rotor: "HR-9", face: "gear", tip: "1", radius: "70 mm", least: "20 N", most: "120 N", load_u: "1 N", gauge: "M-3",
    "least-1": "2 um", "most-1": "14 um", note: "",
  });
  await page.goto(`/builds/${apart}`);
  const flown = await page.locator('#teardown a[href^="/shelf/"]', { hasText: "HR-9" }).first().getAttribute("href");
  const out = await page.locator('#teardown form[action$="/out"]', { hasText: "HR-9" }).getAttribute("action");
  await bench.send(out, {});
  await bench.send(`${flown}/reading`, { station: "land_width.1", value: "2.1186 in", gauge: "", temperature: "", seen: "9999" });

  const readings = await readingsAt(page, build, boat.rotors[0].serial);
  await page.goto(`/builds/${build}`);
  const link = async (selector) => page.locator(selector).first().getAttribute("href");
  const [sheet, csv, photo] = [
    await link('a[href*="/papers/sheet/"]'),
    await link('a[href*="/pictures/"]'),
    await link('a[href^="/attachments/"]'),
  ];
  await page.goto(`/builds/${worn}`);
  const card = await link('a[href*="/cards/"]');
  /** The way to data that only a piece of a page has. */
  const dataOf = async (path, below) => {
    const text = await (await context.request.get(path)).text();
    return text.match(new RegExp(`href="([^"]*/${below}/[^"]*)"`))[1].replaceAll("&amp;", "&");
  };
  const fast = await dataOf(`/builds/${build}/at-speed/in-full?draws=64`, "at-speed/data");
  const swept = await dataOf(`/builds/${build}/what-if/sweep?speed=9000`, "what-if/sweep");

  const pages = {
    "/builds": "/builds",
    "/builds/new": "/builds/new",
    "/builds/bring": "/builds/bring",
    "/builds/{build}": `/builds/${build}`,
    "/builds/{build}/at-speed": `/builds/${build}/at-speed?draws=64`,
    "/builds/{build}/at-speed/in-full": `/builds/${build}/at-speed/in-full?draws=64`,
    "/builds/{build}/balance-in-full": `/builds/${second}/balance-in-full`,
    "/builds/{build}/balance-in-full/worked-out": `/builds/${second}/balance-in-full/worked-out`,
    "/builds/{build}/cards/{part}": card,
    "/builds/{build}/differences/{from}/{to}": `/builds/${second}/differences/1/2`,
    "/builds/{build}/labels": `/builds/${build}/labels`,
    "/builds/{build}/papers/{kind}/{number}": sheet,
    "/builds/{build}/plan-in-full": `/builds/${build}/plan-in-full`,
    "/builds/{build}/programs": `/builds/${build}/programs`,
    "/builds/{build}/programs/{machine}/{place}/{face}": `/builds/${build}/programs/1/1/gear`,
    "/builds/{build}/readings/{part}/{when}": `${readings}?at=land_width.1`,
    "/builds/{build}/teardown": `/builds/${apart}/teardown`,
    "/builds/{build}/values/{table}": `/builds/${second}/values/balance`,
    "/builds/{build}/what-if": `/builds/${build}/what-if`,
    "/customers": "/customers",
    "/customers/{id}": customer,
    "/engines": "/engines",
    "/engines/new": "/engines/new",
    "/engines/{id}": `/engines/${engine}`,
    "/gauges": "/gauges",
    "/gauges/{id}": gauge,
    "/guide": "/guide",
    "/guide/{page}": "/guide/3",
    "/machine-tools": "/machine-tools",
    "/machine-tools/new": "/machine-tools/new",
    "/machine-tools/{id}": machine,
    "/materials/{id}": material,
    "/people": "/people",
    "/people/me": "/people/me",
    "/people/{id}": "/people/2",
    "/shelf": "/shelf?which=all",
    "/shelf/choose": `/shelf/choose?build=${build}`,
    "/shelf/{part}": shelf,
    "/shelf/{part}/label": `${shelf}/label`,
    "/shop": "/shop",
    "/calibration": "/calibration",
    "/specs": "/specs",
    "/specs/new": `/specs/new?from=${spec}`,
    "/specs/{id}": `/specs/${spec}`,
    "/specs/{id}/review": `/specs/${spec}/review`,
  };
  // Looked at signed out, and what only sends on.
  const signedOut = { "/in": "/in" };
  const onward = { "/": "/builds", "/first": "/in" };
  // Answers that are no pages: files, pictures, data, pieces of a page.
  const noPages = {
    "/look.css": "/look.css",
    "/bench.js": "/bench.js",
    "/forms.js": "/forms.js",
    "/readings.js": "/readings.js",
    "/waits.js": "/waits.js",
    "/line.js": "/line.js",
    "/favicon.ico": "/favicon.ico",
    "/attachments/{id}": photo,
    "/builds/{build}/at-speed/data/{name}": fast,
    "/builds/{build}/build.toml": `/builds/${build}/build.toml`,
    "/builds/{build}/assembly-sheet": `/builds/${build}/assembly-sheet`,
    "/builds/{build}/book": `/builds/${build}/book`,
    "/builds/{build}/papers/{kind}/{number}/{name}": `${sheet}/cut-set.pdf`,
    "/builds/{build}/labels/{part}/{name}": `/builds/${build}/labels/1/tag.pdf`,
    "/builds/{build}/pictures/{name}": csv,
    "/builds/{build}/programs/{machine}/{place}/{face}/file": `/builds/${build}/programs/1/1/gear/file`,
    "/specs/{id}/review/{name}": `/specs/${spec}/review/1-step.csv`,
    "/builds/{build}/readings.csv": `/builds/${build}/readings.csv`,
    "/builds/{build}/readings/{part}/{when}/{station}": `${readings}/land_width.1`,
    "/builds/{build}/tables/{name}": `/builds/${build}/tables/tables.xlsx`,
    "/builds/{build}/what-if/answer": `/builds/${build}/what-if/answer?speed=9000`,
    "/builds/{build}/what-if/sweep": `/builds/${build}/what-if/sweep?speed=9000`,
    "/builds/{build}/what-if/sweep/{name}": swept,
    "/shelf/{part}/history/{name}": "/shelf/1/history/history.xlsx",
    "/shelf/{part}/life/{name}": `${flown}/life/land_width.csv`,
    "/shelf/{part}/label/{name}": `${shelf}/label/bag.svg`,
    "/shop/backup": "/shop/backup",
  };
  // Pages that look otherwise in another state of theirs.
  const further = {
    "a part that is read": readings,
    "a card at the bench": `${card.replace("/cards/", "/readings/")}/card?at=plating_seen.6`,
    "a part that wore": flown,
    "a build that came back": `/builds/${apart}`,
    "a teardown that nobody told yet": `/builds/${build}/teardown`,
    "a build that is amended": `/builds/${second}`,
    "a balance sheet": await (async () => {
      await page.goto(`/builds/${second}`);
      return link('a[href*="/papers/balance-run/"]');
    })(),
    "nothing there": "/no-such-page",
  };
  return { pages, signedOut, onward, noPages, further, build, second, readings, sheet };
}

/** A browser at a shop that has something on every page, and how to close all of it. */
export async function openFurnished(options) {
  const browser = await openBrowser();
  const shop = await openShop();
  const bench = await openBench(browser, shop, options);
  const close = async () => {
    try {
      await bench.close();
    } finally {
      await browser.close();
      await closeShops();
    }
  };
  try {
    return { browser, shop, bench, all: await furnished(bench), close };
  } catch (wrong) {
    await close().catch(() => {});
    throw wrong;
  }
}
