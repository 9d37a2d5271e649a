"""Percent of what: the same boat with her figures turned into percent of another axis, by hand.

Everything of devices, presets and the unit lies on the axis that the file names under `axis`, and on the pulses of
the set where it names none. So a boat whose figures are all reckoned over to another axis is the same boat: every
verdict, every window, every pulse stays, only percentages of positions and margins are others. That is asked for
axes that are longer or shorter, that rest elsewhere, and that have unlike sides. And a boat that names her axis may
get another set: then her devices, presets and stages keep their microseconds, which the plain account (plain.py)
holds the verdicts against; here what her papers and tables say of those pulses is compared.

Nothing is known here but the two lines through three pulses: 0 % is rest, +100 % the longer, -100 % the shorter.

    LIDCARD_CASES=200 LIDCARD_FAMILY=50 python check_axis.py
"""

import random
import re
import tempfile
from collections import Counter
from pathlib import Path

import edits
import harness
import plain
from boatfile import F, amount, fresh, load, said, write
from harness import Cases
from turned import apart, pulse, together

CASES = harness.count("LIDCARD_CASES", 2, 4, 60)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 1, 12)
# The axis says nothing of these: what they ask hangs on where 0 % lies, or on the turn from there.
ABOUT_REST = {"override-too-weak", "levelling-runs-away", "rest-learned-wrongly", "one-way-controller", "axis-lost",
              "planes-dive-on-loss", "broaches-on-loss", "dead-centre-within-reach", "rod-does-not-fit", "stage-too-short"}
# Distances within one side of the axis. One that goes across rest is told in microseconds of the threshold's side,
# so where sides are unlike it is another one on another axis.
ONE_SIDE = {"wanted-not-reached", "stage-misses", "valve-never-full"}
ESTIMATES = {"stays-down-on-loss", "carried-too-deep", "leaps-at-surface"}
SLACK = F(2, 100)         # of a microsecond: the report rounds, and a curve is known to 0.01 %


class Axis:
    def __init__(self, rest, up, down):
        self.rest, self.up, self.down = F(rest), F(up), F(down)

    def span(self, side):
        return self.up if side >= 0 else self.down

    def at(self, percent):
        return self.rest + percent * self.span(percent) / 100

    def of(self, us):
        away = us - self.rest
        return away * 100 / self.span(away)

    @property
    def even(self):
        return self.up == self.down

    def written(self):
        return {"rest": said(self.rest, "us"), "full": [said(self.rest - self.down, "us"), said(self.rest + self.up, "us")]}


def axis_of(data):
    if "axis" not in data:
        return Axis(*pulse(data))
    return Axis(*pulse({"transmitter": {"pulse": data["axis"]}}))


class CannotBe(Exception):
    """This boat cannot be told on that axis: a figure for both sides would have to be two."""


