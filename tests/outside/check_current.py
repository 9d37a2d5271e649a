"""Adds up what flows out of a battery, finds the weakest of its line and the minutes it lasts, from the file alone.

Boats are drawn by chance from a fixed seed, some figures left out. The sums are those of circuit theory; that a fuse of
no more amperes saves what stands beside it is common practice without a source, and so are the voltages of a cell, the
80 % of the printed capacity, the straight line from the nominal voltage to the end of discharge, and the bend above
nominal, all told in crates/physics/src/battery.rs. Peukert's law is that of a textbook with the exponent 1.3.
"""

import json
import random
import re
import tempfile
from pathlib import Path

from pypdf import PdfReader

from harness import Cases, count, lidcard

COUNT = count("LIDCARD_CASES", 60, 200, 200)
BOAT = """lidcard: 1
boat: {{name: Elver, kind: surface}}
transmitter: {{channels: 4, pulse: {{rest: 1500 us, full: [1100 us, 1900 us], accuracy: 2 us}}, furthest: 125 %, step: 1 %}}
controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}, trim: locked}}
  speed: {{at: left stick, ways: {{towards: astern, away: ahead}}, trim: locked}}
channels:
  1: {{name: rudder, control: helm, longer: starboard, endpoints: {{port: 90 %, starboard: 90 %}}}}
  2: {{name: motor, control: speed, longer: ahead, endpoints: {{astern: 90 %, ahead: 90 %}}}}
receiver: {{on_loss: {{1: 0 %, 2: 0 %}}}}
devices:
  rudder_servo: {{kind: servo, channel: 1, accuracy: 2 %{servo}}}
  motor_esc: {{kind: speed controller, channel: 2, still_between: [-5 %, +5 %], effects: {{longer: drives ahead, shorter: drives astern}}{esc}}}
batteries:
  main: {{{battery}}}
"""
# Volts of a cell: end of discharge, nominal, full.
CELLS = {"NiMH": (1.0, 1.2, 1.4), "lead": (1.75, 2.0, 2.15), "LiPo": (3.0, 3.7, 4.2), "LiFePO4": (2.5, 3.2, 3.6)}


def keys(given, unit):
    return "".join(f", {key}: {value} {unit}" for key, value in given.items() if value is not None)


def wrong(f):
    """What has to be warned of, and whether all is known that a silence needs."""
    found = set()
    devices = (f["servo"]["draws"] or 0) + (f["esc"]["draws"] or 0)
    together = f["together"]
    sailing = devices if together is None else together if together >= devices else together + devices
    held = sailing
    for one in (f["servo"], f["esc"]):
        if one["stall"] is not None:
            held += max(one["stall"] - (one["draws"] or 0), 0)
    links = {key: value for key, value in f["links"].items() if value is not None}
    fuse = links.get("fuse")
    if links and sailing > min(links.values()):
        found.add("main")
    if any(value < held and (fuse is None or fuse > value) for key, value in links.items() if key != "fuse"):
        found.add("main")
    rated = f["rated"]
    if rated is not None:
        if (f["esc"]["draws"] or 0) > rated:
            found.add("motor_esc")
        if (f["esc"]["stall"] or 0) > rated and (fuse is None or fuse > rated):
            found.add("motor_esc")
    return found, sailing


def minutes(f, sailing):
    end, nominal, full = (v * f["cells"] for v in CELLS[f["chemistry"]])
    capacity, rests = 0.8 * f["capacity"], end + sailing * f["ohms"]
    if rests < nominal:
        left = (rests - end) / (nominal - end) / 2
    else:
        left = 0.5 + 0.5 * min((rests - nominal) / (full - nominal), 1.0) ** 0.25
    hours = capacity * (1 - left) / sailing
    if f["chemistry"] == "lead":
        hours *= min(20 * (capacity / (sailing * 20)) ** 1.3 / (capacity / sailing), 1.0)
    return hours * 60


cases = Cases()
dice = random.Random(20260530)
warned = silent = lasted = 0
with tempfile.TemporaryDirectory() as folder:
    for n in range(COUNT):
        maybe = lambda *values: dice.choice(values + (None,))
        f = {
            "servo": {"draws": maybe(0.1, 0.3), "stall": maybe(0.9, 1.5)},
            "esc": {"draws": dice.choice([1, 2.5, 6]), "stall": maybe(5, 12, 30)},
            "rated": maybe(2, 5, 10, 40),
            "together": dice.choice([0.2, 0.5, 3, 8]),
            "links": {"rated": maybe(5, 20, 60), "plug": maybe(4, 10, 30), "switch": maybe(3, 10), "fuse": maybe(3, 7.5, 15)},
            "chemistry": dice.choice(sorted(CELLS)), "cells": dice.randint(2, 8),
            "capacity": dice.choice([1.2, 4.2, 7]), "ohms": dice.choice([0.01, 0.03, 0.1]),
        }
        battery = f"cells: {f['cells']}, chemistry: {f['chemistry']}, capacity: {f['capacity']} Ah, resistance: {f['ohms']} ohm"
        battery += keys({"draws": f["together"], "rated": f["links"]["rated"]}, "A")
        battery += "".join(f", {k}: {{rated: {v} A}}" for k, v in f["links"].items() if v is not None and k != "rated")
        text = BOAT.format(servo=keys(f["servo"], "A"), esc=keys(f["esc"] | {"rated": f["rated"]}, "A"), battery=battery)
        file = Path(folder, f"{n}.yaml")
        file.write_text(text, encoding="utf-8")
        status, out, err = lidcard("check", "--format", "json", file)
        assert status != 2, err
        findings = json.loads(out)["files"][0]["findings"]
        ours = {x["where"] for x in findings if x["rule"] == "carries-too-much" and x["outcome"] != "proved"}
        theirs, sailing = wrong(f)
        cases.holds(f"{n}: who carries too much", ours == theirs, f"{ours} against {theirs} {f}")
        warned, silent = warned + bool(theirs), silent + (not theirs)
        if n % 8 == 0:
            sheet = Path(folder, f"{n}.pdf")
            status, _, err = lidcard("sheet", file, "-o", sheet, "--draft", "--annex")
            words = " ".join(page.extract_text() for page in PdfReader(sheet).pages).replace("\u00a0", " ")
            told = re.search(r"lasts some ([\d.]+) min", re.sub(r"\s+", " ", words))
            want = minutes(f, sailing)
            near = told and want * 0.9 - 1.001 <= float(told[1]) <= want * 1.0001
            cases.holds(f"{n}: minutes", near, f"{told and told[1]} against {want} {f}")
            lasted += 1
cases.holds("some are warned and some are not", warned > COUNT / 8 and silent > COUNT / 8 and lasted, f"{warned} {silent}")
cases.end()
