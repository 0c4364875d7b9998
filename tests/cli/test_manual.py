# SPDX-License-Identifier: GPL-3.0-or-later
"""The manual beside the help, which is written from the tables of commands and options: neither tells more, or less."""

import re
import shlex
import shutil
import subprocess

from harness import ROOT, Skipped, claim, expect, expect_equal, folder, main, run, run_well

PAGE = ROOT / "cli" / "trunnion.1"
EVERYWHERE = {"quiet", "verbose", "help", "version"}


def commands():
    """Each command that the help tells, and its answer."""
    text = run_well("--help").text
    return dict(re.findall(r"(?m)^  ([a-z]+) +(\S.*)$", text.split("\n\n")[2]))


def entries_of_help(command):
    """Each option: the name of its value, and its text in one line."""
    found = {}
    for line in run_well(command, "--help").text.splitlines():
        if start := re.match(r"  (-\S+)(?: (\S+))?(?:  +(.*))?$", line):
            name = "output" if start[1] == "-o" else start[1].removeprefix("--")
            found[name] = (start[2] if start[2] and start[2].strip("[]").isupper() or start[2] == "K/N" else None, start[3] or "")
            if found[name][0] is None and start[2]:
                found[name] = (None, f"{start[2]} {start[3] or ''}")
        elif found and line.startswith(" " * 18):
            name = list(found)[-1]
            found[name] = (found[name][0], f"{found[name][1]} {line.strip()}".strip())
    return found


def help_of_all():
    return {command: entries_of_help(command) for command in commands()}


def entries_of_manual():
    """Each option of the page: its value, the commands that its text begins with, and the text."""
    page = PAGE.read_text(encoding="utf-8")
    part = page[page.index("The options are:") : page.index(".Sh EXIT STATUS")]
    found = {}
    for head, text in re.findall(r"(?m)^\.It (Fl .*)\n((?:(?!\.It |\.El\n\.Sh).*\n)*)", part):
        pieces = re.findall(r"Fl -?([\w-]+)(?: (?:Op )?Ar (\S+))?", head)
        name, value = pieces[-1]
        owners = re.match(r"(?:(?:\.Cm (\w+).*|and|\(with|\.Fl -\w+ \).*)\n)+", text)
        told = owners[0].split(":\n")[0] if owners and ":" in owners[0] else ""
        found[name] = (value or None, set(re.findall(r"\.Cm (\w+)", told)), text)
    return found


def sends_nowhere():
    expect("README" not in PAGE.read_text(encoding="utf-8"), "the README is told")


def several_where_taken(command):
    text = run_well(command, "--help").text
    expect_equal("several leaves" in text, "LEAF..." in text.splitlines()[0], text)


def same_commands():
    page = PAGE.read_text(encoding="utf-8")
    part = page[page.index("The commands are:") : page.index("The options are:")]
    expect_equal(set(re.findall(r"(?m)^\.It Cm (\w+)", part)), set(commands()))


def same_options():
    told = {name for entries in help_of_all().values() for name in entries}
    expect_equal(set(entries_of_manual()), told)


def same_values():
    manual = entries_of_manual()
    for command, entries in help_of_all().items():
        for name, (value, _) in entries.items():
            expect_equal((value or "").strip("[]"), manual[name][0] or "", command, name)


def same_owners():
    """An entry begins with the commands that have the option, unless all that read a leaf, or all at all, have it."""
    entries = help_of_all()
    leafless = {"new", "schema", "completion"}
    formless = {"report"}
    for name, (_, owners, text) in entries_of_manual().items():
        having = {command for command in entries if name in entries[command]}
        if owners:
            expect_equal(owners, having, name)
        else:
            expect(having >= set(entries) - leafless - (formless if name in ("json", "csv", "plot") else set()), f"--{name} is told of all commands; it has {sorted(having)}", text)
            expect((having == set(entries)) == (name in EVERYWHERE), name, having)


def defaults(text):
    words = re.sub(r"[,:;()]", " ", text)
    return re.findall(r"(\S+) unless given", words)


def same_defaults():
    manual = entries_of_manual()
    count = 0
    for command, entries in help_of_all().items():
        for name, (_, text) in entries.items():
            for default in defaults(text):
                expect(default in defaults(" ".join(manual[name][2].split())), f"{command} --{name}: {default}", manual[name][2])
                count += default[0].isdigit()
    expect(count >= 9, f"only {count} defaults with a number")


def default_holds(given, *without):
    """What is told as a default gives what nothing gives."""
    one, other = run(*without, *given, "--json"), run(*without, "--json")
    expect_equal((one.status, one.out, one.errors), (0, other.out, other.errors), given)


def unexpected(result):
    """Spread may warn of a chance, which is what it is for."""
    return [line for line in result.errors.splitlines() if "a chance of" not in line]


def examples_run():
    lines = re.findall(r"(?m)^\.Dl (trunnion .*)$", PAGE.read_text(encoding="utf-8"))
    expect(len(lines) > 8, lines)
    for line in lines:
        words = shlex.split(line.replace("\\-", "-"))
        with folder() as place:
            (place / "examples").symlink_to(ROOT / "examples")
            result = run(*words[1:], cwd=place)
            expect_equal((result.status, unexpected(result)), (0, []), result)
            written = [word for word in words if (place / word).is_file() and "/" not in word]
            expect(written or result.out, "there is neither a result nor a file", result)


def without_complaint(*command):
    if shutil.which(command[0]) is None:
        raise Skipped(f"{command[0]} is not there")
    done = subprocess.run([*command, PAGE], capture_output=True, check=False, env={"LC_ALL": "C.UTF-8", "PATH": "/usr/bin:/bin"})
    expect_equal(done.stdout.decode(), "")
    expect("trunnion.1" not in done.stderr.decode(), done.stderr.decode())


claim("the manual tells every command, and no other", same_commands)
claim("the manual tells every option, and no other", same_options)
claim("values are called alike", same_values)
claim("the manual says of each option which commands have it", same_owners)
claim("defaults are those of the help", same_defaults)
METRIC = "examples/metric.yaml"
for given, without in {
    ("--step", "1deg"): ("curve", METRIC),
    ("--at", "0deg"): ("explain", METRIC),
    ("--drift", "1deg"): ("cycle", METRIC, "--switches"),
    ("--seed", "1", "--digits", "2"): ("spread", "examples/uncertain.yaml", "--case", "calm", "--step", "40deg"),
    ("--seconds", "10"): ("ballast", METRIC),
    ("--from", "9deg", "--to", "67deg"): ("measure", METRIC, "examples/records/metric.csv"),
}.items():
    claim(f"{' '.join(given)} gives what {without[0]} gives without", default_holds, given, *without)
claim("the manual sends to no file that is not installed with it", sends_nowhere)
for name in commands():
    claim(f"{name} --help speaks of several leaves where it takes them", several_where_taken, name)
claim("the examples of the manual run as they are written", examples_run)
claim("mandoc has no complaint, not even of style", without_complaint, "mandoc", "-T", "lint")
claim("groff has no warning", without_complaint, "groff", "-mdoc", "-ww", "-z", "-Tutf8")

if __name__ == "__main__":
    main()
