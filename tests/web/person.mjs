// A person's whole way through the page in Debian's Chromium, from a file on this machine: opens a boat, sees what
// is wrong, dials it right on the axes, takes card and hand-over away, comes back to the draft, forgets it. With the
// keyboard, in two languages, light and dark, in three widths, without a request to any network, and looked over
// by axe-core. node tests/web/person.mjs PAGE.html [FOLDER FOR PICTURES]

import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { saving } from "./saving.mjs";
import { sideways, smallerThan } from "./thumbs.mjs";
import { ends, holds } from "./cases.mjs";

const packages = createRequire(resolve("desk/package.json"));
const { chromium } = packages("playwright-core");
const { unzipSync } = packages("fflate");
const axe = readFileSync(packages.resolve("axe-core/axe.min.js"), "utf8");

const page_file = pathToFileURL(resolve(process.argv[2])).href;
const pictures = process.argv[3];
if (pictures) mkdirSync(pictures, { recursive: true });
const BROKEN = "tests/fixtures/mistakes/blow-reaches-gas.yaml";
const ANSWERS = "tests/fixtures/answers/stickleback.yaml";
const MISSING = "tests/fixtures/mistakes/vent-lets-go-somewhere.yaml";
// Without these Chromium looks for its makers' hosts by itself.
const QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"];

const kept = mkdtempSync(join(tmpdir(), "lidcard-desk-"));
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: [...QUIET, "--disable-component-update", "--disable-sync"],
});

/** A browser window of a size, with everything that goes out of it or goes wrong in it noted. */
async function visit(width, height, options = {}) {
  const context = await browser.newContext({ viewport: { width, height }, locale: "en-GB", acceptDownloads: true, ...options });
  // The window of the system in which a file is chosen cannot be driven from here; without it a save is a download.
  await context.addInitScript(() => delete window.showSaveFilePicker);
  const page = await context.newPage();
  const trouble = [];
  page.on("pageerror", (error) => trouble.push(error.message));
  page.on("console", (line) => line.type() === "error" && trouble.push(line.text()));
  page.on("request", (request) => {
    if (!/^(file|blob|data):/.test(request.url())) trouble.push(`asks for ${request.url()}`);
  });
  await page.goto(page_file);
  await checked(page, 0);
  return { context, page, trouble };
}

const count = (page) => page.evaluate(() => Number(document.body.dataset.checked ?? 0));
const checked = (page, before) =>
  page.waitForFunction((n) => Number(document.body.dataset.checked ?? 0) > n, before, { timeout: 60_000 });
async function after(page, work) {
  const before = await count(page);
  await work();
  await checked(page, before);
}
const verdict = (page) => page.textContent("#verdict");
const text = (page) => page.locator(".cm-content").innerText();
/** Where there is little room the tools lie behind a button. */
const tools = async (page) => {
  if ((await page.isVisible("#to-tools")) && !(await page.isVisible("#tools"))) await page.click("#to-tools");
};
const show = async (page, name) => {
  const button = page.locator(`#views button[value=${name}]`);
  if (await button.isVisible()) await button.click();
};

