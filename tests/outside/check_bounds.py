"""Holds every command to 200 MB and 5 s of CPU on files that were made to keep it busy.

What is measured is the greatest resident memory and the CPU time of the child as the system counts them
(getrusage); seconds are only measured here, and no limit of the program hangs on them. Each case also says how the
command has to end. A program that is not optimised gets more time, never more memory.
"""

import os
import random
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

from harness import LEVEL, PROGRAM, ROOT, SEED, Cases
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

    pack = zlib.compressobj(9)
    data = b"".join(pack.compress(b"\0" + row) for _ in range(height)) + pack.flush()
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + more + chunk(b"IDAT", data) + chunk(b"IEND", b""))
    return path


def pictures(folder):
    """Pictures for `restore`."""
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
    subprocess.run(["pdftoppm", "-r", "300", "-gray", "-png", str(sheet), str(folder / "page")], check=True)
    pages = sorted(folder.glob("page-*.png"))
    bounded("restore, every page of a sheet at 300 dpi", "restore", *pages, "-o", folder / "back.yaml", ends=(0,))
    shots = []
    for number in range(10):
        # Twelve million pixels each, dark, blurred and cut so that no code is whole.
        shot = Image.open(pages[-1]).resize((3000, 4000)).rotate(3 * number + 1, fillcolor=90).filter(ImageFilter.GaussianBlur(6))
        shots.append(folder / f"bad{number}.jpg")
        shot.point(lambda level: level // 3 + 20).save(shots[-1], quality=70)
    bounded("restore, ten bad photographs", "restore", *shots, ends=(2,), says="nothing restored")
    bounded("restore, sixty of them", "restore", *shots * 6, ends=(2,), says="give fewer at a time")
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
        bounded(f"logo, {name}", "card", SPRAT, "--workshop", made(f"svg{number}", text), "-o", folder / "card.pdf", "--force", ends=(2,))
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


def main():
    with tempfile.TemporaryDirectory() as temporary:
        home = Path(temporary)
        for part in (pictures, logos, templates, boats):
            folder = home / part.__name__
            folder.mkdir()
            part(folder)
    print(f"at the most {greatest['MB']:.0f} MB and {greatest['s']:.1f} s of CPU")
    cases.end()


if __name__ == "__main__":
    sys.exit(main())
