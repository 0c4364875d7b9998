# SPDX-License-Identifier: GPL-3.0-or-later
"""The report as a file: well-formed, self-contained, true to the commands, the same bytes each time."""

import hashlib
import re
import time

from harness import EXAMPLES, METRIC, ROOT, claim, claims, expect, expect_equal, expect_refused, folder, json_of, \
    leaf_text, main, read_json, run
from webpage import Page, expect_shown, page_of, text_of

PAGES = {}


def page(leaf, *arguments):
    """The page of an example, made once."""
    key = (str(leaf), *arguments)
    if key not in PAGES:
        PAGES[key] = page_of(leaf, *arguments)
    return PAGES[key]


def answer(*arguments):
    """The JSON of a command, whether or not its requirements are met."""
    result = run(*arguments, "--json")
    expect(result.status in (0, 1), "expected an answer", result)
    return read_json(result.text)


def has_every_row(leaf):
    """Tables have what the JSON has, cell by cell: weight, curves, drive, brakes, wind."""
    tables = page(leaf).tables()
    weigh = json_of("weigh", leaf)
    of_parts = tables["What each part weighs, and where, closed"]
    expect_equal(len(of_parts.rows), len(weigh["parts"]) + 1)
    for i, part in enumerate([*weigh["parts"], weigh]):
        expect(part.get("name", "whole leaf") in of_parts.rows[i][0], of_parts.rows[i])
        for words, key in (("Weight", "weight_N"), ("x", "x_m"), ("y", "y_m"), ("Closed moment", "closed_moment_Nm"),
                           ("Inertia", "inertia_kg_m2")):
            of_parts.expect(i, words, part[key], part)
    balance = {row[0]: row[1] for row in tables["Balance"].rows}
    for words, key in (("weight W", "weight_N"), ("mass", "mass_kg"), ("closed moment A", "closed_moment_Nm"),
                       ("moment W R", "moment_Nm"), ("angle α", "angle_deg"), ("toe reaction", "toe_reaction_N"),
                       ("neutral angle", "neutral_angle_deg"), ("inertia J", "inertia_kg_m2")):
        expect_shown(balance[words], "", weigh[key], words)


CURVES = {
    "balance": "balance_Nm", "wind, opening": "wind_opening_Nm", "wind, closing": "wind_closing_Nm", "ice": "ice_Nm",
    "friction, opening": "friction_opening_Nm", "friction, closing": "friction_closing_Nm", "inertia": "inertia_Nm",
    "demand, opening": "opening_Nm", "demand, closing": "closing_Nm", "motor, opening": "motor_opening_Nm",
    "motor, closing": "motor_closing_Nm", "reaction, opening": "reaction_opening_N",
    "reaction, closing": "reaction_closing_N", "drive force, opening": "force_opening_N",
    "drive force, closing": "force_closing_N", "pressure, opening": "pressure_opening_Pa",
    "pressure, closing": "pressure_closing_Pa", "link, opening": "link_opening_N", "link, closing": "link_closing_N",
    "cw reaction, opening": "counterweight_reaction_opening_N", "cw reaction, closing": "counterweight_reaction_closing_N",
}


