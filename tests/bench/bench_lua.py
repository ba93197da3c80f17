"""Scripts: a part moved and the car balanced, trials, comparisons, and a million parts through sy.car, as a script writes them.

NumPy stands beside each with the same numbers worked out from columns: the change of one x, then all answers anew; with their standard
uncertainties by the law of propagation where ours gives them. Asked: move and balance of 300 parts within 20 us, a trial within 1 us,
400 bytes a part in the ledger (bench_ledger prints what a part takes there).
"""
import sys

from many_parts import N, Car
from rounds import Program, head, medians, python_job, readable, row

build = sys.argv[1]


def check(script, car):
    """The same car on both sides? Places are whole millimetres, masses the same doubles: rounding of sums alone."""
    ours = [float(v) for v in script.ask("answers").split()]
    mass, cg, yaw, _ = car.answers(car.r[0])
    sd = car.uncertainties(car.r[0], mass, cg)
    want = [mass, -1e3 * cg[0], -1e3 * cg[1], 1e3 * cg[2], yaw, sd[0], 1e3 * sd[1][0]]
    for got, value in zip(ours, want, strict=True):
        if not abs(got - value) <= 1e-9 * max(abs(value), 1):
            print(f"disagreement: {got!r}, NumPy {value!r}")
            return False
    return True


script, car = Program(build, "steelyard", "tests/bench/bench_lua.lua", folder=""), Car()
fine = check(script, car)
jobs = {name: script.job(name) for name in ("move_balance", "move_balance_weighed", "move_group_balance", "balance", "balance_all", "trial",
                                            "compare", "compare_moves", "compare_weighed", "plan_lift", "draw", "overlaps", "load_records",
                                            "load_without")}
jobs["NumPy move_balance"] = python_job(car.move_balance)
jobs["NumPy trial"] = python_job(car.trial)
t = medians(jobs)
head()
row("car:move(part):balance(), uncertainties included", N, t["move_balance"], t["NumPy move_balance"], "NumPy, all anew; asked: 8 us")
row("the same, half weighed on three scales", N, t["move_balance_weighed"], t["NumPy move_balance"], "NumPy without scales; asked: 20 us")
row("car:move(group):balance()", N, t["move_group_balance"], t["NumPy move_balance"], "NumPy, all anew")
row("car:balance() alone", N, t["balance"], t["NumPy move_balance"], "NumPy, all anew")
row("the same, all looked at, growth of each part too", N, t["balance_all"], t["NumPy move_balance"], "NumPy, all anew")
row("one trial of a group", N, t["trial"], t["NumPy trial"], "NumPy, all anew; asked: 1 us")
row("sy.compare{car, moved car}", N, t["compare"], whose="asked: 30 us")
row("sy.compare{car, car:move(part)}", N, t["compare_moves"])
row("the same, half weighed on three scales", N, t["compare_weighed"])
row("car:plan_lift, every uncertainty stated", N, t["plan_lift"], whose="asked: 50 ms")
row("side view of a car of 188 pieces as SVG", 188, t["draw"], whose="asked: 5 ms")
row("all bodies that meet or nearly do, one moved", 150, t["overlaps"], whose="asked: 5 ms")
row("ten records of scales, in a file of 100 parts", 10, t["load_records"] - t["load_without"], whose="asked: 1 ms at load")
million = float(script.ask("million"))
peak = int(script.line())
row("a million parts: sy.car, move, balance, release", 1000000, million, whose="asked: 5 s")
print(f"{'':44} at most {peak} MB, the script's own tables included; {readable(million / 1e6)} a part")
script.close()
sys.exit(not fine)
