# SPDX-License-Identifier: GPL-3.0-or-later
"""Every call for memory failed in turn: the whole result, or exit status 3, a sentence, and the old files.

FAULTS=all fails every call (each 11th beyond the 200th), of the reading of a leaf only where it is weighed; without it
a few spread over each command line are failed.
"""

import concurrent.futures
import os

from commandlines import LINES, prepare, takes_output, words_of
from harness import ROOT, WRAP, Skipped, build_folder, claim, environment, expect, expect_equal, folder, main, run

WHOLE = os.environ.get("FAULTS") == "all"
EVERY, STRIDE = 200, 11
FEW = 6
WORKERS = 2
OLD = "what stood there before\n"
SHARDS = {}
# How often the reading of a leaf asks for memory, as far as is known.
READING = {}


def settings(place, at, forever):
    asan = os.environ.get("ASAN_OPTIONS", "")
    return environment(
        LD_PRELOAD=str(build_folder() / "tests" / "failing_memory.so"),
        FAIL_AT=str(at),
        FAIL_FOREVER="1" if forever else None,
        FAIL_COUNT=str(place / "count"),
        ASAN_OPTIONS=f"{asan}:verify_asan_link_order=0:detect_leaks=1:exitcode=99",
        LSAN_OPTIONS=f"suppressions={ROOT / 'tests' / 'faults' / 'leaks.supp'}:print_suppressions=0",
    )


def attempt(line, at, forever):
    """One run in a folder of its own: its result, the files that it left, and how often it asked for memory."""
    with folder() as place, folder() as aside:
        for name, text in SHARDS.items():
            (place / name).write_bytes(text)
        here = list(line)
        if takes_output(line):
            (place / "result").write_text(OLD)
            here += ["-o", "result"]
        if "plot.gp" in line:
            (place / "plot.gp").write_text(OLD)
        result = run(*here, env=settings(aside, at, forever), cwd=place)
        files = {path.name: path.read_bytes() for path in place.iterdir() if path.suffix != ".shard"}
        counted = aside / "count"
        return result, files, int(counted.read_text()) if counted.exists() else 0


def old_files(line):
    files = {"result": OLD.encode()} if takes_output(line) else {}
    return {**files, "plot.gp": OLD.encode()} if "plot.gp" in line else files


def without_one(line):
    """The results of several leaves, where one at a time cannot be read."""
    given = [place for place, word in enumerate(line) if word.endswith(".yaml")]
    shapes = [[*line[:place], "/nowhere/leaf.yaml", *line[place + 1 :]] for place in given if len(given) > 1]
    return [attempt(shape, 0, False)[1]["result"].replace(b"/nowhere/leaf.yaml", line[place].encode())
            for shape, place in zip(shapes, given)]


def fault_of(line, good, tried, at, forever):
    """What is wrong with a run whose memory failed; None for nothing."""
    result, files, _ = tried
    about = f"call {at}{' and all after it' if forever else ''}: {result}"
    if result.status == good[0].status and (files, result.out) == (good[1], good[0].out):
        return None
    if result.status != 3:
        return f"neither whole nor told: {about}"
    if not result.errors.endswith("\n") or "Sanitizer" in result.errors:
        return f"no sentence: {about}"
    if result.out != b"":
        return f"something on standard output: {about}"
    # Of several leaves one that fails does not keep the others from their results.
    if files.get("result") in good[3]:
        return None
    # A picture that was finished before the table stays, whole.
    allowed = old_files(line)
    for name, text in files.items():
        if text not in (allowed.get(name), good[1].get(name) if name == "plot.gp" else None):
            return f"{name} is neither the old one nor whole: {about}"
    return None if set(allowed) <= set(files) else f"an old file is gone: {about}"


def chosen(line, count):
    if WHOLE:
        start = 1 if line[0] == "weigh" or line[1:2] not in READING else READING[line[1:2]]
        return [at for at in range(start, count + 1) if at < start + EVERY or at % STRIDE == 0]
    step = max(1, count // FEW)
    # What comes last is the command's own, what comes first is the same for all.
    return sorted({*range(1 + len(LINES) % step, count + 1, step), *range(max(1, count - FEW), count + 1)})


def told_or_whole(line):
    if WRAP:
        raise Skipped("a wrapper asks for memory of its own")
    if not SHARDS:
        with folder() as made:
            prepare(made)
            SHARDS.update({path.name: path.read_bytes() for path in made.iterdir()})
    good = (*attempt(line, 0, False), without_one(line))
    expect(good[0].status in (0, 1), good[0])
    expect(good[2] > 0 or line == ("--help",), "nothing was counted")
    tries = [(at, forever) for forever in (False, True) for at in chosen(line, good[2])]
    if line == ("weigh", line[-1]):
        READING[line[1:]] = good[2] - 60
    with concurrent.futures.ThreadPoolExecutor(WORKERS) as pool:
        outcomes = pool.map(lambda one: fault_of(line, good, attempt(line, *one), *one), tries)
        faults = [fault for fault in outcomes if fault is not None]
    expect_equal(len(faults), 0, f"of {len(tries)}", *faults[: 40 if WHOLE else 4])


for one in LINES:
    claim(f"{words_of(one)}: memory that fails is told, or the result is whole", told_or_whole, one)

if __name__ == "__main__":
    main()
