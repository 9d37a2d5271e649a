"""Draws the documents of 200 invented boats and measures them with programs that know nothing of ours.

Every boat gets its card, and every boat a bench sheet or an owner's guide, in English or German, metric or US.
pdftotext gives the boxes of words and the order of reading, pdfinfo and pdffonts what the file says of itself,
qpdf its outline, PDFium (another reader) the size of every letter.

    python check_family.py           all of them
    LIDCARD_FAMILY=20 LIDCARD_FROM=40 python check_family.py    the boats 40 to 59
"""

import json
import os
import re
import tempfile
import xml.etree.ElementTree as xml
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

import fleet
import pypdfium2
import yamlfile
from harness import LEVEL, SEED, WORKERS, Cases, count, lidcard, run
from pages import POINTS_PER_MM, text_of, words_of, written

FIRST = int(os.environ.get("LIDCARD_FROM", SEED % 1000 if LEVEL == "quick" else 0))
BOATS = range(FIRST, FIRST + count("LIDCARD_FAMILY", 3, 20, 200))
# Every so many-th boat speaks her other language, too.
OTHER = {"quick": 4, "full": 1}.get(LEVEL, 3)
# Points. The project's promise; an x-height of 1.2 mm (EU 1169/2011 art. 13(2)) needs about as much in a common sans.
SMALLEST, URGENT = 7.0, 8.0
# Of a card: the steps of the emergency, and what each way of a control does (its words in both languages).
LOUD, HAND = 12.0, 9.0
VERBS = {"LEFT", "RIGHT", "BOW UP", "BOW DOWN", "AHEAD", "ASTERN", "EMPTY TANK", "FILL TANK", "LINKS", "RECHTS", "BUG HOCH",
         "BUG TIEF", "VORAUS", "ZURÜCK", "TANK LEEREN", "TANK FÜLLEN"}
# Each contains the one before, in millimetres.
GROWING = ((85, 54), (105, 74), (119, 84), (121, 90), (148, 105), (179, 120), (181, 130), (210, 148), (297, 210))
# Millimetres that stay clear at every edge.
EDGE = {"card": 2.2, "sheet": 10.0, "guide": 9.0}
# A box reaches from the highest to the lowest letter of the font; of that, letters fill the middle.
ABOVE, BELOW = 0.24, 0.22
# Of the cards for a size in the file, at least so many must come in it; the others say what does not fit.
FIT = {"large": 0.85, "usual": 0.5}

cases = Cases()


class Boat:
    def __init__(self, seed, folder):
        self.name = f"boat {seed}"
        self.file = folder / f"boat{seed:03}.yaml"
        self.file.write_text(fleet.boat(seed))
        self.facts = yamlfile.values(self.file.read_text())
        self.seed = seed
        self.found = []

    def holds(self, name, good, detail=""):
        """Kept until all are done: two boats are measured at once, and what is printed stays in order."""
        self.found.append((f"{self.name}: {name}", bool(good), str(detail)))
        return good

    def texts(self):
        """Every text in the file, as it is printed."""
        return {words_of(text.replace("_", " ")) for text in written(self.facts)}


# The names of our blocks, as a refusal gives them.
BLOCKS = re.compile(r"name: (?:\{%.*?%\})?([a-z][a-z' -]+?)(?:\{%.*?%\}([a-z ]+?)\{%.*?%\})?$", re.M)


def refused(boat, said, kind):
    """A refusal names what does not fit: a part of the page, or a text that the boat file has."""
    flat = " ".join(said.split())
    named = re.findall(r"does not fit: (.*?)(?= does not fit:| help:|$)", flat)
    boat.holds(f"{kind} is refused with what does not fit", named, said)
    boat.holds(f"{kind} is refused with a way out", "help:" in flat, said)
    template = (Path(__file__).parents[2] / "templates/card.tera").read_text()
    blocks = {name for pair in BLOCKS.findall(template) for name in pair if name} | {"how to surface in an emergency"}
    own = boat.texts()
    for one in named:
        known = one in blocks or any(text and text in words_of(one) for text in own)
        boat.holds(f"{kind}: what does not fit is a part of the page or a text of the boat", known, one)
    return re.findall(r"(\d+) x (\d+) mm", flat.split("help:")[-1])


