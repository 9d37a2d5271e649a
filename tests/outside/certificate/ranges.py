"""What a figure stands for where a boat file leaves it out: its range, and the boat with it at one place of it."""

from fractions import Fraction as F

from .boat import empties

# Of numbers that are shares of the set's own pulse: (at its best, at its worst).
SHARES = {"accuracy": (F(0), F(1, 5)), "±": (F(0), F(1, 5)), "still_between": (F(1, 5), F(-1, 5)), "stops": (F(3, 2), F(0))}
WORDS = {"receiver.on_loss": "noise", "fail_safe.notices": "invalid pulses", "fail_safe.tried": "no",
         "fail_safe.until_it_acts": "passes"}
# Such figures may be the worst at either end: where something binds near rest and where nothing does.
TWO_ENDS = ("stops", "still_between")
FURTHEST = "transmitter.furthest"


def parts(key):
    """(section, name, work, key, side) of a key; the last is `±` where a tolerance is missing."""
    at, _, off = key.partition(" ")
    words = at.split(".")
    if words[0] != "devices":
        return words[0], words[1], None, "±" if key == "fail_safe.notices.beyond" else words[-1], None
    if words[2] == "works":
        return "devices", words[1], words[3], words[4] if words[4] == "releases" and not off else "±", words[4]
    if words[2] == "linkage":
        return "devices", words[1], None, "linkage ±" if off else "linkage", words[3]
    return "devices", words[1], None, "±" if off else words[2], int(words[3]) if len(words) > 3 else None


def span(boat, key):
    """(best, worst) of a number; of a word, the word alone."""
    section, name, work, what, side = parts(key)
    if key in WORDS:
        return WORDS[key]
    if what == "without_pulses":
        return "stays" if boat.devices[name]["kind"] != "relay" else "on"
    if key == "transmitter.pulse.accuracy":
        return F(0), F(20)
    if key == "fail_safe.accuracy":
        return F(0), F(40)
    if key == "fail_safe.wait":
        return F(0), F(600)
    if what == "trim":
        return F(0), F(1, 2)
    if what == "releases":
        return boat.devices[name]["works"][work]["from"][0], F(0)
    if what == "correction":
        return F(0), F(2)
    if what == "still_between" and boat.devices[name]["one_way"]:
        return F(-9, 10), F(-3)
    if what == "linkage":
        return F(0), F(90)
    if what == "linkage ±":
        return F(0), F(20) if side == "rests" else F(3)
    here = lambda s: boat.span(boat.set, s) / boat.span(boat.axis, s)
    if what == "level_at":
        side = empties(boat.data["devices"][name])
        return -side * F(3, 2) * here(-side), side * F(3, 2) * here(side)
    best, worst = SHARES[what]
    if what == "stops":
        sign = -1 if side == 0 else 1
        return sign * best * here(sign), sign * worst * here(sign)
    wider = max(here(-1), here(1))
    return best * wider, worst * wider


def reaches(boat):
    """The ends of how far outputs go: at the most, and no more than holds what is dialled in."""
    dialled = max([F(1), *(end for ch in boat.channels.values() for end in ch["ends"])])
    return max(boat.furthest, F(2)), min(dialled, boat.furthest)


def holds(boat, key, value):
    """Whether a figure may have this value."""
    if key == FURTHEST:
        most, least = reaches(boat)
        return least <= F(value) <= most
    ends = span(boat, key)
    return value == ends if isinstance(ends, str) else min(ends) <= F(value) <= max(ends)


def worst(boat, missing):
    """The figures of each world in which everything that is missing is at its worst."""
    at = {key: span(boat, key) for key in missing if key != FURTHEST}
    at = {key: ends if isinstance(ends, str) else str(ends[1]) for key, ends in at.items()}
    two = [key for key in at if parts(key)[3] in TWO_ENDS and span(boat, key) != (F(-9, 10), F(-3))]
    out = []
    for far in (map(str, reaches(boat)) if FURTHEST in missing else (None,)):
        for both in (True, False) if two else (True,):
            figures = {key: value for key, value in at.items() if both or key not in two}
            out.append(figures if far is None else {**figures, FURTHEST: far})
    return [figures for figures in out if figures]


def without(worlds, key):
    """The figures of such worlds without one."""
    return [{k: v for k, v in figures.items() if k != key} for figures in worlds]


def in_turn(figures):
    """Tolerances first: where a work lets go has that of where it engages."""
    return sorted(figures.items(), key=lambda item: parts(item[0])[3] == "releases")


def put(boat, key, value):
    """The boat with a figure at a value."""
    section, name, work, what, side = parts(key)
    number = None if isinstance(span_or_far(boat, key), str) else F(value)
    if key == "transmitter.pulse.accuracy":
        boat.pulse_off = number
    elif key == FURTHEST:
        boat.furthest = number
    elif key == "receiver.on_loss":
        boat.loss = value
        # A unit that knows noise hears nothing where the last signal is held.
        if boat.unit:
            boat.unit["tried"] = "no"
    elif key == "fail_safe.accuracy":
        boat.unit_off = number
    elif key == "fail_safe.notices.beyond":
        boat.beyond = boat.beyond[0], number
    elif key == "fail_safe.notices":
        # What was tried was tried of something else.
        boat.unit.update(notices=value, tried="no")
    elif section == "fail_safe":
        boat.unit[what] = value
    elif section == "controls":
        boat.controls[name]["trim"] = [number] * 2
    elif work is not None:
        place = boat.devices[name]["works"][work]
        if what == "releases":
            # The nearer to rest it lets go, the more it can be off.
            at, off = place["from"]
            wider = max(boat.span(boat.set, s) / boat.span(boat.axis, s) for s in (-1, 1))
            place["releases"] = number, max(off, F(1, 5) * wider * (1 - number / at if at else 1))
        else:
            at = "from" if side == "clicks" else side
            place[at] = place[at][0], max(place[at][1], number)
    else:
        if what.startswith("linkage"):
            boat.rods[name] = {**boat.rods.get(name, {}), side: number}
        else:
            of_device(boat.devices[name], what, side, value if number is None else number)


def of_device(device, what, side, value):
    if what == "accuracy":
        device["share"], device["us"] = value, F(0)
    elif what == "without_pulses":
        device["without"] = value
    elif what == "still_between" and device["one_way"]:
        device["still"] = [F(-100), value]
    elif what == "still_between":
        device["still"] = [-value, value]
    elif what == "correction":
        device["correction"] = value
    elif what == "level_at":
        device["level"] = value, F(0)
    elif side is None:
        device["level"] = device["level"][0], value
    elif what == "stops":
        device["stops"][side] = value, F(0)
    else:
        device["stops"][side] = device["stops"][side][0], value


def span_or_far(boat, key):
    return reaches(boat) if key == FURTHEST else span(boat, key)
