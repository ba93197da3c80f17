"""Mass properties and wheel loads of the C library against Orocos KDL and NumPy, on random trees and vehicles.

KDL (the kinematics and dynamics library of robotics, here its rigid-body inertias) composes each tree by its own operators;
NumPy does it by the definition, sum of J + m (|d|^2 1 - d d^T).
"""
from ctypes import byref

import numpy as np
import PyKDL as kdl

from support.library import Checks, Error, Frame, Loadmap, Mat3, Massprops, Sym3, Vec3, load, succeed

lib = load()
checks = Checks()
random = np.random.default_rng(20110728)


def random_rotation():
    q = random.normal(size=4)
    w, x, y, z = q / np.linalg.norm(q)
    return np.array([[1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
                     [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
                     [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)]])


def random_leaf():
    """mass, cg, tensor: a turned box, so that the tensor is a real one."""
    mass = 10 ** random.uniform(-2, 2.3)
    a, b, c = random.uniform(0.02, 0.9, 3) ** 2
    turn = random_rotation()
    return mass, random.uniform(-0.5, 0.5, 3), turn @ np.diag([b + c, a + c, a + b]) @ turn.T * mass / 12


def random_tree(depth):
    """A leaf, or (turn, at, children)."""
    if depth == 0 or random.random() < 0.2:
        return random_leaf()
    return random_rotation(), random.uniform(-2, 2, 3), [random_tree(depth - 1) for _ in range(random.integers(1, 6))]


# ---- the same tree three ways

def is_leaf(tree):
    return np.isscalar(tree[0])


def by_library(tree):
    if is_leaf(tree):
        mass, cg, j = tree
        return Massprops(mass, Vec3(*cg), Sym3(j[0, 0], j[1, 1], j[2, 2], j[0, 1], j[0, 2], j[1, 2]))
    turn, at, children = tree
    bodies = (Massprops * len(children))(*[by_library(c) for c in children])
    joint, error = Massprops(), Error()
    succeed(lib.sy_massprops_combine(bodies, len(children), byref(joint), byref(error)), error)
    frame = Frame(Mat3(Mat3.m_type(*turn.ravel())), Vec3(*at))
    return lib.sy_massprops_place(byref(joint), byref(frame))


def by_kdl(tree):
    if is_leaf(tree):
        mass, cg, j = tree
        own = kdl.RotationalInertia(j[0, 0], j[1, 1], j[2, 2], j[0, 1], j[0, 2], j[1, 2])
        return kdl.RigidBodyInertia(mass, kdl.Vector(*cg), own)
    turn, at, children = tree
    total = kdl.RigidBodyInertia.Zero()
    for child in children:
        total = total + by_kdl(child)
    return kdl.Frame(kdl.Rotation(*turn.ravel()), kdl.Vector(*at)) * total


def leaves(tree, turn=np.eye(3), at=np.zeros(3)):
    if is_leaf(tree):
        mass, cg, j = tree
        yield mass, turn @ cg + at, turn @ j @ turn.T
        return
    for child in tree[2]:
        yield from leaves(child, turn @ tree[0], turn @ tree[1] + at)


def about(mass, d, j):
    return j + mass * (d @ d * np.eye(3) - np.outer(d, d))


def by_numpy(tree):
    parts = list(leaves(tree))
    mass = sum(p[0] for p in parts)
    cg = sum(p[0] * p[1] for p in parts) / mass
    return mass, cg, sum(about(m, r - cg, j) for m, r, j in parts)


def arrays(body):
    j = body.inertia
    return (body.mass, np.array([body.cg.x, body.cg.y, body.cg.z]),
            np.array([[j.xx, j.xy, j.xz], [j.xy, j.yy, j.yz], [j.xz, j.yz, j.zz]]))


# All tolerances: 2^-52 times the roundings on the way (four levels of up to five additions and a turn of three), relative to
# the size of what is summed. KDL keeps its tensors about the origin, so its own moments are of size m (|cg|^2 + k^2).
ROUNDING = 32 * 2.0 ** -52

for n in range(300):
    tree = random_tree(4)
    mass, cg, j = arrays(by_library(tree))
    extent = max(np.linalg.norm(r) for _, r, _ in leaves(tree)) + 1
    mass_np, cg_np, j_np = by_numpy(tree)
    checks.near("mass, NumPy", abs(mass / mass_np - 1), ROUNDING)
    checks.near("cg, NumPy", np.abs(cg - cg_np).max(), ROUNDING * extent, n)
    checks.near("inertia about the cg, NumPy", np.abs(j - j_np).max(), ROUNDING * mass * extent ** 2, n)

    theirs = by_kdl(tree)
    about_origin = theirs.getRotationalInertia()
    columns = [about_origin * kdl.Vector(*axis) for axis in np.eye(3)]
    j_kdl = np.array([[c.x(), c.y(), c.z()] for c in columns]).T
    cg_kdl = np.array([theirs.getCOG().x(), theirs.getCOG().y(), theirs.getCOG().z()])
    checks.near("mass, KDL", abs(mass / theirs.getMass() - 1), ROUNDING)
    checks.near("cg, KDL", np.abs(cg - cg_kdl).max(), ROUNDING * extent, n)
    checks.near("inertia about the origin, KDL", np.abs(about(mass, cg, j) - j_kdl).max(),
                ROUNDING * mass * extent ** 2, n)

    body = by_library(tree)
    principal = lib.sy_massprops_principal(byref(body))
    checks.near("principal moments, LAPACK", np.abs(np.array(principal.value) - np.linalg.eigvalsh(j)).max(),
                ROUNDING * np.abs(j).max(), n)

    if not is_leaf(tree) and len(tree[2]) > 1:  # take the first branch out again
        turn, at, children = tree
        rest_np = by_numpy((turn, at, children[1:]))
        branch = by_library((turn, at, children[:1]))
        rest, error = Massprops(), Error()
        succeed(lib.sy_massprops_remove(byref(body), byref(branch), byref(rest), byref(error)), error)
        m_rest, cg_rest, j_rest = arrays(rest)
        blow_up = mass / m_rest  # what the whole's rounding means to the rest
        checks.near("remainder: cg, NumPy", np.abs(cg_rest - rest_np[1]).max(), ROUNDING * extent * blow_up, n)
        checks.near("remainder: inertia, NumPy", np.abs(j_rest - rest_np[2]).max(),
                    ROUNDING * mass * extent ** 2 * blow_up, n)


def random_vehicle():
    v = lib.sy_vehicle_default()
    v.axle_count = int(random.integers(2, 7))
    v.cross_share = random.uniform(0.42, 0.58)
    x, count = 0.0, 0
    for i in range(v.axle_count):
        track, axle = random.uniform(0.9, 1.9), v.axle[i]
        off = 0.1 * (random.random() < 0.5)  # half of the axles have unlike sides
        axle.x, axle.wheels = x, 2 if i == 1 or random.random() < 0.7 else 1
        for side in (1, -1) if axle.wheels == 2 else (0,):
            wheel = v.wheel[count]
            wheel.x, wheel.y, wheel.loaded_radius = x + side * off * random.random(), 0.5 * side * track, 0.3
            wheel.y += off * random.uniform(-1, 1)
            count += 1
        x -= random.uniform(0.8, 2.8)
    return v


for n in range(500):
    v = random_vehicle()
    gravity = np.array([random.uniform(-3, 3), random.uniform(-3, 3), random.uniform(-11, -8)])
    loadmap, error = Loadmap(), Error()
    succeed(lib.sy_loadmap_make(byref(v), Vec3(*gravity), byref(loadmap), byref(error)), error)
    wheels = [loadmap.wheel[i] for i in range(loadmap.wheel_count)]
    m, cg = random.uniform(300, 3000), np.array([random.uniform(-4, 1), random.uniform(-0.5, 0.5), random.uniform(0, 1)])
    q = np.array([m, *(m * cg)])
    ours = np.array([[loadmap.c[i][k] for k in range(4)] for i in range(loadmap.wheel_count)]) @ q
    weight = -m * gravity[2]
    acts_at = cg - gravity / gravity[2] * cg[2]  # where the line of gravity meets the ground
    rows = [[1.0] * len(wheels), [w.x for w in wheels], [w.y for w in wheels]]
    right = [weight, weight * acts_at[0], weight * acts_at[1]]
    layout = [v.axle[i].wheels for i in range(v.axle_count)]
    if layout == [2, 2]:
        rows.append([0.0, 1.0, 1.0, 0.0])
        right.append(v.cross_share * weight)
    name = "three wheels" if len(wheels) == 3 else "four wheels, cross weight" if layout == [2, 2] else "least norm"
    condition = np.linalg.cond(np.array(rows))
    theirs = np.linalg.pinv(np.array(rows)) @ right  # exactly determined or least norm, as the rows are
    checks.near(f"wheel loads, {name}, NumPy", np.abs(ours - theirs).max(), 2.0 ** -48 * condition * np.abs(right).max(), n)

checks.finish()
