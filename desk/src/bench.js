// At the bench: the program says what is done next and judges what was read; here it is shown, typed and kept. Each
// answer is a run of `lidcard bench` of its own, on the boat file and the record so far.

import { at, download, make } from "./dom.js";
import * as drafts from "./drafts.js";
import { args, run } from "./program.js";
import { language, word } from "./words.js";

// Five prove something, ten prove more (the program says so of fewer).
const [ROWS, MOST_ROWS, TIMES] = [5, 10, 3];
const GOOD = ["good", "still good"];

let boat;
let changed;
// What the program said last, and the step that is shown, from 1.
let told = null;
let shown = null;
let busy = false;

/** Readies the bench; `done` is called when the record has become longer. */
export function listen(of, done) {
  [boat, changed] = [of, done];
  at("to-bench").addEventListener("click", begin);
  at("bench-close").addEventListener("click", () => at("bench").close());
  at("bench-more-meters").addEventListener("click", () => meter().querySelector("input").focus());
  at("bench-seat").addEventListener("submit", (event) => {
    event.preventDefault();
    sit();
  });
  at("bench-changed").addEventListener("click", another);
  at("bench-take").addEventListener("click", () => {
    const text = drafts.record(boat.name);
    if (text === null) return verdict("warn", word("bench.none"));
    return download(boat.record, text, "text/yaml");
  });
  at("bench-file").addEventListener("change", async ({ target }) => {
    const [file] = target.files;
    if (file) await adopt(await file.text());
    target.value = "";
  });
  at("bench-forget").addEventListener("click", () => {
    if (!confirm(word("bench.forget.sure", { name: boat.name }))) return;
    drafts.forgetRecord(boat.name);
    changed();
    look();
  });
}

function begin() {
  at("bench-title").textContent = word("bench.title", { boat: boat.stem });
  at("bench").showModal();
  return look();
}

/** What there is to do, without sitting down; who sat there last with this state of the file goes on. */
async function look() {
  verdict();
  // What was shown of an earlier look is not answered to meanwhile.
  told = null;
  draw();
  const first = await ask([]);
  if (!first) return draw();
  told = first;
  if (first.can_go_on && sat(first)) {
    const again = await ask(args("go_on"));
    if (again) told = again;
  }
  shown = told.next;
  return draw();
}

const sat = ({ code }) => drafts.choice(`sitting:${boat.name}`) === code;

/** A record that lies in a file takes the place of the one kept here, if the program can read it. */
async function adopt(text) {
  const before = drafts.record(boat.name);
  drafts.keepRecord(boat.name, text);
  await look();
  if (told) return changed();
  const why = at("bench-trouble").textContent;
  if (before === null) drafts.forgetRecord(boat.name);
  else drafts.keepRecord(boat.name, before);
  await look();
  return trouble(why);
}

/** Runs the program with these arguments more and these lines typed; `null` where it says nothing of the steps. */
async function ask(more, lines = null) {
  const files = boat.files();
  if (lines !== null) files.push(["answers.txt", new TextEncoder().encode(lines)]);
  const words = [...args("bench", { boat: boat.file }), ...args("language", { language: language() }), ...more];
  const answer = await run(words, files);
  if (answer.stopped) return null;
  const record = answer.files?.find(([name]) => name === boat.record);
  if (record) {
    const kept = drafts.keepRecord(boat.name, new TextDecoder().decode(record[1]));
    if (!kept) verdict("warn", word("bench.cannot_keep"));
    changed();
  }
  trouble(answer.crashed ?? (answer.stdout ? "" : answer.stderr));
  return answer.stdout ? JSON.parse(answer.stdout) : null;
}

function trouble(why) {
  at("bench-trouble").hidden = !why;
  at("bench-trouble").textContent = why ?? "";
}

function verdict(kind = "", ...lines) {
  at("bench-verdict").dataset.kind = kind;
  at("bench-verdict").replaceChildren(...lines.filter(Boolean).map((line) => (line.nodeType ? line : make("p", {}, line))));
}

/** Something is another one than it was: what rests on it is open again, which the record keeps. */
async function another() {
  const what = at("bench-thing").value;
  const now = await ask([...args("changed", { what }), ...(told.sitting ? args("go_on") : [])]);
  if (!now) return;
  told = now;
  shown = now.next;
  verdict("warn", word("bench.another.done", { what }));
  draw();
}

