"""A million variants of a car on its springs: sy_corner_variants against NumPy, 8 x 8 systems by numpy.linalg.solve, in
pieces that stay in the cache (the fastest of several sizes), and against C written by hand for this one vehicle
(baseline_corner_variants.c), compiled for this machine.

Unknowns heave, pitch, roll, twist and four wheel heights; springs and bars between body and wheels, tyres to the ground, the chassis on
the twist. From 18 numbers a variant to the 8 unknowns. Also one car:corners from Lua.
"""
import os
import subprocess
import sys
import tempfile

import numpy as np

from rounds import Program, head, medians, python_job, row

build = sys.argv[1]
N, PIECES = 1_000_000, (500, 2000, 100_000)
X, HALF = (0.0, -2.4), (0.725, 0.73)
random = np.random.default_rng(5)
columns = np.concatenate([
    random.uniform(1e4, 9e4, (4, N)), random.uniform(1.5e5, 3e5, (4, N)), random.uniform(0, 3e4, (2, N)),
    random.uniform(1e4, 2e6, (1, N)), random.uniform(4e3, 1.2e4, (1, N)), random.uniform(-2, -0.6, (1, N)),
    random.uniform(-0.1, 0.1, (1, N)), random.uniform(150, 450, (4, N))])

# stretch of every spring per unknown: matrix = rows^T diag(rate) rows, a linear map of the rates
sides = [(0, 1), (0, -1), (1, 1), (1, -1)]
travel = np.array([[-1, X[a], -s * HALF[a], -s * HALF[a] * (0.5 if a == 0 else -0.5)] + [float(k == i) for k in range(4)]
                   for i, (a, s) in enumerate(sides)])
tyre = np.hstack([np.zeros((4, 4)), np.eye(4)])
bars = np.array([travel[0] - travel[1], travel[2] - travel[3]])
twist = np.eye(8)[3:4]
rows = np.concatenate([travel, tyre, bars, twist])
outer = np.einsum("ki,kj->kij", rows, rows).reshape(11, 64)


def by_numpy(c):
    matrix = (c[:11].T @ outer).reshape(-1, 8, 8)
    right = np.empty((c.shape[1], 8))
    weight, x, y = c[11:14]
    share = (x - X[1]) / (X[0] - X[1]) - 0.5
    right[:, 0], right[:, 1], right[:, 2], right[:, 3] = -weight, weight * x, -weight * y, -weight * y * share
    right[:, 4:] = -c[14:18].T
    return np.linalg.solve(matrix, right[..., None])[..., 0]


with tempfile.TemporaryDirectory() as folder:
    file = os.path.join(folder, "variants")
    columns.tofile(file)
    program = Program(build, "bench_corner_variants", file)
    theirs = by_numpy(columns[:, :5])
    for whose in ("ours", "the baseline's"):
        answers = np.array([[float(v) for v in program.line().split()] for _ in range(5)])
        miss = np.abs(answers - theirs).max() / np.abs(theirs).max()
        if not miss < 1e-11:  # an 8 x 8 solve against two eliminations
            raise SystemExit(f"{whose} answers differ by {miss:.2g}")
    jobs = {name: program.job(name) for name in ("pieces", "C pieces", "cached", "C cached", "few", "C few")}
    for size in PIECES:
        jobs[size] = python_job(lambda piece=np.ascontiguousarray(columns[:, :size]): by_numpy(piece))
    times = medians(jobs)
    program.close()
numpy = min(times[size] / size for size in PIECES)
head()
row("corner variants, in memory", N, times["pieces"] / 20000, numpy, "numpy.linalg.solve, a variant; asked: 50 x")
row("corner variants, in cache", 4096, times["cached"] / 4096, numpy, "the same")
for name, n, job, size in (("memory", N, "pieces", 20000), ("cache", 4096, "cached", 4096), ("the second cache", 1024, "few", 1024)):
    row(f"corner variants, in {name}", n, times[job] / size, times["C " + job] / size,
        "C by hand for this vehicle and machine; asked: 0.77 x (1 / 1.3)")
script = """
local sy = require "steelyard"
local car = sy.load("vehicles/twayblade.lua"):state "two up"
local function best(f)
  local least = math.huge
  for _ = 1, 15 do
    local t = os.clock()
    for _ = 1, 2000 do f() end
    least = math.min(least, (os.clock() - t) / 2000)
  end
  return least
end
print(best(function() return car:corners{} end), best(function() return car:corners{pads = {lf = 2}, bars = "connected"} end))
"""
with tempfile.NamedTemporaryFile("w", suffix=".lua") as file:
    file.write(script)
    file.flush()
    command = os.environ.get("STEELYARD", os.path.join(build, "steelyard"))
    plain, setting = subprocess.run([command, file.name], capture_output=True, text=True, check=True).stdout.split()
row("car:corners{} from Lua, best of 15 rounds", 1, float(plain), None, "asked: 20 us")
row("car:corners with pads and bars, likewise", 1, float(setting))
