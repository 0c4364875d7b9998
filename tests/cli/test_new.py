# SPDX-License-Identifier: GPL-3.0-or-later
"""The leaf file to start from: works with every command as it is, and says what a newcomer must know."""

import re

import yaml

from harness import claim, expect, expect_equal, expect_refused, folder, main, read_json, run, run_well
from schemas import faults, schema

UNITS = {"metric": (), "us": ("--units", "us")}
COMMANDS = {
    "weigh": (), "curve": (), "explain": ("--at", "40deg"), "drive": (), "brake": (), "wind": (), "cycle": (),
    "cycle --sweep": ("--fault", "power lost"), "cycle --switches": (), "cycle --operation": (), "ballast": (),
    "spread": ("--samples", "1000"),
}


def text_in(units):
    return run_well("new", *UNITS[units]).text


def written(place, units):
    run_well("new", "leaf.yaml", *UNITS[units], cwd=place)
    return place / "leaf.yaml"


def works_with(command, units):
    """Every requirement is met, and nothing has to be warned of."""
    with folder() as place:
        leaf = written(place, units)
        name, *mode = command.split()
        text = run_well(name, leaf, *mode, *COMMANDS[command]).text
        expect("Caution" in text, text)
        result = read_json(run_well(name, leaf, *mode, *COMMANDS[command], "--json").text)
        expect_equal(faults(name, result), [])


def works_with_report(units):
    page = run_well("report", "-", stdin=text_in(units).encode()).text
    expect("Leaf to start from" in page and page.endswith("</html>\n"), page[-200:])


def record_for(leaf):
    """A record of the leaf's own curve, to measure."""
    rows = read_json(run_well("curve", leaf, "--case", "calm", "--json").text)["cases"][0]["rows"]
    lines = ["angle [degree],direction,leaf torque [N m]"]
    for direction, sign in (("opening", 1), ("closing", -1)):
        lines += [f"{row['angle_deg']},{direction},{sign * row[direction + '_Nm']}" for row in rows]
    return "\n".join(lines) + "\n"


def works_with_measure(units):
    with folder() as place:
        leaf = written(place, units)
        (place / "record.csv").write_text(record_for(leaf), encoding="utf-8")
        for command in (("measure", leaf, place / "record.csv"), ("ballast", leaf, "--record", place / "record.csv")):
            result = run(*command)
            expect(result.status in (0, 1) and result.out, result)


def every_section_is_there(units):
    found = yaml.safe_load(text_in(units))
    expect_equal(set(schema("leaf")["properties"]) - set(found) - {"$schema"}, {"linked_counterweight"})
    expect_equal(found["units"], units)


def sections_have_comments(units):
    """Above a section or beside it something is said; what is from memory says so."""
    lines = text_in(units).splitlines()
    for number, line in enumerate(lines):
        if re.match(r"[a-z_]+:", line):
            expect("#" in line or lines[number - 1].startswith("#"), f"nothing is said of {line}")
    text = "\n".join(lines)
    for word in ("invented", "MEM", "common practice, no source", "default", "licensed", "check the clause"):
        expect(word in text, f"the file does not say: {word}")
    expect(all(len(line) <= 120 for line in lines), "a line has over 120 columns")


def defaults_are_true(units):
    """A default that a comment tells is that of the schema."""
    text = text_in(units)
    told = dict(re.findall(r"(\w+)(?:: whether it collects|: a moment beside it| over rated torque|: brake capacity over demand)?"
                           r"[:,]? \(?default ([\w.]+)", text))
    expect(len(told) >= 4, told)
    told.pop("density")  # in the units of the file
    for key, value in told.items():
        places = [str(piece["default"]).lower().split()[0] for piece in pieces(schema("leaf"), key) if "default" in piece]
        expect(not places or value.rstrip(".") in places, f"{key}: the file says {value}, the schema {places}")


def pieces(value, key):
    if isinstance(value, dict):
        if key in value and isinstance(value[key], dict):
            yield value[key]
        for part in value.values():
            yield from pieces(part, key)
    elif isinstance(value, list):
        for part in value:
            yield from pieces(part, key)


def stays_as_it_is(make):
    with folder() as place:
        make(place / "leaf.yaml")
        before = sorted(path.name for path in place.iterdir())
        expect_refused(run("new", "leaf.yaml", cwd=place), 2, "leaf.yaml", "is there already")
        expect_equal(sorted(path.name for path in place.iterdir()), before)
        if (place / "leaf.yaml").is_file():
            expect_equal((place / "leaf.yaml").read_text(encoding="utf-8"), "mine")


def nowhere_to_write():
    with folder() as place:
        expect_refused(run("new", "missing/leaf.yaml", cwd=place), 3, "missing/leaf.yaml", "No such file")
        expect_equal(list(place.iterdir()), [])


def to_standard_output():
    expect_equal(run_well("new", "-").out, run_well("new").out)
    expect_equal(run_well("weigh", "-", stdin=run_well("new").out).out[:18], b"Leaf to start from")


for system in UNITS:
    for name in COMMANDS:
        claim(f"{system}: {name} takes it as it is", works_with, name, system)
    claim(f"{system}: report takes it as it is", works_with_report, system)
    claim(f"{system}: measure and ballast --record take it", works_with_measure, system)
    claim(f"{system}: every section is there", every_section_is_there, system)
    claim(f"{system}: every section has its comment", sections_have_comments, system)
    claim(f"{system}: defaults are told as they are", defaults_are_true, system)
claim("a file that is there stays as it is", stays_as_it_is, lambda path: path.write_text("mine"))
claim("a link that leads nowhere stays as it is", stays_as_it_is, lambda path: path.symlink_to("nowhere"))
claim("a folder stays as it is", stays_as_it_is, lambda path: path.mkdir())
claim("where nothing can be written that is told, and nothing left", nowhere_to_write)
claim("without a file, and with -, it goes to standard output", to_standard_output)
claim("a second file is refused", lambda: expect_refused(run("new", "a.yaml", "b.yaml"), 2, "'b.yaml'", "trunnion new [FILE]"))
claim("other units are refused", lambda: expect_refused(run("new", "--units", "imperial"), 2, "imperial", "metric or us"))

if __name__ == "__main__":
    main()
