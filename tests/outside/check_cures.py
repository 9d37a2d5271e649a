"""Advice that cures: what a finding about a tail says to dial in is written into the file, and the finding is gone.

Boats with surfaces that two hands share, mixed in the set, are broken in one way each: a sum past a stop, an endpoint, a
trim or a sub-trim too far, a sign of a mix, a reverse, a surface that moves less than its mirror, a hand that has less of
the tail than the other. Every figure that the help lines propose is put into a file of its own. There the finding has to
be gone, and no error may be there that was not before. Advice is in order, what is dialled in the set before what is
moved on the boat, and never alters what was measured: nothing that a help line names is a key of a device.

    LIDCARD_CASES=40 python check_cures.py
"""

import random
import re
from collections import Counter

import edits
import harness
from boatfile import fresh, load, write
from harness import Cases

CASES = harness.count("LIDCARD_CASES", 1, 1, 20)
BASE = """lidcard: 1
boat: {name: Heron, kind: submarine, floats_when_stopped: yes}
transmitter:
  channels: 6
  pulse: {rest: 1500 us, full: [1100 us, 1900 us], accuracy: 2 us}
  furthest: 125 %
  step: 1 %
  order: {past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends}
axis: {rest: 1500 us, full: [1100 us, 1900 us]}
controls:
  helm: {at: right stick, ways: {left: port, right: starboard}, trim: locked, wants: {port: turns left, starboard: turns right}}
  dive: {at: right stick, ways: {towards: rise, away: dive}, trim: locked, wants: {rise: bow rises, dive: bow dips}}
channels: {}
receiver: {on_loss: no pulses}
devices: {}
batteries: none
"""
MEASURED = re.compile(r"`(stops|from|full|releases|clicks|accuracy|effects|measured)\b")


def tail(r, own, surfaces):
    """A tail with nothing wrong: each surface answers the planes alike and the helm by its side."""
    data = load(BASE)
    share, helm = r.choice([40, 45, 50]), r.choice([40, 45, 50])
    for n in range(1, surfaces + 1):
        port = n % 2 == 1
        channel = {"name": f"surface {n}", "longer": "rise", "endpoints": {"rise": "100 %", "dive": "100 %"}, "mixes": []}
        if own:
            channel.update(control="dive", rate=f"{share} %")
        else:
            channel["mixes"].append({"add": f"{share} %", "of": "dive"})
        channel["mixes"].append({"add": f"{helm if port else -helm} %", "of": "helm"})
        data["channels"][str(n)] = channel
        left, right = ("turns left", "turns right") if port else ("turns right", "turns left")
        data["devices"][f"servo_{n}"] = {
            "kind": "servo", "channel": str(n), "accuracy": "2 %", "stops": ["-121 % ± 1 %", "+121 % ± 1 %"],
            "effects": {"longer": ["bow rises", left], "shorter": ["bow dips", right]}}
    return data


def mix(data, n, of):
    return next(m for m in data["channels"][str(n)]["mixes"] if m["of"] == of)


def number(text):
    return int(text.split()[0])


def stops(data, r, own):
    at = r.choice([70, 75, 80])
    for device in data["devices"].values():
        device["stops"] = [f"-{at} % ± 1 %", f"+{at} % ± 1 %"]


def one_stop(data, r, own):
    data["devices"]["servo_1"]["stops"][r.randint(0, 1)] = r.choice(["{}70 % ± 1 %", "{}60 % ± 2 %"])
    pair = data["devices"]["servo_1"]["stops"]
    pair[:] = [text.format(sign) for text, sign in zip(pair, "-+")]


def endpoint(data, r, own):
    stops(data, r, own)
    for channel in data["channels"].values():
        channel["endpoints"] = {"rise": "120 %", "dive": "120 %"}


def trim(data, r, own):
    if not own:
        for n in data["channels"]:
            mix(data, n, "dive")["with_trim"] = "yes"
    data["controls"]["dive"]["trim"] = "25 %"
    for n, channel in data["channels"].items():
        if own:
            channel["rate"] = "40 %"
        for m in channel["mixes"]:
            m["add"] = "40 %" if number(m["add"]) > 0 else "-40 %"
    # Both hands fully come just short of these.
    for device in data["devices"].values():
        device["stops"] = ["-85 % ± 1 %", "+85 % ± 1 %"]


def sub_trim(data, r, own):
    data["channels"]["1"]["sub_trim"] = r.choice(["-28 %", "+28 %"])
    data["devices"]["servo_1"]["stops"] = ["-111 % ± 1 %", "+111 % ± 1 %"]


def sign(data, r, own):
    m = mix(data, r.randint(1, len(data["channels"])), "helm" if own else r.choice(["helm", "dive"]))
    m["add"] = f"{-number(m['add'])} %"


