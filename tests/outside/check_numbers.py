"""Holds every number with a unit on every paper against the boat file, the reports and the other papers.

Each boat's card, bench sheet with its annex, guide, page of HTML, service page and plan are made in both languages and
read with pdftotext or as HTML. Then:

- a number is one that the file has, that a report in JSON has (endpoints, states, rehearsal, certificate), that a label
  has as it stands, or that follows from the file by the plain account of `plain.py`: pulses at rest and held, the bands
  in which a meter may show them, places on the axis in microseconds, times that add up;
- both languages say the same numbers, as often, on the same paper;
- the page of HTML says what the paper says, and the card says nothing that neither guide nor sheet says;
- what is dialled in, and what a lost link sets, stands beside its own channel and way.

At the end a wrong digit is put into each paper, at places all over it, and has to be found.
"""

import html
import json
import math
import re
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction as F
from itertools import product
from pathlib import Path

import fleet
import plain
import yamlfile
from harness import BOATS, LEVEL, ROOT, WORKERS, Cases, lidcard, some
from pages import text_of, written

cases = Cases()
LANGUAGES = ("en", "de")
FIXTURES = [ROOT / f"tests/fixtures/clean/{name}.yaml" for name in ("plover", "skerry")]
FIXTURES += [ROOT / "tests/fixtures/sheet/fully-fitted.yaml"]
INVENTED = {"quick": 0, "usual": 2, "full": 20}[LEVEL]
PAPERS = {
    "card": ["card", "--size", "148x105"],
    "sheet": ["sheet", "--annex"],
    "guide": ["guide"],
    "service": ["service"],
    "plan": ["plan"],
}
SCREENS = ("card", "guide")

UNITS = ("l/min", "m/s", "MHz", "GHz", "kHz", "mAh", "min", "bar", "µs", "us", "ms", "kg", "Ah", "mm", "cm", "ml", "°C",
         "%", "°", "s", "m", "g", "V", "A", "l")
SAME = {"us": "µs", "deg": "°", "c": "°C"}
ONE = r"[+-]?\d+(?:\.\d+)?"
TOKEN = re.compile(rf"(?<![\w.,+-])({ONE}(?:–{ONE})*) ?({'|'.join(map(re.escape, UNITS))})(?![\w/²³])")
WRITTEN = re.compile(rf"({ONE}) ?([%°µa-zA-Z/]+)(?: ?(?:±|\+-) ?({ONE}) ?([%°µa-zA-Z/]+))?")
# Where an estimate is rounded for a person: to a step, up, down or to the nearest.
STEPS = {"s": (F(1), F(5), F(1, 10)), "m": (F(1, 10), F(1, 2)), "m/s": (F(1, 10), F(1, 100)), "min": (F(1),)}


# What the format means by a key: `sinks_in` is down to a metre, and that far down she is tried; `clicks` come to the
# place that 95 % of all clicks keep to, with 95 % confidence.
MEANT = ((1, "m"), (95, "%"))
# How long a battery lasts and what all draw at once is reckoned anew by `check_current.py`, and by `check_radio_depth.py`
# how deep a link reaches where the file says what the water conducts.
ELSEWHERE = {"min": "batteries", "A": "batteries", "m": "conductivity"}


def normal(text):
    """One kind of space, minus, litre and decimal, whatever the language."""
    text = re.sub(r"[\u00a0\u2009\u202f]", " ", text).replace("\u2212", "-").replace("L/min", "l/min").replace("mL", "ml")
    text = re.sub(r"(?<=\d) L\b", " l", text)
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


def numbers(text):
    """Each number with its unit as it stands, a sign kept where there is one: ("+70", "%")."""
    for match in TOKEN.finditer(text):
        for one in match[1].split("–"):
            yield one, SAME.get(match[2], match[2])


def read_html(text):
    body = re.sub(r"<(style|script|title)\b.*?</\1>", " ", text, flags=re.S)
    body = re.sub(r"<[^>]+>", " ", body)
    return normal(" ".join(html.unescape(body).split()))


