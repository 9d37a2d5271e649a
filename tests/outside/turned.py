"""The same boat said in another way, and boats of which less is known: what check_laws.py compares.

Each change takes the data of a boat (edits.py) and gives back another boat's, or None where it does not
apply. Changes that keep the meaning also say under which name a finding's `where` stands afterwards.
"""

import re
from fractions import Fraction as F

from boatfile import LETS_GO, amount, fresh, said

LINES = ("past_full_stick", "endpoint", "endpoint_side", "trim", "mix", "sub_trim")


def yes(x):
    return x in ("yes", "true")


def pulse(data):
    """(rest, travel to the longer side, travel to the shorter side) in microseconds."""
    p = data["transmitter"].get("pulse", {})
    rest = amount(p.get("rest", "1500 us"))[0]
    low, high = (amount(x)[0] for x in p.get("full", ["1100 us", "1900 us"]))
    return rest, high - rest, rest - low


def axis(data):
    """The same of the axis on which devices, presets and the unit lie."""
    return pulse({"transmitter": {"pulse": data["axis"]}}) if "axis" in data else pulse(data)


def curved(data):
    return any("expo" in c for c in data["channels"].values())


FIGURES_OF_DEVICE = ("accuracy", "stops", "still_between", "without_pulses", "correction", "takes", "speed", "corrects", "learns_rest", "level_at")
# What a linkage is made of.
LENGTHS = ("horn", "rod", "lever", "pivots", "way")
# Words in the place of a figure.
SAID = ("none", "exact", "where it engages")


def works(data):
    for device in data.get("devices", {}).values():
        yield from device.get("works", {}).values()


def positions(data, change):
    """Puts `change(text)` in place of every position on the axis, a tolerance behind it included."""
    def each(holder, key):
        if key in holder:
            x = holder[key]
            holder[key] = list(map(one, x)) if isinstance(x, list) else one(x)

    def one(text):
        return text if text in SAID else change(text)
    for device in data.get("devices", {}).values():
        for key in ("stops", "still_between", "limits", "level_at"):
            each(device, key)
    for work in works(data):
        for key in ("from", "to", "full", "releases", "clicks"):
            each(work, key)
    loss = data.get("receiver", {}).get("on_loss")
    if isinstance(loss, dict):
        for key in loss:
            if key.isdigit():
                each(loss, key)
    unit = data.get("fail_safe", {})
    if isinstance(unit.get("notices"), dict):
        each(unit["notices"], "beyond")
    for stage in unit.get("stages", []):
        for key in stage.get("set", {}):
            each(stage["set"], key)
    for channel in data["channels"].values():
        for key in channel.get("measured", {}):
            each(channel["measured"], key)


def apart(text):
    """('+72 %', '4 %') of '+72 % ± 4 %'; None for a tolerance that is not there."""
    at, _, off = text.replace("+-", "±").partition("±")
    off = off.strip()
    if off and not re.search(r"[a-z%µ]", off):
        off += " " + at.split()[-1]
    return at.strip(), off or None


def together(at, off):
    return f"{at} ± {off}" if off else at


# the same boat ----------------------------------------------------------------------------------
def unchanged(where):
    return where


def in_reverse_order(data):
    """Every block's keys the other way round, but not the settings of a switch or the stages of a unit,
    whose order means something."""
    def turn(x):
        if isinstance(x, dict):
            return {k: turn(v) for k, v in reversed(list(x.items()))}
        return [turn(v) for v in x] if isinstance(x, list) else x
    return turn(data), unchanged


def effects_and_also(data):
    data, any_there = fresh(data), False
    for device in data.get("devices", {}).values():
        if "effects" in device and "also" in device:
            device["effects"], device["also"] = device["also"], device["effects"]
            any_there = True
    return (data, unchanged) if any_there else None


def mixes_in_two(data):
    data, any_there = fresh(data), False
    for channel in data["channels"].values():
        split = []
        for mix in channel.get("mixes", []):
            n, unit = amount(mix["add"])
            part = F(round(n * 4 / 10), 2)      # on the half-percent grid where the whole is
            split += [{**mix, "add": said(part, unit)}, {**mix, "add": said(n - part, unit)}]
            any_there = True
        if split:
            channel["mixes"] = split
    return (data, unchanged) if any_there else None


