"""Interleaved rounds of our jobs (a program that speaks serve.h) and outside ones, medians, and one line a comparison."""
import os
import statistics
import subprocess
import time

ROUNDS = 15


class Program:
    """Jobs of a bench program, or of the command with a script; `file` holds its data, or is the script."""

    def __init__(self, build, name, file, folder="bench"):
        self.process = subprocess.Popen([os.path.join(build, folder, name), file], stdin=subprocess.PIPE,
                                        stdout=subprocess.PIPE, text=True)

    def line(self):
        text = self.process.stdout.readline()
        if not text:
            raise SystemExit(f"{self.process.args[0]} ended early")
        return text

    def ask(self, name):
        self.process.stdin.write(name + "\n")
        self.process.stdin.flush()
        return self.line()

    def job(self, name):
        return lambda: float(self.ask(name))

    def close(self):
        self.process.stdin.close()
        self.process.wait()


def python_job(function):
    """Seconds per call, repeated to some milliseconds."""
    calls = 1
    while True:
        begin = time.perf_counter()
        for _ in range(calls):
            function()
        if time.perf_counter() - begin > 5e-3:
            break
        calls *= 2

    def ask():
        begin = time.perf_counter()
        for _ in range(calls):
            function()
        return (time.perf_counter() - begin) / calls
    return ask


def medians(jobs, rounds=ROUNDS):
    """jobs: {name: function that returns seconds}"""
    times = {name: [] for name in jobs}
    for _ in range(rounds):
        for name, ask in jobs.items():
            times[name].append(ask())
    return {name: statistics.median(t) for name, t in times.items()}


def readable(seconds):
    for factor, unit in ((1, "s"), (1e3, "ms"), (1e6, "us")):
        if seconds * factor >= 1:
            return f"{seconds * factor:.3g} {unit}"
    return f"{seconds * 1e9:.3g} ns"


def head():
    print(f"{'job':44} {'n':>8} {'ours':>10} {'baseline':>10} {'ratio':>7}")


def row(name, n, ours, theirs=None, whose="", unit=""):
    baseline, ratio = (readable(theirs), f"{theirs / ours:.1f} x") if theirs else ("-", "-")
    print(f"{name:44} {n:>8} {readable(ours) + unit:>10} {baseline:>10} {ratio:>7}  {whose}", flush=True)
