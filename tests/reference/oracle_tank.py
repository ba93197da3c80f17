"""Liquid in leaning tanks against NumPy: upright columns of the tank, each wet up to where the level plane cuts it, added up
over a fine net. The net's error falls with the square of its mesh; 400 columns each way leave some 1e-6 of the tank's size.
The empty ellipsoid as a sheet against SciPy's adaptive integration over its surface."""
from ctypes import byref, c_bool, c_double

import numpy as np
from scipy.integrate import dblquad
from scipy.spatial import ConvexHull

from support.library import Checks, Error, Massprops, Vec3, succeed
from support.meshes import BOX, CYLINDER, ELLIPSOID, MESH, Liquid, make, open_library, tensor, vector

lib = open_library()
checks = Checks()
random = np.random.default_rng(4)
N = 400
STEPS = (np.arange(N) + 0.5) / N * 2 - 1  # midpoints of -1 .. 1


def box_columns(size):
    x, y = np.meshgrid(STEPS * size[0] / 2, STEPS * size[1] / 2, indexing="ij")
    return x, y, np.full_like(x, -size[2] / 2), np.full_like(x, size[2] / 2), np.full_like(x, size[0] * size[1] / N ** 2)


def cylinder_columns(diameter, length):
    """Along x; y = R sin a, so that the round sides do no harm."""
    a = STEPS * np.pi / 2
    x, y = np.meshgrid(STEPS * length / 2, np.sin(a) * diameter / 2, indexing="ij")
    half = np.cos(a)[None, :] * diameter / 2 * np.ones_like(x)
    return x, y, -half, half, half * np.pi / N * length / N


def ellipsoid_columns(size):
    r, a = np.meshgrid((STEPS + 1) / 2, (STEPS + 1) * np.pi, indexing="ij")
    rho = np.sin(r * np.pi / 2)
    half = np.cos(r * np.pi / 2)
    area = rho * half * np.pi / 2 / N * 2 * np.pi / N * size[0] * size[1] / 4
    return rho * np.cos(a) * size[0] / 2, rho * np.sin(a) * size[1] / 2, -half * size[2] / 2, half * size[2] / 2, area


def hull_columns(hull, low, high):
    x, y = np.meshgrid((STEPS + 1) / 2 * (high[0] - low[0]) + low[0], (STEPS + 1) / 2 * (high[1] - low[1]) + low[1], indexing="ij")
    bottom, top = np.full_like(x, low[2]), np.full_like(x, high[2])
    for a, b, c, d in hull.equations:  # inside where a x + b y + c z + d <= 0
        if abs(c) > 1e-12:
            z = -(a * x + b * y + d) / c
            if c > 0:
                top = np.minimum(top, z)
            else:
                bottom = np.maximum(bottom, z)
        else:
            top = np.where(a * x + b * y + d > 0, bottom, top)
    return x, y, bottom, np.maximum(top, bottom), np.full_like(x, (high[0] - low[0]) * (high[1] - low[1]) / N ** 2)


def wet_part(columns, up, level):
    """volume, centroid, tensor about it, area of the surface; upwards is more up than sideways"""
    x, y, bottom, top, area = columns
    cut = (level - up[0] * x - up[1] * y) / up[2]
    wet = np.clip(cut, bottom, top)
    depth = wet - bottom
    m = depth * area
    z, zz = (wet + bottom) / 2, (wet ** 2 + wet * bottom + bottom ** 2) / 3
    volume = m.sum()
    r = np.array([x, y, z])
    centroid = (r * m).sum(axis=(1, 2)) / volume
    second = np.einsum("iab,jab,ab->ij", r, r, m)
    second[2, 2] = (zz * m).sum()
    second -= volume * np.outer(centroid, centroid)
    surface = area[(cut > bottom) & (cut < top)].sum() / up[2]
    return volume, centroid, np.trace(second) * np.eye(3) - second, surface


def random_tank():
    kind = int(random.integers(0, 4))
    tank = lib.sy_tank_default(kind)
    size = random.uniform(0.1, 0.9, 3)
    tank.size = Vec3(*size)
    if kind == BOX:
        return tank, box_columns(size), size
    if kind == ELLIPSOID:
        return tank, ellipsoid_columns(size), size
    if kind == CYLINDER:
        tank.diameter, tank.length, tank.axis = size[0], size[1], Vec3(random.choice([-1, 1]) * 3.7, 0, 0)
        return tank, cylinder_columns(size[0], size[1]), np.array([size[1], size[0], size[0]])
    corners = random.uniform(-0.5, 0.5, (int(random.integers(5, 30)), 3)) * size + random.uniform(-0.3, 0.3, 3)
    hull = ConvexHull(corners)
    faces = hull.simplices.copy()
    for face, equation in zip(faces, hull.equations):
        a, b, c = corners[face]
        if np.dot(np.cross(b - a, c - a), equation[:3]) < 0:
            face[[1, 2]] = face[[2, 1]]
    tank.mesh = make(lib, corners, faces)
    return tank, hull_columns(hull, corners.min(axis=0), corners.max(axis=0)), size


