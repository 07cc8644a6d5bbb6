// What the pages do beyond plain forms: what-if redraws while a figure is dragged, what takes a
// while follows, and a form that cannot be sent stays as it is. Readings are in their own file.
// Every page works without this one.

import { put } from "/readings.js?as=THIS-VERSION";

const line = document.getElementById("line");

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

// ---- Forms while the line is out ----------------------------------------------------------------

// Forms that could not be sent, with what was typed in them.
const unsent = new Set();
// Whether a form is on its way: one that is pressed twice goes once.
const asking = new Set();
const going = new Set();

// Whether the shop answers at all; what it answers does not matter.
const answers = () => fetch("/favicon.ico", { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(20_000) })
  .then(() => true, () => false);

const tellUnsent = (form) => {
  const told = document.createElement("p");
  told.className = "told unsent";
  told.setAttribute("role", "alert");
  told.textContent = form.matches(".out")
    ? "The line is out: you are signed out when it is back. Press it again then. The pages that this tablet kept of you are gone."
    : "The line is out: nothing was sent. What you typed stays in this form; send it again when the line is back, and leave this page open until then.";
  form.querySelector(".unsent")?.remove();
  form.append(told);
};

// A form that is sent into nothing would take along what was typed in it.
addEventListener("submit", async (event) => {
  const { target: form, submitter } = event;
  if (event.defaultPrevented || form.method !== "post") return;
  if (going.delete(form)) return;
  event.preventDefault();
  if (asking.has(form)) return;
  asking.add(form);
  const there = await answers();
  asking.delete(form);
  if (!there) {
    if (form.matches(".out")) navigator.serviceWorker?.controller?.postMessage({ person: "" });
    else unsent.add(form);
    tellUnsent(form);
    return;
  }
  unsent.delete(form);
  form.querySelector(".unsent")?.remove();
  going.add(form);
  form.requestSubmit(submitter);
});

addEventListener("beforeunload", (event) => { if (unsent.size > 0) event.preventDefault(); });
