"""Closures and the line "unaccounted" against the uncertainties package, through the command's own JSON.

Closure  random teardowns with readings in kg, g, lb and oz: every reading, the whole, and the zero and gain of the parts' scale are one
         variable each; the package adds up, subtracts and combines (first order, correlations through shared variables).
Line     random groups that count as weighed: what the whole has beyond its parts is the whole less their sum, one variable each, at their
         CG, which is another function of them. Mass, height and axle loads must agree with the command.
Units    1 lb = 0.45359237 kg, 1 oz = 0.028349523125 kg: NIST Special Publication 811 (2008), Appendix B.8, exact.
"""
import json
import os
import subprocess
import sys
import tempfile

import numpy as np
from uncertainties import ufloat

command = sys.argv[1]
random = np.random.default_rng(3168)
UNITS = {"kg": 1, "g": 0.001, "lb": 0.45359237, "oz": 0.028349523125}
failed = False


def report(name, good, detail):
    global failed
    failed = failed or not good
    print(("ok " if good else "FAILED ") + name, detail)


def ask(text, suffix, *words):
    """The command's JSON on a file with this text."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "asked" + suffix)
        with open(path, "w") as file:
            file.write(text)
        line = [command, words[0], path, *words[1:], "--json"]
        return json.loads(subprocess.run(line, check=True, capture_output=True, text=True).stdout)


def apart(got, want, scale):
    return abs(got - want) / scale


# ---- closures ------------------------------------------------------------------------------------------------------------------


def closure_case():
    bias_sd, gain_sd, whole_sd = (float(x) for x in random.uniform((0, 0, 0.1), (0.03, 0.002, 1)))
    bias, gain = ufloat(0, bias_sd), ufloat(1, gain_sd)
    rows, total = ["part,mass [kg],unit,quantity,sd,kind"], ufloat(0, 0)
    for i in range(random.integers(3, 50)):
        unit = str(random.choice(list(UNITS)))
        reading = round(float(random.uniform(0.2, 30)) / UNITS[unit], 3)
        sd = round(float(random.uniform(0.001, 0.1)) / UNITS[unit], 4)
        pieces, extra = int(random.integers(1, 5)), bool(random.random() < 0.2)
        rows.append(f"line {i},{reading!r},{unit},{pieces},{sd!r},{'extra' if extra else 'part'}")
        own = ufloat(reading, sd) * UNITS[unit]
        total += pieces * (own if extra else (own - bias) / gain)
    rows.append("bare,1,kg,1,0.1,part")
    total += (ufloat(1, 0.1) - bias) / gain
    value = round(total.n + float(random.normal()) * whole_sd, 3)
    rows.append(f"all of it,{value!r},kg,1,{whole_sd!r},whole")
    gap = ufloat(value, whole_sd) - total
    got = ask("\n".join(rows) + "\n", ".csv", "teardown", "--bias-sd", repr(bias_sd), "--gain-sd", repr(gain_sd))["tables"][0]
    return max(apart(got["sum"], total.n, total.n), apart(got["sum_sd"], total.s, total.s), apart(got["gap"], gap.n, total.n),
               apart(got["sd"], gap.s, gap.s), apart(got["sigmas"], gap.n / gap.s, max(1, total.n / gap.s)))


# some fifty additions of doubles, and decimal texts that read back exactly
ROUNDING = 1e-12
worst = max(closure_case() for _ in range(60))
report("closure", worst < ROUNDING, f"60 teardowns, largest relative difference {worst:.1e}")

# ---- the line "unaccounted" ------------------------------------------------------------------------------------------------------

WHEELBASE = 2400.0


def answers(masses, places):
    """mass, its moment about the front axle as a load on the rear, the rest on the front; CG height; front share."""
    mass = sum(masses)
    rear = sum(m * x for m, (x, _) in zip(masses, places)) / WHEELBASE
    height = sum(m * z for m, (_, z) in zip(masses, places)) / mass
    return {"mass": mass, "front": mass - rear, "rear": rear, "height": height, "front_share": 100 * (mass - rear) / mass}


def line_case():
    count = int(random.integers(2, 8))
    values = [round(float(v), 2) for v in random.uniform(2, 90, count)]
    uncertainties = [round(float(v), 3) for v in random.uniform(0.01, 1, count)]
    places = [(round(float(x)), round(float(z))) for x, z in random.uniform((200, 100), (2200, 600), (count, 2))]
    whole_value, whole_sd = round(sum(values) + float(random.uniform(0.5, 6)), 2), round(float(random.uniform(0.1, 2)), 2)
    parts = "\n".join(f'part "p{i}" {{ mass = sd({values[i]!r}, {uncertainties[i]!r}), at = {{{places[i][0]}, 0, {places[i][1]}}} }},'
                      for i in range(count))
    got = ask(f"""vehicle {{ axes = {{ x = "back", y = "right", z = "up" }},
      axles = {{ {{ name = "front", at = 0, track = 1450, loaded_radius = 288 }},
                 {{ name = "rear", at = {WHEELBASE!r}, track = 1460, loaded_radius = 301 }} }},
      parts = {{ group "g" {{ whole = sd({whole_value!r}, {whole_sd!r}), unaccounted = true, {parts} }},
                 part "rest" {{ mass = sd(200, 1), at = {{1000, 0, 300}} }} }} }}""", ".lua", "balance")
    masses = [ufloat(v, u) for v, u in zip(values, uncertainties)]
    total = sum(masses)
    cg = [sum(m * p[k] for m, p in zip(masses, places)) / total for k in (0, 1)]
    spread = [(sum(v * (p[k] - cg[k].n) ** 2 for v, p in zip(values, places)) / sum(values)) ** 0.5 for k in (0, 1)]
    gap = ufloat(whole_value, whole_sd) - total  # what is beyond the parts lies at their cg, give or take their spread
    at = tuple(cg[k] + ufloat(0, spread[k]) for k in (0, 1))
    want = answers([*masses, gap, ufloat(200, 1)], [*places, at, (1000, 300)])
    return max(max(apart(got[k], want[k].n, want[k].n), apart(got["sd"][k], want[k].s, want[k].s)) for k in want)


# places are kept to a picometre and a spread is a difference of squares
worst = max(line_case() for _ in range(60))
report("line", worst < 1e-9, f"60 groups, largest relative difference {worst:.1e}")
sys.exit(failed)
