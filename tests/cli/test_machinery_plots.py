# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of drive, brake and wind: whole, drawn without complaint, with all that belongs in them, none cut."""

import itertools
import os
import re

from harness import EXAMPLES, claim, expect, expect_equal, folder, main, quoted, run
from machinery import answer, asked, random_leaf, wheel, written
from pictures import HOSTILE, IS_WHOLE, apart, letters, needs_gnuplot, squeezed, words_of

KINDS = ("svg", "png", "pdf", "gp")
NEEDS = {"drive": "drive", "brake": "holding", "wind": "wind_limits"}
CAUTION = (
    "Caution: computed from the description alone, not a sealed design. Check every value against the code that",
    "governs; local rules and a licensed engineer decide.",
)
STRONG = [{"name": "b", "count": 2, "torque": "9000 kN m", "ratio": 900, "delay": "0.1 s", "set_time": "0.1 s"}]


def drawn(command, leaf, kind="svg", *arguments):
    """The picture of a leaf, an example or the bytes of one; alone it stands in place of the table."""
    needs_gnuplot(kind)
    with folder() as place:
        source, data = ("-", leaf) if isinstance(leaf, bytes) else (leaf, None)
        result = asked(command, source, "--plot", f"plot.{kind}", *arguments, stdin=data, cwd=place)
        expect_equal(result.out, b"", "alone a plot stands in place of the table")
        expect_equal(os.listdir(place), [f"plot.{kind}"])
        return IS_WHOLE[kind]((place / f"plot.{kind}").read_bytes())


def beside_a_format(command, leaf):
    with folder() as place:
        for form in ("--json", "--csv"):
            result = asked(command, leaf, form, "--plot", "plot.gp", cwd=place)
            expect_equal(result.out, asked(command, leaf, form).out)


def drive_shows(leaf):
    words = words_of(drawn("drive", leaf))
    whole = answer("drive", leaf)
    out = ["opening, one motor out", "closing, one motor out"]
    cases = [row["name"] for row in whole["cases"]]
    for wanted in ("allowed", "opening", "closing", *cases, *(out if whole["one_motor_out"] else ())):
        expect(wanted in words, f"{wanted} is not drawn", words)
    expect(whole["one_motor_out"] or not set(out) & set(words), "a motor is out that there is not", words)
    expect(any(text.startswith(f"{whole['leaf']}: ") for text in words), "the title lacks the leaf", words)


def brake_shows(leaf):
    words = words_of(drawn("brake", leaf))
    whole = answer("brake", leaf)
    unit = "kip ft" if leaf.stem == "us" else "kN m"
    for wanted in ("opening angle, degrees", f"demand times required factor, {unit}", "capacity, all brakes",
                   "capacity, strongest out", *(row["name"] for row in whole["cases"])):
        expect(wanted in words, f"{wanted} is not drawn", words)
    expect(any(text.startswith(f"{whole['leaf']}: ") for text in words), "the title lacks the leaf", words)


def card_shows(leaf):
    """The caution, every action with its limit in all units and its curve, what comes down, the posted limit."""
    words = words_of(drawn("wind", leaf))
    whole = answer("wind", leaf)
    for wanted in ("Wind card", whole["leaf"], "m/s", "km/h", "mph", "kn", "up to Beaufort", *CAUTION, "posted limit",
                   f"highest wind, {'mph' if leaf.stem == 'us' else 'km/h'}"):
        expect(wanted in words, f"{wanted} is not drawn", words)
    expect(any(text.startswith("Posted limit: ") for text in words), words)
    for limit in whole["limits"]:
        expect_equal(words.count(limit["action"]), 2, limit["action"], words)
        at = words.index(limit["action"])
        speed = limit["limit_m_s"]
        expect_equal(words[at + 1:at + 5], [f"{speed / size:.1f}" for size in (1, 1 / 3.6, 0.44704, 1852 / 3600)])
    down = [text for text in words if "raised leaf" in text]
    expect_equal([("CAUTION" in text, "can be brought down" in text) for text in down],
                 [(not whole["comes_down_again"], whole["comes_down_again"])], words)


