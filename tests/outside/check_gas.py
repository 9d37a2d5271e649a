"""Holds the program's estimates of water, gas and pumps against other libraries at many points.

The program prints them with the example `gas-table`, one `quantity,arguments,value` a row. Outside
authorities (versions in requirements.txt): CoolProp for the equations of state, iapws and gsw (TEOS-10)
for water, scipy for the differential equations. Each tolerance says why it is what it is, and
LIDCARD_GAS_WORST=1 how much of it was used.
"""
import collections
import math
import os

import CoolProp.CoolProp as CP
import gsw
from iapws import IAPWS95
from scipy.integrate import quad, solve_ivp

import harness

ICE, R, ATM, G = 273.15, 8.31446261815324, 101325.0, 9.80665
AIR_MASS = 0.02896546
FLUIDS = {
    "propane": "n-Propane", "n-butane": "n-Butane", "isobutane": "IsoButane", "R134a": "R134a",
    "dimethyl ether": "DimethylEther", "R152a": "R152A", "R1234ze(E)": "R1234ze(E)",
    "carbon dioxide": "CarbonDioxide",
}
HYDROCARBONS = ("propane", "n-butane", "isobutane")


def rows():
    """Every row that the program prints: quantity, fluid if any, arguments, value."""
    for line in harness.table("gas-table").splitlines():
        quantity, *numbers = line.split(",")
        for fluid in FLUIDS:
            if quantity.endswith(" " + fluid):
                yield quantity[: -len(fluid) - 1], fluid, *split(numbers)
                break
        else:
            yield quantity, None, *split(numbers)


def split(numbers):
    values = [float(n) for n in numbers]
    return values[:-1], values[-1]


def saturated(what, t, fluid, quality=0):
    return CP.PropsSI(what, "T", t + ICE, "Q", quality, FLUIDS[fluid])


def water_density(_, args):
    t, s = args
    # Tanaka and UNESCO agree with TEOS-10 to 0.02 kg/m3. TEOS-10 wants absolute salinity; its reference
    # composition is 35.16504/35 of the practical one.
    if s == 0:
        return IAPWS95(T=max(t + ICE, 273.16), P=0.101325).rho, 3e-6
    return float(gsw.rho_t_exact(s * 35.16504 / 35, t, 0.0)), 2e-5


def practical_salinity(_, args):
    # Both are the scale of 1978; the correction below 2 fades with us and ends at 2 in the library, bent by up to 0.002.
    want = float(gsw.SP_from_C(args[0] / 1000, args[1], 0.0))
    return want, 2e-4 if want > 2 else 0.002 / want


def viscosity(_, args):
    # The 0.1 MPa equation is IAPWS's own shortening of the full one, made to 0.1 % of it; from 0.01 °C,
    # where the library begins.
    t = max(args[0] + ICE, 273.16)
    return IAPWS95(T=t, P=0.1).mu, 1e-3


def pressure(_, args):
    t, s, d = args
    # TEOS-10 with the compression that we leave out and the gravity of 45 degrees, 9.8062, in place of the
    # standard one: 5e-5 of the water's part each.
    density = gsw.rho_t_exact(s * 35.16504 / 35, t, d / 2)
    return ATM + float(density) * float(gsw.grav(45, 0)) * d, 6e-5


def vapour_pressure(fluid, args):
    # The printed ancillary equations are made to 0.1 % of their equation of state.
    return saturated("P", args[0], fluid), 1e-3


def liquid_density(fluid, args):
    return saturated("D", args[0], fluid), 5e-4


def heat_of_evaporation(fluid, args):
    return saturated("H", args[0], fluid, 1) - saturated("H", args[0], fluid), 5e-3


def heat_capacity(fluid, args):
    return saturated("C", args[0], fluid), 3e-3


def gas_density(fluid, args):
    # A second virial coefficient from three constants; for polar molecules it is known to be worse.
    t, p = args
    return CP.PropsSI("D", "T", t + ICE, "P", p, FLUIDS[fluid]), 0.01 if fluid in HYDROCARBONS else 0.025


def condensing_depth(fluid, args):
    # 0.1 % of the vapour pressure, taken on the depth: near the surface the difference of two pressures.
    p = saturated("P", args[0], fluid)
    depth = (p - ATM) / (1000 * G)
    return depth, 1e-3 * p / (p - ATM)


def ratio(fluid, _):
    cp = CP.PropsSI("CP0MOLAR", "T", 293.15, "P", 1000, FLUIDS[fluid])
    k = cp / (cp - R)
    return (2 / (k + 1)) ** (k / (k - 1)), 1e-4


def greatest_fill(fluid, _):
    densest = min(0.95 * saturated("D", 50, fluid), saturated("D", 60, fluid))
    return densest / 1000, 5e-4


def full_of_liquid(fluid, args):
    # Where the liquid has the mean density: 5e-4 of the density is 0.2 K at its slope of 0.25 % a kelvin.
    return CP.PropsSI("T", "D", args[0] * 1000, "Q", 0, FLUIDS[fluid]) - ICE, 0.2 / 60


def mixture(args, quality):
    propane, isobutane, t = args
    mass = {"n-Propane": propane, "IsoButane": isobutane, "n-Butane": 1 - propane - isobutane}
    moles = {f: m / CP.PropsSI("M", f) for f, m in mass.items() if m > 1e-9}
    total = sum(moles.values())
    state = CP.AbstractState("HEOS", "&".join(moles))
    state.set_mole_fractions([n / total for n in moles.values()])
    state.update(CP.QT_INPUTS, quality, t + ICE)
    # The departure from Raoult's law that mixture.rs states; the vapour of propane is far from ideal.
    return state.p(), 0.05


