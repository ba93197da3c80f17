"""JSON against Python's json module, and the widths of letters against Python's unicodedata.

Random documents go through json.decode and json.encode of the project; Python reads the result back. Widths: Unicode's
East Asian Width (wide and fullwidth take two columns) and general category (Mn and Me, marks over a letter, take none).
"""
import json
import math
import os
import random
import struct
import subprocess
import sys
import tempfile
import unicodedata

STEELYARD = sys.argv[1]
PASS_THROUGH = """
local json = require "steelyard.print.json"
local file = assert(io.open(arg[1], "rb"))
io.write(json.encode(json.decode(file:read "a")))
"""
VERDICTS = """
local json = require "steelyard.print.json"
local file = assert(io.open(arg[1], "rb"))
for text in file:read("a"):gmatch "([^\\0]*)\\0" do print((pcall(json.decode, text))) end
"""
WIDTHS = """
local text = require "steelyard.print.text"
for letter in io.lines(arg[1]) do io.write(text.width(letter), "\\n") end
"""


def run(script, data):
    with tempfile.TemporaryDirectory() as folder:
        source, given = os.path.join(folder, "run.lua"), os.path.join(folder, "given")
        with open(source, "w", encoding="utf-8") as f:
            f.write(script)
        with open(given, "wb") as f:
            f.write(data)
        return subprocess.run([STEELYARD, source, given], check=True, capture_output=True).stdout


def random_double(rng):
    while True:
        x = struct.unpack("<d", rng.getrandbits(64).to_bytes(8, "little"))[0]
        if math.isfinite(x):
            return x


def random_text(rng):
    letters = []
    for _ in range(rng.randrange(8)):
        code = rng.choice((rng.randrange(128), rng.randrange(0x800), rng.randrange(0x110000)))
        letters.append("?" if 0xD800 <= code < 0xE000 else chr(code))
    return "".join(letters)


def random_value(rng, depth):
    kind = rng.randrange(7 if depth < 5 else 5)
    if kind == 0:
        return rng.choice((True, False, None))
    if kind == 1:
        return rng.randrange(-10**15, 10**15)
    if kind == 2:
        return random_double(rng)
    if kind in (3, 4):
        return random_text(rng)
    if kind == 5:
        return [random_value(rng, depth + 1) for _ in range(rng.randrange(1, 6))]
    return {random_text(rng): random_value(rng, depth + 1) for _ in range(rng.randrange(1, 6))}


def same(a, b):
    """Equal values, numbers as doubles bit by bit; 5 and 5.0 are one JSON number, as are 0.0 and 0."""
    if isinstance(a, bool) or isinstance(b, bool) or a is None or b is None:
        return a is b
    if isinstance(a, (int, float)) and isinstance(b, (int, float)):
        return float(a) == float(b)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(same, a, b))
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(same(a[k], b[k]) for k in a)
    return a == b


def report(name, bad):
    print(f"ok {name}" if not bad else f"FAILED {name}: {bad[:3]}")
    return bool(bad)


def round_trips(rng):
    given = [random_value(rng, 0) for _ in range(400)]
    back = json.loads(run(PASS_THROUGH, json.dumps(given, ensure_ascii=rng.random() < 0.5).encode()))
    return [(a, b) for a, b in zip(given, back) if not same(a, b)] + ([] if len(given) == len(back) else ["length"])


def verdicts(rng):
    """Damaged documents: both readers accept or both refuse. Python also takes NaN, Infinity and doubled names."""

    def twice(pairs):
        if len({k for k, _ in pairs}) < len(pairs):
            raise ValueError("doubled name")
        return dict(pairs)

    def refuse(word):
        raise ValueError(word)

    def number(word):
        if not math.isfinite(float(word)):
            raise ValueError("too large")
        return float(word)

    texts = []
    for _ in range(3000):
        text = list(json.dumps(random_value(rng, 2)))
        for _ in range(rng.randrange(3)):
            at = rng.randrange(len(text) + 1)
            text[at:at + rng.randrange(2)] = rng.choice(list('{}[]:,"\\u0019eE+-. \n\ttnfa') + [""])
        texts.append("".join(text).replace("\0", ""))
    ours = run(VERDICTS, "\0".join(texts).encode() + b"\0").decode().split()
    bad = []
    accepted = 0
    for text, verdict in zip(texts, ours):
        try:
            value = json.loads(text, object_pairs_hook=twice, parse_constant=refuse, parse_float=number)
            json.dumps(value, ensure_ascii=False).encode()  # a lone surrogate has no UTF-8
            fine = True
        except ValueError:
            fine = False
        accepted += fine
        if fine != (verdict == "true"):
            bad.append((text, verdict))
    if len(ours) != len(texts) or not 300 < accepted < 2700:
        bad.append(("lopsided", len(ours), accepted))
    return bad


def widths():
    # letters of European, Greek and Cyrillic scripts with combining marks, kana, CJK and Hangul: what titles are written in
    ranges = [(0x20, 0x7F), (0xA0, 0xAD), (0xAE, 0x590), (0x1E00, 0x2000), (0x3041, 0x3097), (0x30A1, 0x3100),
              (0x4E00, 0x9FA6), (0xAC00, 0xD7A4), (0xFF01, 0xFF61)]
    letters = [chr(c) for a, b in ranges for c in range(a, b) if unicodedata.category(chr(c)) != "Cn"]
    got = run(WIDTHS, "\n".join(letters).encode() + b"\n").decode().split()
    bad = [] if len(got) == len(letters) else ["length"]
    for letter, width in zip(letters, got):
        if unicodedata.category(letter) in ("Mn", "Me"):
            want = 0
        else:
            want = 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        if want != int(width):
            bad.append((hex(ord(letter)), want, width))
    return bad


rng = random.Random(20)
failed = report("json_round_trip_400_documents", round_trips(rng))
failed |= report("json_accepts_and_refuses_as_python_3000_texts", verdicts(rng))
failed |= report("width_of_letters_as_unicode", widths())
sys.exit(failed)
