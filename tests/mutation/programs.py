# SPDX-License-Identifier: GPL-3.0-or-later
"""The test programs, linked with a shared library that a mutant can take the place of, and the lines that each covers."""

import contextlib
import hashlib
import json
import os
import pathlib
import resource
import shlex
import shutil
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
PLACE = ROOT / "build" / "mutation"
BUILT = ROOT / "build" / "obj"
OBJECTS = PLACE / "obj"  # a copy, so that the tree may be built while mutants are tried
LIBRARY = "libmutant.so"
SHORT = {"RUN_LEAVES": "16"}
QUIET = 60  # seconds within which whatever has not ended has done some work
BESIDE = {
    "test_number": [OBJECTS / "cli/present/number.o"],
    "test_failing_memory": ["-Itests/faults", "tests/faults/failing_memory.c"],
}
BESIDE_TOOL = ("tests/leaf_tables", "examples/make_record", "examples/make_wind")
WITH_LEAVES = {"test_run_cvode", "test_run_energy", "test_run_holding", "test_numbers"}  # they read RUN_LEAVES
# Replaces a function of the library where it is linked, which a shared library does not allow.
NOT_SHARED = {"test_run_absurd"}


def flags(name):
    """What the Makefile hands over: the flags that it compiles and links with."""
    return shlex.split(os.environ[name])


def run(command, **more):
    done = subprocess.run([str(word) for word in command], cwd=ROOT, capture_output=True, text=True, check=False, **more)
    if done.returncode != 0:
        raise SystemExit(f"{' '.join(map(str, command))}\n{done.stdout}{done.stderr}")
    return done.stdout


def sources():
    return sorted((ROOT / "lib").glob("*/*.c"))


def object_of(source):
    return OBJECTS / source.relative_to(ROOT).with_suffix(".o")


def link_library(objects, folder, *more):
    folder.mkdir(parents=True, exist_ok=True)
    run(["gcc", "-shared", "-Wl,-Bsymbolic", *more, "-o", folder / LIBRARY, *objects, *flags("LIBS")])


def compile_all(commands, jobs):
    """Run compilers side by side, as many as jobs."""
    running = []
    for command in commands:
        if len(running) == jobs:
            finish(running.pop(0))
        running.append((command, subprocess.Popen([str(word) for word in command], cwd=ROOT)))
    for one in running:
        finish(one)


def finish(one):
    if one[1].wait() != 0:
        raise SystemExit(f"{' '.join(map(str, one[0]))} failed")


def is_older(made, *than):
    return not made.exists() or any(made.stat().st_mtime < path.stat().st_mtime for path in than)


def build_programs(jobs):
    """Every test program against the shared library; what has not changed stays."""
    shutil.rmtree(OBJECTS, ignore_errors=True)
    shutil.copytree(BUILT, OBJECTS)
    headers = sorted((ROOT / "tests" / "unit").glob("*.h")) + sorted((ROOT / "include" / "trunnion").glob("*.h"))
    folder = PLACE / "tests"
    folder.mkdir(parents=True, exist_ok=True)
    link_library([object_of(path) for path in sources()], PLACE / "base")
    tail = ["-L", PLACE / "base", "-lmutant", "-lcmocka", *flags("TEST_LIBS"), *flags("LIBS")]
    commands = []
    units = [path for path in sorted((ROOT / "tests" / "unit").glob("test_*.c")) if path.stem not in NOT_SHARED]
    for source in [*units, ROOT / "tests" / "published" / "test_published.c"]:
        made = folder / source.stem
        extra = BESIDE.get(source.stem, [])
        if is_older(made, source, *headers):
            commands.append(["gcc", *flags("CFLAGS"), "-D_GNU_SOURCE", "-Ilib/mechanics", "-Ilib/describe", "-O1", "-w",
                             source, *extra, "-o", made, *tail])
    numbers = sorted((OBJECTS / "tests" / "numbers").glob("*.o"))
    if is_older(folder / "test_numbers", *sorted((BUILT / "tests" / "numbers").glob("*.o"))):
        commands.append(["g++", *numbers, "-o", folder / "test_numbers", *tail[:3], "-lmpfr", "-lgmp", *flags("LIBS")])
    compile_all(commands, jobs)
    return sorted(path for path in folder.iterdir())


