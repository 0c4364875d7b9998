# SPDX-License-Identifier: GPL-3.0-or-later
"""The README's quick way and its sentences about commands, tried."""

import re

from harness import METRIC, ROOT, claims, expect, expect_equal, folder, main, run

README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = ("weigh", "curve", "explain", "drive", "brake", "wind", "cycle", "measure", "ballast", "spread", "report")
MORE = {"explain": ("--at", "40deg"), "spread": ("--samples", "2000")}


@claims("the quick way works as it stands: a new leaf, then its report")
def quick_way():
    lines = re.findall(r"(?m)^    build/trunnion ([^#\n]*?) *#", README)
    expect_equal([line.split()[0] for line in lines], ["new", "report"])
    with folder() as place:
        for line in lines:
            result = run(*line.split(), cwd=place)
            expect(result.status in (0, 1), result)
        expect_equal(sorted(path.name for path in place.iterdir()), ["my.html", "my.yaml"])


@claims("which commands take several leaves is as the README says")
def several_leaves():
    said = re.search(r"All but (.*?) take several leaves", README).group(1)
    alone = set(re.findall(r"`(\w+)`", said))
    for command in COMMANDS:
        if command == "measure":
            continue
        result = run(command, METRIC, ROOT / "examples/us.yaml", *MORE.get(command, ()))
        expect_equal("is left over" in result.errors, command in alone, command, result)
    expect("measure" in alone, alone)


@claims("the form of normal_coefficient that the README gives is read")
def normal_coefficient():
    form = re.search(r"`(normal_coefficient: \[\[.*?\]\])`", README).group(1)
    text = METRIC.read_text(encoding="utf-8")
    leaf = text.replace("cases:\n", f"cases:\n  - {{name: by table, wind: {{pressure: 100 Pa, law: incidence, {form}}}}}\n")
    expect(leaf != text)
    result = run("curve", "-", "--case", "by table", stdin=leaf.encode())
    expect_equal(result.status, 0, result)


main()
