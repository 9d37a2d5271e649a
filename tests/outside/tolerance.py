"""Tolerance intervals by scipy, for whoever argues with the program about what readings prove."""
import functools
import math

import numpy as np
from scipy import stats
from scipy.optimize import brentq

NODES, WEIGHTS = np.polynomial.legendre.leggauss(120)


def half_width(z, coverage):
    """The interval about each z that holds the share: the root of a quantile of non-central chi-squared, with
    one step of Newton's, since that quantile stops at nine digits."""
    r = np.sqrt(stats.ncx2.ppf(coverage, 1, z * z))
    over = stats.norm.cdf(z + r) - stats.norm.cdf(z - r) - coverage
    return r - over / (stats.norm.pdf(z + r) + stats.norm.pdf(z - r))


@functools.lru_cache(maxsize=None)
def exact(n, coverage, confidence):
    """The exact two-sided factor, by scipy's distributions and one rule of 120 points."""
    far = 9 / math.sqrt(n)
    z = far / 2 * (NODES + 1)
    weight = far * WEIGHTS * math.sqrt(n) * stats.norm.pdf(z * math.sqrt(n))
    r = half_width(z, coverage)
    short = lambda k: float(weight @ stats.chi2.sf((n - 1) * (r / k)**2, n - 1)) - confidence
    return brentq(short, 0.3, 3000, xtol=1e-11)


def left_out(n, coverage, confidence):
    """How many of the readings may lie outside on each side; -1 where even lowest and highest are not enough."""
    holds = lambda out: n >= 2 * out + 2 and stats.binom.cdf(n - 2 * out - 2, n, coverage) >= confidence
    return next((out - 1 for out in range(n // 2) if not holds(out)), n // 2 - 1)


def interval(readings, step, coverage, confidence):
    """By the order of many readings, else by mean and deviation, which is at least that of one step."""
    n = len(readings)
    out = left_out(n, coverage, confidence)
    if out >= 0:
        return sorted(readings)[out], sorted(readings)[n - 1 - out]
    half = exact(n, coverage, confidence) * max(np.std(readings, ddof=1), step / math.sqrt(12))
    return np.mean(readings) - half, np.mean(readings) + half


def crept_up_to(readings, step, coverage=0.95, confidence=0.95):
    """Middle and half of the interval for clicks on the longer side that were crept up to from rest: the click
    lies before the reading. Ends are rounded outwards to a hundredth of a percent."""
    low, high = interval(readings, step, coverage, confidence)
    low, high = math.floor((low - step) * 1e4 - 1e-8) / 1e4, math.ceil(high * 1e4 + 1e-8) / 1e4
    return (low + high) / 2, (high - low) / 2
