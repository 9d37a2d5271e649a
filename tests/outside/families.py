"""Seeded random boats for what generate.py does not make: one family for each kind of trap.

    zones       works with `to:` on one servo, engaged, wanted, staged and let go
    mixed       a sense that is asked through an `add`, on a second servo of the same channel
    together    works on two servos that share sticks, by kind and by `never_with`
    leveller    effects, stops and works behind a leveller with `limits`
    uneven      rest not in the middle of the scale, accuracies in microseconds
    twice       the own stick entering its channel twice, for the endpoint windows

All boats are invented; the meaning of every key is that of the project's description of its format.

    python families.py NAME SEED        prints one boat file
"""
import random
import sys

from boatfile import axis, complete, flow
from generate import NAMES, num, pc
from plain import LINES

ALL = ("zones", "mixed", "together", "leveller", "uneven", "twice")


def head(r, put, named, uneven=False, shut=(0.5, 0.8, 1.0)):
    rest, up, down = r.choice([(1500, 400, 400), (1500, 500, 500), (1520, 400, 400)])
    if uneven:
        rest, up, down = r.choice([(1400, 500, 300), (1600, 300, 500), (1500, 320, 400), (1450, 400, 250)])
    acc = r.choice([0, 1, 2, 4, 5])
    put("lidcard: 1")
    put(f"boat: {{name: {r.choice(NAMES)}, kind: submarine, water: fresh}}")
    put("transmitter:")
    put("  channels: 8")
    put(f"  pulse: {{rest: {rest} us, full: [{rest - down} us, {rest + up} us], accuracy: {acc} us}}")
    put(f"  furthest: {r.choice([110, 125, 150])} %")
    put("  step: 1 %")
    share = r.choice(shut)
    lines = [(k, r.choice(v)) for k, v in LINES.items() if r.random() < share]
    if lines:
        put("  order:")
        for k, v in lines:
            put(f"    {k}: {v}")
    said = axis(f"family {named}", rest, up, down)
    if said:
        put(f"axis: {flow(said)}")
    return acc


def accuracy(r, micros):
    return f"{r.choice([2, 4, 5, 8, 10])} us" if micros else f"{num(r.choice([0, 1, 2, 3, 4]))} %"


def off(r, micros, most=6):
    return f"± {r.randint(0, 20)} us" if micros and r.random() < 0.5 else f"± {num(r.randint(0, most))} %"


def stretch_of(r, side, start, micros=False, ended=0.8):
    """`from`, and most times `to`, on one side of the axis."""
    width = r.choice([r.randint(10, 40), r.randint(20, 80)])
    text = f"from: {pc(side * start, True)} {off(r, micros)}"
    if r.random() < ended:
        text += f", to: {pc(side * (start + width), True)} {off(r, micros)}"
    return text, start + width


