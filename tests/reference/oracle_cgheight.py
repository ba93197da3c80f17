"""CG height by lifting an axle: the C library against SciPy's least_squares on the same readings, written from the textbook
form of the statics, and one level with one lifted reading against the closed formula carried through the package
`uncertainties`. Random vehicles, either axle lifted, lifts in mm, uncertainties in everything.

Tolerances: 1e-5 of the height's own uncertainty, where SciPy's stopping rules leave that much, uncertainties 1e-6 by its difference
quotients; 1e-6 of the budget, which the library finds by changes of a whole uncertainty and the package by derivatives.
"""
import ctypes
from ctypes import POINTER, Structure, byref, c_bool, c_double, c_int, c_size_t, c_uint32, c_void_p

import numpy as np
from scipy import optimize
from uncertainties import ufloat, umath

from support.library import Checks, Error, load, succeed

lib = load()
checks = Checks()
random = np.random.default_rng(20041076)
NAN, INF = float("nan"), float("inf")
FRONT, REAR = 0, 1


class Car(Structure):
    _fields_ = [("wheelbase", c_double), ("radius", c_double * 2), ("unsprung", c_double * 2), ("compliance", c_double * 2),
                ("tyre", c_double * 2), ("gravity", c_double)]


class Reading(Structure):
    _fields_ = [("run", c_size_t), ("lifted", c_int), ("lift", c_double), ("lift_sd", c_double), ("blocks", c_uint32),
                ("load", c_double * 2), ("load_sd", c_double * 2), ("step_sd", c_double * 2), ("shift", c_double)]


class Session(Structure):
    _fields_ = [("car", Car), ("wheelbase_sd", c_double), ("radius_sd", c_double * 2), ("compliance_sd", c_double * 2),
                ("tyre_sd", c_double * 2), ("unsprung_sd", c_double * 2), ("by_angle", c_bool),
                ("on_plane", c_bool), ("by_body", c_bool), ("held", (c_double * 2) * 2), ("held_sd", (c_double * 2) * 2),
                ("reading", POINTER(Reading)), ("count", c_size_t), ("runs", c_size_t), ("block_sd", c_double * 32), ("mass", c_double), ("mass_sd", c_double), ("load_dof", c_double), ("drift", c_double),
                ("common_level", c_bool)]


class Row(Structure):
    _fields_ = [("tilt", c_double), ("residual", c_double * 3), ("standardised", c_double * 3),
                ("redundancy", c_double * 3), ("height", c_double), ("u_height", c_double)]


class Level(Structure):
    _fields_ = [("load", c_double * 2), ("u", c_double * 2), ("readings", c_size_t)]


class Name(Structure):
    _fields_ = [("reading", c_size_t), ("what", c_int)]


LOADS, LIFTS, BLOCKS, FRONT_RADIUS, REAR_RADIUS, WHEELBASE, POINT, SPRINGS, TYRES, UNSPRUNG, MASS, DRIFT, RUNS = range(13)


class Value(Structure):
    _fields_ = [("value", c_double), ("u", c_double), ("dof", c_double), ("half_width", c_double), ("by", c_double * 13)]


class Answer(Structure):
    _fields_ = [("height", Value), ("mass", Value), ("behind", Value), ("front_share", Value), ("chi2", c_double),
                ("tested", c_size_t), ("p", c_double), ("widened", c_double), ("widened_dof", c_double), ("run_sd", c_double),
                ("run_dof", c_double), ("trend", c_double), ("u_trend", c_double),
                ("drift", c_double), ("suspicious", c_bool), ("off", c_double), ("critical", c_double),
                ("tied_count", c_size_t), ("tied", Name * 8)]


lib.sy_cgheight_session_default.restype = Session
lib.sy_cgheight_size.restype = c_size_t
lib.sy_cgheight_fit.argtypes = [POINTER(Session), c_void_p, POINTER(Answer), POINTER(Row), POINTER(Level), POINTER(Error)]


def fit(session):
    answer, err = Answer(), Error()
    rows, levels = (Row * session.count)(), (Level * session.runs)()
    memory = ctypes.create_string_buffer(lib.sy_cgheight_size(byref(session)))
    succeed(lib.sy_cgheight_fit(byref(session), memory, byref(answer), rows, levels, byref(err)), err)
    return answer, rows, levels


