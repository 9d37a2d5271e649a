"""Laws that every verdict keeps, whatever the boat.

Said in another way it is the same boat: in microseconds, in degrees, her mixes split in two, `effects` and
`also` exchanged, keys in another order, other names, the whole axis turned round, a control mixed in at 100 %
instead of being the channel's own. Every rule then says the same, with the same margin. And knowing less never
helps: a wider tolerance, a wider trim, a line of `order` taken out makes no verdict, no margin and no window
better; and each figure that is taken out turns nothing that is broken or not judged into proved, widens no window, and
has nothing proposed by `--solve` that is not safe with it.

The laws follow from the boat file's description of this project; no rule is worked out here at all.

    LIDCARD_CASES=500 LIDCARD_FAMILY=100 python check_laws.py
"""

import random
from collections import Counter

import edits
import harness
import turned
from boatfile import F, load, said, write
from harness import Cases

ESTIMATED = {"carried-too-deep", "stays-down-on-loss"}
# Where it hangs on a figure whether and when something brings her up, one of these is not judged.
BROUGHT_UP = ESTIMATED | {"no-blow-on-loss", "stage-too-short", "stage-misses", "loss-unseen", "emergency-does-not-raise"}
CASES = harness.count("LIDCARD_CASES", 1, 2, 40)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 1, 12)
# A rule that compares what was measured or noted down with what is set gets quieter when more is allowed.
ABOUT_NOTES = {"measured-differs", "preset-out-of-date", "acceptance-stale", "battery-threshold-odd"}
# Who works a channel is told from its own control; the pulses are the same, the ways are another's.
ABOUT_WAYS = {"unwanted-within-reach", "works-at-rest", "wanted-not-reached", "sense-not-measured", "travel-cut-off",
              "neutral-missed", "turns-at-rest", "zone-too-narrow", "blow-slowed", "emergency-beside-busy",
              "override-too-weak"}
# The owner's own words stay as they are when the ways they name get other names; how a name reads hangs on the name.
LEFT_OUT = {turned.through_the_mix: ABOUT_WAYS, turned.in_microseconds: {"percent-without-axis"}, turned.renamed: {"emergency-does-not-raise", "name-reads-badly"}}
FIGURES_OF_EACH = harness.count("LIDCARD_FIGURES", 2, 5, 200)
FIGURES = (F(1, 10**5), F(1, 10**4))          # the report rounds
CURVE = F(2, 100)         # an extreme inside an expo curve is known to 0.01 %


def close(a, b, slack):
    return (a is None) == (b is None) and (a is None or abs(a - b) <= slack)


def alike(a, b, slack):
    """Whether two lists of answers say the same."""
    return len(a) == len(b) and all(
        x[0] == y[0] and close(x[1], y[1], slack) and close(x[2], y[2], 8 * slack) for x, y in zip(a, b))


def gathered(found, to, left_out):
    """The answers under names that do not hang on which of two comes first in the file: a pair stands at one of
    its works, and the way whose sense was measured is the one that lengthens the pulse."""
    out = {}
    for (rule, where, state), some in found.items():
        if rule in left_out or where.startswith("still_"):
            continue
        where = {"works-together": "a pair", "sense-not-measured": where.split("/")[0]}.get(rule, to(where))
        if state.startswith("stage "):
            state = "stage " + to(state[len("stage "):])
        out.setdefault((rule, where, state), []).extend(some)
    for some in out.values():
        some.sort(key=lambda a: tuple(-9999 if x is None else x for x in a))
    return out


def difference(name, mine, theirs, to, slack, left_out=()):
    """What one boat is told and the other, the same one, is not."""
    out = []
    moved, theirs = gathered(mine, to, left_out), gathered(theirs, turned.unchanged, left_out)
    for key in sorted(set(moved) | set(theirs), key=str):
        a, b = moved.get(key, []), theirs.get(key, [])
        if not alike(a, b, slack):
            out.append(f"{name}: {key}: {show(a)} becomes {show(b)}")
    return out


def show(some):
    words = {v: k for k, v in edits.RANK.items()}
    return ", ".join(f"{words[r]}" + ("" if m is None else f" {float(m):g} % {float(u):g} us") for r, m, u in some) or "nothing"


def improved(name, knowing, less, slack, left_out=False, by_estimate=()):
    """Where knowing less makes something better; `by_estimate`: what is said with less by an estimate, and so as no proof."""
    out = []
    for key, before in knowing.items():
        if key[0] in ABOUT_NOTES:
            continue
        after = less.get(key)
        if after is None:
            # What is only asked where a figure is bad, and holds with the worst that it can be, is told no more.
            if left_out and all(rank == 0 for rank, _, _ in before):
                continue
            # A figure that is not there is not asked about.
            if left_out and key[0] == "figure-hardly-meant":
                continue
            # Whether waiting ends may be what is not known: the same is then asked of a link that is lost for good.
            if left_out and any(rank for k, some in less.items() if k[:2] == key[:2] for rank, _, _ in some):
                continue
            # What lacks a figure in time and water is told once for all estimates, by the key or as the worst that it may come to.
            told = {k[0] for k, some in less.items() for rank, _, _ in some if rank}
            if left_out and key[0] in ESTIMATED | {"pump-too-weak"} and told & BROUGHT_UP:
                continue
            # Of a boat that was not timed an estimate of her hull says whether she gets too deep.
            if left_out and key[0] == "delays-outlast-sinking" and told & ESTIMATED:
                continue
            out.append(f"{name}: {key}: {show(before)} is asked no more")
            continue
        worst = lambda some: max(r for r, _, _ in some)
        if left_out:
            # What is broken with one value may hold with another; it may never be called proved.
            if worst(after) == 0 < worst(before) and key not in by_estimate:
                out.append(f"{name}: {key}: {show(before)} becomes {show(after)}")
            if worst(after) or worst(before):
                continue
        least = lambda some, i: min((a[i] for a in some if a[i] is not None), default=None)
        if worst(after) < worst(before):
            out.append(f"{name}: {key}: {show(before)} becomes {show(after)}")
        for i, allow in ((1, slack), (2, 8 * slack)):
            a, b = least(before, i), least(after, i)
            if worst(before) == worst(after) and a is not None and b is not None and b > a + allow:
                out.append(f"{name}: {key}: {show(before)} becomes {show(after)}")
                break
    return out


