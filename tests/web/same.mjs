// The program for the web against the one for this machine: the same arguments on the same files give the same
// answers, and files with the same bytes. node --no-turbo-fast-api-calls tests/web/same.mjs PROGRAM.wasm LIDCARD
// Without that switch Node.js 20 ends in a segmentation fault when code that it has optimised has called its WASI for a
// while: seen in its own JavaScript, three times of three, and never with the switch. No page uses that WASI.

import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, openSync, closeSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative, resolve } from "node:path";
import { WASI } from "node:wasi";

const [wasm, native] = process.argv.slice(2).map((path) => resolve(path));
const program = await WebAssembly.compile(readFileSync(wasm));

// All that makes pages or reads and writes files in a way of its own, on a boat with everything in it.
const MOONFISH = [
  ["check", "moonfish.yaml"],
  ["check", "--format", "json", "--all", "moonfish.yaml", "--output", "sarif:report.sarif"],
  ["card", "moonfish.yaml"],
  ["card", "moonfish.yaml", "--format", "png", "-o", "card.png"],
  ["card", "moonfish.yaml", "--format", "svg", "--language", "de"],
  ["card", "moonfish.yaml", "-o", "card.pdf", "--fold", "--on", "a4"],
  ["sheet", "moonfish.yaml"],
  ["guide", "moonfish.yaml", "--on", "a4"],
  ["handover", "moonfish.yaml"],
  // The second takes the place of the first.
  ["handover", "moonfish.yaml", "--language", "de"],
  ["endpoints", "--format", "json", "moonfish.yaml"],
  ["endpoints", "--solve", "--write", "moonfish.yaml"],
  ["states", "moonfish.yaml"],
  ["try", "moonfish.yaml"],
  ["rehearse", "moonfish.yaml", "--solve"],
  ["verify", "moonfish.yaml"],
  ["explain", "mixes"],
  ["schema"],
];
const BOATS = {
  moonfish: MOONFISH,
  sprat: [["check", "sprat.yaml"], ["card", "sprat.yaml"], ["handover", "sprat.yaml"]],
  capstan: [["check", "capstan.yaml"], ["card", "capstan.yaml"]],
};
const BROKEN = [["check", "broken.yaml"], ["card", "broken.yaml"], ["card", "--draft", "broken.yaml"], ["handover", "broken.yaml"]];

function files(folder) {
  const all = readdirSync(folder, { recursive: true }).map((name) => join(folder, name));
  return new Map(
    all.filter((path) => statSync(path).isFile()).sort().map((path) => [relative(folder, path), readFileSync(path)]),
  );
}

const homes = mkdtempSync(join(tmpdir(), "lidcard-web-"));

function onThisMachine(folder, args) {
  const { status, stdout, stderr } = spawnSync(native, args, { cwd: folder, env: {} });
  return { status, stdout, stderr };
}

async function forTheWeb(folder, args) {
  const beside = (name) => join(homes, name);
  const out = ["stdout", "stderr"].map((name) => openSync(beside(name), "w+"));
  const wasi = new WASI({
    version: "preview1",
    args: ["lidcard", ...args],
    preopens: { ".": folder },
    returnOnExit: true,
    stdout: out[0],
    stderr: out[1],
  });
  const status = wasi.start(await WebAssembly.instantiate(program, wasi.getImportObject()));
  out.forEach((file) => closeSync(file));
  return { status, stdout: readFileSync(beside("stdout")), stderr: readFileSync(beside("stderr")) };
}

let [passed, failed] = [0, 0];

async function compare(name, source, commands) {
  const folders = ["machine", "web"].map((kind) => join(homes, `${name}-${kind}`));
  for (const folder of folders) {
    mkdirSync(folder);
    writeFileSync(join(folder, `${name}.yaml`), readFileSync(source));
  }
  for (const args of commands) {
    const one = onThisMachine(folders[0], args);
    const other = await forTheWeb(folders[1], args);
    const wrong = ["stdout", "stderr"].filter((stream) => !one[stream].equals(other[stream]));
    if (one.status !== other.status) wrong.push(`status: ${one.status} and ${other.status}`);
    const [here, there] = folders.map(files);
    for (const path of new Set([...here.keys(), ...there.keys()])) {
      if (!here.get(path)?.equals(there.get(path) ?? Buffer.alloc(0))) wrong.push(path);
    }
    if (wrong.length) {
      failed += 1;
      console.log(`lidcard ${args.join(" ")}: not the same: ${wrong.join(", ")}\n${other.stderr}`);
    } else {
      passed += 1;
    }
  }
}

for (const [name, commands] of Object.entries(BOATS)) await compare(name, `boats/${name}.yaml`, commands);
await compare("broken", "tests/fixtures/mistakes/blow-reaches-gas.yaml", BROKEN);

// What is too much to work out: here nothing unwinds, so the words come as the last thing that is said.
const switches = Array.from({ length: 19 }, (_, n) => `s${n}`);
const mixes = switches.map((name, n) => `{add: ${(n % 5) + 1}.${n + 10} %, of: tank, when: {${name}: p1}}`).join(", ");
const heavy = `lidcard: 1
boat: {name: Switches, kind: submarine}
transmitter: {channels: 2, furthest: 125 %, pulse: {accuracy: 2 us}}
controls:
  tank: {at: left stick, ways: {towards: flood, away: blow}}
${switches.map((name) => `  ${name}: {kind: switch, settings: [p0, p1]}`).join("\n")}
channels:
  1: {control: tank, longer: blow, endpoints: 60 %, mixes: [${mixes}]}
  2: {endpoints: 60 %, mixes: [${mixes}]}
devices:
${[1, 2].map((n) => `  d${n}: {kind: servo, channel: ${n}, accuracy: 1 %, stops: [-118 %, +118 %], works: {v: {kind: vent valve, from: -45 % ± 1 %}}}`).join("\n")}
`;
const folder = join(homes, "heavy");
mkdirSync(folder);
writeFileSync(join(folder, "heavy.yaml"), heavy);
for (const [where, run] of [["machine", onThisMachine], ["web", forTheWeb]]) {
  const { status, stdout, stderr } = await run(folder, ["check", "heavy.yaml"]);
  const said = `${stdout}${stderr}`.replace(/\s+/g, " ");
  const good = status === 2 && said.includes("there is too much to work out") && !said.includes("report it");
  if (good) passed += 1;
  else {
    failed += 1;
    console.log(`too much, ${where}: ${status}: ${said}`);
  }
}
rmSync(homes, { recursive: true });
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed ? 1 : 0;