def renamed(data):
    """Other names for everything that the builder names, and so that their order by alphabet is turned round."""
    data = fresh(data)
    found = []
    note = lambda names: found.extend(str(n) for n in names if n not in found)
    for name, control in data["controls"].items():
        note([name, *control.get("ways", {}).values(), *control.get("settings", [])])
    for name, device in data.get("devices", {}).items():
        note([name, *device.get("works", {})])
    note(stage["name"] for stage in data.get("fail_safe", {}).get("stages", []))
    note(data.get("batteries", {}))
    rank = {name: i for i, name in enumerate(sorted(found, reverse=True))}
    new = lambda name: f"n{rank[name]:03d}" if name in rank else name
    dotted = lambda x: ".".join(map(new, x.split(".")))
    keys = lambda d, then=lambda v: v: {new(k): then(v) for k, v in d.items()}

    def listed(x):
        return [listed(v) for v in x] if isinstance(x, list) else want(x) if isinstance(x, dict) else dotted(x)

    def want(x):
        return {**x, "work": dotted(x["work"]), **({"needs": keys(x["needs"], new)} if "needs" in x else {})}

    def rates(x):
        return keys(x, rates) if isinstance(x, dict) else x
    for control in data["controls"].values():
        if "ways" in control:
            control["ways"] = {k: new(v) for k, v in control["ways"].items()}
        if "settings" in control:
            control["settings"] = list(map(new, control["settings"]))
        if "home" in control:
            control["home"] = new(control["home"])
        if "wants" in control:
            control["wants"] = keys(control["wants"])
    data["controls"] = keys(data["controls"])
    for channel in data["channels"].values():
        for key, turn in (("control", new), ("longer", new), ("rate", rates), ("endpoints", keys), ("measured", keys),
                          ("wants", lambda w: keys(w, listed))):
            if key in channel:
                channel[key] = turn(channel[key])
        for mix in channel.get("mixes", []):
            mix["of"] = new(mix["of"])
            if "when" in mix:
                mix["when"] = keys(mix["when"], new)
    for step in data.get("owner", {}).get("emergency", []):
        for key, turn in (("hold", listed), ("rest", listed), ("with", lambda w: keys(w, new))):
            if isinstance(step, dict) and key in step:
                step[key] = turn(step[key])
    loss = data.get("receiver", {}).get("on_loss")
    if isinstance(loss, dict) and "works" in loss:
        loss["works"] = listed(loss["works"])
    for stage in data.get("fail_safe", {}).get("stages", []):
        stage["name"] = new(stage["name"])
        if "works" in stage:
            stage["works"] = listed(stage["works"])
    low = data.get("fail_safe", {}).get("low_battery")
    if low:
        low["battery"] = new(low["battery"])
    for device in data.get("devices", {}).values():
        if "behind" in device:
            device["behind"] = new(device["behind"])
        if "module_mixes" in device:
            device["module_mixes"] = listed(device["module_mixes"])
        for work in device.get("works", {}).values():
            if "never_with" in work:
                work["never_with"] = listed(work["never_with"])
            if isinstance(work.get("reserved"), dict):
                work["reserved"] = {"unless": keys(work["reserved"]["unless"], new)}
        if "works" in device:
            device["works"] = keys(device["works"])
    data["devices"] = keys(data.get("devices", {}))
    if "batteries" in data:
        data["batteries"] = keys(data["batteries"])
    if "emptied_by" in data.get("tank", {}):
        data["tank"]["emptied_by"] = {dotted(k): v for k, v in data["tank"]["emptied_by"].items()}
    for item in data.get("accept", []):
        item["where"] = named(item["where"], new)
    return data, lambda where: named(where, new)


def named(where, new):
    """Every name of a `where` such as `blow.gas` or `5/flood` put through `new`."""
    return re.sub(r"[^./, ]+", lambda m: new(m.group()), where)


