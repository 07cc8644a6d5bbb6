// A shop of its own for a test: its file in a temporary folder, the app serving it on a free port
// of this machine, and both gone afterwards.

import { spawn } from "node:child_process";
import { once } from "node:events";
import { rmSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

/** The repository's root. */
export const ROOT = resolve(import.meta.dirname, "../..");
/** The program under test. */
export const PROGRAM = resolve(process.env.LOBEWRIGHT ?? join(ROOT, "target/debug/lobewright"));

/** Longest wait for the app to answer or to end: debug builds on busy machines. */
const PATIENCE_MS = 30_000;

const late = (what) =>
  new Promise((_, reject) => {
    setTimeout(() => reject(new Error(`${what}: nothing after ${PATIENCE_MS / 1000} s`)), PATIENCE_MS).unref();
  });

/** Serves a file; gives the process and its port. */
async function served(file, port, words = []) {
  const child = spawn(PROGRAM, ["serve", file, "--port", String(port), ...words], { stdio: ["ignore", "pipe", "pipe"] });
  let said = "";
  const listening = new Promise((done, failed) => {
    const hear = (bytes) => {
      said += bytes;
      const address = said.match(/https?:\/\/[a-z0-9.]+:(\d+)\//);
      if (address) done(Number(address[1]));
    };
    child.stdout.on("data", hear);
    child.stderr.on("data", hear);
    child.on("error", failed);
    child.on("exit", (code) => failed(new Error(`the app ended at once with ${code}: ${said}`)));
  });
  listening.catch(() => {});
  return { child, port: await Promise.race([listening, late("the app's start")]) };
}

async function ended(child) {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const exit = once(child, "exit");
  child.kill("SIGTERM");
  try {
    await Promise.race([exit, late("the app's end")]);
  } catch (wrong) {
    child.kill("SIGKILL");
    await exit;
    throw wrong;
  }
}

/** Shops that are open: a test that fails leaves its own behind. */
const open = new Set();

/** Closes every shop that is still open. */
export const closeShops = () => Promise.all([...open].map((shop) => shop.close()));

// Where the tests are ended from outside, their servers end with them and leave nothing.
process.on("exit", () => open.forEach((shop) => shop.kill()));
for (const signal of ["SIGTERM", "SIGINT"]) process.once(signal, () => process.exit(1));

/** Opens a new shop. */
export async function openShop() {
  const folder = await mkdtemp(join(tmpdir(), "lobewright-browser-"));
  const file = join(folder, "shop.db");
  let running = await served(file, 0);
  let words = [];
  const shop = {
    folder,
    file,
    name: "127.0.0.1",
    port: running.port,
    address: `http://127.0.0.1:${running.port}`,
    kill: () => {
      running.child.kill("SIGKILL");
      rmSync(folder, { recursive: true, force: true });
    },
    /** The line goes out: nothing answers any more. */
    stop: () => ended(running.child),
    /** The line comes back at the same address. */
    start: async () => {
      running = await served(file, shop.port, words);
    },
    /** It is reached under this name and over TLS from its next start on, with the words that `serve` takes for it. */
    secure: (name, further) => {
      words = further;
      Object.assign(shop, { name, address: `https://${name}:${shop.port}` });
    },
    close: async () => {
      open.delete(shop);
      await ended(running.child);
      await rm(folder, { recursive: true, force: true });
    },
  };
  open.add(shop);
  return shop;
}
