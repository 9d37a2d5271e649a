"""Rehearses Moonfish a second time, knowing nothing of our code, and compares.

The equations are written down here once more from the boat file: delays, the servo's way through its
thresholds, the pump's curve, the orifice, the bottle, the gas in the tank, and the boat's motion. scipy's
solve_ivp (DOP853) integrates them, CoolProp tells what the gases do, gsw and CoolProp what the water
weighs. Each case is the boat in boats/moonfish.yaml with some lines changed.

Its worst case runs the pump on the voltage at which the unit acts, less what all currents cost; it is heavy as in the water that carries least, by the water she was weighed in and what her hull
grows; her pump breathes the hull's air, which Boyle thins; her way fades when the motor stands. A weight that is let go
lifts by what it pulls in water (Archimedes) and takes as much of her mass: what it displaced is water again.

Tolerances: 1e-4 s for what is only added up (four figures are printed). 1 % of the deepest depth and 2 % of
the time to the surface, of the speed there and of the gas: the program's fits of the gases are good to 1 to
2.5 % (crates/physics/src/gas/fluid.rs), and a time goes with the root of a flow. Where only a pump works, no
gas is in it: 0.1 %.
"""

import json
import math
import tempfile
from pathlib import Path

import CoolProp
import gsw
import numpy as np
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp

import tolerance
import yamlfile
from harness import ROOT, Cases, lidcard, some

G, ATM, R = 9.80665, 101325.0, 8.31446261815324
# Moonfish with a weaker pump, so that the pressure it gives up at has a part in what happens.
TEXT = (ROOT / "boats/moonfish.yaml").read_text(encoding="utf-8").replace("[0.7 bar, 0 L/min]", "[0.4 bar, 0 L/min]")
FLUIDS = {"isobutane": "IsoButane", "butane": "n-Butane", "propane": "n-Propane", "R134a": "R134a", "R152a": "R152A"}
# The drag of a cylinder from the side and the hole's coefficient are assumed by the program, not given:
# it has to say them, and that is what they are.
CYLINDER = ([1, 2, 5, 10, 40], [0.63, 0.68, 0.74, 0.82, 0.98])
# Where the pump's switch clicks, by its five readings and the step of this set.
CLICK = tolerance.crept_up_to([0.36, 0.38, 0.35, 0.37, 0.36], 0.01)
HOLE = {"nominal": 0.75, "worst": 0.6, "quick": 0.95}
COASTING = {"nominal": 0.2, "worst": 0.1, "quick": 0.3}
# Volts of a cell of nickel metal hydride: nominal and full.
NIMH = {"nominal": 1.2, "full": 1.4}


def figures(text):
    """The number and the tolerance of `15 g ± 10 g`, both as written."""
    parts = [float(part.split()[0]) for part in str(text).split("±")]
    return parts[0], parts[1] if len(parts) > 1 else 0.0


def at_end(text, end, sign):
    value, off = figures(text)
    return value + {"nominal": 0, "worst": sign, "quick": -sign}[end] * off


def added_mass(ratio):
    """Of a spheroid broadside: Lamb, Hydrodynamics, article 373."""
    e = math.sqrt(1 - ratio**-2)
    beta = 1 / e**2 - (1 - e**2) / (2 * e**3) * math.log((1 + e) / (1 - e))
    return beta / (2 - beta)


def added_along(ratio):
    """The same lengthwise, article 114."""
    e = math.sqrt(1 - ratio**-2)
    alpha = 2 * (1 - e**2) / e**3 * (0.5 * math.log((1 + e) / (1 - e)) - e)
    return alpha / (2 - alpha)


def orifice(area, gamma, molar, p1, t1, p2):
    """Isentropic flow of an ideal gas."""
    if p2 >= p1:
        return 0.0
    r = max(p2 / p1, (2 / (gamma + 1)) ** (gamma / (gamma - 1)))
    psi = 2 * gamma / (gamma - 1) * (r ** (2 / gamma) - r ** ((gamma + 1) / gamma))
    return area * p1 * math.sqrt(molar / (R * t1)) * math.sqrt(psi)


