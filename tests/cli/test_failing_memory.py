# SPDX-License-Identifier: GPL-3.0-or-later
"""Every call for memory failed in turn: the whole result, or exit status 3, a sentence, and the old files.

The first of the calls that come by the same way through the tool is failed, in one command line of each command;
FAULTS=ways takes every command line, FAULTS=all every call of them. The reading of a leaf is failed where it is weighed.
FAULTS_OF=WORDS tries only the command lines that have these words.
"""

import contextlib
import os
import shutil
import subprocess

from commandlines import LINES, prepare, takes_output, words_of
from harness import ROOT, WRAP, Result, Skipped, build_folder, claim, environment, expect, expect_equal, folder, main
from harness import tool

LEVEL = os.environ.get("FAULTS", "")
WHOLE = LEVEL == "all"
WANTED = os.environ.get("FAULTS_OF", "")
# After so many faults a command line has failed.
TOLD = 8
OLD = b"what stood there before\n"
PICTURES = ("plot.gp", "plot.svg")
SHARDS = {}
# How often the reading of a leaf asks for memory, as far as is known.
READING = {}


def settings(**changes):
    asan = os.environ.get("ASAN_OPTIONS", "")
    return environment(
        LD_PRELOAD=str(build_folder() / "tests" / "failing_memory.so"),
        ASAN_OPTIONS=f"{asan}:verify_asan_link_order=0:detect_leaks=1:exitcode=99",
        LSAN_OPTIONS=f"suppressions={ROOT / 'tests' / 'faults' / 'leaks.supp'}:print_suppressions=0",
        **changes,
    )


def old_files(line):
    names = [*(["result"] if takes_output(line) else []), *(name for name in PICTURES if name in line)]
    return dict.fromkeys(names, OLD)


def seen_in(place, command, status):
    """What a run left in its folder: its result, and its files."""
    files = {path.name: path.read_bytes() for path in place.iterdir() if path.name not in SHARDS}
    out, errors = files.pop(".out"), files.pop(".errors")
    return Result(command, subprocess.CompletedProcess(command, status, out, errors)), files


@contextlib.contextmanager
def begun(line, place, **options):
    """A run in its folder, which has old files, and what goes to its standard streams."""
    here = {**old_files(line), **{name: text for name, text in SHARDS.items() if name in line}}
    for name, text in here.items():
        (place / name).write_bytes(text)
    command = [tool(), *line, *(["-o", "result"] if takes_output(line) else [])]
    with open(place / ".out", "wb") as out, open(place / ".errors", "wb") as errors, subprocess.Popen(
        command, cwd=place, stdin=subprocess.DEVNULL, stdout=out, stderr=errors, **options
    ) as process:
        yield process


def attempt(line, at, forever):
    """One run whose call of that number fails: its result, the files it left, and how often it asked for memory."""
    with folder() as place, folder() as aside:
        count = aside / "count"
        env = settings(FAIL_AT=str(at), FAIL_FOREVER="1" if forever else None, FAIL_COUNT=str(count))
        with begun(line, place, env=env) as process:
            process.wait(timeout=60)
        return *seen_in(place, process.args, process.returncode), int(count.read_text()) if count.exists() else 0


def attempts(line, start):
    """Each call failed in a copy that leaves one run at that call; what cannot be copied has a run of its own."""
    alone = []
    with folder() as place, folder() as copies:
        reading, writing = os.pipe()
        env = settings(FAIL_EACH=str(copies), FAIL_FROM=str(start), FAIL_TELL=str(writing),
                       FAIL_ONCE=None if WHOLE else "1")
        with begun(line, place, env=env, pass_fds=[writing]) as process, open(reading, encoding="ascii") as told:
            os.close(writing)
            for number, how, status in map(str.split, told):
                if how == "alone":
                    alone.append(int(number))
                    continue
                copy = copies / (number + ("+" if how == "forever" else ""))
                yield int(number), how == "forever", *seen_in(copy, process.args, int(status))
                shutil.rmtree(copy)
        yield 0, False, *seen_in(place, process.args, process.returncode)
    for number in alone:
        for forever in (False, True):
            yield number, forever, *attempt(line, number, forever)[:2]


def without_one(line):
    """The results of several leaves, where one at a time cannot be read."""
    given = [place for place, word in enumerate(line) if word.endswith(".yaml")]
    shapes = [[*line[:place], "/nowhere/leaf.yaml", *line[place + 1 :]] for place in given if len(given) > 1]
    return [attempt(shape, 0, False)[1]["result"].replace(b"/nowhere/leaf.yaml", line[place].encode())
            for shape, place in zip(shapes, given)]


def fault_of(line, good, at, forever, result, files):
    """What is wrong with a run whose memory failed; None for nothing."""
    about = f"call {at}{' and all after it' if forever else ''}: {result}, {sorted(files)}"
    # The sanitizer itself wants memory where a thread starts, and ends the process without it.
    if "sanitizer::GetThreadStackTopAndBottom" in result.errors:
        return None
    if result.status == good[0].status and (files, result.out) == (good[1], good[0].out):
        return None
    if result.status != 3 or at == 0:
        return f"neither whole nor told: {about}"
    if not result.errors.endswith("\n") or "Sanitizer" in result.errors:
        return f"no sentence: {about}"
    if result.out != b"":
        return f"something on standard output: {about}"
    # Of several leaves one that fails does not keep the others from their results.
    if files.get("result") in good[2]:
        return None
    # A picture that was finished before the table stays, whole.
    allowed = old_files(line)
    for name, text in files.items():
        if text not in (allowed.get(name), good[1].get(name) if name in PICTURES else None):
            return f"{name} is neither the old one nor whole: {about}"
    return None if set(allowed) <= set(files) else f"an old file is gone: {about}"


def told_or_whole(line):
    if WRAP:
        raise Skipped("a wrapper asks for memory of its own")
    if not SHARDS:
        with folder() as made:
            prepare(made)
            SHARDS.update({path.name: path.read_bytes() for path in made.iterdir()})
    result, files, count = attempt(line, 0, False)
    good = result, files, without_one(line)
    expect(result.status in (0, 1), result)
    expect(count > 0 or line == ("--help",), "nothing was counted")
    start = READING.get(line[1:2], 1)
    if line == ("weigh", line[-1]):
        READING[line[1:]] = count - 60
    tries, faults = 0, []
    with contextlib.closing(attempts(line, start)) as outcomes:
        for tried in outcomes:
            tries += 1
            fault = fault_of(line, good, *tried)
            faults += [fault] if fault is not None else []
            if len(faults) == TOLD:
                break
    expect_equal(len(faults), 0, f"of {tries}", *faults)
    expect(tries > 2 * (count - start if WHOLE else min(count, 5)), f"{tries} tries of {count} calls from {start}")


FIRST = {line[0]: line for line in reversed(LINES) if line[0] != "report"}.values()
for one in LINES if LEVEL or WANTED else reversed(FIRST):
    if WANTED in words_of(one):
        claim(f"{words_of(one)}: memory that fails is told, or the result is whole", told_or_whole, one)

if __name__ == "__main__":
    main()
