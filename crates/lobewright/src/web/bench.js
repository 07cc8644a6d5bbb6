// What the pages do beyond plain forms: what-if redraws while a figure is dragged, and what takes a
// while follows. Readings, and forms while the line is out, are in their own files. Every page works
// without this one.

import "/forms.js?as=THIS-VERSION";
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
