"""The code of a boat against random edits of its file: 1,000 of them, with LIDCARD_CASES another number.

An edit that changes a word on a page or a verdict must change the code that is printed there. Whatever is only
another way of writing the same (`true` for `yes`, grams for kilograms, a tolerance of nought, a list of one, a
default spelled out) must leave code, pages and verdicts as they were. What is a default, and which keys take a list or one thing,
is taken from the format's description in README and schema, not from the program's reader.
"""

import functools
import json
import random
import re
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import yamlfile
from harness import BOATS, ROOT, WORKERS, Cases, count, lidcard
from pages import text_of

CASES = count("LIDCARD_CASES", 30, 120, 1000)
FILES = BOATS + sorted((ROOT / "tests/fixtures/clean").glob("*.yaml")) + [
    ROOT / "tests/fixtures" / name
    for name in ("sheet/fully-fitted.yaml", "accepted/blow-reaches-gas.yaml", "mistakes/receiver-holds.yaml")
]
TREES = [yamlfile.texts(file.read_text(encoding="utf-8")) for file in FILES]
CODE = re.compile(r"\b[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}\b")
NUMBER = re.compile(r"\d+(\.\d+)?")
# The tolerance of these is the same thing as none where it is nought.
TOLERANCED = {"from", "to", "full", "releases", "weight", "heavy", "volume", "charge", "rod", "resistance"}
UNITS = {"kg": ("g", 1000), "mL": ("L", 0.001), "Ah": ("mAh", 1000), "A": ("mA", 1000), "mohm": ("ohm", 0.001),
         "MHz": ("GHz", 0.001)}
SPELLED = {"us": "µs", "degC": "°C", "deg": "°", "L": "l"}
YES = {"yes": "true", "no": "false", "true": "yes", "false": "no"}
YES_NO = {"floats_when_stopped", "reverse", "spare", "with_trim", "leak", "one_way", "learns_rest", "kept_on",
          "dangerous", "on_card"}
ONE_OR_LIST = {"works", "never_with", "emergency", "couplings", "closing", "module_mixes"}
# What a file leaves out is no default where it is a figure that stands for a range.
# By the name of the section or of the thing one level above a name of the builder's own.
DEFAULTS = {
    "boat": {"kind": "submarine", "water": "fresh", "floats_when_stopped": "no", "aerial": "inside"},
    "transmitter": {"channels": "8"},
    "pulse": {"rest": "1500 us", "full": ["1100 us", "1900 us"]},
    "controls/*": {"kind": "stick", "rests": "centre"},
    "channels/*": {"rate": "100 %", "expo": "0 %", "endpoints": "100 %", "sub_trim": "0 %", "spare": "no"},
    "fail_safe": {"notices": "no pulses", "leak": "no"},
    "owner": {"language": "en"},
    "works/*": {"reserved": "no", "kept_on": "no", "dangerous": "no"},
}
# Words and figures that a boat may or may not have.
MORE = {
    "boat": {"workshop": "Another Yard", "reference": "LB-777", "revision": "Q", "sinks_in": "9 s",
             "date": "2026-01-31", "water": "sea", "depth_limit": "3 m"},
    "transmitter": {"name": "the old set", "memory": "9 OTHER"},
    "owner": {"contact": "Somebody Else", "language": "de"},
    "devices/*": {"note": "greased in May"},
    "fittings": {"aerial": "along the keel", "leak_test": "behind the hatch"},
    "": {"card": {"size": ["85 mm", "54 mm"]}},
}


def places(tree, path=()):
    """Every place in a file, the file itself first."""
    yield path
    for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ():
        yield from places(value, (*path, key)) if isinstance(value, (dict, list)) else [(*path, key)]


def at(tree, path):
    for key in path:
        tree = tree[key]
    return tree


def called(path):
    """The name of a section, or `controls/*` for what stands under one."""
    return "/".join(["*" if n and path[n - 1] in ("controls", "channels", "devices", "works") else str(key)
                     for n, key in enumerate(path)][-2:]) if path else ""


def keys_for(table, path):
    name = called(path)
    return table.get(name) or table.get(name.rsplit("/", 1)[-1] if not name.endswith("*") else "", {})


def rewritten(tree, r):
    """One way of writing the same otherwise; says what it did, or nothing."""
    path = r.choice(list(places(tree)))
    value = at(tree, path)
    key = path[-1] if path else ""
    if isinstance(value, dict):
        free = {k: v for k, v in keys_for(DEFAULTS, path).items() if k not in value}
        if "settings" in value:
            free.pop("trim", None)
            free = {"kind": "switch", "rests": "where left"} if free else {}
        elif value.get("kind") in ("slider", "knob"):
            free = {k: "where left" if k == "rests" else v for k, v in free.items()}
        if called(path) == "channels/*" and "control" not in value:
            free = {k: v for k, v in free.items() if k in ("sub_trim", "spare")}
        if not free:
            return None
        key = r.choice(sorted(free))
        if key in value:
            return None
        value[key] = free[key]
        return f"{path}: {key} spelled out"
    parent = at(tree, path[:-1])
    if isinstance(value, list):
        if key in ONE_OR_LIST and len(value) == 1:
            parent[key] = value[0]
            return f"{path}: one, not a list"
        return None
    if key in ONE_OR_LIST and not isinstance(parent, list) and path[0] != "devices" or key in ("never_with",):
        parent[key] = [value]
        return f"{path}: a list of one"
    if key in YES_NO and value in YES:
        parent[key] = YES[value]
        return f"{path}: {parent[key]}"
    ways = []
    amount = re.fullmatch(r"([+-]?\d+(?:\.\d+)?) (\S+)", value)
    if amount and amount[2] in UNITS and key not in ("memory", "name"):
        unit, times = UNITS[amount[2]]
        ways.append(f"{float(amount[1]) * times:.9g} {unit}")
    if amount and amount[2] in SPELLED:
        ways.append(f"{amount[1]} {SPELLED[amount[2]]}")
    # Of a threshold it says more than nothing: that the place is always the same.
    if amount and key in TOLERANCED - {"from", "to", "full", "releases"} and path[0] in ("devices", "hull", "tank", "batteries"):
        ways += [f"{value} ± 0 {amount[2]}", f"{value} +- 0"]
    if amount and amount[2] in ("%", "us", "s", "V"):
        ways.append(re.sub(r"\d+(\.\d+)?", lambda m: m[0] + ("0" if "." in m[0] else ".0"), value))
    if not ways:
        return None
    parent[key] = r.choice(ways)
    return f"{path}: {value} as {parent[key]}"


