"""Holds the program's greatest and least outputs against Z3's exact optimum.

For 200 random piecewise-linear set-ups (no expo; sticks entering twice, mixes of mixes, switch-
dependent rates) one channel under one order of operations is written as a formula over the reals,
each clamp an `If`, and maximised and minimised in every switch setting. The program's `reach` must
lie within 0.01 % of the optimum; going strictly past the optimum must be unsatisfiable, reaching it
satisfiable, and the place Z3 gives must reproduce it through plain.py's steps.

Outside authority: Z3 (PyPI z3-solver, version in requirements.txt), encoding as in the project's
reference notes on reachability.

    LIDCARD=path/to/lidcard  LIDCARD_Z3=200  python check_z3.py [--plain]
"""
import multiprocessing
import os
import sys
from fractions import Fraction as F

import z3

import harness
import reaching

COUNT = harness.count("LIDCARD_Z3", 6, 30, 200)


def q(x):
    return z3.RealVal(str(F(x)))


def clamp(e, lo, hi):
    return z3.If(e < q(lo), q(lo), z3.If(e > q(hi), q(hi), e))


def formula(boat, n, order, settings, p, t):
    """Steps 1 to 9 over the reals, written out again on their own."""
    values = {}

    def v_and_m(k):
        if k in values:
            return values[k]
        ch = boat.channels[k]
        x = p[ch["control"]]
        v = z3.If(x >= 0, q(boat.rate(ch, 1, settings)) * x, q(boat.rate(ch, -1, settings)) * x)
        m = q(0)
        for mix in ch["mixes"]:
            if all(settings[s] == want for s, want in mix["when"].items()):
                if isinstance(mix["of"], int):
                    y = v_and_m(mix["of"])[0]
                else:
                    y = p[mix["of"]] + (t[mix["of"]] if mix["with_trim"] else q(0))
                m = m + q(mix["add"]) * y
        if order["trim"] == "before endpoint":
            v = v + t[ch["control"]]
        if order["mix"] == "before endpoint":
            v = v + m
        values[k] = (v, m)
        return values[k]
    ch = boat.channels[n]
    v, m = v_and_m(n)
    if order["past_full_stick"] == "cut off":
        v = clamp(v, -1, 1)
    ends = [ch["ends"][-1], ch["ends"][1]]
    if order["endpoint_side"] == "pulse" and ch["g"] < 0:
        ends.reverse()
    if order["endpoint"] == "scales":
        w = z3.If(v >= 0, v * q(ends[1]), v * q(ends[0]))
    else:
        w = clamp(v, -ends[0], ends[1])
    if order["trim"] == "after endpoint":
        w = w + t[ch["control"]]
    if order["mix"] == "after endpoint":
        w = w + m
    out = (w if ch["g"] > 0 else -w) + q(ch["sub"])
    if order["sub_trim"] == "keeps ends":
        out = clamp(out, -ends[0], ends[1]) if ch["g"] > 0 else clamp(out, -ends[1], ends[0])
    out = clamp(out, -boat.furthest, boat.furthest)
    if boat.set == boat.axis:
        return out
    (rest, up, down), (at, right, left) = boat.set, boat.axis
    # Each branch by itself is linear; a product with a choice would not be, and Z3 gives that up.
    away = z3.If(out >= 0, out * q(up), out * q(down)) + q(rest - at)
    return z3.If(away >= 0, away / q(right), away / q(left))


def number(x):
    return F(str(x))


def one(seed):
    boat, text, n, order = reaching.setup(seed)
    got = reaching.said(boat, text, n, order)
    if got is None:
        return None
    if isinstance(got, str):
        return [f"set-up {seed}: {got}"]
    bad, best = [], {1: None, -1: None}
    entries, switches, trims, _ = boat.cone(n)
    p = {c: z3.Real(f"p_{c}") for c in boat.controls}
    t = {c: z3.Real(f"t_{c}") if c in trims else q(0) for c in boat.controls}
    box = [z3.And(p[c] >= -1, p[c] <= 1) for c in entries]
    box += [z3.And(t[c] >= q(-boat.controls[c]["trim"]), t[c] <= q(boat.controls[c]["trim"])) for c in trims]
    for settings in boat.settings(switches):
        e = formula(boat, n, order, settings, p, t)
        for side in (1, -1):
            opt = z3.Optimize()
            opt.set("timeout", 20000)
            opt.add(box)
            y = z3.Real("y")
            opt.add(y == (e if side == 1 else -e))
            h = opt.maximize(y)
            if opt.check() != z3.sat:
                return [f"set-up {seed}: Z3 gives no optimum ({opt.reason_unknown()})"]
            top = number(opt.upper(h))
            model = opt.model()
            at = lambda x: number(model.eval(x, model_completion=True))
            again = boat.output(n, order, settings, {c: at(x) for c, x in p.items()}, {c: at(x) for c, x in t.items()})
            if side * again != top:
                bad.append(f"set-up {seed}: Z3's place gives {again}, its optimum is {side * top}")
            if best[side] is None or top > best[side][0]:
                best[side] = (top, e)
    for side, mine in ((1, got[1]), (-1, -got[0])):
        top, e = best[side]
        if abs(mine - top) > reaching.CLOSE:
            bad.append(f"set-up {seed}: channel {n} {'high' if side == 1 else 'low'} {side * mine} = "
                       f"{float(side * mine):.6f}, Z3 has {side * top} = {float(side * top):.6f}; {order}")
        for test, want in ((side * e > q(top), z3.unsat), (side * e >= q(top), z3.sat)):
            solver = z3.Solver()
            solver.add(box)
            solver.add(test)
            if solver.check() != want:
                bad.append(f"set-up {seed}: {test.decl()} at the optimum is not {want}")
    return bad


def main():
    if not reaching.ready():
        return 1
    good = bad = skipped = 0
    with multiprocessing.Pool(harness.WORKERS) as pool:
        for r in pool.imap_unordered(one, range(harness.SEED, harness.SEED + COUNT)):
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