def bubble(_, args):
    return mixture(args, 0)


def dew(_, args):
    return mixture(args, 1)


def valve_flow(c, b, p1, t1, p2):
    r = p2 / p1
    shape = 1 if r <= b else math.sqrt(max(0.0, 1 - ((r - b) / (1 - b)) ** 2))
    return c * 1e-8 * 1.185 * p1 * math.sqrt(293.15 / t1) * shape


def blow(args, adiabatic):
    """The blow as a differential equation of bottle (mass, energy) and tank in time, until it is empty."""
    c, b, water, p0, ballast = args
    volume, t0, k, rs = 2e-4, 283.15, 1.4, R / AIR_MASS
    cv, cp = rs / (k - 1), k * rs / (k - 1)

    def change(_, y):
        m, u, _ = y
        t1 = u / (m * cv) if adiabatic else t0
        q = valve_flow(c, b, m * rs * t1 / volume, t1, water)
        # First law: the enthalpy that leaves; and of the tank, p dV = (k-1)/k h dm.
        return [-q, -q * cp * t1, q * rs * t1 / water]

    done = lambda _, y: y[2] - ballast
    done.terminal = True
    m0 = p0 * volume / (rs * t0)
    run = solve_ivp(change, (0, 1e5), [m0, m0 * cv * t0, 0], rtol=1e-10, atol=1e-14, events=done)
    # Both are numerical solutions of the same law; what is left is our fixed steps over the kink at b.
    return float(run.t_events[0][0]), 1e-4


def isothermal(_, args):
    return blow(args, False)


def adiabatic(_, args):
    return blow(args, True)


def hole(_, args):
    # Isentropic flow from the velocity and the density in the throat, found by going down in pressure
    # until the mass flux is greatest: no formula of the critical ratio is used.
    mm, r = args
    k, t, p1, rs = 1.4, 283.15, 5e5, R / AIR_MASS

    def flux(x):
        speed = math.sqrt(2 * k / (k - 1) * rs * t * (1 - x ** ((k - 1) / k)))
        return p1 / (rs * t) * x ** (1 / k) * speed

    best = max(flux(r + (1 - r) * i / 20000) for i in range(20000))
    return 0.8 * math.pi / 4 * (mm * 1e-3) ** 2 * best, 1e-6


def cooling(fluid, args):
    """Evaporating from the liquid alone, with the heats of the equation of state: dT/dm = h / (c m)."""
    t, grams = args
    rho_l, rho_v = saturated("D", t, fluid), saturated("D", t, fluid, 1)
    m0 = (0.03 - rho_v * 1e-4) / (1 - rho_v / rho_l)

    def slope(x, y):
        h = saturated("H", y[0] - ICE, fluid, 1) - saturated("H", y[0] - ICE, fluid)
        return [-h / (saturated("C", y[0] - ICE, fluid) * (m0 - x))]

    run = solve_ivp(slope, (0, grams * 1e-3), [t + ICE], rtol=1e-8)
    # The two fits of the heats, 0.5 % and 0.3 %, and the mass of the vapour, 2.5 % of a few per cent.
    return t + ICE - float(run.y[0][-1]), 0.01


def pump(_, args):
    air, outside, exponent = args

    def flow(p):
        return 6e-5 - 1e-5 * p / 3e4 if p <= 3e4 else max(0.0, 5e-5 * (8e4 - p) / 5e4)

    def per_flow(v):
        q = flow(outside + ATM - ATM * (air * 1e-3 / (air * 1e-3 + v)) ** exponent)
        return 1 / q if q else math.inf

    if per_flow(4e-4) == math.inf:
        return math.inf, 0
    # The curve has a kink where our fixed steps do not look.
    return quad(per_flow, 0, 4e-4, limit=500, epsrel=1e-9)[0], 1e-4


CHECKS = {
    "water density": water_density, "practical salinity": practical_salinity, "water viscosity": viscosity, "pressure": pressure,
    "vapour pressure": vapour_pressure, "liquid density": liquid_density,
    "heat of evaporation": heat_of_evaporation, "heat capacity": heat_capacity,
    "gas density": gas_density, "condensing depth": condensing_depth, "critical ratio": ratio,
    "greatest fill": greatest_fill, "full of liquid": full_of_liquid, "bubble pressure": bubble,
    "dew pressure": dew, "isothermal blow": isothermal, "adiabatic blow": adiabatic, "hole": hole,
    "cooling": cooling, "pump": pump,
}


def main():
    cases = harness.Cases()
    worst = collections.defaultdict(float)
    seen = set()
    for quantity, fluid, args, value in rows():
        want, share = CHECKS[quantity](fluid, args)
        seen.add(quantity)
        if math.isinf(want) or math.isinf(value):
            off, good = 0.0, want == value
        else:
            off = abs(value / want - 1)
            good = off <= share
        worst[quantity] = max(worst[quantity], off / share if share else 0)
        cases.holds(f"{quantity} {fluid or ''} {args}", good, f"{value} instead of {want}: {off:.2e} off")
    cases.holds("every quantity was printed", seen == set(CHECKS), f"missing: {set(CHECKS) - seen}")
    if os.environ.get("LIDCARD_GAS_WORST"):
        for quantity, share in sorted(worst.items()):
            print(f"{quantity}: {share:.0%} of the tolerance used")
    cases.end()


if __name__ == "__main__":
    main()
