"""The plain account of rules that the table in the format's description leaves to `lidcard explain`.

Only what is surely wrong is told here, each from one place of the hand or one figure of the file: the instances
say "broken" or nothing, and how far off it is stays with the program.
"""

from fractions import Fraction as F

import numpy as np

from plain import Instance, away, stage_values, waiting, zone

DRIVES = {"drives ahead", "drives astern"}
HURTS = {"firing contact", "burner", "fuel valve", "ignition", "steam regulator"}


def effects(d):
    return {*d["effects"].values(), *d["also"].values()}


def outside(boat, d, out):
    """Whether a controller may run at an output."""
    lo, hi = d["still"]
    return out + boat.slack(d, 1 if hi >= 0 else -1) > hi or out - boat.slack(d, 1 if lo >= 0 else -1) < lo


def starts(boat, S):
    """What hurts is off at power-up only if neither preset nor noise nor the unit may work it then."""
    for name, d in boat.devices.items():
        n = d["channel"]
        if n is None or n not in S:
            continue
        for k in d["works"].values():
            if not (k.dangerous or k.kind in HURTS):
                continue
            why = []
            if n in (boat.preset or ()) or boat.preset_others == "noise":
                place = waiting(boat, S, n)
                if away(zone(k, boat.slack(d, k.side)), *place, k.side) <= 0:
                    why.append("receiver")
            for _, now in stage_values(boat, S) if boat.unit else []:
                if now.get(n) and away(zone(k, boat.slack(d, k.side, boat.unit["acc"])), *now[n][:2], k.side) <= 0:
                    why.append("unit")
            if why:
                yield Instance("starts-on", f"{name}.{k.name}", "power-up", None, True)


def at_rest(boat, s, stays=True):
    """Rows of the samples with every sprung control at rest; `stays`: the others anywhere, else at rest too."""
    on = np.ones(len(s.rows), bool)
    for i, c in enumerate(s.names):
        if c not in boat.switches and (boat.controls[c]["springs"] or not stays):
            on &= s.at[:, i] == 0
    for i in range(len(s.trims)):
        on &= s.at[:, len(s.names) + i] == 0
    return on


def outputs(s, rows, which):
    """[(order, stand, outputs)] over some of the samples, switches as they are in the stands picked."""
    for o in range(len(s.orders)):
        for i, stand in enumerate(s.sets):
            if not stand.thrown and which(stand):
                yield o, i, s.out[o, i, rows]


def controllers(boat, S):
    first = boat.first()
    for name, d in boat.devices.items():
        n = d["channel"]
        if d["kind"] != "speed controller" or n is None or n not in S or not d["still"]:
            continue
        s = S[n]
        ashore = lambda stand: dict(stand) == first
        if d["one_way"]:
            # Wherever the levers that stay are left, with all else let go she runs.
            rows = np.flatnonzero(at_rest(boat, s))
            ways = [o for _, _, o in outputs(s, rows, ashore)]
            if ways and all(outside(boat, d, F(float(x)).limit_denominator(10**9)) for o in ways for x in o):
                yield Instance("one-way-controller", name, "piloting", None, True)
        if d["learns"]:
            # A lever that stays where it was left takes the first pulse with it, by more than the band is wide.
            lo, hi = d["still"]
            rows, calm = np.flatnonzero(at_rest(boat, s)), np.flatnonzero(at_rest(boat, s, stays=False))
            if any(np.ptp(s.out[o, i, rows]) > float(hi - lo) + 1e-6 and len(calm)
                   for o, i, _ in outputs(s, rows, lambda stand: True)):
                yield Instance("rest-learned-wrongly", name, "power-up", None, True)
        if not d["one_way"] and effects(d) & DRIVES:
            # Her speed control let go, no switch thrown: nothing else may turn the screw.
            on = np.ones(len(s.rows), bool)
            moves = False
            for i, c in enumerate(s.names):
                if set(boat.controls[c]["wants"].values()) & DRIVES or c in boat.switches:
                    on &= s.at[:, i] == 0
                elif c != s.own or not set(boat.controls[c]["wants"].values()):
                    moves = True
            for i in range(len(s.trims)):
                on &= s.at[:, len(s.names) + i] == 0
            rows = np.flatnonzero(on)
            if not moves or not any(set(boat.controls[c]["wants"].values()) & DRIVES for c in s.names):
                continue
            for o, i, some in outputs(s, rows, ashore):
                x = [F(float(v)).limit_denominator(10**9) for v in (some.min(), some.max())]
                calm = s.out[o, i, np.flatnonzero(np.all(s.at == 0, axis=1))][0]
                if not outside(boat, d, F(float(calm)).limit_denominator(10**9)) and any(outside(boat, d, v) for v in x):
                    yield Instance("turns-at-rest", name, "piloting", None, True)
                    break


def judge(boat, S):
    return [*starts(boat, S), *controllers(boat, S)]
