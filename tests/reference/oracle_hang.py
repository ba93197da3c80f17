"""The point nearest to hanging lines against SciPy, which minimises the distances without knowing that the problem is linear."""
import numpy as np
from scipy.optimize import least_squares

from support.ask import ask
from support.library import Checks

checks = Checks()
random = np.random.default_rng(31)

cases, wanted = [], []
for n in range(40):
    cg = random.uniform(-300, 300, 3)
    lines = []
    for _ in range(int(random.integers(2, 7))):
        hook = cg + random.normal(size=3) * 400
        mark = hook + (cg - hook) * random.uniform(0.5, 2)
        lines.append((hook, mark + random.normal(size=3) * 3))
    unit = [(m - h) / np.linalg.norm(m - h) for h, m in lines]
    if max(abs(np.dot(a, b)) for i, a in enumerate(unit) for b in unit[:i]) > 0.99 and len(lines) == 2:
        continue  # near parallel: SciPy stops short

    def distances(c):
        return np.concatenate([np.cross(c - h, u) for (h, _), u in zip(lines, unit)])

    found = least_squares(distances, np.zeros(3), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    cases.append({"lines": [{"from": [float(x) for x in h], "to": [float(x) for x in m]} for h, m in lines], "sd": 0.001})
    wanted.append((found.x, max(np.linalg.norm(np.cross(found.x - h, u)) for (h, _), u in zip(lines, unit))))

for r, (cg, miss) in zip(ask("sy.hang_cg", cases), wanted):
    # SciPy's steps end at 1e-8 of places of some 300 mm
    checks.near("nearest point", max(abs(r["cg"][k] - v) for k, v in zip("xyz", cg)), 1e-5)
    checks.near("largest miss", abs(r["miss"] - miss), 1e-5)
checks.finish()
