"""Points of studies against scipy.stats.qmc.

Sobol: bit for bit SciPy's unscrambled sequence, whose first point is kept. SciPy makes coordinates of 30 bits, so two that differ do
so by 2^-30 or more; the tolerance of half of that means equal. Points beyond 2^16 are reached by fast_forward.
Latin hypercube: other numbers than SciPy's, so what is compared is how evenly they fill the cube (centred discrepancy), mean over 200
seeds, within 5 standard errors; and each column is SciPy's kind of hypercube, one point a slice.
"""
import ctypes
import warnings

import numpy as np
from scipy.stats import qmc

from support.library import Checks, load

lib = load()
checks = Checks()
INPUTS = 64
array = np.ctypeslib.ndpointer(np.float64)
lib.sy_sobol.argtypes = [ctypes.c_uint, ctypes.c_uint64, ctypes.c_size_t, array, ctypes.c_void_p]
lib.sy_points_latin.argtypes = [ctypes.c_uint64, ctypes.c_uint64] + 3 * [ctypes.c_size_t] + [array, ctypes.c_void_p]


def sobol(first, count):
    points = np.empty((INPUTS, count))
    for k in range(INPUTS):
        assert lib.sy_sobol(k, first, count, points[k], None) == 0
    return points.T


def latin(seed, inputs, count):
    points = np.empty((inputs, count))
    for k in range(inputs):
        assert lib.sy_points_latin(seed, k, count, 0, count, points[k], None) == 0
    return points.T


for first, count in ((0, 4096), (65500, 200), (1000003, 50), (2**29 - 3, 6)):
    theirs = qmc.Sobol(INPUTS, scramble=False)
    if first:
        theirs.fast_forward(first)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # that the count is no power of two
        want = theirs.random(count)
    checks.near(f"Sobol from point {first}", float(np.abs(sobol(first, count) - want).max()), 2.0**-31, (first, count))

for inputs, count in ((2, 25), (5, 64), (8, 100)):
    ours, theirs = [], []
    for seed in range(200):
        points = latin(seed, inputs, count)
        for k in range(inputs):
            missed = count - len(set(np.floor(points[:, k] * count)))
            checks.near("Latin hypercube: slices without a point", missed, 0.5, (seed, k))
        ours.append(qmc.discrepancy(points))
        theirs.append(qmc.discrepancy(qmc.LatinHypercube(inputs, seed=seed).random(count)))
    error = np.sqrt((np.var(ours) + np.var(theirs)) / len(ours))
    checks.near(f"discrepancy of {count} points of {inputs} inputs", abs(np.mean(ours) - np.mean(theirs)), 5 * error)

checks.finish()
