"""Simulated sets with a hidden order, scale, grid and jitter are read out by `lidcard probe` until nothing is left to
find out; then what it says has to be true of the set.

The set is plain Python with sums of its own: integers on a grid, cut off or rounded at each operation, whichever
the set does, and a pulse that jitters. It knows no code of the program's. Held against: the hidden order (never
thrown out; each line that is found out is its own), the hidden scale (inside the bounds), the settings at the end
(all put back), and the verdicts of `check` on the file with the found lines, which have to be those on the file with
all of the hidden order. With that file the set goes to the bench (`lidcard bench`): each of its pulses has to be told as
the file says exactly where it is no farther from the plain account than pulse, meter and one step can be off.
"""

import copy
import json
import random
import re
import subprocess
import tempfile
from fractions import Fraction as F
from math import floor
from pathlib import Path

from ruamel.yaml import YAML

import bencher
from harness import BOATS, PROGRAM, SEED, Cases, count, lidcard
import generate
from plain import Boat

cases = Cases()
rng = random.Random(SEED)
WORDS = {
    "past_full_stick": ["cut off", "carries on"],
    "endpoint": ["scales", "clamps"],
    "endpoint_side": ["stick", "pulse"],
    "trim": ["before endpoint", "after endpoint"],
    "mix": ["before endpoint", "after endpoint"],
    "sub_trim": ["shifts ends", "keeps ends"],
}
METER = 2


class Hidden:
    """A set on a bench. All sums are whole numbers of a grid; `cut` says what becomes of the rest of a product."""

    def __init__(self, boat, order, pulses, furthest, grid, cut, jitter):
        self.boat, self.order, self.pulses, self.grid, self.jitter = boat, order, pulses, grid, jitter
        self.cut = {"off": lambda x: int(x), "down": floor, "round": lambda x: floor(x + F(1, 2))}[cut]
        self.furthest = floor(furthest * grid)

    def on_grid(self, x):
        return self.cut(F(x) * self.grid)

    def times(self, a, b):
        """Two numbers of the grid."""
        return self.cut(F(a * b, self.grid))

    def signal(self, n, at, trims, settings, memo):
        """What a channel's stick, trim and mixes come to before its endpoint, and its mixes alone."""
        if n not in memo:
            ch = self.boat.channels[n]
            own = ch["control"]
            p, e = self.on_grid(at[own]), self.on_grid(ch["expo"])
            curve = self.times(self.grid - e, p) + self.times(e, self.times(self.times(p, p), p)) if e else p
            stick = self.times(self.on_grid(self.boat.rate(ch, 1 if at[own] >= 0 else -1, settings)), curve)
            mixed = 0
            for mix in ch["mixes"]:
                if any(settings[switch] != setting for switch, setting in mix["when"].items()):
                    continue
                if isinstance(mix["of"], int):
                    source = self.signal(mix["of"], at, trims, settings, memo)[0]
                else:
                    source = self.on_grid(at[mix["of"]])
                    if mix["with_trim"]:
                        source += self.on_grid(trims[mix["of"]])
                mixed += self.times(self.on_grid(mix["add"]), source)
            before = stick
            if self.order["trim"] == "before endpoint":
                before += self.on_grid(trims[own])
            if self.order["mix"] == "before endpoint":
                before += mixed
            memo[n] = before, mixed
        return memo[n]

    def pulse(self, n, ends, sub, at, trims, settings):
        """What a perfect meter would show, but for the jitter. `ends` by way, -1 and 1."""
        ch, one = self.boat.channels[n], self.grid
        signal, mixed = self.signal(n, at, trims, settings, {})
        if self.order["past_full_stick"] == "cut off":
            signal = max(-one, min(one, signal))
        low, high = self.on_grid(ends[-1]), self.on_grid(ends[1])
        if ch["g"] < 0 and self.order["endpoint_side"] == "pulse":
            low, high = high, low
        if self.order["endpoint"] == "scales":
            out = self.times(signal, high if signal >= 0 else low)
        else:
            out = max(-low, min(high, signal))
        if self.order["trim"] == "after endpoint":
            out += self.on_grid(trims[ch["control"]])
        if self.order["mix"] == "after endpoint":
            out += mixed
        out = ch["g"] * out + self.on_grid(sub)
        shorter, longer = (low, high) if ch["g"] > 0 else (high, low)
        if self.order["sub_trim"] == "keeps ends":
            out = max(-shorter, min(longer, out))
        out = max(-self.furthest, min(self.furthest, out))
        shortest, rest, longest = self.pulses
        return rest + out / self.grid * ((longest - rest) if out >= 0 else (rest - shortest))

    def shown(self, name):
        """What the meter shows for a reading of this name."""
        parts = name.split(", ")
        n = int(re.fullmatch(r"probe channel (\d+)", parts.pop(0))[1])
        ch = self.boat.channels[n]
        ends, sub = dict(ch["ends"]), ch["sub"]
        at, trims, settings = self.boat.nil(), self.boat.nil(), self.boat.first()
        for part in parts:
            what, value = part.split("=")
            if what == "endpoints":
                low, high = (F(x.strip("% ")) / 100 for x in value.split("/"))
                ends = {-1: low, 1: high}
            elif what == "sub-trim":
                sub = F(value.strip("% ")) / 100
            elif what.startswith("trim of "):
                trims[what[8:]] = F(value.strip("% ")) / 100
            elif what in self.boat.switches:
                settings[what] = value
            else:
                way = value.removeprefix("about half ")
                far = F(rng.randint(42, 58), 100) if value != way else 1
                at[what] = far * self.boat.controls[what]["ways"][way]
        for switch, all_of_them in self.boat.switches.items():
            at[switch] = F(2 * all_of_them.index(settings[switch]), max(1, len(all_of_them) - 1)) - 1
        wrong = (self.jitter + METER) * 0.97
        return float(self.pulse(n, ends, sub, at, trims, settings)) + rng.uniform(-wrong, wrong)