class Fluid:
    """A fluid by CoolProp's tables of state, opened once; the last state on each of its curves is kept."""

    def __init__(self, name):
        self.of, self.at = CoolProp.AbstractState("HEOS", name), {}

    def saturated(self, quality, t):
        """Pressure, density, enthalpy and heat capacity of liquid (0) or vapour (1)."""
        if self.at.get(quality, (None,))[0] != t:
            self.of.update(CoolProp.QT_INPUTS, quality, t)
            self.at[quality] = t, (self.of.p(), self.of.rhomass(), self.of.hmass(), self.of.cpmass())
        return self.at[quality][1]

    def density(self, t, p):
        self.of.update(CoolProp.PT_INPUTS, p, t)
        return self.of.rhomass()


class Bottle:
    """Pressure, temperature and what a kilogram takes up, by what has been drawn; T is a state."""

    def __init__(self, spec, end, kelvin):
        self.area = HOLE[end] * math.pi / 4 * (figures(spec["hole"])[0] * 1e-3) ** 2
        self.kelvin, self.cools = kelvin, end == "worst"
        self.volume = figures(spec["bottle"])[0] * 1e-6
        gas = spec["gas"]
        self.air = gas == "air"
        if self.air:
            self.gamma, self.molar = 1.4, 0.02896546
            self.p0 = at_end(spec["pressure"], end, -1) * 1e5 + ATM
            self.mass = self.p0 * self.volume * self.molar / (R * kelvin)
            return
        self.mass = at_end(spec["charge"], end, -1) * 1e-3
        parts = {FLUIDS[gas]: 1.0} if isinstance(gas, str) else {
            FLUIDS[k]: figures(str(v).replace("%", ""))[0] / 100 for k, v in gas.items()}
        pure = {f: PropsSI("P", "T", kelvin, "Q", 1, f) for f in parts}
        if end == "worst":
            heaviest = min(pure, key=pure.get)
            parts = {heaviest: 1.0}
        moles = {f: share / PropsSI("M", f) for f, share in parts.items()}
        whole = sum(moles.values())
        self.partial = {f: moles[f] / whole * pure[f] for f in parts}
        self.fluid = next(iter(parts)) if len(parts) == 1 else None
        p = sum(self.partial.values())
        vapour = {f: q / p for f, q in self.partial.items()}
        self.molar = sum(y * PropsSI("M", f) for f, y in vapour.items())
        heat = {f: PropsSI("CP0MOLAR", "T", 293.15, "P", ATM / 10, f) / R for f in parts}
        cp = sum(y * heat[f] for f, y in vapour.items())
        self.gamma = cp / (cp - 1)
        # Of a mixed vapour the second virial coefficient of the equations of state tells how far it is from ideal.
        self.virial = 0.0
        if not self.fluid:
            state = CoolProp.AbstractState("HEOS", "&".join(vapour))
            state.set_mole_fractions(list(vapour.values()))
            state.specify_phase(CoolProp.iphase_gas)
            state.update(CoolProp.DmolarT_INPUTS, 1e-3, kelvin)
            self.virial = state.Bvirial() / (R * kelvin)
        dense = PropsSI("D", "T", kelvin, "Q", 1, self.fluid) if self.fluid else self.dense(p, kelvin)
        self.boils = self.mass - dense * self.volume
        if self.fluid:
            self.liquid = self.boils / (1 - dense / PropsSI("D", "T", kelvin, "Q", 0, self.fluid))
            self.state = Fluid(self.fluid)

    def dense(self, p, kelvin):
        return p * self.molar / (R * kelvin * (1 + self.virial * p))

    def pressure(self, drawn, t):
        if self.air:
            left = max(1 - drawn / self.mass, 1e-4)
            return self.p0 * left ** (1.4 if self.cools else 1.0)
        if self.cools:
            return self.state.saturated(1, t)[0] if drawn < self.liquid * 0.995 else 0.0
        return sum(self.partial.values()) * (1 if drawn < self.boils else (self.mass - drawn) / (self.mass - self.boils))

    def flow(self, drawn, t, water):
        """Mass in a second, volume in a second, warming in a second."""
        if self.air and self.cools:
            t = self.kelvin * max(1 - drawn / self.mass, 1e-4) ** 0.4
        p = self.pressure(drawn, t)
        mass = orifice(self.area, self.gamma, self.molar, p, t, water)
        if mass <= 0:
            return 0.0, 0.0, 0.0
        if self.air:
            return mass, mass * R * t / (self.molar * water), 0.0
        if not self.fluid:
            mass *= math.sqrt(self.dense(p, t) * R * t / (self.molar * p))
            return mass, mass / self.dense(water, t), 0.0
        # A real vapour is denser than an ideal gas, and as much more goes through as the root of that says.
        boils, vapour, enthalpy, _ = self.state.saturated(1, t)
        # CoolProp refuses a pressure so near to saturation that liquid or vapour is undecided.
        dense = lambda q, limit: vapour if q > limit * (1 - 1e-5) else self.state.density(t, q)
        mass *= math.sqrt(dense(p, boils) * R * t / (self.molar * p))
        cooling = 0.0
        if self.cools:
            _, _, below, heat = self.state.saturated(0, t)
            cooling = -mass * (enthalpy - below) / (heat * (self.liquid - drawn))
        return mass, mass / dense(water, p), cooling


