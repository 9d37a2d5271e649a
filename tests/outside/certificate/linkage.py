"""Where horn, rod and what the rod drives come to a dead centre, whatever the parts are within their tolerances.

Rod and lever come into line where the sine of the horn's angle is (a² + d² - (b ± c)²) / 2ad, horn and rod where it is
((a ± b)² + d² - c²) / 2(a ± b)d; on a slide its cosine is (e ± b) / a and e / (a ± b). a is the horn, b the rod, c the
lever, d from shaft to pivot, e the way's height above the shaft. Ends over the tolerances are exact: (x² + y² - t²) / 2xy
is convex in x and in y or rises all along, so it is greatest at a corner, and least at one or at x² = y² - t².
"""

import math
from fractions import Fraction as F

from .boat import amount

# Roots and arcs come out of floating point, which is off by less than this.
LOST = 1e-12
# Distances along the axis are kept to this.
GRID = F(1, 1_000_000)


def about(text):
    value, _, off = text.replace("+-", "±").partition("±")
    v, o = amount(value)[0], amount(off)[0] if off.strip() and "not measured" not in off else F(0)
    return v - o, v + o


def root(x):
    return F(math.sqrt(max(0.0, x)) - LOST)


def times(sign, x):
    return x if sign > 0 else (-x[1], -x[0])


def plus(x, y):
    return x[0] + y[0], x[1] + y[1]


def squared(x):
    ends = x[0] ** 2, x[1] ** 2
    return (F(0) if x[0] <= 0 <= x[1] else min(ends)), max(ends)


def lawful(x, y, t):
    """The range of (x² + y² - t²) / 2xy; None where x may be nought, unless all of it lies beyond 1."""
    if x[0] <= 0 <= x[1]:
        # Beyond 1 either way where the dividend is larger than the divisor ever is.
        most = 2 * max(-x[0], x[1]) * y[1]
        low, high = squared(x)[0] + y[0] ** 2 - squared(t)[1], squared(x)[1] + y[1] ** 2 - squared(t)[0]
        return (F(2), F(2)) if low > most or high < -most else None
    if x[1] < 0:
        low, high = lawful((-x[1], -x[0]), y, t)
        return -high, -low
    near, far = squared(t)
    of = lambda p, q, tt: (p * p + q * q - tt) / (2 * p * q)
    high = max(of(p, q, near) for p in x for q in y)
    low = min(of(p, q, far) for p in x for q in y)
    for one, other in ((x, y), (y, x)):
        for q in other:
            if one[0] ** 2 < q * q - far < one[1] ** 2:
                low = min(low, root(float(1 - far / (q * q))))
    return low, high


def quotient(n, d):
    if d[0] <= 0 <= d[1]:
        most = max(-d[0], d[1])
        return (F(2), F(2)) if n[0] > most or n[1] < -most else None
    ends = [p / q for p in n for q in d]
    return min(ends), max(ends)


def fractions(parts, slides, crossed):
    """[(range, which half of the circle: rising, falling or both)] of every dead centre that there can be."""
    a, b = parts["horn"], parts["rod"]
    stretched, folded = ("rising", "falling") if slides == crossed else ("falling", "rising")
    if slides:
        e = parts["way"]
        locks = [quotient(plus(e, times(s, b)), a) for s in (1, -1)]
        back = [quotient(e, plus(a, times(s, b))) for s in (1, -1)]
    else:
        c, d = parts["lever"], parts["pivots"]
        locks = [lawful(a, d, plus(b, times(s, c))) for s in (1, -1)]
        back = [lawful(plus(a, times(s, b)), d, c) for s in (1, -1)]
    return [*((x, "both") for x in locks), (back[0], stretched), (back[1], folded)]


def arc(x, up):
    return math.asin(max(-1.0, min(1.0, float(x)))) + (LOST if up else -LOST)


def free_turn(device, side, off):
    """Degrees of the horn short of which there is no dead centre on a side of the axis, and which is reached for some
    parts; nothing where there is none, nought where nobody knows."""
    said = device["linkage"]
    wide = lambda k, x: (x[0] - off.get(k, 0), x[1] + off.get(k, 0))
    parts = {k: wide(k, about(said[k])) for k in ("horn", "rod", "lever", "pivots", "way") if k in said}
    # Nothing is shorter than this.
    parts = {k: (max(low, F(1, 10**6)), high) if k in off else (low, high) for k, (low, high) in parts.items()}
    slides = "way" in parts
    rests = said.get("rests", "0 deg")
    rests = [math.radians(float(x)) for x in wide("rests", about("0 deg" if rests == "not measured" else rests))]
    rests = [rests[0] + (math.pi / 2 if slides else 0) - LOST, rests[1] + (math.pi / 2 if slides else 0) + LOST]
    towards = (side < 0) == (said["longer"] == "away")
    nearest = None
    for found, half in fractions(parts, slides, said.get("joined") == "crossed"):
        if found is None:
            return 0.0
        if found[0] > 1 or found[1] < -1:
            continue
        low, high = arc(found[0], False), arc(found[1], True)
        some = [(low, high)] if half != "falling" else []
        some += [(math.pi - high, math.pi - low)] if half != "rising" else []
        for circle in (-2 * math.pi, 0, 2 * math.pi):
            for x, y in some:
                away = x + circle - rests[1] if towards else rests[0] - y - circle
                if away > 0:
                    nearest = away if nearest is None else min(nearest, away)
    return None if nearest is None else math.degrees(nearest)


def check_edge(device, edge, need, off):
    """That there is no dead centre short of where one is feared, and one for some parts where it is surely passed."""
    free = free_turn(device, edge["side"], off)
    need(free is not None, "there is no dead centre on this side")
    mine, at = F(free) / amount(device["turn"])[0], F(edge["at"]) * edge["side"]
    need(0 <= at <= mine, f"it may come to a dead centre from {float(mine):.6f} on")
    need(mine - at <= F(1, 1000) + mine / 100, "it is feared far too early")
    surely = edge["surely"]
    need(isinstance(surely, list) and edge["touching"], "its bounds are not exact")
    need(not surely or F(surely[0]) * edge["side"] >= mine - GRID, "it is not surely passed there")
