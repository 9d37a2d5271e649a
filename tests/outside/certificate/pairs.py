"""Two works that must never be on together, and who may have engaged a work before."""

from fractions import Fraction as F

from .joint import check_trees
from .told import distance, fraction, holds, met, need, pair_of_zone, worst
from .world import same_hands
from .zones import may


def zones_of(world, name):
    """Every place at which a work may be engaged at once, with the zone there: piloting, then the states."""
    boat, states, (device, work) = world.boat, world.states, name
    part = boat.devices[device]["works"][work]
    places = [states.piloting(device), *(place for _, place in states.places(device))]
    return [(at, may(part, boat.slack(device, part["side"], isinstance(at, dict) and at["by_unit"]), False))
            for at in places]


def lies_in(place, zone):
    if place in ("pilot", "still"):
        return False
    low, high = place if isinstance(place, list) else [place["at"]] * 2
    return met(zone, distance(zone, F(low), F(high)))


def check_before(world, said):
    """That nobody, or under these orders alone the pilot, may have engaged a work; or that somebody does."""
    name, who = tuple(said["function"]), said["who"]
    boat, places = world.boat, zones_of(world, name)
    channel, everything = boat.devices[name[0]]["channel"], world.read_hands({"thrown": True})
    if who == "somebody":
        here = said["here"]
        if "place" in here:
            known = [zone for at, zone in places if at == here["place"]]
            need(known and pair_of_zone(here["zone"]) == known[0] and lies_in(here["place"], known[0]),
                 "nothing engages it there")
        else:
            need(here["channel"] == channel, "that is another channel")
            answer = world.step(here, places[0][1], None, everything)
            need(answer[0] != "never", "the pilot cannot engage it")
        world.before[name] = "somebody"
        return
    need(not any(lies_in(at, zone) for at, zone in places), "something engages it without a hand")
    every = world.orders
    those = [] if who == "nobody" else who
    need(who == "nobody" or all(k in every for k in who), "an order that does not count")
    others = [k for k in every if k not in those]
    if places[0][0] == "pilot":
        hands = everything if who == "nobody" else {**everything, "orders": others}
        need(said["never"]["channel"] == channel, "that is another channel")
        need(world.step(said["never"], places[0][1], None, hands)[0] == "never", "the pilot may engage it")
    world.before[name] = "nobody" if who == "nobody" else {"those": those, "others": others}


def overlap(a, b):
    pick = lambda x, y, best: best(x, y) if x is not None and y is not None else y if x is None else x
    return pick(a[0], b[0], max), pick(a[1], b[1], min), True


def gap(both):
    low, high, _ = both
    return low - high if low is not None and high is not None and low > high else None


def in_turn(world, names, hands):
    """Either is engaged last, and whether the other may be in its slack then can hang on the order:
    [(which may be, hands)]"""
    before = [world.before.get(name, "nobody") for name in names]
    hanging = {k for b in before if isinstance(b, dict) for k in b["those"]}
    every = world.orders
    parts = [hands]
    if hanging:
        some = [[k] for k in every if k in hanging] + [[k for k in every if k not in hanging]]
        parts = [{**hands, "orders": orders} for orders in some if orders]
    for part in parts:
        held = [b == "somebody" or isinstance(b, dict) and (not hanging or all(k in b["those"] for k in part["orders"]))
                for b in before]
        yield [held[0], False], part
        if any(held):
            yield [False, held[1]], part


def check_together(world, q, why):
    asks = why["asks"]
    names, places = [tuple(n) for n in asks["functions"]], asks["places"]
    for (device, _), place in zip(names, places):
        need(any(place in world.states.allowed(device, q["rule"], state) for state in (q["state"], "piloting")),
             f"{device} is not there in this state")
    due = list(in_turn(world, names, world.over(asks["over"])))
    need(len(due) == len(why["steps"]), f"{len(due)} pairs are due, {len(why['steps'])} are there")
    answers = []
    for (held, hands), pair in zip(due, why["steps"]):
        need(pair["held"] == held, f"it has to be asked which may not have let go: {held}")
        answers.append(one_pair(world, names, places, held, hands, pair))
    return worst(answers)


