# SPDX-License-Identifier: GPL-3.0-or-later
"""measure from outside: faulty records, the examples, formats, options, plots.

Beside every tests/cli/invalid_records/NAME.csv stands NAME.expected: a line
`LINE:COLUMN: words` for each fault, the words somewhere in the message.
"""

import csv
import math
import pathlib
import re
import subprocess

import numpy
import scipy.stats

from harness import (
    METRIC, ROOT, WRAP, build_folder, claim, expect, expect_equal, expect_refused, folder, json_of, main, read_csv,
    read_json, run, run_well,
)

HERE = pathlib.Path(__file__).resolve().parent
US = ROOT / "examples" / "us.yaml"
RECORDS = ROOT / "examples" / "records"
FAULTY = sorted((HERE / "invalid_records").glob("*.csv"))
EXPECTED_LINE = re.compile(r"(\d+:\d+): (.+)")
FAULTS_MAX = 20

# The examples: what each has to be told, None where it is sound.
EXAMPLES = {
    "metric": None, "metric_power": None, "us": None, "us_windy": None, "us_heavy_deck": None,
    "metric_short_closing": "the directions cover different angles",
    "metric_wrong_loss": "as a wrong gear loss makes them",
    "metric_burst": "no weight",
    "metric_growing_friction": "the friction differs along the angle",
}
ESTIMATES = ("A_Nm", "B_Nm", "moment_Nm", "angle_deg", "toe_reaction_N", "friction_Nm", "friction_coefficient")
KEYS = ["leaf", *(name + ending for name in ESTIMATES for ending in ("", "_sd", "_low95", "_high95")), "residual_sd_Nm",
        "from_deg", "to_deg", "points_used", "points_left_out", "points_outside", "points_rejected", "fit",
        "difference_from_description", "warnings"]


def leaf_of(name):
    return US if name.startswith("us") else METRIC


def record_of(name):
    return RECORDS / f"{name}.csv"


def measured(name, *options, leaf=None):
    """The JSON of an example record, warnings and targets aside."""
    result = run("measure", leaf or leaf_of(name), record_of(name), "--json", *options)
    expect(result.status in (0, 1), "expected exit status 0 or 1", result)
    return read_json(result.text)


def told_once(message, fault, name):
    place, words = fault
    start = f"{name}:{place}: "
    return message.startswith(start) and words in message[len(start):]


def expect_faults(result, record, name):
    expect_refused(result, 2)
    messages = result.errors.splitlines()
    faults = [EXPECTED_LINE.fullmatch(line).groups() for line in record.with_suffix(".expected").read_text().splitlines()]
    for fault in faults:
        match = next((message for message in messages if told_once(message, fault, name)), None)
        expect(match, f"expected {name}:{fault[0]} ... {fault[1]} ...", result)
        messages.remove(match)
    if len(faults) == FAULTS_MAX:
        messages.remove(f"{name}: more faults follow; mend these first")
    expect(not messages, "more than the faults that there are", result)


def refused(record):
    expect_faults(run("measure", METRIC, record), record, str(record))
    if not WRAP:
        expect_faults(run("measure", METRIC, "-", stdin=record.read_bytes()), record, "standard input")


def enough_faulty_records():
    expect(len(FAULTY) >= 25, len(FAULTY))
    for record in FAULTY:
        expect(record.with_suffix(".expected").exists(), record)


def example_is_judged(name, words):
    result = run("measure", leaf_of(name), record_of(name))
    heavy = name == "us_heavy_deck"
    expect_equal(result.status, 1 if heavy else 0, result)
    document = measured(name)
    if words is None:
        expect_equal(document["warnings"], [], result)
        expect("warning" not in result.errors.lower() and "Warning" not in result.text, result)
    else:
        expect(words in document["warnings"][0] or words in " ".join(document["warnings"]), document["warnings"])
        for warning in document["warnings"]:
            expect(f"trunnion: warning: {warning}\n" in result.errors, result)
            expect(f"Warning: {warning}." in result.text, result)
    expect_equal("not met: balance target: the measured toe reaction" in result.errors, heavy, result)


