"""Holds the program's verdicts against the plain account in plain.py.

For two thousand random boats (generate.py) it runs `lidcard check --format json --all` and asks:
no proved instance may be beaten by a sample (the sampled worst margin must not be less than the
proved one by more than the report's rounding), what a sample breaks must be broken, where the plain account is exact
the verdict and the margin must agree both ways, and every witness, put through the nine steps again
in exact fractions, must give the output it states within 1e-6 % and break its rule. For set-ups made
of straight lines the endpoint windows and best values of `lidcard endpoints --format json` are held
against trying every step.

Source of the meaning: the boat file's description of this project, by way of plain.py.

    LIDCARD=path/to/lidcard  LIDCARD_CASES=5000  LIDCARD_WINDOWS=200  python check_oracle.py [-v]
"""
import itertools
import json
import multiprocessing
import os
import pathlib
import re
import subprocess
import sys
import tempfile
from collections import Counter
from fractions import Fraction as F

import corners
import families
import generate
import harness
import plain
import plain_more

HERE = pathlib.Path(__file__).resolve().parent
BINARY = os.environ.get("LIDCARD") or os.environ.get("LIDCARD_BIN", str(harness.PROGRAM))
CASES = harness.count("LIDCARD_CASES", 60, 170, 1000)
FAMILY = harness.count("LIDCARD_FAMILY", 3, 8, 75)
CORNERS = harness.count("LIDCARD_FAMILY", 2, 5, 40)
ONLY = os.environ.get("LIDCARD_ONLY", "").split()
WINDOWS = harness.count("LIDCARD_WINDOWS", 2, 10, 40)
FIRST = harness.SEED
# What is said of a boat that is more than the program works out.
TOO_MUCH = "too much to work out"
EPS = F(6, 10 ** 9)          # the report rounds to six places of a percent
SOFT = F(1, 10 ** 4)        # 0.01 % of the axis, where a curve's extreme is irrational
RULES = {"emergency-within-reach", "unwanted-within-reach", "wanted-not-reached", "works-at-rest", "beyond-stop",
         "stage-misses", "stage-engages", "sense-reversed", "axis-lost", "neutral-missed", "works-together",
         "loss-unseen", "sinks-on-loss", "no-blow-on-loss", "motor-runs-on-loss", "unit-tripped-by-pilot",
         "waiting-engages"}


# What is asked of a hand that holds or lets go, for which no switch is just being thrown.
HELD = {"wanted-not-reached", "works-at-rest", "sense-reversed", "axis-lost", "neutral-missed"}


def run(*args):
    r = subprocess.run([BINARY, *map(str, args)], capture_output=True, text=True)
    try:
        return json.loads(r.stdout)
    except ValueError:
        return {"error": (r.stderr or r.stdout)[-400:], "code": r.returncode}


def frac(x):
    return F(str(x).replace("%", "").replace("+", "").strip())


def margin(f):
    m = f.get("margin")
    return None if not m else frac(m["percent"]) / 100


def word_in(word, f):
    text = f["message"] + " " + ((f.get("witness") or {}).get("words") or "")
    return re.search(r"\b" + re.escape(word) + r"\b", f["message"]) or re.search(r"\b" + re.escape(word) + r"\b", text)


def candidates(inst, found):
    """What the program said about this instance."""
    out = []
    for f in found:
        if f["rule"] != inst.rule:
            continue
        w = f["where"]
        if inst.about is None or w == inst.about or (inst.channel and w == f"{inst.channel}/{inst.way}") or \
                (inst.rule == "works-together" and w.split(".")[0].split(" ")[0] == inst.about):
            out.append(f)
    for test in (
            (lambda f: inst.state and f["state"] == inst.state),
            (lambda f: isinstance(inst.way, str) and (f["where"].endswith("/" + inst.way) or word_in(inst.way, f))),
            (lambda f: inst.work and (f["where"].endswith("." + inst.work) or word_in(inst.work, f))),
            (lambda f: isinstance(inst.way, tuple) and all(word_in(x, f) for x in inst.way))):
        kept = [f for f in out if test(f)]
        if kept:
            out = kept
    return out


