"""Boats at hand and random ones to be changed, and the program asked about many of them at once."""

import functools
import json
import os
import subprocess
import tempfile
from fractions import Fraction as F
from pathlib import Path

import corners
import families
import generate
from boatfile import load, write
from harness import BOATS, LEVEL, MISTAKES, PROGRAM, ROOT, SEED

FIRST = SEED
ONLY = os.environ.get("LIDCARD_ONLY", "").split()
CLEAN = sorted((ROOT / "tests/fixtures/clean").glob("*.yaml"))
ACCEPTED = sorted((ROOT / "tests/fixtures/accepted").glob("*.yaml"))


def random_boats(cases, family):
    """(name, text) of seeded random boats: the general ones and each family of traps."""
    for seed in range(FIRST, FIRST + cases):
        if not ONLY:
            yield f"general {seed}", generate.boat(seed)
    for names, boat in ((families.ALL, families.boat), (corners.ALL, corners.boat)):
        for name in names:
            if not ONLY or name in ONLY:
                for seed in range(FIRST, FIRST + family):
                    yield f"{name} {seed}", boat(name, seed)


def slice_of(boats, quick, usual):
    """Each so many-th boat, beginning where the seed says; all of them where everything is asked for."""
    each = 1 if ONLY else {"quick": quick, "usual": usual, "full": 1}[LEVEL]
    return boats[SEED % each :: each]


def boats_at_hand():
    """(name, text) of every boat that lies in the repository."""
    for file in [*BOATS, *CLEAN, *MISTAKES, *ACCEPTED]:
        yield file.name, file.read_text()


def ask(texts, at_a_time=60, patience=100):
    """`lidcard check --all` of many files in few runs: one entry of the report for each, in their order. A boat that
    keeps it busy for too long is not read."""
    out = []
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for i, text in enumerate(texts):
            paths.append(Path(folder) / f"{i}.yaml")
            paths[-1].write_text(text)
        for k in range(0, len(paths), at_a_time):
            some = paths[k:k + at_a_time]
            try:
                run = subprocess.run([PROGRAM, "check", "--all", "--format", "json", *some], capture_output=True,
                                     text=True, stdin=subprocess.DEVNULL, timeout=patience)
                out += json.loads(run.stdout)["files"]
            except subprocess.TimeoutExpired:
                slow = {"status": "unreadable", "findings": [], "mistakes": [{"message": f"takes more than {patience} s"}]}
                texts_here = [path.read_text() for path in some]
                out += [slow] if len(some) == 1 else [e for t in texts_here for e in ask([t], 1, 10)]
            except ValueError:
                raise SystemExit(f"check said: {(run.stderr or run.stdout)[-600:]}\n0 passed, 1 failed") from None
    return out


@functools.lru_cache(maxsize=256)
def ask_one(text, *command):
    """What one command says of one boat as JSON, or as a text where it says none; not to be changed by who asks."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "boat.yaml"
        path.write_text(text)
        try:
            run = subprocess.run([PROGRAM, *command, "--format", "json", path], capture_output=True, text=True,
                                 stdin=subprocess.DEVNULL, timeout=60)
        except subprocess.TimeoutExpired:
            return "takes more than 60 s"
    try:
        return json.loads(run.stdout)
    except ValueError:
        return run.stderr or run.stdout


RANK = {"proved": 0, "not judged": 1, "undecided": 2, "broken": 3}


def estimated(entry):
    """{(rule, where, state)} of what holds by an estimate alone, for which nothing is proved."""
    return {(f["rule"], f["where"], f["state"]) for f in entry["proved"] if f.get("by_estimate")}


def answers(entry):
    """{(rule, where, state): [(rank, margin in percent, in us)]} of everything that was answered."""
    if entry["status"] == "unreadable" or entry["mistakes"]:
        return None
    out = {}
    quiet = [{"outcome": "not judged", **f} for f in entry.get("not_judged", []) if not f["could_hurt"]]
    for f in entry["findings"] + quiet + [{"outcome": "proved", **f} for f in entry["proved"]]:
        m = f.get("margin")
        one = (RANK[f["outcome"]], m and F(str(m["percent"])), m and F(str(m["us"])))
        out.setdefault((f["rule"], f["where"], f["state"]), []).append(one)
    return out

