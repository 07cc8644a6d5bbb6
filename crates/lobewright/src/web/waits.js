// What waits on this tablet, in the browser's own store: readings that are not sent yet, each in a
// place of its own so that two pages of the tablet never write over each other, and what is half
// typed. Where the store is full, or closed as some browsers close it, what is typed lives as long
// as its page, and the page says so.

const READING = "lobewright reading ";
const TYPED = "lobewright typed ";

const opened = (name) => { try { return window[name]; } catch { return undefined; } };
const [local, session] = [opened("localStorage"), opened("sessionStorage")];
const read = (store, key) => { try { return store?.getItem(key) ?? null; } catch { return null; } };
const write = (store, key, value) => {
  try { store.setItem(key, value); return true; } catch { return false; }
};
const remove = (store, key) => { try { store?.removeItem(key); } catch { /* It is not there. */ } };
const known = (text) => { try { return JSON.parse(text); } catch { return null; } };

// ---- Readings ----------------------------------------------------------------------------------

// What the store did not take.
const here = new Map();

/** What waits, in the order in which it was entered. */
export const waiting = () => {
  const keys = local ? Object.keys(local).filter((key) => key.startsWith(READING)) : [];
  const stored = keys.map((key) => known(read(local, key))).filter((entry) => entry?.word);
  return [...stored, ...here.values()].sort((a, b) => a.order - b.order || (a.word < b.word ? -1 : 1));
};

/** Keeps one under its word. */
export const keep = (entry) => {
  if (write(local, READING + entry.word, JSON.stringify(entry))) here.delete(entry.word);
  else {
    // An older state of it in the store would come back.
    remove(local, READING + entry.word);
    here.set(entry.word, entry);
  }
};

/** The last in the order, by this tablet's clock if that goes on. */
export const last = () => Math.max(Date.now(), 1 + (waiting().at(-1)?.order ?? 0));

/** It waits no more. */
export const drop = (word) => {
  here.delete(word);
  remove(local, READING + word);
};

/** Whether some would be gone with this page. */
export const onlyHere = () => here.size > 0;

/** Tells what another page of this tablet did: the entry before and after, as far as there is one. */
export const watch = (changed) => addEventListener("storage", (event) => {
  if (event.key?.startsWith(READING)) changed(known(event.oldValue), known(event.newValue));
});

// A page that would take something with it asks first.
addEventListener("beforeunload", (event) => { if (onlyHere()) event.preventDefault(); });

// ---- What is half typed ------------------------------------------------------------------------

/** A word that nothing else has. */
export const newWord = () => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
};

// Each page of the tablet has its own; the tablet keeps the last for a page that was closed.
let page = read(session, "lobewright page");
if (!page) {
  page = newWord();
  write(session, "lobewright page", page);
}

/** What is half typed at a place; nothing if it is undefined. */
export const keepTyped = (place, typed) => {
  const key = TYPED + place;
  if (typed === undefined) {
    remove(session, key);
    if (known(read(local, key))?.page === page) remove(local, key);
    return;
  }
  const text = JSON.stringify({ ...typed, page });
  write(session, key, text);
  write(local, key, text);
};

/** What was half typed there, by this page or by one that is closed. */
export const typedAt = (place) => known(read(session, TYPED + place)) ?? known(read(local, TYPED + place));

// ---- Choices -----------------------------------------------------------------------------------

/** A choice that goes on to the next page of this tab. */
export const remember = (what, value) => write(session, what, value);
export const remembered = (what) => read(session, what);
