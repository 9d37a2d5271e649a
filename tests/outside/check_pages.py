"""Looks at every card with the eyes of programs that know nothing of ours.

qpdf says whether the file is sound, pdfinfo how large the page is, pdffonts whether the fonts are
inside and cut down, pdftotext whether everything that has to be on the lid can be found there.
"""

import re
import tempfile
import xml.etree.ElementTree as xml
from pathlib import Path

from harness import BOATS, MISTAKES, Cases, lidcard, run
from ruamel.yaml import YAML

POINTS_PER_MM = 72 / 25.4
USUAL = (105.0, 74.0)
OTHERS = ((150.0, 105.0), (210.0, 148.0))
LARGEST = 40 * 1024

cases = Cases()


def words_of(text):
    return " ".join(text.split()).casefold()


def text_of(pdf, *options):
    return run("pdftotext", *options, pdf, "-")[1]


def pages_of(pdf):
    return int(re.search(r"^Pages:\s+(\d+)", run("pdfinfo", pdf)[1], re.M).group(1))


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


def size_is_exact(name, pdf, size):
    report = run("pdfinfo", "-f", "1", "-l", pages_of(pdf), pdf)[1]
    found = re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", report)
    off = [
        abs(float(points) / POINTS_PER_MM - wanted)
        for page in found
        for points, wanted in zip(page, size)
    ]
    cases.holds(f"{name}: page is {size[0]:g} x {size[1]:g} mm", off and max(off) <= 0.01, report)


def fonts_are_inside(name, pdf):
    lines = run("pdffonts", pdf)[1].splitlines()
    # Columns lie under the rulers of the second line; names and types may hold blanks.
    ends = [m.span() for m in re.finditer("-+", lines[1])] if len(lines) > 2 else []
    rows = [[line[a:b].strip() for a, b in ends] for line in lines[2:]]
    heads = [lines[0][a:b].strip() for a, b in ends]
    good = rows and all(
        row[heads.index("emb")] == "yes" and row[heads.index("sub")] == "yes" for row in rows
    )
    cases.holds(f"{name}: fonts embedded and subset", good, "\n    ".join(lines))


def words_lie_on_the_page(name, pdf):
    """No word may stick out over the edge or lie on another word."""
    tree = xml.fromstring(text_of(pdf, "-bbox"))
    space = tree.tag.split("}")[0] + "}" if tree.tag.startswith("{") else ""
    for page in tree.iter(f"{space}page"):
        width, height = float(page.get("width")), float(page.get("height"))
        boxes = [
            (word.text, *(float(word.get(side)) for side in ("xMin", "yMin", "xMax", "yMax")))
            for word in page.iter(f"{space}word")
        ]
        outside = [b[0] for b in boxes if min(b[1:3]) < 0 or b[3] > width or b[4] > height]
        cases.holds(f"{name}: no word sticks out", not outside, f"sticking out: {outside}")
        clashes = [(a[0], b[0]) for i, a in enumerate(boxes) for b in boxes[:i] if clash(a, b)]
        cases.holds(f"{name}: no word lies on another", not clashes, f"overlapping: {clashes}")


def clash(a, b):
    across = min(a[3], b[3]) - max(a[1], b[1])
    down = min(a[4], b[4]) - max(a[2], b[2])
    if across <= 0 or down <= 0:
        return False
    area = lambda box: (box[3] - box[1]) * (box[4] - box[2])
    # Boxes reach from the highest to the lowest letter of the font, so close lines touch a little.
    return across * down > 0.4 * min(area(a), area(b))


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
        size_is_exact(name, pdf, USUAL)
    fonts_are_inside(name, pdf)
    words_lie_on_the_page(name, pdf)
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
            size_is_exact(name, other, size)

    svg = folder / f"{file.stem}.svg"
    lidcard("card", file, "--format", "svg", "-o", svg)
    root = xml.fromstring(svg.read_text()) if svg.is_file() else None
    cases.holds(f"{name}: SVG is well-formed", root is not None and root.tag.endswith("svg"))
    png = folder / f"{file.stem}.png"
    lidcard("card", file, "--format", "png", "-o", png)
    cases.holds(f"{name}: PNG is one", png.is_file() and png.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n")


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
