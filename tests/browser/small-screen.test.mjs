// Small screens, large letters, thick fingers: no page is wider than its window, and what is
// touched is large enough and apart.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { TABLET } from "./browser.mjs";
import { openFurnished, settled } from "./pages.mjs";

/** Least size of what is touched, and least room between two of them, in px. */
const TOUCH = 44;
const APART = 8;

let browser, bench, all, close;
before(async () => {
  ({ browser, bench, all, close } = await openFurnished());
});
after(() => close?.());

async function eachPage(look) {
  const found = [];
  for (const [called, path] of Object.entries({ ...all.pages, ...all.further })) {
    await bench.page.goto(path);
    await settled(bench.page);
    await bench.page.evaluate(() => document.querySelectorAll("details").forEach((node) => { node.open = true; }));
    for (const line of await look(bench.page)) found.push(`${called}: ${line}`);
  }
  return found;
}

/** What sticks out to the right of the page, but for what scrolls in a region of its own. */
const tooWide = (page) =>
  page.evaluate(() => {
    const width = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= width) return [];
    const out = [...document.querySelectorAll("body *")].filter((node) => node.getBoundingClientRect().right > width + 0.5 && !node.closest(".wide, svg"));
    return out.slice(0, 4).map((node) => `${document.documentElement.scrollWidth} px wide by ${node.tagName} ${node.className} ${node.textContent.trim().slice(0, 40)}`);
  });

test("at 320 px no page scrolls sideways", async () => {
  await bench.page.setViewportSize({ width: 320, height: 640 });
  assert.deepEqual(await eachPage(tooWide), []);
});

test("with letters twice as large no page of a tablet scrolls sideways, and nothing is cut off", async () => {
  await bench.page.setViewportSize(TABLET);
  const found = await eachPage(async (page) => {
    // As the browser does it when somebody asks for larger letters.
    const client = await page.context().newCDPSession(page);
    const size = await page.evaluate(() => parseFloat(getComputedStyle(document.documentElement).fontSize));
    await page.evaluate((size) => {
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(`html{font-size:${2 * size}px !important}`);
      document.adoptedStyleSheets = [sheet];
    }, size);
    await client.detach();
    return tooWide(page);
  });
  assert.deepEqual(found, []);
});

test("what is touched is at least 44 px, and 8 px from the next", async () => {
  await bench.page.setViewportSize(TABLET);
  const found = await eachPage((page) =>
    page.evaluate(([touch, apart]) => {
      const wanted = "button, .button, select, textarea, summary, input:not([type=hidden]), nav a, li > a, th > a, td > a, figcaption a, .crumb a, footer a";
      const targets = [...document.querySelectorAll(wanted)]
        .map((node) => (node.type === "checkbox" || node.type === "radio" ? node.closest("label") ?? node : node))
        .map((node) => ({ node, box: node.getBoundingClientRect(), called: `${node.tagName} ${node.name ?? ""} ${node.textContent.trim().slice(0, 40)}` }))
        .filter(({ box }) => box.width > 0 && box.height > 0 && box.right > 0);
      const wrong = [];
      for (const { box, called } of targets) {
        if (box.height < touch - 0.5 || box.width < touch - 0.5) wrong.push(`${called}: ${box.width.toFixed(0)} × ${box.height.toFixed(0)} px`);
      }
      for (let i = 0; i < targets.length; i += 1) {
        for (let j = i + 1; j < targets.length; j += 1) {
          const [a, b] = [targets[i], targets[j]];
          if (a.node.contains(b.node) || b.node.contains(a.node)) continue;
          const across = Math.max(a.box.left - b.box.right, b.box.left - a.box.right);
          const down = Math.max(a.box.top - b.box.bottom, b.box.top - a.box.bottom);
          if (Math.max(across, down) < apart - 0.5) wrong.push(`${a.called} and ${b.called}: ${Math.max(across, down).toFixed(1)} px apart`);
        }
      }
      return wrong.slice(0, 12);
    }, [TOUCH, APART]));
  assert.deepEqual(found, []);
});
