"""A history of dated files, worked out here from what the files state.

Random cars are changed at random from date to date and written as vehicle files, in two conventions of axes by turns, with records of axle
loads in a load state without the driver. Mass, front share, CG height and their standard uncertainties are sums over the parts (moments
about the front axle, first-order propagation of independent errors: JCGM 100:2008, 5.1.2); each step is the difference of two such sums; a
record is brought to the state with the driver by adding his mass and moment. All of it is in floating point with math.fsum, so the room is
rounding alone.
"""
import json
import math
import os
import random
import subprocess
import sys
import tempfile

STEELYARD = sys.argv[1]
WHEELBASE = 2300.0
ROOM = 1e-9  # of numbers of some hundred, in kg, mm and %: sums of at most 30 terms

failed = 0
rng = random.Random(2024)


def check(name, got, want, room=ROOM):
    global failed
    if not (isinstance(got, (int, float)) and abs(got - want) <= room * max(1.0, abs(want))):
        failed += 1
        print(f"FAILED {name}: {got!r}, want {want!r}")


class Part:
    def __init__(self, name):
        self.name = name
        self.mass, self.u = round(rng.uniform(2, 80), 2), round(rng.uniform(0.05, 4), 2)
        self.back, self.up = round(rng.uniform(-300, 2600), 1), round(rng.uniform(150, 700), 1)
        self.sd = round(rng.uniform(1, 20), 1)

    def copy(self):
        other = object.__new__(Part)
        other.__dict__.update(self.__dict__)
        return other

    def text(self, sign):
        return (f'part "{self.name}" {{ mass = sd({self.mass!r}, {self.u!r}), at = {{ sd({sign * self.back!r}, {self.sd!r}), 0, '
                f"sd({self.up!r}, {self.sd!r}) }} }},\n")


DRIVER = Part("driver")


def sums(parts):
    return (math.fsum(p.mass for p in parts), math.fsum(p.mass * p.back for p in parts), math.fsum(p.mass * p.up for p in parts))


def car(parts):
    """mass, front share, height, and their standard uncertainties"""
    m, mx, mz = sums(parts)
    share, height = 100 * (1 - mx / m / WHEELBASE), mz / m
    var = [0.0, 0.0, 0.0]
    for p in parts:
        at = 1 - p.back / WHEELBASE  # of a kilogram of it, what the front axle carries
        var[0] += p.u**2
        var[1] += ((100 * at - share) / m * p.u) ** 2 + (100 * p.mass / WHEELBASE / m * p.sd) ** 2
        var[2] += ((p.up - height) / m * p.u) ** 2 + (p.mass / m * p.sd) ** 2
    return (m, share, height), [math.sqrt(v) for v in var]


def write(path, parts, records, forward):
    sign = -1 if forward else 1
    said = "".join(
        f'record "{r["name"]}" {{ kind = "axles", date = "{r["date"]}", state = "empty", axles = {{ front = sd({r["front"]!r}, {r["u"]!r}), '
        f'rear = sd({r["rear"]!r}, {r["u"]!r}) }} }},\n' for r in records)
    with open(path, "w", encoding="utf-8") as f:
        f.write(f"""vehicle {{ title = "Random", axes = {{ x = "{'forward' if forward else 'back'}", y = "right", z = "up" }},
axles = {{ {{ name = "front", at = 0, track = 1300, loaded_radius = 280 }},
  {{ name = "rear", at = {sign * WHEELBASE!r}, track = 1300, loaded_radius = 280 }} }}, parts = {{
{"".join(p.text(sign) for p in [*parts, DRIVER])} }}, states = {{ state "race" {{}}, state "empty" {{ without = {{"driver"}} }} }},
records = {{ {said} }} }}
""")


def changed(parts, number):
    parts = [p.copy() for p in parts]
    one = rng.choice(parts)
    one.mass, one.u = round(one.mass * rng.uniform(0.8, 1.25), 2), 0.1
    rng.choice(parts).up += 25.0
    if rng.random() < 0.5 and len(parts) > 4:
        parts.remove(rng.choice(parts))
    parts.append(Part(f"new {number}"))
    return parts


def one_history(folder, case):
    dates = sorted({f"{rng.randint(2021, 2026)}-{rng.randint(1, 12):02d}-{rng.randint(1, 28):02d}" for _ in range(rng.choice([2, 5, 12]))})
    parts, cars = [Part(f"part {i}") for i in range(rng.choice([3, 9, 20]))], []
    for i, date in enumerate(dates):
        if i:
            parts = changed(parts, i)
        m, mx, _ = sums(parts)
        front = m * (1 - mx / m / WHEELBASE)
        read = {"name": f"scales {i}", "date": date, "front": round(front + rng.gauss(0, 1), 1), "rear": round(m - front + rng.gauss(0, 1), 1),
                "u": round(rng.uniform(0.1, 2), 2)}
        cars.append((date, parts, read))
        write(os.path.join(folder, f"random-{date}.lua"), parts, [read], case % 2 and i % 2)
    got = json.loads(subprocess.run([STEELYARD, "track", folder, "--state", "race", "--lines", "2", "--json"], capture_output=True, text=True,
                                    check=True).stdout)
    names = ("mass", "front_share", "height")
    check(f"case {case}, files", len(got["rows"]), len(cars), 0)
    check(f"case {case}, records", len(got["records"]), len(cars), 0)
    before = None
    for (date, parts, read), row, record in zip(cars, got["rows"], got["records"]):
        what = f"case {case}, {date}"
        values, u = car([*parts, DRIVER])
        if row["date"] != date or record["date"] != date:
            check(f"{what}: order", math.nan, 0)
        for name, value, sd in zip(names, values, u):
            check(f"{what}, {name}", row[name], value)
            check(f"{what}, sd of {name}", row["sd"][name], sd)
            if before:
                check(f"{what}, change of {name}", row["change"]["total"][f"d_{name}"], value - before[name], 1e-8)
                named = [line[f"d_{name}"] for line in row["change"]["greatest"]]
                rest = row["change"].get("rest", {}).get(f"d_{name}", 0)
                check(f"{what}, lines of {name}", math.fsum(named) + rest, value - before[name], 1e-8)
        before = dict(zip(names, values))
        mass = read["front"] + read["rear"] + DRIVER.mass
        front = read["front"] + DRIVER.mass * (1 - DRIVER.back / WHEELBASE)
        check(f"{what}, mass read", record["mass"], mass)
        check(f"{what}, front read", record["front_share"], 100 * front / mass)
        check(f"{what}, sd of the mass read", record["sd"]["mass"], math.sqrt(2 * read["u"] ** 2 + DRIVER.u**2))
        share = front / mass
        of_driver = math.hypot((1 - DRIVER.back / WHEELBASE - share) * DRIVER.u, DRIVER.mass / WHEELBASE * DRIVER.sd)
        # what both axles err by: (dF - share dm) / m with dm = dF + dR
        own = math.hypot((1 - share) * read["u"], share * read["u"])
        got_sd, want_sd = record["sd"]["front_share"], 100 * math.hypot(own, of_driver) / mass
        # mass and share of a reading count as independent: read front and rear with one uncertainty they are but for share - 1/2
        check(f"{what}, sd of the front read", got_sd, want_sd, 0.02 * want_sd)
        check(f"{what}, ledger beside it", record["ledger"]["mass"], before["mass"])
    return len(cars)


count = 0
for number in range(12):
    with tempfile.TemporaryDirectory() as work:
        count += one_history(work, number)
if failed:
    sys.exit(1)
print(f"ok track: {count} files in 12 histories, with a record each")
