"""car:ballast against brute force in NumPy: every combination of steps of up to three slots, on random cars.

The car is a list of masses and places; shares follow from the lever rule over the wheelbase and the mean track at each axle's own, the CG from
moments. All combinations are worked out at once, those that keep the limits as loaded and at the finish, the minimum at the finish and the targets
within what is asked are held, and of these the lightest, then the nearest, then what fills the first slots is taken; where none is held the
nearest of those that keep the limits. Whatever the library searches by, it must find the same.
"""
import numpy as np

from support.ask import rows
from support.library import Checks

checks = Checks()
random = np.random.default_rng(1512)
CARS = 160
NEAR = 1e-5  # of a unit: misses closer than that are equal (core/study/pack.h)


def draw():
    length = random.uniform(1000, 2900)
    size = length / 2400
    car = {"length": length, "datum": random.uniform(-800, 800), "track": random.uniform(0.5, 0.7, 2) * length, "parts": [], "fuel": None}
    for _ in range(int(random.integers(3, 9))):
        car["parts"].append([random.uniform(10, 150) * size, random.uniform(0, 1.1) * length, random.uniform(-0.06, 0.06) * length,
                             random.uniform(150, 500) * size])
    car["fuel"] = [random.uniform(15, 30), random.uniform(0.3, 0.7) * length, 0.02 * length, 300.0 * size, random.uniform(2, 12)]
    slots = []
    for k in range(int(random.integers(1, 4))):
        step = float(random.choice([0.1, 0.25, 0.5, 0.45, 1.0] if k == 0 else [0.5, 1.0, 0.75]))
        count = int(random.integers(3, 60 if k == 0 else 25))
        most = step * count + random.uniform(0, 0.05)
        least = most * random.uniform(0, 0.3) if random.random() < 0.25 else 0.0
        at = [random.uniform(-0.3, 1.3) * length, random.uniform(-0.25, 0.25) * length, random.uniform(20, 300) * size]
        if slots and random.random() < 0.3:
            at = list(slots[-1]["at"])
            at[1] *= -1  # a pair of slots
        slots.append({"at": at, "max": most, "min": least if np.floor(most / step + 1e-3) >= np.ceil(least / step - 1e-3) else 0.0, "step": step})
    car["slots"] = slots
    return car


def answers(car, litres, grid):
    """Mass, front share, left share and CG height for all rows of masses in the slots."""
    lines = car["parts"] + [[litres * 0.745 + 3.0] + car["fuel"][1:4]]
    mass = np.full(len(grid), sum(p[0] for p in lines))
    moment = [np.full(len(grid), sum(p[0] * p[i] for p in lines)) for i in (1, 2, 3)]
    for k, slot in enumerate(car["slots"]):
        mass = mass + grid[:, k]
        for i in range(3):
            moment[i] = moment[i] + grid[:, k] * slot["at"][i]
    rear = moment[0] / car["length"]  # kg on the rear axle
    front = mass - rear
    # a part's own side: across each axle by its own track, what an axle carries lies where the part does, by the lever rule over the tracks
    left = 0.5 * mass + moment_left(car, mass, front, rear, moment[1])
    return {"mass": mass, "front_share": 100 * front / mass, "left_share": 100 * left / mass, "height": moment[2] / mass}


def moment_left(car, mass, front, rear, moment):
    """Left less half the mass: with a cross weight of 50 % both axles' loads across solve two equations, moment and diagonal."""
    tf, tr = car["track"]
    # L - R of an axle: df, dr; df tf / 2 + dr tr / 2 = moment (left positive) and RF + LR = half: (front - df) / 2 + (rear + dr) / 2 = mass / 2
    dr = 2 * moment / (tf + tr)
    df = dr
    return (df + dr) / 2


def grid_of(slots):
    axes = [np.arange(np.ceil(s["min"] / s["step"] - 1e-6), np.floor(s["max"] / s["step"] + 1e-6) + 1) for s in slots]
    return np.stack([a.ravel() for a in np.meshgrid(*axes, indexing="ij")], axis=1)


def half_steps(car, litres):
    """Half of what one step of the most effective slot changes, from the least in each."""
    least = np.array([[np.float64(s["min"]) for s in car["slots"]]])
    base = answers(car, litres, least)
    most = {name: 0.0 for name in base}
    for k, slot in enumerate(car["slots"]):
        more = least.copy()
        more[0, k] += slot["step"]
        for name, value in answers(car, litres, more).items():
            most[name] = max(most[name], abs(value[0] - base[name][0]))
    return {name: 0.5 * value for name, value in most.items()}


def off(value, low, high, unit):
    return np.maximum(0, np.maximum(value - high, low - value)) / unit


def choose(keep, first, second, steps):
    """Of the rows kept: the least of the first, of these the least of the second, then the most steps in the first slots."""
    best = np.flatnonzero(keep)
    for values, slack in (first, second):
        least = values[best].min()
        best = best[values[best] <= least + slack(least)]
    order = sorted(best, key=lambda i: tuple(-steps[i]))
    return order[0]


def brute(car, ask):
    steps = grid_of(car["slots"])
    grid = steps * np.array([s["step"] for s in car["slots"]])
    now, then = answers(car, car["fuel"][4] + 20, grid), answers(car, ask["finish"], grid)
    units, units_then = half_steps(car, car["fuel"][4] + 20), half_steps(car, ask["finish"])
    added = grid.sum(axis=1)
    miss, held = np.zeros(len(grid)), np.ones(len(grid), bool)
    for name, (value, within) in ask["target"].items():
        within = within or units[name]
        m = (now[name] - value) / within
        miss += m * m
        held &= np.abs(m) <= 1 + 1e-9
    broken = off(then["mass"], ask["minimum"], np.inf, units_then["mass"]) ** 2
    for name, (low, high) in ask["limits"].items():
        broken = broken + off(now[name], low, high, units[name]) ** 2 + off(then[name], low, high, units_then[name]) ** 2
    def close(d): return NEAR * (2 * np.sqrt(d) + NEAR)
    def exact(_): return 1e-9
    if (held & (broken == 0)).any():
        return True, steps[choose(held & (broken == 0), (added, exact), (miss, close), steps)], units
    if (broken == 0).any():
        return False, steps[choose(broken == 0, (miss, close), (added, exact), steps)], units
    return False, steps[choose(np.ones(len(grid), bool), (broken, close), (added, exact), steps)], units


