// A whole build from an empty shop to its signature and past it, by one person in one browser:
// every step is a form that is filled or a key that is pressed.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { promisify } from "node:util";
import { DESK, openBench, openBrowser } from "./browser.mjs";
import { example, readingsOf } from "./figures.mjs";
import { PROGRAM, closeShops, openShop } from "./shop.mjs";
import { OWNER, begin, fill, readingsAt, readingsCsv, stands } from "./steps.mjs";

let browser, shop, bench, page, boat, build;
before(async () => {
  browser = await openBrowser();
  boat = await example("sprint-boat");
  shop = await openShop();
  bench = await openBench(browser, shop, { viewport: DESK });
  page = bench.page;
});
after(async () => {
  try {
    await bench?.close();
  } finally {
    await browser.close();
    await closeShops();
  }
});

/** Presses a button and waits for the page that follows. */
const press = async (name, form = page) => {
  const [answer] = await Promise.all([page.waitForNavigation(), form.getByRole("button", { name, exact: false }).click()]);
  assert.ok(!answer || answer.ok(), `${name}: ${await page.locator("main").innerText()}`);
};

/** Takes readings by the keyboard, with a gauge that is chosen. */
async function read(path, readings, gauge) {
  await page.goto(path);
  if (gauge) await page.locator("#gauge").selectOption({ label: gauge });
  await page.locator("#value").focus();
  for (const { station, value } of readings) {
    const wanted = await page.locator('#entry [name="station"]').inputValue();
    if (wanted !== station) {
      await page.locator(`li[data-station="${station}"] a`).focus();
      await page.keyboard.press("Enter");
    }
    await page.keyboard.type(value);
    await page.keyboard.press("Enter");
    await page.waitForFunction((station) => document.querySelector(`li[data-station="${station}"].read .by`), station);
  }
}

const state = async (part) => {
  await page.goto(`/builds/${build}`);
  return stands(page, part);
};
const holds = async (part) => {
  const { state: is, words } = await state(part);
  assert.equal(is, "holds", `${part}: ${words}`);
};

/** Fills values of a table of the build's file by their places, and keeps them. */
async function setValues(table, places) {
  await page.goto(`/builds/${build}/values/${table}`);
  await page.evaluate(() => document.querySelectorAll("details").forEach((node) => { node.open = true; }));
  for (const [place, value] of Object.entries(places)) await page.locator(`[name='is:${place}']`).fill(value);
  await press("Keep these values");
  assert.equal(new URL(page.url()).pathname, `/builds/${build}/values/${table}`);
}

test("the shop begins: gauges, an engine, a spec, a customer", async () => {
  await begin(page);
  for (const [name, kind, repeat, zero] of [["M-3", "micrometer", "2 um", "1 um"], ["D-1", "indicator", "3 um", ""]]) {
    await page.goto("/gauges");
    await fill(page.locator('form[action="/gauges"]'), { name, kind, repeat, zero, day: "2026-01-12", due: "2036-01-12", certificate: "C-118" });
    await press("Add the gauge");
    assert.equal(await page.locator("h1").innerText(), name);
  }
  await page.goto("/engines/new");
  const byText = page.locator("form", { has: page.locator('[name="text"]') });
  await fill(byText, { "text-name": "Merganser 2", text: boat.written("engine", "seals") });
  await press("Keep this engine", byText);
  assert.equal(await page.locator("h1").innerText(), "Merganser 2");

  await page.goto("/specs");
  await press("Go on");
  const { "spec.name": name, ...places } = boat.places("spec");
  await page.locator('form[action="/specs"] [name="name"]').fill(name);
  for (const [place, value] of Object.entries(places)) await page.locator(`[name="at:${place}"]`).fill(value);
  await press("Keep the spec");
  assert.equal(await page.locator("h1").innerText(), `${name}, version 1`);

  await page.goto("/customers");
  await fill(page.locator('form[action="/customers"]'), { name: "Northlake Racing", contact: "by the harbour master" });
  await press("Add the customer");
});

