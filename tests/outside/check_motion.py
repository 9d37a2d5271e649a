"""Holds the estimates of motion and radio and the bounds of linkages against other people's numbers.

The program's side is what the example `motion-table` prints. Outside authorities, pinned in
requirements.txt: scipy integrates Lamb's defining integrals (quad) and the equation of motion
(solve_ivp, DOP853) and finds the roots of the rod's length (brentq); scikit-rf propagates a wave through
a medium of the permittivity. That permittivity is worked out here once more from ITU-R P.527-6, by a
second reading of its formulas.

Tolerances: 1e-9 where both sides evaluate a closed form or a quadrature; 1e-6 where solve_ivp runs to
1e-11 and the rest is ours (steps are held to 1e-10, a rise has some hundreds). A nominal linkage must lie
inside its bounds, which are no wider than 1e-7; random parts within the tolerances must too, with 1e-9 for
the root finder's own end.
"""

import csv
import io
import math
import random

import numpy as np
import skrf
from scipy.constants import epsilon_0
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from harness import Cases, table
from water import conductivity, debye

G = 9.80665
WATER = 1000.0
DRAG = 1.1

rows = {}
for kind, *numbers in csv.reader(io.StringIO(table("motion-table"))):
    rows.setdefault(kind, []).append([float(n) for n in numbers])

cases = Cases()
for kind, least in {"spheroid": 30, "steady": 40, "blown": 40, "radio": 300, "arm": 200, "slider": 30}.items():
    cases.holds(f"{kind}: many points", len(rows.get(kind, [])) >= least)


def near(name, ours, theirs, relative, absolute=0.0):
    cases.holds(name, math.isclose(ours, theirs, rel_tol=relative, abs_tol=absolute), f"{ours} against {theirs}")


# Lamb's integrals for a spheroid with half axes a and 1, 1:
# alpha = a b² int dl / ((a² + l) D), beta likewise with b², D = sqrt((a² + l)(1 + l)²).
for ratio, along, across in rows["spheroid"]:
    def lamb(axis):
        square = ratio**2 if axis == "along" else 1.0
        whole = lambda l: ratio / ((square + l) * math.sqrt(ratio**2 + l) * (1 + l))
        return quad(whole, 0, 1, epsabs=0, epsrel=1e-12)[0] + quad(whole, 1, np.inf, epsabs=0, epsrel=1e-12)[0]
    for name, ours in (("along", along), ("across", across)):
        value = lamb(name)
        near(f"spheroid {ratio} {name}", ours, value / (2 - value), 1e-9)


def sinking(net, mass, area, added):
    """Depth and speed downwards; `net` and `mass` may change with time."""
    q = WATER * DRAG * area / 2
    return lambda t, y: [y[1], (-net(t) - q * y[1] * abs(y[1])) / (mass(t) + added)]


def follow(f, span, y, events=()):
    return solve_ivp(f, span, y, method="DOP853", rtol=1e-11, atol=1e-12, events=list(events))


for mass, area, net, number, way, speed, time, over, stop in rows["steady"]:
    f = sinking(lambda t: net, lambda t: mass, area, 0.9 * mass)
    name = f"steady {mass} kg {net} N {number}"
    there = follow(f, (0, number), [0.0, 0.0]).y[:, -1]
    near(f"{name}: way", way, -there[0], 1e-8)
    near(f"{name}: speed", speed, -there[1], 1e-8)
    up = lambda t, y: y[0]
    up.terminal, up.direction = True, -1
    near(f"{name}: time", time, follow(f, (0, 1000), [number, 0.0], [up]).t_events[0][0], 1e-8)
    still = lambda t, y: y[1]
    still.terminal, still.direction = True, -1
    run_out = follow(f, (0, 1e4), [0.0, number / 5], [still])
    near(f"{name}: overshoot", over, run_out.y_events[0][0][0], 1e-8, 1e-9)
    near(f"{name}: stop", stop, run_out.t_events[0][0], 1e-8, 1e-9)

for mass, area, before, begins, seconds, depth, when, time, speed in rows["blown"]:
    volume = 0.1 * mass * 1e-3
    gone = lambda t: WATER * min(max(t - begins, 0) / seconds, 1) * volume
    f = sinking(lambda t: before * mass + gone(t) * G, lambda t: mass - gone(t), area, 0.9 * mass)
    t, y, deepest = 0.0, [1.0, 0.12], (1.0, 0.0)
    up = lambda t, y: y[0]
    up.terminal, up.direction = True, -1
    turn = lambda t, y: y[1]
    turn.direction = -1
    name = f"blown {mass} kg {before} {begins} s {seconds} s"
    for end in (begins, begins + seconds, 120.0):
        if end <= t:
            continue
        part = follow(f, (t, end), y, [up, turn])
        found = [(part.y[0, -1], part.t[-1])] + [(s[0], at) for s, at in zip(part.y_events[1], part.t_events[1])]
        deepest = max(deepest, *found)
        t, y = part.t[-1], part.y[:, -1]
        if part.t_events[0].size:
            break
    near(f"{name}: deepest", depth, deepest[0], 1e-6)
    # Near the deepest point the depth hardly says when it is.
    near(f"{name}: when", when, deepest[1], 1e-5, 1e-5)
    near(f"{name}: time", time, t, 1e-6)
    near(f"{name}: speed", speed, y[1], 1e-6)


