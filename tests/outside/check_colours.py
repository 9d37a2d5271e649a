"""Looks at the colours of every page: none, and text that can be read on whatever lies under it.

Contrast is that of WCAG 2.2: relative luminance and contrast ratio as its glossary defines them
(https://www.w3.org/TR/WCAG22/#dfn-relative-luminance, #dfn-contrast-ratio); 7:1 is its success criterion 1.4.6.
"""

import re
import subprocess
import tempfile
import xml.etree.ElementTree as xml
from pathlib import Path

import numpy
from harness import BOATS, MISTAKES, Cases, lidcard, run, some
from pages import text_of
from PIL import Image

ENOUGH = 7.0
DPI = 200
# Operators of a page that set a colour (ISO 32000-1, table 74). Only a grey tells nothing by its hue.
COLOURED = {"rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN", "sh", "ri"}
GREY = {"g", "G"}

cases = Cases()


def luminance(red, green, blue):
    """Relative luminance of a colour whose parts go from 0 to 255."""
    parts = [part / 255 for part in (red, green, blue)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    light, dark = sorted((luminance(*one), luminance(*other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# The ends of the scale, and the grey at which black on white's middle ground begins to fail: figures of the same source.
cases.holds("black on white is 21:1", abs(contrast((0, 0, 0), (255, 255, 255)) - 21) < 1e-9)
cases.holds("#767676 on white is just 4.5:1", 4.5 <= contrast((0x76,) * 3, (255,) * 3) < 4.6)
cases.holds("#595959 on white is just 7:1", 7.0 <= contrast((0x59,) * 3, (255,) * 3) < 7.1)


def only_greys(name, pdf):
    whole = subprocess.run(["qpdf", "--qdf", "--object-streams=disable", str(pdf), "-"], capture_output=True).stdout
    streams = re.findall(rb"\nstream\n(.*?)\nendstream", whole, re.S)
    used = set()
    for stream in streams:
        # The content of a page ends its operators with lines or blanks; texts stand in brackets.
        if b" Tf" in stream or b"\nBT" in stream:
            bare = re.sub(rb"\((?:\\.|[^\\)])*\)|<[0-9A-Fa-f]*>", b" ", stream)
            used |= {token.decode() for token in bare.split() if token.isalpha()}
    cases.holds(f"{name}: sets greys and no colour", used & GREY and not used & COLOURED, sorted(used & COLOURED) or used)


def pixels_are_grey(name, picture):
    dots = numpy.asarray(Image.open(picture).convert("RGB"))
    same = (dots[..., 0] == dots[..., 1]).all() and (dots[..., 1] == dots[..., 2]).all()
    cases.holds(f"{name}: every dot is grey", same)


def vectors_are_grey(name, picture):
    colours = set()
    for element in xml.parse(picture).iter():
        for key in ("fill", "stroke", "color", "style"):
            colours.update(re.findall(r"#[0-9a-fA-F]{3,8}|rgb\([^)]*\)|[a-z]+", element.get(key) or ""))
    colours -= {"none", "fill", "stroke", "evenodd"}
    named = {"black": "#000000", "white": "#ffffff"}
    whole = [re.sub("^#(.)(.)(.)$", r"#\1\1\2\2\3\3", named.get(colour, colour)) for colour in colours]
    parts = [re.fullmatch(r"#(..)(..)(..)", colour) for colour in whole]
    good = parts and all(part and len(set(part.groups())) == 1 for part in parts)
    cases.holds(f"{name}: every colour of the SVG is a grey", good, colours)


def text_can_be_read(name, pdf, folder):
    """For each word the ground on which it lies and its ink, as they are printed."""
    # To pack a page as PNG takes pdftoppm ten times as long as to draw it.
    run("pdftoppm", "-r", DPI, pdf, folder / "page")
    pages = sorted(folder.glob("page*.ppm"))
    tree = xml.fromstring(text_of(pdf, "-bbox"))
    space = tree.tag.split("}")[0] + "}" if tree.tag.startswith("{") else ""
    faint, words = [], 0
    for picture, page in zip(pages, tree.iter(f"{space}page")):
        dots = numpy.asarray(Image.open(picture).convert("L"))
        for word in page.iter(f"{space}word"):
            # What is a dot or a dash covers too few dots to have a middle.
            if not re.search(r"\w\w", word.text or ""):
                continue
            left, top, right, bottom = (float(word.get(side)) * DPI / 72 for side in ("xMin", "yMin", "xMax", "yMax"))
            high = bottom - top
            part = dots[int(top + 0.2 * high) : int(bottom - 0.2 * high) + 1, int(left) : int(right) + 1]
            ground = int(numpy.bincount(part.ravel()).argmax())
            # The middle of a stroke, not the soft edge that drawing in dots gives it.
            ink = int(numpy.percentile(part, 3 if ground > 127 else 97))
            words += 1
            if contrast((ink,) * 3, (ground,) * 3) < ENOUGH:
                faint.append((word.text, ink, ground))
        picture.unlink()
    cases.holds(f"{name}: {words} words at {ENOUGH:g}:1 or more", words > 20 and not faint, faint[:6])


with tempfile.TemporaryDirectory() as temporary:
    folder = Path(temporary)
    spoilt = [file for file in MISTAKES if file.stem == "blow-reaches-gas"]
    for file in some(BOATS + spoilt, 6, 2):
        draft = ["--draft"] if file in spoilt else []
        for kind in ("card", "sheet", "guide"):
            name = f"{file.name}, {kind}"
            pdf = folder / f"{kind}.pdf"
            lidcard(kind, file, *draft, "-o", pdf)
            if not cases.holds(f"{name}: is made", pdf.is_file()):
                continue
            only_greys(name, pdf)
            if not draft:
                text_can_be_read(name, pdf, folder)
            for ending, good in (("png", pixels_are_grey), ("svg", vectors_are_grey)):
                lidcard(kind, file, *draft, "-o", folder / f"picture.{ending}")
                made = sorted(folder.glob(f"picture*.{ending}"))
                cases.holds(f"{name}: {ending} is made", made)
                for picture in made:
                    good(f"{name}, {picture.name}", picture)
                    picture.unlink()
            pdf.unlink()
cases.end()
