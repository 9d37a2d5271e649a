"""The reaches of a certificate: how far the output of a case goes, each followed from what its controls add."""

from fractions import Fraction as F

from .reach import curve_bound, own_bound
from .told import fraction, near, need, pair


class Reaches:
    """By number: (case, most or least, ranges, what stays at rest, the output)."""

    def __init__(self, cases):
        self.cases, self.all, self.totals = cases, [], []

    def add(self, said):
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
        self.all.append((said["case"], said["which"], ranges, silent, out))
        self.totals.append(total)

    def bound(self, i, which, key):
        """The output that a reach proves, if it is of this case and covers these ranges."""
        row, case_ranges = key
        if i is None:
            return None
        at, what, ranges, silent, out = self.all[i]
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