def link_tool(folder):
    """The tool against the library of a folder, with what the suites run beside it."""
    cli = sorted((OBJECTS / "cli").rglob("*.o")) + [OBJECTS / "schema_texts.o", OBJECTS / "start_texts.o"]
    run(["gcc", "-o", folder / "trunnion", *cli, "-L", folder, "-lmutant", "-Wl,-rpath,$ORIGIN", *flags("TOOL_LIBS"),
         *flags("LIBS")])
    for name in BESIDE_TOOL:
        (folder / name).parent.mkdir(exist_ok=True)
        shutil.copy2(BUILT.parent / name, folder / name)


def limits(seconds):
    def set_them():
        os.setsid()
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

    return set_them


def work_of(session):
    """The ticks of processor time that the processes of a session have taken so far."""
    total = 0
    for path in pathlib.Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):  # one that ends meanwhile
            fields = path.read_text().rpartition(")")[2].split()
            total += sum(map(int, fields[11:15])) if int(fields[3]) == session else 0
    return total


def ends_well(process, seconds):
    """Whether a process ends without a failure; one that does no work for a while waits for ever, as for a lock."""
    worked = -1
    for _ in range(0, seconds, QUIET):
        try:
            return process.wait(timeout=QUIET) == 0
        except subprocess.TimeoutExpired:
            before, worked = worked, work_of(process.pid)
            if worked == before:
                break
    os.killpg(process.pid, 9)
    process.wait()
    return False


def passes(command, library, seconds, **environment):
    """Whether a program ends well within its seconds of processor time, with the library of a folder."""
    variables = {**os.environ, **SHORT, "LD_LIBRARY_PATH": str(library), "CMOCKA_MESSAGE_OUTPUT": "TAP", **environment}
    with subprocess.Popen([str(word) for word in command], cwd=ROOT, env=variables, stdin=subprocess.DEVNULL,
                          stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, preexec_fn=limits(seconds)) as process:
        return ends_well(process, 40 * seconds)


def command_of(program):
    return [program, "tests/published"] if program.name == "test_published" else [program]


def digest(programs):
    """Of all that the lines covered may depend on."""
    total = hashlib.sha256()
    for path in [*sources(), *sorted((ROOT / "lib").glob("*/*.h")), *programs]:
        total.update(path.read_bytes())
    return total.hexdigest()


def coverage(programs, jobs):
    """For each program its seconds and the lines that it covers, kept until something changes."""
    kept = PLACE / "coverage.json"
    mark = digest(programs)
    if kept.exists():
        known = json.loads(kept.read_text())
        if known["digest"] == mark:
            return known["programs"]
    folder = PLACE / "cov"
    (folder / "obj").mkdir(parents=True, exist_ok=True)
    commands = []
    objects = []
    for source in sources():
        made = folder / "obj" / f"{source.parent.name}_{source.stem}.o"
        objects.append(made)
        commands.append(["gcc", *flags("CFLAGS"), "-O0", "-g", "--coverage", "-w", "-c", source, "-o", made])
    compile_all(commands, jobs)
    link_library(objects, folder, "--coverage")
    found = {program.name: cover(program, folder) for program in programs}
    kept.write_text(json.dumps({"digest": mark, "programs": found}))
    return found


def cover(program, folder):
    for path in (folder / "obj").glob("*.gcda"):
        path.unlink()
    start = os.times().children_user
    if not passes(command_of(program), folder, 120):
        raise SystemExit(f"{program.name} fails without any mutant")
    seconds = os.times().children_user - start
    lines = {}
    counts = sorted((folder / "obj").glob("*.gcda"))
    told = run(["gcov", "--json-format", "--stdout", *counts]) if counts else ""
    for one in told.splitlines():
        for file in json.loads(one)["files"]:
            if file["file"].startswith(("lib/", str(ROOT / "lib"))):
                name = os.path.relpath(ROOT / file["file"], ROOT)
                lines.setdefault(name, set()).update(line["line_number"] for line in file["lines"] if line["count"] > 0)
    return {"seconds": seconds, "lines": {name: sorted(of) for name, of in lines.items()}}