def converted(data, new):
    """The boat with every figure of devices, presets and the unit on another axis."""
    data, old = fresh(data), axis_of(data)
    alike = old.up * new.down == old.down * new.up
    by = old.up / new.up if alike else None
    slack = 0

    def side(us, axis):
        return 1 if us >= axis.rest else -1

    def width(text, us):
        """A tolerance behind a position at `us`."""
        n, unit = amount(text)
        if unit == "us":
            return text
        if unit != "%":
            raise CannotBe(unit)
        return said(n * old.span(side(us, old)) / new.span(side(us, new)), "%")

    def place(text):
        if text == "none":
            return text
        at, off = apart(text)
        n, unit = amount(at)
        if unit not in ("%", "us"):
            raise CannotBe(unit)
        us = old.at(n) if unit == "%" else n
        at = said(new.of(us), "%", sign=True) if unit == "%" else at
        return together(at, off and width(off, us))

    def either(text):
        """What may be to either side."""
        if text == "exact":
            return text
        n, unit = amount(text)
        if unit == "us":
            return text
        if unit != "%":
            raise CannotBe(unit)
        if alike:
            return said(n * by, "%")
        if old.even:
            return said(n * old.up / 100, "us")
        raise CannotBe("an accuracy in percent of unlike sides")

    def where(text):
        """(microseconds, side it was on, its tolerance in microseconds)"""
        at, off = apart(text)
        n, unit = amount(at)
        us = old.at(n) if unit == "%" else n
        m, of = amount(off) if off else (0, "us")
        return us, side(us, old), m * old.span(side(us, old)) / 100 if of == "%" else m

    def put(holder, key, change):
        if key in holder:
            x = holder[key]
            holder[key] = [change(v) for v in x] if isinstance(x, list) else change(x)

    meter = data["transmitter"].get("pulse", {}).get("accuracy", "2 us")
    for device in data.get("devices", {}).values():
        if {"turn", "arm", "linkage", "takes", "speed"} & set(device):
            raise CannotBe("degrees and times go by the turn at 100 %")
        if device.get("one_way") in ("yes", "true") and "still_between" not in device and (new.rest, by) != (old.rest, 1):
            raise CannotBe("where it stands still is -90 %, on whatever axis")
        repeats = device.get("accuracy", "exact")
        n, unit = amount("0 us" if repeats == "exact" else repeats)
        slack = max(slack, n * max(old.up, old.down) / 100 if unit == "%" else n)
    unit = data.get("fail_safe", {})
    n, kind = amount(unit.get("accuracy", meter))
    slack += max(amount(meter)[0], n * max(old.up, old.down) / 100 if kind == "%" else n)

    def keeps_side(text):
        if text == "none":
            return
        us, was, off = where(text)
        # On unlike sides a tolerance across rest is another number of microseconds to each side.
        room = 0 if old.even and new.even else off + slack
        if side(us, new) != was or us == new.rest or abs(us - new.rest) <= room or not old.even and abs(us - old.rest) <= room:
            raise CannotBe("it would lie on the other side of rest, or across it")
    for name, device in data.get("devices", {}).items():
        for word, work in device.get("works", {}).items():
            # What readings come to, as a threshold: their step belongs to the set on which they were taken.
            read = plain.Boat(write(data)).devices[name]["works"][word] if isinstance(work.get("releases"), list) or "clicks" in work else None
            for key, known, to in (("clicks", read and (read.at, read.tol), "from"), ("releases", read and read.rel, "releases")):
                if isinstance(work.get(key), list):
                    del work[key]
                    work[to] = together(said(known[0] * 100, "%", sign=True), said(known[1] * 100, "%"))
            for key in ("coverage", "confidence"):
                work.pop(key, None)
            for key in ("from", "full", "to", "releases"):
                if key in work and work[key] != plain.AT_ONCE:
                    keeps_side(work[key])
                    put(work, key, place)
    for device in data.get("devices", {}).values():
        if isinstance(device.get("stops"), list):
            for stop in device["stops"]:
                keeps_side(stop)
        for key in ("still_between", "limits"):
            for end in device.get(key, []):
                us, _, _ = where(end)
                if not (old.even and new.even) and min(abs(us - old.rest), abs(us - new.rest)) <= slack:
                    raise CannotBe("a band that ends at rest")
        for key in ("stops", "still_between", "limits"):
            if device.get(key) != "none":
                put(device, key, place)
        for key in ("accuracy", "correction"):
            put(device, key, either)
    loss = data.get("receiver", {}).get("on_loss")
    if isinstance(loss, dict):
        for key in loss:
            if key.isdigit():
                put(loss, key, place)
    if isinstance(unit.get("notices"), dict):
        keeps_side(unit["notices"]["beyond"])
        put(unit["notices"], "beyond", place)
    if kind == "%":
        unit["accuracy"] = said(n * max(old.up, old.down) / 100, "us")
    for stage in unit.get("stages", []):
        for key in stage.get("set", {}):
            put(stage["set"], key, place)
    data["axis"] = new.written()
    return data


