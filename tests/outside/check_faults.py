"""Kills every writing command at every system call that touches its folder, and lets every such call fail.

The injection is strace's (https://strace.io, `--inject`): SIGKILL on entering a call, or an error that the
call's page of the Linux manual lists. What must hold after each:

- a name without a dot in front holds what it held before or what it would hold after, never part of it;
- after the next run in the folder all of a command's files are as before or all are as after, and nothing
  unfinished is left;
- a run that could end by itself says with its status which of the two it is.

Of all calls some are taken, with `--full` or LIDCARD_FAULTS=1 every one; `renameat2` is also taken away altogether, as on
a disk that cannot exchange names.
"""

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from bencher import Person, sit
from harness import PROGRAM, ROOT, Cases, count, lidcard

EACH = count("LIDCARD_FAULTS", 60, 24, 1)
# What can be wrong with a call, by its manual page: no room, a broken disk, no permission, too many files.
ERRORS = {
    "openat": ["EACCES", "EMFILE"],
    "write": ["ENOSPC", "EIO"],
    "fsync": ["EIO"],
    "fchmod": ["EPERM"],
    "chmod": ["EPERM"],
    "rename": ["EACCES", "EIO"],
    "renameat2": ["EACCES", "EIO"],
    "unlink": ["EACCES"],
    "unlinkat": ["EACCES"],
    "mkdir": ["ENOSPC"],
    "rmdir": ["EACCES"],
    "flock": ["ENOLCK"],
    "link": ["EPERM"],
    "linkat": ["EPERM"],
    "getdents64": ["EIO"],
    "readlink": ["EIO"],
    "statx": ["EIO"],
}
NO_EXCHANGE = ["-e", "inject=renameat2:error=EINVAL"]
SPRAT = (ROOT / "boats/sprat.yaml").read_text()
OTHER = SPRAT.replace("starboard: 90 %", "starboard: 89 %").replace("revision: A", "revision: B")

cases = Cases()


def state(folder):
    """Every file below a folder with its bytes; when something was read is another moment in every run."""
    held = {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}
    return {name: re.sub(rb"\d{4}-\d\d-\d\dT[\d:]+Z", b"THEN", data) for name, data in held.items()}


def seen(folder):
    return {name: held for name, held in state(folder).items() if not name.startswith(".")}


def traced(options, arguments, folder):
    """Runs the program under strace and answers the status and what it said."""
    command = ["strace", "-f", "-qq", "-o", str(folder.parent / "log"), *options, str(PROGRAM), *arguments]
    done = subprocess.run(
        command, cwd=folder, stdin=subprocess.DEVNULL, capture_output=True, text=True, errors="replace", timeout=60
    )
    return done.returncode, done.stderr


def calls(folder, arguments, more):
    """The calls from the first that touches the folder on, as pairs of name and number of its kind."""
    kinds = ",".join(ERRORS)
    # With the kind itself injected elsewhere the counts stay the same: an injected call counts too.
    traced(["-y", "-e", f"trace={kinds}", *more], arguments, folder)
    counts, all_calls, begun = {}, [], False
    first = None
    for line in (folder.parent / "log").read_text(errors="replace").splitlines():
        found = re.match(r"(\d+)\s+(\w+)\(", line)
        if not found:
            continue
        process, name = found.groups()
        first = first or process
        if process != first:
            continue
        counts[name] = counts.get(name, 0) + 1
        # What fails before that fails in reading, and is told as such.
        begun = begun or ".lidcard-" in line
        if begun:
            all_calls.append((name, counts[name]))
    return all_calls


