"""Seeded random boat files for the checks from outside.

Every boat is invented. They have four to eight channels, mixes of mixes, sticks that enter a channel
twice (mixed into their own channel, directly or through another), rates by way and by switch in
either nesting, expo in some, order lines left open in some, trims, sub-trims, works with tolerances
on a half-percent grid (so that thresholds are often touched exactly), stops and a fail-safe unit in
some. Meaning and names come from the boat file's description of this project.

    python generate.py SEED        prints one boat file
"""
import random
import sys

from boatfile import axis, complete, flow
from plain import LINES

NAMES = ["Dabchick", "Quillwort", "Lanternfly", "Pearlspot", "Greywether", "Saltmarsh", "Otterbeck",
         "Candlefish", "Willowherb", "Fenrunner", "Coldharbour", "Tarnhound"]


def num(x2):
    """x2 half percents as text."""
    s = f"{x2 / 2:.1f}"
    return s[:-2] if s.endswith(".0") else s


def pc(x2, sign=False):
    return ("+" if sign and x2 > 0 else "") + num(x2) + " %"


def boat(seed, piecewise=False, plain_windows=False):
    """Text of one boat. `piecewise`: no expo. `plain_windows`: also no stick entering twice."""
    r = random.Random(seed)
    yes = lambda chance: r.random() < chance
    out = []
    put = out.append
    n_extra = r.randint(0, 4)
    unit = yes(0.55)
    big = r.choice([400, 400, 500, 320])
    rest = r.choice([1500, 1500, 1520])
    pulse_acc = r.choice([1, 2, 2, 4])          # us
    furthest = r.choice([125, 125, 140, 150, 110])
    step = r.choice(["1 %", "1 %", "0.5 %"])
    put("lidcard: 1")
    put(f"boat: {{name: {r.choice(NAMES)}, kind: submarine, water: {r.choice(['fresh', 'sea'])}}}")
    put("transmitter:")
    put("  name: bench set")
    put("  channels: 8")
    put(f"  pulse: {{rest: {rest} us, full: [{rest - big} us, {rest + big} us], accuracy: {pulse_acc} us}}")
    put(f"  furthest: {furthest} %")
    put(f"  step: {step}")
    shut = r.choice([0.5, 0.8, 1.0])
    lines = [(k, r.choice(v)) for k, v in LINES.items() if yes(shut)]
    if lines:
        put("  order:")
        for k, v in lines:
            put(f"    {k}: {v}")
    said = axis(f"general {seed}", rest, big, big)
    if said:
        put(f"axis: {flow(said)}")
    # controls
    two = yes(0.5)                # two switches or one
    switches = {"agility": ["gentle", "full"]}
    if two:
        switches["guard"] = r.choice([["safe", "armed"], ["low", "middle", "high"]])
    trim = lambda: f", trim: {r.choice([5, 10, 15, 20, 25])} %" if yes(0.6) else ""
    put("controls:")
    sense = yes(0.8)
    W = lambda a: f", wants: {a}" if sense else ""
    put(f"  helm: {{at: right stick, ways: {{left: port, right: starboard}}{trim()}{W('{port: turns left, starboard: turns right}')}}}")
    put(f"  dive: {{at: right stick, ways: {{towards: rise, away: dive}}{trim()}{W('{rise: bow rises, dive: bow dips}')}}}")
    put(f"  speed: {{at: left stick, ways: {{towards: astern, away: ahead}}, rests: where left{trim()}{W('{astern: drives astern, ahead: drives ahead}')}}}")
    put(f"  tank: {{at: rear left, kind: {r.choice(['buttons', 'buttons', 'slider'])}, ways: {{lower: flood, upper: blow}}}}")
    ways = {"helm": ("port", "starboard"), "dive": ("rise", "dive"), "speed": ("astern", "ahead"),
            "tank": ("flood", "blow")}
    chans = ["helm", "dive", "speed", "tank"]
    extras = [("level", "  level: {at: rear right, kind: buttons, ways: {lower: down, upper: up}}", ("down", "up")),
              ("lamp", "  lamp: {at: top right, kind: slider, ways: {left: dim, right: bright}}", ("dim", "bright")),
              ("mast", "  mast: {at: top middle, kind: knob, ways: {left: in, right: out}}", ("in", "out"))]
    r.shuffle(extras)
    for name, text, w in extras[:min(n_extra, 3)]:
        put(text)
        ways[name] = w
        chans.append(name)
    if n_extra == 4:
        chans.append("helm")      # one stick drives two channels
    for i, (s, names) in enumerate(switches.items()):
        # Drawn apart: all else stays as it was before switches had a home.
        apart = random.Random(f"home {seed} {s}")
        home = f", home: {apart.choice(names)}" if apart.random() < 0.25 else ""
        put(f"  {s}: {{at: {['top left', 'front left'][i]}, kind: switch, settings: [{', '.join(names)}]{home}}}")

    def switched(make, chance):
        if yes(chance):
            s = r.choice(list(switches))
            return f"{{{s}: {{{', '.join(f'{k}: {make()}' for k in switches[s])}}}}}"
        return make()

    def rate(control):
        percent = lambda: pc(2 * r.choice([50, 60, 75, 80, 90, 100, 100, 110, 120, 150]))
        # On a lopsided scale microseconds are another share either way.
        one = lambda: f"{r.choice([160, 240, 320])} us" if r.random() < 0.15 else percent()
        a, b = ways[control]
        pair = lambda f: f"{{{a}: {f()}, {b}: {f()}}}"
        kind = r.randint(0, 4)
        if kind == 0:
            return one()
        if kind == 1:
            return pair(one)
        if kind == 2:
            return switched(one, 1)
        if kind == 3:
            return switched(lambda: pair(one), 1)
        return pair(lambda: switched(one, 1))
    numbers = list(range(1, len(chans) + 1))
    rank = numbers[:]
    r.shuffle(rank)               # a channel may take in only channels of lower rank
    tank = chans.index("tank") + 1
    motor = chans.index("speed") + 1
    ends = {}
    longer = {}
    measured_ok = yes(0.15)
    put("channels:")
    for n, control in zip(numbers, chans):
        a, b = ways[control]
        put(f"  {n}:")
        put(f"    name: line {n}")
        put(f"    control: {control}")
        if control == "tank":
            longer[n] = b if yes(0.8) else a
        else:
            longer[n] = r.choice([a, b])
        if yes(0.85):
            put(f"    longer: {longer[n]}")
        elif longer[n] == a:
            put("    reverse: yes")
        if yes(0.5) and not (control == "tank" and yes(0.9 if plain_windows else 0.5)):
            put(f"    rate: {rate(control)}")
        if not piecewise and yes(0.25):
            put(f"    expo: {r.choice([10, 20, 30, 50, 100])} %")
        top = min(2 * furthest, 250)
        ends[n] = (r.randint(80, top), r.randint(80, top))
        if yes(0.5):
            ends[n] = tuple(2 * (e // 2) for e in ends[n])
        put(f"    endpoints: {{{a}: {pc(ends[n][0])}, {b}: {pc(ends[n][1])}}}")
        if yes(0.35):
            put(f"    sub_trim: {pc(r.randint(-16, 16))}")
        mixes = []
        if yes(0.6 if control != "tank" else 0.1 if plain_windows else 0.3):
            for _ in range(r.randint(1, 3)):
                add = pc(r.choice([-1, 1]) * r.randint(4, 90))
                if control == "tank":
                    add = pc(r.choice([-1, 1]) * r.randint(2, 30))
                lower = [m for m in numbers if rank[m - 1] < rank[n - 1]]
                when = ""
                if yes(0.3):
                    s = r.choice(list(switches))
                    when = f", when: {{{s}: {r.choice(switches[s])}}}"
                if lower and yes(0.45) and not plain_windows:
                    mixes.append(f"{{add: {add}, of: channel {r.choice(lower)}{when}}}")
                elif yes(0.3) and not plain_windows:
                    mixes.append(f"{{add: {add}, of: {control}{when}}}")
                else:
                    o = r.choice([c for c in ways if c != control])
                    wt = ", with_trim: yes" if yes(0.3) else ""
                    mixes.append(f"{{add: {add}, of: {o}{wt}{when}}}")
        if mixes:
            put("    mixes:")
            for m in mixes:
                put(f"      - {m}")
        if control == "tank":
            put("    wants: {flood: vent, blow: pump}" if yes(0.8) else "    wants: {blow: [pump]}")
            if measured_ok and not mixes:
                up = longer[n] == b
                d = ends[n][1] * big // 200 + r.randint(-9, 9)
                put(f"    measured: {{blow: {rest + d if up else rest - d} us}}")
    # the unit
    preset = {}
    if unit:
        if yes(0.75):
            notices, loss = "no pulses", "no pulses" if yes(0.85) else "hold"
        else:
            watch = len(chans) if chans[-1] not in ("tank", "speed") else 1
            notices = f"{{channel: {watch}, beyond: +{r.choice([80, 90, 100])} %}}"
            preset = {watch: r.randint(150, 220)}
            loss = None
    else:
        loss = r.choice(["no pulses", "hold", "noise", None])
        if loss is None:
            preset = {motor: r.choice([0, 0, 6]), tank: r.randint(-200, 220)}
    if loss is None:
        loss = "{" + ", ".join(f"{c}: {pc(v, True)}" for c, v in preset.items()) + ", others: hold}"
    put("receiver:")
    put(f"  on_loss: {loss}")
    put("  after: 1 s")
    # works: placed about the endpoints, often touching
    side_blow = 1 if longer[tank] == "blow" else -1
    acc2 = r.choice([1, 2, 3, 4])                       # servo accuracy in half percents
    pul2 = pulse_acc * 200 / big
    D2 = acc2 + (int(pul2) if pul2 == int(pul2) else 1)
    e_blow, e_flood = ends[tank][1], ends[tank][0]

    def q(x2, side):
        return pc(int(side * x2), True)
    pt = r.randint(0, 6)
    pump = e_blow - D2 - pt - r.choice([0, 0, r.randint(1, 50)])
    vt = r.randint(0, 8)
    vent = e_flood - D2 - vt - r.choice([0, r.randint(1, 50)])
    gt = r.randint(0, 8)
    gas = max(e_blow + D2 + gt + r.choice([0, 0, 1, r.randint(-20, 60)]), pump + 10)
    pump, vent = max(pump, 20), max(vent, 20)
    works = []
    if yes(0.9):
        full = f", full: {q(vent + r.randint(0, 30), -side_blow)} ± {num(r.randint(0, 6))} %" if yes(0.5) else ""
        works.append(f"vent: {{kind: vent valve, from: {q(vent, -side_blow)} ± {num(vt)} %{full}}}")
    else:
        works.append(f"vent: {{kind: vent valve, from: {q(vent, -side_blow)}}}")
    if yes(0.25):
        centre = 2 * (pump // 2)
        cl = [centre + k for k in (0, 1, -1, 1, -2, 2, 0, -1, 0, 1)[:r.choice([5, 5, 6, 10])]]
        works.append(f"pump: {{kind: pump switch, clicks: [{', '.join(q(c, side_blow) for c in cl)}]}}")
    else:
        rel = f", releases: {q(max(pump - r.randint(6, 20), 4), side_blow)} ± {num(r.randint(0, 3))} %" if yes(0.5) else ""
        works.append(f"pump: {{kind: pump switch, from: {q(pump, side_blow)} ± {num(pt)} %{rel}}}")
    if yes(0.75):
        works.append(f"gas: {{kind: emergency gas valve, from: {q(gas, side_blow)} ± {num(gt)} %}}")
    if yes(0.15):
        works.append(f"flap: {{kind: flood valve, from: {q(pump + r.randint(0, 30), side_blow)} ± 1 %}}")
    gas_there = any(w.startswith("gas") for w in works)
    if unit:
        put("fail_safe:")
        us = [tank] + ([motor] if yes(0.7) else [])
        put(f"  channels: [{', '.join(map(str, us))}]")
        put(f"  notices: {notices}")
        ua = r.choice([2, 4, 8])
        put(f"  accuracy: {ua} us")
        put("  wait: 4 s")
        put("  stages:")
        tgt = (gas + gt if gas_there else pump + pt) + acc2 + int(-(-ua * 200 // big)) + r.choice([0, 0, 1, 10, -2])
        named = ["pump"] + (["gas"] if gas_there else [])
        if yes(0.15):
            named = named[-1:]
        m = f", {motor}: {pc(r.choice([0, 0, 0, 4, 20]), True)}" if len(us) == 2 and yes(0.9) else ""
        put(f"    - {{name: blow, lasts: 14 s, set: {{{tank}: {q(tgt, side_blow)}{m}}}, works: [{', '.join(named)}]}}")
        m = f", {motor}: {pc(r.choice([0, 0, 0, 8]), True)}" if len(us) == 2 and yes(0.5) else ""
        t0 = q(r.choice([0, 0, 0, 10, pump - D2 - pt]), side_blow) if yes(0.9) else None
        put(f"    - {{name: rest, set: {{{tank}: {t0 or '0 %'}{m}}}}}")
    put("devices:")
    effects = {"helm": ("turns left", "turns right"), "dive": ("bow rises", "bow dips"), "speed": ("drives astern", "drives ahead")}

    def eff(n, control):
        a, b = effects[control]
        if yes(0.1):
            a, b = b, a
        up = longer[n] == ways[control][1]
        return f"effects: {{longer: {b if up else a}, shorter: {a if up else b}}}"

    def stops(n):
        e = max(ends[n])
        lo, hi = e + r.choice([r.randint(2, 40), D2, 10]), e + r.choice([r.randint(2, 40), D2, 10])
        return f"[{pc(-lo)}, {pc(hi, True)}]"
    seen = set()
    for n, control in zip(numbers, chans):
        if control == "speed":
            put("  motor_esc:")
            put("    kind: speed controller")
            put(f"    channel: {n}")
            put(f"    still_between: [-{num(r.choice([6, 8, 10, 16]))} %, +{num(r.choice([6, 8, 10, 16]))} %]")
            if yes(0.6):
                put(f"    without_pulses: {r.choice(['stops', 'stops', 'stays'])}")
            put(f"    {eff(n, control)}")
        elif control == "tank":
            put("  tank_servo:")
            put("    kind: servo")
            put(f"    channel: {n}")
            put(f"    accuracy: {num(acc2)} %")
            if yes(0.8):
                put(f"    stops: {stops(n)}")
            put("    works:")
            for w in works:
                put(f"      {w}")
        elif control in effects:
            name = f"{control}_servo" if control not in seen else f"{control}_servo_two"
            put(f"  {name}:")
            put("    kind: servo")
            put(f"    channel: {n}")
            put(f"    accuracy: {num(r.choice([0, 2, 3, 4]))} %")
            if yes(0.7):
                put(f"    stops: {stops(n)}")
            put(f"    {eff(n, control)}")
        else:
            put(f"  {control}_servo: {{kind: servo, channel: {n}, accuracy: 1 %, stops: {stops(n)}}}")
        seen.add(control)
    for s in switches:             # a switch that ended up in no rate and no `when` is left out
        if sum(f"{s}: " in line for line in out) == 1:
            out = [line for line in out if not line.startswith(f"  {s}: ")]
    return complete("\n".join(out) + "\n")


if __name__ == "__main__":
    print(boat(int(sys.argv[1]) if len(sys.argv) > 1 else 1), end="")
