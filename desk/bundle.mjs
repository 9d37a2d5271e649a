// Packs program, boats, words and looks into one page: node bundle.mjs PROGRAM.wasm PAGE.html SOURCES, the
// last the fingerprint of what the program was built from.

import { createHash } from "node:crypto";
import { execFileSync } from "node:child_process";
import { gzipSync } from "node:zlib";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { sources } from "./sources.mjs";

const [wasm, out, before] = process.argv.slice(2);
// The program as it lies in the page, for the comparison with the one of this machine.
const thin = wasm.replace(/\.wasm$/, ".thin.wasm");
const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const { floor } = JSON.parse(readFileSync(here("package.json"), "utf8"));
const TARGET = Object.entries(floor).map(([browser, version]) => browser + version);

// The demonstration boats as a first fitter should meet them: the submarine with everything first.
const boats = Object.fromEntries(
  ["moonfish", "sprat", "capstan"].map((name) => [`${name}.yaml`, readFileSync(here(`../boats/${name}.yaml`), "utf8")]),
);
if (readdirSync(here("../boats")).filter((name) => name.endsWith(".yaml")).length !== Object.keys(boats).length) {
  throw new Error("a boat in boats/ is not in the page: name it in desk/bundle.mjs");
}

/** Modules that are made here. */
const made = (modules) => ({
  name: "made",
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^(boats|worker-text)$/ }, ({ path }) => ({ path, namespace: "made" }));
    onLoad({ filter: /.*/, namespace: "made" }, ({ path }) => ({ contents: modules[path], loader: "js" }));
  },
});

async function script(entry, modules = {}) {
  const plugins = [made(modules)];
  const options = { bundle: true, minify: true, format: "iife", target: TARGET, charset: "ascii", write: false };
  const { outputFiles } = await build({ ...options, entryPoints: [here(entry)], plugins, legalComments: "none" });
  return outputFiles[0].text;
}

/** What libraries carry along and no page of ours ever asks for, as the bytes that it has in the program: half a
 * megabyte of the packed page. A test compares every kind of paper with that of the program as it was. */
function idle() {
  const metadata = execFileSync("cargo", ["metadata", "--locked", "--format-version", "1"], { cwd: here(".."), maxBuffer: 2 ** 28 });
  const { manifest_path } = JSON.parse(metadata).packages.find(({ name }) => name === "printpdf");
  const of_pdf = (file) => readFileSync(join(dirname(manifest_path), "src/res", file));
  return [
    // For archives after PDF/X, which ask for a profile of an offset press.
    ["the colour profile", of_pdf("CoatedFOGRA39.icc")],
    ["its licence", of_pdf("CoatedFOGRA39.icc.LICENSE.txt")],
  ];
}

function thinned(bytes) {
  const thin = Buffer.from(bytes);
  for (const [what, part] of idle()) {
    const at = thin.indexOf(part);
    // Where a library leaves it out, this is to be left out here.
    if (at < 0) throw new Error(`${what} is not in the program any more: take it out of desk/bundle.mjs`);
    thin.fill(0, at, at + part.length);
  }
  return thin;
}

/** Bytes as text, seven bits in a letter: a seventh less than the usual way, which takes six. Three letters do not
 * stay what they are inside of a script; they are written so far away that their seven bits are the same. */
function sevens(bytes) {
  const letters = [];
  let [held, bits] = [0, 0];
  const put = (value) => letters.push([0, 13, 60].includes(value) ? value + 256 : value);
  for (const byte of bytes) {
    held = (held << 8) | byte;
    bits += 8;
    while (bits >= 7) {
      bits -= 7;
      put((held >> bits) & 127);
    }
    held &= 127;
  }
  if (bits) put((held << (7 - bits)) & 127);
  return Buffer.from(letters.map((letter) => String.fromCharCode(letter)).join("")).toString();
}

const module = (value) => `export default ${JSON.stringify(value)};`;
const worker = await script("src/worker.js");
const app = await script("src/app.js", { boats: module(boats), "worker-text": module(worker) });
const style = (
  await build({ entryPoints: [here("src/style.css")], minify: true, target: TARGET, charset: "utf8", write: false })
).outputFiles[0].text.trim();
// Inside of a script its own end tag would end it.
const safe = app.replaceAll("</script", "<\\/script").trim();
const hash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
const policy = [
  "default-src 'none'",
  `script-src ${hash(safe)} 'wasm-unsafe-eval'`,
  "worker-src blob:",
  `style-src ${hash(style)}`,
  "img-src blob: data:",
  "connect-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
].join("; ");
writeFileSync(thin, thinned(readFileSync(wasm)));
// Two fifths smaller than what browsers unpack by themselves; the page brings its unpacker along, some 20 kB. The window
// is as wide as the program, and bytes of code have no order by two or four.
const FILTER = "--lzma2=preset=9e,dict=16MiB,lc=4,lp=0,pb=0";
const packed = execFileSync("xz", ["--stdout", "--format=xz", "--check=crc32", FILTER, thin], { maxBuffer: 2 ** 28 });
const program = sevens(packed);
// Whoever gets the page gets nothing else: the licences of what is in it go with it.
const texts = execFileSync("python3", [here("../dist/bill.py"), "--page"], { maxBuffer: 2 ** 28 });
const licences = gzipSync(texts, { level: 9 }).toString("base64");
if (sources() !== before) throw new Error("something changed while the program was built: build it again");
const parts = { policy, style, program, licences, script: safe, sources: before };
const page = readFileSync(here("src/page.html"), "utf8").replace(/\{(policy|style|program|licences|script|sources)\}/g, (_, part) => parts[part]);
const megabytes = (text) => (Buffer.byteLength(text) / 1e6).toFixed(2);
writeFileSync(out, page);
console.log(`${out}: ${megabytes(page)} MB, of which the program ${megabytes(program)} MB (packed ${megabytes(packed)} MB)`);
if (Buffer.byteLength(page) > 6e6) throw new Error("the page is larger than its 6 MB");
if (packed.length > 3.9e6) console.warn("the packed program is larger than its 3.9 MB");
