"""Looks at every owner's guide, in each language and as a booklet, with programs that know nothing of ours."""

import json
import tempfile
from pathlib import Path

import yamlfile
from harness import BOATS, MISTAKES, ROOT, Cases, lidcard, run, some
from pages import fonts_are_inside, pages_of, size_is_exact, text_of, words_lie_on_the_page, words_of

A5 = (148.0, 210.0)
BOOKLETS = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
LANGUAGES = sorted(file.stem for file in (ROOT / "templates/labels").glob("*.yaml"))
GAS = "emergency gas valve"

cases = Cases()


def read(file):
    return yamlfile.values(file.read_text())


def outline(pdf):
    """The titles of the outline, with those under them."""

    def titles(entries):
        for entry in entries:
            yield entry["title"]
            yield from titles(entry.get("kids", []))

    return list(titles(json.loads(run("qpdf", "--json", "--json-key=outlines", pdf)[1])["outlines"]))


def facts_of(boat):
    """What the owner has to find, whatever the language: all of it the builder's own words."""
    yield boat["boat"]["name"]
    for key in ("reference", "revision", "date", "workshop"):
        if key in boat["boat"]:
            yield str(boat["boat"][key])
    if "memory" in boat["transmitter"]:
        yield boat["transmitter"]["memory"]
    yield from boat["controls"]
    for channel in boat["channels"].values():
        yield channel["name"]
    yield from (line for line in boat.get("owner", {}).get("emergency", []) if isinstance(line, str))
    for key, fact in boat.get("fittings", {}).items():
        if key == "lights":
            yield from fact
            yield from fact.values()
        elif key not in ("power", "snorkel"):
            yield from [fact] if isinstance(fact, str) else fact


def chapters_of(labels, boat):
    """The titles that this boat's guide must have, in the order in which one reads."""
    guide = labels["guide"]
    dives = boat["boat"].get("kind", "submarine") == "submarine"
    works = [w["kind"] for d in boat["devices"].values() for w in d.get("works", {}).values()]
    # Inside the cover, before everything else.
    yield guide["emergency"]["title"]
    yield guide["controls"]["title"]
    yield guide["before"]["title"]
    yield guide["diving" if dives else "sailing"]["title"]
    yield guide["alone"]["title"]
    yield guide["odd"]["title"]
    yield guide["charging"]["title" if GAS in works else "title_batteries"]
    yield guide["after"]["title"]
    yield guide["ask"]["title"]
    yield guide["settings"]["title"]
    yield guide["limits"]["title"]


def in_order(wanted, text):
    """The first of the texts that does not follow the one before it."""
    at = 0
    for one in wanted:
        found = text.find(words_of(one), at)
        if found < 0:
            return one
        at = found + len(words_of(one))
    return None


def clean_guide(file, language, folder):
    name = f"{file.name}, {language}"
    pdf = folder / f"{file.stem}-{language}.pdf"
    status, out, err = lidcard("guide", file, "--language", language, "-o", pdf)
    if not cases.holds(f"{name}: guide is made", status == 0 and pdf.is_file(), out + err):
        return
    status, out, err = run("qpdf", "--check", pdf)
    cases.holds(f"{name}: qpdf finds nothing", status == 0, out + err)
    size_is_exact(cases, name, pdf, A5)
    fonts_are_inside(cases, name, pdf)
    words_lie_on_the_page(cases, name, pdf)

    boat, labels = read(file), read(ROOT / f"templates/labels/{language}.yaml")
    text = words_of(text_of(pdf, "-raw"))
    plain = words_of(text_of(pdf))
    for fact in facts_of(boat):
        shown = words_of(str(fact).replace("_", " "))
        cases.holds(f"{name}: says {fact!r}", shown in text or shown in plain, text)
    chapters = list(chapters_of(labels, boat))
    # Once in the list of contents, and once more as they come.
    missing = in_order(chapters + chapters, text)
    cases.holds(f"{name}: reads in order", missing is None, f"out of order: {missing}\n    {text}")
    found = outline(pdf)
    cases.holds(f"{name}: the outline has every chapter", in_order(chapters, words_of(" ".join(found))) is None, found)
    cases.holds(f"{name}: the file names its language", language in run("qpdf", "--qdf", pdf, "-")[1].split("/Lang")[1][:12])

    count = pages_of(pdf)
    code = read_code(pdf, boat["boat"]["name"])
    for page in range(1, count + 1):
        one = words_of(text_of(pdf, "-raw", "-f", page, "-l", page))
        good = code and code in one and f"{page}/{count}" in one and words_of(boat["boat"]["name"]) in one
        cases.holds(f"{name}: page {page} has name, code and number", good, one)

    again = folder / "elsewhere" / "again.pdf"
    again.parent.mkdir(exist_ok=True)
    surroundings = {"TZ": "Pacific/Auckland", "LANG": "C"}
    lidcard("guide", file, "--language", language, "-o", again, cwd=again.parent, env=surroundings)
    cases.holds(f"{name}: same bytes a second time", again.is_file() and again.read_bytes() == pdf.read_bytes())

    for paper, size in BOOKLETS.items():
        booklet = folder / f"{file.stem}-{language}-{paper}.pdf"
        status, out, err = lidcard("guide", file, "--language", language, "--on", paper, "-o", booklet)
        if cases.holds(f"{name}: booklet on {paper}", status == 0, out + err):
            size_is_exact(cases, f"{name}, {paper}", booklet, size)
            words_lie_on_the_page(cases, f"{name}, {paper}", booklet)
            cases.holds(f"{name}: {paper} comes in sheets of two sides", pages_of(booklet) % 2 == 0)


def read_code(pdf, name):
    """The code behind the boat's name at the foot of the first page."""
    lines = text_of(pdf, "-raw", "-f", 1, "-l", 1).splitlines()
    feet = [line for line in lines if line.startswith(f"{name} ·")]
    return words_of(feet[-1].split("·")[-1].split()[0]) if feet else None


def no_guide_for_a_mistake(file, folder):
    name = file.name
    pdf = folder / f"{file.stem}.pdf"
    status, out, err = lidcard("guide", file, "-o", pdf)
    cases.holds(f"{name}: gets no guide", status == 1 and not pdf.exists(), f"status {status}\n{err}")
    status, out, err = lidcard("guide", file, "--draft", "-o", pdf)
    if cases.holds(f"{name}: gets a draft", pdf.is_file(), f"status {status}\n{err}"):
        for page in range(1, pages_of(pdf) + 1):
            text = "".join(text_of(pdf, "-raw", "-f", page, "-l", page).split())
            cases.holds(f"{name}: page {page} says CHECK FAILED twice", text.count("CHECKFAILED") >= 2, text)


with tempfile.TemporaryDirectory() as temporary:
    folder = Path(temporary)
    for file, language in some([(file, language) for file in BOATS for language in LANGUAGES], 8):
        clean_guide(file, language, folder)
    for file in MISTAKES:
        if file.stem in ("blow-reaches-gas", "preset-floods", "tow-goes-without-guard"):
            no_guide_for_a_mistake(file, folder)
cases.end()