def density(boat, celsius):
    if boat["boat"]["water"] == "sea":
        absolute = gsw.SA_from_SP(35.0, 0.0, 0.0, 0.0)
        return gsw.rho(absolute, gsw.CT_from_t(absolute, celsius, 0.0), 0.0)
    return PropsSI("D", "T", celsius + 273.15, "P", ATM, "Water")


# By how much a length grows by a kelvin; a hull of which nothing is said grows not at all or as ABS does.
GROWS = {"glass fibre": [25e-6], "acrylic": [70e-6], "aluminium": [23.5e-6], None: [0.0, 85e-6]}


def heavier(boat, celsius, end):
    """What the water of the day makes of her weight in that of the scales, in kilograms."""
    hull = boat["hull"]
    weighed = [figures(hull["weighed_at"])[0]] if "weighed_at" in hull else [figures(t)[0] for t in hull["water"]]
    if len(weighed) == 2:
        weighed = [*np.linspace(*weighed, 97)]
    if end == "nominal" and len(weighed) > 1:
        return 0.0
    there = density(boat, celsius)
    all_ = []
    for at in weighed:
        here = density(boat, at)
        for grows in GROWS[hull.get("material")]:
            if end == "nominal" and grows and "material" not in hull:
                continue
            heavy = at_end(hull["heavy"], end, 1) * 1e-3
            all_.append((figures(hull["weight"])[0] - heavy) * (1 - there / here * (1 + 3 * grows * (celsius - at))))
    return min(all_) if end == "quick" else max(all_)


def milli(text):
    """`30 mohm`, `200 mA` or `1.8 A` in ohms or amperes, greatest."""
    number, off = figures(text)
    return (number + off) * (1e-3 if text.split()[1].startswith("m") else 1.0)


def volts(boat, pump, end):
    """The part of the voltage of its curve that a pump runs on."""
    if end == "nominal":
        return 1.0
    alarm = boat["fail_safe"]["low_battery"]
    battery = boat["batteries"][alarm["battery"]]
    low, full = figures(alarm["below"])[0], NIMH["full"] * battery["cells"]
    found = figures(pump["measured_at"])[0] if "measured_at" in pump else full if end == "worst" else low
    if end == "quick":
        return max(full / found, 1.0)
    # What hangs on the battery together is less than the motor, so that it has to be the rest.
    all_draw = milli(pump["current"]) + milli(battery["draws"]) + milli(boat["devices"]["motor_esc"]["draws"])
    return (low - all_draw * milli(battery["resistance"])) / found


NO_TANK = {"volume": "0 mL", "emptied_by": {}}


