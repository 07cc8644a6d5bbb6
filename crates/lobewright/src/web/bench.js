// What the pages do beyond plain forms: readings go on at the press of Enter and wait on this
// tablet while the line is out; what-if redraws while a figure is dragged. Every page works
// without this file.

const line = document.getElementById("line");

const parsed = (html) => new DOMParser().parseFromString(html, "text/html").body.childNodes;
const put = (place, html) => place.replaceChildren(...parsed(html));

// ---- What if -----------------------------------------------------------------------------------

const whatIf = document.querySelector("form[data-what-if]");
if (whatIf) {
  const answer = document.getElementById("what-if-answer");
  const sweep = document.getElementById("what-if-sweep");
  let asked = 0;
  let busy = false;
  let again = false;
  let later;

  const query = () => new URLSearchParams([...new FormData(whatIf)]).toString();

  const fetched = async (place) => {
    const response = await fetch(`${place.dataset.from}?${query()}`, { headers: { Accept: "text/html" } });
    const text = await response.text();
    if (response.ok) return text;
    const told = new DOMParser().parseFromString(text, "text/html").querySelector(".told");
    return told ? told.outerHTML : "";
  };

  const redraw = async () => {
    if (busy) { again = true; return; }
    busy = true;
    const mine = ++asked;
    clearTimeout(later);
    try {
      put(answer, await fetched(answer));
      sweep.setAttribute("aria-busy", "true");
      // The sweep follows when the hand rests.
      later = setTimeout(async () => {
        try {
          const drawn = await fetched(sweep);
          if (mine === asked) { put(sweep, drawn); sweep.removeAttribute("aria-busy"); }
        } catch { line.textContent = "The line is out: what would be is not worked out now."; }
      }, 250);
      line.textContent = "";
    } catch {
      line.textContent = "The line is out: what would be is not worked out now.";
    }
    busy = false;
    if (again) { again = false; redraw(); }
  };

  for (const drag of whatIf.querySelectorAll(".drag")) {
    const typed = document.getElementById(drag.dataset.of);
    drag.addEventListener("input", () => { typed.value = drag.value; redraw(); });
    typed.addEventListener("input", () => { drag.value = typed.value; redraw(); });
  }
  whatIf.addEventListener("submit", (event) => {
    if (event.submitter?.name !== "form_token") { event.preventDefault(); redraw(); }
  });
  redraw();
}

// ---- What takes a while ------------------------------------------------------------------------

for (const place of document.querySelectorAll("[data-follows]")) {
  place.setAttribute("aria-busy", "true");
  const from = new URL(place.dataset.follows, location.href);
  from.searchParams.set("piece", "yes");
  fetch(from).then(async (response) => {
    const text = await response.text();
    const told = response.ok ? null : new DOMParser().parseFromString(text, "text/html").querySelector(".told");
    put(place, told ? told.outerHTML : text);
  }).catch(() => { line.textContent = "The line is out: it is worked out when the page is loaded again."; })
    .finally(() => place.removeAttribute("aria-busy"));
}

// ---- Readings ----------------------------------------------------------------------------------

const taking = document.querySelector("[data-taking]");
const KEPT = "lobewright readings";

// What waits on this tablet, the first first: where it goes, its fields, what it is called, its
// word, and why the shop did not keep it, once it said so.
const waiting = () => JSON.parse(localStorage.getItem(KEPT) ?? "[]");
const keep = (entries) => localStorage.setItem(KEPT, JSON.stringify(entries));
// Another page of this tablet may send meanwhile: an entry is told by its word, not by its place.
const drop = (word) => keep(waiting().filter((entry) => entry.word !== word));
// A word that no other reading has.
const newWord = () => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
};
const stationOf = (entry) => Object.fromEntries(entry.fields).station;

const link = (to, text) => Object.assign(document.createElement("a"), { href: to, textContent: text });

// A reading is of whoever typed it: it waits for their own session.
const me = document.body.dataset.person;
const mine = (entry) => entry.person === undefined || entry.person === me;

