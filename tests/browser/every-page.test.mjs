// Every page of the program, visited: none is forgotten, none keeps somebody out, none logs an
// error, none asks anything of another machine.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, TABLET, openBench } from "./browser.mjs";
import { addresses, openFurnished, settled } from "./pages.mjs";
import { openShop } from "./shop.mjs";

let browser, shop, bench, all, close;
before(async () => {
  ({ browser, shop, bench, all, close } = await openFurnished());
});
after(() => close?.());

test("every address of the program's table is visited here", async () => {
  const known = [all.pages, all.signedOut, all.onward, all.noPages].flatMap(Object.keys).sort();
  assert.deepEqual(known, await addresses());
});

test("addresses that are no pages answer with what they are", async () => {
  for (const [pattern, path] of Object.entries(all.noPages)) {
    const answer = await bench.context.request.get(path);
    assert.equal(answer.status(), 200, pattern);
    assert.ok((await answer.body()).length > 0, pattern);
    assert.equal(answer.headers()["x-content-type-options"], "nosniff", pattern);
  }
  for (const [from, to] of Object.entries(all.onward)) {
    await bench.page.goto(from);
    assert.equal(new URL(bench.page.url()).pathname, to, from);
  }
});

test("what keeps somebody out is found where it is", async () => {
  const page = await bench.context.newPage();
  await page.setContent('<html lang="en"><title>wrong</title><h1>Wrong</h1><input name="nameless"><p style="color:#999;background:#aaa">pale</p>');
  const found = (await violations(page)).map((line) => line.split(":")[0]);
  assert.deepEqual(found.sort(), ["color-contrast", "label"]);
  await page.close();
});

/** Visits a page at both sizes, light and dark; gives what axe finds. */
async function visited(page, called, path) {
  const found = [];
  for (const [size, viewport] of [["tablet", TABLET], ["desk", DESK]]) {
    await page.setViewportSize(viewport);
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      if (size === "tablet" && colorScheme === "light") {
        await page.goto(path);
        assert.equal(await page.locator("h1").count(), 1, `${called}: one heading on top`);
        await settled(page);
        // What is folded is looked at too.
        await page.evaluate(() => document.querySelectorAll("details").forEach((node) => { node.open = true; }));
      }
      for (const line of await violations(page)) found.push(`${called}, ${size}, ${colorScheme}: ${line}`);
    }
  }
  return found;
}

test("no page keeps anybody out: axe finds nothing serious at either size, light or dark", async () => {
  const found = [];
  for (const [called, path] of Object.entries({ ...all.pages, ...all.further })) found.push(...(await visited(bench.page, called, path)));
  assert.deepEqual(found, []);
});

test("nor do the pages before signing in", async () => {
  const other = await openBench(browser, shop);
  assert.deepEqual(await visited(other.page, "sign in", "/in"), []);
  await other.close();
  const empty = await openShop();
  const first = await openBench(browser, empty);
  assert.deepEqual(await visited(first.page, "first start", "/first"), []);
  await first.close();
  await empty.close();
});

test("no page logged an error, and nothing left this machine", () => {
  assert.deepEqual(bench.wrong, []);
});
