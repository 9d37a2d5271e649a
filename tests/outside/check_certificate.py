"""Certificates are true, and spoiled ones are refused.

Every boat at hand and random ones of every family are certified and followed by a checker that knows the boat file
and the certificate by their descriptions alone. Then certificates are spoiled one way each, such as a factor, a
bound, a case left out, another order of operations, and each has to be refused. A question that is left out is no
matter of the checker: the census, which knows from the boat file what has to be asked, reads the same certificate.

    LIDCARD_CASES=500 LIDCARD_FAMILY=100 LIDCARD_SPOILED=3000 python check_certificate.py
"""

import copy
import json
import random
import subprocess
import tempfile
from collections import Counter
from fractions import Fraction as F
from pathlib import Path

import check_census
import edits
import harness
from boatfile import load
from certificate.checker import check
from certificate.told import Refused
from harness import Cases

CASES = harness.count("LIDCARD_CASES", 4, 20, 200)
FAMILY = harness.count("LIDCARD_FAMILY", 1, 4, 40)
SPOILED = harness.count("LIDCARD_SPOILED", 200, 1000, 3000)


def certified(text):
    """(what `check --all` reports, the certificate) of one boat; nothing where she is not read."""
    with tempfile.TemporaryDirectory() as folder:
        boat, out = Path(folder) / "boat.yaml", Path(folder) / "boat.json"
        boat.write_text(text)
        run = subprocess.run([harness.PROGRAM, "check", "--all", "--format", "json", "--certificate", out, boat],
                             capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=120)
        return (json.loads(run.stdout)["files"][0], out.read_text()) if out.exists() else (None, run.stderr)


def refusal(text, certificate):
    """Why a certificate is refused, by the checker or by the census; None where both accept it."""
    try:
        followed = check(text, certificate)
    except Refused as why:
        return str(why)
    lacking = check_census.missing(load(text), answers(json.loads(certificate)))
    return lacking[0] if lacking else None


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
    out, left = [], [q["why"] for q in c["questions"]] + c["before"]
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
    return "a case of a channel"


def order(c, r):
    way = r.randrange(3)
    if way == 0:
        words = r.choice(c["orders"]["left"])
        i = r.randrange(6)
        both = [("cut off", "carries on"), ("scales", "clamps"), ("stick", "pulse"), ("before endpoint", "after endpoint"),
                ("before endpoint", "after endpoint"), ("shifts ends", "keeps ends")][i]
        words[i] = both[words[i] == both[0]]
        return "a word of an order"
    if way == 1 and len(c["orders"]["left"]) > 1:
        a, b = r.sample(range(len(c["orders"]["left"])), 2)
        left = c["orders"]["left"]
        left[a], left[b] = left[b], left[a]
        return "two orders, exchanged"
    if c["cases"]:
        shape = r.choice(c["cases"])["shape"]
        key = r.choice(["cut_off", "scales"])
        shape[key] = not shape[key]
        return "how an order works"
    return None


def question(c, r, text):
    """One that the census knows of, with the counts set right."""
    dues = {(rule, where, state) for rule, where, state, _ in check_census.due(load(text))}
    some = [q for q in c["questions"] if (q["rule"], q["where"], q["state"]) in dues]
    if not some:
        return None
    q = r.choice(some)
    for each in [x for x in c["questions"] if all(x[k] == q[k] for k in ("rule", "where", "state"))]:
        c["questions"].remove(each)
        why = each["why"]
        kind = ("facts" if why == "a fact of the file" else "estimates") if isinstance(why, str) else \
            "not_judged" if "missing" in why else "not_carried" if "not_carried" in why else "carried"
        if kind == "not_carried":
            many = c["coverage"][kind]
            many[why[kind]] -= 1
            if not many[why[kind]]:
                del many[why[kind]]
        else:
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


def turned(c, r):
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


KINDS = [factor, bound, left_out, row_gone, order, question, threshold, margin, witness, verdict, hands, move, turned]


def spoil(certificate, text, r):
    """(what was spoiled, the certificate) for one of the kinds that this certificate has."""
    while True:
        c = copy.deepcopy(certificate)
        kind = r.choice(KINDS)
        what = kind(c, r, text) if kind is question else kind(c, r)
        if what and c != certificate:
            return what, json.dumps(c)


def main():
    cases, carried = Cases(), Counter()
    good = []
    boats = [*harness.some(list(edits.boats_at_hand())), *edits.random_boats(CASES, FAMILY)]
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
        for key, many in said["coverage"].items():
            carried.update({f"not carried: {k}": n for k, n in many.items()} if isinstance(many, dict) else {key: many})
        if why is None and len(certificate) < 200_000:
            good.append((name, text, said))
    print("  " + ", ".join(f"{what} {n}" for what, n in sorted(carried.items())))
    r, kinds = random.Random(harness.SEED), Counter()
    for i in range(SPOILED):
        name, text, said = r.choice(good)
        what, spoiled = spoil(said, text, r)
        kinds[what] += 1
        cases.holds(f"{name}, spoiled {i}: {what}", refusal(text, spoiled) is not None, "accepted")
    print("  spoiled: " + ", ".join(f"{what} {n}" for what, n in sorted(kinds.items())))
    cases.holds("every kind of spoiling was tried", len(kinds) >= 18, str(sorted(kinds)))
    cases.end()


if __name__ == "__main__":
    main()