class Known:
    """What may be said: exact values by unit, and values that are rounded when they are said."""

    def __init__(self, others=None):
        self.exact = set(others.exact) if others else set()
        self.rough = others.rough if others else {}
        self.rounded = others.rounded if others else {}
        # Units of what another check reckons.
        self.elsewhere = others.elsewhere if others else set()

    def add(self, value, unit):
        self.exact.add((F(value), unit))

    def near(self, value, unit):
        self.rough.setdefault(unit, set()).add(F(value))

    def ways(self, unit, places):
        """Everything of a unit as it may be said with so many decimals."""
        if (unit, places) not in self.rounded:
            grains = {F(1, 10**places), *STEPS.get(unit, ())}
            self.rounded[unit, places] = {
                way * grain
                for one in self.rough.get(unit, ())
                for grain in grains
                for way in (math.floor(one / grain), math.ceil(one / grain), round(one / grain))
            }
        return self.rounded[unit, places]

    def says(self, said, unit):
        value, places = F(said), len(said.partition(".")[2])
        either = {value} if said[0] in "+-" else {value, -value}
        return any((one, unit) in self.exact or one in self.ways(unit, places) for one in either)


def quantities(text):
    """(value, off, unit) of each quantity in a text of the boat file."""
    for value, unit, off, its in WRITTEN.findall(normal(text)):
        off = F(off or 0) * next((F(factor) for other, factor in METRIC.get(its, []) if other == unit), 1)
        yield F(value), off, SAME.get(unit.lower(), unit)


METRIC = {"kg": [("g", 1000)], "g": [("kg", F(1, 1000))], "L": [("l", 1), ("ml", 1000)], "mL": [("ml", 1)], "ml": [("l", F(1, 1000))],
          "mAh": [("Ah", F(1, 1000))], "L/min": [("l/min", 1)], "mm": [("cm", F(1, 10)), ("m", F(1, 1000))], "m": [("mm", 1000)], "min": [("s", 60)], "s": [("min", F(1, 60))]}


def of_the_file(known, raw):
    for text in written(raw):
        for value, off, unit in quantities(text):
            for unit, factor in [(unit, 1), *METRIC.get(unit, [])]:
                for one in (value, value - off, value + off, off):
                    known.add(one * factor, unit)
                    known.near(one * factor, unit)


def of_the_reports(known, file):
    """Every number of the reports, with the unit that its key or its section says; the places that readings come to."""

    def walk(value, key, unit):
        ends = {"_s": "s", "_m": "m", "_m_per_s": "m/s", "_g": "g", "_l": "l", "_v": "V", "_a": "A", "percent": "%", "us": "µs",
                "set": "%", "windows": "%", "best": "%", "begins": "s", "_mm": "mm", "_deg": "°", "_bar": "bar", "_min": "min"}
        found = [said for end, said in ends.items() if key.endswith(end)]
        unit = max(found, key=len) if found else unit
        if isinstance(value, dict):
            for inner_key, inner in value.items():
                walk(inner, inner_key, unit)
        elif isinstance(value, list):
            for inner in value:
                walk(inner, key, unit)
        elif isinstance(value, (int, float)) and not isinstance(value, bool) and unit:
            known.near(F(str(value)), unit)
        elif isinstance(value, str) and unit and re.fullmatch(ONE, value):
            known.near(F(value), unit)

    for command, unit in (("endpoints", "%"), ("states", None), ("rehearse", None)):
        out = lidcard(command, file, "--format", "json")[1]
        if out.startswith("{"):
            walk(json.loads(out), "", unit)
    told = re.sub(r"\bdeg\b", "°", " ".join(normal(lidcard("endpoints", file)[1]).split()))
    for one, unit in numbers(re.sub(rf"({ONE}) to (?={ONE} )", r"\1–", told)):
        known.near(one, unit)
    with tempfile.TemporaryDirectory() as folder:
        proof = Path(folder) / "certificate.json"
        said = lidcard("check", file, "--certificate", proof)[1]
        certificate = json.loads(proof.read_text()) if proof.is_file() else {}
    for one, unit in numbers(normal(said)):
        known.add(one, unit)
    places = {(F(at), F(off)) for *_, (at, off) in certificate.get("readings", [])}

    def fractions(value):
        if isinstance(value, dict):
            for inner in value.values():
                fractions(inner)
        elif isinstance(value, list):
            for inner in value:
                fractions(inner)
        elif isinstance(value, str) and re.fullmatch(r"-?\d+(/\d+)?", value):
            known.near(F(value) * 100, "%")

    fractions([certificate.get("readings", []), [question.get("margin") for question in certificate.get("questions", [])]])
    return places


