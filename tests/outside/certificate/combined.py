"""Answers that are put together from several: which of them the boat file makes due, and that those told are these.

A tree is ("any", trees): wrong where one of these may be; ("all", trees): where each of these may be; a question, by what it
asks of what; or an estimate, which nobody follows. Whether something raises her hangs on how long each state lasts, what is
on for too long as well: these figures of the file decide which states stand together in a tree.
"""

import re
from fractions import Fraction as F

from .boat import UNSAID, amount, listed, sign, yes
from .told import need

ESTIMATE = "an estimate"
RAISE = ("pump switch", "blow valve", "emergency gas valve", "drop weight")
# Where one of these rests nobody knows unless it is said; what holds its place has a place where she hangs level.
BANDED = ("speed controller", "two-way pump", "leveller")


def grams(text):
    """A weight and what it can be off, in grams."""
    at, _, off = text.replace("+-", "±").partition("±")
    usual = re.search("k?g", at)[0]

    def one(x):
        number = re.match(r"\s*([-+]?[0-9.]+)\s*(k?g)?", x)
        return F(number[1]) * (1000 if (number[2] or usual) == "kg" else 1)
    return one(at), one(off) if off else F(0)


def seconds(text):
    return F(text.removesuffix("s").strip())


class After:
    """What comes with a lost link: [(name, state, how long it lasts, what it adds to a go)]; None: until the signal returns."""

    def __init__(self, world):
        self.boat, self.states, unit = world.boat, world.states, world.boat.unit
        self.unit, self.sure = bool(unit), bool(unit) and world.states.unit_is_sure()
        stages, wait = unit.get("stages", []), seconds(unit.get("wait", "0 s"))
        self.hands_back = bool(stages) and "lasts" in stages[-1]
        # Whether the receiver has her again, or still, in the end.
        self.for_good = not self.sure or self.hands_back or not stages
        self.steps = [("waiting", "waiting", wait if self.sure else None, wait)]
        for stage in stages:
            lasts = seconds(stage["lasts"]) if "lasts" in stage else None
            self.steps.append((f"stage {stage['name']}", f"stage {stage['name']}", lasts, lasts or F(0)))
        if self.sure and self.for_good:
            self.steps.append(("lost for good", "waiting", None, F(0)))
        self.at = {name: dict(self.states.places(name)) for name in self.boat.devices}

    def place(self, name, step):
        """Where a preset or a stage sets a device; None where neither does."""
        at = self.at[name][step[1]]
        return at if isinstance(at, dict) else None

    def lasts(self, go, step):
        ended = step[0] == "waiting" and len(go) > 1 and not self.hands_back
        return step[3] if ended else step[2]

    def counts(self, go, step):
        """What a preset does until the unit takes over is no help."""
        return step[0] != "waiting" or not self.unit or len(go) == 1 or (step[2] is None and self.hands_back)

    def runs(self, go, name, needed):
        """The shortest runs of states in which a device is set that last for so long together, none within another."""
        out, last = [], -1
        for k in range(len(go)):
            total = F(0)
            for j in range(k, last, -1):
                if self.place(name, go[j]) is None:
                    break
                one = self.lasts(go, go[j])
                total = None if total is None or one is None else total + one
                if total is None or needed is not None and total >= needed:
                    out.append(go[j:k + 1])
                    last = j
                    break
        return out

    # what raises her ------------------------------------------------------------------------------
    def works(self):
        return [(d, w, part) for d, device in self.boat.data["devices"].items()
                for w, part in device.get("works", {}).items() if part["kind"] in RAISE]

    def pumps(self):
        """(device, side) of whatever empties her tank by itself, where it is known from where on it does."""
        for name, device in self.boat.devices.items():
            for side, word in ((-1, "shorter"), (1, "longer")):
                known = device["still"] is not None and not device["one_way"] or \
                    device["still"] is None and device["kind"] not in BANDED
                if known and "empties" in effects(self.boat, name, word):
                    yield name, side

    def short(self, go, what, device, part, estimated):
        """What has to be for a thing not to run as long as it must: by the file, and by the estimate."""
        leaf = lambda step: {**what, "place": self.place(device, step)}
        if part is not None and part["kind"] == "drop weight":
            on = [leaf(step) for step in go if self.place(device, step) is not None]
            weight = self.weight(part)
            return (on if weight == "surely" else []), ([("any", [("all", on), ESTIMATE])] if weight == ESTIMATE and on and estimated else [])
        needed = seconds(part["must_run"]) if part is not None and "must_run" in part else None
        surely = [("any", [leaf(step) for step in run]) for run in self.runs(go, device, needed)]
        on = [leaf(step) for step in go if self.place(device, step) is not None and self.counts(go, step)]
        if needed is not None or not on:
            return surely, []
        # One that floats up by herself needs it for the start only.
        if yes(self.boat.data["boat"].get("floats_when_stopped")):
            return [*surely, ("all", on)], []
        return surely, [("any", [("all", on), ESTIMATE])] if estimated else []

    def weight(self, part):
        """Whether a weight that is let go lifts her: surely one that floats up by herself, else by an estimate or not at all."""
        if yes(self.boat.data["boat"].get("floats_when_stopped")):
            return "surely"
        heavy, weighs = (self.boat.data.get("hull") or {}).get("heavy"), part.get("weighs")
        if weighs in UNSAID or heavy is None:
            return None
        (pull, off), (more, by) = grams(weighs), grams(heavy)
        return ESTIMATE if pull - off > more + by else "too light"

    def things(self):
        """(what is asked, device, part) of everything that raises her."""
        for name, side in self.pumps():
            yield {"kind": "falls short", "device": name, "side": side}, name, None
        for d, w, part in self.works():
            yield {"kind": "misses", "function": [d, w], "fully": False}, d, part

    def no_blow(self, estimated):
        goes = [self.steps] if self.sure or not self.unit else [self.steps[:1], self.steps]
        out = []
        for go in goes:
            both = [self.short(go, *thing, estimated) for thing in self.things()]
            out.append(("all", [*(x for some, _ in both for x in some), *(x for _, some in both for x in some)]))
        return ("any", out)

    # the emergency --------------------------------------------------------------------------------
    def switched_off(self, state, estimated):
        """What may fail to raise her once the set is off, each with what keeps it from running for long enough."""
        stages = [step for step in self.steps if step[0].startswith("stage ")]
        waiting = [("lost for good", "waiting", None, F(0))] if self.for_good else []
        if not self.sure and self.unit:
            here, go = (waiting, self.steps[:1]) if state == "lost for good" else (stages, self.steps)
        else:
            here, go = stages + waiting, self.steps
        out = []
        for step in here:
            for d, w, part in self.works():
                if (at := self.place(d, step)) is not None:
                    asked = {"kind": "misses", "function": [d, w], "fully": "full" in part, "place": at}
                    out.append(self.lasting(go, asked, {"kind": "misses", "function": [d, w], "fully": False}, d, part, estimated))
            for name, side in self.pumps():
                if (at := self.place(name, step)) is not None:
                    asked = {"kind": "falls short", "device": name, "side": side}
                    out.append(self.lasting(go, {**asked, "place": at}, asked, name, None, estimated))
        return ("all", out)

    def lasting(self, go, asked, what, device, part, estimated):
        surely, by_estimate = self.short(go, what, device, part, estimated)
        return ("any", [asked, ("all", surely + by_estimate)])


