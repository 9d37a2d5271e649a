// Saving where the browser lets a page write to a file (File System Access, https://wicg.github.io/file-system-access/):
// with files of the browser's own for the page's address (https://fs.spec.whatwg.org/), since no window of the system in
// which a person chooses one can be driven from here. From a plain web server, which has such files.

import { createServer } from "node:http";
import { readFileSync } from "node:fs";

const NAME = "moonfish.yaml";
const MORE = "# \u00b1 1 % \u00fcber dem Rand \u2026\n".repeat(3);

export async function saving(browser, file, holds) {
  const whole = readFileSync(file);
  const server = createServer((_, answer) => answer.writeHead(200, { "content-type": "text/html; charset=utf-8" }).end(whole));
  await new Promise((listens) => server.listen(0, "127.0.0.1", listens));
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, locale: "en-GB", acceptDownloads: true });
  await context.addInitScript(() => {
    window.asked = 0;
    window.showSaveFilePicker = async ({ suggestedName }) => {
      window.asked += 1;
      if (window.shuts) throw new DOMException("shut", "AbortError");
      if (window.other) return window.other;
      return (await navigator.storage.getDirectory()).getFileHandle(suggestedName, { create: true });
    };
  });
  const page = await context.newPage();
  const [trouble, downloads] = [[], []];
  page.on("pageerror", (error) => trouble.push(error.message));
  page.on("console", (line) => line.type() === "error" && trouble.push(line.text()));
  page.on("download", (download) => downloads.push(download));
  await page.goto(`http://127.0.0.1:${server.address().port}/`);
  const checked = () => page.waitForFunction(() => document.body.dataset.checked && document.getElementById("verdict").dataset.state !== "busy", null, { timeout: 60_000 });
  await checked();
  holds("from a web server the boat is judged as from a file", (await page.textContent("#verdict")) === "No errors, no warnings", await page.textContent("#verdict"));
  const draft = (name = NAME) => page.evaluate((name) => localStorage.getItem(`lidcard-desk:draft:${name}`), name);
  const add = async (text) => {
    await page.locator(".cm-content").focus();
    await page.keyboard.press("Control+End");
    await page.keyboard.insertText(text);
    await page.waitForFunction(([name, text]) => localStorage.getItem(`lidcard-desk:draft:${name}`)?.endsWith(text), [await page.textContent("#boat-name"), text]);
  };
  const saved = async (work, told) => {
    await page.evaluate(() => (document.getElementById("said").textContent = ""));
    await work();
    await page.waitForFunction((told) => document.getElementById("said").textContent === told, told, { timeout: 10_000 }).catch(() => {});
    return page.textContent("#said");
  };
  const there = () => page.evaluate(async (name) => {
    const root = await navigator.storage.getDirectory();
    return (await (await root.getFileHandle(name)).getFile()).text();
  }, NAME);
  const asked = () => page.evaluate(() => window.asked);
  const SAVED = `${NAME} is saved.`;
  const HANDED = `${NAME} was handed to the browser to keep.`;

  const opened = readFileSync(`boats/${NAME}`, "utf8");
  await add(MORE);
  let said = await saved(() => page.click("#save"), SAVED);
  holds("a file that may be written to is saved", said === SAVED, said);
  holds("as a whole", (await there()) === opened + MORE && (await draft()) === opened + MORE);
  await page.click("#undo");
  await page.waitForFunction(([name, text]) => localStorage.getItem(`lidcard-desk:draft:${name}`) === text, [NAME, opened]);
  said = await saved(() => page.keyboard.press("Control+s"), SAVED);
  holds("a shorter text leaves nothing of the longer one", said === SAVED && (await there()) === opened, said);
  holds("where to is asked once", (await asked()) === 1, await asked());

  const lost = async (how, work) => {
    const before = downloads.length;
    await page.evaluate(work);
    const said = await saved(() => page.click("#save"), HANDED);
    holds(`${how}: it is a download, and that is said`, said === HANDED && downloads.length === before + 1, `${said} ${downloads.length - before}`);
    const file = downloads.at(-1) && readFileSync(await downloads.at(-1).path(), "utf8");
    holds(`${how}: the download is the file whole`, file === (await draft()) && downloads.at(-1).suggestedFilename() === NAME);
  };
  await add("# one\n");
  // A file that is gone cannot be told from one that may not be written to.
  await lost("the file is gone", () => {
    FileSystemFileHandle.prototype.createWritable = async () => { throw new DOMException("gone", "NotFoundError"); };
  });
  const refusing = (when, name) => `window.other = {
    async createWritable() {
      ${when === "at once" ? `throw new DOMException("no", "${name}");` : ""}
      return { async write() {}, async close() { throw new DOMException("no", "${name}"); } };
    },
  }`;
  await lost("not let write", refusing("at once", "NotAllowedError"));
  await lost("stopped while it was written", refusing("at the end", "AbortError"));
  const before = downloads.length;
  await page.evaluate(() => (window.shuts = true));
  await saved(() => page.click("#save"), "nothing");
  holds("who shuts the window gets nothing", (await page.textContent("#said")) === "" && downloads.length === before);

  // Each boat has a draft of its own.
  const kept = await draft();
  await page.selectOption("#boats", "demo:sprat.yaml");
  await checked();
  await add("# two\n");
  await page.reload();
  await checked();
  holds("after a reload the last boat is open as it was", (await page.textContent("#boat-name")) === "sprat.yaml" && (await draft("sprat.yaml")).endsWith("# two\n"));
  holds("and the other's draft is whole", (await draft()) === kept && kept.endsWith("# one\n"));
  await page.click("#forget");
  holds("what is forgotten is gone, and nothing else", (await draft("sprat.yaml")) === null && (await draft()) === kept);
  await page.selectOption("#boats", `kept:${NAME}`);
  await checked();
  await page.click("#forget");
  const left = await page.evaluate(() => Object.keys(localStorage).filter((key) => key.includes("draft") || key.endsWith("last")));
  holds("forgotten, nothing of a boat is left", left.length === 0, left.join(", "));
  await page.reload();
  await checked();
  holds("and the page begins as it does for everyone", (await page.textContent("#boat-name")) === NAME && (await draft()) === null);
  holds("nothing went wrong while saving", trouble.length === 0, trouble.join("\n  "));
  await context.close();
  server.close();
}
