"""Fits of the C library against SciPy and NumPy: linear ones by lstsq, curves by least_squares, straight lines with
uncertainties in both coordinates by York's equation and by orthogonal distance regression (scipy.odr), on random data.

Tolerances, in units of the estimate's own uncertainty: 1e-9 for linear fits (rounding times a condition below 1e5); 1e-5
for curves, where SciPy's stopping rule leaves that much. Roots: brentq, last digits.
"""
import ctypes
from ctypes import POINTER, Structure, byref, c_double, c_int, c_size_t, c_void_p

import numpy as np
from scipy import odr, optimize

from support.library import Checks, Error, load, succeed

lib = load()
checks = Checks()
random = np.random.default_rng(19660811)
doubles = POINTER(c_double)


class Fit(Structure):
    _fields_ = [("rows", c_size_t), ("cols", c_size_t), ("dof", c_size_t), ("chi2", c_double)] + [
        (n, doubles) for n in ("x", "covariance", "gain", "residual", "redundancy", "standardised", "residual_space")]


MODEL = ctypes.CFUNCTYPE(c_int, c_void_p, doubles, doubles, doubles, POINTER(Error))
ROOT = ctypes.CFUNCTYPE(c_double, c_void_p, c_double)
lib.sy_lsq_size.restype = c_size_t
lib.sy_lsq_size.argtypes = [c_size_t, c_size_t]
lib.sy_lsq_linear.argtypes = [doubles] * 3 + [c_size_t] * 2 + [c_void_p, POINTER(Fit), POINTER(Error)]
lib.sy_lsq_fit.argtypes = [MODEL, c_void_p] + [doubles] * 3 + [c_size_t] * 2 + [c_void_p, POINTER(Fit), POINTER(Error)]
lib.sy_root_between.argtypes = [ROOT, c_void_p] + [c_double] * 3 + [doubles, POINTER(Error)]


def given(array):
    return np.ascontiguousarray(array, dtype=float).ctypes.data_as(doubles)


def numbers(pointer, *shape):
    return np.array(pointer[:int(np.prod(shape))]).reshape(shape)


def run(call, rows, cols):
    """call(memory, fit, err) -> the report as arrays"""
    memory, fit, err = ctypes.create_string_buffer(lib.sy_lsq_size(rows, cols)), Fit(), Error()
    succeed(call(memory, byref(fit), byref(err)), err)
    return {"x": numbers(fit.x, cols), "cov": numbers(fit.covariance, cols, cols), "chi2": fit.chi2,
            "redundancy": numbers(fit.redundancy, rows), "residual": numbers(fit.residual, rows)}


def fit_model(model, y, sd, start):
    """model(p) -> fitted, jacobian"""
    rows, cols = len(y), len(start)

    def call(_user, x, fitted, jacobian, _err):
        f, j = model(numbers(x, cols))
        np.ctypeslib.as_array(fitted, (rows,))[:] = f
        if jacobian:
            np.ctypeslib.as_array(jacobian, (rows, cols))[:] = j
        return 0
    held = MODEL(call)
    return run(lambda *out: lib.sy_lsq_fit(held, None, given(y), given(sd), given(start), rows, cols, *out), rows, cols)


def compare(name, ours, x, cov, chi2, tolerance, where):
    u = np.sqrt(np.diag(cov))
    checks.near(f"{name}: estimate", np.max(np.abs(ours["x"] - x) / u), tolerance, where)
    checks.near(f"{name}: covariance", np.max(np.abs(ours["cov"] - cov) / np.outer(u, u)), tolerance, where)
    checks.near(f"{name}: chi-square", abs(ours["chi2"] - chi2) / (1 + chi2), tolerance, where)


for case in range(300):
    rows, cols = int(random.integers(6, 40)), int(random.integers(1, 6))
    a = random.normal(size=(rows, cols)) * 10 ** random.uniform(-4, 4, cols)
    y, sd = random.normal(size=rows) * 50, random.uniform(0.2, 3, rows)
    ours = run(lambda *out: lib.sy_lsq_linear(given(a), given(y), given(sd), rows, cols, *out), rows, cols)
    w = a / sd[:, None]
    size = np.linalg.norm(w, axis=0)  # lstsq minds columns of different size
    x = np.linalg.lstsq(w / size, y / sd, rcond=None)[0] / size
    q = np.linalg.qr(w)[0]
    compare("linear fit", ours, x, np.linalg.inv(w.T @ w), np.sum(((y - a @ x) / sd) ** 2), 1e-9, case)
    checks.near("redundancy", np.max(np.abs(ours["redundancy"] - (1 - np.sum(q ** 2, axis=1)))), 1e-12, case)

