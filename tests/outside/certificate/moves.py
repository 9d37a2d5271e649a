"""Which way holding a control moves an output, against leaving it at rest, whatever the others add."""

from fractions import Fraction as F

from .reach import curve_bound, side
from .told import Refused, fraction, near, need


def sum_of_others(world, case, control, said, ranges, behind):
    """(least, most) of what everything but one control adds there, in pieces that are told."""
    least = most = F(0)
    some = {c: f for c, f in (case.after if behind else case.before).items() if c != control and any(f[:4])}
    for part in (p for p in said if (p["at"] == "behind") == behind):
        c = part["control"]
        need(c in some, f"{c} adds nothing there, or is named twice")
        factors = some.pop(c)
        low, high = fraction(part["from"]), fraction(part["to"])
        need(ranges[c] == (low, high), f"{c} may be elsewhere")
        cuts = [fraction(x) for x in part["cuts"]]
        one, two = fraction(part["least"]), fraction(part["most"])
        near(curve_bound(factors, low, high, cuts, False), one, False, f"the least that {c} adds")
        near(curve_bound(factors, low, high, cuts, True), two, True, f"the most that {c} adds")
        least, most = least + one, most + two
    need(not some, f"{', '.join(some)}: it is not said what that adds")
    return least, most


def at(factors, p):
    linear, cubic = side(factors, p) if p <= 0 else factors[2:4]
    return linear * p + cubic * p**3


def bends_of_sent(shape):
    boat = shape.boat
    if boat.set == boat.axis:
        return shape.limits
    away = boat.axis[0] - boat.set[0]
    return [*shape.limits, F(0), away / boat.span(boat.set, -1 if away < 0 else 1)]


def own(world, case, said, control, end, wanted, ranges):
    """The least move of the channel's own control: straight between places that are told."""
    before = sum_of_others(world, case, control, said["others"], ranges, False)
    behind = sum_of_others(world, case, control, said["others"], ranges, True)
    need(before[0] == before[1] or behind[0] == behind[1], "the others act on both sides of the endpoint")
    moving = before[0] != before[1]
    low, high = before if moving else behind
    shape, nothing = case.shape, [F(0)] * 5
    f, h = case.before.get(control, nothing), case.after.get(control, nothing)

    def line(p):
        v, a = at(f, p), at(h, p)
        inner = (lambda y: shape.endpoint(v + y) + a + behind[0]) if moving else (lambda y: shape.endpoint(v + before[0]) + a + y)
        return v, lambda y: shape.sense * inner(y) + shape.sub

    places = [fraction(y) for y in said["places"]]
    need(places[0] == low and places[-1] == high and all(x < y for x, y in zip(places, places[1:])),
         "the places do not go from the least that the others add to the most")
    lines = [line(F(end)), line(F(0))]
    for x, y in zip(places, places[1:]):
        for v, out in lines:
            need(not moving or not any(x < b - v < y for b in shape.bends()), "the endpoint bends between two places")
            a, b = sorted((out(x), out(y)))
            need(not any(a < bend < b for bend in bends_of_sent(shape)), "a limit is met between two places")
    (_, held), (_, left) = lines
    return min(wanted * (shape.sent(held(y)) - shape.sent(left(y))) for y in places)


def mixed(world, case, said, control, end, wanted, ranges, row):
    """Whether the step of a control that is mixed in always comes through: nothing falls where it rises."""
    shape, nothing = case.shape, [F(0)] * 5
    steps = [at(some.get(control, nothing), F(end)) for some in (case.before, case.after)]
    need(fraction(said["step"]) == sum(steps), f"it adds {sum(steps)}")
    towards = (sum(steps) > 0) - (sum(steps) < 0)
    if towards * shape.sense * wanted <= 0:
        return -abs(sum(steps))
    where = {True: {**ranges, control: (F(0), F(0))}, False: {**ranges, control: (F(end), F(end))}}
    rising = towards * shape.sense > 0
    for i, which, rest in zip(said["reaches"], ("most", "least"), (rising, not rising)):
        at_, what, told, silent, _ = world.checker.reaches.all[i]
        total = world.checker.reaches.totals[i]
        need(at_ == row and what == which, "that is not how far the output goes")
        for c in case.moved():
            need((c, "hand") in silent and where[rest][c] == (F(0), F(0)) or told.get((c, "hand"), where[rest][c]) == where[rest][c],
                 f"{c} is elsewhere")
            need(told.get((c, "trim"), (F(0), F(0))) == (F(0), F(0)), f"{c} is trimmed")
        out = shape.sense * total + shape.sub
        if out >= shape.limits[1] if which == "most" else out <= shape.limits[0]:
            return F(0)
    low, high = sum_of_others(world, case, control, said["others"], where[True], False)
    if steps[0]:
        places = [low, high, *(x for b in shape.bends() for x in (b, b - steps[0]) if low <= x <= high)]
        if any(shape.endpoint(u + steps[0]) == shape.endpoint(u) for u in places):
            return F(0)
    return abs(sum(steps))


