// What is kept in this browser: the text of each boat, and what was open last. All pages that are opened from
// this machine's files may share the store, so it can be forgotten.

const DRAFT = "lidcard-desk:draft:";
const LAST = "lidcard-desk:last";
const CHOICE = "lidcard-desk:choice:";

// A browser may keep nothing at all: then the page works without.
const attempt = (work) => {
  try {
    return work();
  } catch {
    return undefined;
  }
};

export function keep(name, text) {
  return attempt(() => {
    localStorage.setItem(DRAFT + name, text);
    localStorage.setItem(LAST, name);
    return true;
  });
}

export const draft = (name) => attempt(() => localStorage.getItem(DRAFT + name)) ?? null;
export const latest = () => attempt(() => localStorage.getItem(LAST)) ?? null;

export function names() {
  const keys = attempt(() => Object.keys(localStorage)) ?? [];
  return keys.filter((key) => key.startsWith(DRAFT)).map((key) => key.slice(DRAFT.length)).sort();
}

export function forget(name) {
  attempt(() => {
    localStorage.removeItem(DRAFT + name);
    if (latest() === name) localStorage.removeItem(LAST);
  });
}

const RECORD = "lidcard-desk:record:";
// Where the browser keeps nothing: until the page is shut.
const records = new Map();

/** What was read at the bench of a boat; whether it outlasts the page. */
export function keepRecord(name, text) {
  records.set(name, text);
  return attempt(() => (localStorage.setItem(RECORD + name, text), true)) ?? false;
}

export const record = (name) => records.get(name) ?? attempt(() => localStorage.getItem(RECORD + name)) ?? null;

export function forgetRecord(name) {
  records.delete(name);
  attempt(() => localStorage.removeItem(RECORD + name));
}

export const choose = (what, value) => attempt(() => localStorage.setItem(CHOICE + what, value));
export const choice = (what) => attempt(() => localStorage.getItem(CHOICE + what)) ?? null;

const ANSWERS = "lidcard-desk:answers";

/** Answers to the questions about a boat that is not written yet. */
export const answers = () => attempt(() => JSON.parse(localStorage.getItem(ANSWERS))) ?? {};
export const keepAnswers = (all) => attempt(() => localStorage.setItem(ANSWERS, JSON.stringify(all)));
export const forgetAnswers = () => attempt(() => localStorage.removeItem(ANSWERS));
