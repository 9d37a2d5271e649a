// What has changed in the boat file: since it was opened here, or since an older file was written. The program compares.

import { at, make } from "./dom.js";
import { args, run } from "./program.js";
import { word } from "./words.js";

// No boat has such a name here: a dot at its beginning is taken away.
const OLDER = ".older.yaml";

let boat;
let turn = 0;

/** Readies the comparison of a boat that knows its text as it was opened. */
export function listen(of) {
  boat = of;
  at("to-changes").addEventListener("click", () => {
    at("changes").showModal();
    return compare(boat.opened, word("changes.opened"));
  });
  at("changes-close").addEventListener("click", () => at("changes").close());
  at("changes-opened").addEventListener("click", () => compare(boat.opened, word("changes.opened")));
  at("changes-file").addEventListener("change", async ({ target }) => {
    const [file] = target.files;
    if (file) await compare(new Uint8Array(await file.arrayBuffer()), file.name);
    target.value = "";
  });
}

async function compare(older, name) {
  const mine = ++turn;
  const bytes = typeof older === "string" ? new TextEncoder().encode(older) : older;
  const first = await run(args("code", { boat: OLDER }), [[OLDER, bytes]]);
  if (mine !== turn || first.stopped) return;
  if (!first.stdout) return tell(name, [], first);
  const { code } = JSON.parse(first.stdout);
  const answer = await run(args("since", { code, older: OLDER, boat: boat.file }), [...boat.files(), [OLDER, bytes]]);
  if (mine !== turn || answer.stopped) return;
  tell(name, answer.stdout ? JSON.parse(answer.stdout).differences : [], answer);
}

function tell(name, all, { stdout, stderr, crashed }) {
  const why = crashed ?? (stdout ? "" : stderr.replaceAll(OLDER, name));
  at("changes-trouble").hidden = !why;
  at("changes-trouble").textContent = why;
  at("changes-against").textContent = word("changes.against", { name });
  const shown = (value) => value ?? word("changes.not_given");
  const row = ({ path, before, after }) =>
    make("li", {}, make("b", {}, path.split(".").join(" \u203a ")), make("span", {}, `${shown(before)} \u2192 ${shown(after)}`));
  at("changes-none").hidden = Boolean(why) || all.length > 0;
  at("changes-list").replaceChildren(...all.map(row));
}
