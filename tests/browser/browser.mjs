// A browser with a fresh profile, and people at their benches in it. Whatever a page logs as an
// error, and whatever leaves this machine, is written down and fails the test that closes the bench.

import assert from "node:assert/strict";
import { chromium } from "playwright-core";

/** The browser's program. */
export const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

/** A tablet held upright, and a screen on a desk. */
export const TABLET = { width: 600, height: 960 };
export const DESK = { width: 1280, height: 800 };

/** Longest wait for a page: a debug build on a busy machine takes its time. */
const PATIENCE_MS = Number(process.env.PATIENCE_MS ?? 120_000);

/** Opens the browser, with what a test needs beside the usual. */
export function openBrowser(further = []) {
  return chromium.launch({
    executablePath: CHROMIUM,
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      ...further,
    ],
  });
}

// What the browser itself logs of an answer that a test asked for: a form that is refused, a line
// that a test takes out.
const ASKED_FOR = [
  // It looks for a newer keeper of pages while the line is out.
  /^An unknown error occurred when fetching the script\.$/,
  /^Failed to load resource: the server responded with a status of (401|403|404|409|422|507) /,
  /^Failed to load resource: net::ERR_(FAILED|INTERNET_DISCONNECTED|CONNECTION_REFUSED|CONNECTION_RESET|EMPTY_RESPONSE|SOCKET_NOT_CONNECTED)/,
];

/** One person's bench: a context of its own with one page. */
export async function openBench(browser, shop, options = {}) {
  const context = await browser.newContext({ baseURL: shop.address, viewport: DESK, ...options });
  context.setDefaultTimeout(PATIENCE_MS);
  const wrong = [];
  const watch = (page) => {
    page.on("console", (message) => {
      const text = message.text();
      if (message.type() === "error" && !ASKED_FOR.some((known) => known.test(text))) wrong.push(`logged: ${text}`);
    });
    page.on("pageerror", (error) => wrong.push(`thrown: ${error.message}`));
  };
  context.on("page", watch);
  context.on("request", (request) => {
    const url = new URL(request.url());
    if (!["data:", "blob:"].includes(url.protocol) && url.hostname !== shop.name) wrong.push(`left this machine: ${url}`);
  });
  const page = await context.newPage();
  // What every form of this session carries.
  const formToken = async () => (await (await context.request.get("/guide")).text()).match(/data-form-token="([0-9a-f]+)"/)?.[1] ?? "";
  return {
    page,
    context,
    wrong,
    formToken,
    /** Sends a form as its page would, without drawing the page. */
    send: async (path, fields) => {
      const form = { ...fields, form_token: await formToken() };
      const answer = await context.request.post(path, { form, maxRedirects: 0 });
      assert.equal(answer.status(), 303, `${path}: ${answer.status()} ${await answer.text()}`);
      return answer.headers().location;
    },
    close: async () => {
      await context.close();
      assert.deepEqual(wrong, []);
    },
  };
}
