// The page: one boat at a time, its text beside what the program says of it.

import boats from "boats";
import * as axes from "./axes.js";
import * as bench from "./bench.js";
import * as changes from "./changes.js";
import { at, download, make } from "./dom.js";
import * as drafts from "./drafts.js";
import * as editor from "./editor.js";
import * as findings from "./findings.js";
import { know } from "./keys.js";
import * as papers from "./papers.js";
import * as questions from "./questions.js";
import * as licences from "./licences.js";
import { args, prepare, run, stop } from "./program.js";
import { LANGUAGES, language, speak, word } from "./words.js";

// The program reads no longer boat file, and a slip of the hand may drop a film here.
const LONGEST = 32 << 20;
const VIEWS = ["text", "findings", "axes", "papers"];

// What is open: its name, its text as it was opened, and where the browser lets it be saved to.
const boat = {
  name: "",
  opened: "",
  handle: null,
  errors: 0,
  get file() {
    return this.name;
  },
  get stem() {
    return this.name.replace(/\.ya?ml$/i, "");
  },
  /** Where the program looks for the readings of this boat. */
  get record() {
    return `${this.name.replace(/(.)\.[^.]*$/, "$1")}.bench.yaml`;
  },
  files() {
    const bytes = (text) => new TextEncoder().encode(text);
    const record = drafts.record(this.name);
    return [[this.file, bytes(editor.text())], ...(record === null ? [] : [[this.record, bytes(record)]])];
  },
};
let report = null;
let view = "findings";
let busy = false;
let again = false;

const say = (text) => (at("said").textContent = text);

// ---- checking ----

/** Checks what stands in the editor; what is typed meanwhile is checked when that is done. */
async function check() {
  if (busy) {
    again = true;
    return;
  }
  busy = true;
  do {
    again = false;
    await once();
  } while (again);
  busy = false;
  document.body.dataset.checked = String(Number(document.body.dataset.checked ?? 0) + 1);
}

async function once() {
  const files = boat.files();
  const began = performance.now();
  const checked = await run(args("check", { boat: boat.file }), files);
  if (checked.stopped) return;
  if (checked.crashed) return nothingSaid(word("crashed", { why: checked.crashed }));
  if (!checked.stdout) return nothingSaid(word("unsaid", { why: checked.stderr.trim() }));
  report = JSON.parse(checked.stdout).files[0];
  document.body.dataset.took = String(Math.round(performance.now() - began));
  tell();
  // Somebody types on: that comes first.
  if (again) return;
  const windows = report.status === "unreadable" ? null : await run(args("endpoints", { boat: boat.file }), files);
  const data = windows?.stdout ? JSON.parse(windows.stdout) : null;
  at("no-axes").hidden = Boolean(data);
  // Fields stay in the hand that may put it right; what they said before is not said any more.
  at("drawn").classList.toggle("stale", !data);
  at("axes-tools").hidden = !data;
  if (data) axes.draw(at("drawn"), data, editor.put);
  if (data && !again) editor.track(axes.places(data));
  if (!again && visible("papers")) papers.draw(boat);
}

function nothingSaid(text) {
  report = null;
  boat.errors = 1;
  verdict("errors", text);
  at("found").replaceChildren();
  at("axes-tools").hidden = true;
  at("drawn").classList.add("stale");
  at("no-axes").hidden = false;
  editor.underline([]);
  papers.stale();
}

function tell() {
  const groups = findings.grouped(report);
  const [errors, warnings] = [groups.errors.length, groups.warnings.length];
  boat.errors = errors + groups.mistakes.length;
  if (groups.mistakes.length) {
    verdict("errors", word("verdict.unreadable", { count: groups.mistakes.length }));
  } else if (errors) {
    verdict("errors", word("verdict.errors", { errors, warnings }));
  } else if (report.status === "unreadable") {
    verdict("errors", word("verdict.unreadable", { count: 1 }));
  } else if (groups.not_judged.length) {
    // Nothing is known to be wrong, and that is not the same as clean.
    verdict("warnings", word("verdict.not_judged", { count: groups.not_judged.length, warnings }));
  } else {
    verdict(warnings ? "warnings" : "clean", warnings ? word("verdict.warnings", { warnings }) : word("clean"));
  }
  findings.draw(at("found"), report, (place) => {
    if (!visible("text")) choose("text");
    editor.show(place);
  });
  editor.underline(findings.underlined(report));
}

function verdict(state, text) {
  clearTimeout(waiting);
  at("verdict").dataset.state = state;
  at("verdict").textContent = text;
}

// ---- changing ----

let keeping;
let waiting;

/** A person changed the text. */
function changed() {
  // What was said was said of another text. Most answers come before this could be read.
  at("verdict").dataset.state = "busy";
  clearTimeout(waiting);
  waiting = setTimeout(() => verdict("busy", word("checking")), 150);
  papers.stale();
  clearTimeout(keeping);
  keeping = setTimeout(keep, 400);
  check();
}

