"""Total mass, cg and inertia of a tree of placed parts, all of it worked out anew: sy_rollup against NumPy.

The tree: n parts, eight to a group, groups eight to a group, twice more; every node turned and shifted. NumPy works level by level
in two forms, on stacked 4 x 4 matrices (few calls) and on columns in place, in pieces that stay in the cache (few passes over
memory); the faster one is the baseline. Asked: 40, 20 and 8 times that for 300, 10,000 and a million parts. Ours reads blocks of
eight nodes (rollup.h), NumPy stacks or columns: each laid out before the clock runs.
"""
import os
import sys

import numpy as np

from rounds import Program, head, medians, python_job, row

build = sys.argv[1]
FAN, LEVELS = 8, 4


def rotations(random, n):
    q = random.normal(size=(4, n))
    w, x, y, z = q / np.linalg.norm(q, axis=0)
    return np.array([1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y),
                     2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x),
                     2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)])


def random_tree(n):
    random = np.random.default_rng(n)
    mass, cg = random.uniform(0.1, 40, n), random.uniform(-0.5, 0.5, (3, n))
    a, b, c = random.uniform(0.01, 0.2, (3, n))
    inertia = np.array([b + c, a + c, a + b, 0 * a, 0 * a, 0 * a]) * mass / 12
    placements = []
    for _ in range(LEVELS):
        placements.append((rotations(random, n), random.uniform(-1, 1, (3, n))))
        n = -(-n // FAN)
    return mass, cg, inertia, placements


def family_sums(values):
    """Sums over runs of eight along the last axis."""
    n = values.shape[-1]
    full = n // FAN * FAN
    sums = np.empty(values.shape[:-1] + (-(-n // FAN),))
    np.add.reduce(values[..., :full].reshape(values.shape[:-1] + (-1, FAN)), axis=-1, out=sums[..., :full // FAN])
    if full < n:
        np.add.reduce(values[..., full:], axis=-1, out=sums[..., -1])
    return sums


def body_of(m, f, about_origin):
    cg = f / m
    return np.array([m, *cg, *(np.array(about_origin) - m * np.array(
        [cg[1] ** 2 + cg[2] ** 2, cg[0] ** 2 + cg[2] ** 2, cg[0] ** 2 + cg[1] ** 2, -cg[0] * cg[1], -cg[0] * cg[2],
         -cg[1] * cg[2]]))])


class Stacked:
    """A body as the 4 x 4 matrix [[sum m r r^T, sum m r], [., m]], placed by T P T^T."""

    def __init__(self, tree):
        self.mass, cg, inertia, placements = tree
        xx, yy, zz, xy, xz, yz = inertia
        half = (xx + yy + zz) / 2
        self.own = np.moveaxis(np.array([[half - xx, -xy, -xz], [-xy, half - yy, -yz], [-xz, -yz, half - zz]]), 2, 0).copy()
        self.point = np.concatenate([cg, np.ones((1, len(self.mass)))]).T.copy()
        self.placements = []
        for turn, at in placements:
            t = np.zeros((len(at[0]), 4, 4))
            t[:, :3, :3], t[:, :3, 3], t[:, 3, 3] = turn.T.reshape(-1, 3, 3), at.T, 1
            self.placements.append((t, np.swapaxes(t, 1, 2).copy()))

    def __call__(self):
        p = (self.mass[:, None] * self.point)[:, :, None] * self.point[:, None, :]
        p[:, :3, :3] += self.own
        for t, transposed in self.placements:
            p = t @ p @ transposed
            n = len(p)
            full = n // FAN * FAN
            sums = np.add.reduce(p[:full].reshape(-1, FAN, 4, 4), axis=1)
            p = sums if full == n else np.concatenate([sums, np.add.reduce(p[full:], axis=0)[None]])
        p = np.add.reduce(p, axis=0)
        s = p[:3, :3]
        trace = s[0, 0] + s[1, 1] + s[2, 2]
        return body_of(p[3, 3], p[:3, 3], [trace - s[0, 0], trace - s[1, 1], trace - s[2, 2], -s[0, 1], -s[0, 2], -s[1, 2]])


class Columns:
    """m, m r and the tensor about the origin as ten columns; every operation in place on pieces of 2048."""

    PIECE = 2048

    def __init__(self, tree):
        self.mass, self.cg, self.inertia, self.placements = tree
        piece = min(self.PIECE, len(self.mass))
        self.s, self.out, self.t = np.empty((10, piece)), np.empty((10, piece)), np.empty((12, piece))

    def bodies(self, a, b):
        s, t = self.s[:, :b - a], self.t[:, :b - a]
        s[0] = self.mass[a:b]
        np.multiply(self.mass[a:b], self.cg[:, a:b], out=s[1:4])
        np.multiply(s[1:4], self.cg[:, a:b], out=t[:3])
        np.add.reduce(t[:3], axis=0, out=t[3])
        np.subtract(t[3], t[:3], out=s[4:7])
        s[4:7] += self.inertia[:3, a:b]
        np.multiply(s[1], self.cg[1:, a:b], out=t[:2])
        np.multiply(s[2], self.cg[2, a:b], out=t[2])
        np.subtract(self.inertia[3:, a:b], t[:3], out=s[7:])
        return s

    def place(self, s, turn, at):
        n = s.shape[1]
        out, t = self.out[:, :n], self.t[:, :n]
        r = turn.reshape(3, 3, n)
        out[0] = s[0]
        g, h, row_ = out[1:4], t[3:6], t[6:9]
        np.multiply(r[:, 0], s[1], out=g)
        for k in (1, 2):
            np.multiply(r[:, k], s[1 + k], out=t[:3])
            g += t[:3]
        tensor = ((s[4], s[7], s[8]), (s[7], s[5], s[9]), (s[8], s[9], s[6]))
        for i, entries in ((0, ((0, 4), (1, 7), (2, 8))), (1, ((1, 5), (2, 9))), (2, ((2, 6),))):
            for j in range(3):  # row i of R J
                np.multiply(r[i, 0], tensor[0][j], out=row_[j])
                for k in (1, 2):
                    np.multiply(r[i, k], tensor[k][j], out=t[0])
                    row_[j] += t[0]
            for column, index in entries:
                np.multiply(row_, r[column], out=t[:3])
                np.add.reduce(t[:3], axis=0, out=out[index])
        np.multiply(s[0], at, out=t[:3])  # m t
        np.multiply(t[:3], 0.5, out=h)
        h += g
        g += t[:3]
        np.multiply(h, at, out=t[:3])
        t[:3] *= 2
        np.add.reduce(t[:3], axis=0, out=t[9])
        np.subtract(t[9], t[:3], out=t[:3])
        out[4:7] += t[:3]
        for index, i, j in ((7, 0, 1), (8, 0, 2), (9, 1, 2)):
            np.multiply(h[i], at[j], out=t[0])
            np.multiply(at[i], h[j], out=t[1])
            t[0] += t[1]
            out[index] -= t[0]
        return out

    def __call__(self):
        sums = None
        for turn, at in self.placements:
            n = at.shape[1]
            above = np.empty((10, -(-n // FAN)))
            for a in range(0, n, self.PIECE):
                b = min(a + self.PIECE, n)
                s = self.bodies(a, b) if sums is None else sums[:, a:b]
                above[:, a // FAN:-(-b // FAN)] = family_sums(self.place(s, turn[:, a:b], at[:, a:b]))
            sums = above
        total = np.add.reduce(sums, axis=1)
        return body_of(total[0], total[1:4], total[4:])


head()
bad = False
for n, asked in ((300, 40), (10000, 20), (1000000, 8)):
    tree = random_tree(n)
    mass, cg, inertia, placements = tree
    file = os.path.join(build, f"bench_rollup_{n}.bin")
    with open(file, "wb") as out:
        for values in [np.array([float(n)]), mass, cg, inertia] + [v for p in placements for v in p]:
            values.astype("<f8").tofile(out)
    program = Program(build, "bench_rollup", file)
    ours = np.array([float(v) for v in program.line().split()])
    forms = {"NumPy stacked": Stacked(tree), "NumPy columns": Columns(tree)}
    scale = np.array([ours[0]] + [4.0] * 3 + [ours[0] * 16] * 6)  # mass, reach, mass x reach squared
    for name, form in forms.items():
        miss = np.abs((form() - ours) / scale).max()
        if not miss < 1e-12:  # a few hundred roundings of sums over n parts
            print(f"{name} disagrees at n = {n}: {miss:.2g}")
            bad = True
    jobs = {name: python_job(form) for name, form in forms.items()}
    jobs["ours"] = program.job("rollup")
    times = medians(jobs, 15 if n < 1000000 else 7)
    best = min(forms, key=times.get)
    row("roll-up of a tree", n, times["ours"], times[best], f"{best}; asked: {asked} x")
    program.close()
    os.remove(file)
sys.exit(bad)
