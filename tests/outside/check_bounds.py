"""Holds every command to 200 MB and 5 s of CPU on files that were made to keep it busy.

What is measured is the greatest resident memory and the CPU time of the child as the system counts them
(getrusage); seconds are only measured here, and no limit of the program hangs on them. Each case also says how the
command has to end. A program that is not optimised gets more time, never more memory. A quick run takes two of the eight
sorts of files, others for each commit.
"""

import os
import random
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

from harness import LEVEL, PROGRAM, ROOT, SEED, Cases, some
from PIL import Image, ImageFilter

MOST_MB = 200
# What `cargo build` gives is not optimised but for the crates that do the work.
MOST_SECONDS = 5 if "release" in str(PROGRAM) or "dist" in str(PROGRAM) else 15
SPRAT = ROOT / "boats/sprat.yaml"

cases = Cases()


# A child is counted with what its parent had in memory when it was made, and we have pictures: so a small one
# stands between.
BETWEEN = """
import os, sys
child = os.posix_spawn(sys.argv[2], sys.argv[2:], os.environ)
_, status, used = os.wait4(child, 0)
with open(sys.argv[1], "w") as out:
    print(os.waitstatus_to_exitcode(status), used.ru_maxrss, used.ru_utime + used.ru_stime, file=out)
"""


def bounded(name, *arguments, ends=(0, 1, 2), says=""):
    with tempfile.NamedTemporaryFile("r") as measured:
        command = [sys.executable, "-S", "-c", BETWEEN, measured.name, str(PROGRAM), *map(str, arguments)]
        told = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, errors="replace")
        code, kilobytes, seconds = measured.read().split()
    text = told.stdout + told.stderr
    code, memory, seconds = int(code), int(kilobytes) / 1024, float(seconds)
    good = code in ends and memory < MOST_MB and seconds < MOST_SECONDS and "panicked" not in text
    # What is refused as no command was bounded by nothing.
    good = good and "unexpected argument" not in text and "the program itself failed" not in text
    good = good and " ".join(says.split()) in " ".join(text.split())
    detail = f"ended with {code}, {memory:.0f} MB, {seconds:.1f} s of CPU: {text[:300]}"
    cases.holds(name, good, detail)
    greatest["MB"] = max(greatest["MB"], memory)
    greatest["s"] = max(greatest["s"], seconds)


greatest = {"MB": 0.0, "s": 0.0}


