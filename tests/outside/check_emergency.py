"""The steps of an emergency against a plain account: what is held surely raises her, or does not; it may sink her, or may not.

Each boat that dives is asked what holding each of its ways does, one after the other, and what switching the
transmitter off does. The account knows only the boat file: over samples of everything that is not held, a function that
raises has to lie surely within its reach, and none that sinks may come near; with the set off, whatever a preset or a
stage surely engages has to be there, and from the first stage on nothing that sinks. A step that the program calls sure
must have no sample against it; one that it calls broken must have a sample that shows it, wherever samples can reach.

    LIDCARD_CASES=100 LIDCARD_FAMILY=20 python check_emergency.py
"""

import re
from collections import Counter

import numpy as np

import edits
import harness
import plain
from boatfile import load, write
from harness import Cases

CASES = harness.count("LIDCARD_CASES", 3, 8, 80)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 1, 12)
RULE = "emergency-does-not-raise"
SURE, SINKS = "does not surely bring her up", "may sink her: "


def read(text):
    """The boat, or nothing where the account does not know what her file has: a channel that only mixes move."""
    try:
        return plain.Boat(text)
    except (KeyError, TypeError, AttributeError):
        return None


def ways_of(boat):
    """Every way that a hand can hold: a control that is no switch."""
    return [(c, word, way) for c, control in boat.controls.items() if c not in boat.switches
            for word, way in control["ways"].items() if way in (1, -1)]


def held(s, control, way):
    """The samples of a channel with a way held and no switch just being thrown; all of them where it has no part."""
    on = s.still[:, None] & np.ones(len(s.rows), bool)[None, :]
    if control in s.names:
        on = on & (s.at[:, s.names.index(control)] == way * plain.GRID)[None, :]
    return on


def account(boat, S, control, way):
    """({a function that surely raises: exact}, {one that may sink: margin}) with a way held."""
    raises, sinks, vague = False, {}, False
    for name, d in boat.devices.items():
        s = S.get(d["channel"])
        if s is None:
            if d["behind"] and any(k.kind in plain.SINK for k in d["works"].values()):
                vague = True
            continue
        on = held(s, control, way)
        mask = (None, on)
        # A pump behind a controller of its own empties her where it surely runs that way.
        for side, word in ((1, "longer"), (-1, "shorter")):
            does = [d["effects"].get(word), *([d["also"].get(word)] if isinstance(d["also"], dict) else [])]
            if "empties" in does and d["still"] and control in s.names:
                least = -s.top(-side, mask)[0]
                raises |= least - boat.slack(d, side) > side * d["still"][1 if side > 0 else 0]
                vague |= not s.exact
        for k in d["works"].values():
            D = boat.slack(d, k.side)
            if k.kind in plain.RAISE and control in s.names:
                need = k.side * k.full[0] + k.full[1] if k.full else k.sure
                least = -s.top(-k.side, mask)[0]
                surely = least - D >= need
                if k.to:
                    surely &= s.top(k.side, mask)[0] + D <= k.sure_end
                raises |= surely
                vague |= not s.exact
            if k.kind in plain.SINK:
                near = plain.with_slack(s, k, d, mask)
                sinks[f"{name}.{k.name}"] = near[0]
                vague |= not s.exact or near[2]
    return raises, sinks, vague


def asked(text, steps):
    data = load(text)
    data.setdefault("owner", {})["emergency"] = steps
    return write(data)


def found(entry, number):
    """(whether it is not sure, the functions that may sink her) by the program, of one step."""
    unsure, sinks = False, set()
    for finding in entry["findings"]:
        message = finding["message"]
        if finding["rule"] != RULE or f"step {number} of the emergency," not in message:
            continue
        unsure |= SURE in message
        if SINKS in message:
            sinks.add(message.split(SINKS)[1].split(",")[0].split(" may fill")[0])
    return unsure, sinks


def open_of(entry, number):
    """Whether a step is not judged, for want of figures."""
    return any(f["rule"] == RULE and f"step {number} of the emergency" in f["message"] for f in entry.get("not_judged", []))


def switched_off(boat, S):
    """Whether a lost link surely raises her; only where figures of the file decide."""
    works = [(d, k) for d in boat.devices.values() for k in d["works"].values()]
    waiting = boat.preset is not None and any(
        d["channel"] in boat.preset and surely(boat, d, k, boat.preset[d["channel"]], boat.pulse_acc) for d, k in works)
    if not boat.unit:
        return waiting
    staged = any(now.get(d["channel"]) and surely(boat, d, k, now[d["channel"]][0], boat.unit["acc"])
                 and long_enough(boat, stage, d, k) for stage, now in plain.stage_values(boat, S) for d, k in works)
    hands_back = "lasts" in boat.unit["stages"][-1]
    if plain.unit_sure(boat)[0]:
        return staged or hands_back and waiting or outside(boat, works)
    return waiting and (staged or hands_back or outside(boat, works))


