"""Runs what a text for readers shows, in a folder with the boats, and compares status and output.

A console block holds `$ command` lines; a comment `# exit 1` behind a command says that it leaves with 1. Lines under
a command are its output and must come out as they stand. `<!-- $ command -->` is run and not shown;
`<!-- only the first 9 lines -->` (or last) before a block with one command says how much of its output is shown,
with a line `…` for the rest. A YAML block whose first line is `# NAME.yaml` is a file of that name, and is clean.
"""

import os
import re
import shutil
import tempfile
from contextlib import contextmanager
from pathlib import Path

from harness import PROGRAM, ROOT, lidcard, run

MORE = "…"
PART = re.compile(
    r"^<!-- \$ (?P<hidden>.*?) -->$"
    r"|^<!-- only the (?P<end>first|last) (?P<lines>\d+) lines -->$"
    r"|^```(?P<kind>\w+)\n(?P<block>.*?)^```$",
    re.M | re.S,
)


@contextmanager
def home():
    """A folder such as a reader stands in, and where programs are looked for."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        for part in ("boats", "templates", "tests/fixtures"):
            shutil.copytree(ROOT / part, folder / part)
        tools = folder / ".tools"
        tools.mkdir()
        (tools / "lidcard").symlink_to(PROGRAM)
        yield folder, {"PATH": f"{tools}:{os.environ['PATH']}", "COLUMNS": "100"}


def commands(block):
    """Commands of a block, each with the output shown."""
    found = []
    for line in block.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        elif found:
            found[-1][1].append(line.rstrip())
    return found


def cut(came, end, lines):
    """As much of an output as is shown."""
    if end is None or len(came) <= lines:
        return came
    return [*came[:lines], MORE] if end == "first" else [MORE, *came[-lines:]]


class Reader:
    """Goes through texts one after the other, in one folder."""

    def __init__(self, folder, env, cases, unrun=(), every_output=False):
        self.folder, self.env, self.cases = folder, env, cases
        # Commands that the text promises and others try.
        self.unrun = unrun
        # A command that prints something has to show it.
        self.every_output = every_output
        self.ran = []

    def read(self, text):
        """Runs everything in a text; answers the text with today's output."""
        said, at, shown = [], 0, (None, 0)
        for part in PART.finditer(text):
            said.append(text[at : part.start()])
            at, whole = part.end(), part[0]
            if part["hidden"]:
                status, out, err = self.bash(part["hidden"])
                self.cases.holds(f"$ {part['hidden']}", status == 0, out + err)
            elif part["end"]:
                shown = part["end"], int(part["lines"])
            elif part["kind"] == "console":
                whole = "```console\n" + self.console(part["block"], *shown) + "```"
            elif part["kind"] == "yaml":
                self.boat(part["block"])
            if part["kind"]:
                shown = (None, 0)
            said.append(whole)
        return "".join(said) + text[at:]

    def bash(self, command):
        return run("bash", "-c", command, cwd=self.folder, env=self.env)

    def boat(self, block):
        """A boat file that a reader is to save."""
        name = re.match(r"# (\S+\.yaml)\n", block)
        if name:
            (self.folder / name[1]).write_text(block)
            status, out, err = lidcard("check", "--strict", self.folder / name[1])
            self.cases.holds(f"{name[1]} is clean", status == 0, out + err)

    def console(self, block, end, lines):
        """Runs a block; answers it with today's output."""
        said = []
        for command, shown in commands(block):
            self.ran.append(command)
            said.append(f"$ {command}")
            if command in self.unrun:
                said += shown
                continue
            hint = re.search(r"# exit (\d+)\s*$", command)
            wanted = int(hint[1]) if hint else 0
            status, out, err = self.bash(command)
            self.cases.holds(f"$ {command}", status == wanted, f"status {status}\n{out}{err}")
            while shown and not shown[-1]:
                shown.pop()
            if shown or self.every_output:
                came = cut([line.rstrip() for line in (out + err).rstrip().splitlines()], end, lines)
                self.cases.holds(f"$ {command}: output as shown", came == shown, "\n    ".join(came))
                said += came
        return "".join(f"{line}\n" for line in said)


def links(text):
    """Where the links of a text lead that are neither elsewhere nor on the page itself."""
    return re.findall(r"\]\((?!https?:|#)([^)#]+)", text)
