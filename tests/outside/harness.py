"""What the outside checks share: where the program is, how it is run, how cases are counted."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = Path(os.environ.get("LIDCARD_BIN", ROOT / "target/debug/lidcard")).resolve()
BOATS = sorted((ROOT / "boats").glob("*.yaml"))
MISTAKES = sorted((ROOT / "tests/fixtures/mistakes").glob("*.yaml"))

# How much is asked: "quick" is a slice, "full" all there is.
LEVEL = os.environ.get("LIDCARD_LEVEL", "usual")
# Where random cases begin, and which slice is taken.
SEED = int(os.environ.get("LIDCARD_SEED", "1"))
# How many processes a check may use.
WORKERS = int(os.environ.get("LIDCARD_WORKERS", os.cpu_count() or 1))


def count(variable, quick, usual, full):
    """How many cases: what the variable says, or what the level does."""
    return int(os.environ.get(variable, {"quick": quick, "usual": usual, "full": full}[LEVEL]))


def some(things, share=6, usual=1):
    """All of them; of a quick run each `share`-th and of a usual one each `usual`-th, beginning where the seed says."""
    each = min({"quick": share, "usual": usual, "full": 1}[LEVEL], len(things))
    return things[SEED % each :: each] if each > 1 else list(things)


def run(*command, cwd=ROOT, env=None, stdin=None):
    """Runs a command and gives back status, standard output and standard error as text."""
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd,
        env={**os.environ, **(env or {})},
        input=stdin,
        stdin=subprocess.DEVNULL if stdin is None else None,
        capture_output=True,
        text=True,
        errors="replace",
        timeout=120,
    )
    return done.returncode, done.stdout, done.stderr


def lidcard(*arguments, **how):
    """Runs the program under test."""
    if not PROGRAM.is_file():
        print(f"no program at {PROGRAM}: run `cargo build` first\n0 passed, 1 failed")
        sys.exit(1)
    return run(PROGRAM, *arguments, **how)


def table(name):
    """What an example of the program prints, built beside it. Not by `cargo run`, which waits for whatever builds or looks for lints."""
    example = PROGRAM.parent / "examples" / name
    if not example.is_file():
        raise SystemExit(f"no table at {example}: run `cargo build --examples` first\n0 passed, 1 failed")
    status, out, err = run(example)
    if status:
        raise SystemExit(f"the table was not printed\n{err}\n0 passed, 1 failed")
    return out


class Cases:
    """Counts what held and names what did not."""

    def __init__(self):
        self.passed = 0
        self.failed = 0

    def holds(self, name, good, detail=""):
        """One case: its name, whether it holds, and what to print if it does not."""
        if good:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {name}" + (f"\n    {detail}" if detail else ""))
        return good

    def end(self):
        """Prints the line that `tests/run` adds up and leaves with the status that goes with it."""
        print(f"{self.passed} passed, {self.failed} failed")
        sys.exit(1 if self.failed or not self.passed else 0)
