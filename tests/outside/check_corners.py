"""Looks for a corner of the tolerances that is worse than the worst case that `rehearse` tells.

Boats are Moonfish with a pump or a bottle of air and with other figures, drawn by chance from a fixed seed. Of
each, corners of all her tolerances at once are integrated from the file alone: vertices (every tolerance at one
of its ends), a Latin hypercube between them (scipy.stats.qmc), and from the worst of these on a climb from
vertex to vertex. All of them run side by side through a
fourth-order Runge-Kutta in steps of a fiftieth of a second, and the latest, the deepest and the fastest of them
once more through scipy's solve_ivp, which has to agree and has the last word.

Water with salt in it weighs what TEOS-10's library says (gsw), and so does what a meter of conductivity means.

No corner may be later, deeper or faster at the surface than what is told, and what is told may not be more than
10 % beyond the worst corner found, except where it says that she never comes up.

`LIDCARD_FAMILY` is the number of boats (60 in a full run), `LIDCARD_CASES` that of corners of each (4096).
"""

import itertools
import json
import math
import os
import random
import tempfile
from pathlib import Path

import gsw
import numpy as np
from CoolProp.CoolProp import PropsSI
from ruamel.yaml import YAML
from scipy.integrate import solve_ivp
from scipy.stats import qmc

import tolerance
from harness import ROOT, Cases, lidcard

G, ATM, R, AIR = 9.80665, 101325.0, 8.31446261815324, 0.02896546
TEXT = (ROOT / "boats/moonfish.yaml").read_text(encoding="utf-8")
BOATS = int(os.environ.get("LIDCARD_FAMILY", "60" if "LIDCARD_CASES" in os.environ else "5"))
CORNERS = int(os.environ.get("LIDCARD_CASES", "192"))
STEP = 0.02
ROUNDS, PLACES = (3, (0.0, 1.0)) if CORNERS < 512 else (4, (0.0, 0.25, 0.5, 0.75, 1.0))
# Where the pump's switch clicks, by its five readings and the step of this set.
CLICK = tolerance.crept_up_to([0.36, 0.38, 0.35, 0.37, 0.36], 0.01)
CYLINDER = ([1, 2, 5, 10, 40], [0.63, 0.68, 0.74, 0.82, 0.98])
GROWS = {"glass fibre": 25e-6, "acrylic": 70e-6, "aluminium": 23.5e-6}


def figures(text):
    parts = [float(part.split()[0]) for part in str(text).split("±")]
    return parts[0], parts[1] if len(parts) > 1 else 0.0


def water_table():
    warm = np.linspace(1, 40, 79)
    return warm, np.array([PropsSI("D", "T", t + 273.15, "P", ATM, "Water") for t in warm])


WARM, RHO = water_table()
# By the Venice system of 1958, in the middle, least and most; and of a measured conductivity without a tolerance.
SALT = {"fresh": (0, 0, 0.5), "brackish": (15, 0.5, 30), "sea": (35, 30, 40)}


def density(celsius, salt):
    """Of fresh water by CoolProp, and what salt adds to it by TEOS-10."""
    absolute = np.asarray(salt) * 35.16504 / 35
    added = gsw.rho_t_exact(absolute, celsius, 0.0) - gsw.rho_t_exact(0.0 * absolute, celsius, 0.0)
    return np.interp(celsius, WARM, RHO) + added


def salted(conducts, cold, warm):
    """Least and most salt of water by its conductivity, reckoned to 25 degC or not."""
    value, off = figures(conducts)
    off = off or value / 5
    return [float(gsw.SP_from_C(c / 1000, t, 0.0)) for c, t in ((value - off, max(25, warm)), (value + off, min(25, cold)))]


def salts(boat):
    """Least and most salt of the water she is sailed in, and of that she was weighed in; nothing: the same water."""
    hull, water = boat["hull"], boat["boat"]["water"]
    here = None
    if "conductivity" in boat["boat"]:
        here = salted(boat["boat"]["conductivity"], *(figures(t)[0] for t in hull["water"]))
    elif water == "brackish" or water == "sea" and hull.get("weighed_in", water) != water:
        here = SALT[water][1:]
    if "weighed_conductivity" in hull:
        at = figures(hull["weighed_at"])[0] if "weighed_at" in hull else 25
        return here, salted(hull["weighed_conductivity"], at, at)
    there = hull.get("weighed_in")
    alike = there == water and water != "brackish" and here is None
    return here or [35 * (water == "sea")] * 2, None if there is None or alike else SALT[there][1:]


