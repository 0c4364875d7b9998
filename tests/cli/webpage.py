# SPDX-License-Identifier: GPL-3.0-or-later
"""A page of the report as a tree: read to the letter, its tables as rows, its numbers back as SI values."""

import json
import math
import re

import html5lib

from harness import Failed, expect, run

# What one shown unit is in SI (degrees for angles); from NIST SP 811, B.8, as the tool's own table.
FT, LBF = 0.3048, 4.4482216152605
UNITS = {
    "": 1, "m": 1, "kN": 1e3, "N": 1, "kN m": 1e3, "N m": 1, "t": 1e3, "kg": 1, "t m²": 1e3, "kg m²": 1, "°": 1,
    "N/m²": 1, "%": 0.01, "bar": 1e5, "kW": 1e3, "W": 1, "km/h": 1 / 3.6, "s": 1, "kJ": 1e3, "J": 1, "°/s²": 1,
    "°/s": 1, "m/s": 1, "ft": FT, "kip": 1e3 * LBF, "lbf": LBF, "kip ft": 1e3 * LBF * FT, "lbf ft": LBF * FT,
    "lb": 0.45359237, "kip ft s²": 1e3 * LBF * FT, "psf": LBF / FT**2, "psi": LBF / (FT / 12) ** 2,
    "hp": 550 * FT * LBF, "mph": 0.44704, "ft/s": FT, "times": 1, "kn": 1852 / 3600, "blocks": 1,
}


def text_of(element):
    return re.sub(r"[ \n\u00a0]+", " ", "".join(element.itertext())).strip()


class Page:
    """A report: the bytes, the tree, and what the tests ask of it."""

    def __init__(self, text):
        self.text = text
        parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
        try:
            self.root = parser.parse(text)
        except html5lib.html5parser.ParseError as fault:
            raise Failed(f"no well-formed HTML at {parser.tokenizer.stream.position()}: {fault}") from fault
        self.elements = [one for one in self.root.iter() if isinstance(one.tag, str)]

    def all(self, tag):
        return [one for one in self.elements if one.tag.split("}")[-1] == tag]

    def by_id(self, wanted):
        found = [one for one in self.elements if one.get("id") == wanted]
        expect(len(found) == 1, f"{len(found)} elements have the id {wanted!r}")
        return found[0]

    def tags(self):
        return [one.tag for one in self.elements]

    def data(self):
        return json.loads(self.by_id("data").text)

    def tables(self):
        return {text_of(table.find("caption")): Table(table) for table in self.all("table")}

    def notes(self):
        return [text_of(one) for one in self.elements if "note" in (one.get("class") or "").split()]


class Table:
    """Column words and units, and rows of cell texts."""

    def __init__(self, element):
        heads = element.findall("thead/tr/th")
        self.units = [text_of(head.find("span")) if head.find("span") is not None else "" for head in heads]
        self.words = [
            text_of(head)[: len(text_of(head)) - len(unit)].strip() for head, unit in zip(heads, self.units, strict=True)
        ]
        self.rows = [[text_of(cell) for cell in row if cell.tag in ("th", "td")] for row in element.findall("tbody/tr")]

    def column(self, words):
        return self.words.index(words)

    def expect(self, row, words, si, *about):
        """That a cell shows an SI value, to its last digit."""
        index = self.column(words)
        expect_shown(self.rows[row][index], self.units[index], si, *about, words)


def expect_shown(cell, unit, si, *about):
    if si is None:
        expect(cell in ("–", "none needed", "none", "over 100"), *about, f"{cell!r} where there is no value")
        return
    # A value of its own may carry its unit in the cell.
    match = re.fullmatch(r"([−+]?\d+(?:\.(\d+))?)(?: ?(\D.*))?", cell)
    expect(match is not None, *about, f"{cell!r} is no number")
    decimals = len(match[2] or "")
    factor = UNITS[match[3] if match[3] else unit]
    shown = float(match[1].replace("−", "-"))
    near = abs(shown - si / factor) <= 0.5 * 10**-decimals * (1 + 1e-6) + 1e-9 * abs(shown)
    expect(near and math.isfinite(si), *about, f"shown {cell!r} {unit}, expected {si / factor!r}")


def page_of(*arguments, status=(0, 1), **options):
    result = run("report", *arguments, **options)
    expect(result.status in status, f"expected exit status {status}", result)
    return Page(result.text)
