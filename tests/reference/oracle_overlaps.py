"""Pairs of turned bodies of all kinds: their distance as a convex programme in SciPy (SLSQP: two points, each held inside its body by the
body's own inequalities) instead of the library's support planes. Axes of the file point back and to the right."""
import json
import os
import subprocess
import sys
import tempfile

import numpy as np
from scipy.optimize import minimize
from scipy.spatial import ConvexHull

from support.library import Checks

checks = Checks()
random = np.random.default_rng(1988)
GAP = 60.0  # mm
TO_FILE = np.diag([-1.0, -1.0, 1.0])  # forward, left, up to back, right, up


def rotation(roll, pitch, yaw):
    """Roll first: left side up, nose down, nose to the left."""
    c, s = np.cos, np.sin
    x = np.array([[1, 0, 0], [0, c(roll), -s(roll)], [0, s(roll), c(roll)]])
    y = np.array([[c(pitch), 0, s(pitch)], [0, 1, 0], [-s(pitch), 0, c(pitch)]])
    z = np.array([[c(yaw), -s(yaw), 0], [s(yaw), c(yaw), 0], [0, 0, 1]])
    return z @ y @ x


ROUND = 230.0  # mm: no body is larger than a ball of that radius

# each gives what the file says and the inequalities g(u) >= 0 of the body in its own frame; mm, the axis of round bodies upright
def box(a, b, c):
    half = np.array([a, b, c]) / 2
    return f"box {{{a}, {b}, {c}}}", lambda u: np.concatenate([half - u, half + u])


def plate(a, b):
    half = np.array([a / 2, b / 2])
    return f'plate {{{a}, {b}, normal = "z"}}', lambda u: np.concatenate([half - u[:2], half + u[:2], [u[2], -u[2]]])


def rod(length):
    return f'rod {{{length}, axis = "z"}}', lambda u: np.array([length / 2 - u[2], length / 2 + u[2], u[0], -u[0], u[1], -u[1]])


def cylinder(d, length):
    return (f'cylinder {{{d}, {length}, axis = "z"}}',
            lambda u: np.array([(d * d / 4 - u[0] ** 2 - u[1] ** 2) / d, length / 2 - u[2], length / 2 + u[2]]))


def cone(d, length):
    """Its CG a quarter of its length above the base."""
    return (f'cone {{{d}, {length}, axis = "z"}}',
            lambda u: np.array([((d / 2 * (0.75 - u[2] / length)) ** 2 - u[0] ** 2 - u[1] ** 2) / d, 0.75 * length - u[2], u[2] + length / 4]))


def ellipsoid(a, b, c):
    half = np.array([a, b, c]) / 2
    return f"ellipsoid {{{a}, {b}, {c}}}", lambda u: np.array([(1 - np.sum((u / half) ** 2)) * min(half)])


def hull(folder, name):
    """A mesh that is the hull of random points, moved to its centroid."""
    points = random.uniform(-1, 1, (14, 3)) * random.uniform(40, 160, 3)
    made = ConvexHull(points)
    inside = points[made.vertices].mean(axis=0)
    corners = points[made.simplices]
    volumes = np.abs(np.einsum("ij,ij->i", corners[:, 0] - inside, np.cross(corners[:, 1] - inside, corners[:, 2] - inside)))
    centroid = (volumes[:, None] * (corners.sum(axis=1) + inside) / 4).sum(axis=0) / volumes.sum()
    lines = [f"v {p[0]!r} {p[1]!r} {p[2]!r}" for p in (points @ TO_FILE.T).tolist()]
    for face, plane in zip(made.simplices, made.equations):
        a, b, c = points[face]
        face = face if np.dot(np.cross(b - a, c - a), plane[:3]) > 0 else face[::-1]
        lines.append("f " + " ".join(str(i + 1) for i in face))
    with open(os.path.join(folder, name), "w", encoding="ascii") as out:
        out.write("\n".join(lines) + "\n")
    normal, away = made.equations[:, :3], made.equations[:, 3]
    return f'mesh {{"{name}", unit = "mm"}}', lambda u: -(normal @ (u + centroid) + away)


def size():
    return float(round(random.uniform(30, 260), 3))


KINDS = {"box": lambda: box(size(), size(), size()), "plate": lambda: plate(size(), size()), "rod": lambda: rod(size()),
         "cylinder": lambda: cylinder(size(), size()), "cone": lambda: cone(size(), size()),
         "ellipsoid": lambda: ellipsoid(size(), size(), size())}


