"""Looks for a corner of the tolerances that is worse than the worst case that `rehearse` tells.

Boats are those of `boats/` and of the fixtures as far as `dives.py` reads them, each sort of water, hull and tank once;
Moonfish with a pump or a bottle of air and with other figures; and strangers of any size (`divers.py`), drawn by
chance from a fixed seed. Of each, corners of all her tolerances at once are integrated from the file alone: vertices
(every tolerance at one of its ends), a Latin hypercube between them (scipy.stats.qmc), and from the worst of these on
a climb from vertex to vertex. All of them run side by side, and the latest, the deepest and the fastest of them once
more through scipy's solve_ivp, which has to agree to half a percent and has the last word.

No corner may be later, deeper or faster at the surface than what is told, and what is told may not be more than
10 % beyond the worst corner found, or that with a thousandth less pressure of the pumps, except where it says that she
never comes up.

`LIDCARD_FAMILY` is the number of boats of each sort, `LIDCARD_CASES` that of corners of each, `LIDCARD_ONLY` a part of
the name of those that are looked at.
"""

import itertools
import json
import math
import multiprocessing
import os
import random
import tempfile
from pathlib import Path

import numpy as np
from scipy.stats import qmc

import yamlfile
from dives import Fleet, NotRead, tolerances
from divers import moonfish, stranger
from harness import ROOT, SEED, WORKERS, Cases, count, lidcard

BOATS = count("LIDCARD_FAMILY", 1, 3, 60)
CORNERS = count("LIDCARD_CASES", 128, 256, 4096)
ONLY = os.environ.get("LIDCARD_ONLY", "")
THOROUGH = CORNERS >= 512
ROUNDS, PLACES = (4, (0.0, 0.25, 0.5, 0.75, 1.0)) if THOROUGH else (3, (0.0, 1.0))
# So long a corner is followed of a boat of which it is told that she never comes up.
PATIENCE = 90.0


def climbed(boat, unit, found, until):
    """More corners: chance alone hardly meets the one vertex of so many that is worst. From the worst of each kind
    on every tolerance is tried at both its ends and between, for some are worst there, and then, with the next
    round, all together that made it worse."""
    together = []
    for _ in range(ROUNDS):
        more, starts = list(together), []
        for kind in range(3):
            value = np.where(np.isinf(found[kind]), 1e9, found[kind])
            best = unit[:, int(np.argmax(value))]
            for ends in itertools.product((0.0, 0.5, 1.0), repeat=3):
                water = best.copy()
                water[list(Fleet.WATER)] = *ends, *(best[p] for p in Fleet.WATER[3:])
                more.append(water)
            for ends in itertools.product((0.0, 1.0), repeat=2):
                water = best.copy()
                water[list(Fleet.WATER[3:])] = ends
                more.append(water)
            starts.append((kind, value.max(), len(more), best))
            for place in range(len(best)):
                for end in PLACES:
                    more.append(np.where(np.arange(len(best)) == place, end, best))
        more = np.array(more)
        here = Fleet(boat, more.T).sail(until)
        together = []
        for kind, least, begins, best in starts:
            value = np.where(np.isinf(here[kind]), 1e9, here[kind])[begins : begins + len(PLACES) * len(best)]
            value = value.reshape(-1, len(PLACES))
            together.append(np.where(value.max(axis=1) > least, np.array(PLACES)[value.argmax(axis=1)], best))
        unit = np.concatenate([unit, more.T], axis=1)
        found = tuple(np.concatenate(pair) for pair in zip(found, here))
    return unit, found


def files():
    """Boats and fixtures, of those with the same water, hull and tank the first."""
    known, all_ = [], []
    for folder in ("boats", "tests/fixtures", "tests/fixtures/clean", "tests/fixtures/mistakes", "tests/fixtures/accepted"):
        for path in sorted((ROOT / folder).glob("*.yaml")):
            text = path.read_text(encoding="utf-8")
            try:
                boat = yamlfile.values(text)
                # What moves nothing in time and water makes no other boat.
                facts = [boat["boat"].get("water"), boat["boat"].get("conductivity"), boat["boat"]["depth_limit"],
                         boat["hull"], boat["tank"], boat.get("batteries"), boat["receiver"], boat.get("fail_safe")]
                facts += [d for d in boat["devices"].values() if "works" in d]
                tolerances(boat)
            except (NotRead, KeyError, TypeError, ValueError, AttributeError):
                continue
            if facts not in known:
                known.append(facts)
                all_.append((path.stem, text))
    return all_


def fleet():
    """All boats by name."""
    yield from files()[:: 1 if BOATS > 3 else 4 if BOATS > 2 else 6]
    # A quick run takes others for each commit.
    begins = 0 if BOATS > 2 else 10 * (SEED % 1000)
    for number in range(begins, begins + BOATS):
        yield f"Moonfish {number}", moonfish(random.Random(f"moonfish {number}"))
    for number in range(begins, begins + BOATS):
        yield f"stranger {number}", stranger(random.Random(f"stranger {number}"))


