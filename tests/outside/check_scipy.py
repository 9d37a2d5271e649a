"""Holds the program's greatest and least outputs against linear programmes.

A set-up without expo is linear on pieces: each control on one side of rest, the sum v of one channel
between two neighbouring places where the chain bends (rest, full stick, the endpoints). On every piece
the output before its last clamps is a linear function of positions and trims, so its greatest value is
a linear programme; the last clamps never fall, so they may be put on afterwards. The greatest over all
pieces and switch settings must lie within 0.01 % of the program's `reach`.

Outside authority: HiGHS through scipy.optimize.linprog (version in requirements.txt).

    LIDCARD=path/to/lidcard  LIDCARD_SCIPY=30  python check_scipy.py [--plain]
"""
import itertools
import multiprocessing
import os
import sys
from fractions import Fraction as F

import numpy as np
from scipy.optimize import linprog

import harness
import plain
import reaching

COUNT = harness.count("LIDCARD_SCIPY", 2, 12, 30)


def linear(boat, n, order, settings, signs, index):
    """v and m of channel n as rows of coefficients (last one the constant), each control on one side."""
    width = len(index) + 1
    unit = lambda key: np.eye(width)[index[key]] if key in index else np.zeros(width)
    ch = boat.channels[n]
    own = ch["control"]
    v = float(boat.rate(ch, signs[own], settings)) * unit(("p", own))
    m = np.zeros(width)
    for mix in ch["mixes"]:
        if any(settings[s] != want for s, want in mix["when"].items()):
            continue
        if isinstance(mix["of"], int):
            y = linear(boat, mix["of"], order, settings, signs, index)[0]
        else:
            y = unit(("p", mix["of"])) + (unit(("t", mix["of"])) if mix["with_trim"] else 0)
        m = m + float(mix["add"]) * y
    if order["trim"] == "before endpoint":
        v = v + unit(("t", own))
    if order["mix"] == "before endpoint":
        v = v + m
    return v, m


def greatest(boat, n, order, settings, side):
    entries, _, trims, _ = boat.cone(n)
    names = list(entries)
    index = {("p", c): i for i, c in enumerate(names)}
    index.update({("t", c): len(names) + i for i, c in enumerate(trims)})
    ch = boat.channels[n]
    g = ch["g"]
    em, ep = float(ch["ends"][-1]), float(ch["ends"][1])
    if order["endpoint_side"] == "pulse" and g < 0:
        em, ep = ep, em
    cut = order["past_full_stick"] == "cut off"
    scales = order["endpoint"] == "scales"

    def w_of(v):
        x = min(1.0, max(-1.0, v)) if cut else v
        return x * (ep if x >= 0 else em) if scales else min(ep, max(-em, x))
    bends = sorted({0.0} | ({-1.0, 1.0} if cut else set()) | (set() if scales else {-em, ep}))
    edges = [-50.0] + bends + [50.0]
    best = None
    for signs in itertools.product((1, -1), repeat=len(names)):
        sign = dict(zip(names, signs))
        v, m = linear(boat, n, order, settings, sign, index)
        bounds = [(0, 1) if sign[c] > 0 else (-1, 0) for c in names]
        bounds += [(-float(boat.controls[c]["trim"]), float(boat.controls[c]["trim"])) for c in trims]
        for lo, hi in zip(edges, edges[1:]):
            if hi - lo < 1e-12:
                continue
            slope = (w_of(hi) - w_of(lo)) / (hi - lo)
            w = slope * v
            w[-1] += w_of(lo) - slope * lo
            if order["trim"] == "after endpoint" and ("t", ch["control"]) in index:
                w[index["t", ch["control"]]] += 1
            if order["mix"] == "after endpoint":
                w = w + m
            out = g * w
            out[-1] += float(ch["sub"])
            r = linprog(-side * out[:-1], A_ub=np.array([v[:-1], -v[:-1]]), b_ub=[hi - v[-1], v[-1] - lo],
                        bounds=bounds, method="highs")
            if r.status == 0:
                got = -r.fun + side * out[-1]
                best = got if best is None else max(best, got)
    val = side * best
    if order["sub_trim"] == "keeps ends":
        val = min(ep, max(-em, val)) if g > 0 else min(em, max(-ep, val))
    far = float(boat.furthest)
    return boat.on_axis(min(far, max(-far, val)), plain.Floats)


def one(seed):
    boat, text, n, order = reaching.setup(seed)
    got = reaching.said(boat, text, n, order)
    if got is None:
        return None
    if isinstance(got, str):
        return [f"set-up {seed}: {got}"]
    bad = []
    sets = list(boat.settings(boat.cone(n)[1]))
    for side, pick, mine in ((1, max, got[1]), (-1, min, got[0])):
        theirs = pick(greatest(boat, n, order, s, side) for s in sets)
        if abs(F(theirs) - mine) > reaching.CLOSE:
            bad.append(f"set-up {seed}: channel {n} {'high' if side == 1 else 'low'} {float(mine):.6f}, "
                       f"the linear programmes have {theirs:.6f}; {order}")
    return bad


def main():
    if not reaching.ready():
        return 1
    good = bad = skipped = 0
    with multiprocessing.Pool(harness.WORKERS) as pool:
        for r in pool.imap_unordered(one, range(5000 + harness.SEED, 5000 + harness.SEED + COUNT)):
            if r is None:
                skipped += 1
            elif r:
                bad += 1
                print("\n".join(r))
            else:
                good += 1
    if skipped:
        print(f"  {skipped} left out: no exact figure to compare")
    print(f"{good} passed, {bad} failed")
    return 1 if bad or not good else 0


if __name__ == "__main__":
    sys.exit(main())