def boat_text(chance):
    """Another boat, as YAML."""
    old = YAML(typ="safe").load(TEXT)
    unit = old["fail_safe"]["stages"][0]
    channel = old["devices"]["tank_servo"]["channel"]
    gas = old["tank"]["emptied_by"]["tank_servo.gas"]
    text = TEXT
    air = chance.random() < 0.3
    emptier = next(line for line in text.splitlines(True) if "tank_servo.gas:" in line)
    stage = next(line for line in text.splitlines(True) if "name: blow" in line)
    assert gas and unit["works"] == ["pump", "gas"]
    lasts = chance.choice([15, 30, 60, 90])
    at, works = (104, "pump, gas") if air else (60, "pump")
    changes = [
        (stage, f"    - {{name: blow, lasts: {lasts} s, set: {{3: 0 %, {channel}: +{at} %}}, works: [{works}]}}\n"),
        (emptier, "" if not air else
         f"    tank_servo.gas: {{gas: air, bottle: {chance.randint(80, 400)} mL, pressure: {chance.randint(4, 12)} bar ± 0.5 bar, hole: 0.{chance.randint(4, 9)} mm}}\n"),
        ("depth_limit: 2 m", f"depth_limit: {chance.choice([0.6, 1, 1.5, 2, 2.5, 3])} m"),
        ("dives_at: 0.05 m/s", f"dives_at: {chance.choice([0.03, 0.05, 0.1, 0.15, 0.2])} m/s"),
        ("heavy: 15 g ± 10 g", f"heavy: {chance.choice([-10, 0, 5, 15, 30])} g ± {chance.choice([2, 5, 10])} g"),
        ("[[0 bar, 4 L/min], [0.7 bar, 0 L/min]]",
         f"[[0 bar, {chance.randint(20, 60) / 10} L/min], [0.{chance.randint(40, 80)} bar, 0 L/min]]"),
        ("flow_off: 15 %", f"flow_off: {chance.randint(3, 20)} %"),
        ("30 mohm", f"{chance.choice([20, 60, 150])} mohm ± {chance.choice([5, 15])} mohm"),
        (", measured_at: 7.2 V", chance.choice([", measured_at: 7.2 V", ", measured_at: 6.8 V", ""])),
        (", pressure_off: 10 %", chance.choice(["", f", pressure_off: {chance.randint(2, 12)} %"])),
        ("  air: 5 L", chance.choice(["  air: 5 L", "  air: 9 L", "  # air: 5 L"])),
        ("  weighed_at: 12 degC", chance.choice(["  weighed_at: 12 degC", "  # 12 degC"])),
        ("  material: glass fibre", chance.choice(["  material: glass fibre", "  material: acrylic", "  #"])),
        ("  water: fresh", chance.choice(SAILED)),
        ("  length: 900 mm", chance.choice(WATERS) + "  length: 900 mm"),
        ("water: [4 degC, 22 degC]", f"water: [{chance.randint(3, 12)} degC, {chance.randint(14, 28)} degC]"),
    ]
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after)
    return text


# What she is sailed in.
SAILED = ["  water: fresh", "  water: fresh", "  water: fresh\n  conductivity: 9000 uS/cm",
          "  water: brackish\n  conductivity: 15000 uS/cm ± 500 uS/cm", "  water: sea"]
# Other water than that she is sailed in, in which she may have been weighed.
WATERS = ["", "", "", "  weighed_in: fresh\n", "  weighed_in: brackish\n  weighed_conductivity: 3000 uS/cm ± 200 uS/cm\n",
          "  weighed_in: brackish\n"]


