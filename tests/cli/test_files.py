# SPDX-License-Identifier: GPL-3.0-or-later
"""Results in files: whole or not at all, and every failure of the machine is told."""

import functools
import itertools
import os
import resource
import shutil
import signal
import stat
import subprocess
import time

from harness import (
    METRIC, WRAP, Skipped, claim, expect, expect_equal, expect_refused, environment, folder, leaf_text, main, run, run_well,
    tool,
)

NOBODY = "65534"
COMMANDS = ("weigh", "curve", "explain")

# Holds a rename up or lets it fail, so that the moment before a file stands under its name can be looked at.
HOLD_RENAME = r"""
#include <errno.h>
#include <stdlib.h>
#include <unistd.h>
int rename(const char *from, const char *to)
{
    (void)from;
    (void)to;
    if (getenv("RENAME_FAILS") == NULL) {
        for (;;) {
            (void)pause();
        }
    }
    errno = EIO;
    return -1;
}
"""


def wanted(*arguments):
    return run_well(*arguments).out


def names_in(place):
    return sorted(os.listdir(place))


def mode_of(path):
    return stat.S_IMODE(os.stat(path).st_mode)


def whole_in_file(command, form):
    with folder() as place:
        target = place / "result"
        result = run_well(command, METRIC, *form, "-o", target)
        expect_equal(result.out, b"", "with -o nothing goes to standard output")
        expect_equal(target.read_bytes(), wanted(command, METRIC, *form))
        expect_equal(names_in(place), ["result"])


def long_option():
    with folder() as place:
        run_well("weigh", METRIC, "--output", place / "result")
        expect_equal((place / "result").read_bytes(), wanted("weigh", METRIC))


def replaced(mode):
    with folder() as place:
        target = place / "result"
        target.write_text("what stood there before\n" * 10000)
        target.chmod(mode)
        run_well("weigh", METRIC, "-o", target)
        expect_equal(target.read_bytes(), wanted("weigh", METRIC))
        expect_equal(oct(mode_of(target)), oct(mode))


def new_file_obeys_umask(mask):
    with folder() as place:
        run_well("weigh", METRIC, "-o", place / "result", preexec_fn=lambda: os.umask(mask))
        expect_equal(oct(mode_of(place / "result")), oct(0o666 & ~mask))


def relative_name():
    with folder() as place:
        run_well("weigh", METRIC, "-o", "result", cwd=place)
        expect_equal(names_in(place), ["result"])


def intact(status, *arguments, words=(), **options):
    """The run fails, the old file stays as it was, and nothing is left beside it."""
    with folder() as place:
        target = place / "old"
        target.write_text("old")
        result = run(*arguments, "-o", target, **options)
        expect_refused(result, status, *words)
        expect_equal(target.read_text(), "old")
        expect_equal(names_in(place), ["old"])


def cannot_write(target, words):
    with folder() as place:
        (place / "folder").mkdir()
        (place / "plain").write_text("old")
        name = str(target).format(place=place)
        expect_refused(run("weigh", METRIC, "-o", name), 3, name, words)
        expect_equal(names_in(place), ["folder", "plain"])
        expect_equal(names_in(place / "folder"), [])


def as_nobody(place):
    """What runs the tool as somebody without rights, from a copy that such a one can reach."""
    if os.geteuid() != 0 or not shutil.which("setpriv"):
        raise Skipped("needs root and setpriv")
    shutil.copy(tool(), place / "trunnion")
    shutil.copy(METRIC, place / "leaf.yaml")
    before = ["setpriv", f"--reuid={NOBODY}", f"--regid={NOBODY}", "--clear-groups", "--"]
    done = subprocess.run([*before, place / "trunnion", "--version"], capture_output=True, check=False)
    if done.returncode != 0:
        raise Skipped("the tool cannot be run as nobody here")
    return [*before, place / "trunnion"]


def without_rights(folder_mode, file_mode):
    with folder() as place:
        command = as_nobody(place)
        inside = place / "inside"
        inside.mkdir()
        target = inside / "result"
        if file_mode is not None:
            target.write_text("old")
            os.chown(target, int(NOBODY), int(NOBODY))
            target.chmod(file_mode)
        os.chown(inside, int(NOBODY), int(NOBODY))
        inside.chmod(folder_mode)
        done = subprocess.run([*command, "weigh", "leaf.yaml", "-o", target], cwd=place, capture_output=True, check=False)
        expect_equal(done.returncode, 3, done.stderr)
        expect(b"cannot write" in done.stderr and b"Permission denied" in done.stderr, done.stderr)
        expect_equal(names_in(inside), [] if file_mode is None else ["result"])
        expect(file_mode is None or target.read_text() == "old", "the old file is gone")