def effects(boat, name, word):
    """What a device does on one side of its axis."""
    said = boat.data["devices"][name]
    return [x for key in ("effects", "also") for x in listed((said.get(key) or {}).get(word))]


def noise(after):
    """Every stop against which noise may drive a device."""
    out = []
    for name, d in after.boat.devices.items():
        places = []
        for state, at in after.states.places(name):
            if state != "power-up" and isinstance(at, list) and at not in places and d["channel"] is not None:
                places.append(at)
        out += [{"kind": "passes", "device": name, "place": at, "edge": {"what": "stop", "side": side}}
                for stop, side in zip(d["stops"], (-1, 1)) if stop for at in places]
    return ("any", out)


def too_long(after, where, state):
    """The last states up to this one that together last for longer than a work may run; none where they do not."""
    d, w = where.split(".", 1)
    part = after.boat.data["devices"][d]["works"][w]
    pumps = (after.boat.data.get("tank") or {}).get("emptied_by") or {}
    duty = next((x["duty"] for key, x in pumps.items() if key in (where, w) and "duty" in x), None)
    most = min(seconds(x) for x in (part.get("longest", "none"), duty) if x not in (None, "none"))
    here = next(i for i, step in enumerate(after.steps) if step[0] == state)
    run, total = [], F(0)
    for step in reversed(after.steps[:here + 1]):
        if after.place(d, step) is None:
            break
        run.append({"kind": "engages", "function": [d, w], "place": after.place(d, step)})
        one = step[2] if len(run) == 1 else step[3]
        total = None if one is None else total + one
        if total is None or total > most:
            return ("any", [("all", run[::-1])])
    return ("any", [])


def thrown_out(after, where, state):
    """Motors that a state sets ahead, where it sets planes hard over."""
    at = lambda name: F(after.at[name][state]["at"]) if isinstance(after.at[name][state], dict) else F(0)
    ahead = [name for name, d in after.boat.devices.items() if d["kind"] == "speed controller" and d["still"] and at(name)
             and "drives ahead" in effects(after.boat, name, "longer" if at(name) > 0 else "shorter")]
    motors = [{"kind": "leaves", "device": name, "place": after.at[name][state]} for name in ahead]
    return ("any", motors if abs(at(where)) >= F(1, 2) else [])


