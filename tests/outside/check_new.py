"""Answers the questions of `lidcard new` as strangers would, and reads what was written with another YAML reader.

Nothing here knows the questions: they are read from the program, and each is answered at random by what it says it
takes, "not known" now and then. Whatever is written has to be a boat file that the program can read and judge, with
every figure in it that was given, none that was not, and everything that is not known told as not judged or in a
remark. Then the boats of tests/fixtures/answers, which people would build: they come out as it says in their first line.

    LIDCARD_FAMILY=30 python check_new.py
"""

import json
import os
import pty
import random
import re
import select
import signal
import subprocess
import tempfile
import termios
import time
from pathlib import Path

from ruamel.yaml import YAML

import harness
import yamlfile
from harness import Cases, lidcard

FAMILY = harness.count("LIDCARD_FAMILY", 2, 4, 60)
UNKNOWN = "not measured"
WAYS = {"port": "Backbord", "ahead": "voraus", "rise": "auf"}


def asked(answers, folder):
    """What is asked, with these answers."""
    path = Path(folder) / "answers.yaml"
    path.write_text("".join(f"{name}: {json.dumps(said)}\n" for name, said in answers.items()))
    status, out, err = lidcard("new", "--questions", "--answers", path)
    if status:
        raise AssertionError(err)
    return json.loads(out)["questions"], path


def positions(rng, question):
    """A pulse that a bench could read for this question, by the words in its name."""
    name = question["id"]
    if "shorter" in name:
        return f"{rng.randint(1000, 1090) if 'stop' in name else rng.randint(1470, 1490)} us"
    if "longer" in name:
        return f"{rng.randint(1910, 2000) if 'stop' in name else rng.randint(1510, 1530)} us"
    if name.endswith("releases"):
        return "where it engages"
    return f"{rng.choice([rng.randint(1150, 1430), rng.randint(1570, 1850)])} us"


def reply(rng, question, known):
    """An answer to one question."""
    if question["unknown"] and rng.random() > known:
        return "?"
    (how, what), = question["takes"].items()
    name = question["id"]
    if how == "one":
        words = [choice["word"] for choice in what]
        return rng.choice(words)
    if how == "several":
        words = [choice["word"] for choice in what["choices"]]
        return ", ".join(rng.sample(words, rng.randint(0 if what["or_none"] else 1, min(3, len(words))))) or "none"
    if how == "text":
        # Places of the hand and stages have names of their own.
        own = name.endswith(".at") or ".stage." in name
        return f"{what['example']} {name.split('.')[-2]}" if own else what["example"]
    if how == "count":
        return str(rng.randint(what["least"], min(what["most"], 8)))
    if how == "readings":
        middle = rng.choice([rng.randint(1150, 1430), rng.randint(1570, 1850)])
        return ", ".join(f"{middle + rng.randint(-6, 6)} us" for _ in range(5))
    if what["words"] and rng.random() < 0.2:
        return rng.choice(what["words"])
    if name in ("set.rest", "set.shorter", "set.longer", "set.furthest", "set.step") or what["units"][0] not in ("us", "%"):
        return what["example"]
    if name.endswith(("accuracy", ".off")):
        return f"{rng.randint(1, 9)} {what['units'][0]}"
    if what["units"][0] == "us":
        return positions(rng, question)
    return f"{rng.randint(0, 20) if name.endswith(('trim', 'sub_trim', 'expo')) else rng.randint(40, 100)} %"


def figures(value):
    """Every number with a unit in what was read."""
    if isinstance(value, dict):
        return [f for v in value.values() for f in figures(v)]
    if isinstance(value, list):
        return [f for v in value for f in figures(v)]
    return re.findall(r"[+-]?\d+(?:\.\d+)? (?:us|%|s|V|m|MHz|Ah)\b", str(value)) if isinstance(value, str) else []


