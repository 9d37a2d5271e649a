"""What a boat does from a lost link on, for thousands of corners of her tolerances at once, from the file alone.

One array holds a place for each corner. A servo goes from where it was left to what each stage of the unit (or the
receiver's preset) commands; what it works is on from one threshold to the other; pumps and bottles move water against
the depth; boat, water and gas follow. Fourth-order Runge-Kutta in fixed steps; what is switched on or off within a
step is at it for that part of it, and corners that are up are followed no further.

Read are boats whose tank channel takes nothing but its own control, with pumps, and with air or one liquefied gas.
What else a file may hold is `NotRead`: a boat is left out aloud rather than judged by half of what it says.

Gases by CoolProp's tables, added salt by TEOS-10 (gsw), added masses by Lamb's Hydrodynamics, drag of a cylinder from
the side and the hole's coefficient as the program says that it assumes them.
"""

import copy
import functools
import itertools
import math

import gsw
import numpy as np
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp

import tolerance

G, ATM, R, AIR = 9.80665, 101325.0, 8.31446261815324, 0.02896546
STEP = 0.1
# After so many steps those that are up are left out.
LEFT_OUT = 10
CYLINDER = ([1, 2, 5, 10, 40], [0.63, 0.68, 0.74, 0.82, 0.98])
GROWS = {"glass fibre": 25e-6, "acrylic": 70e-6, "aluminium": 23.5e-6}
FLUIDS = {"isobutane": "IsoButane", "butane": "n-Butane", "propane": "n-Propane", "R134a": "R134a", "R152a": "R152A"}
# Volts of a cell: at the end of discharge, full (data sheets of cells; common practice).
CELLS = {"NiMH": (1.0, 1.4), "LiPo": (3.0, 4.2), "LiFePO4": (2.5, 3.6)}
# By the Venice system of 1958, in the middle, least and most.
SALT = {"fresh": (0, 0, 0.5), "brackish": (15, 0.5, 30), "sea": (35, 30, 40)}


class NotRead(Exception):
    """What this account knows nothing of."""


def figures(text):
    """The number and the tolerance of `15 g ± 10 g`, both as written."""
    parts = [float(part.strip().lstrip("+").split()[0].rstrip("%")) for part in str(text).split("±")]
    return parts[0], parts[1] if len(parts) > 1 else 0.0


def percent(text):
    value, off = figures(str(text).replace("%", " %"))
    return value / 100, off / 100


def basic(text):
    """Amperes or ohms of `200 mA`, `1.8 A` or `30 mohm ± 5 mohm`, with the tolerance."""
    value, off = figures(text)
    scale = 1e-3 if str(text).split()[1].startswith("m") else 1.0
    return value * scale, off * scale


@functools.cache
def water_table():
    warm = np.linspace(1, 40, 79)
    return warm, np.array([PropsSI("D", "T", t + 273.15, "P", ATM, "Water") for t in warm])


def density(celsius, salt):
    """Of fresh water by CoolProp, and what salt adds to it by TEOS-10."""
    absolute = np.asarray(salt) * 35.16504 / 35
    added = gsw.rho_t_exact(absolute, celsius, 0.0) - gsw.rho_t_exact(0.0 * absolute, celsius, 0.0)
    return np.interp(celsius, *water_table()) + added


def salted(conducts, cold, warm):
    """Least and most salt of water by its conductivity, reckoned to 25 degC or not."""
    value, off = figures(conducts)
    off = off or value / 5
    return [float(gsw.SP_from_C(c / 1000, t, 0.0)) for c, t in ((value - off, max(25, warm)), (value + off, min(25, cold)))]


def salts(boat):
    """Least and most salt of the water she is sailed in, and of that she was weighed in; nothing: the same water."""
    hull, water = boat["hull"], boat["boat"].get("water", "fresh")
    there = None
    if "weighed_conductivity" in hull:
        at = figures(hull["weighed_at"])[0] if "weighed_at" in hull else 25
        there = salted(hull["weighed_conductivity"], at, at)
    elif "weighed_in" in hull and (hull["weighed_in"] != water or water == "brackish" or "conductivity" in boat["boat"]):
        there = SALT[hull["weighed_in"]][1:]
    if "conductivity" in boat["boat"]:
        here = salted(boat["boat"]["conductivity"], *(figures(t)[0] for t in hull["water"]))
    elif water == "brackish" or water == "sea" and there is not None:
        here = SALT[water][1:]
    else:
        here = [35 * (water == "sea")] * 2
    return here, there


