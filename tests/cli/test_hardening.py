# SPDX-License-Identifier: GPL-3.0-or-later
"""What stands in the way of a fault that is still there: how tool and library are linked, and what lies in memory."""

import re
import shutil
import subprocess

from harness import METRIC, ROOT, WRAP, Skipped, build_folder, claim, environment, expect, expect_equal, main, tool

PLAIN = {"trunnion": build_folder() / "trunnion", "libtrunnion.so": build_folder() / "libtrunnion.so"}


def readelf(what, name):
    if not shutil.which("readelf"):
        raise Skipped("no readelf")
    done = subprocess.run(["readelf", "-W", what, PLAIN[name]], capture_output=True, text=True, check=True)
    return done.stdout


def symbols(name):
    return set(re.findall(r"UND\s+(\w+)", readelf("--dyn-syms", name)))


def needs_plain(name):
    """Coverage and sanitizers are built without what costs them their sense."""
    if any(symbol.startswith(("__asan", "__tsan", "__gcov", "__ubsan")) for symbol in symbols(name)):
        raise Skipped("not this build")


def anywhere_in_memory():
    expect("DYN (Position-Independent" in readelf("-h", "trunnion"), "the tool lies at a fixed place")
    expect(re.search(r"FLAGS_1\).*\bPIE\b", readelf("-d", "trunnion")), "the tool is not marked as such")


def addresses_are_read_only(name):
    expect("GNU_RELRO" in readelf("-l", name), "no relocation is made read-only")
    dynamic = readelf("-d", name)
    expect(re.search(r"FLAGS_1\).*\bNOW\b", dynamic), "addresses are looked up late")
    expect("TEXTREL" not in dynamic, "code is written at the start")


def data_are_no_code(name):
    lines = readelf("-l", name)
    stack = re.search(r"GNU_STACK.*", lines)
    expect(stack is not None and " RWE " not in stack[0], "the stack can be run")
    loads = [line for line in lines.splitlines() if line.strip().startswith("LOAD")]
    flags = [re.search(r"0x\w+ 0x\w+ ([RWE ]{3}) 0x", line)[1] for line in loads]
    expect(len(flags) >= 4, "code and constants share pages", lines)
    expect(not any("W" in flag and "E" in flag for flag in flags), flags)


def stacks_are_guarded(name):
    needs_plain(name)
    expect("__stack_chk_fail" in symbols(name), "no stack is guarded")


def copies_are_checked(name):
    needs_plain(name)
    expect(any(symbol.endswith("_chk") for symbol in symbols(name)), "nothing is checked")


def nothing_runs_a_shell(name):
    found = symbols(name) & {"system", "popen", "execl", "execlp", "execle", "wordexp"}
    expect_equal(found, set())


def source_names_no_shell():
    for source in [*ROOT.glob("cli/**/*.c"), *ROOT.glob("lib/**/*.c")]:
        found = re.search(r"\b(system|popen|wordexp)\s*\(|/bin/sh", source.read_text())
        expect(found is None, f"{source.name}: {found and found[0]}")


def no_page_is_written_and_run():
    """Looked at in a process of the tool, held up by a full pipe."""
    if WRAP:
        raise Skipped("a wrapper makes code")
    command = [tool(), "curve", str(METRIC), "--csv", "--step", "0.02deg"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, env=environment()) as one:
        one.stdout.read(1)
        with open(f"/proc/{one.pid}/maps", encoding="ascii", errors="replace") as file:
            maps = file.read().splitlines()
        one.stdout.read()
    expect(len(maps) > 20, maps)
    expect_equal([line for line in maps if re.match(r"\S+ .wx", line)], [])


def no_folder_is_named(name):
    text = PLAIN[name].read_bytes()
    expect(str(ROOT).encode() not in text, "it names the folder of its source")


claim("the tool can lie anywhere in memory", anywhere_in_memory)
for one in PLAIN:
    claim(f"{one}: tables of addresses are read-only", addresses_are_read_only, one)
    claim(f"{one}: data are no code", data_are_no_code, one)
    claim(f"{one}: stacks are guarded", stacks_are_guarded, one)
    claim(f"{one}: copies are checked", copies_are_checked, one)
    claim(f"{one}: nothing runs a shell", nothing_runs_a_shell, one)
    claim(f"{one}: no folder of its source is named", no_folder_is_named, one)
claim("no source names a shell", source_names_no_shell)
claim("no page of memory is written and run", no_page_is_written_and_run)

if __name__ == "__main__":
    main()
