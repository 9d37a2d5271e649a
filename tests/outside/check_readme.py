"""Runs every example of the README, in a copy, and compares status and, where shown, output.

The pictures of the card are those that the program draws today.
"""

from examples import Reader, home, links
from harness import ROOT, Cases, lidcard

PROMISED = ["cargo run --release -- card boats/moonfish.yaml", "tests/run"]

cases = Cases()
readme = (ROOT / "README.md").read_text()

with home() as (folder, env):
    reader = Reader(folder, env, cases, unrun=[*PROMISED, "cargo install --path ."])
    reader.read(readme)

    lidcard("card", ROOT / "boats/moonfish.yaml", "-o", folder / "card.png")
    drawn = {page.name: page.read_bytes() for page in folder.glob("card*.png")}
    kept = {page.name: page.read_bytes() for page in (ROOT / "tests/golden").glob("card*.png")}
    cases.holds("the pictures are of today's card", drawn and drawn == kept, f"{sorted(drawn)}, {sorted(kept)}")

first = [command for command in reader.ran if command in PROMISED]
cases.holds("the two commands, once each and in order", first == PROMISED, str(first))
for target in links(readme):
    cases.holds(f"{target} is there", (ROOT / target).exists())
cases.end()
