"""Turns from what scales read, against NumPy: car:perches with a reading, holding the heights and the mean roll, or asked for heights and a roll.

While no wheel lifts or meets a stop the car on its springs is one linear system: heave, pitch and a roll at each axle of the body, a height of
each wheel; springs, tyres and chassis between them. NumPy solves it dense for a turn of each perch and for the driver's weight, and the four
conditions on the four turns as a 4 x 4 system. Loads to come are those read plus the change. Nothing of the mass distribution enters, as the
library's answer must not depend on it either.
"""
import numpy as np

from support.ask import rows
from support.library import Checks

checks = Checks()
random = np.random.default_rng(3105)
G = 9.80665
TOLERANCE = 1e-9  # kg, turns: the library settles forces to 1e-13 of the weight and goes on while turns change by 1e-9 of themselves


def stiffness(car):
    """K of (z, pitch, roll front, roll rear, four wheels' heights), and the loads' and the body heights' rows."""
    k = np.zeros((8, 8))
    load, height = np.zeros((4, 8)), np.zeros((4, 8))
    offset = np.zeros((8, 4))  # force of one turn of each perch
    for i in range(4):
        a = i // 2
        body = np.zeros(8)
        body[[0, 1, 2 + a]] = 1, -car["x"][a], (1 if i % 2 == 0 else -1) * car["track"][a] / 2
        travel = -body
        travel[4 + i] += 1  # bump
        wheel_rate = car["spring"][a] * car["ratio"][a] ** 2
        k += wheel_rate * np.outer(travel, travel)
        k[4 + i, 4 + i] += car["tyre"][a]
        offset[:, i] = -wheel_rate * travel * car["pitch"][a] / car["ratio"][a]
        load[i, 4 + i] = -car["tyre"][a]
        height[i] = body
    twist = np.array([0, 0, 1, -1, 0, 0, 0, 0.0])
    return k + car["torsion"] * np.outer(twist, twist), offset, load, height


def draw():
    length = random.uniform(2.2, 2.9)
    car = {"x": [0.0, -length], "track": list(random.uniform(1.3, 1.7, 2)), "spring": list(random.uniform(30e3, 90e3, 2)),
           "ratio": list(random.uniform(0.6, 1.0, 2)), "tyre": list(random.uniform(150e3, 300e3, 2)),
           "pitch": list(random.uniform(1e-3, 2.5e-3, 2)), "torsion": random.uniform(1e3, 1e4) * 180 / np.pi,
           "body": [random.uniform(450, 800), random.uniform(0.4, 0.6) * length, random.uniform(-0.03, 0.03), 0.4],
           "driver": [random.uniform(55, 110), random.uniform(0.3, 0.6) * length, random.uniform(0.2, 0.4), 0.4]}
    total = car["body"][0] + 120
    base = total / 4 * np.array([random.uniform(0.9, 1.1), random.uniform(0.9, 1.1), random.uniform(0.9, 1.1), random.uniform(0.9, 1.1)])
    car["read"] = list(np.round(base, 1))
    car["lean"] = random.random() < 0.5
    car["want"] = random.uniform(49, 51)
    car["heights"] = list(random.uniform(-4, 4, 2)) if car["lean"] else None
    car["roll"] = random.uniform(-0.2, 0.2)
    car["aboard"] = random.random() < 0.5  # is the cross weight wanted with the driver?
    return car