async function looked_over(page, where) {
  // Through the debugger, past the policy of the page, which lets no script in.
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run());
  const told = violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(" | ")}`);
  holds(`axe-core finds nothing: ${where}`, told.length === 0, told.join("\n  "));
}

async function picture(page, name) {
  if (pictures) await page.screenshot({ path: join(pictures, `${name}.png`) });
}

async function taken(page, work) {
  const [download] = await Promise.all([page.waitForEvent("download"), work()]);
  const path = join(kept, download.suggestedFilename());
  await download.saveAs(path);
  return [download.suggestedFilename(), readFileSync(path)];
}

async function whole_way() {
  const { context, page, trouble } = await visit(1400, 900);
  const policy = await page.getAttribute('meta[http-equiv="Content-Security-Policy"]', "content");
  holds("the policy lets nothing in but what is in the page", /default-src 'none'/.test(policy) && !/unsafe-(inline|eval)'/.test(policy.replace("'wasm-unsafe-eval'", "")), policy);
  holds("a demonstration boat is judged at once", (await verdict(page)) === "No errors, no warnings", await verdict(page));
  const first = await page.evaluate(() => performance.now());
  console.log(`first verdict within ${Math.round(first)} ms of opening, of which the check took ${await page.evaluate(() => document.body.dataset.took)}`);

  await after(page, () => page.setInputFiles("#file", BROKEN));
  holds("a boat with an error says so", (await verdict(page)) === "Errors: 1. Warnings: 0", await verdict(page));
  const finding = page.locator(".finding.errors");
  holds("in English nobody is told that it is English", !(await page.isVisible("#found-language")));
  holds("the finding is told", (await finding.innerText()).includes("piloting can reach tank_servo.gas"));
  holds("and its witness", (await finding.innerText()).includes("tank: blow held fully, nothing else touched: +71 %, 1784 us"));
  await picture(page, "findings");
  const underlined = page.locator(".cm-lintRange-error");
  await finding.locator("button.place").click();
  holds("it leads to its place, underlined there", (await underlined.first().innerText()) === "71 %", await underlined.allInnerTexts().then(String));
  await underlined.first().hover();
  await page.waitForSelector(".cm-tooltip-lint");
  holds("hovering explains it", /endpoint for blow: \d+ % to 65 %; best \d+ %/.test(await page.locator(".cm-tooltip-lint").innerText()));
  await finding.locator("summary").click();
  await page.waitForFunction(() => document.querySelector(".explain pre").textContent.length > 200);
  await looked_over(page, "findings");

  await show(page, "papers");
  await page.waitForSelector("#pages img");
  holds("the papers of a boat with errors say that they are drafts", await page.isVisible("#draft-note"));
  await page.click("#take-handover");
  await page.waitForSelector("#paper-trouble:not([hidden])");
  holds("and she is not handed over", (await page.textContent("#paper-trouble")).includes("nothing handed over"));

  await show(page, "axes");
  const way = page.locator('.way[aria-label="blow"]');
  holds("the endpoint is not safe", (await way.getAttribute("data-as")) === "not safe");
  await picture(page, "axes-broken");
  await after(page, () => way.locator("input[type=number]").fill("130"));
  holds("a figure that cannot be is told", (await verdict(page)).startsWith("Cannot be read yet"), await verdict(page));
  holds("and its axes are gone", !(await page.locator(".axis").first().isVisible()));
  await after(page, () => way.locator("input[type=number]").fill("65"));
  holds("in the window it is safe", (await way.getAttribute("data-as")) === "safe" && (await verdict(page)) === "No errors, no warnings", await verdict(page));
  const lane = page.locator(".axis", { hasText: "tank_servo" }).locator(".lane.ends .value");
  holds("the axis is drawn anew", (await lane.innerText()) === "-82 +65 %", await lane.innerText());
  await after(page, () => way.locator("input[type=range]").press("ArrowLeft"));
  holds("the slider turns it with the keyboard", (await way.locator("input[type=number]").inputValue()) === "64");
  const take = way.getByRole("button", { name: /^Take \d+ %$/ });
  const best = /\d+/.exec(await take.innerText())[0];
  await after(page, () => take.click());
  holds("the best is taken", (await way.getAttribute("data-as")) === "best" && best !== "64");
  await after(page, () => page.click("#undo"));
  holds("and undone", (await way.locator("input[type=number]").inputValue()) === "64");
  await after(page, () => page.click("#solve"));
  holds("the program dials it in itself", (await way.locator("input[type=number]").inputValue()) === best);
  await looked_over(page, "axes");

  const differences = () => page.locator("#changes-list li").allInnerTexts();
  await page.click("#to-changes");
  await page.waitForSelector("#changes-list li");
  const since = await differences();
  holds("what was changed since she was opened is told", since.length === 1 && /blow/.test(since[0]) && since[0].includes(`71 % \u2192 ${best} %`), since.join(" | "));
  await looked_over(page, "what changed");
  await picture(page, "changes");
  await page.setInputFiles("#changes-file", { name: "no-boat.yaml", mimeType: "text/yaml", buffer: Buffer.from("no: boat\n") });
  await page.waitForSelector("#changes-trouble:not([hidden])");
  holds("what is no boat is not compared with", (await differences()).length === 0 && (await page.textContent("#changes-trouble")).includes("no-boat.yaml"), await page.textContent("#changes-trouble"));
  await page.setInputFiles("#changes-file", "boats/capstan.yaml");
  await page.waitForSelector("#changes-list li");
  holds("another file may be compared with", (await differences()).length > 20 && (await page.textContent("#changes-against")).includes("capstan.yaml"));
  await page.setInputFiles("#changes-file", { name: "same.yaml", mimeType: "text/yaml", buffer: Buffer.from("# a remark\n" + readFileSync(BROKEN, "utf8").replace("blow: 71 %", `blow: ${best} %`)) });
  await page.waitForSelector("#changes-none:not([hidden])");
  holds("a remark is no change", (await differences()).length === 0 && !(await page.isVisible("#changes-trouble")));
  await page.click("#changes-close");

  const times = [];
  for (const value of [54, 56, 57, 58, 59, best]) {
    await after(page, () => way.locator("input[type=number]").fill(String(value)));
    times.push(Number(await page.evaluate(() => document.body.dataset.took)));
  }
  times.sort((one, other) => one - other);
  console.log(`later verdicts: ${times.join(", ")} ms`);

  await page.click("#to-licences");
  await page.waitForFunction(() => document.getElementById("licences-text").textContent.length > 100_000);
  const licences = await page.textContent("#licences-text");
  const bundled = Object.keys(JSON.parse(readFileSync("desk/package.json", "utf8")).dependencies);
  const lacks = [...bundled, "serde_core", "tera", "printpdf", "Roboto Condensed"].filter((name) => !licences.includes(`\n${name} `) && !licences.includes(`\n${name}, `));
  holds("the page carries the licences of all that is in it", lacks.length === 0, lacks.join(" "));
  holds("with their texts", licences.includes("Copyright (C) 2018-2021 by Marijn Haverbeke") && licences.includes("Apache License"), licences.slice(0, 400));
  await looked_over(page, "licences");
  await picture(page, "licences");
  await page.click("#licences-close");

  await show(page, "papers");
  await page.waitForFunction(() => document.querySelectorAll("#pages:not(.stale) img").length === 2);
  holds("a clean boat's papers are none of a draft", !(await page.isVisible("#draft-note")));
  await page.waitForFunction(() => [...document.querySelectorAll("#pages img")].every((img) => img.complete && img.naturalWidth > 100));
  await picture(page, "card");
  await looked_over(page, "papers");
  const [card, pdf] = await taken(page, () => page.click("#take-pdf"));
  holds("the card is a PDF", card === "blow-reaches-gas-card.pdf" && pdf.subarray(0, 5).toString() === "%PDF-", card);
  const [images, zip] = await taken(page, () => page.click("#take-png"));
  holds("its pictures are two", Object.values(unzipSync(zip)).filter((file) => file[1] === 0x50).length === 2, images);
  const [practice, html] = await taken(page, () => page.click("#take-try"));
  holds("the page for practice is one page", practice === "blow-reaches-gas-practice.html" && html.toString().startsWith("<!DOCTYPE html>"), practice);
  for (const [paper, pages] of [["sheet", 3], ["guide", 3]]) {
    await page.check(`input[value=${paper}]`);
    await page.waitForFunction((n) => document.querySelectorAll("#pages:not(.stale) img").length >= n, pages);
  }
  await page.selectOption("#paper-language", "de");
  const [name, folder] = await taken(page, () => page.click("#take-handover"));
  const files = unzipSync(folder);
  const begins = Object.keys(files).find((file) => file.endsWith("/index.html"));
  holds("the hand-over is whole", name === "blow-reaches-gas-handover.zip" && Object.keys(files).length === 16, Object.keys(files).join(" "));
  holds("and in the language asked for", /<html lang="de/.test(Buffer.from(files[begins]).toString()));

  const [saved, boat] = await taken(page, () => page.keyboard.press("Control+s"));
  holds("the boat is saved as it stands", saved === "blow-reaches-gas.yaml" && boat.toString().includes(`blow: ${best} %`), saved);
  await page.waitForFunction(() => document.getElementById("kept").textContent.startsWith("A draft"));
  await page.reload();
  await checked(page, 0);
  holds("after a reload the draft is there", (await page.textContent("#boat-name")) === "blow-reaches-gas.yaml" && (await text(page)).length > 100);
  await page.click("#forget");
  await page.reload();
  await checked(page, 0);
  holds("once forgotten it is not", (await page.textContent("#boat-name")) === "moonfish.yaml");

  await page.locator(".cm-line", { hasText: "depth_limit" }).click();
  await page.keyboard.press("End");
  await after(page, () => page.keyboard.press("Enter"));
  await page.keyboard.press("Control+Space");
  await page.waitForSelector(".cm-tooltip-autocomplete");
  const offered = await page.locator(".cm-tooltip-autocomplete li").allInnerTexts();
  holds("keys are offered where they may stand", offered.includes("workshop") && !offered.includes("channels"), offered.join(" "));
  await page.keyboard.press("Escape");

  const drop = (name, bytes) =>
    page.evaluate(
      ([name, bytes]) => {
        const dataTransfer = new DataTransfer();
        dataTransfer.items.add(new File([new Uint8Array(bytes)], name));
        window.dispatchEvent(new DragEvent("drop", { dataTransfer, bubbles: true, cancelable: true }));
      },
      [name, [...bytes]],
    );
  await after(page, () => drop("dropped.yaml", readFileSync(BROKEN)));
  holds("a boat may be dropped", (await page.textContent("#boat-name")) === "dropped.yaml" && (await verdict(page)) === "Errors: 1. Warnings: 0");
  await drop("film.bin", [255, 254, 0, 1]);
  await page.waitForFunction(() => document.getElementById("said").textContent.startsWith("film.bin is no text"));
  holds("what is no boat file is not opened", (await page.textContent("#boat-name")) === "dropped.yaml");
  await after(page, () => page.selectOption("#boats", "demo:sprat.yaml"));
  holds("the boats to start from are there", (await page.textContent("#boat-name")) === "sprat.yaml" && (await verdict(page)).startsWith("No errors"));

  await after(page, () => page.setInputFiles("#file", MISSING));
  holds("what is not judged is no pass", (await verdict(page)).startsWith("Not judged: 5"), await verdict(page));
  const figure = page.locator(".finding.not_judged");
  holds("a missing figure is told once", (await figure.count()) === 1 && (await figure.locator(".figure").innerText()).includes("vent"), await figure.allInnerTexts().then(String));
  holds("with how the bench finds it", (await figure.innerText()).includes("creep back until it lets go"));
  await figure.locator("summary").click();
  holds("and all that hangs on it", (await figure.locator(".checks li").count()) === 5);
  await looked_over(page, "not judged");
  await picture(page, "not-judged");

  // By keys alone: into the text, a change there, out again with Tab.
  await page.locator(".cm-content").focus();
  await after(page, () => page.keyboard.type("# by keys\n"));
  await page.keyboard.press("Tab");
  holds("Tab leaves the text", await page.evaluate(() => !document.activeElement.shadowRoot));
  holds("nothing went wrong and nothing went out", trouble.length === 0, trouble.join("\n  "));
  await context.close();
}

/** Sits down at the bench with the boat that is open. */
async function sits_down(page) {
  await tools(page);
  await page.click("#to-bench");
  await page.waitForFunction(() => !document.getElementById("bench-seat").hidden || !document.getElementById("bench-step").hidden);
  await page.fill("#bench-seat [name=by]", "KL");
  await page.fill("#bench-seat [name=conditions]", "cold, 7.9 V, hull open");
  await page.fill("#bench-seat [name=meter]", "pulse meter");
  await page.fill("#bench-seat [name=off]", "2");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#bench-step:not([hidden]) h3");
}

const step_shown = (page) => page.locator("#bench-step h3").innerText();

/** Does something at the bench that leads to another step, or at least to a verdict. */
async function answered(page, work) {
  const seen = () => document.querySelector("#bench-step h3").textContent + document.getElementById("bench-verdict").textContent;
  const before = await page.evaluate(seen);
  await work();
  await page.waitForFunction(
    (b) => document.querySelector("#bench-step h3").textContent + document.getElementById("bench-verdict").textContent !== b,
    before,
  );
}

/** Says of everything that is only looked at that it is so, up to the first pulse. */
async function up_to_a_pulse(page) {
  for (let n = 0; n < 40 && !(await page.locator("#bench-step .readings").count()); n += 1) {
    await answered(page, () => page.click("#bench-so"));
  }
}

/** An hour at the bench: a reading is wrong, is read once more, the page is shut and opened again. */
async function at_the_bench() {
  const { context, page, trouble } = await visit(1280, 900);
  page.on("dialog", (dialog) => dialog.accept());
  const record = () => page.evaluate(() => localStorage.getItem("lidcard-desk:record:moonfish.yaml") ?? "");
  await page.click("#to-bench");
  await page.waitForSelector("#bench-seat:not([hidden])");
  holds("who only looks writes nothing", (await record()) === "");
  await looked_over(page, "sitting down at the bench");
  await picture(page, "bench-seat");
  await page.click("#bench-close");
  await sits_down(page);
  holds("the first step is the gas", (await step_shown(page)).includes("Take the gas bottle out"), await step_shown(page));
  holds("it cannot be left out", (await page.locator("#bench-skip").count()) === 0);
  await page.click("#bench-all summary");
  const open = await page.locator("#bench-steps button:not([disabled])").count();
  holds("nothing behind it can be answered", open === 1, String(open));
  await page.click("#bench-all summary");
  await answered(page, () => page.click("#bench-not-so"));
  await page.waitForSelector(".stop");
  holds("where it is not so nobody goes on", (await page.locator(".stop").innerText()).includes("Put that right"));
  await looked_over(page, "stopped at the bench");
  await picture(page, "bench-stop");
  await page.click("#bench-to-bad");
  await up_to_a_pulse(page);
  const at_pulse = await step_shown(page);
  holds("then a pulse is read", (await page.locator("#bench-step .figure").first().innerText()).startsWith("Pulse of 1/rest"), at_pulse);
  await looked_over(page, "a pulse at the bench");
  const before = await record();
  await page.fill("#bench-step [name=read]", "1540");
  await answered(page, () => page.keyboard.press("Enter"));
  holds("what is not as the file says is told", (await page.locator("#bench-verdict").innerText()).includes("NOT as the file says"));
  holds("and not kept yet", (await record()) === before);
  await looked_over(page, "a reading that does not agree");
  await picture(page, "bench-held");
  await answered(page, () => page.click("#bench-was-so"));
  holds("it is kept when it was so", (await record()).includes('read: ["1540 us"]'));
  holds("and the next is asked for", (await step_shown(page)) !== at_pulse || (await page.locator("#bench-verdict").innerText()).includes("1540"));
  await page.click("#bench-back");
  // By keys alone, and with a comma.
  await page.locator("#bench-step [name=read]").focus();
  await page.keyboard.type("1488,4");
  await answered(page, () => page.keyboard.press("Enter"));
  holds("read once more it is as it should be", (await page.locator("#bench-verdict").innerText()).includes("as the file says; "), await page.locator("#bench-verdict").innerText());
  holds("and told with the program's own words", (await page.locator("#bench-verdict").innerText()).includes("safe: yes"));
  await page.fill("#bench-step [name=remark]", "cable swapped");
  await answered(page, () => page.click("#bench-note"));
  holds("a remark is kept", (await record()).includes('remark: "cable swapped"'));
  await answered(page, () => page.click("#bench-skip"));
  const where = await step_shown(page);
  const done = await page.textContent("#bench-done");
  await page.reload();
  await checked(page, 0);
  await page.click("#to-bench");
  await page.waitForSelector("#bench-step:not([hidden]) h3");
  holds("after a reload everything that was read is there", (await page.textContent("#bench-done")) === done, done);
  holds("what was left for later comes first", (await step_shown(page)) !== where || where.length > 0);
  const [name, file] = await taken(page, () => page.click("#bench-take"));
  holds("the record is a file", name === "moonfish.bench.yaml" && file.toString() === (await record()), name);
  holds("with one line of who sat there", file.toString().split("run: ").length === 2);
  // Something is another one by now, which the file cannot show.
  await page.click("#bench-another summary");
  const things = await page.locator("#bench-thing option").allInnerTexts();
  holds("what a step rests on can be chosen", things.includes("tank_servo") && things.includes("transmitter"), things.join(" "));
  await page.selectOption("#bench-thing", "transmitter");
  await looked_over(page, "something is another one");
  const held_before = await page.textContent("#bench-done");
  await page.click("#bench-changed");
  await page.waitForFunction((d) => document.getElementById("bench-done").textContent !== d, held_before);
  holds("what rests on it is to be done again", /changed: /.test(await record()) && (await record()).includes("transmitter") && (await page.locator("#bench-verdict").innerText()).includes("What rests on transmitter"), await record());
  holds("and whoever sat there still does", await page.isVisible("#bench-step"));
  await picture(page, "bench-another");
  await page.click("#bench-close");
  // A change of the file: nobody sits there with the new one.
  await page.locator(".cm-content").focus();
  await page.keyboard.press("Control+End");
  await after(page, () => page.keyboard.insertText("\naccuracy_of_nothing: 1\n"));
  await page.click("#to-bench");
  await page.waitForSelector("#bench-trouble:not([hidden])");
  holds("a boat that cannot be read does not go to the bench", !(await page.isVisible("#bench-step")) && !(await page.isVisible("#bench-seat")));
  await picture(page, "bench-trouble");
  await page.click("#bench-close");
  await after(page, () => page.click("#undo"));
  await page.click("#to-bench");
  await page.waitForSelector("#bench-step:not([hidden]) h3");
  await page.click("#bench-forget");
  await page.waitForSelector("#bench-seat:not([hidden])");
  holds("readings are forgotten when asked for", (await record()) === "");
  await page.setInputFiles("#bench-file", { name: "r.yaml", mimeType: "text/yaml", buffer: Buffer.from("no: record\n") });
  await page.waitForSelector("#bench-trouble:not([hidden])");
  holds("what is no record is told and not kept", (await page.textContent("#bench-trouble")).includes("is no bench record") && (await record()) === "");
  await page.setInputFiles("#bench-file", { name: name, mimeType: "text/yaml", buffer: file });
  await page.waitForFunction((d) => document.getElementById("bench-done").textContent === d, done);
  holds("a record from a file goes on", (await record()) === file.toString());
  holds("nothing went wrong at the bench", trouble.length === 0, trouble.join("\n  "));
  await context.close();
}

/** In German: the questions, and the steps of the bench. */
async function in_german() {
  const { context, page, trouble } = await visit(1280, 900, { locale: "de-DE" });
  await page.click("#new");
  await page.waitForFunction(() => document.getElementById("ask-question").textContent.length > 0);
  holds("questions are asked in German", (await page.textContent("#ask-question")) === "Was leert den Tank?");
  const before = await page.textContent("#ask-question");
  await page.check('#ask-answer input[value="pump"]');
  holds("that findings are told in English is said", (await page.locator("#found-language").innerText()).includes("auf Englisch"));
  holds("and of axes as well", (await page.textContent("#axes-language")).includes("auf Englisch") && (await page.locator(".way .safe span[lang=en]").count()) > 4);
  holds("choices are German, answers the words of the file", (await page.locator(".choice b").first().innerText()) === "Pumpe");
  await page.click("#ask-form button[type=submit]");
  await page.waitForFunction((b) => document.getElementById("ask-question").textContent !== b, before);
  const kept = await page.evaluate(() => localStorage.getItem("lidcard-desk:answers"));
  holds("and kept as such", JSON.parse(kept)["boat.empties"] === "pump", kept);
  await looked_over(page, "a German question");
  await picture(page, "question-de");
  await page.click("#ask-close");
  await sits_down(page);
  holds("steps of the bench are told in German", (await step_shown(page)).includes("Gasflasche ausbauen"), await step_shown(page));
  await up_to_a_pulse(page);
  await page.fill("#bench-step [name=read]", "1488");
  await answered(page, () => page.keyboard.press("Enter"));
  holds("and judged", (await page.locator("#bench-verdict .sum").innerText()).includes("wie in der Datei; sicher"));
  const record = await page.evaluate(() => localStorage.getItem("lidcard-desk:record:moonfish.yaml"));
  holds("the record is the same in every language", record.includes('of: "Take the gas bottle out and let the line run empty."'));
  await picture(page, "bench-de");
  holds("nothing went wrong in German", trouble.length === 0, trouble.join("\n  "));
  await context.close();
}

/** A first boat by answering: one who does not know says so, goes back, comes back another time. */
async function answering() {
  const { context, page, trouble } = await visit(1280, 900);
  const lines = readFileSync(ANSWERS, "utf8").split("\n").map((line) => /^([\w.]+): (.*)$/.exec(line)).filter(Boolean);
  const known = new Map(lines.map(([, id, said]) => [id, said.replace(/^"(.*)"$/, "$1")]));
  const question = () => page.textContent("#ask-question");
  const give = async (said) => {
    const before = await question();
    const kind = await page.locator("#ask-answer input").first().getAttribute("type");
    if (said === "not measured") await page.click("#ask-unknown");
    else if (kind === "text") {
      await page.fill("#ask-line", said);
      await page.keyboard.press("Enter");
    } else {
      for (const one of kind === "radio" ? [said] : said.split(",")) await page.check(`#ask-answer input[value="${one.trim()}"]`);
      await page.click("#ask-form button[type=submit]");
    }
    await page.waitForFunction(
      (b) => !document.getElementById("ask").open || document.getElementById("ask-question").textContent !== b || !document.getElementById("ask-wrong").hidden,
      before,
    );
  };
  const asked = () => page.evaluate(() => document.getElementById("ask").dataset.id);
  await page.click("#new");
  await page.waitForFunction(() => document.getElementById("ask-question").textContent.length > 0);
  holds("the first question is what empties the tank", (await question()) === "What empties the tank?", await question());
  await page.click("#ask-form button[type=submit]");
  holds("no answer is none", await page.isVisible("#ask-wrong"));
  await looked_over(page, "a question with choices");
  await give(known.get(await asked()));
  await give(known.get(await asked()));
  await page.click("#ask-back");
  holds("back shows what was answered", (await page.inputValue("#ask-line")) === known.get("boat.name"));
  await give(known.get("boat.name"));
  await page.reload();
  await checked(page, 0);
  await page.click("#new");
  await page.waitForFunction(() => document.getElementById("ask-question").textContent.length > 0);
  holds("another time it goes on where it was left", !["boat.empties", "boat.name"].includes(await asked()), await asked());
  let drawn = false;
  for (let n = 0; n < 400 && (await page.evaluate(() => document.getElementById("ask").open)); n += 1) {
    const id = await asked();
    if (id.endsWith(".accuracy") && n < 60) {
      const before = await question();
      await page.fill("#ask-line", "a bit");
      await page.keyboard.press("Enter");
      await page.waitForSelector("#ask-wrong:not([hidden])");
      holds("what is no figure is told, and the question stays", (await question()) === before);
    }
    if (!drawn && id.endsWith(".at")) {
      drawn = true;
      await page.locator("#ask-answer .tools button", { hasText: "rear left" }).click();
      holds("a place of the set is pointed at", (await page.inputValue("#ask-line")) === "rear left");
      await looked_over(page, "the set to point at");
      await picture(page, "question-at");
    }
    const before = await count(page);
    await give(known.get(id) ?? "not measured");
    if (!(await page.evaluate(() => document.getElementById("ask").open))) await checked(page, before);
  }
  holds("a place was asked for", drawn);
  const name = `${known.get("boat.name").toLowerCase()}.yaml`;
  holds("the file is written and open", (await page.textContent("#boat-name")) === name, await page.textContent("#boat-name"));
  holds("and judged", !(await verdict(page)).startsWith("Cannot be read"), await verdict(page));
  await show(page, "papers");
  await page.check("input[value=sheet]");
  await page.waitForSelector("#pages img");
  holds("nothing went wrong while answering", trouble.length === 0, trouble.join("\n  "));
  await context.close();
}

