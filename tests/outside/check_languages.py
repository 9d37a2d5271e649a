"""Reads the documents in every language: each word must come from the labels of that language, from
the boat file or from the list of rules. A text that stands in the program instead of in the labels is
found by its English words, whatever the page it is on."""

import json
import re
import tempfile
from pathlib import Path

import yamlfile
from harness import BOATS, MISTAKES, ROOT, Cases, lidcard, some
from pages import text_of, written

LABELS = {file.stem: file for file in sorted((ROOT / "templates/labels").glob("*.yaml"))}
FIXTURES = sorted(
    file for folder in ("clean", "accepted", "sheet") for file in (ROOT / "tests/fixtures" / folder).glob("*.yaml")
)
CODE = re.compile(r"\b[0-9A-Z]{4}-[0-9A-Z]{4}\b")
SUM = re.compile(r"\b[0-9a-f]{8}(?:\s*[0-9a-f]{8}){7}\b")
PLACEHOLDER = re.compile(r"\{\w+\}")
# So many labels may read as the English ones do: "Material" is both, a file left in English is not.
ALIKE = 0.05

cases = Cases()


def words(text):
    """The words of a text, without capitals; figures, codes and sums are none."""
    return {word.casefold() for word in re.findall(r"[^\W\d_]+", CODE.sub(" ", SUM.sub(" ", text)))}


def scalars(tree, path=""):
    """Every text of a file with its path."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from scalars(value, f"{path}.{key}")
    elif isinstance(tree, list):
        for value in tree:
            yield from scalars(value, path)
    elif tree is not None:
        yield path, str(tree)


def read(file):
    return yamlfile.values(file.read_text())


labels = {name: dict(scalars(read(file))) for name, file in LABELS.items()}
# What is said otherwise of a model that is no boat.
dry = {name: dict(scalars(read(ROOT / f"templates/labels/dry/{name}.yaml"))) for name in LABELS}
said = {
    name: words(" ".join(PLACEHOLDER.sub(" ", text) for text in [*all.values(), *dry[name].values()]))
    for name, all in labels.items()
}
# A finding on a sheet bears the name of its rule, by which `explain` and `accept` know it.
rules = [line.split(" ")[0] for line in lidcard("explain")[1].splitlines() if "-" in line.split(" ")[0]]
cases.holds("the list of rules is read", {"emergency-within-reach", "beyond-stop"} <= set(rules), rules)
RULE = re.compile("|".join(map(re.escape, sorted(rules, key=len, reverse=True))) or "$.")

# Keys that a page names because the boat file does not say them.
MISSING = {"draws", "fuse", "plug", "rated", "resistance", "stall", "switch", "capacity"}

# What a boat file says in words of the format is to be translated: no page may simply repeat it.
known = {
    text
    for path, text in labels["en"].items()
    if re.match(r"\.(common\.(effects|works|places|kinds)|sheet\.(regions|axes\.kinds))\.", path)
}

for name, texts in labels.items():
    worded = {path: text for path, text in texts.items() if words(PLACEHOLDER.sub(" ", text))}
    alike = [path for path, text in worded.items() if text == labels["en"].get(path)]
    few = name == "en" or len(alike) <= ALIKE * len(worded)
    cases.holds(f"{name}: not left in English", few, f"as in English: {alike}")


def wanted(boat):
    """The keys of what nobody has measured, as the boat file has to name them, and what is shown of a name."""
    boats = json.loads(lidcard("check", "--format", "json", boat)[1])["files"]
    missing = [m["key"] for f in boats[0].get("not_judged", []) for m in f["missing"]]
    # Of a name that reads badly the sentence is shown as it would be printed, in the language of the name.
    shown = [f["message"] for f in boats[0]["findings"] if f["rule"] == "name-reads-badly"]
    return words(" ".join(missing + shown).replace("_", " ").replace(".", " "))


def check(boat, document, language, folder, *options):
    """One document; with what the rules found open its sheet names the rules."""
    name = f"{boat.relative_to(ROOT)}: {document} in {language}"
    pdf = folder / f"{boat.stem}-{document}-{language}.pdf"
    status, _, problem = lidcard(document, boat, "--language", language, "-o", pdf, *options)
    if not cases.holds(f"{name} is made", status == 0, problem):
        return
    text = text_of(pdf)
    own = words(" ".join(name for name in written(read(boat)) if name not in known).replace("_", " "))
    strange = words(RULE.sub(" ", text)) - said[language] - own - MISSING
    if strange and document == "sheet":
        strange -= wanted(boat)
    if "--draft" in options:
        # The words across the page lie aslant, and readers of text pick them up in pieces.
        across = set((labels[language][".common.draft_across"] + labels[language][".common.failed_across"]).casefold())
        strange = {word for word in strange if len(word) > 3 or not set(word) <= across}
    cases.holds(f"{name}: no word from elsewhere", words(text) and not strange, ", ".join(sorted(strange)))


with tempfile.TemporaryDirectory() as temporary:
    folder = Path(temporary)
    for language in LABELS:
        for boat in some(BOATS + FIXTURES, 12, 5):
            check(boat, "sheet", language, folder, "--annex")
            check(boat, "guide", language, folder)
            # What fits on no card is refused, and that is another check's.
            if boat.stem != "sixteen-channels":
                check(boat, "card", language, folder, "--size", "105x148")
        for boat in some(MISTAKES, 24, 9):
            check(boat, "sheet", language, folder, "--draft")

cases.end()