def rehearsal(boat, end, drag, celsius, springs=False):
    """With pumped air that is squeezed and grows in the worst case, or none. Deepest, time to the surface, speed there and gas drawn by then."""
    hull, tank = boat["hull"], boat.get("tank", NO_TANK)
    rho = density(boat, celsius)
    length, beam = figures(hull["length"])[0] * 1e-3, figures(hull["beam"])[0] * 1e-3
    volume = at_end(tank["volume"], end, -1) * 1e-6
    heavy = at_end(hull["heavy"], end, 1) * 1e-3 + heavier(boat, celsius, end)
    # A boat with more in her tank has more way on.
    full = at_end(hull["weight"], end, 1) + rho * at_end(tank["volume"], end, 1) * 1e-6
    added = added_mass(length / beam) * (full - heavy)
    along = added_along(length / beam) * (full - heavy)
    q = rho * drag * np.interp(length / beam, *CYLINDER) * length * beam / 2
    depth = figures(boat["boat"]["depth_limit"])[0]
    dives = figures(hull["dives_at"])[0] if end == "worst" else 0.0

    # The servo: 45 deg at 100 %, so many seconds for 60 deg; flood leaves it at -82 %.
    unit, servo = boat["fail_safe"], boat["devices"]["tank_servo"]
    begins = figures(boat["receiver"]["after"])[0] + figures(unit["wait"])[0]
    ends = begins + figures(unit["stages"][0]["lasts"])[0]
    axis = figures(servo["speed"])[0] * figures(servo["turn"])[0] / 60
    start, there = (-0.82 if end == "worst" else 0.0), 1.04
    slack = 0.015 + 6 / 400
    way = {"pump": (*CLICK, 0.31, 0.02), "gas": (0.72, 0.04, 0.72, 0.04)}
    on = {}
    for work, (at, off, back, back_off) in way.items():
        if work not in servo["works"]:
            continue
        at += {"nominal": 0, "worst": off + slack, "quick": -off - slack}[end]
        back = {"nominal": back, "worst": at, "quick": back - back_off - slack}[end]
        on[work] = begins + (at - start) * axis, ends + (there - back) * axis

    # Of what is let go the least is the worst, and it goes when its place is surely reached.
    works = servo["works"]["gas"]
    weighs = at_end(works["weighs"], end, -1) * 1e-3 if works["kind"] == "drop weight" else 0.0
    emptied = tank["emptied_by"] or {}
    pump, gas = emptied.get("tank_servo.pump"), emptied.get("tank_servo.gas")
    if pump:
        bars, litres = zip(*[(figures(p)[0], figures(f)[0]) for p, f in pump["flow"]])
        sign = {"nominal": 0, "worst": -1, "quick": 1}[end]
        factor = 1 + sign * figures(pump["flow_off"])[0] / 100
        pressing = 1 + sign * figures(pump.get("pressure_off", pump["flow_off"]))[0] / 100
        # Flow goes as the voltage, pressure as its square.
        part = volts(boat, pump, end)
        factor, pressing = factor * part, pressing * part**2
        air = at_end(hull["air"], end, -1) * 1e-3 if "air" in hull else None
        pumping = on["pump"][0] + figures(pump["starts_in"])[0], on["pump"][1]
    bottle = Bottle(gas, end, celsius + 273.15) if gas else None
    drive = max(q * dives**2 - heavy * G, 0.0) if dives else 0.0
    # A second after the link is lost the controller hears nothing any more, and stops.
    stands = figures(boat["receiver"]["after"])[0]
    ahead = 3 * dives
    fades = 2 * (full + along) / (rho * COASTING[end] * math.pi / 4 * beam**2 * ahead) if dives else 1.0
    squeezes, grows = springs, springs or end == "quick"

    def slope(driven, pumps, blows, gone):
        def f(at, y):
            z, v, moved, filled, drawn, t, taken = y
            water = rho * G * max(z, 0.0)
            out = min(max(moved + filled, 0.0), volume)
            lift = rho * out * G - heavy * G + gone * G
            rate = 0.0
            if pumps:
                inside = ATM - taken / air if air else ATM
                against = water + ATM - inside
                thin = min((1 + against / ATM) / (1 + against / inside), 1.0)
                rate = np.interp(against / pressing / 1e5, bars, litres, right=0.0) * factor / 60e3 * thin
            mass, fills, warms = bottle.flow(drawn, t, water + ATM) if blows else (0.0, 0.0, 0.0)
            drains = rate * (ATM + water)
            squeezed = rho * G * v / (ATM + water)
            fills -= filled * squeezed
            if squeezes and v > 0 or grows and v < 0:
                rate -= moved * squeezed
            if moved + filled >= volume and rate + fills >= 0:
                rate, fills = 0.0, 0.0
            way = drive if driven else drive / (1 + max(at - stands, 0.0) / fades) ** 2
            force = way - lift - q * v * abs(v)
            return [v, force / (full - gone - rho * out + added), rate, fills, mass, warms, drains]
        return f

    surface = lambda t, y: y[0]
    surface.terminal, surface.direction = True, -1
    turns = lambda t, y: y[1]
    turns.direction = -1
    y, t, deepest = [depth, dives, 0.0, 0.0, 0.0, celsius + 273.15, 0.0], 0.0, depth
    bends = [stands] if dives else []
    bends += [b for b in (pumping if pump else ())] + [b for b in (on["gas"] if gas or weighs else ())] + [600.0]
    for stop in sorted(bends):
        middle = (t + stop) / 2
        f = slope(dives and middle < stands, pump and pumping[0] < middle < pumping[1],
                  gas and on["gas"][0] < middle < on["gas"][1], weighs * (on["gas"][0] < middle))
        found = solve_ivp(f, (t, stop), y, method="DOP853", rtol=1e-8, atol=1e-10, max_step=0.2,
                          events=[surface, turns])
        deepest = max([deepest, found.y[0].max(), *(e[0] for e in found.y_events[1])])
        if len(found.t_events[0]):
            up = found.y_events[0][0]
            return on, deepest, found.t_events[0][0], -up[1], up[4] * 1e3
        t, y = stop, found.y[:, -1]
    return on, deepest, None, None, None


