# SPDX-License-Identifier: GPL-3.0-or-later
"""Every call of the system failed in turn, by strace: the whole result, or exit status 3, a sentence, the old files.

A report has the most calls: it is tried where FAULTS is set, as is what needs the same calls as another command line.
Beside it what else a machine does to a process: streams closed at its start, signals at any moment, pipes that fill up.
"""

import concurrent.futures
import os
import random
import re
import shutil
import signal
import stat
import subprocess
import threading
import time

from commandlines import LEAVES, RECORD
from harness import METRIC, WRAP, Skipped, claim, environment, expect, expect_equal, folder, main, run, run_well, tool

OLD = b"what stood there before\n"
WORKERS = 2
ERRORS = {
    "openat": ("EACCES", "EMFILE"),
    "read": ("EIO", "EINTR"),
    "write": ("ENOSPC", "EIO", "EPIPE", "EINTR"),
    "close": ("EIO",),
    "fsync": ("EIO", "ENOSPC"),
    "rename": ("EACCES", "ENOSPC"),
    "newfstatat": ("EACCES",),
    "readlink": ("EIO",),
    "fchmod": ("EPERM",),
    "unlink": ("EACCES",),
    "dup": ("EMFILE",),
    "fcntl": ("EBADF",),
    "pipe2": ("EMFILE",),
    "lseek": ("ESPIPE",),
    "clone": ("EAGAIN",),
    "clone3": ("EAGAIN",),
    "wait4": ("ECHILD",),
}
# The first call of the tool's own; what comes before is the loader's.
START = "rt_sigaction(SIGINT"
# The database of units is read alike by every command.
OF_UNITS = "/udunits/"

LINES = (
    ("weigh", METRIC, "-o", "result"),
    ("weigh", METRIC),
    ("weigh", "-"),
    ("weigh", LEAVES["teaching"], LEAVES["linked"], "--csv", "-o", "result"),
    ("drive", METRIC, "--quiet", "--plot", "plot.svg"),
    ("weigh", METRIC, "--plot", "plot.gp", "-o", "result"),
    ("measure", METRIC, RECORD, "--json", "-o", "result"),
    ("report", LEAVES["us"], "-o", "result"),
    ("new", "fresh.yaml"),
    ("schema", "leaf", "-o", "result"),
    ("--help",),
    ("--version",),
)
FEW_LINES = [line for line in LINES if line[0] in ("drive", "measure", "new") or line[-1] == "-"]


def needs_strace():
    if WRAP or not shutil.which("strace"):
        raise Skipped("needs strace and no wrapper")
    done = subprocess.run(["strace", "-qq", "-o", "/dev/null", "true"], capture_output=True, check=False)
    if done.returncode != 0:
        raise Skipped("no process can be traced here")


def traced(line, *how):
    """One run under strace in a folder of its own: how it ended, what it wrote to standard output, and its files."""
    with folder() as place:
        for name in ("result", "plot.svg", "plot.gp"):
            if name in line:
                (place / name).write_bytes(OLD)
        # Sanitizers look for leaks by tracing, too.
        env = environment(ASAN_OPTIONS=f"{os.environ.get('ASAN_OPTIONS', '')}:detect_leaks=0")
        with open(METRIC, "rb") as leaf, open(place / ".out", "wb") as out:
            options = {"stdin": leaf if "-" in line else subprocess.DEVNULL, "stdout": out, "stderr": subprocess.PIPE}
            done = subprocess.run(["strace", "-qq", *how, tool(), *map(str, line)], cwd=place, env=env, timeout=60,
                                  check=False, **options)
        files = {path.name: path.read_bytes() for path in place.iterdir()}
        return done.returncode, done.stderr.decode(errors="replace"), files


def number_in(call):
    """The descriptor that a call is about, None for none."""
    made = re.search(r"= (\d+)$", call) if call.startswith(("openat", "dup(")) else re.match(r"\w+\((\d+)[,)]", call)
    return made[1] if made is not None else None


