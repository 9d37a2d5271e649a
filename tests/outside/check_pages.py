"""Looks at every card and bench sheet with the eyes of programs that know nothing of ours.

qpdf says whether the file is sound, pdfinfo how large the page is, pdffonts whether the fonts are
inside and cut down, pdftotext whether everything that has to be on the lid can be found there. zbarimg reads the QR codes
of the bench sheet as an office scanner shows them.
"""

import re
import tempfile
import xml.etree.ElementTree as xml
import zlib
from pathlib import Path

import yamlfile
from harness import BOATS, MISTAKES, ROOT, Cases, lidcard, run, some
from pages import fonts_are_inside, pages_of, size_is_exact, text_of, words_lie_on_the_page, words_of

USUAL = (105.0, 74.0)
OTHERS = ((150.0, 105.0), (210.0, 148.0))
LARGEST = 40 * 1024
LARGE = ROOT / "tests/fixtures/sheet/sixteen-channels.yaml"

cases = Cases()


# What a card says at a glance, by the words of the file.
GLANCE = {
    "turns left": "left", "turns right": "right", "bow rises": "bow up", "bow dips": "bow down",
    "drives ahead": "ahead", "drives astern": "astern", "raises": "raise", "lowers": "lower",
}
TANK = {"vent valve": "fill tank", "flood valve": "fill tank", "pump switch": "empty tank", "blow valve": "empty tank"}


def works_of(boat, control):
    """What the file wants of each way of a control through a servo: way and the words on the card."""
    kinds = {name: work["kind"] for device in boat["devices"].values() for name, work in device.get("works", {}).items()}
    for channel in boat["channels"].values():
        if channel.get("control") == control:
            for way, wish in channel.get("wants", {}).items():
                name = wish["work"] if isinstance(wish, dict) else wish
                yield way, TANK.get(kinds[name], name.replace("_", " "))


def labels_of(boat):
    """Everything the owner has to be able to find, read from the file by another YAML reader."""
    yield boat["boat"]["name"]
    for key in ("revision", "date"):
        if key in boat["boat"]:
            yield str(boat["boat"][key])
    for key in ("memory", "frequency"):
        if key in boat["transmitter"]:
            yield boat["transmitter"][key]
    for name, control in boat["controls"].items():
        wants = control.get("wants", {})
        works = dict(works_of(boat, name))
        for word in control.get("ways", {}).values():
            wish = wants.get(word, word)
            for one in [wish] if isinstance(wish, str) else wish:
                yield works.get(word, GLANCE.get(one, one))
        yield from control.get("settings", [])
        yield from works.values()
    owner = boat.get("owner", {})
    yield from (line for line in owner.get("emergency", []) if isinstance(line, str))
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
    boat = yamlfile.values(file.read_text())
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


def headings_of_the_sheet(boat):
    """Every name that a fitter has to find again, read from the file by another YAML reader."""
    spoken = lambda name: str(name).replace("_", " ")
    for number, channel in boat["channels"].items():
        yield channel["name"]
        yield f"channel {number}"
    for name, device in boat["devices"].items():
        yield spoken(name)
        for work in device.get("works", {}):
            yield spoken(work)
    for stage in (boat.get("fail_safe") or {}).get("stages", []):
        yield spoken(stage["name"])
    yield from ("what is proved", "causes and effects", "tests on the bench", "signed")


def codes_read(pdf, folder, page):
    """What zbarimg reads on a page drawn at 150 dpi in greys."""
    stem = folder / f"scan-{page}"
    # To pack a page as PNG takes pdftoppm ten times as long as to draw it.
    run("pdftoppm", "-r", "150", "-gray", "-singlefile", "-f", page, "-l", page, pdf, stem)
    # A page without a code is no failure of ours; zbarimg then ends with 4.
    out = run("zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", stem.with_suffix(".pgm"))[1]
    return [line for line in out.splitlines() if line]


