// An owner at the page for practice, in Debian's Chromium and from a file: moves by keys, fingers and mouse, several
// at once, has causes played, goes through a drill; without scripts reads the table; in two languages, light and
// dark, from a telephone to the largest screen, without a request to any network, looked over by axe-core.
// node tests/web/practice-person.mjs LIDCARD [FOLDER FOR PICTURES]

import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { sideways, smallerThan } from "./thumbs.mjs";
import { ends, holds } from "./cases.mjs";

const packages = createRequire(resolve("desk/package.json"));
const { chromium } = packages("playwright-core");
const axe = readFileSync(packages.resolve("axe-core/axe.min.js"), "utf8");
const [lidcard, pictures] = process.argv.slice(2);
if (pictures) mkdirSync(pictures, { recursive: true });
const QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"];

const folder = mkdtempSync(join(tmpdir(), "lidcard-practice-"));
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: [...QUIET, "--disable-component-update"] });

function page_of(file, language) {
  const out = join(folder, `${file.replace(/\W/g, "-")}-${language}.html`);
  const made = spawnSync(lidcard, ["try", "--draft", file, "-o", out, "--language", language], { encoding: "utf8", env: {} });
  holds(`a page of ${file}`, made.status === 0, made.stderr);
  return out;
}

async function visit(file, options) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const trouble = [];
  page.on("pageerror", (error) => trouble.push(error.message));
  page.on("console", (line) => line.type() === "error" && trouble.push(line.text()));
  page.on("request", (request) => {
    if (!/^(file|data):/.test(request.url())) trouble.push(`asks for ${request.url()}`);
  });
  await page.goto(pathToFileURL(file).href);
  return { context, page, trouble };
}

/** What the list says of each thing. */
const does = (page) =>
  page.evaluate(() => Object.fromEntries([...document.querySelectorAll("#does tbody tr")].map((row) => [row.cells[0].textContent, row.cells[1].textContent])));
const soon = (page) => page.waitForTimeout(150);

async function whole_way() {
  const file = page_of("boats/moonfish.yaml", "en");
  const { context, page, trouble } = await visit(file, { viewport: { width: 1280, height: 900 } });
  const rest = await does(page);
  holds("nothing happens at rest", rest["opens vent"] === "no" && rest["switches on pump"] === "no" && rest["motor esc"] === "stands", JSON.stringify(rest));
  // Several keys at once, and each springs back or stays as the control does.
  for (const key of ["KeyW", "ArrowRight", "ArrowDown", "Digit1"]) await page.keyboard.down(key);
  await soon(page);
  const held = await does(page);
  holds("several keys at once", held["opens vent"] === "surely" && held["rudder servo"] === "turns right" && held["bow servo"] === "bow rises" && held["motor esc"] === "runs: drives ahead", JSON.stringify(held));
  for (const key of ["KeyW", "ArrowRight", "ArrowDown", "Digit1"]) await page.keyboard.up(key);
  await soon(page);
  const let_go = await does(page);
  holds("what springs back does, what stays stays", let_go["opens vent"] === "no" && let_go["motor esc"] === "runs: drives ahead", JSON.stringify(let_go));
  // The gas is out of reach, whatever is held.
  for (const key of ["Digit1", "Digit2", "Digit3", "Digit4"]) {
    await page.keyboard.down(key);
    await soon(page);
    holds(`no gas by ${key}`, (await does(page))["opens gas"] === "no");
    await page.keyboard.up(key);
  }
  // By Tab and Space alone.
  await page.getByRole("button", { name: /^blow/ }).focus();
  await page.keyboard.down("Space");
  await soon(page);
  holds("a button held by Space", (await does(page))["switches on pump"] === "surely");
  await page.waitForTimeout(600);
  holds("the tank empties while it is held", /to full|%/.test(await page.textContent("#tank [role=status]")), await page.textContent("#tank [role=status]"));
  await page.keyboard.up("Space");
  await soon(page);
  holds("and lets go", (await does(page))["switches on pump"] === "no");
  await page.getByRole("button", { name: "Let everything go" }).click();
  // Mouse in the field of a stick.
  await page.locator(".pad").nth(1).scrollIntoViewIfNeeded();
  const box = await page.locator(".pad").nth(1).boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + 4, box.y + box.height / 2);
  await soon(page);
  holds("the field of a stick", (await does(page))["rudder servo"] === "turns left", JSON.stringify(await does(page)));
  await page.mouse.up();
  // A cause is played, and says which.
  await page.getByRole("radio", { name: "“flood” held" }).check();
  await page.getByRole("button", { name: "Signal lost", exact: true }).click();
  holds("says what is played", (await page.textContent("#playing")).startsWith("Played: Signal lost, under water, tank full, “flood” held "), await page.textContent("#playing"));
  await page.waitForFunction(() => /stage blow/.test(document.getElementById("playing").textContent), null, { timeout: 15_000 });
  await soon(page);
  const played = await does(page);
  holds("the unit blows", played["opens gas"] === "surely" && played["switches on pump"] === "surely" && played["motor esc"] === "stands", JSON.stringify(played));
  holds("with its times", (await page.textContent("#moments")).includes("stage blow") && /worst/.test(await page.textContent("#moments .outcome")));
  if (pictures) await page.screenshot({ path: join(pictures, "played.png"), fullPage: true });
  await page.getByRole("button", { name: "Stop playing" }).click();
  holds("and stops", (await page.textContent("#playing")) === "" && (await does(page))["opens gas"] === "no");
  // A drill ends with what the card says.
  await page.getByRole("button", { name: "She does not answer" }).click();
  holds("the drill does not tell", !(await page.textContent("#drills")).includes("hold"));
  await page.getByRole("button", { name: "What the card says" }).click();
  const steps = await page.locator(".steps li").allInnerTexts();
  holds("the card's steps", steps.length >= 2 && /REAR\sLEFT/.test(steps[0]) && steps.some((step) => /OFF/.test(step)), steps.join(" | "));
  await page.getByRole("button", { name: "Done" }).click();
  await page.getByRole("button", { name: "Everything has gone dead" }).click();
  await page.getByRole("button", { name: "What the card says" }).click();
  holds("no step where nothing acts", (await page.textContent("#drills")).includes("Fetch her"));
  await page.getByRole("button", { name: "Done" }).click();
  holds("practice, not a trial", (await page.textContent(".banner")) === "PRACTICE, NOT A TRIAL");
  holds("nothing went wrong and nothing went out", trouble.length === 0, trouble.join("\n  "));
  await context.close();
}

