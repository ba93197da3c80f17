"""Shafts and Cardan joints of the C library against NumPy and SciPy, on random geometry.

Angles: by the arc cosine of a scalar product in long doubles. Extremes over the travel: by scipy.optimize from many starts. Two
Cardan joints: by turning the input through a full revolution and composing the rotations, the way a kinematics programme would.
"""
from ctypes import Structure, byref, c_double, c_int, c_size_t, c_void_p

import numpy as np
from scipy.optimize import minimize_scalar

from support.library import Checks, Error, Vec3, load, succeed

lib = load()
checks = Checks()
random = np.random.default_rng(19610705)


class Joint(Structure):
    _fields_ = [("at", Vec3), ("axis", Vec3)]


class Pose(Structure):
    _fields_ = [("inner", c_double), ("outer", c_double), ("length", c_double), ("planes", c_double), ("inner_sensitivity", Vec3),
                ("outer_sensitivity", Vec3), ("length_sensitivity", Vec3)]


class Path(Structure):
    _fields_ = [("kind", c_int), ("at", Vec3), ("pivot", Vec3), ("hinge", Vec3), ("points", c_void_p), ("count", c_size_t)]


class Sweep(Structure):
    _fields_ = [("ride", Pose), ("worst", Pose), ("worst_angle", c_double), ("worst_travel", c_double), ("worst_steer", c_double),
                ("worst_joint", c_int), ("shortest", Pose), ("longest", Pose), ("shortest_travel", c_double),
                ("longest_travel", c_double)]


VERTICAL, ARC = 1, 2
lib.sy_shaft_sweep.argtypes = [c_void_p, c_void_p, c_void_p, c_double, c_double, c_double, c_void_p, c_void_p]
lib.sy_cardan_pair.argtypes = [c_double] * 3
lib.sy_cardan_pair.restype = c_double


def angle(u, v):
    """Between two lines, the plain way."""
    u, v = np.asarray(u, np.longdouble), np.asarray(v, np.longdouble)
    return float(np.arccos(min(np.longdouble(1), abs(u @ v) / np.sqrt(u @ u) / np.sqrt(v @ v))))


def turn(axis, t, v):
    """Rodrigues' rotation of v by t about a unit axis."""
    return v * np.cos(t) + np.cross(axis, v) * np.sin(t) + axis * (axis @ v) * (1 - np.cos(t))


def arc_place(at, pivot, hinge, travel):
    """The joint after its wheel rose by `travel`, by root finding in small steps from travel 0."""
    k = hinge / np.linalg.norm(hinge)
    t = 0.0
    for step in np.linspace(0, travel, 5)[1:]:
        for _ in range(8):
            r = turn(k, t, at - pivot)
            slope = np.cross(k, r)[2]
            change = (pivot[2] + r[2] - at[2] - step) / slope
            t -= change
            if abs(change) < 1e-15:
                break
    return pivot + turn(k, t, at - pivot)


def extreme(f, low, high):
    """Largest value of f: every cell of a grid refined by Brent's method."""
    grid = np.linspace(low, high, 9)
    best = max(f(x) for x in grid)
    for a, b in zip(grid[:-2], grid[2:]):
        found = minimize_scalar(lambda x: -f(x), bounds=(a, b), method="bounded", options={"xatol": 1e-9})
        best = max(best, -found.fun)
    return best


for case in range(8):
    inner_at = np.array([-2.4, -0.17, 0.30]) + random.uniform(-0.05, 0.05, 3)
    outer_at = np.array([-2.45, -0.63, 0.30]) + random.uniform(-0.05, 0.05, 3)
    axes = [np.array([0, 1.0, 0]) + random.uniform(-0.1, 0.1, 3) for _ in range(2)]
    droop, bump = random.uniform(0.03, 0.09, 2)
    pivot, hinge = np.array([-2.3, -0.25, 0.25]) + random.uniform(-0.03, 0.03, 3), np.array([1, 0.3, 0.1])
    kind = ARC if case % 2 else VERTICAL
    inner, outer = Joint(Vec3(*inner_at), Vec3(*axes[0])), Joint(Vec3(*outer_at), Vec3(*axes[1]))
    path = Path(kind, Vec3(*outer_at), Vec3(*pivot), Vec3(*hinge), None, 0)
    sweep, err = Sweep(), Error()
    succeed(lib.sy_shaft_sweep(byref(inner), byref(outer), byref(path), droop, bump, 0.0, byref(sweep), byref(err)), err)

    def place(travel):
        if kind == VERTICAL:
            return outer_at + np.array([0, 0, travel])
        return arc_place(outer_at, pivot, hinge, travel)

    def larger(travel):
        line = place(travel) - inner_at
        return max(angle(line, axes[0]), angle(line, axes[1]))

    def length(travel):
        return float(np.linalg.norm(place(travel) - inner_at))

    word = "arc" if kind == ARC else "vertical"
    # both meet the ends of the travel exactly; inside, a length is flat to second order in the micrometre that golden sections leave
    checks.near(f"worst angle, {word}", abs(sweep.worst_angle - extreme(larger, -droop, bump)), 1e-9, f"case {case}")
    checks.near(f"longest, {word}", abs(sweep.longest.length - extreme(length, -droop, bump)), 1e-9, f"case {case}")
    checks.near(f"shortest, {word}", abs(-sweep.shortest.length - extreme(lambda t: -length(t), -droop, bump)), 1e-9, f"case {case}")
    # an arc cosine near 1 loses digits even in long doubles: 1e-19 / angle
    checks.near(f"ride angle, {word}", abs(max(sweep.ride.inner, sweep.ride.outer) - larger(0)), 1e-12, f"case {case}")


def cardan(beta, psi):
    """Continuous output rotation of one joint, psi = 0 where the input trunnion lies in the plane of the shafts."""
    return psi + np.arctan2(np.sin(psi) * (1 - np.cos(beta)) * np.cos(psi), np.cos(psi) ** 2 * np.cos(beta) + np.sin(psi) ** 2)


for case in range(8):
    b1, b2, twist = *np.radians(random.uniform(2, 25, 2)), random.uniform(-np.pi, np.pi)
    psi = np.linspace(0, 2 * np.pi, 200001)
    out = cardan(b2, cardan(b1, psi) + np.pi / 2 + twist)
    speed = np.gradient(out, psi)[1:-1]
    beta = lib.sy_cardan_pair(b1, b2, twist)
    # central differences over steps of 3e-5: error of the order 1e-9 times third derivatives of order 1; sampling the peak at such
    # steps loses less
    checks.near("fastest of two joints", abs(1 / np.cos(beta) - speed.max()), 1e-8, f"case {case}")
    checks.near("slowest of two joints", abs(np.cos(beta) - speed.min()), 1e-8, f"case {case}")

checks.finish()
