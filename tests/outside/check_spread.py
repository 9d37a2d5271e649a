"""Holds the tolerance intervals of `crates/spread` against other people's numbers.

The program's side is what the example `spread-table` prints. Outside authorities: scipy (pinned in
requirements.txt) has the non-central t, the chi-squared and the binomial distribution and integrates the exact
two-sided factor anew; numpy draws readings of known distributions and counts how often an
interval made with the printed factor holds the share that it claims. The tables of Odeh and Owen (1980), as
printed in ISO 16269-6 and copied in textbooks, are in the unit tests of the crate, from memory where they agree
with what is computed.

Tolerances: 1e-8 relative for factors (the root finders of both sides go on to 1e-12 and less); 1e-10 absolute
for distributions; counts of the drawing within four and a half standard deviations, seed fixed.
"""

import csv
import io
import math

import numpy as np
from scipy import stats
from scipy.integrate import quad

from harness import Cases, table
from tolerance import exact, interval, left_out

rows = {}
for kind, *numbers in csv.reader(io.StringIO(table("spread-table"))):
    rows.setdefault(kind, []).append([float(n) for n in numbers])

cases = Cases()
for kind, least in {"both": 300, "one": 300, "order": 300, "t": 240, "chi": 48, "interval": 12}.items():
    cases.holds(f"{kind}: many points", len(rows.get(kind, [])) >= least, f"{len(rows.get(kind, []))}")


def near(name, ours, theirs, relative, absolute=0.0):
    cases.holds(name, math.isclose(ours, theirs, rel_tol=relative, abs_tol=absolute), f"{ours} against {theirs}")


for n, coverage, confidence, ours in rows["both"]:
    near(f"both {n:.0f} {coverage}/{confidence}", ours, exact(int(n), coverage, confidence), 1e-8)
for n, coverage, confidence, ours in rows["one"]:
    shift = stats.norm.ppf(coverage) * math.sqrt(n)
    # scipy's quantile stops early; its distribution is good, so the factor is put into that.
    back = stats.nct.cdf(ours * math.sqrt(n), n - 1, shift)
    near(f"one {n:.0f} {coverage}/{confidence}", back, confidence, 0, 1e-9)
for freedom, shift, t, ours in rows["t"]:
    theirs = float(stats.nct.cdf(t, freedom, shift))
    if math.isnan(theirs):     # scipy gives up far out on the left: there it is integrated
        root = lambda c: stats.norm.cdf(t * math.sqrt(c / freedom) - shift) * stats.chi2.pdf(c, freedom)
        theirs = quad(root, 0, np.inf)[0]
    near(f"t {freedom:.0f} {shift} {t}", ours, theirs, 0, 1e-9)
for freedom, x, ours in rows["chi"]:
    near(f"chi {freedom:.0f} {x}", ours, float(stats.chi2.sf(x, freedom)), 1e-11, 1e-14)
for n, coverage, confidence, outside, fewest in rows["order"]:
    n = int(10 * n)
    out = left_out(n, coverage, confidence)
    holds = lambda out, count: count >= 2 * out + 2 and stats.binom.cdf(count - 2 * out - 2, count, coverage) >= confidence
    cases.holds(f"order {n} {coverage}/{confidence}", out == outside, f"{outside} against {out}")
    cases.holds(f"fewest {coverage}/{confidence}", holds(0, int(fewest)) and not holds(0, int(fewest) - 1), f"{fewest}")

for step, low, high, *readings in rows["interval"]:
    n = len(readings)
    want = interval(readings, step, 0.95, 0.95)
    near(f"interval of {n}, step {step}: low", low, want[0], 1e-8)
    near(f"interval of {n}, step {step}: high", high, want[1], 1e-8)

# Readings drawn: how often the interval holds its share.
rng = np.random.default_rng(20260509)
DRAWN = 40_000
for n, coverage, confidence, k in rows["both"]:
    if int(n) in (5, 10, 20) and coverage >= 0.9 and 0.9 <= confidence < 0.99:
        x = rng.normal(size=(DRAWN, int(n)))
        mean, deviation = x.mean(axis=1), x.std(axis=1, ddof=1)
        held = stats.norm.cdf(mean + k * deviation) - stats.norm.cdf(mean - k * deviation) >= coverage
        off = 4.5 * math.sqrt(confidence * (1 - confidence) / DRAWN)
        near(f"drawn {n:.0f} {coverage}/{confidence}", held.mean(), confidence, 0, off)
for n, coverage, confidence, outside, _ in rows["order"]:
    if n in (10, 20, 50) and coverage in (0.9, 0.95) and confidence == 0.95 and outside >= 0:
        # What lies between order statistics is the same for every distribution: uniform is the simplest.
        x = np.sort(rng.uniform(size=(4000, int(10 * n))), axis=1)
        share = x[:, -1 - int(outside)] - x[:, int(outside)]
        cases.holds(f"drawn order {10 * n:.0f}", (share >= coverage).mean() >= confidence - 4.5 * math.sqrt(0.0475 / 4000))

cases.end()
