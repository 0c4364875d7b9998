# SPDX-License-Identifier: GPL-3.0-or-later
"""The pictures of cycle: whole, drawn without complaint, with all that belongs in them, no text cut or on another."""

import itertools
import math
import os
import re

from harness import EXAMPLES, ROOT, claim, expect, expect_equal, folder, main, quoted, run
from machinery import answer, asked, random_leaf, wheel, written
from moving import BRAKE, DIRECTIONS, STEPS, balanced
from pictures import HOSTILE, IS_WHOLE, apart, letters, needs_gnuplot, squeezed, words_of

CYLINDER = ROOT / "examples" / "cylinder.yaml"
SWEEP = ("--sweep", "--fault", "power lost")
VIEWS = {
    "a run": (), "a fault": ("--fault", "power lost at 40deg closing"), "a sweep": SWEEP, "the switches": ("--switches",),
    "the operation": ("--operation",),
}
LETTER = 0.57  # em, of the fonts that the pictures ask for, on the average of many letters
CALM = [{"name": "calm"}]


def drawn(leaf, arguments, kind="svg"):
    needs_gnuplot(kind)
    source, data = ("-", leaf) if isinstance(leaf, bytes) else (leaf, None)
    with folder() as place:
        result = asked("cycle", source, *arguments, "--plot", f"plot.{kind}", stdin=data, cwd=place)
        expect_equal(result.out, b"", "alone a plot stands in place of the table")
        expect_equal(os.listdir(place), [f"plot.{kind}"])
        return IS_WHOLE[kind]((place / f"plot.{kind}").read_bytes())


def script_of(leaf, *arguments):
    with folder() as place:
        asked("cycle", "-", *arguments, "--plot", "plot.gp", stdin=leaf, cwd=place)
        return (place / "plot.gp").read_text(encoding="utf-8")


def block(text, name):
    return [[float(number) for number in line.split()]
            for line in re.search(rf"(?s)\${name} << EOD\n(.*?)EOD\n", text)[1].splitlines()]


def whole_example(leaf, arguments):
    apart(drawn(leaf, arguments), LETTER)


def run_shows(leaf):
    """Both directions with their panels; every event with number, time and name."""
    words = words_of(drawn(leaf, ()))
    whole = answer("cycle", leaf)
    cylinders = leaf == CYLINDER
    effort = "pressure in each cylinder, " if cylinders else "torque of each motor, "
    for wanted in ("Opening", "Closing", "near", "full", "time, s", "opening angle, degrees"):
        expect(wanted in words, f"{wanted} is not drawn", words)
    for begins, times in ((effort, 2), ("speed, °/s, over", 2), ("angle, degrees (full", 2), ("the same over the last seconds", 2), ("wind, ", 0), ("Caution: ", 1),
                          (f"{whole['leaf']}: motion in time, case {whole['case']}", 1)):
        expect_equal(sum(text.startswith(begins) for text in words), times, begins, words)
    for direction in DIRECTIONS:
        events = [event for event in whole["events"] if event["direction"] == direction]
        for number, event in enumerate(events, start=1):
            expect(str(number) in words and f"{event['t_s']:.2f} s" in words, event, words)
            expect(any(text.startswith(event["event"]) for text in words), event, words)


def curves_are_the_run():
    """The points of the curves, however coarse the trace that is asked for, and the events on them."""
    text = script_of(balanced(), "--every", "100s")
    whole = answer("cycle", "-", stdin=balanced())
    for direction in DIRECTIONS:
        points = block(text, direction)
        expect(len(points) > 900, len(points))
        by_time = {round(point[0], 6): point for point in points}
        for row in whole[direction]["trace"]:
            near = by_time.get(round(row["t_s"], 6))
            if near and row["t_s"] > 0:
                for got, key in zip(near[1:5], ("angle_deg", "speed_deg_s", "motor_Nm", "limit_Nm")):
                    expect(abs(got - row[key]) <= 1e-6 * max(1, abs(row[key])), key, near, row)
        events = [event for event in whole["events"] if event["direction"] == direction]
        for got, event in zip(block(text, f"events_{direction}"), events, strict=True):
            expect(all(abs(a - b) < 1e-6 for a, b in zip(got, (event["t_s"], event["angle_deg"], event["speed_deg_s"]))),
                   got, event)


