"""How far an output goes, from coefficients alone: cases of a channel, and bounds of their sums.

A cubic on one side of rest lies between its least and greatest Bernstein coefficient; on a piece where it only
rises or only falls those are its ends. So a bound is followed without a root being found anywhere.
"""

from fractions import Fraction as F

from .chain import LINES, Shape


def terms(boat, n, order, settings):
    """Before and behind the endpoint, by control: linear and cubic on the low and on the high side, trim."""
    word = dict(zip((k for k, _ in LINES), order))
    memo = {}

    def mixed(ch):
        total = {}
        for m in ch["mixes"]:
            if any(settings[s] != at for s, at in m["when"].items()):
                continue
            if isinstance(m["of"], int):
                for c, factors in before(m["of"]).items():
                    put(total, c, [m["add"] * x for x in factors])
            else:
                put(total, m["of"], [m["add"], F(0), m["add"], F(0), m["add"] if m["trim"] else F(0)])
        return total

    def before(k):
        if k not in memo:
            ch, total = boat.channels[k], {}
            if ch["control"]:
                low, high = (boat.rate(ch, way, settings) for way in (-1, 1))
                e = ch["expo"]
                trim = F(word["trim"].startswith("before"))
                put(total, ch["control"], [low * (1 - e), low * e, high * (1 - e), high * e, trim])
            if word["mix"].startswith("before"):
                for c, factors in mixed(ch).items():
                    put(total, c, factors)
            memo[k] = total
        return memo[k]

    ch = boat.channels[n]
    after = mixed(ch) if word["mix"].startswith("after") else {}
    if ch["control"] and word["trim"].startswith("after"):
        put(after, ch["control"], [F(0)] * 4 + [F(1)])
    return clean(boat, before(n)), clean(boat, after)


def put(total, control, factors):
    total[control] = [a + b for a, b in zip(total.get(control, [F(0)] * 5), factors)]


def clean(boat, total):
    """In the order of the file, without what comes to nothing; a control without a trim has no factor of one."""
    out = {}
    for c, control in boat.controls.items():
        if c in total:
            factors = total[c][:4] + [total[c][4] if any(control["trim"]) else F(0)]
            if any(factors):
                out[c] = factors
    return out


class Case:
    """One channel under one order and one choice of settings."""

    def __init__(self, boat, n, order, settings):
        self.channel = n
        self.before, self.after = terms(boat, n, order, settings)
        self.shape = Shape(boat, boat.channels[n], dict(zip((k for k, _ in LINES), order)))

    def moved(self):
        return [c for c in {**self.before, **self.after}]

    def output(self, positions):
        """With the trims at nought."""
        sums = []
        for some in (self.before, self.after):
            at = [(positions.get(c, F(0)), factors) for c, factors in some.items()]
            sums.append(sum((f[0] * p + f[1] * p**3 if p < 0 else f[2] * p + f[3] * p**3 for p, f in at), F(0)))
        v, a = sums
        return self.shape.sent(self.shape.sense * (self.shape.endpoint(v) + a) + self.shape.sub)

    def said(self):
        """As the certificate writes it."""
        s = self.shape
        text = lambda some: {c: [str(x) for x in factors] for c, factors in some.items()}
        return {"before": text(self.before), "after": text(self.after),
                "shape": {"sense": s.sense, "ends": [str(x) for x in s.ends], "cut_off": s.cut_off,
                          "scales": s.scales, "sub_trim": str(s.sub), "limits": [str(x) for x in s.limits]}}


def bernstein(linear, cubic, a, b):
    """The coefficients of linear·p + cubic·p³ between a and b."""
    return [linear * a + cubic * a**3, linear * (2 * a + b) / 3 + cubic * a * a * b,
            linear * (a + 2 * b) / 3 + cubic * a * b * b, linear * b + cubic * b**3]


def pieces(low, high, cuts, one_piece=False):
    """Neighbouring places, on one side of rest each; None where the cuts do not cut the range so."""
    places = [low, *cuts, high]
    if low == high:
        return [(low, high)] if not cuts else None
    if any(a >= b for a, b in zip(places, places[1:])) or (low < 0 < high and F(0) not in cuts and not one_piece):
        return None
    return list(zip(places, places[1:]))


def side(factors, b):
    return factors[0:2] if b <= 0 else factors[2:4]


def curve_bound(factors, low, high, cuts, up):
    """What a curve never goes beyond, up or down, by its pieces; None where they do not cut the range."""
    some = pieces(low, high, cuts, one_piece=factors[0:2] == factors[2:4])
    if some is None:
        return None
    ends = [x for a, b in some for x in bernstein(*side(factors, b), a, b)]
    return max(ends) if up else min(ends)


class Stage:
    """The endpoint stage as straight pieces; upside down where the least is asked for."""

    def __init__(self, shape, up):
        self.at = shape.endpoint if up else lambda v: -shape.endpoint(-v)
        self.bends = shape.bends() if up else [-b for b in reversed(shape.bends())]
        edges = [None, *self.bends, None]
        self.lines = []
        for a, b in zip(edges, edges[1:]):
            x = a if a is not None else b - 1
            y = b if b is not None else x + 1
            slope = (self.at(y) - self.at(x)) / (y - x)
            self.lines.append((a, b, slope, self.at(x) - slope * x))

    def over(self, low, high):
        """The lines that hold somewhere between two values, more than at a single place."""
        for a, b, slope, rest in self.lines:
            left, right = low if a is None else max(a, low), high if b is None else min(b, high)
            if left < right or (low == high and left == right):
                yield slope, rest


def own_bound(shape, before, after, own, v, a, up):
    """What endpoint(f(p) + β·t + v) + h(p) + α·t + a never goes beyond for the own stick and its trim."""
    flip = 1 if up else -1
    f, h = ([flip * x for x in some] for some in (before, after))
    beta, alpha, stage = f[4], h[4], Stage(shape, up)
    v, a = flip * v, flip * a
    low, high, (t0, t1), cuts = own
    some = pieces(low, high, cuts)
    if some is None:
        return None
    # Rising or falling with the trim throughout, one end of it is the worst; else both are tried and the bends.
    opposite = alpha * beta < 0
    ends = [t0, t1] if opposite else [t1 if beta + alpha > 0 else t0]
    most = lambda linear, cubic, x, y: max(bernstein(linear, cubic, x, y))
    found = []
    for x, y in some:
        (fl, fc), (hl, hc) = side(f, y), side(h, y)
        spread = bernstein(fl, fc, x, y)
        for t in ends:
            c, d = v + beta * t, a + alpha * t
            left, right = min(spread) + c, max(spread) + c
            by_line = max(most(s * fl + hl, s * fc + hc, x, y) + s * c + r + d for s, r in stage.over(left, right))
            by_parts = stage.at(right) + most(hl, hc, x, y) + d
            found.append(min(by_line, by_parts))
        if opposite:
            # At one place of the stick the sum is straight between bends, and the trim may lie on each.
            k = alpha / beta
            left, right = min(spread) + v + min(beta * t0, beta * t1), max(spread) + v + max(beta * t0, beta * t1)
            # There the trim is what the stick leaves to it, and no farther than its ends. A bend that is met at an end of
            # what they come to together is met with the trim at an end, which has been looked at.
            found += [stage.at(bend) + a + min(k * (bend - v) + most(hl - k * fl, hc - k * fc, x, y),
                                               max(alpha * t0, alpha * t1) + most(hl, hc, x, y))
                      for bend in stage.bends if left < bend < right]
    return flip * max(found)
