"""Liquid that follows the car's attitude, for random cars with one leaning box of liquid.

Standing, also on uneven pads: SciPy minimises one energy over eight coordinates, springs, tyres and weights, and the potential of the
liquid, which for each attitude lies as low as it can. The library instead repeats: attitude, centre of the liquid, loads.
Cornering and braking: the linear system of support/sprung_car.py with the liquid as so many point masses where it lies, repeated, and a
balance of moments that knows no springs. The liquid is cut by Delaunay tetrahedra of the wet corners (SciPy), summed by a rule
that is exact for second moments; its level is found by bisection. Nothing of that is in the library.
"""
import itertools

import numpy as np
from scipy.optimize import brentq, minimize
from scipy.spatial import Delaunay

from support.ask import rows
from support.library import Checks
from support.sprung_car import Car, G

random = np.random.default_rng(1912)
checks = Checks()

CORNERS = np.array(list(itertools.product((-0.5, 0.5), repeat=3)))
EDGES = [(i, j) for i in range(8) for j in range(i) if np.abs(CORNERS[i] - CORNERS[j]).sum() == 1]
# four points of a tetrahedron that integrate quadratics exactly: P. Hammer, A. Stroud, Numerical Integration over Simplexes,
# Mathematical Tables and Other Aids to Computation 10 (1956), from memory; the check of S_xy below would show a slip
NEAR, FAR = (5 + 3 * np.sqrt(5)) / 20, (5 - np.sqrt(5)) / 20
RULE = np.full((4, 4), FAR) + (NEAR - FAR) * np.eye(4)


def turn(roll, pitch, yaw):
    c, s = np.cos([roll, pitch, yaw]), np.sin([roll, pitch, yaw])
    rx = np.array([[1, 0, 0], [0, c[0], -s[0]], [0, s[0], c[0]]])
    ry = np.array([[c[1], 0, s[1]], [0, 1, 0], [-s[1], 0, c[1]]])
    rz = np.array([[c[2], -s[2], 0], [s[2], c[2], 0], [0, 0, 1]])
    return rz @ ry @ rx


class Tank:
    """A box in the vehicle, leaning, part full; its liquid as point masses for a direction against gravity."""

    def __init__(self, length):
        u = random.uniform
        self.size, self.at = u(0.15, 0.8, 3), np.array([-u(0.1, 0.9) * length, u(-0.2, 0.2), u(0.25, 0.5)])
        self.angles = np.radians(u(-20, 20, 3))
        self.corners = self.at + (CORNERS * self.size) @ turn(*self.angles).T
        self.litres = np.prod(self.size) * u(0.15, 0.85) * 1e3
        self.density = u(0.7, 1.1)
        self.mass = self.litres * self.density

    def wet(self, up, level):
        height = self.corners @ up - level
        points = [self.corners[i] for i in range(8) if height[i] <= 0]
        for i, j in EDGES:
            if height[i] * height[j] < 0:
                points.append((height[i] * self.corners[j] - height[j] * self.corners[i]) / (height[i] - height[j]))
        points = np.array(points)
        if len(points) < 4:
            return 0.0, None, None
        cells = points[Delaunay(points).simplices]
        volume = np.abs(np.linalg.det(cells[:, 1:] - cells[:, :1])) / 6
        return volume.sum(), cells, volume

    def liquid(self, up):
        up = up / np.linalg.norm(up)
        heights = np.sort(self.corners @ up)
        level = brentq(lambda d: self.wet(up, d)[0] - self.litres / 1e3, heights[0] + 1e-9, heights[-1] - 1e-9, xtol=1e-15, rtol=1e-14)
        volume, cells, part = self.wet(up, level)
        points = np.einsum("rk,ckx->crx", RULE, cells).reshape(-1, 3)
        return np.column_stack([np.repeat(part, 4) * self.mass / volume / 4, points])

    def lua(self):
        deg = np.degrees(self.angles)
        at, size = self.at * 1e3, self.size * 1e3
        return (f'sy.tank "fuel" {{shape = sy.box {{{size[0]!r}, {size[1]!r}, {size[2]!r}}}, at = {{{-at[0]!r}, {-at[1]!r}, {at[2]!r}}}, '
                f'density = {self.density!r}, fill = {self.litres!r}, '
                f'turned = {{left_up = {deg[0]!r}, nose_down = {deg[1]!r}, nose_left = {deg[2]!r}}}}}').replace("np.float64(", "(")