def png(path, width, height, row, *, depth=8, colour=0, more=b""):
    """A PNG whose rows are all the same, packed row by row, so that none is ever held here as a whole."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    pack = zlib.compressobj(1)
    data = b"".join(pack.compress(b"\0" + row) for _ in range(height)) + pack.flush()
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + more + chunk(b"IDAT", data) + chunk(b"IEND", b""))
    return path


def drawn(folder):
    """Pictures for `restore` that no camera took."""
    bounded("restore, 95 million white pixels", "restore", png(folder / "white.png", 19999, 5000 - 250, b"\xff" * 19999), ends=(2,), says="no QR code was seen")
    bounded("restore, more pixels than are opened", "restore", png(folder / "huge.png", 19999, 19999, b"\xff" * 2500, depth=1), ends=(2,), says="too many")
    stripes = (b"\0\0\xff\xff" * 5000)[:19999]
    bounded("restore, stripes", "restore", png(folder / "stripes.png", 19999, 4000, stripes), ends=(2,))
    ring = ["1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"]
    tile = Image.new("L", (18, 18), 255)
    for y, row in enumerate(ring):
        for x, ink in enumerate(row):
            if ink == "1":
                tile.paste(0, (2 * x, 2 * y, 2 * x + 2, 2 * y + 2))
    wall = Image.new("L", (3600, 3300), 255)
    for y in range(0, 3300, 18):
        for x in range(0, 3600, 18):
            wall.paste(tile, (x, y))
    wall.save(folder / "wall.png")
    bounded("restore, a wallpaper of corner marks", "restore", folder / "wall.png", ends=(2,))


def photographed(folder):
    """What a camera may make of a page or of anything else."""
    chance = random.Random(SEED)
    noise = Image.frombytes("L", (3000, 4000), chance.randbytes(12_000_000))
    noise.save(folder / "noise.jpg", quality=60)
    bounded("restore, noise", "restore", folder / "noise.jpg", ends=(2,))
    noise.save(folder / "passes.jpg", quality=60, progressive=True)
    bounded("restore, noise that comes in passes", "restore", folder / "passes.jpg", ends=(2,))
    half = folder / "half.jpg"
    half.write_bytes((folder / "noise.jpg").read_bytes()[: (folder / "noise.jpg").stat().st_size // 2])
    bounded("restore, half a JPEG", "restore", half, ends=(2,), says="ends before its picture does")
    sheet = folder / "sheet.pdf"
    subprocess.run([str(PROGRAM), "sheet", str(SPRAT), "-o", str(sheet)], check=True, stdout=subprocess.DEVNULL)
    # To pack a page as PNG takes pdftoppm ten times as long as to draw it.
    subprocess.run(["pdftoppm", "-r", "300", "-gray", str(sheet), str(folder / "page")], check=True)
    pages = [page.with_suffix(".png") for page in sorted(folder.glob("page-*.pgm"))]
    for page in pages:
        Image.open(page.with_suffix(".pgm")).save(page, compress_level=1)
    bounded("restore, every page of a sheet at 300 dpi", "restore", *pages, "-o", folder / "back.yaml", ends=(0,))
    shots = []
    for number in range(5):
        # Twelve million pixels each, dark, blurred and cut so that no code is whole.
        shot = Image.open(pages[-1]).resize((3000, 4000)).rotate(3 * number + 1, fillcolor=90).filter(ImageFilter.GaussianBlur(6))
        shots.append(folder / f"bad{number}.jpg")
        shot.point(lambda level: level // 3 + 20).save(shots[-1], quality=70)
    bounded("restore, ten bad photographs", "restore", *shots * 2, ends=(2,), says="nothing restored")
    bounded("restore, sixty of them", "restore", *shots * 12, ends=(2,), says="give fewer at a time")
    flipped = bytearray(pages[-1].read_bytes())
    for _ in range(40):
        flipped[chance.randrange(100, len(flipped))] ^= 1 << chance.randrange(8)
    (folder / "flipped.png").write_bytes(flipped)
    bounded("restore, a page with flipped bits", "restore", folder / "flipped.png")


def logos(folder):
    """A workshop's logo as SVG and as PNG."""

    def made(name, text=None):
        shop = folder / name
        shop.mkdir()
        if text is not None:
            (shop / "logo.svg").write_text(text)
        return shop

    svg = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:s="http://www.w3.org/2000/svg" width="600" height="200">'
    drawn = {
        "turbulence": '<filter id="f" width="1e30" height="1e30"><feTurbulence baseFrequency="0.9" numOctaves="10000"/></filter><rect width="600" height="200" filter="url(#f)"/>',
        "morphology": '<filter id="f"><feMorphology operator="dilate" radius="500"/></filter><rect width="600" height="200" filter="url(#f)"/>',
        "masks inside of masks": "".join(f'<mask id="m{n}"><rect width="600" height="200" fill="white" mask="url(#m{n + 1})"/></mask>' for n in range(60)) + '<rect width="600" height="200" mask="url(#m0)"/>',
        "patterns inside of patterns": "".join(f'<pattern id="p{n}" width="1" height="1"><rect width="600" height="200" fill="url(#p{n + 1})"/></pattern>' for n in range(12)) + '<rect width="600" height="200" fill="url(#p0)"/>',
        "120,000 shapes": "".join(f'<circle cx="{n % 600}" cy="{n % 200}" r="90"/>' for n in range(120_000)),
        "a picture by another name": '<s:image href="data:image/png;base64,AAAA" width="600" height="200"/>',
        "a picture in a filter": '<filter id="f"><feImage xlink:href="data:image/png;base64,AAAA"/></filter><rect width="600" height="200" filter="url(#f)"/>',
        "what uses itself, doubled": '<g id="a0"><circle r="9"/></g>' + "".join(f'<g id="a{n}"><use xlink:href="#a{n - 1}"/><use xlink:href="#a{n - 1}"/></g>' for n in range(1, 40)) + '<use xlink:href="#a39"/>',
        "an entity that doubles": "",
        "dashes without end": '<path d="M0 0L600 200" stroke="black" stroke-width="3" stroke-dasharray="0.00001"/>',
    }
    for number, (name, body) in enumerate(drawn.items()):
        text = f"{svg}{body}</svg>"
        if name.startswith("an entity"):
            entities = "".join(f'<!ENTITY e{n} "&e{n - 1};&e{n - 1};">' for n in range(1, 40))
            text = f'<!DOCTYPE svg [<!ENTITY e0 "x">{entities}]>{svg}<title>&e39;</title><rect width="600" height="200"/></svg>'
        bounded(f"logo, {name}", "card", SPRAT, "--workshop", made(f"svg{number}", text), "-o", folder / "card.pdf", ends=(2,))
    shop = made("png-large")
    png(shop / "logo.png", 11_000, 1_800, b"\x80" * 33_000, colour=2)
    bounded("logo, a large PNG", "card", SPRAT, "--workshop", shop, "-o", folder / "card2.pdf")
    shop = made("png-profile")
    profile = b"name\0\0" + zlib.compress(b"\0" * 300_000_000, 9)
    chunk = struct.pack(">I", len(profile)) + b"iCCP" + profile + struct.pack(">I", zlib.crc32(b"iCCP" + profile))
    png(shop / "logo.png", 600, 200, b"\x80" * 600, more=chunk)
    bounded("logo, a PNG with a colour profile of 300 MB", "card", SPRAT, "--workshop", shop, "-o", folder / "card3.pdf")