for case in range(100):  # decay onto a floor
    t, sd = np.sort(random.uniform(0, 5, 25)), random.uniform(0.01, 0.1, 25)
    true = np.array([random.uniform(1, 5), random.uniform(0.4, 2), random.uniform(-1, 1)])

    def decay(p):
        e = np.exp(-p[1] * t)
        return p[0] * e + p[2], np.stack([e, -p[0] * t * e, np.ones_like(t)], axis=1)
    y = decay(true)[0] + sd * random.normal(size=25)
    start = true * random.uniform(0.5, 1.5, 3)
    theirs = optimize.least_squares(lambda p: (decay(p)[0] - y) / sd, start, lambda p: decay(p)[1] / sd[:, None],
                                    xtol=1e-15, ftol=1e-15, gtol=1e-15)
    j = theirs.jac
    compare("decay", fit_model(decay, y, sd, start), theirs.x, np.linalg.inv(j.T @ j), 2 * theirs.cost, 1e-5, case)



def york(x, y, sx, sy, near):
    """The line y = a + b x through points uncertain in both coordinates, and the chi-square there: the best a for a given b is a
    weighted mean, which leaves one equation in b, solved to its last digits.
    Source: D. York, Least-squares fitting of a straight line, Canadian Journal of Physics 44 (1966), from memory; derived
    again here: chi2(b) = sum w (y - a - b x)^2 with w = 1 / (sy^2 + b^2 sx^2)."""
    def at(b):
        w = 1 / (sy ** 2 + b ** 2 * sx ** 2)
        a = np.sum(w * (y - b * x)) / np.sum(w)
        return w, a, y - a - b * x

    def derivative(b):
        w, _, r = at(b)
        return np.sum(-2 * b * sx ** 2 * w ** 2 * r ** 2 - 2 * w * r * x)
    width = 1e-3 * (1 + abs(near))
    b = optimize.brentq(derivative, near - width, near + width, xtol=1e-15, rtol=1e-15)
    w, a, r = at(b)
    return a, b, np.sum(w * r ** 2)


for case in range(100):  # uncertain in both coordinates
    n = 12
    x, sx, sy = np.sort(random.uniform(0, 10, n)), random.uniform(0.05, 0.5, n), random.uniform(0.05, 0.5, n)
    a, b = random.uniform(-5, 5, 2)
    seen_x, seen_y = x + sx * random.normal(size=n), a + b * x + sy * random.normal(size=n)

    def line(p):
        jacobian = np.zeros((2 * n, n + 2))
        jacobian[:n, 2:] = np.eye(n)
        jacobian[n:, 0], jacobian[n:, 1], jacobian[n:, 2:] = 1, p[2:], p[1] * np.eye(n)
        return np.concatenate([p[2:], p[0] + p[1] * p[2:]]), jacobian
    ours = fit_model(line, np.concatenate([seen_x, seen_y]), np.concatenate([sx, sy]), np.concatenate([[a, b], seen_x]))
    theirs = odr.ODR(odr.RealData(seen_x, seen_y, sx, sy), odr.Model(lambda p, x: p[0] + p[1] * x), beta0=[a, b],
                     sstol=1e-15, partol=1e-15, maxit=500).run()
    u = theirs.sd_beta / np.sqrt(theirs.res_var)  # ODR scales its own by the residuals
    best_a, best_b, chi2 = york(seen_x, seen_y, sx, sy, theirs.beta[1])
    # the fit ends when a step is below 1e-11 of the uncertainty (core/numeric/lsq.c) and converges linearly here
    checks.near("line by York's equation: estimate", np.max(np.abs(ours["x"][:2] - [best_a, best_b]) / u), 1e-9, case)
    checks.near("line by York's equation: chi-square", abs(ours["chi2"] / chi2 - 1), 1e-12, case)
    # where ODR stops short of the minimum depends on the BLAS it was built with: its sum is above the minimum, and hardly so
    checks.near("line by ODR: sum of squares", abs(theirs.sum_square / chi2 - 1), 1e-6, case)
    checks.near("line by ODR: not below ours", max(0, ours["chi2"] / theirs.sum_square - 1), 1e-12, case)

for case in range(300):
    p = random.normal(size=4)
    def quartic(_user, x):
        return np.arctan(5 * x + p[0]) + 0.3 * np.sin(p[1] * x) + p[2] * 0.1
    low, high = -5 - abs(p[0]), 5 + abs(p[0])
    if quartic(None, low) * quartic(None, high) > 0:
        continue
    root, err = c_double(), Error()
    succeed(lib.sy_root_between(ROOT(quartic), None, low, high, 0, byref(root), byref(err)), err)
    theirs = optimize.brentq(lambda x: quartic(None, x), low, high, xtol=1e-15, rtol=1e-15)
    checks.near("root", abs(quartic(None, root.value)), 1e-14, case)
    if abs(theirs - root.value) < 0.1:  # else another of several
        checks.near("root by brentq", abs(root.value - theirs), 1e-13, case)

checks.finish()
