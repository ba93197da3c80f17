"""Volume, centre and inertia of random closed meshes against the divergence theorem in NumPy: surface integrals of x, x^2/2,
x^3/3 and x^2 y/2 by Gauss points on each triangle, instead of the library's tetrahedra."""
from ctypes import byref, c_void_p

import numpy as np

from support.library import Checks, Error, Massprops, succeed
from support.meshes import make, open_library, sphere, stl, tensor, vector

lib = open_library()
checks = Checks()
random = np.random.default_rng(20050108)

# 7 points on a triangle, exact for polynomials of degree 5: J. Radon, Zur mechanischen Kubatur, Monatshefte fuer Mathematik 52 (1948)
R = np.sqrt(15.0)
POINTS = np.array([[1 / 3, 1 / 3]] + [p for a in ((6 - R) / 21, (6 + R) / 21) for p in ([a, a], [1 - 2 * a, a], [a, 1 - 2 * a])])
WEIGHTS = np.array([9 / 40] + [(155 - R) / 1200] * 3 + [(155 + R) / 1200] * 3)


def by_surface(corners, faces):
    """volume, centre, tensor at density 1 about the centre"""
    near = corners - corners.mean(axis=0)
    a, b, c = (near[faces[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a) / 2  # its length is the area
    p = a[:, None] + POINTS[:, 0, None] * (b - a)[:, None] + POINTS[:, 1, None] * (c - a)[:, None]

    def integral(values, axis):
        return float(np.sum(WEIGHTS * values * normal[:, axis, None]))
    x = [p[..., k] for k in range(3)]
    volume = integral(x[0], 0)
    first = np.array([integral(x[k] ** 2 / 2, k) for k in range(3)])
    second = np.empty((3, 3))
    for i in range(3):
        for j in range(3):
            second[i, j] = integral(x[i] ** 3 / 3, i) if i == j else integral(x[i] ** 2 * x[j] / 2, i)
    centre = first / volume
    second -= volume * np.outer(centre, centre)
    return volume, centre + corners.mean(axis=0), np.trace(second) * np.eye(3) - second


for case in range(60):
    corners, faces = sphere(int(random.integers(0, 5)))
    # every corner in or out along its ray, then skewed and shifted: closed, seldom convex
    corners = corners * random.uniform(0.3, 1.5, (len(corners), 1)) @ (np.eye(3) + 0.4 * random.normal(size=(3, 3)))
    if np.linalg.det(corners[faces]).sum() < 0:
        faces = faces[:, ::-1]
    corners = corners + random.uniform(-20, 20, 3)
    volume, centre, inertia = by_surface(corners, faces)
    mesh = make(lib, corners, faces)
    body, error = Massprops(), Error()
    succeed(lib.sy_mesh_massprops(mesh, volume, byref(body), byref(error)), error)
    sums = lib.sy_mesh_sums(mesh)
    scale = np.abs(inertia).max()
    # 1e-12: up to 1024 faces of which many cancel, each good to 1e-15 of its own
    checks.near("volume of a closed mesh", abs(sums.m - volume) / volume, 1e-12, case)
    checks.near("its first moments", np.abs(vector(sums.first) - volume * centre).max() / (volume * 20), 1e-12, case)
    checks.near("its centre", np.abs(vector(body.cg) - centre).max(), 1e-12, case)
    checks.near("its inertia", np.abs(tensor(body.inertia) - inertia).max() / scale, 1e-12, case)
    # Heron's formula on the lengths of the sides, as Kahan orders it
    sides = np.sort([np.linalg.norm(corners[faces[:, k]] - corners[faces[:, k - 1]], axis=1) for k in range(3)], axis=0)[::-1]
    a, b, c = sides
    area = np.sqrt((a + (b + c)) * (c - (a - b)) * (c + (a - b)) * (a + (b - c))).sum() / 4
    checks.near("its area", abs(lib.sy_mesh_area(mesh) - area) / area, 1e-12, case)
    lib.sy_mesh_free(mesh)

    rounded = corners.astype(np.float32).astype(float)
    volume, centre, inertia = by_surface(rounded, faces)
    data = stl(corners, faces)
    succeed(lib.sy_mesh_body_of_stl(data, len(data), byref(body), byref(error)), error)
    checks.near("the same straight from STL", np.abs(tensor(body.inertia) - inertia).max() / np.abs(inertia).max(), 1e-12, case)
    alloc = lib.sy_alloc_default()
    read = c_void_p()
    succeed(lib.sy_mesh_read(data, len(data), byref(alloc), byref(read), byref(error)), error)
    succeed(lib.sy_mesh_check(read, byref(error)), error)
    succeed(lib.sy_mesh_massprops(read, volume, byref(body), byref(error)), error)
    checks.near("and read in", np.abs(vector(body.cg) - centre).max(), 1e-12, case)
    lib.sy_mesh_free(read)

checks.finish()
