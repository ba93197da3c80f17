"""Whole processes: what_changed of two files of 300 parts, and balance of one of 100, against what else could read such a list.

Beside what_changed stands Python reading the same two lists from CSV, turning texts into numbers and comparing them as dictionaries,
without any mechanics; beside balance an empty stock Lua. Asked: what_changed within 12 ms, balance within 2.2 times the empty Lua. Time
on the wall and of the processor, taken in turns, the best of each: a busy machine adds to a process and takes nothing off it.
"""
import csv
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time

from rounds import head, row

build = sys.argv[1]
os.environ.pop("STEELYARD_HOME", None)  # as installed: see install()
NAMES = ["bracket", "panel", "link", "bearing", "housing", "tube", "hose", "bolt set", "cover", "shaft", "arm", "plate", "clamp", "loom", "duct"]
HEAD = """vehicle {
  title = "Bench (invented)",
  axes = { x = "back", y = "right", z = "up" },
  axles = {
    { name = "front", at = 0,    track = 1450, loaded_radius = 288 },
    { name = "rear",  at = 2400, track = 1460, loaded_radius = 301 },
  },
  cross_share = 50,
  assume = { estimate = "15 %", calculated = "5 %", supplier = "3 %", weighed = "0.5 %", within_mm = 15 },
  parts = {
"""
LIST = ["group", "name", "mass", "x", "y", "z", "basis"]


def car(groups, each):
    """Lines of a ledger as people write them: {group: {name: [mass, uncertainty or None, x, y, z, basis, rest of the line]}}."""
    parts = {}
    for g in range(groups):
        parts[f"assembly {g + 1}"] = group = {}
        for k in range(each):
            y = random.choice([0, random.randint(-600, 600)])
            rest = ", pair = true" if k % 7 == 3 else ", count = 4" if k % 7 == 5 else ""
            if k % 4 == 1:
                rest += f", shape = box {{{random.randint(20, 600)}, {random.randint(20, 600)}, {random.randint(20, 300)}}}"
            if k % 6 == 2:
                rest += ', tags = {"electrics"}'
            if k % 10 == 9:
                rest += ', note = "as drawn, not weighed yet"'
            mass = round(random.uniform(0.05, 9), 2)
            group[f"{NAMES[k]} {g + 1}"] = [mass, round(0.02 * mass + 0.01, 3) if k % 2 else None, random.randint(-400, 2800), y,
                                            random.randint(120, 900), random.choice(["estimate", "calculated", "weighed"]), rest]
    return parts


def later(parts, changed):
    """The same car after work on `changed` lines: moved, weighed, taken out, new."""
    new = {group: {name: list(line) for name, line in lines.items()} for group, lines in parts.items()}
    for i, (group, name) in enumerate(random.sample([(g, n) for g in new for n in new[g]], changed)):
        line = new[group][name]
        if i % 10 == 0:
            del new[group][name]
        elif i % 10 == 1:
            new[group]["second " + name] = [round(line[0] / 3 + 0.1, 2), None, line[2] + 37, line[3], line[4] + 11, "estimate", ""]
        elif i % 2:
            line[2] += 15
            line[4] -= 5
        else:
            line[0], line[1], line[5] = round(1.03 * line[0] + 0.01, 2), 0.01, "weighed"
    return new


def write(parts, stem):
    with open(stem + ".lua", "w", encoding="utf-8") as out, open(stem + ".csv", "w", encoding="utf-8", newline="") as table:
        rows = csv.writer(table)
        rows.writerow(LIST)
        out.write(HEAD)
        for group, lines in parts.items():
            out.write(f'    group "{group}" {{\n')
            for name, (mass, uncertainty, x, y, z, basis, rest) in lines.items():
                booked = f"sd({mass}, {uncertainty})" if uncertainty else f"{mass}"
                out.write(f'      part "{name}" {{ mass = {booked}, at = {{{x}, {y}, {z}}}, basis = "{basis}"{rest} }},\n')
                rows.writerow([group, name, mass, x, y, z, basis])
            out.write("    },\n")
        out.write("  },\n}\n")


PYTHON = """import csv, sys
def read(path):
    with open(path, newline="") as file:
        rows = csv.reader(file)
        next(rows)
        return {(r[0], r[1]): (float(r[2]), float(r[3]), float(r[4]), float(r[5]), r[6]) for r in rows}
old, new = read(sys.argv[1]), read(sys.argv[2])
for key in sorted(old.keys() | new.keys()):
    a, b = old.get(key), new.get(key)
    if a != b:
        print(*key, a, b, (b or (0,))[0] - (a or (0,))[0])
"""


def install(folder):
    """The command as `make install` leaves it; compiled modules belong to one home."""
    home = os.path.join(folder, "share", "steelyard")
    for part in ("lua", "scripts"):
        shutil.copytree(part, os.path.join(home, part), dirs_exist_ok=True)
    shutil.copy2(os.path.join(build, "modules.luac"), home)
    os.makedirs(os.path.join(folder, "bin"), exist_ok=True)
    return shutil.copy2(os.path.join(build, "steelyard"), os.path.join(folder, "bin"))


def run(command):
    """Seconds on the wall and of the processor of a whole process, from start to end; what it prints must be something."""
    def processor():
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        return used.ru_utime + used.ru_stime
    before, begin = processor(), time.perf_counter()
    said = subprocess.run(command, check=True, stdout=subprocess.PIPE).stdout
    took = time.perf_counter() - begin
    assert said or "-e" in command
    return took, processor() - before


def best_of(jobs, rounds=40):
    """{name: (best time on the wall, best time of the processor)}"""
    times = {name: [] for name in jobs}
    for _ in range(rounds):
        for name, command in jobs.items():
            times[name].append(run(command))
    return {name: [min(column) for column in zip(*t)] for name, t in times.items()}


random.seed(11)
folder = os.environ.get("BENCH_KEEP") or tempfile.mkdtemp()  # BENCH_KEEP=folder: where the files stay for a profile
try:
    def stem(name):
        return os.path.join(folder, name)
    steelyard = install(folder)
    base = car(20, 15)
    write(base, stem("old"))
    lua = shutil.which("lua5.4") or shutil.which("lua")
    jobs = {}
    for changed in (12, 100):
        name = f"new{changed}"
        write(later(base, changed), stem(name))
        jobs[name] = (steelyard, "what_changed", stem("old.lua"), stem(name + ".lua"))
        jobs["Python " + name] = ("/usr/bin/python3", "-c", PYTHON, stem("old.csv"), stem(name + ".csv"))
    t = best_of(jobs)
    write(car(10, 10), stem("hundred"))
    if lua:  # by themselves: a larger program in between would leave both of them a cold cache
        t |= best_of({"Lua": (lua, "-e", ""), "balance": (steelyard, "balance", stem("hundred.lua"))}, 100)
    head()
    for changed in (12, 100):
        name = f"new{changed}"
        row(f"what_changed, {changed} lines of 300, process", 300, t[name][0], t["Python " + name][0], "Python, CSV and dictionaries only")
        print(f"{'':44} {1e3 * t[name][1]:.1f} ms of the processor; asked: 12 ms in all")
    if lua:
        row("balance, whole process", 100, t["balance"][0], t["Lua"][0], "empty stock Lua")
        wall, processor = (t["balance"][i] / t["Lua"][i] for i in (0, 1))
        print(f"{'':44} {wall:.2f} times its time on the wall (asked: 2.2 at most), {processor:.2f} times that of the processor")
finally:
    if "BENCH_KEEP" not in os.environ:
        shutil.rmtree(folder)
