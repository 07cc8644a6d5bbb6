// What this browser does while the line is out, beside the pages and without one: it keeps the
// pages on which readings are taken, as they were when they were open, and gives them, each with
// the moment it is from, when the shop does not answer. It gives nothing else: no programs, sheets
// or signatures, nothing that was sent, and no page of anybody but whoever is signed in.

const VERSION = "THIS-VERSION";
// A newer program begins with empty ones: its pages and its script belong together.
const FILES = `lobewright files ${VERSION}`;
const PAGES = `lobewright pages ${VERSION}`;
const OWN = ["/look.css", "/bench.js", "/forms.js", "/readings.js", "/waits.js", "/favicon.ico"];
const READINGS = /^\/builds\/\d+\/readings\/\d+\/[a-z-]+$/;
const PICTURE = /^\/builds\/\d+\/readings\/\d+\/[a-z-]+\/[^/]+$/;
// Where somebody comes or goes.
const DOORS = ["/in", "/out", "/first"];

const MOST_PAGES = 12;
const LONGEST_MS = 24 * 60 * 60 * 1000;
// A shop that does not answer for so long is as good as out.
const PATIENCE_MS = 15_000;

// One after the other: a page is not kept while all are being forgotten.
let turn = Promise.resolve();
const inTurn = (work) => {
  turn = turn.then(work, work).catch(() => {});
  return turn;
};

const forget = () => inTurn(() => caches.delete(PAGES));

const personOf = (text) => /<body[^>]* data-person="(\d+)"/.exec(text)?.[1];

const stamped = (text, answer, person) => {
  const headers = new Headers(answer.headers);
  headers.set("x-kept-at", new Date().toISOString());
  headers.set("x-kept-for", person);
  return new Response(text, { headers });
};

const keptAt = (answer) => answer.headers.get("x-kept-at");

// The pages that are kept, the oldest first.
const pages = async (cache) => {
  const found = [];
  for (const request of await cache.keys()) {
    const { pathname } = new URL(request.url);
    if (READINGS.test(pathname)) found.push({ pathname, at: keptAt(await cache.match(request)) });
  }
  return found.sort((a, b) => (a.at < b.at ? -1 : 1));
};

const dropPage = async (cache, pathname) => {
  await cache.delete(pathname);
  for (const request of await cache.keys()) {
    if (new URL(request.url).pathname.startsWith(`${pathname}/`)) await cache.delete(request);
  }
};

// Keeps one; a browser that is short of room gives up the oldest page for it, once.
const put = async (cache, path, answer) => {
  const again = answer.clone();
  try { await cache.put(path, answer); } catch {
    const [oldest] = await pages(cache);
    if (!oldest) return;
    await dropPage(cache, oldest.pathname);
    await cache.put(path, again);
  }
};

// A page says itself whose it is. What was kept for somebody else goes.
const keepPage = (path, answer) => inTurn(async () => {
  const text = await answer.text();
  const person = personOf(text);
  if (!person || !text.includes("data-taking=")) return;
  let cache = await caches.open(PAGES);
  const before = await pages(cache);
  const others = before.length > 0 && (await cache.match(before[0].pathname)).headers.get("x-kept-for") !== person;
  if (others) {
    await caches.delete(PAGES);
    cache = await caches.open(PAGES);
  }
  await put(cache, path, stamped(text, answer, person));
  for (const old of (await pages(cache)).slice(0, -MOST_PAGES)) await dropPage(cache, old.pathname);
});

const keepPicture = (path, answer) => inTurn(async () => {
  const cache = await caches.open(PAGES);
  // Beside its page alone.
  const page = await cache.match(path.slice(0, path.lastIndexOf("/")));
  if (page) await put(cache, path, answer);
});

// The page as it was: it says so by the moment that its body carries.
const asItWas = async (path) => {
  await turn;
  const kept = await (await caches.open(PAGES)).match(path);
  if (!kept || Date.now() - Date.parse(keptAt(kept)) > LONGEST_MS) return undefined;
  const text = (await kept.text()).replace("<body", `<body data-kept-at="${keptAt(kept)}"`);
  return new Response(text, { headers: kept.headers });
};

// What the shop says, or what is kept where it says nothing, or nothing in time, or where what
// stands in front of it says that it is gone. Without anything kept there is nothing but to wait.
const answered = async (request, kept) => {
  const asked = fetch(request);
  const late = new Promise((done) => { setTimeout(done, PATIENCE_MS); });
  const answer = await Promise.race([asked, late]).catch(() => undefined);
  if (answer && ![502, 503, 504].includes(answer.status)) return [answer, true];
  const found = await kept();
  return found ? [found, false] : [answer ?? (await asked), true];
};

const page = async (event, path) => {
  const [answer, fresh] = await answered(event.request, () => asItWas(path));
  // Sent on to sign in: nobody is there whose page it could be.
  if (answer.type === "opaqueredirect" || answer.status === 401) event.waitUntil(forget());
  else if (fresh && answer.ok) event.waitUntil(keepPage(path, answer.clone()));
  return answer;
};

const picture = async (event, path) => {
  const [answer, fresh] = await answered(event.request, async () => (await caches.open(PAGES)).match(path));
  if (fresh && answer.ok && !answer.redirected) event.waitUntil(keepPicture(path, answer.clone()));
  return answer;
};

const file = async (event, path) => (await answered(event.request, async () => (await caches.open(FILES)).match(path)))[0];

addEventListener("install", (event) => event.waitUntil((async () => {
  const cache = await caches.open(FILES);
  for (const path of OWN) await cache.put(path, await fetch(`${path}?as=${VERSION}`, { cache: "reload" }));
  await skipWaiting();
})()));

addEventListener("activate", (event) => event.waitUntil((async () => {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("lobewright ") && name !== FILES && name !== PAGES).map((name) => caches.delete(name)));
  await clients.claim();
})()));

addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (origin !== location.origin) return;
  if (request.method === "POST" && DOORS.includes(pathname)) event.waitUntil(forget());
  if (request.method !== "GET") return;
  if (request.mode === "navigate" && READINGS.test(pathname)) event.respondWith(page(event, pathname));
  else if (request.mode !== "navigate" && PICTURE.test(pathname)) event.respondWith(picture(event, pathname));
  else if (OWN.includes(pathname)) event.respondWith(file(event, pathname));
});

// What a page tells: who is signed in, by what the shop said last, and what of it is to be kept as
// it is now.
addEventListener("message", (event) => event.waitUntil((async () => {
  const { person, keep } = event.data;
  if (person !== undefined) {
    const cache = await caches.open(PAGES);
    const [first] = await pages(cache);
    const kept = first && (await cache.match(first.pathname));
    if (kept && kept.headers.get("x-kept-for") !== person) await forget();
  }
  for (const path of keep ?? []) {
    try {
      const isPage = READINGS.test(path);
      if (!isPage && (!PICTURE.test(path) || (await (await caches.open(PAGES)).match(path)))) continue;
      const answer = await fetch(path, { headers: { Accept: "text/html" } });
      if (answer.ok && !answer.redirected) await (isPage ? keepPage : keepPicture)(path, answer);
    } catch { return; }
  }
})()));