def targets(data, r):
    """Other axes: as long as it is short decimals, of 250, 400, 500 and 625 us."""
    old = axis_of(data)
    same = [Axis(old.rest, old.up * k, old.down * k) for k in (F(1, 2), F(5, 4), F(2))]
    span = lambda: r.choice([250, 400, 500, 625])
    moved = Axis(old.rest + r.choice([-20, 20, 35, -50]), *[span()] * 2)
    lopsided = Axis(old.rest + r.choice([0, 0, 20, -20]), *r.sample([250, 400, 500, 625], 2))
    set_own = Axis(*pulse(data))
    return [("longer or shorter", r.choice(same)), ("resting elsewhere", moved), ("unlike sides", lopsided),
            ("the set's own", set_own)]


def told_apart(old, new):
    """(rules that may differ, the only rules whose margins may not)"""
    alike = old.up * new.down == old.down * new.up
    if alike and old.rest == new.rest:
        return set(), None
    return ABOUT_REST, None if old.even and new.even else ONE_SIDE


def differing(mine, theirs, may, margins=None):
    """Verdicts and distances in microseconds that are not the same."""
    bad = []
    for key in sorted(set(mine) | set(theirs), key=str):
        if key[0] in may | {"percent-without-axis", "readings-too-few"}:
            continue
        a, b = (sorted(x.get(key, []), key=lambda m: (m[0], m[2] is None, m[2] or 0)) for x in (mine, theirs))
        same = [x[0] for x in a] == [x[0] for x in b]
        if same and (margins is None or key[0] in margins):
            # What is broken on unlike sides may lie across rest from its threshold.
            across = lambda x, y: margins is not None and x[2] < 0 and y[2] < 0
            same = all((x[2] is None) == (y[2] is None) and (x[2] is None or across(x, y) or abs(x[2] - y[2]) <= SLACK)
                       for x, y in zip(a, b))
        if not same:
            show = lambda some: [(rank, m and float(m)) for rank, _, m in some]
            bad.append(f"{key}: {show(a)} becomes {show(b)}")
    return bad


def witnessed(entry, may):
    """The pulses of the places that break a rule."""
    out = Counter()
    for f in entry["findings"]:
        if f["rule"] not in may | ESTIMATES and f["witness"]:
            out[f["rule"], f["where"], f["state"], round(f["witness"]["pulse_us"])] += 1
    return out


def windows(text):
    found = edits.ask_one(text, "endpoints")
    if not isinstance(found, dict):
        return found
    return [(w["channel"], w["way"], w["windows"], w["safe"], w["not_moved"], w["but"]) for w in found["ways"]]


def table(text):
    """What the table of causes and effects says."""
    found = edits.ask_one(text, "states")
    return [(c["name"], c["marks"]) for c in found["causes"]] if isinstance(found, dict) else found


def same_boat(cases):
    """The law: on another axis she is the same."""
    jobs, texts = [], []
    every = [*edits.boats_at_hand(), *edits.random_boats(CASES, FAMILY)]
    for name, text in edits.slice_of(every, 12, 5):
        data = load(text)
        first = len(texts)
        texts.append(write(data))
        for kind, new in targets(data, random.Random(name)):
            try:
                changed = write(converted(data, new))
            except (CannotBe, ValueError):
                continue
            jobs.append((name, kind, first, len(texts), axis_of(data), new))
            texts.append(changed)
    entries = edits.ask(texts)
    seen, margin = Counter(), Counter()
    for name, kind, first, second, old, new in jobs:
        mine, theirs = edits.answers(entries[first]), edits.answers(entries[second])
        if mine is None:
            continue
        label = f"{name}, {kind}"
        if theirs is None:
            cases.holds(label, False, str(entries[second]["mistakes"][:1]))
            continue
        may, margins = told_apart(old, new)
        bad = differing(mine, theirs, may, margins)
        if margins is None:
            a, b = (witnessed(entries[i], may) for i in (first, second))
            bad += [f"seen at another pulse: {x}" for x in ((a - b) + (b - a))]
        # An endpoint that a finding about rest holds back is held back by another figure where rest lies elsewhere.
        about_rest = any(f["rule"] in may for i in (first, second) for f in entries[i]["findings"])
        if seen[kind] % 3 == 0 and not about_rest:
            a, b = (windows(texts[i]) for i in (first, second))
            bad += [f"windows {x} become {y}" for x, y in zip(a, b) if x != y] if isinstance(a, list) else []
            a, b = (table(texts[i]) for i in (first, second))
            bad += [f"states {x} become {y}" for x, y in zip(a, b) if x != y] if isinstance(a, list) and not may else []
        seen[kind] += 1
        margin[kind] += sum(len(v) for v in mine.values())
        cases.holds(label, not bad, "\n    ".join(bad[:6]))
    for kind in sorted(seen):
        print(f"  {kind}: {seen[kind]} boats, {margin[kind]} answers")
    cases.holds("every sort of axis was tried", len(seen) == 4 and min(seen.values()) >= 2, str(seen))


