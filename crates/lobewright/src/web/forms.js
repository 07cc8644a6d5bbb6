// Forms while the line is out. A form that is sent into nothing takes along what was typed in it:
// where it is known that the shop does not answer, the form stays as it is and says so; where that
// shows only when it is sent, what was typed is put back when its page is open again. Readings have
// their own way.

import { notice } from "/readings.js?as=THIS-VERSION";
import { remember, remembered } from "/waits.js?as=THIS-VERSION";

const SENT = "lobewright form sent";
const forms = [...document.querySelectorAll('form[method="post"]')].filter((form) => form.id !== "entry");
const here = location.pathname + location.search;

// ---- What is known of the line -----------------------------------------------------------------

let out = false;
let asking;

// Whether the shop answers at all; what it answers does not matter.
const ask = () => {
  asking ??= fetch("/look.css", { method: "HEAD", cache: "no-store", signal: AbortSignal.timeout(20_000) })
    .then(() => { out = false; }, () => { out = true; })
    .finally(() => {
      asking = undefined;
      notice(out && changed.size > 0 ? "The line is out: what you typed cannot be sent now. Leave this page open." : "");
    });
  return asking;
};

// Forms in which something was typed since the page was opened.
const changed = new Set();
addEventListener("input", ({ target: { form } }) => {
  if (!forms.includes(form) || changed.has(form)) return;
  changed.add(form);
  ask();
});
setInterval(() => { if (changed.size > 0 || out) ask(); }, 3000);
addEventListener("online", ask);
addEventListener("offline", ask);

// ---- Sending -----------------------------------------------------------------------------------

const tell = (form, text) => {
  form.querySelector(".unsent")?.remove();
  if (text === "") return;
  const told = document.createElement("p");
  told.className = "told unsent";
  told.setAttribute("role", "alert");
  told.textContent = text;
  form.append(told);
};

// What somebody types and sees: no passwords, no files, and nothing of the page's own.
const typedIn = (form) => [...form.elements].filter((field) => field.name
  && ["text", "search", "number", "date", "radio", "checkbox", "select-one", "textarea"].includes(field.type));
const stateOf = (field) => {
  if (["radio", "checkbox"].includes(field.type)) return [String(field.defaultChecked), String(field.checked)];
  if (field.type !== "select-one") return [field.defaultValue, field.value];
  const first = [...field.options].find((option) => option.defaultSelected) ?? field.options[0];
  return [first?.value ?? "", field.value];
};
const nameOf = (form, field) => {
  const same = typedIn(form).filter((one) => one.name === field.name);
  return `${field.name} ${same.indexOf(field)}`;
};

addEventListener("submit", (event) => {
  const { target: form, submitter } = event;
  if (event.defaultPrevented || !forms.includes(form)) return;
  if (!out) {
    // On its way: the next page knows whether it arrived.
    const fields = typedIn(form).map((field) => [nameOf(form, field), ...stateOf(field)]).filter(([, was, is]) => was !== is);
    remember(SENT, JSON.stringify({ here, action: form.getAttribute("action"), person: document.body.dataset.person, fields }));
    changed.delete(form);
    return;
  }
  event.preventDefault();
  ask().then(() => {
    if (!out) {
      tell(form, "");
      form.requestSubmit(submitter);
    } else if (form.matches(".out")) {
      navigator.serviceWorker?.controller?.postMessage({ person: "" });
      tell(form, "The line is out: you are signed out at the shop only when you press this again with the line back. What this tablet kept of your pages is gone.");
    } else {
      changed.add(form);
      tell(form, "The line is out: nothing was sent. What you typed stays in this form; send it again when the line is back, and leave this page open until then.");
    }
  });
});
if (document.querySelector("form.out") && document.body.dataset.keptAt) ask();

addEventListener("beforeunload", (event) => { if (out && changed.size > 0) event.preventDefault(); });

// ---- What did not arrive -----------------------------------------------------------------------

const [came] = performance.getEntriesByType("navigation");
const sent = JSON.parse(remembered(SENT) ?? "null");
const from = document.referrer && new URL(document.referrer);
// Sent on from the form by an answer that is none of refusal.
const refused = document.querySelector('main > [role="alert"]');
const arrived = sent && came?.type === "navigate" && from && from.pathname + from.search === sent.here
  && !(came.responseStatus >= 400) && !refused;
if (arrived) remember(SENT, "null");
// A page that refuses says itself what became of the form, and may have it to be sent again.
else if (!refused && sent?.here === here && sent.person === document.body.dataset.person) {
  const form = forms.find((one) => one.getAttribute("action") === sent.action);
  const missed = [];
  for (const [name, was, is] of form ? sent.fields : []) {
    const field = typedIn(form).find((one) => nameOf(form, one) === name);
    const [now] = field ? stateOf(field) : [];
    // Already so: it had arrived, and its answer was lost.
    if (now === is) continue;
    if (now !== was) missed.push(is);
    else if (["radio", "checkbox"].includes(field.type)) field.checked = is === "true";
    else field.value = is;
    changed.add(form);
  }
  if (changed.has(form)) {
    const other = missed.length > 0 ? ` Something else stands there now, in place of: ${missed.join("; ")}.` : "";
    tell(form, `What you typed here before may not have been sent: look at it, and send it.${other}`);
  }
  remember(SENT, "null");
}