def merged(instances):
    """The two sides of a stop, and the like, as one instance with the lesser margin."""
    out = {}
    for i in instances:
        key = (i.rule, i.about, i.state, i.way)
        if key not in out:
            out[key] = i
            continue
        o = out[key]
        worst = i if (i.margin is not None and (o.margin is None or i.margin < o.margin)) else o
        worst.breaks = i.breaks or o.breaks
        worst.exact = i.exact and o.exact
        out[key] = worst
    return out.values()


def place(boat, w):
    """(positions, trims as given, settings, possible orders) of a witness."""
    p, t = boat.nil(), boat.nil()
    for c, x in (w.get("settings") or {}).items():
        # Of what stands in the middle no position is told.
        p[c] = F(0) if f"{c}: while thrown from" in w["words"] else F(boat.controls[c]["ways"][x])
    for c, x in (w.get("positions") or {}).items():
        p[c] = frac(x)
    for c, x in (w.get("trims") or {}).items():
        t[c] = frac(x)
    s = boat.first()
    s.update(w.get("settings") or {})
    said = w.get("order") or {}
    orders = [o for o in boat.orders if all(o[k] == v for k, v in said.items())]
    return p, t, s, orders


def channel_of(boat, where):
    head = where.split(".")[0].split("/")[0]
    if head.isdigit():
        return int(head), [d for d in boat.devices.values() if plain.source(boat, d) == int(head)]
    if head in boat.devices:
        d = boat.devices[head]
        return d["channel"], [d]
    if head == "fail_safe" and boat.unit and isinstance(boat.unit["notices"], dict):
        return int(boat.unit["notices"]["channel"]), []
    return None, []


def breaks(boat, f, n, devices, out, p, t, s, o):
    """Whether this place breaks the rule, by the plain account."""
    rule, ch = f["rule"], boat.channels[n]
    own = p[ch["control"]]
    work = f["where"].split(".")[1] if "." in f["where"] else None
    if rule == "unit-tripped-by-pilot":
        at, off = boat.with_tol(boat.unit["notices"]["beyond"])
        side = 1 if at >= 0 else -1
        return side * out + boat.width(boat.pulse_acc, side) >= side * at - off
    for d in devices:
        D = lambda side: boat.slack(d, side)
        may = lambda k, held=False: plain.away(plain.zone(k, D(k.side), held), out, out, k.side) <= 0
        works = [k for k in d["works"].values() if work is None or k.name == work]
        if rule == "emergency-within-reach" and any(k.reserved and may(k, True) for k in works):
            return True
        if rule == "unwanted-within-reach":
            for way in (1, -1):
                wants = [w for w, _ in plain.wanted_work(boat, ch, way)]
                if way * own >= 0 and any(may(k, True) for k in works if k.name not in wants and not k.reserved):
                    return True
        if rule == "wanted-not-reached" and abs(own) == 1:
            for k in works:
                need = k.side * k.full[0] + k.full[1] if k.full else k.sure
                if k.name in dict(plain.wanted_work(boat, ch, int(own))) and (
                        k.side * out - D(k.side) < need or k.to and k.side * out + D(k.side) > k.sure_end):
                    return True
        if rule == "works-at-rest" and own == 0 and any(may(k, True) for k in works):
            return True
        if rule == "beyond-stop" and d["stops"]:
            (lo, a), (hi, b) = d["stops"]
            if out + D(1) > hi - b or out - D(-1) < lo + a:
                return True
        if rule == "neutral-missed" and own == 0 and d["still"]:
            if out + D(1) > d["still"][1] or out - D(-1) < d["still"][0]:
                return True
        if rule == "works-together":
            ks = list(d["works"].values())
            name = next(x for x, dev in boat.devices.items() if dev is d)
            if together(boat, name, d, work, n, out, p, t, s, o) or any(
                    plain.excluded(name, a, b) and may(a, True) and may(b, True)
                    for a in ks for b in ks if a is not b):
                return True
        if rule in ("sense-reversed", "axis-lost"):
            word = f["where"].split("/")[1]
            if any(t.values()):
                continue
            for c, named, want in plain.wanting(boat, n):
                side = 1 if want in (d["effects"].get("longer"), d["also"].get("longer")) else \
                    -1 if want in (d["effects"].get("shorter"), d["also"].get("shorter")) else 0
                if named != word or not side:
                    continue
                held, rest = dict(p), dict(p)
                held[c], rest[c] = F(boat.controls[c]["ways"][word]), F(0)
                gain = side * (boat.output(n, o, s, held, t) - boat.output(n, o, s, rest, t))
                calm = all(not x or not boat.controls[k]["springs"] for k, x in p.items() if k != c)
                if gain < 0 or (gain == 0 and (rule == "axis-lost" or calm)):
                    return True
    return False


