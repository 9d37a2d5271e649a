// The page for practice adds up what the program adds up: positions of every control by chance, and the outputs of
// every channel under every order left open, as fractions and exactly. The page's own script is taken out of the
// page that the program makes. node tests/web/practice.mjs LIDCARD PRACTICE-TABLE POSITIONS SEED BOAT...

import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";

const [lidcard, table, positions, seed, ...boats] = process.argv.slice(2);
const folder = mkdtempSync(join(tmpdir(), "lidcard-practice-"));
let [passed, failed] = [0, 0];
const holds = (what, is, why = "") => {
  if (is) passed += 1;
  else {
    failed += 1;
    console.log(`${what}: ${why}`);
  }
};

/** Numbers below 1 by chance that are the same for a seed (a linear congruence with the constants of Knuth's MMIX). */
function* chance(seed) {
  let state = BigInt(seed);
  for (;;) {
    state = (state * 6364136223846793005n + 1442695040888963407n) % (1n << 64n);
    yield Number(state >> 33n) / 2 ** 31;
  }
}

function between(page, opening) {
  const from = page.indexOf(opening) + opening.length;
  return page.slice(from, page.indexOf("</script>", from));
}

for (const file of boats) {
  const out = join(folder, `${basename(file)}.html`);
  const made = spawnSync(lidcard, ["try", "--draft", file, "-o", out], { encoding: "utf8", env: {} });
  if (made.status !== 0) {
    holds(file, false, made.stderr);
    continue;
  }
  const page = readFileSync(out, "utf8");
  holds(`${file} fits a memory card`, Buffer.byteLength(page) < 300_000, String(Buffer.byteLength(page)));
  const form = new Function(`${between(page, '<script id="form">')}; return form;`)();
  const boat = form.boat(JSON.parse(between(page, '<script type="application/json" id="boat">')));
  const random = chance(seed);
  const next = () => random.next().value;
  const whole = (low, high) => BigInt(Math.floor(low + next() * (high - low + 1)));
  const hands = Array.from({ length: Number(positions) }, () => {
    const settings = boat.controls.map(({ settings }) => Number(whole(0, Math.max(settings.length, 1) - 1)));
    const places = boat.controls.map(({ settings: all }, id) =>
      // Rest and full are met as often as all else together: there everything bends.
      all.length ? all[settings[id]].position : next() < 0.3 ? form.make(whole(-1, 1), 1n) : form.make(whole(-1000, 1000), 1000n),
    );
    const trims = boat.controls.map(({ trim: [low, high] }) => {
      const part = whole(-100, 100);
      const most = part < 0n ? low : high;
      return form.make(part * most[0], 100n * most[1]);
    });
    return { positions: places, trims, settings };
  });
  const told = hands.map(({ positions, trims, settings }) =>
    settings.map((setting, id) => `${form.written(positions[id])} ${form.written(trims[id])} ${setting}`).join(" "),
  );
  const program = spawnSync(table, [file], { input: `${told.join("\n")}\n`, encoding: "utf8", maxBuffer: 2 ** 30 });
  const lines = program.stdout.trimEnd().split("\n");
  holds(`${file}: the program answers`, program.status === 0 && lines.length === hands.length, program.stderr);
  const wrong = hands.findIndex((hand, n) => {
    const mine = boat.channels.map((channel) =>
      [...new Set(form.outputs(boat, channel, hand).map(form.written))].sort().join(" "),
    );
    return mine.join(";") !== lines[n];
  });
  holds(`${file}: ${positions} positions`, wrong < 0, wrong < 0 ? "" : `${told[wrong]}\n  ${lines[wrong]}`);
}
rmSync(folder, { recursive: true });
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed ? 1 : 0;
