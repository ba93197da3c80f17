"""Coordinates of two pictures of the shop, worked out from vehicle files at random. Stands: what they span by SciPy's convex hull, the CG of each
step by a sum over the parts, the least distance to an edge of the hull. Floor plan: marks and arcs by their distances from the tape points. Both
are compared with the marks that stand in the SVG files, on paper, to the hundredth of a millimetre that they are written to."""
import os
import subprocess
import sys
import tempfile

import numpy as np
from scipy.spatial import ConvexHull

from support.library import Checks
from support.picture import Marks

checks = Checks()
random = np.random.default_rng(57)
INK, ACCENT = "#1b1c20", "#0b6570"
# a coordinate is written to 0.01 mm; with both ends of a difference that is 0.01
PAPER = 0.0101
WAYS = {"forward": (0, 1), "back": (0, -1), "left": (1, 1), "right": (1, -1), "up": (2, 1), "down": (2, -1)}
BASE, TRACK, RADIUS = 2400.0, 1450.0, 300.0


def near(name, got, want, tolerance, what=""):
    checks.near(name, float(np.max(np.abs(np.asarray(got) - np.asarray(want)))), tolerance, what)


class Car:
    """Axes and zeros at random, masses at random places; places are along forward, left, up from the front axle on the ground."""

    def __init__(self):
        self.axes = [random.choice(pair) for pair in random.permutation([["forward", "back"], ["left", "right"], ["up", "down"]])]
        self.zero = random.integers(-300, 300, 3).astype(float)
        self.parts = [(f"p{i}", float(random.integers(40, 200)),
                       np.array([random.uniform(-BASE, 0), random.uniform(-200, 200), random.uniform(200, 500)])) for i in range(6)]
        # the first comes out: behind, so that the CG goes forward
        self.parts[0] = ("p0", 150.0, np.array([-BASE + 200, 60.0, 300.0]))
        self.points = [np.array([random.uniform(-BASE, 300), random.uniform(-600, 600), random.uniform(100, 500)]) for _ in range(5)]

    def filed(self, p):
        return [WAYS[word][1] * p[WAYS[word][0]] + self.zero[WAYS[word][0]] for word in self.axes]

    def text(self):
        def listed(p):
            return "{" + ", ".join(repr(float(x)) for x in self.filed(p)) + "}"

        lengthwise = next(word for word in self.axes if WAYS[word][0] == 0)
        at = [self.zero[0], self.zero[0] - WAYS[lengthwise][1] * BASE]
        parts = ", ".join(f'part "{name}" {{ mass = {kg!r}, at = {listed(p)} }}' for name, kg, p in self.parts)
        points = ", ".join(f'["q{i}"] = {listed(p)}' for i, p in enumerate(self.points))
        axles = ", ".join(f'{{name = "{name}", at = {float(x)!r}, track = {TRACK}, loaded_radius = {RADIUS}}}'
                          for name, x in zip(("front", "rear"), at))
        x, y, z = self.axes
        return (f'vehicle {{ title = "random", axes = {{x = "{x}", y = "{y}", z = "{z}"}}, ground = {float(self.zero[2])!r}, '
                f"centre = {float(self.zero[1])!r}, axles = {{ {axles} }}, points = {{ {points} }}, parts = {{ {parts} }} }}")

    def cg(self, first):
        """Forward and left, without the parts before `first`."""
        masses = np.array([kg for _, kg, _ in self.parts[first:]])
        return (masses @ np.array([p[:2] for _, _, p in self.parts[first:]])) / masses.sum()

    def picture(self, folder, command, *options):
        vehicle, path = os.path.join(folder, "car.lua"), os.path.join(folder, "picture.svg")
        with open(vehicle, "w", encoding="utf-8") as file:
            file.write(self.text())
        done = subprocess.run([sys.argv[1], command, vehicle, *options, "--plot", path, "--replace", "--quiet"], stdout=subprocess.DEVNULL)
        checks.near(f"{command} ends", 0.0 if done.returncode in (0, 4) else 1.0, 0.5)  # 4: a limit is broken
        return Marks(path)


def plan(p):
    """Front up: to the right is the car's right, up the page is forward; y of the page runs down."""
    return np.array([-p[1], -p[0]])


def centre(points):
    return (points.min(axis=0) + points.max(axis=0)) / 2


# ---- stands -------------------------------------------------------------------------------------------------------------------

def margin(hull_points, p):
    """From p to the nearest edge of the hull, negative outside; hull.equations: outward normals of length 1 and offsets."""
    return -np.max(ConvexHull(hull_points).equations @ np.append(p, 1.0))


