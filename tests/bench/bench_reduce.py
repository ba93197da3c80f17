"""What is made of the columns of a study, a million variants with ten outputs: verdicts, summaries, folds, Pareto fronts and the points of
its inputs, against NumPy on whole arrays and scipy.stats.qmc. Asked: verdicts, summary and fold of ten outputs well under 30 ms, a front
of three outputs under a second whatever the data.
"""
import os
import sys
import tempfile
import warnings

import numpy as np
from scipy.stats import qmc

from rounds import Program, head, medians, python_job, row

N, OUTPUTS, FOLDS, INPUTS = 1000000, 10, 4, 8
rng = np.random.default_rng(14)
columns = rng.random((OUTPUTS, N))
# nobody betters anybody on x + y + z = 0; sums of doubles are off by a rounding, which whole numbers are not
opposed = np.stack([columns[0] * 0, columns[0] * 0])
columns[0] = np.floor(columns[0] * 2**20) / 2**20
opposed[0] = np.floor(columns[1] * 2**20) / 2**20
opposed[1] = -columns[0] - opposed[0]


def judge():
    worst = np.ones(N, np.uint8)
    for x in columns:
        low, high = x - 0.001, 0.999 - x
        margin, bound = np.minimum(low, high), np.where(low <= high, 0.001, 0.999)
        np.maximum(worst, np.where(np.isnan(x), 3, np.where(margin < 0, 4, np.where(margin < 0.05 * bound, 2, 1))).astype(np.uint8), worst)
    return worst


def summarise():
    return [(x.argmin(), x.argmax(), np.isnan(x).sum(), x.mean()) for x in columns]


def fold():
    for x in columns:
        x = x.reshape(-1, FOLDS)
        x.min(1), x.max(1), x.argmin(1), x.argmax(1)


def front(points):
    """The usual way on whole arrays: the best of what remains throws out all that it betters."""
    left, k = np.arange(len(points)), 0
    points = points[np.argsort(points.sum(1))]
    while k < len(points):
        stays = (points < points[k]).any(1) | (points == points[k]).all(1)
        left, points = left[stays], points[stays]
        k = stays[:k + 1].sum()
    return left


def latin():
    return (rng.permutation(N) + rng.random(N)) / N


def sobol():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # that N is no power of two
        return qmc.Sobol(INPUTS, scramble=False).random(N)


with tempfile.TemporaryDirectory() as folder:
    path = os.path.join(folder, "columns")
    np.concatenate([columns, opposed]).tofile(path)
    program = Program(sys.argv[1], "bench_reduce", path)
    said = np.array(program.line().split(), float)
    three = columns[:3].T.copy()
    want = [*(int((judge() == k).sum()) for k in (1, 2, 3, 4)), len(front(three)), N]
    # NumPy's mean of a million is good to some roundings
    fine = said[:6].tolist() == want and np.abs(said[6:] / columns.mean(1) - 1).max() < 1e-14
    if not fine:
        print("the answers disagree:", said[:6], want)
    jobs = {name: program.job(name) for name in ("judge", "summarise", "fold", "few", "every", "latin", "sobol")}
    theirs = medians({"judge": python_job(judge), "summarise": python_job(summarise), "fold": python_job(fold),
                      "few": python_job(lambda: front(three)), "latin": python_job(latin), "sobol": python_job(sobol)}, 5)
    ours = medians(jobs, 5)
    program.close()
head()
row("verdicts on ten limits", N, ours["judge"], theirs["judge"], "NumPy")
row("summaries of ten outputs", N, ours["summarise"], theirs["summarise"], "NumPy: argmin, argmax, isnan, mean")
row("folds of ten outputs, four combinations", N, ours["fold"], theirs["fold"], "NumPy: min, max, argmin, argmax")
row("front of three outputs, few in it", N, ours["few"], theirs["few"], "NumPy, whole arrays")
row("front of three outputs, all in it", N, ours["every"], None, "asked: 1 s; the NumPy way would take hours")
row("Latin hypercube, one input", N, ours["latin"], theirs["latin"], "NumPy: permutation and random")
row(f"Sobol points, {INPUTS} inputs", N, ours["sobol"], theirs["sobol"], "scipy.stats.qmc")
sys.exit(not fine)
