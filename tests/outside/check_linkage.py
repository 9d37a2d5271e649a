"""Linkages from boat files, held against roots of the closed loop found apart from the program.

Boats are made at random, each with one servo whose rod drives a lever or a slide. For many sets of parts
within the tolerances (the nominal ones, every corner, some by chance) the loop of horn, rod and driven
part is closed numerically along the whole way from rest: by halving a bracket on that side of the rod on which
the linkage was put together, at hundreds of places, and by scipy's brentq at the ends. Nothing here knows a
law of cosines.

Held against that: the moves that `endpoints` prints hold every set of parts and are hardly wider; where
`check` finds nothing, no set of parts jams or goes back within the reach; where it finds a dead centre, some
set of parts has one. The textbook's four-bar and slider-crank come through a boat file as well.

Tolerances: 1e-6 degrees or millimetres for what must lie inside, which is the bisection's own; a found dead
centre may lie up to 0.05 % of the axis beyond the reach for the corner that shows it, since the worst parts
need not be at a corner.
"""

import itertools
import json
import math
import random
import tempfile
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from harness import Cases, count, lidcard

STEPS = 300
SLACK = 0.025  # servo 2 %, pulse 2 us of 400
cases = Cases()
chance = random.Random(20260822)


def boat(parts, turn, ends, longer, joined, name="Teal"):
    """A file with one servo on one stick."""
    lengths = ", ".join(f"{key}: {value} {unit} ± {off} {unit}" for key, (value, off, unit) in parts.items())
    return f"""lidcard: 1
boat: {{name: {name}, kind: surface}}
transmitter:
  channels: 2
  pulse: {{rest: 1500 us, full: [1100 us, 1900 us], accuracy: 2 us}}
  furthest: 150 %
  step: 1 %
  order: {{past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends}}
controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}, trim: locked}}
channels:
  1: {{name: rudder, control: helm, longer: starboard, endpoints: {{port: {ends[0]} %, starboard: {ends[1]} %}}}}
receiver: {{on_loss: no pulses}}
devices:
  rudder_servo:
    kind: servo
    channel: 1
    accuracy: 2 %
    turn: {turn} deg
    linkage: {{{lengths}, longer: {longer}, joined: {joined}}}
"""


def end_of(parts, horn):
    """Where the end of the horn is."""
    return parts["horn"] * np.sin(horn), parts["horn"] * np.cos(horn)


def gap(parts, end, at):
    """What the rod lacks in length with the horn's end and the driven part where they are."""
    x, y = end
    if "way" in parts:
        return np.hypot(at - x, parts["way"] - y) - parts["rod"]
    far_x = parts["pivots"] + parts["lever"] * np.sin(at)
    return np.hypot(far_x - x, parts["lever"] * np.cos(at) - y) - parts["rod"]


def bracket(parts, joined, end):
    """Two places of the driven part between which the rod's length is met once, on the side it was joined."""
    x, y = end
    if "way" in parts:
        return (x, x + 2 * parts["rod"]) if joined == "open" else (x, x - 2 * parts["rod"])
    line = np.arctan2(x - parts["pivots"], y)
    return (line, line + np.pi) if joined == "open" else (line, line - np.pi)


def close(parts, joined, horn):
    """The driven part at each angle of the horn, in radians or millimetres; not a number where it is open."""
    end = end_of(parts, horn)
    near, far = bracket(parts, joined, end)
    short, long = gap(parts, end, near), gap(parts, end, far)
    reached = (short < 0) & (long > 0)
    # To some billionths of a degree or of a millimetre.
    for _ in range(40):
        middle = (near + far) / 2
        less = gap(parts, end, middle) < 0
        near, far = np.where(less, middle, near), np.where(less, far, middle)
    return np.where(reached, (near + far) / 2, np.nan)


def walk(sets, joined, turn):
    """For each set of parts its moves from rest at each step of a turn in degrees, or None where it is not clear all the way."""
    # Ever finer towards the end, where a dead centre may be hardly passed.
    shares = 1 - np.linspace(1, 0, STEPS + 1) ** 2
    # Side by side: one row for each set.
    parts = {key: np.array([one[key] for one in sets])[:, None] for key in sets[0]}
    places = close(parts, joined, np.radians(parts["rests"] + turn * shares))
    open_ = np.isnan(places).any(axis=1)
    if "lever" in parts:
        places = np.degrees(np.unwrap(np.nan_to_num(places), axis=1))
    steps = np.diff(places, axis=1)
    clear = ((steps > 0).all(axis=1) | (steps < 0).all(axis=1)) & ~open_
    return [row - row[0] if good else None for row, good in zip(places, clear)]


