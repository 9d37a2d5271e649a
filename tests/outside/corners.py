"""Seeded random boats for the corners of the format, one family for each.

    switches    a switch that drives a channel, is mixed in and stands in conditions, all at once
    slack       works that let go late, after the pilot, noise, a preset or a stage had engaged them
    micros      rates, trims and positions in microseconds where the two sides of the scale differ
    also        what stands under `also` instead of `effects`: screws, planes, a leveller's correction
    starts      what can hurt: at power-up and on a lost link, behind guards that guard or do not
    motors      controllers that know ahead only or learn their rest, driven by whatever is mixed in
    hands       a leveller as a hand: works behind it that no stick touches
    guards      conditions that the first setting fulfils, emergency controls beside busy ones, held and momentary
    equal       everything on a coarse grid, so that thresholds are touched exactly
    watch       a unit that watches a channel which the pilot moves too

All boats are invented; the meaning of every key is that of the project's description of its format.

    python corners.py NAME SEED        prints one boat file
"""

import random
import sys

from boatfile import axis, completed, write
from generate import NAMES

LINES = {
    "past_full_stick": ("cut off", "carries on"),
    "endpoint": ("scales", "clamps"),
    "endpoint_side": ("stick", "pulse"),
    "trim": ("before endpoint", "after endpoint"),
    "mix": ("before endpoint", "after endpoint"),
    "sub_trim": ("shifts ends", "keeps ends"),
}
ALL = ("switches", "slack", "micros", "also", "starts", "motors", "hands", "guards", "equal", "watch")
LOPSIDED = ((1400, 500, 300), (1600, 300, 500), (1500, 320, 400), (1450, 400, 250))
PAIRS = {"helm": ("turns left", "turns right"), "dive": ("bow rises", "bow dips"), "speed": ("drives astern", "drives ahead")}
WAYS = {"helm": {"left": "port", "right": "starboard"}, "dive": {"towards": "rise", "away": "dive"},
        "speed": {"towards": "astern", "away": "ahead"}, "tank": {"left": "flood", "right": "blow"},
        "air": {"lower": "shut", "upper": "open"}, "gun": {"lower": "back", "upper": "shoot"},
        "still": {"lower": "low", "upper": "high"}}
SINK, RAISE = ("vent valve", "flood valve"), ("pump switch", "blow valve")
GRAVE = ("emergency gas valve", "firing contact", "release")


def pc(n, sign=False):
    """A percentage as text, a half percent being the finest."""
    text = f"{round(n * 2) / 2:g} %"
    return "+" + text if sign and n > 0 else text


