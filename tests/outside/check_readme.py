"""Runs every example of the README, in a copy, and compares status and, where shown, output.

A console block holds `$ command` lines; a comment `# exit 1` behind a command says that it leaves
with 1. Lines under a command are its output and must come out as they stand. A YAML block whose
first line is `# NAME.yaml` is a file of that name, and is clean.
"""

import os
import re
import shutil
import tempfile
from pathlib import Path

from harness import PROGRAM, ROOT, Cases, lidcard, run

PROMISED = ["cargo run --release -- card boats/moonfish.yaml", "tests/run"]

cases = Cases()
readme = (ROOT / "README.md").read_text()
blocks = re.findall(r"^```(\w+)\n(.*?)^```$", readme, re.M | re.S)


def examples(block):
    """Commands of a block with the status they promise and the output shown."""
    command, shown = None, []
    for line in block.splitlines():
        if line.startswith("$ "):
            if command:
                yield command, shown
            command, shown = line[2:], []
        else:
            shown.append(line.rstrip())
    if command:
        yield command, shown


with tempfile.TemporaryDirectory() as temporary:
    home = Path(temporary)
    for part in ("boats", "templates", "tests/fixtures"):
        if (ROOT / part).is_dir():
            shutil.copytree(ROOT / part, home / part)
    tools = home / ".tools"
    tools.mkdir()
    (tools / "lidcard").symlink_to(PROGRAM)
    path = {"PATH": f"{tools}:{os.environ['PATH']}", "COLUMNS": "100"}

    for kind, block in blocks:
        name = re.match(r"# (\S+\.yaml)\n", block)
        if kind == "yaml" and name:
            (home / name[1]).write_text(block)
            status, out, err = lidcard("check", "--strict", home / name[1])
            cases.holds(f"{name[1]} is clean", status == 0, out + err)

    ran = []
    for kind, block in blocks:
        if kind != "console":
            continue
        for command, shown in examples(block):
            ran.append(command)
            if command in PROMISED:
                continue
            hint = re.search(r"# exit (\d+)\s*$", command)
            wanted = int(hint[1]) if hint else 0
            status, out, err = run("bash", "-c", command, cwd=home, env=path)
            cases.holds(f"$ {command}", status == wanted, f"status {status}\n{out}{err}")
            while shown and not shown[-1]:
                shown.pop()
            if shown:
                came = [line.rstrip() for line in (out + err).rstrip().splitlines()]
                cases.holds(f"$ {command}: output as shown", came == shown, "\n    ".join(came))

    first = [command for command in ran if command in PROMISED]
    cases.holds("the two commands, once each and in order", first == PROMISED, str(first))
    for target in re.findall(r"\]\((?!https?:|#)([^)#]+)", readme):
        cases.holds(f"{target} is there", (ROOT / target).exists())
cases.end()