def sets_of(parts):
    """Nominal, every corner, and some by chance."""
    yield {key: value for key, (value, _, _) in parts.items()}
    for signs in itertools.product((-1, 1), repeat=len(parts)):
        yield {key: v + s * off for (key, (v, off, _)), s in zip(parts.items(), signs)}
    for _ in range(12):
        yield {key: v + chance.uniform(-off, off) for key, (v, off, _) in parts.items()}


def numbers(low, high, places=1):
    return round(chance.uniform(low, high), places)


def a_linkage(n):
    off = numbers(0.1, 0.5)
    slides, joined = n % 3 == 0, "crossed" if n % 4 == 3 else "open"
    horn = numbers(7, 18)
    if slides:
        way = numbers(-4, horn)
        rest = {"horn": (horn, off, "mm"), "rod": (numbers(18, 50), off, "mm"), "way": (way, off, "mm")}
    else:
        lever, pivots = numbers(7, 22), numbers(35, 80)
        # Crossed, the rod joins the far sides and is longer than the line of the pivots.
        upright = math.hypot(pivots, horn + lever if joined == "crossed" else lever - horn)
        rod = round(upright + chance.uniform(-4, 4), 1)
        rest = {"horn": (horn, off, "mm"), "rod": (rod, off, "mm"), "lever": (lever, off, "mm"), "pivots": (pivots, off, "mm")}
    rest["rests"] = (numbers(-20, 20), numbers(0, 3), "deg")
    return rest, joined


ROUNDS = count("LIDCARD_CASES", 30, 90, 90)
folder = Path(tempfile.mkdtemp())
made = []
for n in range(ROUNDS):
    parts, joined = a_linkage(n)
    turn, ends = chance.choice((40, 45, 50, 60)), (chance.randrange(50, 125), chance.randrange(50, 125))
    longer = chance.choice(("towards", "away"))
    file = folder / f"boat-{n:03}.yaml"
    file.write_text(boat(parts, turn, ends, longer, joined))
    made.append((file, parts, joined, turn, ends, longer))

status, out, err = lidcard("check", "--format", "json", *(m[0] for m in made))
cases.holds("the boats are read", status in (0, 1), err)
reports = json.loads(out)["files"]
outcomes = {"clear": 0, "dead centre": 0, "does not fit": 0, "undecided": 0}
for report, (file, parts, joined, turn, ends, longer) in zip(reports, made):
    name = f"{file.name} {parts} {joined} turn {turn} ends {ends} {longer}"
    if not cases.holds(f"{name}: read", not report["mistakes"], str(report["mistakes"])):
        continue
    found = [f for f in report["findings"] if f["rule"] in ("dead-centre-within-reach", "rod-does-not-fit")]
    sign = 1 if longer == "towards" else -1
    all_parts = list(sets_of(parts))
    if any(f["rule"] == "rod-does-not-fit" for f in found):
        outcomes["does not fit"] += 1
        # Some parts do not join at rest, or hardly move or go back within three degrees of it.
        stuck = any(moves is None for turn in (3, -3) for moves in walk(all_parts, joined, turn))
        cases.holds(f"{name}: rightly does not fit", stuck)
        continue
    status, out, err = lidcard("endpoints", "--format", "json", file)
    linkage = json.loads(out)["linkages"][0]
    for index, (side, way, end) in enumerate((("shorter", "port", -ends[0]), ("longer", "starboard", ends[1]))):
        reach = sign * turn * (end / 100 + math.copysign(SLACK, end))
        walks = walk(all_parts, joined, reach)
        said = [f for f in found if f["rule"] == "dead-centre-within-reach" and f"the {side} side" in f["message"]]
        if any(f["outcome"] == "undecided" for f in said):
            outcomes["undecided"] += 1
            continue
        if said:
            outcomes["dead centre"] += 1
            beyond = reach * (1 + 0.0005 * 100 / abs(end))
            cases.holds(
                f"{name}: {side} has a dead centre",
                any(w is None for w in walks) or any(w is None for w in walk(all_parts, joined, beyond)),
            )
            continue
        outcomes["clear"] += 1
        if not cases.holds(f"{name}: {side} is clear for every set of parts", all(w is not None for w in walks)):
            continue
        least = sign * turn * (end / 100 - math.copysign(SLACK, end))
        moves = [abs(w[-1]) for w in walks] + [abs(w[-1]) for w in walk(all_parts, joined, least)]
        held = next(h["moved"] for h in linkage["held"] if h["way"] == way)
        if held is None:
            # No figure is given so near a dead centre: it comes within four degrees for some set of parts.
            near = reach + math.copysign(4, reach)
            cases.holds(f"{name}: {way} is near", any(w is None for w in walk(all_parts, joined, near)))
            continue
        inside = held["least"] - 1e-6 <= min(moves) and max(moves) <= held["most"] + 1e-6
        cases.holds(f"{name}: {way} holds all", inside, f"{min(moves)} to {max(moves)} not in {held}")
        wide, seen = held["most"] - held["least"], max(moves) - min(moves)
        cases.holds(f"{name}: {way} is hardly wider", wide <= 1.15 * seen + 0.5, f"{wide} against {seen}")
        most = linkage["furthest"][index]["most"]
        cases.holds(f"{name}: {side} is never beyond", most >= max(moves) - 1e-6, f"{most} {max(moves)}")
