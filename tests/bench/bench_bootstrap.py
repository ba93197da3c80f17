"""Bootstrap of a straight line through 20 readings, 100,000 replicas, each stored: against a loop over numpy.linalg.lstsq and against
NumPy on whole arrays with the closed form. Asked: 400 times the loop."""
import os
import sys
import tempfile

import numpy as np

from rounds import Program, head, medians, python_job, row

N, REPLICAS = 20, 100000
rng = np.random.default_rng(20)
t = np.sort(rng.uniform(0, 0.4, N))  # tangents of tilts
y = 1.2 + 0.55 * t + rng.normal(0, 0.004, N)
a = np.column_stack([np.ones(N), t])


def loop(replicas=2000):
    out = np.empty((replicas, 2))
    for k in range(replicas):
        i = rng.integers(0, N, N)
        out[k] = np.linalg.lstsq(a[i], y[i], rcond=None)[0]
    return out


def whole(replicas=REPLICAS):
    i = rng.integers(0, N, (replicas, N), dtype=np.uint8)
    tk, yk = t[i], y[i]
    tm, ym = tk.mean(axis=1), yk.mean(axis=1)
    tk -= tm[:, None]
    slope = np.einsum("ij,ij->i", tk, yk) / np.einsum("ij,ij->i", tk, tk)
    return ym - slope * tm, slope


def alike(ours, theirs):
    """Mean, sd and 95 % limits of the same law, within 5 standard errors of 100,000 draws each."""
    for got, want in zip(ours, theirs, strict=True):
        u = want.std() * np.sqrt(2 / REPLICAS)
        off = [got.mean() - want.mean(), got.std() - want.std(), *(np.quantile(got, (0.025, 0.975)) - np.quantile(want, (0.025, 0.975)))]
        # factors: sd of a mean, of an sd (1/sqrt 2), of a 2.5 % quantile (sqrt(p (1-p)) / density = 0.156 / 0.058 = 2.7)
        if any(abs(o) > 5 * u * factor for o, factor in zip(off, (1, 0.75, 2.7, 2.7), strict=True)):
            print("the distributions disagree:", off, u)
            return False
    return True


with tempfile.TemporaryDirectory() as folder:
    path = os.path.join(folder, "readings")
    np.concatenate([t, y]).tofile(path)
    program = Program(sys.argv[1], "bench_bootstrap", path)
    ours = [np.array(program.line().split(), float) for _ in range(2)]
    fine = alike(ours, whole())
    jobs = {"ours": program.job("bootstrap"), "loop": python_job(loop), "whole": python_job(whole)}
    m = medians(jobs)
    program.close()
head()
row("a replica of a line through 20 readings", REPLICAS, m["ours"], m["loop"] / 2000, "numpy.linalg.lstsq in a loop; asked: 400 x")
row("", REPLICAS, m["ours"], m["whole"] / REPLICAS, "NumPy, whole arrays, closed form")
sys.exit(not fine)
