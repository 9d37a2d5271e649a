"""One world: the boat as the file has her, with every figure that it leaves out at one place of its range."""

from fractions import Fraction as F

from .chain import LINES, steps
from .reach import Case
from .states import States
from .told import distance, fraction, holds, met, need, near, pair, pair_of_zone, show, GAP


class World:
    def __init__(self, checker, boat, struck):
        self.checker, self.boat, self.states = checker, boat, States(boat)
        self.every = boat.open_orders()
        self.orders = self.those_that_count(struck)
        self.before, self.moved, self.hands, self.cases_of = {}, {}, {}, {}
        # Channels do the same where these are the same.
        self.alike = checker.number_of((*self.orders, *(any(c["trim"]) for c in boat.controls.values()), boat.furthest))

    def those_that_count(self, struck):
        differing = {k: self.boat.differing(order) for k, order in enumerate(self.every)}
        left = [k for k, differs in differing.items() if differs is None] or list(differing)
        mine = [{"order": k, "channel": d[0], "control": d[1], "way": d[2], "pulse": str(d[3]), "measured": str(d[4])}
                for k, d in differing.items() if d and k not in left]
        need(struck == mine, "orders: those struck out are not those that the measured pulses strike out")
        return left

    # over what it is asked -------------------------------------------------------------------------
    def over(self, i):
        """Hands by their number, as far as they go in this world."""
        if i not in self.hands:
            self.hands[i] = self.read_hands(self.checker.said["hands"][i])
        return self.hands[i]

    def read_hands(self, said):
        need(set(said) <= {"positions", "trims", "only", "never", "held", "thrown", "orders"}, "hands: an unknown word")
        positions = {c: (F(-1), F(1)) for c in self.boat.controls}
        trims = {c: (-x["trim"][0], x["trim"][1]) for c, x in self.boat.controls.items()}
        for whole, given in ((positions, said.get("positions", {})), (trims, said.get("trims", {}))):
            for c, some in given.items():
                low, high = pair(some)
                need(whole[c][0] <= low <= high <= whole[c][1], "hands: beyond what the control can do")
                whole[c] = (low, high)
        orders = said.get("orders", self.orders)
        need(all(k in self.orders for k in orders), "hands: an order that does not count")
        return {"positions": positions, "trims": trims, "only": [tuple(x) for x in said.get("only", [])],
                "never": [tuple(x) for x in said.get("never", [])], "held": said.get("held", []),
                "thrown": said["thrown"], "orders": orders}

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

    # cases ----------------------------------------------------------------------------------------
    def row(self, n, k, settings):
        """Where the case stands of a channel under an order and settings of its switches."""
        return self.checker.row(self, n, k, settings)

    def case_of(self, n, k, settings):
        _, mine = self.boat.influence(n)
        return self.checker.cases[self.row(n, k, {c: settings[c] for c in mine})]

    def due(self, n, hands):
        """Every case of a channel over hands: {(case, ranges of what moves it)}"""
        out = {}
        _, mine = self.boat.influence(n)
        asked = {c for c, _ in hands["only"] + hands["never"]}
        switches = [c for c in self.boat.controls if c in asked or c in mine]
        for settings in self.boat.settings_of(switches):
            positions = self.inside(hands, switches, settings)
            if positions is None:
                continue
            own = {c: settings[c] for c in mine}
            for k in hands["orders"]:
                row = self.row(n, k, own)
                out[row, ranges_of(self.checker.cases[row], positions, hands["trims"])] = None
        return list(out)

    # outputs --------------------------------------------------------------------------------------
    def pairs(self, n, hands, named, low, high):
        """(least, most) of the output in every case, as far as they are asked for: by pairs of reaches."""
        named = list(map(tuple, named))
        need(len(set(named)) == len(named), "a case is named twice")
        used, out, bound = set(), [], self.checker.reaches.bound
        for key in self.due(n, hands):
            found = None
            for k, (least, most) in enumerate(named):
                a = bound(least, "least", key) if low else None
                b = bound(most, "most", key) if high else None
                if (not low or a is not None) and (not high or b is not None):
                    found = a, b
                    used.add(k)
                    break
            need(found is not None, f"a case is not there: {self.describe(key)}")
            out.append(found)
        need(len(used) == len(named), "a case is there that the question does not have")
        return out

    def check_output(self, said, zone):
        n, hands = said["channel"], self.over(said["over"])
        need(pair_of_zone(said["zone"]) == zone, f"the zone is {show(zone)}")
        low, high, _ = zone
        pairs = self.pairs(n, hands, said["reaches"], high is not None, low is not None)
        nearest = min((distance(zone, a, b) for a, b in pairs), default=None)
        self.check_says(said, zone, nearest, lambda hand: self.check_hand(n, hands, hand))

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

    def check_hand(self, n, hands, said):
        """The output at one place, every step held against the boat file."""
        k, settings = said["order"], said["settings"]
        need(k in hands["orders"], "the witness is under an order that does not count")
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
        found = steps(self.boat, n, self.every[k], settings, positions, trims)
        told = {**found, "signals": {str(c): v for c, v in sorted(found["signals"].items())}}
        for name, value in told.items():
            mine_ = {c: str(v) for c, v in value.items()} if isinstance(value, dict) else str(value)
            need(said[name] == mine_, f"the witness: {name} comes to {mine_}")
        return found["output"]

    def describe(self, key):
        row = self.checker.said["cases"][key[0]]
        return f"{row['settings']} under {dict(zip((k for k, _ in LINES), self.every[row['order']]))}"

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
            need(same_hands(self.over(step["over"]), hands), "it is asked over other hands")
            self.check_output(step, zone)
        return step["says"], None if step["margin"] is None else fraction(step["margin"])


def ranges_of(case, positions, trims):
    """Where everything may be that moves a case."""
    return tuple((c, positions[c], trims[c]) for c in case.moved())


def same_hands(a, b):
    return all(list(a[k]) == list(b[k]) if k != "positions" and k != "trims" else a[k] == b[k]
               for k in a if k != "thrown") and a["thrown"] == b["thrown"]