def link_is_followed():
    with folder() as place:
        (place / "far").mkdir()
        (place / "far" / "real").write_text("old")
        (place / "link").symlink_to("far/real")
        run_well("weigh", METRIC, "-o", place / "link")
        expect((place / "link").is_symlink(), "the link was replaced by a file")
        expect_equal((place / "far" / "real").read_bytes(), wanted("weigh", METRIC))
        expect_equal((names_in(place), names_in(place / "far")), (["far", "link"], ["real"]))


def link_to_nothing_is_followed():
    with folder() as place:
        (place / "far").mkdir()
        (place / "link").symlink_to("far/new")
        run_well("weigh", METRIC, "-o", place / "link")
        expect((place / "link").is_symlink(), "the link was replaced by a file")
        expect_equal((place / "far" / "new").read_bytes(), wanted("weigh", METRIC))


def link_in_a_circle():
    """Links that lead to each other lead to no file: both stay."""
    with folder() as place:
        (place / "there").symlink_to("back")
        (place / "back").symlink_to("there")
        expect_refused(run("weigh", METRIC, "-o", place / "there"), 3, "there: Too many levels of symbolic links")
        expect_equal([os.readlink(place / name) for name in names_in(place)], ["there", "back"])


def device_in(place, number):
    """
    A device of memory's numbers in a folder of the test's own: a tool that replaces a device by a
    file, run as root, would else take the system's away.
    """
    device = place / "device"
    try:
        os.mknod(device, stat.S_IFCHR | 0o666, os.makedev(1, number))
        device.open("r+b").close()
    except OSError as reason:
        raise Skipped(f"no device can be made here: {reason.strerror}") from reason
    return device


NULL, FULL = 3, 7


def device_stays():
    with folder() as place:
        device = device_in(place, NULL)
        run_well("weigh", METRIC, "-o", device)
        expect(stat.S_ISCHR(os.lstat(device).st_mode), "the device was replaced by a file")
        expect_equal(names_in(place), ["device"])


def full_device():
    with folder() as place:
        device = device_in(place, FULL)
        expect_refused(run("weigh", METRIC, "-o", device), 3, str(device), "No space left")
        expect(stat.S_ISCHR(os.lstat(device).st_mode), "the device was replaced by a file")
        expect_equal(names_in(place), ["device"])


def output_link(place):
    """What the system calls its stdout device, under a name of the test's own."""
    link = place / "stdout"
    link.symlink_to("/proc/self/fd/1")
    return link


def standard_output_by_name():
    with folder() as place:
        expect_equal(run_well("weigh", METRIC, "-o", output_link(place)).out, wanted("weigh", METRIC))
        expect(output_link_is_whole(place), "the link was replaced")


def output_link_is_whole(place):
    return os.readlink(place / "stdout") == "/proc/self/fd/1"


def standard_output_by_name_into_file():
    """What else is written to the same file, before and after, is not lost."""
    with folder() as place:
        with open(place / "log", "wb") as log:
            log.write(b"before\n")
            log.flush()
            result = run("weigh", METRIC, "-o", output_link(place), stdout=log)
            expect_equal(result.status, 0, result)
            log.seek(0, os.SEEK_END)
            log.write(b"after\n")
        expect_equal((place / "log").read_bytes(), b"before\n" + wanted("weigh", METRIC) + b"after\n")


def full_disk(*arguments):
    with open("/dev/full", "wb") as full:
        result = run(*arguments, stdout=full)
    expect_equal(result.status, 3, result)
    expect("standard output" in result.errors, result)


def gone_reader(command, form):
    reading_end, writing_end = os.pipe()
    os.close(reading_end)
    result = run(command, METRIC, *form, stdout=writing_end)
    os.close(writing_end)
    expect_equal(result.status, 3, result)
    expect("cannot write standard output" in result.errors, result)


def early_reader():
    """A reader that leaves in the middle of a long result."""
    command = [*WRAP, tool(), "curve", str(METRIC), "--csv", "--step", "0.01deg"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment()) as writer:
        writer.stdout.read(10)
        writer.stdout.close()
        errors = writer.stderr.read().decode()
        writer.wait()
    expect_equal(writer.returncode, 3, errors)
    expect("cannot write standard output" in errors, errors)


def closed_output():
    before = ["sh", "-c", 'exec "$@" >&-', "sh"]
    result = run("weigh", METRIC, before=before)
    expect_equal(result.status, 3, result)
    expect("cannot write standard output" in result.errors, result)


def small_files_only(keep_default):
    """A limit of file size stands for a full disk behind an ordinary file."""
    def limit():
        resource.setrlimit(resource.RLIMIT_FSIZE, (200, 200))
        signal.signal(signal.SIGXFSZ, signal.SIG_DFL if keep_default else signal.SIG_IGN)

    if WRAP:
        raise Skipped("a wrapper may write files of its own")
    with folder() as place:
        target = place / "old"
        target.write_text("old")
        result = run("curve", METRIC, "--json", "-o", target, preexec_fn=limit, restore_signals=False)
        expect(result.status == 3 if not keep_default else result.status in (3, -signal.SIGXFSZ), result)
        expect(keep_default or "cannot write" in result.errors, result)
        expect_equal(target.read_text(), "old")
        expect_equal(names_in(place), ["old"])


