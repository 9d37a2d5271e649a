// The fingerprint of all that the page is made from: it stands in the page, and a test compares. `node desk/sources.mjs`
// prints it.

import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const ALL = [
  ...["Cargo.toml", "Cargo.lock", ".cargo", "src", "crates", "templates", "boats"],
  ...["desk/build", "desk/bundle.mjs", "desk/package.json", "desk/package-lock.json", "desk/src", "dist/bill.py"],
];

/** Every file in order, without what editors and systems leave about. */
function files(path) {
  let within;
  try {
    within = readdirSync(join(ROOT, path), { withFileTypes: true });
  } catch (error) {
    if (error.code === "ENOTDIR") return [path];
    throw error;
  }
  const names = within.map(({ name }) => name).filter((name) => !/^\.|~$/.test(name));
  return names.sort().flatMap((name) => files(`${path}/${name}`));
}

export function sources(read = (path) => readFileSync(join(ROOT, path))) {
  const whole = createHash("sha256");
  for (const path of ALL.flatMap(files)) {
    const bytes = read(path);
    // Lengths keep the end of one from passing for the beginning of the next.
    whole.update(`${path}\n${bytes.length}\n`).update(bytes);
  }
  return whole.digest("hex");
}

if (process.argv[1] === fileURLToPath(import.meta.url)) console.log(sources());
