"""What a boat file leaves out although an answer may hang on it. An unknown figure is never nought: as long as one is
missing, what is read here is only one of the boats that the file describes, and nothing is proved of all of them."""

MEASURE = "not measured"


def said(holder, key):
    return isinstance(holder, dict) and key in holder and holder[key] != MEASURE


def no_tolerance(x):
    return isinstance(x, str) and x not in ("none", MEASURE, "where it engages") and \
        ("±" not in x and "+-" not in x or x.endswith(MEASURE))


def left_out(data):
    """Paths of everything that is missing."""
    out = []
    send, unit = data.get("transmitter") or {}, data.get("fail_safe")
    if not said(send.get("pulse") or {}, "accuracy"):
        out.append("transmitter.pulse.accuracy")
    if not said(send, "furthest"):
        out.append("transmitter.furthest")
    for name, c in data["controls"].items():
        kind = c.get("kind", "switch" if "settings" in c and "ways" not in c else "stick")
        if kind == "stick" and not said(c, "trim"):
            out.append(f"controls.{name}.trim")
    out += [f"devices.{name}.{key}" for name, d in (data.get("devices") or {}).items() for key in of_device(d)]
    loss = (data.get("receiver") or {}).get("on_loss")
    if loss is None:
        out.append("receiver.on_loss")
    if unit:
        notices = unit.get("notices")
        noise = loss is None or "noise" in (loss, loss.get("others") if isinstance(loss, dict) else None)
        for key, due in (("accuracy", True), ("notices", True), ("tried", notices == "invalid pulses"), ("until_it_acts", noise)):
            if due and not said(unit, key):
                out.append(f"fail_safe.{key}")
        if isinstance(notices, dict) and no_tolerance(notices["beyond"]):
            out.append("fail_safe.notices.beyond")
    return out


def of_device(d):
    kind, stops = d.get("kind"), d.get("stops")
    if "channel" not in d and "behind" not in d:
        return
    due = ["accuracy"]
    due += ["stops"] if kind in ("servo", "piston") else []
    due += ["still_between"] if kind in ("speed controller", "two-way pump", "leveller") and d.get("one_way") not in ("yes", "true") else []
    due += ["without_pulses"] if kind in ("speed controller", "two-way pump", "relay") else []
    yield from (key for key in due if not said(d, key))
    if isinstance(stops, list) and any(s == MEASURE or no_tolerance(s) for s in stops):
        yield "stops"
    for name, w in (d.get("works") or {}).items():
        for key in ("from", "to", "full", "releases", "clicks"):
            if no_tolerance(w.get(key)) or isinstance(w.get(key), list) and len(w[key]) < 5:
                yield f"works.{name}.{key}"
        if w.get("kind") not in ("release", "firing contact") and not said(w, "releases"):
            yield f"works.{name}.releases"
