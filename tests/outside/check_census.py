"""Every question that a boat file raises is answered.

From the file alone: which rule has to be asked of which device, work, way or stage, and in which state. For each
of them `lidcard check --all` must list an answer: proved, broken, undecided, or not judged for want of a figure.
A rule that no longer asks would otherwise look like a boat without a fault.

What has to be asked is taken from the table of rules, the states and the later decisions in this project's
description of the boat file, and for the rules beyond that table from what `lidcard explain` says about when
they apply. No verdict is worked out here.

    LIDCARD_CASES=500 LIDCARD_FAMILY=100 python check_census.py
"""

import itertools
import re
from collections import Counter

import edits
import harness
from boatfile import load
from harness import Cases

CASES = harness.count("LIDCARD_CASES", 5, 20, 200)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 5, 40)
SINK = {"vent valve", "flood valve"}
RAISE = {"pump switch", "blow valve", "emergency gas valve"}
LETS_GO = {"firing contact", "release"}
HOT = {"burner", "fuel valve", "ignition", "steam regulator"}
DRIVES = {"drives ahead", "drives astern"}
OPPOSITES = [("turns left", "turns right"), ("bow rises", "bow dips"), ("stern rises", "stern dips"),
             ("rolls left", "rolls right"), ("drives ahead", "drives astern"), ("hauls in", "pays out"),
             ("fills", "empties"), ("raises", "lowers"), ("opens", "closes"), ("swings left", "swings right")]


def yes(x):
    return x in ("yes", "true")


def listed(x):
    return [] if x is None else x if isinstance(x, list) else [x]


class Boat:
    """What stands where in a file, by plain names."""

    def __init__(self, data):
        self.data = data
        self.controls, self.channels = data["controls"], data["channels"]
        self.devices = data.get("devices", {})
        self.unit = data.get("fail_safe", {})
        self.loss = data.get("receiver", {}).get("on_loss", "no pulses")
        self.preset = self.loss if isinstance(self.loss, dict) else {}
        self.works = [(d, w, part) for d, device in self.devices.items() for w, part in device.get("works", {}).items()]

    def source(self, name):
        """The channel whose pulses a device gets, through whatever stands before it."""
        device = self.devices[name]
        while "behind" in device:
            device = self.devices[device["behind"]]
        return device.get("channel")

    def led(self, name):
        """Whether a leveller stands before a device."""
        device = self.devices[name]
        while "behind" in device:
            device = self.devices[device["behind"]]
            if device["kind"] == "leveller":
                return True
        return False

    def words(self, number):
        """The builder's word for each end of what drives a channel by itself."""
        control = self.controls.get(self.channels[number].get("control"), {})
        if "settings" in control:
            return [control["settings"][0], control["settings"][-1]]
        return list(control.get("ways", {}).values())

    def springs(self, control):
        c = self.controls.get(control, {})
        kind = "switch" if "settings" in c else c.get("kind", "stick")
        rests = c.get("rests")
        return kind in ("stick", "buttons", "button") if rests is None else rests != "where left"

    def wanted(self, number, word):
        """Names of the works that a way of a channel wants, as they stand in the file."""
        some = self.channels[number].get("wants", {}).get(word)
        return [w["work"] if isinstance(w, dict) else w for w in listed(some)]

    def is_named(self, some, device, work):
        return any(x in (work, f"{device}.{work}") for x in some)

    def reserved(self, part):
        return part["kind"] == "emergency gas valve" or isinstance(part.get("reserved"), dict) or yes(part.get("reserved"))

    def hurts(self, part):
        return part["kind"] in HOT | {"firing contact"} or yes(part.get("dangerous"))

    def effects(self, name):
        """Everything that a device does to the boat, whatever it stands under."""
        device = self.devices[name]
        said = [v for key in ("effects", "also") for v in device.get(key, {}).values()]
        return {one for v in said for one in (v if isinstance(v, list) else [v])}

    def mixed_into(self, number, seen=()):
        """Controls that enter a channel by a mix, directly or through another channel."""
        out = []
        for mix in self.channels[number].get("mixes", []):
            if mix["of"].startswith("channel "):
                other = mix["of"].split()[1]
                out += [self.channels[other].get("control"), *self.mixed_into(other)]
            else:
                out.append(mix["of"])
        return [c for c in out if c]

    def states(self, *numbers):
        """The states in which some of these channels get pulses that are neither the pilot's nor, all of them together,
        those of an earlier stage."""
        out = ["piloting"]
        noise = "noise" in (self.loss, self.preset.get("others"))
        # A unit that surely knows noise and holds until it acts leaves its channels where the pilot had them.
        held = lambda number: number in self.unit.get("channels", []) and self.unit.get("until_it_acts") == "holds" and \
            self.unit.get("notices") == "invalid pulses" and "tried" in self.unit and self.loss == "noise"
        if any(number in self.preset or noise and not held(number) for number in numbers):
            out.append("waiting")
        rest = (self.data.get("axis") or self.data["transmitter"].get("pulse", {})).get("rest", "1500 us")
        here = {number: None for number in numbers}
        seen = [dict(here)]
        for stage in self.unit.get("stages", []):
            set_here = {n: at for n, at in stage["set"].items() if n in here and n in self.unit["channels"]}
            here.update({number: "0 %" if at == rest else at for number, at in set_here.items()})
            if here not in seen:
                out.append(f"stage {stage['name']}")
                seen.append(dict(here))
        return out


