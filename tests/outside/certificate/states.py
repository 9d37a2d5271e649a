"""Where devices are when the pilot no longer decides: what a receiver and a fail-safe unit make of their channels."""

from fractions import Fraction as F

from .boat import UNSAID, sign, yes

MOTORS = ("speed controller", "two-way pump")


def text(x):
    return str(F(x))


class States:
    def __init__(self, boat):
        self.boat = boat
        self.unit, self.loss = boat.unit, boat.loss
        preset = self.loss if isinstance(self.loss, dict) else {}
        self.preset = {int(k): boat.position(v) for k, v in preset.items() if k.isdigit()}
        self.others = preset.get("others", "hold") if isinstance(self.loss, dict) else self.loss
        far = boat.furthest
        self.far = [self.onto(-far), self.onto(far)]

    def onto(self, out):
        boat = self.boat
        away = boat.set[0] + out * boat.span(boat.set, -1 if out < 0 else 1) - boat.axis[0]
        return away / boat.span(boat.axis, -1 if away < 0 else 1)

    def within(self, low, high):
        return [text(low), text(high)]

    def piloting(self, name):
        d = self.boat.devices[name]
        if d["channel"] is not None:
            return "pilot"
        if d["behind"]:
            return self.within(*(self.boat.devices[d["behind"]]["limits"] or self.far))
        return "still"

    def silent(self, n):
        """Whether nothing is sent on a channel while the link is lost."""
        return n not in self.preset and self.others == "no pulses"

    def unit_is_sure(self):
        notices = self.unit.get("notices", "no pulses")
        if notices == "invalid pulses":
            return self.loss in ("noise", "no pulses") and self.unit.get("tried") != "no"
        if notices == "no pulses":
            return all(self.silent(int(c)) for c in self.unit["channels"])
        at = self.preset.get(int(notices["channel"]))
        value, off = self.boat.beyond
        side = sign(value)
        slack = self.boat.pulse_off / self.boat.span(self.boat.axis, side)
        return at is not None and side * at >= side * value + off + slack

    def without_pulses(self, name):
        d = self.boat.devices[name]
        if d["kind"] not in (*MOTORS, "relay"):
            return "pilot"
        said = d["without"]
        return "pilot" if said == "stays" else self.within(-self.boat.furthest, self.boat.furthest) if said == "on" else "still"

    def waiting(self, name):
        n = self.boat.devices[name]["channel"]
        if n is None:
            return self.piloting(name)
        if n in self.preset:
            return {"at": text(self.preset[n]), "by_unit": False}
        if self.others == "hold":
            return "pilot"
        if self.others == "noise":
            held = self.unit and n in map(int, self.unit["channels"]) and self.unit.get("until_it_acts", "holds") == "holds"
            return "pilot" if held and self.unit_is_sure() else self.within(*self.far)
        return self.without_pulses(name)

    def power_up(self, name):
        d = self.boat.devices[name]
        if d["channel"] is None:
            return self.piloting(name)
        if d["kind"] in (*MOTORS, "relay"):
            place = self.waiting(name)
            return "still" if place == "pilot" else place
        low, high = d["stops"]
        return self.within(low[0] - low[1] if low else self.far[0], high[0] + high[1] if high else self.far[1])

    def places(self, name):
        """[(state, place)]: every state in which the pilot does not have all channels, in order of time."""
        n = self.boat.devices[name]["channel"]
        out = [("waiting", self.waiting(name))]
        on_loss, piloting = self.waiting(name), self.piloting(name)
        acts = yes(self.unit.get("leak")) or "low_battery" in self.unit
        cause = " or ".join(w for w, there in (("low battery", "low_battery" in self.unit), ("leak", yes(self.unit.get("leak")))) if there)
        for stage in self.unit.get("stages", []):
            here = {int(k): v for k, v in stage["set"].items()}
            if n is not None and n in here:
                on_loss = piloting = {"at": text(self.boat.position(here[n])), "by_unit": True}
            out.append((f"stage {stage['name']}", on_loss))
            if acts:
                out.append((f"stage {stage['name']} ({cause})", piloting))
        return [*out, ("power-up", self.power_up(name))]

    def after_power_up(self, name):
        """Where receiver and unit put a device that nobody has steered yet."""
        n = self.boat.devices[name]["channel"]
        out = [{"at": text(self.preset[n]), "by_unit": False}] if n in self.preset else []
        for stage in self.unit.get("stages", []):
            here = {int(k): v for k, v in stage["set"].items()}
            out += [{"at": text(self.boat.position(here[n])), "by_unit": True}] if n in here else []
        return out

    def allowed(self, name, rule, state):
        """The places that a question about a device in a state may speak of."""
        places = self.places(name)
        if state in ("piloting", "on paper"):
            return [self.piloting(name)]
        if rule in ("emergency-does-not-raise", "runs-too-long"):
            # It follows what the owner is told to do, or what began in an earlier state, through every state.
            return [self.piloting(name), *(place for _, place in places)]
        if state in ("lost for good", "low battery"):
            return [place for _, place in places]
        if state == "power-up":
            # With the set on before her, with it off, and once receiver and unit act.
            return [self.piloting(name), self.waiting(name), self.power_up(name), *self.after_power_up(name)]
        return [place for known, place in places if known == state]
