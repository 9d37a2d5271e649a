"""A fleet of invented boats for the pages: every kind of text and every amount of it.

Their arithmetic is that of three or four set-ups that are known to be clean; what differs is how much
there is to say and in which words: names of one syllable and of sixty letters, effects of twelve words,
one channel and sixteen, six stages, many switches, all optional facts or none, all four layouts of the
sticks, English, German, Cyrillic and Greek, and cards of many sizes.

    python fleet.py SEED        prints one boat file
"""

import json
import random
import sys

SIZES = ([85, 54], [85, 54], [150, 50], [105, 74], None, None, [105, 148], [148, 105], [74, 105], [100, 100], [210, 148])
PLACES = ("rear left", "rear right", "top left", "top right", "front left", "front right, below the aerial", "top middle")

# For each script: names of boats, names of things, words for ways, sentences.
WORDS = {
    "english": {
        "boats": ["Tern", "Quillwort", "Old Harbour Lantern", "Lady of the Long Northern Breakwater", "Greywether the Second of Saltmarsh Reach"],
        "things": ["lamp", "mast", "forward hatch", "anchor winch", "searchlight", "after capstan", "sound of the horn", "port torpedo door", "radar", "wheelhouse light", "crane", "ladder"],
        "ways": [("in", "out"), ("down", "up"), ("shut", "open"), ("slower", "faster"), ("quite low", "rather high"), ("off", "on")],
        "settings": ["gentle", "full", "middling", "harbour", "open sea", "trials only"],
        "effect": "makes the {} turn slowly round towards the {} side of the boat",
        "sides": ("left", "right"),
        "lines": ["hold {} until she is up", "nothing happens: switch the transmitter off and wait", "then ask somebody with a rowing boat, and never wade in alone after her"],
        "helm": ("port", "starboard"), "dive": ("rise", "dive"), "speed": ("astern", "ahead"), "tank": ("flood", "blow"),
        "names": ("helm", "dive", "speed", "tank"), "works": ("vent", "pump", "gas"),
        "workshop": "Lantern Bay Model Workshop", "where": "under the sail, a magnet works it",
    },
    "german": {
        "boats": ["Aal", "Möwe", "Großer Tümmler", "Seeschwalbe von der Langen Mole", "Forschungstauchboot Wasserläufer der Seewerkstatt"],
        "things": ["Positionslaterne", "Sehrohr", "Bugstrahlruder", "Ankerspill", "Suchscheinwerfer", "Schleppgeschirr", "Nebelhorn", "Mündungsklappe", "Ladebaum", "Lenzpumpe", "Rettungsboot", "Funkmast"],
        "ways": [("ein", "aus"), ("ab", "auf"), ("zu", "offen"), ("langsamer", "schneller"), ("ganz unten", "ganz oben"), ("einholen", "ausfieren")],
        "settings": ["sanft", "voll", "mittel", "Hafenbetrieb", "Überführungsfahrt", "nur zur Erprobung"],
        "effect": "dreht {} ganz langsam und gleichmäßig auf die vom Ufer {} liegende Seite",
        "sides": ("links", "rechts"),
        "lines": ["{} halten, bis sie oben ist", "nichts geschieht: Sender aus und abwarten", "dann jemanden mit einem Ruderboot fragen und nie allein hineinwaten"],
        "helm": ("Backbord", "Steuerbord"), "dive": ("steigen", "tauchen"), "speed": ("zurück", "voraus"), "tank": ("fluten", "anblasen"),
        "names": ("Ruder", "Tiefenruder", "Fahrt", "Tauchzelle"), "works": ("Entlüftung", "Gebläse", "Notgasventil"),
        "workshop": "Modellwerkstatt Laternenbucht", "where": "unter dem Turm, mit einem Magneten",
    },
    "cyrillic": {
        "boats": ["Чайка", "Северный ветер", "Морская звезда", "Дельфин тихого залива", "Исследовательский аппарат Полярная крачка"],
        "things": ["фонарь", "мачта", "носовой люк", "якорная лебёдка", "прожектор", "кран", "туманный горн", "перископ", "радар", "трюмная помпа", "шлюпка", "антенна"],
        "ways": [("внутрь", "наружу"), ("вниз", "вверх"), ("закрыть", "открыть"), ("тише", "громче"), ("почти ноль", "почти полный"), ("выкл", "вкл")],
        "settings": ["мягко", "полный", "средне", "гавань", "открытое море", "для испытаний"],
        "effect": "{} медленно и очень плавно поворачивается на {} сторону от берега к нам",
        "sides": ("левую", "правую"),
        "lines": ["держать {}, пока не всплывёт", "ничего не происходит: выключить передатчик и ждать", "попросить кого-нибудь с лодкой и никогда не заходить в воду одному"],
        "helm": ("влево", "вправо"), "dive": ("всплытие", "погружение"), "speed": ("назад", "вперёд"), "tank": ("заполнить", "продуть"),
        "names": ("руль", "рули глубины", "ход", "цистерна"), "works": ("клапан", "помпа", "аварийный газ"),
        "workshop": "Модельная мастерская у маяка", "where": "под рубкой, включается магнитом",
    },
    "greek": {
        "boats": ["Γλάρος", "Γαλάζιο κύμα", "Θαλασσινή αύρα", "Δελφίνι του ήσυχου κόλπου", "Ερευνητικό σκάφος Αλκυόνη της Πέτρινης Ακτής"],
        "things": ["φανάρι", "κατάρτι", "πλωριό καπάκι", "βίντσι", "προβολέας", "γερανός", "κόρνα ομίχλης", "περισκόπιο", "ραντάρ", "αντλία", "βάρκα", "κεραία"],
        "ways": [("μέσα", "έξω"), ("κάτω", "πάνω"), ("κλειστό", "ανοιχτό"), ("αργά", "γρήγορα"), ("σχεδόν μηδέν", "σχεδόν γεμάτο"), ("σβηστό", "αναμμένο")],
        "settings": ["απαλά", "πλήρες", "μέτρια", "λιμάνι", "ανοιχτή θάλασσα", "μόνο δοκιμές"],
        "effect": "{} στρέφει πολύ αργά και ομαλά προς τη {} πλευρά του σκάφους μας",
        "sides": ("αριστερή", "δεξιά"),
        "lines": ["κράτησε {} μέχρι να βγει επάνω", "δεν γίνεται τίποτα: κλείσε τον πομπό και περίμενε", "ζήτησε από κάποιον με βάρκα και μην μπεις ποτέ μόνος στο νερό"],
        "helm": ("αριστερά", "δεξιά"), "dive": ("ανάδυση", "κατάδυση"), "speed": ("ανάποδα", "πρόσω"), "tank": ("γέμισμα", "φύσημα"),
        "names": ("τιμόνι", "πηδάλια βάθους", "ταχύτητα", "δεξαμενή"), "works": ("εξαερισμός", "φυσητήρας", "αέριο ανάγκης"),
        "workshop": "Εργαστήριο μοντέλων του φάρου", "where": "κάτω από τον πύργο, με μαγνήτη",
    },
}
# Which stick carries dive (or, without, nothing), and which speed; helm goes with the stick that is not named.
LAYOUTS = (("left stick", "right stick", "right stick"), ("right stick", "left stick", "right stick"),
           ("left stick", "right stick", "left stick"), ("right stick", "left stick", "left stick"))


