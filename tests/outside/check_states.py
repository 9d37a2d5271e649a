"""`lidcard states` against check and against the plain account: "surely" only where it is sure, "never" only where not.

A held way says "surely" of a work only if no sample of everything else keeps it from being surely engaged, and "never"
only if none brings it near. A stage says "surely" only if the unit is sure to act, or with the words "if the unit notices", and what `stage-misses` and
`stage-engages` say of it; what sinks is "never" open for good exactly where `sinks-on-loss` is proved; a motor "never"
runs at power-up exactly where `motor-runs-on-loss` is. With power on and no transmitter the table, the sheet and
`rehearse --cause power-up` tell one sequence: each stage begins there at the second that receiver, wait and the stages
before come to in the file, what the rehearsal has on while a stage lasts is not "never", and what is "surely" is on in
it. Without power nothing is sure, no motor runs, and what any other row has on is not "never" shut on a servo.

    LIDCARD_CASES=200 LIDCARD_FAMILY=40 python check_states.py
"""

from collections import Counter
from fractions import Fraction as F

import numpy as np

import edits
import harness
import plain
from boatfile import load
from harness import Cases

CASES = harness.count("LIDCARD_CASES", 4, 10, 100)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 2, 20)
SINK = plain.SINK


def worst(answers, rule, where, state):
    """The gravest answer of a rule, or None where it was not asked."""
    some = [r for (a, b, c), found in answers.items() if (a, b) == (rule, where) and state in (None, c) for r, _, _ in found]
    return max(some, default=None)


def said_of(table):
    """[(kind, name of the cause, effect, mark)] of every cell with a mark."""
    return [(cause["kind"], cause["name"], effect, mark)
            for cause in table["causes"] for effect, mark in zip(table["effects"], cause["marks"]) if mark]


def held(boat, S, name, k, d, control, way):
    """(whether a work may be engaged, whether it may fail to be) with a way held, by samples."""
    s = S[d["channel"]]
    if control not in s.names or control in boat.switches:
        return None
    on = (s.at[:, s.names.index(control)] == way * plain.GRID)[None, :] & s.still[:, None]
    D = boat.slack(d, k.side)
    near = s.near(k.side, plain.zone(k, D), (None, on))[0] <= 0
    short = -s.top(-k.side, (lambda p: p == way * plain.GRID, on))[0] - D < k.sure
    if k.to:
        short |= s.top(k.side, (lambda p: p == way * plain.GRID, on))[0] + D > k.sure_end
    return near, short


def let_go(boat, S, d, k):
    """Whether a work may be engaged with everything in the middle, no trim, no switch thrown."""
    s = S[d["channel"]]
    on = np.all(s.at == 0, axis=1)[None, :] & s.thrown_none[:, None]
    return s.near(k.side, plain.zone(k, boat.slack(d, k.side)), (None, on))[0] <= 0


def faults(name, text, table, answers):
    out = []
    boat = plain.Boat(text)
    S = {n: plain.Samples(boat, n, dense=150) for n in boat.channels}
    unsure = worst(answers, "loss-unseen", "fail_safe", None)
    for kind, cause, effect, mark in said_of(table):
        label = f"{name}: {cause}: {effect['name']} {mark}"
        d = boat.devices[effect["device"]]
        k = d["works"].get(effect["work"]) if effect["work"] else None
        driven = d["channel"] in S
        if kind == "held" and k and driven:
            control, _, word = cause.removesuffix(" held fully").partition(": ")
            way = boat.controls.get(control, {}).get("ways", {}).get(word)
            got = held(boat, S, name, k, d, control, way) if way in (1, -1) else None
            if got and mark == "never" and got[0]:
                out.append(f"{label}, yet a sample engages it")
            if got and mark == "surely" and got[1]:
                out.append(f"{label}, yet a sample does not surely engage it")
        if kind == "at-rest" and k and driven and mark == "never" and let_go(boat, S, d, k):
            out.append(f"{label}, yet it may be engaged there")
        if kind == "stage":
            stage = cause.rpartition("stage ")[2].partition(", if ")[0]
            if mark == "surely" and unsure and not cause.endswith(", if the unit notices"):
                out.append(f"{label}, yet the unit is not sure to act")
            if k:
                misses = worst(answers, "stage-misses", f"{stage}.{k.name}", f"stage {stage}")
                engages = worst(answers, "stage-engages", f"{stage}.{k.name}", f"stage {stage}")
                same_name = sum(k.name in x["works"] for x in boat.devices.values()) > 1
                # A stage that may never come may be told with less than is known of it, never with more.
                known = not cause.endswith(", if the unit notices")
                if not same_name and misses is not None and (mark == "surely") != (misses == 0) and (known or misses):
                    out.append(f"{label}, stage-misses is {misses}")
                if not same_name and engages is not None and (mark == "never") != (engages == 0) and (known or engages):
                    out.append(f"{label}, stage-engages is {engages}")
        if kind == "lost-for-good" and k and k.kind in SINK:
            sinks = worst(answers, "sinks-on-loss", effect["name"], None)
            if sinks is not None and (mark == "never") != (sinks == 0):
                out.append(f"{label}, sinks-on-loss is {sinks}")
        if kind == "power-up" and not effect["work"] and d["kind"] == "speed controller":
            runs = worst(answers, "motor-runs-on-loss", effect["name"], "power-up")
            if runs is not None and (mark == "never") != (runs == 0):
                out.append(f"{label}, motor-runs-on-loss is {runs}")
        if kind == "waiting" and k:
            engages = worst(answers, "waiting-engages", effect["name"], None)
            if engages is not None and (mark == "never") != (engages == 0):
                out.append(f"{label}, waiting-engages is {engages}")
    return out