GAS = "    tank_servo.gas: {gas: isobutane, bottle: 50 mL, charge: 12 g ± 1 g, hole: 0.5 mm}\n"
AIR = "    tank_servo.gas: {gas: air, bottle: 150 mL, pressure: 6 bar ± 0.5 bar, hole: 0.8 mm}\n"
DEEP = ("depth_limit: 2 m", "depth_limit: 4.5 m")
ROOMY = ("air: 5 L ± 0.5 L", "air: 20 L ± 1 L")
PUMP = next(line for line in TEXT.splitlines(True) if line.startswith("    tank_servo.pump:"))
VALVE = "gas:  {kind: emergency gas valve, from: +72 % ± 4 %, releases"
WEIGHT = (VALVE, "gas:  {kind: drop weight, from: +72 % ± 4 %, weighs: 300 g ± 10 g, releases")
TANK = TEXT[TEXT.index("\ntank:\n") + 1:TEXT.index("\nfittings:") + 1]
LEFT = TEXT[TEXT.index("      vent: {kind"):TEXT.index("      gas:  {kind")]
WITHOUT_A_TANK = [(TANK, ""), (LEFT, ""), ("    wants: {flood: vent, blow: pump}\n", ""), ("[pump, gas]", "[gas]"), WEIGHT]
VARIANTS = {
    "as she is": [],
    "pump alone": [(GAS, ""), ROOMY, ("depth_limit: 2 m", "depth_limit: 1.5 m")],
    "pump alone, with a battery run down and little air too weak for where she gets to": [(GAS, "")],
    "pump alone, light": [(GAS, ""), ("heavy: 15 g ± 10 g", "heavy: -20 g ± 10 g")],
    "air": [(GAS, AIR)],
    "air from a deep place, where the pump stalls": [(GAS, AIR.replace("150 mL", "600 mL")), DEEP],
    "isobutane from a deep place": [DEEP],
    "R134a": [("isobutane", "R134a"), ("charge: 12 g", "charge: 30 g")],
    # Of 12 g so much would boil off that the rest is colder than our formulas reach, and ours gives nothing then.
    "propane, diving fast": [("isobutane", "propane"), ("12 g ± 1 g", "18 g ± 1 g"), ("dives_at: 0.05", "dives_at: 0.2")],
    "butane in warm sea water": [("isobutane", "butane"), ("water: fresh", "water: sea"), ("4 degC", "14 degC")],
    "a tired battery": [("below: 6.6 V", "below: 6.1 V"), ("30 mohm", "150 mohm ± 50 mohm"), (GAS, ""), ROOMY, ("depth_limit: 2 m", "depth_limit: 0.8 m")],
    "a curve of which nobody says at how many volts": [(", measured_at: 7.2 V", "")],
    "a weight alone": [(GAS, ""), (PUMP, ""), ("  emptied_by:\n", "  emptied_by: {}\n"), WEIGHT],
    "a weight alone, from a dive": [(GAS, ""), (PUMP, ""), ("  emptied_by:\n", "  emptied_by: {}\n"), WEIGHT, ("dives_at: 0.05", "dives_at: 0.2"), ("300 g ± 10 g", "90 g ± 5 g")],
    "a weight and no tank": WITHOUT_A_TANK,
    "a weight and no tank, from a dive": [*WITHOUT_A_TANK, ("dives_at: 0.05", "dives_at: 0.2"), ("300 g ± 10 g", "90 g ± 5 g")],
    "a weight and a pump": [(GAS, ""), ROOMY, WEIGHT],
    "a mixture": [("gas: isobutane", "gas: {butane: 70 %, propane: 30 %}"), ("4 degC", "12 degC")],
    "a short blow of little gas": [("lasts: 14 s", "lasts: 4 s"), ("12 g ± 1 g", "2 g ± 0.5 g")],
    "a slow servo and a long wait": [("speed: 0.2 s", "speed: 1.4 s"), ("wait: 3 s", "wait: 6 s")],
    "a heavy boat with a small tank": [("heavy: 15 g", "heavy: 60 g"), ("600 mL ± 20", "350 mL ± 20")],
    "a short fat hull": [("length: 900 mm", "length: 420 mm"), ("beam: 110 mm", "beam: 160 mm")],
}