class Command:
    """A command that writes, and how its folder looks before."""

    def __init__(self, name, arguments, prepare, more=(), adds=False):
        self.name, self.arguments, self.prepare, self.more, self.adds = name, arguments, prepare, list(more), adds

    def is_whole(self, file, held, before, after):
        """As before or as after; a record to which lines are added also with fewer of them, each whole."""
        if held in (before.get(file), after.get(file)):
            return True
        lines = self.adds and file.endswith(".bench.yaml") and held is not None
        return lines and held.endswith(b"\n") and after[file].startswith(held)

    def all_whole(self, now, before, after):
        """All of them as before or all as after, but for lines that are not added yet."""
        def but(files):
            return {name: held for name, held in files.items() if not (self.adds and name.endswith(".bench.yaml"))}

        records = all(self.is_whole(name, held, before, after) for name, held in now.items())
        return records and but(now) in (but(before), but(after))

    def fresh(self, home):
        folder = home / "here"
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        self.prepare(folder)
        return folder

    def check(self, home, turn):
        folder = self.fresh(home)
        before = state(folder)
        planned = calls(folder, self.arguments, self.more)
        after = state(folder)
        cases.holds(f"{self.name}: does something", before != after and planned, str(planned))
        for name, number in planned:
            for error in ["KILL", *ERRORS[name]]:
                turn[0] += 1
                if turn[0] % EACH == 0:
                    self.fault(home, name, number, error, before, after)

    def fault(self, home, name, number, error, before, after):
        folder = self.fresh(home)
        what = "signal=KILL" if error == "KILL" else f"error={error}"
        label = f"{self.name}: {error} at {name} {number}" + (" without exchange" if self.more else "")
        more = [part for part in self.more if name != "renameat2"]
        status, said = traced(["-e", f"trace={','.join(ERRORS)}", *more, "-e", f"inject={name}:{what}:when={number}"], self.arguments, folder)
        now = seen(folder)
        whole = all(self.is_whole(file, held, before, after) for file, held in now.items())
        cases.holds(f"{label}: every file is whole", whole, self.differing(now, before, after))
        if error != "KILL":
            ended = status in (0, 1, 2) and (status != 2 or said)
            cases.holds(f"{label}: ends with a status and says why", ended, f"{status}: {said}")
            if status == 2:
                # What could not be taken away is told by the next run, not here.
                good = self.all_whole(now, before, after)
                cases.holds(f"{label}: is as before", good, self.differing(now, before, after))
            elif status in (0, 1):
                cases.holds(f"{label}: is as after", now == after, self.differing(now, before, after))
        # Any writing command in the folder clears away.
        next_status, _, next_said = lidcard("check", str(ROOT / "boats/sprat.yaml"), "--output", "json:next.json", cwd=folder)
        (folder / "next.json").unlink(missing_ok=True)
        then = state(folder)
        # A backup may be there before the file that it is of is new.
        backed_up = before | {"newt.yaml.bak": after.get("newt.yaml.bak")}
        good = next_status == 0 and (then == backed_up or self.all_whole(then, before, after))
        cases.holds(f"{label}: the next run finds all or nothing", good, f"{next_said} {self.differing(then, before, after)}")

    def differing(self, now, before, after):
        names = sorted(set(now) | set(before) | set(after))
        told = []
        for name in names:
            held = now.get(name)
            if held != before.get(name) or held != after.get(name):
                which = "old" if held == before.get(name) else "new" if held == after.get(name) else "NEITHER"
                told.append(f"{name} {which if held is not None else which + ' (absent)'}")
        return ", ".join(told)


def boat(folder):
    (folder / "newt.yaml").write_text(SPRAT)


def with_pages(folder):
    """Pages of another revision are there already, of the last only nothing."""
    (folder / "newt.yaml").write_text(OTHER)
    lidcard("card", "newt.yaml", "-o", "c.svg", cwd=folder)
    boat(folder)


def with_handover(folder):
    shutil.copytree(HANDED, folder / "newt-handover")
    (folder / "newt.yaml").write_text(OTHER)


def to_solve(folder):
    shutil.copy(ROOT / "tests/fixtures/mistakes/blow-reaches-gas.yaml", folder / "newt.yaml")


def with_answers(folder):
    shutil.copy(ROOT / "tests/fixtures/answers/bollard.yaml", folder / "answers.yaml")


def at_the_bench(folder):
    boat(folder)
    (folder / "typed.txt").write_text("KL\ncold\npulse meter = 2 us\n \n \nstop\n")


def with_record(folder):
    boat(folder)
    shutil.copy(READ, folder / "newt.bench.yaml")
    (folder / "yes.txt").write_text("yes\n" * 40)


def with_readings(folder):
    shutil.copy(CLICKS, folder / "newt.yaml")
    shutil.copy(CLICKS.with_suffix(".bench.yaml"), folder / "newt.bench.yaml")
    (folder / "yes.txt").write_text("yes\n" * 40)