def pulses(text, command):
    """Every pulse that a paper prints, as text."""
    with tempfile.TemporaryDirectory() as folder:
        path, paper = Path(folder) / "boat.yaml", Path(folder) / "paper.svg"
        path.write_text(text)
        code, _, said = harness.lidcard(command, path, "--draft", "--format", "svg", "-o", paper)
        if code == 2:
            raise SystemExit(f"{command} said: {said}\n0 passed, 1 failed")
        pages = sorted(Path(folder).glob("*.svg"))
        return " ".join(re.sub(r"<[^>]*>", " ", page.read_text()) for page in pages)


OTHER_SETS = {
    "rest 20 us up": lambda rest, up, down: (rest + 20, up - 20, down + 20),
    "full pulse 1000 and 2000": lambda rest, up, down: (F(1500), F(500), F(500)),
}


def another_set(cases):
    """Only the set changes: what the unit and the receiver send, and where everything of the boat lies, stays."""
    for file in harness.BOATS:
        data = load(file.read_text())
        axis = axis_of(data)
        told = []
        loss = data.get("receiver", {}).get("on_loss")
        sets = [s["set"] for s in data.get("fail_safe", {}).get("stages", [])]
        sets += [{k: v for k, v in loss.items() if k.isdigit()}] if isinstance(loss, dict) else []
        for text in (v for some in sets for v in some.values()):
            n, unit = amount(text)
            told.append(axis.at(n) if unit == "%" else n)
        before = edits.answers(edits.ask([write(data)])[0])
        for name, other in OTHER_SETS.items():
            changed = fresh(data)
            rest, up, down = other(*pulse(data))
            changed["transmitter"].setdefault("pulse", {}).update(Axis(rest, up, down).written())
            for channel in changed["channels"].values():
                channel.pop("measured", None)        # read on the old set
            label = f"{file.name}, {name}"
            after = edits.answers(edits.ask([write(changed)])[0])
            if not cases.holds(f"{label}: read", after is not None):
                continue
            # No stick has a part in what a stage does to its own channels: those verdicts stay, distance and all.
            mine, theirs = ({k: v for k, v in x.items() if k[0] in ("stage-misses", "loss-unseen")} for x in (before, after))
            bad = differing(mine, theirs, set())
            cases.holds(f"{label}: stages do what they did", not bad, str(bad[:3]))
            moved = {k: v for k, v in before.items() if k[0] == "wanted-not-reached"}
            cases.holds(f"{label}: what the hand reaches is another", not moved or
                        any(after.get(k) != v for k, v in moved.items()))
            paper = pulses(write(changed), "sheet")
            bad = [float(us) for us in told if f"{float(us):g}" not in paper]
            cases.holds(f"{label}: the sheet has every pulse of the unit", not bad, str(bad))
    cases.holds("boats were tried", len(harness.BOATS) >= 3)


def main():
    cases = Cases()
    another_set(cases)
    same_boat(cases)
    cases.end()


if __name__ == "__main__":
    main()
