# SPDX-License-Identifier: GPL-3.0-or-later
"""The pages of examples/: every number is computed again, by hand and by the tool, and none can be changed unseen."""

import csv
import re

import numpy

from documents import NUMBER, PAGES, Page, Reading, numbers
from harness import ROOT, claim, expect, main


def readings():
    """The record of the balance test, worked from its readings alone."""
    with (ROOT / "examples/theory/test.csv").open(encoding="utf-8") as file:
        rows = list(csv.reader(file))[1:]
    torque = {(float(angle), direction): float(value) * 1e3 for angle, direction, value in rows}
    angles = numpy.array(sorted({angle for angle, _ in torque}))
    opening, closing = (numpy.array([torque[angle, way] for angle in angles]) for way in ("opening", "closing"))
    balance, friction = (opening + closing) / 2, (opening - closing) / 2
    c, s = numpy.cos(numpy.radians(angles)), numpy.sin(numpy.radians(angles))
    ends = numpy.array([0, -1])
    two = numpy.linalg.solve(numpy.column_stack([c, -s])[ends], balance[ends])
    return {
        "M12": balance[0], "F12": friction[0], "M66": balance[-1], "F66": friction[-1], "A two angles": two[0],
        "B two angles": two[1], "cc": c @ c, "ss": s @ s, "cs": c @ s, "Mc": balance @ c / 1e3, "Ms": balance @ s / 1e3,
        "F": friction.mean(),
    }


BY_HAND = {"readings": readings}


def holds(path):
    reading = Reading(Page(path), BY_HAND)
    expect(not reading.faults, *reading.faults)


def another(word):
    """The number with its last digit changed."""
    digits = word.partition("e")[0]
    return digits[:-1] + str((int(digits[-1]) + 3) % 10) + word[len(digits):]


def changed(page):
    """The page with one number changed, once for each number; those in remarks steer the test and stay."""
    lines = page.text.split("\n")
    for line, kind, body in page.pieces:
        if kind == "remark":
            continue
        first = line - 1 if kind == "prose" else line
        for offset, row in enumerate(body):
            row_of_text = re.sub(r"\]\([^)]*\)", lambda link: "]" + " " * (len(link.group()) - 1), row)
            for word in NUMBER.finditer(row_of_text):
                if kind == "prose" and re.match(r"\d+\. ", row) and word.start() == 0:
                    continue
                other = row[: word.start()] + another(word.group()) + row[word.end():]
                yield first + offset + 1, kind, row, other, lines[: first + offset] + [other] + lines[first + offset + 1:]


def a_wrong_number_fails(path):
    """Each number in turn is made wrong. In prose the wrong one may be a number of the page; elsewhere it never passes."""
    page = Page(path)
    known = Reading(page, BY_HAND).known
    unseen = []
    for line, kind, row, other, lines in changed(page):
        if kind == "prose" and set(numbers(other)) <= known:
            continue
        if not Reading(Page(path, "\n".join(lines)), BY_HAND).faults:
            unseen.append(f"{path.name}:{line}: {row!r} could as well be {other!r}")
    expect(not unseen, *unseen)


for page in PAGES:
    claim(f"{page.name}: every number stands", holds, page)
    claim(f"{page.name}: each number, made wrong, is found", a_wrong_number_fails, page)

if __name__ == "__main__":
    main()
