// The first start on an empty file, signing out and in.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { openBench, openBrowser } from "./browser.mjs";
import { closeShops, openShop } from "./shop.mjs";
import { OWNER, fill } from "./steps.mjs";

let browser;
before(async () => { browser = await openBrowser(); });
after(async () => {
  await browser.close();
  await closeShops();
});

test("an empty file asks for its owner, and nobody else gets in", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop);
  const { page } = bench;

  await page.goto("/builds");
  assert.equal(new URL(page.url()).pathname, "/first", "whoever comes first is asked to begin");
  assert.equal(await page.title(), "A new shop");
  assert.ok((await page.locator("main").innerText()).includes(shop.file), "the page says where the file is");
  assert.equal(await page.locator("nav").count(), 0, "there is no way around the first start");

  const form = page.locator('form[action="/first"]');
  const given = { shop: "Quill Rotary", name: OWNER.name, password: OWNER.password, again: OWNER.password };
  for (const [wrong, told] of [
    [{ again: "a long quill 8" }, "The two passwords are not the same"],
    [{ password: "short", again: "short" }, "at least 12"],
    [{ name: "   " }, "Your name is empty"],
  ]) {
    await fill(form, { ...given, ...wrong });
    await page.getByRole("button", { name: "Begin" }).click();
    const alert = page.getByRole("alert");
    assert.match(await alert.innerText(), new RegExp(told, "i"));
    await page.goBack();
    if (!("name" in wrong)) assert.equal(await page.locator('input[name="name"]').inputValue(), OWNER.name, "what was typed is still there");
  }

  await fill(form, given);
  await page.getByRole("button", { name: "Begin" }).click();
  await page.waitForURL("/builds");
  assert.equal(await page.locator("h1").innerText(), "Builds");
  assert.match(await page.locator("main").innerText(), /No builds yet\./);
  assert.match(await page.title(), /Quill Rotary/);

  await page.goto("/first");
  assert.equal(new URL(page.url()).pathname, "/in", "a shop begins once");
  await bench.close();
  await shop.close();
});

test("signing out and in again, and a wrong password", async () => {
  const shop = await openShop();
  const bench = await openBench(browser, shop);
  const { page } = bench;
  await page.goto("/");
  await fill(page.locator("form"), { shop: "Quill Rotary", name: OWNER.name, password: OWNER.password, again: OWNER.password });
  await page.getByRole("button", { name: "Begin" }).click();
  await page.waitForURL("/builds");

  await page.getByRole("button", { name: "Sign out" }).click();
  await page.waitForURL("/in");
  await page.goto("/builds");
  assert.equal(new URL(page.url()).pathname, "/in", "signed out is out");

  await page.locator('input[name="password"]').fill("not this one");
  await page.getByRole("button", { name: "Sign in" }).click();
  assert.match(await page.getByRole("alert").innerText(), /Name and password do not belong together/);
  await page.goto("/builds");
  assert.equal(new URL(page.url()).pathname, "/in");

  assert.deepEqual(await page.locator('select[name="name"] option').allInnerTexts(), [`${OWNER.name}, owner`]);
  await page.locator('input[name="password"]').fill(OWNER.password);
  await page.keyboard.press("Enter");
  await page.waitForURL("/builds");

  // The session's cookie is no script's to read.
  assert.equal(await page.evaluate(() => document.cookie), "");
  const [cookie] = await bench.context.cookies();
  assert.deepEqual([cookie.name, cookie.httpOnly, cookie.sameSite], ["lobewright", true, "Strict"]);
  await bench.close();
  await shop.close();
});