def reverse(data, r, own):
    data["channels"][str(r.randint(1, len(data["channels"])))]["longer"] = "dive"


def both_hands(data, r, own):
    reverse(data, r, own)
    sign(data, r, own)


def uneven(data, r, own):
    data["channels"]["1"]["endpoints"][r.choice(["rise", "dive"])] = "70 %"


def share(data, r, own):
    mix(data, 1, "helm")["add"] = "25 %"


def rate(data, r, own):
    if own:
        data["channels"]["1"]["rate"] = "25 %"
    else:
        mix(data, 1, "dive")["add"] = "25 %"


def hands(data, r, own):
    for n in data["channels"]:
        m = mix(data, n, "helm")
        m["add"] = f"{20 if number(m['add']) > 0 else -20} %"


def lost(data, r, own):
    """Either hand fully leaves nothing of the travel to the other."""
    much = r.choice([100, 110, 120])
    for n, channel in data["channels"].items():
        if own:
            channel["rate"] = "100 %"
        for m in channel["mixes"]:
            m["add"] = f"{much if number(m['add']) > 0 else -much} %"


def cut_off(data, r, own):
    """Planes on channels of their own that ask for more than the set sends."""
    shift = r.choice([9, 12, -10])
    for n, channel in data["channels"].items():
        channel.pop("rate", None)
        channel.update(control="dive", mixes=[], sub_trim=f"{shift} %", endpoints={"rise": "120 %", "dive": "120 %"})
        servo = data["devices"][f"servo_{n}"]
        servo["stops"] = ["-135 % ± 1 %", "+135 % ± 1 %"]
        servo["effects"] = {"longer": "bow rises", "shorter": "bow dips"}
    data["channels"]["6"] = {"name": "rudder", "control": "helm", "longer": "starboard"}
    data["devices"]["rudder"] = {"kind": "servo", "channel": "6", "accuracy": "2 %", "stops": "none",
                                 "effects": {"longer": "turns right", "shorter": "turns left"}}


WAYS = [stops, one_stop, endpoint, trim, sub_trim, sign, reverse, both_hands, uneven, share, rate, hands, lost, cut_off]


def channel_of(data, finding):
    where = finding["where"].split("/")[0]
    return where if where.isdigit() else data["devices"].get(where, {}).get("channel")


def proposals(data, finding):
    """(what a help line proposes, the file with it) for each figure that stands in one."""
    n = channel_of(data, finding)

    def put(change):
        there = fresh(data)
        change(there)
        return there
    out = []
    for line in finding["help"]:
        if line.startswith(("turn the sign", "flip reverse")):
            def turned(there, line=line):
                flipped = re.match(r"flip reverse on channels? ([\d, and]+)", line)
                for k in re.findall(r"\d+", flipped.group(1)) if flipped else []:
                    c = there["channels"][k]
                    c["longer"] = "dive" if c["longer"] == "rise" else "rise"
                for add, of, k in re.findall(r"`add: (-?\d+ %)` of (\w+) on channel (\d+)", line):
                    mix(there, k, of)["add"] = add
            out.append((line, put(turned)))
            continue
        if line.startswith("shares that fit together"):
            def fitting(there, line=line):
                for key, value, of in re.findall(r"`(add|rate): (-?\d+) %`(?: of (\w+))?", line):
                    if key == "rate":
                        there["channels"][n]["rate"] = f"{value} %"
                    else:
                        mix(there, n, of)["add"] = f"{value} %"
            out.append((line, put(fitting)))
            continue
        if line.startswith("shares with which both"):
            def alike(there, line=line):
                for key, value, of in re.findall(r"`(add|rate): (\d+) %` of (\w+)", line):
                    for k, c in there["channels"].items():
                        if key == "rate":
                            c["rate"] = f"{value} %"
                        else:
                            m = mix(there, k, of)
                            m["add"] = f"{int(value) if number(m['add']) > 0 else -int(value)} %"
            out.append((line, put(alike)))
            continue
        for way, value in re.findall(r"endpoint for (\w+|the longer side|the shorter side): (?:[\d.]+ % to )?([\d.]+) %", line):
            way = {"the longer side": data["channels"][n]["longer"], "the shorter side": "dive" if data["channels"][n]["longer"] == "rise" else "rise"}.get(way, way)
            out.append((f"endpoint for {way}: {value} %", put(lambda t: t["channels"][n]["endpoints"].update({way: f"{value} %"}))))
        for value in re.findall(r"`rate: ([\d.]+) %`", line):
            out.append((f"rate: {value} %", put(lambda t: t["channels"][n].update(rate=f"{value} %"))))
        for value, of in re.findall(r"`add: (-?[\d.]+) %` of (\w+)", line):
            out.append((f"add: {value} % of {of}", put(lambda t: mix(t, n, of).update(add=f"{value} %"))))
        for of, value in re.findall(r"trim of (\w+): ([\d.]+) %", line):
            out.append((f"trim of {of}: {value} %", put(lambda t: t["controls"][of].update(trim=f"{value} %"))))
        for of in re.findall(r"lock the trim of (\w+)", line):
            out.append((f"trim of {of} locked", put(lambda t: t["controls"][of].update(trim="locked"))))
        for value in re.findall(r"sub-trim: ([+-]?[\d.]+) %", line):
            out.append((f"sub-trim: {value} %", put(lambda t: t["channels"][n].update(sub_trim=f"{value} %"))))
    return out


