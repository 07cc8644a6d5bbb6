// Over TLS, by a certificate that is made as the guide says: whoever trusts the shop's authority takes
// it, under the name of the bench, and all that works on the machine itself works there too.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFile } from "node:fs/promises";
import { request } from "node:https";
import { join } from "node:path";
import { after, test } from "node:test";
import { TABLET, openBench, openBrowser } from "./browser.mjs";
import { example, readingsOf } from "./figures.mjs";
import { ROOT, closeShops, openShop } from "./shop.mjs";
import { OWNER, begin, beginBuild, keptOnTablet, readingsAt, signIn, standsAt, typeOut, waitingIn } from "./steps.mjs";

const NAME = "bench.shop.example";

after(() => closeShops());

/** The guide's commands that begin with these words, as they stand there. */
async function ofGuide(words) {
  const guide = await readFile(join(ROOT, "docs/GUIDE.md"), "utf8");
  return [...guide.matchAll(/```sh\n([^`]*)```/g)].map((match) => match[1]).filter((text) => text.startsWith(words));
}

const run = (shop, text) => execFileSync("bash", ["-euc", text], { cwd: shop.folder, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });

/** The hash of a certificate's key, as a browser takes it. */
const keyOf = (shop, file) => run(shop,
  `openssl x509 -in ${file} -pubkey -noout | openssl pkey -pubin -outform der | openssl dgst -sha256 -binary | base64`).trim();

/** Asks as a program that trusts the shop's authority alone; gives the status and the certificate's number. */
const asked = (port, ca, name) => new Promise((done, failed) => {
  request({ host: "127.0.0.1", port, path: "/in", ca, servername: name, agent: false, headers: { host: `${name}:${port}` } }, (answer) => {
    const { serialNumber } = answer.socket.getPeerCertificate();
    answer.resume();
    answer.on("end", () => done([answer.statusCode, serialNumber]));
  }).on("error", failed).end();
});

test("a certificate made as the guide says is trusted, and the line may go out over it as well", async () => {
  const boat = await example("sprint-boat");
  const plain = await openBrowser();
  const shop = await openShop();
  const first = await openBench(plain, shop);
  await begin(first.page);
  const build = await beginBuild(first, boat);
  const path = await readingsAt(first.page, build, boat.rotors[0].serial);
  await first.page.goto("/shop");
  assert.match(await first.page.locator("main").innerText(), /By browsers of this machine alone, and not over TLS/);
  await first.close();
  await plain.close();
  await shop.stop();

  const making = await ofGuide("openssl");
  assert.equal(making.length, 2);
  for (const text of making) run(shop, text);
  const [serve] = await ofGuide("lobewright serve shop.db --on");
  const words = serve.replaceAll("\\\n", " ").trim().split(/\s+/).slice(3)
    .map((word) => (/\.(pem|key)$/.test(word) ? join(shop.folder, word) : word));
  assert.deepEqual(words.slice(0, 4), ["--on", "0.0.0.0", "--called", NAME]);
  // A test listens to no network.
  words[1] = "127.0.0.1";
  shop.secure(NAME, words);
  await shop.start();

  // Who checks the whole chain and the name takes it, and under no other name.
  const ca = await readFile(join(shop.folder, "shop-authority.pem"));
  const [status, number] = await asked(shop.port, ca, NAME);
  assert.equal(status, 200);
  await assert.rejects(asked(shop.port, ca, "other.shop.example"), { code: "ERR_TLS_CERT_ALTNAME_INVALID" });
  await assert.rejects(asked(shop.port, undefined, NAME), { code: "UNABLE_TO_VERIFY_LEAF_SIGNATURE" });

  // A browser that was not told to trust it warns.
  const named = "--host-resolver-rules=MAP *.example 127.0.0.1";
  const stranger = await openBrowser([named]);
  const warned = await stranger.newPage();
  await assert.rejects(warned.goto(shop.address), /ERR_CERT_AUTHORITY_INVALID/);
  await stranger.close();

  const browser = await openBrowser([named, `--ignore-certificate-errors-spki-list=${keyOf(shop, "bench.pem")}`]);
  const bench = await openBench(browser, shop, { viewport: TABLET });
  const { page } = bench;
  await signIn(page, OWNER);
  await page.goto("/shop");
  const said = await page.locator("main").innerText();
  assert.match(said, /Over TLS\. The certificate in .*bench\.pem is good until/);
  assert.ok(said.includes(`https://${NAME}:${shop.port}/`), said);

  await page.goto(path);
  const readings = readingsOf(boat.rotors[0]);
  await keptOnTablet(page, path, readings.map((reading) => reading.station));
  await shop.stop();
  await typeOut(page, readings.slice(0, 2));
  await page.keyboard.type("79.9");
  await page.reload();
  await page.locator("#line", { hasText: /this page is as it was at \d\d:\d\d\. 2 readings wait/ }).waitFor();
  assert.equal(await page.locator("#value").inputValue(), "79.9");
  await shop.start();
  await page.waitForFunction(() => document.querySelectorAll("#read li.read .by").length === 2);
  assert.deepEqual(await waitingIn(page), []);
  assert.match(await standsAt(page, readings[0].station), new RegExp(`^${readings[0].value} mm`));
  await bench.close();
  await browser.close();

  // Made again as the guide says, it is used without a new start.
  run(shop, making[1]);
  const [again, newer] = await asked(shop.port, ca, NAME);
  assert.equal(again, 200);
  assert.notEqual(newer, number);
  await shop.close();
});
