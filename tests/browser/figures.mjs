// Figures of the shipped examples, so that a test types what the examples say.

import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { ROOT } from "./shop.mjs";

// A value of a build file: a text, a number, a list, or a table in one line.
function valueOf(text) {
  if (text.startsWith("[") || text.startsWith("{")) {
    return JSON.parse(text.replace(/([{,]\s*)([a-z_]+)\s*=/g, '$1"$2":'));
  }
  return JSON.parse(text);
}

/** An example: its text, its tables by name, its rotors and housings in their order. */
export async function example(name) {
  const text = await readFile(join(ROOT, "examples", `${name}.toml`), "utf8");
  const tables = [];
  let table;
  for (const line of text.split("\n")) {
    const plain = line.match(/^(?:[^"#]|"[^"]*")*/)[0].trim();
    if (plain === "") continue;
    const head = plain.match(/^\[+([^\]]+)\]+$/);
    if (head) {
      table = { name: head[1], lines: [line], values: {} };
      tables.push(table);
      continue;
    }
    if (!table) continue;
    table.lines.push(plain);
    const known = plain.match(/^([a-z_]+)\s*=\s*(.+)$/);
    // A list over several lines is brought in as text alone.
    if (known && !/[[{]$/.test(plain)) table.values[known[1]] = valueOf(known[2]);
  }
  const all = (wanted) => tables.filter((t) => t.name === wanted).map((t) => t.values);
  return {
    text,
    /** Everything below a table as a build file writes it. */
    written: (...roots) =>
      tables
        .filter((t) => roots.includes(t.name.split(".")[0]))
        .map((t) => t.lines.join("\n"))
        .join("\n"),
    /** Values below a table by their places: `spec.step.target`. */
    places: (root) => {
      const found = {};
      const walk = (path, value) => {
        if (value !== null && typeof value === "object") {
          for (const [key, inner] of Object.entries(value)) walk(`${path}.${Array.isArray(value) ? Number(key) + 1 : key}`, inner);
        } else found[path] = String(value);
      };
      for (const t of tables.filter((t) => t.name.split(".")[0] === root)) walk(t.name, t.values);
      return found;
    },
    rotors: all("rotor"),
    housings: all("housing"),
  };
}

/** Lists of a rotor in the order in which they are read. */
const LISTS = ["land_width", "gear_step", "plain_step", "tip_width", "gear_runout", "plain_runout"];

/** A reading as a gauge shows it: the bare number. */
export const bare = (written) => written.split(" ")[0];

/** What is typed at a part's stations, in their order. */
export function readingsOf(part) {
  if (part.width) return part.width.map((value, i) => ({ station: `width.${i + 1}`, value: bare(value) }));
  const all = LISTS.flatMap((list) => (part[list] ?? []).map((value, i) => ({ station: `${list}.${i + 1}`, value: bare(value) })));
  if (part.mass) all.push({ station: "mass", value: bare(part.mass) });
  return all;
}