def bare(node):
    """Without remarks: the writer puts some of a copy where they break a line."""
    if isinstance(node, dict):
        return {key: bare(value) for key, value in node.items()}
    return [bare(value) for value in node] if isinstance(node, list) else node


def written(raw, path):
    yaml = YAML(typ="rt")
    yaml.width = 4096
    with path.open("w") as file:
        yaml.dump(bare(raw), file)


def read_out(hidden, *arguments):
    """Goes through `probe` as somebody would with that set on the bench; what was asked, and all that was told."""
    command = [str(PROGRAM), "probe", *map(str, arguments), "--by", "KL", "--conditions", "cold", "--meter", f"meter = {METER} us"]
    run = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    told, asked, names = "", b"", []
    while byte := run.stdout.read(1):
        asked += byte
        if asked.endswith(b"or once more> "):
            told, asked = told + asked.decode(), b""
            run.stdin.write(b" \n")
            run.stdin.flush()
        if not asked.endswith(b"read> "):
            continue
        text = " ".join(asked.decode().rsplit("\n\n", 1)[-1].split())
        name = re.match(r"(probe channel .*?) \((?:at most|the set's own|put back|once more)", text)[1]
        names.append(name)
        told, asked = told + asked.decode(), b""
        run.stdin.write(f"{hidden.shown(name):.1f} us\n".encode())
        run.stdin.flush()
    run.stdin.close()
    return run.wait(), names, told + asked.decode()


def verdicts(path):
    status, out, err = lidcard("check", "--all", "--format", "json", path)
    cases.holds(f"{path.name} is read", status in (0, 1), err[:300])
    found = json.loads(out)["files"][0]
    return sorted((f["rule"], f["where"], f["state"], f.get("outcome", "proved")) for f in found["findings"] + found.get("proved", []))


