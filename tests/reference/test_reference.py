# SPDX-License-Identifier: GPL-3.0-or-later
"""The tool against the reference, on random leaves and on the examples.

    python3 test_reference.py [TOOL [COUNT [SEED]]] [--examples FOLDER]

One TAP line per leaf. The rule of agreement is stated in agreement.py.
"""

import argparse
import json
import pathlib
import subprocess
import sys

import reference
from cycling import asked, cycle, has_cycle
from agreement import Comparison, csv_faults, curve_records, weigh_records
from random_leaves import random_leaf
from units import quantity

SEARCHED = 1e-6
ROOT = pathlib.Path(__file__).resolve().parents[2]


class ToolFailed(Exception):
    pass


def started(tool, text, *arguments):
    command = [tool, arguments[0], "-", *arguments[1:]]
    return subprocess.run(command, input=text.encode(), capture_output=True, check=False, timeout=60)


def run(tool, text, *arguments):
    done = started(tool, text, *arguments)
    # Exit status 1 means a requirement of the leaf is not met: the results are there all the same.
    if done.returncode not in (0, 1) or not done.stdout:
        words = done.stderr.decode(errors="replace").strip()
        raise ToolFailed(f"{' '.join(arguments)}: exit {done.returncode}: {words}")
    return done.stdout.decode()


def no_constants(name):
    raise ValueError(f"{name} is no JSON number")


def from_json(text):
    return json.loads(text, parse_constant=no_constants)


def asks_for(leaf):
    """The commands whose sections the leaf has."""
    has = leaf.description.keys()
    drives = leaf.drive and (leaf.drive.pressed or leaf.motors)
    commands = ["drive"] if drives and not ("duty" in has and leaf.travel is None) else []
    commands += ["brake"] if {"brakes", "holding"} <= has else []
    return commands + (["wind"] if "wind_limits" in has and (drives or "brakes" in has) else [])


def stuck_faults(tool, text, reason):
    """A leaf that cannot be moved: the tool has to say so."""
    done = started(tool, text, "curve", "--json")
    if done.returncode == 2 and done.stderr and not done.stdout:
        return []
    return [f"curve: exit {done.returncode} where the reference is stuck: {reason}"]


def faults_of(tool, text, step, comparison):
    leaf = reference.read(text)
    try:
        leaf.check()
        reference.curve(leaf)
    except reference.Stuck as reason:
        return stuck_faults(tool, text, reason)
    weighed = from_json(run(tool, text, "weigh", "--json"))
    comparison.tree(weighed, reference.weigh(leaf), "weigh")
    turned = from_json(run(tool, text, "curve", "--json", "--step", step))
    comparison.tree(turned, reference.curve(leaf, quantity(step, "angle")), "curve")
    if not comparison.faults:
        records = weigh_records(weighed)
        comparison.faults += csv_faults(run(tool, text, "weigh", "--csv"), records)
        comparison.faults += csv_faults(run(tool, text, "curve", "--csv", "--step", step), curve_records(turned))
    searched = Comparison(SEARCHED)
    for command in asks_for(leaf):
        got = from_json(run(tool, text, command, "--json"))
        for limit in got.get("limits", ()):
            limit.pop("by_law", None)  # held by unit/test_wind_lowest.c
        searched.tree(got, reference.COMMANDS[command](leaf), command)
    if has_cycle(leaf):
        moved = from_json(run(tool, text, "cycle", "--json", "--every", "1000 s"))
        want = cycle(leaf)
        searched.tree(asked(moved, want), want, "cycle")
    return comparison.faults + searched.faults


class Tap:
    def __init__(self, tool):
        self.tool = tool
        self.done = 0
        self.failed = 0
        self.worst = Comparison()

    def leaf(self, title, text, step):
        self.done += 1
        comparison = Comparison()
        title = f"{title}: all commands agree"
        try:
            faults = faults_of(self.tool, text, step, comparison)
        except (ToolFailed, OSError, ValueError, subprocess.TimeoutExpired) as reason:
            faults = [str(reason)]
        if comparison.worst > self.worst.worst:
            self.worst = comparison
        print(f"{'not ok' if faults else 'ok'} {self.done} - {title}")
        for fault in faults[:8]:
            print("#   " + fault.replace("\n", "\n#   "))
        self.failed += bool(faults)
        return None


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("tool", nargs="?", default=str(ROOT / "build" / "trunnion"))
    parser.add_argument("count", nargs="?", type=int, default=60)
    parser.add_argument("seed", nargs="?", type=int, default=1)
    parser.add_argument("--examples", type=pathlib.Path, default=ROOT / "examples")
    options = parser.parse_args()
    examples = sorted(options.examples.glob("*.yaml"))
    tap = Tap(options.tool)
    print(f"1..{options.count + len(examples)}")
    for path in examples:
        tap.leaf(f"reference example {path.name}", path.read_text(encoding="utf-8"), "1deg")
    for seed in range(options.seed, options.seed + options.count):
        tap.leaf(f"reference leaf seed {seed}", *random_leaf(seed))
        sys.stdout.flush()
    print(f"# largest difference: {tap.worst.worst:.2g} of the size of its terms {tap.worst.worst_at}")
    sys.exit(1 if tap.failed else 0)


if __name__ == "__main__":
    main()