/** A page that was damaged on its way says so, and not that the boat is good. */
async function damaged() {
  const whole = readFileSync(process.argv[2], "utf8");
  const at = whole.indexOf('id="program">') + 5000;
  const file = join(kept, "damaged.html");
  writeFileSync(file, whole.slice(0, at) + "x".repeat(60) + whole.slice(at + 60));
  const page = await browser.newPage();
  await page.goto(pathToFileURL(file).href);
  await page.waitForFunction(() => document.getElementById("verdict").dataset.state === "errors", null, { timeout: 60_000 });
  holds("a damaged page says that it is", (await verdict(page)).includes("the page is damaged"), await verdict(page));
  await page.close();
}

/** The program fails in the middle: that is told of the boat, nothing is left of what was said before, and the next run
 * has a worker of its own. */
async function crashing() {
  const { context, page } = await visit(1280, 900);
  const [first] = page.workers();
  await first.evaluate(() => {
    WebAssembly.instantiate = async () => { throw new RangeError("out of stack"); };
  });
  const type = async (words) => {
    await page.locator(".cm-content").focus();
    await page.keyboard.press("Control+End");
    await after(page, () => page.keyboard.insertText(words));
  };
  await type("# one\n");
  holds("a crash is told, and the boat is not called good", (await page.getAttribute("#verdict", "data-state")) === "errors" && (await verdict(page)).includes("out of stack"), await verdict(page));
  holds("nothing is left of what was said before", (await page.locator("#found").innerText()) === "");
  await type("# two\n");
  const [second, ...more] = page.workers();
  holds("the next run has a fresh worker", second !== first && more.length === 0 && (await verdict(page)) === "No errors, no warnings", await verdict(page));
  await context.close();
}

