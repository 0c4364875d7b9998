# SPDX-License-Identifier: GPL-3.0-or-later
"""--quiet and --verbose: what is said and what is not, alike for every command."""

import re
import socket

from harness import METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, leaf_text, main, run, run_well
from pseudo import Terminal
from harness import WRAP, environment, tool

UNCERTAIN = ROOT / "examples" / "uncertain.yaml"
US = ROOT / "examples" / "us.yaml"
LEAST = ROOT / "tests" / "cli" / "valid" / "least.yaml"
RECORD = ROOT / "examples" / "records" / "metric.csv"
COMMANDS = {
    "weigh": (METRIC,), "curve": (METRIC,), "explain": (METRIC, "--at", "40deg"), "drive": (METRIC,), "brake": (METRIC,),
    "wind": (METRIC,), "cycle": (METRIC,), "measure": (METRIC, RECORD), "ballast": (METRIC,),
    "spread": (UNCERTAIN, "--samples", "1000"), "report": (METRIC,), "new": (), "schema": ("leaf",), "completion": ("bash",),
}
TURNED = "surfaces: [{name: deck, from: [20 m, 0 m], to: [1 m, 0 m], width: 8 m}]"


def quiet(command):
    for form in ((), ("--json",), ("--csv",)) if command not in ("report", "new", "schema", "completion") else ((),):
        expect_equal((run_well(command, *COMMANDS[command], *form, "--quiet").out), b"", form)


def quiet_writes_files(command):
    with folder() as place:
        where = (place / "out",) if command == "new" else ("-o", place / "out")
        expect_equal(run_well(command, *COMMANDS[command], *where, "--quiet").out, b"")
        expect_equal((place / "out").read_bytes(), run_well(command, *COMMANDS[command]).out)


def quiet_draws_files():
    with folder() as place:
        expect_equal(run_well("curve", METRIC, "--plot", place / "a.svg", "--quiet").out, b"")
        expect((place / "a.svg").stat().st_size > 0, "no picture")
        expect_equal(run_well("curve", METRIC, "--plot", "--quiet").out, b"")


def quiet_asks_no_terminal():
    command = [*WRAP, tool(), "curve", str(METRIC), "--plot", "--quiet"]
    terminal = Terminal(command, environment(TERM="xterm"), ROOT)
    expect_equal((terminal.end(), terminal.text), (0, b""))


def what_is_not_met_is_said():
    loud = run("drive", US)
    result = run("drive", US, "--quiet")
    expect_equal((result.status, result.out), (1, b""), result)
    expect_equal(result.errors, "".join(line for line in loud.errors.splitlines(True) if "not met" in line))
    expect("warning" in loud.errors and result.errors, loud)


def errors_are_said():
    expect_refused(run("weigh", "missing.yaml", "--quiet"), 3, "cannot open missing.yaml")
    expect_refused(run("weigh", "-", "--quiet", stdin=b"leaf: x\n"), 2, "standard input:1:1:", "missing")


def warnings_are_not():
    with folder() as place:
        (place / "leaf.yaml").write_bytes(leaf_text(sections=TURNED))
        expect("warning: surface 'deck' of leaf.yaml" in run("weigh", "leaf.yaml", cwd=place).errors, "no warning")
        expect_equal(run_well("weigh", "leaf.yaml", "--quiet", cwd=place).out, b"")


def notes(*arguments, **options):
    result = run(*arguments, "--verbose", **options)
    expect_equal((result.status, result.out), (0, run_well(*arguments, **options).out), result)
    lines = result.errors.splitlines()
    for line in lines:
        expect(line.startswith("trunnion: note: "), line)
    return [line.removeprefix("trunnion: note: ") for line in lines]


def verbose(command):
    """What was read, and how long it took; the result is the same."""
    told = notes(command, *COMMANDS[command])
    expect(re.fullmatch(r"done in [\d.e-]+ s", told[-1]), told)
    for file in COMMANDS[command]:
        if hasattr(file, "stat"):
            expect(f"read {file}, {file.stat().st_size} bytes" in told, told)


def what_it_describes():
    told = notes("weigh", METRIC)
    wanted = "'Quillmarsh Basin, west leaf': parts 8, pockets 2, surfaces 2, brakes 2, cases 6, holdings 2"
    expect(f"{METRIC} describes {wanted}" in told, told)


def which_case():
    expect("case 'starting', as named" in notes("curve", METRIC, "--case", "starting"), "named")
    expect("case 'calm', the first, since none was named" in notes("explain", METRIC), "first")
    expect("case 'calm', the first, since none was named" in notes("cycle", METRIC), "first of cycle")
    for command, what in (("curve", "case"), ("brake", "holding"), ("drive", "case"), ("report", "case")):
        expect(f"every {what}, since none was named" in notes(command, METRIC), command)
    expect("holding 'storm', as named" in notes("brake", METRIC, "--case", "storm"), "holding")
    expect_equal([line for line in notes("report", METRIC) if "calm" in line], ["in time, case 'calm', the first"])
    expect_equal([line for line in notes("report", METRIC, "--case", "starting") if "named" in line], ["case 'starting', as named"])
    expect(not any("case '" in line or "every case" in line for line in notes("weigh", METRIC)), "weigh has none")


