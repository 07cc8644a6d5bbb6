// What axe-core finds wrong with a page for people who see, hear or point otherwise.

import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";

const SOURCE = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Violations that keep somebody from using the page, each in a line. */
export async function violations(page, only) {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(SOURCE);
  const found = await page.evaluate(async (only) => {
    const options = { resultTypes: ["violations"], ...(only ? { runOnly: only } : {}) };
    const { violations } = await window.axe.run(document, options);
    return violations
      .filter(({ impact }) => impact === "serious" || impact === "critical")
      .flatMap(({ id, help, nodes }) => nodes.slice(0, 5).map((node) => `${id}: ${help}: ${node.target.join(" ")} ${node.html.slice(0, 160)}${node.any[0] ? ` (${node.any[0].message})` : ""}`));
  }, only);
  return found;
}