def templates(folder):
    loops = {
        "a loop without end": "{% for a in range(end=100000000) %}{% for b in range(end=100000000) %}x{% endfor %}{% endfor %}",
        "a string that doubles": '{% set a = "xxxxxxxx" %}' + "{% set a = a ~ a %}" * 40,
        "a string that is replaced": '{% set a = "x" | replace(from="x", to="xx") %}' + '{% set a = a | replace(from="x", to="xxxxxxxxxx") %}' * 12,
        "nested brackets": "{{ " + "(" * 100_000 + "1" + ")" * 100_000 + " }}",
    }
    for number, (name, text) in enumerate(loops.items()):
        file = folder / f"t{number}.tera"
        file.write_text(text)
        bounded(f"template, {name}", "card", SPRAT, "--template", file, "-o", folder / "t.pdf", ends=(2,))
    film = folder / "film.tera"
    with film.open("wb") as file:
        file.truncate(300 << 20)
    bounded("template, a film", "card", SPRAT, "--template", film, "-o", folder / "t.pdf", ends=(2,), says="larger than 1 MB")


def boats(folder):
    lines = SPRAT.read_text()
    made = {
        "300 MB": None,
        "an alias that doubles": "lidcard: 1\nboat: &a0 [x]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 40)),
        "100,000 brackets": "lidcard: 1\nboat: " + "[" * 100_000,
        "a line of 3 MB": "lidcard: 1\nboat: {name: " + "x" * 3_000_000 + "}\n",
        "a number of 100,000 digits": lines.replace("lidcard: 1", "lidcard: 1\n", 1) + "# \n" + "x: " + "9" * 100_000 + " %\n",
        "20,000 unknown keys": lines + "".join(f"k{n}: {n}\n" for n in range(20_000)),
    }
    for number, (name, text) in enumerate(made.items()):
        file = folder / f"b{number}.yaml"
        if text is None:
            with file.open("wb") as whole:
                whole.truncate(300 << 20)
        else:
            file.write_text(text)
        for command in ["check", "card", "handover", "rehearse"] if LEVEL != "quick" else ["check"]:
            bounded(f"{command}, {name}", command, file, ends=(2,))


