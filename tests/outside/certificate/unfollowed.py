"""Answers that nobody follows: facts of the file and estimates, and the rules that may have such."""

from .boat import listed
from .combined import ESTIMATE

FACT = "a fact of the file"
FACTS = {
    "acceptance-stale", "band-not-for-boats", "band-stops-at-surface", "battery-threshold-odd", "blow-slowed", "carries-too-much",
    "control-of-wrong-kind", "delays-outlast-sinking", "emergency-beside-busy", "emergency-does-not-raise",
    "emergency-does-not-stop", "estimate-refused", "figure-hardly-meant", "frequency-not-in-table", "interlock-missing",
    "levelling-astern", "levelling-runs-away", "loss-unseen", "measured-differs", "mixed-twice", "name-reads-badly",
    "one-way-controller", "output-feeds-several", "percent-without-axis",
    "planes-dive-on-loss", "preset-not-stored", "preset-out-of-date", "readings-too-few", "rod-does-not-fit",
    "sense-not-measured", "stage-too-short", "stalls-exceed-supply", "starts-on", "switch-does-two-things", "throws-unequal",
    "valve-never-full",
}
ESTIMATES = {"bottle-too-full", "carried-too-deep", "depth-beyond-radio", "gas-condenses", "gas-runs-out", "leaps-at-surface",
             "pump-too-weak", "stays-down-on-loss", "threshold-leaves-too-little"}


def may_be(why, q, data):
    """Whether an answer may have no other reason than this."""
    if why == ESTIMATE:
        return q["rule"] in ESTIMATES
    # A line of the emergency in words is read; what a step does is asked, but that nobody holds a way that dives.
    lines = [x for x in listed((data.get("owner") or {}).get("emergency")) if isinstance(x, str)]
    if q["rule"].startswith("emergency-does-not-"):
        return q["state"] == "piloting" and (q["outcome"] == "broken" or bool(lines))
    return why == FACT and q["rule"] in FACTS