def together(boat, name, d, work, n, out, p, t, s, o):
    """Whether a work of another servo that this one excludes may be engaged at the same hand."""
    for other, e in boat.devices.items():
        if other == name or e["channel"] is None:
            continue
        there = boat.output(e["channel"], o, s, p, t)
        for a in d["works"].values():
            for b in e["works"].values():
                if (work in (None, a.name)) and plain.excluded((name, other), a, b) and \
                        plain.away(plain.zone(a, boat.slack(d, a.side), True), out, out, a.side) <= 0 and \
                        plain.away(plain.zone(b, boat.slack(e, b.side), True), there, there, b.side) <= 0:
                    return True
    return False


def without_hand(boat, f, n):
    """In a state where the channel's place is a figure of the file: ((low, high), accuracy), else None."""
    state = f["state"] or ""
    if state.startswith("stage ") and boat.unit and n in boat.unit["channels"]:
        for st, now in plain.stage_values(boat, None):
            if "stage " + st["name"] == state and now.get(n):
                return now[n][:2], boat.unit["acc"]
    if state != "piloting":
        if boat.preset is not None and n in boat.preset:
            return (boat.preset[n],) * 2, boat.pulse_acc
        if boat.loss == "noise":
            return boat.far, boat.pulse_acc
    return None


def replay_without_hand(f, devices, place, out):
    (lo, hi), acc = place
    if not lo <= out <= hi:
        return f"{float(out) * 100:g} % is not within {float(lo) * 100:g}..{float(hi) * 100:g} %"
    work = f["where"].split(".")[1] if "." in f["where"] else None
    for d in devices:
        D = lambda side: boat.slack(d, side, acc)
        may = [k for k in d["works"].values() if plain.away(plain.zone(k, D(k.side)), out, out, k.side) <= 0]
        rule = f["rule"]
        if rule == "motor-runs-on-loss" and d["still"] and (out + D(1) > d["still"][1] or out - D(-1) < d["still"][0]):
            return None
        if rule == "beyond-stop" and d["stops"] and \
                (out + D(1) > d["stops"][1][0] - d["stops"][1][1] or out - D(-1) < d["stops"][0][0] + d["stops"][0][1]):
            return None
        if rule in ("sinks-on-loss", "waiting-engages") and any(k.name == work for k in may):
            return None
        if rule == "works-together" and len(may) > 1 and (work is None or work in [k.name for k in may]):
            return None
        if rule in ("stage-misses", "stage-engages"):
            return None           # compared with the exact figures already
    return "does not break the rule"


