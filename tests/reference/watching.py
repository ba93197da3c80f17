"""Studies from outside: what a terminal shows, what signals do, and what a killed run leaves: of no car (tests/lua/fake_study.lua), and
of one (slow_study.lua).

The terminal is a pseudo terminal of this system (POSIX openpt). Exit code of a command ended by Ctrl-C: 128 + SIGINT, POSIX.1-2017, Shell
Command Language 2.8.2. A square sum: n (n + 1) (2 n + 1) / 6.
"""
import os
import pty
import re
import resource
import select
import shutil
import signal
import subprocess
import sys
import tempfile
import time

TOP = os.getcwd()
STEELYARD = os.path.abspath(sys.argv[1])
FAKE, OF_A_CAR = (os.path.join(TOP, "tests", "lua", name) for name in ("fake_study.lua", "slow_study.lua"))
ENVIRONMENT = dict(os.environ, LUA_PATH=f"{TOP}/lua/?.lua;{TOP}/lua/?/init.lua;;",
                   LUA_CPATH=f"{os.path.dirname(STEELYARD)}/lua/?.so;;")
STOCK = next((path for path in map(shutil.which, ("lua5.4", "lua54", "lua")) if path and
              b"Lua 5.4" in subprocess.run([path, "-v"], capture_output=True, check=False).stdout), None)
INTERPRETERS = {"steelyard": STEELYARD} | ({"stock": STOCK} if STOCK else {})
FAILED = []


def squares(n):
    return n * (n + 1) * (2 * n + 1) // 6


def claim(name, holds, shown=""):
    print("ok" if holds else "FAILED", name, "" if holds else repr(shown))
    if not holds:
        FAILED.append(name)


def start(interpreter, words, folder, script=FAKE, **how):
    return subprocess.Popen([interpreter, script] + words, cwd=folder, env=ENVIRONMENT, text=True, stdin=subprocess.DEVNULL,
                            stdout=subprocess.PIPE, stderr=subprocess.PIPE, **how)


def run(interpreter, words, folder, **how):
    process = start(interpreter, words, folder, **how)
    out, err = process.communicate(timeout=60)
    return process.returncode, out, err


def until(holds, process):
    """Waits for what the process itself shows: how soon a busy machine gets there proves nothing. Ends with the process, too."""
    end = time.monotonic() + 60
    while not holds() and process.poll() is None and time.monotonic() < end:
        time.sleep(0.002)