def changed(tree, r):
    """One edit that means something, as far as the file is still read; says what it did, or nothing."""
    path = r.choice(list(places(tree)))
    value = at(tree, path)
    if isinstance(value, dict):
        more = keys_for(MORE, path)
        if more and r.random() < 0.7:
            key = r.choice(sorted(more))
            value[key] = more[key]
            return f"{path}: {key}: {more[key]}"
        if not path or not value:
            return None
        key = r.choice(list(value))
        del value[key]
        return f"{path}: {key} gone"
    if isinstance(value, list):
        r.shuffle(value)
        return f"{path}: in another order"
    parent, key = at(tree, path[:-1]), path[-1]
    if NUMBER.search(value) and r.random() < 0.8:
        nth = r.choice(list(NUMBER.finditer(value)))
        figure = float(nth[0]) + r.choice([1, -1, 0.5, 10]) if r.random() < 0.9 else float(nth[0])
        parent[key] = value[: nth.start()] + f"{max(figure, 0):g}" + value[nth.end():]
    elif r.random() < 0.3:
        same = [at(t, p) for t in TREES for p in places(t) if p and p[-1] == key]
        parent[key] = r.choice([word for word in same if isinstance(word, str)] or [value])
    else:
        parent[key] = r.choice([value + " so", value + "s", value.upper(), value + ", 2", "yes", "no"])
    return f"{path}: {value} to {parent[key]}"


def verdicts_in(report):
    """Whatever has a rule, as text, without its place in the file."""
    if isinstance(report, list):
        return [found for item in report for found in verdicts_in(item)]
    if not isinstance(report, dict):
        return []
    if "rule" in report:
        return [json.dumps({key: report.get(key) for key in ("rule", "severity", "where", "state", "message", "margin")})]
    return verdicts_in(list(report.values()))


def said(file, folder):
    """Words of each page and verdicts, without the code and without places in the file."""
    status, out, err = lidcard("check", file, "--all", "--format", "json")
    draft = ["--draft"] if status else []
    # Findings come in the order of their places.
    verdicts = sorted(verdicts_in(json.loads(out))) if status < 2 else []
    pages = []
    for page in ("card", "sheet", "guide"):
        pdf = folder / f"{file.stem}-{page}.pdf"
        lidcard(page, file, *draft, "-o", pdf)
        # The codes are as large as the file needs that they carry, and what stands beside them moves with them: as it is drawn.
        pages.append(" ".join(CODE.sub("", text_of(pdf, "-raw")).split()) if pdf.exists() else "none")
        pdf.unlink(missing_ok=True)
    return [status, verdicts, *pages]


def write(folder, name, tree):
    file = folder / f"{name}.yaml"
    file.write_text(json.dumps(tree, ensure_ascii=False), encoding="utf-8")
    return file


def code_of(file):
    """Code of a file that can be read, or nothing."""
    status, told, _ = lidcard("verify", file)
    return None if status == 2 else told.split()[0]


NAMES = ["status", "verdicts", "card", "sheet", "guide"]


@functools.cache
def before(which, folder):
    """Code and texts of a file that nobody has changed."""
    file = write(folder, f"boat-{which}", TREES[which])
    code = code_of(file)
    cases.holds(f"{FILES[which].name} as JSON has the code of the file", code == code_of(FILES[which]))
    return code, said(file, folder)


def one(n, folder):
    r = random.Random(n)
    which = r.randrange(len(FILES))
    tree = json.loads(json.dumps(TREES[which]))
    alike = r.random() < 0.4
    what = None
    while not what:
        what = (rewritten if alike else changed)(tree, r)
    name = f"{n}, {FILES[which].name} {what}"
    file = write(folder, f"edit-{n}", tree)
    code, (old, text) = code_of(file), before(which, folder)
    if code is None:
        return "unread", [(f"{name}: is read", False, lidcard("check", file)[2])] if alike else []
    if alike:
        now = said(file, folder)
        other = [part for part, a, b in zip(NAMES, text, now) if a != b]
        return "alike", [(f"{name}: the same code", code == old, f"{old} and {code}"),
                         (f"{name}: says the same", not other, str(other))]
    if code != old:
        return "told", []
    now = said(file, folder)
    other = [part for part, a, b in zip(NAMES, text, now) if a != b]
    return "untold", [(f"{name}: the code knows of it", not other, str(other))]


cases = Cases()
with tempfile.TemporaryDirectory() as home, ThreadPoolExecutor(WORKERS) as workers:
    home, counts = Path(home), {}
    for kind, held in workers.map(lambda n: one(n, home), range(CASES)):
        counts[kind] = counts.get(kind, 0) + 1
        for case in held:
            cases.holds(*case)
    cases.holds("many edits are told by the code", counts.get("told", 0) * 6 > CASES, str(counts))
    print(counts)
cases.end()
