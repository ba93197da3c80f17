"""Cornering, braking and tilt tables on springs against NumPy, for random cars.

The oracle is one dense linear system for each set of touching wheels (support/sprung_car.py). The library instead repeats its corner
model, which eliminates the hubs and finds contacts by Newton steps. Loads are also checked by a balance of moments that knows no springs. The command is asked by a script,
so units, signs and the vehicle's axes are checked with the mathematics.
"""

import numpy as np

from support.ask import rows
from support.library import Checks
from support.sprung_car import Car, G

random = np.random.default_rng(51)
checks = Checks()


def edge(good, low, high):
    """Largest s at which good(s) still holds."""
    while high - low > 1e-11:
        middle = (low + high) / 2
        low, high = (middle, high) if good(middle) else (low, middle)
    return (low + high) / 2


def ends(car, gravity):
    """Where the first wheel lifts and where nothing stands any more, as far as s goes."""
    lift = edge(lambda s: (r := car.solve(gravity(s))) is not None and len(r[2]) == 4, 0, 8)
    return lift, edge(lambda s: car.solve(gravity(s), 3) is not None, lift * (1 - 1e-9), 8)


cars = [Car(random) for _ in range(70)]
cars = [car for car in cars if min(car.drawn) > 0.05 * car.mass * G]
asked = [(random.uniform(-0.9, 0.9), random.uniform(-0.4, 0.7)) for _ in cars]
airs = [random.uniform(-20, 150, 2) * G for _ in cars]
lines = []
for car, (left, forward), air in zip(cars, asked, airs):
    turn = f"right_turn = {left!r}" if left > 0 else f"left_turn = {-left!r}"
    fore = f"braking = {forward!r}" if forward > 0 else f"drive = {-forward!r}"
    lines.append(f"do local c = {car.lua(car.parts)} local r = c:transfer{{{turn}, {fore}}} local s = c:stability() "
                 f"local d = {{front = {air[0] / G!r}, rear = {air[1] / G!r}}} local p = c:transfer{{{turn}, {fore}, downforce = d}} "
                 f"local a, b = c:attitude{{downforce = d, bars = 'connected'}}, c:attitude() "
                 "say(r.lf, r.rf, r.lr, r.rr, r.front_transfer_share, r.first_lift.g, r.first_lift.tips, s.compliant.lift.left.angle, "
                 "s.compliant.lift.right.angle, s.compliant.tip.left, s.compliant.tip.right, s.tip.left, s.tip.right, s.grade.up, s.grade.down, p.lf, p.rf, p.lr, p.rr, p.first_lift.g, "
                 "a.heights.front, a.heights.rear, a.rake, a.height - b.height) end")
answers = rows(lines)
assert len(answers) == len(cars) > 40

for car, (left, forward), air, got in zip(cars, asked, airs, answers):
    weight = car.mass * G
    gravity = (forward * G, left * G, -G)
    load, q, _ = car.solve(gravity)
    mine = np.array(got[:4]) * G
    # both solve to about 1e-12 of the weight, and lose a digit where rates are far apart
    checks.near("wheel loads", np.abs(mine - load).max() / weight, 1e-11)
    moments = np.array([mine.sum(), mine @ car.x, mine @ car.y])
    checks.near("balance of moments", np.abs(moments - car.balance(gravity, q)).max() / weight, 1e-11)
    rest = car.solve((0, 0, -G))[0]
    across = [((load - rest)[2 * k + 1] - (load - rest)[2 * k]) / 2 for k in range(2)]
    checks.near("front share of the transfer", abs(got[4] - 100 * across[0] / sum(across)), 1e-9)
    sign = np.sign(left)
    lift, tip = ends(car, lambda s: (forward * G, sign * s * G, -G))
    checks.near("wheel lift-off, g", abs(got[5] - lift), 1e-10)  # the halving ends at 1e-11
    checks.near("tips, g", abs(got[6] - tip), 1e-10)
    for k, side in enumerate((1, -1)):  # left side low: the force is to the left
        def table(s, side=side):
            return tuple(np.array([0, side * s * G, -G]) / np.hypot(1, s))
        lift, tip = ends(car, table)
        checks.near("wheel lift-off on a table, deg", abs(got[7 + k] - np.degrees(np.arctan(lift))), 1e-8)
        checks.near("tips on a table, deg", abs(got[9 + k] - np.degrees(np.arctan(tip))), 1e-8)
        half = (car.track[0] + (car.track[1] - car.track[0]) * -car.cg[0] / car.length) / 2
        checks.near("rigid tip, deg", abs(got[11 + k] - np.degrees(np.arctan2(half - side * car.cg[1], car.cg[2]))), 1e-9)
    checks.near("grade up, deg", abs(got[13] - np.degrees(np.arctan2(car.length + car.cg[0], car.cg[2]))), 1e-9)
    checks.near("grade down, deg", abs(got[14] - np.degrees(np.arctan2(-car.cg[0], car.cg[2]))), 1e-9)
    load, q, _ = car.solve(gravity, air=air)
    mine = np.array(got[15:19]) * G
    checks.near("wheel loads under downforce", np.abs(mine - load).max() / weight, 1e-11)
    moments = np.array([mine.sum(), mine @ car.x, mine @ car.y])
    checks.near("balance of moments under downforce", np.abs(moments - car.balance(gravity, q, air)).max() / weight, 1e-11)
    lift = edge(lambda s, car=car, air=air: (r := car.solve((forward * G, sign * s * G, -G), air=air)) is not None and len(r[2]) == 4, 0, 8)
    checks.near("wheel lift-off under downforce, g", abs(got[19] - lift), 1e-10)
    q = car.solve((0, 0, -G), air=air)[1]
    heights = np.array([q[0], q[0] + car.length * q[1]]) * 1e3
    checks.near("heights under downforce, mm", np.abs(np.array(got[20:22]) - heights).max(), 1e-9)
    checks.near("rake under downforce, mm", abs(got[22] - (heights[1] - heights[0])), 1e-9)
    body, hubs = car.rises(-G, air)
    checks.near("sinking of the CG, mm", abs(got[23] - (sum(body) + sum(hubs)) / car.mass * 1e3), 1e-9)
checks.finish()