def worked(process):
    """Seconds of processor time; where the system does not say (no /proc), as if it were always alone."""
    try:
        with open(f"/proc/{process.pid}/stat", encoding="ascii") as file:
            user, system = file.read().rpartition(")")[2].split()[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")
    except OSError:
        time.sleep(1.5)
        return 1.5


def interrupt(process):
    """Ctrl-C for a study at work: it starts within some hundredths of a second of processor time, then takes SIGINT for itself."""
    until(lambda: worked(process) > 0.3, process)
    process.send_signal(signal.SIGINT)


def kept_in(path):
    return in_part(path) if os.path.exists(path) else -1


def on_terminal(interpreter, words, folder, after=None):
    """stderr on a pseudo terminal: exit code, stdout, what the terminal got; `after`: (what it must show, bytes that are typed then)."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen([interpreter, FAKE] + words, cwd=folder, env=ENVIRONMENT, stdin=theirs, stdout=subprocess.PIPE, stderr=theirs,
                               start_new_session=True, preexec_fn=lambda: take_terminal(theirs))
    os.close(theirs)
    shown = b""
    while True:
        if after and after[0] in shown:
            os.write(ours, after[1])
            after = None
        if select.select([ours], [], [], 0.05)[0]:
            try:
                shown += os.read(ours, 4096)
            except OSError:  # the last holder has closed it
                break
        elif process.poll() is not None:
            break
    out = process.stdout.read().decode()
    process.stdout.close()
    os.close(ours)
    return process.wait(), out, shown.decode()


def take_terminal(descriptor):
    import fcntl
    import termios
    fcntl.ioctl(descriptor, termios.TIOCSCTTY, 0)


def screen(shown):
    """What stands on the screen in the end: carriage returns write over the line."""
    lines = []
    for line in shown.split("\n"):
        cells = []
        for piece in line.rstrip("\r").split("\r"):
            cells[:len(piece)] = piece
        lines.append("".join(cells).rstrip())
    return "\n".join(lines)


def check_word(texts):
    """lua/bind/check_word.h, in whole numbers: a step takes in eight bytes, the lowest first."""
    total = 0
    for text in texts:
        padded = text + b"\0" * (-len(text) % 8)
        for number in [len(text) + 1] + [int.from_bytes(padded[i:i + 8], "little") for i in range(0, len(padded), 8)]:
            total = (total ^ number) * 0x9E3779B97F4A7C15 % 2 ** 64
            total ^= total >> 32
    return total.to_bytes(8, "little")


def in_part(path):
    """Whole blocks in a file of blocks, read as lua/steelyard/study/part_file.lua describes it; -1 where not even the heading is whole."""
    with open(path, "rb") as file:
        data = file.read()
    mark = b"steelyard blocks 1\n"
    if not data.startswith(mark):
        return -1
    at, count, before = len(mark), -1, b""
    while at < len(data):
        front, size = data[at:at + 16], int.from_bytes(data[at + 8:at + 16], "little")
        bytes_, check = data[at + 16:at + 16 + size], data[at + 16 + size:at + 24 + size]
        if at + 24 + size > len(data):
            break
        assert check == check_word([before, front, bytes_]), "a whole record does not hold"
        before = before or check
        at, count = at + 24 + size, count + 1
    return count


def check_progress(name, interpreter, folder):
    began = time.monotonic()
    code, out, shown = on_terminal(interpreter, ["--blocks=40", "--ms=50"], folder)  # 2 s, more where the machine is busy
    most = 2 * (time.monotonic() - began)
    lines = re.findall(r"40 numbers: (\d+) %, (\d+) s left", shown)
    claim(f"{name}: a terminal sees how far it is", code == 0 and 1 <= len(lines) <= most, shown)
    claim(f"{name}: percents rise", [int(x[0]) for x in lines] == sorted(int(x[0]) for x in lines), lines)
    claim(f"{name}: nothing is left of it", screen(shown) == "", screen(shown))
    claim(f"{name}: the result is none of its business", out == f"40\tdone\t{squares(40)}\t40\n", out)
    code, out, shown = on_terminal(interpreter, ["--blocks=8", "--ms=1"], folder)
    claim(f"{name}: nothing is shown in the first half second", (code, shown) == (0, ""), shown)
    code, out, shown = on_terminal(interpreter, ["--blocks=40", "--ms=50", "--quiet"], folder)
    claim(f"{name}: nothing is shown with quiet", (code, shown) == (0, ""), shown)
    code, out, err = run(interpreter, ["--blocks=40", "--ms=50"], folder)
    claim(f"{name}: nothing is shown without a terminal", (code, err) == (0, ""), err)


def check_long(name, interpreter, folder):
    process = start(interpreter, ["--blocks=4000", "--ms=5"], folder)  # 20 s
    interrupt(process)
    out, err = process.communicate(timeout=60)
    claim(f"{name}: more than ten seconds are said before", re.fullmatch(r"4000 numbers: about \d+ (s|min); Ctrl-C stops and keeps what is done\n",
                                                                        err) is not None, err)
    done = int(out.split("\t")[0])
    claim(f"{name}: without a file the result so far comes back", process.returncode == 0 and 0 < done < 4000 and
          out == f"{done}\tstopped\t{squares(done)}\t{done}\n", out)
    code, _, shown = on_terminal(interpreter, ["--blocks=4000", "--ms=5"], folder, after=(b"% ", b"\x03"))
    last = [line for line in screen(shown).split("\n") if line]
    claim(f"{name}: typed Ctrl-C leaves a clean line", code == 0 and len(last) == 1 and last[0].startswith("4000 numbers: about"), shown)
    process = start(interpreter, ["--blocks=4000", "--ms=5", "--quiet"], folder)
    interrupt(process)
    claim(f"{name}: with quiet not even that", process.communicate(timeout=60)[1] == "")


def check_interrupted(name, interpreter, folder):
    to = os.path.join(folder, "sum of squares")
    words = ["--blocks=60", "--ms=40", f"--to={to}"]
    process = start(interpreter, words, folder)
    until(lambda: kept_in(to + ".part") >= 10, process)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    claim(f"{name}: Ctrl-C with a file ends with 130", process.returncode == 130 and out == "", (process.returncode, out))
    line = err.split("\n")[1].strip() if err.count("\n") == 2 else ""
    claim(f"{name}: and with the line that goes on", re.match(r"stopped: \d+ % is done and kept in .*sum of squares\.part; to go on:\n", err)
          and line.endswith(f" '--blocks=60' '--ms=40' '--to={to}'"), err)
    kept = in_part(to + ".part")
    claim(f"{name}: what was done is kept", 10 <= kept < 60 and not os.path.exists(to), kept)
    line = re.sub(r"^steelyard ", f"'{STEELYARD}' ", line)
    done = subprocess.run(["sh", "-c", line], cwd=folder, env=ENVIRONMENT, capture_output=True, text=True, check=False)
    claim(f"{name}: that line does the rest", done.stdout == f"60\tdone\t{squares(60)}\t{60 - kept}\n", (line, done))
    with open(to, encoding="utf-8") as file:
        claim(f"{name}: to the same bytes", file.read() == f"sum {squares(60)}\n" and not os.path.exists(to + ".part"))
    os.remove(to)
    process = start(interpreter, words + ["--quiet"], folder)
    until(lambda: kept_in(to + ".part") >= 10, process)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    claim(f"{name}: with quiet it ends so too, without a word", (process.returncode, out, err) == (130, "", ""), err)
    os.remove(to + ".part")
    process = start(interpreter, ["--blocks=1", "--ms=50000"], folder)
    interrupt(process)
    time.sleep(0.3)
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=60)
    claim(f"{name}: a second Ctrl-C does not wait for a block", process.returncode == -signal.SIGINT, process.returncode)


def check_killed(name, interpreter, folder):
    to = os.path.join(folder, "killed")
    words, kept = ["--blocks=60", "--ms=10", f"--to={to}"], 0
    for i in range(4):
        process = start(interpreter, words, folder)
        until(lambda: kept_in(to + ".part") >= kept + 5, process)
        process.kill()
        process.communicate(timeout=60)
        now = kept_in(to + ".part")
        claim(f"{name}: kill {i + 1} loses no block that was done", i == 0 or now >= kept, (kept, now))
        kept = max(now, 0)
    code, out, _ = run(interpreter, words, folder)
    claim(f"{name}: after four kills it comes to the same", (code, out) == (0, f"60\tdone\t{squares(60)}\t{60 - kept}\n"), out)
    os.remove(to)


def check_big_blocks_killed(name, interpreter, folder):
    """Blocks of 4 MB, so that kills fall into their writing."""
    to = os.path.join(folder, "big")
    words, cut = ["--blocks=30", "--bytes=4000000", f"--to={to}"], 0
    for i in range(12):
        process = start(interpreter, words, folder)
        time.sleep(0.06 + 0.009 * i)
        process.kill()
        process.communicate(timeout=60)
        if os.path.exists(to):
            break
    code, out, err = run(interpreter, words, folder) if not os.path.exists(to) else (0, f"{squares(30)}", "")
    claim(f"{name}: killed while it writes, it comes to the same", code == 0 and str(squares(30)) in out, (out, err, cut))
    os.remove(to)


def check_full_disk(name, interpreter, folder):
    """A limit on the size of files stands in for a disk that is full: write fails half-way."""
    def limit():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))
    to = os.path.join(folder, "full")
    words = ["--blocks=60", "--bytes=1000", f"--to={to}"]
    code, out, err = run(interpreter, words, folder, preexec_fn=limit)
    claim(f"{name}: a full disk is said", code == 3 and out == "" and f"{to}.part: cannot be written: File too large" in err, (code, err))
    kept = in_part(to + ".part")
    claim(f"{name}: what was done stays, and nothing of the next block", 20000 - 1032 < os.path.getsize(to + ".part") <= 20000, kept)
    code, out, err = run(interpreter, words, folder)
    claim(f"{name}: with room it goes on", (code, out) == (0, f"60\tdone\t{squares(60)}\t{60 - kept}\n"), (out, err))
    claim(f"{name}: and says from where", err == f"{to}.part holds {100 * kept // 60} % of the study, which goes on from there\n{to} is written.\n",
          err)
    os.remove(to)


def check_two_at_once(name, interpreter, folder):
    to = os.path.join(folder, "twice")
    first = start(interpreter, ["--blocks=30", "--ms=50", f"--to={to}"], folder)
    until(lambda: kept_in(to + ".part") >= 1, first)
    code, out, err = run(interpreter, ["--blocks=30", "--ms=50", f"--to={to}"], folder)
    claim(f"{name}: two runs do not write one file", code == 3 and out == "" and f"{to}.part: another run is writing it" in err, err)
    out = first.communicate(timeout=60)[0]
    claim(f"{name}: and the first is none the worse", out == f"30\tdone\t{squares(30)}\t30\n", out)
    os.remove(to)


def check_background(name, interpreter, folder):
    """A shell's background job ignores SIGINT; a study leaves it so. The plain interpreter itself does not."""
    process = start(interpreter, ["--blocks=20", "--ms=50"], folder, preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN))
    time.sleep(0.5)
    process.send_signal(signal.SIGINT)
    out = process.communicate(timeout=60)[0]
    claim(f"{name}: ignored interrupts stay ignored", out == f"20\tdone\t{squares(20)}\t20\n", out)


