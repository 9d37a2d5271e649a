"""Holds `works-together` between two servos against Z3, which decides each question exactly.

Two works that exclude each other (by kind or by `never_with`) on two servos: while piloting the
sticks they share, with noise or a preset, and behind one leveller, whose output is one free variable
within its limits. Where everything is made of straight lines the program must be neither wrong nor
undecided.

Outside authority: Z3 (PyPI z3-solver, version in requirements.txt); the meaning is that of the
project's description of its format, by way of plain.py.

    LIDCARD=path/to/lidcard  LIDCARD_TOGETHER=60  LIDCARD_SEED=1  python check_together.py
"""
import itertools
import multiprocessing
import os
import pathlib
import sys
import tempfile

import z3

import families
import harness
import plain
from check_oracle import run
from check_z3 import formula, q

COUNT = harness.count("LIDCARD_TOGETHER", 3, 20, 60)
FIRST = harness.SEED


def inside(e, k, D):
    low, high = plain.zone(k, D)
    e = e if k.side > 0 else -e
    return z3.And(e >= q(low), True if high is None else e <= q(high))


def piloting(boat, asked):
    """Whether all of [(channel, work, slack)] can be engaged at one hand under one order."""
    controls = {c: z3.Real(f"p_{c}") for c in boat.controls}
    trims = {c: z3.Real(f"t_{c}") for c in boat.controls}
    box = [z3.And(p >= -1, p <= 1) for p in controls.values()]
    box += [z3.And(t >= q(-boat.controls[c]["trim"]), t <= q(boat.controls[c]["trim"])) for c, t in trims.items()]
    for order in boat.orders:
        for settings in boat.settings(sorted(boat.switches)):
            solver = z3.Solver()
            solver.add(box)
            for n, k, D in asked:
                solver.add(inside(formula(boat, n, order, settings, controls, trims), k, D))
            got = solver.check()
            if got == z3.sat:
                return True
            if got != z3.unsat:
                raise RuntimeError("Z3 cannot tell")
    return False


def within(lo, hi, asked):
    """Whether one value between two can engage all of [(work, slack)]."""
    x = z3.Real("x")
    solver = z3.Solver()
    solver.add(x >= q(lo), x <= q(hi), *[inside(x, k, D) for k, D in asked])
    return solver.check() == z3.sat


def expected(boat, one, two):
    """{state: whether both may be engaged} for two (device name, work)."""
    (da, a), (db, b) = one, two
    d, e = boat.devices[da], boat.devices[db]
    A, B = boat.slack(d, a.side), boat.slack(e, b.side)
    if d["behind"] and e["behind"] == d["behind"]:
        return {"piloting": within(*boat.devices[d["behind"]]["limits"], [(a, A), (b, B)])}
    if d["channel"] is None or e["channel"] is None:
        return {}
    n, m = d["channel"], e["channel"]
    out = {"piloting": piloting(boat, [(n, a, A), (m, b, B)])}
    if boat.loss == "noise":
        out["waiting"] = within(*boat.far, [(a, A)]) and within(*boat.far, [(b, B)])
    elif boat.preset is not None:
        alone = [within(boat.preset[c], boat.preset[c], [(k, D)]) if c in boat.preset else piloting(boat, [(c, k, D)])
                 for c, k, D in ((n, a, A), (m, b, B))]
        out["waiting"] = all(alone)
    return out


def one(job):
    name, seed = job
    text = families.boat(name, seed)
    boat = plain.Boat(text)
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as f:
        f.write(text)
        f.flush()
        said = run("check", "--format", "json", "--all", f.name)
    if "files" not in said or "findings" not in said["files"][0]:
        return 0, [f"{name} {seed}: {said}"]
    entry = said["files"][0]
    found = [f for f in entry["findings"] + [{"outcome": "proved", **p} for p in entry.get("proved", [])]
             if f["rule"] == "works-together"]
    works = [(d, k) for d, x in boat.devices.items() for k in x["works"].values()]
    good, bad = 0, []
    for (da, a), (db, b) in itertools.combinations(works, 2):
        if da == db or a.rel or b.rel or not plain.excluded((da, db), a, b):
            continue
        for state, want in expected(boat, (da, a), (db, b)).items():
            names = (f"{da}.{a.name}", f"{db}.{b.name}")
            got = [f for f in found if f["state"] == state and all(x in f["message"] for x in names)]
            outcomes = sorted({f["outcome"] for f in got})
            if outcomes == (["broken"] if want else ["proved"]):
                good += 1
            else:
                bad.append(f"{name} {seed}: {names} [{state}]: {'may' if want else 'may not'} be together, "
                           f"the program says {outcomes or 'nothing'}")
    return good, bad


def main():
    good, bad = 0, []
    jobs = [(name, seed) for seed in range(FIRST, FIRST + COUNT) for name in ("together", "leveller")]
    with multiprocessing.Pool(harness.WORKERS) as pool:
        for g, b in pool.imap_unordered(one, jobs):
            good += g
            bad += b
    for line in bad[:40]:
        print(line)
    print(f"{good} passed, {len(bad)} failed")
    return 1 if bad or not good else 0


if __name__ == "__main__":
    sys.exit(main())