class Fleet:
    """All corners of one boat: arrays with one place for each."""

    def __init__(self, boat, unit):
        """`unit`: for each tolerance a row of numbers from 0 to 1, least to greatest."""
        row = iter(unit)
        between = lambda low, high: low + (high - low) * next(row)
        def about(text, scale=1.0):
            value, off = figures(text)
            return between(value - off, value + off) * scale
        hull, tank = boat["hull"], boat["tank"]
        cold, warm = (figures(t)[0] for t in hull["water"])
        celsius = between(cold, warm)
        weighed = between(cold, warm)
        if "weighed_at" in hull:
            weighed = np.full_like(celsius, figures(hull["weighed_at"])[0])
        grows = between(0.0, 85e-6)
        if "material" in hull:
            grows = np.full_like(celsius, GROWS[hull["material"]])
        weight = about(hull["weight"])
        dry = figures(hull["weight"])[0]
        here, there = salts(boat)
        salt, weighed_salt = between(*(here or [0, 0])), next(row)
        if there is None:
            weighed_salt = salt
        else:
            weighed_salt = there[0] + (there[1] - there[0]) * weighed_salt
        self.rho, then = density(celsius, salt), density(weighed, weighed_salt)
        heavy = about(hull["heavy"], 1e-3)
        # Archimedes: what she displaced there, grown by her warmth, in the water of today.
        self.heavy = dry - (dry - heavy) * self.rho / then * (1 + 3 * grows * (celsius - weighed))
        self.volume = about(tank["volume"], 1e-6)
        length, beam = figures(hull["length"])[0] * 1e-3, figures(hull["beam"])[0] * 1e-3
        ratio, e = length / beam, math.sqrt(1 - (beam / length) ** 2)
        log = math.log((1 + e) / (1 - e))
        beta, alpha = 1 / e**2 - (1 - e**2) / (2 * e**3) * log, 2 * (1 - e**2) / e**3 * (log / 2 - e)
        self.full = weight + self.rho * self.volume
        self.added = beta / (2 - beta) * (self.full - self.heavy)
        along = alpha / (2 - alpha) * (self.full - self.heavy)
        self.q = self.rho * np.interp(ratio, *CYLINDER) * between(2 / 3, 4 / 3) * length * beam / 2
        self.depth = figures(boat["boat"]["depth_limit"])[0]
        self.dives = between(0.0, figures(hull["dives_at"])[0])
        self.drive = np.maximum(self.q * self.dives**2 - self.heavy * G, 0.0) * (self.dives > 0)
        self.stands = figures(boat["receiver"]["after"])[0]
        shadow = self.rho * between(0.1, 0.3) * math.pi / 4 * beam**2
        self.fades = 2 * (self.full + along) / (shadow * 3 * np.maximum(self.dives, 1e-6))

        unit_, servo = boat["fail_safe"], boat["devices"]["tank_servo"]
        stage = unit_["stages"][0]
        there = next(v for k, v in stage["set"].items() if str(k) != "3")
        there = figures(there.replace("%", " %"))[0] / 100
        begins = self.stands + figures(unit_["wait"])[0]
        ends = begins + figures(stage["lasts"])[0]
        axis = figures(servo["speed"])[0] * figures(servo["turn"])[0] / 60
        start = between(-0.82, 0.0)
        slack = between(-1, 1) * (0.015 + 6 / 400)
        def on(at, off, back, back_off):
            at = between(at - off, at + off) - slack
            back = np.minimum(between(back - back_off, back + back_off) - slack, at)
            return begins + (at - start) * axis, ends + (there - back) * axis
        self.pumping, self.blowing = on(*CLICK, 0.31, 0.02), on(0.72, 0.04, 0.72, 0.04)
        pump = tank["emptied_by"]["tank_servo.pump"]
        off = figures(pump["flow_off"])[0] / 100
        self.flow = between(1 - off, 1 + off)
        off = figures(pump.get("pressure_off", pump["flow_off"]))[0] / 100
        self.press = between(1 - off, 1 + off)
        # The battery is somewhere between full and where the unit acts, and more or less hangs on it.
        alarm = boat["fail_safe"]["low_battery"]
        battery = boat["batteries"][alarm["battery"]]
        low, full = figures(alarm["below"])[0], 1.4 * battery["cells"]
        ohms, ohms_off = (figure * 1e-3 for figure in figures(battery["resistance"]))
        motor = figures(boat["devices"]["motor_esc"]["draws"])[0]
        draws = between(0.0, figures(pump["current"])[0] + figures(battery["draws"])[0] * 1e-3 + motor)
        found = between(low, full)
        if "measured_at" in pump:
            found = np.full_like(celsius, figures(pump["measured_at"])[0])
        volts = (between(low, full) - draws * between(ohms - ohms_off, ohms + ohms_off)) / found
        self.flow, self.press = self.flow * volts, self.press * volts**2
        self.bars, self.litres = zip(*[(figures(p)[0], figures(f)[0]) for p, f in pump["flow"]])
        self.pumping = self.pumping[0] + figures(pump["starts_in"])[0], self.pumping[1]
        self.air = about(hull["air"], 1e-3) if "air" in hull else between(1e3, 1e3)
        gas = tank["emptied_by"].get("tank_servo.gas")
        self.area = None
        coefficient, pressure = between(0.6, 0.95), next(row)
        self.gamma = 1.0 + 0.4 * np.round(next(row))
        if gas:
            self.area = coefficient * math.pi / 4 * (figures(gas["hole"])[0] * 1e-3) ** 2
            value, off = figures(gas["pressure"])
            self.p0 = (value - off + 2 * off * pressure) * 1e5 + ATM
            self.kelvin = celsius + 273.15
            self.mass = self.p0 * figures(gas["bottle"])[0] * 1e-6 * AIR / (R * self.kelvin)
        # Air that a pump blew in may spring or not: a pump that moves the water has none.
        self.spring = np.round(next(row))

    TOLERANCES = 29
    # What makes her heavy together: a climb by one of them alone does not find the worst of all.
    WATER = (0, 1, 2, 4, 5)

    def slope(self, t, y):
        z, v, moved, filled, drawn, taken = y
        gauge = self.rho * G * np.maximum(z, 0.0)
        pressure = gauge + ATM
        squeezed = self.rho * G * v / pressure
        pumps = (self.pumping[0] <= t) & (t < self.pumping[1])
        inside = ATM - taken / self.air
        against = gauge + ATM - inside
        # One straight line from the first point to the last.
        share = np.clip(against / 1e5 / self.press / self.bars[-1], 0, 1)
        thin = np.minimum((1 + against / ATM) / (1 + against / inside), 1.0)
        rate = np.where(pumps, self.litres[0] * (1 - share) * self.flow * thin / 60e3, 0.0)
        drains = rate * pressure
        mass = fills = np.zeros_like(z)
        if self.area is not None:
            left = np.maximum(1 - drawn / self.mass, 1e-4)
            p, kelvin = self.p0 * left**self.gamma, self.kelvin * left ** (self.gamma - 1)
            r = np.clip(pressure / p, (2 / 2.4) ** (1.4 / 0.4), 1.0)
            psi = 2 * 1.4 / 0.4 * np.maximum(r ** (2 / 1.4) - r ** (2.4 / 1.4), 0.0)
            open_ = (self.blowing[0] <= t) & (t < self.blowing[1]) & (p > pressure)
            mass = np.where(open_, self.area * p * np.sqrt(AIR / (R * kelvin)) * np.sqrt(psi), 0.0)
            fills = mass * R * kelvin / (AIR * pressure)
        fills = fills - filled * squeezed
        rate = rate - self.spring * moved * squeezed
        held = (moved + filled >= self.volume) & (rate + fills >= 0)
        rate, fills = np.where(held, 0.0, rate), np.where(held, 0.0, fills)
        out = np.clip(moved + filled, 0.0, self.volume)
        way = np.where(t <= self.stands, self.drive, self.drive / (1 + np.maximum(t - self.stands, 0) / self.fades) ** 2)
        force = way + self.heavy * G - self.rho * out * G - self.q * v * np.abs(v)
        return np.array([v, force / (self.full - self.rho * out + self.added), rate, fills, mass, drains])

    def start(self):
        nought = np.zeros_like(self.rho)
        return np.array([nought + self.depth, self.dives, nought, nought, nought, nought])

    def sail(self, until):
        """Deepest, time to the surface (infinite if not by `until`), speed there, of every corner."""
        y, t = self.start(), 0.0
        deepest, time, speed = y[0].copy(), np.full_like(self.rho, np.inf), np.zeros_like(self.rho)
        while t < until and np.isinf(time).any():
            a = self.slope(t, y)
            b = self.slope(t + STEP / 2, y + STEP / 2 * a)
            c = self.slope(t + STEP / 2, y + STEP / 2 * b)
            d = self.slope(t + STEP, y + STEP * c)
            after = y + STEP / 6 * (a + 2 * b + 2 * c + d)
            up = (after[0] <= 0) & np.isinf(time)
            share = y[0] / np.maximum(y[0] - after[0], 1e-12)
            time = np.where(up, t + STEP * share, time)
            speed = np.where(up, -(y[1] + (after[1] - y[1]) * share), speed)
            y, t = np.where(np.isinf(time) | up, after, y), t + STEP
            deepest = np.where(np.isinf(time), np.maximum(deepest, y[0]), deepest)
        return deepest, time, speed