def boat(name, seed):
    """Text of one boat of a family."""
    r = random.Random(f"{name} {seed}")
    yes = lambda chance: r.random() < chance
    out = []
    put = out.append
    micros = name == "uneven"
    acc = head(r, put, f"{name} {seed}", micros)
    expo = name not in ("together", "twice") and yes(0.2)
    trim = lambda: f", trim: {r.choice([5, 10, 20])} %" if yes(0.5) else ""
    put("controls:")
    put(f"  helm: {{at: right stick, ways: {{left: port, right: starboard}}{trim()}, wants: {{port: turns left, starboard: turns right}}}}")
    put(f"  dive: {{at: right stick, ways: {{towards: rise, away: dive}}{trim()}, wants: {{rise: bow rises, dive: bow dips}}}}")
    put(f"  tank: {{at: left stick, kind: {r.choice(['stick', 'buttons', 'slider'])}, ways: {{towards: flood, away: blow}}{trim() if name != 'twice' else ''}}}")
    put(f"  air: {{at: rear right, kind: {r.choice(['buttons', 'slider'])}, ways: {{lower: shut, upper: open}}}}")
    put("  mode: {at: top left, kind: switch, settings: [calm, full]}")
    ways = {"helm": ("port", "starboard"), "dive": ("rise", "dive"), "tank": ("flood", "blow"), "air": ("shut", "open")}
    longer, ends = {}, {}
    put("channels:")

    def channel(n, control, mixes=(), wants="", rates=True, ends_of=None):
        a, b = ways[control]
        longer[n] = r.choice([a, b])
        ends[n] = ends_of or (2 * r.randint(20, 62), 2 * r.randint(20, 62))
        put(f"  {n}:")
        put(f"    control: {control}")
        put(f"    longer: {longer[n]}")
        if rates and yes(0.6):
            one = lambda: f"{r.choice([40, 50, 70, 80, 100, 120, 150])} %"
            put(f"    rate: {{{a}: {one()}, {b}: {one()}}}" if yes(0.5) else f"    rate: {{mode: {{calm: {one()}, full: {one()}}}}}")
        if expo and yes(0.5):
            put(f"    expo: {r.choice([20, 40])} %")
        put(f"    endpoints: {{{a}: {pc(ends[n][0])}, {b}: {pc(ends[n][1])}}}")
        if yes(0.3):
            put(f"    sub_trim: {pc(r.randint(-12, 12))}")
        if mixes:
            put("    mixes:")
            for m in mixes:
                put(f"      - {{{m}}}")
        if wants:
            put(f"    wants: {wants}")

    def mix(of, most=60):
        when = r.choice(["", "", ", when: {mode: full}"])
        with_trim = ", with_trim: yes" if yes(0.3) and not of.startswith("channel") and name != "twice" else ""
        return f"add: {pc(r.choice([-1, 1]) * r.randint(4, most))}, of: {of}{with_trim}{when}"

    def up(n, way):
        """+1 where that way of the channel's control lengthens the pulse."""
        return 1 if longer[n] == way else -1
    devices = []
    dev = devices.append
    tank_servo = [3]
    if name == "mixed":
        channel(1, "helm", [mix("dive", 180)] + ([mix("dive", 120)] if yes(0.3) else []))
        channel(2, "dive", [mix("helm", 180)] if yes(0.8) else [mix("channel 1")])
        for n, (own, other) in ((1, ("helm", "dive")), (2, ("dive", "helm"))):
            effect = {"helm": ("turns left", "turns right"), "dive": ("bow rises", "bow dips")}
            for who, c in (("own", own), ("other", other)):
                a, b = effect[c]
                if yes(0.3):
                    a, b = b, a
                dev(f"  servo_{n}_{who}: {{kind: servo, channel: {n}, effects: {{shorter: {a}, longer: {b}}}}}")
        channel(3, "tank", wants="{blow: pump}")
    else:
        channel(1, "helm", [mix("dive")] if yes(0.5) else [])
        effects = "effects: {longer: turns right, shorter: turns left}"
        dev(f"  rudder: {{kind: servo, channel: 1, accuracy: {accuracy(r, micros)}, stops: [{pc(-r.randint(150, 240))}, {pc(r.randint(150, 240), True)}], {effects}}}")
        channel(2, "dive", [mix("helm")] if yes(0.3) else [])
        effects = "effects: {longer: bow dips, shorter: bow rises}"
        if name == "leveller":
            low, high = sorted([r.randint(-200, -20), r.randint(20, 200)])
            still = [r.randint(0, 30), r.randint(0, 30)]
            # A band of nothing is no band, and the file is refused.
            still[1] = max(still[1], int(still[0] == 0))
            dev(f"  keeper: {{kind: leveller, channel: 2, still_between: [-{num(still[0])} %, +{num(still[1])} %], limits: [{pc(low)}, {pc(high, True)}]}}")
            stops = f"stops: [{pc(low - r.choice([0, 4, 5, 20, -6]))}, {pc(high + r.choice([0, 4, 5, 20, -6]), True)} {off(r, False)}]"
            works = []
            for i, kind in enumerate(r.sample(["vent valve", "pump switch", "emergency gas valve", "light"], 2)):
                text, _ = stretch_of(r, r.choice([-1, 1]), r.randint(20, 180))
                works.append(f"w{i}: {{kind: {kind}, {text}}}")
            effects = "effects: {longer: bow dips, shorter: bow rises}" if yes(0.7) else "effects: {longer: bow rises, shorter: bow dips}"
            dev(f"  planes: {{kind: servo, behind: keeper, accuracy: {accuracy(r, False)}, {stops}, {effects}, works: {{{', '.join(works)}}}}}")
            if yes(0.6):
                text, _ = stretch_of(r, r.choice([-1, 1]), r.randint(20, 180))
                dev(f"  second: {{kind: servo, behind: keeper, accuracy: {accuracy(r, False)}, works: {{w2: {{kind: {r.choice(['vent valve', 'blow valve'])}, {text}}}}}}}")
        else:
            dev(f"  planes: {{kind: servo, channel: 2, accuracy: {accuracy(r, micros)}, {effects}}}")
        mixes = []
        if name == "twice":
            mixes = [mix("tank", 120)] + ([mix("tank", 60)] if yes(0.2) else []) + ([mix("helm", 30)] if yes(0.4) else [])
        elif name == "together" and yes(0.7):
            mixes = [mix(r.choice(["helm", "air", "dive"]))]
        elif yes(0.3):
            mixes = [mix("helm", 20)]
        channel(3, "tank", mixes, "{flood: vent, blow: pump}" if name != "together" else "")
        if name == "together":
            tank_servo.append(4)
            own = r.choice(["air", "tank", "dive"])
            others = [c for c in ("air", "tank", "helm", "channel 3") if c != own]
            channel(4, own, [mix(r.choice(others), 180)] + ([mix("helm")] if yes(0.3) else []))
    blow = up(3, "blow")
    e_flood, e_blow = ends[3]
    slip = r.choice([0, 0, 1, r.randint(-30, 50)])
    if name == "together":
        def around(n, side):
            return max(10, ends[n][0] - r.choice([4, 10, r.randint(0, 80)]))
        sides = [r.choice([-1, 1]), r.choice([-1, 1])]
        one, _ = stretch_of(r, sides[0], around(3, sides[0]), ended=0.5)
        two, _ = stretch_of(r, sides[1], around(4, sides[1]), ended=0.5)
        if yes(0.6):
            kinds, never = ("vent valve", r.choice(["pump switch", "blow valve"])), ""
        else:
            kinds, never = ("light", "sound"), ", never_with: [second_servo.b]"
        dev(f"  first_servo: {{kind: servo, channel: 3, accuracy: {accuracy(r, False)}, works: {{a: {{kind: {kinds[0]}, {one}{never}}}}}}}")
        dev(f"  second_servo: {{kind: servo, channel: 4, accuracy: {accuracy(r, False)}, works: {{b: {{kind: {kinds[1]}, {two}}}}}}}")
    elif name == "mixed":
        dev(f"  tank_servo: {{kind: servo, channel: 3, works: {{pump: {{kind: pump switch, from: {pc(blow * 60, True)}}}}}}}")
    else:
        ended = {"zones": 0.8, "uneven": 0.3, "leveller": 0.1, "twice": 0.2}[name]
        works = []
        start = max(10, e_flood - slip - r.randint(4, 30))
        text, _ = stretch_of(r, -blow, start, micros, ended)
        full = f", full: {pc(-blow * (start + r.randint(0, 8)), True)}" if yes(0.3) and ", to:" not in text else ""
        works.append(f"vent: {{kind: vent valve, {text}{full}}}")
        start = max(10, e_blow - slip - r.randint(4, 40))
        text, far = stretch_of(r, blow, start, micros, ended)
        rel = f", releases: {pc(blow * max(2, start - r.randint(4, 24)), True)} ± {num(r.randint(0, 2))} %" if yes(0.4) else ""
        works.append(f"pump: {{kind: pump switch, {text}{rel}}}")
        text, _ = stretch_of(r, blow, max(far, e_blow) + r.choice([0, 4, 10, r.randint(-40, 40)]), micros, 0.5)
        kind = r.choice(["emergency gas valve", "light", "blow valve"])
        reserved = ", reserved: {unless: {mode: full}}" if kind == "light" and yes(0.5) else ""
        never = ", never_with: [pump]" if yes(0.4) else ""
        works.append(f"gas: {{kind: {kind}, {text}{reserved}{never}}}")
        if name == "zones" and yes(0.6):
            text, _ = stretch_of(r, r.choice([-1, 1]), r.randint(10, 200))
            works.append(f"flap: {{kind: {r.choice(['flood valve', 'sound', 'release'])}, {text}}}")
        stops = ""
        if yes(0.7):
            stops = f", stops: [{pc(-(max(ends[3]) + r.randint(0, 30)))} {off(r, micros)}, {pc(max(ends[3]) + r.randint(0, 30), True)} {off(r, micros)}]"
        dev(f"  tank_servo: {{kind: servo, channel: 3, accuracy: {accuracy(r, micros)}{stops}, works: {{{', '.join(works)}}}}}")
    n = 5 if name == "together" else 4
    channel(n, "air", rates=False)
    dev(f"  spare_servo: {{kind: servo, channel: {n}}}")
    loss = r.choice(["no pulses", "hold", "noise", f"{{3: {pc(r.randint(-220, 220), True)}, others: hold}}"])
    unit = name in ("zones", "uneven") and yes(0.6)
    if unit:
        loss = "no pulses"
    put("receiver:")
    put(f"  on_loss: {loss}")
    if unit:
        put("fail_safe:")
        put("  channels: [3]")
        put("  notices: no pulses")
        put(f"  accuracy: {r.choice([2, 4, 8])} us")
        put("  wait: 4 s")
        put("  stages:")
        put(f"    - {{name: blow, lasts: 14 s, set: {{3: {pc(blow * (e_blow + r.randint(-40, 60)), True)}}}, works: [pump]}}")
        put(f"    - {{name: rest, set: {{3: {pc(blow * r.choice([0, 0, 10, e_blow // 2]), True)}}}}}")
    put("devices:")
    out += devices
    if sum("mode: " in line for line in out) == 1:
        out = [line for line in out if not line.startswith("  mode: ")]
    return complete("\n".join(out) + "\n")


if __name__ == "__main__":
    print(boat(sys.argv[1], int(sys.argv[2])), end="")
