# SPDX-License-Identifier: GPL-3.0-or-later
"""Several leaves in one run: what stands where, what a bad one does, and standard input."""

import csv
import io
import re

from harness import EXAMPLES, METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, leaf_text, main, read_csv
from harness import read_json, run, run_well

US = ROOT / "examples" / "us.yaml"
MISSING = "missing.yaml"
COMMANDS = {
    "weigh": (), "curve": ("--step", "30deg"), "drive": (), "brake": (), "wind": ("--step", "30deg"), "cycle": (),
    "spread": ("--samples", "1000", "--step", "40deg"),
}
UNCERTAIN = ROOT / "examples" / "uncertain.yaml"


def pair(command):
    return (UNCERTAIN, UNCERTAIN) if command == "spread" else (METRIC, US)


def alone(command, leaf, *form):
    result = run(command, leaf, *COMMANDS[command], *form)
    expect(result.status in (0, 1), result)
    return result


def together(command, *form):
    result = run(command, *pair(command), *COMMANDS[command], *form)
    ones = [alone(command, leaf, *form) for leaf in pair(command)]
    expect_equal(result.status, max(one.status for one in ones), result)
    return result.text, [one.text for one in ones]


def tables(command):
    """Each below the name of its file; the caution once, at the end."""
    text, ones = together(command)
    caution = ones[0][ones[0].rindex("\nCaution: ") :]
    wanted = "\n\n".join(
        f"{leaf}\n{'=' * len(str(leaf))}\n{one.removesuffix(caution)}" for leaf, one in zip(pair(command), ones)
    )
    expect_equal(text, wanted + caution)


def arrays(command):
    text, ones = together(command, "--json")
    for value, one, leaf in zip(read_json(text), ones, pair(command), strict=True):
        expect_equal(value.pop("file"), str(leaf))
        expect_equal(value, read_json(one))


def columns(command):
    """A column of files first, and one header; values where they were."""
    text, ones = together(command, "--csv")
    expect(text.count("\r\n") > 2, text)
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    for leaf in set(pair(command)):
        mine = [row for row in rows if row["file"] == str(leaf)]
        wanted = list(csv.DictReader(io.StringIO(ones[pair(command).index(leaf)], newline="")))
        wanted *= pair(command).count(leaf)
        expect_equal(len(mine), len(wanted), leaf)
        for got, one in zip(mine, wanted):
            expect_equal({key: got[key] for key in one}, one)


def widths_are_equal():
    """Leaves with a strut, cylinders and a link have columns of their own: all rows have them all."""
    result = run("curve", *EXAMPLES, "--step", "40deg", "--csv")
    expect_equal(result.status, 0, result)
    rows = read_csv(result.text)
    expect_equal({len(row) for row in rows}, {len(rows[0])})
    expect_equal({row[0] for row in rows[1:]}, {str(path) for path in EXAMPLES})
    strut = next(row for row in rows if row[0].endswith("strut.yaml"))
    expect(strut[rows[0].index("force_opening_N")] != "", rows[0])


def names_in_quotes():
    """A field with a comma in it is one field still."""
    with folder() as place:
        for name in ("a,b.yaml", "c.yaml"):
            (place / name).write_bytes(leaf_text(name='"two \\"three\\", four"'))
        rows = read_csv(run_well("weigh", "a,b.yaml", "c.yaml", "--csv", cwd=place).text)
        expect_equal({row[0] for row in rows[1:]}, {"a,b.yaml", "c.yaml"})
        expect_equal({row[1] for row in rows[1:]}, {'two "three", four'})


def bad_one_counts(form):
    """It does not keep the others from their results."""
    with folder() as place:
        (place / "bad.yaml").write_text("leaf: nothing else\n", encoding="utf-8")
        for bad, status, words in (("bad.yaml", 2, "bad.yaml:1:1: "), (MISSING, 3, f"cannot open {MISSING}")):
            result = run("weigh", METRIC, bad, US, *form, cwd=place)
            expect_equal(result.status, status, result)
            expect(words in result.errors, result)
            expect("Quillmarsh Basin" in result.text and "Harrowgull Slip" in result.text, result)


def null_for_a_bad_one():
    values = read_json(run("weigh", MISSING, METRIC, "--json").text)
    expect_equal([value and value["file"] for value in values], [None, str(METRIC)])


def all_bad(form):
    result = run("weigh", MISSING, "other.yaml", *form)
    expect_refused(result, 3, MISSING, "other.yaml")
    with folder() as place:
        expect_equal(run("weigh", MISSING, "other.yaml", *form, "-o", "out", cwd=place).status, 3)
        expect_equal(list(place.iterdir()), [])