def by_hand(world, step):
    """What may fail to raise her while a hand does a step, on every channel in which it has a part."""
    boat, after = world.boat, After(world)
    held, rest, setting = listed(step.get("hold")), listed(step.get("rest")), dict(step.get("with") or {})
    at = {c: F(0) for c in rest}
    for c, x in boat.controls.items():
        for word in (w.removeprefix(f"{c}.") for w in held if w.startswith(f"{c}.")):
            if x["settings"]:
                setting[c] = word
            else:
                at[c] = F(x["ways"][word])
    at.update({c: boat.stands(c, s) for c, s in setting.items()})
    out = []
    for name, d in boat.devices.items():
        if d["channel"] is None or not set(at) & {*boat.influence(d["channel"])[0], *boat.influence(d["channel"])[1]}:
            continue
        works = [(w, part) for device, w, part in after.works() if device == name]
        for w, part in works:
            weight = after.weight(part) if part["kind"] == "drop weight" else "surely"
            leaf = {"kind": "misses", "function": [name, w], "fully": "full" in part, "place": "pilot"}
            out += [leaf] if weight == "surely" else [("any", [leaf, ESTIMATE])] if weight == ESTIMATE else []
        out += [{"kind": "falls short", "device": name, "side": side, "place": "pilot"} for n, side in after.pumps() if n == name]
    hands = world.read_hands({"thrown": False, "positions": {c: [str(x)] * 2 for c, x in at.items()}, "only": list(setting.items())})
    with_hands = lambda x: {**x, "hands": hands} if isinstance(x, dict) else (x[0], [with_hands(part) for part in x[1]]) if isinstance(x, tuple) else x
    out = [with_hands(x) for x in out]
    return out[0] if len(out) == 1 else ("all", out)


def due(world, q, why):
    """Every tree that a question may be, or nothing where its rule asks one thing at a time."""
    rule = q["rule"]
    if rule == "emergency-does-not-raise":
        steps = [s for s in listed((world.boat.data.get("owner") or {}).get("emergency")) if isinstance(s, dict)]
        hands = [by_hand(world, s) for s in steps if "switch_off" not in s]
        off = [After(world).switched_off(q["state"], e) for e in (False, True)] if len(hands) < len(steps) else []
        trees = [tree for tree in hands if q["state"] == "piloting"] + [tree for tree in off if q["state"] != "piloting"]
        return trees if kinds(why) & {"misses", "falls short"} or not kinds(why) else []
    own = {"no-blow-on-loss": lambda a: [a.no_blow(False), a.no_blow(True)], "runs-too-long": lambda a: [too_long(a, q["where"], q["state"])],
           "broaches-on-loss": lambda a: [thrown_out(a, q["where"], q["state"])],
           "beyond-stop": lambda a: [noise(a)] if "any_of" in why or q["where"] == "receiver" else []}
    return own[rule](After(world)) if rule in own else []


def kinds(why):
    """Every kind of question within an answer."""
    if not isinstance(why, dict):
        return set()
    parts = why.get("any_of", why.get("all_of"))
    return set().union(*map(kinds, parts)) if parts is not None else {why["asks"]["kind"]}


def check(world, q, why, came):
    """That an answer is put together from what the file makes due, in the way in which it does."""
    trees = due(world, q, why)
    need(any(follows(world, why, tree, came) for tree in trees) if trees else not any_in(why),
         "it is put together otherwise than the boat file does")


def any_in(why):
    return isinstance(why, dict) and ("any_of" in why or any(map(any_in, why.get("all_of", []))))


def follows(world, why, tree, came):
    if tree == ESTIMATE:
        return why == ESTIMATE
    if isinstance(tree, dict):
        return isinstance(why, dict) and "asks" in why and is_asked(world, why["asks"], tree)
    word, parts = tree
    told = why.get(f"{word}_of") if isinstance(why, dict) else None
    if told is None:
        return False
    # One that may be is enough of any, and one that may not of all.
    if came[id(why)] == ("broken" if word == "any" else "proved"):
        return any(follows(world, told[0], part, came) for part in parts)
    return paired(world, told, parts, came)


def paired(world, told, parts, came):
    """Whether each of some answers is one of some questions, and none is left."""
    return len(told) == len(parts) and (not told or any(
        follows(world, told[0], part, came) and paired(world, told[1:], parts[:i] + parts[i + 1:], came)
        for i, part in enumerate(parts)))


def is_asked(world, asks, want):
    for key, value in want.items():
        if key == "hands":
            mine = world.over(asks["over"])
            if any(mine[k] != value[k] for k in ("positions", "trims", "thrown", "orders")) or \
                    sorted(mine["only"]) != sorted(value["only"]) or mine["never"]:
                return False
        elif isinstance(value, dict) and key == "edge":
            if any(asks["edge"][k] != x for k, x in value.items()):
                return False
        elif asks.get(key) != value:
            return False
    return True