/** A question, and the bench from sitting down to a reading that does not agree. */
async function new_screens(page, name, width) {
  const fits = async (what) => {
    const wide = await page.evaluate(() => Math.max(...[...document.querySelectorAll("dialog[open]")].map((one) => one.scrollWidth - one.clientWidth)));
    holds(`nothing sticks out at ${name}: ${what}`, wide <= 0, `${wide} px`);
    await looked_over(page, `${what} at ${name}`);
    await picture(page, `${name}-${what}`);
  };
  await tools(page);
  await page.click("#new");
  await page.waitForFunction(() => document.getElementById("ask-question").textContent.length > 0);
  await fits("question");
  await page.click("#ask-close");
  await tools(page);
  await after(page, () => page.selectOption("#boats", "demo:moonfish.yaml"));
  await tools(page);
  await page.click("#to-bench");
  await page.waitForSelector("#bench-seat:not([hidden])");
  await fits("bench-seat");
  await page.click("#bench-close");
  await sits_down(page);
  await fits("bench-step");
  await up_to_a_pulse(page);
  await page.fill("#bench-step [name=read]", "1540");
  await answered(page, () => page.keyboard.press("Enter"));
  await fits("bench-held");
  await page.click("#bench-close");
  holds(`the page is whole behind it at ${width}`, await page.isVisible("header"));
}

