"""Certificates are true, and spoiled ones are refused.

Every boat at hand, random ones of every family, and the same with figures left out of their files are certified and
followed by a checker that knows the boat file and the certificate by their descriptions alone. No kind of answer may
be one that is not carried. Then certificates are spoiled one way each, such as a factor, a bound, a case or a box left
out, a multiplier, a world, another order of operations, and each has to be refused. A question that is left out is no
matter of the checker: the census, which knows from the boat file what has to be asked, reads the same certificate.

    LIDCARD_CASES=500 LIDCARD_FAMILY=100 LIDCARD_SPOILED=3000 python check_certificate.py
"""

import copy
import functools
import json
import random
import re
import subprocess
import tempfile
from collections import Counter
from fractions import Fraction as F
from pathlib import Path

import check_census
import corners
import edits
import generate
import harness
import turned
from boatfile import load, write
from certificate.boat import read
from certificate.checker import HANGING, check
from certificate.told import Refused
from certificate.unfollowed import may_be
from harness import Cases

# Rules whose answers come of several and of times in the file.
PUT_TOGETHER = ("no-blow-on-loss", "runs-too-long", "broaches-on-loss", "emergency-does-not-raise", "beyond-stop")
CASES = harness.count("LIDCARD_CASES", 4, 8, 200)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 1, 40)
# Of so many boats one is made to forget figures.
FORGOTTEN = harness.count("LIDCARD_FORGOTTEN", 4, 6, 1)
SPOILED = harness.count("LIDCARD_SPOILED", 100, 150, 3000)


def certified(text):
    """(what `check --all` reports, the certificate) of one boat; nothing where she is not read."""
    with tempfile.TemporaryDirectory() as folder:
        boat, out = Path(folder) / "boat.yaml", Path(folder) / "boat.json"
        boat.write_text(text)
        run = subprocess.run([harness.PROGRAM, "check", "--all", "--format", "json", "--certificate", out, boat],
                             capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=600)
        return (json.loads(run.stdout)["files"][0], out.read_text()) if out.exists() else (None, run.stderr)


# To read a boat file takes longer than to follow its certificate.
as_read = functools.lru_cache(maxsize=None)(read)


def refusal(text, certificate):
    """Why a certificate is refused, by the checker or by the census; None where both accept it."""
    try:
        check(as_read(text), certificate)
    except Refused as why:
        return str(why)
    lacking = check_census.missing(as_read(text), answers(json.loads(certificate)))
    return lacking[0] if lacking else None


def forgetful(name, text):
    """The same boat with some of her figures left out, or all of them."""
    r, data = random.Random(f"{name} forgotten {harness.SEED}"), load(text)
    share = r.choice([0.1, 0.3, 0.6, 1])
    for which in range(len(turned.figures(data)) - 1, -1, -1):
        if r.random() < share and which < len(turned.figures(data)):
            data, _ = turned.figure_left_out(data, which)
    return f"{name}, forgotten", write(data)


def answers(certificate):
    out = {}
    for q in certificate["questions"]:
        out.setdefault((q["rule"], q["where"], q["state"]), []).append(q["outcome"])
    return out


def reported(entry):
    """The same of the report, which knows nothing of certificates."""
    out = {}
    for key, some in (edits.answers(entry) or {}).items():
        out[key] = sorted(rank for rank, *_ in some)
    return out


# Each of these spoils one thing in a certificate and says what, or None where there is nothing of the kind.

def other(r, text):
    """Another number near one."""
    return str(F(text) + r.choice([-1, 1]) * F(1, r.choice([2, 10, 100, 400, 10_000])))


def factor(c, r):
    rows = [(row, at) for row in c["cases"] for at in ("before", "after") if row[at]]
    if rows:
        row, at = r.choice(rows)
        factors = row[at][r.choice(list(row[at]))]
        i = r.randrange(5)
        factors[i] = other(r, factors[i])
        return "a factor"
    return None


def bound(c, r):
    if not c["reaches"]:
        return None
    reach = r.choice(c["reaches"])
    if reach["adds"] and r.random() < 0.5:
        part = r.choice(reach["adds"])
        part["adds"] = other(r, part["adds"])
        return "what a control adds"
    key = r.choice(["total", "output"])
    reach[key] = other(r, reach[key])
    return "a bound"