def not_met_is_named():
    result = run("drive", METRIC, US)
    expect_equal(result.status, 1, result)
    for line in result.errors.splitlines():
        expect(re.match(rf"trunnion: (not met|warning): {re.escape(str(US))}: case", line), line)
    expect("not met" in result.errors and "warning" in result.errors, result)


def into_one_file():
    with folder() as place:
        run_well("weigh", METRIC, US, "--csv", "-o", place / "out.csv")
        expect_equal((place / "out.csv").read_bytes(), run_well("weigh", METRIC, US, "--csv").out)


def what_ifs_go_to_all():
    values = read_json(run_well("weigh", METRIC, US, "--json", "--add", "toe box: 100 kg at [20 m, 0 m]").text)
    expect_equal([value["additions"] for value in values], [["toe box: 100 kg at [20 m, 0 m]"]] * 2)


def standard_input_among_them():
    values = read_json(run_well("weigh", US, "-", "--json", stdin=METRIC.read_bytes()).text)
    expect_equal([value["file"] for value in values], [str(US), "standard input"])
    expect_refused(run("weigh", "-", METRIC, "-", stdin=b""), 2, "only one of", "standard input")


def shards_from_standard_input():
    """A part of the samples can come from a pipe too, one of them."""
    with folder() as place:
        for part in ("1/2", "2/2"):
            run("spread", UNCERTAIN, "--samples", "2000", "--step", "40deg", "--shard", part, "-o", place / part[0])
        files = run("spread", UNCERTAIN, "--step", "40deg", "--merge", place / "1", place / "2", "--json").out
        piped = run("spread", UNCERTAIN, "--step", "40deg", "--merge", place / "1", "-", "--json",
                    stdin=(place / "2").read_bytes()).out
        expect(files and piped == files, "the results differ")
        expect_refused(run("spread", UNCERTAIN, "--merge", "-", "-", stdin=b""), 2, "only one of")


def records_from_standard_input():
    record = (ROOT / "examples" / "records" / "metric.csv").read_bytes()
    given = ROOT / "examples" / "records" / "metric.csv"
    expect_equal(run_well("measure", METRIC, "-", "--csv", stdin=record).out, run_well("measure", METRIC, given, "--csv").out)
    expect_equal(run("ballast", METRIC, "--record", "-", "--csv", stdin=record).out, run("ballast", METRIC, "--record", given, "--csv").out)
    wind = ROOT / "examples" / "records" / "gusty.csv"
    expect_equal(run("cycle", METRIC, "--wind-record", "-", "--csv", stdin=wind.read_bytes()).out,
                 run("cycle", METRIC, "--wind-record", wind, "--csv").out)


REFUSED = {
    "one picture of several leaves": (("curve", METRIC, US, "--plot", "both.svg"), "one leaf"),
    "a part of the samples of several leaves": (("spread", UNCERTAIN, US, "--samples", "1e3", "--shard", "1/2", "-o", "x"), "one leaf"),
    "several leaves for explain": (("explain", METRIC, US), "left over"),
    "several leaves for ballast": (("ballast", METRIC, US), "left over"),
    "three files for measure": (("measure", METRIC, "record.csv", US), "left over"),
    "a leaf file that would be overwritten": (("weigh", METRIC, US, "-o", US), "overwrite"),
}

for name in COMMANDS:
    claim(f"{name}: tables one below the other", tables, name)
    claim(f"{name}: JSON is an array of what each leaf has alone", arrays, name)
    claim(f"{name}: CSV has the file in its first column", columns, name)
claim("curve: rows of all kinds of leaves have the same columns", widths_are_equal)
claim("names with commas and quotes stay whole in CSV", names_in_quotes)
for formats in ((), ("--json",), ("--csv",)):
    claim(f"a bad leaf does not stop the others: {formats}", bad_one_counts, formats)
    claim(f"where all are bad there is no output, and no file: {formats}", all_bad, formats)
claim("a bad leaf is null in JSON, in its place", null_for_a_bad_one)
claim("what is not met says of which leaf", not_met_is_named)
claim("-o takes them all", into_one_file)
claim("what-ifs go to every leaf", what_ifs_go_to_all)
claim("standard input is one of them, once", standard_input_among_them)
claim("a shard is read from standard input", shards_from_standard_input)
claim("records are read from standard input", records_from_standard_input)
for about, (given, told) in REFUSED.items():
    claim(f"{about}: refused", lambda given=given, told=told: expect_refused(run(*given), 2, told))

if __name__ == "__main__":
    main()
