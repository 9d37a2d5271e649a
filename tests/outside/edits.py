"""A boat file as nested dictionaries of plain texts: read, changed, written again; and the program asked
about many of them at once.

Everything written here is flow style on few lines, so a file reads the same whatever was changed in it.
"""

import copy
import io
import json
import os
import re
import subprocess
import tempfile
from fractions import Fraction as F
from pathlib import Path

from ruamel.yaml import YAML

import families
import generate
from harness import BOATS, MISTAKES, PROGRAM, ROOT

FIRST = int(os.environ.get("LIDCARD_SEED", "1"))
ONLY = os.environ.get("LIDCARD_ONLY", "").split()
CLEAN = sorted((ROOT / "tests/fixtures/clean").glob("*.yaml"))
ACCEPTED = sorted((ROOT / "tests/fixtures/accepted").glob("*.yaml"))
NUMBER = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*(%|us|µs|deg|mm)\s*$")
PLAIN = re.compile(r"^[A-Za-z0-9+\-±.][A-Za-z0-9_ .+\-±%/]*$")


def load(text):
    return YAML(typ="base", pure=True).load(io.StringIO(text))


def flow(x):
    if isinstance(x, dict):
        return "{" + ", ".join(f"{flow(k)}: {flow(v)}" for k, v in x.items()) + "}"
    if isinstance(x, list):
        return "[" + ", ".join(map(flow, x)) + "]"
    return x if PLAIN.match(x) else json.dumps(x, ensure_ascii=False)


def write(data):
    """One line for each entry of each section, for readable witnesses of what went wrong."""
    out = []
    for key, part in data.items():
        if isinstance(part, dict) and key in ("controls", "channels", "devices"):
            out.append(f"{key}:")
            out += [f"  {flow(k)}: {flow(v)}" for k, v in part.items()]
        else:
            out.append(f"{key}: {flow(part)}")
    return "\n".join(out) + "\n"


def amount(text):
    """(number, unit) of a quantity without a tolerance."""
    n, unit = NUMBER.match(text).groups()
    return F(n), unit


def said(n, unit, sign=False):
    """A quantity as text; exact, or refused."""
    n = F(n)
    ten = n * 10**6
    if ten.denominator != 1:
        raise ValueError(f"{n} has no short decimal")
    text = f"{float(n):.6f}".rstrip("0").rstrip(".")
    return ("+" if sign and n > 0 else "") + ("0" if text in ("-0", "") else text) + f" {unit}"


def random_boats(cases, family, names=families.ALL):
    """(name, text) of seeded random boats: the general ones and each family of traps."""
    for seed in range(FIRST, FIRST + cases):
        if not ONLY:
            yield f"general {seed}", generate.boat(seed)
    for name in names:
        if not ONLY or name in ONLY:
            for seed in range(FIRST, FIRST + family):
                yield f"{name} {seed}", families.boat(name, seed)


def boats_at_hand():
    """(name, text) of every boat that lies in the repository."""
    for file in [*BOATS, *CLEAN, *MISTAKES, *ACCEPTED]:
        yield file.name, file.read_text()


def ask(texts, *how, at_a_time=60):
    """`lidcard check --all` of many files in few runs: one entry of the report for each, in their order."""
    out = []
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for i, text in enumerate(texts):
            paths.append(Path(folder) / f"{i}.yaml")
            paths[-1].write_text(text)
        for k in range(0, len(paths), at_a_time):
            some = paths[k:k + at_a_time]
            run = subprocess.run([PROGRAM, "check", "--all", "--format", "json", *how, *some],
                                 capture_output=True, text=True, stdin=subprocess.DEVNULL)
            try:
                out += json.loads(run.stdout)["files"]
            except ValueError:
                raise SystemExit(f"check said: {(run.stderr or run.stdout)[-600:]}\n0 passed, 1 failed")
    return out


def ask_one(text, *command):
    """What one command says of one boat as JSON, or as a text where it says none."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "boat.yaml"
        path.write_text(text)
        run = subprocess.run([PROGRAM, *command, "--format", "json", path], capture_output=True, text=True,
                             stdin=subprocess.DEVNULL)
    try:
        return json.loads(run.stdout)
    except ValueError:
        return run.stderr or run.stdout


RANK = {"proved": 0, "not judged": 1, "undecided": 2, "broken": 3}


def answers(entry):
    """{(rule, where, state): [(rank, margin in percent, in us)]} of everything that was answered."""
    if entry["status"] == "unreadable" or entry["mistakes"]:
        return None
    out = {}
    for f in entry["findings"] + [{"outcome": "proved", **f} for f in entry["proved"]]:
        m = f["margin"]
        one = (RANK[f["outcome"]], m and F(str(m["percent"])), m and F(str(m["us"])))
        out.setdefault((f["rule"], f["where"], f["state"]), []).append(one)
    return out


def fresh(data):
    return copy.deepcopy(data)