def steps(c):
    """Every step that stands anywhere in a certificate, however deep."""
    out, left = [], [q["why"] for q in c["questions"]] + c["before"] + [part["why"] for q in c["questions"] for part in q.get("also", [])]
    while left:
        x = left.pop()
        if isinstance(x, dict):
            out += [x] if "zone" in x and "says" in x else []
            left += x.values()
        elif isinstance(x, list):
            left += x
    return out


def left_out(c, r):
    some = [s for s in steps(c) if s.get("reaches")]
    if some:
        step = r.choice(some)
        step["reaches"].pop(r.randrange(len(step["reaches"])))
        return "a case of a question"
    return None


def row_gone(c, r):
    """A case that is nowhere any more, with everything that follows numbered anew."""
    if not c["cases"]:
        return None
    gone = r.randrange(len(c["cases"]))
    c["cases"].pop(gone)
    kept = [i for i, reach in enumerate(c["reaches"]) if reach["case"] != gone]
    anew = {old: new for new, old in enumerate(kept)}
    c["reaches"] = [c["reaches"][i] for i in kept]
    for reach in c["reaches"]:
        reach["case"] -= reach["case"] > gone
    for step in steps(c):
        if "reaches" in step:
            pairs = [[None if x is None else anew.get(x) for x in pair] for pair in step["reaches"]]
            step["reaches"] = [new for new, old in zip(pairs, step["reaches"]) if
                               all((a is None) == (b is None) for a, b in zip(new, old))]
    for move in c["moves"]:
        move["cases"] = [{**e, "case": e["case"] - (e["case"] > gone)} for e in move["cases"] if e["case"] != gone]
    return "a case of a channel"


def order(c, r):
    way = r.randrange(3)
    if way == 0:
        words = r.choice(c["orders"])
        i = r.randrange(6)
        both = [("cut off", "carries on"), ("scales", "clamps"), ("stick", "pulse"), ("before endpoint", "after endpoint"),
                ("before endpoint", "after endpoint"), ("shifts ends", "keeps ends")][i]
        words[i] = both[words[i] == both[0]]
        return "a word of an order"
    if way == 1 and len(c["orders"]) > 1:
        a, b = r.sample(range(len(c["orders"])), 2)
        c["orders"][a], c["orders"][b] = c["orders"][b], c["orders"][a]
        return "two orders, exchanged"
    if c["cases"]:
        shape = r.choice(c["cases"])["shape"]
        key = r.choice(["cut_off", "scales"])
        shape[key] = not shape[key]
        return "how an order works"
    return None


def question(c, r, text):
    """One that the census knows of, with the counts set right."""
    dues = {(rule, where, state) for rule, where, state, _ in check_census.due(as_read(text))}
    some = [q for q in c["questions"] if (q["rule"], q["where"], q["state"]) in dues]
    if not some:
        return None
    q = r.choice(some)
    for each in [x for x in c["questions"] if all(x[k] == q[k] for k in ("rule", "where", "state"))]:
        c["questions"].remove(each)
        why = each["why"]
        kind = ("facts" if why == "a fact of the file" else "estimates") if isinstance(why, str) else \
            "not_judged" if "missing" in why else "undecided" if "undecided" in why else "carried"
        c["coverage"][kind] -= 1
    return "a question"


def threshold(c, r):
    some = [s for s in steps(c) if "zone" in s]
    if some:
        zone = r.choice(some)["zone"]
        i = r.choice([i for i in (0, 1) if zone[i] is not None] or [2])
        zone[i] = not zone[i] if i == 2 else other(r, zone[i])
        return "a threshold"
    return None


def margin(c, r):
    some = [s for s in [*steps(c), *c["questions"]] if isinstance(s.get("margin"), str)]
    if some:
        one = r.choice(some)
        one["margin"] = other(r, one["margin"])
        return "a margin"
    return None


def move(c, r):
    some = [(m, e) for m in c["moves"] for e in m["cases"]]
    if not some:
        return None
    m, e = r.choice(some)
    way = r.randrange(3)
    if way == 0:
        m["cases"].remove(e)
        return "a case of a move"
    if way == 1 and e["others"]:
        part, key = r.choice(e["others"]), r.choice(["least", "most"])
        part[key] = other(r, part[key])
        return "what others add"
    if "step" in e:
        e["step"] = other(r, e["step"])
        return "a step of a control"
    i = r.randrange(len(e["places"]))
    e["places"].pop(i) if r.random() < 0.5 and i not in (0, len(e["places"]) - 1) else e["places"].__setitem__(i, other(r, e["places"][i]))
    return "a place of a move"