// What the line at the top says: nothing while nothing waits.
const tell = (signedOut, trouble) => {
  const all = waiting();
  const entries = all.filter(mine);
  const aside = entries.filter((entry) => entry.why);
  const count = entries.length - aside.length;
  const wait = `${count} ${count === 1 ? "reading waits" : "readings wait"} on this tablet`;
  const said = [];
  if (count > 0 && signedOut) said.push(`Nobody is signed in any more: ${wait}. `, link("/in", "Sign in again"), ", and they are sent.");
  else if (count > 0 && trouble) said.push(`${trouble} Until then ${wait}.`);
  else if (count > 0) said.push(`The line is out: ${wait}, and will be sent when it is back.`);
  const others = all.length - entries.length;
  if (others > 0) said.push(` ${others} of somebody else ${others === 1 ? "waits" : "wait"} on this tablet until they sign in here.`);
  for (const entry of aside) said.push(" One that waited is not kept: ", link(`${entry.to}?at=${stationOf(entry)}`, entry.words), ".");
  line.replaceChildren(...said);
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
// waits on.
const send = async (entry, once = false) => {
  const fields = new URLSearchParams(entry.fields);
  fields.set("form_token", formToken);
  const response = await fetch(entry.to, {
    method: "POST",
    headers: { Accept: "application/json", "Content-Type": "application/x-www-form-urlencoded" },
    body: fields,
  });
  const answer = await response.json().catch(() => ({ error: `The shop answered ${response.status}.` }));
  if (answer.state) return answer;
  if (response.status === 401) return { state: "out" };
  if (answer.old_form) return !once && (await renewed()) ? send(entry, true) : { state: "out" };
  // A full disk, a file in use: nothing is wrong with the reading, so it waits.
  return { state: response.status >= 500 ? "trouble" : "refused", error: answer.error };
};

let sending = false;
let lineOut = false;

// Sends what waits, in its order. One of this page that is asked back or refused stops there and
// is shown; one of another page is laid aside until its page is open.
const sendWaiting = async (here, shown) => {
  if (sending) return;
  sending = true;
  let signedOut = false;
  let trouble;
  try {
    for (;;) {
      const entry = waiting().filter(mine).find((one) => one.to === here || !one.why);
      if (!entry) break;
      const answer = await send(entry);
      lineOut = false;
      if (answer.state === "out") { signedOut = true; break; }
      if (answer.state === "trouble") { trouble = answer.error; break; }
      if (answer.state !== "kept" && entry.to !== here) {
        keep(waiting().map((one) => (one.word === entry.word ? { ...one, why: answer.state } : one)));
        continue;
      }
      drop(entry.word);
      if (entry.to === here) shown(entry, answer);
      if (answer.state !== "kept") break;
    }
  } catch { lineOut = true; }
  sending = false;
  tell(signedOut, trouble);
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
  const remembered = (units) => sessionStorage.getItem(`unit ${units}`);

  const drawn = async (station) => {
    if (!pictures.has(station)) {
      const response = await fetch(`${to}/${station}`);
      if (response.ok) pictures.set(station, await response.text());
    }
    return pictures.get(station) ?? "";
  };

  // Each kind of reading has its own gauge: a micrometer for widths is no indicator for steps.
  const setGauge = (one) => {
    const chosen = sessionStorage.getItem(`gauge ${unitsOf(one)}`);
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
      const button = Object.assign(document.createElement("button"), { type: "submit", name: "seen", value: word, textContent: word, formNoValidate: true });
      button.className = "quiet";
      return button;
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
    picture.replaceChildren();
    document.getElementById("words").replaceChildren();
  };

  // What is in question on this page: nothing else is said until it is settled.
  let question;
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
    value.select();
  };

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
      for (const one of waiting()) if (one.to === to) item(stationOf(one))?.classList.add("read");
    }
    if (answer.state === "kept") {
      if (!question) put(said, answer.said);
      // Whether the readings agree is known only now.
      const wanted = form.elements.station.value === "" && next("");
      if (wanted) go(wanted);
    } else if (value.value === "" && !question) askBack(entry, answer);
    else later.push([entry, answer]);
  };

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (event.submitter?.name === "seen") value.value = event.submitter.value;
    if (value.value.trim() === "") return;
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
    sessionStorage.setItem(`unit ${unit.dataset.of}`, unit.value);
    sessionStorage.setItem(`gauge ${unit.dataset.of}`, form.elements.gauge.value);
    const entry = { to, fields: [...new FormData(form)].filter(([name]) => name !== "form_token"), words: words.textContent, word, person: me };
    const station = form.elements.station.value;
    keep([...waiting(), entry]);
    question = undefined;
    // The field is free for the next number at once; a gauge with a cable does not wait.
    item(station)?.classList.add("read");
    const onward = next(station);
    if (onward) go(onward);
    else rest();
    if (later.length > 0) askBack(...later.shift());
    await sendWaiting(to, shown);
    if (lineOut && !question && waiting().some((one) => one.word === word)) {
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
  });

  // The browser's own focus comes with its first frame; a gauge may type before that.
  value.focus({ preventScroll: true });
  unit.dataset.of = item(form.elements.station.value)?.dataset.units ?? "";
  const chosen = remembered(unit.dataset.of);
  if (chosen && value.value === "") unit.value = chosen;
  form.elements.gauge.dataset.of = unit.dataset.of;
  const gauge = sessionStorage.getItem(`gauge ${unit.dataset.of}`);
  if (gauge !== null && form.elements.gauge.value === "") form.elements.gauge.value = gauge;
  // All pictures while the line is there: the cable may come out later.
  (async () => {
    for (const one of items()) {
      try { await drawn(one.dataset.station); } catch { return; }
    }
  })();
  addEventListener("online", () => sendWaiting(to, shown));
  setInterval(() => { if (waiting().length > 0) sendWaiting(to, shown); }, 3000);
  if (waiting().length > 0) sendWaiting(to, shown);
} else if (line) {
  addEventListener("online", () => sendWaiting());
  if (waiting().length > 0) sendWaiting();
}