def bars_are_the_use(kind, left):
    """The numbers under the bars are the use, in per cent; a bar for one motor out only where one is left."""
    leaf = random_leaf(1, kind)
    leaf = written(leaf, motors={**leaf["motors"], "installed": left + 1, "running": left + 1})
    whole = answer("drive", "-", stdin=leaf)
    with folder() as place:
        asked("drive", "-", "--plot", "plot.gp", stdin=leaf, cwd=place)
        text = (place / "plot.gp").read_text(encoding="utf-8")
    block = re.search(r"(?s)\$use << EOD\n(.*?)EOD\n", text)[1].splitlines()
    uses = [row["use"] * 100 for row in whole["cases"]]
    outs = [row["use"] * 100 for row in whole["one_motor_out"]]
    for i, line in enumerate(block):
        wanted = [i, *uses[2 * i:2 * i + 2], *(outs[2 * i:2 * i + 2] or [0, 0])]
        got = [float(number) for number in line.split()]
        expect(len(got) == 5 and all(abs(a - b) <= 1e-5 * abs(b) for a, b in zip(got, wanted)), got, wanted)
    expect_equal(len(block) * 2, len(uses))
    expect_equal("one motor out" in text, bool(outs))


def curves_are_the_rows():
    """The points of the card's curves are the rows of wind in the leaf's units; brake's are demand times factor."""
    for units, size in (("metric", 1 / 3.6), ("us", 0.44704)):
        leaf = written(random_leaf(4, "strut"), units=units)
        limits = answer("wind", "-", stdin=leaf)["limits"]
        with folder() as place:
            asked("wind", "-", "--plot", "plot.gp", stdin=leaf, cwd=place)
            text = (place / "plot.gp").read_text(encoding="utf-8")
        for i, limit in enumerate(limits):
            block = re.search(rf"(?s)\$action{i} << EOD\n(.*?)EOD\n", text)[1]
            got = [tuple(map(float, line.split())) for line in block.splitlines() if line]
            rows = [row for row in limit["rows"] if row["speed_m_s"] is not None]
            wanted = [(row["angle_deg"], row["speed_m_s"] / size) for row in rows]
            expect_equal(len(got), len(wanted))
            for point, row in zip(got, wanted):
                expect(all(abs(a - b) <= 1e-7 * abs(b) for a, b in zip(point, row)), limit["action"], point, row)
    leaf = random_leaf(1, "ratio")
    with folder() as place:
        asked("brake", "-", "--plot", "plot.gp", stdin=written(leaf), cwd=place)
        text = (place / "plot.gp").read_text(encoding="utf-8")
    for i, (row, holding) in enumerate(zip(answer("brake", "-", stdin=written(leaf))["cases"], leaf["holding"])):
        block = re.search(rf"(?s)\$holding{i} << EOD\n(.*?)EOD\n", text)[1]
        largest = max(float(line.split()[1]) for line in block.splitlines())
        wanted = row["demand_Nm"] * holding.get("factor", 1) / 1e3
        expect(wanted * (1 - 1e-3) <= largest <= wanted * (1 + 1e-7), largest, wanted)


def nothing_is_cut_off(command, leaf):
    apart(drawn(command, leaf))


def named(name):
    leaf = random_leaf(4, "ratio")
    cases = [{"name": quoted(name), "wind": {"pressure": "100 Pa"}}]
    holding = [{"name": quoted(name), "wind": {"pressure": "100 Pa"}}]
    brakes = [{**leaf["brakes"][0], "name": quoted(name)}]
    return written(leaf, leaf=quoted(name), cases=cases, holding=holding, brakes=brakes, duty=None)


def drawn_as_text(name, command):
    """A name in every place that is drawn comes out as it is, and nothing else happens."""
    needs_gnuplot()
    with folder() as place:
        for kind in ("svg", "gp"):
            result = run(command, "-", "--plot", f"plot.{kind}", stdin=named(name), cwd=place)
            expect(set(os.listdir(place)) <= {"plot.gp", "plot.svg"}, "the name was obeyed", os.listdir(place))
            # Of wind beyond the motors' law there may be a word.
            said = [line for line in result.errors.splitlines() if not line.startswith("trunnion: warning: to ")]
            expect_equal((result.status, said), (0, []), result)
            root = IS_WHOLE[kind]((place / f"plot.{kind}").read_bytes())
            drawn_letters = squeezed(letters(root))
            expect(squeezed(name) in drawn_letters, f"not drawn in {kind}: {name}", words_of(root))
            if command != "wind":  # a case or holding as well, of which long names are shortened
                short = squeezed(name[:24])
                expect(drawn_letters.count(short) >= 2, f"drawn only once in {kind}: {name}", words_of(root))
        expect_equal(sorted(os.listdir(place)), ["plot.gp", "plot.svg"])