def thrown(boat, f, w, p, settings):
    """Nobody holds a switch between two settings: it is there only while it is thrown from one to the next, with
    either in force, and only for what may happen while piloting."""
    for c, named in boat.switches.items():
        here = boat.controls[c]["ways"][settings[c]]
        if p[c] == here:
            continue
        at = sorted(boat.controls[c]["ways"][x] for x in named)
        between = [(a, b) for a, b in zip(at, at[1:]) if here in (a, b) and a <= p[c] <= b]
        if not between:
            return f"{c} stands at {p[c]} although {settings[c]} is in force"
        if "while thrown from" not in w["words"]:
            return f"{c} is held between two settings: {w['words']}"
        if f["rule"] in HELD:
            return f"{f['rule']} counts a switch that is just being thrown"
    return None


def replay(boat, f):
    """None when the witness holds, else what is wrong with it."""
    n, devices = channel_of(boat, f["where"])
    w = f["witness"]
    if n is None or f["rule"] not in RULES:
        return None
    fixed = without_hand(boat, f, n)
    if fixed and f["rule"] == "works-together" and w.get("positions"):
        # One of the two stands where the file puts it; the hand shown is that of the other.
        p, t, s, orders = place(boat, w)
        out = frac(w["output_percent"]) / 100
        work = f["where"].split(".")[1]
        for e in boat.devices.values():
            there = e["channel"] is not None and e not in devices and \
                any(abs(boat.output(e["channel"], o, s, p, t) - out) <= F(1, 10 ** 8) for o in orders)
            name = next(x for x, d in boat.devices.items() if d is devices[0])
            other = next(x for x, d in boat.devices.items() if d is e)
            a = devices[0]["works"][work]
            if there and plain.away(plain.zone(a, boat.slack(devices[0], a.side, fixed[1])), *fixed[0], a.side) <= 0 \
                    and any(plain.excluded((name, other), a, b) and
                            plain.away(plain.zone(b, boat.slack(e, b.side)), out, out, b.side) <= 0
                            for b in e["works"].values()):
                return None
        return "does not bring the two together"
    if fixed:
        return replay_without_hand(f, devices, fixed, frac(w["output_percent"]) / 100)
    if f["state"] not in ("piloting", None, "") and f["rule"] in ("beyond-stop",):
        return None
    if f["rule"] in ("stage-misses", "stage-engages", "sinks-on-loss", "motor-runs-on-loss", "waiting-engages",
                     "loss-unseen", "no-blow-on-loss"):
        need_break = False
    else:
        # Off the pilot's hands the other of a pair stands where the file puts it.
        need_break = f["rule"] != "works-together" or f["state"] == "piloting"
    p, t, s, orders = place(boat, w)
    if not orders:
        return "its order is struck out or not one of the open ones"
    said = frac(w["output_percent"])
    why = "output is not reproduced"
    for c, x in p.items():
        if abs(x) > 1:
            return f"{c} beyond its travel"
    why_not = thrown(boat, f, w, p, s)
    if why_not:
        return why_not
    # A trim that the file gives in microseconds is told as a share of the side on which it acts.
    for scale, travel in itertools.product((F(1), F(1, 100)), (boat.up, boat.down)):
        tt = {c: x * scale * (travel if boat.controls[c]["in_us"] else 1) for c, x in t.items()}
        for o in orders:
            out = boat.output(n, o, s, p, tt)
            if abs(out * 100 - said) > F(1, 10 ** 6):
                why = f"output is {float(out * 100):.6f} %, not {float(said):.6f} %"
                continue
            if any(abs(x) > boat.controls[c]["trim"] for c, x in tt.items()):
                return "a trim beyond its range"
            if w.get("pulse_us") is not None and abs(boat.pulse(out) - frac(w["pulse_us"])) > F(1, 100):
                why = f"pulse is {float(boat.pulse(out))} us, not {w['pulse_us']}"
                continue
            if not need_break or breaks(boat, f, n, devices, out, p, tt, s, o):
                return None
            why = "reproduced, but does not break the rule"
        if not any(t.values()):
            break
    return why