def front_share(L, rf, rr, b, h, tau):
    """front load by weight at nose-up tilt tau: moments about the rear wheel centre"""
    return (b * np.cos(tau) - (h - rr) * np.sin(tau)) / (L * np.cos(tau) - (rf - rr) * np.sin(tau))


def tilt_of(L, rf, rr, lift, lifted):
    pads = lift if lifted == FRONT else -lift  # front pad above rear pad
    return optimize.brentq(lambda t: L * np.sin(t) + (rf - rr) * np.cos(t) - (rf - rr) - pads, -1.2, 1.2, xtol=1e-15)


def random_session():
    L, rf, rr = random.uniform(1.6, 3.2), random.uniform(0.2, 0.4), random.uniform(0.2, 0.4)
    W, h, b = random.uniform(200, 2000), random.uniform(0.25, 0.7), 0
    b = L * random.uniform(0.3, 0.7)
    lifted, both = int(random.integers(2)), bool(random.integers(2))
    lift_sd, pad_sd = random.uniform(0.5e-3, 4e-3), random.uniform(0.05, 0.5)
    list_ = []
    for run in range(int(random.integers(1, 3))):
        gap = random.normal() * 0.5
        for k in range(int(random.integers(3, 6))):
            lift = 0.1 * L * k / 2
            tau = tilt_of(L, rf, rr, lift + (lift_sd * random.normal() if k else 0), lifted)
            f = W * front_share(L, rf, rr, b, h, tau)
            loads = [f + gap + pad_sd * random.normal(), W - f + pad_sd * random.normal()]
            if k and not both:
                loads[lifted] = NAN
            list_.append(Reading(run, lifted, lift, lift_sd if k else 0, 0, tuple(loads), (pad_sd, pad_sd), (0, 0), 0))
    s = lib.sy_cgheight_session_default()
    s.car.wheelbase, s.car.radius[0], s.car.radius[1] = L, rf, rr
    held = (Reading * len(list_))(*list_)
    s.reading, s.count, s.runs, s.drift = held, len(list_), list_[-1].run + 1, 0
    return s, list_


def by_scipy(s, readings):
    L, rf, rr = s.car.wheelbase, *s.car.radius
    taus = [tilt_of(L, rf, rr, r.lift, r.lifted) for r in readings]
    lifted = [i for i, r in enumerate(readings) if r.lift > 0]

    def slope(i):  # of the tilt by the lift
        return abs(tilt_of(L, rf, rr, readings[i].lift + 1e-6, readings[i].lifted)
                   - tilt_of(L, rf, rr, readings[i].lift - 1e-6, readings[i].lifted)) / 2e-6

    def residuals(x):
        h, levels, tau = x[0], x[1:1 + 2 * s.runs].reshape(s.runs, 2), dict(zip(lifted, x[1 + 2 * s.runs:]))
        W = levels.sum(axis=1).mean()
        out = []
        for i, r in enumerate(readings):
            f0, r0 = levels[r.run]
            f = W * front_share(L, rf, rr, f0 * L / W, h, tau.get(i, 0.0))
            for end, want in ((FRONT, f), (REAR, r0 + f0 - f)):
                if r.load[end] == r.load[end]:
                    out.append((r.load[end] - want) / r.load_sd[end])
        return np.array(out + [(taus[i] - tau[i]) / (r_sd[i] * readings[i].lift_sd) for i in lifted])
    r_sd = {i: slope(i) for i in lifted}
    start = [0.4]
    for run in range(s.runs):
        start += next(list(r.load) for r in readings if r.run == run and r.lift == 0)
    start += [taus[i] for i in lifted]
    return optimize.least_squares(residuals, start, x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15, jac="3-point")


for case in range(60):
    s, readings = random_session()
    ours, rows, levels = fit(s)
    theirs = by_scipy(s, readings)
    cov = np.linalg.inv(theirs.jac.T @ theirs.jac)
    u = np.sqrt(cov[0, 0])
    checks.near("height", abs(ours.height.value - theirs.x[0]) / u, 1e-5, case)
    checks.near("its uncertainty", abs(np.hypot(ours.height.by[LOADS], ours.height.by[LIFTS]) / ours.widened / u - 1), 1e-6, case)
    checks.near("chi-square", abs(ours.chi2 - 2 * theirs.cost) / (1 + ours.chi2), 1e-6, case)
    checks.near("levels", max(abs(levels[r].load[e] - theirs.x[1 + 2 * r + e]) / levels[r].u[e]
                              for r in range(s.runs) for e in (0, 1)), 1e-5, case)