// ---- sitting down ----

function meter(name = "", off = "") {
  const row = make(
    "div",
    { class: "row meter" },
    make("label", {}, make("span", {}, word("bench.meter")), make("input", { name: "meter", value: name, maxlength: 60, autocomplete: "off" })),
    make("label", {}, make("span", {}, word("bench.meter.off")), make("input", { name: "off", value: off, inputmode: "decimal", maxlength: 8, autocomplete: "off" })),
  );
  at("bench-meters").append(row);
  return row;
}

async function sit() {
  const form = new FormData(at("bench-seat"));
  const [by, conditions, extreme] = ["by", "conditions", "extreme"].map((name) => form.get(name).trim());
  const offs = form.getAll("off").map(point);
  const meters = form.getAll("meter").map((name, n) => [name.trim(), offs[n]]).filter(([name, off]) => name || off);
  const each = meters.flatMap(([name, off]) => args("meter", { meter: `${name} = ${off} us` }));
  if (!meters.length) return verdict("warn", word("bench.empty"));
  const now = await ask([...args("seat", { by, conditions, extreme }), ...each]);
  if (!now) return undefined;
  drafts.choose("seat", JSON.stringify({ by, conditions, meters }));
  drafts.choose(`sitting:${boat.name}`, now.code);
  told = now;
  shown = now.next;
  verdict();
  return draw();
}

// ---- answering ----

// A hand that writes decimals with a comma means a point.
const point = (text) => text.trim().replace(",", ".");
const withUnit = (text, unit) => (/[a-z%\u00b5]/i.test(text) ? text : `${text} ${unit}`);

/** Types lines at the step that is shown. */
async function send(lines) {
  if (busy) return;
  busy = true;
  const step = shown;
  const now = await ask([...args("go_on"), ...args("step", { step })], `${lines}\n`);
  busy = false;
  if (!now) {
    // The file is another one than the one somebody sat down with.
    if (!at("bench-trouble").textContent) return;
    drafts.choose(`sitting:${boat.name}`, "");
    const why = at("bench-trouble").textContent;
    await look();
    trouble(why);
    return;
  }
  const before = told;
  told = now;
  if (now.held.length) return held(lines);
  const stays = now.next === step;
  verdict(...(stays ? said(now) : result(now, step)));
  shown = now.next;
  // What was typed stands where it was not taken.
  if (!stays || [before, now].some((one) => one.compare.length || one.danger)) draw();
}

/** What the program said to an answer that leads nowhere. */
const said = ({ said: lines, noted }) => ["warn", ...(noted ? [word("bench.noted")] : lines.map((line) => make("p", { lang: "en" }, line)))];

/** What came of a step that is done. */
function result({ steps, said: lines }, number) {
  const step = steps[number - 1];
  const kinds = { "good": "good", "still good": "good", "skipped": "warn", "open": "warn" };
  const summary = make("p", { class: "sum" }, `${step.number}: ${outcome(step)}`);
  return [kinds[step.state] ?? "bad", summary, ...lines.map((line) => make("p", { lang: "en", class: "quiet" }, line))];
}

/** The verdict on a step, in words of the page; the program's own words stand below it. */
function outcome({ last, state }) {
  if (!last || state === "skipped") return word(`bench.state.${state.replace(" ", "_")}`);
  if (last.seen !== null) return word(last.seen ? "bench.seen.yes" : "bench.seen.no");
  return [last.read.join(", "), ...judged(last.agrees === "yes", last)].join("; ");
}

function judged(agrees, { safe, lacks }) {
  const words = { "yes": "bench.safe.yes", "no": "bench.safe.no", "cannot tell": "bench.safe.cannot_tell", "not judged": "bench.safe.not_judged" };
  const told_safe = words[safe] && word(words[safe], { lacks: lacks.join(", ") });
  return [word(agrees ? "bench.agrees.yes" : "bench.agrees.no"), told_safe].filter(Boolean);
}