def unpacked(parts):
    """The boat file in the codes: base 45 (RFC 9285) over raw DEFLATE (RFC 1951)."""
    alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
    in_order = sorted(parts, key=lambda part: int(part.split(" ")[1].split("/")[0]))
    spelled = "".join(part.split(" ", 3)[3] for part in in_order)
    data = bytearray()
    for at in range(0, len(spelled), 3):
        digits = [alphabet.index(letter) for letter in spelled[at : at + 3]]
        value = sum(digit * 45**place for place, digit in enumerate(digits))
        data += value.to_bytes(len(digits) - 1, "big")
    return zlib.decompress(bytes(data), -15).decode()


def plain_of(value):
    """Values as they were written, whatever a reader makes of `yes` or `7`."""
    if isinstance(value, dict):
        return {str(key): plain_of(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain_of(inner) for inner in value]
    return str(value)


def clean_sheet(file, folder, paper, size):
    name = f"{file.name} on {paper}"
    pdf = folder / f"{file.stem}-sheet-{paper}.pdf"
    status, out, err = lidcard("sheet", file, "--annex", "--on", paper, "-o", pdf)
    if not cases.holds(f"{name}: sheet is made", status == 0 and pdf.is_file(), out + err):
        return
    status, out, err = run("qpdf", "--check", pdf)
    cases.holds(f"{name}: qpdf finds nothing", status == 0, out + err)
    size_is_exact(cases, name, pdf, size)
    fonts_are_inside(cases, name, pdf)
    words_lie_on_the_page(cases, name, pdf)
    texts = [words_of(text_of(pdf, "-raw")), words_of(text_of(pdf))]
    boat = yamlfile.values(file.read_text())
    for label in headings_of_the_sheet(boat):
        cases.holds(f"{name}: says {label!r}", any(words_of(label) in text for text in texts))
    pages = pages_of(pdf)
    read = [codes_read(pdf, folder, page) for page in range(1, pages + 1)]
    code = read[0][0] if read[0] else ""
    cases.holds(f"{name}: QR code of the set-up", re.fullmatch(r"\w{4}-\w{4}", code), str(read[0]))
    for page in range(1, pages + 1):
        said = text_of(pdf, "-f", page, "-l", page)
        good = code and code in said and f"{page}/{pages}" in said
        cases.holds(f"{name}: page {page} has code and number", good, said[-200:])
    parts = [text for page in read[1:] for text in page]
    marked = [text for text in parts if text.startswith("LIDCARD1")]
    counts = {re.search(r"(\d+) of (\d+)", line).group(2) for line in re.findall(r"\d+ of \d+", texts[0])}
    whole = parts and parts == marked and str(len(parts)) in counts
    cases.holds(f"{name}: QR codes of the boat file", whole, f"{parts} {counts}")
    cases.holds(f"{name}: of this set-up", all(p.split(" ")[2] == code for p in parts))
    back = yamlfile.values(unpacked(parts))
    cases.holds(f"{name}: the file comes back from its codes", plain_of(back) == plain_of(boat), str(back))

    again = folder / "again-sheet.pdf"
    env = {"TZ": "Pacific/Auckland", "LANG": "C"}
    lidcard("sheet", file, "--annex", "--on", paper, "-o", again, cwd=folder, env=env)
    same = again.is_file() and again.read_bytes() == pdf.read_bytes()
    cases.holds(f"{name}: same bytes a second time", same)
    again.unlink(missing_ok=True)


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
            cases.holds(f"{name}: page {page} says CHECK FAILED", "CHECKFAILED" in text, text)


with tempfile.TemporaryDirectory() as temporary:
    folder = Path(temporary)
    for file in some(BOATS):
        clean_card(file, folder)
        clean_sheet(file, folder, "a4", (210.0, 297.0))
        clean_sheet(file, folder, "letter", (215.9, 279.4))
    clean_sheet(LARGE, folder, "a4", (210.0, 297.0))
    for file in MISTAKES:
        if file.stem in ("blow-reaches-gas", "preset-floods", "tow-goes-without-guard"):
            no_card_for_a_mistake(file, folder)
cases.end()
