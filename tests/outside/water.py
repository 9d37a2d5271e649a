"""The permittivity of water, a second reading of ITU-R P.527-6; what several checks share."""

import math

import numpy as np


def debye(f, t, s):
    """ITU-R P.527-6 sections 5.1.1 and 5.1.2 as one complex number, without conduction; f in GHz."""
    th = 300 / (t + 273.15) - 1
    es = 77.66 + 103.3 * th
    e1, ei = 0.0671 * es, 3.52 - 7.52 * th
    f1 = 20.20 - 146.4 * th + 316 * th**2
    f2 = 39.8 * f1
    if s:
        es *= math.exp(-3.33330e-3 * s + 4.74868e-6 * s**2)
        f1 *= 1 + s * np.polyval([8.9795e-9, 3.5594e-7, 3.6764e-6, -7.9208e-5, 2.3232e-3], t)
        e1 *= math.exp(-6.28908e-3 * s + 1.76032e-4 * s**2 - 9.22144e-5 * t * s)
        f2 *= 1 + s * (-1.99723e-2 + 1.81176e-4 * t)
        ei *= 1 + s * (-2.04265e-3 + 1.57883e-4 * t)
    return (es - e1) / (1 + 1j * f / f1) + (e1 - ei) / (1 + 1j * f / f2) + ei


def conductivity(t, s):
    r15 = s * np.polyval([1.4409e-2, 5.45216, 37.5109], s) / np.polyval([1, 182.283, 1004.75], s)
    a0 = np.polyval([-9.9486e-2, 3.2841, 6.9431], s) / np.polyval([1, 69.024, 84.850], s)
    a1 = np.polyval([0.198e-2, -0.2276, 49.843], s)
    s35 = np.polyval([4.3047e-9, -2.991e-6, 4.738817e-4, 8.607e-2, 2.903602], t)
    return s35 * r15 * (1 + a0 * (t - 15) / (a1 + t))
