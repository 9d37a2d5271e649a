"""Boats that dive, drawn by chance: Moonfish with other figures, and strangers that share nothing with her but that
they sink when the link is lost and have something that raises them."""


import yamlfile
from harness import ROOT

MOONFISH = (ROOT / "boats/moonfish.yaml").read_text(encoding="utf-8")

# What she is sailed in.
SAILED = ["  water: fresh", "  water: fresh", "  water: fresh\n  conductivity: 9000 uS/cm",
          "  water: brackish\n  conductivity: 15000 uS/cm ± 500 uS/cm", "  water: sea"]
# Other water than that she is sailed in, in which she may have been weighed.
WATERS = ["", "", "", "  weighed_in: fresh\n", "  weighed_in: brackish\n  weighed_conductivity: 3000 uS/cm ± 200 uS/cm\n",
          "  weighed_in: brackish\n"]


def moonfish(chance):
    """Moonfish with a pump or a bottle of air and with other figures, as YAML."""
    old = yamlfile.values(MOONFISH)
    unit = old["fail_safe"]["stages"][0]
    channel = old["devices"]["tank_servo"]["channel"]
    gas = old["tank"]["emptied_by"]["tank_servo.gas"]
    text = MOONFISH
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


def stranger(chance):
    """A boat of any size, as YAML: one or two pumps, each on its own servo or both on one, with a bottle or without,
    a unit of one to three stages or a receiver with presets, and words of its own."""
    pick = chance.choice
    weight = pick([0.9, 2.2, 4.5, 11, 26])
    litres = weight * pick([0.05, 0.08, 0.12])
    length = round(420 * weight**0.36 * pick([0.9, 1, 1.15]))
    beam = round(length / pick([5.5, 7, 9]))
    pumps, shared = pick([1, 1, 2]), chance.random() < 0.5
    bottle = pick([None, "air", "isobutane", "propane", "R134a"]) if pumps == 1 or chance.random() < 0.3 else None
    unit = bottle is not None or chance.random() < 0.7
    motor, first, second = chance.sample([1, 2, 3, 4, 5, 6], 3)
    one_servo = shared or pumps == 1
    side = pick([1, -1])
    sign = lambda value, side=side: f"{'+' if side * value > 0 else '-' if side * value < 0 else ''}{abs(value)} %"
    speed, turn = pick([0.12, 0.2, 0.35, 0.6]), pick([40, 50, 60])
    # Where each is switched on, in steps of a servo's way.
    places = {"blower": (sign(32), 4, sign(26), 3), "second": (sign(52), 3, sign(46), 3), "valve": (sign(78), 4, sign(72), 4)}
    works = lambda names: ", ".join(
        f"{n}: {{kind: {'emergency gas valve' if n == 'valve' else 'pump switch'}, from: {places[n][0]} ± {places[n][1]} %, releases: {places[n][2]} ± {places[n][3]} %}}"
        for n in names
    )
    on_first = ["blower"] + (["second"] if pumps == 2 and one_servo else []) + (["valve"] if bottle else [])
    on_second = ["second"] if pumps == 2 and not one_servo else []
    flows = 60 * litres / pick([12, 20, 35])
    depth = round(pick([0.5, 1, 1.5, 2.5]) * weight**0.2, 1)
    shut = round(0.1 * depth * pick([2.2, 3.2, 4.5]) + 0.12, 2)

    def pump(share):
        middle = f"[{shut / 2:.3f} bar, {flows * share * pick([0.45, 0.6]):.3f} L/min], " if chance.random() < 0.5 else ""
        return (f"{{flow: [[0 bar, {flows * share:.3f} L/min], {middle}[{shut} bar, 0 L/min]], flow_off: {chance.randint(3, 20)} %, "
                f"pressure_off: {chance.randint(2, 10)} %, measured_at: {volts} V, starts_in: {pick([0.2, 0.6, 1])} s, duty: 600 s, "
                f"current: {round(0.4 + weight * 0.15, 1)} A, air: hull}}")

    chemistry, cells, nominal = pick([("NiMH", 6, 7.2), ("NiMH", 8, 9.6), ("LiPo", 2, 7.4), ("LiFePO4", 2, 6.4)])
    volts = pick([nominal, round(nominal * 0.95, 1)])
    tank = {"blower": "turret.blower"}
    emptied = f"    turret.blower: {pump(1)}\n"
    if pumps == 2:
        emptied += f"    {'turret' if one_servo else 'elbow'}.second: {pump(pick([0.4, 1]))}\n"
    if bottle:
        hole = round((litres / 0.6) ** 0.5 * pick([0.35, 0.5]), 2)
        filled = {"air": f"bottle: {round(150 * litres)} mL, pressure: {pick([6, 9])} bar ± 0.4 bar",
                  "isobutane": f"bottle: {round(160 * litres + 40)} mL, charge: {round(14 * litres + 3)} g ± 1 g",
                  "propane": f"bottle: {round(160 * litres + 40)} mL, charge: {round(14 * litres + 3)} g ± 1 g",
                  "R134a": f"bottle: {round(160 * litres + 40)} mL, charge: {round(30 * litres + 5)} g ± 2 g"}[bottle]
        emptied += f"    turret.valve: {{gas: {bottle}, {filled}, hole: {hole} mm}}\n"
    lasts = pick([20, 45, 90])
    up = 100 if bottle else 62 if pumps == 2 and one_servo else 45
    sets = lambda at, other: f"{{{motor}: 0 %, {first}: {sign(at) if at else '0 %'}" + (f", {second}: {sign(other) if other else '0 %'}" if on_second else "") + "}"
    # One in a few never gets as far as its switch.
    other = pick([62, 62, 62, 45])
    named = ", ".join(on_first[: 3 if bottle else 2] + on_second)
    loss = "no pulses"
    fail_safe = ""
    if unit:
        before = ""
        if chance.random() < 0.4 and bottle:
            before = f"    - {{name: gently, lasts: {pick([2, 5])} s, set: {sets(45, other)}, works: [{', '.join(['blower'] + on_second)}]}}\n"
        fail_safe = (
            f"fail_safe:\n  channels: [{motor}, {first}{f', {second}' if on_second else ''}]\n  notices: no pulses\n  accuracy: {pick([3, 8])} us\n"
            f"  wait: {pick([0.5, 2, 4])} s\n  stages:\n{before}    - {{name: up, lasts: {lasts} s, set: {sets(up, other)}, works: [{named}]}}\n"
            f"    - {{name: still, set: {sets(0, 0)}}}\n  low_battery: {{battery: pack, below: {round(nominal * 0.92, 1)} V}}\n"
        )
    else:
        loss = sets(up, other)[:-1] + f", others: hold, works: [{named}]}}"
    control = "kind: buttons" if chance.random() < 0.5 else "trim: locked"
    servo = lambda name, channel, names: (
        f"  {name}: {{kind: servo, channel: {channel}, turn: {turn} deg, speed: {speed} s, accuracy: {pick([1, 1.5])} %, "
        f"stops: [-118 % ± 0 %, +118 % ± 0 %], works: {{{works(names)}}}}}\n"
    )
    longer = lambda low, high: high if side > 0 else low
    channels = {motor: "{control: drive, longer: on, endpoints: {back: 80 %, on: 90 %}}",
                first: f"{{control: box, longer: {longer('sink', 'rise')}, endpoints: {{sink: {pick([40, 80])} %, rise: 40 %}}, wants: {{rise: turret.blower}}}}"}
    controls = "  drive: {at: left stick, ways: {towards: back, away: on}, rests: where left, trim: locked}\n"
    controls += f"  box: {{at: right stick, {control}, ways: {{lower: sink, upper: rise}}}}\n".replace("lower", "towards" if "trim" in control else "lower").replace("upper", "away" if "trim" in control else "upper")
    if on_second:
        controls += "  more: {at: slider, trim: locked, ways: {towards: less, away: plenty}}\n"
        channels[second] = f"{{control: more, longer: {longer('less', 'plenty')}, endpoints: {{less: 30 %, plenty: 55 %}}}}"
    lines = "".join(f"  {n}: {channels[n]}\n" for n in sorted(channels))
    heavy = round(weight * pick([-1, 0, 1, 3]), 1)
    cold = chance.randint(4, 14)
    return f"""lidcard: 1
boat:
  name: Stranger
  kind: submarine
{pick(SAILED)}
  depth_limit: {depth} m
transmitter:
  channels: 6
  pulse: {{rest: 1500 us, full: [1100 us, 1900 us], accuracy: {pick([1, 2, 4])} us}}
  furthest: 120 %
  step: 1 %
  order: {{past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends}}
controls:
{controls}channels:
{lines}receiver: {{on_loss: {loss}, after: {pick([0.3, 1, 1.5])} s}}
{fail_safe}devices:
  screw: {{kind: speed controller, channel: {motor}, accuracy: 1 %, still_between: [-6 %, +6 %], without_pulses: stops, learns_rest: no, effects: {{longer: drives ahead, shorter: drives astern}}, draws: {round(0.5 + weight * 0.2, 1)} A}}
{servo('turret', first, on_first)}{servo('elbow', second, on_second) if on_second else ''}batteries:
  pack: {{cells: {cells}, chemistry: {chemistry}, capacity: {round(1 + weight / 2, 1)} Ah, resistance: {pick([25, 50, 90])} mohm ± {pick([4, 10])} mohm, draws: 200 mA}}
hull:
  weight: {weight} kg{pick(['', f' ± {weight / 50:.3f} kg'])}
  heavy: {heavy} g ± {round(weight * pick([0.5, 1]), 1)} g
{pick(['  weighed_at: 12 degC', '  weighed_at: 18 degC', ''])}
{pick(['  material: glass fibre', '  material: acrylic', '  material: aluminium', ''])}
{pick(WATERS)}  length: {length} mm
  beam: {beam} mm
  dives_at: {pick([0.03, 0.06, 0.1])} m/s
{pick(['', f'  sails_at: {pick([0.3, 0.6])} m/s'])}
  water: [{cold} degC, {cold + pick([4, 10])} degC]
  air: {round(litres * pick([6, 12]), 2)} L{pick(['', f' ± {litres / 2:.2f} L'])}
tank:
  volume: {round(litres * 1000)} mL ± {round(litres * 30)} mL
  emptied_by:
{emptied}"""