def check_moves(world, said):
    """The least move of a way over every case that the hands leave: above nought where it is always right."""
    n, control, end, wanted = said["channel"], said["control"], said["side"], said["wanted"]
    need(end in (-1, 1) and wanted in (-1, 1), "no way")
    boat, ch = world.boat, world.boat.channels[n]
    is_own = ch["control"] == control
    hands = world.over(said["over"])
    need(hands["positions"][control] == (F(end), F(end)) and control in hands["held"] and not hands["thrown"], "it is not held")
    need(all(t == (F(0), F(0)) for t in hands["trims"].values()), "a trim is not at nought")
    _, mine = boat.influence(n)
    due = {}
    for settings in boat.settings_of(mine):
        positions = world.inside(hands, mine, settings)
        plainly = any(m["of"] == control and all(settings[s] == x for s, x in m["when"].items()) for m in ch["mixes"])
        if positions is None or not is_own and not plainly:
            continue
        for k in hands["orders"]:
            row = world.row(n, k, settings)
            case = world.checker.cases[row]
            spoken = [c for c in case.moved() if c != control and any(any(s.get(c, [0] * 5)[:4]) for s in (
                (case.before, case.after) if is_own else (case.before,)))]
            # What acts behind the endpoint is in no entry by name, but its place is in the reaches that the entry names.
            everywhere = tuple((c, positions[c]) for c in case.moved() if c != control)
            due[row, tuple((c, positions[c]) for c in spoken), everywhere] = positions
    used, least = set(), None
    for (row, key, _), positions in due.items():
        fits = [e for e in said["cases"] if e["case"] == row and
                {(o["control"], fraction(o["from"]), fraction(o["to"])) for o in e["others"]} == {(c, *r) for c, r in key}]
        need(len(fits) >= 1, f"a case is not there: {world.checker.said['cases'][row]['settings']}")
        refused, some = None, []
        for entry in fits:
            args = world, world.checker.cases[row], entry, control, end, wanted, positions
            try:
                some.append(own(*args) if is_own else mixed(*args, row))
                used.add(id(entry))
            except Refused as why:
                refused = why
        if not some:
            raise refused
        least = min(some) if least is None else min(least, *some)
    need(len(used) == len(said["cases"]), "a case is there that the hands do not leave")
    return least


def least_move(world, i):
    """What a move comes to in a world; the same is followed once."""
    if i not in world.moved:
        world.moved[i] = check_moves(world, world.checker.said["moves"][i])
    return world.moved[i]


def check_question(world, why):
    """(outcome, margin): rightly with the springing controls at rest, and never the other way wherever the others are."""
    asks = why["asks"]
    some = [world.checker.said["moves"][asks[k]] for k in ("resting", "anywhere")]
    way = [tuple(m[k] for k in ("channel", "control", "side", "wanted")) for m in some]
    need(way[0] == way[1], "two ways")
    control = way[0][1]
    for m, springing in zip(some, (True, False)):
        hands = world.over(m["over"])
        for c, x in world.boat.controls.items():
            full = (F(0), F(0)) if springing and x["springs"] else (F(-1), F(1))
            need(c == control or hands["positions"][c] == full, f"{c} may be elsewhere")
        need(not hands["only"] and not hands["never"] and len(hands["orders"]) == len(world.orders) and
             hands["held"] == [control], "the hands are others")
    resting, anywhere = (least_move(world, asks[k]) for k in ("resting", "anywhere"))
    need(resting is not None and anywhere is not None, "no case moves it")
    broken = anywhere == 0 if asks["at_all"] else resting <= 0 or anywhere < 0
    if broken:
        at_rest = not asks["at_all"] and resting <= 0
        m = some[0 if at_rest else 1]
        n, control, end, wanted = way[0]
        base = world.over(m["over"])
        held = world.check_hand(n, base, why["held"])
        left = dict(why["left"])
        released = {**base, "positions": {**base["positions"], control: (F(0), F(0))}}
        need(left["settings"] == why["held"]["settings"] and left["order"] == why["held"]["order"], "not the same place")
        for key in ("positions", "trims"):
            need({c: x for c, x in left[key].items() if c != control} ==
                 {c: x for c, x in why["held"][key].items() if c != control}, "not the same place")
        by = wanted * (held - world.check_hand(n, released, left))
        worst = resting if at_rest else anywhere
        need(by < 0 if worst < 0 else by <= 0, "that moves it rightly")
    return ("broken" if broken else "proved"), None
