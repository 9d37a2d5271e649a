"""Reads the QR codes of cards and bench sheets with two programs: zbarimg and our own `restore`.

Pages are drawn straight at 150 and 300 dpi, and made into what a telephone would take of them: turned,
seen from one side, blurred, in uneven light, with grain, and saved as JPEG. The code that is read must be
the one that is printed and that `verify` gives, and the boat file that comes back must have it too.
Pictures that do not show all of it are refused with a word on what is missing.
"""

import functools
import math
import re
import tempfile
from pathlib import Path

import numpy
from harness import BOATS, ROOT, Cases, lidcard, run, some
from pages import pages_of, text_of
from PIL import Image, ImageFilter

SIXTEEN = ROOT / "tests/fixtures/sheet/sixteen-channels.yaml"
CODE = re.compile(r"\b[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}\b")

cases = Cases()


def code_of(file):
    """What `verify` says of a file."""
    return lidcard("verify", file)[1].split()[0]


@functools.cache
def picture_of(pdf, page, dpi, folder):
    stem = folder / f"{pdf.stem}-{page}-{dpi}"
    # To pack a page as PNG takes pdftoppm ten times as long as to draw it.
    run("pdftoppm", "-r", dpi, "-gray", "-singlefile", "-f", page, "-l", page, pdf, stem)
    return stem.with_suffix(".pgm")


@functools.cache
def packed(picture):
    """The same as PNG, which `restore` takes."""
    Image.open(picture).save(picture.with_suffix(".png"), compress_level=1)
    return picture.with_suffix(".png")


@functools.cache
def seen_at_once(pdf, page, dpi, folder):
    """What zbarimg reads on a page as it is printed."""
    return seen_by_zbar(picture_of(pdf, page, dpi, folder))


def seen_by_zbar(picture):
    # It ends with 4 where it sees no code, which is no failure of ours.
    out = run("zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", picture)[1]
    return [line for line in out.splitlines() if line]


@functools.cache
def pages_with_the_file(pdf):
    """The pages that hold the boat file: those whose codes are numbered."""
    pages = range(1, pages_of(pdf) + 1)
    return [n for n in pages if re.search(r"^\s*1 of \d", text_of(pdf, "-f", n, "-l", n, "-layout"), re.M)]


# Imitated photographs. A page at 300 dpi is what the lens sees; everything after that is the camera.


def seen_from(page, tilt, turn, size):
    """A page on a grey table, its far edge narrower by `tilt`, turned by `turn` degrees."""
    width, height = page.size
    shift = tilt * width / 2
    far = [(shift, 0), (width - shift, 0), (width, height), (0, height)]
    angle = math.radians(turn)
    middle = (width / 2, height / 2)

    def placed(point):
        x, y = point[0] - middle[0], point[1] - middle[1]
        return (x * math.cos(angle) - y * math.sin(angle), x * math.sin(angle) + y * math.cos(angle))

    corners = [placed(point) for point in far]
    spread = max(max(abs(x) / size[0], abs(y) / size[1]) for x, y in corners) * 2.08
    corners = [(x / spread + size[0] / 2, y / spread + size[1] / 2) for x, y in corners]
    # The eight numbers of a perspective, from where the corners of the page come to lie in the picture.
    rows, right = [], []
    for (x, y), (u, v) in zip(corners, [(0, 0), (width, 0), (width, height), (0, height)]):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    numbers = numpy.linalg.solve(numpy.array(rows), numpy.array(right))
    how = (Image.Transform.PERSPECTIVE, tuple(numbers), Image.Resampling.BICUBIC)
    return page.transform(size, *how, fillcolor=90)


def photograph(page, chance, *, tilt=0.0, turn=0.0, blur=0.0, dark=0.0, grain=0.0, size=(2250, 3000)):
    """A photograph in greys; `dark` is the part of the light that the far corner lacks."""
    picture = seen_from(page, tilt, turn, size).filter(ImageFilter.GaussianBlur(blur))
    light = numpy.asarray(picture, dtype=float) * 0.8 + 25.0
    down, across = numpy.indices(light.shape)
    away = (across / size[0] + down / size[1]) / 2
    light *= 1.0 - dark * away
    light += chance.normal(0.0, grain, light.shape)
    return Image.fromarray(numpy.clip(light, 0, 255).astype("uint8"))