class AtTheBench(bencher.Person):
    """Somebody with the hidden set at the bench of what `probe` found."""

    def __init__(self, text, hidden, raw):
        super().__init__(text, raw=raw)
        self.hidden, self.shown = hidden, {}

    def pulse(self, name):
        stands = self.stands(name)
        if stands is None:
            return None
        channel, settings, at = stands
        ch, set_ = self.boat.channels[channel], self.hidden
        wrong = set_.jitter * 0.97
        exact = float(set_.pulse(channel, ch["ends"], ch["sub"], at, self.boat.nil(), settings))
        return exact + rng.uniform(-wrong, wrong)

    def answer(self, asked):
        typed = super().answer(asked)
        name = re.search(r"pulse:\s+(.*?),\s+expected", asked, re.S)
        if name and "read> " in asked and self.stands(" ".join(name[1].split())):
            self.shown[" ".join(name[1].split())] = float(typed.split()[0])
        return typed

    def agrees(self, name):
        """Whether what was shown is within what pulse, meter and step can be off, over all orders that the file allows;
        None where that is too close to tell."""
        channel, settings, at = self.stands(name)
        all_of_them = [float(self.boat.pulse(self.boat.output(channel, order, settings, at, self.boat.nil())))
                       for order in self.boat.possible_orders()]
        rest, up, down = map(float, self.boat.set)
        steps = [float(self.boat.step) * span for span in (up, down)]
        beyond = max(min(all_of_them) - self.shown[name], self.shown[name] - max(all_of_them))
        off = [float(self.boat.pulse_acc[1]) + METER + step for step in steps]
        return True if beyond <= min(off) - 0.02 else False if beyond > max(off) + 0.02 else None


def at_the_bench(at, path, hidden, raw):
    """Every pulse of the set against the file that was found; with errors it does not go to the bench."""
    found = json.loads(lidcard("check", "--format", "json", path)[1])["files"][0]["findings"]
    if any(finding["severity"] == "error" for finding in found):
        return 0
    person = AtTheBench(path.read_text(), hidden, raw)
    status, told = bencher.sit(path, path.with_suffix(".bench.yaml"), person)
    cases.holds(f"{at}: goes to the bench", status in (0, 1) and person.shown, told[-600:])
    flat = " ".join(told.split())
    for name in person.shown:
        part = flat[flat.index(f"pulse: {name}, expected"):]
        says, agrees = re.search(r"as the file says: (\w+)", part)[1], person.agrees(name)
        cases.holds(f"{at}: {name} at the bench", agrees is None or (says == "yes") == agrees, part[:400])
    return 1


