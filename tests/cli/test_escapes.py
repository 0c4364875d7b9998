# SPDX-License-Identifier: GPL-3.0-or-later
"""No terminal obeys a person's text: names and values with escape sequences in them are shown, and never sent on."""

import csv
import io
import re
import shutil

from harness import (
    METRIC, ROOT, claim, claims, expect, expect_equal, expect_refused, folder, main, read_json, run, run_well,
)

US = ROOT / "examples" / "us.yaml"
RED = "\x1b[31m"
# What is given, and how it is shown.
HOSTILE = {
    f"a{RED}b": "a\\x1b[31mb",
    "a\x1b]0;title\x07b": "a\\x1b]0;title\\x07b",
    "a\rb\nc\td\x7f": "a\\x0db\\x0ac\\x09d\\x7f",
    "a\u009b31mb": "a\\xc2\\x9b31mb",
    "a\u202eb\u2066c": "a\\xe2\\x80\\xaeb\\xe2\\x81\\xa6c",
    "a\u2028b": "a\\xe2\\x80\\xa8b",
    b"a\xff\xc3b".decode(errors="surrogateescape"): "a\\xff\\xc3b",
}
PLAIN = ("é 橋 🌉 \u0301", "back\\slash \\x1b", "%s %n", "'quotes' \"both\"")
OBEYED = re.compile(r"[\x00-\x09\x0b-\x1f\x7f\x80-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def shown(result, text):
    expect(text in result.errors, f"expected on standard error: {text!r}", repr(result.errors))
    expect(not OBEYED.search(result.errors), "a terminal would obey this", repr(result.errors))
    expect_equal(result.errors.count("\n"), len(result.errors.splitlines()), repr(result.errors))


def refused_values(given, seen):
    """Wherever a value, a word or a name is told again in a message."""
    for arguments, wanted in (
        ((given,), f"unknown command '{seen}'"),
        (("weigh", given), f"cannot open {seen}: "),
        (("weigh", METRIC, f"--{given}"), f"unknown option '--{seen}'"),
        (("schema", given), f"'{seen}'"),
        (("weigh", METRIC, "--units", given), f"--units {seen}: "),
        (("curve", METRIC, "--step", given), f"--step {seen}: "),
        (("curve", METRIC, "--case", given), f"has no case '{seen}'; it has: 'calm'"),
        (("brake", METRIC, "--case", given), f"has no holding '{seen}'"),
        (("weigh", METRIC, "--add", given), f"--add '{seen}': "),
        (("cycle", METRIC, "--gust", given), f"--gust '{seen}': "),
        (("cycle", METRIC, "--fault", given), f"--fault '{seen}': "),
        (("spread", METRIC, "--seed", given), f"--seed {seen}: "),
        (("weigh", METRIC, "-o", f"no/{given}"), f"no/{seen}"),
        (("weigh", METRIC, "--plot", given), f"--plot {seen}: "),
        (("explain", METRIC, given), f"'{seen}' is left over"),
        (("completion", given), f"'{seen}'"),
        (("measure", METRIC, given), f"cannot open {seen}: "),
    ):
        result = run(*arguments)
        expect(result.status in (2, 3) and result.out == b"", result)
        shown(result, wanted)


def refused_files(given, seen):
    """Faults in a file are told by its name, of one leaf and of several; warnings and notes too."""
    with folder() as place:
        (place / given).write_text("leaf: a\nopens_to: 80\n", encoding="utf-8")
        shown(run("weigh", given, cwd=place), f"{seen}:2:11: ")
        shown(run("weigh", given, METRIC, cwd=place), f"{seen}:2:11: ")
        shutil.copy(METRIC, place / given)
        shown(run("weigh", given, "--verbose", cwd=place), f"read {seen}, ")
        shown(run("ballast", given, US, cwd=place), f"'{US}' is left over")
        shown(run("drive", given, US, "--verbose", cwd=place), f"{seen}: ")


def headings(given, seen):
    """The name stands over its table, underlined in its width; CSV and JSON keep it as it is."""
    with folder() as place:
        shutil.copy(METRIC, place / given)
        text = run_well("weigh", given, METRIC, cwd=place).text
        expect_equal(text.splitlines()[:2], [seen, "=" * len(seen)])
        expect(not OBEYED.search(text), repr(text[:400]))
        text = run("weigh", given, METRIC, "--csv", cwd=place).out.decode(errors="surrogateescape")
        expect_equal(list(csv.reader(io.StringIO(text, newline="")))[1][0], given)
        name = read_json(run_well("weigh", given, METRIC, "--json", cwd=place).text)[0]["file"]
        expect_equal(name, None if "\udcff" in given else given)


def record_of_wind(given, seen):
    with folder() as place:
        (place / given).write_text("time [s],speed [m/s]\n0,0\n10,3\n", encoding="utf-8")
        text = run("cycle", METRIC, "--wind-record", given, cwd=place).text
        expect(f"wind: by the record {seen}, in place" in text, repr(text))
        expect(not OBEYED.search(text), repr(text))


def plain_stays(text):
    result = run("curve", METRIC, "--case", text)
    expect_refused(result, 2, f"has no case '{text}'")


for hostile, harmless in HOSTILE.items():
    claim(f"{harmless}: shown in messages on values", refused_values, hostile, harmless)
    claim(f"{harmless}: shown in messages on files", refused_files, hostile, harmless)
    claim(f"{harmless}: shown over the table of a file, kept in CSV and JSON", headings, hostile, harmless)
    claim(f"{harmless}: shown as the name of a record", record_of_wind, hostile, harmless)
for harmless in PLAIN:
    claim(f"{harmless}: told as it is", plain_stays, harmless)


@claims("a sentence of any length is told whole")
def long_sentence():
    name = "n" * 20000 + RED
    result = run("curve", METRIC, "--case", name)
    expect_refused(result, 2, f"has no case '{'n' * 20000}\\x1b[31m'; it has: 'calm'")


main()
