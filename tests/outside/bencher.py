"""Somebody at the bench: reads what `lidcard bench` asks and types what a set-up would show.

The pulses are those of the plain account (plain.py), which knows nothing of the program.
"""

import os
import random
import re
import signal
import subprocess
from fractions import Fraction as F

import yamlfile
from harness import PROGRAM, SEED
from plain import Boat

rng = random.Random(SEED)
# What the meter can be off, in microseconds.
METER = 2


class Person:
    """Somebody at the bench of a boat that is what this text says, whatever the file on the desk says."""

    def __init__(self, text, faults=(), points=(), raw=None):
        self.boat = Boat(text)
        self.order = self.boat.possible_orders()[0]
        self.faults = set(faults)
        # What is read of points that are crept up to, by name; the others click in the middle of what is expected.
        self.points = dict(points)
        self.raw = raw or yamlfile.values(text)

    def stands(self, name):
        """The channel behind a name such as `4/blow held, agility full` or `4/rest`, and where switches and sticks are;
        None for another name."""
        found = re.fullmatch(r"(\d+)/(.+)", name)
        if not found:
            return None
        channel, what = int(found[1]), found[2]
        p, settings = self.boat.nil(), self.boat.first()
        for part in what.split(", "):
            held = re.fullmatch(r"(.+) held", part)
            if part == "rest":
                continue
            if held:
                control, place = self.way(held[1])
                p[control] = F(place)
                continue
            switch = next(s for s in self.boat.switches if part.startswith(s + " "))
            settings[switch] = part[len(switch) + 1:]
        for switch, all_of_them in self.boat.switches.items():
            n = len(all_of_them) - 1
            p[switch] = F(2 * all_of_them.index(settings[switch]), n) - 1 if n else F(0)
        return channel, settings, p

    def pulse(self, name):
        """The pulse behind such a name."""
        stands = self.stands(name)
        if stands is None:
            return None
        channel, settings, p = stands
        return float(self.boat.pulse(self.boat.output(channel, self.order, settings, p, self.boat.nil())))

    def way(self, word):
        for name, control in self.raw["controls"].items():
            for at, of in (control.get("ways") or {}).items():
                if of == word:
                    return name, {"left": -1, "towards": -1, "lower": -1}.get(at, 1)
        raise KeyError(word)

    def answer(self, asked):
        """What is typed where this is asked."""
        if "seen> " in asked:
            what = " ".join(asked.split())
            return "no" if any(fault in what for fault in self.faults) else " "
        if "a space if it was read so" in asked:
            return " "
        if "seconds:" in asked:
            return self.rises(" ".join(asked.split()))
        what = re.search(r"pulses?:\s+(.*?),\s+expected\s+(.*)", asked, re.S)
        name = " ".join(what[1].split())
        of = re.sub(r", (installed|closed)$", "", name)
        if of in self.points:
            return self.points[of]
        pulse = self.pulse(name)
        if pulse is not None:
            return f"{pulse + rng.uniform(-METER, METER):.2f} us"
        low, high = map(int, re.findall(r"(\d{3,4})[\u2013 ]+(\d{3,4}) ?µs", " ".join(what[2].split()))[-1])
        if name.startswith("loss"):
            part = re.search(rf"channel {name.rsplit(' ', 1)[1]}, [^;]*?(\d+)\u2013(\d+)", " ".join(what[2].split()))
            return f"{(int(part[1]) + int(part[2])) / 2} us"
        middle = (low + high) / 2
        return ", ".join(f"{middle + off:.1f} us" for off in (-1, 0, 1, 0, -1))


    def rises(self, asked):
        """Stopwatch readings in the middle of what is expected."""
        told = re.search(r"expected (\d+)(?:\u2013(\d+))? s", asked)
        low, high = (int(told[1]), int(told[2] or told[1])) if told else (12, 12)
        return ", ".join(f"{(low + high) / 2 + off:.1f} s" for off in (-0.2, 0, 0.3))


def sit(file, record, person, *more, stop_after=None, kill=False):
    """One run; gives back its status and all that was printed and typed."""
    command = [str(PROGRAM), "bench", str(file), "--record", str(record), "--by", "KL", "--conditions", "cold",
               "--meter", f"pulse meter = {METER} us", *more]
    run = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    told, asked, steps = "", b"", 0
    while byte := run.stdout.read(1):
        asked += byte
        if not asked.endswith(b"> "):
            continue
        text = asked.decode()
        typed = "stop" if steps == stop_after else person.answer(text)
        if steps == stop_after and kill:
            os.kill(run.pid, signal.SIGKILL)
            break
        told, asked, steps = told + text + typed + "\n", b"", steps + 1
        run.stdin.write((typed + "\n").encode())
        run.stdin.flush()
    told += asked.decode()
    run.stdin.close()
    return run.wait(), told