cases = Cases()


def near(name, ours, theirs, share):
    if ours is None or theirs is None:
        cases.holds(name, ours is None and theirs is None, f"{ours} against {theirs}")
        return
    # Four figures are printed.
    cases.holds(name, math.isclose(ours, theirs, rel_tol=share + 6e-4), f"{ours} against {theirs}")


with tempfile.TemporaryDirectory() as folder:
    for name, changes in some(list(VARIANTS.items()), 4, 2):
        text = TEXT
        for old, new in changes:
            cases.holds(f"{name}: `{old.strip()}` is in the file", old in text)
            text = text.replace(old, new)
        file = Path(folder) / "boat.yaml"
        file.write_text(text, encoding="utf-8")
        status, out, err = lidcard("rehearse", file, "--format", "json")
        if not cases.holds(f"{name}: rehearsed", status == int("too weak" in name), err):
            continue
        found = json.loads(out)
        boat = yamlfile.values(text)
        emptied, lets_go = boat.get("tank", NO_TANK)["emptied_by"] or {}, WEIGHT in changes
        gas = "tank_servo.gas" in emptied
        keys = [m["key"] for m in found["missing"]]
        wanted = [] if gas or lets_go else ["tank.emptied_by.tank_servo.gas"]
        wanted += [] if "tank_servo.pump" in emptied or "tank" not in boat else ["tank.emptied_by.tank_servo.pump"]
        cases.holds(f"{name}: what is missing is told", keys == wanted and not found["refused"], str(keys))
        ours = {end: found["runs"][end] for end in ("nominal", "worst", "quick")}
        cold, warm = (figures(t)[0] for t in boat["hull"]["water"])
        warmths = [max((cold, warm), key=lambda t: heavier(boat, t, "worst"))]
        if gas and warmths[0] != cold:
            warmths.append(cold)
        theirs = {
            "nominal": [rehearsal(boat, "nominal", 1.0, (cold + warm) / 2)],
            "worst": [rehearsal(boat, "worst", drag, t, springs)
                      for drag in (2 / 3, 4 / 3) for t in warmths for springs in (True, False)],
            "quick": [rehearsal(boat, "quick", 2 / 3, warm)],
        }
        deepest = max(run[1] for run in theirs["nominal"] + theirs["worst"])
        ups = all(run[2] is not None for run in theirs["worst"])
        told = found["deepest"] and found["deepest"]["depth_m"]
        near(f"{name}: the deepest of all", told, deepest if ups else None, 0.01)
        for end, runs in theirs.items():
            run = max(runs, key=lambda r: math.inf if r[2] is None else r[2])
            on, deepest, time, speed, grams = run
            told = {e["work"]: e for e in ours[end]["events"] if e["what"] == "on"}
            for work, (begins, ends) in on.items():
                event = told[f"tank_servo.{work}"]
                near(f"{name}, {end}: {work} on", event["at_s"], begins, 0.0)
                near(f"{name}, {end}: {work} off", event["until_s"], ends, 0.0)
            up = ours[end]["surfaced"]
            share = 0.02 if gas else 0.001
            if time is not None:
                near(f"{name}, {end}: deepest", ours[end]["deepest"]["depth_m"], deepest, share / 2)
            near(f"{name}, {end}: at the surface", up and up["at_s"], time, share)
            near(f"{name}, {end}: speed there", up and -up["sinking_m_per_s"], speed, share)
            if gas:
                near(f"{name}, {end}: gas", up and up["gas_g"], grams, 0.02)

cases.end()
