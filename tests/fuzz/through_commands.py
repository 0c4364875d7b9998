# SPDX-License-Identifier: GPL-3.0-or-later
"""Mutants of sound leaf files through every command.

    through_commands.py TOOL [COUNT [SEED [SECONDS]]]

Each mutant goes through weigh and three other commands, with a format and options by lot. What must hold: an exit status
from 0 to 2, no word of a sanitizer, an end within SECONDS (10) of the processor, six times as many for the report; where the leaf is refused FILE:LINE:COLUMN; where it
is not, finite numbers, JSON by its schema, tables of CSV with as many cells as headings. A mutant that fails stays, with
the command to repeat it. The same for the same seed; one TAP line.
"""

import collections
import csv
import io
import json
import math
import multiprocessing
import os
import pathlib
import random
import re
import signal
import subprocess
import sys
import tempfile

import jsonschema

from leaf_mutants import ROOT, Mutator, bases

RECORDS = ROOT / "examples" / "records"
PARTS = "0 1 2 5 10 30 45 60 90 119".split()
NO_NUMBER = re.compile(r"(?<![\w.])[-+MLHV]?-?(?:nan|inf)(?![\w.])")
PLACE = re.compile(r"leaf\.yaml:[1-9][0-9]*:[1-9][0-9]*: .")
FAULTS = ["power lost at {}deg", "emergency stop at {}deg", "pedal released at {}deg closing", "motor out at {}deg", "brake out",
          "near switch missed", "gust 12 m/s for 8 s at {}deg opening", "gust 9000 Pa for 0.1 s at {}deg"]
ADDITIONS = ["overlay: 35 kg/m2 on deck", "cable: 120 kg at [6 m, 0.9 m]", "rail: 0.4 kN/m from [1 m, 1 m] to [20 m, 1 m]",
             "less: -900 kg at [2 m, 0 m]"]


def cycle_words(dice):
    words = []
    for _ in range(dice.choice((0, 0, 1, 1, 2))):
        words += ["--fault", dice.choice(FAULTS).format(dice.choice(PARTS))]
    if dice.random() < 0.2:
        words += ["--gust", f"{dice.choice((1, 30, 300))} m/s for {dice.choice((0.1, 8, 600))} s at {dice.choice(PARTS)} s"]
    if dice.random() < 0.2:
        words += ["--wind-record", str(RECORDS / "gusty.csv")]
    if not words and dice.random() < 0.4:
        words = dice.choice((["--switches"], ["--operation"], ["--sweep", "--fault", "power lost", "--step", "20deg"]))
    return words


# What each command is given beside the leaf, and how often it is asked.
WORDS = {
    "weigh": lambda dice: [],
    "curve": lambda dice: ["--step", dice.choice(("120deg", "7deg", "1deg"))],
    "explain": lambda dice: ["--at", dice.choice(PARTS) + "deg"],
    "drive": lambda dice: [],
    "brake": lambda dice: [],
    "wind": lambda dice: ["--step", dice.choice(("120deg", "7deg"))],
    "cycle": cycle_words,
    "measure": lambda dice: [str(RECORDS / dice.choice(("metric.csv", "us_windy.csv", "metric_power.csv"))),
                             *dice.choice(([], ["--ordinary"], ["--friction-by-reaction"], ["--from", "5deg", "--to", "30deg"]))],
    "ballast": lambda dice: ["--seconds", "0.5"],
    "spread": lambda dice: ["--samples", "300", "--step", "40deg", "--threads", "1"],
    "report": lambda dice: [],
}
OTHERS = [name for name in WORDS if name != "weigh"]
SHARES = [{"report": 0.08, "spread": 0.5, "cycle": 2}.get(name, 1) for name in OTHERS]
FORMATS = (["--json"], ["--json"], ["--csv"], ["--csv"], [], ["--plot", "plot.gp"])


class Wrong(Exception):
    """What must not be."""


def no_constant(name):
    raise Wrong(f"{name} in JSON")


def check_finite(value):
    if isinstance(value, float) and not math.isfinite(value):
        raise Wrong("a number in JSON that no double holds")
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        check_finite(inner)


def check_text(text):
    found = NO_NUMBER.search(text)
    if found:
        raise Wrong(f"no number where one is printed: ...{text[max(found.start() - 60, 0):found.end() + 10]!r}")


