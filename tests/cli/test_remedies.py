# SPDX-License-Identifier: GPL-3.0-or-later
"""What would help where a requirement is not met: told by the command and the report, and true where it can be tried."""

import re

from harness import METRIC, ROOT, claim, claims, expect, expect_equal, main, run
from webpage import Page

TEXT = METRIC.read_text(encoding="utf-8")
STRUT = (ROOT / "examples/strut.yaml").read_text(encoding="utf-8")
HELP = "What would help: "


def changed(text, *changes):
    for old, new in changes:
        expect(old in text, f"there is no {old!r}")
        text = text.replace(old, new)
    return text


def told(command, leaf, status=1):
    result = run(command, "-", stdin=leaf.encode())
    expect_equal(result.status, status, result)
    return [line.split(HELP)[1] for line in result.text.splitlines() if HELP in line]


def in_report(leaf):
    return {row[0]: row[1] for row in
            Page(run("report", "-", stdin=leaf.encode()).text).tables()["What would help where something is not met"].rows}


def slow(text, share):
    """The motors at a share of their rated speed, with less power than their cases want there."""
    ratio = float(re.search(r"ratio: (\d+)", text).group(1))
    return changed(text, (f"ratio: {ratio:.0f}", f"ratio: {ratio * share:.0f}"))


def higher_ratio(text):
    """The ratio told, put in, is met; and the report tells the same."""
    leaf = slow(text, 0.2)
    words = told("drive", leaf)
    expect_equal(len(words), 1, words)
    ratio, before = re.search(r"with a ratio of (\S+) in place of (\S+) these motors meet every case", words[0]).groups()
    result = run("drive", "-", stdin=changed(leaf, (f"ratio: {before}", f"ratio: {ratio}")).encode())
    expect_equal((result.status, HELP in result.text), (0, False), result)
    expect_equal(in_report(leaf)["drive"], words[0])


@claims("where the highest ratio is not enough, the power told with it is")
def ratio_and_power():
    leaf = changed(slow(TEXT, 0.2), ("power: 45 kW", "power: 2 kW"))
    words = told("drive", leaf)[0]
    ratio, before, power = re.search(r"ratio of (\S+) in place of (\S+) they are at .* motors of (\S+) kW", words).groups()
    tried = changed(leaf, (f"ratio: {before}", f"ratio: {ratio}"), ("power: 2 kW", f"power: {float(power) * 1.005} kW"))
    expect_equal(run("drive", "-", stdin=tried.encode()).status, 0, words)


@claims("motors that run at their rated speed are told the power")
def more_power():
    fast = changed(TEXT, ("power: 45 kW", "power: 2 kW"), ("speed: 870 rpm", "speed: 200 rpm"))
    words = told("drive", fast)[0]
    expect("at this rated speed and ratio" in words and "with a ratio of" not in words, words)


@claims("brakes of the torque told hold, and the stop tells what to change")
def stronger_brakes():
    leaf = changed(TEXT, ("torque: 560 N m", "torque: 200 N m"))
    words = told("brake", leaf)
    times = float(re.search(r"Brakes with (\S+) times", words[0]).group(1))
    factors = [float(found) for found in re.findall(r"torque: ([\d.]+) k?N m, ratio", leaf)]
    expect(factors, "no brakes are found")
    stronger = re.sub(r"torque: ([\d.]+) (k?N m, ratio)", lambda m: f"torque: {float(m[1]) * times:.6g} {m[2]}", leaf)
    expect_equal(run("brake", "-", stdin=stronger.encode()).status, 0, words)
    expect_equal(in_report(leaf)["brakes, holding"], words[0])


@claims("the posted limit told is met, and one of 1 % more is not")
def posted_wind():
    high = changed(TEXT, ("posted_wind: 47 km/h", "posted_wind: 150 km/h"))
    words = told("wind", high)[0]
    limit = float(re.search(r"at most (\S+) km/h", words).group(1))
    for share, status in ((0.999, 0), (1.01, 1)):
        leaf = changed(TEXT, ("posted_wind: 47 km/h", f"posted_wind: {limit * share} km/h"))
        expect_equal(run("wind", "-", stdin=leaf.encode()).status, status, share)
    expect_equal(in_report(high)["posted wind"], words)


@claims("a run that is not met is told what would help, by 'cycle' and in the report")
def runs():
    late = changed(TEXT, ("near_open: 67 degree", "near_open: 75.5 degree"))
    words = told("cycle", late)
    expect("near switch" in words[0], words)
    expect_equal(in_report(late)["opening in time"], words[0])
    expect_equal(told("cycle", TEXT, 0), [])


@claims("a leaf that meets all is told nothing")
def all_met():
    for command in ("drive", "brake", "wind", "cycle"):
        expect_equal(told(command, TEXT, 0), [], command)
    expect("What would help where" not in run("report", METRIC).text)


@claims("without a travel there is no shaft power: a dash in table and report")
def no_power():
    leaf = re.sub(r"(?m)^travel:.*\n", "", changed(TEXT, ("accelerating: true", "accelerating: false")))
    leaf = re.sub(r"(?m)^duty:.*\n", "", leaf)
    rows = [line.split() for line in run("drive", "-", stdin=leaf.encode()).text.splitlines() if line.endswith(("yes", "NO"))]
    expect(rows and all(row[-2] == "–" for row in rows), rows)
    made = Page(run("report", "-", stdin=leaf.encode()).text).tables()["What each case asks of each running motor"]
    expect_equal({row[made.column("Shaft power")] for row in made.rows}, {"–"})


@claims("the duty names its case")
def duty_case():
    expect("Duty, case 'calm': rms torque" in run("drive", METRIC).text)
    page = Page(run("report", METRIC).text)
    rows = page.tables()["Every requirement of the description"].rows
    expect("The motors stand the duty, case calm" in [row[0] for row in rows], rows)


claim("rack: a higher ratio is told, and is met", higher_ratio, TEXT)
claim("strut: a higher ratio is told, and is met", higher_ratio, STRUT)

main()
