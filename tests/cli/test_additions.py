# SPDX-License-Identifier: GPL-3.0-or-later
"""What-if additions: parts of the leaf in every command, told in every heading, refused at their place."""

from harness import (
    METRIC, ROOT, claim, expect, expect_equal, expect_refused, folder, json_of, main, read_csv, read_json, run, run_well,
)

G0 = 9.80665
OVERLAY = "overlay: 8 kg/m2 on deck"
CABLE = "cable: 120 kg at [6 m, 0.9 m]"
BLOCKS = "blocks: -5 in upper heel pocket"
RECORD = ROOT / "examples" / "records" / "metric.csv"
COMMANDS = {
    "weigh": (), "curve": ("--case", "calm"), "explain": (), "drive": (), "brake": (), "wind": ("--step", "10deg"),
    "ballast": (),
}


def close(got, wanted, size):
    expect(abs(got - wanted) <= 1e-12 * size, got, wanted)


def with_additions(*texts):
    return [word for text in texts for word in ("--add", text)]


def rows_by_hand():
    """The deck is 23.6 m by 8.8 m, level at 0.85 m, from 0.6 m to 24.2 m."""
    plain = json_of("weigh", METRIC)
    added = json_of("weigh", METRIC, *with_additions(OVERLAY, CABLE, BLOCKS))
    overlay, cable = 8 * G0 * 23.6 * 8.8, 120 * G0
    by_name = {part["name"]: part for part in added["parts"]}
    close(by_name["overlay"]["weight_N"], overlay, overlay)
    close(by_name["overlay"]["closed_moment_Nm"], overlay * 12.4, overlay * 12.4)
    close(by_name["overlay"]["y_m"], 0.85, 1)
    close(by_name["cable"]["weight_N"], cable, cable)
    weight = plain["weight_N"] + overlay + cable - 5 * 40 * G0
    close(added["weight_N"], weight, weight)
    moment = plain["closed_moment_Nm"] + overlay * 12.4 + cable * 6 + 5 * 40 * G0 * 6.6
    close(added["closed_moment_Nm"], moment, 1e7)
    names = [part["name"] for part in plain["parts"]]
    expect_equal([name for name in by_name if name not in names], ["overlay", "cable"])


def curves_add_up():
    """The balance of all additions is the sum of what each one brings, at every angle."""
    def balance(*texts):
        rows = json_of("curve", METRIC, "--case", "calm", *with_additions(*texts))["cases"][0]["rows"]
        return [row["balance_Nm"] for row in rows]
    plain = balance()
    wanted = list(plain)
    for text in (OVERLAY, CABLE, BLOCKS):
        wanted = [sum_so_far + one - bare for sum_so_far, one, bare in zip(wanted, balance(text), plain)]
    for got, value in zip(balance(OVERLAY, CABLE, BLOCKS), wanted):
        close(got, value, 1e7)


def removal_restores():
    plain = json_of("weigh", METRIC)
    restored = json_of("weigh", METRIC, *with_additions(OVERLAY, "no overlay: -8 kg/m2 on deck", BLOCKS,
                                                       "back: +5 in upper heel pocket"))
    for key in ("weight_N", "closed_moment_Nm", "inertia_kg_m2"):
        close(restored[key], plain[key], 1e9)


def told_in_table(command):
    plain = run(command, METRIC, *COMMANDS[command])
    added = run(command, METRIC, *COMMANDS[command], *with_additions(OVERLAY, BLOCKS))
    lines = added.text.splitlines()
    expect_equal(lines[0], plain.text.splitlines()[0])
    expect_equal(lines[1:3], [f"with {OVERLAY}", f"with {BLOCKS}"])
    expect("with" not in plain.text.splitlines()[1].split(":")[0], plain)


def told_in_json(command):
    plain = run(command, METRIC, "--json", *COMMANDS[command])
    expect('"additions"' not in plain.text, plain)
    added = run(command, METRIC, "--json", *COMMANDS[command], *with_additions(OVERLAY, BLOCKS))
    expect_equal(read_json(added.text)["additions"], [OVERLAY, BLOCKS])