def boxes_of(pdf):
    tree = xml.fromstring(text_of(pdf, "-bbox"))
    space = tree.tag.split("}")[0] + "}" if tree.tag.startswith("{") else ""
    for page in tree.iter(f"{space}page"):
        boxes = []
        for word in page.iter(f"{space}word"):
            left, top, right, bottom = (float(word.get(side)) for side in ("xMin", "yMin", "xMax", "yMax"))
            high = bottom - top
            boxes.append((word.text, left, top + ABOVE * high, right, bottom - BELOW * high))
        yield float(page.get("width")), float(page.get("height")), boxes


def words_keep_clear(boat, kind, pdf):
    for number, (width, height, boxes) in enumerate(boxes_of(pdf), 1):
        edge = EDGE[kind] * POINTS_PER_MM
        outside = [b for b in boxes if b[1] < edge or b[2] < edge or b[3] > width - edge or b[4] > height - edge]
        boat.holds(f"{kind} page {number}: words keep to the margins", boxes and not outside, outside[:4])
        boxes.sort(key=lambda box: box[2])
        clashes = []
        for n, a in enumerate(boxes):
            for b in boxes[n + 1 :]:
                if b[2] >= a[4] - 0.2:
                    break
                if a[1] < b[3] - 0.2 and b[1] < a[3] - 0.2:
                    clashes.append((a[0], b[0]))
        boat.holds(f"{kind} page {number}: no word meets another", not clashes, clashes[:4])


def letters_of(pdf):
    """Each run of letters of one size: the text and its size in points."""
    document = pypdfium2.PdfDocument(pdf)
    raw = pypdfium2.raw
    for page in document:
        text = page.get_textpage()
        run_of, before = [], None
        for n in range(text.count_chars()):
            size = round(raw.FPDFText_GetFontSize(text, n), 3)
            letter = chr(raw.FPDFText_GetUnicode(text, n))
            if letter.isspace():
                run_of.append(" ")
                continue
            if before is not None and size != before:
                yield "".join(run_of), before
                run_of = []
            before = size
            run_of.append(letter)
        if run_of and before is not None:
            yield "".join(run_of), before
    document.close()


def letters_are_large(boat, kind, pdf):
    runs = list(letters_of(pdf))
    small = [(text, size) for text, size in runs if size < SMALLEST - 0.01]
    boat.holds(f"{kind}: nothing under {SMALLEST:g} pt", runs and not small, small[:4])
    for line in (boat.facts.get("owner") or {}).get("emergency", []):
        where = [size for text, size in runs if words_of(line) in words_of(text)]
        if kind == "card":
            boat.holds(f"{kind}: emergency is there in {URGENT:g} pt", where and max(where) >= URGENT - 0.01, (line, where))
    if kind == "card":
        steps = [text for text, size in runs if size >= LOUD - 0.01]
        own = (boat.facts.get("owner") or {}).get("emergency")
        boat.holds(f"card: the steps in {LOUD:g} pt", steps or own, runs[:4])
        verbs = [(text, size) for text, size in runs if text.strip() in VERBS and size < HAND - 0.01]
        boat.holds(f"card: no verb under {HAND:g} pt", not verbs, verbs)
        name = [size for text, size in runs if words_of(boat.facts["boat"]["name"]) in words_of(text)]
        largest = max(size for _, size in runs)
        boat.holds("card: the name is smaller than the emergency", not steps or all(size < largest for size in name), name)


def front_has_no_figures(boat, pdf):
    front = text_of(pdf, "-l", "1")
    boat.holds("card: no percentages on its front", "%" not in front, front)


