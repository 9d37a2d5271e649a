"""What `rehearse --solve` proposes holds, and one step further does not, or is none that anybody should take.

Boats of the repository that have a unit, Moonfish with other figures and strangers (`divers.py`). The times that are
proposed are put into the file by another writer of YAML and the boat is rehearsed anew: up, no deeper than a quarter beyond
her limit, no pump past its duty; each blow a quarter shorter leaves half of the tank empty. The same boat with one time a
step of half a second further does not, with the other times as proposed or as they were, whichever is told. A threshold
that is proposed has nothing against it in `check`, and a tenth of a volt less has.

Corners of all tolerances are integrated from the file alone (`dives.py`) with the times that are proposed: none of them
stays down or goes deeper than she may.
"""

import json
import math
import random
import tempfile
from pathlib import Path

import numpy as np

from boatfile import load, write
from check_corners import files
from dives import Fleet, NotRead, tolerances
from divers import moonfish, stranger
from harness import Cases, count, lidcard, some

BOATS = count("LIDCARD_FAMILY", 2, 4, 30)
CORNERS = count("LIDCARD_CASES", 64, 128, 1024)
# The margins and bounds as `rehearse --solve` prints them.
OVER, BEYOND, STEP, LONGEST = 1.25, 1.25, 0.5, 60
RAISE = ("pump switch", "blow valve", "emergency gas valve", "drop weight")


def asked(text, *arguments):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "boat.yaml"
        file.write_text(text, encoding="utf-8")
        status, out, err = lidcard(arguments[0], file, *arguments[1:], "--format", "json")
    assert status in (0, 1), err
    return json.loads(out)


def put(data, path, value):
    """The same boat with a value elsewhere."""
    data = json.loads(json.dumps(data))
    at = data
    *way, last = path.split(".")
    for key in way:
        at = at[int(key) if isinstance(at, list) else key]
    at[last] = f"{value:g} {'V' if last == 'below' else 's'}"
    return data


def all_put(data, values):
    for path, value in values.items():
        data = put(data, path, value)
    return data


def number(text):
    return float(str(text).split()[0])


def must_run(data):
    """Whether a stage with an end is shorter than the file says that a work in it must run."""
    works = {name: work for device in data["devices"].values() for name, work in (device.get("works") or {}).items()}
    for stage in data["fail_safe"]["stages"]:
        here = [works[name.split(".")[-1]] for name in stage.get("works", [])]
        least = [number(work["must_run"]) for work in here if "must_run" in work and work["kind"] in RAISE]
        if "lasts" in stage and least and number(stage["lasts"]) < max(least):
            return "a work must run for longer"
    return None


def half(data):
    volume = str(data["tank"]["volume"])
    unit = 1e-3 if "mL" in volume else 1
    return sum(number(part) for part in volume.split("±")) * unit / 2


def breaks(data, values):
    """What does not keep the margins with these values, or None."""
    data = all_put(data, values)
    told = asked(write(data), "rehearse")
    runs = told["runs"]
    if any(event["what"] == "past_duty" for run in runs.values() for event in run["events"]):
        return "past its duty"
    if "fail_safe.wait" in values:
        if not all(runs[name]["comes_up"] for name in ("nominal", "worst")):
            return "stays down"
        if told["deepest"]["depth_m"] > number(data["boat"]["depth_limit"]) * BEYOND * 1.0005:
            return f"{told['deepest']['depth_m']} m deep"
    if any(path.endswith("lasts") for path in values) and (why := must_run(data)):
        return why
    for path, value in values.items():
        if path.endswith("lasts"):
            told = asked(write(put(data, path, value / OVER)), "rehearse")
            if not told["runs"]["worst"]["comes_up"] or told["least_emptied_l"] < half(data) * 0.9995:
                return f"{told['least_emptied_l']} L out, half is {half(data)}"
    return None


def corners(cases, name, data, values):
    """No corner of the tolerances stays down or goes too deep with the values put in."""
    boat = all_put(data, values)
    try:
        many = tolerances(boat)
    except (NotRead, KeyError, TypeError, ValueError, AttributeError):
        return False
    chance = np.random.default_rng(random.Random(name).randrange(2**31))
    unit = np.concatenate([chance.random((many, CORNERS // 2)), chance.integers(0, 2, (many, CORNERS // 2))], axis=1)
    until = asked(write(boat), "rehearse")["runs"]["worst"]["surfaced"]["at_s"] * 1.2 + 5
    deepest, time, _ = Fleet(boat, unit).sail(until)
    most = number(data["boat"]["depth_limit"]) * BEYOND
    cases.holds(f"{name}: no corner stays down", math.isfinite(time.max()), str(values))
    cases.holds(f"{name}: no corner deeper than she may go", deepest.max() <= most * 1.005, f"{deepest.max()} may {most}")
    return True


def judge(cases, name, text):
    """Holds what is proposed for one boat; how many values there were."""
    data = load(text)
    told = asked(text, "rehearse", "--solve")["solved"]
    kept = {s["path"]: s for s in told["settings"] if s["keeps"] is not None}
    below = kept.pop("fail_safe.low_battery.below", None)
    values = {path: s["keeps"] for path, s in kept.items()}
    if values:
        why = breaks(data, values)
        cases.holds(f"{name}: what is proposed holds", why is None, f"{values}: {why}")
    for path, s in kept.items():
        if s["beyond"] is None:
            end = LONGEST if path.endswith("wait") else STEP
            cases.holds(f"{name}: {path} goes as far as anybody should", s["keeps"] == end, str(s))
            continue
        step = s["beyond"]["value"]
        cases.holds(f"{name}: {path} one step further is one", abs(abs(step - s["keeps"]) - STEP) < 1e-9, str(s))
        others = values if s["beyond"]["others"] == "as proposed" else {}
        further = {**others, path: step}
        why = breaks(data, further)
        cases.holds(f"{name}: {path} one step further breaks it", why is not None, str(s))
    if "fail_safe.wait" in values:
        cases.holds(f"{name}: no wait of over a minute", values["fail_safe.wait"] <= LONGEST, str(values))
        corners(cases, name, data, values)
    if below:
        finds = lambda volts, times: [f for f in asked(write(all_put(data, {**times, "fail_safe.low_battery.below": volts})), "check", "--all")["files"][0]["findings"]
                               if f["rule"] == "threshold-leaves-too-little" and f["outcome"] != "proved"]
        cases.holds(f"{name}: the threshold is enough", not finds(below["keeps"], values), str(below))
        others = values if below["beyond"]["others"] == "as proposed" else {}
        cases.holds(f"{name}: a tenth of a volt less is not", finds(below["beyond"]["value"], others), str(below))
    return len(kept)


def boats():
    yield from some([boat for boat in files() if "fail_safe:" in boat[1]], 6, 2)
    for number_ in range(BOATS):
        yield f"Moonfish {number_}", moonfish(random.Random(f"moonfish {number_}"))
        yield f"stranger {number_}", stranger(random.Random(f"stranger {number_}"))
    # She floats up by herself: as far as her boat file goes nothing sinks her.
    text = moonfish(random.Random("moonfish 0"))
    line = next(line for line in text.splitlines() if line.startswith("  heavy:"))
    drives = next(line for line in text.splitlines() if line.startswith("  dives_at:"))
    yield "one who floats up", text.replace(line, "  heavy: -80 g ± 5 g").replace(drives, "  dives_at: 0.02 m/s")


if __name__ == "__main__":
    cases = Cases()
    solved = 0
    for name, text in boats():
        solved += judge(cases, name, text)
    cases.holds("there was something to solve", solved > 5, str(solved))
    cases.end()