def traits(seed):
    """What is special about this one. Each is had by many, in all sorts of company."""
    return {
        "script": list(WORDS)[seed % 4],
        "layout": seed // 4 % 4,
        "channels": {3: 16, 7: 1, 13: 12, 17: 9}.get(seed % 20, seed % 3 + 3),
        "stages": 6 if seed % 8 == 1 else 2 if seed % 3 else 0,
        "gas": seed % 5 in (0, 1, 3),
        "twelve": seed % 7 in (2, 5),
        "switches": 5 if seed % 9 == 4 else seed % 3,
        "facts": ("all", "none", "some")[seed % 3],
        "name": seed // 4 % 5,
    }


def boat(seed):
    """Text of one boat."""
    r = random.Random(f"fleet {seed}")
    t = traits(seed)
    w = WORDS[t["script"]]
    key = lambda text: text.replace(" ", "_")
    lone, facts = t["channels"] == 1, t["facts"]
    told = lambda: facts == "all" or facts == "some" and r.random() < 0.5
    dives = not lone and seed % 6 != 2 and t["channels"] > 3
    helm, dive, speed, tank = map(key, w["names"])
    vent, pump, gas = map(key, w["works"])
    gas = gas if t["gas"] else None
    file = {"lidcard": 1, "boat": {"name": w["boats"][t["name"]], "kind": "submarine" if dives else "surface"}}
    about = {"reference": f"LB-{100 + seed}", "revision": r.choice("ABCDEF"), "date": f"2026-0{r.randint(1, 9)}-1{r.randint(0, 9)}",
             "workshop": w["workshop"]}
    file["boat"].update({name: value for name, value in about.items() if told()})
    if dives and told():
        file["boat"]["depth_limit"] = r.choice(["1.5 m", "2 m", "3.25 m"])
    file["boat"]["water"] = r.choice(["fresh", "sea"])
    if dives:
        file["boat"]["sinks_in"] = "600 s"
    order = {"past_full_stick": "cut off", "endpoint": "scales", "endpoint_side": "stick", "trim": "before endpoint",
             "mix": "before endpoint", "sub_trim": "shifts ends"}
    file["transmitter"] = {"channels": max(t["channels"], 4), "pulse": {"rest": "1500 us", "full": ["1100 us", "1900 us"], "accuracy": "2 us"},
                           "furthest": "120 %", "step": "1 %", "order": order}
    file["axis"] = {"rest": "1500 us", "full": ["1100 us", "1900 us"]}
    if told():
        file["transmitter"].update(memory=f"{r.randint(1, 30)} {w['boats'][t['name']][:9].upper()}", region="europe", frequency="40.685 MHz")
    if told():
        file["transmitter"]["name"] = r.choice(["loan set 3", "six and two", w["workshop"]])

    controls, channels, devices, opposites = {}, {}, {}, []
    # One place holds one control; when the usual ones are taken, rows on the panel follow.
    places = r.sample(PLACES, len(PLACES)) + [f"row {n}, {w['sides'][n % 2]}" for n in range(1, 21)]
    at_dive, at_speed, at_helm = LAYOUTS[t["layout"]]
    switches = []
    for n in range(0 if lone else t["switches"]):
        name = key(f"{w['things'][-1 - n]} {n + 1}")
        settings = r.sample(w["settings"], r.randint(2, min(5, len(w["settings"]))))
        switches.append((name, [key(s) for s in settings]))
        controls[name] = {"at": places.pop(0), "kind": "switch", "settings": switches[-1][1]}
    free = list(switches)

    def rated():
        if not free:
            return {}
        name, settings = free.pop()
        return {"rate": {name: {s: f"{r.choice([40, 55, 75, 90, 100])} %" for s in settings}}}

    def senses(name, ways, closed, thing):
        """Wants of a control and effects of its servo, from the closed list or of twelve words."""
        if t["twelve"]:
            pair = [w["effect"].format(thing, side) for side in w["sides"]]
            opposites.append(pair)
        else:
            pair = closed
        controls[name]["wants"] = dict(zip(ways, pair))
        return {"shorter": pair[0], "longer": pair[1]}

    def channel(number, name, control, ways, **more):
        channels[number] = {"name": name, "control": control, "longer": ways[1],
                            "endpoints": {ways[0]: more.pop("low", "70 %"), ways[1]: more.pop("high", "65 %")}, **more}
        if r.random() < 0.3:
            channels[number]["reverse"] = r.choice(["yes", "no"])

    stops = {"accuracy": "2 %", "stops": ["-112 %", "+114 %"]}
    ways = tuple(map(key, w["helm"]))
    controls[helm] = {"at": at_helm, "ways": dict(zip(("left", "right"), ways)), "trim": "10 %"}
    effects = senses(helm, ways, ("turns left", "turns right"), w["names"][0])
    channel(1, w["names"][0], helm, ways, **rated())
    devices["servo_1"] = {"kind": "servo", "channel": 1, **stops, "effects": effects}
    number = 1
    motor_channel = tank_channel = None
    if not lone:
        number = motor_channel = 2
        ways = tuple(map(key, w["speed"]))
        controls[speed] = {"at": at_speed, "ways": dict(zip(("towards", "away"), ways)), "trim": "locked", "wants": dict(zip(ways, ("drives astern", "drives ahead")))}
        if r.random() < 0.7:
            controls[speed]["rests"] = "where left"
        channel(2, w["names"][2], speed, ways)
        devices["motor"] = {"kind": "speed controller", "channel": 2, "accuracy": "0.5 %", "still_between": ["-4 %", "+4 %"], "without_pulses": "stops", "learns_rest": "no",
                            "effects": {"shorter": "drives astern", "longer": "drives ahead"}}
    if dives:
        ways = tuple(map(key, w["dive"]))
        controls[dive] = {"at": at_dive, "ways": dict(zip(("towards", "away"), ways)), "trim": "10 %"}
        effects = senses(dive, ways, ("bow rises", "bow dips"), w["names"][1])
        channel(3, w["names"][1], dive, ways, **rated())
        devices["servo_3"] = {"kind": "servo", "channel": 3, **stops, "effects": effects}
        number = tank_channel = 4
        ways = tuple(map(key, w["tank"]))
        if r.random() < 0.5 and at_helm != at_speed:
            controls[tank] = {"at": at_speed, "ways": dict(zip(("left", "right"), ways)), "trim": "locked"}
        else:
            controls[tank] = {"at": places.pop(0), "kind": "buttons", "ways": dict(zip(("lower", "upper"), ways))}
        channel(4, w["names"][3], tank, ways, low="82 %", high="53 %", wants=dict(zip(ways, (vent, pump))))
        works = {vent: {"kind": "vent valve", "from": "-48 % ± 3 %", "full": "-72 % ± 3 %", "releases": "-44 % ± 3 %"},
                 pump: {"kind": "pump switch", "clicks": ["+36 %", "+38 %", "+35 %", "+37 %", "+36 %"], "releases": "+31 % ± 2 %", "must_run": "4 s", "longest": "none"}}
        if gas and t["stages"]:
            works[gas] = {"kind": "emergency gas valve", "from": "+72 % ± 4 %", "releases": "where it engages", "must_run": "4 s"}
        else:
            gas = None
        devices["servo_4"] = {"kind": "servo", "channel": 4, "accuracy": "1.5 %", "takes": "0.3 s", "stops": ["-112 % ± 1 %", "+114 % ± 1 %"], "works": works}
    while number < t["channels"] and not lone:
        number += 1
        thing = r.choice(w["things"])
        if t["name"] > 2:
            thing += " " + r.choice(w["things"])
        name = key(f"{thing} {number}")
        ways = tuple(key(x) for x in r.choice(w["ways"]))
        kind = r.choice(["slider", "buttons", "knob", "slider"])
        controls[name] = {"kind": kind, "ways": dict(zip(("lower", "upper") if kind != "knob" else ("left", "right"), ways))}
        if r.random() < 0.9:
            controls[name]["at"] = places.pop(0)
        device = {"kind": "servo", "channel": number, **stops}
        if r.random() < 0.4:
            work = key(r.choice(w["things"]))
            device["works"] = {work: {"kind": r.choice(["light", "sound"]), "from": "+40 % ± 3 %", "releases": "where it engages"}}
            channel(number, f"{thing} {number}", name, ways, wants={ways[1]: work})
        elif r.random() < 0.6:
            device["effects"] = senses(name, ways, ("lowers", "raises"), f"{thing} {number}")
            channel(number, f"{thing} {number}", name, ways, **rated())
        else:
            controls[name]["wants"] = device["effects"] = "none"
            channel(number, f"{thing} {number}", name, ways, **rated())
        devices[f"servo_{number}"] = device
    for name, _ in free:
        del controls[name]

    unit = dives and t["stages"]
    receiver = {"on_loss": "no pulses", "after": "1 s"}
    if dives and not unit:
        receiver["on_loss"] = {motor_channel: "0 %", tank_channel: "+53 %", "others": "hold", "works": [pump]}
    elif motor_channel and not unit:
        receiver["on_loss"] = {motor_channel: "0 %", "others": r.choice(["hold", "no pulses"])}
    file.update(controls=controls, channels=channels, receiver=receiver)
    if unit:
        stages = []
        for n in range(t["stages"]):
            stage = {"name": key(f"{w['things'][n]} {n + 1}" if t["stages"] > 2 else w["tank"][1] if n == 0 else w["things"][0])}
            if n + 1 < t["stages"]:
                stage["lasts"] = f"{5 + 3 * n} s"
            rescues = n % 2 == 0 and n + 1 < t["stages"]
            height = "+104 %" if gas and n == 0 else "+53 %"
            stage["set"] = {motor_channel: "0 %", tank_channel: height if rescues else "0 %"}
            if rescues:
                stage["works"] = [pump, gas] if gas and n == 0 else [pump]
            stages.append(stage)
        file["fail_safe"] = {"channels": [motor_channel, tank_channel], "notices": "no pulses", "accuracy": "6 us", "wait": "3 s", "stages": stages}
        if told():
            file["fail_safe"]["leak"] = "yes"
    file["devices"] = devices
    named = told()
    # A pack of which nothing is told leaves things not judged; these pages are of boats that are complete.
    file["batteries"] = {"main": {"cells": 6, "chemistry": "NiMH", "capacity": "5 Ah"}}
    if named:
        file["batteries"] = {"main": {"cells": 6, "chemistry": r.choice(["NiMH", "LiPo", "LiFePO4", "lead gel"]), "capacity": "5 Ah"}}
        if unit and r.random() < 0.7:
            file["fail_safe"]["low_battery"] = {"battery": "main", "below": "6.6 V"}
    if told():
        file["fittings"] = {
            "power": r.choice(["switch", "remote switch", "plug"]), "power_at": w["where"], "aerial": w["where"],
            "closing": r.sample(w["things"], 3), "couplings": r.sample(w["things"], 2),
            "lights": {r.choice(w["things"]): w["lines"][2], w["things"][2]: w["where"]},
        }
        if dives:
            file["fittings"].update(snorkel=r.choice(["float valve", "open"]), leak_test=w["where"])
    owner = {"language": r.choice(["en", "de"])}
    if told() or not dives:
        lines = r.sample(w["lines"], r.randint(1, 3))
        owner["emergency"] = [line.format(w["tank"][1]) for line in lines]
    if told():
        owner["contact"] = r.choice([w["workshop"], f"{w['workshop']}, 030 555 01 20"])
    file["owner"] = owner
    if opposites:
        file["opposites"] = opposites
    size = r.choice(SIZES)
    if size:
        file["card"] = {"size": [f"{side} mm" for side in size]}
    return "".join(f"{name}: {flow(value)}\n" for name, value in file.items())


def flow(value):
    """A value in the flow style of YAML. Words are quoted, quantities, `yes` and numbers need not be."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow(name)}: {flow(inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(flow(inner) for inner in value) + "]"
    return value if value in ("yes", "no") else json.dumps(value, ensure_ascii=False)


if __name__ == "__main__":
    print(boat(int(sys.argv[1]) if len(sys.argv) > 1 else 1), end="")