def in_microseconds(data):
    """Positions and tolerances as the meter reads them; on an even scale trims, rates and accuracies too."""
    data = fresh(data)
    (_, up, down), (rest, right, left) = pulse(data), axis(data)
    even, alike = up == down, right == left

    def part(text, positive, longer, shorter):
        if text in SAID:
            return text
        n, unit = amount(text)
        return said(n * (longer if positive else shorter) / 100, "us") if unit == "%" else text

    def size(text, side):
        return part(text, side > 0, up, down)

    def place(text):
        at, off = apart(text)
        n, unit = amount(at)
        if unit == "%":
            at = said(rest + n * (right if n >= 0 else left) / 100, "us")
        elif unit != "us":
            return text
        return together(at, off and part(off, amount(at)[0] >= rest, right, left))
    positions(data, place)
    for device in data.get("devices", {}).values():
        if alike and "accuracy" in device:
            device["accuracy"] = part(device["accuracy"], True, right, left)
    unit = data.get("fail_safe", {})
    if alike and "accuracy" in unit:
        unit["accuracy"] = part(unit["accuracy"], True, right, left)
    for control in data["controls"].values():
        if even and control.get("trim", "locked") != "locked":
            control["trim"] = size(control["trim"], 1)
    for channel in data["channels"].values():
        if "sub_trim" in channel:
            channel["sub_trim"] = size(channel["sub_trim"], amount(channel["sub_trim"])[0])
        if "rate" in channel:
            channel["rate"] = rate_in_microseconds(data, channel, size, even)
    return data, unchanged


def rate_in_microseconds(data, channel, size, even):
    """A rate of one way is a share of the side to which that way drives; a single rate has one number only
    where both sides are alike."""
    control = data["controls"][channel["control"]]
    by_way = {word: 1 if hand in ("right", "away", "upper") else -1 for hand, word in control.get("ways", {}).items()}
    longer = by_way.get(channel["longer"], 1) if "longer" in channel else -1 if yes(channel.get("reverse")) else 1

    def each(x, side):
        if isinstance(x, dict):
            return {k: each(v, longer * by_way[k] if k in by_way else side) for k, v in x.items()}
        return size(x, side or 1) if side or even else x
    return each(channel["rate"], 0)


def in_degrees(data):
    """Positions at a servo as its horn turns: 0.6 degrees for a percent, on an even scale."""
    rest, up, down = axis(data)
    if up != down:
        return None
    data, any_there = fresh(data), False

    def place(text):
        at, off = apart(text)
        n, unit = amount(at)
        if unit == "us":
            n = (n - rest) * 100 / up
        elif unit != "%":
            return text
        if off:
            m, unit = amount(off)
            off = said((m if unit == "%" else m * 100 / up) * 3 / 5, "deg")
        return together(said(n * 3 / 5, "deg", sign=True), off)
    for device in data.get("devices", {}).values():
        if device["kind"] == "servo" and not {"turn", "arm", "linkage"} & set(device):
            device["turn"] = "60 deg"
            any_there = True
            for holder in [device, *device.get("works", {}).values()]:
                for key in ("stops", "from", "to", "full", "releases", "clicks"):
                    x = holder.get(key)
                    if isinstance(x, list):
                        holder[key] = [v if v in SAID else place(v) for v in x]
                    elif x and x not in SAID:
                        holder[key] = place(x)
    return (data, unchanged) if any_there else None


def through_the_mix(data):
    """What a control drives by itself is mixed in at 100 % instead, beside a control that nothing moves. Same
    pulses where trim and mix act at the same place and the control goes in as it is."""
    data, any_there = fresh(data), False
    order = data["transmitter"].get("order", {})
    if order.get("trim") != "before endpoint" or order.get("mix") != "before endpoint":
        return None
    used = {c.get("control") for c in data["channels"].values()}
    for number, channel in data["channels"].items():
        own = channel.get("control")
        if own is None or {"rate", "expo", "measured", "wants"} & set(channel):
            continue
        control = data["controls"][own]
        if "settings" in control or control.get("trim", "locked") != "locked" and "trim" not in control:
            continue
        dummy = f"still_{number}"
        data["controls"][dummy] = {"at": f"inside {number}", "ways": dict(control["ways"]), "trim": "locked"}
        if "kind" in control:
            data["controls"][dummy]["kind"] = control["kind"]
        if "rests" in control:
            data["controls"][dummy]["rests"] = control["rests"]
        channel["control"], channel["rate"] = dummy, "0 %"
        channel["mixes"] = [{"add": "100 %", "of": own, "with_trim": "yes"}] + channel.get("mixes", [])
        any_there = True
    assert used
    return (data, unchanged) if any_there else None