def long_enough(boat, stage, d, k):
    """Whether a stage lasts as long as what raises her has to run, where the file says how long that is."""
    device = boat.raw["devices"][next(name for name, other in boat.devices.items() if other is d)]
    wanted = next(part.get("must_run") for name, part in device["works"].items() if d["works"].get(name) is k)
    lasts = next(one.get("lasts") for one in boat.raw["fail_safe"]["stages"] if one["name"] == stage["name"])
    # What may take longer has to have that long: `16 s ± 2 s`.
    seconds = lambda text, sign: sum(float(n) * s for n, s in zip(re.findall(r"[\d.]+(?= ?s\b)", text), (1, sign)))
    return wanted is None or lasts is None or seconds(lasts, -1) >= seconds(wanted, 1)


def outside(boat, works):
    """Whether the preset raises her on a channel that the unit leaves alone."""
    return boat.preset is not None and any(
        d["channel"] in boat.preset and d["channel"] not in boat.unit["channels"]
        and surely(boat, d, k, boat.preset[d["channel"]], boat.pulse_acc) for d, k in works)


def surely(boat, d, k, at, pulse):
    D = boat.slack(d, k.side, pulse)
    need = k.side * k.full[0] + k.full[1] if k.full else k.sure
    return k.kind in plain.RAISE and k.side * at - D >= need and (not k.to or k.side * at + D <= k.sure_end)


def main():
    cases, seen = Cases(), Counter()
    boats = []
    for name, text in [*edits.random_boats(CASES, FAMILY), *edits.boats_at_hand()]:
        boat = read(text)
        works = [k for d in boat.devices.values() for k in d["works"].values()] if boat else []
        if any(k.kind in plain.SINK for k in works) and any(k.kind in plain.RAISE for k in works):
            boats.append((name, text, boat))
    boats = edits.slice_of(boats, 3, 2)
    texts = []
    for _, text, boat in boats:
        steps = [{"hold": f"{c}.{word}", "until": "up"} for c, word, _ in ways_of(boat)]
        texts.append(asked(text, [*steps, {"switch_off": "transmitter", "until": "up"}]))
    for (name, text, boat), entry in zip(boats, edits.ask(texts)):
        if not isinstance(entry, dict) or "findings" not in entry or entry.get("mistakes"):
            seen["not read"] += 1
            continue
        S = {n: plain.Samples(boat, n, dense=150) for n in boat.channels}
        bad = []
        for number, (c, word, way) in enumerate(ways_of(boat), 1):
            raises, sinks, vague = account(boat, S, c, way)
            unsure, may_sink = found(entry, number)
            label = f"hold {c}.{word}"
            # One that floats up by herself needs nothing that raises her.
            if not unsure and not raises and not boat.floats:
                bad.append(f"{label}: called sure, yet a sample has nothing that raises")
            if unsure and raises and not vague and not boat.floats:
                bad.append(f"{label}: called unsure, yet no sample shows it")
            for about, margin in sinks.items():
                if margin < 0 and about not in may_sink:
                    bad.append(f"{label}: {about} may be engaged by a sample, yet nothing is found")
                if margin > 0 and about in may_sink and not vague:
                    bad.append(f"{label}: {about} is said to sink her, yet no sample shows it")
            seen["sure" if not unsure else "unsure"] += 1
            seen["may sink" if may_sink else "never sinks"] += 1
        if open_of(entry, len(ways_of(boat)) + 1):
            seen["off not judged"] += 1
            cases.holds(name, not bad, "\n    ".join(bad[:8]))
            continue
        unsure, _ = found(entry, len(ways_of(boat)) + 1)
        raises = switched_off(boat, S)
        if not boat.floats and unsure == raises:
            bad.append(f"transmitter off: unsure is {unsure}, and something surely raises her is {raises}")
        seen["off sure" if not unsure else "off unsure"] += 1
        cases.holds(name, not bad, "\n    ".join(bad[:8]))
    for what in ("sure", "unsure", "may sink", "never sinks", "off sure", "off unsure"):
        cases.holds(f"`{what}` was seen", seen[what] > 0)
    cases.holds("most boats were read", seen["not read"] * 4 < len(boats), seen)
    print("  " + ", ".join(f"{what} {n}" for what, n in sorted(seen.items())))
    cases.end()


if __name__ == "__main__":
    main()
