"""Where a point lies of which there are five readings or more: the tolerance interval that holds a share of all that
follow, by the factor that the standard library is enough for, and rounded outwards.

Taken to be normal, n readings with mean m and deviation s (n - 1, and no less than that of one step) hold the share
between m ± k·s, where k is such that the confidence is the integral over z of sqrt(n)·φ(z·sqrt(n)) times the chance
that chi squared of n - 1 degrees is above (n - 1)·r(z)²/k², r(z) being the half-width about z that holds the share
(Odeh and Owen 1980). With readings enough (a binomial sum, Wilks 1941) their order decides.
"""

import functools
import math
from fractions import Fraction as F
from statistics import NormalDist

from .boat import amount, sign
from .told import need

GRID = F(1, 10_000)
# What the arithmetic in floating point may be off, here and there; far below the grid.
LOST = 1e-9
# Usual claims; of what can hurt, sinks her, lets go or is out of reach by intention, the greater.
SHARE, CAREFUL, CONFIDENCE = 0.95, 0.99, 0.95
CARE = ("vent valve", "flood valve", "release", "firing contact", "emergency gas valve", "burner", "fuel valve", "ignition",
        "steam regulator")
NORMAL = NormalDist()


def above(x, freedom):
    """The chance that chi squared is above x: a finite sum (Abramowitz and Stegun 26.4.4 and 26.4.5)."""
    half = x / 2
    if freedom % 2:
        term, out = math.sqrt(2 * x / math.pi) * math.exp(-half), math.erfc(math.sqrt(half))
        for i in range(1, freedom, 2):
            out += term
            term *= x / (i + 2)
        return out
    term, out = math.exp(-half), 0.0
    for i in range(2, freedom + 1, 2):
        out += term
        term *= x / i
    return out


@functools.lru_cache(maxsize=None)
def factor(n, share, confidence):
    root, far, parts = math.sqrt(n), 8.5, 400
    points = []
    for i in range(parts + 1):
        # Simpson's rule over one half: the other is the same.
        z = far / root * i / parts
        r = z + NORMAL.inv_cdf((1 + share) / 2)
        for _ in range(60):
            r -= (NORMAL.cdf(z + r) - NORMAL.cdf(z - r) - share) / (NORMAL.pdf(z + r) + NORMAL.pdf(z - r))
        weight = (1 if i in (0, parts) else 4 if i % 2 else 2) * far / root / parts / 3
        points.append((r * r, 2 * weight * root * NORMAL.pdf(z * root)))
    holds = lambda k: sum(w * above((n - 1) * rr / (k * k), n - 1) for rr, w in points)
    low, high = 0.0, 2.0
    while holds(high) < confidence:
        high *= 2
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) < confidence else (low, middle)
    return high


def left_out(n, share, confidence):
    """How many readings may lie outside on each side; None where lowest and highest are not enough."""
    fewer = lambda most: sum(math.comb(n, k) * share ** (n - k) * (1 - share) ** k for k in range(most))
    good = [out for out in range(n // 2) if 2 * out + 2 <= n and 1 - fewer(2 * out + 2) >= confidence]
    return next((out for out in range(n // 2) if out in good and out + 1 not in good), None) if 0 in good else None


def interval(taken, step, share, confidence):
    n, values = len(taken), sorted(taken)
    out = left_out(n, share, confidence)
    if out is not None:
        return values[out], values[n - 1 - out]
    mean = sum(values) / n
    deviation = math.sqrt(sum((x - mean) ** 2 for x in values) / (n - 1))
    half = factor(n, share, confidence) * max(deviation, step / math.sqrt(12))
    return mean - half, mean + half


def is_careful(part):
    return part["kind"] in CARE or part.get("dangerous") in ("yes", "true") or \
        isinstance(part.get("reserved"), dict) or part.get("reserved") in ("yes", "true")


def check(boat, said):
    """That every point read often enough is told, at the interval or, by the grid, no narrower."""
    due = {}
    for name, device in (boat.data.get("devices") or {}).items():
        for work, part in (device.get("works") or {}).items():
            for key in ("clicks", "releases"):
                if isinstance(part.get(key), list) and len(part[key]) >= 5:
                    due[name, work, key] = device, part
    told = {(d, w, key): [F(x) for x in at] for d, w, key, at in said}
    need(told.keys() == due.keys() and len(told) == len(said), "points that were read often enough are others")
    for (name, work, key), (device, part) in due.items():
        taken = [boat.toleranced(x, device) for x in part[key]]
        claim = [float(amount(part[k])[0] / 100) if k in part else usual for k, usual in
                 (("coverage", CAREFUL if is_careful(part) else SHARE), ("confidence", CONFIDENCE))]
        low, high = (F(x) for x in interval([float(at) for at, _ in taken], float(boat.step), *claim))
        rounding, side = max(off for _, off in taken), boat.devices[name]["works"][work]["side"]
        low, high = low - rounding, high + rounding
        # It was crept up to: the point lies within one step before each reading.
        away = side if key == "clicks" else -side
        low, high = (low, high + boat.step) if away < 0 else (low - boat.step, high)
        value, off = told[name, work, key]
        good = lambda mine, end: mine - LOST <= end <= mine + GRID + LOST
        need(good(-low, -(value - off)) and good(high, value + off),
             f"{name}.{work} {key}: readings say {float(low)} to {float(high)}, {float(value - off)} to {float(value + off)} is told")
