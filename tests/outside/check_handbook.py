"""Runs every command of the handbook, chapter after chapter in one folder as a reader would, and compares each output.

Its reference is written by the program itself (`docs/reference.py`); every page is in the summary, every link leads
somewhere, and the pictures are those that the program draws today. `BLESS=1` puts today's outputs and pictures into
the chapters: look at what changed.
"""

import os
import re
import shutil
import sys
import tempfile
from pathlib import Path

from examples import Reader, home, links
from harness import PROGRAM, ROOT, Cases, lidcard, run

BOOK = ROOT / "docs"
BLESS = bool(os.environ.get("BLESS"))

cases = Cases()
chapters = [name for name in links((BOOK / "SUMMARY.md").read_text()) if not name.startswith("reference/")]

with home() as (folder, env):
    reader = Reader(folder, env, cases, every_output=True)
    for name in chapters:
        text = (BOOK / name).read_text()
        today = reader.read(text)
        if BLESS:
            (BOOK / name).write_text(today)
        cases.holds(f"{name} shows today's outputs", BLESS or today == text)
    cases.holds("the book has commands to run", len(reader.ran) > 30, str(len(reader.ran)))

    pictures = BOOK / "pictures"
    (folder / "pictures").mkdir()
    for paper in ("card", "sheet"):
        lidcard(paper, ROOT / "boats/moonfish.yaml", "-o", folder / f"pictures/{paper}.png")
    for kept in sorted(pictures.iterdir()):
        drawn = folder / "pictures" / kept.name
        if BLESS and drawn.is_file():
            shutil.copyfile(drawn, kept)
        same = drawn.is_file() and drawn.read_bytes() == kept.read_bytes()
        cases.holds(f"{kept.name} is as drawn today", same)

# What the program does not know of the commands cannot be run by a reader.
known = {"help", *lidcard("man", "--list")[1].split()}
for command in reader.ran:
    for word in re.findall(r"\blidcard ([a-z]\S*)", command):
        cases.holds(f"{word} is a command", word in known or word.endswith(".yaml"), command)

with tempfile.TemporaryDirectory() as temporary:
    book = Path(temporary) / "docs"
    shutil.copytree(BOOK, book)
    status, out, err = run(sys.executable, BOOK / "reference.py", PROGRAM, book)
    cases.holds("the program tells its reference", status == 0, out + err)
    summary = links((book / "SUMMARY.md").read_text())
    cases.holds("no page twice in the summary", len(summary) == len(set(summary)))
    pages = {str(page.relative_to(book)) for page in book.rglob("*.md")} - {"SUMMARY.md"}
    cases.holds("every page is in the summary and is there", pages == set(summary), str(pages ^ set(summary)))
    for page in sorted(pages):
        text = (book / page).read_text()
        cases.holds(f"{page} has a title", re.match(r"# \S", text) is not None)
        # Code may look like a link.
        prose = re.sub(r"^```.*?^```$", "", text, flags=re.M | re.S)
        for target in links(prose):
            where = ((book / page).parent / target).resolve()
            cases.holds(f"{page}: {target} is there", where.exists() and book.resolve() in where.parents)
        # On the page, a fence that stays open swallows the rest.
        cases.holds(f"{page}: fences are closed", len(re.findall(r"^```", text, re.M)) % 2 == 0)
    named = [line for line in lidcard("explain", "--format", "markdown")[1].split()]
    cases.holds("every rule has its page", all((book / f"reference/rules/{name}.md").is_file() for name in named))
    keys = (book / "reference/keys.md").read_text()
    listed = [line.split("  ")[0] for line in lidcard("explain", "keys")[1].splitlines() if not line.startswith(" ")]
    for key in listed:
        cases.holds(f"{key} is in the reference", f"## {key}\n" in keys)
cases.end()