def judge_one(job):
    """(passed, [complaint], soft counts) for one boat."""
    seed, text, entry = job
    if not entry or "findings" not in entry or entry.get("status") == "unreadable":
        said = (entry or {}).get("mistakes") or entry
        if TOO_MUCH in str(said):
            return 0, [], Counter({TOO_MUCH: 1})
        return 0, [f"boat {seed}: not read: {str(said)[:400]}"], Counter()
    boat, S, instances = plain.judge_all(text)
    instances += plain_more.judge(boat, S)
    found = entry["findings"] + [{"outcome": "proved", "witness": None, **f} for f in entry.get("proved", [])]
    bad, good, soft = [], 0, Counter()
    for i in merged(instances):
        got = candidates(i, found)
        head = f"boat {seed}: {i!r}"
        if not got:
            if i.breaks:
                bad.append(f"{head}: broken, and the program says nothing")
            else:
                soft[f"{i.rule} not listed"] += 1
            continue
        outcomes = {f["outcome"] for f in got}
        if "undecided" in outcomes:
            soft[f"{i.rule} undecided"] += 1
            if i.exact:
                bad.append(f"{head}: undecided: {got[0]['message']}")
            continue
        if i.breaks:
            if "broken" not in outcomes:
                bad.append(f"{head}: a sample breaks it, the program says proved with {[str(margin(f)) for f in got]}"
                           f" at {place_text(i)}")
                continue
        elif "broken" not in outcomes:
            ms = [m for m in map(margin, got) if m is not None]
            if ms and i.margin is not None:
                if min(ms) > i.margin + EPS:
                    bad.append(f"{head}: proved with {float(min(ms)) * 100:.6f} %, beaten at {place_text(i)}")
                    continue
                if i.exact and len(got) == 1 and min(ms) < i.margin - SOFT:
                    bad.append(f"{head}: proved with {float(min(ms)) * 100:.6f} %, the exact margin is more")
                    continue
        elif i.exact and len(got) == 1 and not i.touchy:
            bad.append(f"{head}: the program says broken: {got[0]['message']}; margin {got[0].get('margin')}")
            continue
        good += 1
    for f in found:
        if f["outcome"] == "broken" and f.get("witness"):
            why = replay(boat, f)
            if why:
                bad.append(f"boat {seed}: witness of {f['rule']} {f['where']} [{f['state']}]: {why}: {f['witness']}")
            else:
                good += 1
                soft["witnesses"] += 1
    return good, bad, soft


def place_text(i):
    if not i.place:
        return "the file's own figures"
    o, s, p, t = i.place
    return str({k: str(v) for k, v in p.items() if v}) + str({k: str(v) for k, v in t.items() if v}) + str(s) + str(o)


def windows_one(job):
    seed, text, path = job
    boat = plain.Boat(text)
    said = run("endpoints", "--format", "json", path)
    if "ways" not in said:
        return 0, [f"windows {seed}: {said}"], Counter()
    bad, good, soft = [], 0, Counter()
    for n, ch in boat.channels.items():
        for way, word in ch["word"].items():
            mine = plain.windows(boat, n, way)
            theirs = [w for w in said["ways"] if w["channel"] == n and w["way"] == word]
            if mine is None or not mine[2]:
                soft["ways not compared"] += 1
                continue
            wins, best, _ = mine
            if not theirs:
                bad.append(f"windows {seed}: {n}/{word} missing, should be {show(wins)}")
                continue
            got = []
            for lo, hi in theirs[0]["windows"]:
                lo, hi = frac(lo) / 100, frac(hi) / 100
                if got and lo - got[-1][1] <= boat.step:
                    got[-1] = (got[-1][0], hi)
                else:
                    got.append((lo, hi))
            # The program asks more than these rules: what it calls safe must be safe here, too.
            if any(not any(a <= lo and hi <= b for a, b in wins) for lo, hi in got):
                bad.append(f"windows {seed}: {n}/{word} {show(got)}, should be {show(wins)}; "
                           f"limits {theirs[0]['low_limit']} | {theirs[0]['high_limit']}")
                continue
            if best is not None and got == wins and theirs[0]["best"] is not None:
                at = frac(theirs[0]["best"]) / 100
                if not any(lo <= at <= hi for lo, hi in got):
                    bad.append(f"windows {seed}: {n}/{word} best {theirs[0]['best']} lies outside {show(got)}")
                    continue
            soft["best values compared"] += best is not None
            good += 1
    return good, bad, soft


