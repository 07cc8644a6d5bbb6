// A form outlives its session: what was typed is not lost, and is sent only when somebody says so.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { openBench, openBrowser } from "./browser.mjs";
import { closeShops, openShop } from "./shop.mjs";
import { OWNER, begin } from "./steps.mjs";

let browser;
before(async () => { browser = await openBrowser(); });
after(async () => {
  await browser.close();
  await closeShops();
});

/** A bench with a customer typed and not sent, whose session is over. */
async function typed() {
  const shop = await openShop();
  const bench = await openBench(browser, shop);
  const { page } = bench;
  await begin(page);
  await page.goto("/customers");
  await page.locator('input[name="name"]').fill("Reed <b>Racing</b>");
  await page.locator('textarea[name="note"]').fill("two lines,\nas typed");
  await bench.context.clearCookies();
  return { shop, bench, page };
}

async function signInOn(page) {
  await page.locator('input[name="password"]').fill(OWNER.password);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForURL("/builds");
}

async function isThere({ shop, bench, page }) {
  await page.waitForURL(/\/customers\/1$/);
  assert.equal(await page.locator("h1").innerText(), "Reed <b>Racing</b>");
  assert.match(await page.locator("dd.lines").innerText(), /two lines,\s+as typed/);
  await bench.close();
  await shop.close();
}

test("sent after the session was over: signed in on a page of its own, gone back, sent again", async () => {
  const all = await typed();
  const { bench, page } = all;
  await page.getByRole("button", { name: "Add the customer" }).click();
  assert.match(await page.getByRole("alert").innerText(), /Nobody is signed in/);
  const opened = bench.context.waitForEvent("page");
  await page.getByRole("link", { name: "Sign in on a page of its own" }).click();
  const other = await opened;
  await signInOn(other);
  await other.close();
  await page.goBack();
  assert.equal(await page.locator('input[name="name"]').inputValue(), "Reed <b>Racing</b>");
  await page.getByRole("button", { name: "Add the customer" }).click();
  // A browser that kept the page whole sends its old token once more.
  const send = page.getByRole("button", { name: "Send it" });
  await page.waitForLoadState();
  if (await send.count()) await send.click();
  await isThere(all);
});

test("signed in meanwhile on another page: what was typed is shown, and sent from there", async () => {
  const all = await typed();
  const { bench, page } = all;
  const other = await bench.context.newPage();
  await other.goto("/in");
  await signInOn(other);
  await other.close();
  await page.getByRole("button", { name: "Add the customer" }).click();
  assert.match(await page.getByRole("alert").innerText(), /from before you signed in/);
  assert.match(await page.locator("main dl").innerText(), /Reed <b>Racing<\/b>/);
  await page.getByRole("button", { name: "Send it" }).click();
  await isThere(all);
});
