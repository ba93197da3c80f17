"""Sheets of paper against what nothing of the project works out.

The square of a mark-out and the grid of its tiles are measured in dots: the PDF rasterised at 600 dots an inch by pdftoppm (poppler).
The order sheet of vehicles/bistort.lua is worked out from the file: its numbers are read from the text of the file,
places are turned to the builder's axes, and masses and loads are summed part by part in the state "race start".

Source: moments of a rigid body about two supports (statics); ISO 8855:2011 for forward, left and up. The file's axes: x forward, y right,
        z up; its zero is 1310 behind the front axle, 640 left of the centre plane and 125 above the ground.
Usage: oracle_sheets.py path/to/steelyard"""

import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy

from support.library import Checks

STEELYARD = sys.argv[1]
FILE = "vehicles/bistort.lua"
checks = Checks()


def near(name, got, want, tolerance):
    checks.near(name, abs(got - want), tolerance, f"{got} and {want}")


text = re.sub(r"--.*", "", Path(FILE).read_text())


def document(*words):
    return json.loads(subprocess.run([STEELYARD, "sheets", FILE, "order", *words, "--json"], check=True, capture_output=True).stdout)["order"]


def named_points():
    block = re.search(r"\n  points = \{(.*?)\n  \},", text, re.S).group(1)
    points = {}
    for name, place in re.findall(r'\["([^"]+)"\] = (?:\{ at = )?\{([^}]*)\}', block):
        numbers = re.sub(r"sd\(([-\d.]+), [-\d.]+\)", r"\1", place).split(",")
        points[name] = [float(n) for n in numbers]
    return points


def axles():
    block = re.search(r"\n  axles = \{(.*?)\n  \},", text, re.S).group(1)
    return [{key: float(value) for key, value in re.findall(r"\b(at|track|loaded_radius) = ([-\d.]+)", one)}
            for one in re.findall(r'\{ name = .*?\}', block, re.S)]


POINTS, AXLES = named_points(), axles()
ZERO = POINTS["crank centre"]


def his(place):
    """x forward, y left, z up from the crank centre: y runs the other way than the file's."""
    return {"x": place[0] - ZERO[0], "y": -(place[1] - ZERO[1]), "z": place[2] - ZERO[2]}


def compare_place(name, row, place):
    for letter, value in his(place).items():
        near(f"{name} {letter}, mm", row[letter], value + 0.0, 1e-9)


order = document("--datum", "crank centre", "--axes", "forward,left,up")
for row in order["points"]:
    compare_place(row["name"], row, POINTS[row["name"]])
near("all points of the file are there", float(len(order["points"])), float(len(POINTS)), 0.5)

# Wheel centres: half the track aside of the centre plane at y = 640, the loaded radius above the ground at z = -125.
for axle, names in zip(AXLES, (("lf", "rf"), ("lr", "rr"))):
    for name, side in zip(names, (-1, 1)):
        row = next(w for w in order["wheels"] if w["name"] == name)
        compare_place(name, row, [axle["at"], 640 + side * axle["track"] / 2, -125 + axle["loaded_radius"]])

# What three mounts carry of a mass at rest: moments about two of them. The mass and CG are those of the file's own balance of the group,
# whose sums tests/reference/oracle_ledger.py works out.
mounts = [[-700.0, 400.0, 60.0], [-700.0, 900.0, 60.0], [-1150.0, 640.0, 60.0]]
word = "powertrain;" + ";".join(",".join(f"{n:g}" for n in place) for place in mounts)
given = document("--mounts", word)["mounts"][0]["rows"]
book = json.loads(subprocess.run([STEELYARD, "book", FILE, "powertrain", "--state", "race start", "--json"], check=True,
                                 capture_output=True).stdout)["rows"]
book = next(r for r in book if r["path"] == "powertrain")
(x1, y1), (x2, y2), (x3, y3) = (place[:2] for place in mounts)
cx, cy = book["cg"]["x"], book["cg"]["y"]
area = (x2 - x1) * (y3 - y1) - (x3 - x1) * (y2 - y1)
shares = [((x2 - cx) * (y3 - cy) - (x3 - cx) * (y2 - cy)) / area, ((x3 - cx) * (y1 - cy) - (x1 - cx) * (y3 - cy)) / area,
          ((x1 - cx) * (y2 - cy) - (x2 - cx) * (y1 - cy)) / area]
row = next(r for r in given if r["state"] == "race start")
near("mass on the mounts, kg", row["mass"], book["mass"], 1e-9)
for k, share in enumerate(shares):
    near(f"mount {k + 1}, kg", row["loads"][k], share * book["mass"], 1e-6)  # metres and millimetres round apart