def speaks_the_other(boat, folder, shape):
    """The card in the language that is not hers: letters as large, and a place in one piece."""
    german = boat.facts["owner"]["language"] == "de"
    pdf = folder / f"{boat.file.stem}-other.pdf"
    asked = ["card", boat.file, "-o", pdf, *shape, "--language", "en" if german else "de"]
    status, out, err = lidcard(*asked)
    if status:
        sizes = refused(boat, out + err, "card in the other language")
        if not sizes:
            return
        status, out, err = lidcard(*asked, "--size", "{}x{}".format(*sizes[0]))
    if boat.holds("card in the other language is made", status == 0 and pdf.is_file(), out + err):
        words_keep_clear(boat, "card", pdf)
        letters_are_large(boat, "card", pdf)
        places_are_whole(boat, pdf)
    pdf.unlink(missing_ok=True)


def places_are_whole(boat, pdf):
    """No line of the steps ends inside of a place: LEFT STICK, RIGHT; REAR LEFT, UPPER."""
    _, _, boxes = next(boxes_of(pdf))
    rows = {}
    for word, left, top, _, bottom in boxes:
        if bottom - top > 0.5 * LOUD:
            rows.setdefault(round(top), []).append((left, word))
    rows = [sorted(row) for _, row in sorted(rows.items())]
    # The steps: the line of the first, and what follows it with a number or a beginning below its own.
    while rows and rows[0][0][1] != "1":
        rows.pop(0)
    begins = [left for left, _ in rows[0][:2]] if rows else []
    goes_on = lambda row: any(abs(row[0][0] - left) < 1 for left in begins)
    ends = next((n for n, row in enumerate(rows) if not goes_on(row)), len(rows))
    lines = [[word for _, word in row] for row in rows[:ends]]
    in_capitals = lambda word: len(word) > 2 and word.strip(",").isalpha() and word.isupper()
    torn = [(one, two) for one, two in zip(lines, lines[1:]) if in_capitals(one[-1]) and in_capitals(two[0])]
    boat.holds("card: no line ends inside of a place", not torn, torn)


def grows(boat, folder):
    """What fits a card fits every card that contains it."""
    before = None
    for width, height in GROWING:
        pdf = folder / f"{boat.file.stem}-grown.pdf"
        status, out, err = lidcard("card", boat.file, "-o", pdf, "--size", f"{width}x{height}")
        boat.holds(f"card: {width} x {height} mm holds what {before} holds", status == 0 or before is None, out + err)
        before = f"{width} x {height}" if status == 0 else before
        pdf.unlink(missing_ok=True)


def about_itself(boat, kind, pdf):
    info = dict(line.split(":", 1) for line in run("pdfinfo", pdf)[1].splitlines() if ":" in line)
    said = {key: value.strip() for key, value in info.items()}
    about = boat.facts["boat"]
    boat.holds(f"{kind}: title has her name", about["name"] in said.get("Title", ""), said)
    boat.holds(f"{kind}: author", said.get("Author", "") == about.get("workshop", ""), said)
    dates = said.get("CreationDate", ""), said.get("ModDate", "")
    boat.holds(f"{kind}: dates", all(dates), said)
    if "date" in about:
        year, month, day = str(about["date"]).split("-")
        boat.holds(f"{kind}: date of the revision", all(year in d and f" {int(day)} " in d.replace("  ", " ") for d in dates), dates)
    language = boat.facts["owner"]["language"]
    whole = run("qpdf", "--qdf", "--object-streams=disable", pdf, "-")[1]
    found = re.search(r"/Lang \(([a-zA-Z-]+)\)", whole)
    boat.holds(f"{kind}: language", found and found.group(1).startswith(language), found)
    lines = run("pdffonts", pdf)[1].splitlines()[2:]
    boat.holds(f"{kind}: fonts inside and cut down", lines and all(line.split()[-5:-3] == ["yes", "yes"] for line in lines), lines)
    return said