SMALL = {
    "nothing is asked": written(wheel(
        surfaces=None, brakes=STRONG, holding=[{"name": "h", "wind": {"pressure": "0 Pa"}}],
        wind_limits={"law": "projected"}, posted_wind="12 m/s")),
    "all fails in calm air": written(
        random_leaf(1, "ratio"), motors={"installed": 1, "power": "1 W", "speed": "900 rpm"}, duty=None,
        brakes=[{"name": "b", "torque": "1 N m", "ratio": 1000, "delay": "0.1 s", "set_time": "0.1 s"}]),
    "nothing limits and nothing is posted": written(
        random_leaf(1, "ratio"), posted_wind=None, brakes=STRONG,
        motors={"installed": 2, "power": "9000 kW", "speed": "900 rpm"}),
    "only the brakes have no limit": written(random_leaf(4, "ratio"), brakes=STRONG),
    "a travel of almost nothing": written(random_leaf(1, "strut"), opens_to="1e-6 degree", travel=None, duty=None,
                                          cases=[{"name": "calm"}]),
    "no trunnion and a name of one letter": written(random_leaf(1, "rack"), leaf="x", trunnion=None),
}


def small_leaves_are_drawn(leaf):
    for command, kind in itertools.product(NEEDS, ("svg", "gp")):
        drawn(command, leaf, kind)


def long_names_are_not_cut_off(command):
    """120 characters are drawn within the page, or shortened to it."""
    leaf = random_leaf(4, "ratio")
    cases = [{"name": f"case {i} of wind from the heel and ice", "wind": {"pressure": "90 Pa"}} for i in range(8)]
    nothing_is_cut_off(command, written(leaf, leaf=("long leaf " * 12).strip(), cases=cases, duty=None))


def repeats(command, leaf):
    needs_gnuplot()
    with folder() as place:
        for name in ("first.svg", "second.svg"):
            asked(command, leaf, "--plot", name, cwd=place)
        expect_equal((place / "first.svg").read_bytes(), (place / "second.svg").read_bytes())


SHOWS = {"drive": drive_shows, "brake": brake_shows, "wind": card_shows}
for asks, example in itertools.product(NEEDS, EXAMPLES):
    if f"\n{NEEDS[asks]}:" not in example.read_text(encoding="utf-8"):
        continue
    for ending in KINDS:
        claim(f"{asks} draws a whole {ending} of {example.stem}", drawn, asks, example, ending)
    claim(f"{asks}, {example.stem}: what belongs in the picture stands in it", SHOWS[asks], example)
    claim(f"{asks}, {example.stem}: no text is cut off or lies on another", nothing_is_cut_off, asks, example)
for asks in NEEDS:
    claim(f"{asks}: --plot beside --json and --csv gives both", beside_a_format, asks, EXAMPLES[1])
    claim(f"{asks}: the same leaf gives the same picture", repeats, asks, EXAMPLES[1])
for sort, remain in (("ratio", 1), ("strut", 2), ("ratio", 0), ("cylinder", 1)):
    claim(f"{sort}, {remain + 1} motors: the bars are the use in per cent", bars_are_the_use, sort, remain)
for asks in NEEDS:
    claim(f"{asks}: a long name is not cut off at the edge", long_names_are_not_cut_off, asks)
claim("the curves of the card and of brake are the rows", curves_are_the_rows)
for words, text in SMALL.items():
    claim(f"{words}: all is drawn", small_leaves_are_drawn, text)
for words, asks in itertools.product(HOSTILE, NEEDS):
    claim(f"{words} is drawn by {asks} and not obeyed", drawn_as_text, words, asks)

if __name__ == "__main__":
    main()