for case in range(80):
    tank, columns, size = random_tank()
    up = random.normal(size=3)
    up[2] = abs(up[2]) + 0.6 * np.hypot(up[0], up[1])  # columns stand: no steeper than 60 degrees
    up /= np.linalg.norm(up)
    full, error, liquid = c_double(), Error(), Liquid()
    succeed(lib.sy_tank_capacity(byref(tank), byref(full), byref(error)), error)
    volume = full.value * random.uniform(0.02, 0.98)
    succeed(lib.sy_tank_liquid(byref(tank), volume, Vec3(*(up * 9.8)), byref(liquid), byref(error)), error)
    got, centroid, inertia, surface = wet_part(columns, up, liquid.level)
    what = ("box", "cylinder", "ellipsoid", "mesh")[tank.kind], case
    # a mesh's outline runs across the net: its edge columns are in or out as a whole, an error of first order
    loose = 20 if tank.kind == MESH else 1
    checks.near("volume below the level", abs(got - volume) / full.value, 5e-6 * loose, what)
    checks.near("centroid", np.abs(centroid - vector(liquid.centroid)).max() / size.max(), 5e-6 * loose, what)
    checks.near("inertia", np.abs(inertia - tensor(liquid.inertia)).max() / np.abs(inertia).max(), 6e-5 * loose, what)
    # the surface's outline is found to a column: again of first order
    checks.near("area of the surface", abs(surface - liquid.area) / (surface + 0.1 * size.max() ** 2), 5e-3, what)
    x, y, bottom, top, _ = columns  # a pick-up in one of the columns, and that point beside the tank
    inner = np.argwhere(top - bottom > 0.05 * size[2])
    i, j = inner[random.integers(len(inner))]
    for part, inside in ((random.uniform(0.02, 0.98), True), (random.uniform(1.02, 2), False), (random.uniform(-1, -0.02), False)):
        point, held = Vec3(x[i, j], y[i, j], bottom[i, j] + part * (top[i, j] - bottom[i, j])), c_bool()
        succeed(lib.sy_tank_holds(byref(tank), point, byref(held), byref(error)), error)
        checks.near("points inside", int(held.value != inside), 0.5, what)
        if inside:
            succeed(lib.sy_tank_below(byref(tank), point, Vec3(*(up * 3.1)), byref(liquid), byref(error)), error)
            wet = wet_part(columns, up, up @ vector(point))[0]
            checks.near("volume below a point", abs(wet - liquid.volume) / full.value, 5e-6 * loose, what)
    if tank.kind == MESH:
        lib.sy_mesh_free(tank.mesh)

for case in range(12):  # the tolerances are those of the header
    ratio = 3 if case < 6 else 10
    half = random.uniform(1, ratio, 3)
    half[case % 3], half[(case + 1) % 3] = 1, ratio
    a, b, c = half = half * 0.1

    def over(weight):
        def piece(p, t):
            s, u, x, y = np.sin(t), np.cos(t), np.cos(p), np.sin(p)
            area = s * np.sqrt((a * b * u) ** 2 + (c * s) ** 2 * ((b * x) ** 2 + (a * y) ** 2))
            return area * weight(np.array([a * s * x, b * s * y, c * u]))
        return dblquad(piece, 0, np.pi / 2, 0, np.pi / 2, epsabs=1e-13, epsrel=1e-11)[0]
    area, spread = over(lambda r: 1), np.array([over(lambda r, i=i: r[i] ** 2) for i in range(3)])
    want = (spread.sum() - spread) / area
    tank, body, error = lib.sy_tank_default(ELLIPSOID), Massprops(), Error()
    tank.size = Vec3(*(2 * half))
    succeed(lib.sy_tank_shell(byref(tank), 1, byref(body), byref(error)), error)
    got = np.diag(tensor(body.inertia))
    checks.near(f"empty ellipsoid up to {ratio} to 1", np.abs(got / want - 1).max(), 1e-10 if ratio == 3 else 1e-6, half)

checks.finish()