for case in range(300):
    L, rf, rr = ufloat(random.uniform(1.6, 3.2), 2e-3), ufloat(random.uniform(0.2, 0.4), 1e-3), ufloat(random.uniform(0.2, 0.4), 2e-3)
    W, h, H = random.uniform(200, 2000), random.uniform(0.25, 0.7), ufloat(random.uniform(0.2, 0.6), 1e-3)
    lifted, share = int(random.integers(2)), random.uniform(0.3, 0.7)
    tau = tilt_of(L.n, rf.n, rr.n, H.n, lifted)
    f = W * front_share(L.n, rf.n, rr.n, share * L.n, h, tau)
    F0, R0 = ufloat(share * W, 0.1), ufloat(W - share * W, 0.1)
    one = ufloat(f if lifted == REAR else W - f, 0.2)  # the axle that stays down

    D = umath.hypot(L, rf - rr)
    turn = umath.asin((rf - rr + (H if lifted == FRONT else -H)) / D) - umath.asin((rf - rr) / D)
    M = F0 + R0
    F = one if lifted == REAR else F0 + R0 - one
    want = rr + F / M * (rf - rr) + (F0 - F) * L / (M * umath.tan(turn))

    load_now = [NAN, NAN]
    load_now[FRONT if lifted == REAR else REAR] = one.n
    list_ = (Reading * 2)(Reading(0, lifted, 0, 0, 0, (F0.n, R0.n), (0.1, 0.1), (0, 0), 0),
                          Reading(0, lifted, H.n, H.s, 0, tuple(load_now), (0.2, 0.2), (0, 0), 0))
    s = lib.sy_cgheight_session_default()
    s.car.wheelbase, s.car.radius[0], s.car.radius[1] = L.n, rf.n, rr.n
    s.wheelbase_sd, s.radius_sd[0], s.radius_sd[1] = L.s, rf.s, rr.s
    s.reading, s.count, s.runs, s.drift = list_, 2, 1, 0
    ours, rows, levels = fit(s)
    checks.near("one lift: height", abs(ours.height.value - want.n), 1e-11, case)
    checks.near("one lift: its uncertainty", abs(ours.height.u / want.s - 1), 1e-6, case)
    parts = {id(v): d * v.s for v, d in want.derivatives.items()}
    pads = np.sqrt(sum(parts.get(id(v), 0) ** 2 for v in (F0, R0, one)))
    for source, name, value in ((LOADS, "loads", pads), (LIFTS, "lifts", abs(parts[id(H)])), (FRONT_RADIUS, "front radius", abs(parts[id(rf)])),
                                (REAR_RADIUS, "rear radius", abs(parts[id(rr)])), (WHEELBASE, "wheelbase", abs(parts[id(L)]))):
        checks.near(f"one lift: by {name}", abs(ours.height.by[source] - value) / want.s, 1e-6, case)


# ---- everything that errs together: blocks used again and stacked, level lifts, steps of a display, runs that differ --------------
# Generalised least squares with the full covariance of the readings, V = sum of what each error does to all loads (by NumPy), about
# the truth: the same estimate as errors that are unknowns of the fit. First order in the blocks, 1e-4 at errors of 2 mm.

def correlated_session():
    L, rf, rr = random.uniform(1.6, 3.2), random.uniform(0.2, 0.4), random.uniform(0.2, 0.4)
    W, h = random.uniform(200, 2000), random.uniform(0.25, 0.7)
    b, lifted, steps = L * random.uniform(0.3, 0.7), int(random.integers(2)), int(random.integers(2, 5))
    heights = [0.06 * L * (1 + 0.2 * k) for k in range(steps)]
    block_sd, level_sd, pad_sd = random.uniform(1e-3, 3e-3), random.uniform(0.5e-3, 2e-3), random.uniform(0.05, 0.3)
    stacked = bool(random.integers(2))
    list_ = []
    for run in range(2):
        for k in range(steps + 1):
            used = [] if k == 0 else list(range(k)) if stacked else [k - 1]
            lift = sum(heights[n] for n in used)
            f = W * front_share(L, rf, rr, b, h, tilt_of(L, rf, rr, lift, lifted))
            loads = [f + 1e-3 * pad_sd * random.normal(), W - f + 1e-3 * pad_sd * random.normal()]
            list_.append(Reading(run, lifted, lift, level_sd if k == 0 else 0, sum(1 << n for n in used), tuple(loads),
                                 (pad_sd, pad_sd), (0, 0), 0))
    s = lib.sy_cgheight_session_default()
    s.car.wheelbase, s.car.radius[0], s.car.radius[1] = L, rf, rr
    for n in range(steps):
        s.block_sd[n] = block_sd
    held = (Reading * len(list_))(*list_)
    s.reading, s.count, s.runs, s.drift = held, len(list_), 2, 0
    return s, list_, (L, rf, rr, W, h, b, lifted, block_sd, level_sd, pad_sd, steps)