function keep() {
  clearTimeout(keeping);
  const kept = drafts.keep(boat.name, editor.text());
  tellKept(kept ? "kept" : "cannot_keep");
  listBoats();
}

function tellKept(key) {
  at("kept").textContent = word(key, { name: boat.name });
  at("forget").hidden = key !== "kept";
}

async function solve() {
  const files = boat.files();
  const before = editor.text();
  say(word("working"));
  const answer = await run(args("solve", { boat: boat.file }), files);
  if (answer.stopped) return;
  const written = answer.files?.find(([name]) => name === boat.file);
  if (!written) return say(answer.status === 0 ? word("solve.nothing") : answer.crashed ?? answer.stderr);
  // What was typed meanwhile is not written over.
  if (editor.text() !== before) return say("");
  editor.replace(new TextDecoder().decode(written[1]));
  say(word("solve.done"));
}

// ---- opening and saving ----

/** A name that the program takes for a file in its own folder. */
const safe = (name) => name.replace(/[/\\\0]/g, "-").replace(/^[-.]+/, "") || "boat.yaml";

function open(name, text, handle = null, told = "opened") {
  stop();
  at("drawn").replaceChildren();
  at("pages").replaceChildren();
  boat.name = safe(name);
  boat.handle = handle;
  boat.opened = text;
  editor.open(text);
  at("boat-name").textContent = boat.name;
  document.title = `${boat.name} \u2013 lidcard`;
  tellKept(drafts.draft(boat.name) === text ? "kept" : "not_kept");
  listBoats();
  say(word(told, { name: boat.name }));
  verdict("busy", word("checking"));
  return check();
}

async function openFile(file, handle = null) {
  if (file.size > LONGEST) return say(word("too_long", { name: file.name }));
  const bytes = await file.arrayBuffer();
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return say(word("no_text", { name: file.name }));
  }
  return open(file.name, text, handle);
}

const DEMO = "demo:";
const KEPT = "kept:";

function listBoats() {
  const group = (label, kind, names) =>
    names.length > 0 &&
    make("optgroup", { label }, names.map((name) => make("option", { value: kind + name }, name)));
  at("boats").replaceChildren(
    make("option", { value: "" }, word("boats.choose")),
    ...[
      group(word("boats.demo"), DEMO, Object.keys(boats)),
      group(word("boats.kept"), KEPT, drafts.names()),
    ].filter(Boolean),
  );
}

function openListed(value) {
  const name = value.slice(DEMO.length);
  if (value.startsWith(DEMO)) open(name, boats[name]);
  if (value.startsWith(KEPT)) open(name, drafts.draft(name) ?? "", null, "opened.draft");
}

async function save() {
  const text = editor.text();
  try {
    boat.handle ??= await window.showSaveFilePicker?.({ suggestedName: boat.name });
  } catch (error) {
    // A person who closed the window wanted nothing.
    if (error.name === "AbortError") return;
  }
  if (boat.handle && (await written(boat.handle, text))) return say(word("saved", { name: boat.name }));
  // The file is gone, or the browser was not let write to it: next time it asks where to.
  boat.handle = null;
  download(boat.name, text, "text/yaml");
  say(word("downloaded", { name: boat.name }));
}

/** Writes a file whole; whether that went well. Until it is closed the old one stays as it was. */
async function written(handle, text) {
  try {
    const stream = await handle.createWritable();
    await stream.write(text);
    await stream.close();
    return true;
  } catch {
    return false;
  }
}

function forget() {
  clearTimeout(keeping);
  drafts.forget(boat.name);
  tellKept("not_kept");
  listBoats();
  say(word("forgotten", { name: boat.name }));
}

// ---- what is shown ----

const visible = (name) => at(name).offsetParent !== null;

function choose(name) {
  view = name;
  document.body.dataset.view = name;
  for (const button of at("views").children) button.setAttribute("aria-pressed", String(button.value === name));
  if (name === "papers" && report) papers.draw(boat);
}

function options(select, all, chosen) {
  select.replaceChildren(...all.map(([value, text]) => make("option", { value, selected: value === chosen }, text)));
}