def again(boat, unit, until):
    """One corner by scipy: deepest, time, speed."""
    one = Fleet(boat, unit[:, None])
    surface = lambda t, y: y[0]
    surface.terminal, surface.direction = True, -1
    found = solve_ivp(lambda t, y: one.slope(t, y[:, None])[:, 0], (0, until), one.start()[:, 0], method="RK45",
                      rtol=1e-7, atol=1e-9, max_step=0.05, events=[surface])
    up = found.y_events[0]
    return found.y[0].max(), found.t_events[0][0] if len(up) else math.inf, -up[0][1] if len(up) else 0.0


def climbed(boat, unit, found, until):
    """More corners: chance alone hardly meets the one vertex of so many that is worst. From the worst of each kind
    on every tolerance is tried at both its ends and between, for some are worst there, and then, with the next
    round, all together that made it worse."""
    together = []
    for _ in range(ROUNDS):
        more, starts = list(together), []
        for kind in range(3):
            value = np.where(np.isinf(found[kind]), 1e9, found[kind])
            best = unit[:, int(np.argmax(value))]
            for ends in itertools.product((0.0, 0.5, 1.0), repeat=3):
                water = best.copy()
                water[list(Fleet.WATER)] = *ends, *(best[p] for p in Fleet.WATER[3:])
                more.append(water)
            for ends in itertools.product((0.0, 1.0), repeat=2):
                water = best.copy()
                water[list(Fleet.WATER[3:])] = ends
                more.append(water)
            starts.append((kind, value.max(), len(more), best))
            for place in range(len(best)):
                for end in PLACES:
                    more.append(np.where(np.arange(len(best)) == place, end, best))
        more = np.array(more)
        here = Fleet(boat, more.T).sail(until)
        together = []
        for kind, least, begins, best in starts:
            value = np.where(np.isinf(here[kind]), 1e9, here[kind])[begins : begins + len(PLACES) * len(best)]
            value = value.reshape(-1, len(PLACES))
            together.append(np.where(value.max(axis=1) > least, np.array(PLACES)[value.argmax(axis=1)], best))
        unit = np.concatenate([unit, more.T], axis=1)
        found = tuple(np.concatenate(pair) for pair in zip(found, here))
    return unit, found


