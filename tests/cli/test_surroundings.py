# SPDX-License-Identifier: GPL-3.0-or-later
"""The same leaf gives the same bytes whatever surrounds the tool: locale, time zone, home, environment, a small stack.
And files of any size and name end in a result or in a sentence, soon and in bounded memory."""

import os
import resource
import subprocess

from commandlines import LINES, prepare, takes_output, words_of
from harness import METRIC, WRAP, Skipped, claim, environment, expect, expect_equal, folder, leaf_text, main, run, tool

STACK = 64 * 1024
PLACES = {
    "a comma in numbers": environment(LC_ALL="de_DE.UTF-8"),
    "a Turkish i": environment(LC_ALL="tr_TR.UTF-8", LANG="tr_TR.UTF-8"),
    "a locale that there is not": environment(LC_ALL="xx_XX.nonsense"),
    "no UTF-8": environment(LC_ALL="C", LANG="C"),
    "another time zone, and no home": environment(TZ="Pacific/Kiritimati", HOME=None, USER=None, LOGNAME=None),
    "an empty environment": {"PATH": os.environ.get("PATH", "")},
    "nothing at all in the environment": {},
}


def smaller_stack():
    resource.setrlimit(resource.RLIMIT_STACK, (STACK, STACK))


def is_plain():
    with open(tool(), "rb") as file:
        return WRAP == [] and b"__asan_" not in file.read()


def outcome(line, **options):
    with folder() as place:
        prepare_shards(place)
        result = run(*line, *(("-o", "result") if takes_output(line) else ()), cwd=place, **options)
        return result.status, result.out, result.errors, {path.name: path.read_bytes() for path in place.iterdir()}


SHARDS = {}


def prepare_shards(place):
    if not SHARDS:
        with folder() as made:
            prepare(made)
            SHARDS.update({path.name: path.read_bytes() for path in made.iterdir()})
    for name, text in SHARDS.items():
        (place / name).write_bytes(text)


def same_everywhere(line):
    wanted = outcome(line)
    expect(wanted[0] in (0, 1), wanted[:3])
    for words, env in PLACES.items():
        expect_equal(outcome(line, env={**kept_of_sanitizers(), **env}), wanted, words)


def kept_of_sanitizers():
    return {name: value for name, value in os.environ.items() if name.endswith("SAN_OPTIONS")}


def small_stack(line):
    if not is_plain():
        raise Skipped("this build needs a larger stack")
    seen, wanted = outcome(line, preexec_fn=smaller_stack), outcome(line)
    expect_equal(seen[:3], wanted[:3])
    expect_equal(seen, wanted)


def measured(*arguments, cwd, seconds, megabytes, stdin=subprocess.DEVNULL):
    """Status and message of a run that gets so much of the processor and of memory, and no more."""
    def limits():
        if plain:
            resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
            resource.setrlimit(resource.RLIMIT_AS, (megabytes << 20, megabytes << 20))

    plain = is_plain()
    command = [*WRAP, tool(), *map(str, arguments)]
    done = subprocess.run(command, cwd=cwd, env=environment(), stdin=stdin, preexec_fn=limits, capture_output=True,
                          timeout=600, check=False)
    return done.returncode, done.stdout, done.stderr.decode(errors="replace")


def refused_file(make, words, megabytes, command=("weigh",)):
    with folder() as place:
        make(place / "big")
        for source in ("big", "-"):
            with open(place / "big", "rb") as file:
                status, out, errors = measured(*command, source, cwd=place, seconds=3, megabytes=megabytes, stdin=file)
            expect_equal((status, out), (2, b""), errors)
            expect(words in errors and errors.endswith("\n") and len(errors) < 20000, errors[:2000])


def sparse(gigabytes):
    def make(path):
        with open(path, "wb") as file:
            file.truncate(gigabytes << 30)
    return make


def of_text(start, piece, megabytes):
    def make(path):
        with open(path, "wb") as file:
            file.write(start)
            file.write(piece * (megabytes * 1000000 // len(piece)))
    return make


def long_leaf():
    """As many parts as the reader takes: in proportion to the parts."""
    part = b"  - {name: part %d, weight: 20 kN, at: [%d.5 m, 0.1 m]}\n"
    with folder() as place:
        head, rest = leaf_text().split(b"parts:\n")
        parts = b"".join(part % (i, i % 9) for i in range(100000))
        (place / "long.yaml").write_bytes(head + b"parts:\n" + parts + rest)
        status, out, errors = measured("weigh", "long.yaml", "--csv", cwd=place, seconds=20, megabytes=900)
        expect_equal((status, errors), (0, ""))
        expect_equal(out.count(b"\r\n"), 100003)


def long_record(lines):
    """A record of a million lines is read whole or refused for its length."""
    with folder() as place:
        way = ("opening", "closing")
        rows = "".join(f"{8 + 58 * (i % 5000) / 5000:.3f},{way[i // 5000 % 2]},{i // 10000},{800 + i % 17}\r\n"
                       for i in range(lines))
        (place / "record.csv").write_text("angle [degree],direction,run,motor torque [N m]\r\n" + rows)
        status, _, errors = measured("measure", METRIC, "record.csv", "--json", cwd=place, seconds=60, megabytes=2500)
        expect(status in (0, 1, 2) and (status != 2 or "record.csv:" in errors), status, errors[:1000])


def long_path(length, works):
    """A path as long as the system takes, and one that is longer."""
    with folder() as place:
        name = "./" * ((length - 9) // 2) + ("x" if length % 2 == 0 else "") + "leaf.yaml"
        (place / name.rpartition("/")[2]).write_bytes(leaf_text())
        expect_equal(len(name), length)
        status, out, errors = measured("weigh", name, cwd=place, seconds=3, megabytes=100)
        expect_equal((status, out != b""), (0, True) if works else (3, False), errors[:300])
        # The draft beside a result has a longer name than some.
        target = name[40 if works else 0 : -9] + "result"
        status, out, errors = measured("weigh", METRIC, "-o", target, cwd=place, seconds=3, megabytes=100)
        expect_equal(status, 0 if works else 3, errors[:300])
        expect(works or ("cannot write" in errors and "too long" in errors), errors[-300:])


for one in LINES:
    claim(f"{words_of(one)}: the same bytes everywhere", same_everywhere, one)
    claim(f"{words_of(one)}: {STACK // 1024} KiB of stack are enough", small_stack, one)
claim("a leaf file of 50 MB is refused", refused_file, of_text(leaf_text(), b"# a comment\n", 50), ":", 200)
claim("a leaf file of 50 MB on one line is refused", refused_file, of_text(b"leaf: ", b"x", 50), ":", 200)
claim("a file of zeros is refused", refused_file, of_text(b"", b"\0", 1), ":", 200)
claim("a sparse file of 5 GB is refused", refused_file, sparse(5), ":", 200)
claim("a sparse file of 5 GB as a record is refused", refused_file, sparse(5), ":", 700, ("measure", METRIC))
claim("100,000 parts are weighed", long_leaf)
claim("a record of 1,000,000 lines", long_record, 1000000)
claim("a path of 4095 letters", long_path, 4095, True)
claim("a path of 4097 letters is told", long_path, 4097, False)

if __name__ == "__main__":
    main()
