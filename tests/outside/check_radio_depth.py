"""How deep the radio is estimated to reach, from boat files, against scikit-rf and a second reading of P.527.

Boats are made at random, with and without what a file may leave out. Here the permittivity is worked out by
water.py, scikit-rf propagates the wave and reflects it at the surface, and the depth is where margin less
surface is used up; the ends take every tolerance at its worst. What the documentation says is assumed where the
file is silent is written down here once more: a pond of 500 uS/cm within four fifths, a sea of 35 g/kg within a
tenth, 4 to 22 degC, a margin within 6 dB, a conductivity within a fifth, the formula within 1 % (sea: 3 %).

Tolerance: half of the second figure, which is what is printed, and 1 % for temperatures between those tried.
"""

import json
import math
import random
import re
import tempfile
from pathlib import Path

import numpy as np
import skrf
from scipy.constants import epsilon_0

from harness import Cases, lidcard
from water import conductivity, debye

cases = Cases()
chance = random.Random(527)


def losses(hertz, celsius, sea, salt):
    """Decibels in each metre, and at the surface."""
    e = debye(hertz / 1e9, celsius, salt if sea else 0)
    sigma = conductivity(celsius, salt) if sea else salt
    e -= 1j * sigma / (2 * math.pi * hertz * epsilon_0)
    one = skrf.Frequency(hertz, hertz, 1, unit="hz")
    medium, air = skrf.media.Freespace(frequency=one, ep_r=e), skrf.media.Freespace(frequency=one)
    z, z0 = complex(medium.z0_characteristic[0]), complex(air.z0_characteristic[0])
    surface = -10 * math.log10(1 - abs((z - z0) / (z + z0)) ** 2)
    return abs(float(medium.gamma.real[0])) * 20 / math.log(10), surface


def depth(hertz, celsius, sea, salt, margin, formula=1.0):
    each, surface = losses(hertz, celsius, sea, salt)
    return max(margin - surface, 0) / (each * formula)


def agrees(printed, value):
    """Whether two figures may have been made of it."""
    digit = 10.0 ** (math.floor(math.log10(value)) - 1) if value > 0 else 0
    return abs(float(printed) - value) <= digit / 2 + 0.01 * value + 1e-12


def boat(hertz, margin, salt, warmth, limit, sea):
    of_boat = f", water: {'sea' if sea else 'fresh'}, depth_limit: {limit} m"
    if salt:
        of_boat += f", conductivity: {salt[0]} uS/cm" + (f" ± {salt[1]} uS/cm" if salt[1] else "")
    of_set = f", margin: {margin[0]} dB" + (f" ± {margin[1]} dB" if margin[1] else "")
    hull = f"hull: {{water: [{warmth[0]} degC, {warmth[1]} degC]}}\n" if warmth else ""
    return f"""lidcard: 1
boat: {{name: Newt, floats_when_stopped: yes{of_boat}}}
transmitter: {{channels: 1, frequency: {hertz / 1e6} MHz{of_set}}}
controls: {{helm: {{at: right stick, ways: {{left: port, right: starboard}}, trim: locked}}}}
channels: {{1: {{control: helm, longer: starboard}}}}
receiver: {{on_loss: no pulses}}
devices: {{rudder: {{kind: servo, channel: 1, accuracy: 2 %}}}}
{hull}"""


folder = Path(tempfile.mkdtemp())
made = []
for n in range(150):
    sea = n % 5 == 0
    hertz = chance.choice((26.995e6, 40.685e6, 75.43e6, 150e6)) if n % 4 else chance.choice((433.92e6, 868.3e6, 2400e6))
    margin = (chance.randrange(15, 70), chance.choice((0, 3, 6, 10)))
    value = chance.randrange(50, 1200)
    salt = None if sea or n % 3 == 0 else (value, chance.choice((0, value // 10, value // 2)))
    cold = chance.randrange(0, 15)
    warmth = None if n % 2 else (cold, cold + chance.randrange(0, 20))
    limit = round(chance.uniform(0.5, 8), 1)
    file = folder / f"newt-{n:03}.yaml"
    file.write_text(boat(hertz, margin, salt, warmth, limit, sea))
    made.append((file, hertz, margin, salt, warmth, limit, sea))

status, out, err = lidcard("check", "--format", "json", *(m[0] for m in made))
reports = json.loads(out)["files"]
counts = {"band": 0, "deeper": 0, "silent": 0}
for report, (file, hertz, (margin, off), salt, warmth, limit, sea) in zip(reports, made):
    name = f"{file.name} {hertz / 1e6} MHz {margin} ± {off} dB {salt} {warmth} {limit} m {'sea' if sea else 'fresh'}"
    off = off or 6
    middle_salt, salt_off = (35, 0.1) if sea else (0.05, 0.8)
    if salt:
        middle_salt, salt_off = salt[0] * 1e-4, salt[1] / salt[0] if salt[1] else 0.2
    warmth, formula = warmth or (4, 22), 0.03 if sea else 0.01
    at = lambda t, m, s, f: depth(hertz, t, sea, middle_salt * s, m, f)
    tried = np.linspace(*warmth, 9)
    middle = at(sum(warmth) / 2, margin, 1, 1)
    low = min(at(t, margin - off, 1 + salt_off, 1 + formula) for t in tried)
    high = max(at(t, margin + off, 1 - salt_off, 1 - formula) for t in tried)
    found = {f["rule"]: f["message"] for f in report["findings"]}
    shut_out = sea or hertz >= 300e6
    rule = "band-stops-at-surface" if shut_out else "depth-beyond-radio"
    other = {"band-stops-at-surface", "depth-beyond-radio"} - {rule}
    cases.holds(f"{name}: never both", not other & found.keys(), str(found))
    if not shut_out and abs(limit / low - 1) < 0.01:
        continue
    expected = shut_out or limit > low
    counts["band" if shut_out else "deeper" if expected else "silent"] += 1
    if not cases.holds(f"{name}: warned of if deeper", (rule in found) == expected, f"{low} {found}") or not expected:
        continue
    figures = re.search(r"estimated to end at ([\d.]+) m \(([\d.]+) m to ([\d.]+) m\)", found[rule])
    if cases.holds(f"{name}: figures", figures is not None, found[rule]):
        for what, printed, value in zip(("middle", "low", "high"), figures.groups(), (middle, low, high)):
            cases.holds(f"{name}: {what}", agrees(printed, value), f"{printed} against {value}")
cases.holds("every outcome comes up", all(count >= 10 for count in counts.values()), str(counts))
cases.end()