# What a hand-held telephone does to a page that is laid flat; the amounts are ours, each a bit worse
# than a careful photograph.
PHOTOGRAPHS = {
    "straight": {},
    "turned by 7 degrees": {"turn": 7.0},
    "turned by 90 degrees": {"turn": 90.0, "size": (3000, 2250)},
    "upside down": {"turn": 178.0},
    "seen from one side": {"tilt": 0.12},
    "out of focus": {"blur": 1.8},
    "by one lamp": {"dark": 0.6},
    "with grain": {"grain": 14.0},
    "all of it together": {"tilt": 0.07, "turn": 4.0, "blur": 1.2, "dark": 0.45, "grain": 8.0},
}


def straight(file, folder):
    """Card and sheet as they are printed."""
    name, code = file.name, code_of(file)
    card, sheet = folder / f"{file.stem}-card.pdf", folder / f"{file.stem}-sheet.pdf"
    size = ("--size", "105x74") if file != SIXTEEN else ("--size", "210x297")
    status, out, err = lidcard("card", file, *size, "-o", card)
    if not cases.holds(f"{name}: card is made", status == 0, out + err):
        return None
    status, out, err = lidcard("sheet", file, "-o", sheet)
    if not cases.holds(f"{name}: sheet is made", status == 0, out + err):
        return None
    printed = set(CODE.findall(text_of(card))) | set(CODE.findall(text_of(sheet)))
    cases.holds(f"{name}: the code printed is that of verify", printed == {code}, f"{printed} {code}")
    for dpi in (150, 300):
        for pdf in (card, sheet):
            # In small every page, in large those that a code stands on.
            pages = range(1, pages_of(pdf) + 1) if dpi == 150 or pdf == card else sorted({1, *pages_with_the_file(pdf)})
            seen = [text for n in pages for text in seen_at_once(pdf, n, dpi, folder)]
            short = [text for text in seen if not text.startswith("LIDCARD1")]
            good = bool(short) and all(CODE.findall(text) == [code] for text in short)
            cases.holds(f"{name}: zbarimg reads the code of {pdf.stem} at {dpi} dpi", good, str(short))
        pictures = [packed(picture_of(sheet, n, dpi, folder)) for n in pages_with_the_file(sheet)]
        if cases.holds(f"{name}: a page holds the file", bool(pictures)):
            comes_back(f"{name} at {dpi} dpi", pictures, code, folder)
        pictures = [packed(picture_of(card, n, dpi, folder)) for n in range(1, pages_of(card) + 1)]
        status, out, err = lidcard("restore", *pictures)
        good = status == 2 and f"code of a card, {code}:" in err
        cases.holds(f"{name}: restore tells the code of the card at {dpi} dpi", good, out + err)
    return sheet


def comes_back(name, pictures, code, folder):
    """`restore` gives a file back, and it has the code of the one that was printed."""
    back = folder / "back.yaml"
    status, out, err = lidcard("restore", *pictures, "-o", back, "--force")
    if cases.holds(f"{name}: restore gives the file back", status == 0 and f"code {code}" in out, out + err):
        cases.holds(f"{name}: with the same code", code_of(back) == code, code_of(back))
    back.unlink(missing_ok=True)


