"""Vehicle files whose sides differ against NumPy: places, radii, springs and tyres wheel by wheel.

Source  equilibrium of forces and moments; the vehicle on its springs as one dense system of eight coordinates, least energy
        (support/sprung_car.py). The command reads the file, so fields, signs, units and axes are checked with the mathematics.

A worked car, whose numbers the tests of the file hold too: four rigid wheels carry F = F0 + l v, F0 the least-norm solution of
[1; x; y] F = (W, W x, W y), v the one vector with [1; x; y] v = 0, l such that right front + left rear = half of W. On a rigid chassis
the change under a load is the plane of three unknowns z, pitch, roll that meets sum k d (1, -x, y) = -w (1, -x, y), d_i the rise of the
body over wheel i and k the ride rate, spring x ratio^2 in series with the tyre; wheel loads fall by k d.
"""
import numpy as np

from support.ask import rows
from support.library import Checks
from support.sprung_car import Car, G

random = np.random.default_rng(731)
checks = Checks()

# ---- the worked car ----------------------------------------------------------------------------------------------------------

WORKED = """sy.car{title = "Unlike sides (invented)", axes = {x = "back", y = "right", z = "up"}, axles = {
  {name = "front", at = 0, track = 1456, loaded_radius = 290, spring_rate = 42, motion_ratio = 0.86, tyre_rate = 190,
   left = {half_track = 725}, right = {at = 3, half_track = 731, spring_rate = 44}},
  {name = "rear", at = 2400, track = 1454, loaded_radius = 300, spring_rate = 55, motion_ratio = 0.80, tyre_rate = 215,
   left = {half_track = 730}, right = {at = 2396, half_track = 724, tyre_rate = 210}}},
  parts = {sy.part "body" {mass = 620, at = {1380, 12, 340}},
    sy.part "left front corner" {mass = 27.4, at = {0, -725, 285}, unsprung = "lf"},
    sy.part "right front corner" {mass = 27.4, at = {3, 731, 285}, unsprung = "rf"},
    sy.part "left rear corner" {mass = 31, at = {2400, -730, 300}, unsprung = "lr"},
    sy.part "right rear corner" {mass = 31, at = {2396, 724, 300}, unsprung = "rr"}}}"""

x, y = -np.array([0, 3, 2400, 2396.0]), np.array([725, -731, 730, -724.0])
masses = np.array([620, 27.4, 27.4, 31, 31])
places = np.array([[-1380, -12], [0, 725], [-3, -731], [-2400, 730], [-2396, -724.0]])
rule = np.array([np.ones(4), x, y])
least = np.linalg.lstsq(rule, np.array([masses.sum(), *(masses @ places)]), rcond=None)[0]
null = np.linalg.svd(rule)[2][-1]
rigid = least + null * (0.5 * masses.sum() - least[1] - least[2]) / (null[1] + null[2])
wheel = np.array([42, 44, 55, 55.0]) * np.array([0.86, 0.86, 0.8, 0.8]) ** 2
ride = 1 / (1 / wheel + 1 / np.array([190, 190, 215, 210.0]))  # N/mm
plane = np.column_stack([np.ones(4), -x, y])
put = np.array([1, 1000, -300.0])  # the load, 1000 back and 300 right
pose = np.linalg.solve(plane.T @ (ride[:, None] * plane), -50 * put)
loaded = rigid - ride * (plane @ pose)
got = np.array(rows([f"local c = {WORKED} local b = c:balance() "
                     'local l = c:add(sy.part "load" {mass = 50, at = {1000, 300, 300}}):corners{} '
                     "say(b.lf, b.rf, b.lr, b.rr, l.lf, l.rf, l.lr, l.rr)"])[0])