def nothing_is_dropped(name):
    with open(record_of(name), newline="", encoding="utf-8") as stream:
        lines = list(csv.reader(stream))[1:]
    for options in ((), ("--ordinary",), ("--from", "20deg", "--to", "0.7rad")):
        document = measured(name, *options)
        expect_equal(document["points_used"] + document["points_left_out"], len(lines))
        expect_equal(document["points_outside"] + document["points_rejected"], document["points_left_out"])
        column = next(i for i, heading in enumerate(read_csv(record_of(name).read_text())[0]) if "angle" in heading)
        low, high = document["from_deg"], document["to_deg"]
        inside = sum(low - 1e-9 <= float(line[column]) <= high + 1e-9 for line in lines)
        expect_equal(document["points_used"] + document["points_rejected"], inside)


def truth_is_found(name):
    """What the program put in: 0.105, and the leaf's change by the recipe."""
    document = measured(name)
    lever = 3 * document["friction_coefficient_sd"]
    expect(abs(document["friction_coefficient"] - 0.105) <= lever, document["friction_coefficient"], lever)
    balance = json_of("weigh", leaf_of(name))
    more = {"metric": 0.08, "metric_power": 0.08, "metric_burst": 0.08, "us": 0.15, "us_windy": 0.15}[name]
    expect(abs(document["A_Nm"] - balance["closed_moment_Nm"] - more * balance["moment_Nm"]) <= 3.5 * document["A_Nm_sd"],
           document)
    expect_equal(document["difference_from_description"]["A_Nm"], document["A_Nm"] - balance["closed_moment_Nm"])


def by_numpy(angles, torques, senses):
    design = numpy.column_stack([numpy.cos(angles), -numpy.sin(angles), senses])
    solution, squares, _, _ = numpy.linalg.lstsq(design, torques, rcond=None)
    variance = squares[0] / (len(torques) - 3)
    return solution, numpy.sqrt(variance * numpy.diag(numpy.linalg.inv(design.T @ design))), math.sqrt(variance)


def brought_to_leaf(name):
    """Angles, torques and senses within 9 to 67 degree of the metric leaf: efficiencies 0.96 0.96 0.95 0.95, ratio 1320."""
    rows = read_csv(record_of(name).read_text(encoding="utf-8"))
    column = {heading.partition(" [")[0]: i for i, heading in enumerate(rows[0])}
    angles, torques, senses = [], [], []
    for row in rows[1:]:
        angle = float(row[column["angle"]])
        sense = 1 if row[column["direction"]] == "opening" else -1
        torque = float(row[column["motor torque"]]) * 1320
        loss = 0.96 * 0.96 * 0.95 * 0.95
        if 9 <= angle <= 67:
            angles.append(math.radians(angle))
            torques.append(torque * loss if torque * sense >= 0 else torque / loss)
            senses.append(sense)
    return numpy.array(angles), numpy.array(torques), numpy.array(senses)