def told_in_plot(command):
    with folder() as place:
        run(command, METRIC, *COMMANDS[command], *with_additions(OVERLAY, "rail's @end: 5 kg at [1 m, 1 m]"), "--plot",
            place / "plot.gp")
        script = (place / "plot.gp").read_text(encoding="utf-8")
        head, _, body = script.partition("\nadditions = ")
        expect("with " in body.splitlines()[0] and OVERLAY in body.splitlines()[0], body.splitlines()[0])
        expect("additions" in body.partition("\n")[2], "no title ends with them")
        svg = run(command, METRIC, *COMMANDS[command], *with_additions(OVERLAY, "rail's @end: 5 kg at [1 m, 1 m]"),
                  "--plot", place / "plot.svg")
        drawn = (place / "plot.svg").read_text(encoding="utf-8")
        expect(OVERLAY in drawn and "@end: 5 kg" in drawn, "the picture does not tell them", svg)


def json_numbers_are_untouched():
    """Reading the object back to put the additions in changes no bit: a block in and out again."""
    plain = json_of("curve", METRIC)
    same = json_of("curve", METRIC, *with_additions("in: +1 in upper heel pocket", "out: -1 in upper heel pocket"))
    additions = same.pop("additions")
    expect_equal(len(additions), 2)
    expect_equal(same, plain)


def csv_has_the_row():
    rows = read_csv(run_well("weigh", METRIC, "--csv", *with_additions(OVERLAY)).text)
    names = [dict(zip(rows[0], row))["name"] for row in rows[1:]]
    expect("overlay" in names, names)


def removed_parts_are_drawn():
    with folder() as place:
        run_well("weigh", METRIC, "--add", "old deck: -20 kg/m2 on deck", "--plot", place / "plot.svg")
        expect("taken away" in (place / "plot.svg").read_text(encoding="utf-8"), "the legend does not tell")
        run_well("weigh", METRIC, "--plot", place / "plot.svg")
        expect("taken away" not in (place / "plot.svg").read_text(encoding="utf-8"), "told where nothing is")


def refused(texts, words):
    expect_refused(run("weigh", METRIC, *with_additions(*texts)), 2, *words)


def too_many():
    texts = [f"part {number}: 1 kg at [1 m, 1 m]" for number in range(64)]
    run_well("weigh", METRIC, *with_additions(*texts))
    expect_refused(run("weigh", METRIC, *with_additions(*texts, CABLE)), 2, "at most 64")


def measured_too():
    text = run("measure", METRIC, RECORD, *with_additions(OVERLAY)).text
    expect_equal(text.splitlines()[1], f"with {OVERLAY}")


claim("rows, weight and moment are those worked by hand", rows_by_hand)
claim("curves of several additions add up", curves_add_up)
claim("what is taken away again leaves the leaf as it was", removal_restores)
for name in COMMANDS:
    claim(f"{name}: the table tells additions under its first line", told_in_table, name)
    claim(f"{name}: JSON has them, and has no such member without", told_in_json, name)
    claim(f"{name}: the plot's title tells them, whatever characters they hold", told_in_plot, name)
claim("measure takes them too", measured_too)
claim("JSON's numbers keep their last bit", json_numbers_are_untouched)
claim("weigh's CSV has a row for the part", csv_has_the_row)
claim("weigh's plot tells what is taken away", removed_parts_are_drawn)
REFUSED = {
    "a wrong dimension": (("overlay: 35 kg/m on deck",),
                          ("--add 'overlay: 35 kg/m on deck': column 10: ", "a weight per area such as")),
    "an unknown surface": (("overlay: 35 kg/m2 on dekc",), ("column 22: ", '"deck", "counterweight face"')),
    "a name that a part has": (("toe lock: 35 kg/m2 on deck",), ("column 1: ", "another name")),
    "a name that an addition has": ((OVERLAY, OVERLAY), (f"--add '{OVERLAY}': column 1: ", "another name")),
    "blocks over the room": (("blocks: +151 in upper heel pocket",), ("column 17: ", "150 of at most 300", "+150")),
    "a leaf that weighs nothing": (("gone: -300 t at [1 m, 1 m]",), ("column 7: ", "nothing is left")),
    "an empty text": (("",), ("--add '': column 1: ", "overlay: 35 kg/m2 on deck")),
    "no place": (("overlay: 35 kg/m2",), ("column 18: ", "on SURFACE")),
    "a decimal comma": (("cable: 1,5 kg at [1 m, 1 m]",), ("column 8: ", "decimal mark")),
}
for about, (given, wanted) in REFUSED.items():
    claim(f"{about} is refused at its place", refused, given, wanted)
claim("the 65th addition is refused", too_many)

if __name__ == "__main__":
    main()