def photographs(file, sheet, folder, kinds):
    """Both readers on two photographs of each page with the file, as the help of `restore` advises."""
    name, code = file.name, code_of(file)
    pages = [Image.open(picture_of(sheet, n, 300, folder)).convert("L") for n in pages_with_the_file(sheet)]
    parts = {text for n in pages_with_the_file(sheet) for text in seen_at_once(sheet, n, 300, folder)}
    parts = {text for text in parts if text.startswith("LIDCARD1")}
    for kind in kinds:
        chance = numpy.random.default_rng(sum(map(ord, name + kind)))
        taken = []
        for number, page in enumerate([*pages, *pages]):
            taken.append(folder / f"photo-{number}.jpg")
            how = dict(PHOTOGRAPHS[kind])
            # No hand holds still between two photographs.
            how["turn"] = how.get("turn", 0.0) + chance.uniform(-1.5, 1.5)
            photograph(page, chance, **how).save(taken[-1], quality=75)
        comes_back(f"{name}, photograph {kind}", taken, code, folder)
        seen = {text for picture in taken for text in seen_by_zbar(picture)}
        missing = len(parts - seen)
        good = bool(parts) and not missing
        cases.holds(f"{name}, photograph {kind}: zbarimg reads all codes", good, f"{missing} of {len(parts)} not")


def refused(folder, sheet, card_code):
    """What does not show the whole file is refused, and said why."""
    pages = pages_with_the_file(sheet)
    picture = Image.open(picture_of(sheet, pages[0], 150, folder)).convert("L")
    bytes_of = packed(picture_of(sheet, pages[0], 150, folder)).read_bytes()

    def says(name, data, words):
        bad = folder / f"bad{name.suffix}"
        if isinstance(data, bytes):
            bad.write_bytes(data)
        else:
            data.save(bad)
        target = folder / "none.yaml"
        status, out, err = lidcard("restore", bad, "-o", target)
        good = status == 2 and words in err and not target.exists() and "panicked" not in err
        cases.holds(f"restore refuses {name.stem}", good, f"{status} {out} {err}")

    covered = picture.copy()
    # The first of those abreast, however many there are.
    covered.paste(255, (0, 0, int(picture.width * 0.31), picture.height))
    says(Path("a page half covered.png"), covered, "were not seen")
    says(Path("an empty page.png"), Image.new("L", (1240, 1754), 255), "no QR code was seen")
    says(Path("half a file.png"), bytes_of[: len(bytes_of) // 2], "PNG")
    says(Path("no picture.png"), b"lidcard: 1\n", "PNG")
    says(Path("a PDF.pdf"), sheet.read_bytes(), "make a PNG picture")
    says(Path("a page too small to read.png"), picture.resize((150, 212)), "nothing restored")
    says(Path("a page smeared.jpg"), picture.filter(ImageFilter.GaussianBlur(12)), "nothing restored")
    huge = folder / "huge.png"
    Image.new("1", (12000, 12000)).save(huge)
    says(Path("a picture too large.png"), huge.read_bytes(), "300 dpi are enough")
    status, out, err = lidcard("restore", folder / "not-there.png")
    cases.holds("restore names a picture that is not there", status == 2 and "not-there.png" in err, err)

    other = "0000-0000" if card_code != "0000-0000" else "1111-1111"
    status, out, err = lidcard("verify", BOATS[0], "--code", other)
    cases.holds("verify tells a foreign code", status == 1 and "does not belong" in out, out + err)


def mixed(folder, sheets):
    """The pages of two boats together are of no boat."""
    pictures = [packed(picture_of(sheet, pages_with_the_file(sheet)[0], 150, folder)) for sheet in sheets]
    status, out, err = lidcard("restore", *pictures, "-o", folder / "none.yaml")
    cases.holds("restore refuses the pages of two boats", status == 2 and "different files" in err, out + err)


with tempfile.TemporaryDirectory() as temporary:
    work = Path(temporary)
    made = {file: straight(file, work) for file in some([*BOATS, SIXTEEN], 2, 2)}
    if all(made.values()):
        # The boat with the most codes gets every kind, the others the worst.
        for file, sheet in made.items():
            photographs(file, sheet, work, [*some(list(PHOTOGRAPHS), 3, 2), "all of it together"] if file == SIXTEEN else ["all of it together"])
        one, other = list(made)[:2]
        refused(work, made[one], code_of(one))
        mixed(work, [made[one], made[other]])
cases.end()