class Boat:
    def __init__(self, name, seed):
        self.r = r = random.Random(f"corner {name} {seed}")
        self.name, self.micros, self.coarse = name, name == "micros", name == "equal"
        rest, self.up, self.down = r.choice(LOPSIDED) if self.micros or self.yes(0.1) else \
            r.choice([(1500, 400, 400), (1500, 500, 500), (1520, 400, 400)])
        acc = 0 if self.coarse else r.choice([0, 1, 2, 4])
        shut = r.choice([1, 1, 0.7])
        order = {k: r.choice(v) for k, v in LINES.items() if r.random() < shut}
        kind = "surface" if name in ("motors", "starts", "guards") and self.yes(0.7) else "submarine"
        self.data = {
            "lidcard": "1",
            "boat": {"name": r.choice(NAMES), "kind": kind, **({"floats_when_stopped": "yes"} if self.yes(0.3) else {})},
            "transmitter": {"channels": "8", "furthest": f"{r.choice([110, 125, 150])} %", "step": "1 %",
                            "pulse": {"rest": f"{rest} us", "full": [f"{rest - self.down} us", f"{rest + self.up} us"],
                                      "accuracy": f"{acc} us"}},
            "controls": {}, "channels": {}, "receiver": {}, "devices": {}}
        if order:
            self.data["transmitter"]["order"] = order
        said = axis(f"corner {name} {seed}", rest, self.up, self.down)
        # Positions are read on the axis of the file, which need not be that of the set.
        self.scale = rest, self.up, self.down
        if said:
            self.data["axis"] = said
            at, low, high = (int(text.split()[0]) for text in (said["rest"], *said["full"]))
            self.scale = at, high - at, at - low
        self.reach = {}

    def yes(self, chance):
        return self.r.random() < chance

    def off(self, most=4):
        """A tolerance behind a position, or none."""
        if self.coarse:
            return ""
        if self.micros and self.yes(0.5):
            return f" ± {self.r.randint(0, 20)} us"
        return self.r.choice(["", f" ± {pc(self.r.randint(0, 2 * most) / 2)}"])

    def place(self, n):
        """A position on the axis, at times as the meter reads it."""
        n = round(n / 5) * 5 if self.coarse else round(n * 2) / 2
        if self.micros and self.yes(0.4):
            rest, up, down = self.scale
            return f"{rest + n * (up if n >= 0 else down) / 100:g} us"
        return pc(n, True)

    def control(self, name, kind=None, wants=True, **more):
        ways = WAYS[name]
        out = {"at": more.pop("at", f"place of {name}"), "ways": dict(ways)}
        if kind:
            out["kind"] = kind
        if wants and name in PAIRS:
            out["wants"] = dict(zip(ways.values(), PAIRS[name]))
        if self.yes(0.4) and self.name != "equal":
            n = self.r.choice([5, 10, 20])
            out["trim"] = f"{4 * n} us" if self.micros and self.yes(0.7) else f"{n} %"
        else:
            out["trim"] = "locked"
        self.data["controls"][name] = {**out, **more}

    def switch(self, name, settings, **more):
        self.data["controls"][name] = {"at": more.pop("at", f"place of {name}"), "kind": "switch", "settings": settings, **more}
        apart = random.Random(f"home {sorted(self.data['controls'])} {settings} {self.r.getstate()[1][:3]}")
        if apart.random() < 0.25:
            self.data["controls"][name]["home"] = apart.choice(settings)

    def ends_of(self, control):
        c = self.data["controls"][control]
        return list(c["ways"].values()) if "ways" in c else [c["settings"][0], c["settings"][-1]]

    def channel(self, n, control, mixes=(), rated=0.4, wants=None, ends=None, **more):
        r = self.r
        low, high = self.ends_of(control)
        grid = 5 if self.coarse else 1
        ends = ends or tuple(grid * r.randint(20 // grid, 110 // grid) for _ in range(2))
        longer = r.choice([low, high])
        out = {"name": f"line {n}", "control": control, "longer": longer,
               "endpoints": {low: pc(ends[0]), high: pc(ends[1])}}
        # how far each side of the axis may be driven, for works to be put there
        self.reach[n] = (ends[1], ends[0]) if longer == high else (ends[0], ends[1])
        if self.yes(rated):
            out["rate"] = self.rate(control, low, high)
        if self.yes(0.25) and not self.coarse:
            sub = r.randint(-12, 12)
            out["sub_trim"] = f"{4 * sub} us" if self.micros and self.yes(0.6) else pc(sub)
        if mixes:
            out["mixes"] = list(mixes)
        if wants:
            out["wants"] = wants
        self.data["channels"][str(n)] = {**out, **more}

    def rate(self, control, low, high):
        r = self.r
        if self.micros:
            one = lambda: f"{r.choice([120, 160, 240, 300, 400])} us"
        else:
            one = lambda: f"{r.choice([40, 50, 70, 80, 100, 120, 150])} %"
        switches = [s for s, c in self.data["controls"].items() if "settings" in c and s != control]
        both = lambda f: {low: f(), high: f()}
        per = lambda f: (lambda s: {s: {k: f() for k in self.data["controls"][s]["settings"]}})(r.choice(switches))
        shapes = [one, lambda: both(one)]
        if switches:
            shapes += [lambda: per(one), lambda: per(lambda: both(one))]
        return r.choice(shapes)()

    def mix(self, of, most=60, **when):
        r = self.r
        n = r.choice([-1, 1]) * (5 * r.randint(1, most // 5) if self.coarse else r.randint(4, most))
        out = {"add": pc(n), "of": of}
        if when:
            out["when"] = when
        c = self.data["controls"].get(of, {})
        # On which side a trim in microseconds counts that comes along with a mix is nobody's business here.
        if c.get("trim", "locked") != "locked" and not self.micros and self.yes(0.4):
            out["with_trim"] = "yes"
        return out

    def work(self, kind, n, side=None, late=0.4, ended=0.3, near=True, **more):
        """A work somewhere about where channel n ends, on one side of the axis."""
        r = self.r
        side = side or r.choice([-1, 1])
        far = self.reach[n][0 if side > 0 else 1] if n in self.reach else 60
        start = max(10, far + r.choice([-30, -10, -5, 0, 5, 10, r.randint(-50, 30)])) if near else r.randint(15, 110)
        out = {"kind": kind, "from": self.place(side * start) + self.off()}
        if self.yes(ended):
            out["to"] = self.place(side * (start + r.randint(5, 40))) + self.off()
        if self.yes(late):
            out["releases"] = self.place(side * max(0 if self.yes(0.2) else 5, start - r.randint(5, 40))) + self.off(2)
        return {**out, **more}

    def servo(self, name, n, works=None, behind=None, stops=0.5, **more):
        out = {"kind": "servo", **({"behind": behind} if behind else {"channel": str(n)})}
        if not self.coarse and self.yes(0.8):
            out["accuracy"] = f"{self.r.choice([4, 5, 8])} us" if self.micros and self.yes(0.5) else pc(self.r.randint(0, 6) / 2)
        if self.yes(stops):
            out["stops"] = [self.place(-self.r.randint(80, 130)), self.place(self.r.randint(80, 130))]
        if works:
            out["works"] = works
        self.data["devices"][name] = {**out, **more}

    def effects(self, n, control, turned=0.15):
        """What a longer pulse does where the channel's own control is to do what it wants, or now and then the reverse."""
        low, high = PAIRS[control]
        longer = self.data["channels"][str(n)]["longer"]
        up = longer == self.ends_of(self.data["channels"][str(n)]["control"])[1]
        if self.yes(turned):
            up = not up
        return {"longer": high if up else low, "shorter": low if up else high}

    def loss(self, channels, unit=0.4, works=None):
        """What the receiver sends without a link, and a unit behind it in some."""
        r = self.r
        spot = lambda n: self.place(r.choice([0, 0, r.randint(-110, 110), r.choice([-1, 1]) * (max(self.reach.get(n, (60,))) - r.randint(0, 30))]))
        kind = r.choice(["no pulses", "hold", "noise", "preset", "preset"])
        with_unit = self.yes(unit)
        if with_unit and self.yes(0.8):
            kind = "no pulses"
        if kind == "preset":
            loss = {str(n): spot(n) for n in channels if self.yes(0.7)}
            loss["others"] = r.choice(["hold", "hold", "no pulses", "noise"])
            if works and self.yes(0.3):
                loss["works"] = r.sample(works, 1)
            self.data["receiver"]["on_loss"] = loss
        else:
            self.data["receiver"]["on_loss"] = kind
        self.data["receiver"]["after"] = "1 s"
        if with_unit:
            on = [n for n in channels if self.yes(0.8)] or channels[:1]
            stages = []
            for name in ["early", "middle", "last"][-r.randint(1, 3):]:
                some = {str(n): spot(n) for n in on if self.yes(0.8)} or {str(on[0]): spot(on[0])}
                stage = {"name": name, "set": some, **({} if name == "last" else {"lasts": "5 s"})}
                if works and self.yes(0.5):
                    stage["works"] = r.sample(works, r.randint(1, min(2, len(works))))
                stages.append(stage)
            self.data["fail_safe"] = {"channels": [str(n) for n in on], "notices": "no pulses",
                                      "accuracy": f"{r.choice([2, 4, 8])} us", "wait": "3 s", "stages": stages}

    def when(self, switches):
        """A condition on one of the switches, or none."""
        s = self.r.choice(switches + [None])
        return {s: self.r.choice(self.data["controls"][s]["settings"])} if s else {}


def switches(b):
    r = b.r
    b.control("tank", r.choice([None, "buttons", "slider"]))
    b.control("helm")
    b.switch("mode", r.choice([["calm", "full"], ["calm", "middle", "full"]]))
    if b.yes(0.4):
        b.switch("arm", ["safe", "armed"])
    some = [s for s in ("mode", "arm") if s in b.data["controls"]]
    own = r.choice(["tank", "tank", "mode"])
    mixes = [b.mix("mode", 90, **b.when(some)) for _ in range(r.choice([1, 1, 2]) if own == "tank" else r.choice([0, 1]))]
    if b.yes(0.3):
        mixes.append(b.mix("helm", **b.when(some)))
    first = {} if own == "mode" else {"flood": r.choice(["a", "b"])} if b.yes(0.5) else {}
    b.channel(1, own, mixes, wants=first)
    b.channel(2, "helm", [b.mix("mode", 60, **b.when(some))] if b.yes(0.6) else [b.mix("channel 1")])
    works = {"a": b.work(r.choice(SINK + ("light", "other")), 1), "b": b.work(r.choice(RAISE + GRAVE), 1)}
    if b.yes(0.4):
        works["c"] = b.work(r.choice(GRAVE + ("light",)), 1, reserved={"unless": b.when(some) or {"mode": "full"}})
    b.servo("tank_servo", 1, works)
    b.servo("rudder", 2, {"d": b.work(r.choice(SINK + RAISE), 2)} if b.yes(0.5) else None, effects=b.effects(2, "helm"))
    b.loss([1, 2], 0.2)


def slack(b):
    r = b.r
    b.control("tank", r.choice([None, "buttons", "slider"]))
    b.control("air", r.choice(["buttons", "slider"]))
    b.channel(1, "tank", wants=r.choice([{"flood": "vent", "blow": "pump"}, {"blow": "pump"}, {}]))
    b.channel(2, "air", [b.mix("tank")] if b.yes(0.3) else [])
    side = r.choice([-1, 1])
    works = {"vent": b.work(r.choice(SINK), 1, -side, 0.8), "pump": b.work(r.choice(RAISE), 1, r.choice([side, side, -side]), 0.8)}
    if b.yes(0.6):
        works["gas"] = b.work(r.choice(GRAVE + RAISE), 1, side, 0.7, **({"never_with": ["pump"]} if b.yes(0.6) else {}))
    b.servo("box", 1, works)
    b.servo("second", 2, {"air": b.work(r.choice(RAISE + SINK), 2, None, 0.8)})
    b.loss([1, 2], 0.5, list(works))


def micros(b):
    r = b.r
    b.control("tank", r.choice([None, "buttons", "slider"]))
    b.control("helm")
    b.control("speed", rests="where left")
    b.channel(1, "tank", [b.mix("helm", 30)] if b.yes(0.3) else [], rated=0.8, wants={"flood": "vent", "blow": "pump"})
    b.channel(2, "helm", [b.mix("tank", 40)] if b.yes(0.4) else [], rated=0.8)
    b.channel(3, "speed", rated=0.6)
    up = 1 if b.data["channels"]["1"]["longer"] == "blow" else -1
    b.servo("box", 1, {"vent": b.work("vent valve", 1, -up), "pump": b.work("pump switch", 1, up),
                       "gas": b.work("emergency gas valve", 1, up)})
    b.servo("rudder", 2, effects=b.effects(2, "helm"))
    controller(b, "esc", 3)
    b.loss([1, 3], 0.4, ["pump", "gas"])


def controller(b, name, n, effects=None, **more):
    band = [b.place(-b.r.randint(2, 10)), b.place(b.r.randint(2, 10))]
    b.data["devices"][name] = {"kind": "speed controller", "channel": str(n), "still_between": band,
                               **({"accuracy": "1 %"} if b.yes(0.3) else {}),
                               **({"without_pulses": b.r.choice(["stops", "stays"])} if b.yes(0.7) else {}),
                               "effects": effects or b.effects(n, "speed"), **more}


def also(b):
    r = b.r
    b.control("helm")
    b.control("speed", rests=r.choice(["where left", "centre"]))
    b.control("dive")
    b.channel(1, "speed", [b.mix("helm", 40)])
    b.channel(2, "speed", [b.mix("helm", 40)])
    b.channel(3, "dive", [b.mix("helm", 20)] if b.yes(0.4) else [])
    b.channel(4, "dive")
    swap = lambda pair: dict(zip(("effects", "also"), r.sample(pair, 2)))
    for name, n in (("port_esc", 1), ("starboard_esc", 2)):
        pair = swap([b.effects(n, "speed"), r.choice([{"longer": "turns right", "shorter": "turns left"}, {"longer": "turns left", "shorter": "turns right"}])])
        controller(b, name, n, pair["effects"], also=pair["also"])
    roll = {"longer": "rolls left", "shorter": "rolls right"}
    b.servo("planes", 3, **swap([b.effects(3, "dive"), roll]))
    low, high = r.randint(20, 90), r.randint(20, 90)
    b.data["devices"]["keeper"] = {"kind": "leveller", "channel": "4", "role": "override", "still_between": [pc(-5), pc(5, True)],
                                   "limits": [pc(-low), pc(high, True)], "correction": pc(r.randint(20, 90)),
                                   "corrects": {"bow high": r.choice(["longer", "shorter"])}}
    b.servo("stern", 0, None, "keeper", **swap([b.effects(4, "dive"), roll]))
    b.loss([1, 2, 3], 0.4)


def starts(b):
    r = b.r
    b.control("gun", r.choice(["buttons", "slider", None]))
    b.control("helm")
    b.switch("arm", r.choice([["safe", "armed"], ["armed", "safe"], ["safe", "ready", "armed"]]))
    settings = b.data["controls"]["arm"]["settings"]
    kind = lambda: r.choice(["firing contact", "release", "steam regulator", "other", "light", "emergency gas valve"])
    own = r.choice(["gun", "gun", "gun", "arm"])
    fire = {"work": "barrel", "needs": {"arm": r.choice(settings)}} if b.yes(0.5) and own == "gun" else "barrel"
    b.channel(1, own, [b.mix("helm", 40)] if b.yes(0.2) else [], rated=0.6, wants={"shoot": fire} if own == "gun" else {r.choice([settings[0], settings[-1]]): "barrel"})
    b.channel(2, "helm", [b.mix("gun", 80, **b.when(["arm"]))] if b.yes(0.5) else [])
    guard = {"reserved": {"unless": {"arm": r.choice(settings)}}} if b.yes(0.4) and own == "gun" else {}
    harm = {"dangerous": "yes"} if b.yes(0.4) else {}
    b.servo("tube", 1, {"barrel": b.work(kind(), 1, **guard, **harm)})
    if b.yes(0.5):
        b.data["devices"]["box"] = {"kind": "relay", "channel": "2", "works": {
            "lance": b.work(kind(), 2, **({"wakes": "on"} if b.yes(0.2) else {}), **({"dangerous": "yes"} if b.yes(0.4) else {}))}}
    else:
        b.servo("rudder", 2, {"lance": b.work(kind(), 2, **({"dangerous": "yes"} if b.yes(0.5) else {}))}, effects=b.effects(2, "helm"))
    b.loss([1, 2], 0.4, ["barrel", "lance"])


def motors(b):
    r = b.r
    b.control("helm")
    b.control("speed", r.choice([None, "slider"]), **({"rests": r.choice(["where left", "centre"])} if b.yes(0.6) else {}))
    b.control("air", r.choice(["buttons", "slider"]))
    b.control("still", "slider", wants=False)
    b.switch("mode", ["calm", "full"])
    own = r.choice(["speed", "speed", "still"])
    mixes = [b.mix(r.choice(["helm", "air", "mode"]), 40, **b.when(["mode"])) for _ in range(r.choice([0, 1, 1, 2]))]
    if own == "still":
        mixes.insert(0, {"add": pc(r.choice([100, 100, 80, -100])), "of": "speed"})
    b.channel(1, own, mixes, **({"rate": "0 %"} if own == "still" else {}), rated=0 if own == "still" else 0.4)
    b.channel(2, "helm")
    if own == "still":
        up = b.data["channels"]["1"]["longer"] == "high"
        effects = dict(zip(("longer", "shorter"), PAIRS["speed"][::-1] if up else PAIRS["speed"]))
    else:
        effects = b.effects(1, "speed")
    kind = r.choice(["one_way", "learns_rest", "none", "both"])
    more = {k: "yes" for k in ("one_way", "learns_rest") if kind in (k, "both")}
    controller(b, "esc", 1, effects, **more)
    if "one_way" in more:
        if b.yes(0.7):
            del b.data["devices"]["esc"]["still_between"]
        else:
            b.data["devices"]["esc"]["still_between"] = [pc(-100), pc(-r.randint(70, 95))]
    b.servo("rudder", 2, effects=b.effects(2, "helm"))
    b.loss([1, 2], 0.3)


def hands(b):
    r = b.r
    b.control("dive")
    b.control("tank", r.choice([None, "buttons", "slider"]))
    b.switch("arm", ["safe", "armed"])
    b.channel(1, "dive", [b.mix("tank", 30)] if b.yes(0.3) else [])
    b.channel(2, "tank", wants={"blow": "pump"})
    low, high = r.randint(20, 100), r.randint(20, 100)
    b.data["devices"]["keeper"] = {"kind": "leveller", "channel": "1", "still_between": [pc(-5), pc(5, True)],
                                   **({"limits": [pc(-low), pc(high, True)]} if b.yes(0.85) else {})}
    b.reach[0] = (high, low)
    kinds = SINK + RAISE + GRAVE + ("light", "other")
    works = {}
    for name in ("x", "y")[:r.choice([1, 2])]:
        more = r.choice([{}, {"reserved": "yes"}, {"reserved": {"unless": {"arm": r.choice(["safe", "armed"])}}}, {"dangerous": "yes"}])
        works[name] = b.work(r.choice(kinds), 0, **more)
    b.servo("stern", 0, works, "keeper", effects=b.effects(1, "dive"))
    if b.yes(0.4):
        b.servo("stern_two", 0, {"z": b.work(r.choice(kinds), 0)}, "keeper")
    b.servo("box", 2, {"pump": b.work("pump switch", 2)})
    b.loss([1, 2], 0.3, ["pump"])


def guards(b):
    r = b.r
    b.control("helm", at="right stick")
    b.control("gun", r.choice(["buttons", "slider", None]))
    if b.yes(0.5):          # on the other line of the stick that steers her
        b.data["controls"]["gun"] = {"at": "right stick", "ways": {"towards": "back", "away": "shoot"}, "trim": "locked"}
    b.control("air", r.choice(["buttons", "slider"]))
    b.switch("arm", r.choice([["safe", "armed"], ["armed", "safe"]]))
    b.switch("mode", ["calm", "full"])
    arm = lambda: {"arm": r.choice(["safe", "armed"])}
    wants = {"shoot": r.choice(["barrel", {"work": "barrel", "needs": arm()}])}
    b.channel(1, "gun", [b.mix("helm", 30, **b.when(["arm", "mode"]))] if b.yes(0.3) else [], rated=0.7, wants=wants)
    b.channel(2, "air", [b.mix(r.choice(["gun", "mode", "helm"]), 80)] if b.yes(0.6) else [])
    b.channel(3, "helm", [b.mix("air", 40, **b.when(["mode"]))] if b.yes(0.4) else [])
    signal = lambda: {"signal": r.choice(["held", "momentary"])} if b.yes(0.5) else {}
    guard = r.choice([{}, {}, {"reserved": {"unless": arm()}}])
    up = 1 if b.data["channels"]["1"]["longer"] == "shoot" else -1
    b.servo("tube", 1, {"barrel": b.work(r.choice(GRAVE), 1, up, **guard, **signal())})
    b.servo("second", 2, {"hook": b.work(r.choice(GRAVE + ("sound", "light")), 2, **signal())})
    b.servo("rudder", 3, effects=b.effects(3, "helm"))
    b.loss([1, 2], 0.2, ["barrel", "hook"])


def equal(b):
    r = b.r
    b.control("tank", r.choice([None, "buttons", "slider"]))
    b.control("air", r.choice(["buttons", "slider"]))
    b.channel(1, "tank", [b.mix("air", 30)] if b.yes(0.3) else [], rated=0.2, wants=r.choice([{"flood": "vent"}, {}]))
    b.channel(2, r.choice(["air", "tank"]), [b.mix("tank", 50)] if b.yes(0.4) else [], rated=0.2)
    b.servo("water", 1, {"vent": b.work("vent valve", 1, ended=0.5), "lamp": b.work("light", 1)})
    n = r.choice([1, 2])
    b.servo("second", n, {"pump": b.work("pump switch", n, ended=0.5)})
    if n == 1:
        b.servo("spare", 2)
    b.loss([1, 2], 0.4, ["pump"])


def watch(b):
    r = b.r
    b.control("tank", r.choice([None, "buttons"]))
    b.control("helm")
    b.control("air", r.choice(["buttons", "slider"]))
    b.channel(1, "tank", wants={"flood": "vent", "blow": "pump"})
    b.channel(2, r.choice(["air", "helm"]), [b.mix(r.choice(["helm", "tank"]), 40)] if b.yes(0.6) else [])
    b.channel(3, "helm")
    up = 1 if b.data["channels"]["1"]["longer"] == "blow" else -1
    b.servo("box", 1, {"vent": b.work("vent valve", 1, -up), "pump": b.work("pump switch", 1, up)})
    b.servo("dimmer", 2)
    b.servo("rudder", 3, effects=b.effects(3, "helm"))
    b.loss([1], 1, ["pump"])
    side = r.choice([-1, 1])
    at = r.choice([70, 80, 90])
    b.data["fail_safe"]["channels"] = ["1"]
    b.data["fail_safe"]["stages"] = [
        {"name": "up", "lasts": "9 s", "set": {"1": b.place(up * (b.reach[1][0 if up > 0 else 1] + r.randint(-20, 10)))}, "works": ["pump"]},
        {"name": "last", "set": {"1": pc(0)}}]
    b.data["fail_safe"]["notices"] = {"channel": "2", "beyond": pc(side * at, True) + r.choice(["", " ± 2 %"])}
    b.data["receiver"]["on_loss"] = {"2": pc(side * (at + r.choice([-5, 0, 1, 5, 15])), True), "others": r.choice(["hold", "no pulses"])}


def boat(name, seed):
    """Text of one boat of a family."""
    b = Boat(name, seed)
    globals()[name](b)
    used = write({k: v for k, v in b.data.items() if k != "controls"})
    for control in list(b.data["controls"]):       # what nothing hangs on is a mistake of the file
        if not any(f"{key}: {control}{end}" in used for key in ("control", "of") for end in ",}") and \
                f"{{{control}: " not in used:
            del b.data["controls"][control]
    return write(completed(b.data))


if __name__ == "__main__":
    print(boat(sys.argv[1], int(sys.argv[2])), end="")
