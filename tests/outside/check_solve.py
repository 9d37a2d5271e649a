"""What `lidcard endpoints --solve` proposes, put into the file, and a search of another kind beside it.

Each proposal is judged by `lidcard check`, not by what it says of itself: it brings no finding that the file did not
have, the margin it claims is the one that check proves over everything that moves with the channel's endpoints and
sub-trim, a sub-trim moves only where that wins something, and an acceptance changes nothing. Where it says that
nothing leaves more, a plain hill-climb over the same numbers, which asks only `check`, finds no more by a step.

    LIDCARD_CASES=40 LIDCARD_FAMILY=10 python check_solve.py
"""

import os
import re
from collections import Counter

import edits
from boatfile import F, amount, fresh, load, said, write
from harness import BOATS, Cases, lidcard

CASES = int(os.environ.get("LIDCARD_CASES", "2"))
FAMILY = int(os.environ.get("LIDCARD_FAMILY", "1"))
CLOSE = F(2, 10**5)
CURVE = F(2, 100)
GRAVE = set(re.findall(r"^([a-z-]+) +error", lidcard("explain")[1], re.M)) | {"unwanted-within-reach"}


class Channel:
    """One channel of a boat whose endpoints and sub-trim are to be moved."""

    def __init__(self, data, number):
        self.data, self.number = fresh(data), str(number)
        self.own = self.data["channels"][self.number]
        self.own.pop("measured", None)             # a measured pulse is that of the old endpoints
        self.own.setdefault("endpoints", {})
        control = self.data["controls"][self.own["control"]]
        words = list(control.get("ways", {}).values()) or [control["settings"][0], control["settings"][-1]]
        self.ends = {w: amount(self.own["endpoints"].get(w, "100 %"))[0] for w in words}
        self.wanting = [w for w in words if self.own.get("wants", {}).get(w)]
        sub = amount(self.own.get("sub_trim", "0 %"))
        self.sub = sub[0] if sub[1] == "%" else None
        tx = self.data["transmitter"]
        self.step, self.furthest = (amount(tx.get(k, d))[0] for k, d in (("step", "1 %"), ("furthest", "125 %")))

    def text(self, point):
        data = fresh(self.data)
        own = data["channels"][self.number]
        own["endpoints"] = {w: said(v, "%") for w, v in point[:-1]}
        if point[-1][1] != self.sub:
            own["sub_trim"] = said(point[-1][1], "%")
        return write(data)

    def point(self, ends, sub):
        return (*((w, F(ends[w])) for w in self.ends), ("sub_trim", F(sub)))

    def moved(self, point, i, by):
        """The point with one of its numbers moved, or None beyond what the set can be given."""
        name, value = point[i]
        to = value + by
        if name == "sub_trim" and not -50 <= to <= 50 or name != "sub_trim" and not 0 <= to <= self.furthest:
            return None
        return (*point[:i], (name, to), *point[i + 1:])

    def places(self, sub_trim=True):
        """Which numbers of a point are free: where a way wants a work, and the sub-trim."""
        return [i for i, w in enumerate(self.ends) if w in self.wanting] + ([len(self.ends)] if sub_trim else [])


def margins(answers):
    """{(rule, where, state): least margin} of everything grave that has one; broken without one counts as endless."""
    out = {}
    for key, some in answers.items():
        if key[0] in GRAVE:
            found = [m for _, m, _ in some if m is not None]
            if found:
                out[key] = min(found)
    return out


def wrong(entry):
    return {(f["rule"], f["where"], f["state"]) for f in entry["findings"]
            if f["outcome"] != "proved" and f["rule"] != "acceptance-stale"}


class Judge:
    """Asks check about points of one channel, many at once, and remembers."""

    def __init__(self, channel, start):
        self.channel, self.known = channel, {}
        around = [q for i in range(len(start)) for by in (-channel.step, channel.step)
                  for q in [channel.moved(start, i, by)] if q]
        self.ask([start, *around])
        first = margins(self.known[start][0])
        self.moving = {k for q in around for k, m in margins(self.known[q][0]).items() if first.get(k) != m}
        # What another state breaks before and after is told beside the window and left out of the search.
        self.moving -= {k for k in self.known[start][1] if k[2] != "piloting"}

    def ask(self, points):
        new = [p for p in dict.fromkeys(points) if p not in self.known]
        for point, entry in zip(new, edits.ask([self.channel.text(p) for p in new])):
            answers = edits.answers(entry)
            self.known[point] = ({}, {"not read"}) if answers is None else (answers, wrong(entry))

    def least(self, point, before):
        """The least margin of what moves; nothing where a finding is new."""
        answers, found = self.known[point]
        if found - before:
            return None
        some = [m for k, m in margins(answers).items() if k in self.moving]
        return min(some, default=None)

    def climb(self, start, before, free):
        """The best point that single moves lead to, asked of check alone."""
        best = start
        for _ in range(6):
            tries = [q for i in free for n in (1, 2, 5, 12) for by in (-n * self.channel.step, n * self.channel.step)
                     for q in [self.channel.moved(best, i, by)] if q]
            self.ask([best, *tries])
            score = lambda p: -F(10**6) if self.least(p, before) is None else self.least(p, before)
            top = max([best, *tries], key=score)
            if score(top) <= score(best):
                break
            best = top
        return best, self.least(best, before)