def one_pair(world, names, places, held, hands, pair):
    """(what it says, the margin) of two works of which one may be in its slack."""
    boat = world.boat
    need(same_hands(world.over(pair["over"]), hands), "it is asked over other hands")
    works = [boat.devices[d]["works"][w] for d, w in names]
    slack = [boat.slack(d, work["side"], isinstance(p, dict) and p["by_unit"]) for (d, _), work, p in zip(names, works, places)]
    zones = [may(work, s, h) for work, s, h in zip(works, slack, held)]
    both, steps = overlap(*zones), pair["steps"]
    channels = [boat.devices[d]["channel"] for d, _ in names]
    inputs = [(boat.devices[d]["channel"], boat.devices[d]["behind"]) for d, _ in names]
    driven = lambda i: places[i] == "pilot" and channels[i] is not None
    one_pulse = inputs[0] == inputs[1] and (all(isinstance(p, list) for p in places) or places == ["pilot"] * 2 and driven(0))
    apart = None
    if names[0][0] == names[1][0]:
        apart = gap(overlap(*(may(work, F(0), h) for work, h in zip(works, held))))
    elif one_pulse:
        apart = gap(both)

    def step(i, zone, said):
        if isinstance(said, dict) and "channel" in said:
            need(places[i] == "pilot" and said["channel"] == channels[i], "that is another channel")
        return world.step(said, zone if places[i] != "still" and (places[i] != "pilot" or driven(i)) else None, places[i], hands)

    if apart is not None:
        need(steps[0] == {"gap": str(apart)}, f"they lie {apart} apart")
        if len(steps) > 1:
            says, margin = step(0, both, steps[1])
            need(says == "never" and margin > apart, "that is not farther")
            apart = margin
        return "never", apart
    if names[0][0] == names[1][0] or one_pulse:
        return step(0, both, steps[0])
    answers = [step(i, zones[i], steps[i]) for i in (0, 1)]
    never = [margin for says, margin in answers if says == "never"]
    if never:
        # Both have to be; the one that stays farther away keeps them apart.
        return "never", None if None in never else max(never)
    if driven(0) and driven(1):
        return joint(world, channels, zones, hands, steps[2])
    if any(says == "undecided" for says, _ in answers):
        return "undecided", None
    margins = [margin for _, margin in answers]
    return "here", None if None in margins else max(margins)


def joint(world, channels, zones, hands, said):
    """Two outputs at once."""
    need([pair_of_zone(z) for z in said["joint"]] == zones, "the zones are others")
    if said["says"] == "undecided":
        return "undecided", None
    if said["says"] == "never":
        check_trees(world, channels, zones, hands, said["trees"])
        return "never", None
    need(said["says"] == "here", "no answer")
    for n, zone, at in zip(channels, zones, said["witness"]):
        need(holds(zone, world.check_hand(n, hands, at)), f"channel {n} does not get there")
    one, two = said["witness"]
    need(one["order"] == two["order"] and one["settings"] == two["settings"], "they are not shown at once")
    for key in ("positions", "trims"):
        shared = {c: x for c, x in one[key].items() if c in two[key]}
        need(all(two[key][c] == x for c, x in shared.items()), "they are not shown at once")
    for key, of in (("positions", slice(0, 4)), ("trims", slice(4, 5))):
        for c in world.boat.controls:
            moves = [any(any(some.get(c, [0] * 5)[of]) for some in (case.before, case.after))
                     for case in (world.case_of(n, one["order"], one["settings"]) for n in channels)]
            need(not all(moves) or one[key].get(c, "0") == two[key].get(c, "0"), "they are not shown at once")
    return "here", None