/** What was read is not what is expected: whoever read it says whether it was so. */
function held(lines) {
  const all = told.held.map((one) => make("p", { class: "sum" }, `${one.of}: ${judged(one.agrees, one).join("; ")}`));
  verdict(
    "bad",
    ...all,
    ...told.said.map((line) => make("p", { lang: "en", class: "quiet" }, line)),
    word("bench.held"),
    make(
      "div",
      { class: "tools" },
      make("button", { type: "button", class: "large", id: "bench-once-more", onclick: () => (verdict(), focus()) }, word("bench.once_more")),
      make("button", { type: "button", class: "large", id: "bench-was-so", onclick: () => send(`${lines}\n `) }, word("bench.was_so")),
    ),
  );
  at("bench-once-more").focus();
}

// ---- what is shown ----

function draw() {
  const sits = Boolean(told?.sitting);
  at("bench-seat").hidden = !told || sits;
  at("bench-step").hidden = !sits;
  at("bench-all").hidden = !told;
  at("bench-another").hidden = !told;
  at("bench-progress").hidden = !told;
  at("bench-done").textContent = "";
  if (!told) return;
  const good = told.steps.filter(({ state }) => GOOD.includes(state)).length;
  at("bench-done").textContent = word("bench.done", { good, count: told.steps.length, minutes: told.minutes });
  at("bench-progress").max = told.steps.length;
  at("bench-progress").value = good;
  list();
  at("bench-thing").replaceChildren(...told.things.map((thing) => make("option", {}, thing)));
  if (!sits) return seat();
  at("bench-step").replaceChildren(...current());
  focus();
}

function seat() {
  const { by = "", conditions = "", meters = [["", ""]] } = attempt(drafts.choice("seat"));
  const form = at("bench-seat");
  form.elements.by.value ||= by;
  form.elements.conditions.value ||= conditions;
  if (!at("bench-meters").children.length) meters.forEach(([name, off]) => meter(name, off));
  form.elements.by.focus();
}

function attempt(text) {
  try {
    return JSON.parse(text) ?? {};
  } catch {
    return {};
  }
}

function focus() {
  const first = at("bench-step").querySelector("input:not([name=remark])") ?? at("bench-step").querySelector("h3");
  first?.focus();
}

/** The first step that keeps from harm and is not done: none behind it is answered. */
const gate = () => {
  const open = told.steps.findIndex((step) => step.gate && !GOOD.includes(step.state));
  return open < 0 ? told.steps.length : open + 1;
};

function list() {
  const last = gate();
  const line = (step, n) => {
    const text = `${step.number} ${step.reads === "seen" ? step.what : step.of}: ${word(`bench.state.${step.state.replace(" ", "_")}`)}`;
    const lead = { type: "button", "data-state": step.state, disabled: !told.sitting || n + 1 > last, "aria-current": n + 1 === shown ? "step" : null, onclick: () => go(n + 1) };
    return make("li", {}, make("button", lead, text));
  };
  at("bench-steps").replaceChildren(...told.steps.map(line));
}

function go(step) {
  shown = step;
  told = { ...told, danger: null, compare: [] };
  verdict();
  draw();
}

function current() {
  if (told.danger) return danger();
  if (told.compare.length) return compare();
  if (shown === null) return over();
  const step = told.steps[shown - 1];
  const fresh = shown === 1 || told.steps[shown - 2].group !== step.group;
  const expected = step.expected.length > 0 && fact(word("bench.expected"), step.expected.join("; "));
  return [
    make("p", { class: "quiet" }, step.group),
    fresh && step.before && make("p", {}, step.before),
    make("h3", { tabindex: "-1" }, `${step.number}  ${step.what}`),
    make(
      "dl",
      {},
      step.see && fact(word("bench.see"), step.see),
      expected,
      step.last && fact(word("bench.before"), outcome(step)),
    ),
    step.never && make("p", { class: "caution" }, `${word("bench.never")}: ${step.never}`),
    answering(step),
    beside(step),
  ].filter(Boolean);
}

const fact = (name, text) => [make("dt", {}, name), make("dd", {}, text)];

function field(label, name, more = {}) {
  const input = make("input", { name, inputmode: "decimal", autocomplete: "off", maxlength: 20, ...more });
  return make("label", { class: "figure" }, make("span", {}, label), input);
}

const large = (text, onclick, id, more = "") => make("button", { type: "button", class: `large ${more}`, id, onclick }, text);

function form(lines, ...children) {
  const submit = (event) => {
    event.preventDefault();
    const line = lines(new FormData(event.target));
    if (line) send(line);
    else verdict("warn", word("bench.empty"));
  };
  return make("form", { class: "readings", novalidate: true, onsubmit: submit }, ...children, make("button", { type: "submit", class: "button large" }, word("bench.judge")));
}

