// Nothing in the page, in its sources and in the page for practice is newer than the oldest browsers that they are
// made for: names of the browser, of the language, of style sheets and tags against MDN's browser-compat-data.
// node tests/web/floor.mjs PAGE.html LIDCARD

import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { FLOOR, edition, inScript, inStyle, inTags } from "./known.mjs";
import { ends, holds } from "./cases.mjs";

const [page, lidcard] = process.argv.slice(2);

// Newer than the floor, asked for before it is used, and what becomes of it where it is not there.
const WITHOUT = {
  ".showSaveFilePicker": "a save is a download",
  ".getAsFileSystemHandle": "a file that was dropped is saved as a download",
  ".getComposedRanges": "the editor asks the selection of its own root; only Safari has to be asked otherwise",
  "Intl.Segmenter": "the editor tells words apart by their letters",
  "Error.captureStackTrace": "an error has the trace that it has anyway",
};
// Names of things of ours, or of a library's own, that newer browsers have as well.
const NAMESAKES = [
  ...[".device", ".percent", ".where", ".lines", ".properties", ".number", ".last", ".opened", ".boost"],
  ...[".annotation", ".dispatch", ".seconds", ".share", ".level", ".silent", ".fetch"],
];
// In the floor for the drawings that it is used for; newer for other text.
const FOR_DRAWINGS = ["paint-order"];
// Reached only where the editor found the whole of it there: EditContext, and whether the browser has something to do.
const BEHIND = [
  ...[".updateRangeStart", ".updateRangeEnd", ".rangeStart", ".rangeEnd", ".updateCharacterBounds", ".getTextFormats"],
  ...[".underlineStyle", ".underlineThickness", ".updateSelectionBounds", ".updateText", "navigator.scheduling", ".isInputPending"],
];

// ---- the check itself ----

const said = (found) => found.map((one) => one.what ?? one);
for (const [text, what] of [
  ["export const last = (all) => all.toSorted();", ".toSorted"],
  ["Promise.withResolvers();", "Promise.withResolvers"],
  ["new Map().values().map((one) => one);", "map of an iterator"],
  ["new CloseWatcher();", "CloseWatcher"],
  ["make('details', { name: 'one' });", "details with name"],
  ["const theme = { color: 'light-dark(red, blue)' };", "color: light-dark"],
  ["addEventListener('scrollend', go);", "event scrollend"],
]) {
  holds(`${what} is too new`, said(inScript(text, "module")).join() === what, said(inScript(text, "module")));
}
holds("a pattern of sets is too new", said(inScript("/[a--b]/v")).join().startsWith("syntax"));
holds("so is what a worker does", said(inScript(`const w = ${JSON.stringify(`[].toReversed();${"go();".repeat(500)}`)};`)).join() === ".toReversed");
for (const [text, what] of [
  ["p:has(b) { color: red }", ":has"],
  ["a { & b { color: red } }", "a rule in a rule,&"],
  ["a { color: light-dark(red, blue) }", "color: light-dark"],
  ["a { inset: anchor(top) }", "inset: anchor"],
  ["@media (prefers-reduced-transparency) { a { color: red } }", "@media prefers-reduced-transparency"],
  ["a { height: 1cap }", "unit cap"],
]) {
  holds(`${what} is too new`, inStyle(text).join() === what, inStyle(text).join());
}
holds("an attribute is too new", inTags('<div popover="auto"></div>').join() === "<div popover>", inTags('<div popover="auto"></div>').join());
holds("what is asked for first is told apart", inScript("window.showSaveFilePicker?.({});").every(({ asked }) => asked));
holds("what is old is not too new", [
  inScript("const a = [1].at(-1) ?? structuredClone(b)?.c; class D { #e = 1; static { f(); } }"),
  inStyle("a:is(b, c):focus-visible { inset: 0; aspect-ratio: 1; color: rgb(0 0 0 / 50%) } @media (min-width: 1rem) { a { gap: 1vh } }"),
  inTags('<dialog open><input type="range" inputmode="decimal"></dialog>'),
].every((found) => found.length === 0));
holds("the edition of the language is one that the floor has whole", edition().length === 0, edition().join(", "));

// ---- what is handed to people ----

const met = new Set();
function script(where, text, sourceType) {
  const found = inScript(text, sourceType);
  found.forEach(({ what }) => met.add(what));
  const told = [...NAMESAKES, ...BEHIND];
  const late = found.filter(({ what, asked }) => !told.includes(what) && !(asked && what in WITHOUT));
  holds(`nothing in ${where} is too new`, late.length === 0, late.map(({ what, asked }) => `${what}${asked ? " (asked for first)" : ""}`).join(", "));
}
function whole(where, text) {
  const inside = (tag) => [...text.matchAll(new RegExp(`<${tag}>(.*?)</${tag}>`, "gs"))].map(([, part]) => part);
  const scripts = inside("script").concat([...text.matchAll(/<script nonce[^>]*>(.*?)<\/script>/gs)].map(([, part]) => part));
  holds(`${where} has a script and a style`, scripts.length > 0 && inside("style").length > 0);
  scripts.forEach((part) => script(`a script of ${where}`, part));
  for (const [what, found] of [["style", inside("style").flatMap(inStyle)], ["tags", inTags(text)]]) {
    found.forEach((one) => met.add(one));
    const late = found.filter((one) => !FOR_DRAWINGS.includes(one));
    holds(`nothing in the ${what} of ${where} is too new`, late.length === 0, late.join(", "));
  }
}

for (const name of readdirSync("desk/src").filter((name) => name.endsWith(".js"))) {
  script(`desk/src/${name}`, readFileSync(join("desk/src", name), "utf8"), "module");
}
whole("the page", readFileSync(page, "utf8"));
const folder = mkdtempSync(join(tmpdir(), "lidcard-floor-"));
const practice = join(folder, "practice.html");
const made = spawnSync(lidcard, ["try", "boats/moonfish.yaml", "-o", practice], { encoding: "utf8", env: {} });
holds("there is a page for practice", made.status === 0, made.stderr);
whole("the page for practice", readFileSync(practice, "utf8"));
rmSync(folder, { recursive: true });
for (const what of [...Object.keys(WITHOUT), ...NAMESAKES, ...BEHIND, ...FOR_DRAWINGS]) holds(`${what} is still there to be told of`, met.has(what));
console.log(`against ${Object.entries(FLOOR).map((one) => one.join(" ")).join(" and ")}`);
ends();
