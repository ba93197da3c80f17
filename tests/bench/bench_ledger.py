"""One part of a car moved, and what follows from it: the ledger and its trials against NumPy, which works everything out anew.

NumPy keeps the car as columns, changes one x, and forms the answers with as few whole-array operations as there are. Scripts' own
times (moves and trials from Lua, start-up) are measured in bench_*.lua.
"""
import os
import sys

import numpy as np

from rounds import Program, head, medians, python_job, row

build = sys.argv[1]
WHEELBASE, TRACK, G = 2.4, 1.45, 9.80665


class Car:
    def __init__(self, n):
        random = np.random.default_rng(n)
        self.n = n
        self.m = random.uniform(0.05, 8, n)
        self.r = np.round(random.uniform([[-2.5], [-0.7], [0.1]], [[0.3], [0.7], [0.9]], (3, n)), 6)
        self.izz = self.m * random.uniform(0.0005, 0.05, n)
        self.m_sd, self.r_sd = self.m * random.uniform(0.002, 0.1, n), random.uniform(0.001, 0.02, (3, n))
        self.ones_r = np.vstack([np.ones(n), self.r])  # 1 x y z, resident as rows
        self.izz_sum = self.izz.sum()
        # loads lf rf lr rr = B (W, W x, W y) with equal tracks and a cross weight of one half
        self.b = G * np.array([[0.5, 0.5 / WHEELBASE, 0.5 / TRACK], [0.5, 0.5 / WHEELBASE, -0.5 / TRACK],
                               [0, -0.5 / WHEELBASE, 0.5 / TRACK], [0, -0.5 / WHEELBASE, -0.5 / TRACK]])
        self.next = 0

    def columns(self):
        return [self.m, *self.r, self.izz, self.m_sd, *self.r_sd]

    def moved(self, i):
        """Mass, cg, yaw inertia and wheel loads with part i 50 mm forward; the car is put back."""
        a = self.ones_r
        kept = a[1, i]
        a[1, i] = kept + 0.05
        q = a @ self.m
        xy = a[1:3]
        second = np.einsum("i,ki,ki", self.m, xy, xy)
        a[1, i] = kept
        cg = q[1:] / q[0]
        inertia = self.izz_sum + second - q[1] * cg[0] - q[2] * cg[1]
        return q[0], cg, inertia, self.b @ q[:3]

    def what_if(self):
        self.next = (self.next + 37) % self.n
        return self.moved(self.next)

    def ten_sums_and_covariance(self):
        """What a ledger's totals hold, for one part moved."""
        self.next = (self.next + 37) % self.n
        a, i = self.ones_r, self.next
        kept = a[1, i]
        a[1, i] = kept + 0.05
        sums = (a * self.m) @ a.T
        covariance = (a * self.m_sd ** 2) @ a.T
        covariance[1:, 1:] += np.diag(((self.m * self.r_sd) ** 2).sum(axis=1))
        a[1, i] = kept
        return sums, covariance

    def yaw_inertia_variance(self):
        """First order: dJ/dm_i = k_i + |d_i|^2, dJ/dx_i = 2 m_i d_i (JCGM 100:2008, 5.1.2); inertias stated, not scaled."""
        q = self.ones_r @ self.m
        d = self.r[:2] - (q[1:3] / q[0])[:, None]
        by_mass = np.einsum("ki,ki->i", d, d) * self.m_sd
        by_place = 2 * self.m * d * self.r_sd[:2]
        return by_mass @ by_mass + np.einsum("ki,ki", by_place, by_place)


head()
bad = False
for n in (300, 3000):
    car = Car(n)
    file = os.path.join(build, f"bench_ledger_{n}.bin")
    np.concatenate([[n, WHEELBASE, TRACK], *car.columns()]).astype("<f8").tofile(file)
    program = Program(build, "bench_ledger", file)
    ours = [float(v) for v in program.line().split()]
    bytes_a_part = float(program.line())
    mass, cg, inertia, loads = car.moved(7)
    theirs = [mass, *cg, inertia, *loads, car.yaw_inertia_variance()]
    for got, want in zip(ours, theirs):
        if not abs(got - want) <= 1e-11 * max(abs(want), 1):  # sums over n parts, and an inertia that is a difference of them
            print(f"disagreement at n = {n}: {got!r}, NumPy {want!r}")
            bad = True
    jobs = {name: program.job(name) for name in ("what_if", "what_if_from_ledger", "move", "uncertainty")}
    jobs["NumPy what_if"] = python_job(car.what_if)
    jobs["NumPy sums"] = python_job(car.ten_sums_and_covariance)
    jobs["NumPy uncertainty"] = python_job(car.yaw_inertia_variance)
    t = medians(jobs)
    row("what-if: part moved, eleven answers", n, t["what_if"], t["NumPy what_if"], "NumPy, all anew")
    row("the same, its sums asked from the ledger", n, t["what_if_from_ledger"], t["NumPy what_if"], "NumPy, all anew")
    row("ledger: move, totals, release", n, t["move"], t["NumPy sums"], "NumPy, the same sums anew")
    row("standard uncertainty of the yaw inertia", n, t["uncertainty"], t["NumPy uncertainty"], "NumPy; asked: 1 x")
    if n == 300:
        million = medians({"million": program.job("million")}, 3)["million"]
        row("ledger of a million: build, release; a part", 1000000, million)
        print(f"{'':44} {bytes_a_part:.0f} bytes a part")
    program.close()
    os.remove(file)
sys.exit(bad)