def mirrored(data):
    """Every pulse on the other side of rest: the axis is turned round, the boat does what she did."""
    side = data["transmitter"].get("order", {}).get("endpoint_side")
    if side is None and any("endpoints" in c or "settings" in data["controls"].get(c.get("control"), {})
                            for c in data["channels"].values()):
        return None           # which end an endpoint acts on then hangs on the sense
    for device in data.get("devices", {}).values():
        if {"linkage", "one_way"} & set(device):
            return None
    data = fresh(data)
    rest, up, down = pulse(data)
    data["transmitter"].setdefault("pulse", {})
    data["transmitter"]["pulse"]["full"] = [said(rest - up, "us"), said(rest + down, "us")]
    if "axis" in data:
        over = lambda text: said(2 * rest - amount(text)[0], "us")
        data["axis"] = {"rest": over(data["axis"]["rest"]), "full": [over(x) for x in reversed(data["axis"]["full"])]}

    def turn(text):
        at, off = apart(text)
        n, unit = amount(at)
        return together(said(2 * rest - n if unit == "us" else -n, unit, sign=unit != "us"), off)
    positions(data, turn)
    for device in data.get("devices", {}).values():
        for key in ("stops", "still_between", "limits"):
            if isinstance(device.get(key), list):
                device[key].reverse()
        for key in ("effects", "also"):
            if key in device:
                swap = {"longer": "shorter", "shorter": "longer"}
                device[key] = {swap[k]: v for k, v in device[key].items()}
        if "corrects" in device:
            device["corrects"] = {k: {"longer": "shorter", "shorter": "longer"}[v] for k, v in device["corrects"].items()}
    stored = data.get("receiver", {}).get("stored_with", {})
    for number, channel in data["channels"].items():
        for holder in (channel, stored.get(number, {})):
            if "sub_trim" in holder:
                n, unit = amount(holder["sub_trim"])
                holder["sub_trim"] = said(-n, unit)
        if "control" not in channel:
            return None
        control = data["controls"][channel["control"]]
        two = list(control.get("ways", {}).values()) or [control["settings"][0], control["settings"][-1]]
        if "longer" in channel:
            channel["longer"] = two[0] if channel["longer"] == two[1] else two[1]
        else:
            channel["reverse"] = "no" if yes(channel.get("reverse")) else "yes"
            if number in stored and "reverse" in stored[number]:
                stored[number]["reverse"] = "no" if yes(stored[number]["reverse"]) else "yes"
        if side == "pulse":
            ends = channel.setdefault("endpoints", {})
            ends[two[0]], ends[two[1]] = ends.get(two[1], "100 %"), ends.get(two[0], "100 %")
    return data, unchanged


SAME = (in_reverse_order, effects_and_also, mixes_in_two, renamed, in_microseconds, in_degrees, through_the_mix, mirrored)


# boats of which less is known -------------------------------------------------------------------
def more(text, by):
    text = "0 %" if text == "exact" else text
    n, unit = amount(text)
    return said(n + by if unit in ("%", "deg", "mm") else n + 4 * by, unit)


def wider(data, pick):
    """One tolerance of the file widened: `pick` chooses among the places where one stands or could."""
    data = fresh(data)
    places = []

    def add(holder, key, i=None):
        # A tolerance that is not said is not nought: one that is would be the lesser of the two.
        text = holder[key] if i is None else holder[key][i]
        # Readings are what they are.
        if isinstance(text, str) and (key == "accuracy" or "±" in text.replace("+-", "±")):
            places.append((holder, key, i))
    for device in data.get("devices", {}).values():
        if device["kind"] in ("servo", "relay") and device.get("accuracy", "exact") not in ("exact", *SAID):
            add(device, "accuracy")
        for i in (0, 1) if isinstance(device.get("stops"), list) else ():
            if device["stops"][i] != "none":
                add(device, "stops", i)
        for work in device.get("works", {}).values():
            for key in ("from", "to", "full", "releases"):
                if work.get(key, SAID[0]) not in SAID:
                    add(work, key)
    if "accuracy" in data.get("fail_safe", {}):
        add(data["fail_safe"], "accuracy")
    if data["transmitter"].get("pulse", {}).get("accuracy"):
        add(data["transmitter"]["pulse"], "accuracy")
    if not places:
        return None
    holder, key, i = pick(places)
    if key == "accuracy":
        holder[key] = more(holder.get(key, "0 %"), F(3, 2))
    else:
        at, off = apart(holder[key] if i is None else holder[key][i])
        text = together(at, more(off or f"0 {at.split()[-1]}", F(3, 2)))
        if i is None:
            holder[key] = text
        else:
            holder[key][i] = text
    return data


