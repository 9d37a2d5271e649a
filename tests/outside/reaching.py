"""What check_z3.py and check_scipy.py share: the set-ups, and what the program says of their reach.

`lidcard endpoints --format json FILE` lists under `reach` for every channel and every order of
operations the least and greatest place on the output axis, over all positions, trims and switch
settings. With `--plain` the figure of plain.py stands in for the program's, where that is exact.
"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile
from fractions import Fraction as F

import generate
import harness
import plain

HERE = pathlib.Path(__file__).resolve().parent
BINARY = os.environ.get("LIDCARD") or os.environ.get("LIDCARD_BIN", str(harness.PROGRAM))
CLOSE = F(1, 10 ** 4)          # 0.01 % of the axis
PLAIN = "--plain" in sys.argv


def setup(seed):
    """(boat, text, channel, order): a piecewise-linear boat and one of its harder channels."""
    text = generate.boat(seed, piecewise=True)
    boat = plain.Boat(text)
    hard = sorted(boat.channels, key=lambda n: -sum(boat.cone(n)[0].values()))
    channel = hard[seed % min(3, len(hard))]
    return boat, text, channel, boat.orders[seed * 7919 % len(boat.orders)]


def said(boat, text, channel, order):
    """(low, high) as the program has it, or a complaint."""
    if PLAIN:
        s = plain.Samples(boat, channel, orders=[order])
        if not s.exact:
            return None
        return -s.top(-1)[0], s.top(1)[0]
    with tempfile.NamedTemporaryFile("w", suffix=".yaml", delete=False) as f:
        f.write(text)
    try:
        r = subprocess.run([BINARY, "endpoints", "--format", "json", f.name], capture_output=True, text=True)
        rows = json.loads(r.stdout)["reach"]
    except (OSError, ValueError, KeyError) as e:
        return f"no reach: {e!r}"
    finally:
        os.unlink(f.name)
    for row in rows:
        if row["channel"] == channel and all(order[k] == v for k, v in row["order"].items()):
            return F(str(row["low"])), F(str(row["high"]))
    return f"channel {channel} has no reach under {order}"


def ready():
    if not PLAIN and not os.path.exists(BINARY):
        print(f"no program at {BINARY} (set LIDCARD)")
        print("0 passed, 1 failed")
        return False
    return True