def which_defaults():
    with folder() as place:
        (place / "leaf.yaml").write_bytes(leaf_text(sections="cases:\n  - {name: a, motor_limit: 2}\n  - {name: b}\n  - {name: c}\n"))
        told = notes("weigh", "leaf.yaml", cwd=place)
        expect("by default, a case: motor_limit 1, 2 times, first at leaf.yaml:9" in told, told)
        expect("by default, a case: friction moving, 3 times, first at leaf.yaml:8" in told, told)
        expect("by default, a part: count 1, 1 time, first at leaf.yaml:6" in told, told)
        expect(not any("units" in line for line in told), told)


def defaults_without_a_meaning():
    """A wind by pressure has neither coefficient nor density, a bar no radius of gyration; what nobody gave is told."""
    with folder() as place:
        by = "cases:\n  - {name: a, wind: {pressure: 10 Pa}}\n  - {name: b, wind: {speed: 1 m/s}}\n"
        (place / "leaf.yaml").write_bytes(leaf_text(sections=by))
        told = notes("weigh", "leaf.yaml", cwd=place)
        expect("by default, a wind: density 1.25 kg/m3, 1 time, first at leaf.yaml:9" in told, told)
        expect("by default, a wind: coefficient 1, 1 time, first at leaf.yaml:9" in told, told)
        expect("by default, a wind: law projected, 2 times, first at leaf.yaml:8" in told, told)


def defaults_of_nothing():
    """Still air, no friction and zeros that someone may have forgotten."""
    told = [line.partition(", 1 time")[0] for line in notes("weigh", LEAST)]
    for wanted in ("the description: cases one, still air", "the description: trunnion none, frictionless", "a part: gyration 0 m"):
        expect(f"by default, {wanted}" in told, wanted, *told)
    expect(any("cases 0" in line for line in told), told)
    told = "\n".join(notes("weigh", METRIC))
    for wanted in ("a case: ice 0 N/m2", "a holding: friction_credit 0", "travel: full_closed 0 rad"):
        expect(f"by default, {wanted}, " in told, wanted, told)
    for unwanted in ("pressure 0", "speed 0", "width 0", "weight 0", "cases one"):
        expect(unwanted not in told, unwanted, told)


def additions_are_not_of_the_file():
    for options in (("weigh", METRIC), ("ballast", METRIC, "--record", RECORD)):
        told = run(*options, "--add", "cable: 1 kg at [1 m, 1 m]", "--verbose").errors
        expect("parts 8, " in told, told)


def several():
    told = notes("weigh", METRIC, UNCERTAIN)
    for file in (METRIC, UNCERTAIN):
        expect(any(line.startswith(f"{file}: read {file}") for line in told), told)


def sentences_keep_together():
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    with ours, theirs:
        run("report", US, stderr=theirs.fileno())
        theirs.close()
        pieces = list(iter(lambda: ours.recv(1 << 16), b""))
    expect(len(pieces) >= 2, pieces)
    expect(all(piece.startswith(b"trunnion: ") and piece.endswith(b"\n") for piece in pieces), pieces)


for name in COMMANDS:
    claim(f"{name} --quiet is silent", quiet, name)
    claim(f"{name} --quiet writes the file that is asked for", quiet_writes_files, name)
    claim(f"{name} --verbose tells what was read and how long it took, and changes no result", verbose, name)
claim("--quiet draws into a file, and nowhere else", quiet_draws_files)
claim("--quiet asks the terminal nothing", quiet_asks_no_terminal)
claim("--quiet: what is not met is said", what_is_not_met_is_said)
claim("--quiet: errors are said", errors_are_said)
claim("--quiet: warnings are not", warnings_are_not)
claim("each sentence is written at once, and keeps together among those of other programs", sentences_keep_together)
claim("--verbose: what the file describes", what_it_describes)
claim("--verbose: which case, and why", which_case)
claim("--verbose: which defaults were taken, how often, and where first", which_defaults)
claim("--verbose: no default that was not taken", defaults_without_a_meaning)
claim("--verbose: what is not there at all, and zeros", defaults_of_nothing)
claim("--verbose: what the file has, without what is added", additions_are_not_of_the_file)
claim("--verbose: of several leaves each is named", several)
claim("--quiet and --verbose exclude each other", lambda: expect_refused(run("weigh", METRIC, "--quiet", "--verbose"), 2, "--quiet and --verbose"))

if __name__ == "__main__":
    main()
