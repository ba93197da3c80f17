"""Weighing records against the uncertainties package: masses, uncertainties, and uncertainties of a change between two files.

Random ledgers are written as vehicle files with raw readings, zeros, tares and other things on the scale, in several units, on scales
whose bias and gain are uncertain. In Python each bias, each gain and each reading is one variable; the package combines them, first
order, with the correlations that follow from variables that are met again. The command gets the files and answers in JSON.
"""
import json
import math
import os
import random
import subprocess
import sys
import tempfile

from uncertainties import ufloat

STEELYARD = sys.argv[1]
IN_KG = {"kg": 1.0, "g": 0.001, "lb": 0.45359237, "oz": 0.028349523125}  # NIST Special Publication 811 (2008), Appendix B
WHEELBASE = 1550.0
HEAD = """vehicle { title = "Random", axes = { x = "back", y = "right", z = "up" },
  axles = { { name = "front", at = 0, track = 1200, loaded_radius = 230 },
            { name = "rear", at = %g, track = 1180, loaded_radius = 230 } },
""" % WHEELBASE

failed = 0
rng = random.Random(20)


def check(name, got, want, tolerance):
    global failed
    if not abs(got - want) <= tolerance:
        failed += 1
        print(f"FAILED {name}: {got!r}, the package has {want!r}")


class Scale:
    def __init__(self, name):
        self.name, self.unit = name, rng.choice(list(IN_KG))
        kg = IN_KG[self.unit]
        self.step = rng.choice([None, 0.01, 0.05]) and round(rng.choice([0.01, 0.05]) / kg, 6)
        self.sd = rng.choice([None, round(0.02 / kg, 6)])
        self.bias, self.bias_sd = round(rng.uniform(-0.05, 0.05) / kg, 5), round(rng.uniform(0.005, 0.03) / kg, 5)
        self.gain, self.gain_sd = round(rng.uniform(0.98, 1.03), 5), round(rng.uniform(0.0005, 0.003), 5)
        self.true_bias = ufloat(self.bias * kg, self.bias_sd * kg)
        self.true_gain = ufloat(self.gain, self.gain_sd)

    def text(self):
        said = "".join(f", {key} = {value!r}" for key, value in (("step", self.step), ("sd", self.sd)) if value)
        return (f'    {{ name = "{self.name}", unit = "{self.unit}"{said}, bias = sd({self.bias!r}, {self.bias_sd!r}), '
                f"gain = sd({self.gain!r}, {self.gain_sd!r}) }},\n")

    def own(self, repeats=None):
        """Variance of a mean of readings, kg2: repeatability or scatter, and the step."""
        kg, n = IN_KG[self.unit], len(repeats) if repeats else 1
        scatter = 0.0
        if n > 1:
            mean = sum(repeats) / n
            scatter = math.sqrt(sum((r - mean) ** 2 for r in repeats) / (n - 1))
        own = self.sd * kg if self.sd else scatter
        return own**2 / n + ((self.step or 0) * kg) ** 2 / 12


class Weighing:
    """One part's record: text for the file, and its mass by the package."""

    def __init__(self, name, scale):
        self.name, self.scale = name, scale
        self.at = [round(rng.uniform(0, WHEELBASE)), round(rng.uniform(-500, 500)), round(rng.uniform(100, 500))]
        self.pieces, self.count = rng.choice([(1, 1), (1, 1), (4, 6)])
        self.unit = rng.choice([scale.unit, "kg", "lb"])
        self.read()

    def read(self):
        """What the scale showed; called again it is weighed anew."""
        kg = IN_KG[self.unit]

        def shown(low, high):
            return round(rng.uniform(low, high) / kg, 3)

        first = shown(8, 40)
        self.readings = [first] + [round(first + rng.uniform(-0.1, 0.1) / kg, 3) for _ in range(rng.choice([0, 0, 2]))]
        self.zeros = rng.choice([None, (shown(-0.05, 0.05),), (shown(-0.05, 0.05), shown(-0.05, 0.05))])
        self.tare = rng.choice([None, None, shown(0.5, 3)])
        self.load = rng.choice([None, (shown(0.2, 1), shown(0.01, 0.05))])
        gross = sum(self.readings) / len(self.readings) * kg
        zero = sum(self.zeros) / len(self.zeros) * kg if self.zeros else 0.0
        variance = self.scale.own([r * kg for r in self.readings])
        if self.zeros and len(self.zeros) == 2:
            variance += (self.zeros[1] * kg - self.zeros[0] * kg) ** 2 / 12
        variance += self.scale.own() if self.tare else 0.0
        read = ufloat(gross, math.sqrt(variance))
        if self.tare:
            mass = (read - self.tare * kg) / self.scale.true_gain
        else:
            mass = (read - zero) / self.scale.true_gain - self.scale.true_bias
        if self.load:
            mass = mass - ufloat(self.load[0] * kg, self.load[1] * kg)
        self.mass = mass / self.pieces

    def text(self):
        said = [f"reading = {{{', '.join(map(repr, self.readings))}}}", f'on = "{self.scale.name}"', f'unit = "{self.unit}"']
        if self.zeros:
            said.append(f"zero_before = {self.zeros[0]!r}")
        if self.zeros and len(self.zeros) == 2:
            said.append(f"zero_after = {self.zeros[1]!r}")
        if self.tare:
            said.append(f"tare = {self.tare!r}")
        if self.load:
            said.append(f"with = {{ strap = sd({self.load[0]!r}, {self.load[1]!r}) }}")
        if self.pieces > 1:
            said.append(f"pieces = {self.pieces}")
        count = f", count = {self.count}" if self.count > 1 else ""
        return (f'    part "{self.name}" {{ mass = within(20, 8), at = {{{", ".join(map(repr, self.at))}}}{count}, '
                f"weighed = {{ {', '.join(said)} }} }},\n")