with tempfile.TemporaryDirectory() as folder:
    for trial in range(20):
        car = Car()
        count = int(random.integers(3, 6))
        stands = [np.array([random.uniform(-300, 200) if i % 2 else random.uniform(-BASE - 200, -BASE + 300),
                            (-1 if i % 4 < 2 else 1) * random.uniform(150, 600), 150.0]) for i in range(count)]
        words = [",".join(repr(float(x)) for x in car.filed(p)) for p in stands]
        picture = car.picture(folder, "stands", *words, "--without", "p0")
        n = picture.scale
        squares = [centre(points) for look, points, closed in picture.paths
                   if closed and look.get("stroke-width") == "0.5" and look.get("fill") == "#ffffff" and len(points) == 4]
        near("as many stands", len(squares), count, 0.5, f"car {trial}")
        for i in range(1, count):
            near("stands", (squares[i] - squares[0]) * n, plan(stands[i]) - plan(stands[0]), PAPER * n, f"car {trial}")
        flat = np.array([plan(p) for p in stands])
        corners = flat[ConvexHull(flat).vertices]
        drawn = next(points for look, points, closed in picture.paths
                     if closed and look.get("stroke-width") == "0.5" and look.get("fill") == "none")
        near("corners of the polygon", len(drawn), len(corners), 0.5, f"car {trial}")
        for corner in corners:
            want = squares[0] + (corner - flat[0]) / n
            near("polygon", np.abs(drawn - want).max(axis=1).min(), 0, PAPER, f"car {trial}")
        cgs = [car.cg(0), car.cg(1)]
        quarter = next(points for look, points, closed in picture.paths
                       if closed and look.get("fill") == INK and "stroke" not in look and len(points) == 10)
        near("CG", (quarter[0] - squares[0]) * n, plan(cgs[0]) - flat[0], PAPER * n, f"car {trial}")
        dots = [np.array([x, y]) for look, x, y, r in picture.circles if r == 0.9]
        near("CG without", (dots[0] - squares[0]) * n, plan(cgs[1]) - flat[0], PAPER * n, f"car {trial}")
        margins = [margin(flat, plan(p)) for p in cgs]
        worst = int(np.argmin(margins))
        edge = next(points for look, points, closed in picture.paths if look.get("stroke-width") == "0.7" and len(points) == 2)
        at = squares[0] + (plan(cgs[worst]) - flat[0]) / n
        along = edge[1] - edge[0]
        off = abs(along[0] * (at - edge[0])[1] - along[1] * (at - edge[0])[0]) / np.hypot(*along)
        if margins[worst] > 0:  # outside a corner may be nearer than any edge's line
            near("edge of the least margin", off * n, margins[worst], 2 * PAPER * n, f"car {trial}")
        shown = f"{abs(margins[worst]):.0f}"
        checks.near("margin in words", 0.0 if any(t.startswith(shown + "\u00a0") or t == shown + "\u00a0mm" for t in picture.texts) else 1.0,
                    0.5, f"car {trial}: {shown}")

# ---- the floor plan ---------------------------------------------------------------------------------------------------------------

    for trial in range(20):
        car = Car()
        picture = car.picture(folder, "mockup")
        n = picture.scale
        rings = [np.array([x, y]) for look, x, y, r in picture.circles if r == 1.5]
        dots = [np.array([x, y]) for look, x, y, r in picture.circles if r == 0.55]
        near("two tape points", len(rings), 2, 0.5)
        # the tape points lie on the axle lines, left of the car
        near("tape points", (rings[1] - rings[0]) * n, [0, BASE], PAPER * n, f"car {trial}")
        wheels = [np.array([x, y, RADIUS]) for x in (0.0, -BASE) for y in (TRACK / 2, -TRACK / 2)]
        want = wheels + car.points
        near("marks", len(dots), len(want), 0.5, f"car {trial}")
        for p in want:
            place = dots[0] + (plan(p) - plan(wheels[0])) / n
            near("mark", min(np.abs(dot - place).max() for dot in dots), 0, PAPER, f"car {trial}")
        arcs = [points for look, points, closed in picture.paths if look.get("stroke") == ACCENT and len(points) == 5]
        near("arcs", len(arcs), 2 * len(want), 0.5, f"car {trial}")
        for i, arc in enumerate(arcs):
            radius = np.hypot(*(dots[i // 2] - rings[i % 2]))
            near("arc", np.hypot(*(arc - rings[i % 2]).T), radius, 2 * PAPER, f"car {trial}")

checks.finish()
