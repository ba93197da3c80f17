"""The car of many_parts.lua in columns, and its answers by NumPy."""
import numpy as np

N, BUSY = 300, 76  # parts; the one that is moved, counted from 0
WHEELBASE, TRACK = 2.4, 1.45
GOLDEN, PLASTIC = 0.6180339887498949, 0.7548776662466927


class Car:
    """The car as columns, in kg, m and the vehicle's frame."""

    def __init__(self):
        i = np.arange(1, N + 1)

        def spread(k, low, high):
            return low + (high - low) * ((i * GOLDEN + k * PLASTIC) % 1)
        self.m, self.m_sd = spread(1, 0.05, 8), spread(2, 0.001, 0.4)
        self.r = np.array([-(spread(3, -300, 2500) // 1), -(spread(4, -700, 700) // 1), spread(5, 100, 900) // 1]) / 1e3
        self.r_sd = np.full((3, N), 5e-3 / np.sqrt(3))
        aboard = i != 1  # the state of the script leaves out part 1
        self.m, self.m_sd = self.m * aboard, self.m_sd * aboard
        box = np.where(i % 3 == 0, (0.3 ** 2 + 0.2 ** 2) / 12, 0)  # of yaw, a kilogram
        self.own = box
        # loads lf rf lr rr = B (m, m x, m y): tracks 1450 and 1460 taken as their mean, cross weight one half
        self.b = np.array([[0.5, 0.5 / WHEELBASE, 0.5 / TRACK], [0.5, 0.5 / WHEELBASE, -0.5 / TRACK],
                           [0, -0.5 / WHEELBASE, 0.5 / TRACK], [0, -0.5 / WHEELBASE, -0.5 / TRACK]])
        self.distance = 0

    def answers(self, x):
        y, z = self.r[1], self.r[2]
        mass = self.m.sum()
        first = np.array([self.m @ x, self.m @ y, self.m @ z])
        cg = first / mass
        yaw = self.m @ (x * x + y * y + self.own) - (first[0] ** 2 + first[1] ** 2) / mass
        return mass, cg, yaw, self.b @ (mass, first[0], first[1])

    def uncertainties(self, x, mass, cg):
        """Standard uncertainties of mass, CG and loads: JCGM 100:2008, 5.1.2, written out for sums."""
        r = np.array([x, self.r[1], self.r[2]])
        of_cg = np.sqrt((((r - cg[:, None]) * self.m_sd) ** 2).sum(axis=1) + ((self.m * self.r_sd) ** 2).sum(axis=1)) / mass
        by_mass = self.b @ np.array([np.ones(N), r[0], r[1]]) * self.m_sd
        by_place = self.b[:, 1:, None] * (self.m * self.r_sd[:2])
        return np.sqrt(self.m_sd @ self.m_sd), of_cg, np.sqrt((by_mass ** 2).sum(axis=1) + (by_place ** 2).sum(axis=(1, 2)))

    def move_balance(self):
        self.distance = self.distance % 90 + 1
        x = self.r[0].copy()
        x[BUSY] -= self.distance / 1e3
        mass, cg, yaw, loads = self.answers(x)
        return mass, cg, yaw, loads, self.uncertainties(x, mass, cg)

    def trial(self):
        self.distance = self.distance % 90 + 1
        x = self.r[0].copy()
        x[90:105] -= self.distance / 1e3
        return self.answers(x)