def places_of(device, places):
    """The places that readings come to, where this device has readings."""
    return places if any("clicks" in work for work in device.get("works", {}).values()) else set()


def pulses_of(known, text, raw, places):
    """What the plain account makes of the file: pulses with their bands, and places on the axis as pulses."""
    boat = plain.Boat(text)
    accuracy = next((value for value, _, _ in quantities(str(raw["transmitter"]["pulse"].get("accuracy", "2 us")))), F(2))

    seen = set()

    def pulse(out):
        if out not in seen:
            seen.add(out)
            for off in (-accuracy, 0, accuracy):
                known.near(boat.pulse(out) + off, "µs")

    hands = []
    for control in raw["controls"]:
        for end in (F(-1), F(0), F(1)):
            hands.append((control, end))
    for n, order in product(boat.channels, boat.orders):
        for settings in boat.settings(list(boat.switches)):
            for control, end in hands:
                at = {**boat.nil(), control: end}
                pulse(boat.output(n, order, settings, at, boat.nil()))
    # Places that the file names on the axis, with what servo and place can be off.
    devices = raw.get("devices", {})
    offs = {F(0)} | {value / 100 for d in devices.values() for value, _, unit in quantities(str(d.get("accuracy", ""))) if unit == "%"}
    read = set(places)
    for text in written([devices, raw.get("receiver", {}), raw.get("fail_safe", {})]):
        places |= {(value / 100, off / 100) for value, off, unit in quantities(text) if unit == "%"}
    for (value, own), servo in product(places, offs):
        for sign in (-1, 1):
            pulse(value + sign * (own + servo))
    # How far the sticks bring each thing, and the room that is left to what it works and where it binds.
    for device in devices.values():
        n = int(device.get("channel", 0))
        if n not in boat.channels:
            continue
        slack = max(offs) if "accuracy" not in device else next((v / 100 for v, _, _ in quantities(device["accuracy"])), 0)
        outs = {boat.output(n, order, settings, {**boat.nil(), control: end}, boat.nil())
                for order in boat.orders for settings in boat.settings(list(boat.switches)) for control, end in hands}
        edges = {(v / 100, o / 100) for text in written([device.get("works", {}), device.get("stops", [])])
                 for v, o, unit in quantities(text) if unit == "%"} | places_of(device, read)
        # A stop of which nobody says what it can be off is taken to be off by up to a fifth of the travel
        # (`docs/certificate.md`, Worlds).
        for stop in device.get("stops") if isinstance(device.get("stops"), list) else []:
            for value, off, _ in quantities(stop):
                for sign in (-1, 1) if "±" not in stop and not off else ():
                    known.add(value + sign * 20, "%")
        for out in outs | set(boat.far):
            for off in (-slack, 0, slack):
                known.near((out + off) * 100, "%")
            for (edge, own), sign, travel in product(edges, (-1, 1), boat.axis[1:]):
                known.near((edge + sign * (own + slack + accuracy / travel) - out) * 100, "%")
    # A margin is said in microseconds, too.
    for value in [*known.rough.get("%", ()), *(value for value, unit in known.exact if unit == "%")]:
        for travel in {*boat.axis[1:], *boat.set[1:]}:
            known.near(abs(value) / 100 * travel, "µs")
    return boat


