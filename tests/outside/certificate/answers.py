"""What makes one answer true in one world: its question, the steps it is due, and what they come to."""

from . import combined, moves, spans
from .chain import LINES, Shape
from .pairs import check_together
from .scope import check_scope
from .told import need, worst
from .zones import zone_of


def several(world, q, why):
    """(outcome, margin) of an answer, or of several that are put together to one."""
    came = {}
    found = together(world, q, why, came)
    combined.check(world, q, why, came)
    return found


def together(world, q, why, came):
    if why == combined.ESTIMATE:
        return "proved", None
    word = next((word for word in ("all_of", "any_of") if word in why), None)
    if word is None:
        return answer(world, q, why)
    outcomes = [together(world, q, part, came)[0] for part in why[word]]
    # One that cannot be is enough of all, and one that may be of any: it stands alone.
    alone, other = ("proved", "broken") if word == "all_of" else ("broken", "proved")
    found = next((o for o in (alone, "undecided") if o in outcomes), other)
    need(found != alone or len(outcomes) == 1, "more than one is not needed")
    came[id(why)] = found
    return found, None


def answer(world, q, why):
    """(outcome, margin) of one thing that was asked."""
    asks = why["asks"]
    check_scope(world, q, why)
    own = {"together": lambda: check_together(world, q, why), "moves": lambda: moves.check_question(world, why),
           "varies": lambda: spans.check_varies(world, why), "narrow": lambda: spans.check_narrow(world, asks),
           "cuts off": lambda: cuts_off(world, asks)}
    if asks["kind"] in own:
        return own[asks["kind"]]()
    if "place" in asks:
        name = asks["function"][0] if "function" in asks else asks["device"]
        need(asks["place"] in world.states.allowed(name, q["rule"], q["state"]), f"{name} is not {asks['place']} in this state")
    zones = zone_of(world, q, why)
    need(len(zones) == len(why["steps"]), f"{len(zones)} steps are due, {len(why['steps'])} are there")
    answers = []
    for step, zone in zip(why["steps"], zones):
        # Under the orders of the step, where not all count in it.
        zone, orders = zone if isinstance(zone, tuple) and len(zone) == 2 else (zone, None)
        hands = world.over(asks["over"])
        hands = hands if orders is None else {**hands, "orders": orders}
        answers.append(world.step(step, zone, asks.get("place"), hands))
    if asks["kind"] == "passes" and asks["edge"]["surely"] is not None and answers[0][0] != "never":
        # Between where it may be passed and where it surely is nobody can tell.
        answers = answers[1:] if answers[1:] and answers[1][0] != "never" else [("undecided", None)]
    return worst(answers)


def cuts_off(world, asks):
    """The last part of a way, for which more may be asked than the set can send."""
    boat, n, way = world.boat, asks["channel"], asks["side"]
    ch, (_, switches), most = boat.channels[n], boat.influence(n), None
    for k in world.orders:
        order = world.every[k]
        if order[5] == "keeps ends":
            continue
        for settings in boat.settings_of(switches):
            shape = Shape(boat, ch, dict(zip((k for k, _ in LINES), order)))
            stick = boat.rate(ch, way, settings) * way
            out = (shape.sense * shape.endpoint(stick) + shape.sub) * ch["sense"] * way
            most = out if most is None else max(most, out)
    need(asks.get("most") == (None if most is None else str(most)), f"{most} is asked for")
    return "broken" if most is not None and most > boat.furthest else "proved", None