def has_curves(leaf):
    made = page(leaf)
    tables, series = made.tables(), made.data()["series"]
    for number, case in enumerate(json_of("curve", leaf)["cases"]):
        rows = {f"{row['angle_deg']:.10g}": row for row in case["rows"]}
        left = {key for row in case["rows"] for key, value in row.items() if value and key != "angle_deg"}
        for kind in ("Moments", "Drive and bearings"):
            table = tables[f"{kind}, case {case['name']}"]
            expect(len(table.rows) >= len(rows) // 5, "rows are missing", kind, case["name"])
            for i, cells in enumerate(table.rows):
                for words in table.words[1:]:
                    table.expect(i, words, rows[cells[0]][CURVES[words]], case["name"], cells[0])
            left -= {CURVES[words] for words in table.words[1:]}
        expect_equal(left, set(), "columns that are not told", case["name"])
        for name, values in series.items():
            if name.startswith(f"case {number} "):
                expect_equal(values, [row[name.split(" ")[2]] for row in case["rows"]], name)
    expect_equal(series["angle_deg"], [row["angle_deg"] for row in case["rows"]])


def has_drive(leaf):
    found = answer("drive", leaf)
    tables = page(leaf).tables()
    captions = [name for name in tables if name.startswith("What each case asks of")]
    expect_equal(len(captions), 1)
    for caption, rows in ((captions[0], found["cases"]),
                          ("With one motor out, for information: no requirement", found["one_motor_out"])):
        table = tables[caption] if rows else None
        for i, row in enumerate(rows):
            expect_equal(table.rows[i][:2], [row["name"], row["direction"]])
            table.expect(i, "Worst angle", row["worst_angle_deg"])
            table.expect(i, "Leaf demand", row["leaf_Nm"])
            oil = row["motor_Nm"] is None
            table.expect(i, "Pressure" if oil else "Motor torque", row["pressure_Pa" if oil else "motor_Nm"])
            table.expect(i, "Allowed", row["allowed_Pa" if oil else "allowed_Nm"])
            table.expect(i, "Use", row["use"])
            expect_equal(table.rows[i][-1], "✓ met" if row["met"] else "✗ not met")
    sizes = re.search(r"R20 from there on: ([^<]*)[ \xa0](k?W|hp)\.", page(leaf).text)
    expect_equal(sizes is not None, bool(found["next_sizes_W"]))
    if sizes:
        in_watts = [float(size) * {"W": 1, "kW": 1000, "hp": 745.6998715822702}[sizes[2]] for size in sizes[1].split(", ")]
        expect(all(abs(got - size) <= 1e-3 * size for got, size in zip(in_watts, found["next_sizes_W"], strict=True)),
               sizes[0], found["next_sizes_W"])


def is_all_numbers(leaf):
    """What is no number is printed so by the C library, and nobody writes these words."""
    is_all_numbers_in(page(leaf).text)


def is_all_numbers_in(text):
    found = re.search(r"(?<![\w.])[-+MLHV]?-?(?:nan|inf)(?![\w.])", text)
    expect(found is None, found and text[max(found.start() - 100, 0):found.end()])


def has_brakes(leaf):
    tables = page(leaf).tables()
    if "Holding the leaf at rest" not in tables:
        expect("holding" in " ".join(page(leaf).notes()), "nothing is told of the brakes")
        return
    table = tables["Holding the leaf at rest"]
    for i, row in enumerate(answer("brake", leaf)["cases"]):
        table.expect(i, "Worst angle", row["worst_angle_deg"])
        table.expect(i, "Demand", row["demand_Nm"])
        table.expect(i, "Capacity", row["capacity_Nm"])
        table.expect(i, "Factor", row["factor"])
        table.expect(i, "One brake out", row["factor_one_out"])
        table.expect(i, "Required", row["required"])


def has_wind(leaf):
    made = page(leaf)
    tables = made.tables()
    if "Highest wind, angle by angle" not in tables:
        expect("wind_limits" in " ".join(made.notes()), "nothing is told of the wind")
        return
    found = answer("wind", leaf)
    card = tables["Highest wind from either side, the lowest over the whole travel"]
    angles = tables["Highest wind, angle by angle"]
    for i, limit in enumerate(found["limits"]):
        expect_equal(card.rows[i][0], limit["action"])
        for words in ("m/s", "km/h", "mph", "kn"):
            expect_shown(card.rows[i][card.column(words)], words, limit["limit_m_s"], limit["action"])
        card.expect(i, "Worst at", limit["angle_deg"])
        speeds = {f"{row['angle_deg']:.10g}": row["speed_m_s"] for row in limit["rows"]}
        for k, cells in enumerate(angles.rows):
            angles.expect(k, limit["action"], speeds[cells[0]])
        drawn = made.data()["series"][f"wind {limit['action']} speed_m_s"]
        expect_equal(drawn, [row["speed_m_s"] for row in limit["rows"]])


def has_cycle(leaf):
    made = page(leaf)
    tables = made.tables()
    if "Both runs in numbers" not in tables:
        expect("travel" in " ".join(made.notes()), "nothing is told of the cycle")
        return
    found = answer("cycle", leaf)
    for direction in ("opening", "closing"):
        table = tables[f"Events of the {direction}"]
        events = [event for event in found["events"] if event["direction"] == direction]
        expect_equal(len(table.rows), len(events))
        for i, event in enumerate(events):
            table.expect(i, "Time", event["t_s"])
            table.expect(i, "Angle", event["angle_deg"])
            table.expect(i, "Speed", event["speed_deg_s"])
            expect_equal(table.rows[i][4], event["event"])
        trace = found[direction]["trace"]
        series = made.data()["series"]
        expect_equal(series[f"{direction} time_s"], [row["t_s"] for row in trace])
        expect_equal(series[f"{direction} angle_deg"], [row["angle_deg"] for row in trace])
        expect_equal(series[f"{direction} speed_deg_s"], [row["speed_deg_s"] for row in trace])
    numbers = {row[0]: row[1:] for row in tables["Both runs in numbers"].rows}
    for k, direction in enumerate(("opening", "closing")):
        one = found[direction]
        for words, value in (("time until it rests and the brakes are set", one["end_time_s"]),
                             ("angle there", one["end_angle_deg"]),
                             ("given by the drive, less what it took", one["work"]["motors_J"]),
                             ("… lost in trunnions", one["work"]["friction_J"]),
                             ("… to heat in brakes, or at shut valves", one["work"]["brakes_J"])):
            expect_shown(numbers[words][k], "", value, words, direction)


FAULTS = {
    "power lost, or emergency stop": ["--fault", "power lost"],
    "power lost, strongest brake out": ["--fault", "power lost", "--fault", "brake out"],
    "pedal released: a controlled stop": ["--fault", "pedal released"],
    "one motor out": ["--fault", "motor out"],
}


def has_faults(leaf):
    tables = page(leaf).tables()
    caption = [name for name in tables if name.startswith("Standard faults")]
    expect(caption, "there is no table of faults")
    table = tables[caption[0]]
    seen = 0
    for i, cells in enumerate(table.rows):
        if cells[0] not in FAULTS:
            continue
        rows = answer("cycle", leaf, *FAULTS[cells[0]], "--sweep", "--step", "5deg")["sweep"]
        rows = [row for row in rows if row["happens"] and row["direction"] == cells[1]]
        told = [row for row in rows if f"{row['fault_angle_deg']:.2f}" == cells[2]]
        expect_equal(len(told), 1, cells)
        table.expect(i, "Rests at", told[0]["end_angle_deg"], cells)
        table.expect(i, "Runs on", told[0]["run_on_deg"], cells)
        table.expect(i, "At rest after", told[0]["time_s"], cells)
        table.expect(i, "Hardest stop", told[0]["peak_deceleration_deg_s2"], cells)
        expect(told[0]["safe"] is False or all(row["safe"] for row in rows), "a worse angle is not told", cells)
        same = [row for row in rows if row["safe"] == told[0]["safe"] and row["end"] == told[0]["end"]]
        expect(max(row["run_on_deg"] for row in same) == told[0]["run_on_deg"], "a longer run on is not told", cells)
        seen += 1
    expect(seen >= 4, f"{seen} faults are told")


def has_target(leaf):
    made = page(leaf)
    weigh = json_of("weigh", leaf)
    tables = made.tables()
    if "Balance in its target" not in tables:
        expect("balance_target" in " ".join(made.notes()), "nothing is told of the target")
        return
    values = {row[0]: row[1:] for row in tables["Balance in its target"].rows}
    plan = answer("ballast", leaf)
    for words, key in (("toe reaction", "toe_reaction_N"), ("angle α", "angle_deg"), ("closed moment A", "closed_moment_Nm")):
        expect_shown(values[words][0], "", weigh[key], words)
        expect_shown(values[words][1], "", plan["after"][key], words)
    moves = tables["Plan for the blocks"]
    for i, move in enumerate(plan["moves"]):
        expect_equal(moves.rows[i][:3], [move["pocket"], str(move["before"]), str(move["after"])])


def has_spread(leaf):
    made = page(leaf)
    tables = made.tables()
    if "Not computed:" in text_of(made.by_id("spread")):
        expect_equal(run("spread", leaf).status, 2)
        return
    found = answer("spread", leaf, "--step", "1deg")
    expect(f"{found['samples']} samples" in text_of(made.by_id("spread")), "the samples are not told")
    for case in found["cases"]:
        table = tables[f"Demand as samples have it, case {case['name']}"]
        rows = {(f"{row['angle_deg']:.10g}", row["direction"]): row for row in case["rows"]}
        for i, cells in enumerate(table.rows):
            for words, key in (("First order, mean", "first_order_mean_Nm"), ("First order, sd", "first_order_sd_Nm"),
                               ("Mean", "mean_Nm"), ("Sd", "sd_Nm"), ("5 %", "p05_Nm"), ("50 %", "p50_Nm"),
                               ("95 %", "p95_Nm")):
                table.expect(i, words, rows[cells[0], cells[1]][key], case["name"])
        inputs = tables[f"What matters, case {case['name']}"].rows
        expect_equal([row[0] for row in inputs], [one["name"] for one in case["inputs"]][:12])
        use = tables.get(f"Share of what is allowed that the worst angle takes, case {case['name']}")
        for i, direction in enumerate(("opening", "closing") if use else ()):
            use.expect(i, "5 %", case[direction]["peak_use_p05"])
            use.expect(i, "95 %", case[direction]["peak_use_p95"])
            chance = case[direction]["over_limit_probability"]
            expect_equal(use.rows[i][use.column("Probability of being over it")],
                         f"{100 * chance:.2g}" if chance > 0 else f"below {100 / found['samples']:.2g}")


def judges_as_the_commands(leaf):
    result = run("report", leaf)
    rows = Page(result.text).tables()["Every requirement of the description"].rows
    unmet = [row for row in rows if row[1] == "✗ not met"]
    expect_equal(len(unmet), result.errors.count("trunnion: not met:"), result)
    expect_equal(result.status, 1 if unmet else 0)
    expect(all(row[1] in ("✓ met", "✗ not met") and all(row) for row in rows), rows)


for example in EXAMPLES:
    name = example.stem
    claim(f"{name}: weights are those of 'weigh'", has_every_row, example)
    claim(f"{name}: moments are those of 'curve', in tables and data", has_curves, example)
    claim(f"{name}: ratings are those of 'drive'", has_drive, example)
    claim(f"{name}: holdings are those of 'brake'", has_brakes, example)
    claim(f"{name}: no number is none", is_all_numbers, example)
    claim(f"{name}: limits are those of 'wind'", has_wind, example)
    claim(f"{name}: runs are those of 'cycle'", has_cycle, example)
    claim(f"{name}: the plan is that of 'ballast'", has_target, example)
    claim(f"{name}: the spread is that of 'spread'", has_spread, example)
    claim(f"{name}: verdicts, sentences and exit status agree", judges_as_the_commands, example)
for example in (METRIC, ROOT / "examples/strut.yaml", ROOT / "examples/cylinder.yaml"):
    claim(f"{example.stem}: faults are those of 'cycle --sweep', at their worst angle", has_faults, example)


@claims("where a fault ends in no held rest, that angle is told, though the leaf runs on longer from another")
def unsafe_fault():
    text = METRIC.read_text(encoding="utf-8")
    weak = text.replace("torque: 560 N m", "torque: 30 N m").replace("torque: 9.5 kN m", "torque: 0.7 kN m")
    expect(weak != text)
    with folder() as place:
        (place / "weak.yaml").write_text(weak, encoding="utf-8")
        has_faults(place / "weak.yaml")
        rows = [row for name, table in page(place / "weak.yaml").tables().items() if name.startswith("Standard faults")
                for row in table.rows]
    expect(any("NOT HELD" in row[3] or "RUNS PAST" in row[3] for row in rows), "nothing is unsafe", rows)


@claims("the same file gives the same bytes, from a file or standard input, in any locale and time zone")
def same_bytes():
    first = run("report", METRIC).out
    expect_equal(run("report", METRIC).out, first)
    expect_equal(run("report", "-", stdin=METRIC.read_bytes()).out, first)
    from harness import environment
    expect_equal(run("report", METRIC, env=environment(LC_ALL="de_DE.UTF-8", TZ="Asia/Tokyo")).out, first)


@claims("head, foot and data name the version and the SHA-256 of the file; a change of one byte changes it")
def traced():
    for text in (METRIC.read_bytes(), METRIC.read_bytes() + b"\n"):
        made = page_of("-", stdin=text)
        expect_equal(made.text.count(hashlib.sha256(text).hexdigest()), 3)
        expect_equal(made.data()["sha256"], hashlib.sha256(text).hexdigest())
    version = run("--version").text.split()[1]
    expect_equal((made.data()["version"], made.data()["leaf"]), (version, text_of(made.all("h1")[0])))
    expect(f"trunnion {version}" in text_of(made.all("header")[0]) and version in text_of(made.all("footer")[0]))


@claims("style sheet and script stand in the page as they are in the source")
def embedded():
    made = page(METRIC)
    expect_equal(made.all("style")[0].text, (ROOT / "cli/report/style.css").read_text(encoding="utf-8"))
    expect_equal(made.all("script")[1].text, (ROOT / "cli/report/script.js").read_text(encoding="utf-8"))


@claims("additions are told at the top, and count")
def additions_count():
    made = page_of(METRIC, "--add", "overlay: 8 kg/m2 on deck")
    weigh = json_of("weigh", METRIC, "--add", "overlay: 8 kg/m2 on deck")
    expect("overlay: 8 kg/m2 on deck" in text_of(made.all("header")[0]), "the addition is not told")
    expect_shown({row[0]: row[1] for row in made.tables()["Balance"].rows}["weight W"], "", weigh["weight_N"])


@claims("--case limits curves, drive and cycle to the case; another name is refused")
def one_case():
    made = page_of(METRIC, "--case", "hard wind with ice")
    tables = made.tables()
    expect_equal([name for name in tables if name.startswith("Moments, case")], ["Moments, case hard wind with ice"])
    expect_equal(len(tables["What each case asks of each running motor"].rows), 2)
    expect("only case" in text_of(made.all("header")[0]), "the choice is not told")
    expect_refused(run("report", METRIC, "--case", "nonsense"), 2, "nonsense", "'calm'")


MISSING = {
    "drive": "'drive'", "brakes": "'brakes'", "wind": "'wind_limits'", "cycle": "'travel'", "target": "'balance_target'",
    "spread": "'uncertainties'",
}


@claims("a leaf of parts alone gets a page that names every key that is missing")
def missing_sections():
    made = page_of("-", stdin=leaf_text(), status=(0,))
    for section, key in MISSING.items():
        words = text_of(made.by_id(section))
        expect("Not computed:" in words and key in words, section, words)
    expect("nothing that could be met or not" in text_of(made.by_id("verdicts")))
    expect("Moments, case still air" in made.tables(), "the balance is not told")
    expect("frictionless" in text_of(made.by_id("assumptions")), "the missing trunnion is not told")


@claims("a case that accelerates without a travel is left out, and told; the others are computed")
def accelerating_without_travel():
    sections = "cases: [{name: calm}, {name: pushed, accelerating: true}]"
    made = page_of("-", stdin=leaf_text(sections=sections))
    expect("Moments, case calm" in made.tables() and "Moments, case pushed" not in made.tables())
    expect("1 of 2 cases" in text_of(made.by_id("curves")), "the missing case is not told")
    alone = page_of("-", "--case", "pushed", stdin=leaf_text(sections=sections))
    expect("'travel'" in text_of(alone.by_id("curves")), "the missing key is not told")
    expect(all(one.get("id") != "slider" for one in alone.elements), "a slider without data")


@claims("a balance out of its target is not met, told with the plan, and status 1")
def out_of_target():
    heavy = run("report", METRIC, "--add", "overlay: 40 kg/m2 on deck")
    expect_equal(heavy.status, 1, heavy)
    expect(re.search(r"not met: balance target: the toe reaction is 48.45.kN, asked is 4.00.kN to 9.00.kN", heavy.errors), heavy)
    made = Page(heavy.text)
    expect("Not met: " in text_of(made.by_id("verdicts")))
    expect("blocks" in text_of(made.by_id("target")))


@claims("a link that has a dead point, or a faulty file, gives status 2, words and no page")
def refused_leaves():
    with folder() as place:
        text = (ROOT / "examples/strut.yaml").read_text(encoding="utf-8")
        (place / "dead.yaml").write_text(text.replace("pinion: [-4.6 m, 6.2 m]", "pinion: [1 m, 6 m]"), encoding="utf-8")
        (place / "bad.yaml").write_text("leaf: x\n", encoding="utf-8")
        expect_refused(run("report", place / "dead.yaml", "-o", place / "a.html"), 2, "dead.yaml:1:1", "dead point")
        expect_refused(run("report", place / "bad.yaml", "-o", place / "b.html"), 2, "bad.yaml:1:1", "opens_to")
        expect_equal(sorted(path.name for path in place.iterdir()), ["bad.yaml", "dead.yaml"])


@claims("-o writes the whole page; where it cannot, nothing is there and status 3 says why")
def writes_whole():
    with folder() as place:
        done = run("report", METRIC, "-o", place / "leaf.html")
        expect_equal((done.status, done.out), (0, b""), done)
        expect_equal((place / "leaf.html").read_bytes(), run("report", METRIC).out)
        expect_equal(run("report", METRIC, "-o", place / "none" / "leaf.html").status, 3)
        expect_equal([path.name for path in place.iterdir()], ["leaf.html"])
        expect_refused(run("report", METRIC, "-o", "/dev/full"), 3, "/dev/full")


for option in (["--json"], ["--csv"], ["--plot", "x.svg"]):
    claim(f"{option[0]} is refused", lambda given: expect_refused(run("report", METRIC, *given), 2, given[0]), option)
for option in (["--step", "1deg"], ["--fault", "power lost"], ["--at", "4deg"]):
    claim(f"{option[0]} is refused", lambda given: expect_refused(run("report", METRIC, *given), 2, given[0]), option)


@claims("a leaf that never moves has charts all the same")
def never_moves():
    """A leaf that stands still from the start: its curves have an axis of time all the same."""
    is_all_numbers_in(run("report", ROOT / "examples/strut.yaml", "--add", "overlay: 200 kg/m2 on deck").text)


@claims("a leaf of 3000 parts and 120 cases gives a whole page in seconds")
def huge():
    parts = "\n".join(f"  - {{name: part {i}, weight: 1 kN, at: [{i / 200 - 5} m, {i % 7 / 10} m]}}" for i in range(3000))
    cases = "\n".join(f"  - {{name: case {i}, wind: {{pressure: {i + 1} Pa}}}}" for i in range(120))
    text = f"leaf: huge\nopens_to: 80 degree\ntoe: 12 m\nparts:\n{parts}\ncases:\n{cases}\n"
    start = time.monotonic()
    result = run("report", "-", stdin=text.encode())
    took = time.monotonic() - start
    expect_equal(result.status, 0, result)
    made = Page(result.text)
    expect_equal(len(made.tables()["What each part weighs, and where, closed"].rows), 3001)
    expect(took < 60, f"it took {took:.1f} s")


@claims("no turned surface goes without a caution on the page")
def turned_surface():
    sections = "surfaces: [{name: deck, from: [20 m, 0 m], to: [0 m, 0 m], width: 8 m}]"
    made = page_of("-", stdin=leaf_text(sections=sections))
    expect("heel end goes first" in text_of(made.by_id("assumptions")))


@claims("the caution stands in the head, before the verdicts; licensed engineer and local rules are named")
def caution():
    made = page(METRIC)
    words = text_of(made.all("header")[0])
    expect("Caution:" in words and "licensed engineer" in words and "local rules" in words, words)
    expect(made.text.index("no permit to move") < made.text.index('id="verdicts"'))


@claims("every formula names its source, and what is recalled says 'check the clause'")
def sources():
    made = page(METRIC)
    bases = [table for table in made.all("table") if text_of(table.find("caption")) == "Formulas and their sources"]
    expect_equal(len(bases), 8)
    for table in bases:
        for row in table.findall("tbody/tr"):
            expect(all(text_of(cell) for cell in row), "a formula without term or source")
    expect(made.text.count("check the clause") >= 5, "what is from memory is not told")


main()
