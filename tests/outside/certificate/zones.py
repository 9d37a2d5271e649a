"""Which outputs count for what is asked: thresholds, tolerances and stops as the boat file gives them."""

from fractions import Fraction as F

from .boat import UNSAID, amount, sign, yes
from .linkage import check_edge
from .told import need


def nearest(at, side):
    value, off = at
    return value + off if side < 0 else value - off


def farthest(at, side):
    value, off = at
    return value - off if side < 0 else value + off


def may(work, slack, held):
    """Outputs at which a work may be engaged; `held`: or may not have let go."""
    side, near = work["side"], nearest(work["from"], work["side"])
    if held and work["releases"]:
        back = nearest(work["releases"], side)
        near = max(near, back) if side < 0 else min(near, back)
    far = farthest(work["to"], side) if work["to"] else None
    if side < 0:
        return None if far is None else far - slack, near + slack, True
    return near - slack, None if far is None else far + slack, True


def short_of(at, side, slack):
    """Outputs at which a threshold may not be passed."""
    needed = farthest(at, side)
    return (needed - slack, None, False) if side < 0 else (None, needed + slack, False)


def past(edge, side, touching, slack):
    """Outputs that may be past an edge."""
    return (None, edge + slack, touching) if side < 0 else (edge - slack, None, touching)


def band_of(world, name):
    """Where a device stands still, if that is known; one that knows one direction only does so at the end."""
    device = world.boat.devices[name]
    if device["still"] is None and device["one_way"]:
        return [world.states.far[0] - 1, F(-9, 10)]
    return device["still"]


def zone_of(world, q, why):
    """The zone of each step that a question is due, with its orders where not all count; None where nothing drives
    the device."""
    boat, before, asks = world.boat, world.before, why["asks"]
    kind, place = asks["kind"], asks.get("place")
    by_unit = isinstance(place, dict) and place["by_unit"]
    name = asks["function"][0] if "function" in asks else asks.get("device")
    still = place == "still" or place == "pilot" and boat.devices[name]["channel"] is None
    if place == "pilot" and not still:
        for step in why["steps"]:
            need(step["channel"] == boat.devices[name]["channel"], f"{name} is on another channel")
    slack = lambda side: boat.slack(name, side, by_unit)
    if kind == "engages":
        work = boat.devices[name]["works"][asks["function"][1]]
        at_once, held = (may(work, slack(work["side"]), h) for h in (False, True))
        zones = [held]
        if at_once != held:
            who = before[tuple(asks["function"])]
            if who == "nobody":
                zones = [at_once]
            elif who != "somebody" and place == "pilot":
                zones = [(held, who["those"]), (at_once, who["others"])]
    elif kind == "misses":
        work = boat.devices[name]["works"][asks["function"][1]]
        side = work["side"]
        needed = work["full"] if asks["fully"] and work["full"] else work["from"]
        zones = [short_of(needed, side, slack(side))]
        if work["to"]:
            zones.append(past(nearest(work["to"], side), side, False, slack(side)))
    elif kind == "leaves":
        low, high = (F(x) for x in asks["band"])
        need([low, high] == (band_of(world, name) or [F(0), F(0)]), f"{name} stands still elsewhere")
        zones = [(None, low + slack(1 if low > 0 else -1), False), (high - slack(-1 if high < 0 else 1), None, False)]
    elif kind == "stays within":
        band = [F(x) for x in asks["band"]] if asks["band"] else None
        need(band == boat.devices[name]["still"], f"{name} stands still elsewhere")
        low, high = band or (None, None)
        zones = [(low - slack(1 if low > 0 else -1), high + slack(-1 if high < 0 else 1), True) if band else (None, None, True)]
    elif kind == "passes":
        edge = asks["edge"]
        side, at = edge["side"], F(edge["at"])
        if edge["what"] == "stop":
            stop = boat.devices[name]["stops"][0 if side < 0 else 1]
            need(stop and at == nearest(stop, side) and not edge["touching"], "the stop lies elsewhere")
        elif edge["what"] == "dead centre":
            check_edge(boat.data["devices"][name], edge, need, boat.rods.get(name, {}))
        else:
            band, level = boat.devices[name]["still"], boat.devices[name]["level"]
            begins = nearest(level, side) - side * max(slack(-side) - slack(side), F(0)) if level else F(0)
            need(at == (band[side > 0] if band else begins) and not edge["touching"], f"{name} begins to move elsewhere")
        need(edge["what"] == "dead centre" or edge["surely"] is None, "its bounds are exact")
        zones = [past(at, side, edge["touching"], slack(side))]
        if edge["surely"] and why["steps"][0]["says"] != "never":
            zones.append(past(F(edge["surely"][0]), side, edge["touching"], slack(side)))
    elif kind == "falls short":
        side, needed, band = asks["side"], F(asks["needed"]), boat.devices[name]["still"]
        known = [boat.devices[name]["correction"], *([band[side > 0] * side, abs(band[side > 0])] if band else [])]
        # A pump runs beyond its band, by a thousandth at least, and a piston lifts her beyond where she hangs level.
        level = boat.devices[name]["level"]
        if level:
            known = [side * farthest(level, side) + max(slack(-side) - slack(side), F(0))]
        elif boat.devices[name]["kind"] != "leveller":
            known = [max(at, F(1, 1000)) for at in known if at is not None]
        need(needed in known, f"{name} is strong enough elsewhere")
        needed += slack(side)
        zones = [(-needed, None, True) if side < 0 else (None, needed, True)]
    elif kind == "trips":
        notices, beyond = boat.unit["notices"], boat.beyond
        need(asks["channel"] == int(notices["channel"]) and [str(x) for x in beyond] == asks["beyond"],
             "the unit watches something else")
        side = sign(beyond[0])
        zones = [past(nearest(beyond, side), side, True, boat.pulse_off / boat.span(boat.axis, side))]
        for step in why["steps"]:
            need(step["channel"] == asks["channel"], "that is another channel")
    else:
        need(False, f"no such question: {kind}")
    return [None] * len(zones) if still else zones
