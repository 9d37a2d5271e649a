"""Every safe endpoint is tried: put into the file, alone, the boat is checked again.

Inside a window of `lidcard endpoints` no value may leave an error, something undecided or an unwanted work
within reach, on any rule in any state whose verdict or margin moves with that endpoint. One step outside
something has to be wrong that is not wrong inside, and it must be what the window names as its limit (nought and
the furthest output end a window by themselves). What stays wrong at every value is named beside the window. An
acceptance lets nothing into a window.

Which answers move with an endpoint is found by moving it and looking; nothing is worked out here.

    LIDCARD_CASES=50 LIDCARD_FAMILY=20 LIDCARD_EVERY=1 python check_windows.py     every step of every window
"""

import json
import os
import random
import re
from collections import Counter

import edits
import harness
from boatfile import F, amount, fresh, load, said, write
from harness import Cases

CASES = harness.count("LIDCARD_CASES", 1, 1, 20)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 1, 8)
EVERY = bool(os.environ.get("LIDCARD_EVERY"))


def counts(finding):
    """Whether a finding narrows a window: an error, what is undecided, and what no way wants."""
    return finding["outcome"] in ("broken", "undecided") and (
        finding["severity"] == "error" or finding["outcome"] == "undecided" or finding["rule"] == "unwanted-within-reach")


def grave(entry):
    """What narrows a window, each with the margin it is told with."""
    return {(f["rule"], f["where"], f["state"], f["outcome"], str(f["margin"]), f["message"].partition(" at ")[0])
            for f in entry["findings"] if counts(f)}


def with_endpoint(data, channel, way, value):
    data = fresh(data)
    data["channels"][str(channel)].setdefault("endpoints", {})[way] = said(value, "%")
    return data


def tried(step, furthest, windows, r):
    """The values to try: all ends, one step beyond them, nought and the furthest, and some inside."""
    far = furthest // step * step
    some = {F(0), far}
    for low, high in windows:
        inside = [low + step * k for k in range(int((high - low) / step) + 1)]
        some |= set(inside if EVERY else r.sample(inside, min(2, len(inside))))
        some |= {low, high, max(F(0), low - step), min(far, high + step)}
    return sorted(some)


def by_way(data, said_of, r, step, furthest):
    """[(way's entry, values, texts)] for each way of a boat."""
    out = []
    for way in said_of["ways"]:
        windows = [(F(str(a)), F(str(b))) for a, b in way["windows"]]
        values = tried(step, furthest, windows, r)
        out.append((way, windows, values, [write(with_endpoint(data, way["channel"], way["way"], v)) for v in values]))
    return out


def open_for(entry, limit):
    """What is not judged for want of one of the keys that a limit names."""
    keys = set(limit.removeprefix("not judged: ").split(", "))
    # Two sides of one rule are told apart by the value that decides.
    return {(f["rule"], f["where"], f["state"], m["holds"]) for f in entry.get("not_judged", []) for m in f["missing"] if m["key"] in keys}


