"""Goes to the bench with a boat whose switches click elsewhere than her file says, and lets `lidcard adopt` put the
readings in.

Held against: the bytes of the file (nothing but the values that were said yes to is touched, the backup is the old
file), ruamel's reading of old and new, the plain account's interval of the readings (scipy's factors), and what
`check` and `endpoints` say of the new file by themselves.
"""

import json
import re
import tempfile
from pathlib import Path


import yamlfile
from bencher import Person, rng, sit
from harness import BOATS, Cases, count, lidcard
from plain import Boat

cases = Cases()
moonfish = next(boat for boat in BOATS if boat.stem == "moonfish")
TEXT = moonfish.read_text()
VENT, SHUT, PUMP, OFF, GAS = NAMES = [
    "tank_servo.vent clicks", "tank_servo.vent releases", "tank_servo.pump clicks", "tank_servo.pump releases",
    "tank_servo.gas clicks"]


def said(text):
    """Every value with its path."""
    def walk(node, path):
        if isinstance(node, dict):
            return {k: v for key, value in node.items() for k, v in walk(value, f"{path}.{key}").items()}
        if isinstance(node, list):
            return {k: v for n, value in enumerate(node) for k, v in walk(value, f"{path}.{n}").items()}
        return {path: str(node)}
    return walk(yamlfile.texts(text), "")


def readings(middle, spread, n):
    return ", ".join(f"{round(rng.gauss(middle, spread))} us" for _ in range(n))


with tempfile.TemporaryDirectory() as folder:
    folder = Path(folder)
    for case in range(count("LIDCARD_ADOPT", 2, 6, 20)):
        boat = folder / f"boat-{case}.yaml"
        boat.write_text(TEXT)
        record = boat.with_suffix(".bench.yaml")
        n = rng.choice([5, 6, 10])
        points = {VENT: readings(1300, 2, n), SHUT: readings(1324, 2, n), PUMP: readings(1645, 2.5, n),
                  OFF: readings(1622, 2, n), GAS: readings(1792, 2, n)}
        wrong = case % 2 == 1
        person = Person(TEXT.replace("rise: 85 %", "rise: 70 %") if wrong else TEXT, points=points)
        sit(boat, record, person)
        kept = record.read_bytes()
        answers = {name: rng.choice(["yes", "no", "yes"]) for name in NAMES}
        script = folder / "answers.txt"
        script.write_text("\n".join(answers.values()) + "\n")
        status, told, err = lidcard("adopt", boat, "--answers", script)
        new, taken = boat.read_text(), [name for name in NAMES if answers[name] == "yes"]
        cases.holds(f"{case}: the record is not touched", record.read_bytes() == kept)
        cases.holds(f"{case}: one question for each", told.count("take it?") == len(NAMES), told)
        cases.holds(f"{case}: a contradiction is told", ("contradicts the file: 2/rise held" in told) == wrong, told[:300])
        if wrong:
            cases.holds(f"{case}: and is found", status == 1, told[-300:])
        if not taken:
            cases.holds(f"{case}: nothing taken, nothing written", new == TEXT and not Path(f"{boat}.bak").exists())
            continue
        cases.holds(f"{case}: the backup is the old file", Path(f"{boat}.bak").read_text() == TEXT)
        # Where the readings stand the old text is put back: then every byte is as it was.
        back = new
        for name in taken:
            key = name.rsplit(" ", 1)[1]
            was = "clicks: .*|from: .*" if key == "clicks" else "releases: .*"
            old = re.search(rf"\n{re.escape(name.rsplit(' ', 1)[0])}\n  now  ({was})\n  new  (.*)\n", told)
            cases.holds(f"{case}: {name}: new is what was read", old[2] == f"{key}: [{points[name]}]", old[2])
            cases.holds(f"{case}: {name}: it stands in the file once", back.count(old[2]) == 1)
            back = back.replace(old[2], old[1])
        cases.holds(f"{case}: nothing else is touched", back == TEXT)
        before, after = said(TEXT), said(new)
        moved = {path for path in before.keys() | after.keys() if before.get(path) != after.get(path)}
        cases.holds(f"{case}: only works say something else", all(".works." in path for path in moved), str(moved))
        # The plain account's interval, and what check and endpoints say of the new file.
        plain = Boat(new)
        status, out, _ = lidcard("check", "--all", "--format", "json", boat)
        found = json.loads(out)["files"][0]
        if PUMP in taken:
            pump = plain.devices["tank_servo"]["works"]["pump"]
            margin = float(pump.side * plain.channels[4]["ends"][1] - pump.sure) * 100 - 2
            ours = [f for f in found["findings"] + found.get("proved", []) if f["rule"] == "wanted-not-reached"
                    and f["where"] == "tank_servo.pump" and f["state"] == "piloting"]
            cases.holds(f"{case}: the plain account's margin", abs(ours[0]["margin"]["percent"] - margin) < 1e-6,
                        f"{ours[0]['margin']} against {margin}")
            shown = re.search(r"wanted-not-reached\s+at\s+tank_servo.pump,\s+piloting:.*?then\s+(?:NOT )?proved,\s+margin\s+(-?[\d.]+)",
                              " ".join(told.split()))
            cases.holds(f"{case}: the margin that was shown", abs(float(shown[1]) - margin) < 0.01, shown[0])
        windows = json.loads(lidcard("endpoints", "--format", "json", boat)[1])["ways"]
        blow = next(way for way in windows if (way["channel"], way["way"]) == (4, "blow"))["windows"]
        last = None
        for part, answer in zip(told.split("take it?"), answers.values()):
            seen = re.search(r"window of 4/blow: .*?; then ([\d.]+) % to ([\d.]+) %", " ".join(part.split()))
            last = seen if answer == "yes" and seen else last
        if last:
            cases.holds(f"{case}: the window that was shown", blow == [[float(last[1]), float(last[2])]], f"{blow}, {last[0]}")
        cases.holds(f"{case}: what is open is printed", "error" not in err, err)
    # Too few readings, and no record at all.
    boat = folder / "few.yaml"
    boat.write_text(TEXT)
    status, told, err = lidcard("adopt", boat)
    cases.holds("no record: it is said how to make one", status == 2 and "lidcard bench" in err, err)
    sit(boat, boat.with_suffix(".bench.yaml"), Person(TEXT, points={PUMP: "1648 us, 1650 us"}))
    status, told, err = lidcard("adopt", boat, stdin="no\nno\nno\nno\n")
    cases.holds("two readings are not taken over", "2 readings, and five are the least" in told and "tank_servo.pump\n  now  clicks" not in told, told)
    cases.holds("no to all: nothing is written", boat.read_text() == TEXT)

cases.end()