def judge(cases, name, text, told):
    """Holds one boat against all her corners; whether she is told to come up."""
    worst = told["runs"]["worst"]
    boat = yamlfile.values(text)
    never = worst["comes_up"] is not True
    many, seed = tolerances(boat), random.Random(name).randrange(2**31)
    cube = qmc.LatinHypercube(many, seed=seed).random(CORNERS // 2)
    vertices = np.random.default_rng(seed).integers(0, 2, (CORNERS - CORNERS // 2, many))
    # The two that a fitter would think of first: everything at the one end, and at the other.
    vertices[0], vertices[1] = 0, 1
    unit = np.concatenate([cube, vertices]).T
    until = PATIENCE if never else worst["surfaced"]["at_s"] * 1.2 + 5
    unit, (deepest, time, speed) = climbed(boat, unit, Fleet(boat, unit).sail(until), until)
    by_scipy, looked = {}, (deepest.copy(), time.copy(), speed.copy())
    for which, at in (("latest", time), ("deepest", deepest), ("fastest", speed)):
        index = int(np.argmax(np.where(np.isinf(at), -1, at)))
        # One corner is often the worst of several kinds.
        if index not in by_scipy:
            by_scipy[index] = Fleet(boat, unit[:, index : index + 1]).scipy(until)
        other, here = by_scipy[index], tuple(kind[index] for kind in looked)
        if here[1] > until - 1:
            # Just at the end of patience: in time for the one, too late for the other.
            continue
        near = all(a == b or abs(a - b) <= 0.005 * abs(b) + 0.001 for a, b in zip(here, other))
        cases.holds(f"{name}: scipy agrees on the {which}", near, f"{here} {other}")
        deepest[index], time[index], speed[index] = other
    fastest = told["fastest_m_per_s"]
    if not never:
        late, deep = worst["surfaced"]["at_s"], told["deepest"]["depth_m"]
        cases.holds(f"{name}: no corner later", time.max() <= late * 1.005, f"{time.max()} told {late}")
        cases.holds(f"{name}: no corner deeper", deepest.max() <= deep * 1.005, f"{deepest.max()} told {deep}")
        if THOROUGH:
            latest = time.max()
            if late > latest * 1.1:
                # Next to a stall a thousandth of the pressure, less than tables of water agree to, may be a tenth of the time.
                weaker = Fleet(boat, unit[:, [int(np.argmax(time))]])
                weaker.pumps = [(flow, press * 0.999, *more) for flow, press, *more in weaker.pumps]
                latest = weaker.scipy(until)[1]
            cases.holds(f"{name}: told not too late", late <= latest * 1.1, f"{late} found {time.max()}, {latest} a thousandth on")
            cases.holds(f"{name}: told not too deep", deep <= deepest.max() * 1.1, f"{deep} found {deepest.max()}")
            cases.holds(f"{name}: told not too fast", fastest <= speed.max() * 1.1, f"{fastest} found {speed.max()}")
    if fastest is not None:
        cases.holds(f"{name}: no corner faster", speed.max() <= fastest * 1.02, f"{speed.max()} told {fastest}")
    return not never


class Kept:
    """What a process found of one boat."""

    def __init__(self):
        self.all = []

    def holds(self, name, good, detail=""):
        self.all.append((name, bool(good), detail))
        return good


def looked_at(boat):
    """What there is to say of a boat, whether she was judged, and whether she is told to come up."""
    (name, text), cases = boat, Kept()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "boat.yaml"
        file.write_text(text, encoding="utf-8")
        status, out, err = lidcard("rehearse", file, "--format", "json")
    if not cases.holds(f"{name}: rehearsed", status in (0, 1), err):
        return cases.all, False, False
    told = json.loads(out)
    if told["refused"] or told["runs"]["worst"]["comes_up"] is None or [m for m in told["missing"] if m["key"] not in ("hull.air",)]:
        cases.holds(f"{name}: a boat drawn by chance is told of", "Moonfish" not in name and "stranger" not in name, str(told["missing"]))
        return cases.all, False, False
    up = judge(cases, name, text, told)
    return cases.all, True, up


if __name__ == "__main__":
    cases = Cases()
    seen = ups = 0
    with multiprocessing.Pool(WORKERS) as pool:
        for found, judged, up in pool.imap(looked_at, [boat for boat in fleet() if ONLY in boat[0]]):
            for held in found:
                cases.holds(*held)
            seen += judged
            ups += up
    cases.holds("at least half of the boats come up", 2 * ups >= seen, f"{ups} of {seen}")
    cases.end()
