"""Goes to the bench as a person would: reads what `lidcard bench` asks, and types what a set-up would show.

The pulses are those of the plain account (plain.py), which knows nothing of the program; the meter is off by a
random part of what it may be. A set-up that is as its file says must agree at every step and be safe, and one
whose endpoint was turned must be found at the step that reads it, be told unsafe exactly where the plain account's
margin ends (the guard band of JCGM 106:2012, 8.3.3: inside, outside, or within the meter), and never be closed.
A run that is killed costs no line; a line that is cut off anywhere stays as a remark. The record is held to its
schema by jsonschema and read by ruamel.
"""

import json
import re
import tempfile
from pathlib import Path

import jsonschema

import yamlfile
from bencher import METER, Person, rng, sit
from harness import BOATS, Cases, count, lidcard, some

cases = Cases()
schema = json.loads(lidcard("schema", "--record")[1])


def entries(record):
    raw = yamlfile.values(record.read_text())
    jsonschema.validate(raw, schema)
    return raw["entries"]


with tempfile.TemporaryDirectory() as folder:
    folder = Path(folder)
    moonfish = next(boat for boat in BOATS if boat.stem == "moonfish")
    for boat in BOATS if count("LIDCARD_BENCH", 0, 1, 1) else [moonfish]:
        text = boat.read_text()
        record = folder / f"{boat.stem}.bench.yaml"
        status, told = sit(boat, record, Person(text))
        cases.holds(f"{boat.stem}: as the file says, done and good", status == 0 and ", 0 open" in told, told[-900:])
        cases.holds(f"{boat.stem}: nothing is unsafe", " NO" not in told)
        all_of_them = entries(record)
        cases.holds(f"{boat.stem}: a run and every step", all_of_them[0]["by"] == "KL" and
                    all(e.get("agrees", "yes") == "yes" for e in all_of_them[1:]))
        before = record.read_bytes()
        status, told = sit(boat, record, Person(text))
        cases.holds(f"{boat.stem}: nothing is asked again", status == 0 and told.count("seen> ") == 0, told)
        cases.holds(f"{boat.stem}: nothing is taken away", record.read_bytes().startswith(before))

    text = moonfish.read_text()
    # The vent has to be fully open at 82 % - 5 % and a margin of 20 us: its endpoint really stands lower.
    for turned, word in ((3, "yes"), (4.4, "yes"), (4.75, "cannot"), (5.2, "cannot"), (5.8, "NO"), (9, "NO")):
        person = Person(text.replace("flood: 82 %", f"flood: {82 - turned} %"))
        person.answer_of = person.answer
        exact = person.pulse("4/flood held")
        person.answer = lambda asked, p=person: f"{exact:.2f} us" if "4/flood held" in asked and "read> " in asked \
            else p.answer_of(asked)
        record = folder / f"turned-{turned}.bench.yaml"
        status, told = sit(moonfish, record, person)
        part = told[told.index("4/flood held"):]
        safe = re.search(r"safe: (\w+)", part)[1]
        cases.holds(f"flood {turned} % lower: safe {word}", safe == word, part[:500])
        agrees = turned * 4 <= 2 + METER + 4
        cases.holds(f"flood {turned} % lower: agrees {agrees}", ("says: yes" in part[:300]) == agrees, part[:300])
        good = agrees and word == "yes"
        cases.holds(f"flood {turned} % lower: status", status == (0 if good else 1), told[-500:])
        cases.holds(f"flood {turned} % lower: {'closed' if good else 'not closed'}", ("STOP" in told) != good)
        if not good:
            cases.holds(f"flood {turned} % lower: no gas", "Put the bottle in" not in told and "4.9" in told[told.index("STOP"):])
    # After a change of the file: due are the pulses that the plain account works out to be others, and no others.
    boat, record = folder / "due.yaml", folder / "due.bench.yaml"
    boat.write_text(text)
    sit(boat, record, Person(text))
    taken = {e["of"] for e in entries(record) if "read" in e}
    pulses = [of for of in taken if re.fullmatch(r"\d+/.*", of)]
    changes = [("blow: 53 %}", "blow: 55 %}"), ("expo: 20 %", "expo: 30 %"), ("sub_trim: -3 %", "sub_trim: -2 %"),
               ("gentle: 55 %", "gentle: 60 %"), ("add: 12 %", "add: 10 %"), ("revision: C", "revision: D"),
               ("from: +72 % ± 4 %", "from: +73 % ± 4 %")]
    for old, new in some(changes, 3):
        before, after = Person(text), Person(text.replace(old, new))
        others = {of for of in pulses if before.pulse(of) != after.pulse(of)}
        boat.write_text(text.replace(old, new))
        told = lidcard("bench", boat, "--due")[1]
        due = {of for of in taken if re.search(rf"\n +[\d.]+ +{re.escape(of)}\n", told)}
        cases.holds(f"{new}: the pulses that became others are due", {of for of in due if of in pulses} == others, f"{due} {others}")
        cases.holds(f"{new}: no point is due", not any("tank_servo" in of for of in due), f"{due}")
        status, told = sit(boat, record, Person(text.replace(old, new)), "--due")
        cases.holds(f"{new}: what is due is asked, and no more", all((f"pulse: {of}," in told) == (of in others) for of in pulses), told[:500])
        told = lidcard("bench", boat, "--due")[1]
        cases.holds(f"{new}: then nothing has to be repeated", "Nothing has to be repeated" in told, told)
    boat.write_text(text)
    told = lidcard("bench", boat, "--changed", "tank_servo")[1]
    cases.holds("another servo: its points are due, its pulses are not", all((of in " ".join(told.split())) == ("tank_servo" in of or of == "comes up by herself")
                    for of in taken if "loss" not in of), told)
    status, _, err = lidcard("bench", boat, "--changed", "the weather")
    cases.holds("what nothing rests on is told with what there is", status == 2 and "tank_servo" in err, err)

    # A click and its release in pairs; a pair that cannot be is a slip.
    class Pairs(Person):
        right = ", ".join(f"{1646 + n} us / {1623 + n} us" for n in (0, 1, 2, 1, 0))

        def answer(self, asked):
            if "cannot let go beyond" in asked:
                return self.right
            if "tank_servo.pump clicks" in " ".join(asked.split()):
                return "1646 us / 1623 us, 1646 us / 1650 us"
            return super().answer(asked)

    record = folder / "pairs.bench.yaml"
    status, told = sit(moonfish, record, Pairs(text))
    taken = {e["of"]: e["read"] for e in entries(record) if "read" in e}
    for of, base in (("tank_servo.pump clicks", 1646), ("tank_servo.pump releases", 1623)):
        cases.holds(f"pairs: {of}", taken.get(of) == [f"{base + n} us" for n in (0, 1, 2, 1, 0)], f"{taken.get(of)}")
    cases.holds("pairs: the slip is told, and the release is not asked again",
                "pair 2: it cannot let go beyond" in told and "tank_servo.pump releases, expected" not in " ".join(told.split()) and status == 0, told[-500:])

    # What can hurt or sink her is read in each state of her, and told apart in the record.
    states = {(e["of"], e.get("as", "")) for e in entries(record) if "read" in e}
    cases.holds("the vent is read as found, installed and closed", {("tank_servo.vent clicks", state) for state in ("", "installed", "closed")} <= states, f"{states}")
    cases.holds("the gas, which no stick reaches, is not read closed", ("tank_servo.gas clicks", "installed") in states
                and ("tank_servo.gas clicks", "closed") not in states, f"{states}")
    order = [(e.get("of", ""), e.get("as", "")) for e in entries(record)]
    cases.holds("closed comes after closing, and before the gas", order.index(("tank_servo.vent clicks", "closed")) > max(
        n for n, (of, _) in enumerate(order) if of.startswith("Close in this order")) < order.index(("comes up by herself", "")))

    # She comes up late, or not at all: that is found, and the guide does not tell it as an estimate that held.
    for name, typed, good, words in (("in time", "9.2 s, 10.5 s, 13 s", True, "after 9.2\u201313 s (estimate 9\u201314 s)"),
                                     ("late", "25 s", False, "NOT as estimated"), ("never", "no", False, "she did NOT come up")):
        person = Person(text)
        person.rises = lambda asked, typed=typed: typed
        person.answer_of = person.answer
        person.answer = lambda asked, p=person: " " if "once more> " in asked else p.answer_of(asked)
        record = folder / f"up-{name.replace(' ', '-')}.bench.yaml"
        status, told = sit(moonfish, record, person)
        cases.holds(f"up {name}: status", status == (0 if good else 1), told[-600:])
        out = folder / "guide.html"
        lidcard("guide", moonfish, "--record", record, "-o", out)
        cases.holds(f"up {name}: the guide says so", words in " ".join(out.read_text().split()), out.read_text()[:1500])
    lidcard("guide", moonfish, "-o", out)
    cases.holds("no record: the guide says nothing of a trial", "Tried on" not in out.read_text())

    # A gate that is not so ends it at once.
    record = folder / "gate.bench.yaml"
    status, told = sit(moonfish, record, Person(text, ["Take the gas bottle out"]))
    cases.holds("gas on board: nothing goes on", status == 1 and "STOP" in told and told.count("seen> ") == 1, told)
    status, told = sit(moonfish, record, Person(text))
    cases.holds("gas out at last: it goes on", status == 0, told[-300:])

    # Killed at some moment, and begun again: nothing that was answered is asked again.
    for _ in range(count("LIDCARD_KILLS", 2, 6, 20)):
        record = folder / f"killed-{_}.bench.yaml"
        at = rng.randrange(3, 60)
        sit(moonfish, record, Person(text), stop_after=at, kill=True)
        kept = record.read_bytes()
        done = sum("seen" in e or "read" in e for e in entries(record))
        cases.holds(f"killed at {at}: all but the one being typed", done >= at - 1 and kept.endswith(b"\n"), f"{done}")
        status, told = sit(moonfish, record, Person(text))
        cases.holds(f"killed at {at}: goes on", status == 0 and f"done already: {done} of" in told, told[:400])
        cases.holds(f"killed at {at}: nothing is taken away", record.read_bytes().startswith(kept))
    # The last line cut off anywhere.
    whole = kept.decode()
    last = whole.rstrip("\n").rfind("\n") + 1
    for cut in sorted(rng.sample(range(last + 1, len(whole) - 1), 5)):
        record = folder / f"cut-{cut}.bench.yaml"
        record.write_text(whole[:cut])
        status, told = sit(moonfish, record, Person(text), stop_after=0)
        cases.holds(f"cut at {cut}: told and kept", "cut off" in told and f"# cut off: {whole[last:cut]}" in record.read_text(), told)
        cases.holds(f"cut at {cut}: the rest is read", len(entries(record)) >= done, record.read_text()[-400:])

    other = folder / "no-record.yaml"
    other.write_text("boat: {name: x}\n")
    status, told = sit(moonfish, other, Person(text), stop_after=0)
    cases.holds("what is no record is left alone", status == 2 and other.read_text() == "boat: {name: x}\n", told)

cases.end()