def a_boat(cases, rng, name, known):
    """Answers everything, has the file written and looks at it."""
    with tempfile.TemporaryDirectory() as folder:
        answers = {}
        while True:
            questions, path = asked(answers, folder)
            left = [q for q in questions if q["answer"] is None]
            if not left:
                break
            # What is asked of a channel can hang on what was said of those before it.
            first = left[0]["id"].split(".")[:2]
            now = [q for q in left if q["part"] == left[0]["part"] and q["id"].split(".")[:2] == first]
            answers.update({q["id"]: reply(rng, q, known) for q in now or left[:1]})
        target = Path(folder) / "boat.yaml"
        status, out, err = lidcard("new", target, "--answers", path)
        text = target.read_text() if target.exists() else ""
        if not cases.holds(f"{name} is written and can be read", status == 0, f"{out}{err}\n{text}"):
            return
        typed = {q["id"]: q["answer"] for q in questions}
        given = {f for said in typed.values() for f in figures(said.split(", "))}
        found = set(figures(yamlfile.values(text)))
        spare = {"0 %", "100 %"}
        cases.holds(f"{name} holds no figure that nobody gave", found <= given, str(found - given))
        cases.holds(f"{name} holds every figure that was given", given - spare <= found, f"{given - found}\n{text}")
        status, out, err = lidcard("check", "--all", "--format", "json", target)
        judged = status in (0, 1) and json.loads(out)["files"][0]["status"] != "unreadable"
        cases.holds(f"{name} is judged", judged, err + out[:300])
        again = lidcard("new", target, "--answers", path)
        cases.holds(f"{name} is not written over", again[0] == 2 and target.read_text() == text)


def stopped(cases, how):
    """Somebody goes away in the middle of a question: what was answered stays, and so does the terminal."""
    with tempfile.TemporaryDirectory() as folder:
        ours, theirs = pty.openpty()
        before = termios.tcgetattr(theirs)
        run = subprocess.Popen([str(harness.PROGRAM), "new", "newt.yaml"], stdin=theirs, stdout=theirs, stderr=theirs, cwd=folder,
                               start_new_session=True, env={**os.environ, "TERM": "xterm"})
        until = time.monotonic() + 60
        while termios.tcgetattr(theirs)[3] == before[3] and time.monotonic() < until:
            time.sleep(0.05)
        asked = termios.tcgetattr(theirs)[3] != before[3]
        run.send_signal(how)
        while run.poll() is None and time.monotonic() < until:
            # A terminal that nobody reads from holds its writer up.
            if select.select([ours], [], [], 0.05)[0]:
                os.read(ours, 65536)
        ended = run.poll()
        if ended is None:
            run.kill()
        cases.holds(f"{how.name} ends it", asked and ended == -how, f"asked {asked}, ended {ended}")
        cases.holds(f"{how.name} leaves the terminal as it was", termios.tcgetattr(theirs) == before)
        cases.holds(f"{how.name} leaves no half file", not [n for n in os.listdir(folder) if n.startswith(".")], str(os.listdir(folder)))


class Asked:
    """Somebody at a terminal who is asked."""

    def __init__(self, folder):
        self.ours, theirs = pty.openpty()
        self.said = ""
        self.run = subprocess.Popen([str(harness.PROGRAM), "new", "newt.yaml"], stdin=theirs, stdout=theirs, stderr=theirs, cwd=folder,
                                    start_new_session=True, env={**os.environ, "TERM": "xterm", "LC_ALL": "C.UTF-8"})
        os.close(theirs)

    def hears(self, words, seconds=60):
        """Whether that is said, from here on."""
        until = time.monotonic() + seconds
        while words not in self.said and time.monotonic() < until:
            if select.select([self.ours], [], [], 0.1)[0]:
                try:
                    self.said += os.read(self.ours, 65536).decode(errors="replace")
                except OSError:
                    break
        return words in self.said

    def types(self, keys, then):
        """Types keys; whether that is said to them."""
        self.said = ""
        os.write(self.ours, keys)
        return self.hears(then)

    def ends(self):
        """The status with which it ends."""
        self.hears("\0never\0", 0.5)
        return self.run.wait(timeout=20)