# Axle loads of each state from the mass and the CG that stand on the same sheet: moments about the rear axle.
base = AXLES[0]["at"] - AXLES[1]["at"]
plain = document()
for state in plain["loads"]:
    front = state["mass"] * (state["cg"]["x"] - AXLES[1]["at"]) / base
    near(f"{state['state']} front axle, kg", state["axles"][0], front, 1e-6)
    near(f"{state['state']} both axles, kg", sum(state["axles"]), state["mass"], 1e-9)
for bound, choose in (("least", min), ("greatest", max)):
    for letter in "xyz":
        near(f"CG {bound} {letter}, mm", plain["envelope"][bound][letter], choose(s["cg"][letter] for s in plain["loads"]), 1e-12)

# The frame's mass: its lines in the file, pairs twice and counts as often as they say.
lines = re.search(r'group "rear frame" \{(.*?)\n    \},', text, re.S).group(1)
total = 0.0
for line in re.findall(r'part "[^"]+" \{.*?mass = .*', lines):
    mass = float(re.search(r"mass = (?:sd\()?([\d.]+)", line).group(1))
    count = re.search(r"count = (\d+)", line)
    total += mass * (2 if "pair = true" in line else int(count.group(1)) if count else 1)
near("mass of the rear frame, kg", document("--frame", "rear frame")["frame_total"]["mass"], total, 1e-9)


# ---- paper ------------------------------------------------------------------------------------------------------------------------

DOTS_A_MM = 600 / 25.4


def built_in():
    with tempfile.NamedTemporaryFile("w", suffix=".lua") as script:
        script.write('os.exit(pcall(require, "steelyard.canvas_cairo") and 0 or 7)')
        script.flush()
        return subprocess.run([STEELYARD, script.name]).returncode == 0


def raster(pdf, number):
    """A page as rows of grey dots, 0 black."""
    words = ["pdftoppm", "-r", "600", "-gray", "-f", str(number), "-l", str(number), "-singlefile", str(pdf), str(pdf.with_suffix(""))]
    subprocess.run(words, check=True)
    data = pdf.with_suffix(".pgm").read_bytes()
    size = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    return numpy.frombuffer(data[size.end():], numpy.uint8).reshape(int(size.group(2)), int(size.group(1)))


def lines_at(dark):
    """Middles, in mm, of the runs of dots that are dark."""
    edges = numpy.flatnonzero(numpy.diff(numpy.concatenate([[0], dark.astype(int), [0]])))
    return [(a + b - 1) / 2 / DOTS_A_MM for a, b in zip(edges[::2], edges[1::2])]


def measure(paper):
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder) / "x.pdf"
        words = [STEELYARD, "sheets", "vehicles/twayblade.lua", "markout", "--part", "crankcase", "--paper", paper, "--to", str(pdf)]
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
        cover = raster(pdf, 1)
        # An upright edge of the square is dark over 100 mm of one column of dots, a level one of one row. Half the ink of a hairline of 0.18 mm
        # (4 dots) is dark enough; the frame is 14 mm from the left, so only its own columns are looked at.
        left = int(10 * DOTS_A_MM), int(125 * DOTS_A_MM)
        top = int(25 * DOTS_A_MM), int(170 * DOTS_A_MM)
        part = cover[top[0]:top[1], left[0]:left[1]] < 128
        upright = lines_at(part.sum(axis=0) > 95 * DOTS_A_MM)
        level = lines_at(part.sum(axis=1) > 95 * DOTS_A_MM)
        level = [y for y in level if any(abs(abs(y - other) - 100) < 1 for other in level)]  # and not the rule of a table
        near(f"{paper}: the square is 100 mm wide", max(upright) - min(upright), 100, 0.1)  # asked for: a tenth of a millimetre
        near(f"{paper}: the square is 100 mm high", max(level) - min(level), 100, 0.1)
        if paper == "long":
            return
        tile = raster(pdf, 2)
        grey = (tile > 128) & (tile < 230)  # pale lines
        rows = lines_at(grey[int(40 * DOTS_A_MM):int(260 * DOTS_A_MM)].sum(axis=1) > 100 * DOTS_A_MM)
        gaps = [b - a for a, b in zip(rows, rows[1:]) if b - a > 90]
        near(f"{paper}: grid lines are 100 mm apart", gaps[0] if gaps else 0, 100, 0.1)


if built_in():
    for paper_name in ("a4", "a3", "long"):
        measure(paper_name)
checks.finish()
