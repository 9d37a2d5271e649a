"""Holds the bill of materials and the licences that are shipped against cargo and against other readers.

The bill is validated by the schema of CycloneDX 1.6 (ECMA-424) as its own library brings it, each package URL by the
library of that standard (ECMA-427), each licence by the list of SPDX; every crate that the program itself names is in it.
"""

import json
import re
import sys
import tempfile
from pathlib import Path

from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from harness import PROGRAM, ROOT, Cases, run
from license_expression import get_spdx_licensing
from packageurl import PackageURL

TARGETS = ["x86_64-unknown-linux-musl", "x86_64-pc-windows-gnu"]

cases = Cases()
with tempfile.TemporaryDirectory() as temporary:
    made = []
    for name in ("one", "two"):
        folder = Path(temporary) / name
        folder.mkdir()
        status, out, err = run(sys.executable, ROOT / "dist/bill.py", folder, *TARGETS)
        cases.holds("the bill is made", status == 0, out + err)
        made.append({file.name: file.read_bytes() for file in folder.iterdir()})
cases.holds("twice the same", made[0] == made[1])
text = made[0]["bill.cdx.json"].decode()
licences = made[0]["LICENCES.txt"].decode()
wrong = JsonStrictValidator(SchemaVersion.V1_6).validate_str(text)
cases.holds("it is CycloneDX 1.6", wrong is None, str(wrong))
bill = json.loads(text)

spdx = get_spdx_licensing()
for component in [bill["metadata"]["component"], *bill["components"]]:
    for licence in component["licenses"]:
        errors = spdx.validate(licence["expression"]).errors
        cases.holds(f"licence of {component['name']}", not errors, str(errors))
    if "purl" in component:
        read = PackageURL.from_string(component["purl"])
        same = (read.type, read.name, read.version) == ("cargo", component["name"], component["version"])
        cases.holds(f"purl of {component['name']}", same, component["purl"])

refs = {each["bom-ref"] for each in [bill["metadata"]["component"], *bill["components"]]}
for each in bill["dependencies"]:
    cases.holds(f"what {each['ref']} needs is in the bill", {each["ref"], *each["dependsOn"]} <= refs)

listed = {f"{each['name']}-{each['version']}" for each in bill["components"] if "purl" in each}
# Places in the source stand in the program, for messages of a panic: each crate named there is in the bill.
named = set(re.findall(rb"registry/src/[^/\0]+/([A-Za-z0-9_-]+-\d[0-9A-Za-z.+-]*)/", PROGRAM.read_bytes()))
cases.holds("the program names crates", len(named) > 30, str(len(named)))
for name in sorted(named):
    cases.holds(f"{name.decode()} is in the bill", name.decode() in listed)
# What only tests or builds ask for is not shipped.
for name in ("proptest", "insta", "tempfile", "syn", "serde_derive"):
    cases.holds(f"{name} is not in the bill", not any(each.startswith(f"{name}-") for each in listed))

lock = (ROOT / "Cargo.lock").read_text()
for each in bill["components"]:
    if each.get("purl") and "hashes" in each:
        cases.holds(f"sum of {each['name']}", each["hashes"][0]["content"] in lock)
for each in bill["components"]:
    ours = each["name"].startswith("lidcard") or "purl" not in each
    stands = f"\n{each['name']} {each.get('version')} (" in licences
    cases.holds(f"{each['name']} stands in the licences", ours or stands)
cases.end()