def times_of(known, raw):
    """Moments: each delay, and what they add up to in their order."""
    def seconds(text):
        return [value for value, _, unit in quantities(str(text)) if unit == "s"]
    unit = raw.get("fail_safe") or {}
    steps = seconds(raw.get("receiver", {}).get("after", "")) + seconds(unit.get("wait", ""))
    steps += [one for stage in unit.get("stages", []) for one in seconds(stage.get("lasts", stage.get("for", "")))]
    for first in range(len(steps)):
        for last in range(first, len(steps)):
            known.add(sum(steps[first : last + 1]), "s")


def labels_of(known, language):
    for name in (f"{language}.yaml", f"dry/{language}.yaml"):
        for text in written(yamlfile.values((ROOT / "templates/labels" / name).read_text())):
            for one, unit in numbers(normal(text)):
                known.add(F(one), unit)


def made(file, folder):
    """The text of each paper in each language, and of each page of HTML."""
    said = {}
    for language in LANGUAGES:
        for paper, command in PAPERS.items():
            pdf = folder / f"{file.stem}-{paper}-{language}.pdf"
            status, out, err = lidcard(*command[:1], file, *command[1:], "--language", language, "-o", pdf)
            if cases.holds(f"{file.name}, {language}: {paper} is made", status == 0 and pdf.is_file(), out + err):
                said[paper, language] = normal(text_of(pdf, "-raw"))
            if paper in SCREENS:
                page = folder / f"{file.stem}-{paper}-{language}.html"
                lidcard(paper, file, "--format", "html", "--language", language, "-o", page)
                if cases.holds(f"{file.name}, {language}: {paper} as HTML is made", page.is_file()):
                    said[f"{paper}.html", language] = read_html(page.read_text())
    return said


def unknown(known, text):
    return [f"{one} {unit}" for one, unit in numbers(text) if unit not in known.elsewhere and not known.says(one, unit)]


def differ(one, other):
    """What two papers do not say alike."""
    one, other = Counter(numbers(one)), Counter(numbers(other))
    return [f"{value} {unit}" for value, unit in (one - other) + (other - one)]


def lacks(one, others):
    """What one says and none of the others does, a sign apart."""
    bare = {(value.lstrip("+-"), unit) for text in others for value, unit in numbers(text)}
    return [f"{value} {unit}" for value, unit in numbers(one) if (value.lstrip("+-"), unit) not in bare]


def trouble(said, known):
    """All that is wrong with a boat's papers, by what was looked at."""
    found = {}
    for (paper, language), text in said.items():
        found[f"{paper} in {language}: each number is known"] = unknown(known[language], text)
    for paper in {paper for paper, _ in said}:
        both = [said[paper, language] for language in LANGUAGES if (paper, language) in said]
        if len(both) == 2:
            found[f"{paper}: both languages say the same numbers"] = differ(*both)
    for language in LANGUAGES:
        papers = {paper: text for (paper, its), text in said.items() if its == language}
        if {"guide", "guide.html"} <= papers.keys():
            found[f"guide in {language}: the page says what the paper says"] = sorted(
                set(lacks(papers["guide"], [papers["guide.html"]])) | set(lacks(papers["guide.html"], [papers["guide"]])))
        if {"card", "card.html", "guide", "sheet"} <= papers.keys():
            found[f"card in {language}: the page says what the card says"] = lacks(papers["card"], [papers["card.html"]])
            found[f"card in {language}: guide or sheet says it, too"] = lacks(papers["card"], [papers["guide"], papers["sheet"]])
    return found


