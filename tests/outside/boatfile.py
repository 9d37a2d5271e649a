"""A boat file as nested dictionaries of plain texts: read, and written again.

Everything written here is flow style on few lines, so a file reads the same whatever was changed in it.
"""

import copy
import json
import random
import re
from fractions import Fraction as F

import yamlfile


NUMBER = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*(%|us|µs|deg|mm)\s*$")
PLAIN = re.compile(r"^[A-Za-z0-9+\-±.][A-Za-z0-9_ .+\-±%/]*$")


def load(text):
    return yamlfile.texts(text)


def flow(x):
    if isinstance(x, dict):
        return "{" + ", ".join(f"{flow(k)}: {flow(v)}" for k, v in x.items()) + "}"
    if isinstance(x, list):
        return "[" + ", ".join(map(flow, x)) + "]"
    return x if PLAIN.match(x) else json.dumps(x, ensure_ascii=False)


def write(data):
    """One line for each entry of each section, for readable witnesses of what went wrong."""
    out = []
    for key, part in data.items():
        if isinstance(part, dict) and key in ("controls", "channels", "devices"):
            out.append(f"{key}:")
            out += [f"  {flow(k)}: {flow(v)}" for k, v in part.items()]
        else:
            out.append(f"{key}: {flow(part)}")
    return "\n".join(out) + "\n"


def amount(text):
    """(number, unit) of a quantity without a tolerance."""
    n, unit = NUMBER.match(text).groups()
    return F(n), unit


def said(n, unit, sign=False):
    """A quantity as text; exact, or refused."""
    n = F(n)
    ten = n * 10**6
    if ten.denominator != 1:
        raise ValueError(f"{n} has no short decimal")
    text = f"{float(n):.6f}".rstrip("0").rstrip(".")
    return ("+" if sign and n > 0 else "") + ("0" if text in ("-0", "") else text) + f" {unit}"


def axis(name, rest, up, down):
    """What a random boat says of its axis, or None: mostly that of its set, at times another's."""
    r = random.Random(f"axis {name}")
    if r.random() < 0.15:
        return None
    if r.random() < 0.4:
        rest += r.choice([-20, -20, 0, 20, 20, 35])
        up, down = r.choice([(up, down), (500, 500), (400, 400), (625, 625), (500, 320), (300, 500)])
    return {"rest": f"{rest} us", "full": [f"{rest - down} us", f"{rest + up} us"]}


def fresh(data):
    return copy.deepcopy(data)


LETS_GO = {"release", "firing contact"}


def completed(data):
    """The boat with a word for every figure that she leaves out: that there is none, or nothing off. A made boat
    is of one world then, and an account need not know the others. What things are for is left as it is."""
    data = fresh(data)
    data.setdefault("transmitter", {}).setdefault("pulse", {}).setdefault("accuracy", "2 us")
    data["transmitter"].setdefault("furthest", "125 %")
    loss = data.setdefault("receiver", {}).setdefault("on_loss", "no pulses")
    data["receiver"].setdefault("after", "0 s")
    data.setdefault("boat", {}).setdefault("sinks_in", "600 s")
    for control in data.get("controls", {}).values():
        if "settings" not in control and control.get("kind", "stick") == "stick":
            control.setdefault("trim", "locked")
    unit = data.get("fail_safe")
    if unit:
        unit.setdefault("accuracy", data["transmitter"]["pulse"]["accuracy"])
        unit.setdefault("wait", "1 s")
        notices = unit.setdefault("notices", "no pulses")
        if notices == "invalid pulses":
            unit.setdefault("tried", "20 times off and on")
        if "noise" in (loss, loss.get("others") if isinstance(loss, dict) else None):
            unit.setdefault("until_it_acts", "passes")
        if isinstance(notices, dict):
            notices["beyond"] = with_off(notices["beyond"])
    for device in data.get("devices", {}).values():
        kind = device.get("kind")
        works = device.get("works", {})
        if "channel" in device or "behind" in device:
            device.setdefault("accuracy", "exact")
        if kind == "servo":
            device.setdefault("stops", "none")
            device.setdefault("takes", "0.01 s")
        if isinstance(device.get("stops"), list):
            device["stops"] = [with_off(stop) for stop in device["stops"]]
        if kind == "leveller" and device.get("role") == "override":
            device.setdefault("correction", "0 %")
        if kind in ("speed controller", "relay"):
            device.setdefault("without_pulses", "stops" if kind == "speed controller" else "off")
        if kind == "speed controller":
            device.setdefault("learns_rest", "no")
        for work in works.values():
            for key in ("from", "to", "full", "releases"):
                if key in work:
                    work[key] = with_off(work[key])
            if work.get("kind") == "pump switch":
                work.setdefault("longest", "none")
            if work.get("kind") not in LETS_GO:
                work.setdefault("releases", "where it engages")
    return data


def with_off(text):
    """A place with the most that it can be off; nothing where the file says none."""
    return text if "±" in text or "+-" in text or not NUMBER.match(text) else f"{text} ± 0 %"


def complete(text):
    """The same of a text."""
    return write(completed(load(text)))