for mhz, t, sea, salt, real, imaginary, loss, surface in rows["radio"]:
    f = mhz * 1e6
    e = debye(mhz / 1e3, t, salt if sea else 0)
    sigma = conductivity(t, salt) if sea else salt
    # The ninth digit of the constants differs between releases of CODATA.
    e -= 1j * sigma / (2 * math.pi * f * epsilon_0)
    name = f"radio {mhz} MHz {t} C {'sea' if sea else 'fresh'} {salt}"
    near(f"{name}: real", real, e.real, 1e-9)
    near(f"{name}: imaginary", imaginary, -e.imag, 1e-8)
    one = skrf.Frequency(f, f, 1, unit="hz")
    # Exactly the program's permittivity, so that this holds the wave alone.
    medium = skrf.media.Freespace(frequency=one, ep_r=real - 1j * imaginary)
    near(f"{name}: loss", loss, float(medium.gamma.real[0]) * 20 / math.log(10), 1e-8)
    air = skrf.media.Freespace(frequency=one)
    z, z0 = complex(medium.z0_characteristic[0]), complex(air.z0_characteristic[0])
    back = abs((z - z0) / (z + z0)) ** 2
    near(f"{name}: surface", surface, -10 * math.log10(1 - back), 1e-7)


def slider(horn, rod, height, open_, at):
    """Root of the rod's length along the way, on one side of the horn's tip."""
    x, y = horn * math.sin(at), horn * math.cos(at)
    f = lambda u: math.hypot(u - x, height - y) - rod
    return brentq(f, x, x + 2 * rod, xtol=1e-13, rtol=1e-14)


def arm(horn, rod, length, pivots, open_, at):
    """Root of the rod's length over the arm's angle, on one side of the line from pivot to horn's tip."""
    x, y = horn * math.sin(at), horn * math.cos(at)
    f = lambda u: math.hypot(pivots + length * math.sin(u) - x, length * math.cos(u) - y) - rod
    line = math.atan2(x - pivots, y)
    ends = (line, line + math.pi) if open_ else (line - math.pi, line)
    return brentq(f, *ends, xtol=1e-14, rtol=1e-14)


def moved(solve, parts, rest, turn):
    """Move from rest in degrees or millimetres; nothing where the rod does not join or the horn passes
    its dead centre (the move, sampled on the way, goes back)."""
    try:
        way = [solve(*parts, math.radians(rest + turn * n / 200)) for n in range(201)]
    except ValueError:
        return None
    if solve is arm:
        way = list(np.degrees(np.unwrap(way)))
    steps = np.diff(way)
    return way[-1] - way[0] if (steps > 0).all() or (steps < 0).all() else None


chance = random.Random(20)
refused = 0
for solve, row in [(arm, r) for r in rows["arm"]] + [(slider, r) for r in rows["slider"]]:
    if solve is arm:
        *parts, open_, slack, rest, turn, low, high, first, last = row
    else:
        *parts, slack, rest, turn, low, high, first, last = row
        open_ = 1.0
    name = f"{solve.__name__} {parts} open {open_} slack {slack} rest {rest} turn {turn}"
    loose = lambda: ([p + chance.uniform(-slack, slack) for p in parts], rest + chance.uniform(-5, 5) * slack)
    tried = [(parts, rest)] + ([loose() for _ in range(8)] if slack else [])
    found = [moved(solve, [*p, open_], at, turn) for p, at in tried]
    if math.isnan(low):
        refused += 1
        # Refused rightly: some set of parts jams or goes back, or comes so close that a degree more does.
        wider = [moved(solve, [*p, open_], at + 5 * slack * sign, turn * 1.05) for p, at in tried for sign in (-1, 0, 1)]
        cases.holds(f"{name}: refused rightly", None in found + wider)
        continue
    for n, value in enumerate(found):
        good = value is not None and low - 1e-9 <= value <= high + 1e-9
        cases.holds(f"{name}: parts {n} inside", good, f"{value} not in {low} to {high}")
    if not slack:
        cases.holds(f"{name}: close", high - low < 1e-7, f"{low} to {high}")
    if math.isnan(first):
        # The way back may be refused only where tolerances play a part: they take it past dead centre.
        cases.holds(f"{name}: a way back", slack > 0)
    else:
        cases.holds(f"{name}: back again", first - 1e-9 <= turn <= last + 1e-9, f"{turn} not in {first} to {last}")
        if not slack:
            cases.holds(f"{name}: back closely", last - first < 1e-6, f"{first} to {last}")
cases.holds("few linkages are refused", refused < 40, str(refused))

cases.end()
