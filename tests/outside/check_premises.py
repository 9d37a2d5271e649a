"""What a file leaves out is never better than what it could say.

Each figure of each boat that lies in the repository is taken out, and the same boat is tried with that figure as bad
as a file may state it: at the end of its range, beyond it as far as it is still read, and with each word that it can
have. With the figure left out nothing may be proved that is broken or not judged with it, neither as the boat is nor
at any of the extremes. A figure that the table of keys gives a way to the bench is one that is tried here.

Extremes are common practice, no source: they are meant to lie beyond anything met with. That deletions never help
follows from the boat file's description of this project ("what is left out is not known").

    LIDCARD_LEVEL=full python check_premises.py
"""

import json
import random
import re
from collections import Counter

import edits
import harness
import turned
from boatfile import fresh, load, write
from check_laws import FIGURES, improved
from harness import Cases, lidcard

EACH = harness.count("LIDCARD_FIGURES", 2, 6, 200)
# Of files that differ in one line each a slice is enough.
SHARE = {"quick": 16, "usual": 6, "full": 1}[harness.LEVEL]

OFF = ["6 %", "14 %", "19 %", "20 %", "60 us", "80 us"]
PULSES = ["12 us", "20 us"]
EXTREMES = {
    ("pulse", "accuracy"): PULSES,
    ("unit", "accuracy"): ["15 us", "25 us", "40 us"],
    ("set", "furthest"): ["100 %", "150 %", "199 %", "200 %"],
    ("set", "step"): ["2 %", "5 %"],
    ("boat", "sinks_in"): ["1 s", "600 s"],
    ("receiver", "on_loss"): ["no pulses", "hold", "noise"],
    ("receiver", "after"): ["0 s", "59 s"],
    ("unit", "notices"): ["no pulses", "invalid pulses"],
    ("unit", "wait"): ["0 s", "59 s"],
    ("unit", "tried"): [],
    ("unit", "until_it_acts"): ["holds", "passes"],
    ("control", "trim"): ["locked", "25 %", "50 %"],
    ("", "accuracy"): OFF,
    ("", "stops"): [["-2 %", "+2 %"], ["-0.4 %", "+0.1 %"], ["-290 %", "+290 %"], ["-130 % ± 20 %", "+130 % ± 20 %"]],
    ("", "still_between"): [["-90 %", "+90 %"], ["+2 %", "+4 %"], ["-9 %", "-6 %"], ["-0.01 %", "+0.01 %"],
                            ["-300 %", "-120 %"], ["-299 %", "-250 %"]],
    ("", "without_pulses"): ["stops", "stays", "off", "on"],
    ("", "correction"): ["0 %", "90 %", "150 %", "200 %"],
    ("", "takes"): ["0.1 s", "4 s", "12 s", "30 s"],
    ("", "speed"): ["0.1 s", "3 s", "12 s", "20 s"],
    ("", "learns_rest"): ["yes", "no"],
    ("", "level_at"): ["-90 %", "+90 %", "-145 % ± 15 %", "+145 % ± 15 %"],
    ("work", "weighs"): ["1 g", "90 kg"],
    ("", "corrects"): [{"bow high": "shorter"}, {"bow high": "longer"}],
    ("work", "releases"): ["+0 %", "-9 %", "+9 %", "-150 %", "+150 %", "-290 % ± 15 %", "+290 % ± 15 %"],
    ("work", "longest"): ["1 s", "600 s"],
    ("work", "must_run"): ["1 s", "500 s"],
    ("work", "wakes"): ["on", "off"],
    ("linkage", "rests"): ["60 deg ± 2 deg", "-60 deg ± 2 deg", "5 deg ± 20 deg"],
}


def extremes(holder, key, what):
    """What else could stand there."""
    if what == "its tolerance":
        at = turned.apart(holder[key])[0]
        unit = "deg" if at.endswith("deg") else "mm" if at.endswith("mm") else "%"
        widest = {"deg": ["8 deg", "20 deg"], "mm": ["1 mm", "3 mm"], "%": ["8 %", "15 %", "20 %"]}[unit]
        return [turned.together(at, off) for off in widest]
    return EXTREMES.get((what, key)) or EXTREMES.get(("", key), [])


def replaced(data, which, value):
    data = fresh(data)
    holder, key, _ = turned.figures(data)[which]
    holder[key] = value
    return data


def figures_of_the_table():
    """Every key of the format that tells how the bench finds it."""
    keys = set()

    def walk(node):
        if isinstance(node, dict):
            keys.update(key for key in node.get("properties", {}) if re.fullmatch("[a-z][a-z_]*", key))
            node = list(node.values())
        for part in node if isinstance(node, list) else []:
            walk(part)

    walk(json.loads(lidcard("schema")[1]))
    pages = ((key, lidcard("explain", key)[1]) for key in sorted(keys))
    return {key for key, page in pages if "- on the bench:" in page}


def main():
    cases = Cases()
    jobs, texts, tried = [], [], Counter()
    every = [(name, load(text)) for name, text in edits.slice_of(list(edits.boats_at_hand()), SHARE, SHARE)]
    for name, data in every:
        all_of_them = range(len(turned.figures(data)))
        some = random.Random(f"{name} {harness.SEED}").sample(all_of_them, min(len(all_of_them), EACH))
        for which in sorted(some):
            holder, key, what = turned.figures(data)[which]
            less, told = turned.figure_left_out(data, which)
            left = len(texts)
            texts.append(write(less))
            for value in [holder[key], *extremes(holder, key, what)]:
                jobs.append((f"{name}, {told}: {value}", (what, key), left, len(texts), value != holder[key]))
                texts.append(write(replaced(data, which, value)))
    entries = edits.ask(texts)
    for label, kind, left, said, extreme in jobs:
        without, known = edits.answers(entries[left]), edits.answers(entries[said])
        if without is None or known is None:
            # So far off is nothing that is read, or it stands beside what it must not; the figure as it is must be.
            cases.holds(f"{label} is read", extreme or without is None, str(entries[said]["mistakes"][:1]))
            continue
        tried[kind, extreme] += 1
        bad = improved(label, known, without, FIGURES[0], True, edits.estimated(entries[left]))
        cases.holds(label, not bad, "\n    ".join(bad[:6]))
    for (what, key), values in EXTREMES.items():
        seen = sum(n for (kind, extreme), n in tried.items() if extreme and kind[1] == key)
        cases.holds(f"{what} {key}: extremes were tried", harness.LEVEL != "full" or not values or seen, str(tried))
    table = figures_of_the_table()
    known = {key for _, key in EXTREMES} | set(turned.LENGTHS) | {"from", "to", "full", "beyond"}
    cases.holds("every figure of the table is in the family", table <= known, str(sorted(table - known)))
    cases.holds("the table names figures", len(table) > 12, str(table))
    for (what, key), n in sorted(Counter((w, str(k)) for (w, k), _ in tried.elements()).items()):
        print(f"  {what} {key}: {n}")
    cases.end()


if __name__ == "__main__":
    main()