def runs_probability(signs):
    """Of as odd a number of runs, both sides: every order of the signs counted."""
    plus, minus, runs = sum(signs), len(signs) - sum(signs), 1 + sum(a != b for a, b in zip(signs, signs[1:]))

    def ways(count):
        pieces = ((count // 2, count - count // 2), (count - count // 2, count // 2))
        return sum(math.comb(plus - 1, a - 1) * math.comb(minus - 1, b - 1) for a, b in pieces)

    fewer, as_many, whole = sum(map(ways, range(2, runs))), ways(runs), math.comb(plus + minus, plus)
    return 2 * min(fewer + as_many, whole - fewer) / whole


def doubts_are_worked_again():
    """The probabilities in the warnings, by scipy and by counting, to the two figures that are told."""
    angles, torques, senses = brought_to_leaf("metric_growing_friction")
    warnings = " ".join(measured("metric_growing_friction", "--ordinary")["warnings"])
    solution, _, _ = by_numpy(angles, torques, senses)
    left = torques - solution[0] * numpy.cos(angles) + solution[1] * numpy.sin(angles) - solution[2] * senses
    patterns = []
    for sense in (1, -1):
        order = numpy.argsort(angles[senses == sense], kind="stable")
        patterns.append(runs_probability([bool(value > 0) for value in left[senses == sense][order]]))
    expect(f"with probability {min(patterns):.2g})" in warnings, min(patterns), warnings)
    grown = numpy.column_stack([numpy.cos(angles), -numpy.sin(angles), senses, senses * (angles - angles.mean())])
    fitted, squares, _, _ = numpy.linalg.lstsq(grown, torques, rcond=None)
    variance = squares[0] / (len(torques) - 4)
    student = fitted[3] / math.sqrt(variance * numpy.linalg.inv(grown.T @ grown)[3][3])
    chance = 2 * scipy.stats.t.sf(student, len(torques) - 4)
    expect(f"(probability by chance {chance:.2g})" in warnings, chance, warnings)
    change = 100 * fitted[3] * math.radians(67 - 9) / solution[2]
    expect(f"changes by {change:+.3g} % of its mean" in warnings, change, warnings)


def agrees_with_numpy():
    """Least squares anew."""
    solution, deviations, scatter = by_numpy(*brought_to_leaf("metric"))
    document = measured("metric", "--ordinary")
    for key, value, deviation in zip(("A_Nm", "B_Nm", "friction_Nm"), solution, deviations):
        expect(math.isclose(document[key], value, rel_tol=1e-10), key, document[key], value)
        expect(math.isclose(document[key + "_sd"], deviation, rel_tol=1e-9), key, document[key + "_sd"], deviation)
    expect(math.isclose(document["residual_sd_Nm"], scatter, rel_tol=1e-9), scatter)
    expect_equal(document["fit"], "ordinary")


def forms_agree(name):
    document = measured(name)
    expect_equal(list(document), KEYS)
    expect_equal(list(document["difference_from_description"]), ["A_Nm", "B_Nm", "moment_Nm", "toe_weight_N"])
    heading, row = read_csv(run("measure", leaf_of(name), record_of(name), "--csv").text)
    flat = {key: value for key, value in document.items() if key not in ("difference_from_description", "fit", "warnings")}
    flat |= {f"difference_{key}": value for key, value in document["difference_from_description"].items()}
    flat["warnings"] = "; ".join(document["warnings"])
    expect_equal(sorted(heading), sorted(flat))
    for key, text in zip(heading, row):
        value = flat[key]
        expect_equal(text if isinstance(value, str) else float(text), value, key)
    for key in ESTIMATES:
        low, value, high = (document[key + ending] for ending in ("_low95", "", "_high95"))
        expect(low < value < high and math.isclose(value - low, high - value, rel_tol=1e-6), key)


def from_standard_input():
    wanted = run_well("measure", METRIC, record_of("metric")).out
    expect_equal(run_well("measure", METRIC, "-", stdin=record_of("metric").read_bytes()).out, wanted)
    expect_equal(run_well("measure", "-", record_of("metric"), stdin=METRIC.read_bytes()).out, wanted)
    expect_equal(run_well("measure", "--", METRIC, record_of("metric")).out, wanted)


def records_are_what_the_program_makes(name):
    made = subprocess.run([build_folder() / "examples" / "make_record", name, leaf_of(name)], capture_output=True,
                          check=True)
    expect_equal(made.stdout, record_of(name).read_bytes())


def wind_is_what_the_program_makes():
    made = subprocess.run([build_folder() / "examples" / "make_wind"], capture_output=True, check=True)
    expect_equal(made.stdout, (RECORDS / "gusty.csv").read_bytes())


def wind_is_what_the_program_makes():
    made = subprocess.run([build_folder() / "examples" / "make_wind"], capture_output=True, check=True)
    expect_equal(made.stdout, (RECORDS / "gusty.csv").read_bytes())


def options_count():
    robust, ordinary = measured("metric_burst"), measured("metric_burst", "--ordinary")
    expect(ordinary["points_rejected"] == 0 and robust["points_rejected"] == 15, robust)
    expect(abs(ordinary["A_Nm"] - robust["A_Nm"]) > 5 * robust["A_Nm_sd"], ordinary, robust)
    narrow = measured("metric", "--from", "20deg", "--to", "50deg")
    expect_equal((narrow["from_deg"], narrow["to_deg"], narrow["points_used"]), (20, 50, 244))
    strut = ROOT / "examples" / "strut.yaml"
    with folder() as place:
        (place / "record.csv").write_text("angle [degree],direction,leaf torque [kN m]\n" + "".join(
            f"{angle},{direction},{100 - angle + sign * 60}\n" for direction, sign in (("opening", 1), ("closing", -1))
            for angle in range(10, 60)))
        window = ("--from", "10deg", "--to", "59deg", "--json")
        plain = read_json(run("measure", strut, place / "record.csv", *window).text)
        shaped = read_json(run("measure", strut, place / "record.csv", *window, "--friction-by-reaction").text)
        expect(plain["residual_sd_Nm"] != shaped["residual_sd_Nm"], plain, shaped)


def missing_section(section, name, words):
    lines = leaf_of(name).read_text(encoding="utf-8").splitlines(keepends=True)
    leaf = "".join(line for line in lines if not line.startswith(section)).encode()
    expect(len(leaf) < leaf_of(name).stat().st_size, f"{section} was not there")
    expect_refused(run("measure", "-", record_of(name), stdin=leaf), 2, "standard input:1:1: ", words)


def wrong_record(text, *words):
    expect_refused(run("measure", METRIC, "-", stdin=text.encode()), 2, "standard input: ", *words)


ONE_WAY = "angle [degree],direction,leaf torque [N m]\n" + "".join(f"{a},opening,{a}\n" for a in range(9, 60))
ONE_ANGLE = "angle [degree],direction,leaf torque [N m]\n" + "30,opening,5\n30,closing,4\n" * 5


def exit_one_still_delivers():
    with folder() as place:
        result = run("measure", US, record_of("us_heavy_deck"), "-o", place / "out", "--plot", place / "fit.gp")
        expect_equal((result.status, result.out), (1, b""), result)
        expect(b"toe reaction" in (place / "out").read_bytes() and b"series0" in (place / "fit.gp").read_bytes(), "no output")


def plot_is_drawn(name, ending):
    starts = {"svg": b"<?xml", "png": b"\x89PNG", "pdf": b"%PDF", "gp": b"# Draw"}
    with folder() as place:
        result = run("measure", leaf_of(name), record_of(name), "--plot", f"fit.{ending}", cwd=place)
        expect(result.status in (0, 1) and result.out == b"", result)
        drawn = (place / f"fit.{ending}").read_bytes()
        expect(drawn.startswith(starts[ending]), drawn[:100])
        if ending == "svg":
            text = drawn.decode().replace("\u00a0", " ")
            titles = ["fit M + F", "what is left", "standard deviation", "opening, outside"]
            titles += ["opening, no weight", "those at the edge lie beyond"] if name == "metric_burst" else []
            for title in titles:
                expect(title in text, f"{title} is not drawn")
            expect_equal("no weight" in text, name == "metric_burst")


def marks_tell_what_is_used():
    """Filled marks are used, hollow ones left out; they point the way of the leaf."""
    with folder() as place:
        run("measure", METRIC, record_of("metric_burst"), "--plot", "fit.gp", cwd=place)
        script = (place / "fit.gp").read_text()
        for title, kind in (("opening", 9), ("closing", 11), ("opening, no weight", 8), ("opening, outside", 8),
                            ("closing, outside", 10)):
            expect(re.search(rf"with points pointtype {kind} .* title '{title}'", script), title, kind)


def large_record_is_drawn():
    """Of very many readings the plot shows some, and says so; the fit takes all."""
    lines = ["angle [degree],direction,leaf torque [N m]"]
    lines += [f"{9 + 58 * i / 9999:.6f},{way},{(2e5 if way == 'opening' else 5e4) - 1000 * i / 99 + (i * 7919) % 1013}"
              for way in ("opening", "closing") for i in range(10000)]
    with folder() as place:
        (place / "record.csv").write_text("\n".join(lines) + "\n")
        result = run("measure", METRIC, "record.csv", "--json", "--plot", "fit.gp", cwd=place)
        expect_equal(read_json(result.text)["points_used"], 20000, result)
        script = (place / "fit.gp").read_text()
        expect("one mark for 3" in script, "it is not said that marks are left out")
        expect(script.count("\n") < 9000, script.count("\n"))


def record_of_another_leaf():
    """First of all it is asked whose record that is, in table, JSON and on standard error; 'ballast' passes it on."""
    text = METRIC.read_text(encoding="utf-8")
    other = text.replace("friction: {starting: 0.18, moving: 0.12}", "friction: {starting: 0.04, moving: 0.03}")
    expect(other != text)
    with folder() as place:
        (place / "other.yaml").write_text(other, encoding="utf-8")
        result = run("measure", place / "other.yaml", record_of("metric"))
        warnings = re.findall(r"(?m)^Warning: (.*)$", result.text)
        expect(warnings[0].startswith("is this the record of this leaf") and "described is 0.03" in warnings[0], warnings)
        expect("is this the record of this leaf" in result.errors.splitlines()[0], result)
        planned = run("ballast", place / "other.yaml", "--record", record_of("metric"))
        expect("is this the record of this leaf" in planned.text, planned)


RECORD = str(record_of("metric"))
USAGE = {
    "no record": (("measure", METRIC), ("no record", "trunnion measure LEAF RECORD.csv [options]")),
    "no file at all": (("measure",), ("no leaf file", "trunnion measure LEAF RECORD.csv [options]")),
    "three files": (("measure", METRIC, RECORD, "third"), ("'third' is left over",)),
    "standard input for both": (("measure", "-", "-"), ("only one of",)),
    "--from for curve": (("curve", METRIC, "--from", "8deg"), ("takes no --from",)),
    "--ordinary for weigh": (("weigh", METRIC, "--ordinary"), ("takes no --ordinary",)),
    "--case for measure": (("measure", METRIC, RECORD, "--case", "calm"), ("takes no --case",)),
    "--from without a unit": (("measure", METRIC, RECORD, "--from", "8"), ("--from 8", "unit")),
    "--to beyond any travel": (("measure", METRIC, RECORD, "--to", "121deg"), ("--to 121deg", "expected an angle")),
    "--to beyond the travel": (("measure", METRIC, RECORD, "--to", "77deg"), ("77 degree is none", "76 degree")),
    "--from over --to": (("measure", METRIC, RECORD, "--from", "50deg", "--to", "20deg"), ("is none",)),
    "a window without readings": (("measure", METRIC, RECORD, "--from", "71deg", "--to", "75deg"), ("0 readings from 71",)),
}


def usage(given, words):
    expect_refused(run(*given), 2, *words)


def record_that_is_not_there():
    expect_refused(run("measure", METRIC, "missing.csv"), 3, "cannot open missing.csv")


def help_tells_the_record():
    text = run_well("measure", "--help").text
    expect(text.startswith("usage: trunnion measure LEAF RECORD.csv [options]\n"), text)
    for option in ("--from", "--to", "--ordinary", "--friction-by-reaction", "RECORD.csv"):
        expect(re.search(rf"(?m)^  {re.escape(option)}", text), f"{option} is not told", text)


claim("at least 25 faulty records are tried", enough_faulty_records)
for path in FAULTY:
    claim(f"record {path.stem} is refused at its place", refused, path)
claim("the example record of wind is what the program makes", wind_is_what_the_program_makes)
for example, told in EXAMPLES.items():
    claim(f"example {example}: {told or 'no warning'}", example_is_judged, example, told)
    claim(f"example {example}: every line is used or counted as left out", nothing_is_dropped, example)
    claim(f"example {example}: JSON and CSV say the same", forms_agree, example)
    claim(f"example {example} is what the program makes", records_are_what_the_program_makes, example)
for example in ("metric", "metric_power", "metric_burst", "us", "us_windy"):
    claim(f"example {example}: the truth of its recipe is found", truth_is_found, example)
claim("least squares agree with numpy", agrees_with_numpy)
claim("the tests behind the warnings agree with scipy and with counting", doubts_are_worked_again)
claim("- reads the leaf or the record from standard input", from_standard_input)
claim("--ordinary, --from, --to and --friction-by-reaction count", options_count)
claim("a leaf without drive is told", missing_section, "drive:", "metric", "'drive'")
claim("a leaf without gauged_shaft is told", missing_section, "gauged_shaft:", "us", "'gauged_shaft'")
claim("a leaf without travel is told", missing_section, "travel:", "metric", "'travel'")
claim("one direction alone is told", wrong_record, ONE_WAY, "opening alone")
claim("one angle alone is told", wrong_record, ONE_ANGLE, "do not part A, B and friction")
claim("a target that is missed still delivers the result", exit_one_still_delivers)
for kind in ("svg", "png", "pdf", "gp"):
    claim(f"the fit is drawn as {kind}", plot_is_drawn, "metric", kind)
claim("left-out readings are drawn", plot_is_drawn, "metric_burst", "svg")
claim("marks tell what is used and which way the leaf went", marks_tell_what_is_used)
claim("a record that may be another leaf's is asked about", record_of_another_leaf)
claim("a record of 20,000 readings is drawn", large_record_is_drawn)
for about, (arguments, sentences) in USAGE.items():
    claim(f"{about}: refused in words that help", usage, arguments, sentences)
claim("a record that is not there is told", record_that_is_not_there)
claim("measure --help tells record and options", help_tells_the_record)

if __name__ == "__main__":
    main()