def by_covariance(list_, truth):
    L, rf, rr, W, h, b, lifted, block_sd, level_sd, pad_sd, steps = truth

    def loads(x, block, level):  # x: h, front and rear level of each run
        out = []
        total = (x[1] + x[2] + x[3] + x[4]) / 2
        for i, r in enumerate(list_):
            lift = r.lift + sum(block[n] for n in range(steps) if r.blocks >> n & 1) + level[i]
            f0, r0 = x[1 + 2 * r.run], x[2 + 2 * r.run]
            f = total * front_share(L, rf, rr, f0 * L / total, x[0], tilt_of(L, rf, rr, lift, lifted))
            out += [f, r0 + f0 - f]
        return np.array(out)
    x0 = np.array([h, W * b / L, W - W * b / L] + [W * b / L, W - W * b / L])
    none_b, none_l = np.zeros(steps), np.zeros(len(list_))

    def column(function, at, i, step):
        up, down = at.copy(), at.copy()
        up[i] += step
        down[i] -= step
        return (function(up) - function(down)) / (2 * step)
    A = np.array([column(lambda x: loads(x, none_b, none_l), x0, i, 1e-4 * x0[i]) for i in range(5)]).T
    V = pad_sd ** 2 * np.eye(2 * len(list_))
    for n in range(steps):
        e = column(lambda q: loads(x0, q, none_l), none_b, n, 1e-4) * block_sd
        V += np.outer(e, e)
    for i, r in enumerate(list_):
        if r.lift == 0:
            e = column(lambda q: loads(x0, none_b, q), none_l, i, 1e-4) * level_sd
            V += np.outer(e, e)
    return np.linalg.inv(A.T @ np.linalg.inv(V) @ A)


for case in range(60):
    s, readings, truth = correlated_session()
    ours, rows, levels = fit(s)
    cov = by_covariance(readings, truth)
    W, L, b = truth[3], truth[0], truth[5]
    mass = np.array([0, .5, .5, .5, .5])
    share = np.array([0, .5, 0, .5, 0]) / W - b / L * mass / W
    checks.near("blocks: not widened", ours.widened - 1, 1e-15, case)
    for name, value, g in (("height", ours.height, np.eye(5)[0]), ("mass", ours.mass, mass), ("share", ours.front_share, share)):
        checks.near(f"blocks: {name}", value.u / np.sqrt(g @ cov @ g) - 1, 1e-3, case)

# Readings that show the same on a display share its step: V by NumPy again, weights those of the library's own fit (independent steps).
for case in range(30):
    s, readings, truth = correlated_session()
    step = 0.3
    for r in s.reading[:s.count]:
        for e in (0, 1):
            r.load[e] = round(r.load[e] / step) * step
    held = (Reading * s.count)(*[Reading(r.run, r.lifted, r.lift, 0, 0, tuple(r.load), (0.12, 0.12), (0.0866, 0.0866), 0)
                                 for r in s.reading[:s.count]])
    s.reading = held
    ours, rows, levels = fit(s)
    # gains by moving each load
    var, gains = 0.0, {}
    for i in range(s.count):
        for e in (0, 1):
            keep = held[i].load[e]
            found = []
            for by in (0.01, -0.01):
                held[i].load[e] = keep + by
                found.append(fit(s)[0].mass.value)
            held[i].load[e] = keep
            gains[i, e] = (found[0] - found[1]) / 0.02
    for (i, e), g in gains.items():
        var += (g * 0.12) ** 2
        var += sum(g * gains[k, e] * 0.0866 ** 2 for k in range(s.count)
                   if k != i and held[k].lift == held[i].lift and held[k].load[e] == held[i].load[e])
    checks.near("display: mass", ours.mass.by[LOADS] / ours.widened / np.sqrt(var) - 1, 1e-4, case)

checks.finish()