function answering(step) {
  if (step.reads === "seen") {
    return make("div", { class: "tools" }, large(word("bench.so"), () => send(" "), "bench-so"), large(word("bench.not_so"), () => send("no"), "bench-not-so", "no"));
  }
  if (step.reads === "seconds") {
    const times = Array.from({ length: TIMES }, (_, n) => field(word("bench.reading", { number: n + 1 }), "read"));
    const lines = (given) => given.getAll("read").map(point).filter(Boolean).map((one) => withUnit(one, "s")).join(", ");
    return make("div", {}, make("p", {}, word("bench.seconds", { of: step.of })), form(lines, make("div", { class: "figures" }, times)), large(word("bench.stays_down"), () => send("no"), "bench-stays-down", "no"));
  }
  const units = make("select", { name: "unit" }, ["us", "%"].map((unit) => make("option", { value: unit }, unit)));
  const unit = make("label", { class: "figure unit" }, make("span", {}, word("bench.unit")), units);
  if (step.reads === "pulse") {
    const lines = (given) => point(given.get("read")) && withUnit(point(given.get("read")), given.get("unit"));
    return form(lines, make("div", { class: "figures" }, field(word("bench.pulse", { of: step.of }), "read"), unit));
  }
  return points(step, unit);
}

/** A point that is crept up to: a field for each reading, with where it lets go beside it. */
function points(step, unit) {
  const rows = make("div", { class: "figures" });
  const row = () => {
    const number = rows.children.length + 1;
    const pair = [field(word("bench.reading", { number }), "read"), step.pairs && field(word("bench.letting_go", { number }), "release")];
    rows.append(make("div", { class: "pair" }, pair));
    more.hidden = number >= MOST_ROWS;
  };
  const more = make("button", { type: "button", onclick: () => (row(), rows.lastChild.querySelector("input").focus()) }, word("bench.more"));
  for (let n = 0; n < ROWS; n += 1) row();
  const lines = (given) => {
    const releases = given.getAll("release").map(point);
    const each = given.getAll("read").map(point).map((one, n) => {
      if (!one) return "";
      const read = withUnit(one, given.get("unit"));
      return releases[n] ? `${read} / ${withUnit(releases[n], given.get("unit"))}` : read;
    });
    return each.filter(Boolean).join(", ");
  };
  return make("div", {}, make("p", {}, word("bench.point", { of: step.of })), form(lines, rows, make("div", { class: "tools" }, unit, more)));
}

/** What may be done beside answering. */
function beside(step) {
  const remark = field(word("bench.remark"), "remark", { inputmode: null, maxlength: 300 });
  const note = () => {
    const text = remark.querySelector("input").value.trim();
    if (text) send(`# ${text}`);
  };
  return make(
    "div",
    { class: "beside" },
    make("div", { class: "tools" }, remark, make("button", { type: "button", onclick: note, id: "bench-note" }, word("bench.note"))),
    make(
      "div",
      { class: "tools" },
      make("button", { type: "button", disabled: shown === 1, onclick: () => go(shown - 1), id: "bench-back" }, word("bench.back")),
      !step.gate && make("button", { type: "button", onclick: () => send("skip"), id: "bench-skip" }, word("bench.skip")),
    ),
  );
}

function compare() {
  const fields = told.compare.map((name) => field(name, "read"));
  const lines = (given) => {
    const all = given.getAll("read").map(point);
    return all.every(Boolean) && all.map((one) => withUnit(one, "us")).join("\n");
  };
  return [make("h3", { tabindex: "-1" }, word("bench.compare")), form(lines, make("div", { class: "figures" }, fields))];
}

function danger() {
  const bad = told.steps.findIndex(({ state }) => state === "bad");
  return [
    make("h3", { tabindex: "-1", class: "hurt" }, word("bench.danger")),
    make("p", { class: "caution stop", lang: "en" }, told.danger),
    bad >= 0 && large(word("bench.to_bad"), () => go(bad + 1), "bench-to-bad"),
  ].filter(Boolean);
}

function over() {
  const open = told.steps.filter(({ state }) => !GOOD.includes(state)).length;
  return [make("h3", { tabindex: "-1" }, open ? word("bench.over_open", { count: open }) : word("bench.over"))];
}
