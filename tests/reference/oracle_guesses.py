"""How good the guesses were, against Python's statistics module and NumPy, and against distributions that are known.

Random ledgers are written as vehicle files: for each line a guess with its basis and stated uncertainty, and what it weighed, drawn from a
normal distribution about the guess whose bias and scatter are known here. Means, standard deviations and root mean squares are those of
statistics and NumPy to rounding; over many lines they are the distribution's own within five standard errors, which chance exceeds once in
1.7 million (normal distribution, two-sided 5 sigma).
"""
import json
import math
import os
import random
import statistics
import subprocess
import sys
import tempfile

import numpy as np

STEELYARD = sys.argv[1]
HEAD = """vehicle { title = "Random", axles = { { name = "front", at = 0, track = 1200, loaded_radius = 230 },
  { name = "rear", at = 1550, track = 1180, loaded_radius = 230 } }, assume = { estimate = "%s %%" }, parts = {
"""
ROOM = 1e-9  # in percent: rounding of sums over some hundred terms of at most 100
K95 = 1.959963984540054  # two-sided 95 % of the normal distribution
TRUE = {"estimate": (6.0, 15.0), "calculated": (2.0, 4.0), "supplier": (-1.0, 2.0)}  # bias and scatter, %

failed = 0
rng = random.Random(13)


def check(name, got, want, tolerance):
    global failed
    if not abs(got - want) <= tolerance:
        failed += 1
        print(f"FAILED {name}: {got!r}, want {want!r}")


def ask(*files):
    done = subprocess.run([STEELYARD, "guesses", *files, "--json"], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


class Line:
    def __init__(self, number):
        self.name, self.group = f"p{number}", rng.choice(["frame", "engine", None])
        self.basis = rng.choice(list(TRUE))
        self.guess = round(rng.uniform(0.5, 90), 3)
        bias, scatter = TRUE[self.basis]
        self.weighed = round(self.guess * max(0.05, 1 + rng.gauss(bias, scatter) / 100), 4)
        self.kind = rng.choice(["sd", "within", "none"])
        self.width = round(self.guess * rng.uniform(0.02, 0.3), 3)
        self.in_old = rng.random() < 0.3  # the guess stands in an earlier file alone

    def mass(self):
        return {"sd": f"sd({self.guess!r}, {self.width!r})", "within": f"within({self.guess!r}, {self.width!r})",
                "none": repr(self.guess)}[self.kind]

    def text(self, old):
        said = f'basis = "{self.basis}", at = {{700, 0, 300}}'
        if old:
            return f'part "{self.name}" {{ mass = {self.mass()}, {said} }},\n'
        if self.in_old:
            return f'part "{self.name}" {{ mass = {self.weighed!r}, basis = "weighed", at = {{700, 0, 300}} }},\n'
        return f'part "{self.name}" {{ mass = {self.mass()}, {said}, weighed = {{ reading = {self.weighed!r} }} }},\n'

    def error(self):
        return 100 * (self.weighed - self.guess) / self.guess

    def inside(self, assume):
        """None where nothing is stated."""
        off = abs(self.weighed - self.guess)
        if self.kind == "within":
            return off <= self.width
        sd = self.width if self.kind == "sd" else self.guess * assume / 100 if self.basis == "estimate" else None
        return None if sd is None else off <= K95 * sd


def write(folder, name, lines, assume, old):
    path = os.path.join(folder, name)
    with open(path, "w", encoding="utf-8") as f:
        f.write(HEAD % assume)
        for group in ("frame", "engine"):
            f.write(f'group "{group}" {{\n' + "".join(x.text(old) for x in lines if x.group == group) + "},\n")
        f.write("".join(x.text(old) for x in lines if x.group is None) + 'part "rest" { mass = 5, at = {100, 0, 300} } } }\n')
    return path


def compare(name, row, lines, assume):
    errors = [x.error() for x in lines]
    check(f"{name}, lines", row["lines"], len(errors), 0)
    check(f"{name}, bias", row["bias"], statistics.fmean(errors), ROOM)
    check(f"{name}, rms", row["rms"], float(np.sqrt(np.mean(np.square(errors)))), ROOM)
    if len(errors) > 1:
        check(f"{name}, scatter", row["scatter"], statistics.stdev(errors), ROOM)
    known = [x.inside(assume) for x in lines]
    check(f"{name}, stated", row["stated"], sum(k is not None for k in known), 0)
    check(f"{name}, inside", row["inside"], sum(k is True for k in known), 0)
    check(f"{name}, guessed", row["was"], math.fsum(x.guess for x in lines), 1e-9)
    check(f"{name}, weighed", row["is"], math.fsum(x.weighed for x in lines), 1e-9)


with tempfile.TemporaryDirectory() as folder:
    cases = 0
    for case in range(20):
        lines = [Line(i) for i in range(rng.choice([3, 12, 60, 400]))]
        assume = rng.choice([5, 10, 20])
        old, new = write(folder, "old.lua", lines, assume, True), write(folder, "new.lua", lines, assume, False)
        for files, seen in (((old, new), lines), ((new,), [x for x in lines if not x.in_old])):
            got = ask(*files)
            rows = {(row["by"], row["name"]): row for row in got["rows"]}
            check(f"case {case}, lines in all", len(got["lines"]), len(seen), 0)
            if not seen:
                continue
            compare(f"case {case}, all", rows["all", "all"], seen, assume)
            for basis in TRUE:
                of = [x for x in seen if x.basis == basis]
                if of:
                    compare(f"case {case}, {basis}", rows["basis", basis], of, assume)
                    check(f"case {case}, assume {basis}", got["assume"][basis], rows["basis", basis]["rms"], 0)
            for group in ("frame", "engine", None):
                of = [x for x in seen if x.group == group]
                if of:
                    compare(f"case {case}, {group}", rows["group", group or "outside all groups"], of, assume)
        cases += 1
    # what they were drawn from
    lines = [Line(i) for i in range(3000)]
    got = ask(write(folder, "old.lua", lines, 10, True), write(folder, "new.lua", lines, 10, False))
    for row in got["rows"]:
        if row["by"] == "basis":
            bias, scatter = TRUE[row["name"]]
            n, rms = row["lines"], math.hypot(bias, scatter)
            check(f"bias of {row['name']}", row["bias"], bias, 5 * scatter / math.sqrt(n))
            check(f"scatter of {row['name']}", row["scatter"], scatter, 5 * scatter / math.sqrt(2 * n))
            check(f"honest assume of {row['name']}", row["rms"], rms, 5 * rms / math.sqrt(2 * n))

if failed:
    sys.exit(1)
print(f"ok guesses: {cases} ledgers against statistics and NumPy, 3000 lines of known bias and scatter")
