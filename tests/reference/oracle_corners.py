"""Corner scales against SciPy: the same observations written once more, solved by its bounded least squares without any structure.

Random weighings: pads swapped, the car turned, zeros, gains, a step. Shares and their uncertainties by the uncertainties package from the
covariance of the loads.
"""
import numpy as np
import uncertainties
from scipy.optimize import lsq_linear

from support.ask import ask
from support.library import Checks

checks = Checks()
random = np.random.default_rng(404)
WHEELS = ["lf", "rf", "lr", "rr"]
FRONT, LEFT = [1, 1, -1, -1], [1, -1, 1, -1]

cases, wanted = [], []
for n in range(40):
    loads = random.uniform(100, 260, 4)
    pads = ["A", "B", "C", "D"]
    offset_sd, sd, step = 0.4, float(random.uniform(0.05, 0.2)), 0.1
    gain = {p: (1 + float(random.normal() * 1e-3), 1e-3) for p in pads} if n % 3 == 0 else {p: (1.0, 0.0) for p in pads}
    offset = {p: random.normal() * offset_sd for p in pads}
    runs, rows = [], []
    for run in range(int(random.integers(1, 6))):
        order = list(random.permutation(pads))
        back = run % 2 == 1 and n % 2 == 0
        entry = {"pads": dict(zip(WHEELS, map(str, order))), "facing": "back" if back else "forward"}
        zero = n % 4 == 0
        if zero:
            before = {p: float(round(random.normal() * 0.2, 1)) for p in pads}
            after = {p: float(round(before[p] + random.choice([0, 0.1, 0.2]), 1)) for p in pads}
            entry["zero_before"], entry["zero_after"] = before, after
        for i, (wheel, pad) in enumerate(zip(WHEELS, order)):
            pad = str(pad)
            reading = float(round(loads[i] * gain[pad][0] + offset[pad] + random.normal() * sd, 1))
            entry[wheel] = reading
            scale = 1 / gain[pad][0]
            net = (reading - ((before[pad] + after[pad]) / 2 if zero else 0)) * scale
            moved = (after[pad] - before[pad]) * scale / np.sqrt(12) if zero else 0
            own = sd * scale
            variance = own**2 + (own**2 / 2 if zero else 0) + (step * scale)**2 / 12 + moved**2
            rows.append([i, pads.index(pad), -1 if back else 1, net, variance])
        runs.append(entry)
    cases.append({"runs": runs, "sd": {"reading": sd, "offset": offset_sd}, "step": step,
                  **({"gain": gain} if n % 3 == 0 else {})})
    # repeats: the same wheel on the same pad, facing the same way, share their rounding
    groups = {}
    for row in rows:
        groups.setdefault(tuple(row[:3]), []).append(row[3:])
    repeated = [g for g in groups.values() if len(g) > 1]
    dof = sum(len(g) - 1 for g in repeated)
    seen = np.sqrt(sum(sum((x - np.mean([y for y, _ in g]))**2 for x, _ in g) for g in repeated) / dof) if dof else 0
    slopes = {r[2] for r in rows} == {1, -1}
    a, y, s = [], [], []
    for (i, p, facing), g in groups.items():
        line = np.zeros(10)
        line[i], line[6 + p] = 1, 1
        if slopes:
            line[4], line[5] = facing * FRONT[i], facing * LEFT[i]
        scale = 1 / gain[pads[p]][0]
        once = max(v - (sd * scale)**2 * (1.5 if n % 4 == 0 else 1) for _, v in g)
        scatter = max(sd * scale, seen)
        a.append(line)
        y.append(np.mean([x for x, _ in g]))
        s.append(np.sqrt(scatter**2 * (1.5 if n % 4 == 0 else 1) / len(g) + once))
    for p in range(4):
        line = np.zeros(10)
        line[6 + p] = 1
        a.append(line), y.append(0), s.append(offset_sd)
    a, y, s = np.array(a), np.array(y), np.array(s)
    keep = [k for k in range(10) if slopes or k not in (4, 5)]
    w = a[:, keep] / s[:, None]
    x = lsq_linear(w, y / s, lsq_solver="exact").x
    cov = np.linalg.inv(w.T @ w)[:4, :4]
    pull = np.linalg.inv(w.T @ w)[:4] @ w.T / s
    used = [p for (_, p, _) in groups] + [-1] * 4
    for p in range(4):
        move = sum(pull[:, k] * y[k] * gain[pads[p]][1] / gain[pads[p]][0] for k in range(len(y)) if used[k] == p)
        cov = cov + np.outer(move, move)
    q = uncertainties.correlated_values(x[:4], cov)
    lf, rf, lr, rr = q
    whole = sum(q)
    wanted.append({"lf": lf, "rr": rr, "mass": whole, "front_share": 100 * (lf + rf) / whole, "left_share": 100 * (lf + lr) / whole,
                   "cross_share": 100 * (rf + lr) / whole, "diagonal_ratio": (rf + lr) / (lf + rr)})

for case, r, want in zip(cases, ask("sy.corner_scales", cases), wanted):
    for name, w in want.items():
        checks.near(name, abs(r[name] / w.nominal_value - 1), 1e-12)  # rounding of some ten digits' room
        if name in ("cross_share", "diagonal_ratio") and len(case["runs"]) > 1:
            checks.near("uncertainty of the cross weight, no less", max(0.0, w.std_dev / r["sd"][name] - 1), 1e-9)  # widened by what runs show
        else:
            checks.near(name + " uncertainty", abs(r["sd"][name] / w.std_dev - 1), 1e-9)
checks.finish()