def back_and_forth(cases):
    """Esc goes to the question before, Ctrl-C stops, and the same command goes on where somebody stopped."""
    with tempfile.TemporaryDirectory() as folder:
        asked = Asked(folder)
        cases.holds("the tank comes first", asked.hears("What empties the tank?"), asked.said)
        cases.holds("Enter takes the first choice", asked.types(b"\r", "What is she called?"), asked.said)
        cases.holds("then the job", asked.types(b"Newt\r", "What is the number of the job?"), asked.said)
        cases.holds("Esc goes back to her name", asked.types(b"\x1b", "What is she called?"), asked.said)
        cases.holds("which is given anew", asked.types(b"Otter\r", "What is the number of the job?"), asked.said)
        cases.holds("who does not know says so", asked.types(b"?\r", "Which day is it"), asked.said)
        cases.holds("Ctrl-C says how to go on", asked.types(b"\x03", "goes on"), asked.said)
        cases.holds("and ends with what is open", asked.ends() == 1, str(asked.run.returncode))
        kept = yamlfile.values((Path(folder) / "newt.answers.yaml").read_text())
        answers = {"boat.empties": "pump", "boat.name": "Otter", "boat.reference": UNKNOWN}
        cases.holds("every answer is kept", kept == answers, str(kept))
        again = Asked(folder)
        cases.holds("another time it goes on from there", again.hears("Which day is it") and "What is she called?" not in again.said, again.said)
        cases.holds("and back from there as well", again.types(b"\x1b", "What is the number of the job?"), again.said)
        again.types(b"\x03", "goes on")
        again.ends()
        cases.holds("no boat file is there before the end", sorted(os.listdir(folder)) == ["newt.answers.yaml"], str(os.listdir(folder)))


def in_german(cases):
    """Who is asked in German answers the same questions with the same words, and everything that is said is said anew."""
    with tempfile.TemporaryDirectory() as folder:
        answers = Path(folder) / "answers.yaml"
        for path in sorted((harness.ROOT / "tests/fixtures/answers").glob("*.yaml")):
            answers.write_text(path.read_text())
            both = []
            for more in ((), ("--language", "de")):
                status, out, err = lidcard("new", "--questions", "--answers", answers, *more)
                cases.holds(f"{path.name} {more} is asked", status == 0, err)
                both.append(json.loads(out)["questions"])
            english, german = both
            words = lambda question: [c["word"] for c in next(iter(question["takes"].values())) if isinstance(c, dict)] \
                if isinstance(next(iter(question["takes"].values())), list) else question["takes"]
            same = [(q["id"], q["answer"]) for q in english] == [(q["id"], q["answer"]) for q in german]
            cases.holds(f"{path.name}: the same questions in German", same)
            several = [q for q in english if "several" in q["takes"]]
            cases.holds(f"{path.name}: the same words", [words(q) for q in english if q not in several]
                        == [words(q) for q in german if "several" not in q["takes"]])
            left = [g["id"] for e, g in zip(english, german) if e["ask"] == g["ask"] or e["why"] == g["why"]]
            cases.holds(f"{path.name}: nothing is left in English", not left, str(left))
            target = Path(folder) / f"de-{path.name}"
            status, out, err = lidcard("new", target, "--answers", answers, "--language", "de")
            read = [YAML(typ="rt").load(text) for text in (target.read_text(), written(folder, path, answers))]
            names = renamed(*read)
            once = len({english for _, english in names}) == len(names)
            cases.holds(f"{path.name}: the same boat, each name of hers in German", once, str(sorted(names)))
            told = {english: german for german, english in names}
            ways = [(told[way], german) for way, german in WAYS.items() if way in told]
            cases.holds(f"{path.name}: ways are German", ways and all(a == b for a, b in ways), str(sorted(names)))
            hung = [text[part] for part in ("devices", "batteries") for text in read if isinstance(text[part], dict)]
            parts = lambda names: {part for name in names for part in name.split("_") if not part.isdigit()}
            kept = [part for german, english in zip(hung[::2], hung[1::2]) for part in parts(german) & parts(english)]
            cases.holds(f"{path.name}: what hangs on her channels has German names", hung and not kept, str(kept))
            own = {english for _, english in names} & OF_THE_FORMAT
            cases.holds(f"{path.name}: words of the format stay", not own, str(own))
            verdicts = [found(target), found(Path(folder) / f"en-{path.name}")]
            cases.holds(f"{path.name}: the same is found of it", verdicts[0] == verdicts[1], str(verdicts))
            cases.holds(f"{path.name}: remarks in German", "aus den Fragen der Werkbank" in target.read_text())
        cases.holds("a terminal asks in its language", "Was leert den Tank?" in first_words("de_AT.UTF-8"), first_words("de_AT.UTF-8"))
        cases.holds("and in English where there is none of ours", "What empties the tank?" in first_words("eo.UTF-8"))