def centre(points):
    return points[:, 0] @ points[:, 1:] / points[:, 0].sum()


def up_in_body(gravity, tank, car, q):
    """Against gravity and inertia, in the body: turned back by the pitch, and by the roll where the liquid was filed."""
    c = 1 + tank.filed[0] / car.length
    w = np.array([c * q[2] + (1 - c) * q[3], q[1], 0])
    up = -np.array(gravity)
    return up - np.cross(w, up)


cars = []
while len(cars) < 40:
    car = Car(random)
    car.tank = Tank(car.length)
    car.solid = car.parts
    level = car.tank.liquid(np.array([0, 0, 1.0]))
    car.tank.filed = centre(level)
    car.parts = np.vstack([car.solid, level])
    car.draw()
    car.ballast = np.array([random.uniform(20, 90), -random.uniform(0, 1) * car.length, random.uniform(-0.5, 0.5), 0.4])
    car.pads = random.uniform(-0.02, 0.02, 4)
    car.force = random.uniform(-0.4, 0.6), random.choice([-1, 1]) * random.uniform(0.05, 0.9)
    if min(car.drawn) > 0.12 * car.mass * G:
        cars.append(car)

lines = []
for car in cars:
    m, x, y, z = car.ballast.tolist()
    forward, left = car.force
    pads = ", ".join(f"{key} = {p * 1e3!r}" for key, p in zip(("lf", "rf", "lr", "rr"), car.pads.tolist()))
    fore = f"braking = {forward!r}" if forward > 0 else f"drive = {-forward!r}"
    side = f"right_turn = {left!r}" if left > 0 else f"left_turn = {-left!r}"
    lines.append(f'''do local c = {car.lua(car.solid, [car.tank.lua()])}
      local r = c:add(sy.part "ballast" {{mass = {m!r}, at = {{{-x * 1e3!r}, {-y * 1e3!r}, {z * 1e3!r}}}}}):corners{{pads = {{{pads}}}}}
      local t = c:transfer{{{fore}, {side}, bars = "connected"}}
      local l, k = r.liquids[1], t.liquids[1]
      say(r.lf, r.rf, r.lr, r.rr, -r.pitch, r.roll, r.twist, r.heights.front, l.forward, l.left, l.up,
        t.lf, t.rf, t.lr, t.rr, -t.pitch, t.roll, t.twist, k.forward, k.left, k.up, t.first_lift.g) end'''.replace("np.float64(", "("))
answers = rows(lines)
assert len(answers) == len(cars)


def standing(car):
    """The minimum of the energy, corner.h's first order in the angles: loads, coordinates."""
    tank = car.tank
    springs = car.stiffness - sum(car.bar[a] * np.outer(d, d) for a, d in (
        (a, np.eye(8)[4 + 2 * a] - car.body(2 * a) - np.eye(8)[5 + 2 * a] + car.body(2 * a + 1)) for a in range(2)))  # bars off
    tyre = car.tyre[car.axle]
    car.put(np.vstack([car.solid, car.ballast]))
    push = car.work((0, 0, -G)) - car.drawn_work

    def lies(q):
        return tank.liquid(up_in_body((0, 0, -G), tank, car, q))

    def rises(points, q):
        c = 1 + points[:, 1] / car.length
        return q[0] + (c * q[2] + (1 - c) * q[3]) * points[:, 2] - q[1] * points[:, 1]

    def energy(q):
        points = lies(q)
        return (0.5 * q @ springs @ q + 0.5 * tyre @ (q[4:] - car.pads) ** 2 - push @ q
                + G * points[:, 0] @ (points[:, 3] + rises(points, q)))

    def slope(q):  # of all but the liquid by hand; of the liquid by central differences of its energy
        out = springs @ q - push
        out[4:] += tyre * (q[4:] - car.pads)
        step = 1e-4  # rad: the third order leaves 1e-8 of a moment, rounding 1e-11
        weight = G * tank.mass
        out[0] += weight
        for k in range(1, 4):
            e = np.eye(8)[k] * step
            def fall(p):
                points = lies(p)
                return G * points[:, 0] @ (points[:, 3] + rises(points, p))
            out[k] += (8 * (fall(q + e) - fall(q - e)) - fall(q + 2 * e) + fall(q - 2 * e)) / (12 * step)
        return out

    hess = springs + np.diag(np.concatenate([np.zeros(4), tyre]))
    free = np.eye(8)
    if not car.torsion:
        free = np.delete(free, 3, axis=1)
        free[3, 2] = 1
    found = minimize(lambda p: energy(free @ p), np.zeros(free.shape[1]), jac=lambda p: free.T @ slope(free @ p),
                     hess=lambda p: free.T @ hess @ free, method="trust-exact", options={"gtol": 1e-3}).x
    for _ in range(6):  # the last digits: what the liquid adds to the stiffness is a thousandth, so each step leaves as much
        found = found - np.linalg.solve(free.T @ hess @ free, free.T @ slope(free @ found))
    q = free @ found
    return car.drawn - tyre * (q[4:] - car.pads), q, energy, free


