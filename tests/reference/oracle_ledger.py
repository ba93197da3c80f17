"""Mass, cg and inertia of random ledgers against Orocos KDL and NumPy, as built and after edits.

KDL (the kinematics and dynamics library of robotics) joins and places rigid-body inertias by its own operators; NumPy adds
J + m (|d|^2 1 - d d^T) about the joint cg, part by part.
"""
import numpy as np
import PyKDL as kdl

from support import ledger as lg
from support.library import Checks, load

lib = lg.declare(load())
checks = Checks()
random = np.random.default_rng(8855)


def by_kdl(group):
    total = kdl.RigidBodyInertia.Zero()
    for child in group.children:
        if child.not_aboard:
            continue
        if isinstance(child, lg.Group):
            total = total + kdl.Frame(kdl.Rotation(*child.turn.ravel()), kdl.Vector(*child.at)) * by_kdl(child)
            continue
        j = child.inertia
        own = kdl.RotationalInertia(j[0, 0], j[1, 1], j[2, 2], j[0, 1], j[0, 2], j[1, 2])
        for _ in range(child.count):
            total = total + kdl.RigidBodyInertia(child.mass, kdl.Vector(*child.cg), own)
    return total


def by_numpy(group):
    bodies = [(p.count * p.mass, turn @ p.cg + at, p.count * (turn @ p.inertia @ turn.T)) for p, _, turn, at in lg.leaves(group)]
    mass = sum(b[0] for b in bodies)
    cg = sum(b[0] * b[1] for b in bodies) / mass
    about_cg = sum(j + m * ((r - cg) @ (r - cg) * np.eye(3) - np.outer(r - cg, r - cg)) for m, r, j in bodies)
    return mass, cg, about_cg


def by_library(ledger):
    m, fx, fy, fz, *second = lg.ten(ledger.totals().all)
    cg = np.array([fx, fy, fz]) / m
    s = np.array([[second[0], second[3], second[4]], [second[3], second[1], second[5]], [second[4], second[5], second[2]]])
    about_cg = s - m * np.outer(cg, cg)
    return m, cg, np.trace(about_cg) * np.eye(3) - about_cg, np.trace(s) * np.eye(3) - s


# 1e-12, relative to the whole mass, to the largest distance of a part from the origin and to mass times its square: four levels
# of groups, each with a turn (3 roundings an entry), a shift and a few tens of additions, are some hundred roundings of 1.1e-16 in
# the worst case, and turned places are kept to 0.5e-12 m each, which averages out over parts.
TOLERANCE = 1e-12


def compare(tree, ledger, kind):
    parts = list(lg.leaves(tree))
    if not parts:
        return
    extent = max(np.linalg.norm(turn @ p.cg + at) for p, _, turn, at in parts) + 1
    mass, cg, about_cg, about_origin = by_library(ledger)
    mass_np, cg_np, about_cg_np = by_numpy(tree)
    checks.near(f"{kind}: mass, NumPy", abs(mass / mass_np - 1), TOLERANCE)
    checks.near(f"{kind}: cg, NumPy", np.abs(cg - cg_np).max() / extent, TOLERANCE)
    checks.near(f"{kind}: inertia about the cg, NumPy", np.abs(about_cg - about_cg_np).max() / (mass * extent ** 2), TOLERANCE)
    theirs = by_kdl(tree)
    own = theirs.getRotationalInertia()  # about the origin
    columns = [own * kdl.Vector(*axis) for axis in np.eye(3)]
    about_kdl = np.array([[c.x(), c.y(), c.z()] for c in columns]).T
    cog = theirs.getCOG()
    checks.near(f"{kind}: mass, KDL", abs(mass / theirs.getMass() - 1), TOLERANCE)
    checks.near(f"{kind}: cg, KDL", np.abs(cg - [cog.x(), cog.y(), cog.z()]).max() / extent, TOLERANCE)
    checks.near(f"{kind}: inertia about the origin, KDL", np.abs(about_origin - about_kdl).max() / (mass * extent ** 2), TOLERANCE)


for n in range(150):
    tree = lg.random_group(random, int(random.integers(1, 40)), 3)
    ledger = lg.Ledger(lib, tree)
    compare(tree, ledger, "built")
    for _ in range(10):
        tree, ledger = lg.random_edit(tree, ledger, random)
    compare(tree, ledger, "edited")

checks.finish()
