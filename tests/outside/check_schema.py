"""The schema of the boat file, in the hands of another program: it takes every boat, and refuses
what a schema can refuse.
"""

import json
import sys
import tempfile
from pathlib import Path

from ruamel.yaml import YAML

import yamlfile
from harness import BOATS, MISTAKES, ROOT, Cases, lidcard, run, some

READING = ROOT / "tests/fixtures/reading"
# Files that the reader refuses for their shape alone: an unknown key, a missing one, a value of the
# wrong kind, a word that is not on its list. Everything else needs more than a schema.
SHAPES = """
    boat-kind channel-not-a-number channels-count clicks-and-from clicks-empty controls-empty
    date-other-order depth-wrong-unit device-channel-and-behind device-kind device-without-channel
    furthest-negative key-elsewhere key-empty-block key-lost-value key-missing-boat
    key-missing-controls-and-channels key-missing-kind key-missing-name key-of-another-kind
    key-unknown-far key-unknown-near key-unknown-section kind-of-control mix-lacks-of negative-time
    notices-word number-comma number-not-one on-loss-word order-word rate-negative
    rate-without-control reserved-word settings-on-a-stick settings-one stages-empty stops-three
    switch-with-ways tolerance-negative tolerance-not-taken unit-case unit-missing unit-slip
    unit-unknown unit-wrong version-missing version-two version-word ways-near ways-not-a-pair
    work-kind work-without-threshold yes-no yes-no-other
""".split()

cases = Cases()
status, schema, err = lidcard("schema")
cases.holds("lidcard schema", status == 0 and not err, err)
kept = (ROOT / "tests/golden/boat-file.schema.json").read_text()
cases.holds("the copy in the repository is today's", schema == kept)


def validate(*arguments):
    return run(sys.executable, "-m", "check_jsonschema", "--color", "never", *arguments)


with tempfile.TemporaryDirectory() as folder:
    file = Path(folder) / "boat-file.schema.json"
    file.write_text(schema)
    status, out, err = validate("--check-metaschema", file)
    cases.holds("it is a schema", status == 0, out + err)

    clean = sorted(READING.glob("clean*.yaml"))
    good = [*BOATS, *some(MISTAKES, 3), *clean, ROOT / "tests/fixtures/example.yaml"]
    cases.holds("there are files to judge", len(good) > 40 and len(clean) > 5)
    status, out, err = validate("--schemafile", file, *good)
    cases.holds(f"all {len(good)} boats have its shape", status == 0, out + err)

    # One run for all: the report lists the files that are refused, and the clean ones are not among them.
    bad = [READING / f"{name}.yaml" for name in SHAPES]
    status, out, err = validate("--schemafile", file, "--output-format", "json", *bad, *clean)
    refused = {Path(error["filename"]).name for error in json.loads(out)["errors"]}
    cases.holds("a clean file is not refused", not refused & {path.name for path in clean})
    for path in bad:
        cases.holds(f"{path.name} is refused", path.name in refused, out[-300:] + err)

# The outside checks read YAML by libyaml; a reader in Python alone has to read the same.
for path in [*some([*BOATS, *MISTAKES], 24, 8), ROOT / "templates/labels/en.yaml"]:
    text = path.read_text()
    for kind, read in (("base", yamlfile.texts), ("safe", yamlfile.values)):
        cases.holds(f"{path.name} is read the same ({kind})", YAML(typ=kind, pure=True).load(text) == read(text))
for kind, read in (("texts", yamlfile.texts), ("values", yamlfile.values)):
    try:
        cases.holds(f"a key that stands twice is no {kind}", False, str(read("a: 1\nb: 2\na: 3\n")))
    except ValueError:
        cases.holds(f"a key that stands twice is no {kind}", True)
cases.end()