/** With a thumb, on a telephone. */
async function on_a_telephone() {
  for (const [locale, colorScheme] of [["en-GB", "light"], ["de-DE", "dark"]]) {
    const { context, page, trouble } = await visit(360, 740, { hasTouch: true, isMobile: true, deviceScaleFactor: 2, locale, colorScheme });
    const fits = async (what) => {
      const [small, wide] = [await smallerThan(page, 24), await sideways(page)];
      holds(`${what} is large enough for a thumb, ${locale}`, small.length === 0, small.join("; "));
      holds(`${what} need not be scrolled sideways, ${locale}`, wide <= 0, `${wide} px`);
      await picture(page, `telephone-${locale}-${what}`);
    };
    const head = await page.evaluate(() => document.querySelector("header").getBoundingClientRect().height / innerHeight);
    holds(`what is found has most of the screen, ${locale}`, head < 0.3, String(head));
    await page.tap("#to-tools");
    await fits("tools");
    await page.locator("#to-tools").press("Escape");
    await page.tap("#new");
    await page.waitForFunction(() => document.getElementById("ask-question").textContent.length > 0);
    holds(`a tool puts the tools away, ${locale}`, !(await page.isVisible("#tools")));
    await fits("question");
    await page.tap("#ask-close");
    await tools(page);
    await page.tap("#to-changes");
    await fits("changes");
    await page.tap("#changes-close");
    for (const view of ["text", "findings", "axes", "papers"]) {
      await page.tap(`#views button[value=${view}]`);
      if (view === "papers") await page.waitForSelector("#pages img");
      await fits(view);
    }
    await sits_down(page);
    await fits("bench");
    await page.tap("#bench-close");
    holds(`nothing went wrong on a telephone, ${locale}`, trouble.length === 0, trouble.join("\n  "));
    await context.close();
  }
}

