"""What only a terminal shows: progress of long work, Ctrl-C in the middle of it, and a window that stays open.

The program runs on a pseudo-terminal (POSIX, `openpty`), as the leader of a session of its own where a terminal was
opened for it alone (POSIX, `setsid`), else as a shell starts it.
"""

import os
import pty
import select
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

from harness import PROGRAM, ROOT, Cases, lidcard, run

cases = Cases()
# What takes the line of progress away: back to the first column, erase to the end of the line (ECMA-48, EL).
ERASE = b"\x1b["


class Terminal:
    """The program on a terminal."""

    def __init__(self, *words, cwd, leads, to_terminal=("stdin", "stdout", "stderr"), env=None):
        self.ours, theirs = pty.openpty()
        streams = {name: theirs for name in to_terminal}
        rest = {name: subprocess.DEVNULL for name in ("stdin", "stdout", "stderr") if name not in to_terminal}
        environment = {key: value for key, value in os.environ.items() if key != "NO_COLOR"}
        self.program = subprocess.Popen(
            [PROGRAM, *map(str, words)],
            cwd=cwd,
            start_new_session=leads,
            env={**environment, "TERM": "xterm", **(env or {})},
            **streams,
            **rest,
        )
        os.close(theirs)
        self.said = b""

    def hear(self, until, seconds=60):
        """Reads until `until` is said, or nothing more comes."""
        end = time.monotonic() + seconds
        while until not in self.said and time.monotonic() < end:
            if not select.select([self.ours], [], [], 0.2)[0]:
                if self.program.poll() is not None:
                    break
                continue
            try:
                read = os.read(self.ours, 65536)
            except OSError:
                break
            if not read:
                break
            self.said += read
        return until in self.said

    def end(self, seconds=60):
        """Hears the rest; answers the status."""
        self.hear(b"\0never\0", seconds)
        try:
            status = self.program.wait(timeout=10)
        except subprocess.TimeoutExpired:
            self.program.kill()
            status = None
        os.close(self.ours)
        return status


def many(folder, count):
    """So many boats that checking them takes seconds on any machine."""
    for n in range(count):
        shutil.copyfile(ROOT / "boats/moonfish.yaml", folder / f"moonfish-{n}.yaml")
    return sorted(folder.glob("moonfish-*.yaml"))


ASKS = b"Press Enter to close this window."

