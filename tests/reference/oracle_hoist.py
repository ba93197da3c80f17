"""How things hang by the C library against energy minimisation in SciPy.

The thing is placed by a rotation vector and a shift, the hook is the origin; scipy.optimize (SLSQP) lowers its cg as far as it goes
with every leg no longer than it is, from the attitude it stands in. Nothing of the library's own geometry enters.
"""
from ctypes import Structure, byref, c_bool, c_double, c_int, c_void_p

import numpy as np
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

from support.library import Checks, Error, Vec3, load, succeed

lib = load()
checks = Checks()
random = np.random.default_rng(18280208)


class Sling(Structure):
    _fields_ = [("count", c_int), ("point", Vec3 * 4), ("length", c_double * 4)]


class Hang(Structure):
    _fields_ = [("hook", Vec3), ("up", Vec3), ("pitch", c_double), ("roll", c_double), ("tilt", c_double), ("tension", c_double * 4),
                ("angle", c_double * 4), ("slack", c_bool * 4), ("shared", c_bool)]


lib.sy_hang_make.argtypes = [c_void_p, Vec3, c_void_p, c_void_p]


def lowest(points, lengths, cg, start):
    """Depth of the cg below the hook and the upward direction in the thing's own axes, from a start attitude."""
    def place(q):
        turn = Rotation.from_rotvec(q[:3])
        return turn, q[3:]

    def depth(q):
        turn, shift = place(q)
        return (turn.apply(cg) + shift)[2]

    def room(q):
        turn, shift = place(q)
        ends = turn.apply(points) + shift
        return lengths ** 2 - np.sum(ends ** 2, axis=1)

    q = np.concatenate([np.zeros(3), start])
    found = minimize(depth, q, method="SLSQP", constraints=[{"type": "ineq", "fun": room}],
                     options={"maxiter": 500, "ftol": 1e-15})
    turn, _ = place(found.x)
    return -found.fun, turn.inv().apply([0, 0, 1.0])


for case in range(24):
    n = (1, 2, 3, 4)[case % 4]
    points = np.array([[0.3, 0.2, 0.05], [-0.3, -0.2, 0.08], [0.3, -0.2, 0.02], [-0.3, 0.2, 0.0]])[:n] + random.uniform(-0.06, 0.06, (n, 3))
    cg = np.array([0, 0, -0.28]) + random.uniform(-0.08, 0.08, 3)
    lengths = random.uniform(0.62, 0.75, n)
    sling, hang, err = Sling(n), Hang(), Error()
    for i in range(n):
        sling.point[i], sling.length[i] = Vec3(*points[i]), lengths[i]
    succeed(lib.sy_hang_make(byref(sling), Vec3(*cg), byref(hang), byref(err)), err)
    start = np.array([0, 0, -np.min(lengths) * 0.5]) - np.mean(points, axis=0)
    depth, up = lowest(points, lengths, cg, start)
    hook = np.array([hang.hook.x, hang.hook.y, hang.hook.z])
    ours = np.array([hang.up.x, hang.up.y, hang.up.z])
    word = f"{n} legs" if n > 1 else "1 leg"
    # SLSQP stops where the depth changes by less than 1e-15 m of some 1 m: an attitude that bends the depth to second order is then
    # good to the root of that over the pendulum's length, some 1e-6
    checks.near(f"depth below the hook, {word}", abs(np.linalg.norm(hook - cg) - depth), 1e-9, f"case {case}")
    checks.near(f"upright of the thing, {word}", np.linalg.norm(ours - up), 1e-6, f"case {case}")

checks.finish()