def show(wins):
    return [tuple(float(x) * 100 for x in w) for w in wins]


def main():
    if not os.path.exists(BINARY):
        print(f"no program at {BINARY} (set LIDCARD)")
        print("0 passed, 1 failed")
        return 1
    good, bad, soft = 0, [], Counter()
    if plain.main(quiet=True):
        bad.append("plain.py: does not give the figures of the example")
    else:
        good += 1
    with tempfile.TemporaryDirectory() as tmp, multiprocessing.Pool(harness.WORKERS) as pool:
        tmp = pathlib.Path(tmp)
        texts, paths = {}, {}
        for names, boat, count in ((families.ALL, families.boat, FAMILY), (corners.ALL, corners.boat, CORNERS)):
            for name in names:
                for seed in range(FIRST, FIRST + count) if not ONLY or name in ONLY else ():
                    key = f"{name}-{seed}"
                    texts[key] = boat(name, seed)
                    paths[key] = tmp / f"{key}.yaml"
                    paths[key].write_text(texts[key])
        for seed in range(FIRST, FIRST + CASES) if not ONLY else ():
            texts[seed] = generate.boat(seed)
            paths[seed] = tmp / f"boat-{seed}.yaml"
            paths[seed].write_text(texts[seed])
        entries = {}
        seeds = list(texts)
        for k in range(0, len(seeds), 100):
            some = seeds[k:k + 100]
            r = run("check", "--format", "json", "--all", *[paths[s] for s in some])
            if "files" not in r:
                bad.append(f"check: {r}")
                continue
            for s, e in zip(some, r["files"]):
                entries[s] = e
        jobs = [(s, texts[s], entries.get(s)) for s in seeds]
        wjobs = []
        for seed in range(FIRST, FIRST + WINDOWS):
            text = generate.boat(100000 + seed, piecewise=True, plain_windows=True)
            path = tmp / f"windows-{seed}.yaml"
            path.write_text(text)
            wjobs.append((100000 + seed, text, path))
        for name in ("twice", "zones", "uneven"):
            for seed in range(FIRST, FIRST + WINDOWS):
                text = families.boat(name, 200000 + seed)
                path = tmp / f"windows-{name}-{seed}.yaml"
                path.write_text(text)
                wjobs.append((f"{name} {200000 + seed}", text, path))
        for f, js in ((judge_one, jobs), (windows_one, wjobs)):
            for g, b, s in pool.imap_unordered(f, js, chunksize=4):
                good += g
                bad += b
                soft += s
    # A few random boats are more than the program works out, and it says so; were they many it would judge too little.
    if soft[TOO_MUCH] * 100 > len(jobs):
        bad.append(f"{TOO_MUCH}: {soft[TOO_MUCH]} of {len(jobs)} boats")
    limit = None if "-v" in sys.argv else 40
    for b in bad[:limit]:
        print(b)
    if limit and len(bad) > limit:
        print(f"... and {len(bad) - limit} more (-v shows all)")
    for k, v in sorted(soft.items()):
        print(f"  {k}: {v}")
    kinds = Counter(re.sub(r"\d+", "", b).split(":")[1].split("[")[0].split()[0] for b in bad if ":" in b)
    for k, v in kinds.most_common():
        print(f"  failed, {k}: {v}")
    print(f"{good} passed, {len(bad)} failed")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