def calls_of(line):
    """
    Name and number of each call that the tool itself makes, with its text. strace does not make a call that it fails:
    a pipe would stay open, which no failing close ever leaves, so only those of files are failed.
    """
    with folder() as aside:
        traced(line, "-o", aside / "calls")
        text = (aside / "calls").read_text(errors="replace").splitlines()
    counts, found, begun, opened = {}, [], False, {}
    for call in text:
        name, descriptor = call.split("(", 1)[0], number_in(call)
        counts[name] = counts.get(name, 0) + 1
        begun = begun or call.startswith(START)
        if name in ("openat", "dup"):
            opened[descriptor] = call
        behind = opened.get(descriptor, "")
        chosen = counts[name] % 5 == 0 if OF_UNITS in behind else name != "close" or behind != ""
        if begun and name in ERRORS and chosen:
            found.append((name, counts[name], call))
        if name == "close":
            opened.pop(descriptor, None)
    return found


def fault_of(line, good, failed):
    name, number, call, error = failed
    status, errors, files = traced(line, "-o", "/dev/null", "-e", f"inject={name}:error={error}:when={number}")
    about = f"{error} of {call[:120]}: exit status {status}, {errors!r}, {sorted(files)}"
    if status == good[0] and files == good[2]:
        return None
    if status != 3 or not errors.endswith("\n"):
        return f"neither whole nor told: {about}"
    # What could not be removed stays.
    left = {name: text for name, text in files.items() if not (error != "" and name.startswith(".trunnion-"))}
    if len(left) != len(files) and failed[0] != "unlink":
        return f"a draft is left: {about}"
    # Of several leaves one that fails does not keep the others from their results.
    if left.get("result") in good[3]:
        return None
    for name, text in left.items():
        if text not in (OLD, good[2].get(name)) and not (name == ".out" and good[2][".out"].startswith(text)):
            return f"{name} is neither the old one nor whole: {about}"
    return None if set(good[2]) - {"fresh.yaml"} <= set(left) else f"an old file is gone: {about}"


def without_one(line):
    """The results of several leaves, where one at a time cannot be read."""
    given = [place for place, word in enumerate(line) if str(word).endswith(".yaml")]
    shapes = [[*line[:place], "/nowhere/leaf.yaml", *line[place + 1 :]] for place in given if len(given) > 1]
    return [traced(shape, "-o", "/dev/null")[2]["result"] for shape in shapes]


def told_or_whole(line):
    needs_strace()
    good = (*traced(line, "-o", "/dev/null"), without_one(line))
    expect(good[0] in (0, 1), good)
    tries = [(*call, error) for call in calls_of(line) for error in ERRORS[call[0]]]
    seen = {one[0] for one in tries}
    expect(({"write", "fsync", "rename"} if "result" in line else {"write"}) <= seen, "not all calls were seen", seen)
    with concurrent.futures.ThreadPoolExecutor(WORKERS) as pool:
        faults = [fault for fault in pool.map(lambda one: fault_of(line, good, one), tries) if fault is not None]
    expect_equal(len(faults), 0, f"of {len(tries)}", *faults[:8])


def closed_streams(closed, line, status):
    """No file gets what was meant for a stream that was closed before the tool began."""
    with folder() as place:
        plain = run(*line, cwd=place)
        wanted = {path.name: path.read_bytes() for path in place.iterdir()}
        for path in place.iterdir():
            path.unlink()
        result = run(*line, cwd=place, before=["sh", "-c", f'exec "$@" {closed}', "sh"])
        expect_equal(result.status, plain.status if status is None else status, result)
        if status is None:
            expect_equal({path.name: path.read_bytes() for path in place.iterdir()}, wanted)
            expect_equal(result.out, plain.out if ">&-" not in closed.replace("2>&-", "") else b"")
        elif "2>&-" not in closed and ">&-" in closed:
            expect_equal(result.errors, "trunnion: cannot write standard output: Bad file descriptor\n")


