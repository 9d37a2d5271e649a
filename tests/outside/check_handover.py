"""Looks at whole handovers with programs that know nothing of ours: an HTML parser, a CSS parser, two
readers of PDF, and the sums of the files.

The page is held to what any reader may expect of it: it parses without a single error, needs nothing
from elsewhere, says its language, its links lead somewhere, and its text keeps a contrast of 7:1
(WCAG 2.2, success criterion 1.4.6; the formula is its "contrast ratio" and "relative luminance",
https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio). That contrast is of luminance alone, so it holds in grey.
"""

import base64
import collections
import hashlib
import json
import re
import shutil
import tempfile
from pathlib import Path
from urllib.parse import unquote
from xml.etree import ElementTree

import html5lib
import tinycss2
import yamlfile
from harness import BOATS, MISTAKES, ROOT, Cases, lidcard, run, some
from pages import pages_of, text_of, words_of
from pypdf import PdfReader

WORKSHOP = ROOT / "tests/fixtures/workshop"
ACCEPTED = sorted((ROOT / "tests/fixtures/accepted").glob("*.yaml"))
LANGUAGES = sorted(file.stem for file in (ROOT / "templates/labels").glob("*.yaml"))
# Attributes by which a page fetches something (HTML Living Standard, index of attributes).
FETCHING = ("src", "srcset", "data", "poster", "background", "action", "formaction", "ping", "manifest")
LEAST_CONTRAST = 7.0

cases = Cases()


