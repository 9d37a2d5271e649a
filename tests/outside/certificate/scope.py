"""Over which hands a rule has to be asked while piloting, by the table of rules: everything, but what it names."""

from fractions import Fraction as F

from .told import need

REST, WHOLE = (F(0), F(0)), (F(-1), F(1))
EVERYTHING = ("emergency-within-reach", "works-together", "beyond-stop", "unit-tripped-by-pilot")


def guards(part):
    """The settings outside which a reserved work is asked for: {(switch, setting)}"""
    unless = part["reserved"]["unless"] if isinstance(part.get("reserved"), dict) else {}
    return set(unless.items())


def needs(wants):
    """Settings with which a work is wanted: [{(switch, setting)}]"""
    for some in wants.values():
        for want in some if isinstance(some, list) else [some]:
            yield set(want.get("needs", {}).items()) if isinstance(want, dict) else set()


def check_scope(world, q, why):
    """Whether a question is asked over as much as its rule says."""
    asks, rule = why["asks"], q["rule"]
    if q["state"] != "piloting" or "over" not in asks:
        return
    boat, hands = world.boat, world.over(asks["over"])
    device, work = asks.get("function", (asks.get("device"), None))
    channel = boat.devices[device]["channel"] if device else None
    own = boat.channels[channel]["control"] if channel is not None else None
    full = {c: (-x["trim"][0], x["trim"][1]) for c, x in boat.controls.items()}
    asked = None
    if rule in EVERYTHING:
        asked = [WHOLE]
    elif rule == "works-at-rest" and own and asks["place"] == "pilot":
        asked = [REST]
    elif rule == "unwanted-within-reach" and own:
        asked = [(F(-1), F(0)), (F(0), F(1))]
    elif rule == "wanted-not-reached" and own:
        asked = [(F(-1), F(-1)), (F(1), F(1))]
    if asked is None:
        return
    for c, at in hands["positions"].items():
        need(at in asked if c == own else at == WHOLE, f"{c} has to be asked where it may be")
    need(hands["trims"] == full, "a trim has to be asked over all of it")
    need(len(hands["orders"]) == len(world.orders), "every order has to be asked")
    need(hands["thrown"] or asked[0] in (REST, (F(-1), F(-1))), "a switch has to be asked while it is thrown")
    part = boat.data["devices"][device]["works"][work] if work else {}
    need(set(hands["never"]) <= (guards(part) if rule == "emergency-within-reach" else set()),
         "a setting is left out that the rule asks for")
    may = needs(boat.data["channels"][str(channel)].get("wants", {})) if rule == "wanted-not-reached" else [set()]
    need(set(hands["only"]) in [*may], "it has to be asked in every setting")