test("a build is begun, and its parts are entered", async () => {
  await page.goto("/builds/new");
  await fill(page.locator('form[action="/builds/new"]'), { name: "Merganser, boat 7", speed: "9800 rpm", boost: "0.9 bar", running: "12 h", by: "2036-03-01" });
  await page.locator('[name="customer"]').selectOption({ label: "Northlake Racing" });
  await press("Begin it");
  build = Number(new URL(page.url()).pathname.match(/^\/builds\/(\d+)$/)[1]);
  assert.equal((await stands(page, "teardown")).state, "due");

  // The form asks for the next part from the front by itself.
  const form = page.locator(`form[action="/builds/${build}/parts"]`);
  const parts = [
    ...boat.rotors.map((rotor) => ["rotor", rotor.serial]), ...boat.housings.map((housing) => ["rotor housing", housing.serial]),
    ["shaft", "S-12"], ["seals set", "K-40"],
  ];
  for (const [kind, serial] of parts) {
    if (!(await form.isVisible())) await page.locator("summary", { hasText: "Enter a part" }).click();
    await form.locator('[name="kind"]').selectOption(kind);
    await form.locator('[name="serial"]').fill(serial);
    await press("Enter it", form);
  }
  await holds("teardown");
  for (const [, serial] of parts) assert.equal(await page.getByRole("row", { name: serial }).count() > 0, true, serial);
});

test("the rest of its file: heat of the duty, and the machine that cuts", async () => {
  const { "build.name": _, ...duty } = boat.places("build");
  await setValues("build", Object.fromEntries(Object.entries(duty).filter(([place]) => place.includes(".heat."))));
  await setValues("machine", boat.places("machine"));
  assert.equal((await state("inspection")).state, "due");
});

test("every reading of both rotors and housings is taken by keyboard", async () => {
  for (const housing of boat.housings) await read(await readingsAt(page, build, housing.serial), readingsOf(housing), "M-3, micrometer");
  for (const rotor of boat.rotors) {
    const all = readingsOf(rotor);
    const path = await readingsAt(page, build, rotor.serial);
    const by = (lists) => all.filter(({ station }) => lists.some((list) => station.startsWith(list)));
    await read(path, by(["land_width", "tip_width"]), "M-3, micrometer");
    await read(path, by(["gear_", "plain_"]), "D-1, indicator");
    await read(path, by(["mass"]));
  }
  await holds("inspection");
  const count = [...boat.housings, ...boat.rotors].reduce((sum, part) => sum + readingsOf(part).length, 0);
  assert.equal((await readingsCsv(bench, build)).length, count);
});

test("the window is open; what-if shows another speed, and nothing is kept of it", async () => {
  await holds("clearances");
  assert.match(await page.locator("#clearances figure svg").first().locator("title").textContent(), /window/i);
  await page.goto(`/builds/${build}/what-if`);
  await page.locator("#what-if-answer table").waitFor();
  await page.locator("#what-speed").fill("10500");
  await page.waitForFunction(() => /at 10500 rpm/.test(document.getElementById("what-if-answer").innerText));
  await page.goto(`/builds/${build}`);
  assert.match(await page.locator("main dl").first().innerText(), /9800 rpm/);
});

test("the cut sheet is made and agrees with the command's plan", async () => {
  assert.equal((await state("cutting")).state, "due");
  await press("Make the cut sheet");
  await page.waitForURL(/\/papers\/sheet\/1$/);
  const sheet = await page.locator("main").innerText();
  const plan = await planned();
  for (const rotor of plan.rotors) {
    assert.ok(sheet.includes(`Rotor ${rotor.serial}`) && sheet.includes(`housing ${rotor.housing}`));
    assert.ok(sheet.includes(`${rotor.land_width_mm.toFixed(3)} mm`), `${rotor.serial}: land width`);
  }
  assert.match((await state("cutting")).words, /at the machine with cut sheet/);
});

/** The plan as the command has it, of the build's file as the app gives it. */
async function planned() {
  const answer = await bench.context.request.get(`/builds/${build}/build.toml`);
  const file = join(shop.folder, "build.toml");
  await writeFile(file, await answer.text());
  const { stdout } = await promisify(execFile)(PROGRAM, ["plan", "--json", file], { maxBuffer: 1 << 26 });
  return JSON.parse(stdout);
}

test("readings after the cut conform to the plan", async () => {
  const plan = await planned();
  for (const { serial } of boat.rotors) {
    const cut = plan.rotors.find((rotor) => rotor.serial === serial);
    // What a good machinist gets: a micrometre off here and there.
    const off = [0.001, 0, -0.001];
    const after = {
      land_width: off.map((by) => `${(cut.land_width_mm + by).toFixed(3)} mm`),
      gear_step: cut.gear.step_mm.map((step, i) => `${(1000 * step + [1, 0, 1][i]).toFixed(0)} um`),
      plain_step: cut.plain.step_mm.map((step, i) => `${(1000 * step + [0, 1, 0][i]).toFixed(0)} um`),
    };
    const readings = readingsOf(after);
    const path = await readingsAt(page, build, serial, "after");
    await read(path, readings.filter(({ station }) => station.startsWith("land_width")), "M-3, micrometer");
    await read(path, readings.filter(({ station }) => !station.startsWith("land_width")), "D-1, indicator");
  }
  const { state: is, words } = await state("re-inspection");
  assert.equal(is, "holds", words);
  assert.equal(words, "holds: measured, conforms");
  await holds("cutting");
});