def written(car):
    """The car's file, back right up, and the call."""
    axles = ", ".join(
        f'{{name = "{n}", at = {-car["x"][a] * 1e3!r}, track = {car["track"][a] * 1e3!r}, loaded_radius = 290, '
        f'spring_rate = {car["spring"][a] / 1e3!r}, motion_ratio = {car["ratio"][a]!r}, tyre_rate = {car["tyre"][a] / 1e3!r}, '
        f'perch_pitch = {car["pitch"][a] * 1e3!r}}}' for a, n in enumerate(("front", "rear")))
    def place(p): return "{%r, %r, %r}" % (p[1] * 1e3, p[2] * 1e3, p[3] * 1e3)
    parts = [f'sy.part "body" {{mass = {car["body"][0]!r}, at = {place(car["body"])}}}',
             f'sy.part "front wheel" {{pair = true, mass = 30, at = {{0, {car["track"][0] * 500!r}, 290}}, unsprung = "front"}}',
             f'sy.part "rear wheel" {{pair = true, mass = 30, at = {{{-car["x"][1] * 1e3!r}, {car["track"][1] * 500!r}, 290}}, unsprung = "rear"}}',
             f'sy.person "driver" {{mass = {car["driver"][0]!r}, at = {place(car["driver"])}}}']
    ask = [f"cross_share = {car['want']!r}", "notch = 0"]
    if car["lean"]:
        ask += ["heights = {front = %r, rear = %r}" % tuple(car["heights"]), f"roll = {car['roll']!r}"]
    ask.append("reading = {lf = %r, rf = %r, lr = %r, rr = %r, state = 'empty'}" % tuple(map(float, car["read"])))
    state = "full" if car["aboard"] else "empty"
    return [f'do local car = sy.car{{title = "x", axles = {{{axles}}}, chassis = {{torsion = {car["torsion"] * np.pi / 180!r}}}, '
            f'parts = {{{", ".join(parts)}}}, states = {{sy.state "full" {{}}, sy.state "empty" {{without = {{"driver"}}}}}}, design = "full"}}',
            f'local stands = car:state "{state}":corners()',
            f'local p = car:state "{state}":perches{{{", ".join(ask)}}}',
            "assert(p.possible, p.why)",
            "local t, n, d = p.turns, p.next, p.next.with_driver",
            "say(t.lf, t.rf, t.lr, t.rr, n.lf, n.rf, n.lr, n.rr, d.lf, d.rf, d.lr, d.rr, p.loads.cross_share, stands.heights.front, "
            "stands.heights.rear, stands.roll) end"]


cars = [draw() for _ in range(60)]
answers = rows([line for car in cars for line in written(car)])
assert len(answers) == len(cars)
for n, (car, answer) in enumerate(zip(cars, answers)):
    k, offset, load, height = stiffness(car)
    by_turn = np.linalg.solve(k, offset)
    loads, lines = load @ by_turn, np.array([[1, 0, 0, 0, 0, 0, 0, 0], [1, -car["x"][1], 0, 0, 0, 0, 0, 0], [0, 0, 0.5, 0.5, 0, 0, 0, 0.0]]) @ by_turn
    mass, x, y = car["driver"][0], car["driver"][1], -car["driver"][2]  # the file counts back and right
    near = 1 - x / -car["x"][1]
    weight = -mass * G * np.array([1, x, y * near, y * (1 - near), 0, 0, 0, 0])
    driver = load @ np.linalg.solve(k, weight) / G
    read = np.array(car["read"])
    start = read + (driver if car["aboard"] else 0)
    diagonal = np.array([0, 1, 1, 0])
    conditions = np.vstack([diagonal @ loads / G / start.sum(), lines])
    # the library's heights now depend on what is booked of the mass: from where it says the body stands
    asked = [np.array(car["heights"]) * 1e-3 - np.array(answer[13:15]) * 1e-3, np.radians(car["roll"] - answer[15])] if car["lean"] else None
    wanted = np.concatenate([[car["want"] / 100 - diagonal @ start / start.sum()], asked[0], [asked[1]]] if car["lean"] else
                            [[car["want"] / 100 - diagonal @ start / start.sum()], [0, 0, 0]])
    turns = np.linalg.solve(conditions, wanted)
    then = read + loads @ turns / G
    kind = ", heights and roll" if car["lean"] else ", heights held"
    checks.near("turns" + kind, np.abs(turns - answer[:4]).max(), TOLERANCE * max(1, np.abs(turns).max()), f"car {n}")
    checks.near("what the scales then read" + kind, np.abs(then - answer[4:8]).max(), TOLERANCE, f"car {n}")
    checks.near("the same with the driver" + kind, np.abs(then + driver - answer[8:12]).max(), TOLERANCE, f"car {n}")
    checks.near("cross weight of the car asked about" + kind, abs(answer[12] - car["want"]), TOLERANCE, f"car {n}")
checks.finish()
