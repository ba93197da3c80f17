"""Calls of the Lua module from an oracle: arguments out as Lua, results back as JSON."""
import json
import subprocess
import sys
import tempfile


def lua(value):
    """A Python value as Lua; a tuple (v, u) is a number with its uncertainty."""
    if isinstance(value, tuple):
        return f"sy.sd({float(value[0])!r}, {float(value[1])!r})"
    if isinstance(value, dict):
        return "{" + ", ".join(f"[{json.dumps(k)}] = {lua(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "{" + ", ".join(lua(v) for v in value) + "}"
    if isinstance(value, bool):
        return str(value).lower()
    return json.dumps(value) if isinstance(value, str) else repr(float(value))


def ask(call, arguments):
    """Results of `call` ("sy.pendulum") for a list of arguments, from one run of the command."""
    with tempfile.NamedTemporaryFile("w", suffix=".lua") as script:
        script.write('local sy = require "steelyard"\nlocal out = {}\n')
        for argument in arguments:
            script.write(f"out[#out + 1] = {call}({lua(argument)})\n")
        script.write('print(require("steelyard.print.json").encode(out))\n')
        script.flush()
        done = subprocess.run([sys.argv[1], script.name], check=True, capture_output=True)
        return json.loads(done.stdout)


def rows(lines):
    """What `say(a, b, ...)` says in the lines of a script: a list of numbers each."""
    head = ['local sy = require "steelyard"', "local function say(...) local t = {...} for i = 1, #t do t[i] = string.format('%.17g', t[i]) end "
            "print(table.concat(t, ' ')) end"]
    with tempfile.NamedTemporaryFile("w", suffix=".lua") as script:
        script.write("\n".join(head + lines))
        script.flush()
        done = subprocess.run([sys.argv[1], script.name], capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(done.stderr)
    return [list(map(float, line.split())) for line in done.stdout.splitlines()]
