"""The order sheet of vehicles/bistort.lua worked out from the file by nothing of the project: its numbers are read from the text of the file,
places are turned to the builder's axes, and masses and loads are summed part by part in the state "race start".

Source: moments of a rigid body about two supports (statics); ISO 8855:2011 for forward, left and up. The file's axes: x forward, y right,
        z up; its zero is 1310 behind the front axle, 640 left of the centre plane and 125 above the ground.
Usage: oracle_sheets.py path/to/steelyard"""

import json
import re
import subprocess
import sys
from pathlib import Path

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
checks.finish()