async function fingers() {
  const file = page_of("boats/moonfish.yaml", "en");
  const { context, page, trouble } = await visit(file, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  const devtools = await context.newCDPSession(page);
  await page.locator("legend", { hasText: "tank" }).scrollIntoViewIfNeeded();
  const places = [];
  for (const name of [/^flood/, /^up/]) {
    const box = await page.getByRole("button", { name }).boundingBox();
    places.push({ x: box.x + box.width / 2, y: box.y + box.height / 2, id: places.length });
  }
  await devtools.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [places[0]] });
  await devtools.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: places });
  await soon(page);
  const pressed = await page.locator(".hold[aria-pressed=true]").count();
  holds("two fingers press two buttons", pressed === 2 && (await does(page))["opens vent"] === "surely", `${pressed}`);
  await devtools.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await soon(page);
  holds("and let both go", (await page.locator(".hold[aria-pressed=true]").count()) === 0);
  // A thumb on either stick, each going its own way.
  await page.locator(".pad").first().scrollIntoViewIfNeeded();
  const pads = await Promise.all([0, 1].map((n) => page.locator(".pad").nth(n).boundingBox()));
  const at = (along, up) => pads.map(({ x, y, width, height }, id) => ({ x: x + width * along[id], y: y + height * up[id], id }));
  holds("both sticks are on the screen at once", pads.every(({ y, height }) => y >= 0 && y + height <= 740), JSON.stringify(pads));
  await devtools.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: at([0.5, 0.5], [0.5, 0.5]) });
  await devtools.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: at([0.5, 0.97], [0.03, 0.5]) });
  await soon(page);
  const both = await does(page);
  holds("two thumbs move two sticks", both["rudder servo"] === "turns right" && both["motor esc"] === "runs: drives ahead", JSON.stringify(both));
  // A point that is missing was let go.
  await devtools.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: at([0.5, 0.97], [0.03, 0.5]).slice(1) });
  await soon(page);
  holds("one let go leaves the other where it is held", (await does(page))["rudder servo"] === "turns right", JSON.stringify(await does(page)));
  await devtools.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await soon(page);
  holds("let go, it springs back", (await does(page))["rudder servo"] !== "turns right", JSON.stringify(await does(page)));
  const [small, wide] = [await smallerThan(page, 24), await sideways(page)];
  holds("nothing is too small for a thumb", small.length === 0, small.join("; "));
  holds("nothing has to be scrolled sideways", wide <= 0, `${wide} px`);
  if (pictures) await page.screenshot({ path: join(pictures, "telephone.png"), fullPage: true });
  holds("nothing went wrong with fingers", trouble.length === 0, trouble.join("\n  "));
  await context.close();
}

async function without_scripts() {
  const { context, page } = await visit(page_of("boats/moonfish.yaml", "en"), { javaScriptEnabled: false });
  holds("the table is there without scripts", (await page.locator(".table tbody tr").count()) > 10 && (await page.locator("#no-scripts").isVisible()));
  holds("and nothing that does not work", !(await page.locator("#playground").isVisible()));
  await context.close();
}

async function looks() {
  const boats = ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml", "tests/fixtures/mistakes/blow-reaches-gas.yaml"];
  for (const [n, boat] of boats.entries()) {
    for (const [width, height] of n === 0 ? [[320, 640], [1024, 768], [2560, 1440], [3840, 2160]] : [[320, 640], [1024, 768]]) {
      for (const colorScheme of ["light", "dark"]) {
        const language = colorScheme === "dark" ? "de" : "en";
        const { context, page, trouble } = await visit(page_of(boat, language), { viewport: { width, height }, colorScheme });
        const where = `${boat} at ${width}, ${colorScheme}`;
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        holds(`nothing sticks out: ${where}`, wide <= 0, `${wide} px`);
        // Through the debugger, past the policy of the page, which lets no script in.
        await page.evaluate(axe);
        const { violations } = await page.evaluate(() => window.axe.run());
        const told = violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(" | ")}`);
        holds(`axe-core finds nothing: ${where}`, told.length === 0, told.join("\n  "));
        if (n === 3) holds("a boat that failed says so", await page.locator(".mark").first().isVisible());
        if (pictures) await page.screenshot({ path: join(pictures, `${n}-${width}-${colorScheme}.png`), fullPage: true });
        holds(`nothing went wrong: ${where}`, trouble.length === 0, trouble.join("\n  "));
        await context.close();
      }
    }
  }
}

try {
  await whole_way();
  await fingers();
  await without_scripts();
  await looks();
} catch (error) {
  holds("the way goes on", false, error.stack);
} finally {
  await browser.close();
  rmSync(folder, { recursive: true });
}
ends();
