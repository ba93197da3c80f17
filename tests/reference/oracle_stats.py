"""Distributions of the C library against SciPy, on random arguments.

Tolerances: quantiles 1e-8 and upper tails 1e-9, as far as SciPy's own older routines are good (where the two part, checks
with 30-digit arithmetic found ours the nearer); our own accuracy is tested by closed forms in test_stats.c.
"""
import numpy as np
from scipy import stats

from support.library import Checks, load

lib = load()
checks = Checks()
random = np.random.default_rng(987654321)


def relative(ours, theirs):
    return abs(ours / theirs - 1) if theirs != 0 else abs(ours)


TINY = 1e-290  # below this SciPy underflows on its way

for _ in range(3000):
    dof = 10 ** random.uniform(-0.3, 4)
    p = random.uniform(0, 1) if random.random() < 0.5 else 10 ** random.uniform(-12, 0)
    t = 10 ** random.uniform(-3, 2) * random.choice([-1, 1])
    x = max(1e-9, dof + np.sqrt(2 * dof) * random.normal() * 2)
    where = (dof, p, t, x)
    checks.near("normal quantile", relative(lib.sy_stats_normal_quantile(p), stats.norm.ppf(p)), 1e-13, where)
    checks.near("normal cdf", relative(lib.sy_stats_normal_cdf(t), stats.norm.cdf(t)) if t > -37 else 0, 1e-12, where)
    checks.near("Student quantile", relative(lib.sy_stats_student_quantile(p, dof), stats.t.ppf(p, dof)), 1e-8, where)
    theirs = stats.t.cdf(t, dof)
    if theirs > TINY:
        checks.near("Student cdf", relative(lib.sy_stats_student_cdf(t, dof), theirs), 1e-9, where)
    theirs = stats.chi2.ppf(p, dof)
    if theirs > TINY:
        checks.near("chi-square quantile", relative(lib.sy_stats_chi2_quantile(p, dof), theirs), 1e-8, where)
    for name, ours, theirs in (("cdf", lib.sy_stats_chi2_cdf(x, dof), stats.chi2.cdf(x, dof)),
                               ("tail", lib.sy_stats_chi2_tail(x, dof), stats.chi2.sf(x, dof))):
        if theirs > TINY:
            checks.near(f"chi-square {name}", relative(ours, theirs), 1e-9, where)
    dof2, f = 10 ** random.uniform(-0.3, 3), 10 ** random.uniform(-2, 1.5)
    theirs = stats.f.sf(f, dof, dof2)
    if dof < 1e4 and theirs > TINY:
        checks.near("F tail", relative(lib.sy_stats_f_tail(f, dof, dof2), theirs), 1e-9, (f, dof, dof2))

checks.finish()