def exclude(boat, a, b):
    """Whether two works must never be engaged at once."""
    (da, wa, pa), (db, wb, pb) = a, b
    if {pa["kind"] in SINK, pb["kind"] in SINK} == {True, False} and (pa["kind"] in RAISE or pb["kind"] in RAISE):
        return True
    names = lambda part, own, device, work: any(
        x == f"{device}.{work}" or (x == work and own == device) for x in listed(part.get("never_with")))
    return names(pa, da, db, wb) or names(pb, db, da, wa)


def due(data):
    """[(rule, where, state, how many)]; a where or state of None stands for any."""
    boat = Boat(data)
    out = []
    ask = lambda rule, where, state="piloting", many=1: out.append((rule, where, state, many))
    for d, w, part in boat.works:
        about, number = f"{d}.{w}", boat.source(d)
        if number is None:
            continue
        sinks, grave = part["kind"] in SINK, boat.reserved(part) or boat.hurts(part)
        words = boat.words(number)
        if boat.reserved(part):
            ask("emergency-within-reach", about)
        if boat.led(d):
            if (sinks or grave) and not boat.reserved(part):
                ask("unwanted-within-reach", about)
            if (sinks or grave) and not yes(part.get("kept_on")):
                ask("works-at-rest", about)
        else:
            unwanted = [x for x in words if not boat.is_named(boat.wanted(number, x), d, w)]
            if not boat.reserved(part) and unwanted:
                ask("unwanted-within-reach", about, many=len(unwanted))
            for word in set(words) - set(unwanted):
                ask("wanted-not-reached", about)
            own = boat.channels[number].get("control")
            if own and boat.springs(own) and not yes(part.get("kept_on")):
                ask("works-at-rest", about)
        if sinks:
            ask("sinks-on-loss", about, None)
        if boat.preset and number in boat.preset and not boat.led(d) and \
                (sinks or boat.reserved(part) and not boat.is_named(listed(boat.preset.get("works")), d, w)):
            ask("waiting-engages", about, None)
        if boat.hurts(part):
            ask("starts-on", about, "power-up")
        if part["kind"] in HOT or yes(part.get("dangerous")) or \
                number in boat.preset and part["kind"] in LETS_GO and not boat.reserved(part) and not boat.led(d) and not (
                    part["kind"] == "release" and boat.is_named(listed(boat.preset.get("works")), d, w)):
            ask("burns-on-after-loss", about, None)
        for stage in boat.unit.get("stages", []):
            if boat.is_named(listed(stage.get("works")), d, w):
                ask("stage-misses", f"{stage['name']}.{w}", f"stage {stage['name']}")
            elif sinks or number in boat.unit["channels"] and not boat.led(d):
                ask("stage-engages", f"{stage['name']}.{w}", f"stage {stage['name']}")
        if "signal" in part and any(boat.is_named(boat.wanted(number, x), d, w) for x in words):
            ask("control-of-wrong-kind", about)
    pairs = Counter()
    for a, b in itertools.combinations(boat.works, 2):
        if exclude(boat, a, b) and boat.source(a[0]) and boat.source(b[0]):
            # What a leveller moves by itself it moves in every state alike.
            pairs.update(boat.states(*{boat.source(d) for d in (a[0], b[0]) if not boat.led(d)}))
    for state, many in pairs.items():
        ask("works-together", None, state, many)
    for name, device in boat.devices.items():
        number = boat.source(name)
        if number is None:
            continue
        stops = sum(x != "none" for x in device["stops"]) if isinstance(device.get("stops"), list) else 0
        if stops:
            for state in boat.states(number) if not boat.led(name) else ["piloting"]:
                if state == "waiting" and number not in boat.preset:
                    continue          # noise against stops is told once for the boat
                ask("beyond-stop", name, state, 1 if boat.led(name) else stops)
        filling = [side for side in ("longer", "shorter")
                   for key in ("effects", "also") if "fills" in listed(device.get(key, {}).get(side))]
        if filling:
            ask("sinks-on-loss", name, None, len(filling))
            if number in boat.preset and not boat.led(name):
                ask("waiting-engages", name, "waiting", len(filling))
            for stage in boat.unit.get("stages", []):
                ask("stage-engages", name, f"stage {stage['name']}", len(filling))
        if device["kind"] == "speed controller":
            if boat.effects(name) & DRIVES:
                ask("motor-runs-on-loss", name, "power-up")
                ask("motor-runs-on-loss", name, None, 2)
            if yes(device.get("one_way")):
                ask("one-way-controller", name)
            if yes(device.get("learns_rest")):
                ask("rest-learned-wrongly", name, "power-up")
            if not yes(device.get("one_way")) and boat.effects(name) & (DRIVES | {"turns left", "turns right"}) and \
                    set(boat.mixed_into(number)) - {boat.channels[number].get("control")}:
                ask("turns-at-rest", name)
        if "still_between" in device and not yes(device.get("one_way")) and device["kind"] in ("speed controller", "leveller"):
            ask("neutral-missed", name)
        if "signal" in device:
            ask("control-of-wrong-kind", name)
        if device["kind"] == "leveller" and "corrects" in device:
            for behind, other in boat.devices.items():
                if other.get("behind") == name and boat.effects(behind) & {"bow rises", "bow dips", "stern rises", "stern dips"}:
                    ask("levelling-runs-away", behind)
        senses(boat, name, number, ask)
    for number, channel in boat.channels.items():
        if "control" in channel and not yes(channel.get("spare")):
            ask("sense-not-measured", f"{number}/", None)
        if "measured" in channel:
            ask("measured-differs", f"{number}", None)
    if any(re.search(r"%|deg|mm", text) for text in on_axis(data)):
        ask("percent-without-axis", None)
    if boat.unit:
        ask("loss-unseen", "fail_safe", None)
        if isinstance(boat.unit.get("notices"), dict):
            ask("unit-tripped-by-pilot", "fail_safe")
    if data.get("boat", {}).get("kind", "submarine") == "submarine" and not yes(data["boat"].get("floats_when_stopped")):
        ask("no-blow-on-loss", None, None)
    return out


