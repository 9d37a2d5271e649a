"""What a boat file says, as far as outputs and thresholds hang on it."""

import io
import itertools
import math
import re
from fractions import Fraction as F

from ruamel.yaml import YAML

from .chain import LINES, steps

PLUS = {"right", "away", "upper"}
NUMBER = re.compile(r"^\s*([+-]?\d*\.?\d+)\s*(%|us|µs|μs|deg|°|mm)?\s*$")
UNSAID = (None, "none", "not measured", "exact", "locked")
GRID = F(1, 1_000_000)


def yes(x):
    return x in ("yes", "true")


def listed(x):
    return [] if x is None else x if isinstance(x, list) else [x]


def amount(text, unit=None):
    n, found = NUMBER.match(text).groups()
    found = {"µs": "us", "μs": "us", "°": "deg"}.get(found or unit, found or unit)
    return F(n), found


def sign(x):
    return (x > 0) - (x < 0)


def empties(d):
    """The side of its axis on which a device empties her, as far as its effects say; 0 where they do not."""
    does = lambda word: [x for key in ("effects", "also") if isinstance(d.get(key), dict) for x in listed(d[key].get(word))]
    for side, here, there in ((-1, "shorter", "longer"), (1, "longer", "shorter")):
        if "empties" in does(here) or "fills" in does(there):
            return side
    return 0


def read(text):
    return YAML(typ="base", pure=True).load(io.StringIO(text))


