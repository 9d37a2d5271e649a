"""What a boat file leaves out although an answer may hang on it, by the keys that a certificate calls it by."""

from .boat import empties

MEASURE = "not measured"


def said(holder, key):
    return isinstance(holder, dict) and key in holder and holder[key] != MEASURE


def no_tolerance(x):
    return isinstance(x, str) and x not in ("none", MEASURE, "where it engages") and \
        ("±" not in x and "+-" not in x or x.endswith(MEASURE))


def left_out(data):
    """The key of everything that is missing, as far as an output or a threshold hangs on it."""
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
        for key, due in (("accuracy", True), ("wait", True), ("notices", True), ("tried", notices == "invalid pulses"), ("until_it_acts", noise)):
            if due and not said(unit, key):
                out.append(f"fail_safe.{key}")
        if isinstance(notices, dict) and no_tolerance(notices["beyond"]):
            out.append("fail_safe.notices.beyond")
    return out


def of_device(d):
    kind, stops = d.get("kind"), d.get("stops")
    if "channel" not in d and "behind" not in d:
        return
    moves = kind in ("speed controller", "two-way pump")
    due = ["accuracy"]
    due += ["correction"] if kind == "leveller" and d.get("role") == "override" else []
    due += ["still_between"] if moves or kind == "leveller" else []
    due += ["without_pulses"] if moves or kind == "relay" else []
    yield from (key for key in due if not said(d, key))
    if kind in ("servo", "piston"):
        here = stops if isinstance(stops, list) else [MEASURE] * 2 if not said(d, "stops") else []
        yield from (f"stops.{side}" for side, at in enumerate(here[:2]) if at == MEASURE)
    if kind in ("servo", "piston") and empties(d):
        if not said(d, "level_at"):
            yield "level_at"
        elif no_tolerance(d["level_at"]):
            yield "level_at ±"
    if isinstance(stops, list):
        yield from (f"stops.{side} ±" for side, at in enumerate(stops[:2]) if no_tolerance(at))
    rod = d.get("linkage")
    if rod:
        yield from (f"linkage.{key} ±" for key in ("horn", "rod", "lever", "pivots", "way", "rests") if no_tolerance(rod.get(key)))
        if not said(rod, "rests"):
            yield "linkage.rests"
    for name, w in (d.get("works") or {}).items():
        few = lambda key: isinstance(w.get(key), list) and len(w[key]) < 5
        yield from (f"works.{name}.{key}" for key in ("from", "to", "full") if no_tolerance(w.get(key)))
        if few("clicks"):
            yield f"works.{name}.clicks"
        if no_tolerance(w.get("releases")) or few("releases"):
            yield f"works.{name}.releases ±"
        if w.get("kind") not in ("release", "firing contact") and not said(w, "releases"):
            yield f"works.{name}.releases"
