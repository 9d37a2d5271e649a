"""Follows a certificate step by step; the first that does not follow is named and ends it."""

import json
from fractions import Fraction as F

from .boat import Boat, LINES, Shape
from . import moves
from .figures import left_out
from .pairs import check_before, check_together
from .reach import Case, curve_bound, own_bound
from .scope import check_scope
from .states import States
from .zones import zone_of

VERSION = 1
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


def fraction(text):
    need(isinstance(text, str), f"{text!r} is no number")
    value = F(text)
    need(str(value) == text, f"{text} is not in lowest terms")
    return value


def pair(some):
    low, high = (fraction(x) for x in some)
    return low, high


class Checker:
    def __init__(self, boat_text, certificate):
        self.said = json.loads(certificate)
        need(self.said.get("version") == VERSION, "a version of the certificate that is not known here")
        taken = {(f"{d}.{w}", key): pair(at) for d, w, key, at in self.said.get("readings", [])}
        self.boat = Boat(boat_text, taken)
        self.orders = [tuple(o) for o in self.said["orders"]["left"]]
        self.states = States(self.boat)
        self.left_out = left_out(self.boat.data)
        self.reached, self.before = {}, {}
        self.checked = 0

    def run(self):
        self.check_orders()
        self.check_cases()
        self.hands = [self.read_hands(h) for h in self.said["hands"]]
        for i, reach in enumerate(self.said["reaches"]):
            self.within(f"reach {i}", self.check_reach, i, reach)
        self.moved = []
        for i, said in enumerate(self.said["moves"]):
            self.within(f"move {i}", lambda said=said: self.moved.append(moves.check_moves(self, said)))
        for said in self.said["before"]:
            self.within(f"before: {'.'.join(said['function'])}", check_before, self, said)
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
        except (KeyError, IndexError, TypeError, ValueError, AttributeError, ZeroDivisionError, StopIteration) as why:
            raise Refused(f"{name}: cannot be read ({type(why).__name__} {why})") from None

    # what counts ----------------------------------------------------------------------------------
    def check_orders(self):
        every = self.boat.open_orders()
        differing = {o: self.boat.differing(o) for o in every}
        left = [o for o in every if differing[o] is None] or every
        need(self.orders == left, "orders: those that count are not those that the measured pulses leave")
        struck = [{"order": list(o), "channel": d[0], "way": d[1], "pulse": str(d[2]), "measured": str(d[3])}
                  for o, d in differing.items() if d and o not in left]
        need(self.said["orders"]["struck"] == struck, "orders: what strikes out an order is another measured pulse")

    def check_cases(self):
        """The cases of each channel that is spoken of: all of them, the same ones once."""
        self.cases, self.row_of, rows = [], {}, {}
        for i, row in enumerate(self.said["cases"]):
            rows.setdefault(row["channel"], []).append((i, row))
            self.cases.append(None)
        for n, some in rows.items():
            need(n in self.boat.channels, f"cases: there is no channel {n}")
            _, switches = self.boat.influence(n)
            known, mine = {}, iter(some)
            for k, order in enumerate(self.orders):
                for settings in self.boat.settings_of(switches):
                    case = Case(self.boat, n, order, settings)
                    said = case.said()
                    key = json.dumps(said)
                    if key not in known:
                        i, row = next(mine, (None, None))
                        need(row is not None, f"cases of channel {n}: one is missing: {settings} under {order}")
                        need(row == {"channel": n, "order": k, "settings": settings, **said},
                             f"case {i}, channel {n}: it is not what the boat file makes of {settings} under {order}")
                        known[key] = i
                        self.cases[i] = case
                    self.row_of[n, k, tuple(settings.items())] = known[key]
            need(next(mine, None) is None, f"cases of channel {n}: one too many")

    def read_hands(self, said):
        need(set(said) <= {"positions", "trims", "only", "never", "held", "thrown", "orders"}, "hands: an unknown word")
        positions = {c: (F(-1), F(1)) for c in self.boat.controls}
        trims = {c: (-x["trim"][0], x["trim"][1]) for c, x in self.boat.controls.items()}
        for whole, given in ((positions, said.get("positions", {})), (trims, said.get("trims", {}))):
            for c, some in given.items():
                low, high = pair(some)
                need(whole[c][0] <= low <= high <= whole[c][1], "hands: beyond what the control can do")
                whole[c] = (low, high)
        return {"positions": positions, "trims": trims, "only": [tuple(x) for x in said.get("only", [])],
                "never": [tuple(x) for x in said.get("never", [])], "held": said.get("held", []),
                "thrown": said["thrown"], "orders": said.get("orders", range(len(self.orders)))}

    def inside(self, hands, switches, settings):
        """What remains of hands with these settings in force; None where nothing does."""
        if any(settings[c] != s for c, s in hands["only"]) or any(settings[c] == s for c, s in hands["never"]):
            return None
        positions = dict(hands["positions"])
        for c in switches:
            all_places = [self.boat.stands(c, s) for s in self.boat.controls[c]["settings"]]
            low, high = positions[c]
            if low == high and low not in all_places:
                continue          # a sprung switch between two settings: either may be in force
            k = self.boat.controls[c]["settings"].index(settings[c])
            least = most = all_places[k]
            if hands["thrown"] and c not in hands["held"]:
                least, most = all_places[max(0, k - 1)], all_places[min(len(all_places) - 1, k + 1)]
            low, high = max(low, least), min(high, most)
            if low > high:
                return None
            positions[c] = (low, high)
        return positions

    def due(self, n, over):
        """Every case of a channel over hands: {(case, ranges of what moves it)}"""
        hands, out = self.hands[over], []
        _, mine = self.boat.influence(n)
        asked = {c for c, _ in hands["only"] + hands["never"]}
        switches = [c for c in self.boat.controls if c in asked or c in mine]
        for settings in self.boat.settings_of(switches):
            positions = self.inside(hands, switches, settings)
            if positions is None:
                continue
            own = tuple((c, settings[c]) for c in mine)
            for k in hands["orders"]:
                row = self.row_of[n, k, own]
                key = row, tuple((c, positions[c], hands["trims"][c]) for c in self.cases[row].moved())
                if key not in out:
                    out.append(key)
        return out

    # how far an output goes -----------------------------------------------------------------------
    def check_reach(self, i, said):
        case, up = self.cases[said["case"]], said["which"] == "most"
        need(up or said["which"] == "least", "neither most nor least")
        shape = case.shape
        inner = up == (shape.sense > 0)
        own = said.get("own")
        ranges, sums, left = {}, {"before": F(0), "behind": F(0)}, {}
        for at, some in (("before", case.before), ("behind", case.after)):
            for c, factors in some.items():
                if own and c == own["control"]:
                    continue
                if any(factors[:4]):
                    left[c, "hand", at] = factors
                if factors[4]:
                    left[c, "trim", at] = factors
        for part in said["adds"]:
            c, of, at = part["control"], part["of"], part["at"]
            low, high, adds = fraction(part["from"]), fraction(part["to"]), fraction(part["adds"])
            need((c, of, at) in left, f"{c} adds nothing there by its {of}, or is named twice")
            factors = left.pop((c, of, at))
            need(ranges.setdefault((c, of), (low, high)) == (low, high), f"{c} goes two ways at once")
            cuts = [fraction(x) for x in part.get("cuts", [])]
            if of == "trim":
                ends = factors[4] * low, factors[4] * high
                need(adds == (max(ends) if inner else min(ends)), f"the trim of {c} adds not {adds}")
            else:
                near(curve_bound(factors, low, high, cuts, inner), adds, inner, f"what {c} adds")
            sums[at] += adds
        total = fraction(said["total"])
        # What is not spoken of stays at rest: that is held against the question.
        silent = {(c, of) for c, of, _ in left}
        if own:
            c = own["control"]
            ranges[c, "hand"], ranges[c, "trim"] = pair((own["from"], own["to"])), pair(own["trim"])
            nothing = [F(0)] * 5
            cuts = [fraction(x) for x in own["cuts"]]
            mine = own_bound(shape, case.before.get(c, nothing), case.after.get(c, nothing),
                             (*ranges[c, "hand"], ranges[c, "trim"], cuts), sums["before"], sums["behind"], inner)
            near(mine, total, inner, f"what {c} brings on both sides of the endpoint")
        else:
            need(total == shape.endpoint(sums["before"]) + sums["behind"], f"the sum is not {total}")
        out = shape.sent(shape.sense * total + shape.sub)
        need(out == fraction(said["output"]), f"what is sent is {out}, not {said['output']}")
        self.reached[i] = (said["case"], said["which"], ranges, silent, out)

    def bound(self, i, which, key):
        """The output that a reach proves, if it is of this case and covers these ranges."""
        row, case_ranges = key
        at, what, ranges, silent, out = self.reached[i]
        if at != row or what != which:
            return None
        for c, positions, trims in case_ranges:
            for of, range_ in (("hand", positions), ("trim", trims)):
                if (c, of) in silent:
                    if range_ != (F(0), F(0)):
                        return None
                elif (c, of) in ranges and ranges[c, of] != range_:
                    return None
        return out

    # answers --------------------------------------------------------------------------------------
    def check_output(self, said, zone):
        n, over = said["channel"], said["over"]
        need(pair_of_zone(said["zone"]) == zone, f"the zone is {show(zone)}")
        low, high, _ = zone
        due = self.due(n, over)
        distances, named = [], list(map(tuple, said["reaches"]))
        need(len(set(named)) == len(named), "a case is named twice")
        used = set()
        for key in due:
            found = None
            for k, (least, most) in enumerate(named):
                a = self.bound(least, "least", key) if high is not None else None
                b = self.bound(most, "most", key) if low is not None else None
                if (high is None or a is not None) and (low is None or b is not None):
                    found = distance(zone, a, b)
                    used.add(k)
                    break
            need(found is not None, f"a case is not there: {self.describe(key)}")
            distances.append(found)
        need(len(used) == len(named), "a case is there that the question does not have")
        nearest = min(distances, default=None)
        self.check_says(said, zone, nearest, lambda hand: self.check_hand(n, over, hand))

    def check_says(self, said, zone, nearest, hand):
        says = said["says"]
        margin = None if said["margin"] is None else fraction(said["margin"])
        if says == "never":
            need(nearest is None or not met(zone, nearest), "it may get there")
            need(margin == nearest, f"the margin is {nearest}")
        elif says == "here":
            out = hand(said["witness"])
            need(holds(zone, out), "the witness does not get there")
            if nearest is not None and "deepest" in said:
                ends = [None if at is None else hand(at) for at in said["deepest"]]
                need(distance(zone, *ends) == margin, "the deepest place is not so deep")
            elif nearest is not None:
                need(margin in (nearest, distance(zone, out, out)), "nothing shows that it goes so deep")
            need(margin is not None and met(zone, margin), "the margin is not that of something broken")
            need(nearest is None or nearest <= margin, "no bound lets it go so deep")
        else:
            need(says == "undecided", f"{says!r} is no answer")
            need(nearest is not None and met(zone, nearest) and nearest > -GAP, "it is not so near that nobody can tell")
        return says

    def check_hand(self, n, over, said):
        """The output at one place, every step held against the boat file."""
        hands, k = self.hands[over], said["order"]
        need(k in hands["orders"], "the witness is under an order that does not count")
        settings = said["settings"]
        switches = [c for c, x in self.boat.controls.items() if x["settings"]]
        need(list(settings) == switches and all(s in self.boat.controls[c]["settings"] for c, s in settings.items()),
             "the witness leaves a switch open")
        positions = {c: fraction(x) for c, x in said["positions"].items()}
        trims = {c: fraction(x) for c, x in said["trims"].items()}
        _, mine = self.boat.influence(n)
        ranges = self.inside(hands, mine, settings)
        need(ranges is not None, "the settings of the witness do not belong to the question")
        case = self.case_of(n, k, settings)
        factors = [*case.before.items(), *case.after.items()]
        by_hand, by_trim = {c for c, x in factors if any(x[:4])}, {c for c, x in factors if x[4]}
        need(set(positions) <= by_hand and set(trims) <= by_trim, "the witness moves what has no part in it")
        for some, all_at, all_ranges in ((by_hand, positions, ranges), (by_trim, trims, hands["trims"])):
            for c in some:
                low, high = all_ranges[c]
                need(low <= all_at.get(c, F(0)) <= high, f"the witness has {c} where the question does not")
        steps = self.boat.steps(n, self.orders[k], settings, positions, trims)
        told = {**steps, "signals": {str(c): v for c, v in sorted(steps["signals"].items())}}
        for name, value in told.items():
            mine_ = {c: str(v) for c, v in value.items()} if isinstance(value, dict) else str(value)
            need(said[name] == mine_, f"the witness: {name} comes to {mine_}")
        return steps["output"]

    def case_of(self, n, k, settings):
        _, mine = self.boat.influence(n)
        return self.cases[self.row_of[n, k, tuple((c, settings[c]) for c in mine)]]

    def temporary(self, hands):
        self.hands.append(hands)
        return len(self.hands) - 1

    def describe(self, key):
        row = self.said["cases"][key[0]]
        return f"{row['settings']} under {dict(zip((k for k, _ in LINES), self.orders[row['order']]))}"

    def check_question(self, q):
        need(q["outcome"] in ("proved", "broken", "undecided", "not judged"), "no outcome")
        why = q["why"]
        if isinstance(why, str):
            need(why in ("a fact of the file", "an estimate"), "no reason")
            return
        if "missing" in why:
            need(q["outcome"] == "not judged" and why["missing"], "it is not said what is missing")
            for key in why["missing"]:
                need(self.is_missing(key), f"{key} is there")
            return
        if "not_carried" in why:
            return
        parts = why["all_of"] if "all_of" in why else [why]
        answers = [self.answer(q, part) for part in parts]
        if "all_of" in why:
            # One that cannot be is enough; else each of them has to be.
            never = [a for a in answers if a[0] == "proved"]
            need(len(parts) == 1 if never else parts, "more than one is not needed")
            outcome = "proved" if never else "undecided" if any(a[0] == "undecided" for a in answers) else "broken"
            margin = None
        else:
            (outcome, margin), = answers
        need(q["outcome"] == outcome, f"its steps make it {outcome}")
        if outcome == "proved" and self.left_out:
            raise Refused(f"{self.left_out[0]} is left out: this is proved of one of the boats that the file describes")
        if outcome != "undecided":
            need(q.get("margin") == (None if margin is None else str(margin)), f"the margin is {margin}")
        self.checked += 1

    def answer(self, q, why):
        """(outcome, margin) of one thing that was asked."""
        asks = why["asks"]
        check_scope(self, q, why, need)
        if asks["kind"] == "together":
            return check_together(self, q, why)
        if asks["kind"] == "moves":
            return moves.check_question(self, why)
        if asks["kind"] == "cuts off":
            return self.check_cuts_off(asks)
        if "place" in asks:
            name = asks["function"][0] if "function" in asks else asks["device"]
            need(asks["place"] in self.states.allowed(name, q["rule"], q["state"]), f"{name} is not {asks['place']} in this state")
        zones = zone_of(self.boat, q, why, self.before, need)
        need(len(zones) == len(why["steps"]), f"{len(zones)} steps are due, {len(why['steps'])} are there")
        answers = [self.step(step, zone, asks.get("place"), over) for step, (zone, over) in
                   zip(why["steps"], self.with_hands(zones, asks["over"]))]
        if asks["kind"] == "passes" and asks["edge"]["surely"] is not None and answers[0][0] != "never":
            # Between where it may be passed and where it surely is nobody can tell.
            answers = answers[1:] if answers[1:] and answers[1][0] != "never" else [("undecided", None)]
        return worst(answers)

    def with_hands(self, zones, over):
        """Each zone with the hands it is asked over: those of the question, under the orders of the step."""
        for zone in zones:
            zone, orders = zone if isinstance(zone, tuple) and len(zone) == 2 else (zone, None)
            hands = self.hands[over]
            yield zone, hands if orders is None else {**hands, "orders": orders}

    def step(self, step, zone, place, hands):
        """(what it says, the margin) of one step, held against its zone, place and hands."""
        if step == "still":
            need(zone is None, "it does not stand still")
            return "never", None
        need(zone is not None, "it stands still")
        if "place" in step:
            need(step["place"] == place and pair_of_zone(step["zone"]) == zone, f"the zone is {show(zone)}")
            low, high = pair(place) if isinstance(place, list) else (fraction(place["at"]),) * 2

            def lies(said):
                out = fraction(said["output"])
                need(low <= out <= high, "the witness lies elsewhere")
                return out
            self.check_says(step, zone, distance(zone, low, high), lies)
        else:
            need(same_hands(self.hands[step["over"]], hands), "it is asked over other hands")
            self.check_output(step, zone)
        return step["says"], None if step["margin"] is None else fraction(step["margin"])

    def check_cuts_off(self, asks):
        """The last part of a way, for which more may be asked than the set can send."""
        boat, n, way = self.boat, asks["channel"], asks["side"]
        ch, (_, switches), most = boat.channels[n], boat.influence(n), None
        for order in self.orders:
            if order[5] == "keeps ends":
                continue
            for settings in boat.settings_of(switches):
                shape = Shape(boat, ch, dict(zip((k for k, _ in LINES), order)))
                stick = boat.rate(ch, way, settings) * way
                out = (shape.sense * shape.endpoint(stick) + shape.sub) * ch["sense"] * way
                most = out if most is None else max(most, out)
        need(asks.get("most") == (None if most is None else str(most)), f"{most} is asked for")
        return "broken" if most is not None and most > boat.furthest else "proved", None

    def is_missing(self, key):
        """Whether nothing stands at a path of keys, or only that nobody has measured it."""
        at = self.boat.data
        for word in key.split("."):
            if isinstance(at, list):
                at = at[int(word)] if word.isdigit() and int(word) < len(at) else None
            at = at.get(word) if isinstance(at, dict) else None
        return at is None or at == "not measured" or isinstance(at, list) and ("not measured" in at or len(at) < 5) or \
            isinstance(at, str) and "±" not in at and "+-" not in at or isinstance(at, str) and at.endswith("not measured")

    def check_coverage(self):
        count = {"carried": 0, "not_judged": 0, "facts": 0, "estimates": 0, "not_carried": {}}
        for q in self.said["questions"]:
            why = q["why"]
            if isinstance(why, str):
                count["facts" if why.startswith("a fact") else "estimates"] += 1
            elif "missing" in why:
                count["not_judged"] += 1
            elif "not_carried" in why:
                count["not_carried"][why["not_carried"]] = count["not_carried"].get(why["not_carried"], 0) + 1
            else:
                count["carried"] += 1
        need(self.said["coverage"] == count, f"coverage: the questions are {count}")


def pair_of_zone(said):
    low, high, closed = said
    return None if low is None else fraction(low), None if high is None else fraction(high), closed


def worst(answers):
    """The outcome of several steps of which none may be, with the least margin of those that decide."""
    word = next((w for w in ("here", "undecided") if any(a == w for a, _ in answers)), "never")
    margins = [m for a, m in answers if a == word and m is not None]
    return {"here": "broken", "undecided": "undecided", "never": "proved"}[word], min(margins, default=None)


def same_hands(a, b):
    return all(list(a[k]) == list(b[k]) if k != "positions" and k != "trims" else a[k] == b[k]
               for k in a if k != "thrown") and a["thrown"] == b["thrown"]


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


def check(boat_text, certificate):
    """The number of answers that were followed; raises Refused at the first step that does not follow."""
    try:
        return Checker(boat_text, certificate).run()
    except (KeyError, IndexError, TypeError, ValueError, AttributeError, ZeroDivisionError) as why:
        raise Refused(f"cannot be read ({type(why).__name__} {why})") from None