def turned_way(c, r):
    """A way that is held to be meant for the other side, and who may have engaged a work."""
    if c["before"] and r.random() < 0.5:
        one = r.choice(c["before"])
        one["who"] = "nobody" if one["who"] != "nobody" else "somebody"
        return "who engaged a work before"
    some = [h for step in steps(c) for h in [step.get("over")] if h is not None]
    if some:
        step = r.choice([s for s in steps(c) if "over" in s])
        step["over"] = (step["over"] + 1) % len(c["hands"])
        return "over which hands" if len(c["hands"]) > 1 else None
    return None


def witness(c, r):
    some = [s["witness"] for s in steps(c) if "signals" in s.get("witness", {})]
    if not some:
        return None
    one = r.choice(some)
    keys = [k for k in ("endpoint", "added", "unlimited", "output") if k in one]
    if one.get("positions") and r.random() < 0.5:
        place = one["positions"]
        c_ = r.choice(list(place))
        place[c_] = other(r, place[c_])
        return "a place of a witness"
    key = r.choice(keys)
    one[key] = other(r, one[key])
    return "a step of a witness"


def verdict(c, r):
    some = [q for q in c["questions"] if isinstance(q["why"], dict) and "steps" in q["why"]]
    if some:
        q = r.choice(some)
        q["outcome"] = "proved" if q["outcome"] != "proved" else "broken"
        return "an outcome"
    return None


def hands(c, r):
    """Hands that may do less than the question says."""
    some = [(h, c_) for h in c["hands"] for c_ in h.get("positions", {})]
    if some and r.random() < 0.7:
        h, c_ = r.choice(some)
        low, high = (F(x) for x in h["positions"][c_])
        if low < high:
            h["positions"][c_] = [str(low), str((low + high) / 2)]
            used = {s["over"] for s in steps(c) if "reaches" in s and any(
                part["control"] == c_ for pair in s["reaches"] for i in pair if i is not None for part in c["reaches"][i]["adds"])}
            return "what hands can do" if c["hands"].index(h) in used else None
    return None


def trees(c):
    """The boxes of every two outputs that are never where they must not be at once."""
    out, left = [], [q["why"] for q in c["questions"]] + [part["why"] for q in c["questions"] for part in q.get("also", [])]
    while left:
        x = left.pop()
        out += x["trees"] if isinstance(x, dict) and "trees" in x else []
        left += x.values() if isinstance(x, dict) else x if isinstance(x, list) else []
    return out


def box(c, r):
    some = [t for t in trees(c) if t["boxes"]]
    if not some:
        return None
    boxes = r.choice(some)["boxes"]
    i = r.randrange(len(boxes))
    if "cut" in boxes[i] and r.random() < 0.5:
        boxes[i]["at"] = str(F(boxes[i]["at"]) + r.choice([-3, 3]))
        return "where a box is cut"
    boxes.pop(i)
    return "a box"


def tree(c, r):
    """All boxes of one order and choice of settings."""
    some = [s for q in c["questions"] for s in inner_steps(q) if s.get("trees")]
    if not some:
        return None
    r.choice(some)["trees"].pop()
    return "the boxes of a case"


def inner_steps(q):
    out, left = [], [q["why"], *(part["why"] for part in q.get("also", []))]
    while left:
        x = left.pop()
        out += [x] if isinstance(x, dict) else []
        left += x.values() if isinstance(x, dict) else x if isinstance(x, list) else []
    return out


def multiplier(c, r):
    some = [s for t in trees(c) for b in t["boxes"] for s in b.get("sums", [])]
    if not some:
        return None
    one = r.choice(some)
    by = r.choice([by for by in one["by"] if any(x != "0" for x in by)])
    i = r.choice([i for i, x in enumerate(by) if x != "0"])
    if r.random() < 0.5:
        by[i] = str(-F(by[i]))
        return "a multiplier below nought"
    one["by"] = [["0"] * 4, ["0"] * 4]
    return "multipliers"


