// Readings: Enter goes on to the next station, what is entered is kept on this tablet first and
// sent, again and again while the line is out, once and in its order. What the shop does not keep
// stays here until somebody decides. A page that is shown while the line is out says from when it is.

import { drop, keep, keepTyped, last, newWord, onlyHere, remember, remembered as chosenBefore, typedAt, waiting, watch } from "/waits.js?as=THIS-VERSION";

const parsed = (html) => new DOMParser().parseFromString(html, "text/html").body.childNodes;
export const put = (place, html) => place.replaceChildren(...parsed(html));

const line = document.getElementById("line");
const taking = document.querySelector("[data-taking]");

const stationOf = (entry) => Object.fromEntries(entry.fields).station;
const valueOf = (entry) => Object.fromEntries(entry.fields).value;
const link = (to, text) => Object.assign(document.createElement("a"), { href: to, textContent: text });
const button = (text, pressed) => {
  const made = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: text });
  made.addEventListener("click", pressed);
  return made;
};

// A reading is of whoever typed it: it waits for their own session.
const me = document.body.dataset.person;
const mine = (entry) => entry.person === undefined || entry.person === me;

// From when this page is, where it was kept and the shop does not answer.
let asOf = document.body.dataset.keptAt;
const clock = (iso) => {
  const at = new Date(iso);
  const two = (number) => String(number).padStart(2, "0");
  const time = `${two(at.getHours())}:${two(at.getMinutes())}`;
  if (at.toDateString() === new Date().toDateString()) return time;
  return `${time} on ${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
};

// What is in question on this page: nothing else is said until it is settled.
let question;
let signedOut = false;
let trouble;

// What other parts of a page have to say there.
let further = "";

// What the line at the top says: nothing while nothing waits.
const tell = () => {
  if (!line) return;
  const all = waiting();
  const entries = all.filter(mine);
  const aside = entries.filter((entry) => entry.why);
  const count = entries.length - aside.length;
  const wait = `${count} ${count === 1 ? "reading waits" : "readings wait"} on this tablet`;
  const said = [];
  if (asOf && !signedOut) said.push(`The line is out: this page is as it was at ${clock(asOf)}. `);
  if (count > 0 && signedOut) said.push(`Nobody is signed in any more: ${wait}. `, link("/in", "Sign in again"), ", and they are sent.");
  else if (count > 0 && trouble) said.push(`${trouble} Until then ${wait}.`);
  else if (count > 0 && asOf) said.push(`${wait[0].toUpperCase()}${wait.slice(1)}, and will be sent when it is back.`);
  else if (count > 0) said.push(`The line is out: ${wait}, and will be sent when it is back.`);
  else if (asOf && signedOut) said.push(`Nobody is signed in any more: this page is as it was at ${clock(asOf)}. `, link("/in", "Sign in again"), ".");
  const others = all.length - entries.length;
  if (others > 0) said.push(` ${others} of somebody else ${others === 1 ? "waits" : "wait"} on this tablet until they sign in here.`);
  for (const entry of aside) {
    if (entry.word === question?.word) continue;
    said.push(" One that waited is not kept: ", link(`${entry.to}?at=${stationOf(entry)}`, entry.words), ` (${valueOf(entry)}). `,
      button("Leave it out", () => { drop(entry.word); tell(); }));
  }
  if (onlyHere()) said.push(" This tablet's own store is full or closed: what waits is gone if this page is. Leave it open.");
  if (further !== "") said.push(` ${further}`);
  line.replaceChildren(...said);
};

export const notice = (text) => {
  if (text === further) return;
  further = text;
  tell();
};

// What a form of this session carries. After somebody signed in again on another page this one's is
// old: then that page's own is asked for, if it is still of the same person.
let formToken = document.body.dataset.formToken ?? "";
const renewed = async () => {
  const response = await fetch(location.href, { headers: { Accept: "text/html" } });
  const body = new DOMParser().parseFromString(await response.text(), "text/html").body;
  if (body.dataset.person !== me || !body.dataset.formToken) return false;
  formToken = body.dataset.formToken;
  return true;
};

// Sends one reading; throws where the line is out, or the shop cannot take anything now: then it
// waits on. Sent again it is still kept once: the shop knows its word.
const send = async (entry, once = false) => {
  const fields = new URLSearchParams(entry.fields);
  fields.set("form_token", formToken);
  const response = await fetch(entry.to, {
    method: "POST",
    headers: { Accept: "application/json", "Content-Type": "application/x-www-form-urlencoded" },
    body: fields,
    signal: AbortSignal.timeout(120_000),
  });
  const answer = await response.json().catch(() => ({ error: `The shop answered ${response.status}.` }));
  if (answer.state) return answer;
  if (response.status === 401) return { state: "out" };
  if (answer.old_form) return !once && (await renewed()) ? send(entry, true) : { state: "out" };
  // A full disk, a file in use, a clerk at the door who has no time: nothing is wrong with the
  // reading, so it waits.
  return { state: response.status >= 500 || [408, 429].includes(response.status) ? "trouble" : "refused", error: answer.error };
};

// A station that was entered twice while the line was out: the second was to go over the first, which
// has its number now. Over anything else it does not go unasked.
const corrected = (entry, reading) => {
  const expected = (one) => Object.fromEntries(one.fields).expected;
  for (const other of waiting().filter(mine)) {
    if (other.to !== entry.to || stationOf(other) !== stationOf(entry) || expected(other) !== expected(entry)) continue;
    keep({ ...other, fields: other.fields.map(([name, value]) => [name, name === "expected" ? String(reading) : value]) });
  }
};

let sending = false;
let lineOut = false;
// What was shown on this page as it is: it is not sent again by itself.
const asked = new Set();

// One page of this tablet sends at a time, where the browser can tell.
const alone = (work) => (navigator.locks
  ? navigator.locks.request("lobewright sends", { ifAvailable: true }, (lock) => (lock ? work() : undefined))
  : work());

// Sends what waits, in its order. What the shop does not keep stays, with why: one of this page is
// shown, one of another page is asked back when that is open.
const sendAll = async (here, shown) => {
  signedOut = false;
  trouble = undefined;
  try {
    for (;;) {
      const entry = waiting().filter(mine).find((one) => (one.to === here ? !asked.has(one.word) : !one.why));
      if (!entry) break;
      const answer = await send(entry);
      lineOut = false;
      if (answer.state === "out") { signedOut = true; break; }
      if (answer.state === "trouble") { trouble = answer.error; break; }
      if (answer.state === "kept") {
        drop(entry.word);
        corrected(entry, answer.reading);
      }
      else keep({ ...entry, why: answer.state });
      if (entry.to !== here) continue;
      if (answer.state !== "kept") asked.add(entry.word);
      shown(entry, answer);
      if (answer.state !== "kept") break;
    }
  } catch { lineOut = true; }
  tell();
};

const sendWaiting = async (here, shown) => {
  if (sending) return;
  sending = true;
  try { await alone(() => sendAll(here, shown)); } finally { sending = false; }
};

if (taking) {
  const form = document.getElementById("entry");
  const value = document.getElementById("value");
  const said = document.getElementById("said");
  const words = document.getElementById("wanted-words");
  const picture = document.getElementById("wanted-picture");
  const read = document.getElementById("read");
  const unit = form.elements.unit;
  const to = taking.dataset.taking;
  const pictures = new Map();

  const items = () => [...read.querySelectorAll("li[data-station]")];
  const item = (station) => items().find((one) => one.dataset.station === station);
  const unitsOf = (one) => one.dataset.units;
  const remembered = (units) => chosenBefore(`unit ${units}`);

  const drawn = async (station) => {
    if (!pictures.has(station)) {
      const response = await fetch(`${to}/${station}`);
      if (response.ok && !response.redirected) pictures.set(station, await response.text());
    }
    return pictures.get(station) ?? "";
  };

  // Each kind of reading has its own gauge: a micrometer for widths is no indicator for steps.
  const setGauge = (one) => {
    const chosen = chosenBefore(`gauge ${unitsOf(one)}`);
    if (chosen !== null) form.elements.gauge.value = chosen;
    else if (form.elements.gauge.dataset.of !== unitsOf(one)) form.elements.gauge.value = "";
    form.elements.gauge.dataset.of = unitsOf(one);
  };

  // What is seen is one of a few words, each a button.
  const setWords = (one) => {
    const words = one.dataset.choices?.split(",") ?? [];
    const group = document.createElement("div");
    group.className = "row";
    group.setAttribute("role", "group");
    group.setAttribute("aria-label", "What is seen");
    group.append(...words.map((word) => {
      const made = Object.assign(document.createElement("button"), { type: "submit", name: "seen", value: word, textContent: word, formNoValidate: true });
      made.className = "quiet";
      return made;
    }));
    document.getElementById("words").replaceChildren(...(words.length > 0 ? [group] : []));
  };

  const setUnits = (one) => {
    const chosen = remembered(unitsOf(one)) ?? (unit.dataset.of === unitsOf(one) ? unit.value : "");
    unit.dataset.of = unitsOf(one);
    unit.replaceChildren(...unitsOf(one).split(" ").map((name) => {
      const option = new Option(name.replace("um", "µm"), name);
      option.selected = name === chosen;
      return option;
    }));
  };

  const ask = (wanted) => {
    form.querySelector("label.choice")?.remove();
    if (!wanted) return;
    const label = document.createElement("label");
    label.className = "choice";
    const box = document.createElement("input");
    Object.assign(box, { type: "checkbox", name: "sure", value: "yes" });
    const text = document.createElement("span");
    text.textContent = "I read it again, and it is so";
    label.append(box, text);
    value.closest(".row").after(label);
  };

  const place = `${me} ${to}`;
  // What is half typed survives the page, with what was seen to stand there when it was typed.
  const keepHalf = () => {
    const fields = Object.fromEntries(new FormData(form));
    if (value.value === "" && !fields.temperature) keepTyped(place, undefined);
    else keepTyped(place, { station: fields.station, value: value.value, unit: unit.value, temperature: fields.temperature, expected: fields.expected });
  };

  const go = async (station) => {
    const one = item(station);
    if (!one) return;
    for (const other of items()) other.querySelector("a").removeAttribute("aria-current");
    one.querySelector("a").setAttribute("aria-current", "step");
    form.elements.station.value = station;
    form.elements.expected.value = one.dataset.expected;
    words.textContent = one.dataset.words;
    value.value = "";
    unit.hidden = "choices" in one.dataset;
    setUnits(one);
    setGauge(one);
    setWords(one);
    ask(false);
    keepHalf();
    value.focus({ preventScroll: true });
    form.scrollIntoView({ block: "nearest" });
    try {
      const svg = await drawn(station);
      if (form.elements.station.value === station) put(picture, svg);
    } catch { /* The picture of before stays; the words say what is wanted. */ }
  };

  // What is wanted next: nothing where all is read and agrees.
  const next = (station) => {
    const all = items();
    const from = all.findIndex((one) => one.dataset.station === station) + 1;
    const open = (one) => !one.classList.contains("read");
    const suspect = (one) => one.querySelector(".mark.stopped");
    return (all.slice(from).find(open) ?? all.filter((one) => "needed" in one.dataset).find(open) ?? all.find(suspect))?.dataset.station;
  };

  // All is read: a number that comes now must not go over a reading unseen.
  const rest = () => {
    for (const one of items()) one.querySelector("a").removeAttribute("aria-current");
    form.elements.station.value = "";
    words.textContent = "Every station is read";
    value.value = "";
    keepHalf();
    picture.replaceChildren();
    document.getElementById("words").replaceChildren();
  };

  // What was entered here and is on its way stands in the list: nobody enters it again.
  const markWaiting = () => {
    for (const entry of waiting().filter(mine)) {
      const one = entry.to === to && item(stationOf(entry));
      if (!one) continue;
      one.classList.add("read");
      // What somebody read there stays to be seen.
      if (!one.querySelector(".by")) one.querySelector(".value").textContent = `${valueOf(entry)}, ${entry.why ? "not kept" : "waits here"}`;
    }
  };

  // Questions that came while a number was being typed: the next number must not land there.
  const later = [];

  // Back to the station that is in question, with what was typed.
  const askBack = (entry, answer) => {
    question = entry;
    if (answer.said !== undefined) put(said, answer.said);
    else {
      const told = document.createElement("div");
      told.className = "told";
      told.textContent = answer.error;
      said.replaceChildren(told);
    }
    const fields = Object.fromEntries(entry.fields);
    go(fields.station);
    value.value = fields.value;
    unit.value = fields.unit;
    ask(answer.state === "asked");
    said.append(button("Leave it out", () => {
      settled(fields.station);
      said.replaceChildren();
      go(fields.station);
      if (later.length > 0) askBack(...later.shift());
      refresh().catch(() => {});
    }));
    keepHalf();
    value.select();
    tell();
  };

  // What was in question at a station is decided: by another number, or by leaving it out.
  const settled = (station) => {
    question = undefined;
    for (const entry of waiting()) if (asked.has(entry.word) && stationOf(entry) === station && entry.to === to) drop(entry.word);
    tell();
  };

  // The list as the shop has it now. Nothing of it is sent, and what is typed stays.
  const refresh = async () => {
    const response = await fetch(to, { headers: { Accept: "text/html" }, signal: AbortSignal.timeout(60_000) });
    if (response.redirected) {
      signedOut = true;
      navigator.serviceWorker?.controller?.postMessage({ person: "" });
      tell();
      return;
    }
    const fresh = new DOMParser().parseFromString(await response.text(), "text/html");
    const list = fresh.getElementById("read");
    // What stands in front of the shop may answer for it, or the shop have trouble of its own.
    if (response.status >= 500) return;
    if (!list || fresh.body.dataset.person !== me) { location.reload(); return; }
    read.replaceChildren(...list.childNodes);
    // Whether it is signed meanwhile is said over the field.
    document.querySelector("main > .told")?.remove();
    const told = fresh.querySelector("main > .told");
    if (told) taking.before(told);
    for (const one of items()) one.querySelector("a").removeAttribute("aria-current");
    item(form.elements.station.value)?.querySelector("a").setAttribute("aria-current", "step");
    markWaiting();
    asOf = undefined;
    lineOut = false;
    tell();
  };

  // The station at which something half typed was put back.
  let restored;

  const shown = (entry, answer) => {
    if (answer.list !== undefined) {
      put(read, answer.list);
      // The list is new: what is typed goes on where it was.
      for (const one of items()) one.querySelector("a").removeAttribute("aria-current");
      const here = item(form.elements.station.value);
      here?.querySelector("a").setAttribute("aria-current", "step");
      // What stands at this station is what stood there when it was gone to, or one's own: what
      // somebody else read meanwhile is not gone over unasked.
      if (here && stationOf(entry) === here.dataset.station) form.elements.expected.value = here.dataset.expected;
      markWaiting();
    }
    // An answer of the shop: the line is back.
    if (asOf) refresh().catch(() => {});
    keepAsItIs();
    if (answer.state === "kept") {
      if (!question) put(said, answer.said);
      // Whether the readings agree is known only now.
      const wanted = form.elements.station.value === "" && next("");
      if (wanted) go(wanted);
    } else if (!question && (value.value === "" || stationOf(entry) === restored)) {
      // What was typed over it before the page was loaded again stays.
      const typed = value.value;
      askBack(entry, answer);
      if (typed !== "") value.value = typed;
      keepHalf();
    }
    else later.push([entry, answer]);
  };

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (event.submitter?.name === "seen") value.value = event.submitter.value;
    if (value.value.trim() === "") return;
    restored = undefined;
    if (form.elements.station.value === "") {
      const told = document.createElement("p");
      told.className = "told";
      told.textContent = "Every station is read: choose below the one that is to be read again.";
      said.replaceChildren(told);
      value.select();
      return;
    }
    const word = newWord();
    form.elements.sent_as.value = word;
    remember(`unit ${unit.dataset.of}`, unit.value);
    remember(`gauge ${unit.dataset.of}`, form.elements.gauge.value);
    const entry = { to, fields: [...new FormData(form)].filter(([name]) => name !== "form_token"), words: words.textContent, word, person: me, order: last() };
    const station = form.elements.station.value;
    settled(station);
    keep(entry);
    // The field is free for the next number at once; a gauge with a cable does not wait.
    markWaiting();
    const onward = next(station);
    if (onward) go(onward);
    else rest();
    if (later.length > 0) askBack(...later.shift());
    await sendWaiting(to, shown);
    if ((lineOut || asOf) && !question && waiting().some((one) => one.word === word)) {
      const kept = document.createElement("p");
      kept.className = "told";
      kept.textContent = `${entry.words}: kept on this tablet.`;
      said.replaceChildren(kept);
    }
  });

  read.addEventListener("click", (event) => {
    const one = event.target.closest("li[data-station]");
    if (!one || !event.target.closest("a")) return;
    event.preventDefault();
    question = undefined;
    go(one.dataset.station);
    tell();
  });

  taking.addEventListener("input", keepHalf);
  taking.addEventListener("change", keepHalf);

  // The browser's own focus comes with its first frame; a gauge may type before that.
  value.focus({ preventScroll: true });
  unit.dataset.of = item(form.elements.station.value)?.dataset.units ?? "";
  const chosen = remembered(unit.dataset.of);
  if (chosen && value.value === "") unit.value = chosen;
  form.elements.gauge.dataset.of = unit.dataset.of;
  const gauge = chosenBefore(`gauge ${unit.dataset.of}`);
  if (gauge !== null && form.elements.gauge.value === "") form.elements.gauge.value = gauge;

  // The page was loaded again: on where it was, with what was half typed.
  const half = typedAt(place);
  markWaiting();
  if (half?.temperature && form.elements.temperature.value === "") form.elements.temperature.value = half.temperature;
  if (half?.value && (item(half.station) || half.station === form.elements.station.value)) {
    go(half.station);
    restored = half.station;
    value.value = half.value;
    if (half.station !== "") {
      unit.value = half.unit;
      form.elements.expected.value = half.expected;
    }
    keepHalf();
    const told = document.createElement("p");
    told.textContent = "Typed before, and not entered yet.";
    said.replaceChildren(told);
  } else {
    const at = new URL(location.href).searchParams.get("at");
    const open = form.elements.station.value;
    if (asOf && at && item(at)) go(at);
    else if (!at && waiting().some((entry) => mine(entry) && entry.to === to && stationOf(entry) === open)) {
      const onward = next(open);
      if (onward) go(onward);
      else rest();
    }
  }

  // While the line is there: this page, and all its pictures, for when the cable comes out.
  let soon;
  const keepAsItIs = () => {
    clearTimeout(soon);
    soon = setTimeout(() => navigator.serviceWorker?.controller?.postMessage({ keep: [to] }), 1000);
  };
  (async () => {
    for (const one of items()) {
      try { await drawn(one.dataset.station); } catch { return; }
    }
  })();
  if ("serviceWorker" in navigator) {
    // Where browsers have none, or give none to this address, the open page is all there is.
    const pictured = items().map((one) => `${to}/${one.dataset.station}`);
    const first = !navigator.serviceWorker.controller;
    navigator.serviceWorker.register("/line.js")
      .then(() => navigator.serviceWorker.ready)
      .then((ready) => { if (first && !asOf) ready.active.postMessage({ keep: [to, ...pictured] }); })
      .catch(() => {});
  }

  // Another page of this tablet sent, or was told, what was entered here.
  watch((before, now) => {
    tell();
    if (before?.to === to && !now) refresh().catch(() => {});
    else if (now?.to === to && now.why && !asked.has(now.word)) sendWaiting(to, shown);
  });
  addEventListener("online", () => sendWaiting(to, shown));
  setInterval(() => {
    const open = waiting().some((entry) => mine(entry) && !asked.has(entry.word));
    if (open) sendWaiting(to, shown);
    else if (asOf) refresh().catch(() => {});
  }, 3000);
  sendWaiting(to, shown);
} else if (line) {
  watch(tell);
  addEventListener("online", () => sendWaiting());
  if (waiting().length > 0) sendWaiting();
}

if (asOf) tell();
// Whoever is signed in now: what was kept of somebody else goes.
if (!asOf) navigator.serviceWorker?.controller?.postMessage({ person: me ?? "" });
