// Card, guide and the index of a hand-over as pages of HTML, in Debian's Chromium: looked over by axe-core with the
// rules of WCAG 2.2 (https://www.w3.org/TR/WCAG22/) up to AA and with contrast as AAA has it (1.4.6, 7:1); nothing
// fetched, and nothing that has to be scrolled sideways at 320 px or at 400 % (1.4.10); links of the index big enough
// for a thumb (2.5.5: 44 px). node tests/web/papers.mjs LIDCARD [FOLDER FOR PICTURES]

import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { ends, holds } from "./cases.mjs";

const packages = createRequire(resolve("desk/package.json"));
const { chromium } = packages("playwright-core");
const axe = readFileSync(packages.resolve("axe-core/axe.min.js"), "utf8");

const lidcard = resolve(process.argv[2]);
const pictures = process.argv[3];
if (pictures) mkdirSync(pictures, { recursive: true });
const BOATS = ["boats/moonfish.yaml", "boats/capstan.yaml", "boats/sprat.yaml", "tests/fixtures/sheet/fully-fitted.yaml"];
const FAILED = "tests/fixtures/mistakes/blow-reaches-gas.yaml";
// Without these Chromium looks for its makers' hosts by itself.
const QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"];

const kept = mkdtempSync(join(tmpdir(), "lidcard-papers-"));
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: [...QUIET, "--disable-component-update", "--disable-sync"],
});

/** The page at a width; 400 % of 1280 px is 320 px of CSS (WCAG 2.2, 1.4.10). */
async function look(file, name, index) {
  for (const [width, scale] of [[1280, 1], [320, 1], [320, 4]]) {
    const context = await browser.newContext({ viewport: { width, height: 800 }, deviceScaleFactor: scale });
    const page = await context.newPage();
    const trouble = [];
    page.on("pageerror", (error) => trouble.push(error.message));
    page.on("console", (line) => line.type() === "error" && trouble.push(line.text()));
    page.on("request", (request) => {
      if (!/^(file|data):/.test(request.url())) trouble.push(`asks for ${request.url()}`);
    });
    await page.goto(pathToFileURL(file).href);
    const where = `${name} at ${width} px, ${scale * 100} %`;
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    holds(`nothing to scroll sideways: ${where}`, wide <= width, `${wide} px`);
    // Through the debugger, past the policy of the page, which lets no script in.
    await page.evaluate(axe);
    const { violations } = await page.evaluate(() =>
      window.axe.run({
        runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
        rules: { "color-contrast-enhanced": { enabled: true } },
      }),
    );
    const told = violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(" | ")}`);
    holds(`axe-core finds nothing: ${where}`, told.length === 0, told.join("\n  "));
    if (index) {
      const low = await page.evaluate(() =>
        [...document.querySelectorAll(".papers a")].map((a) => a.getBoundingClientRect().height).filter((h) => h < 44),
      );
      holds(`a thumb finds every paper: ${where}`, low.length === 0, String(low));
    }
    holds(`nothing goes wrong: ${where}`, trouble.length === 0, trouble.join("; "));
    if (pictures) await page.screenshot({ path: join(pictures, `${name}-${width}-${scale}.png`), fullPage: scale === 1 });
    await context.close();
  }
}

for (const boat of BOATS) {
  const stem = boat.split("/").at(-1).replace(".yaml", "");
  for (const language of ["en", "de"]) {
    const folder = join(kept, `${stem}-${language}`);
    execFileSync(lidcard, ["handover", boat, "--language", language, "--size", "105x148", "-o", folder]);
    await look(join(folder, "index.html"), `index-${stem}-${language}`, true);
    for (const paper of ["card", "guide"]) {
      await look(join(folder, `${stem}-${paper}.html`), `${paper}-${stem}-${language}`, false);
    }
  }
}
for (const paper of ["card", "guide"]) {
  const file = join(kept, `failed-${paper}.html`);
  execFileSync(lidcard, [paper, FAILED, "--draft", "-o", file], { stdio: "ignore" });
  await look(file, `${paper}-failed`, false);
}

await browser.close();
rmSync(kept, { recursive: true });
ends();