def world(c, r):
    """A world in which everything is at its worst, left out with all that is said of it; or a figure of one."""
    if not c["worst"]:
        return None
    way = r.randrange(3)
    if way == 0 and len(c["worlds"]) == c["worst"] + 1:
        gone = c["worst"]
        c["worst"] -= 1
        c["worlds"].pop()
        for said in [*c["before"], *(part for q in c["questions"] for part in q.get("also", []))]:
            said["in"] = [i for i in said["in"] if i != gone]
        return "a world"
    figures = r.choice(c["worlds"][1:])["figures"]
    key = r.choice(list(figures))
    if way == 1:
        del figures[key]
        return "a figure of a world"
    figures[key] = other(r, figures[key]) if figures[key].lstrip("-")[0].isdigit() else "hold"
    return "the value of a figure"


def elsewhere(c, r):
    """What makes an answer true with figures at their worst."""
    some = [(q, part) for q in c["questions"] if q["outcome"] == "proved" for part in q.get("also", [])
            if isinstance(part["why"], dict) and "all_of" not in part["why"]]
    if not some:
        return None
    q, part = r.choice(some)
    if r.random() < 0.5:
        part["in"].pop()
        return "a world of an answer"
    part["why"] = None
    return None if q["rule"] in HANGING else "that something is asked"


def decides(c, r):
    some = [m for q in c["questions"] if isinstance(q["why"], dict) for m in q["why"].get("missing", []) if "decides" in m]
    if not some:
        return None
    one = r.choice(some)
    if r.random() < 0.5 and one["decides"].lstrip("-")[0].isdigit():
        one["decides"] = other(r, one["decides"])
        return "a value that decides"
    one["key"] = "boat.name"
    return "what is missing"


def reading(c, r):
    if not c["readings"]:
        return None
    at, i = r.choice(c["readings"])[3], r.randrange(2)
    at[i] = str(F(at[i]) + r.choice([-1, 1]) * F(1, r.choice([50, 500, 2000])))
    return "what readings prove"


def edge(c, r):
    """Where a linkage comes to its dead centre, with all that follows from it."""
    some = [s for q in c["questions"] for s in inner_steps(q) if s.get("kind") == "passes" and s["edge"]["what"] == "dead centre"]
    if not some:
        return None
    one = r.choice(some)["edge"]
    one["at"] = str(F(one["at"]) * F(r.choice([9, 11]), 10))
    return "where a linkage ends"


def span(c, r):
    some = [s for q in c["questions"] for s in inner_steps(q) if s.get("kind") == "narrow" or "asks" in s and s["asks"].get("kind") == "varies"]
    if not some:
        return None
    one = r.choice(some)
    if one.get("kind") == "narrow":
        one["width"] = "1/7"
        return "how much of a way lies between"
    if "apart" in one:
        one["apart"][1] = one["apart"][0]
        return "that an output varies"
    one["reaches"].pop()
    return "a case of what stays"


def put_together(c, least=1):
    """Every list of answers that are put together to one, with its word and what has it."""
    found = [(x, word) for q in c["questions"] for x in inner_steps(q) for word in ("any_of", "all_of") if word in x]
    # Of a question whose rule asks several things at once which these are is its own.
    own = {id(x) for q in c["questions"] if q["rule"] not in PUT_TOGETHER for x in inner_steps(q)}
    return [(x, word) for x, word in found if id(x) not in own and len(x[word]) >= least]


def part_gone(c, r):
    some = put_together(c)
    if not some:
        return None
    x, word = r.choice(some)
    x[word].pop(r.randrange(len(x[word])))
    return "a part of an answer"


def part_swapped(c, r):
    """A part of an answer in the place of one of another."""
    some = put_together(c)
    others = [part for x, word in some for part in x[word]]
    if len(others) < 2:
        return None
    x, word = r.choice(some)
    i, other_ = r.randrange(len(x[word])), r.choice(others)
    of_what = lambda part: {json.dumps([asks.get(k) for k in ("kind", "function", "device", "place", "side", "fully")])
                            for asks in (x["asks"] for x in inner_steps({"why": part}) if "asks" in x)}
    if of_what(x[word][i]) & of_what(other_):
        return None
    x[word][i] = copy.deepcopy(other_)
    return "an answer in the place of another"


def word_of(c, r):
    """Each of some answers where one is enough, and the other way round."""
    some = put_together(c, 0)
    if not some:
        return None
    x, word = r.choice(some)
    x["all_of" if word == "any_of" else "any_of"] = x.pop(word)
    return "how answers are put together"


