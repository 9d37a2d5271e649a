#!/usr/bin/env python3
"""The rules about gas and pump against figures worked out here, on boats made for it.

Vapour pressures, densities of liquid and gas: CoolProp (reference equations of state). The greatest fill:
ADR 4.3.3.2.2, 0.95 of the liquid's density at 50 degC, and no bottle full of liquid at 60 degC. Water is taken
as 1000 kg/m3, gravity as 9.80665 m/s2 (CGPM 1901), the air as 101325 Pa. Cases that lie within 3 % of the
edge, where formula and equation of state may differ, are made but not counted.
"""

import json
import os
import random
import tempfile
from pathlib import Path

from CoolProp.CoolProp import PropsSI
from harness import Cases, count, lidcard

CLOSE = 0.03
COUNT = count("LIDCARD_CASES", 30, 80, 200)
GASES = {"propane": "n-Propane", "butane": "n-Butane", "isobutane": "IsoButane", "R134a": "R134a", "R152a": "R152A", "R1234ze": "R1234ze(E)"}
BOAT = """lidcard: 1
boat: {{name: Made, depth_limit: {limit} m}}
transmitter: {{channels: 6}}
controls:
  tank: {{at: left stick, ways: {{left: flood, right: blow}}}}
channels:
  1: {{control: tank, longer: blow, wants: {{flood: vent, blow: pump}}}}
devices:
  s: {{kind: servo, channel: 1, accuracy: 2 %, works: {{vent: {{kind: vent valve, from: -40 %}}, pump: {{kind: pump switch, from: +40 %}}, gas: {{kind: emergency gas valve, from: +80 %}}}}}}
hull: {{water: [{cold} degC, 25 degC]}}
tank:
  volume: {volume} mL
  emptied_by:
    s.pump: {{flow: [[0 bar, 3 L/min], [{shut} bar, 0 L/min]]}}
    s.gas: {{gas: {gas}, bottle: {bottle} mL, charge: {charge} g, hole: 1 mm}}
"""


def expected(limit, cold, volume, shut, gas, bottle, charge):
    """For each rule by how much, as a part, it is broken; below nought: it is not."""
    fluid, kelvin = GASES[gas], cold + 273.15
    water = 101325 + 1000 * 9.80665 * limit
    vapour = PropsSI("P", "T", kelvin, "Q", 1, fluid)
    fill = bottle * 1e-6 * min(0.95 * PropsSI("D", "T", 323.15, "Q", 0, fluid), PropsSI("D", "T", 333.15, "Q", 0, fluid))
    wrong = {
        "pump-too-weak": (water - 101325) / (shut * 1e5) - 1,
        "gas-condenses": water / vapour - 1,
        "bottle-too-full": charge * 1e-3 / fill - 1,
        "gas-runs-out": None,
    }
    # Gas that cannot push or a bottle that nobody may fill is told by the rules above.
    if vapour > water * (1 + CLOSE) and charge * 1e-3 < fill * (1 - CLOSE):
        density = PropsSI("D", "T", kelvin, "P", water, fluid)
        liquid = charge * 1e-3 > bottle * 1e-6 * PropsSI("D", "T", kelvin, "Q", 1, fluid) * (1 + CLOSE)
        if liquid:
            wrong["gas-runs-out"] = density * (volume + bottle) * 1e-3 / charge - 1
    return wrong


cases = Cases()
dice = random.Random(20260509)
counted, broken = dict.fromkeys(expected(1, 4, 1, 1, "propane", 1, 1), 0), set()
with tempfile.TemporaryDirectory() as folder:
    for n in range(COUNT):
        figures = dict(
            limit=dice.choice([0.5, 1, 2, 3, 5, 8, 12]), cold=dice.choice([2, 4, 8, 15, 20]),
            volume=dice.choice([200, 400, 800, 2000, 5000]), shut=dice.choice([0.05, 0.1, 0.3, 0.5, 1, 2]),
            gas=dice.choice(sorted(GASES)), bottle=dice.choice([20, 50, 100]), charge=dice.choice([2, 5, 10, 20, 40, 60]))
        file = Path(folder, f"{n}.yaml")
        file.write_text(BOAT.format(**figures))
        run = lidcard("check", "--format", "json", str(file))
        assert run[0] != 2, run[2]
        rules = {finding["rule"] for finding in json.loads(run[1])["files"][0]["findings"]}
        for rule, by in expected(**figures).items():
            if by is None or abs(by) < CLOSE:
                continue
            counted[rule] += 1
            broken |= {rule} if by > 0 else set()
            cases.holds(f"{rule} {figures}", (rule in rules) == (by > 0), f"by {by:+.3f}")
for rule, count in counted.items():
    cases.holds(f"{rule} was asked often enough and was broken at times", count > COUNT / 8 and rule in broken, str(count))
cases.end()