def distance(one, other):
    """Least distance of two bodies, 0 when they intersect, and whether SLSQP kept inside both: the better of two starts, for it may stop short. In units of 100 mm: it steps well there."""
    (g, turn_g, at_g), (h, turn_h, at_h) = one, other

    def points(v):
        return turn_g @ (100 * v[:3]) + at_g, turn_h @ (100 * v[3:]) + at_h

    def objective(v):
        p, q = points(v)
        return float(np.sum((p - q) ** 2)) / 1e4

    def slope(v):
        p, q = points(v)
        return np.concatenate([turn_g.T @ (p - q), -turn_h.T @ (p - q)]) * 2 / 100
    best = np.inf
    for start in (np.zeros(6), random.uniform(-0.3, 0.3, 6)):
        found = minimize(objective, start, jac=slope, method="SLSQP", options={"maxiter": 400, "ftol": 1e-16}, constraints=[
            {"type": "ineq", "fun": lambda v: g(100 * v[:3]) / 100}, {"type": "ineq", "fun": lambda v: h(100 * v[3:]) / 100}])
        p, q = points(found.x)
        if min(g(100 * found.x[:3]).min(), h(100 * found.x[3:]).min()) > -1e-4:
            best = min(best, np.linalg.norm(p - q))
        if best < 1e-3:
            break
    return best, best < np.inf


counts = {"overlap": 0, "near": 0, "apart": 0, "unsolved": 0}
with tempfile.TemporaryDirectory() as folder:
    bodies, lines = [], []
    for i in range(35):
        kind = list(KINDS)[i % 7] if i % 7 < 6 else "mesh"
        says, inside = hull(folder, f"hull{i}.obj") if kind == "mesh" else KINDS[kind]()
        roll, pitch, yaw = (float(round(x, 2)) for x in random.uniform(-170, 170, 3))
        at = np.round(random.uniform([-240, -240, 400], [240, 240, 850]), 2)
        bodies.append((inside, rotation(*np.radians([roll, pitch, yaw])), at))
        words = [f"{a if x > 0 else b} = {abs(x)}" for x, a, b in ((roll, "left_up", "right_up"), (pitch, "nose_down", "nose_up"),
                                                                  (yaw, "nose_left", "nose_right"))]
        place = ", ".join(repr(float(x)) for x in TO_FILE @ at)
        lines.append(f'part "{i}" {{mass = {i + 1}, at = {{{place}}}, shape = {says}, turned = {{{", ".join(words)}}}}},')
    with open(os.path.join(folder, "car.lua"), "w", encoding="ascii") as out:
        out.write('vehicle {title = "bodies", axes = {x = "back", y = "right", z = "up"},\naxles = {{name = "front", at = 0, track = 1400, '
                  'loaded_radius = 300}, {name = "rear", at = 2400, track = 1400, loaded_radius = 300}},\nparts = {\n' + "\n".join(lines) + "\n}}\n")
    done = subprocess.run([sys.argv[1], "clearance", os.path.join(folder, "car.lua"), "--all", "--gap", str(GAP), "--json"], check=False,
                          capture_output=True)
    if done.returncode:
        sys.exit(done.stderr.decode())
    found = {(int(r["a"]), int(r["b"])): r for r in json.loads(done.stdout)["list"]}

worst = 0.0
wrong = []
for i, one in enumerate(bodies):
    for k in range(i + 1, len(bodies)):
        if np.linalg.norm(one[2] - bodies[k][2]) > GAP + 2 * ROUND:
            assert (i, k) not in found
            continue
        apart, solved = distance(one, bodies[k])
        row = found.get((i, k))
        if not solved:
            counts["unsolved"] += 1
        elif apart < 0.01:  # mm, SLSQP ends within a thousandth; a tenth deep and less is touching
            counts["overlap"] += 1
            if row is None or (row["overlap"] is not True and row["overlap"] > 0.01):
                wrong.append((i, k, apart, row))
        elif apart < GAP - 0.01:
            counts["near"] += 1
            if row is None or row["overlap"] is True:
                wrong.append((i, k, apart, row))
            else:
                worst = max(worst, abs(row["overlap"] - apart))
        else:
            counts["apart"] += 1
            if row is not None and apart > GAP + 0.01:
                wrong.append((i, k, apart, row))
# counts: none may be wrong; SLSQP may end outside a body a few times; each kind of answer must come up
checks.near("pairs judged otherwise than by SciPy", len(wrong), 0.5, wrong[:3])
checks.near("pairs that SciPy did not solve", counts["unsolved"], 10)
checks.near("gaps, mm: both methods end within 1e-4", worst, 5e-4)
checks.near("pairs short of 50 that overlap or are near", max(0, 50 - min(counts["overlap"], counts["near"])), 0.5)
checks.finish()