def held_rename(place):
    compiler = shutil.which("cc") or shutil.which("gcc") or shutil.which("clang")
    if WRAP or not compiler:
        raise Skipped("needs a compiler and no wrapper")
    source = place / "hold.c"
    source.write_text(HOLD_RENAME)
    subprocess.run([compiler, "-shared", "-fPIC", "-o", place / "hold.so", source], check=True)
    return {
        "LD_PRELOAD": str(place / "hold.so"),
        "ASAN_OPTIONS": os.environ.get("ASAN_OPTIONS", "") + ":verify_asan_link_order=0",
    }


def wait_for(condition, what):
    end = time.monotonic() + 30
    while not condition():
        expect(time.monotonic() < end, f"{what} did not come")
        time.sleep(0.01)


def ended_by(number):
    """A signal at the last moment, the draft finished and not yet under its name, removes the draft."""
    with folder() as place, folder() as aside:
        target = place / "old"
        target.write_text("old")
        command = [tool(), "weigh", str(METRIC), "-o", str(target)]
        with subprocess.Popen(command, env=environment(**held_rename(aside)), stderr=subprocess.PIPE) as writer:
            size = len(wanted("weigh", METRIC))
            wait_for(lambda: any(path.stat().st_size == size for path in place.iterdir()), "the draft")
            expect_equal(target.read_text(), "old")
            writer.send_signal(number)
            writer.wait(timeout=30)
        expect_equal(writer.returncode, -number)
        expect_equal(names_in(place), ["old"])
        expect_equal(target.read_text(), "old")


def rename_fails():
    with folder() as aside:
        intact(3, "weigh", METRIC, env=environment(RENAME_FAILS="1", **held_rename(aside)), words=("cannot write",))


ODD_NAMES = (
    "with blank", "'; touch X; '", "`touch X`", "$(touch X)", "%s%n%d", '"', "-dash", "ü 橋", "a;b|c&d", "*", "\\", "new\nline",
    "X.XXXXXX",
)


def odd_name(name):
    with folder() as place:
        run_well("weigh", METRIC, f"-o{name}", cwd=place)
        expect_equal(names_in(place), [name])
        expect_equal((place / name).read_bytes(), wanted("weigh", METRIC))


def odd_leaf_file(name):
    """The name of the leaf file is a name and nothing else, also in a message."""
    with folder() as place:
        (place / name).write_bytes(leaf_text())
        run_well("weigh", f"./{name}", cwd=place)
        (place / name).write_bytes(leaf_text(opens_to="80"))
        result = run("weigh", f"./{name}", cwd=place)
        shown = name.replace("\n", "\\x0a")  # no terminal shall obey a name
        expect_refused(result, 2, f"./{shown}:2:11: ")
        expect_equal(names_in(place), [name])


def long_name():
    with folder() as place:
        name = "n" * 255
        run_well("weigh", METRIC, "-o", name, cwd=place)
        expect_equal(names_in(place), [name])


def two_at_once():
    """Writers of the same file do not meet: in the end it is one whole result."""
    with folder() as place:
        target = place / "result"
        commands = [[*WRAP, tool(), "curve", str(METRIC), form, "-o", str(target)] for form in ("--json", "--csv") * 4]
        writers = [subprocess.Popen(command, env=environment()) for command in commands]
        expect_equal([writer.wait() for writer in writers], [0] * len(writers))
        expect_equal(names_in(place), ["result"])
        expect(target.read_bytes() in (wanted("curve", METRIC, form) for form in ("--json", "--csv")), "a mixture")


for name, shape in itertools.product(COMMANDS, ((), ("--json",), ("--csv",))):
    claim(f"{name} {' '.join(shape)} -o writes what standard output would get", whole_in_file, name, shape)
claim("--output is -o", long_option)
for bits in (0o640, 0o600, 0o755, 0o444 if os.geteuid() == 0 else 0o666):
    claim(f"a replaced file keeps its mode {bits:o}", replaced, bits)
for bits in (0o022, 0o077, 0o002):
    claim(f"a new file obeys the umask {bits:03o}", new_file_obeys_umask, bits)