# Words that the contract of the boat file gives a meaning, not the builder.
OF_THE_FORMAT = set("""lidcard boat transmitter controls channels receiver fail_safe devices batteries owner axis name kind at ways wants
    left right towards away lower upper longer shorter trim locked control endpoints reverse channel accuracy stops effects works
    from clicks releases full servo none hold others preset switch settings submarine surface other""".split()) - {
    # Names as well: a channel's, a way's, of a thing that a servo works.
    "left", "right", "switch", "other"}


def renamed(german, english):
    """Every pair of texts by which two files differ, keys in their order; fails where they differ in more than that."""
    if isinstance(german, dict) and isinstance(english, dict):
        keys = [pair for pair in zip(german, english) if pair[0] != pair[1]]
        inside = [renamed(*pair) for pair in zip(german.values(), english.values())]
        assert len(german) == len(english), (german, english)
        return set(keys).union(*inside)
    if isinstance(german, list) and isinstance(english, list):
        assert len(german) == len(english), (german, english)
        return set().union(*(renamed(*pair) for pair in zip(german, english)))
    assert isinstance(german, str) and isinstance(english, str) or german == english, (german, english)
    return {(german, english)} if german != english else set()


def found(target):
    """What is found of a boat and how grave it is, without names."""
    _, out, _ = lidcard("check", "--all", "--format", "json", target)
    report = json.loads(out)["files"][0]
    return [[(one["rule"], one["severity"], one.get("state"), one["line"]) for one in report["findings"]],
            sorted((one["rule"], one["line"]) for one in report.get("not_judged", []))]


def written(folder, path, answers):
    """The file in English."""
    target = Path(folder) / f"en-{path.name}"
    lidcard("new", target, "--answers", answers)
    return target.read_text()


def first_words(locale):
    """What a terminal with this locale is asked first."""
    with tempfile.TemporaryDirectory() as folder:
        ours, theirs = pty.openpty()
        run = subprocess.Popen([str(harness.PROGRAM), "new", "newt.yaml"], stdin=theirs, stdout=theirs, stderr=theirs, cwd=folder,
                               start_new_session=True, env={**os.environ, "TERM": "xterm", "LC_ALL": locale})
        said, until = b"", time.monotonic() + 60
        while b"Tank?" not in said and b"tank?" not in said and run.poll() is None and time.monotonic() < until:
            if select.select([ours], [], [], 0.05)[0]:
                said += os.read(ours, 65536)
        run.kill()
        run.wait()
        return said.decode(errors="replace")


def main():
    cases = Cases()
    in_german(cases)
    back_and_forth(cases)
    for how in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
        stopped(cases, how)
    for n in range(FAMILY):
        rng = random.Random(harness.SEED * 1000 + n)
        a_boat(cases, rng, f"stranger {n}", rng.choice([1.0, 0.8, 0.3]))
    for path in sorted((harness.ROOT / "tests/fixtures/answers").glob("*.yaml")):
        expected = path.read_text().splitlines()[0].removeprefix("# expect: ")
        with tempfile.TemporaryDirectory() as folder:
            target = Path(folder) / path.name
            status, out, err = lidcard("new", target, "--answers", path)
            cases.holds(f"{path.name} is written", status == 0, out + err)
            status, out, err = lidcard("check", "--strict", target)
            cases.holds(f"{path.name}: {expected}", expected in out + err, out + err)
    cases.end()


if __name__ == "__main__":
    main()
