"""Follows a certificate step by step; the first that does not follow is named and ends it."""

import json

from . import linkage, ranges, readings
from .answers import several
from .boat import Boat, read
from .combined import ESTIMATE, After
from .figures import left_out
from .pairs import check_before
from .reach import Case
from .reaches import Reaches
from .told import Refused, fraction, need, pair
from .unfollowed import FACT, may_be
from .world import World

VERSION = 1
# Rules that ask only where something else comes out in a way: with another figure they may have nothing to ask.
HANGING = ("runs-too-long", "runs-on-after-loss", "interlock-missing", "emergency-beside-busy")
PROBLEMS = (KeyError, IndexError, TypeError, ValueError, AttributeError, ZeroDivisionError, StopIteration)


class Checker:
    def __init__(self, data, certificate):
        self.said = json.loads(certificate)
        need(self.said.get("version") == VERSION, "a version of the certificate that is not known here")
        self.data = data
        self.taken = {(f"{d}.{w}", key): pair(at) for d, w, key, at in self.said["readings"]}
        self.cases, self.rows, self.known, self.made, self.alikes = [], {}, {}, {}, {}
        self.reaches = Reaches(self.cases)
        self.checked = 0

    def run(self):
        self.within("readings", readings.check, Boat(self.data, self.taken), self.said["readings"])
        self.within("worlds", self.check_worlds)
        for i, row in enumerate(self.said["cases"]):
            self.within(f"case {i}, channel {row['channel']}", self.check_case, i, row)
        for i, reach in enumerate(self.said["reaches"]):
            self.within(f"reach {i}", self.reaches.add, reach)
        for said in self.said["before"]:
            for i in said["in"]:
                self.within(f"before: {'.'.join(said['function'])}", check_before, self.worlds[i], said)
        for i, q in enumerate(self.said["questions"]):
            self.within(f"question {i}: {q['rule']} of {q['where']} [{q['state']}]", self.check_question, q)
        self.check_coverage()
        return self.checked

    @staticmethod
    def within(name, check, *rest):
        try:
            check(*rest)
        except Refused as why:
            raise Refused(f"{name}: {why}") from None
        except PROBLEMS as why:
            raise Refused(f"{name}: cannot be read ({type(why).__name__} {why})") from None

    # what counts ----------------------------------------------------------------------------------
    def check_worlds(self):
        """The boat as read, those with all that is missing at its worst, and whatever shows that a figure decides."""
        read_as = Boat(self.data, self.taken)
        need([tuple(o) for o in self.said["orders"]] == read_as.open_orders(), "the orders are not those that the file leaves open")
        missing, self.figures, self.worlds = left_out(self.data), [], []
        for i, said in enumerate(self.said["worlds"]):
            figures = said["figures"]
            boat = Boat(self.data, self.taken) if figures else read_as
            for key, value in ranges.in_turn(figures):
                need(key in missing, f"world {i}: {key} is not missing")
                need(ranges.holds(read_as, key, value), f"world {i}: {key} is never {value}")
                ranges.put(boat, key, value)
            self.figures.append(figures)
            self.worlds.append(World(self, boat, said["struck"]))
        need(self.figures[0] == {}, "the first world is not the file as read")
        self.worst = ranges.worst(read_as, missing)
        need(self.said["worst"] == len(self.worst) and self.figures[1:len(self.worst) + 1] == self.worst,
             "worlds: those at the worst are others")

    def check_case(self, i, row):
        """A case is what the boat file makes of its order and settings in some world, and stands there once."""
        n, k, settings = row["channel"], row["order"], row["settings"]
        told = {key: row[key] for key in ("before", "after", "shape")}
        need(set(row) == {"channel", "order", "settings", *told}, "an unknown word")
        for world in {w.alike: w for w in reversed(self.worlds)}.values():
            _, switches = world.boat.influence(n)
            if k in world.orders and list(settings) == switches:
                case, name = self.make(world, n, k, settings)
                if name == (n, json.dumps(told)):
                    need(name not in self.rows, "it is told twice")
                    self.rows[name] = i
                    self.cases.append(case)
                    return
        need(False, f"it is not what the boat file makes of {settings} under order {k}")

    def number_of(self, alike):
        """A number for worlds in which channels do the same."""
        return self.alikes.setdefault(alike, len(self.alikes))

    def make(self, world, n, k, settings):
        """What the boat file makes of an order and settings, and how that is told; worked out once."""
        key = world.alike, n, k, tuple(settings.items())
        if key not in self.made:
            case = Case(world.boat, n, world.every[k], settings)
            self.made[key] = case, (n, json.dumps(case.said()))
        return self.made[key]

    def row(self, world, n, k, settings):
        """The number of a case, which has to be there."""
        key = world.alike, n, k, tuple(settings.values())
        if key not in self.known:
            _, name = self.make(world, n, k, settings)
            need(name in self.rows, f"cases of channel {n}: one is missing: {settings} under order {k}")
            self.known[key] = self.rows[name]
        return self.known[key]

    # answers --------------------------------------------------------------------------------------
    def check_question(self, q):
        need(q["outcome"] in ("proved", "broken", "undecided", "not judged"), "no outcome")
        why = q["why"]
        also = {i: part["why"] for part in q.get("also", []) for i in part["in"]}
        need(sum(len(part["in"]) for part in q.get("also", [])) == len(also), "a world is spoken of twice")
        if isinstance(why, str):
            need(may_be(why, q, self.data) and not also, "no reason for an answer of this rule")
        elif "missing" in why:
            self.check_missing(q, also)
        elif "undecided" in why:
            need(q["outcome"] == "undecided", "nothing makes it so")
        elif "not_carried" not in why:
            self.check_carried(q, also)

    def check_carried(self, q, also):
        outcome, margin = several(self.worlds[0], q, q["why"])
        need(q["outcome"] == outcome, f"its steps make it {outcome}")
        due = range(1, len(self.worst) + 1) if outcome == "proved" else []
        need(set(also) <= set(due), "a world is spoken of that has no part in it")
        for i in due:
            there = self.elsewhere(q, i, also.get(i, q["why"]))
            margin = margin if margin is None or there is None else min(margin, there)
        if outcome != "undecided":
            need(q.get("margin") == (None if margin is None else str(margin)), f"the margin is {margin}")
        self.checked += 1

    def elsewhere(self, q, i, why):
        """The margin of an answer that has to be proved in another world, or does not arise there."""
        if why == FACT:
            need(may_be(why, q, self.data), "no reason for an answer of this rule")
            return None
        if why is None:
            over = q["state"] == "lost for good" and not After(self.worlds[i]).for_good
            need(over or q["rule"] in HANGING, f"with {self.figures[i]} it is not asked")
            return None
        try:
            outcome, margin = several(self.worlds[i], q, why)
        except Refused as refused:
            raise Refused(f"with {self.figures[i]}: {refused}") from None
        need(outcome == "proved", f"with {self.figures[i]} it is {outcome}")
        return margin

    def check_missing(self, q, also):
        """What is missing is missing, and up to the values that decide it is proved."""
        why, shown = q["why"], set()
        need(q["outcome"] == "not judged" and why["missing"], "it is not said what is missing")
        for said in why["missing"]:
            need(self.is_missing(said["key"]), f"{said['key']} is there")
            if "decides" in said:
                worlds = said["in"]
                (key, value), = self.figures[worlds[0]].items()
                need(key.split(" ")[0].removesuffix(".0").removesuffix(".1") == said["key"] and value == said["decides"],
                     "it is shown of another figure")
                everything = [{**figures, key: value} for figures in ranges.without(self.worst, key)]
                some = [self.figures[i] for i in worlds]
                need(len(some) == 1 or all(figures in some for figures in everything), "it does not hold whatever else")
                shown.update(worlds)
        need(set(also) == shown, "it is shown in other worlds")
        for i, part in also.items():
            self.elsewhere(q, i, part)

    def is_missing(self, key):
        """Whether nothing stands at a path of keys, or only that nobody has measured it."""
        at = self.data
        for word in key.split("."):
            if isinstance(at, list):
                at = at[int(word)] if word.isdigit() and int(word) < len(at) else None
            at = at.get(word) if isinstance(at, dict) else None
        return at is None or at == "not measured" or isinstance(at, list) and ("not measured" in at or len(at) < 5) or \
            isinstance(at, str) and "±" not in at and "+-" not in at or isinstance(at, str) and at.endswith("not measured")

    def check_coverage(self):
        count = {"carried": 0, "not_judged": 0, "undecided": 0, "facts": 0, "estimates": 0, "not_carried": {}}
        for q in self.said["questions"]:
            why = q["why"]
            if isinstance(why, str):
                count["facts" if why == FACT else "estimates"] += 1
            elif "missing" in why:
                count["not_judged"] += 1
            elif "undecided" in why:
                count["undecided"] += 1
            elif "not_carried" in why:
                count["not_carried"][why["not_carried"]] = count["not_carried"].get(why["not_carried"], 0) + 1
            else:
                count["estimates" if rests_on_estimate(why) else "carried"] += 1
        need(self.said["coverage"] == count, f"coverage: the questions are {count}")


def rests_on_estimate(why):
    """Whether a part of what is put together is one."""
    return why == ESTIMATE or isinstance(why, dict) and any(map(rests_on_estimate, why.get("any_of", why.get("all_of", []))))


def check(boat, certificate):
    """The checker that has followed the text of a certificate, of a boat file as text or as read; raises Refused at the
    first step that does not follow."""
    try:
        checker = Checker(read(boat) if isinstance(boat, str) else boat, certificate)
        checker.run()
        return checker
    except PROBLEMS as why:
        raise Refused(f"cannot be read ({type(why).__name__} {why})") from None