def windows(said):
    return {(w["channel"], w["way"]): w for w in said["ways"]} if isinstance(said, dict) and "ways" in said else None


def wider_window(name, knowing, less):
    out = []
    for key, way in knowing.items():
        after = less.get(key)
        if after is None:
            out.append(f"{name}: {key} has no window any more")
            continue
        # A window at which something stays broken whatever is dialled names it, leaves it out and is not called safe.
        for low, high in [] if after["but"] else after["windows"]:
            if not any(a <= low and high <= b for a, b in way["windows"]):
                out.append(f"{name}: window of {key} is {way['windows']}, knowing less {after['windows']}")
                break
    return out


def trims(data, number):
    """The sub-trim of a channel, as it may be written."""
    text = data["channels"][str(number)].get("sub_trim", "0 %")
    return {text, text.lstrip("+")}


def proposed(name, data, knowing, less):
    """What is proposed without a figure has to be safe with it, as far as a window can tell of one endpoint."""
    out = []
    for channel in less.get("solved") or [] if isinstance(less, dict) else []:
        if not channel["changed"]:
            continue
        if channel.get("not_judged"):
            out.append(f"{name}: channel {channel['channel']} is not judged and changed")
        for way, value in channel["endpoints"].items():
            known = knowing.get((channel["channel"], way))
            # Another sub-trim moves the windows; then only a check of the whole tells, and that is the solver's own.
            same = known and known["set"] != value and said(F(str(channel["sub_trim"])), "%") in trims(data, channel["channel"])
            if same and known["windows"] and not any(a <= value <= b for a, b in known["windows"]):
                out.append(f"{name}: {value} % is proposed for {way}, and with the figure {known['windows']} is safe")
    return out


def main():
    cases = Cases()
    jobs, texts = [], []
    every = [*edits.boats_at_hand(), *edits.random_boats(CASES, FAMILY)]
    boats = edits.slice_of(every, 48, 16)
    boats += [b for b in every if b[0].startswith("also ") and b not in boats][:1]      # few others do two things
    for name, text in boats:
        data = load(text)
        first = len(texts)
        texts.append(write(data))
        for change in turned.SAME:
            got = change(data)
            if got:
                jobs.append((name, change, first, len(texts), got[1], data))
                texts.append(write(got[0]))
        for change in turned.LESS:
            r = random.Random(f"{name} {change.__name__}")
            got = change(data, r.choice)
            if got:
                jobs.append((name, change, first, len(texts), None, data))
                texts.append(write(got))
        each = range(len(turned.figures(data)))
        for which in sorted(random.Random(f"{name} {harness.SEED}").sample(each, min(len(each), FIGURES_OF_EACH))):
            less, what = turned.figure_left_out(data, which)
            jobs.append((f"{name}, {what}", turned.figure_left_out, first, len(texts), None, data))
            texts.append(write(less))
    entries = edits.ask(texts)
    seen, failed = Counter(), Counter()
    for name, change, first, second, to, data in jobs:
        law = change.__name__.replace("_", " ")
        mine, theirs = edits.answers(entries[first]), edits.answers(entries[second])
        if mine is None:
            continue
        slack = CURVE if turned.curved(data) else FIGURES[0]
        label = f"{name}, {law}"
        if theirs is None:
            bad = [f"{label}: not read: {entries[second]['mistakes'][:1]}"]
        elif to:
            bad = difference(label, mine, theirs, to, slack, LEFT_OUT.get(change, ()))
        elif any(k[0] == "measured-differs" and a[0][0] for k, a in mine.items()):
            continue          # with no way of doing sums left the rules go on with all of them
        else:
            bad = improved(label, mine, theirs, slack, change is turned.figure_left_out)
            a, b = (windows(edits.ask_one(texts[i], "endpoints")) for i in (first, second))
            if a is not None and b is not None:
                bad += wider_window(label, a, b)
                if change is turned.figure_left_out:
                    bad += proposed(label, data, a, edits.ask_one(texts[second], "endpoints", "--solve"))
        seen[law] += 1
        failed[law] += bool(bad)
        cases.holds(label, not bad, "\n    ".join(bad[:8]))
    for law, count in sorted(seen.items()):
        print(f"  {law}: {count - failed[law]} of {count}")
    cases.holds("every law was tried", harness.LEVEL == "quick" or len(seen) == len(turned.SAME) + len(turned.LESS) + 1, str(seen))
    cases.end()


if __name__ == "__main__":
    main()