def believed(c, r):
    """An answer that is to be believed, or a part of one."""
    some = put_together(c)
    if some and r.random() < 0.5:
        x, word = r.choice(some)
        x[word][r.randrange(len(x[word]))] = "an estimate"
        return "a part that is an estimate"
    carried = [q for q in c["questions"] if isinstance(q["why"], dict) and {"asks", "all_of", "any_of"} & set(q["why"])
               and not may_be("a fact of the file", q, {})]
    if not carried:
        return None
    q = r.choice(carried)
    estimated = "an estimate" in json.dumps(q["why"])
    q["why"] = "a fact of the file"
    q.pop("also", None)
    q.pop("margin", None)
    c["coverage"]["estimates" if estimated else "carried"] -= 1
    c["coverage"]["facts"] += 1
    return "an answer that is believed"


KINDS = [part_gone, part_swapped, word_of, believed, factor, bound, left_out, row_gone, order, question, threshold, margin, witness, verdict, hands, move, turned_way,
         box, tree, multiplier, world, elsewhere, decides, reading, edge, span]


class Spoiling:
    """Certificates to be spoiled one way each. To copy one takes longer than to look whether it has what is to be spoiled, so
    that a copy serves until it is changed, and who has nothing of a kind is asked no more."""

    def __init__(self, good):
        self.good, self.copies, self.barren = good, {}, set()

    def one(self, kind, r):
        """(name, boat, what was spoiled, the certificate) by one kind, of a certificate that has it."""
        some = [x for x in self.good if (kind, x[0]) not in self.barren]
        for name, text, said in r.sample(some, len(some)):
            for _ in range(3):
                c = self.copies.pop(name, None) or copy.deepcopy(said)
                what = kind(c, r, text) if kind is question else kind(c, r)
                if c == said:
                    self.copies[name] = c
                elif what:
                    return name, text, what, json.dumps(c)
            self.barren.add((kind, name))
        return None


def main():
    cases, carried = Cases(), Counter()
    good = []
    boats = [*harness.some(list(edits.boats_at_hand()), 6, 3), *edits.random_boats(CASES, FAMILY)]
    boats += [forgetful(*boat) for boat in boats[::FORGOTTEN]]
    # On the first a mix takes off again, trim and all, what the stick brings to a bend of the endpoint stage with the trim
    # at its end; on the second two settings of a switch come to one case, and the switch itself is mixed in; on the third
    # the unit surely notices up to the value that decides, and nothing is for good then; on the fourth some settings of
    # a switch leave it without effect on either of two outputs.
    unsaid = re.sub(r"(notices: {channel: 1, beyond: [+]90 %)[^}]*", r"\1", generate.boat(281))
    boats += [("general 74", generate.boat(74)), ("motors 201", corners.boat("motors", 201)), ("general 281, unsaid", unsaid)]
    still = corners.boat("switches", 41).replace("channel: 1, accuracy: 2 %,", "channel: 1,")
    boats.append(("switches 41, unsaid", still.replace(" releases: where it engages}}, effects", "}}, effects")))
    for name, text in boats:
        entry, certificate = certified(text)
        if entry is None:
            cases.holds(name, False, certificate)
            continue
        why = refusal(text, certificate)
        cases.holds(name, why is None, why)
        said = json.loads(certificate)
        here = {key: sorted(edits.RANK[o] for o in some) for key, some in answers(said).items()}
        cases.holds(f"{name}: certificate and report have the same answers", here == reported(entry),
                    str([k for k in {*here, *reported(entry)} if here.get(k) != reported(entry).get(k)][:3]))
        cases.holds(f"{name}: every kind of answer is carried", not said["coverage"]["not_carried"], str(said["coverage"]))
        carried.update({key: many for key, many in said["coverage"].items() if key != "not_carried"})
        if why is None and len(certificate) < 200_000:
            good.append((name, text, said))
    print("  " + ", ".join(f"{what} {n}" for what, n in sorted(carried.items())))
    r, kinds, spoiling = random.Random(harness.SEED), Counter(), Spoiling(good)
    for i in range(SPOILED):
        found = spoiling.one(KINDS[i % len(KINDS)], r)
        if found is None:
            continue
        name, text, what, spoiled = found
        kinds[what] += 1
        cases.holds(f"{name}, spoiled {i}: {what}", refusal(text, spoiled) is not None, "accepted")
    print("  spoiled: " + ", ".join(f"{what} {n}" for what, n in sorted(kinds.items())))
    cases.holds("every kind of spoiling was tried", len(kinds) >= (29 if harness.LEVEL == "quick" else 36), str(sorted(kinds)))
    cases.end()


if __name__ == "__main__":
    main()
