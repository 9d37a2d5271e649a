"""Tells of what the programs are made: LICENCES.txt to read and bill.cdx.json for machines.

    bill.py FOLDER [--desk] TARGET...
    bill.py --page

Asks cargo which crates are linked in for the targets, and each crate's own folder for its licence; with --desk also
what is in the page of `desk/`, once its packages are there. --page prints the licences that this page carries itself,
since it is handed on alone. The bill is
CycloneDX 1.6 (ECMA-424); it has no serial number and no time, so that the same crates make the same bytes.
"""

import base64
import hashlib
import json
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TEXTS = ("license", "licence", "copying", "copyright", "notice", "unlicense")
WEB = "wasm32-wasip1"
# Published without the text that lies at the root of the repository they share.
BESIDE = {"alloc-stdlib": "alloc-no-stdlib"}


def metadata(target):
    """What cargo knows of the crates for one target."""
    command = ["cargo", "metadata", "--format-version", "1", "--locked", "--filter-platform", target]
    return json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True).stdout)


def linked(found, target):
    """The packages from which code gets into the program, and for each of them those it asks for. What only
    writes code while it is built (macros, build scripts) is not among them, nor what a feature that is off names."""
    asked = ["cargo", "tree", "--locked", "--package", "lidcard", "--target", target]
    asked += ["--edges", "normal,no-proc-macro", "--prefix", "none", "--format", "{p}"]
    tree = subprocess.run(asked, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    names = {tuple(line.split()[:2]) for line in tree.splitlines() if line}
    packages = {
        package["id"]: package
        for package in found["packages"]
        if (package["name"], f"v{package['version']}") in names
    }
    needs = {
        node["id"]: sorted(dep["pkg"] for dep in node["deps"] if dep["pkg"] in packages)
        for node in found["resolve"]["nodes"]
        if node["id"] in packages
    }
    return packages, needs


def expression(package):
    """Its licence as SPDX has it: of old, a stroke stood for `OR`."""
    return (package["license"] or "").replace("/", " OR ")


def purl(package):
    """Its name among all packages (ECMA-427)."""
    kind, name = package.get("kind", "cargo"), package["name"].replace("@", "%40")
    return f"pkg:{kind}/{name}@{package['version']}"


def scripts():
    """What is bundled into the page, as cargo would tell of it."""
    lock = json.loads((ROOT / "desk/package-lock.json").read_text())
    found = []
    for path, told in lock["packages"].items():
        if not path or told.get("dev"):
            continue
        manifest = ROOT / "desk" / path / "package.json"
        if not manifest.is_file():
            sys.exit(f"bill.py: {path} is not there: desk/build fetches it")
        author = json.loads(manifest.read_text()).get("author") or []
        found.append(
            {
                "kind": "npm",
                "id": path,
                "name": path.removeprefix("node_modules/"),
                "version": told["version"],
                "license": told["license"],
                "license_file": None,
                "source": "npm",
                "authors": [author["name"] if isinstance(author, dict) else author] if author else [],
                "manifest_path": str(manifest),
                "sum": base64.b64decode(told["integrity"].removeprefix("sha512-")).hex(),
            }
        )
    return found


def texts(package):
    """The texts that lie in its folder, by name."""
    folder = Path(package["manifest_path"]).parent
    # What is compiled from another language lies in a folder of its own, with a text of its own.
    inside = folder.rglob("*") if package["name"].endswith("-sys") else folder.iterdir()
    found = [file for file in inside if file.is_file() and file.name.lower().startswith(TEXTS)]
    if package["license_file"]:
        found.append(folder / package["license_file"])
    return list(dict.fromkeys(file.read_text(errors="replace").strip() for file in sorted(set(found))))


def standard(package):
    """The text of its licence where it brings none: ours, with its authors in the place of ours."""
    who = ", ".join(package["authors"]) or f"the authors of {package['name']}"
    if "MIT" in expression(package):
        lines = (ROOT / "LICENSE-MIT").read_text().strip().splitlines()
        changed = [f"Copyright (c) {who}" if line.startswith("Copyright") else line for line in lines]
        return "\n".join(changed)
    sys.exit(f"bill.py: {package['name']} brings no text of its licence, {expression(package)}")


def runtime(targets):
    """What is linked in that is no crate: name, version, SPDX licence, where it is from."""
    rustc = subprocess.run(["rustc", "--version"], check=True, capture_output=True, text=True).stdout
    std = ("rust-std", rustc.split()[1], "MIT OR Apache-2.0", "standard library of Rust, in every program")
    wasi = "Apache-2.0 WITH LLVM-exception OR Apache-2.0 OR MIT"
    web = ("wasi-libc", None, wasi, "library of the system, in the page; comes with the Rust target")
    if targets == [WEB]:
        return [std, web]
    return [
        std,
        *([web] if WEB in targets else []),
        ("musl", None, "MIT", "library of the system, in the program for Linux; comes with the Rust target"),
        ("mingw-w64", None, "ZPL-2.1", "start of a program for Windows; from the system that built it"),
        ("libgcc", None, "GPL-3.0-or-later WITH GCC-exception-3.1", "unwinding, in the program for Windows"),
    ]


FONT = ("Roboto Condensed", "Apache-2.0", "crates/page/src/fonts/LICENSE-RobotoCondensed.txt")


def licences(packages, targets):
    """Each text once, with all the crates that have it before it."""
    by_name = {package["name"]: package for package in packages}
    whose = {}
    for package in packages:
        if package["source"] is None:
            continue
        found = texts(package) or texts(by_name.get(BESIDE.get(package["name"]), package)) or [standard(package)]
        for text in found:
            whose.setdefault(text, []).append(f"{package['name']} {package['version']} ({expression(package)})")
    own = [("lidcard", (ROOT / name).read_text().strip()) for name in ("LICENSE-MIT", "LICENSE-APACHE")]
    whose.setdefault((ROOT / FONT[2]).read_text().strip(), []).append(f"{FONT[0]}, the typeface ({FONT[1]})")
    parts = [
        "lidcard is under the licence MIT or Apache-2.0, as you like. In it are the crates below, each under its\n"
        "own; where several licences stand with OR between them, any one of them.\n\nBesides:\n"
        + "\n".join(f"  {name} {version or ''}".rstrip() + f" ({spdx}): {why}" for name, version, spdx, why in runtime(targets))
    ]
    for who, text in own:
        parts.append(f"{who}\n\n{text}")
    for text, crates in sorted(whose.items(), key=lambda pair: pair[1]):
        parts.append("\n".join(crates) + f"\n\n{text}")
    line = "\n\n" + "-" * 78 + "\n\n"
    return line.join(parts) + "\n"


def bill(packages, needs, targets):
    """The bill, by the schema of CycloneDX 1.6."""
    lock = tomllib.loads((ROOT / "Cargo.lock").read_text())
    sums = {(each["name"], each["version"]): each.get("checksum") for each in lock["package"]}
    ids = {package["id"]: purl(package) for package in packages}

    def component(package):
        told = {
            "type": "application" if package["name"] == "lidcard" else "library",
            "bom-ref": purl(package),
            "name": package["name"],
            "version": package["version"],
            "licenses": [{"expression": expression(package)}],
            "purl": purl(package),
        }
        if "sum" in package:
            return told | {"hashes": [{"alg": "SHA-512", "content": package["sum"]}]}
        known = sums[package["name"], package["version"]]
        if known:
            told["hashes"] = [{"alg": "SHA-256", "content": known}]
        return told

    ours = next(package for package in packages if package["name"] == "lidcard")
    components = [component(package) for package in packages if package is not ours]
    for name, version, spdx, why in runtime(targets):
        told = {"type": "library", "bom-ref": name, "name": name, "description": why}
        if version:
            told["version"] = version
        components.append(told | {"licenses": [{"expression": spdx}]})
    font = (ROOT / FONT[2]).parent
    for file in sorted(font.glob("*.ttf")):
        sum_of = hashlib.sha256(file.read_bytes()).hexdigest()
        components.append(
            {
                "type": "data",
                "bom-ref": file.name,
                "name": file.stem,
                "licenses": [{"expression": FONT[1]}],
                "hashes": [{"alg": "SHA-256", "content": sum_of}],
            }
        )
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {"component": component(ours)},
        "components": components,
        "dependencies": [
            {"ref": ids[name], "dependsOn": sorted(ids[need] for need in needs[name])}
            for name in sorted(needs, key=ids.get)
        ],
    }


def main():
    page, desk = "--page" in sys.argv, "--desk" in sys.argv
    folder, *targets = [None] if page else [word for word in sys.argv[1:] if word != "--desk"]
    if page or desk:
        targets.append(WEB)
    packages, needs = {}, {}
    for target in targets:
        found, asked = linked(metadata(target), target)
        packages |= found
        for name, more in asked.items():
            needs[name] = sorted({*needs.get(name, []), *more})
    if page or desk:
        packages |= {purl(package): package for package in scripts()}
    ordered = sorted(packages.values(), key=lambda package: (package["name"], package["version"]))
    if page:
        print(licences(ordered, targets), end="")
        return
    Path(folder, "LICENCES.txt").write_text(licences(ordered, targets))
    text = json.dumps(bill(ordered, needs, targets), indent=1, ensure_ascii=False, sort_keys=True)
    Path(folder, "bill.cdx.json").write_text(text + "\n")


main()