cases = Cases()
chance = random.Random(19)
ups = 0
with tempfile.TemporaryDirectory() as folder:
    for number in range(BOATS):
        text = boat_text(chance)
        file = Path(folder) / "boat.yaml"
        file.write_text(text, encoding="utf-8")
        status, out, err = lidcard("rehearse", file, "--format", "json")
        name = f"boat {number}"
        if not cases.holds(f"{name}: rehearsed", status in (0, 1), err):
            continue
        told, boat = json.loads(out), YAML(typ="safe").load(text)
        worst = told["runs"]["worst"]
        never = worst["comes_up"] is not True
        cube = qmc.LatinHypercube(Fleet.TOLERANCES, seed=number).random(CORNERS // 2)
        vertices = np.random.default_rng(number).integers(0, 2, (CORNERS - CORNERS // 2, Fleet.TOLERANCES))
        # The two that a fitter would think of first: everything at the one end, and at the other.
        vertices[0], vertices[1] = 0, 1
        unit = np.concatenate([cube, vertices]).T
        until = 90.0 if never else worst["surfaced"]["at_s"] * 1.2 + 5
        deepest, time, speed = Fleet(boat, unit).sail(until)
        unit, (deepest, time, speed) = climbed(boat, unit, (deepest, time, speed), until)
        for which, at in (("latest", time), ("deepest", deepest), ("fastest", speed)):
            index = int(np.argmax(np.where(np.isinf(at), -1, at)))
            other = again(boat, unit[:, index], until)
            here = (deepest[index], time[index], speed[index])
            if here[1] > until - 1:
                # Just at the end of patience: in time for the one, too late for the other.
                continue
            near = all(a == b or abs(a - b) <= 0.01 * abs(b) + 0.02 for a, b in zip(here, other))
            cases.holds(f"{name}: scipy agrees on the {which}", near, f"{here} {other}")
            deepest[index], time[index], speed[index] = other
        fastest = told["fastest_m_per_s"]
        if not never:
            ups += 1
            late = worst["surfaced"]["at_s"]
            cases.holds(f"{name}: no corner later", time.max() <= late * 1.005 + 0.03, f"{time.max()} told {late}")
            deep = told["deepest"]["depth_m"]
            cases.holds(f"{name}: no corner deeper", deepest.max() <= deep * 1.005, f"{deepest.max()} told {deep}")
            if CORNERS >= 512:
                cases.holds(f"{name}: told not too late", late <= time.max() * 1.1, f"{late} found {time.max()}")
                cases.holds(f"{name}: told not too deep", deep <= deepest.max() * 1.1, f"{deep} found {deepest.max()}")
                cases.holds(f"{name}: told not too fast", fastest <= speed.max() * 1.1, f"{fastest} found {speed.max()}")
        if fastest is not None:
            cases.holds(f"{name}: no corner faster", speed.max() <= fastest * 1.02, f"{speed.max()} told {fastest}")
cases.holds("at least half of the boats come up", 2 * ups >= BOATS, f"{ups} of {BOATS}")
cases.end()
