"""Looks at every card with the eyes of programs that know nothing of ours.

qpdf says whether the file is sound, pdfinfo how large the page is, pdffonts whether the fonts are
inside and cut down, pdftotext whether everything that has to be on the lid can be found there.
"""

import tempfile
import xml.etree.ElementTree as xml
from pathlib import Path

from harness import BOATS, MISTAKES, Cases, lidcard, run
from pages import fonts_are_inside, pages_of, size_is_exact, text_of, words_lie_on_the_page, words_of
from ruamel.yaml import YAML

USUAL = (105.0, 74.0)
OTHERS = ((150.0, 105.0), (210.0, 148.0))
LARGEST = 40 * 1024

cases = Cases()


def labels_of(boat):
    """Everything the owner has to be able to find, read from the file by another YAML reader."""
    yield boat["boat"]["name"]
    for key in ("revision", "date"):
        if key in boat["boat"]:
            yield str(boat["boat"][key])
    for key in ("memory", "frequency"):
        if key in boat["transmitter"]:
            yield boat["transmitter"][key]
    for control in boat["controls"].values():
        wants = control.get("wants", {})
        for word in control.get("ways", {}).values():
            wish = wants.get(word, word)
            yield from [wish] if isinstance(wish, str) else wish
        yield from control.get("settings", [])
    for channel in boat["channels"].values():
        yield channel["name"]
    owner = boat.get("owner", {})
    yield from owner.get("emergency", [])
    if "contact" in owner:
        yield owner["contact"]


def clean_card(file, folder):
    name = file.name
    pdf = folder / f"{file.stem}.pdf"
    status, out, err = lidcard("card", file, "-o", pdf)
    if not cases.holds(f"{name}: card is made", status == 0 and pdf.is_file(), out + err):
        return
    status, out, err = run("qpdf", "--check", pdf)
    cases.holds(f"{name}: qpdf finds nothing", status == 0, out + err)
    boat = YAML(typ="safe", pure=True).load(file)
    if "size" not in (boat.get("card") or {}):
        size_is_exact(cases, name, pdf, USUAL)
    fonts_are_inside(cases, name, pdf)
    words_lie_on_the_page(cases, name, pdf)
    cases.holds(f"{name}: under 40 KB", pdf.stat().st_size < LARGEST, str(pdf.stat().st_size))

    # In the order of drawing a wrapped line stays together, in the order of reading a row does.
    texts = [words_of(text_of(pdf, "-raw")), words_of(text_of(pdf))]
    for label in labels_of(boat):
        cases.holds(f"{name}: says {label!r}", any(words_of(label) in text for text in texts), texts[0])
    cases.holds(f"{name}: no draft mark", "not checked" not in texts[0])

    again = folder / "elsewhere" / "again.pdf"
    again.parent.mkdir(exist_ok=True)
    lidcard("card", file, "-o", again, cwd=again.parent, env={"TZ": "Pacific/Auckland", "LANG": "C"})
    same = again.is_file() and again.read_bytes() == pdf.read_bytes()
    cases.holds(f"{name}: same bytes a second time", same)

    for size in OTHERS:
        other = folder / f"{file.stem}-{size[0]:g}.pdf"
        status, out, err = lidcard("card", file, "--size", f"{size[0]:g}x{size[1]:g}", "-o", other)
        if cases.holds(f"{name}: fits {size[0]:g} x {size[1]:g} mm", status == 0, out + err):
            size_is_exact(cases, name, other, size)

    # A picture holds one page: a card of several becomes several, numbered.
    pages = pages_of(pdf)
    for ending, is_one in (("svg", is_svg), ("png", is_png)):
        picture = folder / f"{file.stem}-picture.{ending}"
        lidcard("card", file, "--format", ending, "-o", picture)
        found = sorted(folder.glob(f"{file.stem}-picture*.{ending}"))
        good = len(found) == pages and all(is_one(one.read_bytes()) for one in found)
        cases.holds(f"{name}: {pages} good {ending.upper()}", good, str(found))


def is_png(data):
    return data.startswith(b"\x89PNG\r\n\x1a\n")


def is_svg(data):
    try:
        return xml.fromstring(data).tag.endswith("}svg")
    except xml.ParseError:
        return False


def no_card_for_a_mistake(file, folder):
    name = file.name
    pdf = folder / f"{file.stem}.pdf"
    status, out, err = lidcard("card", file, "-o", pdf)
    cases.holds(f"{name}: gets no card", status == 1 and not pdf.exists(), f"status {status}\n{err}")
    left = [entry.name for entry in folder.glob(f"{file.stem}*")]
    cases.holds(f"{name}: leaves nothing behind", not left, str(left))
    status, out, err = lidcard("card", file, "--draft", "-o", pdf)
    if cases.holds(f"{name}: gets a draft", pdf.is_file(), f"status {status}\n{err}"):
        cases.holds(f"{name}: the draft is sound", run("qpdf", "--check", pdf)[0] == 0)
        for page in range(1, pages_of(pdf) + 1):
            # The mark lies aslant, so its letters may come one by one.
            text = "".join(text_of(pdf, "-raw", "-f", page, "-l", page).split())
            cases.holds(f"{name}: page {page} says NOT CHECKED", "NOTCHECKED" in text, text)


with tempfile.TemporaryDirectory() as temporary:
    folder = Path(temporary)
    for file in BOATS:
        clean_card(file, folder)
    for file in MISTAKES:
        if file.stem in ("blow-reaches-gas", "preset-floods", "tow-goes-without-guard"):
            no_card_for_a_mistake(file, folder)
cases.end()