def to_probe(folder):
    boat(folder)
    (folder / "typed.txt").write_text("KL\ncold\nno\npulse meter = 2 us\n \n1860 us\nstop\n")


def with_recording(folder):
    shutil.copy(ROOT / "boats/capstan.yaml", folder / "newt.yaml")
    shutil.copy(ROOT / "tests/fixtures/bench/blow.vcd", folder / "blow.vcd")


def with_sheet(folder):
    for page in SHEET.iterdir():
        shutil.copy(page, folder / page.name)


def with_sheet_and_file(folder):
    with_sheet(folder)
    (folder / "back.yaml").write_text("lidcard: 1\n")


if not shutil.which("strace"):
    cases.holds("strace is there", False, "apt-get install strace")
    cases.end()

with tempfile.TemporaryDirectory() as made:
    made = Path(made)
    HANDED, SHEET = made / "handed/newt-handover", made / "sheet"
    HANDED.parent.mkdir()
    SHEET.mkdir()
    boat(HANDED.parent)
    lidcard("handover", "newt.yaml", cwd=HANDED.parent)
    boat(made)
    lidcard("sheet", "newt.yaml", "-o", "s.png", cwd=made)
    last = sorted(made.glob("s*.png"))[-1]
    last.rename(SHEET / "s.png")
    lidcard("bench", "newt.yaml", "--answers", str(ROOT / "tests/fixtures/bench/an-hour.txt"), cwd=made)
    READ = made / "newt.bench.yaml"
    CLICKS = made / "clicks.yaml"
    shutil.copy(ROOT / "boats/moonfish.yaml", CLICKS)
    around = {"vent clicks": 1300, "vent releases": 1324, "pump clicks": 1645, "pump releases": 1622, "gas clicks": 1792}
    points = {f"tank_servo.{name}": ", ".join(f"{at + off} us" for off in (-2, 1, 0, 2, -1, 1)) for name, at in around.items()}
    sit(CLICKS, CLICKS.with_suffix(".bench.yaml"), Person(CLICKS.read_text(), points=points))
    home = made / "home"
    home.mkdir()
    pages = ["card", "newt.yaml", "-o", "c.svg"]
    handing = ["handover", "newt.yaml"]
    commands = [
        Command("a card", ["card", "newt.yaml"], boat),
        Command("new pages", pages, boat),
        Command("pages again", pages, with_pages),
        Command("pages again", pages, with_pages, NO_EXCHANGE),
        Command("a handover", handing, boat),
        Command("a handover again", handing, with_handover),
        Command("a handover again", handing, with_handover, NO_EXCHANGE),
        Command("solved endpoints", ["endpoints", "newt.yaml", "--solve", "--write"], to_solve),
        Command("a file restored", ["restore", "s.png", "-o", "back.yaml"], with_sheet),
        Command("a file restored", ["restore", "s.png", "-o", "back.yaml"], with_sheet, NO_EXCHANGE),
        Command("a file restored over another", ["restore", "s.png", "-o", "back.yaml", "--force"], with_sheet_and_file),
        Command("a report", ["check", "newt.yaml", "--output", "json:report.json"], boat),
        Command("a certificate", ["check", "newt.yaml", "--certificate", "c.json"], boat),
        Command("a page for practice", ["try", "newt.yaml"], boat),
        Command("a card for a screen", ["card", "newt.yaml", "-o", "c.html"], boat),
        Command("a plan of leads", ["plan", "newt.yaml"], boat),
        Command("a page for shipping", ["service", "newt.yaml"], boat),
        Command("pages of the record", ["record", "newt.yaml"], with_record),
        Command("a first boat file", ["new", "newt.yaml", "--answers", "answers.yaml"], with_answers),
        Command("an hour at the bench", ["bench", "newt.yaml", "--answers", "typed.txt"], at_the_bench, adds=True),
        Command("readings taken over", ["adopt", "newt.yaml", "--answers", "yes.txt"], with_readings),
        Command("a set read out", ["probe", "newt.yaml", "--answers", "typed.txt"], to_probe, adds=True),
        Command("a recording heard", ["listen", "newt.yaml", "blow.vcd", "--line", "D3=4", "--add", "KL"], with_recording, adds=True),
    ]
    turn = [0]
    for command in commands:
        command.check(home, turn)
cases.end()