# the ledger keeps places to a picometre: 1e-12 of the loads
checks.near("rigid loads of the worked car, kg", np.abs(got[:4] - rigid).max(), 1e-9, rigid)
checks.near("loads of the worked car under 50 kg, kg", np.abs(got[4:] - loaded).max(), 1e-9, loaded)
written = {"rigid": [156.430299, 161.736005, 206.663995, 211.969701], "loaded": [165.972005, 181.359380, 211.830041, 227.638574]}
checks.near("as the tests of the file have them, kg", max(np.abs(rigid - written["rigid"]).max(), np.abs(loaded - written["loaded"]).max()), 5e-7)

# ---- random cars -----------------------------------------------------------------------------------------------------------------

cars = [car for car in (Car(random, unlike=True) for _ in range(160)) if min(car.drawn) > 0.05 * car.mass * G][:100]
assert len(cars) == 100
loads = [(random.uniform(20, 200), -random.uniform(-0.2, 1.2) * car.length, random.uniform(-0.8, 0.8), random.uniform(0.2, 0.6)) for car in cars]
pulls = [(random.uniform(-0.9, 0.9), random.uniform(-0.4, 0.7)) for _ in cars]
for n, car in enumerate(cars[:20]):  # just beyond the lift-off of a wheel
    low, high, sign = 0, 8, 1 if n % 2 else -1
    while high - low > 1e-3:
        middle = (low + high) / 2
        at = car.solve((0, sign * middle * G, -G))
        low, high = (middle, high) if at is not None and len(at[2]) == 4 else (low, middle)
    if car.solve((0, sign * (high + 0.01) * G, -G)) is not None:
        pulls[n] = (sign * (high + 0.01), 0.0)
lines = []
for car, (m, px, py, pz), (left, forward) in zip(cars, loads, pulls):
    turn = f"right_turn = {left!r}" if left > 0 else f"left_turn = {-left!r}"
    fore = f"braking = {forward!r}" if forward > 0 else f"drive = {-forward!r}"
    part = f'sy.part "load" {{mass = {m!r}, at = {{{-px * 1e3!r}, {-py * 1e3!r}, {pz * 1e3!r}}}}}'
    lines.append(f"do local c = {car.lua(car.parts)} local b, r = c:balance(), c:transfer{{{turn}, {fore}}} "
                 f"local l = c:add({part}):corners{{bars = 'connected'}} "
                 "say(b.lf, b.rf, b.lr, b.rr, l.lf, l.rf, l.lr, l.rr, l.travel.lf, l.travel.rf, l.travel.lr, l.travel.rr, "
                 "l.heights.lf, l.heights.rf, l.heights.lr, l.heights.rr, l.wheel_rate.lf, l.wheel_rate.rf, l.wheel_rate.lr, "
                 "l.wheel_rate.rr, r.lf, r.rf, r.lr, r.rr) end")
lifted = 0
for car, load, (left, forward), answer in zip(cars, loads, pulls, rows(lines)):
    got, weight = np.array(answer), car.mass * G
    checks.near("rigid loads", np.abs(got[:4] * G - car.drawn).max() / weight, 1e-12)
    checks.near("wheel rates", np.abs(got[16:20] * 1e3 / car.k - 1).max(), 1e-14)
    pushed, q, touch = car.solve((forward * G, left * G, -G))
    lifted += len(touch) < 4
    checks.near("loads of transfer", np.abs(got[20:] * G - pushed).max() / weight, 1e-11)
    car.put(np.vstack([car.parts, load]))
    stands, q, _ = car.stand(car.stiffness, car.work((0, 0, -G)) - car.drawn_work, 2)
    checks.near("loads under one part more", np.abs(got[4:8] * G - stands).max() / weight, 1e-11)
    height = np.array([car.body(i) @ q for i in range(4)])
    checks.near("heights of the body, mm", np.abs(got[12:16] - height * 1e3).max(), 1e-8)
    checks.near("wheel travel, mm", np.abs(got[8:12] - (q[4:] - height) * 1e3).max(), 1e-8)
checks.near("cars that lift a wheel, wanted 3 or more", 3 / max(lifted, 1), 1)
checks.finish()
