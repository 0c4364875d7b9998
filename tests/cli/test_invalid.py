# SPDX-License-Identifier: GPL-3.0-or-later
"""Faulty descriptions are refused with the place of each fault; sound ones are taken.

Beside every tests/cli/invalid/NAME.yaml stands NAME.expected: a line
`LINE:COLUMN: words` for each fault, the words somewhere in the message.
"""

import pathlib
import re

from harness import WRAP, Failed, claim, expect, main, run, run_well

HERE = pathlib.Path(__file__).resolve().parent
FAULTY = sorted((HERE / "invalid").glob("*.yaml"))
SOUND = sorted((HERE / "valid").glob("*.yaml"))
FAULTS_MAX = 20
# The commands read a leaf by the same function; under a wrapper each run takes a second, so one of them then.
COMMANDS = ("weigh",) if WRAP else ("weigh", "curve", "explain")
EXPECTED_LINE = re.compile(r"(\d+:\d+:) (.+)")


def expected_faults(leaf):
    faults = []
    for line in leaf.with_suffix(".expected").read_text(encoding="utf-8").splitlines():
        match = EXPECTED_LINE.fullmatch(line)
        expect(match, f"{leaf.stem}.expected: '{line}' is not of the form LINE:COLUMN: words")
        faults.append(match.groups())
    expect(faults, f"{leaf.stem}.expected names no fault")
    return faults


def told_once(message, place_and_words, name):
    place, words = place_and_words
    start = f"{name}:{place} "
    return message.startswith(start) and words in message[len(start):]


def expect_faults(result, faults, name):
    expect(result.status == 2, "expected exit status 2", result)
    expect(result.out == b"", "expected nothing on standard output", result)
    messages = result.errors.splitlines()
    for fault in faults:
        match = next((message for message in messages if told_once(message, fault, name)), None)
        expect(match, f"expected {name}:{fault[0]} ... {fault[1]} ...", result)
        messages.remove(match)
    if len(faults) == FAULTS_MAX:  # the list is full: a last line says that it goes on
        messages = [message for message in messages if message != f"{name}: more faults follow; mend these first"]
    expect(not messages, f"{len(messages)} lines more than the faults that there are", result)


def refused(leaf):
    faults = expected_faults(leaf)
    for command in COMMANDS:
        expect_faults(run(command, leaf), faults, str(leaf))


def refused_from_standard_input(leaf):
    faults = expected_faults(leaf)
    expect_faults(run("weigh", "-", stdin=leaf.read_bytes()), faults, "standard input")


def taken(leaf):
    for command in ("weigh", "curve"):
        for form in ((), ("--json",), ("--csv",)):
            run_well(command, leaf, *form)
    from_input = run_well("curve", "-", "--json", stdin=leaf.read_bytes())
    expect(from_input.out == run_well("curve", leaf, "--json").out, "standard input gives another result")


def enough(files, wanted, what):
    if len(files) < wanted:
        raise Failed(f"{len(files)} {what}, expected at least {wanted}")


def pairs_are_whole():
    strays = [path.name for path in (HERE / "invalid").glob("*.expected") if not path.with_suffix(".yaml").exists()]
    expect(not strays, f"no description beside {strays}")


claim("at least 60 faulty descriptions are tried", enough, FAULTY, 60, "faulty descriptions")
claim("at least 12 sound descriptions are tried", enough, SOUND, 12, "sound descriptions")
claim("each expected text has its description", pairs_are_whole)
for path in FAULTY:
    claim(f"{path.stem} is refused at its place", refused, path)
    claim(f"{path.stem} is refused from standard input", refused_from_standard_input, path)
for path in SOUND:
    claim(f"{path.stem} is taken", taken, path)

if __name__ == "__main__":
    main()