def faults(name, way, windows, values, entries, step):
    """What is wrong with the windows of one way."""
    out = []
    label = f"{name}: {way['channel']}/{way['way']} {way['windows']}"
    if any(e["mistakes"] for e in entries):
        return [f"{label}: not read: {[e['mistakes'][:1] for e in entries if e['mistakes']][0]}"]
    wrong = [grave(e) for e in entries]
    always = set.intersection(*wrong)          # what is wrong with any value, and by as much, is not moved by it
    told = json.dumps([v for k, v in way.items() if k not in ("margins", "windows", "best", "low_limit", "high_limit")])
    # Where it is open on which side an endpoint acts, it may move nothing on a set that is wrong all the same: what
    # is wrong by as much all over the window and told to be so, of a window that is not called safe.
    inside = [bad for v, bad in zip(values, wrong) if any(a <= v <= b for a, b in windows)]
    stays = set.intersection(*inside) if inside and not way.get("safe", True) else set()
    always |= {k for k in stays if names(k, json.dumps(way.get("not_moved", [])))}
    for v, bad in zip(values, wrong):
        if any(a <= v <= b for a, b in windows):
            for k in sorted(bad - always, key=str):
                if k[2] == "piloting" or not names(k, told):
                    out.append(f"{label}: {float(v):g} % is inside, yet {k}")
    wrong_inside = any(bad - always for v, bad in zip(values, wrong) if any(a <= v <= b for a, b in windows))
    if wrong_inside and way.get("safe", True):
        out.append(f"{label}: is called safe")
    for side, end, beyond in (("low_limit", min(a for a, _ in windows), -step), ("high_limit", max(b for _, b in windows), step)):
        if end + beyond in values:
            if (way[side] or "").startswith("not judged: "):
                # From here on something hangs on a figure that nobody has measured, and did not before.
                there, here = (open_for(entries[values.index(v)], way[side]) for v in (end + beyond, end))
                if there <= here:
                    out.append(f"{label}: nothing more hangs at {float(end + beyond):g} % on what the {side} says: {way[side]!r}")
                continue
            new = wrong[values.index(end + beyond)] - wrong[values.index(end)]
            # What an endpoint breaks from here on may be broken by as much already, whatever it is.
            if not new and not any(names(k, way[side]) for k in wrong[values.index(end)]):
                out.append(f"{label}: nothing is wrong at {float(end + beyond):g} %, beyond the {side} {way[side]!r}")
            elif new and not any(names(k, way[side]) for k in new):
                out.append(f"{label}: at {float(end + beyond):g} % it is {sorted(new, key=str)} that is wrong, not {way[side]!r}")
    return out


def names(key, limit):
    """Whether a text names what a finding is about."""
    rule, where = key[:2]
    if limit is None:
        return False
    if rule == "beyond-stop":
        return where in limit and "stop" in limit
    if rule == "sense-reversed":
        return "sense" in limit and where.split("/")[1] in limit
    if rule == "unit-tripped-by-pilot":
        return "fail-safe unit" in limit
    if rule == "emergency-does-not-stop":
        return "band" in limit
    if rule == "works-together":
        return where.split(".")[0] in limit
    return where in limit or re.split("[/.]", where)[-1] in limit


def accepted(data, entry):
    """The boat with everything accepted that is wrong with her."""
    data = fresh(data)
    found = {(f["rule"], f["where"]) for f in entry["findings"] if f["outcome"] == "broken" and f["rule"] != "acceptance-stale"}
    data["accept"] = [{"rule": rule, "where": where, "because": "asked for",
                       **({"on_card": "yes"} if rule == "emergency-within-reach" else {})} for rule, where in sorted(found)]
    return data if found else None


def main():
    cases, soft = Cases(), Counter()
    for name, text in edits.slice_of([*edits.boats_at_hand(), *edits.random_boats(CASES, FAMILY)], 30, 10):
        data = load(text)
        for channel in data["channels"].values():
            channel.pop("measured", None)          # it plays no part in a window
        said_of = edits.ask_one(write(data), "endpoints")
        if not isinstance(said_of, dict) or "ways" not in said_of:
            continue
        tx = data["transmitter"]
        step, furthest = (amount(tx.get(k, d))[0] for k, d in (("step", "1 %"), ("furthest", "125 %")))
        ways = [w for w in by_way(data, said_of, random.Random(name), step, furthest)]
        as_set, *entries = edits.ask([write(data), *(t for w in ways for t in w[3])])
        taken = accepted(data, as_set)
        if taken:
            again = edits.ask_one(write(taken), "endpoints")
            same = isinstance(again, dict) and [w["windows"] for w in again["ways"]] == [w["windows"] for w in said_of["ways"]]
            cases.holds(f"{name}: an acceptance widens no window", same, str(again)[:300] if not isinstance(again, dict) else "")
        for way, windows, values, texts in ways:
            mine, entries = entries[:len(texts)], entries[len(texts):]
            bad = faults(name, way, windows, values, mine, step) if windows else []
            soft["windows"] += len(windows)
            soft["values"] += len(values)
            cases.holds(f"{name}, {way['channel']}/{way['way']}", not bad, "\n    ".join(bad[:6]))
    cases.holds("windows were tried", soft["windows"] > 0 and soft["values"] > soft["windows"])
    for what, count in sorted(soft.items()):
        print(f"  {what}: {count}")
    cases.end()


if __name__ == "__main__":
    main()
