"""Coordinates of charts, worked out from vehicle files made up here: the front axle load of a row of masses as one moves and another is
heavier, by NumPy; then compared with what stands in the SVG files, read as XML: marks of a study along one input, contours and hatching of
one over two inputs, bars of the book. Where a number stands is taken from the names of the ticks alone."""
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

import numpy as np

from support.library import Checks

checks = Checks()
random = np.random.default_rng(5455)
SVG = "{http://www.w3.org/2000/svg}"
INK, ACCENT, FAIL = "#1b1c20", "#0b6570", "#ad3a17"
PAPER = 0.0101  # mm: a coordinate is written to 0.01, a scale comes from two of them


def number(text):
    text = text.replace("\u2212", "-")
    return float(text) if re.fullmatch(r"-?\d+(\.\d+)?", text) else None


class Chart:
    """The marks of a picture by their looks, and the scales of its axes."""

    def __init__(self, *command):
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "chart.svg")
            run = subprocess.run([sys.argv[1], *command, "--plot", path], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
            if not os.path.exists(path):
                raise SystemExit(run.stderr)
            self.root = ElementTree.parse(path).getroot()
        self.texts = [(t.text or "", float(t.get("x")), float(t.get("y")), t.attrib) for t in self.root.iter(SVG + "text")]
        self.paths, self.circles = [], []
        self.walk(self.root, {})

    def walk(self, node, look):
        look = {**look, **{k: v for k, v in node.attrib.items() if k in ("stroke", "stroke-width", "fill", "stroke-dasharray")}}
        if node.tag == SVG + "circle":
            self.circles.append((look, float(node.get("cx")), float(node.get("cy")), float(node.get("r"))))
        if node.tag == SVG + "path":
            for piece in node.get("d").split("M")[1:]:
                self.paths.append((look, np.array([[float(x) for x in pair.split()] for pair in piece.rstrip("Z").split("L")])))
        for child in node:
            self.walk(child, look)

    def axes(self):
        """Upright and level axis of the first plot: the first two ink lines 0.35 wide; and the functions from paper to number."""
        lines = [p for look, p in self.paths if look.get("stroke") == INK and look.get("stroke-width") == "0.35" and len(p) == 2]
        upright = next(p for p in lines if p[0, 0] == p[1, 0])
        level = next(p for p in lines if p[0, 1] == p[1, 1] and abs(p[0, 1] - upright[:, 1].max()) < 0.01)
        self.left, self.right = level[:, 0].min(), level[:, 0].max()
        self.top, self.bottom = upright[:, 1].min(), upright[:, 1].max()
        xs = [(number(t), x) for t, x, y, a in self.texts if number(t) is not None and a.get("text-anchor") == "middle"
              and self.bottom < y < self.bottom + 7]
        ys = [(number(t), y - 1.08) for t, x, y, a in self.texts if number(t) is not None and a.get("text-anchor") == "end"
              and self.left - 12 < x < self.left and self.top - 2 < y < self.bottom + 3]

        def scale(ticks):
            (a, p), (b, q) = ticks[0], ticks[-1]
            self.worth = getattr(self, "worth", []) + [abs((b - a) / (q - p)) * PAPER * 2]
            return lambda place: a + (place - p) / (q - p) * (b - a)

        return scale(xs), scale(ys)


# ---- cars ---------------------------------------------------------------------------------------------------------------------

def random_car(limit=None):
    """A row of masses, forward or back along the file; gives its text and a function of how far p0 moves back and what p1 weighs."""
    back = random.random() < 0.5
    zero, base, n = float(random.integers(-400, 400)), float(random.integers(2000, 2800)), int(random.integers(4, 9))
    behind, mass = random.uniform(-200, base + 200, n), random.integers(20, 180, n).astype(float)
    sign = 1 if back else -1
    parts = ", ".join(f'part "p{i}" {{ mass = {mass[i]!r}, at = {{{zero + sign * behind[i]!r}, 0, 300}} }}' for i in range(n))
    limits = f'limits = {{ {{name = "front share", quantity = "front_share", min = {limit[0]}, max = {limit[1]}}} }}, ' if limit else ""
    text = (f'vehicle {{ title = "random", axes = {{x = "{"back" if back else "forward"}", y = "right", z = "up"}}, {limits}axles = {{ '
            f'{{name = "front", at = {zero!r}, track = 1400, loaded_radius = 300}}, '
            f'{{name = "rear", at = {zero + sign * base!r}, track = 1400, loaded_radius = 300}} }}, parts = {{ {parts} }} }}')

    def share(moved, heavy):
        total = mass.sum() - mass[1] + heavy
        moment = (mass * behind).sum() + mass[0] * moved + (heavy - mass[1]) * behind[1]
        return 100 * (1 - moment / total / base)

    return text, share, mass


def with_file(text, run):
    with tempfile.NamedTemporaryFile("w", suffix=".lua") as file:
        file.write(text)
        file.flush()
        return run(file.name)


# ---- along one input ------------------------------------------------------------------------------------------------------------

marks_seen = 0
for trial in range(6):
    text, share, mass = random_car()
    chart = with_file(text, lambda path: Chart("window", path, "--move", "p0", "--back=-80,120,9", "--front",
                                               "%.1f,%.1f" % (share(0, mass[1]) - 0.6, share(0, mass[1]) + 0.8)))
    x, y = chart.axes()
    marks = [(cx, cy) for look, cx, cy, r in chart.circles
             if (r == 1.1 or look.get("fill") == FAIL) and chart.top - 2 < cy < chart.bottom + 2]
    checks.near("marks", abs(len(marks) - 9), 0.5, f"car {trial}")
    for i, (cx, cy) in enumerate(marks):
        moved = -80 + 25 * i
        checks.near("mark across", abs(x(cx) - moved), chart.worth[0], f"car {trial}")
        checks.near("mark up", abs(y(cy) - share(moved, mass[1])), chart.worth[1], f"car {trial}")
        marks_seen += 1

# ---- over two --------------------------------------------------------------------------------------------------------------------

contours_seen, hatched_seen = 0, 0
for trial in range(6):
    state = random.bit_generator.state
    _, share, mass = random_car()
    middle = share(0, 80)
    random.bit_generator.state = state
    low, high = round(middle - 0.4, 1), round(middle + 0.7, 1)
    text, share, mass = random_car((low, high))
    chart = with_file(text, lambda path: Chart("engine_driver_map", path, "--move", "p0", "--who", "p1"))
    x, y = chart.axes()
    inside = [(number(t), tx, ty) for t, tx, ty, a in chart.texts if number(t) is not None and chart.left + 0.3 < tx < chart.right - 0.3
              and chart.top < ty < chart.bottom and a.get("text-anchor") == "middle"]
    levels = np.array(sorted(level for level, _, _ in inside))
    checks.near("levels", 0.0 if len(levels) >= 2 else 1.0, 0.5, f"car {trial}")
    for look, points in chart.paths:
        within = (points[:, 0] > chart.left - 0.01).all() and (points[:, 0] < chart.right + 0.01).all() \
            and (points[:, 1] > chart.top - 0.01).all() and (points[:, 1] < chart.bottom + 0.01).all()
        edge = np.ptp(points[:, 0]) == 0 or np.ptp(points[:, 1]) == 0
        if not within or edge or look.get("stroke") != INK:
            continue
        found = share(x(points[:, 0]), y(points[:, 1]))
        # what a number is worth on paper, and the bend of the answer across a cell: mass 5 kg apart of some hundreds
        tolerance = 0.01
        if look.get("stroke-width") == "0.25":  # a contour
            level = levels[np.abs(levels - found.mean()).argmin()]
            if abs(level - found.mean()) < 0.1:  # one without room for its number is of another level
                checks.near("contour", np.abs(found - level).max(), tolerance, f"car {trial}")
                contours_seen += 1
            checks.near("contour is level", np.ptp(found), tolerance, f"car {trial}")
        elif look.get("stroke-width") == "0.18":  # hatching, which ends where words stand, too
            middle_of = points.mean(axis=0)
            over = share(x(middle_of[0]), y(middle_of[1]))
            checks.near("hatched", max(0.0, min(high - over, over - low)), tolerance, f"car {trial}")
            hatched_seen += 1
        elif look.get("stroke-width") == "0.5":  # the limit
            checks.near("limit", np.minimum(np.abs(found - low), np.abs(found - high)).max(), tolerance, f"car {trial}")
checks.near("contours seen", 0.0 if contours_seen > 15 else 1.0, 0.5)
checks.near("hatching seen", 0.0 if hatched_seen > 50 else 1.0, 0.5)
checks.near("marks seen", 0.0 if marks_seen == 54 else 1.0, 0.5)

# ---- bars -------------------------------------------------------------------------------------------------------------------------

for trial in range(4):
    text, share, mass = random_car()
    chart = with_file(text, lambda path: Chart("book", path))
    bars = [points for look, points in chart.paths if look.get("stroke-width") == "0.25" and len(points) == 4]
    heavy = np.sort(mass)[::-1]
    lengths = np.array([np.ptp(bar[:, 0]) for bar in bars[:len(heavy)]])
    checks.near("bars", np.abs(lengths - lengths[0] * heavy / heavy[0]).max(), 2 * PAPER, f"car {trial}")
    starts = np.array([bar[:, 0].min() for bar in bars])
    checks.near("bars start at zero", np.ptp(starts), PAPER, f"car {trial}")

checks.finish()