/** Writes the page in its language. */
function spell() {
  speak(drafts.choice("language") ?? navigator.language.slice(0, 2));
  const names = new Intl.DisplayNames([language()], { type: "language" });
  const own = (code) => new Intl.DisplayNames([code], { type: "language" }).of(code);
  const theme = drafts.choice("theme") ?? "auto";
  options(at("language"), LANGUAGES.map((code) => [code, own(code)]), language());
  options(at("theme"), ["auto", "light", "dark"].map((one) => [one, word(`theme.${one}`)]), theme);
  document.documentElement.dataset.theme = theme;
  const paper = at("paper-language").value;
  const languages = LANGUAGES.map((code) => [code, names.of(code)]);
  options(at("paper-language"), [["", word("paper.language.own")], ...languages], paper);
  const buttons = VIEWS.map((name) =>
    make("button", { type: "button", value: name, onclick: () => choose(name) }, word(`view.${name}`)),
  );
  at("views").replaceChildren(...buttons);
  choose(view);
  // What the program finds it tells in English.
  for (const id of ["found-language", "axes-language"]) at(id).hidden = language() === "en";
  editor.called(word("editor"));
  listBoats();
  if (boat.name) tellKept(drafts.draft(boat.name) === null ? "not_kept" : "kept");
}

/** Where there is little room the tools are put away until they are asked for, and after each use. */
function tools(shown) {
  at("to-tools").setAttribute("aria-expanded", String(shown));
}

function listenToTools() {
  const away = () => {
    if (at("to-tools").offsetParent === null) return;
    tools(false);
    at("to-tools").focus();
  };
  at("to-tools").addEventListener("click", () => tools(at("to-tools").getAttribute("aria-expanded") !== "true"));
  // Before the button's own work: a window that it opens gives the focus back to where it was.
  at("tools").addEventListener("click", ({ target }) => target.closest("button") && away(), { capture: true });
  at("tools").addEventListener("change", away);
  at("tools").addEventListener("keydown", ({ key }) => key === "Escape" && away());
}

function listen() {
  listenToTools();
  at("file").addEventListener("change", ({ target }) => {
    if (target.files[0]) openFile(target.files[0]);
    // The same file may be chosen again.
    target.value = "";
  });
  at("boats").addEventListener("change", ({ target }) => openListed(target.value));
  at("save").addEventListener("click", save);
  at("undo").addEventListener("click", editor.back);
  at("redo").addEventListener("click", editor.forth);
  at("forget").addEventListener("click", forget);
  at("solve").addEventListener("click", solve);
  questions.listen((name, text) => {
    open(name, text, null, "opened.new");
    keep();
  });
  bench.listen(boat, () => {
    papers.stale();
    if (visible("papers")) papers.draw(boat);
  });
  changes.listen(boat);
  licences.listen();
  at("skip").addEventListener("click", () => choose("findings"));
  at("language").addEventListener("change", ({ target }) => {
    drafts.choose("language", target.value);
    spell();
    check();
  });
  at("theme").addEventListener("change", ({ target }) => {
    drafts.choose("theme", target.value);
    document.documentElement.dataset.theme = target.value;
  });
  for (const radio of document.querySelectorAll("input[name=paper]")) {
    radio.addEventListener("change", () => papers.draw(boat));
  }
  at("paper-language").addEventListener("change", () => papers.draw(boat));
  for (const what of ["pdf", "png", "try", "handover"]) {
    at(`take-${what}`).addEventListener("click", () => papers.take(what, boat, say));
  }
  addEventListener("keydown", (event) => {
    if ((event.ctrlKey || event.metaKey) && event.key === "s") {
      event.preventDefault();
      save();
    }
  });
  addEventListener("resize", () => {
    if (visible("papers") && report && !at("pages").children.length) papers.draw(boat);
  });
  dropping();
}

function dropping() {
  const show = (shown) => (at("drop").hidden = !shown);
  addEventListener("dragover", (event) => {
    event.preventDefault();
    show(true);
  });
  addEventListener("dragleave", (event) => {
    if (!event.relatedTarget) show(false);
  });
  addEventListener("drop", async (event) => {
    event.preventDefault();
    show(false);
    const item = [...event.dataTransfer.items].find(({ kind }) => kind === "file");
    if (!item) return;
    const file = item.getAsFile();
    // Where the browser lets the file be written to, saving goes there.
    const handle = await item.getAsFileSystemHandle?.().catch(() => null);
    openFile(file, handle?.kind === "file" ? handle : null);
  });
}

async function begin() {
  // First of all: what the first verdict waits for longest goes on while the page is put up.
  const ready = prepare();
  editor.begin(at("editor"), changed);
  spell();
  listen();
  verdict("busy", word("starting"));
  try {
    await ready;
  } catch (why) {
    return verdict("errors", word("spoilt", { why }));
  }
  const name = drafts.latest();
  const text = name && drafts.draft(name);
  const [demo] = Object.keys(boats);
  await (text ? open(name, text, null, "opened.draft") : open(demo, boats[demo]));
  const [version, schema] = await Promise.all([run(args("version")), run(args("schema"))]);
  at("made").textContent = word("made", { version: version.stdout.trim() });
  know(schema.stdout);
}

begin().catch((error) => verdict("errors", String(error)));