def travel_is_drawn_whole():
    """The axis of the angles is that of the travel, wherever the leaf ended."""
    text = script_of(balanced(), "--fault", "power lost at 40deg closing")
    expect("set xrange [0:60]\n" in text, text[-1500:])


def sweep_is_the_rows():
    text = script_of(balanced(), *SWEEP)
    rows = answer("cycle", "-", *SWEEP, stdin=balanced())["sweep"]
    for direction in DIRECTIONS:
        wanted = [row for row in rows if row["direction"] == direction]
        for got, row in zip(block(text, direction), wanted, strict=True):
            expect(all(abs(a - b) < 1e-6 for a, b in
                       zip(got, (row["fault_angle_deg"], row["run_on_deg"], row["peak_deceleration_deg_s2"]))), got, row)
            expect(got[3] == 10 and math.isnan(got[4]) and math.isnan(got[5]), got)
    words = words_of(drawn(balanced(), SWEEP))
    for wanted in ("opening", "closing", "not held below", "how far it runs on from the fault in its direction of travel, degrees",
                   "hardest deceleration with the power off, °/s²"):
        expect(wanted in words, wanted, words)
    expect(not any("NOT SAFE" in text for text in words), "a bad end that there is not", words)


def what_is_not_safe_has_no_factor():
    """A leaf that is not met leaves a gap in the factors, whatever the brakes hold, and a cross with words."""
    leaf = written(wheel())
    expect(words_of(drawn(leaf, SWEEP)).count("opening: NOT SAFE") == 2, "a bad end is not drawn")
    rows = [row for row in answer("cycle", "-", *SWEEP, stdin=leaf)["sweep"] if row["direction"] == "opening"]
    expect({row["met"] for row in rows} == {True, False}, rows)
    for point, row in zip(block(script_of(leaf, *SWEEP), "opening"), rows, strict=True):
        if row["met"]:
            expect(point[3] > 0 and math.isnan(point[4]) and math.isnan(point[5]), point)
        else:
            expect(math.isnan(point[3]) and abs(point[4] - row["run_on_deg"]) < 1e-6 and point[5] == 0, point, row)


def wind_is_drawn():
    """A run with a gust shows the wind with its peak; the title tells the gust."""
    gust = ("--gust", "90 Pa for 8 s at 20 s", "--every", "1s")
    words = words_of(drawn(balanced(), gust))
    expect_equal(sum(re.fullmatch(r"wind, N/m² \(gust as 1 - cosine; peak (90.00|89.9\d) at 2[34].\d\d s\)", text) is not None
                     for text in words), 2, words)
    winds = [point[6] for point in block(script_of(balanced(), *gust), "opening")]
    expect(89.9 < max(winds) <= 90 and winds[0] == winds[-1] == 0, max(winds))
    expect(not any(text.startswith("wind, ") for text in words_of(drawn(balanced(), ()))), "wind where there is none")
    apart(drawn(balanced(), gust), LETTER)


def last_seconds():
    """Events that share a number over the whole run are apart over its last seconds, and told as they were."""
    text = script_of(balanced())
    panels = text.split("the same over the last seconds")
    events = [event for event in answer("cycle", "-", stdin=balanced())["events"] if event["direction"] == "opening"]
    start, end = map(float, re.search(r"set xrange \[([\d.]+):([\d.]+)\]", panels[1]).groups())
    expect(events[-5]["t_s"] < start + 3 and 0 < end - start < 4 and end >= events[-1]["t_s"] - 1e-6, start, end)
    upper = re.findall(r"set label '(\d+–\d+|\d+)' at first", panels[0])
    lower = re.findall(r"set label '(\d+–\d+|\d+)' at first", panels[1].split("torque of each motor")[0])
    expect(f"–{len(events)}" in upper[-1] and len(lower) > 1, upper, lower)
    lost = script_of(balanced(), "--fault", "power lost at 51.9deg opening")
    expect("does nothing: the power is off" in lost and "does nothing" not in text, "the list of events tells another run")