@functools.cache
def vapour(fluid):
    """Tables of a liquefied gas over its temperature: pressure, density of vapour and liquid there, heat that
    boiling takes, heat of the liquid."""
    kelvin = np.linspace(215.0, 330.0, 93)
    of = lambda what, share: np.array([PropsSI(what, "T", t, "Q", share, fluid) for t in kelvin])
    cp = PropsSI("CP0MOLAR", "T", 293.15, "P", ATM / 10, fluid) / R
    return {
        "kelvin": kelvin, "p": of("P", 1), "thin": of("D", 1), "liquid": of("D", 0),
        "heat": of("H", 1) - of("H", 0), "warms": of("C", 0), "molar": PropsSI("M", fluid), "gamma": cp / (cp - 1),
    }


class Rows:
    """Hands out the tolerances of a boat, one row of numbers from 0 to 1 after the other."""

    def __init__(self, unit):
        self.unit, self.used = unit, 0

    def next(self):
        self.used += 1
        return self.unit[self.used - 1]

    def between(self, low, high):
        return low + (high - low) * self.next()

    def about(self, text, scale=1.0):
        value, off = figures(text)
        return self.between(value - off, value + off) * scale


class Fleet:
    """All corners of one boat."""

    # What makes her heavy together: a climb by one of them alone does not find the worst of all.
    WATER = (0, 1, 2, 4, 5)
    MOST = 80
    # What has a value for each corner, beside pumps and gas.
    EACH = ("rho", "heavy", "kelvin", "volume", "weight", "full", "added", "q", "dives", "drive", "fades", "spring", "air",
            "area", "itself", "p0", "mass", "gamma")

    def __init__(self, boat, unit):
        """`unit`: for each tolerance a row of numbers from 0 to 1, least to greatest."""
        self.boat = boat
        self.rows = rows = Rows(unit)
        hull, tank = boat["hull"], boat["tank"]
        if "leaks" in hull or "conductivity" in boat["boat"] and boat["boat"].get("water", "fresh") == "fresh" and \
                figures(boat["boat"]["conductivity"])[0] < 1500:
            raise NotRead("a leak, or a pond whose salt hardly counts")
        self.water(hull, rows)
        self.volume = rows.about(tank["volume"], 1e-6)
        self.body(hull, rows)
        self.timetable(rows)
        self.emptiers(tank["emptied_by"], rows)
        # Air that a pump blew in may spring or not: a pump that moves the water has none.
        self.spring = np.round(rows.next())

    def water(self, hull, rows):
        cold, warm = (figures(t)[0] for t in hull["water"])
        celsius = rows.between(cold, warm)
        weighed = rows.between(cold, warm)
        if "weighed_at" in hull:
            weighed = np.full_like(celsius, figures(hull["weighed_at"])[0])
        grows = rows.between(0.0, 85e-6)
        if "material" in hull:
            grows = np.full_like(celsius, GROWS[hull["material"]])
        self.weight = rows.about(hull["weight"])
        dry = figures(hull["weight"])[0]
        here, there = salts(self.boat)
        salt, weighed_salt = rows.between(*here), rows.next()
        weighed_salt = salt if there is None else there[0] + (there[1] - there[0]) * weighed_salt
        self.rho, then = density(celsius, salt), density(weighed, weighed_salt)
        heavy = rows.about(hull["heavy"], 1e-3)
        # Archimedes: what she displaced there, grown by her warmth, in the water of today.
        self.heavy = dry - (dry - heavy) * self.rho / then * (1 + 3 * grows * (celsius - weighed))
        self.kelvin = celsius + 273.15

    def body(self, hull, rows):
        length, beam = figures(hull["length"])[0] * 1e-3, figures(hull["beam"])[0] * 1e-3
        ratio, e = length / beam, math.sqrt(1 - (beam / length) ** 2)
        log = math.log((1 + e) / (1 - e))
        beta, alpha = 1 / e**2 - (1 - e**2) / (2 * e**3) * log, 2 * (1 - e**2) / e**3 * (log / 2 - e)
        self.full = self.weight + self.rho * self.volume
        self.added = beta / (2 - beta) * (self.full - self.heavy)
        along = alpha / (2 - alpha) * (self.full - self.heavy)
        self.q = self.rho * np.interp(ratio, *CYLINDER) * rows.between(2 / 3, 4 / 3) * length * beam / 2
        self.depth = figures(self.boat["boat"]["depth_limit"])[0]
        self.dives = rows.between(0.0, figures(hull["dives_at"])[0])
        self.drive = np.maximum(self.q * self.dives**2 - self.heavy * G, 0.0) * (self.dives > 0)
        shadow = self.rho * rows.between(0.1, 0.3) * math.pi / 4 * beam**2
        # She sails as fast however steep she dives, so that her way does not last for ever where that is little.
        ahead = figures(hull["sails_at"])[0] if "sails_at" in hull else 3 * figures(hull["dives_at"])[0]
        self.fades = 2 * (self.full + along) / (shadow * max(ahead, 1e-6))

    def timetable(self, rows):
        """What is commanded when, by channel: the receiver's preset, then the stages."""
        boat, receiver = self.boat, self.boat["receiver"]
        after = figures(receiver["after"])[0]
        self.commands, self.by_unit = {}, set()
        if isinstance(receiver["on_loss"], dict):
            for channel, value in receiver["on_loss"].items():
                if str(channel) not in ("others", "works"):
                    self.commands.setdefault(str(channel), []).append((after, percent(value)[0]))
        elif receiver["on_loss"] != "no pulses":
            raise NotRead("what the receiver does")
        unit = boat.get("fail_safe")
        if unit:
            at = after + figures(unit["wait"])[0]
            for stage in unit["stages"]:
                for channel, value in stage["set"].items():
                    self.commands.setdefault(str(channel), []).append((at, percent(value)[0]))
                    self.by_unit.add(str(channel))
                if "lasts" not in stage:
                    break
                at += figures(stage["lasts"])[0]
            else:
                raise NotRead("a last stage that ends")
        # Her motor hears nothing any more, or what it is told, when the receiver acts.
        self.stands = after
        for name, device in boat["devices"].items():
            if "drives ahead" in str(device.get("effects")):
                channel = str(device["channel"])
                told = [(at, to) for at, to in self.commands.get(channel, []) if at <= after + 1e-9]
                still = [percent(v)[0] for v in device["still_between"]]
                if told and not still[0] <= told[0][1] <= still[1]:
                    raise NotRead("a motor that runs on")
                if not told and (device.get("without_pulses") != "stops" or isinstance(receiver["on_loss"], dict)):
                    raise NotRead("a motor that hears nothing")

    def left_at(self, channel, towards):
        """Where the pilot may have left the channel, as far from what comes as it goes."""
        c = self.boat["channels"][int(channel) if int(channel) in self.boat["channels"] else channel]
        if set(c) - {"name", "control", "longer", "endpoints", "wants"} or self.boat["controls"][c["control"]].get("trim", "locked") != "locked":
            raise NotRead("a tank channel that takes more than its own control")
        for way, value in c["endpoints"].items():
            sign = 1 if way == c["longer"] else -1
            if sign != towards:
                return sign * percent(value)[0]
        raise NotRead("a way without an endpoint")

    def goes(self, device, work, slack, start, axis):
        """From when till when something is on, corner by corner: the ends of up to three goes."""
        spec = device["works"][work]
        if "full" in spec:
            raise NotRead("a valve that opens on its way")
        step = figures(self.boat["transmitter"].get("step", "1 %"))[0] / 100
        if "clicks" in spec:
            values = [percent(v)[0] for v in spec["clicks"]]
            sign = 1 if values[0] > 0 else -1
            at, off = tolerance.crept_up_to([sign * v for v in values], step)
        else:
            at, off = percent(spec["from"])
            sign = 1 if at > 0 else -1
            at = abs(at)
        at = self.rows.between(at - off, at + off) - slack
        if spec["releases"] == "where it engages":
            back = at
            self.rows.next()
        else:
            value, off = percent(spec["releases"])
            back = np.minimum(self.rows.between(abs(value) - off, abs(value) + off) - slack, at)
        # Along the way of this side: from one command to the next at the servo's speed.
        commands = self.commands.get(str(device["channel"]), [])
        place, on, found = sign * start, None, []
        for number, (begins, to) in enumerate(commands):
            to = sign * to
            until = commands[number + 1][0] if number + 1 < len(commands) else 1e9
            if on is None:
                on = np.where(place >= at, 0.0, np.inf)
            there = np.maximum(place, np.minimum(to, place + (until - begins) / axis))
            rises = (to > place) & (at > place) & (at <= there) & np.isinf(on)
            on = np.where(rises, begins + (at - place) * axis, on)
            low = np.minimum(place, np.maximum(to, place - (until - begins) / axis))
            falls = (to < place) & (back >= low) & (back < place) & np.isfinite(on)
            off = np.where(falls, begins + (place - back) * axis, np.inf)
            if falls.any():
                found.append((np.where(falls, on, np.inf), off))
                on = np.where(falls, np.inf, on)
            place = np.where(to > place, there, low)
        if on is not None and np.isfinite(on).any():
            found.append((on, np.full_like(on, np.inf)))
        return found

    def emptiers(self, all_, rows):
        boat = self.boat
        self.pumps, self.gas, starts = [], None, {}
        for name, spec in all_.items():
            device_name, work = name.split(".")
            device = boat["devices"][device_name]
            if device_name not in starts:
                channel = str(device["channel"])
                towards = 1 if max((to for _, to in self.commands.get(channel, [])), key=abs, default=0) > 0 else -1
                turns = figures(device["speed"])[0] * figures(device["turn"])[0] / 60
                clock = boat["fail_safe"]["accuracy"] if channel in self.by_unit else boat["transmitter"]["pulse"]["accuracy"]
                off = percent(device["accuracy"])[0] + figures(clock)[0] / 400
                far = self.left_at(channel, towards)
                starts[device_name] = rows.between(min(far, 0.0), max(far, 0.0)), rows.between(-off, off), turns
            start, slack, axis = starts[device_name]
            goes = self.goes(device, work, slack, start, axis)
            if "flow" in spec:
                self.pumps.append((spec, goes))
            elif self.gas is None:
                self.gas = goes
                self.bottle(spec, rows)
            else:
                raise NotRead("two bottles")
        self.volts(rows)
        self.air = rows.about(boat["hull"]["air"], 1e-3) if "air" in boat["hull"] else rows.between(1e3, 1e3)

    def volts(self, rows):
        """What each pump gives: its tolerances, on the voltage that its battery has under load."""
        boat = self.boat
        made = []
        if self.pumps:
            alarm = (boat.get("fail_safe") or {}).get("low_battery")
            name = alarm["battery"] if alarm else next(iter(boat["batteries"]))
            if not alarm and len(boat["batteries"]) > 1:
                raise NotRead("which battery")
            battery = boat["batteries"][name]
            end, full = (volts * battery["cells"] for volts in CELLS[battery["chemistry"]])
            low = figures(alarm["below"])[0] if alarm else end
            ohms, off = basic(battery["resistance"])
            motors = sum(basic(d["draws"])[0] for d in boat["devices"].values() if "draws" in d)
            draws = rows.between(0.0, sum(basic(spec["current"])[0] for spec, goes in self.pumps if goes) + basic(battery["draws"])[0] + motors)
            has = rows.between(low, max(full, low)) - draws * rows.between(ohms - off, ohms + off)
            found = rows.between(low, full)
        for spec, goes in self.pumps:
            if spec.get("air", "hull") != "hull":
                raise NotRead("where its air comes from")
            off = percent(spec["flow_off"])[0]
            flow = rows.between(1 - off, 1 + off)
            off = percent(spec.get("pressure_off", spec["flow_off"]))[0]
            press = rows.between(1 - off, 1 + off)
            at = np.full_like(flow, figures(spec["measured_at"])[0]) if "measured_at" in spec else found
            part = np.maximum(has / at, 0.0)
            bars, litres = np.array([[figures(p)[0], figures(f)[0]] for p, f in spec["flow"]]).T
            late = figures(spec["starts_in"])[0]
            made.append((flow * part, press * part**2, bars, litres, [(on + late, off) for on, off in goes]))
        self.pumps = made

    def bottle(self, spec, rows):
        self.area = rows.between(0.6, 0.95) * math.pi / 4 * (figures(spec["hole"])[0] * 1e-3) ** 2
        # The gas takes its heat from the water or from itself.
        self.itself = rows.next()
        self.fluid = None
        if spec["gas"] == "air":
            self.p0 = rows.about(spec["pressure"], 1e5) + ATM
            self.mass = self.p0 * figures(spec["bottle"])[0] * 1e-6 * AIR / (R * self.kelvin)
            self.gamma = 1.0 + 0.4 * np.round(self.itself)
        elif spec["gas"] in FLUIDS:
            self.fluid = vapour(FLUIDS[spec["gas"]])
            self.mass = rows.about(spec["charge"], 1e-3)
        else:
            raise NotRead("a mixture")

    def at_it(self, from_, to):
        """For which part of the time between two moments each pump is on, and the gas."""
        part = lambda goes: sum(np.maximum(np.minimum(ends, to) - np.maximum(begins, from_), 0.0) for begins, ends in goes) / (to - from_)
        return [part(goes) if goes else 0.0 for *_, goes in self.pumps], part(self.gas) if self.gas else None

    def blows(self, on, pressure, drawn, kelvin):
        """Mass in a second, volume in a second, warming in a second."""
        left = np.maximum(1 - drawn / self.mass, 1e-4)
        if self.fluid is None:
            gamma, molar, warming = 1.4, AIR, 0.0
            p, kelvin = self.p0 * left**self.gamma, self.kelvin * left ** (self.gamma - 1)
            real = 1.0
            dense = AIR * pressure / (R * kelvin)
        else:
            gas = self.fluid
            gamma, molar = gas["gamma"], gas["molar"]
            at = lambda key: np.interp(kelvin, gas["kelvin"], gas[key])
            # As much as is left boils, the last hundredth of it ever less.
            boils = at("p")
            p = boils * np.clip(left * 100, 0.0, 1.0)
            ideal = lambda q: q * molar / (R * kelvin)
            # Of a vapour that is not saturated the share that it lacks to an ideal gas goes with its pressure.
            lacks = 1 - ideal(boils) / at("thin")
            thin = lambda q: ideal(q) / (1 - lacks * np.minimum(q / boils, 1.0))
            real, dense = np.sqrt(thin(p) / np.maximum(ideal(p), 1e-9)), thin(np.minimum(pressure, boils))
        r = np.clip(pressure / np.maximum(p, 1.0), (2 / (gamma + 1)) ** (gamma / (gamma - 1)), 1.0)
        psi = 2 * gamma / (gamma - 1) * np.maximum(r ** (2 / gamma) - r ** ((gamma + 1) / gamma), 0.0)
        mass = np.where(p > pressure, on * self.area * p * np.sqrt(molar / (R * kelvin)) * np.sqrt(psi) * real, 0.0)
        if self.fluid is not None:
            liquid = np.maximum(self.mass - drawn, 1e-5)
            warming = -self.itself * mass * at("heat") / (at("warms") * liquid)
        return mass, mass / dense, warming

    def slope(self, t, y, at_it):
        z, v, moved, filled, drawn, taken, kelvin = y
        gauge = self.rho * G * np.maximum(z, 0.0)
        pressure = gauge + ATM
        squeezed = self.rho * G * v / pressure
        rate, fills = 0.0, 0.0
        pumped, blown = at_it
        d = np.zeros_like(y)
        if self.pumps:
            inside = ATM - taken / self.air
            against = pressure - inside
            thin = np.minimum((1 + against / ATM) / (1 + against / inside), 1.0)
            for (flow, press, bars, litres, _), on in zip(self.pumps, pumped):
                gives = np.interp(against / np.maximum(press, 1e-9), bars * 1e5, litres / 60e3, right=0.0)
                rate = rate + on * gives * flow
            rate = rate * thin
            d[5] = rate * pressure
            rate = rate - self.spring * moved * squeezed
        if self.gas:
            d[4], fills, d[6] = self.blows(blown, pressure, drawn, kelvin)
            fills = fills - filled * squeezed
        runs = (moved + filled < self.volume) | (rate + fills < 0)
        d[2], d[3] = runs * rate, runs * fills
        out = self.rho * np.clip(moved + filled, 0.0, self.volume)
        way = self.drive / (1 + np.maximum(t - self.stands, 0) / self.fades) ** 2
        d[0] = v
        d[1] = (way + (self.heavy - out) * G - self.q * v * np.abs(v)) / (self.full - out + self.added)
        return d

    def start(self):
        nought = np.zeros_like(self.rho)
        return np.array([nought + self.depth, self.dives, nought, nought, nought, nought, self.kelvin + nought])

    def only(self, which):
        """Some of the corners, by index."""
        some = copy.copy(self)
        for name in Fleet.EACH:
            if name in self.__dict__:
                setattr(some, name, getattr(self, name)[which])
        goes = lambda pairs: [(on[which], off[which]) for on, off in pairs]
        some.pumps = [(flow[which], press[which], *curve, goes(pairs)) for flow, press, *curve, pairs in self.pumps]
        some.gas = self.gas and goes(self.gas)
        return some

    def sail(self, until):
        """Deepest, time to the surface (infinite if not by `until`), speed there, of every corner."""
        y, t, many, some = self.start(), 0.0, len(self.rho), self
        deepest, time, speed = y[0].copy(), np.full(many, np.inf), np.zeros(many)
        which = np.arange(many)
        there = y[0].copy()
        for number in itertools.count(1):
            if t >= until or not len(which):
                break
            h = STEP
            at_it = some.at_it(t, t + h)
            a = some.slope(t, y, at_it)
            b = some.slope(t + h / 2, y + h / 2 * a, at_it)
            c = some.slope(t + h / 2, y + h / 2 * b, at_it)
            d = some.slope(t + h, y + h * c, at_it)
            after = y + h / 6 * (a + 2 * b + 2 * c + d)
            # More than it holds bubbles out.
            after[2:4] *= some.volume / np.maximum(after[2] + after[3], some.volume)
            up = after[0] <= 0
            new = up & np.isinf(time[which])
            if new.any():
                share = y[0][new] / np.maximum(y[0][new] - after[0][new], 1e-12)
                time[which[new]] = t + h * share
                speed[which[new]] = -(y[1][new] + (after[1][new] - y[1][new]) * share)
            y, t = after, number * STEP
            there = np.maximum(there, y[0])
            if number % LEFT_OUT == 0 and (done := np.isfinite(time[which])).any():
                deepest[which] = there
                stays = ~done
                which, y, there, some = which[stays], y[:, stays], there[stays], some.only(stays)
        deepest[which] = there
        return deepest, time, speed

    def scipy(self, until):
        """The same of a single corner by scipy, from one switch to the next."""
        goes = [pair for *_, pairs in self.pumps for pair in pairs] + (self.gas or [])
        stops = sorted({float(moment[0]) for pair in goes for moment in pair if 0 < moment[0] < until} | {until} |
                       ({self.stands} if 0 < self.stands < until else set()))
        surface, turn = (lambda t, y: y[0]), (lambda t, y: y[1])
        surface.terminal, surface.direction, turn.direction = True, -1, -1
        y, t, deepest = self.start()[:, 0], 0.0, self.depth
        for stop in stops:
            at_it = self.at_it(t, stop)
            found = solve_ivp(lambda t, y: self.slope(t, y[:, None], at_it)[:, 0], (t, stop), y, method="RK45",
                              rtol=1e-7, atol=1e-9 * np.array([1, 1, 1e-3, 1e-3, 1, 1e2, 1e3]), events=[surface, turn])
            deepest = max(deepest, found.y[0].max(), *(state[0] for state in found.y_events[1]))
            if len(found.t_events[0]):
                return deepest, found.t_events[0][0], -found.y_events[0][0][1]
            y, t = found.y[:, -1], stop
        return deepest, math.inf, 0.0


def tolerances(boat):
    """How many a boat has."""
    return Fleet(boat, np.zeros((Fleet.MOST, 1))).rows.used
