"""What is asked of any page that we make, with programs that know nothing of ours."""

import itertools
import re
import xml.etree.ElementTree as xml

from harness import run

POINTS_PER_MM = 72 / 25.4


def words_of(text):
    return " ".join(text.split()).casefold()


def written(tree):
    """Every key and every text of a file that was read, without its remarks."""
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield str(key)
            yield from written(value)
    elif isinstance(tree, list):
        for value in tree:
            yield from written(value)
    elif tree is not None:
        yield str(tree)


def text_of(pdf, *options):
    return run("pdftotext", *options, pdf, "-")[1]


def pages_of(pdf):
    return int(re.search(r"^Pages:\s+(\d+)", run("pdfinfo", pdf)[1], re.M).group(1))


def size_is_exact(cases, name, pdf, size):
    report = run("pdfinfo", "-f", "1", "-l", pages_of(pdf), pdf)[1]
    found = re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", report)
    off = [
        abs(float(points) / POINTS_PER_MM - wanted)
        for page in found
        for points, wanted in zip(page, size)
    ]
    cases.holds(f"{name}: page is {size[0]:g} x {size[1]:g} mm", off and max(off) <= 0.01, report)


def fonts_are_inside(cases, name, pdf):
    lines = run("pdffonts", pdf)[1].splitlines()
    # Columns lie under the rulers of the second line; names and types may hold blanks.
    ends = [m.span() for m in re.finditer("-+", lines[1])] if len(lines) > 2 else []
    rows = [[line[a:b].strip() for a, b in ends] for line in lines[2:]]
    heads = [lines[0][a:b].strip() for a, b in ends]
    good = rows and all(
        row[heads.index("emb")] == "yes" and row[heads.index("sub")] == "yes" for row in rows
    )
    cases.holds(f"{name}: fonts embedded and subset", good, "\n    ".join(lines))


def words_lie_on_the_page(cases, name, pdf):
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
        # From above: past the first that begins below a word none can lie on it.
        boxes.sort(key=lambda box: box[2])
        clashes = [(a[0], b[0]) for i, a in enumerate(boxes)
                   for b in itertools.takewhile(lambda b: b[2] < a[4], itertools.islice(boxes, i + 1, None)) if clash(a, b)]
        cases.holds(f"{name}: no word lies on another", not clashes, f"overlapping: {clashes}")


def clash(a, b):
    across = min(a[3], b[3]) - max(a[1], b[1])
    down = min(a[4], b[4]) - max(a[2], b[2])
    if across <= 0 or down <= 0:
        return False
    area = lambda box: (box[3] - box[1]) * (box[4] - box[2])
    # Boxes reach from the highest to the lowest letter of the font, so close lines touch a little.
    return across * down > 0.4 * min(area(a), area(b))
