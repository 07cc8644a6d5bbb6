// The sheet, the readings page and the cut sheet in the dark and on paper.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK } from "./browser.mjs";
import { openFurnished } from "./pages.mjs";

let bench, all, close;
before(async () => {
  ({ bench, all, close } = await openFurnished({ viewport: DESK }));
});
after(() => close?.());

const three = () => ({ sheet: all.pages["/builds/{build}"], readings: all.pages["/builds/{build}/readings/{part}/{when}"], "cut sheet": all.sheet });

/** How light a colour is, from black 0 to white 1 (WCAG 2.2, relative luminance). */
const lightness = (rgb) => {
  const [r, g, b] = rgb.match(/[\d.]+/g).slice(0, 3).map((c) => c / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};

test("in the dark: dark paper, light ink, and every text stands out", async () => {
  for (const [called, path] of Object.entries(three())) {
    await bench.page.emulateMedia({ colorScheme: "dark", media: "screen" });
    await bench.page.goto(path);
    const [paper, ink] = await bench.page.evaluate(() => {
      const style = getComputedStyle(document.documentElement);
      return [style.backgroundColor, style.color];
    });
    assert.ok(lightness(paper) < 0.05 && lightness(ink) > 0.7, `${called}: ${ink} on ${paper}`);
    assert.deepEqual(await violations(bench.page, ["color-contrast"]), [], called);
    // Drawings are no text to axe: their ink too is told from their ground.
    const drawn = await bench.page.evaluate(() => [...document.querySelectorAll("figure.drawing svg")].flatMap((svg) => {
      const ground = getComputedStyle(svg.closest("figure")).backgroundColor;
      const own = svg.querySelector("rect.paper, .paper");
      return [...svg.querySelectorAll("text")].filter((text) => text.textContent.trim()).map((text) => ({
        text: text.textContent.trim().slice(0, 30), fill: getComputedStyle(text).fill, ground: own ? getComputedStyle(own).fill : ground,
      }));
    }));
    if (called !== "cut sheet") assert.ok(drawn.length > 0, called);
    for (const { text, fill, ground } of drawn) {
      if (!fill.startsWith("rgb") || !ground.startsWith("rgb")) continue;
      const [light, dark] = [lightness(fill), lightness(ground)].sort((a, b) => b - a);
      const contrast = (light + 0.05) / (dark + 0.05);
      assert.ok(contrast >= 4.5, `${called}: ${text}: ${fill} on ${ground}, ${contrast.toFixed(1)} to 1`);
    }
  }
});

test("on paper: no ways, forms or buttons, black on white, and the cautions stand", async () => {
  for (const colorScheme of ["light", "dark"]) {
    for (const [called, path] of Object.entries(three())) {
      await bench.page.emulateMedia({ colorScheme, media: "print" });
      await bench.page.goto(path);
      const shown = await bench.page.evaluate(() => [...document.querySelectorAll("header nav, form, button, input, select, textarea, .button, .skip, summary")]
        .filter((node) => node.getClientRects().length > 0).map((node) => `${node.tagName} ${node.className} ${node.textContent.trim().slice(0, 30)}`));
      assert.deepEqual(shown, [], called);
      const [paper, ink] = await bench.page.evaluate(() => {
        const style = getComputedStyle(document.documentElement);
        return [style.backgroundColor, style.color];
      });
      assert.equal(paper, "rgb(255, 255, 255)", `${called}, ${colorScheme}`);
      assert.equal(ink, "rgb(0, 0, 0)", `${called}, ${colorScheme}`);
      assert.match(await bench.page.locator("body").innerText(), /screening estimate until calibrated/);
    }
  }
});

test("the cut sheet on paper has boxes to write what was got", async () => {
  await bench.page.emulateMedia({ media: "print" });
  await bench.page.goto(all.sheet);
  const boxes = await bench.page.locator("td.box").evaluateAll((cells) => cells.map((cell) => [cell.getBoundingClientRect().width, cell.getBoundingClientRect().height]));
  assert.equal(boxes.length, 88, "two rotors: five readings before, what each set-up came to, the finished sizes; two clearances of the set");
  // 5 mm high and 20 mm wide: what a pencil needs.
  for (const [width, height] of boxes) assert.ok(width >= 20 * 96 / 25.4 && height >= 5 * 96 / 25.4, `${width} × ${height} px`);
});

test("labels on paper are black on white and as large as they are", async () => {
  for (const colorScheme of ["light", "dark"]) {
    await bench.page.emulateMedia({ colorScheme, media: "print" });
    await bench.page.goto(all.pages["/builds/{build}/labels"]);
    const labels = await bench.page.locator(".labels svg").evaluateAll((all) => all.map((svg) => {
      const box = svg.getBoundingClientRect();
      const code = svg.querySelector("path");
      return { width: box.width, height: box.height, ground: getComputedStyle(svg.querySelector("rect")).fill, code: getComputedStyle(code).fill };
    }));
    assert.equal(labels.length, 8, "four parts, a bag and a tag each");
    for (const [i, { width, height, ground, code }] of labels.entries()) {
      const [wide, high] = i % 2 === 0 ? [50, 30] : [25, 25];
      for (const [px, mm] of [[width, wide], [height, high]]) assert.ok(Math.abs((px * 25.4) / 96 - mm) < 0.1, `${px} px for ${mm} mm`);
      assert.deepEqual([ground, code], ["rgb(255, 255, 255)", "rgb(0, 0, 0)"], colorScheme);
    }
  }
});
