// A page that is older than the program, or than anything else that it is made from, is found out: it carries the
// fingerprint of its sources. node tests/web/made.mjs PAGE.html

import { readFileSync } from "node:fs";
import { sources } from "../../desk/sources.mjs";

/** The fingerprint that a page carries. */
export const carried = (page) => /<meta name="made-from" content="([0-9a-f]{64})">/.exec(readFileSync(page, "utf8"))?.[1];

/** One byte more in a file. */
const longer = (which) => sources((path) => Buffer.concat([readFileSync(path), Buffer.from(path === which ? "\n" : "")]));

const now = sources();
const [page] = process.argv.slice(2);
const checks = {
  "the page is made from what lies here; make it anew with desk/build": carried(page) === now,
  "the same files have the same fingerprint": longer("") === now,
};
for (const path of ["src/main.rs", "crates/check/src/lib.rs", "templates/practice/play.js", "boats/sprat.yaml", "desk/src/style.css", "Cargo.lock"]) {
  checks[`a change of ${path} is noticed`] = longer(path) !== now;
}
const failed = Object.entries(checks).filter(([, good]) => !good).map(([what]) => what);
failed.forEach((what) => console.log(`not so: ${what}`));
console.log(`${Object.keys(checks).length - failed.length} passed, ${failed.length} failed`);
process.exitCode = failed.length ? 1 : 0;
