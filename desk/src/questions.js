// From questions to a boat file: the program says what is asked next and what an answer may look like; here it is
// only shown, kept and gone back over.

import { at, make } from "./dom.js";
import * as drafts from "./drafts.js";
import { args, run } from "./program.js";
import { language, word } from "./words.js";

const UNKNOWN = "not measured";

let answers = {};
let asked = [];
let shown = 0;
let finish;

const file = () => {
  const lines = Object.entries(answers).map(([id, answer]) => `${id}: ${JSON.stringify(answer)}\n`);
  return [["answers.yaml", new TextEncoder().encode(lines.join(""))]];
};

const spoken = (words) => [...words, ...args("language", { language: language() })];
// What the program says before the reason itself is of use at a command line only.
const reason = (told) => told.crashed ?? told.stderr?.trim().replace(/^lidcard: answers\.yaml: /, "") ?? "";

/** Readies the questions; `done` gets the name and the text of the file that comes of them. */
export function listen(done) {
  finish = done;
  at("new").addEventListener("click", begin);
  at("ask-close").addEventListener("click", () => at("ask").close());
  at("ask-back").addEventListener("click", () => show(shown - 1));
  at("ask-unknown").addEventListener("click", () => answer(UNKNOWN));
  at("ask-over").addEventListener("click", () => {
    answers = {};
    drafts.forgetAnswers();
    next();
  });
  at("ask-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const given = new FormData(at("ask-form")).getAll("answer").map((one) => one.trim());
    answer(given.filter(Boolean).join(", "));
  });
}

function begin() {
  answers = drafts.answers();
  at("ask").showModal();
  return next();
}

/** Learns what is asked now; what is wrong with the last answer otherwise. */
async function learn() {
  const told = await run(spoken(args("questions")), file());
  if (told.status !== 0) return reason(told);
  asked = JSON.parse(told.stdout).questions;
  return null;
}

async function answer(given) {
  const { id } = asked[shown];
  if (!given) return wrong(word("ask.empty"));
  wrong("");
  const before = answers[id];
  answers[id] = given;
  const why = await learn();
  if (why !== null) {
    if (before === undefined) delete answers[id];
    else answers[id] = before;
    return wrong(why);
  }
  drafts.keepAnswers(answers);
  return forth();
}

async function next() {
  const why = await learn();
  // What was kept is of an older program: the answers that it takes no more would bar the way for good.
  if (why !== null && Object.keys(answers).length) {
    answers = {};
    await learn();
  }
  return forth();
}

function forth() {
  const open = asked.findIndex((question) => question.answer === null);
  return open < 0 ? write() : show(open);
}

async function write() {
  const wanted = new Set(asked.map(({ id }) => id));
  // What hung on an answer that was changed is asked no more.
  answers = Object.fromEntries(Object.entries(answers).filter(([id]) => wanted.has(id)));
  const stem = answers["boat.name"].normalize("NFKD").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
  const name = `${stem || "boat"}.yaml`;
  const told = await run(spoken(args("new", { boat: name })), file());
  const written = told.files?.find(([path]) => path === name);
  if (!written) return wrong(reason(told));
  drafts.forgetAnswers();
  at("ask").close();
  return finish(name, new TextDecoder().decode(written[1]));
}

function wrong(why) {
  at("ask-wrong").hidden = !why;
  at("ask-wrong").textContent = why;
}

function show(index) {
  shown = Math.max(index, 0);
  const question = asked[shown];
  wrong("");
  at("ask").dataset.id = question.id;
  at("ask-where").textContent = word("ask.where", { part: question.part, number: shown + 1, count: asked.length });
  at("ask-question").textContent = question.ask;
  at("ask-why").textContent = question.why;
  at("ask-back").disabled = shown === 0;
  at("ask-unknown").hidden = question.unknown === null;
  at("ask-becomes").hidden = question.unknown === null;
  at("ask-becomes").textContent = question.unknown && word("ask.becomes", { becomes: question.unknown });
  at("ask-answer").replaceChildren(...fields(question));
  at("ask-answer").querySelector("input:checked, input")?.focus();
}

function fields(question) {
  const [kind, takes] = Object.entries(question.takes)[0];
  const before = question.answer === UNKNOWN ? "" : question.answer ?? "";
  if (kind === "one") return takes.map((choice) => choose("radio", choice, choice.word === before));
  if (kind === "several") {
    const none = takes.or_none ? [{ word: "none", label: word("ask.none"), about: "" }] : [];
    const chosen = before.split(",").map((one) => one.trim());
    return [...takes.choices, ...none].map((choice) => choose("checkbox", choice, chosen.includes(choice.word)));
  }
  const hint = kind === "count" ? `${takes.least} \u2013 ${takes.most}` : [takes.example, ...(takes.words ?? [])].join(" / ");
  const line = make("input", {
    type: "text", name: "answer", id: "ask-line", value: before, autocomplete: "off", maxlength: 200,
    inputmode: kind === "count" ? "numeric" : null, "aria-labelledby": "ask-question", "aria-describedby": "ask-hint",
  });
  return [...picture(question, line), line, make("p", { class: "quiet", id: "ask-hint" }, word("ask.such", { hint }))];
}

function picture({ picture: drawn }, line) {
  if (!drawn) return [];
  const point = ({ word: place, label }) =>
    make("button", { type: "button", onclick: () => ((line.value = place), line.focus()) }, label);
  return [
    make("pre", { class: "set", "aria-hidden": "true" }, drawn.drawing),
    make("div", { class: "tools" }, drawn.places.map(point)),
  ];
}

function choose(type, { word: name, label, about }, checked) {
  const input = make("input", { type, name: "answer", value: name, checked });
  return make("label", { class: "choice" }, input, make("span", {}, make("b", {}, label), about ? ` ${about}` : ""));
}