def check_of_a_car(name, interpreter, folder):
    """The study of a car, 800 variants: stopped, killed and in shards it comes to the bytes of one run."""
    def bytes_of(path):
        with open(path, "rb") as file:
            return file.read()
    whole = os.path.join(folder, "whole")
    code, page, err = run(interpreter, [f"--to={whole}.csv"], TOP, script=OF_A_CAR)
    claim(f"{name}: a study of a car runs to its end", code == 0 and err.endswith(f"{whole}.csv is written.\n"), err)  # on a busy machine it says how long before
    to = os.path.join(folder, "broken.csv")
    for i, end in enumerate((signal.SIGINT, signal.SIGKILL, signal.SIGKILL, signal.SIGINT)):
        process = start(interpreter, [f"--to={to}"], TOP, script=OF_A_CAR)
        until(lambda: kept_in(to + ".part") >= 2 * i + 3, process)  # the heading is a record too
        process.send_signal(end)
        process.communicate(timeout=60)
    code, again, err = run(interpreter, [f"--to={to}"], TOP, script=OF_A_CAR)
    claim(f"{name}: broken off four times, it prints the same", code == 0 and again == page, err)
    claim(f"{name}: and writes the same", bytes_of(to) == bytes_of(f"{whole}.csv"))
    for k in (1, 2):
        run(interpreter, [f"--to={folder}/{k}", f"--shard={k}/2", "--quiet"], TOP, script=OF_A_CAR)
    merged = subprocess.run([interpreter, *merge_of(interpreter), f"{folder}/2", f"{folder}/1"], cwd=TOP, env=ENVIRONMENT,
                            capture_output=True, text=True, check=False)
    claim(f"{name}: its shards merge to the same", merged.stdout == page, (merged.stdout, merged.stderr))
    process = start(interpreter, [], TOP, script=OF_A_CAR)
    interrupt(process)
    out, err = process.communicate(timeout=60)
    claim(f"{name}: stopped without a file it says how far it came, and ends with 130", process.returncode == 130 and
          re.search(r"Stopped after \d+ of 800 variants", out) is not None, (process.returncode, out, err))
    for path in (to, f"{whole}.csv", f"{folder}/1", f"{folder}/2"):
        os.remove(path)


def merge_of(interpreter):
    return ["merge"] if interpreter == STEELYARD else ["scripts/merge.lua"]


def main():
    # whoever starts the tests in the background of a shell ignores SIGINT for all of them, and what is ignored stays so in a new process
    signal.signal(signal.SIGINT, signal.default_int_handler)
    with tempfile.TemporaryDirectory() as folder:
        for name, interpreter in INTERPRETERS.items():
            for check in (check_long, check_interrupted, check_killed, check_full_disk, check_two_at_once,
                          check_of_a_car):
                check(name, interpreter, folder)
        for check in (check_progress, check_big_blocks_killed, check_background):
            check("steelyard", STEELYARD, folder)
    sys.exit(1 if FAILED else 0)


main()