class Through:
    def __init__(self, tool, seed, seconds):
        self.tool, self.seed, self.seconds = tool, seed, seconds
        self.mutator = Mutator(bases())
        self.schemas = {path.stem: jsonschema.Draft202012Validator(json.loads(path.read_text(encoding="utf-8")))
                        for path in (ROOT / "cli" / "schemas").glob("*.json")}

    def words_for(self, dice, command):
        first = WORDS[command](dice)
        record = [first.pop(0)] if command == "measure" else []
        words = [command, "leaf.yaml", *record, *first]
        if command != "report":
            words += dice.choice(FORMATS)
        if dice.random() < 0.1:
            words += ["--add", dice.choice(ADDITIONS)]
        return words + (["--units", dice.choice(("us", "metric"))] if dice.random() < 0.3 else [])

    def check_result(self, command, words, done, place):
        out = done.stdout.decode()
        if "--json" in words:
            result = json.loads(out, parse_constant=no_constant)
            check_finite(result)
            faults = [fault.message[:200] for fault in self.schemas[command].iter_errors(result)]
            if faults:
                raise Wrong(f"JSON against its schema: {faults[:3]}")
        elif "--csv" in words:
            rows = list(csv.reader(io.StringIO(out, newline=""), strict=True))
            if any(len(row) != len(rows[0]) for row in rows):
                raise Wrong("CSV with rows that are shorter or longer than the headings")
            check_text(out)
        elif "plot.gp" in words:
            check_text((place / "plot.gp").read_text(encoding="utf-8"))
        elif not out:
            raise Wrong("nothing is told")
        else:
            check_text(out)

    def ask(self, words, place):
        """Run one command, hold its answer against what must be; the exit status."""
        seconds = self.seconds * (6 if words[0] == "report" else 1)
        done = subprocess.run(["prlimit", f"--cpu={seconds}", self.tool, *words], cwd=place, capture_output=True,
                              stdin=subprocess.DEVNULL, check=False, timeout=60 * seconds)
        if done.returncode == -signal.SIGKILL:
            raise Wrong(f"no end within {seconds} s")
        errors = done.stderr.decode(errors="replace")
        if "Sanitizer" in errors or "runtime error" in errors or done.returncode not in (0, 1, 2):
            raise Wrong(f"exit status {done.returncode}: {errors[:3000]}")
        if done.returncode == 2:
            if done.stdout or not errors.strip():
                raise Wrong(f"refused with {len(done.stdout)} bytes of a result and these words: {errors!r}")
        elif done.returncode == 1 and "not met" not in errors:
            raise Wrong(f"exit status 1 without what is not met: {errors!r}")
        else:
            self.check_result(words[0], words, done, place)
        check_text(errors)
        return done.returncode, errors

    def mutant(self, index):
        """Count the exit statuses of a mutant's commands; a list of what is wrong."""
        dice = random.Random(f"{self.seed} {index}")
        tally, wrong = collections.Counter(), []
        with tempfile.TemporaryDirectory(prefix="trunnion-") as folder:
            place = pathlib.Path(folder)
            text = self.mutator.mutant(f"{self.seed} {index} leaf")
            (place / "leaf.yaml").write_bytes(text.encode())
            commands = ["weigh", *dict.fromkeys(dice.choices(OTHERS, SHARES, k=3))]
            for command in commands:
                words = self.words_for(dice, command)
                try:
                    status, errors = self.ask(words, place)
                    tally[status] += 1
                    plain = "--add" not in words and "--fault" not in words and "--sweep" not in words
                    if status == 2 and command == "weigh" and plain:
                        if not all(PLACE.match(line) for line in errors.splitlines() if "more faults follow" not in line):
                            raise Wrong(f"refused without FILE:LINE:COLUMN: {errors!r}")
                        break
                except (Wrong, ValueError, csv.Error) as fault:
                    wrong.append((index, words, str(fault), text))
        return tally, wrong


THROUGH = None


def begin(*settings):
    global THROUGH
    os.nice(10)
    THROUGH = Through(*settings)


def one(index):
    return THROUGH.mutant(index)


def keep(wrong, seed):
    """The mutant, in a file that stays."""
    index, words, fault, text = wrong
    folder = pathlib.Path(tempfile.gettempdir()) / f"mutant-{seed}-{index}"
    folder.mkdir(exist_ok=True)
    (folder / "leaf.yaml").write_bytes(text.encode())
    shown = " ".join(f"'{word}'" if " " in word else word for word in words)
    print(f"# {fault}\n# cd {folder}; trunnion {shown}", flush=True)


def main():
    tool = os.path.abspath(sys.argv[1])
    count, seed, seconds = (int(word) for word in [*sys.argv[2:], *("2000", "1", "10")[len(sys.argv) - 2:]])
    tally, bad = collections.Counter(), 0
    with multiprocessing.Pool(initializer=begin, initargs=(tool, seed, seconds)) as pool:
        for statuses, wrong in pool.imap_unordered(one, range(count), chunksize=10):
            tally.update(statuses)
            bad += len(wrong)
            for fault in wrong:
                keep(fault, seed)
    told = ", ".join(f"{tally[status]} with status {status}" for status in sorted(tally))
    print(f"{'not ok' if bad else 'ok'} - {count} mutants of leaves through every command: {told}")
    return bad > 0


if __name__ == "__main__":
    sys.exit(main())