def switches_show():
    words = words_of(drawn(balanced(), ("--switches", "--drift", "0.5deg")))
    for wanted in ("early: 51.50°", "given: 52.00°", "late: 52.50°", "early: 8.50°", "given: 8.00°", "late: 7.50°", "nearest",
                   "near", "full", "opening: speed in its direction, °/s",
                   "closing: speed in its direction, °/s"):
        expect(wanted in words, wanted, words)
    text = script_of(balanced(), "--switches")
    found = answer("cycle", "-", "--switches", stdin=balanced())["switches"]
    for direction, name in itertools.product(DIRECTIONS, ("early", "given", "late")):
        points = block(text, f"{direction}_{name}")
        near, sign = found[direction][name]["near_switch_deg"], 1 if direction == "opening" else -1
        fast = [angle for angle, speed in points if abs(speed - 1.2) < 1e-6]
        expect(abs(max(sign * angle for angle in fast) - sign * near) < 0.2, direction, name, near)
    back = balanced(cases=[{"name": "wind", "wind": {"pressure": "90 Pa"}}])
    speeds = [speed for _, speed in block(script_of(back, "--switches"), "opening_given")]
    expect(min(speeds) < -0.01, "a leaf that runs back is drawn as one that runs on", min(speeds))


def operation_shows():
    leaf = balanced(steps=STEPS)
    words = words_of(drawn(leaf, ("--operation",)))
    line = answer("cycle", "-", "--operation", stdin=leaf)["operation"]
    for step in line["steps"]:
        expect(step["name"] in words and f"{step['end_s'] - step['start_s']:.0f} s" in words, step, words)
    expect(f"road closed: {line['road_closed_s']:.0f} s" in words, words)
    bars = block(script_of(leaf, "--operation"), "steps")
    wanted = [[step["start_s"], step["end_s"], len(STEPS) - i, step["motion"] != "still"] for i, step in enumerate(line["steps"])]
    for got, bar in zip(bars, wanted, strict=True):
        expect(all(abs(a - b) < 1e-5 for a, b in zip(got, bar)), got, bar)
    gale = balanced(steps=STEPS, cases=[{"name": "gale", "wind": {"pressure": "3 kPa"}}])
    expect("no time line: the leaf does not arrive" in words_of(drawn(gale, ("--operation",))), "nothing is told")


def beside_a_format(arguments):
    leaf = balanced(steps=STEPS)
    with folder() as place:
        for form in ("--json", "--csv"):
            result = asked("cycle", "-", *arguments, form, "--plot", "plot.gp", stdin=leaf, cwd=place)
            expect_equal(result.out, asked("cycle", "-", *arguments, form, stdin=leaf).out)


def named(name):
    """The name in every place that is drawn."""
    steps = [{**step, "name": quoted(name + str(i))} for i, step in enumerate(STEPS)]
    return written(wheel(leaf=quoted(name), steps=steps, cases=[{"name": quoted(name)}],
                         brakes=[{**BRAKE, "name": quoted(name)}]))


def drawn_as_text(name, view):
    needs_gnuplot()
    with folder() as place:
        result = run("cycle", "-", *VIEWS[view], "--plot", "plot.svg", stdin=named(name), cwd=place)
        expect_equal(os.listdir(place), ["plot.svg"], "the name was obeyed")
        expect_equal((result.status, result.errors), (0, ""), result)
        root = IS_WHOLE["svg"]((place / "plot.svg").read_bytes())
        expect(squeezed(letters(root)).count(squeezed(name[:24])) >= 2, f"not drawn: {name}", words_of(root))


SMALL = {
    "a travel of almost nothing": written(
        random_leaf(1, "ratio"), opens_to="1e-3 degree", duty=None, cases=CALM,
        travel={**wheel()["travel"], "near_open": "6e-4 degree", "near_closed": "3e-4 degree"}),
    "a leaf that stalls at once": balanced(cases=[{"name": "x", "wind": {"pressure": "60 kPa", "law": "normal"}}]),
    "a leaf that nothing stops": written(wheel()),
    "a full switch near the near switch": balanced(travel={**wheel()["travel"], "full_open": "52.5 degree",
                                                           "full_closed": "7.5 degree"}),
    "US units": written(random_leaf(3, "ratio"), units="us", duty=None),
    "no trunnion, one letter": written(random_leaf(1, "rack"), leaf="x", trunnion=None),
}


