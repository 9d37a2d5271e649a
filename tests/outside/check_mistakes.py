"""The boats are clean; each of their classic mistakes is called by its name, and by no other.

A fixture opens with lines `# expect: RULE WHAT`, or `# expect: not judged RULE WHAT` where a figure is missing
that the rule hangs on, then says in a comment what happened at the bench.
The rest is one of the boats, or of the clean ones made for this, with that one thing changed.
"""

import difflib
import json
import re
from pathlib import Path

from harness import BOATS, MISTAKES, Cases, lidcard, some

WARNINGS = {
    "acceptance-stale",
    "axis-lost",
    "band-stops-at-surface",
    "battery-threshold-odd",
    "blow-slowed",
    "broaches-on-loss",
    "carried-too-deep",
    "control-of-wrong-kind",
    "depth-beyond-radio",
    "emergency-beside-busy",
    "estimate-refused",
    "figure-hardly-meant",
    "gas-condenses",
    "gas-never-ends",
    "gas-runs-out",
    "interlock-missing",
    "leaps-at-surface",
    "levelling-astern",
    "name-reads-badly",
    "neutral-missed",
    "no-blow-on-loss",
    "output-feeds-several",
    "override-too-weak",
    "percent-without-axis",
    "planes-dive-on-loss",
    "preset-out-of-date",
    "pump-too-weak",
    "readings-too-few",
    "rest-learned-wrongly",
    "runs-too-long",
    "sense-not-measured",
    "carries-too-much",
    "stalls-exceed-supply",
    "stays-down-on-loss",
    "switch-does-two-things",
    "threshold-leaves-too-little",
    "throws-unequal",
    "travel-cut-off",
    "valve-never-full",
    "zone-too-narrow",
}
RULES = WARNINGS | {
    "emergency-does-not-raise",
    "emergency-does-not-stop",
    "emergency-within-reach",
    "unwanted-within-reach",
    "wanted-not-reached",
    "works-at-rest",
    "works-together",
    "beyond-stop",
    "sense-reversed",
    "stage-misses",
    "stage-engages",
    "loss-unseen",
    "waiting-engages",
    "unit-tripped-by-pilot",
    "sinks-on-loss",
    "motor-runs-on-loss",
    "measured-differs",
    "turns-at-rest",
    "one-way-controller",
    "delays-outlast-sinking",
    "levelling-runs-away",
    "frequency-not-in-table",
    "band-not-for-boats",
    "bottle-too-full",
    "burns-on-after-loss",
    "runs-on-after-loss",
    "mixed-twice",
    "preset-not-stored",
    "stage-too-short",
    "starts-on",
    "rod-does-not-fit",
    "dead-centre-within-reach",
}
# The rules whose weight depends on what is within reach or goes on: gas and a winch are errors, a wet deck and a horn
# are not.
LIGHT = {("unwanted-within-reach", "water_servo.water"), ("runs-on-after-loss", "horn_relay.horn"),
         ("runs-on-after-loss", "tank_servo.pump")}

cases = Cases()
CLEAN = [*BOATS, *sorted((MISTAKES[0].parents[1] / "clean").glob("*.yaml"))]
boats = {file.name: file.read_text().splitlines() for file in CLEAN}


def rules_in(text):
    return {rule for rule in RULES if re.search(rf"(?<![\w-]){rule}(?![\w-])", text)}


def changed_lines(lines):
    """How many lines differ from the boat it was made from."""

    def distance(boat):
        ours = difflib.SequenceMatcher(None, boat, lines, autojunk=False).get_opcodes()
        return sum(max(b - a, d - c) for tag, a, b, c, d in ours if tag != "equal")

    return min(map(distance, boats.values()))


for file in CLEAN:
    status, out, err = lidcard("check", "--strict", file)
    cases.holds(f"{file.name}: clean", status == 0 and not rules_in(out + err), out + err)

seen, strictly = set(), set(some(MISTAKES, 4))
# One run for all of them.
entries = json.loads(lidcard("check", "--format", "json", *MISTAKES)[1])["files"]
for file, entry in zip(MISTAKES, entries, strict=True):
    lines = file.read_text().splitlines()
    told = [line.split(": ", 1)[1] for line in lines if line.startswith("# expect: ")]
    missing = [(line.split(maxsplit=3)[2:] + [""])[:2] for line in told if line.startswith("not judged ")]
    expected = [(tuple(line.split(maxsplit=1)) + ("",))[:2] for line in told if not line.startswith("not judged ")]
    seen |= {rule for rule, _ in expected}
    cases.holds(f"{file.name}: expects known rules", told and {r for r, _ in [*expected, *missing]} <= RULES)
    rest = lines[len(told) + 1 :]
    cases.holds(f"{file.name}: one thing changed", 0 < changed_lines(rest) <= 4, str(changed_lines(rest)))

    status, out, err = lidcard("check", file)
    cases.holds(f"{file.name}: the entry is hers", Path(entry["file"]).name == file.name, entry["file"])
    # What hangs on one value is told under one heading, so the rules are those of the report for machines.
    found = {x["rule"] for x in entry["findings"] if not x.get("accepted") and x["outcome"] != "not judged"}
    wanted = {rule for rule, _ in expected}
    cases.holds(f"{file.name}: exactly these rules", found == wanted, f"{sorted(found ^ wanted)} differ")
    for rule, about in expected:
        names = re.split(r"[.\s]", about)
        cases.holds(f"{file.name}: {rule} names {about}", all(n in out + err for n in names), out + err)
    answer = entry.get("not_judged", [])
    cases.holds(f"{file.name}: not judged are exactly these", {x["rule"] for x in answer} == {r for r, _ in missing},
                str(sorted({x["rule"] for x in answer} ^ {r for r, _ in missing})))
    for rule, about in missing:
        keys = [m["key"] for x in answer if x["rule"] == rule for m in x["missing"]]
        cases.holds(f"{file.name}: {rule} is not judged for want of {about}", any(k.endswith(about) for k in keys), str(keys))
    hurts = any(x["could_hurt"] for x in answer)
    grave = hurts or any(r not in WARNINGS and (r, about) not in LIGHT for r, about in expected)
    cases.holds(f"{file.name}: status {int(grave)}", status == int(grave), f"status {status}")
    if file in strictly:
        cases.holds(f"{file.name}: status 1 when strict", lidcard("check", "--strict", file)[0] == 1)

cases.holds("every rule has its mistake", seen == RULES, str(sorted(RULES - seen)))
cases.end()