# A slice has fewer of each, and maybe none that does not fit.
whole = ROUNDS >= 90
cases.holds("every outcome comes up", all(outcomes[k] >= (10 if whole else 3) for k in ("clear", "dead centre")), str(outcomes))
cases.holds("some do not fit", outcomes["does not fit"] >= whole, str(outcomes))
cases.holds("hardly any is undecided", outcomes["undecided"] <= 2, str(outcomes))


def exact(value, unit="mm"):
    return (value, 0, unit)


def printed(parts, turn, ends, joined="open", longer="towards"):
    """Least and most at the ends of both ways, the servo's and the pulse's own 2.5 % of the axis included."""
    file = folder / "textbook.yaml"
    file.write_text(boat(parts, turn, ends, longer, joined))
    status, out, err = lidcard("endpoints", "--format", "json", file)
    cases.holds("a textbook's linkage is read", status == 0, err)
    linkage = json.loads(out)["linkages"][0]
    return {h["way"]: (h["moved"]["least"], h["moved"]["most"]) for h in linkage["held"]}


def root(parts, joined, degrees):
    """The driven part by brentq, in degrees or millimetres."""
    horn = math.radians(degrees)
    end = end_of(parts, horn)
    near, far = bracket(parts, joined, end)
    return brentq(lambda at: float(gap(parts, end, at)), near, far, xtol=1e-13, rtol=1e-14)


# R. L. Norton, Design of Machinery, example 4-1 (from memory): a 40, b 120, c 80, d 100, crank at 40 degrees from
# the line of the pivots; follower at 57.33 degrees open, -98.01 crossed. Here the horn rests at that angle,
# 50 degrees from the perpendicular, and the lever's place at rest is brentq's.
for joined, printed_angle in (("open", 57.33), ("crossed", -98.01)):
    parts = {"horn": 40.0, "rod": 120.0, "lever": 80.0, "pivots": 100.0}
    found = 90 - math.degrees(root(parts, joined, 50.0))
    off = (found - printed_angle + 180) % 360 - 180
    cases.holds(f"Norton 4-1 {joined}", abs(off) < 0.01, f"{found} against {printed_angle}")
    known = {k: exact(v) for k, v in parts.items()} | {"rests": exact(50, "deg")}
    moves = printed(known, 20, (40, 40), joined)
    for way, at in (("port", -8), ("starboard", 8)):
        ends = [math.degrees(root(parts, joined, 50 + at * f)) for f in (1 - 2.5 / 40, 1 + 2.5 / 40)]
        rest = math.degrees(root(parts, joined, 50.0))
        want = sorted(abs(e - rest) for e in ends)
        good = all(math.isclose(a, b, abs_tol=1e-6) for a, b in zip(moves[way], want))
        cases.holds(f"Norton 4-1 {joined} by a boat file, {way}", good, f"{moves[way]} against {want}")

# Norton, example 4-2 (from memory): a 40, b 120, c -20, crank at 60 degrees: the slider at 126.84 open.
parts = {"horn": 40.0, "rod": 120.0, "way": -20.0}
cases.holds("Norton 4-2 open", abs(root(parts, "open", 30.0) - 126.84) < 0.005)
moves = printed({k: exact(v) for k, v in parts.items()} | {"rests": exact(30, "deg")}, 20, (40, 40))
for way, at in (("port", -8), ("starboard", 8)):
    ends = [root(parts, "open", 30 + at * f) - root(parts, "open", 30.0) for f in (1 - 2.5 / 40, 1 + 2.5 / 40)]
    want = sorted(map(abs, ends))
    good = all(math.isclose(a, b, abs_tol=1e-6) for a, b in zip(moves[way], want))
    cases.holds(f"Norton 4-2 by a boat file, {way}", good, f"{moves[way]} against {want}")

cases.end()
