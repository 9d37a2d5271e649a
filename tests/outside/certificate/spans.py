"""Whether an output stays at one place, and how much of a way lies between two functions."""

from fractions import Fraction as F

from .told import fraction, holds, need
from .zones import may, short_of

# Along a way it is looked at so often.
STEPS = 200


def check_varies(world, why):
    asks = why["asks"]
    n, hands = asks["channel"], world.over(asks["over"])
    if "apart" in why:
        one, two = (world.check_hand(n, hands, hand) for hand in why["apart"])
        need(one != two, "both are at one place")
        return "broken", None
    ends = {end for pair in world.pairs(n, hands, why["reaches"], True, True) for end in pair}
    need(len(ends) == 1, "it does not stay at one place")
    return "proved", None


def check_narrow(world, asks):
    """The least part of a way, over all cases with the settings needed, from where the first function is surely
    engaged to where the next may be; everything else at rest, or as its setting has it, and trims at nought."""
    boat, n, way = world.boat, asks["channel"], asks["side"]
    (device, first), (other, second) = asks["functions"]
    need(device == other, "they are on two devices")
    works, own = boat.devices[device]["works"], boat.channels[n]["control"]
    need(boat.devices[device]["channel"] == n, f"{device} is on another channel")
    slack = boat.slack(device, works[first]["side"])
    missed, reached = short_of(works[first]["from"], works[first]["side"], slack), may(works[second], slack, False)
    _, switches = boat.influence(n)
    least = None
    for settings in boat.settings_of(list(dict.fromkeys([*switches, *asks["needs"]]))):
        if any(settings[c] != s for c, s in asks["needs"].items()):
            continue
        for k in world.orders:
            case = world.case_of(n, k, settings)
            at = {c: boat.stands(c, settings.get(c, x["home"])) for c, x in boat.controls.items() if x["settings"]}
            outputs = [(F(i, STEPS), case.output({**at, own: F(i * way, STEPS)})) for i in range(1, STEPS + 1)]
            begins = next((part for part, out in outputs if not holds(missed, out)), None)
            ends = next((part for part, out in outputs if holds(reached, out)), None)
            if begins is not None and ends is not None:
                width = max(F(0), ends - begins)
                least = width if least is None else min(least, width)
    need(asks["width"] == (None if least is None else str(least)), f"{least} of the way lies between")
    return ("broken" if least is not None and least < fraction(asks["least"]) else "proved"), None
