# SPDX-License-Identifier: GPL-3.0-or-later
"""The pages of examples/: every number is computed again, by hand and by the tool, and none can be changed unseen."""

import csv
import itertools
import re
import subprocess
import sys
import xml.etree.ElementTree

import numpy

from documents import NUMBER, PAGES, Page, Reading, numbers
from harness import ROOT, WRAP, Skipped, claim, environment, expect, expect_equal, folder, main, run_well, tool
from schemas import faults, leaf_in_json


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
THEORY = ROOT / "examples" / "theory"
FIGURES = sorted(THEORY.glob("*.svg"))
CONTRASTS = (
    (4.5, r"fill: (#\w+); font"), (4.5, r"\.tick { fill: (#\w+)"), (3, r"\.(?:one|two|three) { stroke: (#\w+)"),
)
# Places in a drawing: in the ways of lines and the attributes of pieces, and nowhere in its words.
PLACE = re.compile(r"(?<=[ML\" ])-?\d+(?:\.\d+)?(?=[ LZ\"])(?=[^<>]*/?>)")


def without_wrap():
    """What the pages run, other tests run under WRAP; here it would take minutes and find the same numbers."""
    if WRAP:
        raise Skipped("only on the plain builds")


def holds(path):
    without_wrap()
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
                if kind == "prose" and re.match(r"(#+ )?\d+\. ", row[: word.end() + 2]):
                    continue
                other = row[: word.start()] + another(word.group()) + row[word.end():]
                place = first + offset
                yield place + 1, kind, row, other, lines[:place] + [other] + lines[place + 1:]


def a_wrong_number_fails(path):
    """Each number in turn is made wrong. In prose the wrong one may be another one; elsewhere it never passes."""
    without_wrap()
    page = Page(path)
    known = Reading(page, BY_HAND).known
    unseen = []
    for line, kind, row, other, lines in changed(page):
        if kind == "prose" and set(numbers(other)) <= known:
            continue
        if not Reading(Page(path, "\n".join(lines)), BY_HAND).faults:
            unseen.append(f"{path.name}:{line}: {row!r} could as well be {other!r}")
    expect(not unseen, *unseen)


def numbers_of_figure(path):
    """What the words of a figure say, without its axes."""
    texts = xml.etree.ElementTree.parse(path).iter("{http://www.w3.org/2000/svg}text")
    return {number for text in texts if text.get("class") != "tick" for number in numbers(text.text)}


def figures_are_drawn_anew():
    """Drawn now, each figure is the one beside its page: the same pieces, at the same places to half a unit."""
    without_wrap()
    with folder() as place:
        script = ROOT / "examples/theory/draw.py"
        subprocess.run([sys.executable, "-B", script, tool(), place], env=environment(), check=True)
        drawn = {path.name: path.read_text(encoding="utf-8") for path in place.glob("*.svg")}
    expect_equal(set(drawn), {path.name for path in FIGURES})
    for path in FIGURES:
        kept = path.read_text(encoding="utf-8")
        expect_equal(PLACE.sub("#", drawn[path.name]), PLACE.sub("#", kept), f"{path.name}: draw it again")
        for new, old in zip(PLACE.findall(drawn[path.name]), PLACE.findall(kept)):
            expect(abs(float(new) - float(old)) <= 0.5, f"{path.name}: {new} is drawn where {old} stood: draw it again")


def figures_say_what_pages_say():
    without_wrap()
    for path in FIGURES:
        pages = [page for page in map(Page, PAGES) if path.name in page.links()]
        expect(len(pages) == 1, f"{path.name} stands on {len(pages)} pages")
        strange = numbers_of_figure(path) - Reading(pages[0], BY_HAND).known
        expect(not strange, f"{path.name} says {strange}, which its page does not know")


def figures_suit_light_and_dark():
    """The colours of words and curves on the ground of each theme: contrast by WCAG 2.2, 1.4.3 and 1.4.11."""
    for path in FIGURES:
        text = path.read_text(encoding="utf-8")
        light, dark = text.split("@media (prefers-color-scheme: dark)")
        for theme in (light, dark):
            ground = re.search(r"\.ground { fill: (#\w+)", theme).group(1)
            behind = [ground, re.search(r"path\.window { fill: (#\w+)", theme).group(1)]
            for wanted, pattern in CONTRASTS:
                found = re.findall(pattern, theme)
                expect(found, f"{path.name}: no colour for {pattern}")
                for colour, under in itertools.product(found, behind):
                    has = contrast(colour, under)
                    expect(has >= wanted, f"{path.name}: {colour} on {under} has {has:.2f}")


def luminance(colour):
    parts = [int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def leaves_are_sound():
    """The leaves of the theory: the tool reads them, an editor's schema takes them, a page works each."""
    worked = {path for page in map(Page, PAGES) for path in page.sources()}
    for path in sorted(THEORY.glob("*.yaml")):
        expect("$schema=../../cli/schemas/leaf.json" in path.read_text(encoding="utf-8").split("\n")[0], path.name)
        run_well("weigh", path)
        found = faults("leaf", leaf_in_json(path.read_bytes()))
        expect(not found, path.name, *found)
        expect(path in {one.resolve() for one in worked}, f"no page works {path.name}")


def every_page_has_a_caution():
    for path in PAGES:
        page = Page(path)
        text = " ".join(line for _, kind, body in page.pieces if kind == "prose" for line in body)
        expect("licensed" in text and "engineer" in text, f"{path.name} has no caution")


for page in PAGES:
    claim(f"{page.name}: every number stands", holds, page)
    claim(f"{page.name}: each number, made wrong, is found", a_wrong_number_fails, page)
claim("figures: drawn anew they are those beside the pages", figures_are_drawn_anew)
claim("figures: their words hold no number that their page does not know", figures_say_what_pages_say)
claim("figures: words and curves have contrast, light and dark", figures_suit_light_and_dark)
claim("leaves of the theory: read, taken by the schema, worked by a page", leaves_are_sound)
claim("every page has its caution", every_page_has_a_caution)

if __name__ == "__main__":
    main()