claim("a name without a folder is one in the working folder", relative_name)
claim("a faulty leaf leaves the old file", functools.partial(intact, stdin=leaf_text(opens_to="80")), 2, "weigh", "-")
claim("a leaf file that is not there leaves the old file", intact, 3, "weigh", "/nowhere/leaf.yaml")
claim("an unknown case leaves the old file", intact, 2, "curve", METRIC, "--case", "none such")
claim("a wrong option leaves the old file", intact, 2, "curve", METRIC, "--frobnicate")
claim("a rename that fails leaves the old file and no draft", rename_fails)
claim("a full device as the file is told, and stays a device", full_device)
claim("a folder as the file is told", cannot_write, "{place}/folder", "Is a directory")
claim("a missing folder is told", cannot_write, "{place}/missing/file", "No such file")
claim("a file in the place of a folder is told", cannot_write, "{place}/plain/file", "Not a directory")
claim("a folder without the right to write is told", without_rights, 0o555, None)
claim("a file in such a folder stays", without_rights, 0o555, 0o644)
claim("a file without the right to write stays", without_rights, 0o755, 0o444)
claim("a link is followed", link_is_followed)
claim("a link to a file that is still to come is followed", link_to_nothing_is_followed)
claim("links that lead in a circle are told, and stay", link_in_a_circle)
claim("a device is written, not replaced", device_stays)
claim("a link to /proc/self/fd/1, as /dev/stdout is, writes to a pipe", standard_output_by_name)
claim("such a link writes into the file behind standard output, and keeps what is there", standard_output_by_name_into_file)
for name in COMMANDS:
    claim(f"{name}: a full disk behind standard output is told", full_disk, name, METRIC)
claim("--help: a full disk behind standard output is told", full_disk, "--help")
claim("curve --help: a full disk behind standard output is told", full_disk, "curve", "--help")
claim("--version: a full disk behind standard output is told", full_disk, "--version")
for name, shape in itertools.product(COMMANDS, ((), ("--json",))):
    claim(f"{name} {' '.join(shape)}: a reader that is gone is told", gone_reader, name, shape)
claim("a reader that leaves in the middle is told", early_reader)
claim("a closed standard output is told", closed_output)
claim("a disk that fills up leaves the old file and no draft", small_files_only, False)
claim("so does a limit that ends the process", small_files_only, True)
for sent in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
    claim(f"{sent.name} leaves the old file and no draft", ended_by, sent)
for words in ODD_NAMES:
    claim(f"{words!r} as the name of the result", odd_name, words)
    claim(f"{words!r} as the name of the leaf file", odd_leaf_file, words)
claim("the longest name that a file can have", long_name)
claim("writers of the same file do not meet", two_at_once)



def clashes(made, *arguments):
    """What is read stays as it is, and nothing is written."""
    with folder() as place:
        leaf = place / "leaf.yaml"
        leaf.write_bytes(METRIC.read_bytes())
        (place / "link.yaml").symlink_to("leaf.yaml")
        result = run(*arguments, cwd=place)
        expect_refused(result, 2, *made)
        expect_equal(leaf.read_bytes(), METRIC.read_bytes())
        expect_equal(sorted(path.name for path in place.iterdir()), ["leaf.yaml", "link.yaml"])


def clashes_by_input(*written):
    """By the file that standard input is, not by its name."""
    with folder() as place:
        leaf = place / "leaf.yaml"
        leaf.write_bytes(METRIC.read_bytes())
        (place / "link.yaml").symlink_to("leaf.yaml")
        given = ("sh", "-c", 'exec "$@" < leaf.yaml', "sh")
        expect_refused(run("weigh", "-", *written, cwd=place, before=given), 2, "would overwrite what is read")
        expect_equal(leaf.read_bytes(), METRIC.read_bytes())
        result = run("weigh", "-", "-o", "other", cwd=place, before=given)
        expect_equal((result.status, (place / "other").read_bytes()), (0, wanted("weigh", METRIC)))


def reader_goes_away():
    """The status says that not all was written; the sentence, that the reader wanted no more."""
    slow = ("bash", "-c", '{ sleep 0.3; exec "$@"; } | true; exit "${PIPESTATUS[0]}"', "bash")
    result = run("curve", METRIC, "--csv", "--step", "0.01deg", before=slow)
    expect_equal((result.status, result.errors), (3, "trunnion: cannot write standard output to its end: its reader has gone\n"), result)


claim("a reader that goes away is told as that", reader_goes_away)
claim("-o over the leaf file is refused", clashes, ["would overwrite what is read"], "weigh", "leaf.yaml", "-o", "leaf.yaml")
claim("-o over it by a link is refused", clashes, ["would overwrite"], "weigh", "leaf.yaml", "-o", "link.yaml")
for other in ("leaf.yaml", "link.yaml"):
    claim(f"-o {other} over the leaf file that is standard input is refused", clashes_by_input, "-o", other)
claim("-o and --plot to one file are refused", clashes, ["name the same file"],
      "curve", "leaf.yaml", "-o", "./a.svg", "--plot", "a.svg")

if __name__ == "__main__":
    main()
