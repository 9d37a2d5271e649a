"""Files that are nearly boats, and pictures that are nearly pages: no panic, no hang, no surprise.

Boats of the repository, of the fleets and of the strangers are taken apart as trees and spoiled in places: figures
at and beyond their ends, words for other words, keys left out, doubled, or put where another boat has them. What is
printed from the tree is YAML that mostly gets past the reader. Each goes through commands that judge, solve, rehearse
and print. Pages that were printed are photographed badly (turned, in perspective, in shadow, out of focus, cut), and
files of pictures, logos and templates get wrong bytes.

Every run has to end by itself with a status that the help tells, without a panic, within its memory and its time; what
a file is told twice is the same both times; a paper of a boat that failed is not made, or with --draft marked.

`LIDCARD_CASES` is the number of boats, `LIDCARD_FAMILY` that of pictures. The last lines tell how many inputs there
were, how far they got, and the greatest memory.
"""

import copy
import os
import random
import shutil
import re
import resource
import subprocess
import tempfile
import time
from collections import Counter
from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter
from ruamel.yaml import YAML
from ruamel.yaml.compat import StringIO

import divers
import yamlfile
from harness import BOATS, MISTAKES, PROGRAM, ROOT, SEED, Cases, count

MANY = count("LIDCARD_CASES", 8, 40, 1500)
PICTURES = count("LIDCARD_FAMILY", 4, 15, 400)
# Seconds of CPU and bytes that no input may cost: those of check_bounds.py for a program that is not optimised.
MOST_CPU, MOST_BYTES = 15.0, 200 << 20
COMMANDS = [
    ["check"], ["check", "--format", "json"], ["check", "--strict"], ["endpoints"], ["endpoints", "--solve"], ["states"],
    ["rehearse"], ["rehearse", "--solve"], ["rehearse", "--cause", "battery", "--format", "json"], ["rehearse", "--cause", "leak"],
    ["check", "--format", "sarif"],
]
NUMBERS = ["0", "-0", "1", "-1", "100", "119.999999", "1e30", "0.0000001", "99999999999", "-250", "33.3333333", "0.5"]
UNITS = ["%", "us", "V", "A", "mA", "g", "kg", "mm", "m", "m/s", "L", "mL", "L/min", "bar", "s", "deg", "degC", "Ah", "mohm", ""]
WORDS = ["yes", "no", "not measured", "where it engages", "cut off", "none", "up", "left", "\u202egas", "ventil", "a b", "", "~", "Ö" * 40, "hold", "no pulses", "noise"]

# What every page of a boat that failed says in each language.
LABELS = [yamlfile.values(path.read_text(encoding="utf-8"))["common"] for path in sorted((ROOT / "templates/labels").glob("*.yaml"))]
# What failed says so; of what could only not be judged it is enough that nobody checked it.
FAILED, OPEN = [words["draft_failed"] for words in LABELS], [words["draft_across"] for words in LABELS]
plain = YAML(typ="safe", pure=True)
plain.default_flow_style = None
plain.width = 4000
plain.allow_unicode = True


def printed(boat):
    out = StringIO()
    plain.dump(boat, out)
    return out.getvalue()