def complaints_stay_apart(closed):
    """What gnuplot complains of does not get into the picture, whichever streams were closed."""
    with folder() as place:
        (place / "bin").mkdir()
        (place / "bin" / "gnuplot").write_text("#!/bin/sh\necho complaint >&2\necho '<svg></svg>'\n")
        (place / "bin" / "gnuplot").chmod(0o755)
        env = environment(PATH=f"{place}/bin:{os.environ['PATH']}")
        before = ["sh", "-c", f'exec "$@" {closed}', "sh"]
        result = run("weigh", METRIC, "--plot", "plot.svg", cwd=place, env=env, before=before)
        expect_equal(result.status, 0, result)
        expect_equal((place / "plot.svg").read_bytes(), b"<svg></svg>\n")


def random_moment(number, line):
    """Ended at any moment: by the signal or done, the old file or the whole new one, and no draft but after SIGKILL."""
    if WRAP:
        raise Skipped("a wrapper may catch signals")
    chance = random.Random(number)
    with folder() as place:
        run_well(*line, cwd=place)
        whole = {path.name: path.read_bytes() for path in place.iterdir()}
        start = time.monotonic()
        run_well(*line, cwd=place)
        lasts = time.monotonic() - start
        for _ in range(25):
            for name in whole:
                (place / name).write_bytes(OLD)
            command = [tool(), *map(str, line)]
            with subprocess.Popen(command, cwd=place, env=environment(), stderr=subprocess.PIPE) as one:
                time.sleep(chance.uniform(0, 1.2 * lasts))
                one.send_signal(number)
                one.wait(timeout=60)
            expect(one.returncode in (0, -number), one.returncode)
            found = {path.name: path.read_bytes() for path in place.iterdir()}
            drafts = [name for name in found if name.startswith(".trunnion-")]
            expect(number == signal.SIGKILL or not drafts, "a draft is left", drafts)
            for name in drafts:
                found.pop(name)
                (place / name).unlink()
            expect_equal(sorted(found), sorted(whole))
            expect(all(text in (OLD, whole[name]) for name, text in found.items()), "a mixture")


def stays_ignored(number):
    """What nohup does: a signal that is ignored from the start ends nothing, here while a full pipe holds us up."""
    line = [*WRAP, tool(), "curve", str(METRIC), "--csv", "--step", "0.02deg"]
    ignore = {"preexec_fn": lambda: signal.signal(number, signal.SIG_IGN)}
    with subprocess.Popen(line, stdout=subprocess.PIPE, env=environment(), **ignore) as one:
        text = one.stdout.read(1)
        one.send_signal(number)
        text += one.stdout.read()
        expect_equal(one.wait(timeout=60), 0)
    expect_equal(len(text), len(run_well(*line[len(WRAP) + 1 :]).out))


def into_fifo():
    with folder() as place:
        os.mkfifo(place / "pipe")
        read = []
        reader = threading.Thread(target=lambda: read.append((place / "pipe").read_bytes()))
        reader.start()
        run_well("weigh", METRIC, "-o", "pipe", cwd=place)
        reader.join()
        expect_equal(read, [run_well("weigh", METRIC).out])
        expect(stat.S_ISFIFO(os.lstat(place / "pipe").st_mode), "the pipe was replaced by a file")


def stopped_in_the_middle():
    """Stopped and continued while a pipe is full: the write comes back short, and nothing is lost or said twice."""
    if WRAP:
        raise Skipped("a wrapper makes calls of its own")
    line = ["curve", str(METRIC), "--csv", "--step", "0.02deg"]
    whole = run_well(*line).out
    expect(len(whole) > 300000, "the result fits the pipe")
    with subprocess.Popen([tool(), *line], stdout=subprocess.PIPE, env=environment()) as one:
        got = b""
        for _ in range(6):
            time.sleep(0.1)
            one.send_signal(signal.SIGSTOP)
            time.sleep(0.02)
            one.send_signal(signal.SIGCONT)
            got += os.read(one.stdout.fileno(), 5000)
        got += one.stdout.read()
        expect_equal(one.wait(timeout=60), 0)
    expect(got == whole, f"{len(got)} bytes of {len(whole)}")