def seconds(text):
    return F(str(text).split()[0]) if text else F(0)


def together(name, text, table, told, seen):
    """The rows of power-up against the file and against the rehearsal of it."""
    out, data = [], load(text)
    unit = data.get("fail_safe", {})
    clock, begins = seconds(data.get("receiver", {}).get("after")) + seconds(unit.get("wait")), []
    for stage in unit.get("stages", []):
        begins.append(clock)
        clock += seconds(stage.get("lasts"))
    rows = [c for c in table["causes"] if c["kind"] == "power-up-stage"]
    if [F(r["begins"]) for r in rows] != begins:
        out.append(f"{name}: stages begin at {[r['begins'] for r in rows]}, by the file at {[str(b) for b in begins]}")
        return out
    works = [f"{e['device']}.{e['work']}" if e["work"] else None for e in table["effects"]]
    run = told["runs"]["nominal"]
    aware = not any(e["what"] == "unit_unaware" for e in run["events"])
    stages = [e["at_s"] for e in run["events"] if e["what"] == "stage"]
    if aware and [float(f"{float(b):.4g}") for b in begins] != stages:
        out.append(f"{name}: the rehearsal's stages begin at {stages}, not at {[float(b) for b in begins]}")
    for at, row, until in zip(begins, rows, [*begins[1:], None]) if aware else ():
        # Well inside a stage, past what servos need to get there.
        moment = float(at) + (0.9 * float(until - at) if until else 9.0)
        on = {e["work"] for e in run["events"] if e["what"] == "on" and e["at_s"] <= moment < (e["until_s"] or 1e9)}
        for work, mark in zip(works, row["marks"]):
            seen[f"rehearsed {'on' if work in on else 'off'} {mark}"] += bool(work)
            if work and work in on and mark == "never":
                out.append(f"{name}: {row['name']}: {work} is never on, and on in the rehearsal at {moment} s")
            if work and work not in on and mark == "surely" and (until is None or until - at >= 2):
                out.append(f"{name}: {row['name']}: {work} is surely on, and off in the rehearsal at {moment} s")
    gone = next(c for c in table["causes"] if c["kind"] == "unpowered")
    for effect, mark, i in zip(table["effects"], gone["marks"], range(99)):
        servo = data["devices"][effect["device"]]["kind"] == "servo"
        ever = any(c["marks"][i] in ("may", "surely") for c in table["causes"] if c is not gone)
        if mark == "surely" or not effect["work"] and mark != "never" or effect["work"] and servo and ever and mark == "never":
            out.append(f"{name}: power gone: {effect['name']} {mark}")
    return out


def main():
    cases, seen = Cases(), Counter()
    boats = [*edits.random_boats(CASES, FAMILY)]
    for (name, text), entry in zip(boats, edits.ask([t for _, t in boats])):
        answers = edits.answers(entry)
        table = edits.ask_one(text, "states")
        if answers is None or not isinstance(table, dict):
            cases.holds(name, False, str(table)[:300])
            continue
        for kind, _, _, mark in said_of(table):
            seen[f"{kind} {mark}"] += 1
        told = edits.ask_one(text, "rehearse", "--cause", "power-up")
        bad = faults(name, text, table, answers)
        bad += together(name, text, table, told, seen) if isinstance(told, dict) else [f"{name}: no rehearsal: {told[:200]}"]
        cases.holds(name, not bad, "\n    ".join(bad[:8]))
    cases.holds("the rehearsal had something on that is sure, and off that is never",
                seen["rehearsed on surely"] and seen["rehearsed off never"])
    for mark in ("surely", "may", "never"):
        cases.holds(f"`{mark}` was seen", any(what.endswith(mark) for what in seen))
    print("  " + ", ".join(f"{what} {n}" for what, n in sorted(seen.items())))
    cases.end()


if __name__ == "__main__":
    main()
