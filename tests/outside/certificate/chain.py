"""From hand to pulse: every step of a channel, and what happens to its signal from the endpoint on."""

from fractions import Fraction as F

LINES = [("past_full_stick", ("cut off", "carries on")), ("endpoint", ("scales", "clamps")),
         ("endpoint_side", ("stick", "pulse")), ("trim", ("before endpoint", "after endpoint")),
         ("mix", ("before endpoint", "after endpoint")), ("sub_trim", ("shifts ends", "keeps ends"))]


def steps(boat, n, order, settings, positions, trims):
    """Every step of a channel at one place of everything."""
    word = dict(zip((k for k, _ in LINES), order))
    signals = {}

    def added(ch):
        total = F(0)
        for m in ch["mixes"]:
            if all(settings[s] == at for s, at in m["when"].items()):
                x = signal(m["of"]) if isinstance(m["of"], int) else \
                    positions.get(m["of"], F(0)) + (trims.get(m["of"], F(0)) if m["trim"] else 0)
                total += m["add"] * x
        return total

    def signal(k):
        if k not in signals:
            ch, v = boat.channels[k], F(0)
            if ch["control"]:
                p, e = positions.get(ch["control"], F(0)), ch["expo"]
                v = boat.rate(ch, -1 if p < 0 else 1, settings) * ((1 - e) * p + e * p**3)
                v += trims.get(ch["control"], F(0)) if word["trim"].startswith("before") else 0
            signals[k] = v + (added(ch) if word["mix"].startswith("before") else 0)
        return signals[k]

    ch, v = boat.channels[n], signal(n)
    behind = trims.get(ch["control"], F(0)) if word["trim"].startswith("after") else F(0)
    behind += added(ch) if word["mix"].startswith("after") else 0
    shape = Shape(boat, ch, word)
    w = shape.endpoint(v)
    out = shape.sense * (w + behind) + shape.sub
    return {"signals": signals, "endpoint": w, "added": behind, "unlimited": out, "output": shape.sent(out)}


class Shape:
    """What a channel does with its signal from the endpoint on."""

    def __init__(self, boat, ch, word):
        self.boat, self.sense, self.sub = boat, ch["sense"], ch["sub"]
        low, high = ch["ends"]
        self.ends = [high, low] if word["endpoint_side"] == "pulse" and self.sense < 0 else [low, high]
        self.cut_off, self.scales = word["past_full_stick"] == "cut off", word["endpoint"] == "scales"
        far = boat.furthest
        self.limits = [-far, far]
        if word["sub_trim"] == "keeps ends":
            shorter, longer = self.ends if self.sense > 0 else reversed(self.ends)
            self.limits = [max(-far, min(far, -shorter)), max(-far, min(far, longer))]

    def endpoint(self, v):
        q = max(F(-1), min(F(1), v)) if self.cut_off else v
        if self.scales:
            return q * self.ends[0 if q < 0 else 1]
        return max(-self.ends[0], min(self.ends[1], q))

    def bends(self):
        return sorted({*([F(-1), F(1)] if self.cut_off else []), *([F(0)] if self.scales else [-self.ends[0], self.ends[1]])})

    def unsent(self, at):
        """The output of the set that lies at a place on the axis."""
        away = self.boat.pulse(at) - self.boat.set[0]
        return away / self.boat.span(self.boat.set, -1 if away < 0 else 1)

    def sent(self, out):
        out = max(self.limits[0], min(self.limits[1], out))
        boat = self.boat
        if boat.set == boat.axis:
            return out
        away = boat.set[0] + out * boat.span(boat.set, -1 if out < 0 else 1) - boat.axis[0]
        return away / boat.span(boat.axis, -1 if away < 0 else 1)
