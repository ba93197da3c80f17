"""A car on its springs as a dense linear system of eight coordinates: heave, pitch, roll at both ends, four hubs.

One potential: springs, bars, chassis and tyres, the work of the steady force, and the weight's fall as it leans, to second order.
Each set of touching wheels is one linear system; the set that breaks none of its own conditions is the answer. The force acts on masses
where they stand before they are pushed: the same systems are solved first with what presses straight down alone.
"""
import itertools

import numpy as np

G = 9.80665


class Car:
    """Two axles of two wheels; body parts at random places, wheels on their axle lines. unlike: each wheel elsewhere and with its own numbers."""

    def __init__(self, random, unlike=False):
        u = random.uniform
        self.length = u(2.0, 2.9)
        self.track, self.centre = u(1.2, 1.6, 2), u(0.0, 0.2, 2)
        self.spring, self.ratio, self.tyre, self.bar = u(3e4, 9e4, 2), u(0.7, 1.0, 2), u(1.5e5, 3e5, 2), u(0, 2e4, 2)
        self.torsion = None if random.random() < 0.3 else u(2e3, 2e4)  # N m/deg
        self.parts = np.column_stack([u(60, 260, 4), -u(0.2, 0.8, 4) * self.length, u(-0.2, 0.2, 4), u(0.2, 0.6, 4)])
        self.wheel_mass, self.radius = u(18, 40, 2), u(0.27, 0.31, 2)
        self.x = np.array([0, 0, -self.length, -self.length])
        self.axle, self.side = np.array([0, 0, 1, 1]), np.array([1, -1, 1, -1])
        self.half = self.track[self.axle] / 2
        self.own = {name: getattr(self, name)[self.axle] for name in ("spring", "ratio", "tyre", "radius")}  # by wheel
        self.unlike = unlike
        if unlike:
            self.half = self.half + u(-0.05, 0.05, 4)
            self.x = self.x + self.side * np.repeat(np.sign(u(-1, 1, 2)), 2) * u(0, 0.05, 4)  # the axle line stays between its wheels
            self.own = {name: value * u(0.8, 1.2, 4) for name, value in self.own.items()}
            self.track = self.half.reshape(2, 2).sum(1)
        self.y = self.side * self.half
        self.k = self.own["spring"] * self.own["ratio"] ** 2
        self.stiffness = self.elastic()
        self.draw()

    def draw(self):
        """As it is now is how it is drawn: level loads with half the weight on each diagonal."""
        self.put(self.parts)
        rows = np.array([np.ones(4), self.x, self.y, [0, 1, 1, 0]])
        self.drawn = np.linalg.solve(rows, self.mass * G * np.array([1, self.cg[0], self.cg[1], 0.5]))
        self.drawn_work = self.work((0, 0, -G))

    def put(self, parts):
        """Other masses on the body, rows of kg and place."""
        self.parts = parts
        m, px, py, pz = parts.T
        self.c = np.column_stack([1 + px / self.length, -px / self.length])
        wheels = self.wheel_mass[self.axle]
        self.mass = m.sum() + wheels.sum()
        self.cg = np.array([m @ px + wheels @ self.x, m @ py + wheels @ self.y, m @ pz + wheels @ self.own["radius"]]) / self.mass
        self.lean = np.array([(m * pz) @ self.c[:, k] - self.centre[k] * (m @ self.c[:, k]) for k in range(2)])
        self.under = np.array([self.centre[k] * (m @ self.c[:, k]) + self.wheel_mass[k] * self.own["radius"][2 * k:2 * k + 2].sum() for k in range(2)])

    def body(self, i):
        """Rise of the body over wheel i, by the eight coordinates."""
        row = np.zeros(8)
        near = 1 + self.x[i] / self.length
        row[:4] = 1, -self.x[i], self.y[i] * near, self.y[i] * (1 - near)
        return row

    def hub(self, k):
        """Roll of the hubs of an axle against the ground."""
        row = np.zeros(8)
        row[4 + 2 * k], row[5 + 2 * k] = 1 / self.track[k], -1 / self.track[k]
        row[1] = (self.x[2 * k] - self.x[2 * k + 1]) / self.track[k]  # one ahead of the other: pitch is no roll
        return row

    def elastic(self):
        k = np.zeros((8, 8))
        travel = [np.eye(8)[4 + i] - self.body(i) for i in range(4)]
        for i in range(4):
            k += self.k[i] * np.outer(travel[i], travel[i])
        for a in range(2):
            twist = travel[2 * a] - travel[2 * a + 1]
            k += self.bar[a] * np.outer(twist, twist)
        if self.torsion:
            twist = np.eye(8)[2] - np.eye(8)[3]
            k += np.degrees(self.torsion) * np.outer(twist, twist)
        return k

    def press(self, air):
        """Generalised forces of downforce (N) over each axle, on the centre line."""
        return np.array([-sum(air), -self.length * air[1]] + 6 * [0.0])

    def rises(self, down, air):
        """How much higher than drawn the halves of the body and the hubs of each axle stand, times their mass."""
        q = self.stand(self.stiffness, self.work((0, 0, down)) + self.press(air) - self.drawn_work, 3)[1]
        m, px = self.parts[:, 0], self.parts[:, 1]
        up = m * (q[0] - px * q[1])
        return [up @ self.c[:, k] for k in range(2)], [self.wheel_mass[k] * (q[4 + 2 * k] + q[5 + 2 * k]) for k in range(2)]

    def work(self, gravity, rises=((0, 0), (0, 0))):
        """Generalised forces of the steady force, first order."""
        gx, gy, gz = gravity
        body, hubs = rises
        m, px, py, pz = self.parts.T
        q = np.zeros(8)
        q[0], q[1] = gz * m.sum(), -gz * (m @ px) + gx * (m @ pz)
        for k in range(2):
            q[2 + k] += gz * ((m * py) @ self.c[:, k])
            roll = np.eye(8)[2 + k]
            q -= gy * ((self.lean[k] + body[k]) * roll + (self.under[k] + hubs[k]) * self.hub(k))  # left side up goes to the right
            q[1] += gx * (body[k] + hubs[k])
        for i in range(4):
            q[4 + i] += gz * self.wheel_mass[self.axle[i]]
            q[1] += gx * self.wheel_mass[self.axle[i]] * self.own["radius"][i]  # through the body, as pitch is described
        return q

    def solve(self, gravity, least=2, air=(0, 0)):
        """Loads, coordinates and which wheels touch; None when it goes over."""
        body, hubs = rises = self.rises(gravity[2], air)
        k = self.stiffness.copy()
        for a in range(2):
            roll = np.eye(8)[2 + a]
            k += gravity[2] * ((self.lean[a] + body[a]) * np.outer(roll, roll)
                               + (self.under[a] + hubs[a]) * np.outer(self.hub(a), self.hub(a)))
        return self.stand(k, self.work(gravity, rises) + self.press(air) - self.drawn_work, least)

    def stand(self, k, push, least):
        """The same for a stiffness without tyres and a push."""
        free = np.eye(8)
        if not self.torsion:  # one roll
            free = np.delete(free, 3, axis=1)
            free[3, 2] = 1
        for count in range(4, least - 1, -1):
            for touch in itertools.combinations(range(4), count):
                stiff, force = k.copy(), push.copy()
                for i in range(4):
                    if i in touch:
                        stiff[4 + i, 4 + i] += self.own["tyre"][i]
                    else:
                        force[4 + i] -= self.drawn[i]
                reduced = free.T @ stiff @ free
                values = np.linalg.eigvalsh(reduced)
                if values[0] <= 1e-12 * values[-1]:  # neutral within rounding, or falling over
                    continue
                q = free @ np.linalg.solve(reduced, free.T @ force)
                load = np.array([self.drawn[i] - self.own["tyre"][i] * q[4 + i] for i in range(4)])
                if all((load[i] > 0) == (i in touch) for i in range(4)):
                    return np.where(load > 0, load, 0), q, touch
        return None

    def balance(self, gravity, q, air=(0, 0)):
        """Sum and moments of the loads about the ground, from the masses, how far they have leaned and how high they stood."""
        gx, gy, gz = gravity
        body, hubs = self.rises(gz, air)
        gone = sum((self.lean[k] + body[k]) * q[2 + k] + (self.under[k] + hubs[k]) * (self.hub(k) @ q) for k in range(2))
        x, y, z = self.cg * self.mass
        z += sum(body) + sum(hubs)
        return np.array([-gz * self.mass + sum(air), -gz * x + gx * z - self.length * air[1], -gz * (y - gone) + gy * z])

    def lua(self, body, more=()):
        """As a Lua expression: rows of kg and place on the body, and further parts."""
        def numbers(spring, ratio, tyre, radius):
            return (f'loaded_radius = {radius * 1e3!r}, spring_rate = {spring / 1e3!r}, motion_ratio = {ratio!r}, '
                    f'tyre_rate = {tyre / 1e3!r}')

        def side(w):
            own = [self.own[name][w] for name in ("spring", "ratio", "tyre", "radius")]
            return f'{{at = {-self.x[w] * 1e3!r}, half_track = {self.half[w] * 1e3!r}, {numbers(*own)}}}'

        def axle(i):
            sides = f', left = {side(2 * i)}, right = {side(2 * i + 1)}' if self.unlike else f', track = {self.track[i] * 1e3!r}'
            return (f'{{name = "{"front" if i == 0 else "rear"}", at = {i * self.length * 1e3!r}, '
                    f'{numbers(self.spring[i], self.ratio[i], self.tyre[i], self.radius[i])}, bar_rate = {self.bar[i] / 1e3!r}, '
                    f'roll_centre = {self.centre[i] * 1e3!r}{sides}}}')
        parts = [f'sy.part "p{i}" {{mass = {m!r}, at = {{{-x * 1e3!r}, {-y * 1e3!r}, {z * 1e3!r}}}}}'
                 for i, (m, x, y, z) in enumerate(body.tolist())]
        if self.unlike:
            parts.extend(f'sy.part "w{w}" {{mass = {self.wheel_mass[self.axle[w]]!r}, unsprung = "{("lf", "rf", "lr", "rr")[w]}", '
                         f'at = {{{-self.x[w] * 1e3!r}, {-self.y[w] * 1e3!r}, {self.own["radius"][w] * 1e3!r}}}}}' for w in range(4))
        for i in range(0 if self.unlike else 2):
            parts.append(f'sy.part "w{i}" {{pair = true, mass = {self.wheel_mass[i]!r}, unsprung = "{("front", "rear")[i]}", '
                         f'at = {{{i * self.length * 1e3!r}, {self.track[i] * 500!r}, {self.radius[i] * 1e3!r}}}}}')
        parts.extend(more)
        chassis = f"chassis = {{torsion = {self.torsion!r}}}, " if self.torsion else ""
        return (f'sy.car{{title = "Random", axes = {{x = "back", y = "right", z = "up"}}, axles = {{{axle(0)}, {axle(1)}}}, {chassis}'
                f'parts = {{{", ".join(parts)}}}}}').replace("np.float64(", "(")