class Boat:
    def __init__(self, data, taken=()):
        self.data, self.taken = data, dict(taken)
        # By device: how much farther than said the measures of its linkage can be off.
        self.rods = {}
        send = self.data.get("transmitter") or {}
        pulse = send.get("pulse") or {}
        self.set = self.scale(pulse)
        self.axis = self.scale(self.data["axis"]) if self.data.get("axis") else self.set
        accuracy = pulse.get("accuracy")
        self.pulse_off = F(0) if accuracy in UNSAID else amount(accuracy)[0]
        self.furthest = self.percent(send.get("furthest", "125 %"))
        self.step = self.percent(send.get("step", "5 %"))
        self.lines = send.get("order") or {}
        self.unit = dict(self.data.get("fail_safe") or {})
        notices = self.unit.get("notices")
        self.beyond = self.toleranced(notices["beyond"]) if isinstance(notices, dict) else None
        self.unit_off = self.accuracy_of_unit()
        self.loss = (self.data.get("receiver") or {}).get("on_loss", "no pulses")
        self.controls = {name: self.control(c) for name, c in self.data["controls"].items()}
        self.channels = {int(n): self.channel(c or {}) for n, c in self.data["channels"].items()}
        self.channels = dict(sorted(self.channels.items()))
        for name, c in self.controls.items():
            self.trim_in_us(name, c)
        self.devices = {name: self.device(name, d) for name, d in (self.data.get("devices") or {}).items()}

    @staticmethod
    def scale(said):
        full = said.get("full", ["1100 us", "1900 us"])
        rest, low, high = (amount(x)[0] for x in (said.get("rest", "1500 us"), *full))
        return rest, rest - low, high - rest

    @staticmethod
    def percent(text):
        return amount(text)[0] / 100

    @staticmethod
    def span(scale, side):
        return scale[1] if side < 0 else scale[2]

    def share(self, text, side):
        """A share of the set's own travel on one side."""
        n, unit = amount(text)
        return n / self.span(self.set, side) if unit == "us" else n / 100

    def position(self, text, device=None, unit=None):
        """A place on the axis."""
        n, unit = amount(text, unit)
        if unit == "us":
            away = n - self.axis[0]
            return away / self.span(self.axis, -1 if away < 0 else 1)
        if unit == "deg":
            return n / amount(device["turn"])[0]
        if unit == "mm":
            return self.of_arm(n, device)
        return n / 100

    @staticmethod
    def of_arm(n, device):
        turn, arm = amount(device["turn"])[0], amount(device["arm"])[0]
        part = F(math.degrees(math.asin(n / arm))) / turn
        return F(math.floor(abs(part) / GRID + F(1, 2))) * GRID * sign(part)

    def toleranced(self, text, device=None):
        """(value, the most it can be off)"""
        value, _, off = text.replace("+-", "±").partition("±")
        (n, unit), at = amount(value), self.position(value, device)
        if not off.strip() or off.strip() == "not measured":
            return at, GRID if unit == "mm" else F(0)
        o, of = amount(off, unit)
        if of == "us":
            sides = [-1, 1] if at == 0 else [sign(at)]
            wide = max(o / self.span(self.axis, s) for s in sides)
        elif of == "deg":
            wide = o / amount(device["turn"])[0]
        elif of == "mm":
            turn, arm = amount(device["turn"])[0], amount(device["arm"])[0]
            middle = n if unit == "mm" else F(math.sin(math.radians(at * turn))) * arm
            wide = max(abs(at - self.of_arm(middle - o, device)), abs(self.of_arm(middle + o, device) - at)) + GRID
        else:
            wide = o / 100
        return at, wide + (GRID if unit == "mm" else 0)

    def share_of_axis(self, text):
        n, unit = amount(text)
        return max(n / self.span(self.axis, s) for s in (-1, 1)) if unit == "us" else n / 100

    def pulse(self, at):
        return self.axis[0] + at * self.span(self.axis, -1 if at < 0 else 1)

    # controls and channels ------------------------------------------------------------------------
    def control(self, c):
        settings = c.get("settings", [])
        kind = c.get("kind", "switch" if settings and "ways" not in c else "stick")
        ways = {word: 1 if hand in PLUS else -1 for hand, word in c.get("ways", {}).items()}
        if settings:
            ways = {settings[0]: -1, settings[-1]: 1}
        rests = c.get("rests")
        return {"settings": settings, "home": c.get("home", settings[0] if settings else None), "ways": ways, "trim": [F(0), F(0)], "said": c.get("trim"),
                "springs": kind in ("stick", "buttons") if rests is None else rests != "where left"}

    def trim_in_us(self, name, c):
        if c["said"] in UNSAID:
            return
        n, unit = amount(c["said"])
        if unit != "us":
            c["trim"] = [n / 100] * 2
            return
        c["trim"] = [max(n / self.span(self.set, s) for s in (-1, 1))] * 2
        senses = [ch["sense"] for ch in self.channels.values() if ch["control"] == name]
        if senses:
            c["trim"] = [max(n / self.span(self.set, way * g) for g in senses) for way in (-1, 1)]

    def channel(self, c):
        own = c.get("control")
        mixes = []
        for m in c.get("mixes", []):
            of = m["of"]
            if of.startswith("channel ") and of not in self.controls:
                of = int(of.split()[1])
            mixes.append({"add": self.percent(m["add"]), "of": of, "when": m.get("when") or {},
                          "trim": yes(m.get("with_trim"))})
        plain = [m["of"] for m in mixes if not isinstance(m["of"], int)]
        ways = self.controls[own or plain[0]]["ways"] if own or plain else {}
        longer = ways[c["longer"]] if "longer" in c else -1 if yes(c.get("reverse")) else 1
        ends = c.get("endpoints", {})
        ends = {w: ends for w in ways} if isinstance(ends, str) else ends
        side = {way: next((self.percent(v) for w, v in ends.items() if ways[w] == way), F(1)) for way in (-1, 1)}
        if isinstance(c.get("endpoints"), str):
            side = dict.fromkeys((-1, 1), self.percent(c["endpoints"]))
        sub = c.get("sub_trim", "0 %")
        return {"control": own, "mixes": mixes, "sense": longer, "ends": [side[-1], side[1]], "ways": ways,
                "sub": self.share(sub, -1 if amount(sub)[0] < 0 else 1), "rate": c.get("rate", "100 %"),
                "expo": self.percent(c.get("expo", "0 %")),
                "measured": {word: amount(v)[0] for word, v in (c.get("measured") or {}).items()}}

    def rate(self, ch, way, settings):
        r = ch["rate"]
        while isinstance(r, dict):
            word = next((w for w in r if ch["ways"].get(w) == way), None)
            key = next(iter(r))
            r = r[key][settings[key]] if word is None else r[word]
        return self.share(r, way * ch["sense"])

    def influence(self, n):
        """(controls that move a channel, switches that choose something on it)"""
        controls, switches, seen, left = set(), set(), set(), [n]
        while left:
            at = left.pop()
            if at in seen:
                continue
            seen.add(at)
            ch = self.channels[at]
            controls.update([ch["control"]] if ch["control"] else [])
            rates = [ch["rate"]]
            while rates:
                r = rates.pop()
                if isinstance(r, dict):
                    switches.update(k for k in r if k in self.controls and k not in ch["ways"])
                    rates += r.values()
            for m in ch["mixes"]:
                switches.update(m["when"])
                left.append(m["of"]) if isinstance(m["of"], int) else controls.add(m["of"])
        thrown = switches | {c for c in controls if self.controls[c]["settings"]}
        return controls, [c for c in self.controls if c in thrown]

    def stands(self, name, setting):
        settings = self.controls[name]["settings"]
        return F(2 * settings.index(setting), max(1, len(settings) - 1)) - 1 if len(settings) > 1 else F(0)

    def settings_of(self, switches):
        """Every choice of settings of some switches, the last changing fastest."""
        for some in itertools.product(*(self.controls[s]["settings"] for s in switches)):
            yield dict(zip(switches, some))

    # orders ---------------------------------------------------------------------------------------
    def open_orders(self):
        return list(itertools.product(*([self.lines[k]] if k in self.lines else words for k, words in LINES)))

    def measured(self, n):
        """(place, way, control, pulse) of each measured pulse, in their order. Its own control's ways come first, then
        those of controls that are mixed in, then those of channels that are; of one control the low way first."""
        moving, left = [], [n]
        for at in left:
            mixed = [m["of"] for m in self.channels[at]["mixes"]]
            left += [of for of in dict.fromkeys(mixed) if isinstance(of, int) and of not in left]
            moving += [c for c in [self.channels[at]["control"], *mixed] if c and not isinstance(c, int) and c not in moving]
        found = []
        for word, pulse in self.channels[n]["measured"].items():
            found.append(next((place, way, control, pulse) for place, control in enumerate(moving)
                              for w, way in self.controls[control]["ways"].items() if word in (w, f"{control}.{w}")))
        return sorted(found)

    def differing(self, order):
        """The first measured way that an order does not explain: (channel, control, way, pulse, measured)"""
        for n, ch in self.channels.items():
            for _, way, control, measured in self.measured(n):
                positions = {c: self.stands(c, x["home"]) if x["settings"] else F(0)
                             for c, x in self.controls.items()}
                settings = {c: x["home"] for c, x in self.controls.items() if x["settings"]}
                positions[control] = F(way)
                if control in settings:
                    settings[control] = self.controls[control]["settings"][-1 if way > 0 else 0]
                got = self.pulse(steps(self, n, order, settings, positions, {})["output"])
                if abs(got - measured) > self.pulse_off + 5:
                    return n, control, way, got, measured
        return None

    # devices --------------------------------------------------------------------------------------
    def device(self, name, d):
        off = d.get("accuracy")
        n, unit = (F(0), "%") if off in UNSAID else amount(off)
        n = n / amount(d["turn"])[0] * 100 if unit == "deg" else n
        stops = d.get("stops")
        pair = stops if isinstance(stops, list) else [None, None]
        out = {"channel": int(d["channel"]) if "channel" in d and "behind" not in d else None,
               "behind": d.get("behind"), "share": n / 100 if unit != "us" else F(0), "us": n if unit == "us" else F(0),
               "stops": [None if s in UNSAID else self.toleranced(s, d) for s in pair], "kind": d.get("kind"),
               "limits": [self.position(x) for x in d["limits"]] if "limits" in d else None,
               "still": [self.position(x) for x in d["still_between"]] if isinstance(d.get("still_between"), list) else None,
               "level": self.level(name, d), "without": d.get("without_pulses"), "one_way": yes(d.get("one_way")),
               "correction": self.share_of_axis(d["correction"]) if d.get("correction") not in UNSAID else None, "works": {}}
        for w, part in (d.get("works") or {}).items():
            out["works"][w] = self.work(f"{name}.{w}", part, d)
        return out

    def level(self, name, d):
        """Where she hangs level, of what holds its place and fills or empties her by it; at its best where nobody said."""
        side = empties(d)
        if d.get("kind") not in ("servo", "piston") or not side:
            return None
        if d.get("level_at") not in UNSAID:
            return self.toleranced(d["level_at"], d)
        return -side * F(3, 2) * self.span(self.set, -side) / self.span(self.axis, -side), F(0)

    def work(self, name, part, device):
        def at(key):
            x = part.get(key)
            if x in UNSAID or x == "where it engages":
                return None
            if isinstance(x, list):
                return self.readings(name, key, [self.toleranced(r, device) for r in x])
            return self.toleranced(x, device)

        work = {key: at(key) for key in ("from", "to", "full", "releases")}
        middle = sum(self.position(r, device) for r in part["clicks"]) if "clicks" in part else work["from"][0]
        work["from"] = at("clicks") if "clicks" in part else work["from"]
        sides = [sign(middle), *(sign(work[k][0]) for k in ("full", "to") if work[k])]
        return {**work, "side": next((s for s in sides if s), 0)}

    def readings(self, name, key, taken):
        """Where a point lies that was read several times; of five and more the certificate says where."""
        if len(taken) >= 5 and (name, key) in self.taken:
            return self.taken[name, key]
        low, high = min(at for at, _ in taken), max(at for at, _ in taken)
        return (low + high) / 2, max((high - low) / 2, self.step) + max(off for _, off in taken)

    def accuracy_of_unit(self):
        """How far its pulses can be off in microseconds; None where that is not said."""
        said = self.unit.get("accuracy")
        if said == "exact":
            return F(0)
        if said in UNSAID:
            return None
        n, unit = amount(said)
        return n if unit == "us" else n / 100 * max(self.axis[1:])

    def slack(self, device, side, by_unit=False):
        """How far a device can be off on one side, with the pulse it gets."""
        d, pulse = self.devices[device], self.pulse_off
        if by_unit:
            pulse = self.pulse_off if self.unit_off is None else self.unit_off
        return d["share"] + (d["us"] + pulse) / self.span(self.axis, side)