async function looks() {
  for (const [width, height] of [[320, 640], [1280, 800], [3840, 2160]]) {
    for (const colorScheme of ["light", "dark"]) {
      const { context, page, trouble } = await visit(width, height, { colorScheme, locale: colorScheme === "dark" ? "de-DE" : "en-GB" });
      await after(page, () => page.setInputFiles("#file", BROKEN));
      for (const view of width > 3000 ? ["findings"] : ["text", "findings", "axes", "papers"]) {
        const button = page.locator(`#views button[value=${view}]`);
        if (view !== "findings" && !(await button.isVisible())) continue;
        await show(page, view);
        if (view === "papers") await page.waitForSelector("#pages img");
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        holds(`nothing sticks out at ${width}: ${view}, ${colorScheme}`, wide <= 0, `${wide} px`);
        await looked_over(page, `${view} at ${width}, ${colorScheme}`);
        await picture(page, `${width}-${colorScheme}-${view}`);
      }
      if (width > 3000) await page.waitForSelector("#pages img");
      await new_screens(page, `${width}-${colorScheme}`, width);
      if (width > 3000) await picture(page, `${width}-${colorScheme}-all`);
      holds(`nothing went wrong at ${width}, ${colorScheme}`, trouble.length === 0, trouble.join("\n  "));
      await context.close();
    }
  }
}

try {
  await whole_way();
  await answering();
  await at_the_bench();
  await in_german();
  await damaged();
  await crashing();
  await saving(browser, process.argv[2], holds);
  await on_a_telephone();
  await looks();
} catch (error) {
  holds("the way goes on", false, error.stack);
} finally {
  await browser.close();
  rmSync(kept, { recursive: true });
}
ends();
