#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Draws the figures of this folder from what the tool says of its leaves.

    draw.py TRUNNION FOLDER

TRUNNION is the tool, FOLDER takes the figures. They carry their own ground, light or dark as the reader has it, and
tell curves apart by a word at each and by its dashes, never by colour alone.
"""

import json
import math
import pathlib
import subprocess
import sys

from figure import Chart, Figure

HERE = pathlib.Path(__file__).resolve().parent
ANGLE = ("opening angle", "°", 0, 80, 10)
PARTS = ((10, 0.5, "100 kN"), (20, 1.0, "10 kN"), (-4, -0.2, "250 kN"))


class Tool:
    def __init__(self, path):
        self.path = path

    def json(self, command, leaf, *words):
        words = [str(HERE / word) if word.endswith(".csv") else word for word in words]
        command = [self.path, command, str(HERE / leaf), *words, "--json"]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode not in (0, 1):
            sys.exit(f"{done.args}: {done.stderr}")
        return json.loads(done.stdout)


class Side:
    """A side view: metres from the trunnion axis to places in the figure, turned by the opening angle."""

    def __init__(self, figure, origin, scale, angle=0.0):
        self.figure, self.origin, self.scale = figure, origin, scale
        self.cos, self.sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))

    def at(self, x, y):
        turned = (x * self.cos - y * self.sin, x * self.sin + y * self.cos)
        return self.origin[0] + self.scale * turned[0], self.origin[1] - self.scale * turned[1]

    def line(self, style, *points):
        self.figure.path(style, [self.at(*point) for point in points])

    def leaf(self, style):
        """The practice leaf: deck, arms, counterweight with its pocket, toe lock."""
        self.line(f"{style} deck", (0, 0.5), (20, 0.5))
        self.line(style, (0, 0), (0, 0.5), (-2.8, -0.2))
        self.line(f"{style} closed", (-5.2, -1.3), (-2.8, -1.3), (-2.8, 0.9), (-5.2, 0.9))
        self.line(f"{style} closed", (-4.5, 0.2), (-3.5, 0.2), (-3.5, 0.8), (-4.5, 0.8))
        self.line(f"{style} closed", (19.6, 0.6), (20.2, 0.6), (20.2, 1.3), (19.6, 1.3))

    def trunnion(self):
        self.figure.dot("axis", self.at(0, 0), 6)


def balance(tool):
    weighed = tool.json("weigh", "balance.yaml")
    figure = Figure(760, 640, "The practice leaf, closed and raised, with its weights and its centre of gravity")
    Side(figure, (200, 500), 24, 60).leaf("ghost")
    side = Side(figure, (200, 500), 24)
    side.leaf("body")
    for x, y, words in PARTS:
        figure.arrow("force one", side.at(x, y), (side.at(x, y)[0], side.at(x, y)[1] + 50))
        shift, anchor = (8, "start") if x > 0 else (-8, "end")
        figure.text(words, (side.at(x, y)[0] + shift, side.at(x, y)[1] + 48), anchor)
    figure.text("40 kN in the pocket", (side.at(-4, 1.2)[0], side.at(-4, 1.2)[1] - 4), "middle")
    figure.text("girders and deck", (side.at(8, 0.5)[0], side.at(8, 0.5)[1] - 10), "middle")
    figure.text("toe lock", (side.at(20, 1.3)[0], side.at(20, 1.3)[1] - 6), "middle")
    figure.text("raised to 60°", (side.at(5.4, 10.6)[0], side.at(5.4, 10.6)[1]), "end")
    side.trunnion()
    figure.text("trunnion", (210, 528))
    centre_of_gravity(figure, weighed)
    return figure


def centre_of_gravity(figure, weighed):
    """The centre of gravity lies too near the axis to be seen beside a leaf: drawn on its own."""
    x0, y0, scale = 500, 300, 1200
    x, y = scale * weighed["x_m"], scale * weighed["y_m"]
    figure.box("panel", (470, 150), 250, 200)
    figure.text("near the trunnion, enlarged", (595, 172), "middle")
    figure.path("thin", [(x0, y0), (x0 + 190, y0)])
    figure.path("two", [(x0, y0), (x0 + x, y0 - y)])
    figure.arc("thin", (x0, y0), 60, weighed["angle_deg"])
    figure.dot("axis", (x0, y0), 6)
    figure.dot("two fill", (x0 + x, y0 - y), 6)
    figure.text(f"α {weighed['angle_deg']:.2f}°", (x0 + 66, y0 - 12))
    figure.text("R 0.125 m", (x0 + x / 2 - 8, y0 - y / 2 - 10), "end")
    figure.text(f"W {weighed['weight_N'] / 1e3:.0f} kN", (x0 + x + 12, y0 - y))
    figure.text("axis", (x0, y0 + 24), "middle")


def moment(tool):
    rows = tool.json("curve", "balance.yaml", "--step", "1deg")["cases"][0]["rows"]
    chart = Chart("The balance moment against the opening angle", ANGLE,
                  ("moment", "kN m", -30, 50, 10))
    chart.zero()
    chart.curve("one", [(row["angle_deg"], row["balance_Nm"] / 1e3) for row in rows])
    neutral = tool.json("weigh", "balance.yaml")["neutral_angle_deg"]
    chart.mark("two", (neutral, 0), f"neutral at {neutral:.2f}°", (10, -12))
    chart.mark("two", (0, 40), "A, closed: 40 kN m", (14, -8))
    chart.mark("two", (60, rows[60]["balance_Nm"] / 1e3), "−5.981 kN m at 60°", (-10, 22), "end")
    chart.words((18, 12), "closes by itself")
    chart.words((50, -24), "opens by itself")
    return chart


def wind(tool):
    told = tool.json("explain", "wind.yaml", "--at", "60deg", "--case", "working wind")
    force = next(step["value"] for step in told["steps"] if step["formula"].startswith("F = p"))
    figure = Figure(760, 600, "The leaf at 60° in wind from the heel, on its vertical projection")
    side = Side(figure, (300, 450), 22, 60)
    side.leaf("body")
    side.trunnion()
    (x, y), (_, foot), (_, top) = side.at(10, 0.5), side.at(0, 0.5), side.at(20, 0.5)
    for height in range(int(top) + 20, int(foot), 44):
        figure.arrow("wind", (60, height), (130, height))
    figure.text("wind from the heel", (60, top - 2))
    figure.arrow("force two", (x - 110, y), (x - 6, y))
    figure.text(f"F {force / 1e3:.4f} kN", (x - 114, y - 10), "middle")
    figure.path("one dashed", [(640, top), (640, foot)])
    figure.path("thin", [(side.at(20, 0.5)[0] + 12, top), (650, top)])
    figure.path("thin", [(side.at(0, 0.5)[0] + 150, foot), (650, foot)])
    figure.text("L sin β", (650, (top + foot) / 2))
    figure.path("thin", [(x + 8, y), (560, y)])
    figure.measure((550, y), (550, 450))
    figure.text(f"Y {told['wind_opening_Nm'] / force:.5f} m", (542, (y + 450) / 2), "end")
    figure.path("thin", [(300, 450), (560, 450)])
    figure.arc("thin", (300, 450), 70, 60)
    figure.text("60°", (366, 412))
    figure.text("trunnion", (310, 476))
    figure.text(f"F Y = {told['wind_opening_Nm'] / 1e3:.3f} kN m tends to close the leaf", (400, 540))
    return figure


def drive(tool):
    cases = {case["name"]: case["rows"] for case in tool.json("curve", "drive.yaml", "--step", "1deg")["cases"]}
    chart = Chart("Demand at the leaf, in calm air and in the working wind", ANGLE,
                  ("demand", "kN m", -50, 150, 25), right=150)
    chart.zero()
    for style, case, way, words in (
        ("one", "calm", "opening", "opening, calm"), ("one dashed", "calm", "closing", "closing, calm"),
        ("two", "working wind", "opening", "opening, wind"), ("two dashed", "working wind", "closing", "closing, wind"),
    ):
        chart.curve(style, [(row["angle_deg"], row[f"{way}_Nm"] / 1e3) for row in cases[case]], words)
    chart.words((24, -40), "below zero the leaf drives the machinery")
    return chart


def brakes(tool):
    points = []
    for angle in range(0, 81, 4):
        steps = tool.json("explain", "brakes.yaml", "--at", f"{angle}deg")["steps"]
        points.append((angle, next(step["value"] for step in steps if "credited friction" in step["formula"]) / 1e3))
    capacity = tool.json("brake", "brakes.yaml")["cases"][0]["capacity_Nm"] / 1e3
    chart = Chart("What is to be held in the storm, and what the brakes hold", ANGLE,
                  ("moment", "kN m", 0, 1400, 200))
    chart.curve("two", points)
    chart.words((40, 880), "to be held in the storm")
    chart.curve("one", [(0, capacity), (80, capacity)])
    chart.words((40, capacity + 40), f"capacity {capacity:.0f} kN m")
    chart.curve("one dashed", [(0, capacity / 2), (80, capacity / 2)])
    chart.words((40, capacity / 2 + 40), f"one brake out: {capacity / 2:.0f} kN m")
    return chart


def opening(tool):
    told = tool.json("cycle", "opening.yaml")
    trace = told["opening"]["trace"]
    chart = Chart("An opening in time: speed and angle", ("time", "s", 0, 90, 10),
                  ("speed", "°/s", 0, 1.2, 0.2), right=90)
    chart.curve("one", [(row["t_s"], row["speed_deg_s"]) for row in trace])
    chart.words((20, 1.03), "speed")
    chart.second(("angle", "°", 0, 96, 16))
    chart.curve_on_second("two dashed", [(row["t_s"], row["angle_deg"]) for row in trace])
    chart.words((52, 0.52), "angle")
    for event, shift in (("near switch", (-8, -9)), ("creep", (-14, 12))):
        here = next(one for one in told["events"] if one["event"] == event)
        chart.mark("three", (here["t_s"], here["speed_deg_s"]), f"{event}, {here['t_s']:.1f} s", shift, "end")
    chart.mark("three", (88.5, 0.2), "full switch", (-6, 40), "end")
    return chart


def stop(tool):
    told = tool.json("cycle", "stop.yaml", "--fault", "emergency stop at 40deg opening", "--every", "0.01s")
    trip = next(one for one in told["events"] if one["direction"] == "opening" and one["event"] == "power off")["t_s"]
    trace = [row for row in told["opening"]["trace"] if 0 <= row["t_s"] - trip <= 0.6]
    points = [(row["t_s"] - trip, row["speed_deg_s"]) for row in trace]
    chart = Chart("A stop: speed of the leaf and torque of the brakes after the trip",
                  ("time after the trip", "s", 0, 0.6, 0.1), ("speed", "°/s", 0, 1.2, 0.2), right=90)
    chart.curve("one", [(0, 1), *points])
    chart.words((0.08, 1.03), "speed")
    chart.second(("brakes at the leaf", "kN m", 0, 1200, 200))
    chart.curve_on_second("two dashed", [(0, 0), (0.2, 0), (0.6, 1200)])
    chart.words((0.47, 0.9), "torque of the brakes", "end")
    chart.mark("three", (0.2, 1), "delay ends, 0.2 s", (8, -6))
    chart.mark("three", (0.449, 0), "rest, 0.449 s", (10, -10))
    return chart


def test(tool):
    fit = tool.json("measure", "test.yaml", "test.csv", "--ordinary")
    rows = [line.split(",") for line in (HERE / "test.csv").read_text(encoding="utf-8").splitlines()[1:]]
    chart = Chart("A balance test: torque while opening and closing", ANGLE,
                  ("torque at the leaf", "kN m", -40, 60, 20))
    chart.zero()
    for style, sign in (("one", 1), ("two", -1), ("three dashed", 0)):
        chart.curve(style, [
            (angle, (fit["A_Nm"] * math.cos(math.radians(angle)) - fit["B_Nm"] * math.sin(math.radians(angle))
                     + sign * fit["friction_Nm"]) / 1e3) for angle in range(5, 76)
        ])
    for angle, way, value in rows:
        chart.point("one" if way == "opening" else "two hollow", (float(angle), float(value)))
    chart.words((30, 43), "opening: balance + friction")
    chart.words((18, 6), "closing: balance − friction", "middle")
    chart.words((68, 10), "balance alone, dashed", "middle")
    return chart


def ballast(tool):
    told = tool.json("ballast", "ballast.yaml")
    chart = Chart("A and B as blocks are taken out, and the window of the target", ("A", "kN m", 30, 90, 10),
                  ("B", "kN m", 10, 70, 10))
    low = math.tan(math.radians(20))   # that of 50° lies above the chart in this window
    chart.area("window", [(60, 60 * low), (80, 80 * low), (80, 70), (60, 70)])
    chart.words((70, 46), "target", "middle")
    for block in range(told["blocks_handled"] + 1):
        chart.point("one", (40 + 1.6 * block, 30 - 0.2 * block))
    chart.words((38, 33), "as it is", "middle")
    chart.mark("two", (told["after"]["closed_moment_Nm"] / 1e3, 27.4), "13 blocks out", (10, 4))
    for height, words in ((58, "toe reaction"), (54, "3 to 4 kN"), (48, "α 20° to 50°")):
        chart.words((80.7, height), words)
    return chart


def spread(tool):
    told = tool.json("spread", "spread.yaml", "--case", "calm", "--samples", "1e5", "--step", "2deg")
    rows = [row for row in told["cases"][0]["rows"] if row["direction"] == "opening"]
    chart = Chart("Opening demand, with the band from 5 to 95 %", ANGLE,
                  ("demand", "kN m", -40, 100, 20))
    chart.zero()
    upper = [(row["angle_deg"], row["p95_Nm"] / 1e3) for row in rows]
    lower = [(row["angle_deg"], row["p05_Nm"] / 1e3) for row in rows]
    chart.area("window", [*upper, *reversed(lower)])
    chart.curve("two dashed", upper)
    chart.curve("two dashed", lower)
    chart.curve("one", [(row["angle_deg"], row["p50_Nm"] / 1e3) for row in rows])
    chart.words((22, 74), "95 %")
    chart.words((22, 42), "50 %")
    chart.words((4, 16), "5 %")
    return chart


FIGURES = (balance, moment, wind, drive, brakes, opening, stop, test, ballast, spread)


def main():
    if len(sys.argv) != 3:
        sys.exit(f"usage: {sys.argv[0]} TRUNNION FOLDER")
    for draw in FIGURES:
        text = draw(Tool(sys.argv[1])).svg()
        (pathlib.Path(sys.argv[2]) / f"{draw.__name__}.svg").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