def bench(folder):
    """What is typed and read at the bench."""
    record = "bench: 1\nentries:\n"
    entry = '- {{at: "2026-01-01T00:00:00Z", of: "channel 1, {n}", read: [{read}]}}\n'
    run = '- {{run: "2026-01-01T00:00:00Z", by: "KL", code: "{code}", conditions: "cold", meters: {{"pulse meter": "2 us"}}}}\n'
    reads = ", ".join(['"1500 us"'] * 4000)
    made = {
        "record.bench.yaml": record + run.format(code="NJ2W-SCEF") + "".join(entry.format(n=n, read='"1500 us"') for n in range(30_000)),
        "wide.bench.yaml": record + run.format(code="NJ2W-SCEF") + entry.format(n=1, read=reads) * 40,
        "runs.bench.yaml": record + run.format(code="NJ2W-SCEF") * 25_000,
        "brackets.bench.yaml": record + "- " + "[" * 100_000,
        "long.txt": "x" * 900_000 + "\n",
        "many.txt": "KL\n" * 200_000,
        "no-end.txt": "KL\ncold\nno\npulse meter = 2 us\n \n" + "1e999999999 us\n" * 50_000,
        "answers.yaml": "answers: 1\n" + "".join(f"k{n}: {n}\n" for n in range(100_000)),
    }
    boat = put(folder, made)
    for name in ["record", "wide", "runs", "brackets"]:
        file = folder / f"{name}.bench.yaml"
        for command in (["bench"], ["adopt"], ["probe"], ["record"]):
            more = ["-o", folder / "record.pdf"] if command == ["record"] else ["--answers", folder / "many.txt"]
            bounded(f"{command[0]}, record {name}", *command, boat, "--record", file, *more)
    for name in ["long.txt", "many.txt", "no-end.txt", "film.txt"]:
        for command in ["bench", "probe"]:
            (folder / "newt.bench.yaml").unlink(missing_ok=True)
            bounded(f"{command}, answers {name}", command, boat, "--answers", folder / name)
        bounded(f"new, answers {name}", "new", folder / f"new-{name}.yaml", "--answers", folder / name, ends=(1, 2))
    bounded("new, 100,000 answers", "new", folder / "new.yaml", "--answers", folder / "answers.yaml", ends=(2,))


def recordings(folder):
    """What a logic analyser heard, or did not."""
    vcd = "$timescale 1 ns $end\n$var wire 1 ! a $end\n$enddefinitions $end\n"
    made = {
        "edges.vcd": vcd + "".join(f"#{n}\n{n % 2}!\n" for n in range(3_000_000)),
        "times.vcd": vcd + "".join(f"#{10 ** 18 * n}\n{n % 2}!\n" for n in range(20_000)) + "#" + "9" * 1_000_000 + "\n1!\n",
        "names.vcd": "$timescale 1 ns $end\n" + "".join(f"$var wire 1 x{n} line{n} $end\n" for n in range(300_000)) + "$enddefinitions $end\n",
        "columns.csv": "Time [s]," + ",".join(f"c{n}" for n in range(50_000)) + "\n" + "0," + ",".join("1" * 50_000) + "\n",
        "lines.csv": "Time [s],a\n" + "".join(f"{n / 1e6:.6f},{n % 2}\n" for n in range(1_500_000)),
    }
    boat = put(folder, made)
    for name in ["edges.vcd", "times.vcd", "names.vcd", "columns.csv", "lines.csv", "film.txt"]:
        bounded(f"listen, {name}", "listen", boat, folder / name)


def put(folder, made):
    """Writes these, and a film; gives back a boat that lies beside them."""
    for name, text in made.items():
        (folder / name).write_text(text)
    with (folder / "film.txt").open("wb") as film:
        film.truncate(300 << 20)
    boat = folder / "newt.yaml"
    boat.write_text(SPRAT.read_text())
    return boat