def moving(car, gravity):
    """Loads, coordinates and the liquid under a steady force."""
    q = np.zeros(8)
    for _ in range(60):
        points = car.tank.liquid(up_in_body(gravity, car.tank, car, q))
        car.put(np.vstack([car.solid, points]))
        found = car.solve(gravity)
        if found is None:
            return None
        moved, q = np.abs(found[1] - q).max(), found[1]
        if moved < 1e-12:
            break
    return found[0], q, found[2], points


def first_lift(car, forward, sign):
    low, high = 0.0, 8.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        found = moving(car, (forward * G, sign * middle * G, -G))
        low, high = (middle, high) if found is not None and len(found[2]) == 4 else (low, middle)
    return (low + high) / 2


stood = 0
for number, (car, got) in enumerate(zip(cars, answers)):
    weight = car.mass * G
    car.put(np.vstack([car.solid, car.tank.liquid(np.array([0, 0, 1.0]))]))
    rest = car.tank.filed * 1e3
    load, q, energy, free = standing(car)
    if min(load) > 0:
        stood += 1
        # the plane is laid by the roll where the liquid was filed; under a chassis that twists along the tank the lowest surface is
        # warped, which is of second order in the twist: up to 1e-6 of the weight for tanks of 0.8 m with 300 kg in them
        rough = 1 if not car.torsion else 1e4
        checks.near("wheel loads at the least energy" + ("" if rough == 1 else ", chassis twists"),
                    np.abs(np.array(got[:4]) * G - load).max() / weight, 1e-10 * rough)
        mine = np.zeros(8)  # the library's own place, as coordinates
        mine[1], roll, twist = np.radians(got[4:7])
        mine[2], mine[3] = roll + twist / 2, roll - twist / 2
        mine[0] = got[7] / 1e3
        mine[4:] = car.pads + (car.drawn - np.array(got[:4]) * G) / car.tyre[car.axle]
        around = [energy(mine + e) - energy(mine) for k in range(free.shape[1]) for e in (2e-3 * free[:, k], -2e-3 * free[:, k])]
        checks.near("energy is least there", max(0.0, -min(around)), 1e-12)
        lies = centre(car.tank.liquid(up_in_body((0, 0, -G), car.tank, car, q))) * 1e3
        checks.near("liquid standing, mm", np.abs(np.array(got[8:11]) - (lies - rest)).max(), 1e-6 * rough)
    forward, left = car.force
    gravity = forward * G, left * G, -G
    load, q, touch, points = moving(car, gravity)
    checks.near("wheel loads moving", np.abs(np.array(got[11:15]) * G - load).max() / weight, 1e-10)
    checks.near("liquid moving, mm", np.abs(np.array(got[18:21]) - (centre(points) * 1e3 - rest)).max(), 1e-7)
    # moments about the ground from masses, liquid and lean; the answers' own pitch, roll and twist: standing they were zero
    mine = np.zeros(8)
    mine[1], roll, twist = np.radians(got[15:18])
    mine[2], mine[3] = roll + twist / 2, roll - twist / 2
    forces = np.array(got[11:15]) * G
    mine[4:] = np.where(forces > 0, (car.drawn - forces) / car.tyre[car.axle], q[4:])  # a wheel in the air tells no height
    car.put(np.vstack([car.solid, car.tank.liquid(up_in_body(gravity, car.tank, car, mine))]))
    moments = np.array([forces.sum(), forces @ car.x, forces @ car.y])
    checks.near("balance of moments with the liquid's", np.abs(moments - car.balance(gravity, mine)).max() / weight, 1e-10)
    if number < 4:  # slow
        checks.near("wheel lift-off with the liquid's run, g", abs(got[21] - first_lift(car, forward, np.sign(left))), 3e-9)
checks.near("cars that stood on four wheels", 0.0 if stood > 15 else 1.0, 0.5)
checks.finish()