def names(entry):
    return {(f["rule"], f["where"], f["state"]) for f in entry["findings"]}


def errors(entry):
    return {(f["rule"], f["where"], f["state"]) for f in entry["findings"] if f["severity"] == "error"}


def knowing_less(cases, boats):
    """Who forgets how exactly his servos repeat is told no value that is too much for servos that do so within 2 %."""
    known = [(name, data) for name, way, data in boats if way]
    forgotten = [fresh(data) for _, data in known]
    for data in forgotten:
        for device in data["devices"].values():
            del device["accuracy"]
    asked = []
    for (name, data), less, entry in zip(known, forgotten, edits.ask([write(data) for data in forgotten])):
        for f in entry["findings"]:
            if f["rule"] != "beyond-stop":
                continue
            for what, there in proposals(less, f):
                there["devices"] = fresh(data["devices"])
                asked.append((f"{name}, accuracy forgotten: {what} cures {f['where']}", f["message"], there))
    for (name, message, _), entry in zip(asked, edits.ask([write(there) for *_, there in asked])):
        left = [g["message"] for g in entry["findings"] if g["rule"] == "beyond-stop" and g["message"] == message]
        cases.holds(name, not left, str(left)[:300])
    cases.holds("values are told to who forgets", len(asked) > len(known) // 2, str(len(asked)))


def main():
    cases, seen = Cases(), Counter()
    boats = []
    for k in range(CASES):
        r = random.Random(harness.SEED + k)
        for own in (False, True):
            for surfaces in (2, 4) if harness.LEVEL == "full" else (2,):
                data = tail(r, own, surfaces)
                boats.append((f"clean {own} {surfaces} {k}", None, data))
                for way in WAYS:
                    broken = fresh(data)
                    way(broken, r, own)
                    boats.append((f"{way.__name__} {'own' if own else 'mixed'} {surfaces} {k}", way, broken))
    entries = edits.ask([write(data) for *_, data in boats])
    asked = []
    for (name, way, data), entry in zip(boats, entries):
        if way is None:
            cases.holds(f"{name}: nothing is wrong", not entry["findings"] and not entry["mistakes"], str(entry)[:300])
            continue
        cases.holds(f"{name}: something is wrong", entry["findings"] and not entry["mistakes"], str(entry.get("mistakes"))[:300])
        # What is told once for several findings is told for all of them.
        every = [line for f in entry["findings"] for line in f["help"]]
        cures = {}
        for f in entry["findings"]:
            told = proposals(data, f)
            cures.setdefault(f["rule"], []).extend(told)
            bad = [line for line in f["help"] if MEASURED.search(line)]
            cases.holds(f"{name}: {f['where']}: nothing measured is altered", not bad, str(bad))
            asked += [(name, f, what, there, entry) for what, there in told]
        for rule in {f["rule"] for f in entry["findings"]}:
            cases.holds(f"{name}: {rule}: something to dial in is told", cures.get(rule), str(every)[:400])
        seen[way.__name__] += sum(map(len, cures.values()))
    for (name, f, what, there, before), entry in zip(asked, edits.ask([write(there) for *_, there, _ in asked])):
        key = f["rule"], f["where"], f["state"]
        if not cases.holds(f"{name}: {what}: read", entry["status"] != "unreadable", str(entry["mistakes"])[:200]):
            continue
        side = [g["message"] for g in entry["findings"] if (g["rule"], g["where"], g["state"]) == key and g["message"] == f["message"]]
        cases.holds(f"{name}: {f['message']}: {what} cures it", not side, str(side)[:300])
        new = errors(entry) - errors(before)
        cases.holds(f"{name}: {what}: nothing else goes wrong", not new, str(new))
    knowing_less(cases, boats)
    for way in WAYS:
        cases.holds(f"{way.__name__}: cures were told and tried", seen[way.__name__] > 0)
    print("  " + ", ".join(f"{what} {n}" for what, n in sorted(seen.items())))
    cases.end()


if __name__ == "__main__":
    main()