def luminance(colour):
    """Relative luminance of red, green, blue from 0 to 1."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def hexadecimal(text):
    digits = text.lstrip("#")
    digits = "".join(d * 2 for d in digits) if len(digits) == 3 else digits
    return tuple(int(digits[n : n + 2], 16) / 255 for n in (0, 2, 4))


def declarations(css):
    """Every declaration, those inside of @media and @page too: name and text of the value."""
    for rule in tinycss2.parse_stylesheet(css, skip_comments=True, skip_whitespace=True):
        if rule.type == "error":
            cases.holds("the CSS parses", False, rule.message)
        content = getattr(rule, "content", None) or []
        if rule.type == "at-rule" and rule.lower_at_keyword == "media":
            yield from declarations(tinycss2.serialize(content))
            continue
        for one in tinycss2.parse_blocks_contents(content, skip_comments=True, skip_whitespace=True):
            if one.type == "declaration":
                yield one.lower_name, tinycss2.serialize(one.value).strip()
            elif one.type == "error":
                cases.holds("the CSS parses", False, one.message)


def colours_keep_apart(name, css):
    """Every colour of text on every ground there is, wherever the page puts them."""
    known = list(declarations(css))
    variables = {key: value for key, value in known if key.startswith("--")}

    def resolved(value):
        for used in re.findall(r"var\((--[\w-]+)\)", value):
            value = value.replace(f"var({used})", variables[used])
        return re.findall(r"#[0-9a-fA-F]{6}\b|#[0-9a-fA-F]{3}\b", value)

    inks = {c for key, value in known if key == "color" for c in resolved(value)}
    grounds = {c for key, value in known if key in ("background", "background-color") for c in resolved(value)}
    cases.holds(f"{name}: says its colours", len(inks) >= 2 and len(grounds) >= 2, f"{inks} on {grounds}")
    for ink in inks:
        for ground in grounds:
            ratio = contrast(hexadecimal(ink), hexadecimal(ground))
            cases.holds(f"{name}: {ink} on {ground}", ratio >= LEAST_CONTRAST, f"{ratio:.2f}:1")
    cases.holds(f"{name}: nothing is fetched by the CSS", "url(" not in css and "@import" not in css, css)
    cases.holds(f"{name}: is made for paper too", "@media print" in css and "@page" in css)
    small = [value for key, value in known if key == "font-size" and re.match(r"0?\.(\d+)rem", value)]
    # A rem is 16 px, 12 pt, on the screen and 10 pt in print: nothing below 8 pt there.
    cases.holds(f"{name}: no text is tiny", all(float(v[:-3]) >= 0.8 for v in small), small)


def over(labels, others):
    """Labels with others in their place: of a model that is no boat some things are said otherwise."""
    return {key: over(said, others.get(key, {})) if isinstance(said, dict) else others.get(key, said) for key, said in labels.items()}


def page_is_sound(name, folder, boat, labels, code):
    text = (folder / "index.html").read_text()
    try:
        tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)
    except html5lib.html5parser.ParseError as error:
        cases.holds(f"{name}: parses without an error", False, repr(error))
        return
    cases.holds(f"{name}: parses without an error", True)
    cases.holds(f"{name}: is in {labels['language']}", tree.get("lang") == labels["language"], tree.get("lang"))
    tags = [element.tag for element in tree.iter() if isinstance(element.tag, str)]
    forbidden = {"script", "link", "iframe", "object", "embed", "base", "form"} & set(tags)
    cases.holds(f"{name}: does nothing by itself", not forbidden, str(forbidden))
    handlers = [key for element in tree.iter() for key in element.attrib if key.startswith("on")]
    cases.holds(f"{name}: no attribute is a script", not handlers, str(handlers))
    for element in tree.iter():
        for key in FETCHING:
            value = element.get(key, "data:")
            cases.holds(f"{name}: <{element.tag}> fetches nothing", value.startswith("data:"), value[:60])
    pictures = list(tree.iter("img"))
    cases.holds(f"{name}: pictures say what they show", pictures and all(i.get("alt") for i in pictures))
    policy = [m.get("content") for m in tree.iter("meta") if m.get("http-equiv") == "Content-Security-Policy"]
    style = "".join(style.text for style in tree.iter("style"))
    # Content Security Policy Level 3, 2.3.1 hash-source: the sum of the element's text.
    allowed = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    strict = len(policy) == 1 and "default-src 'none'" in policy[0] and f"style-src 'sha256-{allowed}'" in policy[0]
    cases.holds(f"{name}: its policy lets nothing in but its own style", strict and "unsafe" not in policy[0], policy)
    styled = [element.tag for element in tree.iter() if element.get("style") is not None]
    cases.holds(f"{name}: no element has looks of its own", not styled, str(styled))
    levels = [int(tag[1]) for tag in tags if re.fullmatch("h[1-6]", tag)]
    steps = all(b - a <= 1 for a, b in zip(levels, levels[1:]))
    cases.holds(f"{name}: headings go down step by step", levels[0] == 1 and levels.count(1) == 1 and steps, levels)
    scopes = all(cell.get("scope") in ("row", "col") for cell in tree.iter("th"))
    cases.holds(f"{name}: heads of tables say what they are of", scopes)

    links = [unquote(a.get("href", "")) for a in tree.iter("a")]
    beside = {file.name for file in folder.iterdir()} - {"index.html"}
    # The three papers stand on top as well, large enough for a thumb.
    top = [file for file in sorted(beside) if re.search(r"-(card|guide)\.(pdf|html)$|-sheet\.pdf$", file)]
    cases.holds(f"{name}: the papers come first", sorted(links[: len(top)]) == top and len(top) == 5, f"{links} {top}")
    rest = links[len(top) :]
    cases.holds(f"{name}: links to every file and no other", sorted(rest) == sorted(beside), f"{links} {beside}")
    colours_keep_apart(name, "".join(style.text for style in tree.iter("style")))

    said = words_of(" ".join("".join(part.itertext()) for part in tree.iter("body")))
    wanted = [boat["boat"]["name"], code, labels["handover"]["cautions"]["law"], labels["sheet"]["cautions"]["limits"]]
    wanted += [str(boat["boat"][key]) for key in ("revision", "date", "workshop") if key in boat["boat"]]
    for accepted in boat.get("accept", []):
        wanted += [accepted["because"], accepted["rule"]]
    wanted.append(labels["handover"]["verdict"]["accepted" if "accept" in boat else "clean"].split("{")[0])
    for words in wanted:
        cases.holds(f"{name}: says {words!r}", words_of(words) in said, said)


def files_are_sound(name, folder, code):
    manifest = json.loads((folder / "handover.json").read_text())
    sums = {file["name"]: file["sha256"] for file in manifest["files"]}
    there = {f.name: hashlib.sha256(f.read_bytes()).hexdigest() for f in folder.iterdir() if f.name != "handover.json"}
    cases.holds(f"{name}: the sums are those of the files", sums == there, f"{sums}\n    {there}")
    cases.holds(f"{name}: the list has the code", manifest["code"] == code, manifest["code"])
    for file in folder.glob("*.json"):
        cases.holds(f"{name}: {file.name} is JSON with a version", json.loads(file.read_text())["version"] == 1)
    check = json.loads(next(folder.glob("*-check.json")).read_text())["files"][0]
    endpoints = json.loads(next(folder.glob("*-endpoints.json")).read_text())
    boat_file = next(folder.glob("*.yaml")).name
    cases.holds(f"{name}: reports name the file beside them", check["file"] == endpoints["file"] == boat_file)
    report = next(folder.glob("*-report.txt")).read_text()
    rules = {proved["rule"] for proved in check["proved"]}
    cases.holds(f"{name}: the report has all that is proved", rules and all(rule in report for rule in rules))
    cases.holds(f"{name}: the report has the endpoints", f"{boat_file}: endpoints of" in report)
    cases.holds(f"{name}: no file names a folder of this machine", str(ROOT) not in report + json.dumps(check))

    for pdf in sorted(folder.glob("*.pdf")):
        count = pages_of(pdf)
        reader = PdfReader(pdf, strict=True)
        cases.holds(f"{name}: {pdf.name} has pages for two readers", 0 < count == len(reader.pages))
        status, out, err = run("qpdf", "--check", pdf)
        cases.holds(f"{name}: {pdf.name} is sound", status == 0, out + err)
        for page in range(1, count + 1):
            found = text_of(pdf, "-f", page, "-l", page)
            cases.holds(f"{name}: {pdf.name} page {page} has the code", code in found, found)


def pictures_in(pdf):
    """Pictures of the file, each once, with the pages that show it."""
    lines = run("pdfimages", "-list", pdf)[1].splitlines()[2:]
    return [(int(line.split()[0]), int(line.split()[12])) for line in lines]


def handed_over(file, language, folder, *more):
    boat = yamlfile.values(file.read_text())
    labels = yamlfile.values((ROOT / f"templates/labels/{language}.yaml").read_text())
    if boat["boat"].get("kind") == "other":
        labels = over(labels, yamlfile.values((ROOT / f"templates/labels/dry/{language}.yaml").read_text()))
    name = f"{file.parent.name}/{file.name}, {language}{', workshop' if '--workshop' in more else ''}"
    size = () if file in BOATS else ("--size", "148x105")
    status, out, err = lidcard("handover", file, "-o", folder, "--language", language, *size, *more)
    if not cases.holds(f"{name}: is made", status == 0 and (folder / "index.html").is_file(), out + err):
        return
    code = lidcard("verify", file)[1].split()[0]
    page_is_sound(name, folder, boat, labels, code)
    files_are_sound(name, folder, code)
    cases.holds(f"{name}: the boat file is the one checked", (folder / file.name).read_bytes() == file.read_bytes())

    again = folder.parent / "elsewhere" / "again"
    again.parent.mkdir(exist_ok=True)
    surroundings = {"TZ": "Pacific/Auckland", "LANG": "C", "HOME": "/nonexistent"}
    lidcard("handover", file, "-o", again, "--language", language, *size, *more, cwd=again.parent, env=surroundings)
    same = again.is_dir() and all(f.read_bytes() == (again / f.name).read_bytes() for f in folder.iterdir())
    cases.holds(f"{name}: same bytes a second time", same)
    shutil.rmtree(again.parent)


def with_a_workshop(file, folder):
    handed_over(file, "en", folder, "--workshop", WORKSHOP)
    contact = (WORKSHOP / "contact.txt").read_text().splitlines()
    for document in ("sheet", "guide"):
        pdf = folder / f"{file.stem}-{document}.pdf"
        cases.holds(f"the {document} shows the logo once, on its first page", pictures_in(pdf)[:1] == pictures_in(pdf) and pictures_in(pdf)[0][0] == 1, pictures_in(pdf))
        cases.holds(f"the {document}'s logo is fine enough", pictures_in(pdf)[0][1] >= 600, pictures_in(pdf))
        text = words_of(text_of(pdf))
        for line in contact:
            cases.holds(f"the {document} says {line!r}", words_of(line) in text)
    page = (folder / "index.html").read_text()
    cases.holds("the index shows the logo", page.count("data:image/png") == 3 and contact[-1] in page)


def as_the_check_says(file, folder):
    """With errors, or with checks not judged, there is no handover; warnings are handed over and told."""
    checked = json.loads(lidcard("check", "--format", "json", file)[1])["files"][0]
    findings = checked["findings"]
    errors = [f for f in findings if f["severity"] == "error" and not f["accepted"]]
    status, out, err = lidcard("handover", file, "-o", folder)
    if errors:
        cases.holds(f"{file.name}: is not handed over", status == 1 and not folder.exists(), f"status {status}\n{err}")
        cases.holds(f"{file.name}: leaves nothing beside", not list(folder.parent.glob(f".{folder.name}*")))
    elif checked.get("not_judged"):
        refused = status == 1 and "not judged" in err and "--provisional" in err
        cases.holds(f"{file.name}: is not handed over with checks not judged", refused and not folder.exists(), f"status {status}\n{err}")
    elif cases.holds(f"{file.name}: is handed over with its warnings", status == 0, out + err):
        tree = html5lib.parse((folder / "index.html").read_text(), namespaceHTMLElements=False)
        said = words_of(" ".join(tree.itertext()))
        # The page speaks the reader's language and with fewer figures: each finding goes by its rule's name.
        for rule, count in collections.Counter(finding["rule"] for finding in findings).items():
            cases.holds(f"{file.name}: tells each {rule}", said.count(f"({rule})") == count, said)


def drafts_keep_their_mark(file, folder):
    """Templates that print nothing of a draft: the mark across every page is there all the same."""
    own = folder / "own"
    own.mkdir()
    for template in ("card", "sheet", "guide"):
        text = (ROOT / f"templates/{template}.tera").read_text()
        (own / f"{template}.tera").write_text(text.replace("{%- if draft %}", "{%- if false %}"))
    for document in ("card", "sheet", "guide"):
        pdf = folder / f"draft-{document}.pdf"
        status, out, err = lidcard(document, file, "--draft", "--workshop", own, "-o", pdf)
        if cases.holds(f"draft {document} is made", status == 0 and pdf.is_file(), out + err):
            for page in range(1, pages_of(pdf) + 1):
                text = "".join(text_of(pdf, "-raw", "-f", page, "-l", page).split())
                cases.holds(f"draft {document}: page {page} is marked", "CHECKFAILED" in text, text)


def names_stay_text(home):
    """A boat and a file whose names are markup: no reader finds an element, an attribute or a script in them."""
    name = "</script><img src=x onerror=alert(1)>"
    plain, marked = home / "plain.yaml", home / "<img src=x onerror=alert(2)>.yaml"
    text = (ROOT / "boats/sprat.yaml").read_text()
    plain.write_text(text)
    marked.write_text(re.sub("(?m)^  name: Sprat$", f'  name: "{name}"', text))
    made = {}
    for file in (plain, marked):
        status, out, err = lidcard("handover", file, "-o", home / f"of-{file.stem[:5]}")
        if not cases.holds(f"{file.name} is handed over", status == 0, out + err):
            return
        made[file] = home / f"of-{file.stem[:5]}"

    def elements(page):
        return [element for element in html5lib.parse(page.read_bytes(), namespaceHTMLElements=False).iter() if isinstance(element.tag, str)]

    kinds = collections.Counter()
    for page in made[marked].glob("*.html"):
        twin = made[plain] / page.name.replace(marked.stem, plain.stem)
        here, there = elements(page), elements(twin)
        label = f"{page.name}, names that are markup"
        same = [element.tag for element in here] == [element.tag for element in there]
        cases.holds(f"{label}: the same elements as with plain names", same, f"{len(here)} and {len(there)}")
        handlers = [key for element in here for key in element.attrib if key.startswith("on")]
        cases.holds(f"{label}: no attribute is a script", not handlers, str(handlers))
        words = "".join(text for element in here for text in element.itertext())
        cases.holds(f"{label}: the name can be read", "onerror=alert(1)" in words)
        for element in here:
            if element.tag == "a" and not element.get("href", "").startswith("#"):
                there = unquote(element.get("href"))
                cases.holds(f"{label}: {there} is there", (made[marked] / there).is_file())
        kinds["page"] += 1
    cases.holds("pages with such names were looked at", kinds["page"] >= 4, str(kinds))
    for part in made[marked].glob("*.json"):
        json.loads(part.read_text())
    told = json.loads((made[marked] / "handover.json").read_text())
    cases.holds("the list of files names the boat as she is called", name in json.dumps(told, ensure_ascii=False), str(told)[:300])
    for document in ("card", "sheet", "guide", "service", "plan"):
        page = home / f"{document}.svg"
        status, out, err = lidcard(document, marked, "-o", page)
        cases.holds(f"{document} is made", status == 0, out + err)
        tags = set()
        for one in home.glob(f"{document}*.svg"):
            tree = ElementTree.parse(one)
            tags |= {element.tag.rsplit("}")[-1] for element in tree.iter()}
            handlers = [key for element in tree.iter() for key in element.attrib if key.startswith("on")]
            cases.holds(f"{one.name}: no attribute is a script", not handlers, str(handlers))
        drawn = {"svg", "g", "path", "rect", "style", "text", "title"}
        cases.holds(f"{document}: nothing but what is drawn", tags and tags <= drawn, str(tags))


# The formula itself: black on white is 21:1, and WCAG's own example of 4.5:1 is grey #767676 on white.
cases.holds("black on white is 21:1", abs(contrast((0, 0, 0), (1, 1, 1)) - 21) < 1e-9)
cases.holds("#767676 on white is just above 4.5:1", 4.5 <= contrast(hexadecimal("#767676"), (1, 1, 1)) < 4.6)

with tempfile.TemporaryDirectory() as temporary:
    home = Path(temporary)
    all_of_them = [(file, language) for file in [*BOATS, *ACCEPTED] for language in LANGUAGES]
    for number, (file, language) in enumerate(some(all_of_them, 8, 2)):
        handed_over(file, language, home / f"out-{number}-{language}")
    with_a_workshop(ROOT / "boats/moonfish.yaml", home / "workshop")
    for file in some(MISTAKES[::6], 8, 3):
        as_the_check_says(file, home / file.stem)
    (home / "names").mkdir()
    names_stay_text(home / "names")
    drafts_keep_their_mark(ROOT / "tests/fixtures/mistakes/blow-reaches-gas.yaml", home)
cases.end()