with tempfile.TemporaryDirectory() as temporary:
    folder = Path(temporary)
    boat = folder / "sprat.yaml"
    shutil.copyfile(ROOT / "boats/sprat.yaml", boat)
    shutil.copyfile(ROOT / "tests/fixtures/mistakes/blow-reaches-gas.yaml", folder / "spoilt.yaml")

    # A file alone: her verdict, her card, and the window.
    window = Terminal(boat, cwd="/", leads=True)
    cases.holds("a window of its own waits", window.hear(ASKS), window.said)
    cases.holds("and does not end by itself", window.program.poll() is None)
    os.write(window.ours, b"\n")
    cases.holds("until Enter is pressed", window.end() == 0, window.said)
    cases.holds("what was found is told", b"nothing found" in window.said, window.said)
    cases.holds("and where the card is", b"sprat-card.pdf" in window.said, window.said)
    cases.holds("which lies beside the file", (folder / "sprat-card.pdf").is_file())
    window = Terminal(folder / "spoilt.yaml", cwd="/", leads=True)
    cases.holds("after a mistake it waits too", window.hear(ASKS), window.said)
    os.write(window.ours, b"\n")
    cases.holds("and ends as the check did", window.end() == 1, window.said)
    cases.holds("the mistake is told", b"emergency-within-reach" in window.said, window.said)
    cases.holds("a boat with mistakes gets no card", not (folder / "spoilt-card.pdf").exists())
    window = Terminal(cwd=folder, leads=True)
    cases.holds("a click on the icon shows the help and waits", window.hear(ASKS), window.said)
    os.write(window.ours, b"\n")
    cases.holds("until Enter is pressed there too", window.end() == 2, window.said)
    for words, leads, name in [
        (("check", boat), True, "a command gives the window back"),
        ((boat,), False, "a shell's window is not kept"),
    ]:
        window = Terminal(*words, cwd=folder, leads=leads)
        status = window.end()
        cases.holds(name, status == 0 and ASKS not in window.said, window.said)
    status, out, err = lidcard(boat, cwd=folder)
    cases.holds("a pipe is not waited for", status == 0 and "Press" not in out + err, out + err)

    # In a container whoever leads the session may stand outside: its number is 0 then (pid_namespaces(7)).
    outside = ["unshare", "--pid", "--fork"] + ([] if os.geteuid() == 0 else ["--user", "--map-root-user"])
    inside = [] if os.getsid(0) == 0 else outside
    status, out, err = run(*inside, PROGRAM, "check", boat)
    cases.holds("whose leader stands outside its container", status == 0 and "nothing found" in out, out + err)

    # Progress, and quiet: so many that even a quick machine takes several times the second after which it is shown.
    boats = many(folder, 2000)
    long = Terminal("check", *boats, cwd=folder, leads=False)
    cases.holds("a long check shows how far it is", long.hear(b"/2000"), long.said[-200:])
    cases.holds("and ends well", long.end(120) == 0, long.said[-200:])
    bar, report = long.said.rsplit(b"/2000", 1)
    cases.holds("the line is taken away before the report", ERASE in report[: report.index(b"moonfish")])
    cases.holds("of which nothing is lost", report.count(b"nothing found") == 2001, report.count(b"nothing found"))
    for words, shown, name in [
        (("--quiet", "check", *boats), ("stdin", "stdout", "stderr"), "--quiet shows none"),
        (("check", *boats), ("stdin", "stdout"), "a file gets none"),
    ]:
        long = Terminal(*words, cwd=folder, leads=False, to_terminal=shown)
        long.end(120)
        cases.holds(name, b"/2000" not in long.said and b"nothing found" in long.said, long.said[-200:])
    status, out, _ = lidcard("card", boat, "--quiet", cwd=folder)
    cases.holds("--quiet does not tell what was written", (status, out) == (0, ""), out)
    status, out, _ = lidcard("-q", "check", folder / "spoilt.yaml")
    cases.holds("--quiet tells what was found", status == 1 and "emergency-within-reach" in out, out)

    # Ctrl-C while pages are made: each is whole or not there, the line is gone, the signal is seen.
    cards = folder / "cards"
    cards.mkdir()
    long = Terminal("card", *boats, "-o", cards, cwd=folder, leads=False)
    cases.holds("long work is under way", long.hear(b"/2000"), long.said[-200:])
    long.program.send_signal(signal.SIGINT)
    cases.holds("Ctrl-C ends it as a signal ends a program", long.end() == -signal.SIGINT, long.said[-300:])
    told = long.said[long.said.rindex(b"lidcard: stopped") - 8 :]
    cases.holds("on a line of its own", b"\r\x1b[K" in told[:8], told)
    left = sorted(cards.iterdir())
    cases.holds("some of them were made", 0 < len(left) < len(boats), str(len(left)))
    cases.holds("nothing lies there under another name", all(f.name.endswith("-card.pdf") for f in left), str(left))
    whole = [run("qpdf", "--check", page)[0] == 0 for page in left[:20]]
    cases.holds("and what was made is whole", all(whole), str(whole))
    hand = Terminal("handover", boats[0], cwd=folder, leads=False)
    time.sleep(0.7)
    hand.program.send_signal(signal.SIGINT)
    hand.end()
    made = folder / "moonfish-0-handover"
    over = not made.exists() or (made / "handover.json").is_file()
    cases.holds("a hand-over is there whole or not at all", over)
    beside = [f.name for f in folder.iterdir() if f.name.startswith(".")]
    cases.holds("and nothing beside it", not beside, str(beside))
cases.end()
