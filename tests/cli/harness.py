# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tests of the tool from outside share: claims, told as TAP, and runs of the tool.

A test file is run from the root of the repository with the build folder as its argument.
WRAP in the environment is a command that is put before the tool, such as valgrind.
"""

import contextlib
import csv
import json
import os
import pathlib
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import traceback

ROOT = pathlib.Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))
METRIC = ROOT / "examples" / "metric.yaml"
WRAP = shlex.split(os.environ.get("WRAP", ""))
SECONDS = 600 if WRAP else 60

CLAIMS = []

# What a shell starts in the background ignores an interruption, and so would the tools that it starts.
if signal.getsignal(signal.SIGINT) == signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


class Skipped(Exception):
    """The claim cannot be tried here; the text says why."""


class Failed(Exception):
    """The claim does not hold; the text says what was seen."""


def claim(words, function, *arguments):
    CLAIMS.append((words, function, arguments))


def claims(words):
    """The decorator form of claim, for a function without arguments."""

    def keep(function):
        claim(words, function)
        return function

    return keep


def expect(holds, *seen):
    if not holds:
        raise Failed("\n".join(str(piece) for piece in seen))


def expect_equal(got, wanted, *about):
    expect(got == wanted, *about, f"got      {got!r}", f"expected {wanted!r}")


def judge(function, arguments):
    """The outcome of one claim: what follows its words, and the detail."""
    try:
        function(*arguments)
    except Skipped as reason:
        return "ok", f" # SKIP {reason}", ""
    except Failed as seen:
        return "not ok", "", str(seen)
    except Exception:  # a claim that breaks has failed; the others are still tried
        return "not ok", "", traceback.format_exc()
    return "ok", "", ""


def main():
    failed = 0
    print(f"1..{len(CLAIMS)}")
    for number, (words, function, arguments) in enumerate(CLAIMS, start=1):
        outcome, remark, detail = judge(function, arguments)
        failed += outcome != "ok"
        print(f"{outcome} {number} - {words}{remark}", flush=True)
        for line in detail[:4000].splitlines():
            print(f"# {line}")
    sys.exit(1 if failed or not CLAIMS else 0)


def build_folder():
    if len(sys.argv) != 2:
        sys.exit(f"usage: {sys.argv[0]} BUILD_DIR")
    return pathlib.Path(sys.argv[1]).resolve()


def tool():
    return str(build_folder() / "trunnion")


def environment(**changes):
    """The environment of the tests with changes; None takes a variable away."""
    variables = dict(os.environ)
    for name in ("LANG", "LANGUAGE", *(name for name in variables if name.startswith("LC_"))):
        variables.pop(name, None)
    for name, value in changes.items():
        variables.pop(name, None)
        if value is not None:
            variables[name] = value
    return variables


class Result:
    def __init__(self, command, done):
        self.command = " ".join(shlex.quote(str(word)) for word in command)
        self.status = done.returncode
        self.out = done.stdout if done.stdout is not None else b""
        self.errors = (done.stderr or b"").decode(errors="replace")

    @property
    def text(self):
        return self.out.decode()

    def __str__(self):
        out = self.out[:600].decode(errors="replace")
        return f"{self.command}\nexit status {self.status}\nstandard error: {self.errors}\nstandard output: {out}"


def run(*arguments, stdin=None, env=None, cwd=None, before=(), **options):
    """Run the tool; before is a command put before all else."""
    command = [*before, *WRAP, tool(), *(str(argument) for argument in arguments)]
    if stdin is not None:
        options["input"] = stdin
    else:
        options.setdefault("stdin", subprocess.DEVNULL)
    options.setdefault("stdout", subprocess.PIPE)
    options.setdefault("stderr", subprocess.PIPE)
    done = subprocess.run(
        command, env=env if env is not None else environment(), cwd=cwd or ROOT, timeout=SECONDS, check=False, **options
    )
    return Result(command, done)


def run_well(*arguments, **options):
    result = run(*arguments, **options)
    expect(result.status == 0, "expected exit status 0", result)
    expect(result.errors == "", "expected nothing on standard error", result)
    return result


def expect_refused(result, status, *words):
    """A run that failed as it should: its status, words that help, and nothing on standard output."""
    expect(result.status == status, f"expected exit status {status}", result)
    expect(result.out == b"", "expected nothing on standard output", result)
    for word in words:
        expect(word in result.errors, f"expected on standard error: {word}", result)
    expect(result.errors.endswith("\n"), "expected a whole line on standard error", result)


def no_constant(word):
    raise Failed(f"{word} is no number of JSON")


def no_twins(pairs):
    names = [name for name, _ in pairs]
    expect(len(names) == len(set(names)), f"a key stands twice in {names}")
    return dict(pairs)


def read_json(text):
    """JSON to the letter: no NaN, no key twice."""
    return json.loads(text, parse_constant=no_constant, object_pairs_hook=no_twins)


def json_of(*arguments, **options):
    return read_json(run_well(*arguments, "--json", **options).text)


def read_csv(text):
    """The rows of a CSV text, the header among them."""
    return list(csv.reader(text.splitlines(keepends=True), strict=True))


@contextlib.contextmanager
def folder(mode=0o755):
    """A folder of its own for one claim."""
    made = tempfile.mkdtemp(prefix="trunnion-")
    try:
        os.chmod(made, mode)
        yield pathlib.Path(made)
    finally:
        shutil.rmtree(made, ignore_errors=True)


def cases_of(leaf):
    return [case["name"] for case in json_of("curve", leaf, "--step", "360deg")["cases"]]


LEAF = """\
leaf: {name}
opens_to: {opens_to}
toe: 24 m
units: {units}
parts:
  - {{name: {part}, weight: 2000 kN, from: [-5 m, 0 m], to: [5.2 m, 0.1 m]}}
{sections}
"""


def leaf_text(name="test leaf", opens_to="80 degree", units="metric", part="span", sections=""):
    """A small invented leaf; sections are further lines of YAML."""
    return LEAF.format(name=name, opens_to=opens_to, units=units, part=part, sections=sections).encode()


def quoted(text):
    """A YAML scalar in quotes that says exactly this text."""
    return "'" + text.replace("'", "''") + "'"
