"""Two outputs that are never in their zones at once: the boxes into which everything is cut, and what closes each.

On a stretch of its endpoint stage an output is in its zone where four sums are nought or more: what comes to the
endpoint less where the stretch begins, where it ends less that, what comes behind the endpoint less the least that is
in the zone, and the greatest less that. If multiples of such sums, none negative, come to less than nought wherever
the controls are, there is no place where all of them are enough.
"""

from fractions import Fraction as F

from .reach import curve_bound
from .told import distance, fraction, met, need, pair
from .world import ranges_of


def check_trees(world, channels, zones, hands, trees):
    """That every order and every choice of settings has a tree whose boxes are all closed."""
    due, used = {}, set()
    both = [world.boat.influence(n)[1] for n in channels]
    switches = [c for c in world.boat.controls if c in both[0] or c in both[1]]
    for settings in world.boat.settings_of(switches):
        positions = world.inside(hands, switches, settings)
        if positions is None:
            continue
        for k in hands["orders"]:
            rows = [world.row(n, k, {c: settings[c] for c in mine}) for n, mine in zip(channels, both)]
            cases = [world.checker.cases[row] for row in rows]
            moved = [c for c in world.boat.controls if any(c in case.moved() for case in cases)]
            due[tuple(rows), tuple((c, positions[c], hands["trims"][c]) for c in moved)] = cases
    by_key = {}
    for i, tree in enumerate(trees):
        ranges = tuple((c, pair(at), pair(trim)) for c, (at, trim) in tree["from"].items())
        by_key[tuple(tree["cases"]), ranges] = i
    for key, cases in due.items():
        need(key in by_key, f"no boxes for {world.describe((key[0][0],))}")
        used.add(by_key[key])
        boxes = iter(trees[by_key[key]]["boxes"])
        close(world, key[0], cases, zones, {c: {"hand": at, "trim": trim} for c, at, trim in key[1]}, boxes)
        need(next(boxes, None) is None, "a box too many")
    need(len(used) == len(trees), "boxes are there that the question does not have")


def close(world, rows, cases, zones, ranges, boxes):
    """That a box is closed, or cut in two that are."""
    said = next(boxes, None)
    need(said is not None, "a box is not there")
    if "cut" in said:
        c, of, at = said["cut"], said["of"], fraction(said["at"])
        low, high = ranges[c][of]
        need(low <= at <= high, f"{c} is not there")
        for half in ((at, high), (low, at)):
            close(world, rows, cases, zones, {**ranges, c: {**ranges[c], of: half}}, boxes)
    elif "out" in said:
        i = said["out"]
        hand, trim = ({c: ranges[c][of] for c in ranges} for of in ("hand", "trim"))
        key = rows[i], ranges_of(cases[i], hand, trim)
        low, high, _ = zones[i]
        bound = world.checker.reaches.bound
        least, most = (bound(at, which, key) for at, which in zip(said["reaches"], ("least", "most")))
        need((high is None or least is not None) and (low is None or most is not None), "that is not how far it goes")
        need(not met(zones[i], distance(zones[i], least, most)), "it may get there")
    else:
        sums(cases, zones, ranges, said["sums"])


def sums(cases, zones, ranges, said):
    """That every two stretches of the endpoint stages are kept apart by what is said of them."""
    lines = [stretches(case.shape) for case in cases]
    left = {(i, j) for i in range(len(lines[0])) for j in range(len(lines[1]))}
    for entry in said:
        which = entry["stretches"]
        multiples = [[fraction(x) for x in by] for by in entry["by"]]
        cuts = {c: [fraction(x) for x in at] for c, at in entry.get("cuts", {}).items()}
        need(all(x >= 0 for by in multiples for x in by), "a multiplier is negative")
        total, constant = {}, F(0)
        for case, zone, stage, at, by in zip(cases, zones, lines, which, multiples):
            if at is None:
                need(not any(by), "a sum of no stretch")
                continue
            parts, more = weighed(case, zone, stage[at], by)
            constant += more
            for c, factors in parts.items():
                total[c] = [x + y for x, y in zip(total.get(c, [F(0)] * 5), factors)]
        most = constant
        for c, factors in total.items():
            if any(factors[:4]):
                bound = curve_bound(factors, *ranges[c]["hand"], cuts.get(c, []), True)
                need(bound is not None, "its pieces do not cut the range")
                most += bound
            most += max(factors[4] * end for end in ranges[c]["trim"])
        need(most < 0, f"the sums of {which} may come to {most}")
        left -= {(i, j) for i, j in left if which[0] in (None, i) and which[1] in (None, j)}
    need(not left, f"two stretches are not spoken of: {sorted(left)[:1]}")


def stretches(shape):
    """[(from, to, slope, rest)]: the lines of an endpoint stage, open at both ends."""
    bends = sorted(set(shape.bends()))
    out = []
    for low, high in zip([None, *bends], [*bends, None]):
        x = low if low is not None else high - 1
        y = high if high is not None else x + 1
        slope = (shape.endpoint(y) - shape.endpoint(x)) / (y - x)
        out.append((low, high, slope, shape.endpoint(x) - slope * x))
    return out


def weighed(case, zone, stretch, by):
    """(factors by control, constant) of the four sums of an output on a stretch, times their multipliers."""
    low, high, slope, rest = stretch
    least, most = inner(case.shape, zone)
    parts, constant = {}, F(0)
    for factor, end, of_before, of_after, behind in (
            (by[0], low, 1, 0, F(0)), (-by[1], high, 1, 0, F(0)), (by[2], least, slope, 1, rest), (-by[3], most, slope, 1, rest)):
        if not factor:
            continue
        need(end is not None, "a sum without an end is weighed")
        constant += factor * (behind - end)
        for share, some in ((of_before, case.before), (of_after, case.after)):
            for c, factors in some.items():
                parts[c] = [x + factor * share * y for x, y in zip(parts.get(c, [F(0)] * 5), factors)]
    return parts, constant


def inner(shape, zone):
    """Between what the signal behind the endpoint has to lie for the output to be in its zone, before sense, sub-trim
    and limits; what the limits hold back counts however far it would have gone."""
    low, high = (None if x is None else shape.unsent(x) for x in zone[:2])
    low = None if low is None or low <= shape.limits[0] else low
    high = None if high is None or high >= shape.limits[1] else high
    back = lambda x: None if x is None else shape.sense * (x - shape.sub)
    return (back(low), back(high)) if shape.sense > 0 else (back(high), back(low))
