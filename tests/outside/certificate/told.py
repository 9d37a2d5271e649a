"""What a certificate is made of: numbers as texts, zones, steps that follow or do not."""

import functools
from fractions import Fraction as F

# Where an extreme lies inside a cubic, proved and broken may lie so far apart.
GAP = F(1, 10_000)
# What is told may exceed what its pieces come to by so much: roots are enclosed, not found.
LOOSE = F(1, 100_000)


class Refused(Exception):
    """The first step that does not follow."""


def need(good, what):
    if not good:
        raise Refused(what)


def near(mine, told, up, what):
    """Whether a bound that is told holds by its own pieces, and is no looser than they are."""
    need(mine is not None, f"{what}: its pieces do not cut the range")
    need(0 <= (told - mine if up else mine - told) <= LOOSE, f"{what}: {told} is told, its pieces come to {mine}")


@functools.lru_cache(maxsize=None)
def fraction(text):
    """A number as the certificate has it; most stand there many times."""
    need(isinstance(text, str), f"{text!r} is no number")
    value = F(text)
    need(str(value) == text, f"{text} is not in lowest terms")
    return value


def pair(some):
    low, high = (fraction(x) for x in some)
    return low, high


def pair_of_zone(said):
    low, high, closed = said
    return None if low is None else fraction(low), None if high is None else fraction(high), closed


def show(zone):
    return [None if x is None else str(x) for x in zone[:2]] + [zone[2]]


def distance(zone, least, most):
    """How far a stretch stays away from a zone; negative where it reaches in."""
    low, high, _ = zone
    return max(*([low - most] if low is not None else []), *([least - high] if high is not None else []), F(-1000))


def met(zone, far):
    return far <= 0 if zone[2] else far < 0


def holds(zone, out):
    low, high, closed = zone
    return (low is None or (out >= low if closed else out > low)) and \
        (high is None or (out <= high if closed else out < high))


def worst(answers):
    """The outcome of several steps of which none may be, with the least margin of those that decide."""
    word = next((w for w in ("here", "undecided") if any(a == w for a, _ in answers)), "never")
    margins = [m for a, m in answers if a == word and m is not None]
    return {"here": "broken", "undecided": "undecided", "never": "proved"}[word], min(margins, default=None)