def pipe_signal(handler):
    """Whether the parent ignores SIGPIPE or not makes no difference to a reader that is gone."""
    reading, writing = os.pipe()
    os.close(reading)
    options = {"preexec_fn": lambda: signal.signal(signal.SIGPIPE, handler), "restore_signals": False}
    result = run("weigh", METRIC, stdout=writing, **options)
    os.close(writing)
    expect_equal(result.status, 3, result)
    expect("cannot write standard output" in result.errors, result)


def hanging_gnuplot(number):
    """A gnuplot that never ends is waited for; who ends the tool gets the old picture, and no draft."""
    with folder() as place:
        (place / "bin").mkdir()
        (place / "bin" / "gnuplot").write_text("#!/bin/sh\necho '<svg>'\nexec sleep 30\n")
        (place / "bin" / "gnuplot").chmod(0o755)
        (place / "plot.svg").write_bytes(OLD)
        env = environment(PATH=f"{place}/bin:{os.environ['PATH']}")
        with subprocess.Popen([tool(), "weigh", str(METRIC), "--plot", "plot.svg"], cwd=place, env=env,
                              start_new_session=True) as one:
            time.sleep(0.5)
            expect_equal(one.poll(), None, "it did not wait")
            os.killpg(one.pid, number)
            expect_equal(one.wait(timeout=30), -number)
        expect_equal(sorted(os.listdir(place)), ["bin", "plot.svg"])
        expect_equal((place / "plot.svg").read_bytes(), OLD)


def words(line):
    return " ".join(str(word).rsplit("/", 1)[-1] for word in line)


for one in LINES if os.environ.get("FAULTS") else FEW_LINES:
    claim(f"{words(one)}: a call of the system that fails is told, or the result is whole", told_or_whole, one)

WITH_FILE = ("drive", LEAVES["us"], "-o", "result")
for shut in ("<&-", ">&-", "2>&-", "<&- >&-", "<&- 2>&-", ">&- 2>&-", "<&- >&- 2>&-"):
    claim(f"{shut}: the result in a file is whole", closed_streams, shut, WITH_FILE, None)
    claim(f"{shut}: so is a picture", closed_streams, shut, ("weigh", METRIC, "--plot", "plot.svg"), None)
    claim(f"{shut}: gnuplot's complaints stay out of the picture", complaints_stay_apart, shut)
    claim(f"{shut}: so is a new leaf", closed_streams, shut, ("new", "fresh.yaml"), None)
    claim(f"{shut}: standard output is written or the failure told", closed_streams, shut, ("weigh", METRIC),
          3 if ">&-" in shut.replace("2>&-", "") else None)
claim("<&-: a leaf from standard input is told", closed_streams, "<&-", ("weigh", "-"), 3)

for sent in (signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP, signal.SIGQUIT):
    claim(f"{sent.name} at any moment leaves the old file or the new", random_moment, sent,
          ("curve", METRIC, "--json", "-o", "result"))
for sent in (signal.SIGTERM, signal.SIGKILL):
    claim(f"{sent.name} at any moment leaves the old picture or the new", random_moment, sent,
          ("weigh", METRIC, "--plot", "plot.svg"))
    claim(f"{sent.name} while gnuplot hangs leaves the old picture", hanging_gnuplot, sent)
for sent in (signal.SIGHUP, signal.SIGINT):
    claim(f"{sent.name} that is ignored from the start stays ignored", stays_ignored, sent)
claim("a pipe with a name is written, not replaced", into_fifo)
claim("short writes lose nothing", stopped_in_the_middle)
claim("SIGPIPE ignored by the parent", pipe_signal, signal.SIG_IGN)
claim("SIGPIPE left to the tool", pipe_signal, signal.SIG_DFL)

if __name__ == "__main__":
    main()