def small_leaves_are_drawn(leaf):
    for view in ("a run", "a fault", "a sweep", "the switches"):
        text = tuple(word.replace("40deg", "0.0005deg") if "1e-3 degree" in leaf.decode() else word for word in VIEWS[view])
        drawn(leaf, text)


def long_names_are_not_cut_off(view):
    leaf = random_leaf(4, "ratio")
    steps = [{**step, "name": f"step {i} " + "of an operation " * 5} for i, step in enumerate(STEPS)]
    brakes = [{**brake, "name": "brake " * 20 + str(i)} for i, brake in enumerate(leaf["brakes"])]
    cases = [{"name": "case of wind from the heel and ice " * 3}]
    apart(drawn(written(leaf, leaf=("long leaf " * 12).strip(), cases=cases, steps=steps, brakes=brakes, duty=None),
                (*VIEWS[view], "--add", "a heavy new lamp: 100 kg at [3 m, 1 m]")), LETTER)


def many_events_stay_apart():
    """Gust after gust: what has no room is counted."""
    texts = [word for angle in range(5, 37, 2) for word in ("--fault", f"gust 1 Pa for 1 s at {angle}deg opening")]
    root = drawn(balanced(), texts)
    apart(root, LETTER)
    expect(any(re.fullmatch(r"and \d+ more", text) for text in words_of(root)), words_of(root))


def stands_still_for_long():
    """A leaf that its drive cannot move, and 30 years of wind: the curves have as many points as any others."""
    with folder() as place:
        (place / "wind.csv").write_text("time [s],speed [m/s]\n0,1\n1e9,1\n", encoding="utf-8")
        asked("cycle", ROOT / "examples" / "strut.yaml", "--add", "overlay: 35 kg/m2 on deck", "--wind-record", "wind.csv",
              "--plot", "plot.gp", cwd=place)
        script = (place / "plot.gp").read_text(encoding="utf-8")
    for direction in DIRECTIONS:
        expect(len(block(script, direction)) < 2000, direction, len(block(script, direction)))
    expect(len(block(script, "closing")) > 900, "the other direction moves", len(block(script, "closing")))


def repeats(view):
    needs_gnuplot()
    with folder() as place:
        for name in ("first.svg", "second.svg"):
            asked("cycle", "-", *VIEWS[view], "--plot", name, stdin=balanced(steps=STEPS), cwd=place)
        expect_equal((place / "first.svg").read_bytes(), (place / "second.svg").read_bytes())


for example in EXAMPLES:
    claim(f"{example.stem}: what belongs in the picture of a run stands in it", run_shows, example)
    for view in ("a run", "a fault", "a sweep", "the switches"):
        claim(f"{example.stem}, {view}: no text is cut off or lies on another", whole_example, example, VIEWS[view])
for view, ending in itertools.product(VIEWS, ("svg", "png", "pdf", "gp")):
    claim(f"{view} as a whole {ending}", drawn, balanced(steps=STEPS), VIEWS[view], ending)
claim("the operation: no text is cut off or lies on another", whole_example, balanced(steps=STEPS), VIEWS["the operation"])
claim("the curves are the run, the points its events", curves_are_the_run)
claim("the whole travel is drawn", travel_is_drawn_whole)
claim("the curves of a sweep are its rows", sweep_is_the_rows)
claim("what is not safe has no factor but a cross with words", what_is_not_safe_has_no_factor)
claim("the wind of a gust is drawn", wind_is_drawn)
claim("the last seconds are drawn by themselves", last_seconds)
claim("the picture of the switches", switches_show)
claim("the picture of the operation", operation_shows)
for view in VIEWS:
    claim(f"{view}: --plot beside --json and --csv gives both", beside_a_format, VIEWS[view])
    claim(f"{view}: the same leaf gives the same picture", repeats, view)
    claim(f"{view}: long names are not cut off at the edge", long_names_are_not_cut_off, view)
claim("many events stay apart", many_events_stay_apart)
claim("a leaf that stands still for long is drawn at once", stands_still_for_long)
for about, text in SMALL.items():
    claim(f"{about}: all is drawn", small_leaves_are_drawn, text)
# The other views draw names in their titles alone, by the same code.
for name, view in itertools.product(HOSTILE, ("a run", "the operation")):
    claim(f"{name} is drawn in {view} and not obeyed", drawn_as_text, name, view)

if __name__ == "__main__":
    main()