def asked(car):
    """Targets near what some masses in the slots give, limits around."""
    some = np.array([[random.uniform(s["min"], s["max"] * (1.3 if random.random() < 0.25 else 1)) for s in car["slots"]]])
    none = np.zeros((1, len(car["slots"])))
    litres = car["fuel"][4] + 20
    there, bare = answers(car, litres, some), answers(car, litres, none)
    ask = {"target": {}, "limits": {}, "minimum": 1.0, "finish": car["fuel"][4]}
    names = list(random.permutation(["front_share", "left_share", "height"]))
    for name in names[:int(random.integers(1, 3))]:
        width = abs(there[name][0] - bare[name][0]) * random.uniform(0.02, 0.2)
        ask["target"][name] = (there[name][0], width if random.random() < 0.6 else None)
    if random.random() < 0.5:
        name = names[2]
        reach = abs(there[name][0] - bare[name][0])
        ask["limits"][name] = (-1e9, there[name][0] + reach * random.uniform(-0.3, 0.5)) if random.random() < 0.5 else (
            there[name][0] - reach * random.uniform(-0.3, 0.5), 1e9)
    if random.random() < 0.5:
        then = answers(car, ask["finish"], some)["mass"][0]
        ask["minimum"] = then - random.uniform(-0.2, 0.5) * float(some.sum())
    return ask


def written(car, ask):
    """The car's file, back right up from a datum of its own, and the call."""
    d = car["datum"]
    def place(p): return "{%r, %r, %r}" % (float(p[0] + d), float(-p[1]), float(p[2]))
    parts = [f'sy.part "part {i}" {{mass = {float(p[0])!r}, at = {place(p[1:])}}}' for i, p in enumerate(car["parts"])]
    fuel = car["fuel"]
    parts.append(f'sy.tank "fuel" {{capacity = 60, density = 0.745, dry_mass = 3, fill = {float(fuel[4] + 20)!r}, at = {place(fuel[1:4])}}}')
    axles = ", ".join(f'{{name = "{n}", at = {float(x + d)!r}, track = {float(t)!r}, loaded_radius = 290}}' for n, x, t in zip(
        ("front", "rear"), (0.0, car["length"]), car["track"]))
    limits = ", ".join('{name = "%s", quantity = "%s"%s%s}' % (n, n, f", min = {float(low)!r}" if low > -1e9 else "",
                       f", max = {float(high)!r}" if high < 1e9 else "") for n, (low, high) in ask["limits"].items())
    slots = ", ".join('{"slot %d", at = %s, max = %r, min = %r, step = %r}' % (k, place(s["at"]), float(s["max"]), float(s["min"]), s["step"])
                      for k, s in enumerate(car["slots"]))
    target = ", ".join(f"{n} = {{{float(v)!r}{f', {float(w)!r}' if w else ''}}}" for n, (v, w) in ask["target"].items())
    first = next(iter(ask["target"]))
    return [f'do local r = sy.car{{title = "Random (invented)", axes = {{x = "back", y = "right", z = "up"}}, axles = {{{axles}}}, '
            f'parts = {{{", ".join(parts)}}}, limits = {{{limits}}}}}:ballast{{target = {{{target}}}, slots = {{{slots}}}, '
            f'minimum = {float(ask["minimum"])!r}, finish = {{fuel = {float(ask["finish"])!r}}}}}',
            f'local a = r.possible and r or r.nearest local t = {{}} for i, p in ipairs(a.placed) do t[i] = p.steps end',
            f'say(r.possible and 1.0 or 0.0, r.within.{first}, a.after.front_share, a.after.left_share, a.after.height, table.unpack(t)) end']


cars = [draw() for _ in range(CARS)]
asks = [asked(car) for car in cars]
lines = []
for car, ask in zip(cars, asks):
    lines += written(car, ask)
found = rows(lines)

possible = 0
for n, (car, ask, got) in enumerate(zip(cars, asks, found)):
    is_possible, steps, units = brute(car, ask)
    possible += is_possible
    first = next(iter(ask["target"]))
    within = ask["target"][first][1] or units[first]
    what = f"car {n}: {ask}, {car['slots']}: {got}, brute force {is_possible} {steps}"
    kind = "possible" if is_possible else "nearest"
    checks.near("the same is possible", abs(got[0] - float(is_possible)), 0.5, what)
    checks.near(f"steps in every slot, {kind}", max(abs(a - b) for a, b in zip(got[5:], steps)), 0.5, what)  # whole numbers
    # a few roundings of sums, divided by what a step of 0.1 kg changes
    checks.near("windows", abs(got[1] / within - 1), 1e-9, what)
    mine = answers(car, car["fuel"][4] + 20, np.array([[s * slot["step"] for s, slot in zip(got[5:], car["slots"])]]))
    for i, name in enumerate(("front_share", "left_share", "height")):
        checks.near(name, abs(got[2 + i] - mine[name][0]), 1e-9 * 100, what)
checks.near("both ways out were taken", abs(possible - CARS / 2), CARS / 2 - 25, f"{possible} of {CARS} possible")
checks.finish()