def places(node, path=()):
    """Every place of a tree that can be spoiled."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield path + (key,)
            yield from places(value, path + (key,))
    elif isinstance(node, list):
        for at, value in enumerate(node):
            yield path + (at,)
            yield from places(value, path + (at,))


def at(node, path):
    for key in path:
        node = node[key]
    return node


def figure(chance, old):
    """Another figure in the place of one: mostly near it or at an end, and mostly of its own unit."""
    number = re.match(r"([+-]?)(\d+(?:\.\d+)?)(.*)", str(old), re.DOTALL)
    if not number or chance.random() < 0.08:
        return f"{chance.choice(NUMBERS)} {chance.choice(UNITS)}".strip()
    sign, value, rest = number.groups()
    kind = chance.random()
    if kind < 0.6:
        value = f"{float(value) * chance.choice([0, 0.3, 0.8, 0.99, 1.01, 1.2, 2, 10]):.{chance.choice([0, 1, 2, 6])}f}"
    elif kind < 0.8:
        value = chance.choice(NUMBERS).lstrip("-")
    elif kind < 0.9 and sign:
        sign = "-" if sign == "+" else "+"
    else:
        rest = rest.split("±")[0].rstrip() if "±" in rest else rest + f" ± {chance.choice(['0', '0.1', '3', '40'])}{rest}"
    return sign + value + rest


def spoil(chance, boat, others):
    """Spoils a boat in one place."""
    path = chance.choice(list(places(boat)) or [("boat",)])
    parent, key = at(boat, path[:-1]), path[-1]
    kind = chance.random()
    if kind < 0.5:
        old = parent[key]
        if isinstance(old, (dict, list)):
            del parent[key]
        elif re.match(r"[+-]?\d", str(old)):
            parent[key] = figure(chance, old)
        else:
            # A word that some boat has there.
            words = [at(other, p) for other in chance.sample(others, 4) for p in places(other) if p[-1] == key]
            words = [word for word in words if not isinstance(word, (dict, list))]
            parent[key] = chance.choice(words if words and chance.random() < 0.8 else WORDS)
    elif kind < 0.7:
        del parent[key]
    elif kind < 0.88:
        # What another boat has there, or anywhere.
        other = chance.choice(others)
        there = [p for p in places(other) if p[-1] == key] or list(places(other))
        # A copy: a part that stood in itself would have no end.
        parent[key] = copy.deepcopy(at(other, chance.choice(there)))
    elif isinstance(parent, list):
        parent.insert(chance.randrange(len(parent) + 1), copy.deepcopy(parent[key]))
    elif chance.random() < 0.3:
        parent[f"{key}{chance.choice(['', '2', ' ', 'ß'])}"] = copy.deepcopy(parent[key])


def spent(*command, folder, told=None):
    """Status, texts, seconds of CPU and most bytes of a run."""
    with open(folder / "out", "wb") as out, open(folder / "err", "wb") as err:
        limits = lambda: resource.setrlimit(resource.RLIMIT_CPU, (int(MOST_CPU) + 5, int(MOST_CPU) + 6))
        process = subprocess.Popen([str(part) for part in command], stdin=subprocess.DEVNULL, stdout=out, stderr=err,
                                   cwd=folder, preexec_fn=limits)
        used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(used[1])
    text = [(folder / name).read_bytes() for name in ("out", "err")]
    return process.returncode, *text, used[2].ru_utime + used[2].ru_stime, used[2].ru_maxrss * 1024


class Tally:
    """What the runs came to."""

    def __init__(self, cases):
        self.cases, self.runs, self.status, self.memory, self.cpu = cases, 0, Counter(), 0, 0.0

    def run(self, name, *command, folder, kept):
        """One run, held against what every run has to keep to; `kept` is what to look at where it does not."""
        status, out, err, cpu, memory = spent(PROGRAM, *command, folder=folder)
        self.runs += 1
        self.status[status] += 1
        self.memory, self.cpu = max(self.memory, memory), max(self.cpu, cpu)
        wrong = [
            f"status {status}" if status not in (0, 1, 2) else "",
            "no such option" if b"unexpected argument" in err else "",
            "a panic" if b"the program itself failed" in out + err or b"panicked" in err or b"internal" in err.lower() and b"error" in err.lower() else "",
            f"{cpu:.1f} s of CPU" if cpu > MOST_CPU else "",
            f"{memory >> 20} MB" if memory > MOST_BYTES else "",
        ]
        wrong = [what for what in wrong if what]
        if wrong:
            saved = Path(tempfile.gettempdir()) / f"lidcard-fuzz-{os.getpid()}-{self.runs}"
            saved.write_bytes(kept)
            self.cases.holds(name, False, f"{', '.join(wrong)}: {' '.join(map(str, command))}; the file is kept as {saved}\n{err[-300:]!r}")
        return status, out, err, not wrong


def boats(cases, tally, folder):
    paths = [*BOATS, *MISTAKES, *sorted((ROOT / "tests/fixtures/clean").glob("*.yaml"))]
    known = [yamlfile.values(path.read_text(encoding="utf-8")) for path in paths]
    known = [boat for boat in known if isinstance(boat, dict)]
    read, good = 0, 0
    for number in range(SEED * 100_000, SEED * 100_000 + MANY):
        chance = random.Random(number)
        sort = chance.random()
        boat = yamlfile.values(printed(chance.choice(known))) if sort < 0.6 else yamlfile.values(divers.stranger(chance)) if sort < 0.85 else yamlfile.values(divers.moonfish(chance))
        for _ in range(chance.choice([0, 1, 1, 1, 2, 3, 6])):
            try:
                spoil(chance, boat, known)
            except (KeyError, TypeError, IndexError):
                continue
        try:
            text = printed(boat)
        except Exception:  # a tree that no YAML can be printed of
            continue
        path = folder / "boat.yaml"
        path.write_text(text, encoding="utf-8")
        name = f"boat {number}"
        status, told, _, fine = tally.run(name, "check", "boat.yaml", folder=folder, kept=text.encode())
        read += status != 2
        if status != 2:
            again = spent(PROGRAM, "check", "boat.yaml", folder=folder)
            fine &= cases.holds(f"{name}: told twice the same", again[:2] == (status, told), "") or True
            for command in chance.sample(COMMANDS, 3):
                fine &= tally.run(name, *command, "boat.yaml", folder=folder, kept=text.encode())[3]
            paper = chance.choice(["card", "sheet", "guide"])
            for page in folder.glob("page*"):
                page.unlink()
            done, _, err, ok = tally.run(name, paper, "boat.yaml", "-o", "page.svg", folder=folder, kept=text.encode())
            fine &= ok
            pages = sorted(folder.glob("page*.svg"))
            if status == 1 and b"first put right" in err:
                cases.holds(f"{name}: no {paper} of what failed", not pages and done != 0, err[-200:])
                done, _, err, ok = tally.run(name, paper, "--draft", "boat.yaml", "-o", "page.svg", folder=folder, kept=text.encode())
                fine &= ok
                for page in folder.glob("page*.svg"):
                    body = page.read_text(encoding="utf-8")
                    marked = any(mark in body for mark in (FAILED if re.search(rb"^error: ", told, re.M) else FAILED + OPEN))
                    cases.holds(f"{name}: {page.name} of the {paper} is marked", marked, paper)
            good += fine
    print(f"boats: {MANY}, read {read}")
    return good


def photographed(chance, page):
    """A bad photograph of a page."""
    image = page.convert("L")
    w, h = image.size
    if chance.random() < 0.4:
        d = lambda: chance.uniform(0, 0.12)
        quad = (w * d(), h * d(), w * d(), h * (1 - d()), w * (1 - d()), h * (1 - d()), w * (1 - d()), h * d())
        if chance.random() < 0.5:
            quad = tuple(c - (w if i % 2 == 0 else h) * 0.06 for i, c in enumerate(quad))
        image = image.transform((w, h), Image.Transform.QUAD, quad, Image.Resampling.BILINEAR, fillcolor=chance.choice([0, 120, 255]))
    if chance.random() < 0.3:
        image = image.rotate(chance.uniform(-180, 180), expand=True, fillcolor=200)
    if chance.random() < 0.3:
        image = image.filter(ImageFilter.GaussianBlur(chance.uniform(0.3, 5)))
    if chance.random() < 0.4:
        grey = np.asarray(image, dtype=float)
        shade = np.linspace(chance.uniform(0.1, 1), 1, grey.shape[1])[None, :] * np.linspace(1, chance.uniform(0.3, 1), grey.shape[0])[:, None]
        image = Image.fromarray((grey * shade).clip(0, 255).astype("uint8"))
    if chance.random() < 0.12:
        w, h = image.size
        image = image.crop((0, 0, w, h // 2) if chance.random() < 0.5 else (w // 3, h // 4, w, h))
    return image


def bent(chance, data, text=False):
    """The same bytes, some of them wrong, or not all of them; of a text mostly such that it stays one."""
    first, last = (32, 127) if text and chance.random() < 0.8 else (0, 256)
    data = bytearray(data)
    kind = chance.random()
    if kind < 0.3:
        del data[chance.randrange(1, len(data)) :]
    else:
        for _ in range(chance.choice([1, 3, 20, 200])):
            data[chance.randrange(len(data))] = chance.randrange(first, last)
    if kind > 0.85:
        a, b = sorted(chance.randrange(len(data)) for _ in range(2))
        data[a:a] = data[a : min(b, a + 4000)]
    return bytes(data)


LOGO = (b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><defs><linearGradient id="a"><stop offset="0" stop-color="red"/>'
        b'</linearGradient><clipPath id="c"><rect width="30" height="30"/></clipPath></defs><g clip-path="url(#c)"><path d="M1 2C3 4 5 6 7 8z" '
        b'fill="url(#a)"/><circle r="9" cx="12" cy="13"/><rect width="1e3" height="2" transform="rotate(30)"/></g></svg>')


def pictures(cases, tally, folder):
    (folder / "boat.yaml").write_text(divers.MOONFISH, encoding="utf-8")
    spent(PROGRAM, "sheet", "boat.yaml", "-o", "page.png", folder=folder)
    # The last of them carry the file.
    pages = [Image.open(path).convert("L") for path in sorted(folder.glob("page*.png"), key=lambda p: (len(p.name), p.name))[-2:]]
    template = (ROOT / "templates/card.tera")
    template = template.read_bytes() if template.is_file() else next((ROOT / "templates").glob("*.tera")).read_bytes()
    png = (folder / sorted(p.name for p in folder.glob("page*.png"))[-1]).read_bytes()
    restored, drawn = 0, {"logos": 0, "templates": 0}
    for number in range(SEED * 100_000, SEED * 100_000 + PICTURES):
        chance = random.Random(f"picture {number}")
        name, kind = f"picture {number}", chance.random()
        for old in [*folder.glob("back*"), *folder.glob("shot*")]:
            old.unlink()
        if kind < 0.45:
            shots = []
            for at_, page in enumerate(pages):
                shots.append(folder / f"shot{at_}.{chance.choice(['png', 'jpg'])}")
                photographed(chance, page).save(shots[-1])
                if chance.random() < 0.1:
                    shots[-1].write_bytes(bent(chance, shots[-1].read_bytes()))
            shot = shots[-1]
            status, *_ = tally.run(name, "restore", *[s.name for s in shots], "-o", "back.yaml", folder=folder, kept=shot.read_bytes())
            restored += status == 0
            if (folder / "back.yaml").exists():
                # Whatever comes back is the boat that was printed.
                same = yamlfile.values((folder / "back.yaml").read_text(encoding="utf-8")) == yamlfile.values(divers.MOONFISH)
                cases.holds(f"{name}: what was restored is the file", same, str(shot))
        elif kind < 0.6:
            data = bent(chance, png)
            (folder / "shot.png").write_bytes(data)
            tally.run(name, "restore", "shot.png", "-o", "back.yaml", folder=folder, kept=data)
        elif kind < 0.8:
            data = bent(chance, LOGO, text=True) if chance.random() < 0.7 else bent(chance, png)
            shop = folder / "shop"
            shutil.rmtree(shop, ignore_errors=True)
            shop.mkdir()
            (shop / ("logo.svg" if data[:4] == LOGO[:4] else "logo.png")).write_bytes(data)
            status, *_ = tally.run(name, "sheet", "boat.yaml", "--workshop", "shop", "-o", "back.svg", folder=folder, kept=data)
            drawn["logos"] += status == 0
        else:
            data = bent(chance, template, text=True)
            (folder / "shot.tera").write_bytes(data)
            status, *_ = tally.run(name, "card", "boat.yaml", "--template", "shot.tera", "-o", "back.svg", folder=folder, kept=data)
            drawn["templates"] += status == 0
    print(f"pictures, logos and templates: {PICTURES}, restored {restored}, drawn {drawn}")
    # Some of each are spoilt where it does no harm: none at all would mean that they never got as far.
    cases.holds("some logos and templates are drawn", PICTURES < 100 or min(drawn.values()) > 0, str(drawn))


cases = Cases()
tally = Tally(cases)
begun = time.monotonic()
with tempfile.TemporaryDirectory() as name:
    folder = Path(name)
    cases.passed += boats(cases, tally, folder)
    pictures(cases, tally, folder)
told = ", ".join(f"{status}: {number}" for status, number in sorted(tally.status.items()))
print(f"{tally.runs} runs in {time.monotonic() - begun:.0f} s; by status {told}; most CPU {tally.cpu:.1f} s, most memory {tally.memory >> 20} MB")
cases.end()