def many(folder):
    """Boats of which very much has to be worked out: refused in words, or done in time."""
    made = {
        "100 functions": (many_functions(100), (0, 1)),
        "300 functions": (many_functions(300), (0,)),
        "8 switches that mix": (many_switches(8), (0, 1, 2)),
        "12 switches that mix": (many_switches(12), (2,)),
        "19 switches that mix": (many_switches(19), (2,)),
        "30 switches that mix": (many_switches(30), (0, 1, 2)),
    }
    for number, (name, (text, ends)) in enumerate(made.items()):
        boat = folder / f"many{number}.yaml"
        boat.write_text(text)
        commands = [["check"], ["endpoints", "--solve"], ["handover"], ["states"], ["rehearse"], ["try", "-o", folder / "try.html"]]
        # What is asked of all of them first is the check; every command is asked of one where time is short.
        some_of = commands if LEVEL == "full" else commands[:4] if LEVEL == "usual" and number == 2 else commands[:1]
        for command in some_of:
            asked = command[0] == "check" and ends or (0, 1, 2)
            says = "too much to work out" if asked == (2,) else ""
            bounded(f"{command[0]}, {name}", command[0], boat, *command[1:], ends=asked, says=says)
    # One that is too much is told, and the others are checked.
    too_much = folder / "too-much.yaml"
    too_much.write_text(many_switches(12))
    bounded("check, one that is too much between two others", "check", SPRAT, too_much, SPRAT, ends=(2,), says="nothing found")


def many_switches(count):
    """Two channels into each of which every switch lets a mix."""
    switches = "".join(f"  s{n}: {{kind: switch, settings: [p0, p1]}}\n" for n in range(count))
    mixes = ", ".join(f"{{add: {n % 5 + 1}.{n:02d} %, of: tank, when: {{s{n}: p1}}}}" for n in range(count))
    works = "works: {v: {kind: vent valve, from: -45 % ± 1 %}, g: {kind: emergency gas valve, from: +80 % ± 1 %}}"
    devices = "".join(f"  d{n}: {{kind: servo, channel: {n}, accuracy: 1 %, stops: [-118 %, +118 %], {works}}}\n" for n in (1, 2))
    return (
        "lidcard: 1\nboat: {name: Switches, kind: submarine}\ntransmitter: {channels: 2, furthest: 125 %, pulse: {accuracy: 2 us}}\n"
        f"controls:\n  tank: {{at: left stick, ways: {{towards: flood, away: blow}}}}\n{switches}"
        f"channels:\n  1: {{control: tank, longer: blow, endpoints: 60 %, mixes: [{mixes}]}}\n  2: {{endpoints: 60 %, mixes: [{mixes}]}}\n"
        f"devices:\n{devices}"
    )


def many_functions(count):
    """A channel with so many functions, of none of which it is known where it lets go."""
    works = ", ".join(
        f"w{n}: {{kind: {('light', 'sound', 'other')[n % 3]}, from: {'+' if n % 2 else '-'}{4 + n * 100 / count:.2f} % ± 0.1 %}}"
        for n in range(count)
    )
    return (
        "lidcard: 1\nboat: {name: Many, kind: submarine}\ntransmitter: {channels: 4, furthest: 125 %, pulse: {accuracy: 2 us}}\n"
        "controls:\n  tank: {at: left stick, ways: {towards: flood, away: blow}}\n"
        "channels:\n  1: {control: tank, longer: blow, endpoints: {flood: 60 %, blow: 60 %}, wants: {flood: [w0], blow: [w1]}}\n"
        f"devices:\n  s: {{kind: servo, channel: 1, accuracy: 1 %, stops: [-118 %, +118 %], works: {{{works}}}}}\n"
    )


def main():
    with tempfile.TemporaryDirectory() as temporary:
        home = Path(temporary)
        for part in some((drawn, photographed, logos, templates, boats, bench, recordings, many), 4):
            folder = home / part.__name__
            folder.mkdir()
            part(folder)
    print(f"at the most {greatest['MB']:.0f} MB and {greatest['s']:.1f} s of CPU")
    cases.end()


if __name__ == "__main__":
    sys.exit(main())