def line_opened(data, pick):
    order = data["transmitter"].get("order", {})
    if not order:
        return None
    data = fresh(data)
    order = data["transmitter"]["order"]
    del order[pick(sorted(order))]
    if not order:
        del data["transmitter"]["order"]
    return data


def trim_wider(data, pick):
    data = fresh(data)
    some = [c for c in data["controls"].values() if "settings" not in c]
    if not some:
        return None
    control = pick(some)
    text = control.get("trim", "locked")
    control["trim"] = "6 %" if text == "locked" else more(text, F(6))
    return data


def figures(data):
    """Every figure of a boat that can be left out: (the block it stands in, its key, in short what it is)."""
    def some(holder, keys, what):
        return [(holder, key, what) for key in keys if key in holder]
    out = some(data["transmitter"].get("pulse", {}), ("accuracy",), "pulse")
    read = any("clicks" in work or isinstance(work.get("releases"), list) for work in works(data))
    out += some(data["transmitter"], ("furthest", "step") if read else ("furthest",), "set")
    out += some(data["boat"], ("sinks_in",), "boat")
    receiver, unit = data.get("receiver", {}), data.get("fail_safe", {})
    # A preset is a part of the boat, and so is a channel that is watched; a word only says what happens.
    out += [(holder, key, what) for holder, key, what in ((receiver, "on_loss", "receiver"), (unit, "notices", "unit"))
            if isinstance(holder.get(key), str)]
    out += some(receiver, ("after",), "receiver")
    out += some(unit, ("accuracy", "wait", "tried", "until_it_acts"), "unit")
    if isinstance(unit.get("notices"), dict) and "±" in unit["notices"]["beyond"]:
        out.append((unit["notices"], "beyond", "its tolerance"))
    for control in data["controls"].values():
        # Only a stick surely has a trim; that of anything else is a part of the set.
        if control.get("kind", "switch" if "settings" in control else "stick") == "stick":
            out += some(control, ("trim",), "control")
    for device in data.get("devices", {}).values():
        out += some(device, FIGURES_OF_DEVICE, device["kind"])
        if isinstance(device.get("stops"), list):
            out += [(device["stops"], i, "its tolerance") for i in (0, 1) if "±" in device["stops"][i]]
        out += [(device, "level_at", "its tolerance")] if "±" in device.get("level_at", "") else []
        for work in device.get("works", {}).values():
            # What fires or lets go does so once: left out, that is where it engages, and no figure that nobody knows.
            back = () if work.get("kind") in LETS_GO else ("releases",)
            # How long a horn may sound nobody is asked; one who says it knows.
            lasts = ("longest",) if work.get("kind") == "pump switch" else ()
            out += some(work, (*back, *lasts, "must_run", "weighs"), "work")
            if device["kind"] == "relay":
                out += some(work, ("wakes",), "work")
            out += [(work, key, "its tolerance") for key in ("from", "to", "full", "releases") if "±" in work.get(key, "")]
        rod = device.get("linkage", {})
        out += some(rod, ("rests",), "linkage")
        out += [(rod, key, "its tolerance") for key in LENGTHS + ("rests",) if "±" in rod.get(key, "")]
    return out


def figure_left_out(data, which):
    """One figure of the file taken out, or what it can be off; with what it was."""
    data = fresh(data)
    holder, key, what = figures(data)[which]
    if what == "its tolerance":
        holder[key] = apart(holder[key])[0]
    else:
        del holder[key]
    return data, f"{what}, {key}"


LESS = (wider, line_opened, trim_wider)