def write(folder, name, scales, parts):
    path = os.path.join(folder, name)
    with open(path, "w", encoding="utf-8") as f:
        f.write(HEAD + "  instruments = {\n" + "".join(s.text() for s in scales) + "  },\n  parts = {\n")
        f.write("".join(p.text() for p in parts) + "  } }\n")
    return path


def ask(*words):
    return json.loads(subprocess.run([STEELYARD, *words, "--json"], check=True, capture_output=True).stdout)


def answers(parts):
    mass = sum(p.count * p.mass for p in parts)
    x = sum(p.count * p.mass * p.at[0] for p in parts)
    z = sum(p.count * p.mass * p.at[2] for p in parts)
    y = sum(p.count * p.mass * p.at[1] for p in parts)
    # the file's y goes to the right; tracks differ, so the left share follows from the axle loads at equal cross weight
    return {"mass": mass, "front_share": 100 * (1 - x / (mass * WHEELBASE)), "height": z / mass, "cg.y": y / mass}


# First-order propagation on both sides, in doubles: 1e-9 of the value leaves room for a few hundred roundings.
ROOM = 1e-9
cases = 0
with tempfile.TemporaryDirectory() as folder:
    for case in range(25):
        scales = [Scale(f"scale {i}") for i in range(rng.randint(1, 3))]
        parts = [Weighing(f"part {i}", rng.choice(scales)) for i in range(rng.randint(2, 12))]
        old = write(folder, "old.lua", scales, parts)
        want = answers(parts)
        got = ask("balance", old)
        for name, value in want.items():
            if name == "cg.y":
                mine, sd = got["cg"]["y"], got["sd"]["cg"]["y"]
            else:
                mine, sd = got[name], got["sd"][name]
            check(f"case {case}, {name}", mine, value.n, ROOM * max(1.0, abs(value.n)))
            check(f"case {case}, uncertainty of {name}", sd, value.s, ROOM * max(1.0, value.s))
        rows = {row["name"]: row for row in ask("book", old)["rows"]}
        for p in parts:
            check(f"case {case}, {p.name}", rows[p.name]["mass"], p.count * p.mass.n, ROOM * p.count * p.mass.n)
            check(f"case {case}, uncertainty of {p.name}", rows[p.name]["sd"]["mass"], p.count * p.mass.s, ROOM)
            check(f"case {case}, {p.name} before", rows[p.name]["was"]["mass"], 20 * p.count, 0)
        # some parts weighed again on the same scales, one of them taken off: the scales' errors cancel as far as they are shared
        for p in rng.sample(parts, rng.randint(1, len(parts) - 1)):
            p.read()
        left = parts[:-1] if case % 3 == 0 and len(parts) > 2 else parts
        new = write(folder, "new.lua", scales, left)
        change = {name: value - want[name] for name, value in answers(left).items()}
        got = ask("what_changed", old, new)
        for name in ("mass", "front_share", "height"):
            check(f"case {case}, change of {name}", got["total"]["d_" + name], change[name].n, ROOM * max(1.0, abs(want[name].n)))
            check(f"case {case}, uncertainty of the change of {name}", got["sd"]["d_" + name], change[name].s, ROOM * max(1.0, change[name].s))
        # a new scale in the new file, the old ones as they were
        more = scales + [Scale("another scale")]
        again = left + [Weighing("one more", more[-1])]
        new = write(folder, "more.lua", list(reversed(more)), again)
        change = {name: value - want[name] for name, value in answers(again).items()}
        got = ask("what_changed", old, new)
        check(f"case {case}, uncertainty with a new scale", got["sd"]["d_mass"], change["mass"].s, ROOM * max(1.0, change["mass"].s))
        cases += 1

if failed:
    sys.exit(1)
print(f"ok weighing: {cases} ledgers of readings and their changes, masses and uncertainties within 1e-9")