def curve(channel):
    return CURVE if any("expo" in c for c in channel.data["channels"].values()) else CLOSE


def faults(name, data, one):
    """What is wrong with the proposal for one channel."""
    channel = Channel(data, one["channel"])
    label = f"{name}, channel {one['channel']}"
    if channel.sub is None or not channel.wanting:
        return None
    old = channel.point(channel.ends, channel.sub)
    ends = {w: F(str(one["endpoints"].get(w, channel.ends[w]))) for w in channel.ends}
    new = channel.point(ends, F(str(one["sub_trim"])))
    out = []
    if (new != old) != one["changed"]:
        out.append(f"{label}: says changed {one['changed']}: {show(old)} to {show(new)}")
    judge = Judge(channel, new)
    judge.ask([old])
    before = judge.known[old][1]
    fresh_ones = judge.known[new][1] - before
    if fresh_ones:
        out.append(f"{label}: {show(new)} brings {sorted(fresh_ones, key=str)}")
    claimed = one["margin_after"] and F(str(one["margin_after"]["percent"]))
    least = judge.least(new, before | judge.known[new][1])
    if claimed is not None and least is not None and abs(claimed - least) > curve(channel):
        worst = [k for k, m in margins(judge.known[new][0]).items() if k in judge.moving and m == least]
        out.append(f"{label}: claims {float(claimed):g} % at {show(new)}, check has {float(least):g} % for {worst[:2]}")
    if claimed is None or least is None:
        return out
    if new[-1] != old[-1]:
        judge.ask([channel.point(ends, channel.sub)])
        point, got = judge.climb(channel.point(ends, channel.sub), before, channel.places(sub_trim=False))
        if got is not None and got >= least - curve(channel) and least >= 0:
            out.append(f"{label}: moves the sub-trim for nothing: {show(new)} leaves {float(least):g} %, {show(point)} {float(got):g} %")
    if one["best_of_all"] and least >= 0:
        out += unlike_best(label, channel, judge, new, least)
    if one["best_of_all"]:
        for start in (new, old):
            point, got = judge.climb(start, before, channel.places())
            if got is not None and got > max(least + channel.step, 0) + curve(channel):
                out.append(f"{label}: says {show(new)} is best with {float(least):g} %, yet {show(point)} leaves {float(got):g} %")
                break
    return out


def unlike_best(label, channel, judge, new, least):
    """Best means the same in a window: on the boat as proposed, the best value of a way leaves as much."""
    out = []
    for way in edits.ask_one(channel.text(new), "endpoints")["ways"]:
        if str(way["channel"]) == channel.number and way["way"] in channel.wanting and way["best"] is not None:
            point = tuple((w, F(str(way["best"])) if w == way["way"] else v) for w, v in new)
            judge.ask([point])
            got = judge.least(point, judge.known[new][1])
            if got is None or abs(got - least) > curve(channel):
                out.append(f"{label}: {way['way']} {show(new)} leaves {float(least):g} %, the window's best, "
                           f"{way['best']:g} %, {'a new finding' if got is None else f'{float(got):g} %'}")
    return out


def show(point):
    return "{" + ", ".join(f"{w}: {float(v):g}" for w, v in point) + "}"


def main():
    cases, soft = Cases(), Counter()
    at_hand = [(file.name, file.read_text()) for file in [*edits.ACCEPTED, *BOATS, *edits.CLEAN]]
    for name, text in [*at_hand, *edits.random_boats(CASES, FAMILY)]:
        data = load(text)
        got = edits.ask_one(write(data), "endpoints", "--solve")
        if not isinstance(got, dict) or "solved" not in got:
            continue
        for one in got["solved"]:
            bad = faults(name, data, one)
            if bad is None:
                soft["channels that want no work"] += 1
                continue
            soft["proposals"] += one["changed"]
            soft["said to be best"] += one["best_of_all"]
            cases.holds(f"{name}, {one['channel']}", not bad, "\n    ".join(bad))
        if "accept" in data:
            plain = fresh(data)
            del plain["accept"]
            other = edits.ask_one(write(plain), "endpoints", "--solve")
            cases.holds(f"{name}: an acceptance is not in the way", other.get("solved") == got["solved"])
    for what, count in sorted(soft.items()):
        print(f"  {what}: {count}")
    cases.end()


if __name__ == "__main__":
    main()