def on_axis(data):
    """Every figure that means another pulse where the axis is another one, microseconds or not."""
    loss, unit = data.get("receiver", {}).get("on_loss"), data.get("fail_safe", {})
    for device in data.get("devices", {}).values():
        yield from (device[key] for key in ("accuracy", "correction") if key in device)
        for holder in (device, *device.get("works", {}).values()):
            for key in ("stops", "still_between", "limits", "from", "to", "full", "releases", "clicks"):
                yield from listed(holder.get(key))
    yield from (v for k, v in loss.items() if k.isdigit()) if isinstance(loss, dict) else ()
    yield unit.get("accuracy", "")
    yield from [unit["notices"]["beyond"]] if isinstance(unit.get("notices"), dict) else []
    for stage in unit.get("stages", []):
        yield from stage.get("set", {}).values()


def senses(boat, name, number, ask):
    """What a way wants of every device that its channels drive, or channels that mix it in by a plain add."""
    channel = boat.channels[number]
    direct = [m["of"] for m in channel.get("mixes", []) if not m["of"].startswith("channel ")]
    for control in dict.fromkeys([channel.get("control"), *direct]):
        for word, want in boat.controls.get(control, {}).get("wants", {}).items():
            pair = next((set(p) for p in OPPOSITES if want in p), {want})
            if pair & boat.effects(name):
                ask("sense-reversed", f"{number}/{word}")
                ask("axis-lost", f"{number}/{word}")


def missing(data, answers):
    """What ought to be answered and is not."""
    out = []
    want = Counter()
    for rule, where, state, many in due(data):
        # Two devices that a way is to move on one channel may be told together.
        want[rule, where, state] = 1 if rule in ("sense-reversed", "axis-lost") else want[rule, where, state] + many
    for (rule, where, state), many in want.items():
        got = sum(len(some) for (r, w, s), some in answers.items()
                  if r == rule and (where is None or w == where or w.startswith(where) and where.endswith("/") or
                                    rule == "measured-differs" and w.split("/")[0] == where)
                  and (state is None or s == state))
        if got < many:
            out.append(f"{rule} of {where or 'the boat'} [{state or 'any state'}]: {got} of {many} answered")
    return out


def main():
    cases, asked = Cases(), Counter()
    boats = [*edits.boats_at_hand(), *edits.random_boats(CASES, FAMILY)]
    for (name, text), entry in zip(boats, edits.ask([t for _, t in boats])):
        answers = edits.answers(entry)
        if answers is None:
            cases.holds(name, False, f"not read: {entry['mistakes'][:1]}")
            continue
        data = load(text)
        out = missing(data, answers)
        for rule, *_ in due(data):
            asked[rule] += 1
        cases.holds(name, not out, "\n    ".join(out[:8]))
    print("  " + ", ".join(f"{rule} {n}" for rule, n in sorted(asked.items())))
    cases.holds("each of these rules was due somewhere", len(asked) >= 26, str(sorted(asked)))
    cases.end()


if __name__ == "__main__":
    main()