def card(boat, folder, shape):
    pdf = folder / f"{boat.file.stem}-card.pdf"
    status, out, err = lidcard("card", boat.file, "-o", pdf, *shape)
    sizes = ["as asked"]
    if status:
        sizes = refused(boat, out + err, "card")
        boat.holds("card: nothing is left behind", not pdf.exists())
        if not sizes:
            return False
        # The size that it names must hold it.
        width, height = sizes[0]
        status, out, err = lidcard("card", boat.file, "-o", pdf, *shape, "--size", f"{width}x{height}")
    if boat.holds("card is made", status == 0 and pdf.is_file(), out + err):
        words_keep_clear(boat, "card", pdf)
        letters_are_large(boat, "card", pdf)
        places_are_whole(boat, pdf)
        about_itself(boat, "card", pdf)
        reads_by_importance(boat, pdf)
        front_has_no_figures(boat, pdf)
        grows(boat, folder)
    return sizes == ["as asked"]


def reads_by_importance(boat, pdf):
    """Emergency, name, order of switching on; what she does alone comes after."""
    german = boat.facts["owner"]["language"] == "de"
    text = words_of(text_of(pdf, "-raw"))
    wanted = [line for line in (boat.facts.get("owner") or {}).get("emergency", [])[:1]]
    wanted += [boat.facts["boat"]["name"]]
    wanted += ["sender zuerst", ("bei signalverlust", "signal weg")] if german else ["transmitter first", ("if the signal is lost", "signal lost")]
    at = 0
    for one in wanted:
        ways = [text.find(words_of(way), at) for way in ([one] if isinstance(one, str) else one)]
        found = min((way for way in ways if way >= 0), default=-1)
        if not boat.holds(f"card: reads in order of importance, {one!r}", found >= 0, text):
            return
        at = found


def long_document(boat, folder, shape):
    kind = "guide" if boat.seed % 2 else "sheet"
    pdf = folder / f"{boat.file.stem}-{kind}.pdf"
    status, out, err = lidcard(kind, boat.file, "-o", pdf, *(shape if kind == "guide" else ()))
    if not boat.holds(f"{kind} is made", status == 0 and pdf.is_file(), out + err):
        return
    words_keep_clear(boat, kind, pdf)
    letters_are_large(boat, kind, pdf)
    about_itself(boat, kind, pdf)
    listing = json.loads(run("qpdf", "--json", "--json-key=outlines", pdf)[1])["outlines"]
    titles = [entry["title"] for entry in listing]
    boat.holds(f"{kind}: has an outline", len(titles) > 3, titles)
    text = words_of(text_of(pdf, "-raw"))
    at = 0
    for title in titles:
        found = text.find(words_of(title), at)
        if not boat.holds(f"{kind}: reads in the order of its outline, {title!r}", found >= 0, text[at : at + 400]):
            break
        at = found


def measure(seed, folder):
    boat = Boat(seed, folder)
    shape = ("--units", "us") if seed % 3 == 1 else ()
    fits = card(boat, folder, shape)
    if boat.seed % OTHER == 0:
        speaks_the_other(boat, folder, shape)
    long_document(boat, folder, shape)
    for pdf in folder.glob(f"{boat.file.stem}-*.pdf"):
        pdf.unlink()
    return boat, fits


with tempfile.TemporaryDirectory() as temporary:
    folder = Path(temporary)
    # PDFium is not made for threads.
    with ProcessPoolExecutor(WORKERS) as workers:
        measured = list(workers.map(partial(measure, folder=folder), BOATS))
    for boat, _ in measured:
        for found in boat.found:
            cases.holds(*found)
    share = {}
    for boat, fits in measured:
        width, height = (int(side.split()[0]) for side in (boat.facts.get("card") or {}).get("size", ["105 mm", "74 mm"]))
        share.setdefault("large" if width * height >= 105 * 148 else "usual", []).append(fits)
    for name, all_of_them in share.items():
        part = sum(all_of_them) / len(all_of_them)
        print(f"cards of {name} size made as asked: {sum(all_of_them)} of {len(all_of_them)}")
        if len(BOATS) >= 200:
            cases.holds(f"{name} cards: at least {FIT[name]:.0%} as asked", part >= FIT[name], f"{part:.0%}")
cases.end()
