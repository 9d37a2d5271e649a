"""Writes the part of the handbook that the program tells of itself: its commands, the keys of the boat file, the
words, the rules.

    reference.py LIDCARD FOLDER

The pages go into FOLDER/reference, and FOLDER/SUMMARY.md gets a line for each rule.
"""

import re
import subprocess
import sys
from pathlib import Path


def asked(program, *words):
    """What the program prints."""
    return subprocess.run([program, *words], check=True, capture_output=True, text=True).stdout


def commands(program):
    """Each command with its help, as it stands in a terminal."""
    out = ["# Commands\n", "What `lidcard help` says of the program, and `lidcard help COMMAND` of each command.\n"]
    out.append(f"```text\n{asked(program, '--help').strip()}\n```\n")
    for name in asked(program, "man", "--list").split():
        out.append(f"## lidcard {name}\n\n```text\n{asked(program, 'help', name).strip()}\n```\n")
    return "\n".join(out)


def plain(markdown):
    """Fenced blocks with a label of ours behind their language become blocks with that label above them."""
    return re.sub(r"^```yaml (\w+)$", r"*\1:*\n\n```yaml", markdown, flags=re.M)


def rules(pages):
    """The list of rules, from their pages by name."""
    out = ["# Rules\n", "What is asked of every boat, by the name that a report gives it.\n"]
    for name, page in pages.items():
        severity = re.search(r"^severity: (\w+)", page, re.M)[1]
        wrong = re.search(r"^## What is wrong\n\n(.*?)\n\n", page, re.M | re.S)[1]
        out.append(f"- [`{name}`](rules/{name}.md) ({severity}): {' '.join(wrong.split())}")
    return "\n".join(out) + "\n"


def main():
    program, folder = sys.argv[1], Path(sys.argv[2])
    reference = folder / "reference"
    (reference / "rules").mkdir(parents=True, exist_ok=True)
    (reference / "commands.md").write_text(commands(program))
    for word in ("keys", "words", "faults"):
        (reference / f"{word}.md").write_text(plain(asked(program, "explain", word, "--format", "markdown")))
    names = asked(program, "explain", "--format", "markdown").split()
    pages = {name: asked(program, "explain", name, "--format", "markdown") for name in names}
    for name, page in pages.items():
        (reference / "rules" / f"{name}.md").write_text(plain(page))
    (reference / "rules.md").write_text(rules(pages))
    summary = folder / "SUMMARY.md"
    line = "- [Rules](reference/rules.md)\n"
    each = "".join(f"  - [{name}](reference/rules/{name}.md)\n" for name in names)
    summary.write_text(summary.read_text().replace(line, line + each))


main()