def some_boat(case):
    """The text of a boat whose file says what everybody could see on the set's screen."""
    if case % 2:
        return generate.boat(rng.randint(0, 10**6))
    return BOATS[case // 2 % len(BOATS)].read_text()


def too_much(text, path):
    """Whether the program refuses to work out a boat whose set nobody knows, which it does of a few."""
    tree = YAML(typ="rt").load(text)
    tree["transmitter"].pop("order", None)
    for channel in tree["channels"].values():
        channel.pop("measured", None)
    written(tree, path)
    return "too much to work out" in lidcard("probe", path, "--meter", f"meter = {METER} us", "--format", "json")[2]


told_apart = right = benched = ends_told = 0
with tempfile.TemporaryDirectory() as folder:
    for case in range(count("LIDCARD_PROBE", 2, 6, 500)):
        text = some_boat(case)
        while case % 2 and too_much(text, Path(folder) / "unknown.yaml"):
            text = some_boat(case)
        raw = YAML(typ="rt").load(text)
        for ch in raw["channels"].values():
            ch.pop("measured", None)
        order = {line: rng.choice(words) for line, words in WORDS.items()}
        known = {line: word for line, word in order.items() if rng.random() < 0.25}
        raw["transmitter"]["order"] = dict(known)
        if not known:
            del raw["transmitter"]["order"]
        path = Path(folder) / f"set-{case}.yaml"
        written(raw, path)
        boat = Boat(path.read_text())
        rest, up, down = map(float, boat.set)
        jitter, step = float(boat.pulse_acc[1]), boat.step
        mode = rng.choice(["", "--all", "--all", "--scale"])
        near = lambda share, of: rng.uniform(-share, share) * of
        if mode == "--scale":
            middle = rest + near(0.08, min(up, down))
            pulses = rest - down + near(0.17, down), middle, rest + up + near(0.17, up)
            furthest = max(F(1), boat.furthest + F(rng.randint(-15, 20), 100))
        else:
            pulses, furthest = [x + near(0.9, jitter) for x in (rest - down, rest, rest + up)], boat.furthest
        grid = rng.choice([n for n in (200, 256, 400, 512, 1000, 1024, 2048) if n * step >= 2])
        hidden = Hidden(boat, order, pulses, furthest, grid, rng.choice(["off", "down", "round"]), jitter)
        at = f"{case} {mode} {order}"
        if rng.random() < 0.5:
            # What was read at the bench before counts for the probe.
            benched += at_the_bench(at, path, hidden, raw)
        status, names, told = read_out(hidden, path, *mode.split())
        stands = json.loads(lidcard("probe", path, *mode.split(), "--meter", f"meter = {METER} us", "--format", "json")[1])
        cases.holds(f"{at}: nothing contradicts itself", not stands["contradiction"], f"{stands['contradiction']}")
        cases.holds(f"{at}: the hidden order is left", order in stands["orders"], told[-600:])
        for line in stands["lines"]:
            cases.holds(f"{at}: {line['key']}", line["word"] in (None, order[line["key"]]), f"{line} {names}")
        if stands["scale"]:
            for bound, true in zip(("shorter_us", "rest_us", "longer_us"), pulses):
                low, high = map(float, stands["scale"][bound])
                cases.holds(f"{at}: {bound}", low <= true <= high, f"{true} outside {low}..{high}")
            low, high = map(float, stands["scale"]["furthest"])
            if mode == "--scale" and any("sub-trim" in name and "endpoints" in name for name in names):
                ends_told += high - low < 0.15
            cases.holds(f"{at}: furthest", low <= float(furthest) + 1e-3 and float(furthest) <= high + 1e-3, f"{furthest} {low} {high}")
        cases.holds(f"{at}: it came to an end", stands["next"] is None and status == 0, told[-600:])
        # Whatever was dialled in was read again as the file has it.
        dialled = {name.split(",")[0] for name in names if "endpoints=" in name or "sub-trim=" in name}
        for channel in dialled:
            of = [name for name in names if name.split(",")[0] == channel]
            cases.holds(f"{at}: {channel} is put back", "endpoints=" not in of[-1] and "sub-trim=" not in of[-1], f"{of}")
        open_lines = [line for line in stands["lines"] if not line["said"] and line["word"] is None]
        told_apart += sum(line["word"] is not None and not line["said"] for line in stands["lines"])
        if any(line["cannot_be_told"] for line in open_lines) or len(stands["orders"]) != 2 ** len(open_lines):
            continue
        # The file with what was found out, against the file with all of the truth.
        found = copy.deepcopy(raw)
        found["transmitter"]["order"] = {line["key"]: line["word"] for line in stands["lines"] if line["word"]}
        if not found["transmitter"]["order"]:
            del found["transmitter"]["order"]
        true = copy.deepcopy(raw)
        true["transmitter"]["order"] = order
        paths = [path.with_suffix(f".{name}.yaml") for name in ("found", "true")]
        written(found, paths[0])
        written(true, paths[1])
        of_found, of_true = map(verdicts, paths)
        right += 1
        cases.holds(f"{at}: the verdicts are those of the truth", of_found == of_true,
                    f"{[v for v in of_found if v not in of_true][:3]} {[v for v in of_true if v not in of_found][:3]}")
        if mode != "--scale":
            benched += at_the_bench(at, paths[0], hidden, raw)
    print(f"{told_apart} lines told apart, {right} files right, {benched} at the bench, {ends_told} furthest found")
    cases.holds("lines are told apart and files come right", told_apart > 0 and right > 0, f"{told_apart} {right}")
cases.end()