test("the balance is entered as the machine shows it", async () => {
  await setValues("balance", {
    "balance.grade": "G 16", "balance.match": "14 g", "balance.scale_u": "0.2 g", "balance.mass": "20 kg",
    "balance.tolerance_planes.1": "60 mm", "balance.tolerance_planes.2": "280 mm",
    "balance.instrument.spot": "heavy", "balance.instrument.angles": "with rotation", "balance.instrument.zero": "0 deg", "balance.instrument.u": "1 g mm",
    "balance.after.front.amount": "5 g mm", "balance.after.front.angle": "10 deg",
    "balance.after.rear.amount": "6 g mm", "balance.after.rear.angle": "200 deg",
  });
  for (const { serial } of boat.rotors) {
    const at = (key) => `balance.rotor."+".${key}`;
    await setValues("balance", { [at("serial")]: serial, [at("state")]: "before cut", [at("mass_centre")]: "0.2 mm", [at("mass_centre_u")]: "0.02 mm" });
    assert.equal(await page.locator(`[name='is:balance.rotor.${serial}.mass_centre']`).inputValue(), "0.2 mm");
  }
  await holds("balance");
});

test("shaft and seals set: what is read as the engine goes together", async () => {
  for (const [serial, values] of [["S-12", ["0.06 mm"]], ["K-40", ["0.05 mm", "0.1 mm", "0.6 mm", "0.05 mm", "0.1 mm", "0.6 mm"]]]) {
    await page.goto(await readingsAt(page, build, serial, "after"));
    for (const [i, value] of values.entries()) {
      await page.keyboard.type(value);
      await page.keyboard.press("Enter");
      await page.waitForFunction((count) => document.querySelectorAll("#read li.read .by").length === count, i + 1);
    }
  }
  await holds("assembly");
  assert.equal((await stands(page, "sign-off")).words, "due: everything holds: sign it");
});

test("it is signed, amended, changed, shown to have changed, and signed again", async () => {
  const sign = page.locator(`form[action="/builds/${build}/sign"]`);
  await page.goto(`/builds/${build}`);
  assert.equal(await sign.locator('[name="meaning"]').inputValue(), "built and inspected");
  await sign.locator('[name="password"]').fill("not this one");
  await Promise.all([page.waitForNavigation(), sign.getByRole("button").click()]);
  assert.match(await page.getByRole("alert").innerText(), /do not belong together/);
  await page.goto(`/builds/${build}`);
  await sign.locator('[name="password"]').fill(OWNER.password);
  await press("Sign revision 1", sign);
  await holds("sign-off");
  assert.equal(await sign.count(), 0);
  assert.equal(await page.locator(`form[action="/builds/${build}/parts"]`).count(), 0, "a signed build takes nothing");
  assert.match(await page.locator(".hash").innerText(), /^[0-9a-f]{64}$/);
  await page.goto(`/builds/${build}/values/build`);
  assert.match(await page.locator("main").innerText(), /This build is signed/);

  await page.goto(`/builds/${build}`);
  await page.locator("summary", { hasText: "Amend it by a new revision" }).click();
  await page.locator('[name="reason"]').fill("more running is wanted");
  await press("Open the next revision");
  await setValues("build", { "build.duty.running": "15 h" });
  await page.goto(`/builds/${build}`);
  await Promise.all([page.waitForNavigation(), page.getByRole("link", { name: "What it changes" }).click()]);
  assert.equal(new URL(page.url()).pathname, `/builds/${build}/differences/1/2`);
  const rows = await page.locator("tbody tr").allInnerTexts();
  assert.equal(rows.length, 1, `${rows}`);
  assert.match(rows[0], /build\.duty\.running\s+12 h\s+15 h\s+Ada Quill/);

  await page.goto(`/builds/${build}`);
  await sign.locator('[name="password"]').fill(OWNER.password);
  await press("Sign revision 2", sign);
  await holds("sign-off");
  assert.equal(await page.locator(".hash").count(), 2);
  await page.goto("/builds");
  assert.match(await page.locator("ul.builds li").first().innerText(), /Signed/);
  // The whole record fits.
  await page.goto("/shop");
  await press("Audit the record");
  assert.match(await page.locator("main").innerText(), /The record holds together\./);
});