def beside(file, said, raw, boat):
    """Facts at their own place: what is dialled, and what a lost link sets."""
    sheets = [text for (paper, _), text in said.items() if paper == "sheet"]
    for number, channel in raw["channels"].items():
        for way, value in (channel.get("endpoints") or {}).items():
            if not isinstance(value, str) or "%" not in value:
                continue
            word = re.escape(str(way).replace("_", " "))
            given = re.escape(normal(value).replace(" %", ""))
            shown = rf"{word}\s+{given} %|{given} %,[^%]{{0,30}}{word}"
            cases.holds(f"{file.name}: {way} of channel {number} is {value} on the sheet", all(re.search(shown, text) for text in sheets))
    sets = raw.get("receiver", {}).get("on_loss")
    sets = [sets] if isinstance(sets, dict) else []
    sets += [stage.get("set", {}) for stage in (raw.get("fail_safe") or {}).get("stages", [])]
    for number, value in ((n, v) for one in sets for n, v in one.items() if str(n).isdigit() and "%" in str(v)):
        at = quantities(str(value)).__next__()[0]
        pulse = round(boat.pulse(at / 100))
        name = str(raw["channels"][number].get("name", "")).replace("_", " ")
        sign = "+" if at > 0 else ""
        shown = re.compile(rf"\w+ {number}, {re.escape(name)} {re.escape(sign + f'{float(at):g}')} % {pulse} µs")
        cases.holds(f"{file.name}: a lost link sets channel {number} to {value}, {pulse} µs", all(shown.search(t) for t in sheets),
                    shown.pattern)


def spoiled(text, n):
    """The text with the last digit of its nth number another one."""
    at = [match for match in TOKEN.finditer(text)][n]
    end = at.start(1) + len(at[1])
    return text[: end - 1] + str((int(text[end - 1]) + 3) % 10) + text[end:]


def judge(file, folder):
    text = file.read_text()
    raw = yamlfile.texts(text)
    known = {}
    of_all = Known()
    of_the_file(of_all, raw)
    places = of_the_reports(of_all, file)
    boat = pulses_of(of_all, text, raw, places)
    times_of(of_all, raw)
    for one, unit in MEANT:
        of_all.add(one, unit)
    of_all.elsewhere |= {unit for unit, key in ELSEWHERE.items() if key in text}
    for language in LANGUAGES:
        known[language] = Known(of_all)
        labels_of(known[language], language)
    said = made(file, folder)
    beside(file, said, raw, boat)
    for name, found in trouble(said, known).items():
        cases.holds(f"{file.name}: {name}", not found, f"{len(found)}: {sorted(set(found))[:12]}")
    return said, known


def finds_a_wrong_digit(said, known):
    """Each paper spoiled at places all over it: whatever the digit, the papers no longer agree."""
    by_value = tried = 0
    for key, text in said.items():
        count = len(TOKEN.findall(text))
        for n in range(0, count, max(1, count // 6)):
            wrong = {**said, key: spoiled(text, n)}
            found = {name for name, what in trouble(wrong, known).items() if what}
            tried += 1
            by_value += any("is known" in name for name in found)
            cases.holds(f"a wrong digit in {key[0]}, {key[1]}, number {n + 1} of {count} is found", found)
    print(f"wrong digits: {tried} found, {by_value} of them by what is known of the boat alone")
    # A digit off often makes another number of the same boat; those only the other papers show.
    cases.holds("a third of the wrong digits are told from the boat alone", 3 * by_value >= tried, f"{by_value} of {tried}")


def main():
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        boats = [*BOATS, *(some(FIXTURES) if LEVEL == "quick" else FIXTURES)]
        for seed in range(INVENTED):
            boat = folder / f"invented-{seed}.yaml"
            boat.write_text(fleet.boat(seed))
            boats.append(boat)
        results = {}
        with ThreadPoolExecutor(WORKERS) as workers:
            for file, result in zip(boats, workers.map(lambda file: judge(file, folder), boats)):
                results[file.stem] = result
        finds_a_wrong_digit(*results["sprat"])
    cases.end()


main()
